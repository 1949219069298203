"""A bound for rectangles from dual feasible functions.

A function f from 0..1 to 0..1 is dual feasible where numbers that sum to at most 1 have values that sum to at most 1.
With two of them, the products of the values of a rectangle's two sides, as shares of the sheet's, sum to at most 1
over any sheet (Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", Mathematical
Programming 91 (2001) 11-31). With several sizes of stock a rectangle counts with its least share of a stock's weight.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Room, to_grid

__all__ = ["dual_feasible_bound"]

Array = NDArray[np.float64]
Sizes = NDArray[np.int64]

#: most thresholds taken from the rectangles' own sizes.
_THRESHOLDS = 14
_STEPS = (1, 2, 3, 4, 5, 6)
#: share by which a sum of many values may be rounded up.
_ROUNDING = 1e-9


def dual_feasible_bound(
    boxes: Sequence[Box],
    stocks: Sequence[Stock],
    rooms: Mapping[str, Room],
    available: Mapping[str, int | None],
    weight: Mapping[str, float],
    kerf_mm: float,
) -> float:
    """A weight that no plan goes below whose rectangles lie square to the stock.

    Args:
        boxes: rectangles, each cut by itself; others are left out by the caller.
        stocks: of their wood and thickness.
        rooms: usable, by stock id.
        available: how many can be had, by stock id.
        weight: of each, by stock id.
        kerf_mm: between rectangles.
    """
    kerf = to_grid(kerf_mm)
    bought = [stock for stock in stocks if weight[stock.id] > 0 and rooms[stock.id].length > 0]
    free = [stock for stock in stocks if weight[stock.id] <= 0 and available[stock.id] != 0]
    if not boxes or not bought or any(available[stock.id] is None for stock in free):
        return 0.0
    taken = 0.0
    for stock in free:
        larger = [weight[each.id] for each in bought if _holds(rooms, each, stock)]
        if not larger:
            return 0.0
        taken += min(larger) * (available[stock.id] or 0)
    ways = [_ways(boxes, stock, rooms[stock.id], kerf) for stock in bought]
    totals = [(rooms[stock.id].length + kerf, rooms[stock.id].width + kerf) for stock in bought]
    long, wide = (_values(_functions(ways, axis), ways, totals, axis) for axis in (0, 1))
    fits = np.array([[each[2] for each in own] for own in ways])
    costs = np.array([weight[stock.id] for stock in bought])[:, None, None]
    best = 0.0
    for along in long:
        for across in wide:
            least = np.where(fits, along * across * costs, np.inf).min(axis=(0, 1))
            best = max(best, float(least[np.isfinite(least)].sum()) * (1.0 - _ROUNDING) - taken)
    return best


def _holds(rooms: Mapping[str, Room], outer: Stock, inner: Stock) -> bool:
    a, b = rooms[outer.id], rooms[inner.id]
    return outer.grain == inner.grain and a.length >= b.length and a.width >= b.width


_Ways = list[tuple[Sizes, Sizes, NDArray[np.bool_]]]
_Function = Callable[[Sizes, int], Array]


def _ways(boxes: Sequence[Box], stock: Stock, room: Room, kerf: int) -> _Ways:
    """For each way of lying: lengths and widths with a kerf, and whether the box has that way and fits."""
    found = []
    for turn in range(2):
        ways = [box.turns(stock)[min(turn, len(box.turns(stock)) - 1)] for box in boxes]
        fits = np.array([way.length <= room.length and way.width <= room.width for way in ways])
        long = np.array([way.length + kerf for way in ways], dtype=np.int64)
        wide = np.array([way.width + kerf for way in ways], dtype=np.int64)
        found.append((long, wide, fits))
    return found


def _values(
    functions: Sequence[_Function], ways: Sequence[_Ways], totals: Sequence[tuple[int, int]], axis: int
) -> list[Array]:
    """What each function makes of one side of the boxes: (stock, way of lying, box)."""
    sides = [
        ([each[0] if axis == 0 else each[1] for each in own], total) for own, total in zip(ways, totals, strict=True)
    ]
    return [
        np.array([[function(sizes, total[axis]) for sizes in own] for own, total in sides]) for function in functions
    ]


def _functions(ways: Sequence[_Ways], axis: int) -> list[_Function]:
    """The functions that are tried for one side, thresholds taken from the rectangles' own sizes."""
    sizes = np.unique(np.concatenate([each[axis] for own in ways for each in own]))
    picked = sizes[np.unique(np.linspace(0, len(sizes) - 1, _THRESHOLDS).round().astype(int))]
    limits = [int(size) for size in picked]
    return [
        _itself,
        *(_rounded(step) for step in _STEPS),
        *(_sorted_out(limit) for limit in limits),
        *(_stepped(limit) for limit in limits),
    ]


def _itself(size: Sizes, total: int) -> Array:
    return size / total


def _rounded(step: int) -> _Function:
    """The function u of a whole number k: floor((k + 1) x) / k where (k + 1) x is not whole, else x."""

    def function(size: Sizes, total: int) -> Array:
        grown = (step + 1) * size
        return np.where(grown % total == 0, size / total, (grown // total) / step)

    return function


def _sorted_out(limit: int) -> _Function:
    """Large sizes count as all, small ones as nothing."""

    def function(size: Sizes, total: int) -> Array:
        if 2 * limit > total:
            return size / total
        return np.where(size > total - limit, 1.0, np.where(size < limit, 0.0, size / total))

    return function


def _stepped(limit: int) -> _Function:
    """Large sizes by what they leave, small ones by how often a limit goes into them."""

    def function(size: Sizes, total: int) -> Array:
        if 2 * limit > total:
            return size / total
        count = total // limit
        large = 1.0 - ((total - size) // limit) / count
        return np.where(2 * size > total, large, np.where(2 * size < total, (size // limit) / count, 0.5))

    return function
