"""The boat's foam as blocks to cut: slices across the fore compartment, and pairs of blocks on the bottom aft."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.engine_room import BRACKET_LEG
from hullcut.parts.decks import beam_places
from hullcut.parts.engine import bearer_places
from hullcut.parts.fittings import arm_height

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull

__all__ = ["HEAT_CLEAR", "FoamBlock", "foam_blocks", "foam_litres", "foam_thickness"]

HEAT_CLEAR = 38.1
"""What foam keeps off the engine, which begins at its plate's fore face, mm: common practice, no source."""

# How thick the foam is that shops keep, and what blocks stay clear of the wood round them, mm: common practice, no
# source.
_THICK = {"in": 50.8, "mm": 50.0}
_CLEAR = 4.0
# A block smaller than this in any direction is not worth cutting, mm; sizes are rounded down to these steps.
_LEAST = 20.0
_STEP = {"in": 25.4 / 8.0, "mm": 5.0}
# What bolts and nuts reach into the boat past their pad, and what epoxy is packed round the tube, mm: common practice,
# no source.
_BOLTS, _PACKED = 22.0, 8.0
# What a spanner needs beside a bracket that is bolted to a bearer, mm: common practice, no source.
_SPANNER = 6.35
# What foam keeps below the rod from a servo to the engine, mm.
_UNDER_ROD = 6.0


@dataclass(frozen=True, slots=True)
class FoamBlock:
    """A block of foam in its place, or a pair of blocks alike to port and starboard; all in mm.

    Attributes:
        place: the end of the boat that it lies in.
        count: one across the middle, or two.
        start, stop: x of its after and fore face.
        low, high: z of its lower and upper face.
        inner: from the middle of the boat to a pair's inner faces; 0 for one across the middle.
        outer_low, outer_high: from the middle of the boat to its outer face, at its lower and its upper face.
    """

    place: Literal["fore", "aft"]
    count: int
    start: float
    stop: float
    low: float
    high: float
    inner: float
    outer_low: float
    outer_high: float

    @property
    def length(self) -> float:
        """Along the boat, mm."""
        return self.stop - self.start

    @property
    def height(self) -> float:
        """Mm."""
        return self.high - self.low

    @property
    def width_low(self) -> float:
        """Across its lower face, mm."""
        return (2.0 if self.count == 1 else 1.0) * (self.outer_low - self.inner)

    @property
    def width_high(self) -> float:
        """Across its upper face, mm."""
        return (2.0 if self.count == 1 else 1.0) * (self.outer_high - self.inner)

    @property
    def litres(self) -> float:
        """Of all that are alike."""
        return self.count * self.length * self.height * (self.width_low + self.width_high) / 2.0 * 1e-6


def foam_thickness(hull: Hull) -> float:
    """How thick the foam is that the slices are cut from, mm."""
    return _THICK[hull.design.units]


def foam_litres(blocks: tuple[FoamBlock, ...], place: Literal["fore", "aft"] | None = None) -> float:
    """Litres of all blocks, or of those at one end."""
    return sum(block.litres for block in blocks if place in (None, block.place))


def foam_blocks(hull: Hull, arrangement: Arrangement) -> tuple[FoamBlock, ...]:
    """All blocks of a boat: the slices from aft forward, then the pairs in the stern from aft forward."""
    return (*_slices(hull), *_stern(hull, arrangement))


def _slices(hull: Hull) -> list[FoamBlock]:
    """Slices that stand on the bottom across the boat, as high as the deck, or the beam over them, lets them be."""
    woods, decks = hull.design.woods, hull.design.decks
    thick = foam_thickness(hull)
    beams = beam_places(hull)
    start = beams["deck-beam-middle"] + woods.deck_beam.thickness + _CLEAR
    over = (beams["deck-beam-fore"] - _CLEAR, beams["deck-beam-fore"] + woods.deck_beam.thickness + _CLEAR)
    found = []
    # Looking for the bow's room takes longer than all else here.
    fore = hull.bow_room() - _CLEAR
    while start + thick <= fore:
        stop = start + thick
        under = decks.beam_depth if start < over[1] and stop > over[0] else 0.0
        block = _fitted(hull, "fore", (start, stop), 0.0, under)
        if block is None:
            break
        found.append(block)
        start = stop
    return found


def _stern(hull: Hull, arrangement: Arrangement) -> list[FoamBlock]:
    """Pairs on the bottom: under the radio shelf beside the tube, and outside the bearers abaft the engine plate."""
    design = hull.design
    woods, radio, shaft = design.woods, design.radio, arrangement.shaft
    start = hull.foot_of(hull.transom_inside, hull.bottom_thickness)[0] + woods.pad.thickness + _BOLTS
    bearers = bearer_places(hull, arrangement)[0]
    shelf_ends = radio.shelf_from + radio.shelf_length
    tube = design.drive.tube_diameter / 2.0 + _PACKED
    outside = design.engine.bearer_gap / 2.0 + woods.bearer.thickness + _CLEAR
    first = _fitted(
        hull,
        "aft",
        (start, min(shelf_ends, bearers - _CLEAR)),
        tube,
        0.0,
        roof=radio.shelf_height,
    )
    under = max(design.decks.beam_depth, design.cleats.sheer_height) if design.decks.after != "open" else 0.0
    # The plate leans aft: the engine comes nearest at a block's upper edge.
    rod = arm_height(hull) - _UNDER_ROD
    high = min(float(hull.roof_height(np.array([shelf_ends]))[0]) - under - _CLEAR, rod - _CLEAR)
    steep = math.radians(shaft.angle)
    face = arrangement.plate_x + woods.engine_plate.thickness / math.cos(steep)
    cool = face - max(high - shaft.output_z, 0.0) * math.tan(steep) - HEAT_CLEAR
    # The nuts of the brackets stand outside the bearers.
    stop = min(cool, arrangement.plate_x - BRACKET_LEG - _SPANNER)
    begin = max(shelf_ends + _CLEAR, first.stop if first is not None else 0.0)
    second = _fitted(hull, "aft", (begin, stop), outside, under, roof=rod)
    return [block for block in (first, second) if block is not None]


def _fitted(
    hull: Hull,
    place: Literal["fore", "aft"],
    along: tuple[float, float],
    inner: float,
    under: float,
    roof: float = math.inf,
) -> FoamBlock | None:
    """The block that fits between two places along the boat, its sizes rounded down; None where it is too small.

    Args:
        hull: that it lies in.
        place: the end of the boat.
        along: x of its ends at most.
        inner: where a pair begins, from the middle of the boat; 0 for one across the middle.
        under: what hangs down from the deck over it.
        roof: z of what lies over it, where that is lower than the deck.
    """
    step = _STEP[hull.design.units]
    start, length = along[0], along[1] - along[0]
    if place == "aft":
        length = _down(length, step)
    if length < _LEAST:
        return None
    x = np.linspace(start, start + length, 9)
    low = float(hull.bottom_height(x, hull.bottom_thickness).max())
    high = low + _down(min(float(hull.roof_height(x).min()) - under, roof) - _CLEAR - low, step)
    if high - low < _LEAST:
        return None
    aside = hull.side_thickness + hull.design.woods.cleat.thickness
    outer = []
    for z in (low, high):
        clear = float(hull.half_breadth(x, np.full_like(x, z), aside).min()) - _CLEAR - inner
        outer.append(inner + (_down(2.0 * clear, step) / 2.0 if inner == 0.0 else _down(clear, step)))
    if min(outer) - inner < _LEAST:
        return None
    return FoamBlock(place, 2 if inner > 0.0 else 1, start, start + length, low, high, inner, outer[0], outer[1])


def _down(size: float, step: float) -> float:
    """A size rounded down to whole steps."""
    return math.floor(size / step + 1e-9) * step
