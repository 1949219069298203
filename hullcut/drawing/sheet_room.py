"""Room for words and numbers on a cutting plan, and at its rim with a leader where there is none on the wood."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely

from hullcut.drawing import font
from hullcut.drawing.paths import bounds, circle, polyline
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.style import BLACK, VERMILLION

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = [
    "HIDDEN_SHARE",
    "Called",
    "Clutter",
    "Pulled",
    "Room",
    "beside",
    "called_out",
    "disc_box",
    "leader_items",
    "number_items",
    "pulled",
    "ring_radius",
    "spread",
    "under_rim",
]

HIDDEN_SHARE = 0.1
"""Of a small part a ring may hide no more than this share."""
_DOT = 0.12


class Room:
    """Boxes already taken by words and numbers, and leaders to them."""

    def __init__(self) -> None:
        self._taken: list[Box] = []
        # The box of each and its ends.
        self._leaders: list[tuple[Box, Box]] = []

    def free(self, box: Box) -> bool:
        """Whether nothing stands in a box, and no leader runs through it."""
        x0, y0, x1, y1 = box
        for a0, b0, a1, b1 in self._taken:
            if x1 >= a0 and x0 <= a1 and y1 >= b0 and y0 <= b1:
                return False
        return all(
            x1 < a0 or x0 > a1 or y1 < b0 or y0 > b1 or not _meets_box(leader, box)
            for (a0, b0, a1, b1), leader in self._leaders
        )

    def take(self, box: Box) -> None:
        """Keep a box."""
        self._taken.append(box)

    def clear(self, start: Point, end: Point) -> bool:
        """Whether a leader meets no box and no other leader."""
        leader = (*start, *end)
        x0, y0, x1, y1 = _box_of(leader)
        for box in self._taken:
            if x1 >= box[0] and x0 <= box[2] and y1 >= box[1] and y0 <= box[3] and _meets_box(leader, box):
                return False
        return all(
            x1 < a0 or x0 > a1 or y1 < b0 or y0 > b1 or not _meet(leader, other)
            for (a0, b0, a1, b1), other in self._leaders
        )

    def take_leader(self, start: Point, end: Point) -> None:
        """Keep a leader."""
        run = (*start, *end)
        self._leaders.append((_box_of(run), run))

    def put(self, texts: Sequence[Text]) -> Text | None:
        """The first of the texts whose box is free, and its box taken; None where all are taken."""
        for text in texts:
            box = bounds(text)
            if self.free(box):
                self.take(box)
                return text
        return None


def _box_of(run: Box) -> Box:
    return (min(run[0], run[2]), min(run[1], run[3]), max(run[0], run[2]), max(run[1], run[3]))


def _meets_box(run: Box, box: Box) -> bool:
    """Whether a straight run from one point to another, x, y, x, y, meets a box."""
    x, y, dx, dy = run[0], run[1], run[2] - run[0], run[3] - run[1]
    first, last = 0.0, 1.0
    for at, step, low, high in ((x, dx, box[0], box[2]), (y, dy, box[1], box[3])):
        if step == 0.0:
            if not low <= at <= high:
                return False
            continue
        near, far = sorted(((low - at) / step, (high - at) / step))
        first, last = max(first, near), min(last, far)
    return first <= last


def _meet(a: Box, b: Box) -> bool:
    """Whether two straight runs whose boxes meet do so too; of two in one line, whether they overlap."""
    return _parted(a, b) <= 0.0 and _parted(b, a) <= 0.0


def _parted(a: Box, b: Box) -> float:
    """Positive where both ends of one run lie on the same side of the other's line."""
    dx, dy = a[2] - a[0], a[3] - a[1]
    return (dx * (b[1] - a[1]) - dy * (b[0] - a[0])) * (dx * (b[3] - a[1]) - dy * (b[2] - a[0]))


@dataclass(frozen=True, slots=True)
class Called:
    """A number that found no room where it belongs.

    Attributes:
        text: the number.
        anchors: where its leader may begin.
        role: of a cut's number, in a ring, or of a part's, without.
        ref: what it stands for.
    """

    text: str
    anchors: tuple[Point, ...]
    role: Role
    ref: str


def ring_radius(text: str, size: float) -> float:
    """Radius of the ring about a number."""
    return 0.62 * max(size, font.text_width(text, size, True))


def number_items(called: Called, at: Point, size: float) -> list[Item]:
    """A number about a point: a cut's on a white disc in a ring, a part's alone."""
    x, y = at
    text = Text(called.role, (x, y - 0.36 * size), called.text, size, anchor="middle", ref=called.ref, bold=True)
    if called.role is not Role.SAW:
        return [text]
    radius = ring_radius(called.text, size)
    ring = Shape(Role.DIMENSION, (circle(at, radius),), called.ref, "#ffffff", VERMILLION, 0.25)
    return [ring, Text(Role.SAW, text.at, text.text, size, anchor="middle", bold=True, colour="#8a3c00")]


def leader_items(called: Called, points: Sequence[Point], size: float) -> list[Item]:
    """A thin line from a dot on what a number belongs to, the first of the points, to the number."""
    # Black also for a cut's number: in the cuts' colour it would be taken for one.
    dot = circle(points[0], _DOT * size)
    return [
        Shape(Role.DIMENSION, (polyline(points),), called.ref, None, BLACK, 0.15),
        Shape(Role.DIMENSION, (dot,), called.ref, BLACK, BLACK, 0.15),
    ]


def spread(wanted: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float]:
    """Places in order, each as near as may be to where it is wanted, so that widths do not overlap.

    Args:
        wanted: middles, in the order in which they are to stand.
        widths: room that each takes.
        low: where the first may begin; where they do not fit, they reach past both.
        high: where the last may end.
    """
    over = sum(widths) - (high - low)
    if over > 0.0:
        low, high = low - over / 2.0, high + over / 2.0
    # Neighbours that would touch are joined into a group that stands about the mean of its wishes.
    groups: list[tuple[float, float, int]] = []  # start, width, members
    first = 0
    for want, width in zip(wanted, widths, strict=True):
        start, total, members = want - width / 2.0, width, 1
        while True:
            start = min(max(start, low), high - total)
            if not groups or groups[-1][0] + groups[-1][1] <= start + 1e-9:
                break
            before = groups.pop()
            joined = before[2] + members
            start = (before[0] * before[2] + (start - before[1]) * members) / joined
            total, members = before[1] + total, joined
        groups.append((start, total, members))
    places: list[float] = []
    for start, _, members in groups:
        at = start
        for width in widths[first : first + members]:
            places.append(at + width / 2.0)
            at += width
        first += members
    return places


@dataclass(frozen=True, slots=True)
class Pulled:
    """A number that stands at the rim of the wood, and the straight run of its leader from there to what it is of.

    Attributes:
        called: the number.
        anchor: where the leader begins, on the wood.
        foot: where it leaves the wood.
        clear: whether it runs through no number and no other leader.
        across: whether it runs over a part on which it does not begin.
    """

    called: Called
    anchor: Point
    foot: Point
    clear: bool
    across: bool


def pulled(called: Called, anchors: Sequence[Point], box: Box, right: bool, room: Room, clutter: Clutter) -> Pulled:
    """The way of a number's leader straight up to the rim of a box, or to its right.

    The shortest that runs over nothing is best, then the shortest that runs over parts alone, else any.

    Args:
        called: the number.
        anchors: where the leader may begin.
        box: the wood.
        right: whether the right side is free.
        room: taken already.
        clutter: outlines and cuts.
    """
    ways = [(anchor, (anchor[0], box[3])) for anchor in anchors]
    if right:
        ways += [(anchor, (box[2], anchor[1])) for anchor in anchors]
    best: tuple[tuple[bool, bool, float], Point, Point] | None = None
    for anchor, foot in ways:
        crossed = not room.clear(anchor, foot)
        length = math.dist(anchor, foot)
        if best is not None and (crossed, False, length) >= best[0]:
            continue
        rank = (crossed, clutter.across(shapely.LineString([anchor, foot])), length)
        if best is None or rank < best[0]:
            best = (rank, anchor, foot)
    assert best is not None
    (crossed, across, _), anchor, foot = best
    return Pulled(called, anchor, foot, not crossed, across)


def called_out(numbers: Sequence[Pulled], box: Box, size: float) -> tuple[list[Item], float]:
    """Numbers in rows above a box and at its right, each at the end of its leader; and the top of the rows above.

    Args:
        numbers: each with the place where its leader leaves the box.
        box: the wood.
        size: of the figures, mm.
    """
    above = [each for each in numbers if each.foot[1] >= box[3]]
    beside = [each for each in numbers if each.foot[1] < box[3]]
    items, top = _row(above, (box[0], box[2]), box[3], size, False)
    more, _ = _row(beside, (box[1], box[3]), box[2], size, True)
    return [*items, *more], top


def _row(
    numbers: Sequence[Pulled], reach: tuple[float, float], rim: float, size: float, upright: bool
) -> tuple[list[Item], float]:
    """Numbers along one side in as many rows as they need, and how far out those reach.

    They stand in the order in which their leaders leave the wood, so that these never cross.
    """
    if not numbers:
        return [], rim
    along = 1 if upright else 0
    numbers = sorted(numbers, key=lambda each: (each.foot[along], each.called.text))
    diameters = [2.0 * ring_radius(each.called.text, size) + 0.35 * size for each in numbers]
    rows = max(1, int(-(-sum(diameters) // (reach[1] - reach[0]))))
    places = spread([each.foot[along] for each in numbers], [each / rows for each in diameters], *reach)
    moved = max(abs(place - each.foot[along]) for place, each in zip(places, numbers, strict=True))
    # Where numbers step aside, their leaders slant on a strip outside the wood, the higher the farther they step.
    slant = 0.0 if moved < 0.05 * size else max(0.6 * size, min(0.25 * moved, 2.0 * size))
    deep, first = max(diameters), rim + slant + 0.5 * size
    items: list[Item] = []
    for index, (each, place, width) in enumerate(zip(numbers, places, diameters, strict=True)):
        out = first + deep * (index % rows + 0.5)
        bend = _at(place, rim + slant + 0.2 * size, upright)
        points = (each.anchor, each.foot, bend, _at(place, out - width / 2.0 + 0.175 * size, upright))
        items += [*leader_items(each.called, points, size), *number_items(each.called, _at(place, out, upright), size)]
    return items, first + deep * rows


def _at(along: float, out: float, upright: bool) -> Point:
    return (out, along) if upright else (along, out)


class Clutter:
    """Lines that a number beside its cut must stand clear of, and parts that its leader should not run across."""

    def __init__(self, lines: Sequence[BaseGeometry], areas: Sequence[shapely.Polygon]) -> None:
        self._lines = list(lines)
        self._tree = shapely.STRtree(self._lines)
        self._areas = list(areas)
        self._area_tree = shapely.STRtree(self._areas)
        self._wide: dict[tuple[int, float], BaseGeometry] = {}

    def clear(self, places: Sequence[Point], radius: float) -> set[int]:
        """Those places, by their order, on which a disc touches none of the lines."""
        near = self._tree.query(shapely.points(places), predicate="dwithin", distance=radius)
        return set(range(len(places))).difference(near[0].tolist())

    def on_a_part(self, at: Point) -> bool:
        """Whether a place lies on a part."""
        return len(self._area_tree.query(shapely.Point(at), predicate="intersects")) > 0

    def hides(self, at: Point, radius: float) -> bool:
        """Whether a ring that stands wholly within a part hides too much of it."""
        least = (2.0 * radius) ** 2 / HIDDEN_SHARE
        for index in self._area_tree.query(shapely.Point(at), predicate="intersects").tolist():
            x0, y0, x1, y1 = self._areas[index].bounds
            if (x1 - x0) * (y1 - y0) < least:
                return True
        return False

    def across(self, leader: shapely.LineString) -> bool:
        """Whether a leader runs over a part on which it does not begin."""
        start = shapely.Point(leader.coords[0])
        over = self._area_tree.query(leader, predicate="intersects")
        return any(not self._areas[index].intersects(start) for index in over.tolist())

    def along(self, leader: shapely.LineString, radius: float) -> bool:
        """Whether a leader runs along one of the lines, nearly in it, for more than a ring's radius."""
        near = _IN_LINE * radius
        found = self._tree.query(leader, predicate="dwithin", distance=near)
        return any(self._widened(k, near).intersection(leader).length > radius for k in found.tolist())

    def _widened(self, index: int, near: float) -> BaseGeometry:
        """A line as wide as what reads as that line; each is made once, for many leaders are tried beside it."""
        key = (index, near)
        if key not in self._wide:
            self._wide[key] = self._lines[index].buffer(near, quad_segs=2)
        return self._wide[key]


# Nearer to a line than this, in a ring's radius, a leader reads as that line.
_IN_LINE = 0.2
# How far from its cut a ring may stand, in its radii; and the share of that by which a slanting leader goes each way.
_OFFS = (1.3, 2.2, 3.2, 4.5, 6.0, 8.0, 10.0)
_SLANT = 0.7


def beside(
    anchors: Sequence[Point],
    ends: Sequence[Point],
    upright: bool,
    radius: float,
    window: Box,
    room: Room,
    clutter: Clutter,
) -> tuple[Point, Point, bool] | None:
    """Where the leader of a number near its cut begins, the number's place, and whether the leader is clear of parts.

    The nearest from which the leader meets no part, no number and no other leader, square to the cut or straight on
    from its ends, else slanting; where there is none, the nearest from which it meets a part but nothing written. A
    leader that would meet something written is none at all.

    Args:
        anchors: places along the cut where a leader may begin.
        ends: of the cut.
        upright: whether the cut is.
        radius: of the ring.
        window: what is drawn of the sheet.
        room: taken already.
        clutter: outlines and cuts.
    """
    over_a_part: tuple[Point, Point, bool] | None = None
    for slanting, off, way in itertools.product((False, True), _OFFS, (1.0, -1.0)):
        out = way * off * radius
        if slanting:
            tries = [(anchor, (_SLANT * out, rise * _SLANT * out)) for anchor in anchors[:4] for rise in (1.0, -1.0)]
        else:
            tries = [(anchor, (out, 0.0) if upright else (0.0, out)) for anchor in anchors[:12]]
            tries += [(end, (0.0, out) if upright else (out, 0.0)) for end in ends]
        runs = [(anchor, (anchor[0] + dx, anchor[1] + dy)) for anchor, (dx, dy) in tries]
        runs = [run for run in runs if _inside(run[1], radius, window) and room.free(disc_box(run[1], radius))]
        if not runs:
            continue
        fit = clutter.clear([at for _, at in runs], 1.05 * radius)
        for anchor, at in (run for index, run in enumerate(runs) if index in fit):
            if not room.clear(anchor, at) or clutter.hides(at, radius):
                continue
            leader = shapely.LineString([anchor, at])
            if clutter.along(leader, radius):
                continue
            if not clutter.across(leader):
                return anchor, at, True
            over_a_part = over_a_part or (anchor, at, False)
    return over_a_part


def _inside(at: Point, radius: float, window: Box) -> bool:
    return (
        window[0] < at[0] - radius
        and window[1] < at[1] - radius
        and at[0] + radius < window[2]
        and at[1] + radius < window[3]
    )


def disc_box(at: Point, radius: float) -> Box:
    """The box of a disc."""
    return (at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius)


def under_rim(anchors: Sequence[Point], radius: float, window: Box, room: Room, clutter: Clutter) -> tuple[Point, ...]:
    """Those places along a cut near the upper rim from which a leader straight up to it is clear of all else."""
    near = [anchor for anchor in anchors if 0.0 < window[3] - anchor[1] < _OFFS[-1] * radius]
    found = []
    for anchor in near:
        if room.clear(anchor, (anchor[0], window[3])):
            up = shapely.LineString([anchor, (anchor[0], window[3])])
            if not clutter.across(up) and not clutter.along(up, radius):
                found.append(anchor)
    return tuple(found)
