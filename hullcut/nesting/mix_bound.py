"""What no mix of whole sheets can do: the bound that counts sheets and leftovers whole.

For any prices of the pieces a plan that uses y of each stock must satisfy

    sum of y * (most that one of the stock can hold, by those prices) >= worth of all that is wanted,

because no sheet holds more than the most. Each set of prices gives one such condition; the lightest whole numbers y
that satisfy them all weigh no more than any plan does. This is the integer form of Farley's bound (Operations Research
38 (1990) 922-923), the conditions found as in Benders, "Partitioning procedures for solving mixed-variables programming
problems", Numerische Mathematik 4 (1962) 238-252.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from hullcut.nesting.solver import lightest_whole

__all__ = ["Conditions"]

#: mixes looked at in the search for light ones.
_MOST_STEPS = 20_000
#: share by which a condition is loosened, so that rounding never tightens a bound.
_ROUNDING = 1e-9


@dataclass(slots=True)
class Conditions:
    """Conditions on how many of each stock a plan uses; it only gathers them.

    Attributes:
        weight: of each stock.
        limits: how many of each stock can be had; None for as many as needed.
        rows: (most that one of each stock can hold, worth of all that is wanted).
    """

    weight: Sequence[float]
    limits: Sequence[int | None]
    rows: list[tuple[tuple[float, ...], float]] = field(default_factory=list)

    def add(self, most: Sequence[float], wanted: float) -> None:
        """Add the condition of one set of prices."""
        if wanted > 0:
            self.rows.append((tuple(each / wanted for each in most), 1.0 - _ROUNDING))

    def lightest(self) -> tuple[float, tuple[int, ...]]:
        """The lightest whole numbers of stock that satisfy all conditions: their weight, and how many of each.

        The numbers are empty where there are none, which proves that the stock on offer is not enough.
        """
        if not self.rows:
            return 0.0, tuple(0 for _ in self.weight)
        answer = lightest_whole(self.weight, self.limits, self.rows)
        if answer is None:
            return math.inf, ()
        return answer

    def mixes(self, below: float, most: int) -> list[tuple[int, ...]]:
        """Whole numbers of stock that satisfy all conditions and weigh less than so much, lightest first.

        Leftovers, which weigh nothing, are all taken.

        Args:
            below: weight.
            most: how many to give back.
        """
        bought = [stock for stock, each in enumerate(self.weight) if each > 0]
        start = [0 if self.weight[stock] > 0 else limit or 0 for stock, limit in enumerate(self.limits)]
        heap: list[tuple[float, tuple[int, ...], int]] = [(0.0, tuple(start), 0)]
        found: list[tuple[int, ...]] = []
        for _ in range(_MOST_STEPS):
            if not heap or len(found) >= most:
                break
            weight, numbers, first = heapq.heappop(heap)
            if self.satisfied(numbers):
                found.append(numbers)
                continue
            for place in range(first, len(bought)):
                stock = bought[place]
                limit = self.limits[stock]
                heavier = round(weight + self.weight[stock], 9)
                if heavier < below and (limit is None or numbers[stock] < limit):
                    more = (*numbers[:stock], numbers[stock] + 1, *numbers[stock + 1 :])
                    heapq.heappush(heap, (heavier, more, place))
        return found

    def satisfied(self, numbers: Sequence[int]) -> bool:
        """Whether all conditions hold for so many of each stock."""
        return all(
            sum(each * count for each, count in zip(row, numbers, strict=True)) >= needed for row, needed in self.rows
        )
