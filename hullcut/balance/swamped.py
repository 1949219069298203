"""What keeps a swamped boat afloat: foam, how much, and where.

With the hull full of water only solid matter lifts. The things that sink count one and a half times over against the
lift of the wet wood, once with the boat upright and once upside down; what stands out of the water then lifts nothing.
The foam carries the rest as two supports carry a beam, so that neither end hangs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hullcut.stock.outfit import allowances, density_source

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.balance.weights import Weight
    from hullcut.hull.form import Hull
    from hullcut.stock.water import WaterData

__all__ = ["MARGIN", "FoamNeed", "foam_middles", "foam_need", "round_length"]

MARGIN = 1.5
"""How many times over what sinks is counted: common practice, no source."""


@dataclass(frozen=True, slots=True)
class FoamNeed:
    """The foam that a boat needs.

    Attributes:
        fore, aft: litres needed at either end.
        upright, capsized: litres needed in either attitude, both ends together.
        sinking: weight in water of what sinks, g.
        lifting: lift of what floats, g, with the boat upright.
        fore_x, aft_x: of the middles of the compartments that it goes into, mm.
        fore_round, aft_round: length of round foam for either end, mm.
        source: where densities and margin come from.
    """

    fore: float
    aft: float
    upright: float
    capsized: float
    sinking: float
    lifting: float
    fore_x: float
    aft_x: float
    fore_round: float
    aft_round: float
    source: str

    @property
    def total(self) -> float:
        """Litres needed, both ends together."""
        return self.fore + self.aft


def round_length(litres: float, diameter: float, bore: float) -> float:
    """Length, mm, of round foam that makes up a volume, the hole through it left out."""
    return litres * 1e6 / (math.pi / 4.0 * (diameter**2 - bore**2))


def foam_middles(hull: Hull) -> tuple[float, float]:
    """X of the middles of the fore compartment and of the one under the after cover, mm."""
    decks = hull.design.decks
    woods = hull.design.woods
    fore = _middle(hull, decks.fore_from + woods.bulkhead.thickness, hull.bow_room())
    covered = decks.after_to if decks.after != "open" else hull.design.radio.shelf_from
    aft = _middle(hull, hull.transom_thickness, max(covered, hull.transom_thickness + 1.0))
    return fore, aft


def _middle(hull: Hull, start: float, stop: float) -> float:
    """X of the middle of the room between two places along the hull, inside bottom, sides and deck."""
    if stop <= start:
        return start
    x = np.linspace(start, stop, 41)
    roof = hull.roof_height(x)
    low = np.minimum(hull.bottom_height(x, hull.bottom_thickness), roof)
    breadth = np.maximum(hull.half_breadth(x, (low + roof) / 2.0, hull.side_thickness), 0.0)
    area = 2.0 * breadth * (roof - low)
    step = np.diff(x)
    volume = float((step * (area[:-1] + area[1:]) / 2.0).sum())
    moment = float((step * (area[:-1] * x[:-1] + area[1:] * x[1:]) / 2.0).sum())
    return moment / volume if volume > 0.0 else start


def foam_need(hull: Hull, weights: Sequence[Weight], water: WaterData) -> FoamNeed:
    """Foam needed fore and aft by the worse of upright and upside down."""
    fore_x, aft_x = foam_middles(hull)
    foam = hull.design.foam
    lift = (water.density - foam.density) / 1000.0
    ends, totals, loads = [], [], []
    for upright in (True, False):
        net = [(each, _in_water(each, water, _dry(each, hull, upright))) for each in weights]
        sinking = [(each, grams * MARGIN) for each, grams in net if grams > 0.0]
        load = [*sinking, *((each, grams) for each, grams in net if grams <= 0.0)]
        reach = fore_x - aft_x
        fore = sum(grams * (each.x - aft_x) for each, grams in load) / reach / lift / 1000.0
        aft = sum(grams * (fore_x - each.x) for each, grams in load) / reach / lift / 1000.0
        ends.append((max(fore, 0.0), max(aft, 0.0)))
        totals.append(max(fore, 0.0) + max(aft, 0.0))
        loads.append((sum(g for _, g in net if g > 0.0), -sum(g for _, g in net if g <= 0.0)))
    fore, aft = max(end[0] for end in ends), max(end[1] for end in ends)
    return FoamNeed(
        fore=fore,
        aft=aft,
        upright=totals[0],
        capsized=totals[1],
        sinking=loads[0][0],
        lifting=loads[0][1],
        fore_x=fore_x,
        aft_x=aft_x,
        fore_round=round_length(fore, foam.diameter, foam.bore),
        aft_round=round_length(aft, foam.diameter, foam.bore),
        source=f"margin {MARGIN:g}: common practice, no source; densities: {density_source()}",
    )


def _dry(each: Weight, hull: Hull, upright: bool) -> bool:
    """Whether a thing stands out of the water when the boat floats awash."""
    return each.z > hull.depth if upright else each.z < 0.0


def _in_water(each: Weight, water: WaterData, dry: bool) -> float:
    """Weight in water, g; below zero for what floats. Wood has taken up water."""
    mass = each.mass * (1.0 + allowances().soaking) if each.kind == "part" else each.mass
    return mass - (0.0 if dry else each.volume * water.density * 1e-6)
