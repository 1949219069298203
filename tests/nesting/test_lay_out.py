import itertools
import subprocess
import sys
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hullcut.design.values import Stock
from hullcut.errors import BuildError
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.values import Piece, Rules

WOOD, THICK = "okoume-plywood", 6.35
THROUGH = Rules("through", 3.175, 6.35, 6.35, "area bought")
SHAPE = Rules("shape", 1.5875, 6.35, 6.35, "area bought", "quick")


def rectangle(length, width):
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def pointed(length, width):
    """Like a deck: square aft, narrowing forward."""
    return ((0.0, 0.0), (length * 0.7, 0.0), (length, width / 2), (length * 0.7, width), (0.0, width))


def angle(length, width):
    """Like a knee."""
    return ((0.0, 0.0), (length, 0.0), (length, width / 3), (length / 3, width), (0.0, width))


def piece(name, outline, grain="any", material=WOOD, thickness=THICK, flip=False):
    return Piece(name, "tansyfoot-1", material, thickness, grain, flip, outline)


def stock(name, length, width, kind="sheet", available=None, price=None, grain="length", material=WOOD):
    return Stock(name, kind, material, THICK, THICK, length, width, grain, available, price, "made up for a test")


BIG = stock("big", 2438.4, 1219.2)
HALF = stock("half", 1219.2, 1219.2)
QUARTER = stock("quarter", 1219.2, 609.6)
RACK = stock("rack", 620.0, 410.0, kind="leftover", available=2)

sizes = st.floats(15.0, 580.0, allow_nan=False)
outlines = st.builds(
    lambda shape, length, width: shape(length, width), st.sampled_from([rectangle, pointed, angle]), sizes, sizes
)
piece_sets = st.lists(st.tuples(outlines, st.sampled_from(["along", "across", "any"])), min_size=1, max_size=12).map(
    lambda rows: [piece(f"part-{number}", *row) for number, row in enumerate(rows)]
)
offer_sets = st.lists(
    st.sampled_from(
        [
            HALF,
            QUARTER,
            RACK,
            stock("small rack", 300.0, 200.0, kind="leftover", available=1),
            stock("turned", 1300.0, 900.0, grain="width"),
            stock("limited", 1000.0, 700.0, available=1),
            stock("board", 2000.0, 140.0, kind="board"),
        ]
    ),
    max_size=5,
    unique=True,
).map(lambda rows: (BIG, *rows))
rule_sets = st.builds(
    lambda cutting, kerf, trim, clearance: Rules(
        cutting, kerf, trim, clearance, "area bought", "quick" if cutting == "shape" else "normal"
    ),
    st.sampled_from(["through", "shape"]),
    st.sampled_from([0.2, 1.5875, 3.175, 4.0]),
    st.sampled_from([0.0, 1.0, 6.35, 20.0]),
    st.sampled_from([0.0, 3.0, 6.35]),
)


@settings(max_examples=120, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(piece_sets, offer_sets, rule_sets)
def test_any_layout_keeps_its_promises(verify, pieces, offers, rules):
    verify(lay_out(pieces, offers, rules), pieces, offers)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(piece_sets, offer_sets, rule_sets, st.randoms(use_true_random=False))
def test_the_order_of_pieces_does_not_matter(pieces, offers, rules, random):
    mixed = list(pieces)
    random.shuffle(mixed)
    assert lay_out(mixed, offers, rules) == lay_out(pieces, offers, rules)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(piece_sets, st.sampled_from([THROUGH, SHAPE]))
def test_more_kinds_of_leftovers_never_stop_a_plan(verify, pieces, rules):
    offers = (RACK, stock("rack-2", 800.0, 300.0, kind="leftover", available=1), HALF, QUARTER)
    verify(lay_out(pieces, offers, rules), pieces, offers)


@pytest.mark.parametrize("rules", [THROUGH, SHAPE])
def test_a_boat_like_set_of_pieces(verify, rules):
    pieces = [piece("bottom", rectangle(1092.2, 330.2), "across"), piece("deck", pointed(400.0, 330.0), "along")]
    pieces += [piece(f"bulkhead-{n}", angle(300.0, 110.0)) for n in range(4)]
    pieces += [piece(f"pad-{n}", rectangle(80.0, 50.0)) for n in range(9)]
    layout = lay_out(pieces, (BIG, HALF, QUARTER), rules)
    verify(layout, pieces, (BIG, HALF, QUARTER))
    # The bottom's 1092 mm lie across the grain, so no quarter sheet holds it, and one half sheet holds all.
    assert [sheet.stock.id for sheet in layout.sheets] == ["half"]
    assert layout.bounds[0].proven_best


def test_the_verifier_sees_a_shifted_part(verify):
    pieces = [piece("a", rectangle(200.0, 100.0)), piece("b", rectangle(200.0, 100.0))]
    layout = lay_out(pieces, (QUARTER,), THROUGH)
    verify(layout, pieces, (QUARTER,))
    sheet = layout.sheets[0]
    shifted = replace(sheet.placements[1], x=sheet.placements[1].x + 2.0)
    broken = replace(sheet, placements=(sheet.placements[0], shifted))
    with pytest.raises(AssertionError):
        verify(replace(layout, sheets=(broken,)), pieces, (QUARTER,))


def test_the_verifier_sees_a_missing_cut(verify):
    pieces = [piece("a", rectangle(200.0, 100.0)), piece("b", rectangle(200.0, 100.0))]
    layout = lay_out(pieces, (QUARTER,), THROUGH)
    verify(layout, pieces, (QUARTER,))
    sheet = layout.sheets[0]
    for missing in range(len(sheet.cuts)):
        cuts = tuple(cut for number, cut in enumerate(sheet.cuts) if number != missing)
        with pytest.raises((AssertionError, KeyError)):
            verify(replace(layout, sheets=(replace(sheet, cuts=cuts),)), pieces, (QUARTER,))


@pytest.mark.parametrize("grain_of_stock", ["length", "width"])
@pytest.mark.parametrize("grain", ["along", "across"])
def test_grain_decides_how_a_piece_lies(grain_of_stock, grain):
    offers = (stock("sheet", 1200.0, 1200.0, grain=grain_of_stock),)
    layout = lay_out([piece("side", pointed(1000.0, 120.0), grain)], offers, THROUGH)
    straight = (grain == "along") == (grain_of_stock == "length")
    assert layout.sheets[0].placements[0].rotation == (0.0 if straight else 90.0)


def test_kerf_is_paid_between_blanks_only():
    pieces = [piece(f"strip-{n}", rectangle(1000.0, 100.0), "along") for n in range(3)]
    exact = stock("exact", 1000.0, 306.0)
    rules = replace(THROUGH, trim=0.0, kerf=3.0)
    layout = lay_out(pieces, (exact,), rules)
    assert len(layout.sheets) == 1
    assert len(layout.sheets[0].cuts) == 2
    short = stock("short", 1000.0, 305.9)
    assert len(lay_out(pieces, (short,), rules).sheets) == 2


def test_new_sheets_are_trimmed_all_round_boards_at_their_ends_leftovers_not_at_all():
    rules = replace(THROUGH, trim=10.0, kerf=3.0)
    for kind, length, width in [("sheet", 520.0, 120.0), ("board", 520.0, 100.0), ("leftover", 500.0, 100.0)]:
        just = stock("just", length, width, kind=kind, available=1)
        layout = lay_out([piece("plate", rectangle(500.0, 100.0), "along")], (just,), rules)
        cuts = layout.sheets[0].cuts
        assert len(cuts) == {"sheet": 4, "board": 2, "leftover": 0}[kind]
        for less in (replace(just, length=length - 0.01), replace(just, width=width - 0.01)):
            with pytest.raises(BuildError):
                lay_out([piece("plate", rectangle(500.0, 100.0), "along")], (less,), rules)


def test_a_strip_thinner_than_the_kerf_is_shaved_off(verify):
    exact = stock("exact", 502.0, 100.0)
    pieces = [piece("plate", rectangle(500.0, 100.0), "along")]
    layout = lay_out(pieces, (exact,), replace(THROUGH, trim=0.0))
    verify(layout, pieces, (exact,))
    (cut,) = layout.sheets[0].cuts
    assert len(cut.makes) == 1
    assert cut.fence == pytest.approx(500.0)


def test_narrow_waste_stays_on_a_blank_that_is_sawn_to_shape(verify):
    board = stock("board", 1000.0, 140.0, kind="board")
    pieces = [piece("side", pointed(900.0, 120.0), "along")]
    layout = lay_out(pieces, (board,), THROUGH)
    verify(layout, pieces, (board,))
    assert layout.sheets[0].blanks[0].width == pytest.approx(140.0)


def test_leftovers_are_used_first(verify):
    pieces = [piece(f"pad-{n}", rectangle(150.0, 100.0)) for n in range(4)]
    offers = (BIG, RACK)
    layout = lay_out(pieces, offers, THROUGH)
    verify(layout, pieces, offers)
    assert [sheet.stock.id for sheet in layout.sheets] == ["rack"]
    assert [line.cost for line in layout.shopping] == [0.0]
    assert layout.bounds[0].plan == 0.0
    assert layout.bounds[0].proven_best


def test_leftovers_are_used_even_where_a_new_sheet_is_needed_too(verify):
    pieces = [piece("deck", rectangle(1000.0, 500.0), "along"), piece("pad", rectangle(150.0, 100.0))]
    layout = lay_out(pieces, (QUARTER, RACK), THROUGH)
    verify(layout, pieces, (QUARTER, RACK))
    assert [sheet.stock.id for sheet in layout.sheets] == ["rack", "quarter"]


def test_limited_stock_is_respected_and_the_rest_bought_elsewhere(verify):
    pieces = [piece(f"plate-{n}", rectangle(550.0, 380.0), "along") for n in range(5)]
    offers = (stock("few", 600.0, 400.0, available=3), QUARTER)
    layout = lay_out(pieces, offers, THROUGH)
    verify(layout, pieces, offers)
    counts = Counter(sheet.stock.id for sheet in layout.sheets)
    assert counts["few"] <= 3
    assert counts["quarter"] >= 1


def test_limited_stock_is_shared_by_all_thicknesses_that_may_use_it():
    offers = [stock("only", 600.0, 400.0, available=1)]
    thick = Stock("thick", "sheet", WOOD, 6.8, 6.8, 600.0, 400.0, "length", None, None, "made up")
    pieces = [piece("thin", rectangle(500.0, 350.0)), piece("thicker", rectangle(500.0, 350.0), thickness=6.7)]
    layout = lay_out(pieces, [*offers, thick], THROUGH)
    assert sorted(sheet.stock.id for sheet in layout.sheets) == ["only", "thick"]


def test_stock_that_runs_out_is_told():
    pieces = [piece(f"plate-{n}", rectangle(550.0, 380.0)) for n in range(3)]
    with pytest.raises(BuildError, match=r"not enough for 3 pieces \(2 of few\)"):
        lay_out(pieces, (stock("few", 600.0, 400.0, available=2),), THROUGH)


def test_every_piece_that_is_too_large_is_told_at_once():
    pieces = [piece("deck", rectangle(1300.0, 400.0), "across"), piece("side", pointed(3000.0, 120.0), "along")]
    pieces.append(piece("pad", rectangle(50.0, 50.0)))
    with pytest.raises(BuildError) as raised:
        lay_out(pieces, (BIG,), THROUGH)
    assert [fault.key for fault in raised.value.faults] == ["deck", "side"]
    text = str(raised.value)
    assert "3012.7 mm" in text  # 3000 and a clearance of 6.35 at each end
    assert "2425.7 mm" in text  # the sheet less its trims
    assert "larger stock" in text


def test_a_wood_that_nobody_offers_is_told():
    with pytest.raises(BuildError, match=r"no white-oak of 6.4 mm .* on offer for bearer"):
        lay_out([piece("bearer", rectangle(100.0, 20.0), material="white-oak")], (BIG,), THROUGH)


def test_an_empty_order_needs_nothing():
    layout = lay_out([], (BIG,), THROUGH)
    assert (layout.sheets, layout.shopping, layout.bounds) == ((), (), ())


def test_the_smaller_sheet_is_bought_where_it_does():
    layout = lay_out([piece("shelf", rectangle(500.0, 300.0))], (BIG, HALF, QUARTER), THROUGH)
    assert [sheet.stock.id for sheet in layout.sheets] == ["quarter"]


def test_prices_decide_where_all_are_known():
    dear = replace(QUARTER, price=30.0)
    cheap = replace(BIG, price=20.0)
    layout = lay_out([piece("shelf", rectangle(500.0, 300.0))], (cheap, dear), THROUGH)
    assert [(line.stock.id, line.count, line.cost) for line in layout.shopping] == [("big", 1, 20.0)]
    assert (layout.bounds[0].objective, layout.bounds[0].at_least) == ("cost", 20.0)
    mixed = lay_out([piece("shelf", rectangle(500.0, 300.0))], (cheap, QUARTER), THROUGH)
    assert [(line.stock.id, line.cost) for line in mixed.shopping] == [("quarter", None)]


def test_the_last_sheet_is_the_smallest_that_does(verify):
    pieces = [piece(f"bottom-{n}", rectangle(1092.2, 330.2), "across") for n in range(8)]
    rules = replace(THROUGH, trim=0.0)
    layout = lay_out(pieces, (BIG, HALF), rules)
    verify(layout, pieces, (BIG, HALF))
    assert [sheet.stock.id for sheet in layout.sheets] == ["big", "half"]


def test_offcuts_worth_keeping_are_told():
    layout = lay_out([piece("shelf", rectangle(500.0, 300.0), "along")], (BIG,), THROUGH)
    kept = sum(cut.length * cut.width for cut in layout.sheets[0].offcuts)
    assert kept > 0.9 * (BIG.length * BIG.width - 500 * 300)
    assert all(min(cut.length, cut.width) >= 150 for cut in layout.sheets[0].offcuts)


def test_the_end_of_a_board_is_kept_whole_rather_than_ripped(verify):
    board = stock("board", 1828.8, 88.9, kind="board")
    pieces = [piece(f"bearer-{n}", rectangle(228.6, 50.8), "along") for n in range(2)]
    layout = lay_out(pieces, (board,), THROUGH)
    verify(layout, pieces, (board,))
    (offcut,) = layout.sheets[0].offcuts
    assert offcut.width == pytest.approx(88.9)
    assert offcut.length == pytest.approx(1828.8 - 2 * 6.35 - 2 * 228.6 - 2 * 3.175)


def test_same_bytes_whatever_the_hash_seed():
    program = (
        "import sys; sys.path.insert(0, '.')\n"
        "from hullcut.nesting.lay_out import lay_out\n"
        "from hullcut.nesting.values import Piece, Rules\n"
        "from hullcut.nesting.offer import usual_stock\n"
        "def r(l, w): return ((0., 0.), (l, 0.), (l, w), (0., w))\n"
        "ps = [Piece(f'p{i}', 'b', 'okoume-plywood', 6.35, 'any', False, r(60. + 37 * i % 400, 40. + 53 * i % 210))"
        " for i in range(25)]\n"
        "for c, e in (('through', 'normal'), ('shape', 'quick')):\n"
        "    print(lay_out(ps, usual_stock('okoume-plywood', 6.35, 'inch', 'plywood'),"
        " Rules(c, 3.175, 6.35, 6.35, 'area', e)))\n"
    )
    outputs = [
        subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4242")
    ]
    assert outputs[0]
    assert outputs[0] == outputs[1]


def test_rips_come_before_crosscuts_where_both_would_do():
    pieces = [piece(f"strip-{n}", rectangle(500.0, 100.0), "along") for n in range(4)]
    layout = lay_out(pieces, (stock("sheet", 1003.0, 203.0),), replace(THROUGH, trim=0.0, kerf=3.0))
    cuts = layout.sheets[0].cuts
    rips = [cut.y0 == cut.y1 for cut in cuts]
    assert rips == sorted(rips, reverse=True)
    assert len(cuts) == 3
    for earlier, later in itertools.pairwise(cuts):
        assert earlier.order < later.order
