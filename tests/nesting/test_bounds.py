from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.design.values import Stock
from hullcut.nesting.bounds import area_bound, stated
from hullcut.nesting.boxes import box_of
from hullcut.nesting.values import Piece, Rules

RULES = Rules("through", 3.0, 0.0, 0.0, "area bought")


def stock(name, length, width, price=None, kind="sheet", available=None):
    return Stock(name, kind, "birch-plywood", 6, 6, length, width, "length", available, price, "made up for a test")


def boxes(*sizes, grain="along"):
    return [
        box_of(
            n,
            Piece(str(n), "b", "birch-plywood", 6, grain, False, ((0, 0), (length, 0), (length, width), (0, width))),
            RULES,
        )
        for n, (length, width) in enumerate(sizes)
    ]


def bound(group, offers, bought=()):
    at_least = area_bound(group, offers, RULES, {each.id: each.available for each in offers})
    return stated((group, offers, RULES), bought, at_least, "area")


def test_the_smallest_mix_of_areas_that_reaches_the_parts_area():
    offers = [stock("a", 100, 70), stock("b", 100, 30)]
    # 8,500 mm2 of parts: three of 3,000 are less than 7,000 + 3,000
    assert bound(boxes(*[(50, 17)] * 10), offers).at_least == pytest.approx(9_000)


def test_the_hardest_piece_asks_for_its_own_stock():
    offers = [stock("long", 1000, 100), stock("short", 100, 100)]
    assert bound(boxes((500, 10)), offers).at_least == pytest.approx(100_000)


def test_a_piece_of_any_grain_may_lie_askew():
    # 140 mm along the diagonal of a 100 mm square: no bound may say that the square is too small.
    offers = [stock("long", 1000, 100), stock("square", 100, 100)]
    assert bound(boxes((130, 5), grain="any"), offers).at_least == pytest.approx(10_000)


def test_the_rack_lowers_the_bound():
    offers = [stock("new", 100, 100), stock("rack", 100, 100, kind="leftover", available=1)]
    assert bound(boxes((90, 90)), offers).at_least == 0
    assert bound(boxes((90, 90), (90, 90)), offers).at_least == pytest.approx(10_000)


def test_a_rack_without_end_leaves_only_the_pieces_that_it_cannot_hold():
    offers = [stock("new", 500, 100), stock("rack", 100, 100, kind="leftover")]
    assert bound(boxes((90, 90), (90, 90)), offers).at_least == 0
    assert bound(boxes((90, 90), (400, 90)), offers).at_least == pytest.approx(50_000)


def test_cost_where_everything_has_a_price():
    offers = [stock("dear", 100, 100, price=9.0), stock("cheap", 200, 100, price=4.0)]
    found = bound(boxes((90, 90)), offers, [offers[1]])
    assert (found.objective, found.at_least, found.plan, found.proven_best) == ("cost", 4.0, 4.0, True)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), min_size=1, max_size=4, unique=True),
    st.integers(1, 300),
)
def test_against_trying_every_mix(kinds, area):
    offers = [stock(str(n), 10.0 * a + 10, 10.0 * b + 10) for n, (a, b) in enumerate(kinds)]
    group = boxes(*[(10, 10)] * area)
    areas = [each.length * each.width for each in offers]
    most = int(area * 100 // min(areas)) + 1
    if most > 12:
        return
    best = min(
        sum(mix)
        for count in range(1, most + 1)
        for mix in combinations_with_replacement(areas, count)
        if sum(mix) >= area * 100
    )
    assert bound(group, offers).at_least == pytest.approx(best)
