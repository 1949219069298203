"""Filling sheets so that through cuts can take them apart, fast enough to try very many orders of the pieces.

Every piece goes into the corner of a free rectangle, and two cuts part what is left of it. The rules for choosing the
rectangle and the first cut are those of Jylanki, "A Thousand Ways to Pack the Bin" (2010), without joining of free
areas, and with all open sheets looked at together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

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


@dataclass(frozen=True, slots=True)
class Spot:
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
        if item is not before or (not fits and len(free) < _MANY):
            before, fits = item, []
            found = _scanned(item, free, choice)
        else:
            fits = fits or [[_fit(way, room, choice) for room in free] for way in item.ways]
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
            for way, scores in zip(item.ways, fits, strict=False):
                scores.append(_fit(way, fresh, choice))
        index, number = found
        turn, long, wide = item.ways[number]
        sheet, x, y, room_long, room_wide = free[index]
        free[index] = free[-1]
        free.pop()
        kept = len(free)
        sheets[sheet].append(Spot(item.kind, turn, x, y))
        _part(free, (sheet, x, y, room_long, room_wide), long, wide, split)
        for way, scores in zip(item.ways, fits, strict=False):
            scores[index] = scores[-1]
            scores.pop()
            scores.extend([_fit(way, room, choice) for room in free[kept:]])
    return sheets


def _fit(way: tuple[int, int, int], room: _Free, choice: Choice) -> float:
    """What an item leaves of a free rectangle, by a rule; infinite where it does not fit."""
    over, beside = room[3] - way[1], room[4] - way[2]
    if over < 0 or beside < 0:
        return math.inf
    if choice == "short":
        return min(over, beside)
    if choice == "area":
        return room[3] * room[4] - way[1] * way[2]
    return max(over, beside)


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
    best = None
    found = None
    for number, (_, long, wide) in enumerate(item.ways):
        for index, (_, _, _, room_long, room_wide) in enumerate(free):
            over, beside = room_long - long, room_wide - wide
            if over < 0 or beside < 0:
                continue
            if choice == "short":
                score = min(over, beside)
            elif choice == "area":
                score = room_long * room_wide - long * wide
            else:
                score = max(over, beside)
            if best is None or score < best:
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
    elif split == "small":
        rip = max(beside * room_long, over * wide) <= max(over * room_wide, beside * long)
    else:
        rip = max(beside * room_long, over * wide) > max(over * room_wide, beside * long)
    if over > 0:
        free.append((sheet, x + long, y, over, wide if rip else room_wide))
    if beside > 0:
        free.append((sheet, x, y + wide, room_long if rip else long, beside))
