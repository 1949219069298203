"""Where things go on a part, from its base line: what lands on it, bolt holes, balance point and waterline."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.lie import end_words, lie_of
from hullcut.parts.measures import reading_step

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.parts.lie import Lie
    from hullcut.parts.measures import Measures
    from hullcut.parts.values import Mark, Part

__all__ = ["Place", "placements"]

Array = NDArray[np.float64]
Span = tuple[float, float]
Row = tuple[Span, Span]
Ends = tuple[tuple[str, str], tuple[str, str]]

# A print that leaves so much of its box's breadth empty slopes or bends, as a share of what a rule reads.
_SLOPES = 0.5
# A print's outline turns a corner where it turns by more than this, once its curves are drawn with straight lines.
_CORNER_DEG, _SIMPLE_MM = 25.0, 0.2
# Corners at one end of a strip; more, and the print is no strip.
_MOST_AT_END = 3
# A print of more corners than this is told by its box.
_MOST_CORNERS = 6
# Things in one row stand no farther off it than this, mm.
_APART_MM = 5.0
# Share of a step by which what should be a half may fall short of it.
_TIE = 1e-3


@dataclass(frozen=True, slots=True)
class Place:
    """One thing's place on a part.

    Attributes:
        name: of the thing.
        face: of the part on which it stands.
        rows: along and off the base line, as written, mm. One row for a point, or from and to for what is square to
            the base line. For what slopes or bends a row for each end and, if it bends, its middle: the first figures
            of both are one edge's corner, the second figures the other's.
        wheres: what each row tells: "left end", "starboard end", "middle", "corner"; "" for the whole thing.
        diameter: of the drill for a hole, mm; None for anything else.
    """

    name: str
    face: Literal["inner", "outer", "both"]
    rows: tuple[Row, ...]
    wheres: tuple[str, ...]
    diameter: float | None = None


def placements(part: Part, found: Measures, units: Literal["in", "mm"]) -> tuple[Place, ...]:
    """Where things go on a part.

    Args:
        part: with its marks.
        found: its measures, for where they begin.
        units: of the design.
    """
    step = reading_step(units)
    lie = lie_of(part)
    # Ends by the axis of the drawing along which a thing is longer.
    ends = (("left end", "right end"), (f"{end_words(lie.foot)} end", f"{end_words(lie.up)} end"))
    placed = [_placed(part, mark, np.array(found.origin), step, ends) for mark in part.marks]
    told = _told_apart([each for each in placed if each is not None], lie)
    return tuple(sorted(told, key=lambda each: each.face == "outer"))


def _placed(part: Part, mark: Mark, origin: Array, step: float, ends: Ends) -> Place | None:
    points = np.array(mark.points) - origin
    if mark.kind == "landing" and len(points) > 3:
        return Place(_name(part, mark), mark.face, *_told(points, step, ends))
    if mark.kind in ("hole", "shaft"):
        return Place(_name(part, mark), mark.face, (_box(points[:1], step),), ("",), mark.diameter)
    if mark.kind in ("balance point", "waterline") and len(points) > 1:
        stops = points[[0, -1]]
        axis = _long_axis(stops)
        rows = [_box(stop[None], step) for stop in stops[np.argsort(stops[:, axis], kind="stable")]]
        return Place(mark.name, mark.face, tuple(rows), ends[axis])
    return None


def _told_apart(placed: Sequence[Place], lie: Lie) -> list[Place]:
    """Things of one name on one face, such as rails fore and aft of two servos, each with the side it stands on."""
    found = list(placed)
    alike: dict[tuple[str, str], list[int]] = {}
    for index, each in enumerate(placed):
        if each.diameter is None:
            alike.setdefault((each.name, each.face), []).append(index)
    ways = ((lie.left, lie.right), (lie.foot, lie.up))
    for group in (group for group in alike.values() if len(group) > 1):
        middles = np.array([_middle_of(placed[index]) for index in group])
        spread = np.ptp(middles, axis=0)
        # The direction in which two stand apart, or both where they stand in rows.
        axes = [int(np.argmax(spread))] if len(group) == 2 else [axis for axis in (0, 1) if spread[axis] > _APART_MM]
        far = middles > (middles.min(axis=0) + middles.max(axis=0)) / 2.0
        words = [", ".join(end_words(ways[axis][int(row[axis])]) for axis in axes) for row in far]
        if len(set(words)) == len(group):
            for index, where in zip(group, words, strict=True):
                found[index] = replace(placed[index], name=f"{placed[index].name}, {where}")
    return found


def _middle_of(place: Place) -> tuple[float, float]:
    """The middle of all that is told of a place, along and off the base line."""
    along, off = np.array(place.rows).mean(axis=(0, 2)).tolist()
    return float(along), float(off)


def _name(part: Part, mark: Mark) -> str:
    """A thing's name; its hand goes without saying on a part that has one too."""
    name = mark.name.split(":")[0]
    return name.removesuffix(f", {part.hand}") if part.hand else name


def _written(value: float, step: float) -> float:
    """To the nearest step; halves away from the base line on both sides of it, so that what is even stays even."""
    return math.copysign(math.floor(abs(value) / step + 0.5 + _TIE), value) * step + 0.0


def _box(points: Array, step: float) -> tuple[Span, Span]:
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return ((_written(x0, step), _written(x1, step)), (_written(y0, step), _written(y1, step)))


def _pair(a: Array, b: Array, step: float) -> Row:
    """Two corners as a row: one's figures first, then the other's."""
    (x0, y0), (x1, y1) = a.tolist(), b.tolist()
    return ((_written(x0, step), _written(x1, step)), (_written(y0, step), _written(y1, step)))


def _long_axis(points: Array) -> int:
    width, height = np.ptp(points, axis=0).tolist()
    return 0 if width >= height else 1


def _told(ring: Array, step: float, end_names: Ends) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """The rows of a print and what they tell: its box, its corners, or its ends and its middle."""
    area = shapely.Polygon(ring)
    size = np.ptp(ring, axis=0)
    whole = ((_box(ring, step),), ("",))
    if size.min() - area.area / size.max() <= _SLOPES * step:
        return whole
    outline = shapely.get_coordinates(area.exterior.simplify(_SIMPLE_MM))[:-1]
    corners = _corners(outline)
    ends = _ends(outline, corners) if len(corners) > 3 else None
    if ends is None and not 3 <= len(corners) <= _MOST_CORNERS:
        return whole
    if ends is None:
        return tuple(_box(outline[[each]], step) for each in corners), ("corner",) * len(corners)
    (a0, a1), (b0, b1) = ends
    # The outline runs along one edge from the last corner of an end to the first of the other, and back on the other.
    edges = [_between(outline, a1, b0), _between(outline, b1, a0)[::-1]]
    axis = _long_axis(np.array([outline[[a0, a1]].mean(axis=0), outline[[b0, b1]].mean(axis=0)]))
    edges.sort(key=lambda edge: float(edge[[0, -1], 1 - axis].sum()))
    if edges[0][0, axis] + edges[1][0, axis] > edges[0][-1, axis] + edges[1][-1, axis]:
        edges = [edge[::-1] for edge in edges]
    first, last = (_pair(edges[0][at], edges[1][at], step) for at in (0, -1))
    middle = _middle(edges, axis, step)
    names = end_names[axis]
    if middle is None:
        return (first, last), names
    return (first, middle, last), (names[0], "middle", names[1])


def _corners(outline: Array) -> list[int]:
    """Indices of the points at which an outline turns a corner; none where it turns both ways, as at a notch."""
    steps = np.roll(outline, -1, axis=0) - outline
    heading = np.arctan2(steps[:, 1], steps[:, 0])
    turn = np.angle(np.exp(1j * (heading - np.roll(heading, 1))))
    found = np.flatnonzero(np.abs(turn) > np.radians(_CORNER_DEG))
    return [] if len(set(np.sign(turn[found]).tolist())) > 1 else found.tolist()


def _ends(outline: Array, corners: Sequence[int]) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """The first and last corner of each end of a strip, in the outline's order; None where it is no strip."""
    if len(corners) == 4:
        # The two shorter of its sides that lie opposite are its ends.
        sides = [float(np.linalg.norm(outline[corners[(i + 1) % 4]] - outline[corners[i]])) for i in range(4)]
        i = 0 if sides[0] + sides[2] <= sides[1] + sides[3] else 1
        return (corners[i], corners[i + 1]), (corners[i + 2], corners[(i + 3) % 4])
    axis = _long_axis(outline)
    place = outline[list(corners), axis] if corners else np.zeros(0)
    far = place > (outline[:, axis].min() + outline[:, axis].max()) / 2.0
    starts = np.flatnonzero(far != np.roll(far, 1)).tolist()
    if len(starts) != 2:
        return None
    runs = [(starts[0], starts[1] - 1), (starts[1], (starts[0] - 1) % len(corners))]
    counts = [starts[1] - starts[0], len(corners) - starts[1] + starts[0]]
    if max(counts) > _MOST_AT_END:
        return None
    (a, b), (c, d) = [(corners[first], corners[last]) for first, last in runs]
    return (a, b), (c, d)


def _between(outline: Array, start: int, stop: int) -> Array:
    """An outline's points from one to another, in its order round."""
    count = (stop - start) % len(outline)
    return outline[(start + np.arange(count + 1)) % len(outline)]


def _middle(edges: Sequence[Array], axis: int, step: float) -> Row | None:
    """Both edges of a strip half-way along it, where straight lines between its ends would miss one of them."""
    stray = max(
        float(shapely.distance(shapely.points(edge), shapely.LineString(edge[[0, -1]])).max()) for edge in edges
    )
    if stray <= step:
        return None
    at = _written(float(np.mean([edge[[0, -1], axis].mean() for edge in edges])), step)
    points = []
    for edge in edges:
        ordered = edge[np.argsort(edge[:, axis], kind="stable")]
        off = float(np.interp(at, ordered[:, axis], ordered[:, 1 - axis]))
        points.append(np.array([at, off] if axis == 0 else [off, at]))
    return _pair(points[0], points[1], step)
