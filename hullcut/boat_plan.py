"""Everything that is known of each boat and of the whole order once every stage has run: frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.balance.boat_balance import BoatBalance
    from hullcut.balance.weights import Weight
    from hullcut.check import Check
    from hullcut.design.values import Design, Order
    from hullcut.hull.form import Hull
    from hullcut.nesting.after import CostShares
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.nesting.values import Layout
    from hullcut.parts.values import Joint, Part

__all__ = ["BoatPlan", "OrderPlan"]


@dataclass(frozen=True, slots=True, eq=False)
class BoatPlan:
    """One design, taken off; equal to itself alone, so that what is reckoned from it can be kept by it.

    Attributes:
        design: what was asked for.
        hull: its form.
        arrangement: where the fittings stand.
        parts: every part with its marks, in building order.
        joints: measured on both of their parts.
        checks: of hull, parts and balance.
        balance: how it balances, floats and runs.
        glue_ups: of those parts that are glued up from two boards.
    """

    design: Design
    hull: Hull
    arrangement: Arrangement
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    checks: tuple[Check, ...]
    balance: BoatBalance
    glue_ups: tuple[GlueUp, ...] = ()

    @property
    def weights(self) -> tuple[Weight, ...]:
        """Of parts, allowances and fittings."""
        return self.balance.weights


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """The whole order.

    Attributes:
        order: what was asked for.
        boat_plans: one for each design, in the order's order.
        layout: all parts of all boats on the stock.
        extras: parts besides those of the boats.
        extra_glue_ups: of those extras that are glued up from two boards.
    """

    order: Order
    boat_plans: tuple[BoatPlan, ...]
    layout: Layout
    extras: tuple[Part, ...] = ()
    extra_glue_ups: tuple[GlueUp, ...] = ()

    @property
    def parts(self) -> dict[str, Part]:
        """Every part by its id: those of the boats, then the extras, then the strips of those that are glued up."""
        boats = [part for plan in self.boat_plans for part in plan.parts]
        strips = [strip for glued in self.glue_ups for strip in glued.strips]
        return {part.id: part for part in (*boats, *self.extras, *strips)}

    @property
    def glue_ups(self) -> tuple[GlueUp, ...]:
        """Of all parts that are glued up from two boards."""
        return (*(glued for plan in self.boat_plans for glued in plan.glue_ups), *self.extra_glue_ups)

    @property
    def cost_shares(self) -> CostShares | None:
        """What each boat and each extra part costs; None where something bought has no price."""
        from hullcut.nesting.after import cost_shares

        areas = {name: part.area for name, part in self.parts.items()}
        boats, extras = [boat.id for boat in self.order.boats], [part.id for part in self.extras]
        return cost_shares(self.layout, areas, boats, extras)

    @property
    def checks(self) -> tuple[Check, ...]:
        """The checks of all designs."""
        return tuple(check for plan in self.boat_plans for check in plan.checks)

    @property
    def failed(self) -> bool:
        """Whether any check fails."""
        return any(check.status == "fail" for check in self.checks)
