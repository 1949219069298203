"""Pieces as upright rectangles on a whole-number grid, and the room that stock gives them.

Rectangles are packed in millionths of a millimetre, so that sums of sizes and kerfs are exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from hullcut.design.values import Grain, Stock
from hullcut.nesting.values import Piece, Placement, Rules

__all__ = [
    "GRID",
    "Box",
    "Room",
    "Turned",
    "box_of",
    "from_grid",
    "outline_area",
    "place",
    "room_of",
    "to_grid",
    "ways_of",
]

#: grid steps in a millimetre.
GRID = 1_000_000
#: part of its bounding box by which a plain rectangle's area may fall short, for rounding.
_PLAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Turned:
    """A box as it lies: turned by `rotation` degrees, with its sizes along and across the stock, in grid steps."""

    rotation: int
    length: int
    width: int


@dataclass(frozen=True, slots=True)
class Box:
    """The rectangle that a piece is cut from.

    Attributes:
        number: place in the group, so that equal boxes keep an order.
        piece: what is in it.
        plain: whether the piece is itself a rectangle.
        margin: clearance on each side, grid steps.
        lengthwise: the ways it may lie on stock whose grain runs along its length.
        crosswise: the ways it may lie on stock whose grain runs along its width.
        area: of the piece's outline, or of all the pieces', mm2.
        stacked: where several pieces share the rectangle, their places in it as it lies unturned, mm; else empty.
    """

    number: int
    piece: Piece
    plain: bool
    margin: int
    lengthwise: tuple[Turned, ...]
    crosswise: tuple[Turned, ...]
    area: float
    stacked: tuple[Placement, ...] = ()

    def turns(self, stock: Stock) -> tuple[Turned, ...]:
        """The ways that the grain lets it lie on some stock."""
        return self.lengthwise if stock.grain == "length" else self.crosswise

    def fits(self, stock: Stock, room: Room) -> bool:
        """Whether it fits that stock when it is alone on it."""
        return any(turn.length <= room.length and turn.width <= room.width for turn in self.turns(stock))


@dataclass(frozen=True, slots=True)
class Room:
    """The usable rectangle of some stock, from its untrimmed corner, in grid steps.

    Attributes:
        full_length: of the stock.
        full_width: of the stock.
        x: of the usable rectangle's corner.
        y: of the usable rectangle's corner.
        length: usable.
        width: usable.
    """

    full_length: int
    full_width: int
    x: int
    y: int
    length: int
    width: int


def to_grid(size_mm: float) -> int:
    """A size in grid steps."""
    return round(size_mm * GRID)


def from_grid(steps: float) -> float:
    """A size in mm."""
    return steps / GRID


def outline_area(outline: Sequence[tuple[float, float]]) -> float:
    """The area inside a closed outline, mm2 (the shoelace formula)."""
    following = (*outline[1:], outline[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, following, strict=True))) / 2


def box_of(number: int, piece: Piece, rules: Rules) -> Box:
    """The rectangle that a piece is cut from.

    It is the piece's bounding box; a piece that is not a plain rectangle has `rules.clearance` on each side.
    """
    length = max(x for x, _ in piece.outline)
    width = max(y for _, y in piece.outline)
    area = outline_area(piece.outline)
    plain = math.isclose(area, length * width, rel_tol=_PLAIN)
    margin = 0 if plain else to_grid(rules.clearance)
    long, wide = to_grid(length) + 2 * margin, to_grid(width) + 2 * margin
    lengthwise, crosswise = ways_of(piece.grain, long, wide)
    return Box(number, piece, plain, margin, lengthwise, crosswise, area)


@lru_cache(maxsize=16_384)
def ways_of(grain: Grain, long: int, wide: int) -> tuple[tuple[Turned, ...], tuple[Turned, ...]]:
    """The ways that a rectangle may lie on stock with its grain along its length, and along its width.

    Equal rectangles share one answer, by which packing tells them as equal.
    """
    straight, turned = Turned(0, long, wide), Turned(90, wide, long)
    both = (straight,) if long == wide else (straight, turned)
    ways = {"along": (straight,), "across": (turned,), "any": both}
    crossed = {"along": (turned,), "across": (straight,), "any": both}
    return ways[grain], crossed[grain]


def room_of(stock: Stock, rules: Rules) -> Room:
    """What some stock leaves for blanks once it is trimmed.

    New sheets are trimmed all round; boards at their ends only, since their long edges are planed; leftovers not at
    all. A trim is never less than the kerf that makes it.
    """
    trim = max(rules.trim, rules.kerf) if rules.trim > 0 else 0.0
    ends = 0 if stock.kind == "leftover" else to_grid(trim)
    sides = ends if stock.kind == "sheet" else 0
    length, width = to_grid(stock.length), to_grid(stock.width)
    return Room(length, width, ends, sides, length - 2 * ends, width - 2 * sides)


def place(box: Box, turn: Turned, x: int, y: int) -> tuple[Placement, ...]:
    """The pieces of a box whose corner lies at x, y (grid steps from the untrimmed corner)."""
    turned = turn.rotation == 90
    if box.stacked:
        return tuple(
            replace(
                inner,
                x=from_grid(x) + (from_grid(turn.length) - inner.y if turned else inner.x),
                y=from_grid(y) + (inner.x if turned else inner.y),
                rotation=(inner.rotation + turn.rotation) % 360.0,
            )
            for inner in box.stacked
        )
    shift = turn.length - 2 * box.margin if turned else 0
    here = Placement(
        part=box.piece.part,
        boat=box.piece.boat,
        x=from_grid(x + box.margin + shift),
        y=from_grid(y + box.margin),
        rotation=float(turn.rotation),
        mirrored=False,
    )
    return (here,)
