"""Kinds of blanks: equal pieces counted together, and stacks of matching parts that share a blank."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Turned, to_grid, ways_of
from hullcut.nesting.stacks import Member, find_stacks
from hullcut.nesting.values import Placement, Rules

__all__ = ["Kind", "kinds_of", "taken_from"]


#: decimals of a mm to which outlines are compared.
_PLACES = 4


@dataclass(frozen=True, slots=True)
class Kind:
    """A blank.

    Attributes:
        boxes: the pieces that it may become; empty for a stack.
        lengthwise: the ways it may lie on stock whose grain runs along its length.
        crosswise: the ways it may lie on stock whose grain runs along its width.
        cover: (kind, count) of what it holds; itself, once, where it is no stack.
        members: the parts of a stack, their kinds in the same list.
        area: of the outlines in it, mm2.
        mirrored: numbers of the boxes whose outline is that of the first one turned over.
    """

    boxes: tuple[Box, ...]
    lengthwise: tuple[Turned, ...]
    crosswise: tuple[Turned, ...]
    cover: tuple[tuple[int, int], ...]
    members: tuple[Member, ...]
    area: float
    mirrored: frozenset[int] = frozenset()

    def turns(self, stock: Stock) -> tuple[Turned, ...]:
        """The ways that the grain lets it lie on some stock."""
        return self.lengthwise if stock.grain == "length" else self.crosswise


def kinds_of(boxes: Sequence[Box], rules: Rules, stacked: bool) -> tuple[Kind, ...]:
    """The kinds of a group: equal pieces first, in the order in which they come, then stacks.

    Args:
        boxes: the group.
        rules: how the shop cuts.
        stacked: whether matching parts may share a blank.
    """
    groups: dict[tuple[object, ...], list[Box]] = {}
    for box in boxes:
        piece = box.piece
        shape: tuple[object, ...] = ()
        if not box.plain:
            own = _canonical(piece.outline)
            if piece.flip:
                own = min(own, _canonical(tuple((-x, y) for x, y in reversed(piece.outline))))
            shape = (own, piece.grain, piece.flip)
        groups.setdefault((box.lengthwise, box.crosswise, shape), []).append(box)
    single = [
        Kind(
            tuple(group),
            group[0].lengthwise,
            group[0].crosswise,
            ((number, 1),),
            (),
            group[0].area,
            _turned_over(group) if stacked else frozenset(),
        )
        for number, group in enumerate(groups.values())
    ]
    if not stacked:
        return tuple(single)
    curved = [
        (number, kind.boxes[0].piece, len(kind.boxes)) for number, kind in enumerate(single) if not kind.boxes[0].plain
    ]
    stacks = []
    for stack in find_stacks(curved, rules):
        grain = single[stack.members[0].kind].boxes[0].piece.grain
        ways = ways_of(grain, to_grid(stack.length), to_grid(stack.width))
        held = [member.kind for member in stack.members]
        cover = tuple((kind, held.count(kind)) for kind in dict.fromkeys(held))
        stacks.append(Kind((), *ways, cover, stack.members, sum(single[kind].area for kind in held)))
    return (*single, *stacks)


# Every copy of a part is asked about, for every wood that is tried.
@lru_cache(maxsize=1024)
def _canonical(outline: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """An outline with its box's corner at 0, 0 and its least point first, rounded."""
    left, low = (min(point[axis] for point in outline) for axis in (0, 1))
    points = [(round(x - left, _PLACES) + 0.0, round(y - low, _PLACES) + 0.0) for x, y in outline]
    first = points.index(min(points))
    return tuple(points[first:] + points[:first])


def _turned_over(group: Sequence[Box]) -> frozenset[int]:
    """Those whose outline is not that of the first one, so that it is that turned over."""
    if group[0].plain:
        return frozenset()
    first = _canonical(group[0].piece.outline)
    return frozenset(box.number for box in group if _canonical(box.piece.outline) != first)


def taken_from(kinds: Sequence[Kind], number: int, left: Sequence[list[Box]]) -> Box | None:
    """Take the pieces of a blank from those that are still to be placed.

    Args:
        kinds: all kinds.
        number: which kind the blank is.
        left: of each kind, the boxes still to be placed; what is taken is removed.

    Returns:
        The box to be cut; a stack that is wanted only in part keeps its size. None where nothing of it is wanted.
    """
    kind = kinds[number]
    if kind.boxes:
        return left[number].pop(0) if left[number] else None
    boxes: list[Box] = []
    placements: list[Placement] = []
    for member in kind.members:
        if left[member.kind]:
            box = left[member.kind].pop(0)
            boxes.append(box)
            placements.append(_placed(box, member, box.number in kinds[member.kind].mirrored))
    if not boxes:
        return None
    first = boxes[0]
    area = sum(box.area for box in boxes)
    return Box(first.number, first.piece, False, 0, kind.lengthwise, kind.crosswise, area, tuple(placements))


def _placed(box: Box, member: Member, turned_over: bool) -> Placement:
    """A box in the place of a stack's member, whose shape is that of the box or that turned over."""
    piece = box.piece
    if not turned_over:
        return Placement(piece.part, piece.boat, member.x, member.y, member.rotation, member.mirrored)
    length = max(x for x, _ in piece.outline) * (-1.0 if member.mirrored else 1.0)
    turn = math.radians(member.rotation)
    x, y = member.x + length * math.cos(turn), member.y + length * math.sin(turn)
    return Placement(piece.part, piece.boat, x, y, member.rotation, not member.mirrored)
