"""The thorough method for through cuts: ways to cut a sheet, priced by a linear program, chosen by an integer one.

This is column generation after Gilmore and Gomory (1965). The linear program says what each piece is worth at the
moment; two searches look for a way to cut a sheet that is worth more than the sheet: the exact one of `knapsack`, in
which pieces may repeat without limit, and many fillings in order of worth, which use no more pieces than are wanted.
At the end one integer program takes the cheapest mix of all ways found, over all stock at once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hullcut.design.values import Stock
from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.boxes import Box
from hullcut.nesting.choose import Filled, weights
from hullcut.nesting.guillotine import Spot
from hullcut.nesting.mixes import choose, filled_stock
from hullcut.nesting.pricing import Frame, frame_of
from hullcut.nesting.solver import Program
from hullcut.nesting.values import Rules
from hullcut.nesting.ways import SLACK, Budget, Pool, Way, pool_of

__all__ = ["Found", "search"]


#: rounds without a way that pays, after which the prices count as settled.
_PATIENCE = 3


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found.

    Attributes:
        plan: the cheapest mix of stock, filled; None where it found none.
        at_least: weight that no plan of these blanks goes below.
    """

    plan: tuple[Filled, ...] | None
    at_least: float


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
    pool = pool_of(boxes, offers, available, rules, budget)
    number_of = {box.number: number for number, kind in enumerate(pool.kinds) for box in kind.boxes}
    place_of = {stock.id: place for place, stock in enumerate(pool.stocks)}
    for plan in known:
        for filled in plan:
            spots = [
                Spot(number_of[lie.box.number], lie.box.turns(filled.stock).index(lie.turn), lie.x, lie.y)
                for lie in filled.lying
            ]
            pool.add(place_of[filled.stock.id], spots)
    weight = weights(offers)
    best = min((sum(weight[filled.stock.id] for filled in plan) for plan in known), default=math.inf)
    first = pool.first_fills()
    if first and pool.weigh(first) < best - SLACK:
        best = pool.weigh(first)
    else:
        first = []
    at_least = _price(pool, proven)
    chosen = choose(pool, rounded_up(max(proven, at_least), offers), best) or first
    return Found(filled_stock(pool, chosen) if chosen else None, at_least)


def _price(pool: Pool, proven: float) -> float:
    """Rounds of pricing; returns the weight that no plan goes below."""
    program = Program(pool.demands, pool.limits)
    for way in pool.ways.values():
        program.add(way.stock, way.counts, pool.weight[way.stock])
    best = proven
    frame = frame_of(pool.kinds, pool.stocks, pool.rooms, pool.kerf, pool.budget.cells)
    exact = _repeats(pool)
    still = 0
    for _ in range(pool.budget.rounds):
        answer = program.prices()
        if answer is None:
            return best
        fresh = pool.fills_by_worth(*answer, pool.budget.fills)
        if exact:
            fresh += _exact_ways(pool, frame, *answer)
        for way in fresh:
            program.add(way.stock, way.counts, pool.weight[way.stock])
        still = 0 if fresh else still + 1
        if still > _PATIENCE:
            break
    return max(best, _fine(pool, program, exact))


def _repeats(pool: Pool) -> bool:
    """Whether pieces are wanted so often that ways with repeats are worth looking for."""
    return sum(pool.demands) >= 1.5 * len(pool.demands)


def _exact_ways(pool: Pool, frame: Frame, prices: Sequence[float], shortage: Sequence[float]) -> list[Way]:
    fresh = []
    for stock, spots, value in frame.best_ways(prices):
        if value > pool.weight[stock] - shortage[stock] + SLACK:
            way = pool.add(stock, spots)
            if way is not None:
                fresh.append(way)
    return fresh


def _fine(pool: Pool, program: Program, exact: bool) -> float:
    """The bound from prices on a fine grid, ways found there used too."""
    best = 0.0
    frame = frame_of(pool.kinds, pool.stocks, pool.rooms, pool.kerf, pool.budget.fine_cells)
    for _ in range(pool.budget.fine_rounds):
        answer = program.prices()
        if answer is None:
            return best
        best = max(best, frame.bound(answer[0], pool.demands, pool.weight, pool.limits))
        fresh = _exact_ways(pool, frame, *answer) if exact else []
        if not fresh:
            break
        for way in fresh:
            program.add(way.stock, way.counts, pool.weight[way.stock])
    return best
