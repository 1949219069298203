"""What no mix of whole sheets can do: the bound that counts sheets and leftovers whole.

For any prices of the pieces a plan that uses y of each stock must satisfy

    sum of y * (most that one of the stock can hold, by those prices) >= worth of all that is wanted,

because no sheet holds more than the most. Each set of prices gives one such condition; the lightest whole numbers y
that satisfy them all weigh no more than any plan does. This is the integer form of Farley's bound (Operations Research
38 (1990) 922-923), the conditions found as in Benders, "Partitioning procedures for solving mixed-variables programming
problems", Numerische Mathematik 4 (1962) 238-252.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from hullcut.nesting.solver import lightest_whole

__all__ = ["Conditions"]

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
