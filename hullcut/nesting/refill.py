"""A plan out of a given mix of stock, mended: a few sheets are emptied and filled anew with what found no room.

This is a search of large neighbourhoods (Shaw, "Using constraint programming and local search methods to solve vehicle
routing problems", CP 1998, LNCS 1520, 417-431): each step frees a few sheets at random, prices fillings of what is
left, and lets a small integer program choose among them so that the least area stays uncut. A step that leaves no more
uncut than before is kept. Which mixes are tried comes from the ways known: each mix must yield all that is wanted by
the linear program, with something to spare for whole numbers.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from hullcut.nesting.solver import Program, lightest_whole
from hullcut.nesting.ways import SLACK, Pool, Way

__all__ = ["refilled"]

_SEED = 20_261
#: grid steps squared in the unit of area.
_SQUARE = 1e12
#: what a mix must yield above what is wanted; the first is tried first.
_SPARE = (0.035, 0.025, 0.018, 0.013, 0.009, 0.005, 0.002)
#: searches of one mix, each from other random numbers; searches in vain times stock on offer in all.
_STARTS, _IN_VAIN = 5, 35
#: share of what there is to spare with which a mix is content.
_NEARLY = 0.9
#: conditions on a mix before one is given up.
_CONDITIONS = 30
#: branches of the integer program that looks for a mix.
_BRANCHES = 100
#: share of its uses by which a way is taken as it is to begin with.
_KEPT = 0.85
#: sheets emptied in a step, each as likely; at most half of all.
_EMPTIED = (1, 2, 2, 3)
#: steps in all, and steps in a row that may bring nothing.
_STEPS, _PATIENCE = 120, 15
#: ways known that a step begins with.
_KNOWN = 400
#: rounds of pricing, fillings in each, ways and branches of the integer program in a step.
_ROUNDS, _FILLS, _WAYS, _NODES = 4, 50, 150, 10
#: share of the smallest piece's area that counts as nothing.
_NOTHING = 1e-7
#: what ways cost at most, so that chance decides between equal ones.
_CHANCE = 1e-5


def refilled(pool: Pool, best: float, step: float) -> list[Way]:
    """A plan lighter than the best one known; none where none was found.

    Args:
        pool: the ways known; nothing is added to it.
        best: weight of the best plan known.
        step: what two plans of different weight differ by at least.
    """
    rows: list[Sequence[float]] = []
    found: list[Way] = []
    tried: set[tuple[int, ...]] = set()
    in_vain = 0
    for spare in _SPARE:
        mix = _mix(pool, rows, spare)
        if mix is None or mix in tried or sum(map(_times, pool.weight, mix)) > best - max(step, SLACK) + SLACK:
            continue
        tried.add(mix)
        for start in range(_STARTS):
            plan = _Refill(pool, mix, random.Random(_SEED + start)).run()
            if plan:
                found, best = plan, pool.weigh(plan)
                break
            in_vain += len(pool.stocks)
            if in_vain >= _IN_VAIN:
                return found
    return found


def _times(weight: float, number: int) -> float:
    return weight * number


def _mix(pool: Pool, rows: list[Sequence[float]], spare: float) -> tuple[int, ...] | None:
    """The lightest mix that yields what is wanted and a share to spare, by the linear program over the ways known.

    Args:
        pool: the ways known.
        rows: conditions on mixes that hold for these ways: the yield of one of each stock; more are added.
        spare: the share.
    """
    for _ in range(_CONDITIONS):
        answer = lightest_whole(pool.weight, pool.limits, [(row, 1.0 + spare) for row in rows], _BRANCHES)
        if answer is None:
            return None
        free = [limit or 0 if weight <= 0 else 0 for weight, limit in zip(pool.weight, pool.limits, strict=True)]
        mix = tuple(max(pair) for pair in zip(answer[1], free, strict=True))
        program = Program([0] * pool.singles, mix)
        program.add_share(pool.demands)
        for way in pool.ways.values():
            program.add(way.stock, way.counts, 0.0)
        prices = program.prices()
        if prices is None:
            return None
        if -program.value() >= 1.0 + _NEARLY * spare:
            return mix
        rows.append([-each for each in prices[1]])
    return None


@dataclass(slots=True)
class _Refill:
    """One search in one mix; it only remembers what it begins with.

    Attributes:
        pool: the ways known.
        mix: how many of each stock.
        random: for which sheets are emptied, and for fillings.
        known: those of the ways that lose least by the prices of the mix.
        areas: of the blank of each single kind.
    """

    pool: Pool
    mix: Sequence[int]
    random: random.Random
    known: list[Way] = field(default_factory=list)
    areas: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        turns = [kind.lengthwise[0] for kind in self.pool.kinds[: self.pool.singles]]
        self.areas = [turn.length * turn.width / _SQUARE for turn in turns]

    def run(self) -> list[Way]:
        """A plan of this mix that holds everything; none where some piece finds no room."""
        plan = self.begun()
        uncut = self.uncut(plan)
        still = 0
        for _ in range(_STEPS):
            if uncut <= _NOTHING * min(self.areas):
                return plan
            if still >= _PATIENCE or not plan:
                break
            gone = set(self.random.sample(range(len(plan)), min((len(plan) + 1) // 2, self.random.choice(_EMPTIED))))
            kept = [way for number, way in enumerate(plan) if number not in gone]
            fresh = self.filled(kept, [plan[number] for number in sorted(gone)], uncut)
            still += 1
            if fresh is not None:
                plan = [*kept, *fresh]
                left = self.uncut(plan)
                still = 0 if left < uncut - SLACK else still
                uncut = left
        return []

    def begun(self) -> list[Way]:
        """A plan to begin with: the linear program's, rounded down, and the rest filled."""
        program = Program([0] * self.pool.singles, self.mix)
        program.add_share(self.pool.demands)
        ways = [way for way in self.pool.ways.values() if self.mix[way.stock]]
        for way in ways:
            program.add(way.stock, way.counts, 0.0)
        answer = program.prices()
        if answer is None:
            return []
        prices, shortage = np.array(answer[0]), answer[1]
        kept = [way for way, use in zip(ways, program.uses()[1:], strict=True) for _ in range(int(use * _KEPT + SLACK))]
        losses = [round(-shortage[way.stock] - float(prices @ way.counts), 9) for way in ways]
        self.known = [ways[number] for number in np.argsort(losses, kind="stable")[:_KNOWN]]
        return [*kept, *(self.filled(kept, (), math.inf) or ())]

    def left(self, plan: Sequence[Way]) -> list[int]:
        """How many of each single kind a plan does not hold."""
        held = np.sum([way.counts for way in plan], axis=0) if plan else np.zeros(self.pool.singles)
        return [max(0, need - int(has)) for need, has in zip(self.pool.demands, held, strict=True)]

    def uncut(self, plan: Sequence[Way]) -> float:
        """The area that a plan does not hold."""
        return sum(area * count for area, count in zip(self.areas, self.left(plan), strict=True))

    def filled(self, kept: Sequence[Way], before: Sequence[Way], most: float) -> list[Way] | None:
        """Ways for the stock that some ways leave of the mix.

        Args:
            kept: those ways.
            before: ways that are known besides those of the pool.
            most: area that may stay uncut.

        Returns:
            None where none were found.
        """
        left, numbers = self.left(kept), list(self.mix)
        for way in kept:
            numbers[way.stock] -= 1
        rest = _Rest(self.pool, left, numbers, self.areas, self.random)
        for way in (*self.known, *before):
            rest.join(way)
        return rest.chosen(most)


@dataclass(slots=True)
class _Rest:
    """What is left to be cut from the stock that is left, as an order of its own.

    Attributes:
        pool: the ways known.
        left: how many of each single kind.
        numbers: of each stock.
        areas: of the blank of each single kind.
        random: for fillings.
        fills: gathers fillings of what is left.
        program: least area that stays uncut.
        ways: in the program, with what they hold of what is left.
    """

    pool: Pool
    left: list[int]
    numbers: list[int]
    areas: list[float]
    random: random.Random
    fills: Pool = field(init=False)
    program: Program = field(init=False)
    ways: dict[tuple[int, tuple[int, ...]], Way] = field(default_factory=dict)

    def __post_init__(self) -> None:
        pool, free = self.pool, [0.0] * len(self.pool.stocks)
        self.fills = Pool(pool.kinds, pool.stocks, pool.rooms, list(self.numbers), free, pool.kerf, pool.budget)
        self.fills.demands = list(self.left)
        self.fills.random = self.random
        self.program = Program(self.left, self.numbers)
        for kind, area in enumerate(self.areas):
            self.program.add_gap(kind, area)

    def join(self, way: Way) -> None:
        """Let the program use a way; one is enough of those that hold the same of what is left."""
        counts = tuple(map(min, way.counts, self.left))
        if self.numbers[way.stock] and any(counts) and (way.stock, counts) not in self.ways:
            self.ways[way.stock, counts] = way
            self.program.add(way.stock, counts, 0.0)

    def chosen(self, most: float) -> list[Way] | None:
        """The ways that leave least area uncut; None where more than so much would stay."""
        for number in range(_ROUNDS):
            answer = self.program.prices()
            if answer is None or (number > _ROUNDS // 2 and self.program.value() < SLACK):
                break
            fresh = self.fills.fills_by_worth(*answer, _FILLS)
            if not fresh:
                break
            for way in fresh:
                self.join(way)
        answer = self.program.prices()
        floor = self.program.value()
        if answer is None or floor > most - SLACK:
            return None
        spare = 1e9 if most == math.inf else most - floor
        for way in self.fills.fills_by_worth(*answer, 2 * _FILLS, spare):
            self.join(way)
        return self.whole(most)

    def whole(self, most: float) -> list[Way] | None:
        """The same, out of the ways that the program has."""
        answer = self.program.prices()
        if answer is None or not self.ways:
            return None
        prices, shortage = answer
        every = list(self.ways.items())
        held = np.array([counts for (_, counts), _ in every], dtype=float)
        losses = np.round(-np.array(shortage)[[stock for (stock, _), _ in every]] - held @ np.array(prices), 9).tolist()
        spare = most - self.program.value() + SLACK
        near = sorted((loss, number) for number, loss in enumerate(losses) if loss <= spare)[:_WAYS]
        program = Program(self.left, self.numbers)
        for kind, area in enumerate(self.areas):
            program.add_gap(kind, area)
        for _, number in near:
            (stock, counts), _ = every[number]
            program.add(stock, counts, 0.0)
        if most < math.inf:
            program.limit_cost(most + SLACK)
        answered = program.whole([_CHANCE * self.random.random() * self.areas[0] for _ in near], _NODES)
        if answered is None:
            return None
        return [
            every[number][1] for (_, number), count in zip(near, answered.counts, strict=True) for _ in range(count)
        ]
