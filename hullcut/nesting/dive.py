"""From prices to a whole plan: ways are fixed one after another, and the prices are found anew for what is left.

Diving, as it is used with column generation (for instance Vanderbeck, "On Dantzig-Wolfe decomposition in integer
programming and ways to perform branching in a branch-and-price algorithm", Operations Research 48 (2000) 111-128): the
way that the linear program uses most is taken, the demand is lowered, and fillings of what is left join in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.solver import Program
from hullcut.nesting.ways import SLACK, Pool, Way

__all__ = ["dive", "dive_into"]

#: share of a whole use from which a way counts as used whole.
_WHOLE = 1.0 - 1e-6
#: grid steps squared in the unit of area that guides a dive into a given mix.
_SQUARE = 1e12
#: what a piece that finds no room costs, as a multiple of its area.
_GAP = 20.0 / _SQUARE
#: share of a piece that counts as nothing.
_NOTHING = 1e-7
#: rounds of fillings after each way that is fixed.
_ROUNDS = 3


def dive(pool: Pool, ways: Sequence[Way], cutoff: float, skipped: int, fills: int) -> list[Way]:
    """A whole plan no heavier than a cutoff.

    Args:
        pool: gathers the ways; new ones are added to it.
        ways: to begin with.
        cutoff: weight of the plan at most.
        skipped: which of the most used ways is taken first, so that dives differ.
        fills: tried in each round.

    Returns:
        The ways, as often as they are used; none where the dive went wrong.
    """
    taken = _Dive(pool, list(ways), list(pool.limits), pool.weight, 0).run(cutoff, skipped, fills)
    return taken if pool.weigh(taken) <= cutoff + SLACK else []


def dive_into(pool: Pool, numbers: Sequence[int], skipped: int, fills: int, rounds: int) -> list[Way]:
    """A whole plan out of so many of each stock; the arguments else are those of `dive`.

    The area that is cut from guides the prices, and a piece that finds no room costs more than any room.

    Args:
        pool: gathers the ways; new ones are added to it.
        numbers: of each stock.
        skipped: which of the most used ways is taken first.
        fills: tried in each round.
        rounds: of pricing before the first way is fixed.
    """
    ways = [way for way in pool.ways.values() if numbers[way.stock]]
    areas = [float(room.length * room.width) / _SQUARE for room in pool.rooms]
    return _Dive(pool, ways, list(numbers), areas, pool.singles).run(math.inf, skipped, fills, rounds)


@dataclass(slots=True)
class _Dive:
    """One dive; it only remembers what it has fixed.

    Attributes:
        pool: gathers the ways.
        known: the ways in the program.
        limits: how many of each stock are left.
        costs: of each stock in the program.
        gaps: how many columns stand for pieces that find no room.
    """

    pool: Pool
    known: list[Way]
    limits: list[int | None]
    costs: Sequence[float]
    gaps: int

    def run(self, cutoff: float, skipped: int, fills: int, rounds: int = 0) -> list[Way]:
        """Fix ways until nothing is left; none where no hope is left."""
        pool = self.pool
        program = Program(pool.demands, self.limits)
        for kind in range(self.gaps):
            program.add_gap(kind, _GAP * pool.kinds[kind].lengthwise[0].length * pool.kinds[kind].lengthwise[0].width)
        for way in self.known:
            program.add(way.stock, way.counts, self.costs[way.stock])
        left = list(pool.demands)
        taken: list[Way] = []
        while any(left):
            program.set_needs(left, self.limits)
            if not self.hopeful(program, left, cutoff - pool.weigh(taken), fills, _ROUNDS if taken else rounds):
                return []
            uses = program.uses()[self.gaps :]
            for way, times in _next(uses, self.known, left, 0 if taken else skipped):
                taken += [way] * times
                left = [max(0, need - times * count) for need, count in zip(left, way.counts, strict=True)]
                limit = self.limits[way.stock]
                self.limits[way.stock] = None if limit is None else limit - times
        return taken

    def hopeful(self, program: Program, left: Sequence[int], budget: float, fills: int, rounds: int) -> bool:
        """Price what is left, with fresh fillings; whether it may still be had within a budget."""
        pool = self.pool
        for _ in range(rounds):
            answer = program.prices()
            if answer is None:
                return False
            if self.gaps and not self.short(program):
                break
            fresh = pool.fills_by_worth(*answer, fills, demands=left, limits=self.limits, weight=self.costs)
            for way in fresh:
                program.add(way.stock, way.counts, self.costs[way.stock])
            self.known += fresh
            if not fresh and not self.gaps:
                break
        if program.prices() is None:
            return False
        if self.gaps:
            return not self.short(program)
        return rounded_up(program.value() - SLACK, pool.stocks) <= budget + SLACK

    def short(self, program: Program) -> bool:
        """Whether some piece finds no room."""
        return any(use > _NOTHING for use in program.uses()[: self.gaps])


def _next(uses: Sequence[float], known: Sequence[Way], left: Sequence[int], skipped: int) -> list[tuple[Way, int]]:
    """The ways to fix: all that are used whole, else the one used most (or the next after it)."""
    whole = [(known[n], int(use + 1.0 - _WHOLE)) for n, use in enumerate(uses) if use >= _WHOLE]
    if whole and not skipped:
        needed: list[tuple[Way, int]] = []
        rest = list(left)
        for way, times in whole:
            often = 0
            while often < times and any(need and count for need, count in zip(rest, way.counts, strict=True)):
                rest = [max(0, need - count) for need, count in zip(rest, way.counts, strict=True)]
                often += 1
            if often:
                needed.append((way, often))
        return needed
    ranked = sorted((-round(use, 9), n) for n, use in enumerate(uses) if use > 1e-9)
    return [(known[ranked[min(skipped, len(ranked) - 1)][1]], 1)]
