"""What no plan can beat.

The area bound takes the outlines' true area, without kerf or clearance, less all that the leftovers in
the rack could hold, and asks for the lightest mix of stock on sale whose usable area is at least that and which holds
the piece that is hardest to place. Limits on how many can be had are ignored. Each of these only makes the bound
smaller, so it holds for through cuts and for true shapes alike.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box, Room, from_grid, room_of
from hullcut.nesting.choose import weights
from hullcut.nesting.values import Bound, Rules

__all__ = ["area_bound", "rounded_up", "stated"]

#: mixes looked at before the plain area stands as the bound.
_MOST_MIXES = 20_000
#: weights of mixes to which a bound is rounded up; a heavier bound stands as it is.
_MOST_SUMS = 3000
#: mm2 (or a part of the currency) within which two sums are one.
_ROUNDING = 1e-3
#: mm by which a piece may pass the stock and still count as fitting, so that rounding never tightens the bound.
_SLACK = 1e-3


def _may_hold(box: Box, stock: Stock, room: Room) -> bool:
    """Whether stock could hold a piece in any layout: never says no where one exists."""
    length, width = from_grid(room.length) + _SLACK, from_grid(room.width) + _SLACK
    if length <= 0 or width <= 0:
        return False
    long, wide = _reach(box.piece.outline)
    if box.piece.grain == "any":
        # It may lie at any angle, so only its area and its reach tell.
        return box.area <= length * width and max(long, wide) <= math.hypot(length, width)
    turned = (box.piece.grain == "across") == (stock.grain == "length")
    along, across = (wide, long) if turned else (long, wide)
    return along <= length and across <= width


# Every copy of a part is asked about, with all stock on sale.
@lru_cache(maxsize=1024)
def _reach(outline: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """How far an outline reaches along both axes."""
    return max(x for x, _ in outline), max(y for _, y in outline)


def _usable(room: Room) -> float:
    return max(0.0, from_grid(room.length)) * max(0.0, from_grid(room.width))


def _lightest(area: float, starts: Sequence[tuple[float, float]], kinds: Sequence[tuple[float, float]]) -> float:
    """The least weight of a mix that begins with one of `starts` and whose usable area reaches `area`.

    Args:
        area: mm2 to be held.
        starts: (weight, usable area) of the stock that holds the hardest piece.
        kinds: (weight, usable area) of all stock on sale.
    """
    heap = [(weight, -usable) for weight, usable in starts]
    heapq.heapify(heap)
    best_at: dict[int, float] = {}
    for _ in range(_MOST_MIXES):
        weight, usable = heapq.heappop(heap)
        if -usable >= area - _ROUNDING:
            return weight
        key = round(weight / _ROUNDING)
        if best_at.get(key, -1.0) >= -usable:
            continue
        best_at[key] = -usable
        for more_weight, more_usable in kinds:
            if best_at.get(round((weight + more_weight) / _ROUNDING), -1.0) < more_usable - usable:
                heapq.heappush(heap, (weight + more_weight, usable - more_usable))
    lightest_rate = min(weight / usable for weight, usable in kinds)
    return max(min(weight for weight, _ in starts), area * lightest_rate)


def area_bound(
    boxes: Sequence[Box], offers: Sequence[Stock], rules: Rules, available: Mapping[str, int | None]
) -> float:
    """The weight that no plan for one group of pieces goes below, whatever the way of cutting.

    Args:
        boxes: the group.
        offers: stock of its wood and thickness.
        rules: how the shop cuts.
        available: how many of each stock id are still to be had; all leftovers count as free for this group.
    """
    return _at_least(boxes, offers, rules, weights(offers), available)


def rounded_up(at_least: float, offers: Sequence[Stock]) -> float:
    """The least weight of any mix of stock on sale that a bound allows."""
    weight = weights(offers)
    kinds = tuple(sorted({weight[stock.id] for stock in offers if weight[stock.id] > 0}))
    if at_least <= _ROUNDING or not kinds:
        return max(0.0, at_least)
    wanted = at_least - max(_ROUNDING, at_least * 1e-9)
    return max(at_least, next((each for each in _sums(kinds) if each >= wanted), at_least))


def _sums(kinds: Sequence[float]) -> Iterator[float]:
    """The lightest weights that mixes of stock can have, in order."""
    heap, last, count = list(kinds), -1.0, 0
    while count < _MOST_SUMS:
        weight = heapq.heappop(heap)
        if count and weight - last < _ROUNDING:
            continue
        yield weight
        last, count = weight, count + 1
        for more in kinds:
            heapq.heappush(heap, weight + more)


def stated(
    task: tuple[Sequence[Box], Sequence[Stock], Rules], bought: Sequence[Stock], at_least: float, how: str
) -> Bound:
    """A bound beside what a plan uses.

    Args:
        task: the group, stock of its wood and thickness, and how the shop cuts.
        bought: every sheet and board that the plan uses; leftovers among them weigh nothing.
        at_least: weight that no plan goes below.
        how: the kind of proof.

    Returns:
        The bound on cost if all stock on sale has a price, else on the area bought, in mm2.
    """
    boxes, offers, rules = task
    weight = weights(offers)
    plan = sum(weight[stock.id] for stock in bought)
    if plan < at_least <= plan + _ROUNDING:
        # The two are one; their sums were only rounded differently.
        at_least = plan
    on_sale = [stock for stock in offers if stock.kind != "leftover"]
    priced = bool(on_sale) and all(stock.price is not None for stock in on_sale)
    piece = boxes[0].piece
    return Bound(
        material=piece.material,
        thickness=piece.thickness,
        cutting=rules.cutting,
        objective="cost" if priced else "area bought, mm2",
        plan=plan,
        at_least=at_least,
        proven_best=plan <= at_least + _ROUNDING,
        how=how,
    )


def _at_least(
    boxes: Sequence[Box],
    offers: Sequence[Stock],
    rules: Rules,
    weight: Mapping[str, float],
    available: Mapping[str, int | None],
) -> float:
    """The least weight that any plan buys."""
    rooms = {stock.id: room_of(stock, rules) for stock in offers}
    on_sale = [stock for stock in offers if stock.kind != "leftover" and _usable(rooms[stock.id]) > 0]
    rack = [stock for stock in offers if stock.kind == "leftover" and available[stock.id] != 0]
    area = sum(box.area for box in boxes)
    for stock in rack:
        left = available[stock.id]
        area -= math.inf if left is None else _usable(rooms[stock.id]) * left
    starts = _homes_of_hardest(boxes, on_sale, rack, rooms, weight)
    if not on_sale or (area <= 0 and not starts):
        return 0.0
    kinds = [(weight[stock.id], _usable(rooms[stock.id])) for stock in on_sale]
    first = [(weight[stock.id], _usable(rooms[stock.id])) for stock in starts or on_sale]
    return _lightest(max(area, 0.0), first, kinds)


def _homes_of_hardest(
    boxes: Sequence[Box],
    on_sale: Sequence[Stock],
    rack: Sequence[Stock],
    rooms: Mapping[str, Room],
    weight: Mapping[str, float],
) -> list[Stock]:
    """The stock that may hold the piece whose lightest stock is heaviest; empty where the rack may hold them all."""
    hardest: list[Stock] = []
    for box in boxes:
        if any(_may_hold(box, stock, rooms[stock.id]) for stock in rack):
            continue
        homes = [stock for stock in on_sale if _may_hold(box, stock, rooms[stock.id])]
        if homes and (not hardest or _least(homes, weight) > _least(hardest, weight)):
            hardest = homes
    return hardest


def _least(stocks: Sequence[Stock], weight: Mapping[str, float]) -> float:
    return min(weight[stock.id] for stock in stocks)
