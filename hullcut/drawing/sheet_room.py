"""Room for words and numbers on a cutting plan, and at its rim with a leader where there is none on the wood."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely

from hullcut.drawing import font
from hullcut.drawing.paths import bounds, circle, polyline
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.style import BLACK, VERMILLION

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = [
    "Called",
    "Clutter",
    "Room",
    "beside",
    "called_out",
    "leader_items",
    "number_items",
    "ring_radius",
    "spread",
    "under_rim",
]

_DOT = 0.12


class Room:
    """Boxes already taken by words and numbers, and leaders to them."""

    def __init__(self) -> None:
        self._taken: list[Box] = []
        self._leaders: list[shapely.LineString] = []

    def free(self, box: Box) -> bool:
        """Whether nothing stands in a box, and no leader runs through it."""
        if any(box[2] >= o[0] and box[0] <= o[2] and box[3] >= o[1] and box[1] <= o[3] for o in self._taken):
            return False
        return not (self._leaders and any(leader.intersects(shapely.box(*box)) for leader in self._leaders))

    def take(self, box: Box) -> None:
        """Keep a box."""
        self._taken.append(box)

    def clear(self, leader: shapely.LineString) -> bool:
        """Whether a leader meets no box and no other leader."""
        return not any(leader.intersects(shapely.box(*box)) for box in self._taken) and not any(
            leader.intersects(other) for other in self._leaders
        )

    def take_leader(self, start: Point, end: Point) -> None:
        """Keep a leader."""
        self._leaders.append(shapely.LineString([start, end]))

    def put(self, texts: Sequence[Text]) -> Text | None:
        """The first of the texts whose box is free, and its box taken; None where all are taken."""
        for text in texts:
            box = bounds(text)
            if self.free(box):
                self.take(box)
                return text
        return None


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


def called_out(called: Sequence[Called], box: Box, size: float, right: bool) -> tuple[list[Item], float]:
    """Numbers in rows above a box and, where that is nearer and free, at its right, with leaders; and the rows' top.

    Args:
        called: the numbers.
        box: the wood.
        size: of the figures, mm.
        right: whether the right side is free.
    """
    above: list[tuple[Called, float]] = []
    beside: list[tuple[Called, float]] = []
    for each in called:
        up = min(box[3] - y for _, y in each.anchors)
        out = min(box[2] - x for x, _ in each.anchors)
        if right and out < 0.8 * up:
            beside.append((each, _mean(each, 1)))
        else:
            above.append((each, _mean(each, 0)))
    items, top = _row(above, (box[0], box[2]), box[3], size, False)
    more, _ = _row(beside, (box[1], box[3]), box[2], size, True)
    return [*items, *more], top


def _mean(called: Called, axis: int) -> float:
    return sum(anchor[axis] for anchor in called.anchors) / len(called.anchors)


def _row(
    numbers: list[tuple[Called, float]], reach: tuple[float, float], rim: float, size: float, upright: bool
) -> tuple[list[Item], float]:
    """Numbers along one side in as many rows as they need, and how far out those reach."""
    if not numbers:
        return [], rim
    numbers = _uncrossed(numbers, 0 if upright else 1, 2.0 * size)
    diameters = [2.0 * ring_radius(each.text, size) + 0.35 * size for each, _ in numbers]
    rows = max(1, int(-(-sum(diameters) // (reach[1] - reach[0]))))
    places = spread([want for _, want in numbers], [each / rows for each in diameters], *reach)
    deep = max(diameters)
    items: list[Item] = []
    for index, ((each, _), place, width) in enumerate(zip(numbers, places, diameters, strict=True)):
        along = 1 if upright else 0
        anchor = min(each.anchors, key=lambda point: (abs(point[along] - place), rim - point[1 - along]))
        out = rim + 0.6 * size + deep * (index % rows + 0.5)
        points = (anchor, _at(place, rim + 0.3 * size, upright), _at(place, out - width / 2.0, upright))
        items += [*leader_items(each, points, size), *number_items(each, _at(place, out, upright), size)]
    return items, rim + 0.6 * size + deep * rows


def _uncrossed(numbers: list[tuple[Called, float]], out: int, near: float) -> list[tuple[Called, float]]:
    """Numbers along a side, so that the leaders of those one behind another fan out to both sides without crossing."""
    ordered = sorted(numbers, key=lambda each: (each[1], each[0].text))
    found: list[tuple[Called, float]] = []
    while ordered:
        count = sum(1 for each in ordered if each[1] - ordered[0][1] <= near)
        column = sorted(ordered[:count], key=lambda each: max(anchor[out] for anchor in each[0].anchors))
        found += [*column[0::2], *reversed(column[1::2])]
        ordered = ordered[count:]
    return found


def _at(along: float, out: float, upright: bool) -> Point:
    return (out, along) if upright else (along, out)


class Clutter:
    """Lines that a number beside its cut must stand clear of, and parts that its leader should not run across."""

    def __init__(self, lines: Sequence[shapely.Geometry], areas: Sequence[shapely.Polygon]) -> None:
        self._lines = list(lines)
        self._tree = shapely.STRtree(self._lines)
        self._areas = list(areas)
        self._area_tree = shapely.STRtree(self._areas)

    def clear(self, at: Point, radius: float) -> bool:
        """Whether a disc touches none of the lines."""
        return len(self._tree.query(shapely.Point(at), predicate="dwithin", distance=radius)) == 0

    def across(self, leader: shapely.LineString) -> bool:
        """Whether a leader runs over a part on which it does not begin."""
        start = shapely.Point(leader.coords[0])
        over = self._area_tree.query(leader, predicate="intersects")
        return any(not self._areas[index].intersects(start) for index in over.tolist())

    def along(self, leader: shapely.LineString, radius: float) -> bool:
        """Whether a leader runs along one of the lines, nearly in it, for more than a ring's radius."""
        near = _IN_LINE * radius
        found = self._tree.query(leader, predicate="dwithin", distance=near)
        return any(self._lines[k].buffer(near).intersection(leader).length > radius for k in found.tolist())


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
    """Where the leader of a ring near its cut begins, the ring's place, and whether the leader is clear of all else.

    The nearest from which the leader meets no part, no number and no other leader, square to the cut or straight on
    from its ends, else slanting; where there is none, the nearest from which it meets a part but nothing written, else
    the nearest of all.

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
    otherwise: tuple[Point, Point, bool] | None = None
    for slanting, off, way in itertools.product((False, True), _OFFS, (1.0, -1.0)):
        out = way * off * radius
        if slanting:
            tries = [(anchor, (_SLANT * out, rise * _SLANT * out)) for anchor in anchors[:4] for rise in (1.0, -1.0)]
        else:
            tries = [(anchor, (out, 0.0) if upright else (0.0, out)) for anchor in anchors[:12]]
            tries += [(end, (0.0, out) if upright else (out, 0.0)) for end in ends]
        for anchor, (dx, dy) in tries:
            at = (anchor[0] + dx, anchor[1] + dy)
            box = (at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius)
            inside = box[0] > window[0] and box[1] > window[1] and box[2] < window[2] and box[3] < window[3]
            if inside and room.free(box) and clutter.clear(at, 1.05 * radius):
                leader = shapely.LineString([anchor, at])
                readable = room.clear(leader) and not clutter.along(leader, radius)
                if readable and not clutter.across(leader):
                    return anchor, at, True
                if readable:
                    over_a_part = over_a_part or (anchor, at, False)
                otherwise = otherwise or (anchor, at, False)
    return over_a_part or otherwise


def under_rim(anchors: Sequence[Point], radius: float, window: Box, room: Room, clutter: Clutter) -> tuple[Point, ...]:
    """Those places along a cut near the upper rim from which a leader straight up to it is clear of all else."""
    near = [anchor for anchor in anchors if window[3] - anchor[1] < _OFFS[-1] * radius]
    ups = [(anchor, shapely.LineString([anchor, (anchor[0], window[3])])) for anchor in near]
    return tuple(
        anchor
        for anchor, up in ups
        if up.length > 0.0 and room.clear(up) and not clutter.across(up) and not clutter.along(up, radius)
    )
