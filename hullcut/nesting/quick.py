"""The quick method: bounding boxes packed sheet by sheet, and the through cuts that free them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, from_grid, place, to_grid
from hullcut.nesting.choose import Filled, best_plans
from hullcut.nesting.cuts import Rectangle, saw
from hullcut.nesting.offcuts import free_rectangles
from hullcut.nesting.packing import fill
from hullcut.nesting.values import Blank, Placement, Rules, Sheet

__all__ = ["plan"]


def plan(
    boxes: Sequence[Box], offers: Sequence[Stock], available: Mapping[str, int | None], rules: Rules
) -> tuple[Sheet, ...] | None:
    """Lay out one group of boxes.

    Args:
        boxes: of one wood and thickness.
        offers: stock of that wood and thickness.
        available: how many of each stock id are still to be had; None for as many as needed.
        rules: how the shop cuts.

    Returns:
        The sheets, numbered from 1, leftovers first; None where the stock on offer runs out.
    """
    finish = _sawn if rules.cutting == "through" else _shaped
    for candidate in best_plans(boxes, offers, available, rules, fill):
        sheets = [finish(filled, number, rules) for number, filled in enumerate(candidate, 1)]
        done = tuple(sheet for sheet in sheets if sheet is not None)
        # A plan with a sheet that no run of through cuts takes apart is thrown away.
        if len(done) == len(sheets):
            return done
    return None


def _placements(filled: Filled) -> tuple[Placement, ...]:
    room = filled.room
    return tuple(place(lie.box, lie.turn, room.x + lie.x, room.y + lie.y) for lie in filled.lying)


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
    placements = _placements(filled)
    blanks = tuple(
        Blank(
            id=name,
            x=from_grid(piece.low[0]),
            y=from_grid(piece.low[1]),
            length=from_grid(piece.high[0] - piece.low[0]),
            width=from_grid(piece.high[1] - piece.low[1]),
            placements=(placement,),
        )
        for (name, piece), placement in zip(sawn.blanks, placements, strict=True)
    )
    stock = filled.stock
    return Sheet(stock, number, stock.length, stock.width, placements, blanks, sawn.cuts, sawn.offcuts, _used(filled))


def _shaped(filled: Filled, number: int, rules: Rules) -> Sheet | None:
    """A sheet from which outlines are sawn directly."""
    room, kerf = filled.room, to_grid(rules.kerf)
    taken = [
        (each.low[0] - kerf, each.low[1] - kerf, each.high[0] + kerf, each.high[1] + kerf)
        for each in _rectangles(filled)
    ]
    offcuts = free_rectangles((room.x, room.y, room.x + room.length, room.y + room.width), taken, filled.stock.width)
    stock = filled.stock
    return Sheet(stock, number, stock.length, stock.width, _placements(filled), (), (), offcuts, _used(filled))
