"""The linear program's uses rounded down: what is fixed is wanted, and with the rest it makes a whole plan."""

import numpy as np
import pytest

from hullcut.nesting.boxes import box_of
from hullcut.nesting.rounding import _whole_uses, rounded_down
from hullcut.nesting.ways import EFFORTS, pool_of
from tests.published.nesting_data import piece, rules, sheet

SIZES = ((310, 190), (240, 130), (170, 110), (140, 90), (95, 60))


@pytest.fixture
def pool():
    cut = rules("through")
    pieces = [piece(f"{n}-{copy}", *size, "any") for n, size in enumerate(SIZES) for copy in range(60)]
    offers = [sheet("large", 1000, 600, 100.0), sheet("small", 600, 400, 45.0)]
    boxes = [box_of(number, each, cut) for number, each in enumerate(pieces)]
    made = pool_of(boxes, offers, {stock.id: stock.available for stock in offers}, cut, EFFORTS["normal"])
    made.first_fills()
    return made


def test_a_rounded_plan_holds_everything_and_is_lighter_than_asked(pool):
    plan = rounded_down(pool, float("inf"))
    assert pool.complete(plan, pool.demands)
    lighter = rounded_down(pool, pool.weigh(plan))
    assert not lighter or pool.weigh(lighter) < pool.weigh(plan)
    assert rounded_down(pool, 1.0) == []


def test_only_what_is_wanted_is_fixed(pool):
    ways = list(pool.ways.values())
    fixed, left, _ = _whole_uses(pool, ways, [3.7] * len(ways))
    held = np.sum([way.counts for way in fixed], axis=0)
    assert fixed
    assert (held + np.array(left) == pool.demands).all()
    assert min(left) >= 0


def test_stock_that_runs_out_is_counted(pool):
    pool.limits = [2, None]
    plan = rounded_down(pool, float("inf"))
    assert pool.complete(plan, pool.demands)
    assert sum(way.stock == 0 for way in plan) <= 2
