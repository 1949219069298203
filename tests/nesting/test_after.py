"""Shares of the cost: fair by blanks, and to the cent the whole."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.design.values import Stock
from hullcut.nesting.after import cost_shares
from hullcut.nesting.values import Blank, Layout, Placement, Rules, Sheet

RULES = Rules("through", 3.0, 0.0, 5.0, "least cost")
STOCK = Stock("sheet", "sheet", "okoume-plywood", 6.0, 6.0, 1000.0, 500.0, "length", None, 60.0, "")


def sheet_of(stock, *pieces):
    """A sheet with blanks in a row: (part, boat, blank's length, width)."""
    placements = tuple(Placement(part, boat, 0.0, 0.0, 0.0, False) for part, boat, _, _ in pieces)
    blanks = tuple(
        Blank(str(number), 0.0, 0.0, length, width, (placement,))
        for number, ((_, _, length, width), placement) in enumerate(zip(pieces, placements, strict=True))
    )
    return Sheet(stock, 1, stock.length, stock.width, placements, blanks, (), (), 0.5)


def layout_of(*sheets):
    return Layout(RULES, sheets, (), ())


def test_blanks_of_one_wood_share_its_cost_over_all_sheets():
    """The boat on the badly filled sheet pays no more for an equal blank."""
    full = sheet_of(STOCK, ("a", "one", 100.0, 10.0), ("a", "two", 100.0, 10.0), ("b", "two", 200.0, 10.0))
    poor = sheet_of(STOCK, ("a", "three", 100.0, 10.0))
    shares = cost_shares(layout_of(full, poor), {"a": 700.0, "b": 1900.0}, ("one", "two", "three"), ())
    assert shares.total == 120.0
    assert shares.boats == (("one", 24.0), ("two", 72.0), ("three", 24.0))


def test_a_shared_blank_is_shared_by_outlines():
    one, two = (Placement(part, boat, 0.0, 0.0, 0.0, False) for part, boat in (("a", "one"), ("b", "two")))
    both = Sheet(STOCK, 1, 1000.0, 500.0, (one, two), (Blank("1", 0.0, 0.0, 90.0, 50.0, (one, two)),), (), (), 0.5)
    shares = cost_shares(layout_of(both), {"a": 100.0, "b": 300.0}, ("one", "two"), ())
    assert shares.boats == (("one", 15.0), ("two", 45.0))


def test_woods_and_thicknesses_are_shared_by_themselves_and_near_ones_together():
    thick = replace(STOCK, id="thick", planed_to=12.0, price=100.0)
    rack = replace(STOCK, id="rack", kind="leftover", planed_to=6.3, price=None)
    sheets = (
        sheet_of(STOCK, ("a", "one", 100.0, 10.0)),
        sheet_of(rack, ("a", "two", 100.0, 10.0)),
        sheet_of(thick, ("b", "two", 5.0, 1.0)),
    )
    shares = cost_shares(layout_of(*sheets), {"a": 1.0, "b": 1.0}, ("one", "two"), ())
    assert shares.boats == (("one", 30.0), ("two", 130.0))


def test_a_missing_price_leaves_no_shares_and_extras_pay_their_own():
    unpriced = sheet_of(replace(STOCK, price=None), ("a", "one", 100.0, 10.0))
    assert cost_shares(layout_of(unpriced), {"a": 1.0}, ("one",), ()) is None
    mixed = sheet_of(STOCK, ("a", "one", 100.0, 10.0), ("shelf", "", 100.0, 10.0), ("shelf", "", 100.0, 10.0))
    shares = cost_shares(layout_of(mixed), {"a": 1.0, "shelf": 1.0}, ("one",), ("shelf",))
    assert (shares.boats, shares.extras) == ((("one", 20.0),), (("shelf", 40.0),))


@settings(max_examples=60, deadline=None)
@given(
    prices=st.lists(st.floats(0.0, 500.0), min_size=1, max_size=4),
    blanks=st.lists(st.tuples(st.integers(0, 3), st.integers(0, 4), st.floats(1.0, 900.0)), min_size=4, max_size=20),
)
def test_shares_always_add_up_to_the_cent(prices, blanks):
    boats = tuple(f"boat-{number}" for number in range(5))
    sheets = []
    for number, price in enumerate(prices):
        own = [("a", boats[boat], length, 10.0) for at, boat, length in blanks if at % len(prices) == number]
        if own:
            sheets.append(sheet_of(replace(STOCK, id=f"s{number}", planed_to=3.0 * (number + 1), price=price), *own))
    shares = cost_shares(layout_of(*sheets), {"a": 1.0}, boats, ())
    whole = sum(sheet.stock.price for sheet in sheets)
    assert shares.total == pytest.approx(whole, abs=0.0051)
    assert sum(round(cost * 100) for _, cost in shares.boats) == round(shares.total * 100)
    assert all(cost >= 0.0 for _, cost in shares.boats)
