"""From pieces and stock to a plan of cutting: the one way into nesting.

A method lays out one group (one wood and thickness) and stands in a module of its own; `METHODS` names them all. They
are asked in turn, each told what those before it found. Every plan is weighed the same way and the best is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from hullcut.design.values import Stock
from hullcut.errors import BuildError, Fault
from hullcut.lengths import both
from hullcut.nesting.bounds import area_bound, rounded_up, stated
from hullcut.nesting.boxes import Box, box_of, from_grid, room_of
from hullcut.nesting.choose import Filled, weights
from hullcut.nesting.finish import finished
from hullcut.nesting.method import Method, Task
from hullcut.nesting.offer import same_thickness
from hullcut.nesting.quick import quick_method
from hullcut.nesting.shape import shape_method
from hullcut.nesting.through import square_method, through_method
from hullcut.nesting.values import Bound, Layout, Piece, Rules, Sheet, ShoppingLine
from hullcut.two_hands import only_here, share_out

__all__ = ["METHODS", "Found", "LayingOut", "lay_out", "laying_out", "was_stopped"]

#: Every method, in the order in which they are asked; of equal plans the earlier method's is kept.
METHODS: tuple[Method, ...] = (square_method, quick_method, through_method, shape_method)

_Group = tuple[list[Box], tuple[Stock, ...]]
# The sheets, what no plan can beat with the kind of its proof; and whether a person stopped the search.
Found = tuple[tuple[tuple[Sheet, ...] | None, float, str], bool]


def _silent(_: str) -> None:
    """Tell nobody."""


def lay_out(
    pieces: Sequence[Piece], offers: Sequence[Stock], rules: Rules, progress: Callable[[str], None] = _silent
) -> Layout:
    """Lay pieces on stock, choose what to buy, and say how to cut it.

    Args:
        pieces: everything to be cut, one entry for each.
        offers: all stock that may be used.
        rules: how the shop cuts, and how long to look for a better plan.
        progress: told what is being done.

    Returns:
        The sheets, leftovers first within each wood and thickness; what to buy; and what no plan can beat.

    Raises:
        BuildError: a piece fits no stock on offer, or the stock runs out; all such faults at once.
    """
    work = laying_out(pieces, offers, rules, progress)
    weights, tasks = zip(*work.tasks, strict=True) if work.tasks else ((), ())
    return work.layout(share_out(tasks, weights, was_stopped))


@dataclass(frozen=True, slots=True)
class LayingOut:
    """What is to be done to lay pieces on stock.

    Attributes:
        groups: pieces that can be cut from the same stock, with that stock.
        rules: how the shop cuts.
        tasks: about how long each takes, and the task; those of different groups may run side by side.
    """

    groups: tuple[_Group, ...]
    rules: Rules
    tasks: tuple[tuple[float, Callable[[], list[Found]]], ...]

    def layout(self, results: Sequence[list[Found]]) -> Layout:
        """The layout, from the results of the tasks in their order.

        Raises:
            BuildError: the stock runs out.
        """
        sheets: list[Sheet] = []
        bounds: list[Bound] = []
        faults: list[Fault] = []
        found = [each for result in results for each in result]
        for (boxes, stocks), ((plan, at_least, how), _) in zip(self.groups, found, strict=True):
            if plan is None:
                faults.append(_runs_out(boxes, stocks))
                continue
            bounds.append(stated((boxes, stocks, self.rules), [sheet.stock for sheet in plan], at_least, how))
            sheets.extend(plan)
        if faults:
            raise BuildError(*faults)
        numbered = tuple(replace(sheet, number=number) for number, sheet in enumerate(sheets, 1))
        return Layout(self.rules, numbered, _shopping(numbered), tuple(bounds), was_stopped(found))


def laying_out(
    pieces: Sequence[Piece], offers: Sequence[Stock], rules: Rules, progress: Callable[[str], None] = _silent
) -> LayingOut:
    """The tasks of laying pieces on stock.

    Groups that share no stock have a task each; not so with the shape method, whose library counts its time by the
    clock and is to have the machine for itself. The arguments are those of `lay_out`.

    Raises:
        BuildError: a piece fits no stock on offer; all such faults at once.
    """
    groups = _groups(pieces, offers, rules)
    faults = [fault for boxes, stocks in groups for fault in _misfits(boxes, stocks, rules)]
    if faults:
        raise BuildError(*dict.fromkeys(faults))
    available = {stock.id: stock.available for stock in offers}
    told = only_here(progress)
    stopped = False

    def planned(boxes: list[Box], stocks: tuple[Stock, ...]) -> Found:
        nonlocal stopped
        told(f"laying out {len(boxes)} pieces of {boxes[0].piece.material}")
        # Once stopped, the quick plan must do for what is left.
        own = replace(rules, effort="quick") if stopped else rules
        found = _best(Task(boxes, stocks, dict(available), own, progress=told))
        stopped = stopped or found[1]
        for sheet in found[0][0] or ():
            left = available[sheet.stock.id]
            available[sheet.stock.id] = None if left is None else left - 1
        return found

    def planned_all(some: Sequence[_Group]) -> list[Found]:
        return [planned(boxes, stocks) for boxes, stocks in some]

    used = [stock.id for _, stocks in groups for stock in stocks]
    together = rules.cutting == "shape" or len(used) > len(set(used))
    tasks = [
        (sum(len(boxes) * len(stocks) for boxes, stocks in some), partial(planned_all, some))
        for some in ([groups] if together else [[group] for group in groups])
    ]
    return LayingOut(tuple(groups), rules, tuple(tasks))


def was_stopped(found: Sequence[Found]) -> bool:
    """Whether a person stopped the search in any of some results."""
    return any(stopped for _, stopped in found)


def _groups(pieces: Sequence[Piece], offers: Sequence[Stock], rules: Rules) -> list[_Group]:
    """Pieces that can be cut from the same stock, with that stock."""
    found: dict[tuple[str, tuple[str, ...], float], _Group] = {}
    for piece in sorted(pieces, key=lambda piece: (piece.material, piece.thickness, piece.boat, piece.part)):
        stocks = tuple(
            stock for stock in offers if stock.material == piece.material and same_thickness(stock, piece.thickness)
        )
        # Without stock each thickness is told by itself.
        key = (piece.material, tuple(stock.id for stock in stocks), 0.0 if stocks else piece.thickness)
        boxes, _ = found.setdefault(key, ([], stocks))
        boxes.append(box_of(len(boxes), piece, rules))
    return list(found.values())


def _size(mm: float) -> str:
    return both(mm, "mm", decimals=1)


def _misfits(boxes: Sequence[Box], stocks: Sequence[Stock], rules: Rules) -> Iterable[Fault]:
    """A fault for each piece that no stock on offer holds."""
    if not stocks:
        piece = boxes[0].piece
        yield Fault(
            "",
            None,
            "",
            f"there is no {piece.material} of {_size(piece.thickness)} on offer for {piece.part}",
            "offer such stock in the shop's list, choose another thickness, or glue the part up from thinner wood",
        )
        return
    rooms = [(stock, room_of(stock, rules)) for stock in stocks]
    for box in boxes:
        if any(box.fits(stock, room) for stock, room in rooms):
            continue
        stock, room = max(rooms, key=lambda each: (each[1].length * each[1].width, each[0].id))
        turn = box.lengthwise[0]
        yield Fault(
            "",
            None,
            box.piece.part,
            f"its blank is {_size(from_grid(turn.length))} along the grain and {_size(from_grid(turn.width))} across"
            f" it, and the largest {box.piece.material} on offer leaves {_along(stock, room.length, room.width)}",
            f"offer larger stock, turn the grain, make the part smaller, or {box.piece.otherwise}",
        )


def _along(stock: Stock, length: int, width: int) -> str:
    along, across = (length, width) if stock.grain == "length" else (width, length)
    return f"{_size(max(0.0, from_grid(along)))} along and {_size(max(0.0, from_grid(across)))} across ({stock.id})"


def _runs_out(boxes: Sequence[Box], stocks: Sequence[Stock]) -> Fault:
    offered = ", ".join(f"{stock.available} of {stock.id}" for stock in stocks if stock.available is not None)
    piece = boxes[0].piece
    return Fault(
        "",
        None,
        piece.material,
        f"the stock of {_size(piece.thickness)} on offer is not enough for {len(boxes)} pieces ({offered})",
        "offer more of it, or leave out how many are available",
    )


def _best(task: Task) -> Found:
    """The lightest of the methods' plans, the best of their bounds with its kind; whether the search was stopped.

    A person who stops the search gets the best plan so far; before there is any, the stop stops everything.
    """
    area = area_bound(task.boxes, task.offers, task.rules, task.available)
    at_least, how = rounded_up(area, task.offers), "area"
    done: list[tuple[Sheet, ...]] = []
    for method in METHODS:
        try:
            outcome = method(replace(task, at_least=at_least))
        except KeyboardInterrupt:
            if not done:
                raise
            return (min(done, key=_rank(task)), at_least, how), True
        if outcome.at_least > at_least * (1.0 + 1e-9) + 1e-9:
            at_least, how = outcome.at_least, outcome.how
        for plan in outcome.plans:
            sheets = finished(plan, task.rules)
            # A plan with a sheet that no run of through cuts takes apart is thrown away.
            if sheets is not None:
                done.append(sheets)
                task = replace(task, known=tuple(sorted((plan, *task.known), key=_by_weight(task))))
                break
        if outcome.sheets is not None:
            done.append(outcome.sheets)
    return (min(done, key=_rank(task), default=None), at_least, how), False


def _by_weight(task: Task) -> Callable[[tuple[Filled, ...]], float]:
    weight = weights(task.offers)
    return lambda plan: round(sum(weight[filled.stock.id] for filled in plan), 6)


def _rank(task: Task) -> Callable[[tuple[Sheet, ...]], tuple[float, int, float]]:
    """Weight, then how many are bought, then the largest offcut."""
    weight = weights(task.offers)

    def rank(sheets: tuple[Sheet, ...]) -> tuple[float, int, float]:
        bought = sum(sheet.stock.kind != "leftover" for sheet in sheets)
        offcut = max((each.length * each.width for sheet in sheets for each in sheet.offcuts), default=0.0)
        return round(sum(weight[sheet.stock.id] for sheet in sheets), 6), bought, -round(offcut, 3)

    return rank


def _shopping(sheets: Sequence[Sheet]) -> tuple[ShoppingLine, ...]:
    """So many of each stock, in the order in which the plan uses them; the rack costs nothing."""
    counts: dict[str, int] = {}
    stocks: dict[str, Stock] = {}
    for sheet in sheets:
        counts[sheet.stock.id] = counts.get(sheet.stock.id, 0) + 1
        stocks[sheet.stock.id] = sheet.stock
    return tuple(ShoppingLine(stocks[each], count, _cost(stocks[each], count)) for each, count in counts.items())


def _cost(stock: Stock, count: int) -> float | None:
    if stock.kind == "leftover":
        return 0.0
    return None if stock.price is None else stock.price * count
