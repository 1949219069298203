"""The room that an engine finds in the boat, and how far apart what is hot, holds fuel or stops it must stand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.parts.engine import bearer_top
from hullcut.parts.fin import fin, fin_cleat

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design
    from hullcut.hull.form import Hull

__all__ = [
    "AHEAD",
    "BRACKET_LEG",
    "BRACKET_WIDE",
    "MUFFLER_FREE",
    "SHIELD_OFF",
    "SWITCH_BELOW",
    "EngineRoom",
    "coupling_room",
    "engine_room",
    "shield_off",
]

# All of these: common practice, no source; the engine's own manual comes first.
MUFFLER_FREE = 25.4
"""Kept free between muffler and heat shield, mm."""
BRACKET_LEG = 38.1
"""Length of the legs of the steel corner brackets between plate and bearers, mm."""
BRACKET_WIDE = 50.8
"""Width of the brackets, mm: half of it is bolted to the plate over the bearer's top, half to the bearer below."""
SHIELD_OFF = 6.35
"""Air between heat shield and the nearest wood, mm."""
AHEAD = 76.2
"""Ahead of the engine plate an engine may hang lower, for the shaft rises: looked at from so far ahead on, mm."""
SWITCH_BELOW = 25.4
"""From the sheer down to the middle of the kill switch, mm: reached without leaning over the engine."""


# An engine shakes: so much is kept free under it, mm.
_UNDER_PLAY = 2.0
# What stands under the shaft is looked at so often along its edges, mm.
_ALONG_EDGES = 2.0


@dataclass(frozen=True, slots=True)
class EngineRoom:
    """The largest engine that fits, mm.

    Attributes:
        between: clear width between the bearers.
        over: from the bearers' tops, at the plate, up to the sheer.
        ahead: from the plate's fore face to the bulkhead, level with the shaft.
        across: between the sides, level with the bearers' tops at the plate.
        aside: from the shaft's middle to either side, level with the bearers' tops at the plate, less the heat shield
            with its air and what is kept free of the muffler: the least up to `AHEAD` ahead of the plate.
        aside_ahead: the least of the same from `AHEAD` ahead of the plate on, where the hull may narrow.
        under: from the shaft's middle square down to what the engine may touch: the bottom, or the fin's cleats ahead.
        under_ahead: the same from `AHEAD` ahead of the plate on.
        below: from the shaft's middle at the plate down to the bottom.
    """

    between: float
    over: float
    ahead: float
    across: float
    aside: float
    aside_ahead: float
    under: float
    under_ahead: float
    below: float


def shield_off(design: Design) -> float:
    """From the side's inner face to the heat shield, mm: it passes the sheer cleat with its air."""
    return design.woods.cleat.thickness + SHIELD_OFF


def engine_room(hull: Hull, arrangement: Arrangement) -> EngineRoom:
    """The room between bearers, sides, plate and bulkhead, and up to the sheer."""
    design = hull.design
    place, bulkhead = arrangement.plate_x, design.decks.fore_from
    x = np.array([place])
    top = bearer_top(hull, arrangement, x)
    half = float(hull.half_breadth(x, top, hull.side_thickness)[0])
    return EngineRoom(
        design.engine.bearer_gap,
        float((hull.sheer_height(x) - top)[0]),
        bulkhead - place - design.woods.engine_plate.thickness,
        2.0 * half,
        _aside(hull, arrangement, place, min(place + AHEAD, bulkhead)),
        _aside(hull, arrangement, min(place + AHEAD, bulkhead), bulkhead),
        _under(hull, arrangement, 0.0),
        _under(hull, arrangement, AHEAD),
        arrangement.shaft.output_z - float(hull.bottom_height(x, hull.bottom_thickness)[0]),
    )


def _aside(hull: Hull, arrangement: Arrangement, start: float, stop: float) -> float:
    """The least room beside the shaft between two places, level with the bearers' tops at the plate, mm."""
    x = np.linspace(start, stop, 20)
    top = np.full_like(x, float(bearer_top(hull, arrangement, np.array([arrangement.plate_x]))[0]))
    half = hull.half_breadth(x, top, hull.side_thickness)
    return float(half.min()) - shield_off(hull.design) - MUFFLER_FREE


def coupling_room(hull: Hull, arrangement: Arrangement, tube_end: float) -> float:
    """Square to the shaft from its middle down to bottom, fin's tab or its cleats, between tube and engine plate, mm.

    Args:
        hull: of the boat.
        arrangement: where shaft, plate and fin stand.
        tube_end: x of the fore end of the shaft's tube.
    """
    return _clear_below(hull, arrangement, tube_end, arrangement.shaft.output_x)


def _under(hull: Hull, arrangement: Arrangement, ahead: float) -> float:
    """The same between a place so far ahead of the plate and the bulkhead, less what is kept free, mm."""
    # The engine begins at the plate's fore face.
    start = arrangement.shaft.output_x + hull.design.woods.engine_plate.thickness + ahead
    return _clear_below(hull, arrangement, start, max(hull.design.decks.fore_from, start + 1.0)) - _UNDER_PLAY


def _clear_below(hull: Hull, arrangement: Arrangement, start: float, stop: float) -> float:
    """Square to the shaft from its middle down to what stands lowest under it between two places, mm."""
    shaft = arrangement.shaft
    steep = math.radians(shaft.angle)
    x = np.linspace(start, stop, 60)
    floor = hull.bottom_height(x, hull.bottom_thickness)
    corners = [np.column_stack([x, floor])]
    for part in (fin(hull, arrangement), fin_cleat(hull, arrangement)):
        ring = shapely.segmentize(shapely.LinearRing(part.true_outline), _ALONG_EDGES)
        outline = shapely.get_coordinates(ring)
        for side in (0.5, -0.5):
            points = part.panel.to_space(outline, side * part.thickness)
            here = (points[:, 0] >= start) & (points[:, 0] <= stop)
            corners.append(points[here][:, [0, 2]])
    found = np.vstack(corners)
    over = shaft.output_z + (found[:, 0] - shaft.output_x) * math.tan(steep) - found[:, 1]
    return float(over.min() * math.cos(steep))
