"""From filled stock to sheets: placements, and the through cuts that free the blanks."""

from __future__ import annotations

from collections.abc import Sequence

from hullcut.nesting.boxes import from_grid, place, to_grid
from hullcut.nesting.choose import Filled
from hullcut.nesting.cuts import Rectangle, saw
from hullcut.nesting.offcuts import free_rectangles
from hullcut.nesting.values import Blank, Placement, Rules, Sheet

__all__ = ["finished"]


def finished(plan: Sequence[Filled], rules: Rules) -> tuple[Sheet, ...] | None:
    """The sheets of a plan, numbered from 1; None where no run of through cuts takes one of them apart."""
    finish = _sawn if rules.cutting == "through" else _shaped
    sheets = []
    for number, filled in enumerate(plan, 1):
        sheet = finish(filled, number, rules)
        if sheet is None:
            return None
        sheets.append(sheet)
    return tuple(sheets)


def _placements(filled: Filled) -> list[tuple[Placement, ...]]:
    room = filled.room
    return [place(lie.box, lie.turn, room.x + lie.x, room.y + lie.y) for lie in filled.lying]


def _used(filled: Filled) -> float:
    return sum(lie.box.area for lie in filled.lying) / (filled.stock.length * filled.stock.width)


def _rectangles(filled: Filled) -> list[Rectangle]:
    room = filled.room
    return [
        Rectangle(
            (room.x + lie.x, room.y + lie.y),
            (room.x + lie.x + lie.turn.length, room.y + lie.y + lie.turn.width),
            lie.box.plain,
        )
        for lie in filled.lying
    ]


def _sawn(filled: Filled, number: int, rules: Rules) -> Sheet | None:
    """A sheet taken apart by through cuts."""
    sawn = saw(filled.room, _rectangles(filled), to_grid(rules.kerf))
    if sawn is None:
        return None
    groups = _placements(filled)
    blanks = tuple(
        Blank(
            id=name,
            x=from_grid(piece.low[0]),
            y=from_grid(piece.low[1]),
            length=from_grid(piece.high[0] - piece.low[0]),
            width=from_grid(piece.high[1] - piece.low[1]),
            placements=group,
        )
        for (name, piece), group in zip(sawn.blanks, groups, strict=True)
    )
    stock = filled.stock
    flat = tuple(placement for group in groups for placement in group)
    return Sheet(stock, number, stock.length, stock.width, flat, blanks, sawn.cuts, sawn.offcuts, _used(filled))


def _shaped(filled: Filled, number: int, rules: Rules) -> Sheet:
    """A sheet from which outlines are sawn directly."""
    room, kerf = filled.room, to_grid(rules.kerf)
    taken = [
        (each.low[0] - kerf, each.low[1] - kerf, each.high[0] + kerf, each.high[1] + kerf)
        for each in _rectangles(filled)
    ]
    offcuts = free_rectangles((room.x, room.y, room.x + room.length, room.y + room.width), taken, filled.stock.width)
    stock = filled.stock
    flat = tuple(placement for group in _placements(filled) for placement in group)
    return Sheet(stock, number, stock.length, stock.width, flat, (), (), offcuts, _used(filled))
