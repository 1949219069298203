"""Words and hatching in the steps' pictures: which end is which, what the new parts are called, what is new in grey."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.paths import bounds, circle, line
from hullcut.drawing.scene import Line, Role, Shape, Text
from hullcut.packet.free_ground import Ground

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item, Path, Point
    from hullcut.drawing.segments import Box

__all__ = ["END_SIZE", "NAME_SIZE", "hatching", "is_new", "words_beside"]

Array = NDArray[np.float64]

END_SIZE = 2.6
NAME_SIZE = 2.3

_PITCH = 1.3
_HATCH, _HATCH_WIDTH = "#8a5a00", 0.14
_CLEAR = 0.7
_LONGEST = 42.0
_ENDS = ("bow", "stern")
# Two crossings nearer than this along a line of hatching are one: two facets meet there, mm.
_SEAM = 0.08


def is_new(item: Item) -> bool:
    """Whether an item is filled in the tint of new parts: much less blue than red."""
    if not isinstance(item, Shape) or item.fill is None:
        return False
    return int(item.fill[1:3], 16) - int(item.fill[5:7], 16) > 60


def hatching(items: Sequence[Item]) -> list[Item]:
    """Slanting lines over all that is filled as new, so that it is told apart in a grey print too."""
    edges = [ends for item in items if isinstance(item, Shape) and is_new(item) for ends in _edges(item.paths)]
    if not edges:
        return []
    ends = np.array(edges)
    along = (ends[:, :, 0] + ends[:, :, 1]) / math.sqrt(2.0)
    level = (ends[:, :, 1] - ends[:, :, 0]) / math.sqrt(2.0)
    paths: list[Path] = []
    first, last = math.ceil(level.min() / _PITCH), math.floor(level.max() / _PITCH)
    for number in range(first, last + 1):
        # Half a hair aside, so that no corner lies on the line.
        at = number * _PITCH + 1.7e-4
        a, b = level[:, 0], level[:, 1]
        crossed = (a < at) != (b < at)
        share = (at - a[crossed]) / (b[crossed] - a[crossed])
        stops = np.sort(along[crossed, 0] + share * (along[crossed, 1] - along[crossed, 0]))
        paths += [line(_back(p, at), _back(q, at)) for p, q in _runs(stops)]
    return [Shape(Role.THIN, tuple(paths), stroke=_HATCH, width=_HATCH_WIDTH, ref="new")] if paths else []


def _runs(stops: Array) -> list[tuple[float, float]]:
    """Pairs of crossings with inside between them, joined where two facets meet."""
    runs: list[tuple[float, float]] = []
    for p, q in zip(stops[0::2].tolist(), stops[1::2].tolist(), strict=False):
        if runs and p - runs[-1][1] < _SEAM:
            runs[-1] = (runs[-1][0], q)
        elif q - p > _SEAM:
            runs.append((p, q))
    return [run for run in runs if run[1] - run[0] > 0.3]


def _back(along: float, level: float) -> Point:
    return (
        round((along - level) / math.sqrt(2.0), 3),
        round((along + level) / math.sqrt(2.0), 3),
    )


def _edges(paths: Sequence[Path]) -> list[tuple[Point, Point]]:
    found: list[tuple[Point, Point]] = []
    for path in paths:
        points = [segment.start for segment in path.segments if isinstance(segment, Line)]
        found += [(points[k], points[(k + 1) % len(points)]) for k in range(len(points))]
    return found


# A leader keeps so far off the point of another name, mm.
_POINT = 1.2
# So much wider than other ground a name keeps free of another at its side, mm.
_APART = 1.2


def words_beside(
    items: Sequence[Item],
    ends: Sequence[tuple[str, Point]],
    names: Sequence[tuple[str, Point]],
    box: Box,
    walls: Sequence[BaseGeometry] = (),
) -> list[Item]:
    """Words on free ground, as near as may be to what they name, those that name a part with a leader.

    A name that finds no free ground near enough is left out, if it finds none before all others either.

    Args:
        items: what is drawn already.
        ends: the words for the boat's ends and where these lie.
        names: of parts, and a point on each.
        box: within which the words stay.
        walls: which a leader crosses only to what lies on them, where another place is free.
    """
    added, without = _words_in_turn(items, ends, names, box, walls)
    if without:
        first = sorted(names, key=lambda name: name[0] not in without)
        again, still = _words_in_turn(items, ends, first, box, walls)
        if len(still) < len(without):
            return again
    return added


def _words_in_turn(
    items: Sequence[Item],
    ends: Sequence[tuple[str, Point]],
    names: Sequence[tuple[str, Point]],
    box: Box,
    walls: Sequence[BaseGeometry],
) -> tuple[list[Item], list[str]]:
    """Each word on the free ground that those before it leave; and the words that found none."""
    ground = Ground(items, box, _CLEAR)
    added: list[Item] = []
    without: list[str] = []
    # No leader runs through what is written there already.
    lines: list[BaseGeometry] = [shapely.box(*bounds(item)) for item in items if isinstance(item, Text)]
    # Nor over the point that another name tells.
    points = np.asarray(shapely.buffer(shapely.points(np.reshape([at for _, at in names], (-1, 2))), _POINT))
    for word, at, size in (*((*end, END_SIZE) for end in ends), *((*name, NAME_SIZE) for name in names)):
        whole = bounds(Text(Role.LABEL, (0.0, 0.0), word, size, bold=word in _ENDS))
        wide, high = whole[2] - whole[0], whole[3] - whole[1]
        # The ends are told outside the boat, never in a gap of the drawing.
        outside = word in _ENDS
        target = shapely.Point(at)
        others = points[shapely.distance(points, target) > _CLEAR]
        apart = [wall for wall in walls if wall.distance(target) > 0.0]
        found = ground.nearest(at, (wide, high), _LONGEST, [*lines, *others, *apart], outside=outside)
        found = found or ground.nearest(at, (wide, high), _LONGEST, lines, outside=outside)
        if found is None:
            without.append(word)
            continue
        x, y = found
        own = shapely.box(x, y, x + wide, y + high)
        near = shapely.shortest_line(own, target)
        if word not in _ENDS or near.length > 8.0:
            foot = shapely.get_coordinates(near)[0]
            start = (round(float(foot[0]), 3), round(float(foot[1]), 3))
            added.append(Shape(Role.DIMENSION, (line(start, at),), ref=f"leader {word}", width=0.18))
            added.append(Shape(Role.FILL, (circle(at, 0.45),), fill="#000000", stroke="none"))
            lines.append(near)
            ground.take_line(start, at)
        lines.append(own)
        added.append(Text(Role.LABEL, (x, y - whole[1]), word, size, bold=word in _ENDS))
        # Two names on one line are not to read as one.
        ground.take_box((x - _APART, y, x + wide + _APART, y + high))
    return added, without
