"""From prices to a whole plan at one stroke: the linear program's uses rounded down, and the rest filled by rules.

Where hundreds of pieces go onto tens of sheets, most ways are used several times; those whole uses stay, and what is
left is an order of its own, small enough for whole plans by packing rules. How little is lost is known for cuts along
one axis alone (Scheithauer and Terno, "Theoretical investigations on the modified integer round-up property for the
one-dimensional cutting stock problem", Operations Research Letters 20 (1997) 93-100, cited from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hullcut.nesting.solver import Program
from hullcut.nesting.ways import SLACK, Pool, Way

__all__ = ["rounded_down"]

#: shares of the uses that are rounded: fewer whole uses leave the rest more room to fit together.
_SHARES = (1.0, 0.97, 0.95, 0.92, 0.9, 0.87, 0.85, 0.8, 0.75, 0.7)
#: share of a whole use from which a way counts as used whole.
_ALMOST = 1e-6


def rounded_down(pool: Pool, best: float) -> list[Way]:
    """A whole plan that is lighter than the best known; none where no share gives one.

    Args:
        pool: the ways found; the fillings of the rest are added to it.
        best: weight of the best plan known.
    """
    program = Program(pool.demands, pool.limits)
    ways = list(pool.ways.values())
    for way in ways:
        program.add(way.stock, way.counts, pool.weight[way.stock])
    if program.prices() is None:
        return []
    uses = program.uses()
    found: list[Way] = []
    tried: set[tuple[int, ...]] = set()
    for share in _SHARES:
        fixed, left, limits = _whole_uses(pool, ways, [share * use for use in uses])
        if tuple(left) in tried:
            continue
        tried.add(tuple(left))
        rest = pool.first_fills(left, limits, best - pool.weigh(fixed)) if any(left) else []
        plan = [*fixed, *rest]
        if (rest or not any(left)) and pool.weigh(plan) < best - SLACK:
            found, best = plan, pool.weigh(plan)
    return found


def _whole_uses(
    pool: Pool, ways: Sequence[Way], uses: Sequence[float]
) -> tuple[list[Way], list[int], list[int | None]]:
    """The ways as often as they are used whole and wanted, and what is then left of the demands and of the stock."""
    fixed: list[Way] = []
    left, limits = list(pool.demands), list(pool.limits)
    for number in sorted(range(len(ways)), key=lambda number: (-uses[number], number)):
        way = ways[number]
        times = math.floor(uses[number] + _ALMOST)
        if not times:
            break
        times = min([times, *(need // count for need, count in zip(left, way.counts, strict=True) if count)])
        fixed += [way] * times
        left = [need - times * count for need, count in zip(left, way.counts, strict=True)]
        limit = limits[way.stock]
        limits[way.stock] = None if limit is None else limit - times
    return fixed, left, limits
