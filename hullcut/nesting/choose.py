"""Which stock to take: leftovers first, then the cheapest or smallest mix that holds every box."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Room, room_of
from hullcut.nesting.packing import Lying
from hullcut.nesting.values import Rules

__all__ = ["Filled", "best_plans", "weights"]

#: how many of the sizes that did best at a first look are tried thoroughly.
_FINALISTS = 3
#: boxes beyond which only the first round of plans is made: filling hundreds of sheets again takes a minute.
_MANY = 1200

_Fill = Callable[[Stock, Room, Sequence[Box], Rules, bool], tuple[Lying, ...]]


@dataclass(frozen=True, slots=True)
class Filled:
    """One sheet, board or leftover with the boxes on it."""

    stock: Stock
    room: Room
    lying: tuple[Lying, ...]


_Plan = tuple[Filled, ...]


def weights(offers: Sequence[Stock]) -> dict[str, float]:
    """What each stock costs the plan: its price if all that is on sale has one, else its area in mm2.

    Leftovers weigh nothing.
    """
    on_sale = [stock for stock in offers if stock.kind != "leftover"]
    priced = bool(on_sale) and all(stock.price is not None for stock in on_sale)
    return {
        stock.id: 0.0 if stock.kind == "leftover" else (stock.price or 0.0) if priced else stock.length * stock.width
        for stock in offers
    }


@dataclass(slots=True)
class _Search:
    """One search over the stock for one group; it only remembers fillings that it has tried."""

    offers: Sequence[Stock]
    available: Mapping[str, int | None]
    rules: Rules
    fill: _Fill
    weight: Mapping[str, float]
    rooms: dict[str, Room] = field(default_factory=dict)
    tried: dict[tuple[str, tuple[int, ...], bool], tuple[Lying, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.rooms = {stock.id: room_of(stock, self.rules) for stock in self.offers}

    def filled(self, stock: Stock, boxes: Sequence[Box], thorough: bool) -> Filled:
        key = (stock.id, tuple(box.number for box in boxes), thorough)
        if key not in self.tried:
            self.tried[key] = self.fill(stock, self.rooms[stock.id], boxes, self.rules, thorough)
        return Filled(stock, self.rooms[stock.id], self.tried[key])

    def left(self, stock: Stock, taken: Sequence[Filled]) -> bool:
        limit = self.available[stock.id]
        return limit is None or sum(each.stock.id == stock.id for each in taken) < limit

    def from_rack(self, boxes: Sequence[Box], largest_first: bool, thorough: bool) -> tuple[list[Filled], list[Box]]:
        """Fill leftovers, each as full as it goes."""
        rack = [stock for stock in self.offers if stock.kind == "leftover"]
        rack.sort(key=lambda stock: (stock.length * stock.width, stock.id), reverse=largest_first)
        taken: list[Filled] = []
        rest = list(boxes)
        for stock in rack:
            while rest and self.left(stock, taken):
                filled = self.filled(stock, rest, thorough)
                if not filled.lying:
                    break
                taken.append(filled)
                rest = _without(rest, filled)
        return taken, rest

    def bought(self, boxes: Sequence[Box], preferred: Stock | None, thorough: bool) -> list[Filled] | None:
        """Buy sheets until everything is placed: of the preferred stock while it takes something, else the fullest."""
        taken: list[Filled] = []
        rest = list(boxes)
        while rest:
            filled = None
            if preferred is not None and self.left(preferred, taken):
                filled = self.filled(preferred, rest, thorough)
            if filled is None or not filled.lying:
                filled = self.fullest(rest, taken, thorough and preferred is None)
            if filled is None:
                return None
            filled = self.smaller(filled, taken, thorough)
            taken.append(filled)
            rest = _without(rest, filled)
        return taken

    def fullest(self, boxes: Sequence[Box], taken: Sequence[Filled], thorough: bool) -> Filled | None:
        """The stock that gives most box area for its weight, if it holds the box that is hardest to place."""
        on_sale = [stock for stock in self.offers if stock.kind != "leftover" and self.left(stock, taken)]
        homes: dict[int, list[Stock]] = {}
        for box in boxes:
            if id(box.lengthwise) not in homes:
                homes[id(box.lengthwise)] = [stock for stock in on_sale if box.fits(stock, self.rooms[stock.id])]
        hardest = min(boxes, key=lambda box: (len(homes[id(box.lengthwise)]), -box.area, box.number))
        candidates = [self.filled(stock, boxes, thorough) for stock in homes[id(hardest.lengthwise)]]
        candidates = [each for each in candidates if each.lying]
        return max(
            candidates,
            key=lambda each: (
                sum(lie.box.area for lie in each.lying) / max(self.weight[each.stock.id], 1e-9),
                -each.stock.length * each.stock.width,
                each.stock.id,
            ),
            default=None,
        )

    def smaller(self, filled: Filled, taken: Sequence[Filled], thorough: bool) -> Filled:
        """The lightest stock that holds all that lies on this one."""
        boxes = [lie.box for lie in filled.lying]
        needed = sum(lie.turn.length * lie.turn.width for lie in filled.lying)
        lighter = [
            stock
            for stock in self.offers
            if stock.kind != "leftover"
            and self.weight[stock.id] < self.weight[filled.stock.id]
            and self.left(stock, taken)
            and self.rooms[stock.id].length * self.rooms[stock.id].width >= needed
            and all(box.fits(stock, self.rooms[stock.id]) for box in boxes)
        ]
        for stock in sorted(lighter, key=lambda stock: (self.weight[stock.id], stock.id)):
            trial = self.filled(stock, boxes, thorough)
            if len(trial.lying) == len(boxes):
                return trial
        return filled

    def score(self, plan: _Plan) -> tuple[float, float, int, tuple[str, ...]]:
        """What is made least: weight, then area bought, then pieces of stock."""
        new = [each.stock for each in plan if each.stock.kind != "leftover"]
        return (
            round(sum(self.weight[stock.id] for stock in new), 6),
            round(sum(stock.length * stock.width for stock in new), 3),
            len(plan),
            tuple(each.stock.id for each in plan),
        )

    def plans(self, boxes: Sequence[Box], preferred: Sequence[Stock | None], thorough: bool) -> list[_Plan]:
        found = []
        for largest_first in (False, True):
            rack, rest = self.from_rack(boxes, largest_first, thorough)
            for each in preferred:
                bought = self.bought(rest, each, thorough)
                if bought is not None:
                    found.append((*rack, *bought))
            if not rack:
                break
        return found


def _without(boxes: Sequence[Box], filled: Filled) -> list[Box]:
    gone = {lie.box.number for lie in filled.lying}
    return [box for box in boxes if box.number not in gone]


def best_plans(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    available: Mapping[str, int | None],
    rules: Rules,
    fill: _Fill,
) -> tuple[_Plan, ...]:
    """Plans that hold every box, best first.

    Each stock on sale is tried as the preferred one, and once the fullest at every step; the sizes that do best are
    then tried again thoroughly, unless the boxes are very many.

    Args:
        boxes: what is to be cut.
        offers: stock of the right wood and thickness.
        available: how many of each stock id are still to be had; None for as many as needed.
        rules: how the shop cuts.
        fill: fills one sheet.

    Returns:
        The plans; none where the stock on offer runs out.
    """
    search = _Search(offers, available, rules, fill, weights(offers))
    on_sale: list[Stock | None] = [stock for stock in offers if stock.kind != "leftover"]
    ranked: list[tuple[tuple[float, float, int, tuple[str, ...]], int, Stock | None, _Plan]] = []
    for number, preferred in enumerate([None, *on_sale]):
        ranked.extend((search.score(plan), number, preferred, plan) for plan in search.plans(boxes, [preferred], False))
    ranked.sort(key=lambda each: each[:2])
    finalists = list({each[1]: each[2] for each in ranked}.values())[: _FINALISTS if len(boxes) <= _MANY else 0]
    thorough = [(search.score(plan), plan) for plan in search.plans(boxes, finalists, True)]
    everything = thorough + [(each[0], each[3]) for each in ranked]
    everything.sort(key=lambda each: each[0])
    return tuple(plan for _, plan in everything)
