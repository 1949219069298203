"""Filling sheets so that through cuts can take them apart, fast enough to try very many orders of the pieces.

Every piece goes into the corner of a free rectangle, and two cuts part what is left of it. The rules for choosing the
rectangle and the first cut are those of Jylanki, "A Thousand Ways to Pack the Bin" (2010), without joining of free
areas, and with all open sheets looked at together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

__all__ = ["CHOICES", "SPLITS", "Item", "Spot", "fill_in_order"]

Choice = Literal["short", "area", "long"]
Split = Literal["short", "long", "small", "large"]
CHOICES: tuple[Choice, ...] = ("short", "area", "long")
SPLITS: tuple[Split, ...] = ("small", "short", "large", "long")


@dataclass(frozen=True, slots=True)
class Item:
    """A piece as filling sees it: its kind, and (turn, length, width) for each way it may lie, kerf included."""

    kind: int
    ways: tuple[tuple[int, int, int], ...]


class Spot(NamedTuple):
    """Where an item went: its kind, its turn, its corner."""

    kind: int
    turn: int
    x: int
    y: int


_Free = tuple[int, int, int, int, int]

#: free rectangles from which it pays to remember how well an item fits each.
_MANY = 12


def fill_in_order(
    items: Sequence[Item], length: int, width: int, choice: Choice, split: Split, most: int
) -> list[list[Spot]]:
    """Put items into as few sheets as one pass does; those that no sheet takes are left out.

    Args:
        items: in the order in which they are placed.
        length: usable, kerf included.
        width: usable, kerf included.
        choice: which free rectangle is the fittest: least left on its shorter side, in area, or on its longer side.
        split: which way the first cut goes: along the shorter or the longer rest, or so that the larger piece left
            is small or large.
        most: how many sheets may be opened.
    """
    sheets: list[list[Spot]] = []
    free: list[_Free] = []
    unfit: set[int] = set()
    before: Item | None = None
    # In a run of equal items, how well they fit each free rectangle, for each way they may lie.
    fits: list[list[float]] = []
    for item in items:
        if item.kind in unfit:
            continue
        if not free and len(sheets) >= most:
            break
        if item is not before or (not fits and len(free) < _MANY):
            before, fits = item, []
            found = _scanned(item, free, choice)
        else:
            fits = fits or [_fits(way, free, choice) for way in item.ways]
            found = _fittest(fits)
        if found is None:
            if len(sheets) >= most:
                # Free rectangles only shrink from here on.
                unfit.add(item.kind)
                continue
            fresh = (len(sheets), 0, 0, length, width)
            found = _scanned(item, [fresh], choice)
            if found is None:
                continue
            sheets.append([])
            found = (len(free), found[1])
            free.append(fresh)
            if fits:
                for way, scores in zip(item.ways, fits, strict=True):
                    scores += _fits(way, [fresh], choice)
        index, number = found
        turn, long, wide = item.ways[number]
        room = free[index]
        sheet, x, y, _, _ = room
        free[index] = free[-1]
        free.pop()
        kept = len(free)
        sheets[sheet].append(Spot(item.kind, turn, x, y))
        _part(free, room, long, wide, split)
        if fits:
            parted = free[kept:]
            for way, scores in zip(item.ways, fits, strict=True):
                scores[index] = scores[-1]
                scores.pop()
                scores += _fits(way, parted, choice)
    return sheets


def _fits(way: tuple[int, int, int], rooms: Sequence[_Free], choice: Choice) -> list[float]:
    """What an item leaves of each free rectangle, by a rule; infinite where it does not fit."""
    _, long, wide = way
    size, by_short, by_area = long * wide, choice == "short", choice == "area"
    found: list[float] = []
    # Most of a search is spent here and in `_scanned`: comparing by hand is quicker than asking min and max.
    for _, _, _, room_long, room_wide in rooms:
        over, beside = room_long - long, room_wide - wide
        if over < 0 or beside < 0:
            found.append(math.inf)
        elif by_area:
            found.append(room_long * room_wide - size)
        else:
            found.append(over if (over < beside) is by_short else beside)
    return found


def _fittest(fits: Sequence[Sequence[float]]) -> tuple[int, int] | None:
    """The free rectangle that an item fits best, and which of its ways it lies there; None where it fits none."""
    best, found = math.inf, None
    for number, scores in enumerate(fits):
        least = min(scores, default=math.inf)
        if least < best:
            best, found = least, (scores.index(least), number)
    return found


def _scanned(item: Item, free: Sequence[_Free], choice: Choice) -> tuple[int, int] | None:
    """The same from the rectangles themselves."""
    best: float = math.inf
    found = None
    by_short, by_area = choice == "short", choice == "area"
    for number, (_, long, wide) in enumerate(item.ways):
        for index, (_, _, _, room_long, room_wide) in enumerate(free):
            if room_long < long or room_wide < wide:
                continue
            if by_area:
                score = room_long * room_wide - long * wide
            else:
                score, beside = room_long - long, room_wide - wide
                if (score < beside) is not by_short:
                    score = beside
            if score < best:
                best, found = score, (index, number)
    return found


def _part(free: list[_Free], room: _Free, long: int, wide: int, split: Split) -> None:
    """Two cuts part what an item leaves of its rectangle."""
    sheet, x, y, room_long, room_wide = room
    over, beside = room_long - long, room_wide - wide
    if split == "short":
        rip = over <= beside
    elif split == "long":
        rip = over > beside
    else:
        # The larger piece left is the smaller for this cut, or is not.
        across, along = beside * room_long, over * wide
        other_along, other_across = over * room_wide, beside * long
        larger = across if across > along else along
        other = other_along if other_along > other_across else other_across
        rip = (larger <= other) is (split == "small")
    if over > 0:
        free.append((sheet, x + long, y, over, wide if rip else room_wide))
    if beside > 0:
        free.append((sheet, x, y + wide, room_long if rip else long, beside))
