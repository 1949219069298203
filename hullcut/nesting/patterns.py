"""The thorough method for through cuts: ways to cut a sheet, priced by a linear program, chosen by an integer one.

This is column generation after Gilmore and Gomory (1965). The linear program says what each piece is worth at the
moment; two searches look for a way to cut a sheet that is worth more than the sheet: the exact one of `knapsack`, in
which pieces may repeat without limit, and many fillings in order of worth, which use no more pieces than are wanted.
At the end one integer program takes the cheapest mix of all ways found, over all stock at once.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hullcut.design.values import Stock
from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.boxes import Box, Room, room_of, to_grid
from hullcut.nesting.choose import Filled, weights
from hullcut.nesting.guillotine import CHOICES, SPLITS, Item, Spot, fill_in_order
from hullcut.nesting.kinds import Kind, kinds_of, taken_from
from hullcut.nesting.packing import Lying
from hullcut.nesting.pricing import Frame, frame_of
from hullcut.nesting.solver import Program
from hullcut.nesting.values import Rules

__all__ = ["EFFORTS", "Budget", "Found", "search"]


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
    """

    first: int
    rounds: int
    fills: int
    cells: int
    fine_cells: int
    fine_rounds: int
    ways: int
    nodes: int


EFFORTS: dict[str, Budget] = {
    "normal": Budget(3000, 24, 48, 30_000, 300_000, 2, 600, 40),
    "long": Budget(30_000, 80, 200, 120_000, 2_000_000, 12, 4000, 1000),
}

#: pieces times sheets in one integer program: beyond that its branches get costly, and fewer are looked at.
_HARD = 1500
_SEED = 20_261
_LEAST_TRIES = 6
#: share of the cheapest stock by which ways of one cost are told apart.
_TIE = 1e-4
_SLACK = 1e-7


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found.

    Attributes:
        plan: the cheapest mix of stock, filled; None where it found none.
        at_least: weight that no plan of these blanks goes below.
    """

    plan: tuple[Filled, ...] | None
    at_least: float


@dataclass(frozen=True, slots=True)
class _Way:
    """A way to cut one piece of a stock."""

    stock: int
    spots: tuple[Spot, ...]
    counts: tuple[int, ...]


@dataclass(slots=True)
class _Search:
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
    ways: dict[tuple[int, tuple[int, ...]], _Way] = field(default_factory=dict)
    random: random.Random = field(default_factory=lambda: random.Random(_SEED))

    def __post_init__(self) -> None:
        self.singles = sum(bool(kind.boxes) for kind in self.kinds)
        self.demands = [len(kind.boxes) for kind in self.kinds[: self.singles]]

    def way(self, stock: int, spots: Sequence[Spot]) -> _Way:
        """A way to cut, kept; the one that is known already where it has the same pieces."""
        counts = [0] * self.singles
        for spot in spots:
            for kind, count in self.kinds[spot.kind].cover:
                counts[kind] += count
        key = (stock, tuple(counts))
        if key not in self.ways:
            self.ways[key] = _Way(stock, tuple(spots), tuple(counts))
        return self.ways[key]

    def add(self, stock: int, spots: Sequence[Spot]) -> _Way | None:
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

    def first_fills(self) -> list[_Way]:
        """Ways from whole plans of one stock each, by many rules; the lightest plan that holds everything."""
        rules = [(choice, split, order) for order in _ORDERS for choice in CHOICES for split in SPLITS]
        best: list[_Way] = []
        for stock, limit in enumerate(self.limits):
            items = self.every_item(stock, self.demands)
            if not items:
                continue
            tries = min(len(rules), max(_LEAST_TRIES, self.budget.first // len(items)))
            for choice, split, order in rules[:: len(rules) // tries]:
                ranked = sorted(items, key=order, reverse=True)
                sheets = fill_in_order(ranked, *self.space(stock), choice, split, limit or len(items))
                plan = [self.way(stock, spots) for spots in sheets]
                if self.complete(plan) and (not best or self.weigh(plan) < self.weigh(best) - _SLACK):
                    best = plan
        return best

    def complete(self, ways: Sequence[_Way]) -> bool:
        """Whether ways hold everything that is wanted."""
        held = np.sum([way.counts for way in ways], axis=0)
        return bool((held >= self.demands).all())

    def weigh(self, ways: Iterable[_Way]) -> float:
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
        room = self.rooms[stock]
        return room.length + self.kerf, room.width + self.kerf

    def worth(self, number: int, prices: Sequence[float]) -> float:
        return sum(count * prices[kind] for kind, count in self.kinds[number].cover)

    def fills_by_worth(self, prices: Sequence[float], shortage: Sequence[float], fills: int) -> list[_Way]:
        """Ways that are worth more than their stock, from filling one sheet in order of worth again and again."""
        fresh = []
        offered = [stock for stock in range(len(self.stocks)) if self.limits[stock] != 0]
        items = {stock: [*self.items(stock, self.demands), *self.stacks(stock, self.demands)] for stock in offered}
        for turn in range(fills):
            stock = offered[turn % len(offered)]
            if not items[stock]:
                continue
            power = self.random.uniform(0.3, 1.1)
            noise = self.random.choice((0.05, 0.2, 0.4))
            grade = [
                (self.worth(item.kind, prices) + 1e-9)
                / float(item.ways[0][1] * item.ways[0][2]) ** power
                * self.random.uniform(1.0 - noise, 1.0 + noise)
                for item in items[stock]
            ]
            order = sorted(range(len(grade)), key=lambda place: -grade[place])
            choice, split = CHOICES[turn % 3], SPLITS[turn // 3 % 4]
            filled = fill_in_order([items[stock][n] for n in order], *self.space(stock), choice, split, 1)
            spots = self.within(filled[0]) if filled else []
            value = sum(self.worth(spot.kind, prices) for spot in spots)
            if value > self.weight[stock] - shortage[stock] + _SLACK:
                way = self.add(stock, spots)
                if way is not None:
                    fresh.append(way)
        return fresh

    def within(self, spots: Sequence[Spot]) -> list[Spot]:
        """The spots whose pieces are all wanted: parts and stacks that hold them may not come to more together."""
        left = list(self.demands)
        kept = []
        for spot in spots:
            cover = self.kinds[spot.kind].cover
            if any(left[kind] >= count for kind, count in cover):
                kept.append(spot)
                for kind, count in cover:
                    left[kind] -= count
        return kept


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


_ORDERS: tuple[Callable[[Item], tuple[int, int]], ...] = (_by_area, _by_longer, _by_shorter, _by_width, _by_length)


def search(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    available: Mapping[str, int | None],
    rules: Rules,
    budget: Budget,
    known: Sequence[Sequence[Filled]],
    proven: float,
) -> Found:
    """Look for the cheapest mix of stock and ways to cut it.

    Args:
        boxes: of one wood and thickness.
        offers: stock of that wood and thickness.
        available: how many of each stock id are still to be had; None for as many as needed.
        rules: how the shop cuts.
        budget: how many steps to take.
        known: plans that are known already; their ways of cutting are used too.
        proven: weight that no plan goes below, as far as is known.
    """
    seeker = _seeker(boxes, offers, available, rules, budget)
    number_of = {box.number: number for number, kind in enumerate(seeker.kinds) for box in kind.boxes}
    place_of = {stock.id: place for place, stock in enumerate(seeker.stocks)}
    for plan in known:
        for filled in plan:
            spots = [
                Spot(number_of[lie.box.number], lie.box.turns(filled.stock).index(lie.turn), lie.x, lie.y)
                for lie in filled.lying
            ]
            seeker.add(place_of[filled.stock.id], spots)
    weight = weights(offers)
    best = min((sum(weight[filled.stock.id] for filled in plan) for plan in known), default=math.inf)
    first = seeker.first_fills()
    if first and seeker.weigh(first) < best - _SLACK:
        best = seeker.weigh(first)
    else:
        first = []
    at_least = _price(seeker, proven)
    chosen = _choose(seeker, rounded_up(max(proven, at_least), offers), best) or first
    return Found(_filled(seeker, chosen) if chosen else None, at_least)


def _seeker(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    available: Mapping[str, int | None],
    rules: Rules,
    budget: Budget,
) -> _Search:
    weight = weights(offers)
    usable = [(stock, room_of(stock, rules)) for stock in offers if available[stock.id] != 0]
    usable = [(stock, room) for stock, room in usable if any(box.fits(stock, room) for box in boxes)]
    stocks = [stock for stock, _ in usable]
    return _Search(
        kinds_of(boxes, rules, rules.cutting == "through"),
        stocks,
        [room for _, room in usable],
        [available[stock.id] for stock in stocks],
        [weight[stock.id] for stock in stocks],
        to_grid(rules.kerf),
        budget,
    )


def _price(seeker: _Search, proven: float) -> float:
    """Rounds of pricing; returns the weight that no plan goes below."""
    program = Program(seeker.demands, seeker.limits)
    for way in seeker.ways.values():
        program.add(way.stock, way.counts, seeker.weight[way.stock])
    best = proven
    frame = frame_of(seeker.kinds, seeker.stocks, seeker.rooms, seeker.kerf, seeker.budget.cells)
    exact = _repeats(seeker)
    still = 0
    for _ in range(seeker.budget.rounds):
        answer = program.prices()
        if answer is None:
            return best
        fresh = seeker.fills_by_worth(*answer, seeker.budget.fills)
        if exact:
            fresh += _exact_ways(seeker, frame, *answer)
        for way in fresh:
            program.add(way.stock, way.counts, seeker.weight[way.stock])
        still = 0 if fresh else still + 1
        if still > 1:
            break
    return max(best, _fine(seeker, program, exact))


def _repeats(seeker: _Search) -> bool:
    """Whether pieces are wanted so often that ways with repeats are worth looking for."""
    return sum(seeker.demands) >= 1.5 * len(seeker.demands)


def _exact_ways(seeker: _Search, frame: Frame, prices: Sequence[float], shortage: Sequence[float]) -> list[_Way]:
    fresh = []
    for stock, spots, value in frame.best_ways(prices):
        if value > seeker.weight[stock] - shortage[stock] + _SLACK:
            way = seeker.add(stock, spots)
            if way is not None:
                fresh.append(way)
    return fresh


def _fine(seeker: _Search, program: Program, exact: bool) -> float:
    """The bound from prices on a fine grid, ways found there used too."""
    best = 0.0
    frame = frame_of(seeker.kinds, seeker.stocks, seeker.rooms, seeker.kerf, seeker.budget.fine_cells)
    for _ in range(seeker.budget.fine_rounds):
        answer = program.prices()
        if answer is None:
            return best
        best = max(best, frame.bound(answer[0], seeker.demands, seeker.weight, seeker.limits))
        fresh = _exact_ways(seeker, frame, *answer) if exact else []
        if not fresh:
            break
        for way in fresh:
            program.add(way.stock, way.counts, seeker.weight[way.stock])
    return best


def _choose(seeker: _Search, at_least: float, best: float) -> list[_Way]:
    """The cheapest whole mix of ways that is lighter than the best plan known; none where there is none."""
    step = _step(seeker.weight)
    ways, floor = _promising(seeker, best - step)
    if not ways or rounded_up(floor - _SLACK, seeker.stocks) > best - step + _SLACK:
        return []
    program = Program(seeker.demands, seeker.limits)
    for way in ways:
        capped = [min(count, demand) for count, demand in zip(way.counts, seeker.demands, strict=True)]
        program.add(way.stock, capped, seeker.weight[way.stock])
    if best < math.inf:
        program.limit_cost(best - step + _SLACK)
    tie = _TIE * min((weight for weight in seeker.weight if weight > 0), default=1.0)
    costs = [_cost(seeker, way, tie) for way in ways]
    nodes = max(1, min(seeker.budget.nodes, seeker.budget.nodes * _HARD // (len(ways) + 1)))
    answer = program.whole(costs, nodes, at_least + tie * 0.5 if at_least > 0 else None)
    if answer is None:
        return []
    return [way for way, count in zip(ways, answer.counts, strict=True) for _ in range(count)]


def _step(weight: Sequence[float]) -> float:
    """What two plans of different weight differ by at least: 0 where weights have no common measure."""
    whole = [round(each) for each in weight if each > 0]
    same = all(abs(each - round(each)) < _SLACK for each in weight)
    return float(math.gcd(*whole)) if whole and same else 0.0


def _cost(seeker: _Search, way: _Way, tie: float) -> float:
    """Weight, and a trifle: leftovers first, smallest first; then few sheets; then few blanks."""
    room = seeker.rooms[way.stock]
    area = room.length * room.width
    largest = max(each.length * each.width for each in seeker.rooms)
    if seeker.stocks[way.stock].kind == "leftover":
        return tie * 0.1 * area / largest
    held = sum(
        turn.length * turn.width
        for spot in way.spots
        for turn in (seeker.kinds[spot.kind].turns(seeker.stocks[way.stock])[spot.turn],)
    )
    return seeker.weight[way.stock] + tie * (1.0 + 0.4 * held / largest + 0.001 * len(way.spots))


def _promising(seeker: _Search, cutoff: float) -> tuple[list[_Way], float]:
    """The ways that a plan as light as the cutoff may use, the least costly first; and what the linear program comes to.

    A whole plan weighs at least what the linear program comes to and the losses of its ways on top.
    """
    ways = list(seeker.ways.values())
    program = Program(seeker.demands, seeker.limits)
    for way in ways:
        program.add(way.stock, way.counts, seeker.weight[way.stock])
    answer = program.prices()
    if answer is None:
        return [], math.inf
    prices, shortage = answer
    floor = program.value()

    def loss(way: _Way) -> float:
        value = sum(count * price for count, price in zip(way.counts, prices, strict=True) if count)
        return round(seeker.weight[way.stock] - shortage[way.stock] - value, 9)

    losses = [loss(way) for way in ways]
    ranked = sorted((each, number) for number, each in enumerate(losses) if each <= cutoff - floor + _SLACK)
    return [ways[number] for _, number in ranked[: seeker.budget.ways]], floor


def _filled(seeker: _Search, ways: Sequence[_Way]) -> tuple[Filled, ...]:
    """Ways with their pieces, leftovers first; blanks that are not wanted any more are left out."""
    left = [list(kind.boxes) for kind in seeker.kinds]
    order = sorted(
        ways,
        key=lambda way: (seeker.stocks[way.stock].kind != "leftover", way.stock, [-count for count in way.counts]),
    )
    plan = []
    for way in order:
        stock = seeker.stocks[way.stock]
        lying = []
        ranked = sorted(way.spots, key=lambda spot: -len(seeker.kinds[spot.kind].members))
        for spot in ranked:
            box = taken_from(seeker.kinds, spot.kind, left)
            if box is not None:
                lying.append(Lying(box, seeker.kinds[spot.kind].turns(stock)[spot.turn], spot.x, spot.y))
        if lying:
            plan.append(Filled(stock, seeker.rooms[way.stock], tuple(lying)))
    if any(left):
        return ()
    return tuple(plan)
