"""The most valuable way to cut a rectangle up by through cuts, of any number of stages, for every size at once.

For whole-number sizes the best value F of a rectangle of `a` by `c` obeys

    F(a, c) = max(best piece that fits, F(a1, c) + F(a - a1, c), F(a, c1) + F(a, c - c1)),

as in Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", Operations Research 13 (1965)
94-120. Pieces may repeat without limit. Three remarks make it fast with whole rows of numbers at a time. Neither part
of a useful cut is narrower than the narrowest piece, so that rows nearer to each other than that do not depend on each
other through cuts along one axis. The smaller part of a cut may be taken as one that is not cut again along the same
axis, so that only rows where something new begins need be tried as the smaller part. And all cuts along one axis are
made before all cuts across it, in turn until nothing gets better; from the second turn on only lines that the other
axis made better are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Leaf", "Split", "Tree", "Way", "best_tree", "best_values", "leaves"]

Values = NDArray[np.int32]

#: numbers in one go: more do not stay near the processor.
_AT_ONCE = 65536


@dataclass(frozen=True, slots=True)
class Way:
    """A piece as it may lie: its number, its way of lying, its sizes along and across the grain."""

    kind: int
    turn: int
    along: int
    across: int


@dataclass(frozen=True, slots=True)
class Leaf:
    """A rectangle that becomes one piece."""

    way: Way


@dataclass(frozen=True, slots=True)
class Split:
    """A rectangle cut in two: axis 0 parts its length along the grain, axis 1 its width across it."""

    axis: int
    low: Tree
    high: Tree


Tree = Leaf | Split


def best_values(along: int, across: int, ways: Sequence[Way], values: Sequence[int]) -> Values:
    """The best value of every rectangle up to a size.

    Args:
        along: greatest size along the grain.
        across: greatest size across it.
        ways: the pieces and how they may lie; sizes above zero.
        values: of each piece by its number, whole numbers from 0; no pattern may be worth 2**31 or more.

    Returns:
        F (along + 1, across + 1).
    """
    best = np.zeros((along + 1, across + 1), dtype=np.int32)
    useful = [way for way in ways if values[way.kind] > 0 and way.along <= along and way.across <= across]
    if not useful:
        return best
    for way in useful:
        np.maximum(best[way.along :, way.across :], values[way.kind], out=best[way.along :, way.across :])
    least_along = min(way.along for way in useful)
    least_across = min(way.across for way in useful)
    rows, columns = np.arange(along + 1), np.arange(across + 1)
    for number in range(along + across + 2):
        grown = _cut(best[:, columns], least_along)
        if number:
            rows = np.flatnonzero((grown != best[:, columns]).any(axis=1))
        best[:, columns] = grown
        if not len(rows):
            break
        grown = _cut(best[rows].T, least_across).T
        columns = np.flatnonzero((grown != best[rows]).any(axis=0))
        best[rows] = grown
        if not len(columns):
            break
    return best


def _cut(lines: Values, least: int) -> Values:
    """Each line as the better of itself and every sum of two lines whose places add up to its own.

    A smaller part is tried for many lines in one go: for as many as the least part of its level has, a level being the
    parts from a power of two times `least` up to the next. Those lines' larger parts are known when their run begins,
    and no new part that is found within the run is half of any of them.
    """
    lines = np.array(lines, order="C")
    count = len(lines)
    room = np.zeros_like(lines)
    highest = max(0, (_AT_ONCE // max(1, least * lines.shape[1])).bit_length() - 1)
    added = np.empty_like(lines[: least << highest])
    levels: list[list[int]] = [[] for _ in range(highest + 1)]
    for block, low in enumerate(range(least, count, least), 1):
        for level, parts in enumerate(levels):
            if block % (1 << level):
                break
            stop = min(low + (least << level), count)
            for part in parts:
                if 2 * part >= stop:
                    break
                first = max(low, 2 * part)
                into, target = added[: stop - first], room[first:stop]
                np.add(lines[first - part : stop - part], lines[part], out=into)
                np.maximum(target, into, out=target)
        high = min(low + least, count)
        rows = lines[low:high]
        uncut = rows > room[low:high]
        np.maximum(rows, room[low:high], out=rows)
        reach = lines[low - 1 : high]
        np.maximum.accumulate(reach, axis=0, out=reach)
        if 2 * low < count:
            fresh = (uncut & (rows > lines[low - 1 : high - 1])).any(axis=1)
            levels[min(block.bit_length() - 1, highest)] += [low + int(index) for index in np.flatnonzero(fresh)]
    return lines


def best_tree(best: Values, along: int, across: int, ways: Sequence[Way], values: Sequence[int]) -> Tree | None:
    """A tree of cuts that gives a rectangle its best value; None where it is worth nothing.

    Args:
        best: what `best_values` gave for the same ways and values.
        along: size along the grain.
        across: size across it.
        ways: the pieces.
        values: of each piece.
    """
    # Equal rectangles come again and again.
    known: dict[tuple[int, int], Tree | None] = {}

    def tree(along: int, across: int) -> Tree | None:
        if (along, across) not in known:
            known[along, across] = cut_up(along, across)
        return known[along, across]

    def cut_up(along: int, across: int) -> Tree | None:
        worth = int(best[along, across])
        if worth == 0:
            return None
        along = int(best[: along + 1, across].searchsorted(worth))
        across = int(best[along, : across + 1].searchsorted(worth))
        for way in ways:
            if values[way.kind] == worth and way.along <= along and way.across <= across:
                return Leaf(way)
        column, row = best[: along + 1, across], best[along, : across + 1]
        for axis, line in ((1, row), (0, column)):
            parts = line[1 : len(line) // 2 + 1] + line[len(line) - 2 : (len(line) - 1) // 2 - 1 : -1][: len(line) // 2]
            found = (parts == worth).nonzero()[0]
            if len(found):
                part = int(found[0]) + 1
                first = tree(along, part) if axis else tree(part, across)
                second = tree(along, across - part) if axis else tree(along - part, across)
                if first is None or second is None:
                    return first or second
                return Split(axis, first, second)
        raise AssertionError("the table of values holds no cut for its own value")

    return tree(along, across)


def leaves(tree: Tree) -> list[int]:
    """The numbers of all pieces in a tree of cuts."""
    if isinstance(tree, Leaf):
        return [tree.way.kind]
    return leaves(tree.low) + leaves(tree.high)
