"""Whole mixes of ways to cut: the lightest plan that the ways found so far allow."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.choose import Filled
from hullcut.nesting.dive import dive, dive_into
from hullcut.nesting.kinds import taken_from
from hullcut.nesting.mix_bound import Conditions
from hullcut.nesting.packing import Lying
from hullcut.nesting.refill import refilled
from hullcut.nesting.rounding import rounded_down
from hullcut.nesting.solver import Program
from hullcut.nesting.ways import SLACK, Pool, Way

__all__ = ["choose", "filled_stock"]

#: ways times kinds in one integer program: beyond that its branches get costly, and fewer or none are looked at.
_HARD = 15_000
#: dives times kinds from prices to a whole plan, and the least number of dives.
_DIVES, _FEWEST = 300, 2
#: dives for each mix of stock that is tried.
_TRIES = 4
#: rounds of pricing before such a dive.
_ROUNDS = 12
#: share of the cheapest stock by which ways of one cost are told apart.
_TIE = 1e-4


def choose(pool: Pool, conditions: Conditions, at_least: float, best: float) -> list[Way]:
    """The lightest whole mix of ways that is lighter than the best plan known; none where there is none.

    Args:
        pool: the ways found.
        conditions: on how many of each stock any plan uses.
        at_least: weight that no plan goes below.
        best: weight of the best plan known.
    """
    step = _step(pool.weight)
    # Where a few sheets hold everything, hardly any way is used whole.
    found = rounded_down(pool, best) if pool.often and not pool.few(best) else []
    if found:
        best = pool.weigh(found)
    for number in range(min(pool.budget.dives, max(_FEWEST, pool.budget.dives * _DIVES // (4 * pool.singles)))):
        ways, floor, prices, shortage = _promising(pool, best - step)
        if not ways or not _possible(pool, floor, best - step):
            return found
        pool.fills_by_worth(prices, shortage, pool.budget.more, best - step - floor)
        dived = dive(pool, ways, best - step, number, pool.budget.dive_fills)
        if dived and pool.weigh(dived) < best - SLACK:
            found, best = dived, pool.weigh(dived)
            if best <= at_least + SLACK:
                return found
    whole = _whole(pool, at_least, best, step)
    if whole:
        found, best = whole, pool.weigh(whole)
    if pool.few(best):
        # Where pieces are wanted often, a few sheets of the plan can be mended by themselves.
        return refilled(pool, best, step) or found
    return _targeted(pool, conditions, best, step) or found


def _targeted(pool: Pool, conditions: Conditions, best: float, step: float) -> list[Way]:
    """A plan out of the lightest mix of stock that is not ruled out and yields one."""
    if sum(weight > 0 for weight in pool.weight) < 2 or best == math.inf:
        return []
    for numbers in conditions.mixes(best - step / 2, pool.budget.targets):
        plan = dive_into(pool, numbers, _TRIES, pool.budget.dive_fills * 2, _ROUNDS)
        if plan:
            return plan
    return []


def _possible(pool: Pool, floor: float, cutoff: float) -> bool:
    """Whether a whole plan can weigh no more than a cutoff where the linear program comes to `floor`."""
    return rounded_up(floor - SLACK, pool.stocks) <= cutoff + SLACK


def _whole(pool: Pool, at_least: float, best: float, step: float) -> list[Way]:
    """The cheapest mix by the integer program."""
    ways, floor, _, _ = _promising(pool, best - step)
    if not ways or not _possible(pool, floor, best - step):
        return []
    program = Program(pool.demands, pool.limits)
    for way in ways:
        capped = [min(count, demand) for count, demand in zip(way.counts, pool.demands, strict=True)]
        program.add(way.stock, capped, pool.weight[way.stock])
    if best < math.inf:
        program.limit_cost(best - step + SLACK)
    tie = _TIE * min((weight for weight in pool.weight if weight > 0), default=1.0)
    costs = [_cost(pool, way, tie) for way in ways]
    nodes = min(pool.budget.nodes, pool.budget.nodes * _HARD // (len(ways) * pool.singles + 1))
    if nodes == 0:
        return []
    answer = program.whole(costs, nodes, at_least + tie * 0.5 if at_least > 0 else None)
    if answer is None:
        return []
    return [way for way, count in zip(ways, answer.counts, strict=True) for _ in range(count)]


def _step(weight: Sequence[float]) -> float:
    """What two plans of different weight differ by at least: 0 where weights have no common measure."""
    bought = [each for each in weight if each > 0]
    if not bought:
        return 0.0
    if all(abs(each / min(bought) - round(each / min(bought))) < SLACK for each in bought):
        return min(bought)
    whole = all(abs(each - round(each)) < SLACK for each in bought)
    return float(math.gcd(*(round(each) for each in bought))) if whole else 0.0


def _cost(pool: Pool, way: Way, tie: float) -> float:
    """Weight, and a trifle: leftovers first, smallest first; then few sheets; then few blanks."""
    room = pool.rooms[way.stock]
    area = room.length * room.width
    largest = max(each.length * each.width for each in pool.rooms)
    if pool.stocks[way.stock].kind == "leftover":
        return tie * 0.1 * area / largest
    held = sum(
        turn.length * turn.width
        for spot in way.spots
        for turn in (pool.kinds[spot.kind].turns(pool.stocks[way.stock])[spot.turn],)
    )
    return pool.weight[way.stock] + tie * (1.0 + 0.4 * held / largest + 0.001 * len(way.spots))


def _promising(pool: Pool, cutoff: float) -> tuple[list[Way], float, Sequence[float], Sequence[float]]:
    """The ways that a plan as light as the cutoff may use, least costly first; the linear program's value and prices.

    A whole plan weighs at least what the linear program comes to and the losses of its ways on top.
    """
    ways = list(pool.ways.values())
    program = Program(pool.demands, pool.limits)
    for way in ways:
        program.add(way.stock, way.counts, pool.weight[way.stock])
    answer = program.prices()
    if answer is None:
        return [], math.inf, (), ()
    prices, shortage = answer
    floor = program.value()

    _, counts, stocks = pool.table()
    costs = np.array(pool.weight) - np.array(shortage)
    losses = np.round(costs[stocks] - counts @ np.array(prices), 9).tolist()
    ranked = sorted((each, number) for number, each in enumerate(losses) if each <= cutoff - floor + SLACK)
    return [ways[number] for _, number in ranked[: pool.budget.ways]], floor, prices, shortage


def filled_stock(pool: Pool, ways: Sequence[Way]) -> tuple[Filled, ...]:
    """Ways with their pieces, leftovers first; blanks that are not wanted any more are left out."""
    left = [list(kind.boxes) for kind in pool.kinds]
    order = sorted(
        ways,
        key=lambda way: (pool.stocks[way.stock].kind != "leftover", way.stock, [-count for count in way.counts]),
    )
    plan = []
    for way in order:
        stock = pool.stocks[way.stock]
        lying = []
        ranked = sorted(way.spots, key=lambda spot: -len(pool.kinds[spot.kind].members))
        for spot in ranked:
            box = taken_from(pool.kinds, spot.kind, left)
            if box is not None:
                lying.append(Lying(box, pool.kinds[spot.kind].turns(stock)[spot.turn], spot.x, spot.y))
        if lying:
            plan.append(Filled(stock, pool.rooms[way.stock], tuple(lying)))
    if any(left):
        return ()
    return tuple(plan)
