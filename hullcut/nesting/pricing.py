"""Pricing on a grid: the most valuable way to cut each stock, and the bound that prices prove."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Room, from_grid
from hullcut.nesting.guillotine import Spot
from hullcut.nesting.kinds import Kind
from hullcut.nesting.knapsack import Leaf, Split, Tree, Way, best_tree, best_values, leaves
from hullcut.nesting.scales import conservative_scale

__all__ = ["Frame", "Most", "frame_of"]

#: the greatest value of a whole sheet, so that sums of values stay within 32 bits.
_GREATEST = 2**29


@dataclass(frozen=True, slots=True)
class Most:
    """What prices prove.

    Attributes:
        held: the most that one of each stock can hold.
        wanted: the worth of all that is wanted.
        counts: of stock that holds more than was asked for, single pieces that come to its most on the grid, as often
            as they may repeat.
    """

    held: list[float]
    wanted: float
    counts: dict[int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Frame:
    """Kinds and stock on one grid, along the grain and across it.

    Attributes:
        kinds: of blanks.
        stocks: on offer.
        ways: how each kind may lie, sizes rounded up to whole units.
        spaces: of each stock along and across the grain in whole units, rounded down.
        least: how each kind may lie, sizes by a conservative scale.
        reaches: of each stock, by the same scale.
        sizes: (kind, way) to true sizes along and across the grain.
        areas: usable, of each stock, mm2.
        lossless: whether rounding to whole units changes no piece.
    """

    kinds: Sequence[Kind]
    stocks: Sequence[Stock]
    ways: tuple[Way, ...]
    spaces: tuple[tuple[int, int], ...]
    least: tuple[Way, ...]
    reaches: tuple[tuple[int, int], ...]
    sizes: dict[tuple[int, int], tuple[int, int]]
    areas: tuple[float, ...]
    lossless: bool

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

    def most(self, prices: Sequence[float], demands: Sequence[int], dear: Sequence[float] = ()) -> Most | None:
        """The most that one of each stock can hold by through cuts, and the worth of all that is wanted.

        Sizes go by a conservative scale and prices are rounded down, so that both sides hold for the true sizes.
        Pieces may repeat without limit; what is wanted bounds that too, by the area of the outlines alone.

        Args:
            prices: of each single kind, from 0 up.
            demands: of each single kind.
            dear: of each stock, the worth above which its pieces are counted; none where they need not be.

        Returns:
            None where the grid is too coarse for a piece.
        """
        if not all(way.along and way.across for way in self.least):
            return None
        values, scale = self.values(prices)
        along, across = (max(space[axis] for space in self.reaches) for axis in (0, 1))
        best = best_values(along, across, self.least, values)
        worth = [values[kind] / scale for kind in range(len(demands))]
        # A stack is worth the sum of its parts; rounding down may make it a trifle less than they are.
        loss = len(self.kinds) / scale
        held: list[float] = []
        counts: dict[int, tuple[int, ...]] = {}
        for stock, (space, area) in enumerate(zip(self.reaches, self.areas, strict=True)):
            value = int(best[space]) / scale
            held.append(min(value + loss, self._by_area(worth, demands, area)))
            if dear and value > dear[stock]:
                counts[stock] = self._counted(best_tree(best, *space, self.least, values), len(demands))
        return Most(held, sum(demand * each for demand, each in zip(demands, worth, strict=True)), counts)

    def _counted(self, tree: Tree | None, singles: int) -> tuple[int, ...]:
        """How many of each single kind a tree holds."""
        counts = [0] * singles
        for number in leaves(tree) if tree is not None else ():
            for kind, count in self.kinds[number].cover:
                counts[kind] += count
        return tuple(counts)

    def _by_area(self, worth: Sequence[float], demands: Sequence[int], area: float) -> float:
        """The most that so much area can hold if pieces could be cut to any shape, each as often as it is wanted."""
        total = 0.0
        ranked = sorted(range(len(demands)), key=lambda kind: -worth[kind] / self.kinds[kind].area)
        for kind in ranked:
            taken = min(demands[kind], area / self.kinds[kind].area)
            total += taken * worth[kind]
            area -= taken * self.kinds[kind].area
            if area <= 0:
                break
        return total


def frame_of(kinds: Sequence[Kind], stocks: Sequence[Stock], rooms: Sequence[Room], kerf: int, cells: int) -> Frame:
    """Put kinds and stock on the finest grid that has at most so many cells; an exact one where sizes allow it."""
    spaces = [_along(stock, room.length + kerf, room.width + kerf) for stock, room in zip(stocks, rooms, strict=True)]
    sizes = {
        (number, turn): (each.length + kerf, each.width + kerf)
        for number, kind in enumerate(kinds)
        for turn, each in enumerate(kind.lengthwise)
    }
    units = tuple(_unit(number, kinds, spaces, sizes, cells) for number in (0, 1))
    areas = [float(size[0] * size[1]) for size in sizes.values()]
    (along, far), (across, high) = (
        conservative_scale(
            [size[axis] for size in sizes.values()], [space[axis] for space in spaces], units[axis], areas
        )
        for axis in (0, 1)
    )
    return Frame(
        kinds,
        stocks,
        tuple(Way(*key, -(-size[0] // units[0]), -(-size[1] // units[1])) for key, size in sizes.items()),
        tuple((space[0] // units[0], space[1] // units[1]) for space in spaces),
        tuple(Way(*key, along[size[0]], across[size[1]]) for key, size in sizes.items()),
        tuple(zip(far, high, strict=True)),
        sizes,
        tuple(from_grid(room.length) * from_grid(room.width) for room in rooms),
        all(size[axis] % units[axis] == 0 for size in sizes.values() for axis in (0, 1)),
    )


def _unit(
    axis: int,
    kinds: Sequence[Kind],
    spaces: Sequence[tuple[int, int]],
    sizes: Mapping[tuple[int, int], tuple[int, int]],
    cells: int,
) -> int:
    """The unit along one axis: exact where the cells suffice, else finer where pieces are narrower."""
    greatest = [max(space[each] for space in spaces) for each in (0, 1)]
    common = [math.gcd(*(pair[each] for pair in sizes.values())) for each in (0, 1)]
    if (greatest[0] // common[0]) * (greatest[1] // common[1]) <= cells:
        return common[axis]
    # What rounding loses of a piece is a share of unit / size, so the units go by the mean of 1 / size.
    held = {key: max(1, len(kinds[key[0]].boxes)) * pair[0] * pair[1] for key, pair in sizes.items()}
    fineness = [sum(held[key] / pair[each] for key, pair in sizes.items()) for each in (0, 1)]
    steps = math.sqrt(cells * (greatest[axis] * fineness[axis]) / (greatest[1 - axis] * fineness[1 - axis]))
    unit = max(common[axis], math.ceil(greatest[axis] / max(1.0, steps)))
    return _best_unit(unit, axis, spaces, sizes, held)


def _best_unit(
    coarse: int,
    axis: int,
    spaces: Sequence[tuple[int, int]],
    sizes: Mapping[tuple[int, int], tuple[int, int]],
    held: Mapping[tuple[int, int], float],
) -> int:
    """The unit from `coarse` up in which pieces lose least by rounding, and spaces most."""
    total = sum(held.values())

    def lost(unit: int) -> float:
        small = sum(held[key] * (pair[axis] % unit) / pair[axis] for key, pair in sizes.items()) / total
        large = sum((space[axis] % unit) / space[axis] for space in spaces) / len(spaces)
        return round(small - large, 12)

    return min((coarse * step // 500 for step in range(500, 600)), key=lost)


def _along(stock: Stock, length: int, width: int) -> tuple[int, int]:
    return (length, width) if stock.grain == "length" else (width, length)
