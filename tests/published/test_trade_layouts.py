"""What a boatbuilder expects of a sheet or a board: common practice, no source."""

import itertools

import pytest

from hullcut.design.values import Stock
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.offer import usual_stock
from hullcut.nesting.values import Piece, Rules

INCH = 25.4
EIGHTH = INCH / 8
UNTRIMMED = Rules("through", EIGHTH, 0.0, INCH / 4, "area bought")


def rectangle(name, length_in, width_in, grain, material="okoume-plywood", thickness_in=0.25):
    length, width = length_in * INCH, width_in * INCH
    outline = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return Piece(name, "tansyfoot-1", material, thickness_in * INCH, grain, False, outline)


def sheets(*feet):
    return tuple(
        stock
        for stock in usual_stock("okoume-plywood", INCH / 4, "inch", "plywood")
        if stock.id.endswith(tuple(f"-{size}" for size in feet))
    )


def bottoms(count):
    """Bottoms of 43 x 13 in with their face grain across the boat."""
    return [rectangle(f"bottom-{number}", 43, 13, "across") for number in range(count)]


def test_a_bottom_lies_across_a_four_foot_sheet_with_its_grain_across_the_boat():
    layout = lay_out(bottoms(1), sheets("4x8"), UNTRIMMED)
    (placement,) = layout.sheets[0].placements
    assert layout.sheets[0].stock.grain == "length"
    assert placement.rotation in (90.0, 270.0)


def test_just_under_four_feet_still_lies_across():
    layout = lay_out([rectangle("bottom", 47.9, 13, "across")], sheets("4x8"), UNTRIMMED)
    assert len(layout.sheets) == 1


@pytest.mark.parametrize(("count", "needed"), [(7, 1), (8, 2), (14, 2), (15, 3)])
def test_a_four_by_eight_sheet_gives_seven_bottoms(count, needed):
    layout = lay_out(bottoms(count), sheets("4x8"), UNTRIMMED)
    assert len(layout.sheets) == needed
    assert sum(len(sheet.placements) for sheet in layout.sheets) == count


def test_a_side_just_under_five_inches_comes_from_a_nominal_one_by_six():
    side = rectangle("side", 42, 4.95, "along", "yellow-poplar", 5 / 16)
    # sawn to a curve, so that it has a clearance all round
    (x0, y0), (x1, _), (_, y1), _ = side.outline
    curved = ((x0, y0), (x1 * 0.8, y0), (x1, y1 * 0.6), (x1, y1), (x0, y1))
    side = Piece(side.part, side.boat, side.material, side.thickness, side.grain, False, curved)
    offers = usual_stock("yellow-poplar", 5 / 16 * INCH, "inch", "solid")
    rules = Rules("through", EIGHTH, INCH / 4, INCH / 4, "area bought")
    layout = lay_out([side], offers, rules)
    assert "1x6" in layout.sheets[0].stock.id
    assert layout.sheets[0].stock.thickness == pytest.approx(0.75 * INCH)
    assert layout.sheets[0].stock.planed_to == pytest.approx(5 / 16 * INCH)


def boat_rectangles(length_in=43.0, sides_in=5.0):
    pieces = [rectangle("bottom", length_in, 13, "any")]
    return pieces + [rectangle(f"side-{hand}", length_in, sides_in, "any") for hand in ("port", "starboard")]


def test_bottom_and_two_sides_fit_one_two_by_four_sheet_with_two_kerfs():
    layout = lay_out(boat_rectangles(), sheets("2x4"), UNTRIMMED)
    (sheet,) = layout.sheets
    assert len(sheet.placements) == 3
    # 13 + 5 + 5 in and two kerfs of 1/8 in are 23 1/4 in of the 24; two rips part the three strips.
    across = sorted((blank.y, blank.y + blank.width) for blank in sheet.blanks)
    gaps = [low - high for (_, high), (low, _) in itertools.pairwise(across)]
    assert gaps == pytest.approx([EIGHTH, EIGHTH])
    assert across[-1][1] - across[0][0] == pytest.approx(23.25 * INCH)


def test_wider_sides_do_not():
    # 13 + 5.4 + 5.4 in and two kerfs are 24.05 in.
    assert len(lay_out(boat_rectangles(sides_in=5.4), sheets("2x4"), UNTRIMMED).sheets) == 2


def test_the_sheet_that_is_bought_is_a_stock_on_offer():
    offers = sheets("4x8", "4x4", "2x4")
    layout = lay_out(bottoms(3), offers, UNTRIMMED)
    assert all(isinstance(sheet.stock, Stock) and sheet.stock in offers for sheet in layout.sheets)
    # Three across a 4 x 4 ft sheet: 39 in and two kerfs of its 48 in.
    assert [sheet.stock.id.rsplit("-", 1)[1] for sheet in layout.sheets] == ["4x4"]
