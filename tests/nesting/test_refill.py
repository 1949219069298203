"""A mix of few sheets filled anew, and the memory of how well equal items fit, each held against the plain way."""

import random

import pytest

from hullcut.design.values import Stock
from hullcut.nesting.boxes import box_of
from hullcut.nesting.choose import weights
from hullcut.nesting.guillotine import CHOICES, SPLITS, Item, fill_in_order
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.mixes import filled_stock
from hullcut.nesting.refill import refilled
from hullcut.nesting.values import Piece, Rules
from hullcut.nesting.ways import EFFORTS, pool_of

WOOD, THICK = "okoume-plywood", 6.0
RULES = Rules("through", 3.0, 10.0, 6.0, "cost")


def piece(number, length, width, grain):
    outline = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return Piece(f"part-{number}", "", WOOD, THICK, grain, False, outline)


def sheet(length, width, price):
    return Stock(f"{length}x{width}", "sheet", WOOD, THICK, THICK, length, width, "length", None, price, "made up")


SHEETS = (sheet(2440.0, 1220.0, 100.0), sheet(1220.0, 1220.0, 55.0), sheet(1220.0, 610.0, 30.0))
SIZES = ((430.0, 335.0, "along"), (245.0, 330.0, "along"), (244.0, 70.0, "any"), (295.0, 385.0, "along"))
PIECES = [piece(number, *size) for number, size in enumerate(SIZES) for _ in range(18)]


def pool_with_first_fills():
    boxes = [box_of(number, each, RULES) for number, each in enumerate(PIECES)]
    pool = pool_of(boxes, SHEETS, {each.id: None for each in SHEETS}, RULES, EFFORTS["normal"])
    return pool, pool.first_fills()


def test_a_mix_filled_anew_is_lighter_and_holds_everything():
    pool, first = pool_with_first_fills()
    assert pool.few(pool.weigh(first))
    ways = refilled(pool, pool.weigh(first), 5.0)
    assert ways
    assert pool.weigh(ways) <= pool.weigh(first) - 5.0
    assert pool.complete(ways, pool.demands)
    plan = filled_stock(pool, ways)
    assert sorted(lie.box.number for filled in plan for lie in filled.lying) == list(range(len(PIECES)))
    weight = weights(SHEETS)
    assert sum(weight[filled.stock.id] for filled in plan) <= pool.weigh(ways)


def test_the_same_order_gives_the_same_plan():
    first, second = (refilled(pool, pool.weigh(plan), 5.0) for pool, plan in (pool_with_first_fills() for _ in "ab"))
    assert first == second


def test_nothing_is_lighter_than_a_plan_that_costs_less_than_the_area():
    pool, _ = pool_with_first_fills()
    assert refilled(pool, 100.0, 5.0) == []


def test_the_bound_of_whole_mixes_stays_below_the_plan():
    (bound,) = lay_out(PIECES, SHEETS, RULES).bounds
    assert bound.at_least <= bound.plan
    assert bound.plan <= 1.05 * bound.at_least


def plainly(items, length, width, most):
    """Items into sheets by the shorter side left and the first cut along the shorter rest, without any memory."""
    free, sheets = [], []
    for item in items:
        fits = [
            (min(room[3] - long, room[4] - wide), number, index)
            for number, (_, long, wide) in enumerate(item.ways)
            for index, room in enumerate(free)
            if long <= room[3] and wide <= room[4]
        ]
        if not fits:
            if len(sheets) >= most:
                continue
            sheets.append([])
            free.append((len(sheets) - 1, 0, 0, length, width))
            fits = [
                (min(length - long, width - wide), number, len(free) - 1)
                for number, (_, long, wide) in enumerate(item.ways)
            ]
        _, number, index = min(fits)
        turn, long, wide = item.ways[number]
        at, x, y, room_long, room_wide = free[index]
        free[index] = free[-1]
        free.pop()
        sheets[at].append((item.kind, turn, x, y))
        over, beside = room_long - long, room_wide - wide
        rip = over <= beside
        if over:
            free.append((at, x + long, y, over, wide if rip else room_wide))
        if beside:
            free.append((at, x, y + wide, room_long if rip else long, beside))
    return sheets


@pytest.mark.parametrize("most", [1, 3, 40])
def test_runs_of_equal_items_lie_as_they_would_one_by_one(most):
    chance = random.Random(20_261)
    for _ in range(20):
        length, width = chance.randint(150, 300), chance.randint(150, 300)
        sizes = [(chance.randint(5, 120), chance.randint(5, 120)) for _ in range(5)]
        items = [Item(kind, ((0, a, b), (1, b, a))) for kind, (a, b) in enumerate(sizes)]
        order = [item for item in items for _ in range(chance.randint(1, 25))]
        found = fill_in_order(order, length, width, "short", "short", most)
        assert [[(s.kind, s.turn, s.x, s.y) for s in spots] for spots in found] == plainly(order, length, width, most)


def test_every_rule_keeps_items_inside_and_apart():
    items = [Item(0, ((0, 31, 17), (1, 17, 31))), Item(1, ((0, 23, 23),)), Item(2, ((0, 9, 40), (1, 40, 9)))]
    order = [item for item in items for _ in range(30)]
    for choice in CHOICES:
        for split in SPLITS:
            for spots in fill_in_order(order, 120, 90, choice, split, 50):
                taken = set()
                for spot in spots:
                    _, long, wide = items[spot.kind].ways[spot.turn]
                    cells = {(spot.x + i, spot.y + j) for i in range(long) for j in range(wide)}
                    assert not taken & cells
                    assert max(x for x, _ in cells) < 120
                    assert max(y for _, y in cells) < 90
                    taken |= cells
