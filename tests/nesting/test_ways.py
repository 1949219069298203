"""First fillings: whole plans of one stock, whose last piece of stock is as light as holds what is left."""

from hullcut.nesting.boxes import box_of
from hullcut.nesting.ways import EFFORTS, pool_of
from tests.published.nesting_data import piece, rules, sheet


def pool(count, *offers):
    cut = rules("through")
    boxes = [box_of(n, piece(f"part-{n}", 480, 480, "any"), cut) for n in range(count)]
    return pool_of(boxes, offers, {stock.id: stock.available for stock in offers}, cut, EFFORTS["normal"])


def stocks(made, plan):
    return sorted(made.stocks[way.stock].id for way in plan)


def test_the_last_sheet_is_the_lightest_that_holds_what_is_left():
    large, middle, small = (
        sheet("large", 1000, 1000, 90.0),
        sheet("middle", 1000, 500, 50.0),
        sheet("small", 500, 500, 30.0),
    )
    # Four go onto a large sheet: at 22.5 each the cheapest. What is left over goes onto less.
    for count, expected in ((8, ["large"] * 2), (9, ["large"] * 2 + ["small"]), (10, ["large"] * 2 + ["middle"])):
        made = pool(count, large, middle, small)
        plan = made.first_fills()
        assert stocks(made, plan) == expected
        assert made.complete(plan, made.demands)


def test_stock_that_has_run_out_is_not_taken_for_the_last():
    made = pool(9, sheet("large", 1000, 1000, 90.0), sheet("middle", 1000, 500, 50.0), sheet("small", 500, 500, 30.0))
    assert stocks(made, made.first_fills(limits=[None, None, 0])) == ["large", "large", "middle"]


def test_no_plan_as_heavy_as_the_most_allowed():
    made = pool(9, sheet("large", 1000, 1000, 90.0), sheet("small", 500, 500, 30.0))
    least = made.weigh(made.first_fills())
    assert least == 210.0
    assert made.first_fills(most=least) == []
    assert made.first_fills(most=least + 1.0)
