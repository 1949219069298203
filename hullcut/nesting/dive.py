"""From prices to a whole plan: ways are fixed one after another, and the prices are found anew for what is left.

Diving, as it is used with column generation (for instance Vanderbeck, "On Dantzig-Wolfe decomposition in integer
programming and ways to perform branching in a branch-and-price algorithm", Operations Research 48 (2000) 111-128): the
way that the linear program uses most is taken, the demand is lowered, and fillings of what is left join in.
"""

from __future__ import annotations

from collections.abc import Sequence

from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.solver import Program
from hullcut.nesting.ways import SLACK, Pool, Way

__all__ = ["dive"]

#: share of a whole use from which a way counts as used whole.
_WHOLE = 1.0 - 1e-6
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
    program = Program(pool.demands, pool.limits)
    known = list(ways)
    for way in known:
        program.add(way.stock, way.counts, pool.weight[way.stock])
    left, limits = list(pool.demands), list(pool.limits)
    taken: list[Way] = []
    spent = 0.0
    while any(left):
        program.set_needs(left, limits)
        if not _hopeful(pool, program, known, left, cutoff - spent, fills if taken else 0):
            return []
        for way, times in _next(program.uses(), known, left, skipped if not taken else 0):
            taken += [way] * times
            spent += times * pool.weight[way.stock]
            left = [max(0, need - times * count) for need, count in zip(left, way.counts, strict=True)]
            limit = limits[way.stock]
            limits[way.stock] = None if limit is None else limit - times
    return taken if spent <= cutoff + SLACK else []


def _hopeful(pool: Pool, program: Program, known: list[Way], left: Sequence[int], budget: float, fills: int) -> bool:
    """Price what is left, with fresh fillings; whether it may still be had within a budget."""
    for _ in range(_ROUNDS if fills else 0):
        answer = program.prices()
        if answer is None:
            return False
        fresh = pool.fills_by_worth(*answer, fills, demands=left)
        for way in fresh:
            program.add(way.stock, way.counts, pool.weight[way.stock])
        known += fresh
        if not fresh:
            break
    return program.prices() is not None and rounded_up(program.value() - SLACK, pool.stocks) <= budget + SLACK


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
