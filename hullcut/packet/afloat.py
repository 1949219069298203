"""What the pages for the water tell of a boat: its upright freeboard, its lean, what a little ballast does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.balance.flotation import Flotation
    from hullcut.boat_plan import BoatPlan

__all__ = [
    "BALLAST_STEP",
    "LIFT_TOGETHER",
    "SIDE_STEP",
    "WATCHERS",
    "Lean",
    "Upright",
    "as_read",
    "ballast_shifts",
    "lean",
    "lifting_words",
    "upright",
]

LIFT_TOGETHER = 7000.0
"""A boat heavier than this, grams, is lifted by two people: common practice, no source."""

WATCHERS = "100 ft (30 m)"
"""How far watchers stand from the running boat and from the water's edge: three seconds' run at 10 m/s, so that there
is time to turn or stop; hullcut's own rule, no source."""

BALLAST_STEP = 100.0
"""Grams of ballast that are added at a time towards bow or stern."""

SIDE_STEP = 50.0
"""Grams of ballast that are added at a time towards one side."""

# Ballast lies so far inside transom, bulkhead or side, mm.
_INSIDE = 25.0


@dataclass(frozen=True, slots=True)
class Upright:
    """Heights above the water of the boat held level across, mm.

    Attributes:
        least: of the sheer, wherever it is lowest.
        aft: of the sheer at the transom.
    """

    least: float
    aft: float


@dataclass(frozen=True, slots=True)
class Lean:
    """How a boat leans at rest from weights off its middle.

    Attributes:
        low: the side that lies lower.
        high: the other one.
        rise: how much farther up the low side the water stands than upright, at the balance point, mm.
        ballast: grams along the high side that would level it.
    """

    low: str
    high: str
    rise: float
    ballast: float


def upright(plan: BoatPlan, lies: Flotation) -> Upright:
    """Freeboard over the upright waterline."""
    x = np.linspace(0.0, plan.hull.length, 400)
    heights = plan.hull.sheer_height(x) - lies.line[0] - lies.line[1] * x
    return Upright(float(heights.min()), float(heights[0]))


def lean(plan: BoatPlan, lies: Flotation) -> Lean:
    """The lean at rest, as a rule shows it on the boat's sides."""
    x = np.array([plan.arrangement.balance_x])
    height = np.array([lies.line[0] + lies.line[1] * float(x[0])])
    half = float(plan.hull.half_breadth(x, height)[0])
    low, high = ("port", "starboard") if lies.heel >= 0.0 else ("starboard", "port")
    rise = half * float(np.tan(np.radians(abs(lies.heel))))
    lever = half - plan.design.woods.side.thickness - _INSIDE
    return Lean(low, high, rise, plan.balance.mass * abs(plan.balance.cg[1]) / lever)


def ballast_shifts(plan: BoatPlan) -> tuple[float, float]:
    """How far the balance point moves with `BALLAST_STEP` inside the transom and at the bulkhead, mm, aft and forward.

    Moments about the balance point: the ballast times its lever, over the boat's new weight.
    """
    found = plan.balance
    aft = plan.hull.transom_thickness + _INSIDE
    fore = plan.design.decks.fore_from - _INSIDE
    share = BALLAST_STEP / (found.mass + BALLAST_STEP)
    return (found.cg[0] - aft) * share, (fore - found.cg[0]) * share


def as_read(mm: float, units: Literal["in", "mm"]) -> float:
    """A small estimate as a rule in these units shows it, mm: inches and millimetres of it then agree."""
    step = 25.4 / 32.0 if units == "in" else 0.5
    return round(mm / step) * step


def lifting_words(plan: BoatPlan) -> str:
    """Who lifts the boat, by its weight afloat."""
    heavy = plan.balance.mass / 1000.0
    if plan.balance.mass > LIFT_TOGETHER:
        return f"The boat weighs about {heavy:.1f} kg: two people lift it."
    return f"The boat weighs about {heavy:.1f} kg: lift it with a straight back."
