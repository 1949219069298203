"""Names in columns at both sides of a picture, joined to what they name by leaders that do not cross."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.paths import circle, line
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.sheet_room import spread

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = ["cross", "leaders", "widest"]

_DOT = 0.6
_WIDTH = 0.18
_RIM = 0.5
_GAP = 4.0
_LINE = 1.45


def leaders(named: Sequence[tuple[str, Point]], box: Box, size: float = 2.5) -> list[Item]:
    """Names beside a picture, each with a leader to its place, mm on paper.

    The names are shared evenly between the sides, those farther left at the left. Each stands as level with its place
    as the others let it; along a side two leaders that would cross change names, which makes both together shorter,
    until none cross.

    Args:
        named: names and places in the picture.
        box: round the picture.
        size: of the letters.
    """
    ordered = sorted(named, key=lambda each: (each[1][0], each[1][1], each[0]))
    half = (len(ordered) + 1) // 2
    items: list[Item] = []
    for side, group in (("left", ordered[:half]), ("right", ordered[half:])):
        items += _column(group, side == "left", box, size)
    return items


def _column(group: Sequence[tuple[str, Point]], left: bool, box: Box, size: float) -> list[Item]:
    x = box[0] - _GAP if left else box[2] + _GAP
    # As near as may be to what is named: level leaders are told apart where steep ones run together.
    heights = spread(sorted(at[1] for _, at in group), [_LINE * size] * len(group), box[1], box[3])
    slots = [(x, height) for height in reversed(heights)]
    placed = _uncrossed(sorted(group, key=lambda each: (-each[1][1], each[1][0], each[0])), slots)
    # A white rim under each, so that it is followed across the drawing's own lines; none cuts another leader.
    items: list[Item] = [
        Shape(Role.THIN, (line(end, at),), stroke="#ffffff", width=_RIM)
        for (_, at), end in zip(placed, slots, strict=True)
    ]
    for (name, at), (end_x, end_y) in zip(placed, slots, strict=True):
        items.append(Shape(Role.DIMENSION, (line((end_x, end_y), at),), ref=f"leader {name}", width=_WIDTH))
        items.append(Shape(Role.FILL, (circle(at, _DOT),), fill="#000000", stroke="#ffffff", width=_WIDTH))
        away = -0.8 if left else 0.8
        items.append(
            Text(Role.LABEL, (end_x + away, end_y - 0.36 * size), name, size, anchor="end" if left else "start")
        )
    return items


def _uncrossed(group: Sequence[tuple[str, Point]], slots: Sequence[Point]) -> list[tuple[str, Point]]:
    """The group in an order in which no two straight leaders to the slots cross."""
    order = list(group)
    # Each change shortens all leaders together, so this ends; the count only guards against rounding.
    for _ in range(len(order) ** 2 + 1):
        crossing = next(
            (
                (i, j)
                for i, j in combinations(range(len(order)), 2)
                if cross(order[i][1], slots[i], order[j][1], slots[j])
            ),
            None,
        )
        if crossing is None:
            break
        i, j = crossing
        order[i], order[j] = order[j], order[i]
    return order


def cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the segment from a to b and that from c to d cross."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0.0 and turn(c, d, a) * turn(c, d, b) < 0.0


def widest(names: Sequence[str], size: float = 2.5) -> float:
    """Room that a column of names takes beside the picture, mm."""
    return max((font.text_width(name, size) for name in names), default=0.0) + _GAP + 1.0
