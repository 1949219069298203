"""Weights: every part, allowance and fitting with its place, and what follows from the whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from hullcut.lengths import both
from hullcut.packet.document import bullet, paragraph
from hullcut.packet.organiser.pieces import numbers_table
from hullcut.stock.outfit import allowances, density_source, engine_range
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.packet.document import Frames, Styles

__all__ = ["weights_section"]


def _mm(value: float) -> str:
    return f"{round(value) + 0:d}"


def weights_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The weight table, the balance point, and where the figures come from."""
    found, units = plan.balance, plan.design.units
    rows = [(w.name, f"{w.mass:.0f}", _mm(w.x), _mm(w.y), _mm(w.z)) for w in found.weights]
    for words, mass, (x, y, z) in (
        ("Together, with half a tank", found.mass, found.cg),
        ("With an empty tank", *found.empty),
        ("With a full tank", *found.full),
    ):
        rows.append((words, f"{mass:.0f}", _mm(x), _mm(y), _mm(z)))
    heads = ("what", "grams", "mm from the transom", "mm to port", "mm above the bottom")
    rest = (frames.width - 66.0) / 4.0
    count = len(rows)
    share = found.cg[0] / plan.design.hull.length * 100.0
    balance = f"Balances {both(found.cg[0], units)} from the transom: {share:.1f} % of the length; "
    balance += f"wanted {both(found.wanted, units)}."
    if found.ballast is not None:
        balance += (
            f" {found.ballast.mass:.0f} g of ballast {both(found.ballast.x, units)} from the transom would bring it "
            "there; the engine stands as near as its bay allows, or where the design puts it."
        )
    woods = sorted({part.material for part in plan.parts if part.family != "stand"})
    densities = "; ".join(f"{wood(key).name} {wood(key).density:.0f} kg/m³ ({wood(key).source})" for key in woods)
    engine = engine_range()
    return [
        numbers_table(heads, rows, (66.0, rest, rest, rest, rest), look, range(count - 3, count)),
        Spacer(0, 4),
        paragraph(balance, look.body),
        paragraph(
            f"Radius of gyration in pitch {found.radius:.0f} mm; inertia {found.inertia * 1e-9:.3f} kg m².", look.body
        ),
        bullet(f"Engine: usual is {engine.mass_low:.0f} to {engine.mass_high:.0f} g; {engine.source}.", look.small),
        bullet(f"Woods: {densities}.", look.small),
        bullet(_allowances(), look.small),
        bullet(f"Densities of fittings: {density_source()}.", look.small),
    ]


def _allowances() -> str:
    found = allowances()
    return (
        f"Glue {found.glue * 100.0:.3g} % and screws {found.fasteners * 100.0:.3g} % of the wood, sealer and paint "
        f"{found.paint:.0f} g a square metre of face, contingency {found.contingency * 100.0:.3g} % of everything: "
        f"{found.source}."
    )
