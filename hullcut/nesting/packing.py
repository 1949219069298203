"""Filling one sheet with boxes: several packing rules are tried in a fixed order and the fullest sheet is kept.

The rules are the guillotine and the maximal-rectangles families of Jylanki, "A Thousand Ways to Pack the Bin" (2010),
as in rectpack. Joining free areas is left off: a joined area may cross an earlier cut, and then the sheet can't be
taken apart by through cuts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Protocol

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Room, Turned, to_grid
from hullcut.nesting.values import Rules

__all__ = ["Lying", "fill", "fill_many"]

#: how many rules a first look tries.
_FIRST_LOOK = 4
#: boxes times rules that one thorough filling may try, so that a whole class of boats stays quick.
_EFFORT = 600
#: the same where all sheets are filled together.
_EFFORT_TOGETHER = 1200
_SELECTIONS = ("Bssf", "Baf", "Blsf")
_SPLITS = ("Slas", "Llas", "Maxas", "Minas")


@dataclass(frozen=True, slots=True)
class Lying:
    """A box where it lies, its corner from the usable corner of the stock in grid steps."""

    box: Box
    turn: Turned
    x: int
    y: int


class _Corner(Protocol):
    """Where a packing rule put a rectangle."""

    x: int
    y: int


class _Bin(Protocol):
    """One sheet as the packing rules see it."""

    def fitness(self, width: int, height: int) -> float | None:
        """How well a rectangle would fit, least is best; None where it does not."""

    def add_rect(self, width: int, height: int) -> _Corner:
        """Put a rectangle in."""


_SortKey = Callable[[Turned], tuple[int, ...]]
# Boxes that lie in the same ways.
_Run = tuple[tuple[Turned, ...], list[Box]]
_SORTS: tuple[_SortKey, ...] = (
    lambda turn: (turn.length * turn.width, turn.length),
    lambda turn: (max(turn.length, turn.width), min(turn.length, turn.width)),
    lambda turn: (min(turn.length, turn.width), max(turn.length, turn.width)),
    lambda turn: (turn.width, turn.length),
    lambda turn: (turn.length, turn.width),
)


@cache
def _guillotines() -> tuple[Any, ...]:
    """The guillotine rules with joining of free areas off, and without turning boxes by themselves."""
    from rectpack import guillotine  # slow to load, and not needed for a parts list

    class Unjoined:
        """Picks the fittest free area; the plain rule reckons each fitness twice."""

        def __init__(self, width: int, height: int, rot: bool) -> None:
            super().__init__(width, height, rot=rot, merge=False)  # type: ignore[call-arg]

        def _select_fittest_section(self, width: int, height: int) -> tuple[Any, Any]:
            best, found = None, None
            for section in self._sections:  # type: ignore[attr-defined]
                fitness = self._section_fitness(section, width, height)  # type: ignore[attr-defined]
                if fitness is not None and (best is None or fitness < best):
                    best, found = fitness, section
            return found, None if found is None else False

    return tuple(
        type(f"Unjoined{pick}{split}", (Unjoined, getattr(guillotine, f"Guillotine{pick}{split}")), {})
        for split in _SPLITS
        for pick in _SELECTIONS
    )


@cache
def _maximal() -> tuple[Any, ...]:
    """The maximal-rectangles rules."""
    from rectpack import maxrects

    return (maxrects.MaxRectsBssf, maxrects.MaxRectsBaf, maxrects.MaxRectsBl, maxrects.MaxRectsBlsf)


def _trials(through: bool, boxes: int, free_turns: bool, thorough: bool) -> Iterable[tuple[Any, _SortKey, bool]]:
    """The rules to try: packing rule, order of boxes, whether a box that may turn takes the tightest fit."""
    rules = _guillotines() if through else _maximal()
    every = [
        (rule, sort, tight) for sort in _SORTS for rule in rules for tight in ((True, False) if free_turns else (True,))
    ]
    if not thorough:
        return every[:: max(1, len(every) // _FIRST_LOOK)]
    allowed = max(_FIRST_LOOK, min(len(every), _EFFORT // boxes))
    return every[:: max(1, len(every) // allowed)]


def _pack(filling: _Bin, runs: Sequence[_Run], kerf: int, tight: bool) -> tuple[Lying, ...]:
    """Put each box that still fits into one sheet, in order."""
    lying = []
    unfit: set[int] = set()
    for turns, boxes in runs:
        # Of equal boxes no other fits where one does not.
        if id(turns) in unfit:
            continue
        for box in boxes:
            chosen = None
            for turn in turns:
                fitness = filling.fitness(turn.length + kerf, turn.width + kerf)
                if fitness is not None and (chosen is None or fitness < chosen[0]):
                    chosen = (fitness, turn)
                    if not tight:
                        break
            if chosen is None:
                unfit.add(id(turns))
                break
            turn = chosen[1]
            rectangle = filling.add_rect(turn.length + kerf, turn.width + kerf)
            lying.append(Lying(box, turn, rectangle.x, rectangle.y))
    return tuple(lying)


def _alike(boxes: Sequence[Box], stock: Stock) -> list[list[tuple[int, Box]]]:
    """Boxes that lie in the same ways, together, each with its place."""
    found: dict[int, list[tuple[int, Box]]] = {}
    for place, box in enumerate(boxes):
        found.setdefault(id(box.turns(stock)), []).append((place, box))
    return list(found.values())


def _in_order(alike: Sequence[Sequence[tuple[int, Box]]], stock: Stock, sort: _SortKey) -> list[_Run]:
    """All boxes, the greatest first by a key and else by their places, in runs of boxes that lie in the same ways."""
    by_key: dict[tuple[int, ...], list[Sequence[tuple[int, Box]]]] = {}
    for group in alike:
        by_key.setdefault(sort(group[0][1].turns(stock)[0]), []).append(group)
    runs: list[_Run] = []
    for key in sorted(by_key, reverse=True):
        groups = by_key[key]
        if len(groups) == 1:
            runs.append((groups[0][0][1].turns(stock), [box for _, box in groups[0]]))
            continue
        for _, box in sorted((each for group in groups for each in group), key=lambda each: each[0]):
            turns = box.turns(stock)
            if runs and runs[-1][0] is turns:
                runs[-1][1].append(box)
            else:
                runs.append((turns, [box]))
    return runs


def _worth(lying: Sequence[Lying], room: Room) -> tuple[float, int]:
    """Area of the boxes placed, then how much of the sheet stays whole beside them; more is better."""
    area = sum(each.turn.length * each.turn.width for each in lying)
    right = max((each.x + each.turn.length for each in lying), default=0)
    top = max((each.y + each.turn.width for each in lying), default=0)
    whole = max((room.length - right) * room.width, (room.width - top) * room.length)
    return area, whole


def fill(stock: Stock, room: Room, boxes: Sequence[Box], rules: Rules, thorough: bool) -> tuple[Lying, ...]:
    """Fill one sheet or board as full as the packing rules can.

    Args:
        stock: what is filled.
        room: its usable rectangle.
        boxes: what is still to be cut.
        rules: how the shop cuts.
        thorough: try many packing rules rather than a few.

    Returns:
        The boxes that went on it; the others are left for the next sheet.
    """
    alike = [group for group in _alike(boxes, stock) if group[0][1].fits(stock, room)]
    if not alike:
        return ()
    kerf = to_grid(rules.kerf)
    through = rules.cutting == "through"
    free_turns = any(len(group[0][1].turns(stock)) > 1 for group in alike)
    count = sum(len(group) for group in alike)
    orders: dict[int, list[_Run]] = {}
    best: tuple[Lying, ...] = ()
    best_worth: tuple[float, int] = (-1.0, -1)
    for rule, sort, tight in _trials(through, count, free_turns, thorough):
        order = orders.get(id(sort))
        if order is None:
            order = _in_order(alike, stock, sort)
            orders[id(sort)] = order
        filling: _Bin = rule(room.length + kerf, room.width + kerf, rot=False)
        lying = _pack(filling, order, kerf, tight)
        worth = _worth(lying, room)
        if worth > best_worth:
            best, best_worth = lying, worth
    return best


@cache
def _all_together() -> tuple[tuple[Any, _SortKey, bool], ...]:
    """Rules for all sheets at once: packing rule, order of boxes, whether every open sheet is asked or the first.

    These few came near the best of several hundred over published instances (measured; see `fill_many`).
    """
    from rectpack import maxrects, skyline

    def border(turn: Turned) -> tuple[int, ...]:
        return (turn.length + turn.width, turn.length)

    return (
        (maxrects.MaxRectsBssf, border, True),
        (maxrects.MaxRectsBssf, _SORTS[0], False),
        (maxrects.MaxRectsBaf, _SORTS[0], True),
        (maxrects.MaxRectsBlsf, _SORTS[2], True),
        (maxrects.MaxRectsBl, _SORTS[1], False),
        (maxrects.MaxRectsBl, _SORTS[2], False),
        (skyline.SkylineBlWm, _SORTS[0], False),
        (maxrects.MaxRectsBssf, _SORTS[1], True),
        (maxrects.MaxRectsBl, border, False),
        (maxrects.MaxRectsBaf, border, False),
        (maxrects.MaxRectsBssf, _SORTS[2], True),
        (maxrects.MaxRectsBl, _SORTS[0], False),
    )


def fill_many(
    stock: Stock, room: Room, boxes: Sequence[Box], rules: Rules, most: int | None, enough: int
) -> list[tuple[Lying, ...]]:
    """Put all boxes on as few sheets of one stock as a few packing rules do, all open sheets looked at together.

    Boxes lie as maximal rectangles allow, so through cuts may not part them.

    Args:
        stock: what is filled.
        room: its usable rectangle.
        boxes: all to be cut.
        rules: how the shop cuts.
        most: how many sheets there are; None for as many as needed.
        enough: so few sheets can't be bettered.

    Returns:
        The sheets; none where some box finds no room.
    """
    kerf = to_grid(rules.kerf)
    best: list[tuple[Lying, ...]] = []
    limit = len(boxes) if most is None else most
    together = _all_together()
    for rule, sort, every in together[: max(_FIRST_LOOK, min(len(together), _EFFORT_TOGETHER // len(boxes)))]:
        order = sorted(boxes, key=lambda box: max(sort(turn) for turn in box.turns(stock)), reverse=True)
        found = _together(rule, order, stock, room, kerf, every, limit)
        if found and (not best or len(found) < len(best)):
            best, limit = found, len(found) - 1
        if best and len(best) <= enough:
            break
    return best


def _together(
    rule: Any,  # noqa: ANN401 - the library has no types of its own
    order: Sequence[Box],
    stock: Stock,
    room: Room,
    kerf: int,
    every: bool,
    limit: int,
) -> list[tuple[Lying, ...]]:
    """Put boxes into open sheets, another one opened where none takes a box; none where that is one too many."""
    fillings: list[_Bin] = []
    sheets: list[list[Lying]] = []
    whole = (room.length + kerf) * (room.width + kerf)
    free: list[int] = []
    for box in order:
        chosen: tuple[float, int, Turned] | None = None
        turns = box.turns(stock)
        area = (turns[0].length + kerf) * (turns[0].width + kerf)
        for number, filling in enumerate(fillings):
            if area > free[number]:
                continue
            for turn in turns:
                fitness = filling.fitness(turn.length + kerf, turn.width + kerf)
                if fitness is not None and (chosen is None or fitness < chosen[0]):
                    chosen = (fitness, number, turn)
            if chosen is not None and not every:
                break
        if chosen is None:
            fits = [turn for turn in turns if turn.length <= room.length and turn.width <= room.width]
            if not fits or len(fillings) >= limit:
                return []
            fillings.append(rule(room.length + kerf, room.width + kerf, rot=False))
            sheets.append([])
            free.append(whole)
            chosen = (0.0, len(fillings) - 1, fits[0])
        _, number, turn = chosen
        corner = fillings[number].add_rect(turn.length + kerf, turn.width + kerf)
        free[number] -= area
        sheets[number].append(Lying(box, turn, corner.x, corner.y))
    return [tuple(lying) for lying in sheets]
