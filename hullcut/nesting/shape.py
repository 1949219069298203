"""The thorough method for true shapes: outlines nest into each other, and one integer program chooses.

It begins with the plan of rectangles, so that it is never worse. Then prices propose what one sheet might hold, a
library tries whether the outlines really fit, and what fits and stands up to the check joins the ways to cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hullcut.design.values import Grain
from hullcut.nesting.boxes import from_grid, to_grid, ways_of
from hullcut.nesting.guillotine import Spot
from hullcut.nesting.kinds import Kind
from hullcut.nesting.method import Outcome, Task
from hullcut.nesting.mix_bound import Conditions
from hullcut.nesting.mixes import choose, filled_stock
from hullcut.nesting.patterns import searched
from hullcut.nesting.solver import Program
from hullcut.nesting.true_shape import Wanted, lay_on_sheet
from hullcut.nesting.ways import EFFORTS, SLACK, Pool

__all__ = ["shape_method"]

#: share of a sheet's usable area that a proposal may fill at first, what a failure takes off, and the least share.
_FULL, _LESS, _LEAST = 0.93, 0.012, 0.72
#: steps of area in the knapsack that proposes.
_STEPS = 600
#: tries and seconds for each, by effort.
_TRIES = {"normal": (12, 2), "long": (80, 6)}


def shape_method(task: Task) -> Outcome:
    """Outlines nested; nothing for through cuts, or where a plan meets the bound already."""
    if task.rules.cutting != "shape" or task.rules.effort == "quick":
        return Outcome()
    through = replace(task.rules, cutting="through")
    budget = EFFORTS[task.rules.effort]
    pool, found, best = searched(task.boxes, task.offers, task.available, through, budget, (), task.at_least)
    chosen = list(found.ways)
    if best > task.at_least + SLACK:
        tries, seconds = _TRIES[task.rules.effort]
        _nest(pool, task, tries, seconds)
        conditions = Conditions(pool.weight, pool.limits)
        areas = [from_grid(room.length) * from_grid(room.width) for room in pool.rooms]
        conditions.add(areas, sum(n * kind.area for n, kind in zip(pool.demands, pool.kinds, strict=False)))
        chosen = choose(pool, conditions, task.at_least, best) or chosen
    plan = filled_stock(pool, chosen) if chosen else ()
    return Outcome((plan,) if plan else ())


def _nest(pool: Pool, task: Task, tries: int, seconds: int) -> None:
    """Propose, try and keep what fits."""
    program = Program(pool.demands, pool.limits)
    for way in pool.ways.values():
        program.add(way.stock, way.counts, pool.weight[way.stock])
    share = [_FULL] * len(pool.stocks)
    failed: set[tuple[int, tuple[int, ...]]] = set()
    for number in range(tries):
        answer = program.prices()
        proposal = None if answer is None else _proposal(pool, *answer, share, failed)
        if proposal is None:
            break
        stock, counts = proposal
        task.progress(f"nesting outlines, try {number + 1} of {tries}")
        spot = _tried(pool, task, stock, counts, seconds)
        if spot is None:
            failed.add(proposal)
            share[stock] = max(_LEAST, share[stock] - _LESS)
            continue
        fresh = pool.add(stock, (spot,))
        if fresh is None:
            failed.add(proposal)
        else:
            program.add(fresh.stock, fresh.counts, pool.weight[fresh.stock])


def _proposal(
    pool: Pool,
    prices: Sequence[float],
    shortage: Sequence[float],
    share: Sequence[float],
    failed: set[tuple[int, tuple[int, ...]]],
) -> tuple[int, tuple[int, ...]] | None:
    """What one sheet might hold that is worth most above the sheet; None where nothing is worth more."""
    best: tuple[float, int, tuple[int, ...]] | None = None
    for stock, room in enumerate(pool.rooms):
        if pool.limits[stock] == 0:
            continue
        area = from_grid(room.length) * from_grid(room.width) * share[stock]
        counts = _fullest(pool, stock, prices, area)
        gain = sum(n * price for n, price in zip(counts, prices, strict=True)) - pool.weight[stock] + shortage[stock]
        relative = gain / max(pool.weight[stock], SLACK)
        if (stock, counts) not in failed and gain > SLACK and (best is None or relative > best[0]):
            best = (relative, stock, counts)
    return None if best is None else best[1:]


def _fullest(pool: Pool, stock: int, prices: Sequence[float], area: float) -> tuple[int, ...]:
    """The most valuable parts of so much area, each no more often than it is wanted (a knapsack, area in steps)."""
    step = area / _STEPS
    values = [0.0] * (_STEPS + 1)
    held: list[list[int]] = [[0] * pool.singles for _ in range(_STEPS + 1)]
    for kind in range(pool.singles):
        item = pool.item(kind, stock)
        size = max(1, -(-int(pool.kinds[kind].area * 1e6) // max(1, int(step * 1e6))))
        if not item.ways or prices[kind] <= 0.0:
            continue
        for _ in range(min(pool.demands[kind], _STEPS // size)):
            changed = False
            for place in range(_STEPS, size - 1, -1):
                value = values[place - size] + prices[kind]
                if value > values[place] + SLACK:
                    values[place] = value
                    held[place] = held[place - size].copy()
                    held[place][kind] += 1
                    changed = True
            if not changed:
                break
    return tuple(held[_STEPS])


def _tried(pool: Pool, task: Task, stock: int, counts: Sequence[int], seconds: int) -> Spot | None:
    """Whether outlines fit a stock; if so, as a kind of blank of its own that holds them."""
    wanted = [
        Wanted(kind, pool.kinds[kind].boxes[0].piece, pool.kinds[kind].boxes[0].plain, count)
        for kind, count in enumerate(counts)
        if count
    ]
    nest = lay_on_sheet(wanted, pool.stocks[stock], pool.rooms[stock], task.rules, seconds)
    if nest is None:
        return None
    grain: Grain = "along" if pool.stocks[stock].grain == "length" else "across"
    room = pool.rooms[stock]
    ways = ways_of(grain, min(room.length, to_grid(nest.length) + 1), room.width)
    cover = tuple((kind, count) for kind, count in enumerate(counts) if count)
    area = sum(pool.kinds[kind].area * count for kind, count in cover)
    pool.kinds = (*pool.kinds, Kind((), *ways, cover, nest.members, area))
    return Spot(len(pool.kinds) - 1, 0, 0, 0)
