import pytest

from hullcut.design.values import Shop, Stock
from hullcut.nesting.offer import PLANING_ALLOWANCE, offer_for, same_thickness, usual_stock


def shop(*stock, market="inch"):
    return Shop(stock, market, "through", 3.175, 1.5875, 6.35, 6.35)


def piece_of_stock(kind="sheet", thickness=6.35, available=None, name="own"):
    return Stock(name, kind, "okoume-plywood", thickness, thickness, 1219.2, 609.6, "length", available, None, "rack")


def test_plywood_comes_in_every_usual_size_smallest_first():
    found = usual_stock("okoume-plywood", 6.35, "inch", "plywood")
    assert [stock.id.rsplit("-", 1)[1] for stock in found] == ["2x2", "2x4", "4x4", "4x8"]
    assert all(stock.planed_to == stock.thickness == 6.35 for stock in found)


def test_only_birch_comes_in_five_foot_squares():
    assert any(stock.length == 1524 for stock in usual_stock("birch-plywood", 6.35, "inch", "plywood"))
    assert not any(stock.length == 1524 for stock in usual_stock("okoume-plywood", 6.35, "inch", "plywood"))


def test_a_thin_side_comes_from_a_three_quarter_board_planed_down():
    found = usual_stock("yellow-poplar", 7.9375, "inch", "solid")
    assert len(found) == 5 * 4
    assert {stock.thickness for stock in found} == {19.05}
    assert {stock.planed_to for stock in found} == {7.9375}


def test_a_three_quarter_part_uses_the_board_as_sold():
    found = usual_stock("yellow-poplar", 19.05, "inch", "solid")
    assert {(stock.thickness, stock.planed_to) for stock in found} == {(19.05, 19.05)}
    assert "board-yellow-poplar-1x6-8ft" in {stock.id for stock in found}


@pytest.mark.parametrize(
    ("thickness", "market", "sold"),
    [
        (18.2, "inch", 38.1),
        (25.4, "inch", 38.1),
        (18.05, "inch", 19.05),
        (19.05, "metric", 21.0),
        (19.0, "metric", 20.0),
        (30.0, "metric", 45.0),
    ],
)
def test_planing_always_leaves_its_allowance(thickness, market, sold):
    found = usual_stock("white-oak", thickness, market, "solid")
    assert {stock.thickness for stock in found} == {sold}
    assert sold - thickness >= PLANING_ALLOWANCE - 1e-6


def test_nothing_on_offer_is_told_by_an_empty_tuple():
    assert usual_stock("white-oak", 60.0, "inch", "solid") == ()
    assert usual_stock("white-oak", 2.0, "inch", "solid") == ()


def test_ids_are_unique_over_many_thicknesses():
    groups = [("yellow-poplar", 7.9375), ("yellow-poplar", 12.7), ("yellow-poplar", 19.05)]
    groups += [("okoume-plywood", 6.35), ("okoume-plywood", 3.175), ("birch-plywood", 6.35)]
    for market in ("inch", "metric"):
        found = offer_for(shop(market=market), groups)
        assert len({stock.id for stock in found}) == len(found)
        assert offer_for(shop(market=market), reversed(groups)) == found


def test_the_shops_own_stock_replaces_the_usual_sizes():
    own = piece_of_stock()
    assert offer_for(shop(own), [("okoume-plywood", 6.5)]) == (own,)


def test_stock_of_another_thickness_does_not():
    own = piece_of_stock(thickness=9.5)
    assert own not in offer_for(shop(own), [("okoume-plywood", 6.35)])
    assert not same_thickness(own, 6.35)


def test_leftovers_alone_do_not_replace_the_usual_sizes():
    rack = piece_of_stock(kind="leftover", available=1)
    found = offer_for(shop(rack), [("okoume-plywood", 6.35)])
    assert found[0] == rack
    assert len(found) == 5
