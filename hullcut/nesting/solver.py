"""The linear and the integer programs over ways to cut a sheet, solved by HiGHS.

Both repeat exactly: one thread, a fixed seed, and counts of steps instead of a clock decide when to stop.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

__all__ = ["IntegerAnswer", "Program", "lightest_whole"]


@cache
def _quiet_solver() -> Any:  # noqa: ANN401 - the library has no types of its own
    """HiGHS without the banner that it prints as soon as it listens for callbacks."""
    from highspy import Highs  # slow to load, and not needed for a parts list

    class Quiet(Highs):
        def enableCallbacks(self) -> None:  # noqa: N802 - the library's own name
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return Quiet


@dataclass(frozen=True, slots=True)
class IntegerAnswer:
    """How often each way of cutting is used, and whether that is proven to be the least cost for these ways."""

    counts: tuple[int, ...]
    proven: bool


class Program:
    """Least cost such that every demand is met and no stock is used more often than it can be had.

    Args:
        demands: of each kind of piece.
        limits: of each stock; None for as many as needed.
    """

    def __init__(self, demands: Sequence[int], limits: Sequence[int | None]) -> None:
        self._solver = _quiet_solver()()
        for name, value in (("threads", 1), ("random_seed", 0), ("parallel", "off"), ("mip_rel_gap", 0.0)):
            self._solver.setOptionValue(name, value)
        self._kinds = len(demands)
        nothing = np.zeros(0, dtype=np.int32), np.zeros(0)
        for demand in demands:
            self._solver.addRow(float(demand), float("inf"), 0, *nothing)
        for limit in limits:
            self._solver.addRow(-float("inf"), float("inf") if limit is None else float(limit), 0, *nothing)
        self._columns = 0
        self._costs: list[float] = []
        # Of the columns that stand before all ways.
        self._before: list[float] = []

    def add(self, stock: int, counts: Sequence[int], cost: float) -> None:
        """Add a way to cut one piece of a stock into so many pieces of each kind."""
        rows = [kind for kind, count in enumerate(counts) if count]
        amounts = [float(counts[kind]) for kind in rows]
        index = np.array([*rows, self._kinds + stock], dtype=np.int32)
        self._solver.addCol(cost, 0.0, float("inf"), len(index), index, np.array([*amounts, 1.0]))
        self._columns += 1
        self._costs.append(cost)

    def add_gap(self, kind: int, cost: float) -> None:
        """Let a piece stay uncut at a cost; such columns stand before all ways."""
        self._solver.addCol(cost, 0.0, float("inf"), 1, np.array([kind], dtype=np.int32), np.array([1.0]))
        self._before.append(cost)

    def add_share(self, demands: Sequence[int]) -> None:
        """Make the most of the share of some demands that is met; where it is added it stands before all ways."""
        kinds = np.arange(len(demands), dtype=np.int32)
        self._solver.addCol(-1.0, 0.0, float("inf"), len(kinds), kinds, -np.array(demands, dtype=float))
        self._before.append(-1.0)

    def prices(self) -> tuple[list[float], list[float]] | None:
        """What each kind of piece is worth and what each stock is short of, from the linear program.

        Returns:
            Duals of the demands (from 0 up) and of the limits (from 0 down); None where no mix meets the demands.
        """
        self._solver.run()
        if str(self._solver.getModelStatus()).rpartition(".")[2] != "kOptimal":
            return None
        duals = list(self._solver.getSolution().row_dual)
        return [max(0.0, dual) for dual in duals[: self._kinds]], [min(0.0, dual) for dual in duals[self._kinds :]]

    def value(self) -> float:
        """What the linear program came to when it was last solved."""
        return float(self._solver.getInfo().objective_function_value)

    def uses(self) -> list[float]:
        """How often the linear program uses each way, in the order in which they were added."""
        return [float(each) for each in self._solver.getSolution().col_value]

    def set_needs(self, demands: Sequence[int], limits: Sequence[int | None]) -> None:
        """Change the demands and the limits."""
        for row, demand in enumerate(demands):
            self._solver.changeRowBounds(row, float(demand), float("inf"))
        for row, limit in enumerate(limits, self._kinds):
            self._solver.changeRowBounds(row, -float("inf"), float("inf") if limit is None else float(limit))

    def limit_cost(self, most: float) -> None:
        """Allow no mix that costs more, by the costs with which all columns were added."""
        costs = np.array([*self._before, *self._costs])
        self._solver.addRow(-float("inf"), most, len(costs), np.arange(len(costs), dtype=np.int32), costs)

    def whole(self, costs: Sequence[float], nodes: int, target: float | None = None) -> IntegerAnswer | None:
        """The cheapest whole counts of the ways; the program can't be priced any more afterwards.

        Args:
            costs: of each way added so far, in order.
            nodes: most branches looked at.
            target: a cost that can't be beaten.

        Returns:
            None where nothing was found.
        """
        from highspy import HighsVarType

        first = len(self._before)
        everything = np.arange(first, first + self._columns, dtype=np.int32)
        self._solver.changeColsCost(self._columns, everything, np.array(costs, dtype=float))
        self._solver.changeColsIntegrality(
            self._columns, everything, np.array([HighsVarType.kInteger] * self._columns, dtype=object)
        )
        self._solver.setOptionValue("mip_max_nodes", nodes)
        self._solver.setOptionValue("mip_max_stall_nodes", nodes)
        if target is not None:
            self._solver.setOptionValue("objective_target", target)
        self._solver.run()
        found = self._solver.getSolution()
        if not found.value_valid or not found.col_value:
            return None
        status = str(self._solver.getModelStatus()).rpartition(".")[2]
        counts = tuple(round(value) for value in found.col_value[first:])
        return IntegerAnswer(counts, status in ("kOptimal", "kObjectiveTarget"))


#: branches that a small program of whole sheets may take; where they do not suffice its proven bound is used.
_SMALL_NODES = 20_000


def lightest_whole(
    weight: Sequence[float],
    limits: Sequence[int | None],
    rows: Sequence[tuple[Sequence[float], float]],
    nodes: int = _SMALL_NODES,
) -> tuple[float, tuple[int, ...]] | None:
    """The lightest whole numbers from 0 up with so much of every row.

    Args:
        weight: of one of each.
        limits: of each; None for none.
        rows: (amounts in one of each, amount needed).
        nodes: most branches looked at; where they do not suffice, the numbers may not be the lightest.

    Returns:
        A weight that no such numbers go below, and the numbers; None where there are no such numbers.
    """
    from highspy import HighsVarType

    solver = _quiet_solver()()
    for name, value in (("threads", 1), ("random_seed", 0), ("parallel", "off"), ("mip_rel_gap", 0.0)):
        solver.setOptionValue(name, value)
    solver.setOptionValue("mip_max_nodes", nodes)
    count = len(weight)
    for each, limit in zip(weight, limits, strict=True):
        solver.addCol(float(each), 0.0, float("inf") if limit is None else float(limit), 0, *_nothing())
    for amounts, needed in rows:
        solver.addRow(needed, float("inf"), count, np.arange(count, dtype=np.int32), np.array(amounts, dtype=float))
    everything = np.arange(count, dtype=np.int32)
    solver.changeColsIntegrality(count, everything, np.array([HighsVarType.kInteger] * count, dtype=object))
    solver.run()
    status = str(solver.getModelStatus()).rpartition(".")[2]
    if status == "kInfeasible":
        return None
    info, found = solver.getInfo(), solver.getSolution()
    numbers = tuple(round(each) for each in found.col_value) if found.value_valid else tuple(0 for _ in weight)
    return max(0.0, float(info.mip_dual_bound)), numbers


def _nothing() -> tuple[Any, Any]:
    return np.zeros(0, dtype=np.int32), np.zeros(0)
