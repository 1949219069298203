"""Ways to cut a sheet, gathered: what they hold, and fillings that look for more of them."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Room, from_grid, room_of, to_grid
from hullcut.nesting.choose import weights
from hullcut.nesting.guillotine import CHOICES, SPLITS, Choice, Item, Split, Spot, fill_in_order
from hullcut.nesting.kinds import Kind, kinds_of
from hullcut.nesting.values import Rules

__all__ = ["EFFORTS", "SLACK", "Budget", "Pool", "Way", "pool_of"]


@dataclass(frozen=True, slots=True)
class Budget:
    """How many steps a search may take.

    Attributes:
        first: pieces times packing rules of the first fillings of each stock.
        rounds: of pricing.
        fills: in order of worth, in each round.
        cells: of the exact search while ways are looked for.
        fine_cells: of the exact search for the bound.
        fine_rounds: rounds with the finer grid.
        ways: that go into the integer program.
        nodes: of the integer program.
        more: fills once prices are settled.
        dives: from prices to a whole plan.
        dive_fills: in each round of a dive.
        mixes: of whole sheets that are tried for the bound.
        targets: mixes that are tried for a plan.
        exact: rounds of the exact search by itself.
        loose_rounds: rounds of prices for the bound.
    """

    first: int
    rounds: int
    fills: int
    cells: int
    fine_cells: int
    fine_rounds: int
    ways: int
    nodes: int
    more: int
    dives: int
    dive_fills: int
    mixes: int
    targets: int
    exact: int
    loose_rounds: int


EFFORTS: dict[str, Budget] = {
    "normal": Budget(3000, 30, 60, 30_000, 300_000, 3, 250, 1, 300, 4, 16, 8, 6, 40, 8),
    "long": Budget(30_000, 80, 200, 400_000, 4_000_000, 24, 4000, 1000, 10_000, 40, 60, 60, 60, 100, 60),
}

_SEED = 20_261
_LEAST_TRIES = 6
#: pieces of each kind from which ways with repeats are worth the exact search.
_OFTEN = 5.0
#: heaviest sheets in a plan whose mix of stock is looked at as a whole, and kinds of pieces.
_FEW, _FEW_KINDS = 30, 12
#: weight within which two sums are one.
SLACK = 1e-7


def _by_area(item: Item) -> tuple[int, int]:
    _, long, wide = item.ways[0]
    return long * wide, long


def _by_longer(item: Item) -> tuple[int, int]:
    return max(item.ways[0][1:]), min(item.ways[0][1:])


def _by_shorter(item: Item) -> tuple[int, int]:
    return min(item.ways[0][1:]), max(item.ways[0][1:])


def _by_width(item: Item) -> tuple[int, int]:
    return item.ways[0][2], item.ways[0][1]


def _by_length(item: Item) -> tuple[int, int]:
    return item.ways[0][1], item.ways[0][2]


_Rule = tuple[Choice, Split, Callable[[Item], tuple[int, int]]]
#: how a sheet is filled: which free rectangle, which cut first, and in which order the items come.
_RULES: tuple[_Rule, ...] = tuple(
    (choice, split, order)
    for order in (_by_area, _by_longer, _by_shorter, _by_width, _by_length)
    for choice in CHOICES
    for split in SPLITS
)
#: every so manyth rule is tried where a sheet is filled once more.
_FEW_RULES = 6


@dataclass(frozen=True, slots=True)
class Way:
    """A way to cut one piece of a stock."""

    stock: int
    spots: tuple[Spot, ...]
    counts: tuple[int, ...]


@dataclass(slots=True)
class Pool:
    """One search for one group; it only gathers ways to cut."""

    kinds: tuple[Kind, ...]
    stocks: list[Stock]
    rooms: list[Room]
    limits: list[int | None]
    weight: list[float]
    kerf: int
    budget: Budget
    singles: int = 0
    demands: list[int] = field(default_factory=list)
    ways: dict[tuple[int, tuple[int, ...]], Way] = field(default_factory=dict)
    random: random.Random = field(default_factory=lambda: random.Random(_SEED))
    known: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, 0)))
    alone: dict[tuple[int, tuple[int, ...]], Way | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.singles = sum(bool(kind.boxes) for kind in self.kinds)
        self.demands = [len(kind.boxes) for kind in self.kinds[: self.singles]]
        self.known = np.zeros((0, self.singles))

    @property
    def often(self) -> bool:
        """Whether pieces are wanted so often that ways with repeats are worth looking for."""
        return sum(self.demands) >= _OFTEN * len(self.demands)

    def few(self, weight: float) -> bool:
        """Whether pieces are wanted often and kinds and sheets are few, so that a mix of stock is looked at whole.

        Args:
            weight: of a plan.
        """
        mixed = sum(each > 0 for each in self.weight) > 1
        return mixed and self.often and self.singles <= _FEW_KINDS and weight <= _FEW * max(self.weight)

    def way(self, stock: int, spots: Sequence[Spot]) -> Way:
        """A way to cut, kept; the one that is known already where it has the same pieces."""
        counts = [0] * self.singles
        for spot in spots:
            for kind, count in self.kinds[spot.kind].cover:
                counts[kind] += count
        key = (stock, tuple(counts))
        if key not in self.ways:
            self.ways[key] = Way(stock, tuple(spots), tuple(counts))
        return self.ways[key]

    def add(self, stock: int, spots: Sequence[Spot]) -> Way | None:
        """Keep a way to cut; None where one with the same pieces is known, or it holds nothing."""
        before = len(self.ways)
        way = self.way(stock, spots) if spots else None
        return way if len(self.ways) > before else None

    def items(self, stock: int, demands: Sequence[int]) -> list[Item]:
        """Every single piece that fits a stock, as often as it is wanted and could find room."""
        room = self.rooms[stock]
        found: list[Item] = []
        for number, demand in enumerate(demands):
            item = self.item(number, stock)
            if item.ways and demand:
                _, long, wide = item.ways[0]
                most = (room.length + self.kerf) * (room.width + self.kerf) // (long * wide)
                found += [item] * min(demand, most)
        return found

    def item(self, number: int, stock: int) -> Item:
        """A kind as filling sees it, with the ways in which it fits a stock."""
        room = self.rooms[stock]
        turns = self.kinds[number].turns(self.stocks[stock])
        return Item(
            number,
            tuple(
                (place, turn.length + self.kerf, turn.width + self.kerf)
                for place, turn in enumerate(turns)
                if turn.length <= room.length and turn.width <= room.width
            ),
        )

    def stacks(self, stock: int, demands: Sequence[int]) -> list[Item]:
        """Stacks that fit a stock, as often as all their parts are wanted, at most a few times."""
        found: list[Item] = []
        for number in range(self.singles, len(self.kinds)):
            item = self.item(number, stock)
            often = min(demands[kind] // count for kind, count in self.kinds[number].cover)
            if item.ways and often:
                found += [item] * min(often, 3)
        return found

    def first_fills(
        self,
        demands: Sequence[int] | None = None,
        limits: Sequence[int | None] | None = None,
        most: float = math.inf,
    ) -> list[Way]:
        """Ways from whole plans of one stock each, by many rules; the lightest plan that holds everything.

        The last way of a plan may be in another, lighter stock.

        Args:
            demands: how often each single piece is wanted; None for as often as at first.
            limits: how many of each stock can be had; None for as many as at first.
            most: what a plan must weigh less than.
        """
        demands = self.demands if demands is None else demands
        limits = self.limits if limits is None else limits
        best: list[Way] = []
        least = most
        for stock, limit in enumerate(limits):
            items = self.every_item(stock, demands)
            if not items or limit == 0:
                continue
            tries = min(len(_RULES), max(_LEAST_TRIES, self.budget.first // len(items)))
            for rule in _RULES[:: len(_RULES) // tries]:
                plan = [self.way(stock, spots) for spots in self.filled(stock, items, rule, limit or len(items))]
                spare = least - self.weigh(plan[:-1])
                if not self.complete(plan, demands) or spare <= SLACK:
                    continue
                plan[-1] = self.lighter(plan[-1], demands, plan[:-1], limits, spare)
                if self.weigh(plan) < least - SLACK:
                    best, least = plan, self.weigh(plan)
        return best

    def filled(self, stock: int, items: Sequence[Item], rule: _Rule, most: int) -> list[list[Spot]]:
        """So many of a stock at most, filled by a rule."""
        choice, split, order = rule
        return fill_in_order(sorted(items, key=order, reverse=True), *self.space(stock), choice, split, most)

    def lighter(
        self, last: Way, demands: Sequence[int], others: Sequence[Way], limits: Sequence[int | None], spare: float
    ) -> Way:
        """A way in the lightest stock that holds what a plan's last way is needed for; that way itself if none does.

        Args:
            last: of the plan.
            demands: how often each single piece is wanted.
            others: of the plan.
            limits: how many of each stock can be had.
            spare: what a way must weigh less than to be of use.
        """
        if not others:
            # A plan of one way in another stock is made by itself.
            return last
        held = np.sum([way.counts for way in others], axis=0)
        left = tuple(max(0, need - int(has)) for need, has in zip(demands, held, strict=True))
        area = sum(self.kinds[kind].area * count for kind, count in enumerate(left))
        for stock in sorted(range(len(self.stocks)), key=self.weight.__getitem__):
            if self.weight[stock] >= min(self.weight[last.stock], spare - SLACK):
                break
            limit, room = limits[stock], self.rooms[stock]
            out = limit is not None and sum(way.stock == stock for way in others) >= limit
            if out or from_grid(room.length) * from_grid(room.width) < area:
                continue
            if (stock, left) not in self.alone:
                self.alone[stock, left] = self.holding(stock, left)
            way = self.alone[stock, left]
            if way is not None:
                return way
        return last

    def holding(self, stock: int, left: Sequence[int]) -> Way | None:
        """A way in one stock that holds so many of each single piece, by a few rules; None where none does."""
        items = self.every_item(stock, left)
        for rule in _RULES[::_FEW_RULES]:
            for spots in self.filled(stock, items, rule, 1):
                way = self.way(stock, spots)
                if self.complete([way], left):
                    return way
        return None

    def complete(self, ways: Sequence[Way], demands: Sequence[int]) -> bool:
        """Whether ways hold everything that is wanted."""
        held = np.sum([way.counts for way in ways], axis=0)
        return bool((held >= demands).all())

    def weigh(self, ways: Iterable[Way]) -> float:
        """What ways weigh together."""
        return sum(self.weight[way.stock] for way in ways)

    def every_item(self, stock: int, demands: Sequence[int]) -> list[Item]:
        """Every piece that fits a stock; stacks take the place of the parts that they hold."""
        left = list(demands)
        found: list[Item] = []
        ranked = sorted(range(self.singles, len(self.kinds)), key=lambda n: -len(self.kinds[n].members))
        for number in ranked:
            item = self.item(number, stock)
            while item.ways and all(left[kind] >= count for kind, count in self.kinds[number].cover):
                found.append(item)
                for kind, count in self.kinds[number].cover:
                    left[kind] -= count
        for number, demand in enumerate(left):
            item = self.item(number, stock)
            if item.ways:
                found += [item] * demand
        return found

    def space(self, stock: int) -> tuple[int, int]:
        """Usable length and width, a kerf included."""
        room = self.rooms[stock]
        return room.length + self.kerf, room.width + self.kerf

    def worth(self, number: int, prices: Sequence[float]) -> float:
        """What a kind is worth, by the prices of single pieces."""
        return sum(count * prices[kind] for kind, count in self.kinds[number].cover)

    def fills_by_worth(
        self,
        prices: Sequence[float],
        shortage: Sequence[float],
        fills: int,
        loss: float = 0.0,
        demands: Sequence[int] | None = None,
        limits: Sequence[int | None] | None = None,
        weight: Sequence[float] | None = None,
    ) -> list[Way]:
        """Ways that are worth more than their stock, from filling one sheet again and again.

        In turn the pieces are taken in order of worth, blurred; and as they lie in a way that pays already, with a few
        of them changed for others.

        Args:
            prices: of single pieces.
            shortage: of stock, from 0 down.
            fills: how many.
            loss: what a way may cost above what it holds is worth.
            demands: how often each single piece is still wanted; None for as often as at first.
            limits: how many of each stock can still be had; None for as many as at first.
            weight: of each stock; None for what they weigh.
        """
        fresh = []
        wanted = self.demands if demands is None else demands
        limits = self.limits if limits is None else limits
        weight = self.weight if weight is None else weight
        offered = [
            stock for stock in range(len(self.stocks)) if (self.limits if limits is None else limits)[stock] != 0
        ]
        worth = [self.worth(number, prices) + 1e-9 for number in range(len(self.kinds))]
        items = {stock: [*self.items(stock, wanted), *self.stacks(stock, wanted)] for stock in offered}
        paying = {stock: self.paying(stock, worth, weight[stock] - shortage[stock]) for stock in offered}
        for turn in range(fills if offered else 0):
            stock = offered[turn % len(offered)]
            if not items[stock]:
                continue
            if turn // len(offered) % 2 and paying[stock]:
                order = self.changed(self.random.choice(paying[stock]), items[stock], worth)
            else:
                order = self.blurred(items[stock], worth)
            choice, split = self.random.choice(CHOICES), self.random.choice(SPLITS)
            filled = fill_in_order(order, *self.space(stock), choice, split, 1)
            spots = self.within(filled[0], wanted) if filled else []
            value = sum(worth[spot.kind] for spot in spots)
            if value > weight[stock] - shortage[stock] - loss + SLACK:
                way = self.add(stock, spots)
                if way is not None:
                    fresh.append(way)
        return fresh

    def blurred(self, items: Sequence[Item], worth: Sequence[float]) -> list[Item]:
        """Items by worth for their size, by chance a little out of order."""
        power = self.random.uniform(0.3, 1.1)
        noise = self.random.choice((0.05, 0.2, 0.4))
        grade = {item.kind: worth[item.kind] / float(item.ways[0][1] * item.ways[0][2]) ** power for item in items}
        # What Random.uniform reckons, without a call of Python's for each of very many items.
        least, chance = 1.0 - noise, self.random.random
        span = (1.0 + noise) - least
        keys = [-grade[item.kind] * (least + span * chance()) for item in items]
        return [items[place] for place in sorted(range(len(items)), key=keys.__getitem__)]

    def changed(self, way: Way, items: Sequence[Item], worth: Sequence[float]) -> list[Item]:
        """The items of a way in their order with some left out, then all others."""
        by_kind = {item.kind: item for item in items}
        kept = [by_kind[spot.kind] for spot in way.spots if spot.kind in by_kind]
        for _ in range(min(len(kept) - 1, self.random.choice((1, 1, 2, 3)))):
            kept.pop(self.random.randrange(len(kept)))
        for _ in range(self.random.choice((0, 1, 2))):
            kept.insert(self.random.randrange(len(kept) + 1), self.random.choice(items))
        rest = self.blurred(items, worth)
        return [*kept, *rest]

    def paying(self, stock: int, worth: Sequence[float], cost: float) -> list[Way]:
        """The ways that cost nothing on top of what they hold is worth."""
        every, counts, stocks = self.table()
        least = cost - SLACK * max(1.0, cost)
        pays = (counts @ np.array(worth[: self.singles]) >= least) & (stocks == stock)
        return [every[number] for number in np.flatnonzero(pays)]

    def table(self) -> tuple[list[Way], NDArray[np.float64], NDArray[np.int64]]:
        """All ways, what each holds, and its stock."""
        every = list(self.ways.values())
        if len(every) > len(self.known):
            fresh = np.array([way.counts for way in every[len(self.known) :]], dtype=float)
            self.known = np.concatenate([self.known, fresh.reshape(-1, self.singles)])
        return every, self.known, np.array([way.stock for way in every], dtype=np.int64)

    def within(self, spots: Sequence[Spot], demands: Sequence[int]) -> list[Spot]:
        """The spots whose pieces are all wanted: parts and stacks that hold them may not come to more together."""
        left = list(demands)
        kept = []
        for spot in spots:
            cover = self.kinds[spot.kind].cover
            if any(left[kind] >= count for kind, count in cover):
                kept.append(spot)
                for kind, count in cover:
                    left[kind] -= count
        return kept


def pool_of(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    available: Mapping[str, int | None],
    rules: Rules,
    budget: Budget,
) -> Pool:
    """An empty pool for a group; the arguments are those of `patterns.search`."""
    weight = weights(offers)
    usable = [(stock, room_of(stock, rules)) for stock in offers if available[stock.id] != 0]
    usable = [(stock, room) for stock, room in usable if any(box.fits(stock, room) for box in boxes)]
    stocks = [stock for stock, _ in usable]
    return Pool(
        kinds_of(boxes, rules, rules.cutting == "through"),
        stocks,
        [room for _, room in usable],
        [available[stock.id] for stock in stocks],
        [weight[stock.id] for stock in stocks],
        to_grid(rules.kerf),
        budget,
    )
