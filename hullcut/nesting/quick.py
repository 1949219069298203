"""The quick method: bounding boxes packed sheet by sheet."""

from __future__ import annotations

from hullcut.nesting.choose import best_plans
from hullcut.nesting.method import Outcome, Task
from hullcut.nesting.packing import fill

__all__ = ["quick_method"]


def quick_method(task: Task) -> Outcome:
    """Plans by packing rules, best first; none where the stock on offer runs out."""
    return Outcome(best_plans(task.boxes, task.offers, task.available, task.rules, fill))
