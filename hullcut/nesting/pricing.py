"""Pricing on a grid: the most valuable way to cut each stock, and the bound that prices prove."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Room
from hullcut.nesting.guillotine import Spot
from hullcut.nesting.kinds import Kind
from hullcut.nesting.knapsack import Leaf, Split, Tree, Way, best_tree, best_values

__all__ = ["Frame", "frame_of"]

#: the greatest value of a whole sheet, so that sums of values stay within 32 bits.
_GREATEST = 2**29


@dataclass(frozen=True, slots=True)
class Frame:
    """Kinds and stock on one grid, along the grain and across it.

    Attributes:
        kinds: of blanks.
        stocks: on offer.
        unit: grid steps in a unit.
        ways: how each kind may lie, sizes rounded up to whole units.
        least: the same, rounded down.
        spaces: of each stock along and across the grain in whole units, rounded down.
        sizes: (kind, way) to true sizes along and across the grain.
    """

    kinds: Sequence[Kind]
    stocks: Sequence[Stock]
    unit: int
    ways: tuple[Way, ...]
    least: tuple[Way, ...]
    spaces: tuple[tuple[int, int], ...]
    sizes: dict[tuple[int, int], tuple[int, int]]

    def values(self, prices: Sequence[float]) -> tuple[list[int], float]:
        """Whole-number values of all kinds, rounded down, and what one of a price comes to."""
        worth = [sum(count * prices[kind] for kind, count in each.cover) for each in self.kinds]
        largest = max((along * across for along, across in self.spaces), default=1)
        dearest = max(
            (worth[way.kind] / max(1, way.along * way.across) for way in self.least if way.along and way.across),
            default=0.0,
        )
        if dearest <= 0:
            return [0] * len(worth), 1.0
        scale = _GREATEST / (dearest * largest)
        return [math.floor(each * scale) for each in worth], scale

    def best_ways(self, prices: Sequence[float]) -> list[tuple[int, list[Spot], float]]:
        """The most valuable way to cut each stock: stock, spots, value."""
        values, scale = self.values(prices)
        along, across = (max(space[axis] for space in self.spaces) for axis in (0, 1))
        best = best_values(along, across, self.ways, values)
        found = []
        for stock, space in enumerate(self.spaces):
            tree = best_tree(best, *space, self.ways, values)
            if tree is not None:
                spots: list[Spot] = []
                self._lay(tree, stock, 0, 0, spots)
                found.append((stock, spots, int(best[space]) / scale))
        return found

    def _lay(self, tree: Tree, stock: int, x: int, y: int, spots: list[Spot]) -> tuple[int, int]:
        """Put a tree's pieces down with their true sizes; returns how far it reaches along and across."""
        if isinstance(tree, Leaf):
            way = tree.way
            size = self.sizes[way.kind, way.turn]
            spots.append(self._spot(way, stock, x, y))
            return size
        assert isinstance(tree, Split)
        first = self._lay(tree.low, stock, x, y, spots)
        if tree.axis == 0:
            second = self._lay(tree.high, stock, x + first[0], y, spots)
            return first[0] + second[0], max(first[1], second[1])
        second = self._lay(tree.high, stock, x, y + first[1], spots)
        return max(first[0], second[0]), first[1] + second[1]

    def _spot(self, way: Way, stock: int, along: int, across: int) -> Spot:
        kind = self.kinds[way.kind]
        if self.stocks[stock].grain == "length":
            return Spot(way.kind, way.turn, along, across)
        turned = kind.lengthwise[way.turn]
        sizes = (turned.width, turned.length)
        turn = next(n for n, each in enumerate(kind.crosswise) if (each.length, each.width) == sizes)
        return Spot(way.kind, turn, across, along)

    def bound(
        self,
        prices: Sequence[float],
        demands: Sequence[int],
        weight: Sequence[float],
        limits: Sequence[int | None],
    ) -> float:
        """A weight that no plan of through cuts goes below (Farley, Operations Research 38 (1990) 922-923).

        Prices at which no way to cut a stock is worth more than the stock prove that the demand costs at least what
        it is worth. They are scaled down until that holds, and what limited free stock could hold is taken off.

        Args:
            prices: of each single kind, from 0 up.
            demands: of each single kind.
            weight: of each stock.
            limits: of each stock.
        """
        values, scale = self.values(prices)
        along, across = (max(space[axis] for space in self.spaces) for axis in (0, 1))
        usable = [way for way in self.least if way.along and way.across]
        if len(usable) < len(self.least):
            return 0.0
        best = best_values(along, across, usable, values)
        worth = [(int(best[space]) + len(self.kinds)) / scale for space in self.spaces]
        bought = [stock for stock, each in enumerate(weight) if each > 0]
        if any(limits[stock] is None for stock, each in enumerate(weight) if each <= 0 and worth[stock] > 0):
            return 0.0
        factor = min((weight[stock] / worth[stock] for stock in bought if worth[stock] > 0), default=0.0)
        total = sum(demand * values[kind] / scale for kind, demand in enumerate(demands))
        free = sum((limits[stock] or 0) * worth[stock] for stock, each in enumerate(weight) if each <= 0)
        return max(0.0, factor * (total - free))


def frame_of(kinds: Sequence[Kind], stocks: Sequence[Stock], rooms: Sequence[Room], kerf: int, cells: int) -> Frame:
    """Put kinds and stock on the finest grid that has at most so many cells; an exact one where sizes allow it."""
    spaces = [_along(stock, room.length + kerf, room.width + kerf) for stock, room in zip(stocks, rooms, strict=True)]
    sizes = {
        (number, turn): (each.length + kerf, each.width + kerf)
        for number, kind in enumerate(kinds)
        for turn, each in enumerate(kind.lengthwise)
    }
    along, across = (max(space[axis] for space in spaces) for axis in (0, 1))
    common = math.gcd(*(size for pair in sizes.values() for size in pair))
    coarse = math.ceil(math.sqrt(along * across / cells))
    unit = common if (along // common) * (across // common) <= cells else coarse
    return Frame(
        kinds,
        stocks,
        unit,
        tuple(Way(*key, -(-size[0] // unit), -(-size[1] // unit)) for key, size in sizes.items()),
        tuple(Way(*key, size[0] // unit, size[1] // unit) for key, size in sizes.items()),
        tuple((space[0] // unit, space[1] // unit) for space in spaces),
        sizes,
    )


def _along(stock: Stock, length: int, width: int) -> tuple[int, int]:
    return (length, width) if stock.grain == "length" else (width, length)
