"""Room for words and numbers on a cutting plan, and at its rim with a leader where there is none on the wood."""

from __future__ import annotations

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

__all__ = ["Called", "Clutter", "Room", "called_out", "leader_items", "number_items", "ring_radius", "spread"]

_DOT = 0.12


class Room:
    """Boxes already taken by words and numbers."""

    def __init__(self) -> None:
        self._taken: list[Box] = []

    def free(self, box: Box) -> bool:
        """Whether nothing stands in a box."""
        return all(box[2] < o[0] or box[0] > o[2] or box[3] < o[1] or box[1] > o[3] for o in self._taken)

    def take(self, box: Box) -> None:
        """Keep a box."""
        self._taken.append(box)

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
    colour = VERMILLION if called.role is Role.SAW else BLACK
    dot = circle(points[0], _DOT * size)
    return [
        Shape(Role.DIMENSION, (polyline(points),), called.ref, None, colour, 0.15),
        Shape(Role.DIMENSION, (dot,), called.ref, colour, colour, 0.15),
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
    """Lines that a number beside its cut must stand clear of."""

    def __init__(self, lines: Sequence[shapely.Geometry]) -> None:
        self._tree = shapely.STRtree(list(lines))

    def clear(self, at: Point, radius: float) -> bool:
        """Whether a disc touches none of the lines."""
        return len(self._tree.query(shapely.Point(at), predicate="dwithin", distance=radius)) == 0
