"""The quick method: bounding boxes packed by rules, sheet by sheet and all sheets together."""

from __future__ import annotations

import math

from hullcut.nesting.boxes import room_of
from hullcut.nesting.choose import Filled, best_plans, weights
from hullcut.nesting.method import Outcome, Task
from hullcut.nesting.packing import fill, fill_many

__all__ = ["quick_method"]

#: boxes up to which all sheets are filled together; more take too long for a quick plan.
_TOGETHER = 150
#: weight within which two sums are one.
_ROUNDING = 1e-3


def quick_method(task: Task) -> Outcome:
    """Plans by packing rules, best first; none where the stock on offer runs out."""
    together = _together(task) if task.rules.cutting == "shape" else []
    weight = weights(task.offers)
    lightest = min((sum(weight[filled.stock.id] for filled in plan) for plan in together), default=math.inf)
    if together and (lightest <= task.at_least + _ROUNDING or len(task.offers) == 1):
        # Going sheet by sheet only helps to mix sizes.
        return Outcome(tuple(together[:1]))
    plans = (*together, *best_plans(task.boxes, task.offers, task.available, task.rules, fill))
    ranked = sorted(plans, key=lambda plan: (round(sum(weight[each.stock.id] for each in plan), 6), len(plan)))
    return Outcome(tuple(ranked))


def _together(task: Task) -> list[tuple[Filled, ...]]:
    """The plan from each stock alone, all its sheets filled together; lightest first."""
    weight = weights(task.offers)
    found: list[tuple[Filled, ...]] = []
    for stock in task.offers:
        if weight[stock.id] <= 0 or len(task.boxes) > _TOGETHER:
            continue
        room = room_of(stock, task.rules)
        enough = math.ceil(task.at_least / weight[stock.id] - 1e-9)
        sheets = fill_many(stock, room, task.boxes, task.rules, task.available[stock.id], enough)
        if sheets:
            found.append(tuple(Filled(stock, room, lying) for lying in sheets))
    return sorted(found, key=lambda plan: round(sum(weight[filled.stock.id] for filled in plan), 6))
