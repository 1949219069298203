"""The sizes of a hull that is given by a table of offsets, as a tape would measure them on it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from hullcut.design.values import HullSizes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.design.models.hull import HullTable
    from hullcut.design.offsets import Offsets

__all__ = ["POINTED_MM", "bow_of", "sizes_of"]

POINTED_MM = 1.0
"""Sides whose outer faces come this near the centre line are drawn together until they meet."""

# A sheet that rises no more than this is still straight to the eye and to the water.
_STRAIGHT_MM = 0.5
_TOGETHER_MM = 1.0

Point = tuple[float, float, float]


def bow_of(offsets: Offsets) -> Literal["sled", "pram", "stem"]:
    """How a table's hull ends forward: chine and sheer come together, the sides do, or neither."""
    chine, sheer = offsets.chine[-1], offsets.sheer[-1]
    if max(abs(chine[0] - sheer[0]), abs(chine[2] - sheer[2])) <= _TOGETHER_MM:
        return "sled"
    return "stem" if max(chine[1], sheer[1]) <= POINTED_MM else "pram"


def sizes_of(offsets: Offsets, table: HullTable) -> HullSizes:
    """The sizes of the hull in a table of offsets; its heights count from its lowest point."""
    chine, sheer = offsets.chine, offsets.sheer
    lowest = min(z for _, _, z in chine)
    bow = bow_of(offsets)
    length = max(chine[-1][0], sheer[-1][0])
    depth = _height_at(sheer, length / 2.0) - lowest
    straight = [x for x, _, z in chine if z - lowest <= _STRAIGHT_MM]
    rise = chine[-1][2] - lowest
    sheer_rise = max(sheer[-1][2] - lowest - depth, 0.0)
    rocker = chine[0][2] - lowest
    rocker = rocker if rocker > _STRAIGHT_MM else 0.0
    widest = max(sheer, key=lambda point: point[1])[0]
    return HullSizes(
        length=length,
        beam=2.0 * max(y for _, y, _ in sheer),
        depth=depth,
        bow=bow,
        beam_at_transom=2.0 * sheer[0][1],
        beam_at_bow=2.0 * sheer[-1][1],
        flare=0.0,
        flat_to=straight[-1],
        parallel_from=widest,
        parallel_to=widest,
        bow_height=rise,
        bow_rake=0.0 if bow == "sled" else _lean(chine[-1], sheer[-1]),
        transom_rake=-_lean(chine[0], sheer[0]),
        rocker=rocker,
        rocker_to=straight[0] if rocker else 0.0,
        sheer_rise=sheer_rise if sheer_rise > _STRAIGHT_MM else 0.0,
        sheer_from=length / 2.0,
        offsets=offsets,
        read_to=table.read_to or 0.0,
    )


def _lean(foot: Point, head: Point) -> float:
    """Degrees that the line from foot to head leans forward of upright."""
    return math.degrees(math.atan2(head[0] - foot[0], max(head[2] - foot[2], 1e-9)))


def _height_at(points: Sequence[Point], x: float) -> float:
    """Height at x by a parabola through the three nearest points."""
    near = sorted(sorted(points, key=lambda point: abs(point[0] - x))[:3])
    total = 0.0
    for i, (here, _, z) in enumerate(near):
        share = 1.0
        for j, (other, _, _) in enumerate(near):
            if i != j:
                share *= (x - other) / (here - other)
        total += share * z
    return total
