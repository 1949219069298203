"""Names in columns at both sides of a picture, joined to what they name by leaders that do not cross."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing import font
from hullcut.drawing.paths import circle, line
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.sheet_room import spread

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = ["DOTS_APART", "cross", "leaders", "nearest_of", "told_apart", "widest"]

Array = NDArray[Any]

DOTS_APART = 2.5
"""Two dots at the ends of leaders stand so far apart where they can, mm on paper."""

_DOT = 0.6
_WIDTH = 0.18
_RIM = 0.5
_GAP = 4.0
_LINE = 1.45
# A leader passes another's dot so far off where it can, mm.
_PAST_DOT = 1.2
# Names so near to one another in their column change together with a place, mm.
_NEAR = 12.0
# So many changes are made at most, and so many places tried of each part.
_CHANGES, _PLACES = 24, 10


def leaders(
    named: Sequence[tuple[str, Point]],
    box: Box,
    size: float = 2.5,
    elsewhere: Callable[[str], Sequence[Point]] | None = None,
) -> list[Item]:
    """Names beside a picture, each with a leader to its place, mm on paper.

    The names are shared evenly between the sides, those farther left at the left. Each stands as level with its place
    as the others let it; along a side two leaders that would cross change names, which makes both together shorter,
    until none cross. Where a leader would run through another's dot, or two dots together, names change or point
    elsewhere on their parts, as far as that helps.

    Args:
        named: names and places in the picture.
        box: round the picture.
        size: of the letters.
        elsewhere: more places of what a name tells; None where each has but its one.
    """
    others = cache(elsewhere or _nowhere_else)
    ordered = sorted(told_apart(named, others), key=lambda each: (each[1][0], each[1][1], each[0]))
    half = (len(ordered) + 1) // 2
    drawn = [*_column(ordered[:half], True, box, size), *_column(ordered[half:], False, box, size)]
    drawn = _off_dots(drawn, others)
    items: list[Item] = []
    for left in (True, False):
        items += _drawn([each for each in drawn if each.left is left], size)
    return items


@dataclass(frozen=True, slots=True)
class _Leader:
    """A name, the end of its leader beside it, its place in the picture, and whether it stands at the left."""

    name: str
    end: Point
    at: Point
    left: bool


def _nowhere_else(_: str) -> tuple[Point, ...]:
    return ()


def told_apart(
    names: Sequence[tuple[str, Point]], elsewhere: Callable[[str], Sequence[Point]]
) -> list[tuple[str, Point]]:
    """The names, each with a place on its part, so that no two dots run together where there are others to take.

    Args:
        names: and the places that they would take.
        elsewhere: more places on the part of a name.
    """
    told = list(names)
    # Once more for those whose neighbours moved after them.
    for _ in range(2):
        for number, (word, at) in enumerate(told):
            others = [place for k, (_, place) in enumerate(told) if k != number]
            if nearest_of(at, others) < DOTS_APART:
                tried = [at, *elsewhere(word)]
                told[number] = (word, max(tried, key=lambda place: min(nearest_of(place, others), DOTS_APART)))
    return told


def nearest_of(at: Point, others: Sequence[Point]) -> float:
    """How far the nearest of others is; infinity where there is none."""
    return min((math.dist(at, other) for other in others), default=math.inf)


def _column(group: Sequence[tuple[str, Point]], left: bool, box: Box, size: float) -> list[_Leader]:
    x = box[0] - _GAP if left else box[2] + _GAP
    # As near as may be to what is named: level leaders are told apart where steep ones run together.
    heights = spread(sorted(at[1] for _, at in group), [_LINE * size] * len(group), box[1], box[3])
    slots = [(x, height) for height in reversed(heights)]
    placed = _uncrossed(sorted(group, key=lambda each: (-each[1][1], each[1][0], each[0])), slots)
    return [_Leader(name, end, at, left) for (name, at), end in zip(placed, slots, strict=True)]


def _drawn(placed: Sequence[_Leader], size: float) -> list[Item]:
    # A white rim under each, so that it is followed across the drawing's own lines; none cuts another leader.
    items: list[Item] = [Shape(Role.THIN, (line(each.end, each.at),), stroke="#ffffff", width=_RIM) for each in placed]
    for each in placed:
        (end_x, end_y), name = each.end, each.name
        items.append(Shape(Role.DIMENSION, (line(each.end, each.at),), ref=f"leader {name}", width=_WIDTH))
        items.append(
            Shape(
                Role.FILL, (circle(each.at, _DOT),), fill="#000000", stroke="#ffffff", width=_WIDTH, ref=f"dot {name}"
            )
        )
        away = -0.8 if each.left else 0.8
        items.append(
            Text(Role.LABEL, (end_x + away, end_y - 0.36 * size), name, size, anchor="end" if each.left else "start")
        )
    return items


def _off_dots(placed: Sequence[_Leader], elsewhere: Callable[[str], Sequence[Point]]) -> list[_Leader]:
    """The leaders with as few as may be that run through another's dot, or whose dots run together."""
    if not placed:
        return []
    left = np.array([each.left for each in placed])
    ends, dots = (np.array([getattr(each, name) for each in placed]) for name in ("end", "at"))
    first, (best,) = _judged(ends[None], dots[None], left)
    faults = np.argwhere(first[0]).tolist()
    # Each change leaves fewer faults or shorter leaders, so this ends; the count bounds the time.
    for _ in range(_CHANGES):
        if not faults:
            break
        pair = faults[0]
        moves = [(k, at) for k in pair for at in elsewhere(placed[k].name)[:_PLACES]]
        swaps = [(k, each) for k in pair for each in np.flatnonzero(left == left[k]).tolist() if each != k]
        moved = _changed(ends, dots, moves, [])
        swapped = _changed(ends, dots, [], swaps)
        found = _least(moved, swapped, left=left)
        if found[2] >= best:
            # Both at once.
            near = [(k, other) for k, other in swaps if abs(ends[k, 1] - ends[other, 1]) < _NEAR]
            found = _least(_changed(ends, dots, moves, near), left=left)
        if found[2] >= best:
            faults = [each for each in faults[1:] if each != pair[::-1]]
            continue
        ends, dots, best, faulty = found
        faults = np.argwhere(faulty).tolist()
    return [
        replace(each, end=(float(end[0]), float(end[1])), at=(float(dot[0]), float(dot[1])))
        for each, end, dot in zip(placed, ends, dots, strict=True)
    ]


_Ways = tuple[Array, Array]
_Rank = tuple[int, int, float]


def _changed(ends: Array, dots: Array, moves: Sequence[tuple[int, Point]], swaps: Sequence[tuple[int, int]]) -> _Ways:
    """All ways in which one leader points elsewhere, or changes its end with another, or does both: (m, n, 2) each."""
    count = max(len(moves), 1) * max(len(swaps), 1) if moves or swaps else 0
    all_ends, all_dots = np.repeat(ends[None], count, axis=0), np.repeat(dots[None], count, axis=0)
    for number in range(count):
        move, swap = divmod(number, max(len(swaps), 1))
        if moves:
            all_dots[number, moves[move][0]] = moves[move][1]
        if swaps:
            k, other = swaps[swap]
            all_ends[number, [k, other]] = ends[[other, k]]
    return all_ends, all_dots


def _least(*ways: _Ways, left: Array) -> tuple[Array, Array, _Rank, Array]:
    """The least bad of some ways: ends and dots (n, 2), how bad it is, and what is at fault in it (n, n)."""
    ends, dots = np.concatenate([each[0] for each in ways]), np.concatenate([each[1] for each in ways])
    if not len(ends):
        return ends, dots, (len(left) ** 2, 0, 0.0), np.zeros((0, 0))
    faulty, ranks = _judged(ends, dots, left)
    k = min(range(len(ranks)), key=ranks.__getitem__)
    return ends[k], dots[k], ranks[k], faulty[k]


def _judged(ends: Array, dots: Array, left: Array) -> tuple[Array, list[_Rank]]:
    """For each way (m) which leader runs through whose dot or whose dots run together (m, n, n), and how bad it is."""
    # Coordinates apart, as (m, n, n): from each leader (second axis) to each other's dot or end (third).
    (along_x, along_y), (dot_x, dot_y), (end_x, end_y) = (
        np.moveaxis(dots - ends, 2, 0)[..., None],
        np.moveaxis(dots, 2, 0)[:, :, None] - np.moveaxis(ends, 2, 0)[..., None],
        np.moveaxis(ends, 2, 0)[:, :, None] - np.moveaxis(ends, 2, 0)[..., None],
    )
    square = np.maximum(along_x**2 + along_y**2, 1e-9)
    share = np.clip((dot_x * along_x + dot_y * along_y) / square, 0.0, 1.0)
    off = (dot_x - share * along_x) ** 2 + (dot_y - share * along_y) ** 2
    # One dot from another is what it is from an end, less the leader.
    apart = (dot_x - along_x) ** 2 + (dot_y - along_y) ** 2
    faulty = ((off < _PAST_DOT**2) | (apart < DOTS_APART**2)) & ~np.eye(len(left), dtype=bool)
    parted = (along_x * end_y - along_y * end_x) * (along_x * dot_y - along_y * dot_x) < 0.0
    crossing = (parted & parted.transpose(0, 2, 1) & (left[:, None] == left[None])).sum(axis=(1, 2))
    long = np.sqrt(square).sum(axis=(1, 2))
    ranks = zip(crossing.tolist(), faulty.sum(axis=(1, 2)).tolist(), long.tolist(), strict=True)
    return faulty, list(ranks)


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
