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
from hullcut.nesting.mix_bound import Conditions
from hullcut.nesting.mixes import choose, filled_stock
from hullcut.nesting.pricing import Frame, frame_of
from hullcut.nesting.solver import Program
from hullcut.nesting.values import Rules
from hullcut.nesting.ways import SLACK, Budget, Pool, Way, pool_of

__all__ = ["Found", "Ways", "search", "searched"]


#: the exact search joins fillings in each of so many rounds.
_EXACT_EACH = 8
#: the exact search goes on while this share is gained in so many rounds.
_WORTH, _LOOK_BACK = 5e-4, 4
#: share of its stock's weight that a way must be worth more to change prices for the bound.
_NEAR = 1e-3
#: how many more rounds with the finer grid a plan of few sheets is worth.
_FINER = 5
#: cells of another look at the bound where the plan is no more than so many times the bound.
_CLOSER, _LITTLE = 3_000_000, 1.04
#: kinds up to which more mixes of whole sheets are looked at for the bound.
_KINDS = 36
#: rounds of prices for the bound where pieces are wanted once or twice.
_SELDOM = 3
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


@dataclass(frozen=True, slots=True)
class Ways:
    """What a search found, as ways to cut; none where no plan is lighter than those known.

    Attributes:
        ways: as often as they are used.
        at_least: weight that no plan of these blanks goes below.
    """

    ways: tuple[Way, ...]
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
    pool, found, _ = searched(boxes, offers, available, rules, budget, known, proven)
    return Found(filled_stock(pool, found.ways) if found.ways else None, found.at_least)


def searched(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    available: Mapping[str, int | None],
    rules: Rules,
    budget: Budget,
    known: Sequence[Sequence[Filled]],
    proven: float,
) -> tuple[Pool, Ways, float]:
    """The same, as ways to cut: the pool, what was found, and the weight of the best plan there is."""
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
    conditions = Conditions(pool.weight, pool.limits)
    at_least = _price(pool, conditions, proven, best)
    chosen = choose(pool, conditions, rounded_up(max(proven, at_least), offers), best) or first
    best = min(best, pool.weigh(chosen)) if chosen else best
    at_least = _closer(pool, conditions, max(proven, at_least), best)
    return pool, Ways(tuple(chosen), at_least), best


def _price(pool: Pool, conditions: Conditions, proven: float, best: float) -> float:
    """Rounds of pricing; returns the weight that no plan goes below.

    Args:
        pool: gathers the ways.
        conditions: on how many of each stock any plan uses; more are added.
        proven: weight that no plan goes below, as far as is known.
        best: weight of the best plan known; no bound above it is looked for.
    """
    program = Program(pool.demands, pool.limits)
    for way in pool.ways.values():
        program.add(way.stock, way.counts, pool.weight[way.stock])
    fine = frame_of(pool.kinds, pool.stocks, pool.rooms, pool.kerf, pool.budget.fine_cells)
    coarse = frame_of(pool.kinds, pool.stocks, pool.rooms, pool.kerf, pool.budget.cells)
    # Where the fine grid loses nothing it is small enough for every round.
    frame = fine if fine.lossless else coarse
    exact = pool.often
    still = 0
    # With one stock, and no piece wanted often, the first rounds find nearly all that more of them would.
    few = len(pool.stocks) == 1 and not exact
    for number in range(pool.budget.rounds * 2 // 3 if few else pool.budget.rounds):
        answer = program.prices()
        if answer is None:
            return proven
        fresh = pool.fills_by_worth(*answer, pool.budget.fills)
        if exact and number % _EXACT_EACH == 0:
            fresh += _exact_ways(pool, frame, *answer)
        _join(pool, program, fresh)
        still = 0 if fresh else still + 1
        if still > _PATIENCE:
            break
    _settle(pool, program, frame, pool.budget.exact if exact else 0)
    return max(proven, _fine(pool, program, fine, conditions, exact, proven, best))


def _settle(pool: Pool, program: Program, frame: Frame, rounds: int) -> None:
    """Rounds of the exact search alone, while they bring something."""
    values: list[float] = []
    for _ in range(rounds):
        answer = program.prices()
        fresh = _exact_ways(pool, frame, *answer) if answer is not None else []
        values.append(program.value())
        slow = len(values) > _LOOK_BACK and values[-1] > (1.0 - _WORTH) * values[-1 - _LOOK_BACK]
        if not fresh or slow:
            break
        _join(pool, program, fresh)


def _join(pool: Pool, program: Program, ways: Sequence[Way]) -> None:
    for way in ways:
        program.add(way.stock, way.counts, pool.weight[way.stock])


def _exact_ways(pool: Pool, frame: Frame, prices: Sequence[float], shortage: Sequence[float]) -> list[Way]:
    fresh = []
    for stock, spots, value in frame.best_ways(prices):
        if value > pool.weight[stock] - shortage[stock] + SLACK:
            way = pool.add(stock, spots)
            if way is not None:
                fresh.append(way)
    return fresh


def _fine(
    pool: Pool, program: Program, frame: Frame, conditions: Conditions, exact: bool, proven: float, best: float
) -> float:
    """The bound from prices on a fine grid, ways found there used too; then conditions on whole sheets."""
    conditions.add(frame.areas, sum(n * kind.area for n, kind in zip(pool.demands, pool.kinds, strict=False)))
    few = pool.few(best)
    for _ in range(pool.budget.fine_rounds * (_FINER if few else 1)):
        answer = program.prices()
        if answer is None:
            break
        _condition(conditions, frame, answer[0], pool.demands)
        if conditions.lightest()[0] >= best - SLACK:
            break
        fresh = _exact_ways(pool, frame, *answer) if exact else []
        if not fresh:
            break
        _join(pool, program, fresh)
    at_least, numbers = conditions.lightest()
    for _ in range(pool.budget.mixes):
        if not numbers or at_least >= best - SLACK:
            break
        prices = _shortfall(pool, numbers)
        if prices is None or not _condition(conditions, frame, prices[0], pool.demands):
            break
        before = numbers
        at_least, numbers = conditions.lightest()
        if numbers == before:
            break
    if at_least < best - SLACK:
        # The mixes that are tried for a plan go by the conditions so far: those that follow leave few to try.
        further = Conditions(conditions.weight, conditions.limits, list(conditions.rows))
        _loosened(pool, frame, further, proven, best)
        if pool.few(best):
            _whole_mixes(pool, frame, further, best)
        at_least = max(at_least, further.lightest()[0])
    return min(at_least, best)


def _closer(pool: Pool, conditions: Conditions, at_least: float, best: float) -> float:
    """The bound once more on a far finer grid, where the plan is of few sheets and little is lacking to prove it."""
    little = at_least + SLACK < best <= _LITTLE * at_least
    if not little or not pool.few(best) or pool.budget.fine_cells >= _CLOSER:
        return at_least
    frame = frame_of(pool.kinds, pool.stocks, pool.rooms, pool.kerf, _CLOSER)
    further = Conditions(conditions.weight, conditions.limits, list(conditions.rows))
    _loosened(pool, frame, further, at_least, best)
    _whole_mixes(pool, frame, further, best)
    return min(max(at_least, further.lightest()[0]), best)


def _loosened(pool: Pool, frame: Frame, conditions: Conditions, proven: float, best: float) -> None:
    """Conditions from prices that suit the sizes of the scale: ways that only fit by the scale join their program."""
    program = Program(pool.demands, pool.limits)
    for way in pool.ways.values():
        program.add(way.stock, way.counts, pool.weight[way.stock])
    # Where pieces are wanted once or twice, ways with repeats are far too good, and prices prove little.
    for _ in range(pool.budget.loose_rounds if pool.often else min(_SELDOM, pool.budget.loose_rounds)):
        answer = program.prices()
        if answer is None or (len(pool.stocks) == 1 and rounded_up(program.value(), pool.stocks) <= proven):
            # With one stock no prices prove more than the linear program comes to.
            break
        dear = [(each - less) * (1.0 + _NEAR) + SLACK for each, less in zip(pool.weight, answer[1], strict=True)]
        found = frame.most(answer[0], pool.demands, dear)
        if found is None:
            break
        conditions.add(found.held, found.wanted)
        for stock, counts in found.counts.items():
            program.add(stock, counts, pool.weight[stock])
        if not found.counts or conditions.lightest()[0] >= best - SLACK:
            break


def _whole_mixes(pool: Pool, frame: Frame, conditions: Conditions, best: float) -> None:
    """Conditions that rule out the lightest mix of whole sheets, one mix after another, as far as prices can.

    For each mix the prices are those of what finds no room in it; ways that only fit by the scale join here too.
    """
    loose: list[tuple[int, tuple[int, ...]]] = []
    at_least, numbers = conditions.lightest()
    for _ in range(max(pool.budget.mixes, pool.budget.mixes * _KINDS // len(pool.kinds))):
        prices = _shortfall(pool, numbers, loose) if numbers and at_least < best - SLACK else None
        if prices is None:
            break
        found = frame.most(prices[0], pool.demands, [_NEAR - less * (1.0 + _NEAR) for less in prices[1]])
        if found is None:
            break
        conditions.add(found.held, found.wanted)
        loose += found.counts.items()
        before = numbers
        at_least, numbers = conditions.lightest()
        if numbers == before and not found.counts:
            break


def _condition(conditions: Conditions, frame: Frame, prices: Sequence[float], demands: Sequence[int]) -> bool:
    found = frame.most(prices, demands)
    if found is None:
        return False
    conditions.add(found.held, found.wanted)
    return True


def _shortfall(
    pool: Pool, numbers: Sequence[int], loose: Sequence[tuple[int, tuple[int, ...]]] = ()
) -> tuple[Sequence[float], Sequence[float]] | None:
    """Prices by which the ways known do not get all that is wanted out of so many of each stock; None if they do.

    Args:
        pool: the ways known.
        numbers: of each stock.
        loose: further ways: stock and how many of each single kind.

    Returns:
        What each single kind is worth, and what each stock is short of, from 0 down.
    """
    program = Program(pool.demands, numbers)
    for kind in range(pool.singles):
        program.add_gap(kind, pool.kinds[kind].area)
    for way in pool.ways.values():
        program.add(way.stock, way.counts, 0.0)
    for stock, counts in loose:
        program.add(stock, counts, 0.0)
    answer = program.prices()
    if answer is None or program.value() < SLACK * pool.kinds[0].area:
        return None
    return answer
