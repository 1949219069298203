"""The thorough method for through cuts, and the bounds that hold for them."""

from __future__ import annotations

from hullcut.nesting.bounds import rounded_up
from hullcut.nesting.boxes import room_of
from hullcut.nesting.choose import weights
from hullcut.nesting.dual_feasible import dual_feasible_bound
from hullcut.nesting.kinds import kinds_of
from hullcut.nesting.method import Outcome, Task
from hullcut.nesting.patterns import search
from hullcut.nesting.ways import EFFORTS

__all__ = ["square_method", "through_method"]

#: what two weights may differ by and be one.
_ROUNDING = 1e-3

_DUAL = "dual feasible functions, pieces square to the stock"
_PATTERNS = "prices of all ways to cut a sheet by through cuts into these blanks"


def square_method(task: Task) -> Outcome:
    """No plan, but a bound for rectangles that lie square to the stock; for outlines sawn out, plain pieces only."""
    rooms = {stock.id: room_of(stock, task.rules) for stock in task.offers}
    if task.rules.cutting == "shape":
        alone = [box for box in task.boxes if box.plain]
    else:
        # Parts that may share a blank are not rectangles of their own.
        kinds = kinds_of(task.boxes, task.rules, True)
        shared = {member.kind for kind in kinds for member in kind.members}
        alone = [box for number, kind in enumerate(kinds) if number not in shared for box in kind.boxes]
    found = dual_feasible_bound(alone, task.offers, rooms, task.available, weights(task.offers), task.rules.kerf)
    return Outcome(at_least=rounded_up(found, task.offers), how=_DUAL)


def through_method(task: Task) -> Outcome:
    """Patterns, priced and chosen; nothing where a plan meets the bound already."""
    rules = task.rules
    if rules.cutting != "through" or rules.effort == "quick" or _met(task):
        return Outcome()
    found = search(task.boxes, task.offers, task.available, rules, EFFORTS[rules.effort], task.known[:2], task.at_least)
    plans = () if not found.plan else (found.plan,)
    return Outcome(plans, rounded_up(found.at_least, task.offers), _PATTERNS)


def _met(task: Task) -> bool:
    """Whether the best plan known is proven to be the least possible."""
    weight = weights(task.offers)
    return any(sum(weight[filled.stock.id] for filled in plan) <= task.at_least + _ROUNDING for plan in task.known[:1])
