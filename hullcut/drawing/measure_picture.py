"""The drawing of a part on the pages of measures: its outline, its base line and its numbered points."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.font import ascent, descent, text_width
from hullcut.drawing.furniture import words
from hullcut.drawing.measure_tables import READ
from hullcut.drawing.paths import bounds_of, circle, line, polygon, polyline, transform
from hullcut.drawing.scene import Item, Role, Shape, Text
from hullcut.drawing.smooth import smooth_path

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.parts.measures import Measures
    from hullcut.parts.values import Part, Point

__all__ = ["part_picture", "picture_height"]

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]

# Room for numbers beside the outline, left and right together, and above and below together, mm.
_BESIDE, _ROUND = 16.0, 18.0
_LEAST_ROUND = 12.0
# Places of a number's middle: degrees off the way straight out of the wood, and mm from its point.
_TURNS = (0.0, 25.0, -25.0, 50.0, -50.0, 75.0, -75.0, 100.0, -100.0, 130.0, -130.0, 160.0, -160.0)
_REACHES = (2.2, 3.2, 4.6, 6.2, 8.2, 10.5, 13.0)
# What a place costs: each mm of reach, each degree of turn, standing on the wood.
_TURN_COST, _ON_WOOD = 0.03, 16.0
# Numbers nearer than this side by side could be read as one, mm.
_APART = 1.6
# A number that stands farther from its point than this has a leader, which ends so far short of it, mm.
_NEAR, _SHORT = 1.9, 0.5
# Height of a figure, as a share of its em size.
_DIGIT = 0.73
# Half the length of outline that tells which way is out of the wood at a point, mm.
_SPAN = 1.2


def picture_height(part: Part, width: float) -> float:
    """How high a part's drawing stands on a page so wide, numbers and all, if height is no matter."""
    length, breadth = _size(part)
    return breadth * min((width - _BESIDE) / length, 1.0) + _LEAST_ROUND


def _size(part: Part) -> tuple[float, float]:
    points = np.array(part.outline)
    return float(np.ptp(points[:, 0])), float(np.ptp(points[:, 1]))


def part_picture(
    part: Part, found: Measures, numbers: Sequence[tuple[Point, int]], width: float, most: float
) -> tuple[list[Item], float]:
    """The outline with base line, ordinates and numbered points, below and right of 0, 0; and its height.

    Args:
        part: what to draw, as it is cut.
        found: its measures.
        numbers: points of the measures, each with its number.
        width: of the page.
        most: how high the drawing may stand.
    """
    length, breadth = _size(part)
    scale = min((width - _BESIDE) / length, (most - _ROUND) / breadth, 1.0)
    left = (width - length * scale) / 2.0

    def drawn(points: Sequence[Point]) -> list[Point]:
        return [(left + x * scale, y * scale) for x, y in points]

    def at(point: Point) -> Point:
        return drawn([(point[0] + found.origin[0], point[1] + found.origin[1])])[0]

    def ring(points: Sequence[Point], role: Role, ref: str = "") -> Shape:
        own = drawn(points)
        return Shape(role, (smooth_path(own) if len(own) > 12 else polygon(own),), ref=ref)

    inner = [*part.holes, *(mark.points[:-1] for mark in part.marks if mark.kind == "slot")]
    items: list[Item] = [ring(hole, Role.INNER_CUT) for hole in part.holes]
    # A slot goes through the wood, but is sawn only later: it looks neither like an edge nor like a print.
    items += [ring(mark.points[:-1], Role.HOLE) for mark in part.marks if mark.kind == "slot"]
    base = [at((-found.origin[0] - 4.0 / scale, 0.0)), at((length - found.origin[0] + 4.0 / scale, 0.0))]
    items.append(Shape(Role.CENTRE, (polyline(base),), ref="base line"))
    middle = [[at((0.0, 0.0)), at((0.0, breadth))]] if found.base == "centre line up" else []
    items += [Shape(Role.CENTRE, (polyline(ends),), ref="middle line") for ends in middle]
    ordinates = [
        (foot, place)
        for place, foot in ((at(point), at((point[0], 0.0))) for point, _ in numbers)
        if abs(place[1] - foot[1]) > 0.5
    ]
    items += [Shape(Role.PAGE, (line(*ends),)) for ends in ordinates]
    items.append(ring(part.outline, Role.OUTLINE, part.id))
    taken: list[Box] = []
    if found.base != "centre line up":
        zero = words((base[0][0] - 1.0, base[0][1] - 0.36 * READ), "0", READ, anchor="end")
        items.append(zero)
        taken.append(_box_of(base[0][0] - 1.0 - 0.5 * text_width("0", READ), base[0][1], text_width("0", READ)))
    lines = [*ordinates, base, *middle, *(drawn([*hole, hole[0]]) for hole in inner)]
    slack = min((most - breadth * scale) / 2.0, _ROUND / 2.0)
    page = (0.0, -slack, width, breadth * scale + slack)
    items += _numbered([(at(point), number) for point, number in numbers], drawn(part.outline), lines, taken, page)
    _, low, _, high = bounds_of(items)
    low, high = min(low, -2.0) - 1.0, max(high, breadth * scale + 2.0) + 1.0
    return [transform(item, dy=-high) for item in items], high - low


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a number may stand: its middle, its box with the font's full height, and its leader if it needs one."""

    x: float
    y: float
    box: Box
    leader: tuple[Point, Point] | None


def _box_of(x: float, y: float, wide: float) -> Box:
    """The box of a number round its middle, as high as the font."""
    foot = y - 0.36 * READ
    return (x - wide / 2.0, foot - descent(READ), x + wide / 2.0, foot + ascent(READ))


def _numbered(
    points: Sequence[tuple[Point, int]],
    outline: Sequence[Point],
    lines: Sequence[Sequence[Point]],
    taken: list[Box],
    page: Box,
) -> list[Item]:
    """A dot at each point and its number out of the wood where it can be, with a leader where it stands far off.

    Args:
        points: each with its number.
        outline: of the part, counter-clockwise.
        lines: that a number keeps clear of.
        taken: boxes of other words.
        page: the room there is.
    """
    wood = shapely.Polygon(outline)
    spots = np.array([at for at, _ in points])
    wide = np.array([text_width(str(number), READ) for _, number in points])
    middles = _middles(spots, _outward(wood, spots), wide)
    half = np.stack(
        [np.broadcast_to(wide[:, None] / 2.0, middles.shape[:2]), np.full(middles.shape[:2], _DIGIT / 2.0 * READ)]
    )
    digits = shapely.box(
        middles[..., 0] - half[0] - 0.4, middles[..., 1] - half[1] - 0.4,
        middles[..., 0] + half[0] + 0.4, middles[..., 1] + half[1] + 0.4,
    )  # fmt: skip
    dots = [[(x - 0.5, y), (x + 0.5, y)] for x, y in spots.tolist()]
    marks = shapely.MultiLineString([*lines, [*outline, outline[0]], *dots])
    shapely.prepare(marks)
    shapely.prepare(wood)
    # Its own dot is one of the marks, but no place is so near that it is touched.
    crossed = shapely.intersects(marks, digits)
    on_wood = shapely.intersects(wood, digits)
    cost = _COSTS[None, :] + np.where(on_wood, _ON_WOOD, 0.0) + np.where(crossed, 100.0, 0.0)
    items: list[Item] = [Shape(Role.OUTLINE, tuple(circle(at, 0.45) for at, _ in points), fill="#000000", width=0.1)]
    leaders: list[tuple[Point, Point]] = []
    for index, (at, number) in enumerate(points):
        order = np.argsort(cost[index], kind="stable").tolist()
        places = (_place(at, middles[index, each], float(wide[index])) for each in order)
        free = (place for place in places if _inside(place.box, page) and _is_free(place, taken, leaders))
        place = next(free, None)
        if place is None:
            place = _place(at, middles[index, order[0]], float(wide[index]))
        taken.append(place.box)
        if place.leader is not None:
            leaders.append(place.leader)
            items.append(Shape(Role.THIN, (line(*place.leader),), width=0.15))
        items.append(Text(Role.LABEL, (place.x, place.y - 0.36 * READ), str(number), READ, anchor="middle"))
    return items


def _outward(wood: shapely.Polygon, spots: Array) -> Array:
    """Unit vectors (n, 2) out of the wood at points near its edge; at a corner halfway between its two sides."""
    ring = shapely.LinearRing(wood.exterior.coords if wood.exterior.is_ccw else wood.exterior.coords[::-1])
    along = shapely.line_locate_point(ring, shapely.points(spots))
    ends = [
        shapely.get_coordinates(shapely.line_interpolate_point(ring, np.mod(along + by, ring.length)))
        for by in (-_SPAN, _SPAN)
    ]
    chord = ends[1] - ends[0]
    out = np.column_stack([chord[:, 1], -chord[:, 0]])
    unit: Array = out / np.maximum(np.linalg.norm(out, axis=1), 1e-9)[:, None]
    return unit


def _middles(spots: Array, out: Array, wide: Array) -> Array:
    """Middles (n, places, 2) of every place that is tried for each number."""
    turns, reaches = (each.ravel() for each in np.meshgrid(np.radians(_TURNS), _REACHES, indexing="ij"))
    c, s = np.cos(turns)[None, :], np.sin(turns)[None, :]
    way = np.stack([c * out[:, :1] - s * out[:, 1:], s * out[:, :1] + c * out[:, 1:]], axis=-1)
    found: Array = spots[:, None, :] + way * reaches[None, :, None]
    # A wide number beside its point begins as far from it as one above it does.
    found[..., 0] += way[..., 0] * (wide[:, None] / 2.0 - 0.5)
    return found


_COSTS = np.array([reach + _TURN_COST * abs(turn) for turn in _TURNS for reach in _REACHES])


def _place(at: Point, middle: Array, wide: float) -> _Place:
    x, y = middle.tolist()
    box = _box_of(x, y, wide)
    low, high = y - _DIGIT / 2.0 * READ - _SHORT, y + _DIGIT / 2.0 * READ + _SHORT
    near = (min(max(at[0], box[0] - _SHORT), box[2] + _SHORT), min(max(at[1], low), high))
    far = hypot(near[0] - at[0], near[1] - at[1]) > _NEAR
    return _Place(x, y, box, (at, near) if far else None)


def _inside(box: Box, page: Box) -> bool:
    return box[0] >= page[0] and box[1] >= page[1] and box[2] <= page[2] and box[3] <= page[3]


def _is_free(place: _Place, taken: Sequence[Box], leaders: Sequence[tuple[Point, Point]]) -> bool:
    x0, y0, x1, y1 = place.box
    x0, x1 = x0 - _APART, x1 + _APART
    if any(x0 < b[2] and x1 > b[0] and y0 < b[3] and y1 > b[1] for b in taken):
        return False
    if place.leader is not None and any(_crosses(place.leader, box) for box in taken):
        return False
    return not any(_crosses(leader, place.box) for leader in leaders)


def _crosses(leader: tuple[Point, Point], box: Box) -> bool:
    """Whether a short line meets the figures in a box as high as the font, looked at every millimetre or so."""
    foot, head = box[1] + descent(READ), box[3] - ascent(READ) + _DIGIT * READ
    (x0, y0), (x1, y1) = leader
    count = int(hypot(x1 - x0, y1 - y0)) + 2
    for step in range(count + 1):
        x, y = x0 + (x1 - x0) * step / count, y0 + (y1 - y0) * step / count
        if box[0] < x < box[2] and foot < y < head:
            return True
    return False
