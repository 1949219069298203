"""Words and hatching in the steps' pictures: which end is which, what the new parts are called, what is new in grey."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache, lru_cache, partial
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.paths import bounds, circle, line
from hullcut.drawing.scene import Line, Role, Shape, Text
from hullcut.drawing.style import VERMILLION
from hullcut.drawing.views.leaders import DOTS_APART, nearest_of, told_apart
from hullcut.packet.free_ground import Ground

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

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
# Farther than this a word goes only where no other point of its part is nearer, mm.
_ROUND_ABOUT = 24.0
# With a leader shorter than this no further point is tried, mm.
_SHORT = 12.0
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
# A leader begins so far off its word, and its dot has this radius, mm.
_OFF, _DOT = 0.4, 0.45


@dataclass(frozen=True, slots=True)
class _Way:
    """Where a word stands and what of its part it points at.

    Attributes:
        corner: lower left of the word.
        spot: on the part.
        long: from the word to the spot, mm.
        fault: 0 where its leader keeps off all that it should, more the worse it is.
    """

    corner: Point
    spot: Point
    long: float
    fault: int = 0


def words_beside(
    items: Sequence[Item],
    ends: Sequence[tuple[str, Point]],
    names: Sequence[tuple[str, Point]],
    box: Box,
    walls: Sequence[BaseGeometry] = (),
    elsewhere: Callable[[str], Sequence[Point]] | None = None,
) -> list[Item]:
    """Words on free ground, as near as may be to what they name, those that name a part with a leader.

    Leaders keep off one another, other names, arrows, dimensions and the dots of other names; dots lie well apart.
    Where they cannot, arrows and dimensions give way first, then dots. The boat's ends are told without a leader. A
    name that finds no free ground near enough is left out, if it finds none before all others either.

    Args:
        items: what is drawn already.
        ends: the words for the boat's ends and where these lie.
        names: of parts, and a point on each.
        box: within which the words stay.
        walls: which a leader crosses only to what lies on them, where another place is free.
        elsewhere: more points on the part of a name; None where each has but its one.
    """
    others = cache(elsewhere or _no_more)
    told = told_apart(names, others)
    ground, soft = Ground(items, box, _CLEAR), _in_the_way(items)
    best = _words_in_turn(ground.copy(), items, soft, ends, told, walls, others)
    # Those that fared badly choose first; and what else would be left out crosses arrows and dimensions.
    for kept_off in (soft, ()):
        if best.without or (best.badly and kept_off is soft):
            first = sorted(told, key=lambda name: name[0] not in best.badly)
            again = _words_in_turn(ground.copy(), items, kept_off, ends, first, walls, others)
            best = min(best, again, key=lambda drawn: drawn.rank)
    return best.items


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Words with their leaders, and how well they stand.

    Attributes:
        items: drawn.
        without: words left out.
        badly: words left out, and those whose leader crosses what it should not.
        fault: how badly those stand, in all.
        long: all leaders together, mm.
    """

    items: list[Item]
    without: tuple[str, ...]
    badly: tuple[str, ...]
    fault: int
    long: float

    @property
    def rank(self) -> tuple[int, int, float]:
        """How bad it is: what is left out counts before what is drawn badly, and that before long leaders."""
        return (len(self.without), self.fault, self.long)


def _no_more(_: str) -> tuple[Point, ...]:
    return ()


def _in_the_way(items: Sequence[Item]) -> list[BaseGeometry]:
    """Arrows and dimensions, which leaders keep off where they can."""
    shapes: list[BaseGeometry] = []
    for item in items:
        if isinstance(item, Text) or not (item.role is Role.DIMENSION or item.fill == VERMILLION):
            continue
        for path in item.paths:
            run = [point for each in path.segments if isinstance(each, Line) for point in (each.start, each.end)]
            if len(run) > 1:
                shapes.append(shapely.LineString(run) if item.fill is None else shapely.Polygon(run))
    return shapes


def _words_in_turn(
    ground: Ground,
    items: Sequence[Item],
    soft: Sequence[BaseGeometry],
    ends: Sequence[tuple[str, Point]],
    names: Sequence[tuple[str, Point]],
    walls: Sequence[BaseGeometry],
    elsewhere: Callable[[str], Sequence[Point]],
) -> _Drawn:
    """Each word on the free ground that those before it leave."""
    added: list[Item] = []
    without: list[str] = []
    badly: list[str] = []
    long, fault = 0.0, 0
    # No leader runs through what is written there already.
    lines: list[BaseGeometry] = [shapely.box(*bounds(item)) for item in items if isinstance(item, Text)]
    for word, at in ends:
        wide, high, below = _size_of(word, END_SIZE)
        # The ends are told outside the boat, never in a gap of the drawing.
        found = ground.nearest(at, (wide, high), _LONGEST, [], outside=True)
        if found is None:
            without.append(word)
            continue
        lines.append(_written(added, ground, word, found, (wide, high, below), END_SIZE))
    spots = dict(enumerate(at for _, at in names))
    for number, (word, at) in enumerate(names):
        size = _size_of(word, NAME_SIZE)
        others = [spot for k, spot in spots.items() if k != number]
        way = _best(ground, at, size[:2], lines, soft, others, walls, partial(elsewhere, word))
        if way is None:
            without.append(word)
            continue
        if way.fault:
            badly.append(word)
        fault += way.fault
        long += way.long
        spots[number] = way.spot
        x, y = way.corner
        own = shapely.box(x, y, x + size[0], y + size[1])
        near = shapely.shortest_line(own, shapely.Point(way.spot))
        start = _off(near, way.spot)
        added.append(Shape(Role.DIMENSION, (line(start, way.spot),), ref=f"leader {word}", width=0.18))
        added.append(Shape(Role.FILL, (circle(way.spot, _DOT),), fill="#000000", stroke="none", ref=f"dot {word}"))
        lines.append(near)
        ground.take_line(start, way.spot)
        lines.append(_written(added, ground, word, way.corner, size, NAME_SIZE))
    return _Drawn(added, tuple(without), (*without, *badly), fault, long)


def _best(
    ground: Ground,
    at: Point,
    size: tuple[float, float],
    lines: Sequence[BaseGeometry],
    soft: Sequence[BaseGeometry],
    others: Sequence[Point],
    walls: Sequence[BaseGeometry],
    elsewhere: Callable[[], Sequence[Point]],
) -> _Way | None:
    """Where a word stands best: its own point first, then others of its part, then with less kept clear of."""
    written, kept = np.array(lines, dtype=object), np.array(soft, dtype=object)

    @cache
    def off_soft(spot: Point) -> list[float]:
        return _distances(kept, spot)

    def way(spot: Point, kept_off: Sequence[BaseGeometry], longest: float = _LONGEST) -> _Way | None:
        found = ground.nearest(spot, size, longest, [*lines, *kept_off], outside=False)
        if found is None:
            return None
        aside = [max(low - at, at - low - long, 0.0) for low, at, long in zip(found, spot, size, strict=True)]
        return _Way(found, spot, math.hypot(*aside))

    def apart(spot: Point) -> list[BaseGeometry]:
        point = shapely.Point(spot)
        dots = [_around(other) for other in others if math.dist(other, spot) > _CLEAR]
        return [*dots, *(wall for wall in walls if wall.distance(point) > 0.0)]

    def clear_of(spot: Point) -> list[BaseGeometry]:
        # What is named may be an arrow or lie on a dimension itself.
        return [each for each, off in zip(soft, off_soft(spot), strict=True) if off > 0.0]

    def free(spot: Point) -> bool:
        return (
            nearest_of(spot, others) >= DOTS_APART
            and all(off > _POINT for off in _distances(written, spot))
            and all(off > _DOT for off in off_soft(spot))
        )

    first = way(at, [*apart(at), *clear_of(at)], _ROUND_ABOUT) if free(at) else None
    if first is not None:
        return first
    found: list[_Way] = []
    for spot in elsewhere():
        other = way(spot, [*apart(spot), *clear_of(spot)], _ROUND_ABOUT) if free(spot) else None
        if other is not None:
            found.append(other)
            if other.long < _SHORT:
                break
    if found:
        return min(found, key=lambda each: each.long)
    for fault, kept_off in ((1, [*apart(at), *clear_of(at)]), (2, apart(at)), (5, [])):
        if (last := way(at, kept_off)) is not None:
            return replace(last, fault=fault)
    return None


def _distances(shapes: NDArray[np.object_], spot: Point) -> list[float]:
    found: list[float] = np.atleast_1d(shapely.distance(shapes, shapely.Point(spot))).tolist()
    return found


@lru_cache(maxsize=512)
def _around(dot: Point) -> BaseGeometry:
    """What a leader to another place keeps clear of."""
    return shapely.buffer(shapely.Point(dot), _POINT)


def _size_of(word: str, size: float) -> tuple[float, float, float]:
    """How wide and high a word is, and how far it reaches below its line, mm."""
    x0, y0, x1, y1 = bounds(Text(Role.LABEL, (0.0, 0.0), word, size, bold=word in _ENDS))
    return (x1 - x0, y1 - y0, y0)


def _off(near: shapely.LineString, spot: Point) -> Point:
    """The start of a leader, a little off its word where it is long enough."""
    foot = shapely.get_coordinates(near)[0]
    share = min(_OFF / near.length, 0.25) if near.length > 0.0 else 0.0
    x, y = (foot + share * (np.array(spot) - foot)).tolist()
    return (round(x, 3), round(y, 3))


def _written(
    added: list[Item], ground: Ground, word: str, corner: Point, size: tuple[float, float, float], letters: float
) -> BaseGeometry:
    """Set a word down and count it as drawn; gives its box."""
    (x, y), (wide, high, below) = corner, size
    added.append(Text(Role.LABEL, (x, y - below), word, letters, bold=word in _ENDS))
    # Two names on one line are not to read as one.
    ground.take_box((x - _APART, y, x + wide + _APART, y + high))
    return shapely.box(x, y, x + wide, y + high)
