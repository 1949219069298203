"""The boat's foam as blocks to cut: slices that stand across the fore compartment, and blocks along the sides aft."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hullcut.packet.places import pushrod_hole

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["Blocks", "fore_slices", "stern_blocks", "stern_litres"]

# How thick the foam is that shops keep, and what blocks stay clear of the wood round them, mm: common practice, no
# source.
_THICK = {"in": 50.8, "mm": 50.0}
_CLEAR = 4.0
# A slice lower or narrower than this is not worth cutting, mm; lengths are told up to these steps.
_LEAST = 20.0
_STEP = {"in": 6.35, "mm": 5.0}


@dataclass(frozen=True, slots=True)
class Blocks:
    """Blocks of foam, mm.

    Attributes:
        count: how many.
        thick: of the foam.
        long: of a block; of a slice, its width across the boat, the first one's where they differ.
        high: of a block; of a slice, the first one's where they differ.
        last_high: height of the foremost slice; that of all where they are alike.
    """

    count: int
    thick: float
    long: float
    high: float
    last_high: float


def fore_slices(plan: BoatPlan) -> Blocks:
    """Slices that stand across the boat, from the middle deck beam as far towards the bow as they are worth cutting.

    A slice is as wide and as high as the room at its tighter end: under the beams, inside the cleats.
    """
    hull, design = plan.hull, plan.design
    thick, cleat = _THICK[design.units], design.woods.cleat.thickness
    start = design.decks.fore_from + design.woods.bulkhead.thickness + design.woods.deck_beam.thickness
    ends = np.arange(start, hull.bow_room(), thick)
    low = hull.bottom_height(ends, hull.bottom_thickness)
    room = hull.roof_height(ends) - design.decks.beam_depth - low
    half = hull.half_breadth(ends, low, hull.side_thickness) - cleat - _CLEAR
    high = np.minimum(room[:-1], room[1:]) - _CLEAR
    wide = 2.0 * np.minimum(half[:-1], half[1:])
    worth = (high >= _LEAST) & (wide >= _LEAST)
    count = len(worth) if worth.all() else int(np.argmin(worth))
    if count == 0:
        return Blocks(0, thick, 0.0, 0.0, 0.0)
    return Blocks(count, thick, float(wide[0]), float(high[0]), float(high[count - 1]))


def stern_litres(plan: BoatPlan) -> float:
    """Foam to pack into the stern: what is needed, or what the design packs where that is more; to 0.1 litres up."""
    litres = max(plan.balance.foam.aft, plan.design.foam.aft or 0.0)
    return math.ceil(litres * 10.0 - 1e-6) / 10.0


def stern_blocks(plan: BoatPlan) -> Blocks | None:
    """As many blocks along either side of the stern as hold its foam; None where none is needed or they don't fit."""
    hull, design = plan.hull, plan.design
    thick = _THICK[design.units]
    start = hull.transom_thickness + design.woods.pad.thickness + _CLEAR
    stop = design.decks.after_to if design.decks.after != "open" else design.radio.shelf_from
    x = np.linspace(start, stop, 9)
    low = hull.bottom_height(x, hull.bottom_thickness)
    under = max(design.decks.beam_depth, design.cleats.sheer_height)
    high = float((hull.roof_height(x) - under - low).min()) - _CLEAR
    half = float(hull.half_breadth(x, low, hull.side_thickness).min()) - design.woods.cleat.thickness
    volume = stern_litres(plan) * 1e6
    if volume <= 0.0 or high < _LEAST or stop - start < _LEAST:
        return None
    rows = math.ceil(volume / (2.0 * thick * high * (stop - start)))
    # Between the blocks the shaft's tube and the rudder's pushrod stay free.
    rod = pushrod_hole(plan)
    if rows * thick > half - max(design.drive.tube_diameter, abs(rod.y) + rod.diameter):
        return None
    step = _STEP[design.units]
    long = math.ceil(volume / (2.0 * rows * thick * high) / step - 1e-9) * step
    if long > stop - start:
        long = stop - start
    return Blocks(2 * rows, thick, long, high, high)
