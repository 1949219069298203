import pytest

from hullcut.nesting.boxes import Room, to_grid
from hullcut.nesting.cuts import Rectangle, saw

KERF = to_grid(3.0)


def room(length, width):
    return Room(to_grid(length), to_grid(width), 0, 0, to_grid(length), to_grid(width))


def held(x, y, length, width, plain=True):
    return Rectangle((to_grid(x), to_grid(y)), (to_grid(x + length), to_grid(y + width)), plain)


def test_one_blank_that_fills_the_sheet_needs_no_cut():
    sawn = saw(room(500, 100), [held(0, 0, 500, 100)], KERF)
    assert sawn.cuts == ()
    assert [name for name, _ in sawn.blanks] == ["0"]


def test_two_strips_need_one_rip_at_the_strips_width():
    sawn = saw(room(500, 103), [held(0, 0, 500, 50), held(0, 53, 500, 50)], KERF)
    (cut,) = sawn.cuts
    assert (cut.piece, cut.makes, cut.fence) == ("0", ("1", "2"), 50.0)
    assert (cut.x0, cut.y0, cut.x1, cut.y1) == (0.0, 51.5, 500.0, 51.5)


def test_a_pinwheel_has_no_through_cuts():
    wheel = [held(0, 0, 200, 97), held(203, 0, 97, 200), held(100, 203, 200, 97), held(0, 100, 97, 200)]
    assert saw(room(300, 300), wheel, KERF) is None


def test_blanks_closer_than_the_kerf_have_no_through_cuts():
    assert saw(room(500, 102), [held(0, 0, 500, 50), held(0, 52, 500, 50)], KERF) is None


def test_waste_between_blanks_is_named_and_kept_where_it_is_large():
    sawn = saw(room(700, 600), [held(0, 0, 700, 50), held(0, 300, 700, 300)], KERF)
    assert len(sawn.cuts) == 2
    (offcut,) = sawn.offcuts
    assert (offcut.y, offcut.length, offcut.width) == pytest.approx((53, 700, 244))


def test_fewest_cuts_win():
    # Two columns of equal height: one crosscut between them and one rip each would be three, one rip and two crosscuts
    # too; a third blank all across the top makes the rip come first.
    blanks = [held(0, 0, 200, 100), held(203, 0, 200, 100), held(0, 103, 403, 100)]
    sawn = saw(room(403, 203), blanks, KERF)
    assert [cut.y0 == cut.y1 for cut in sawn.cuts] == [True, False]


def test_trim_cuts_come_first_and_leave_the_usable_rectangle():
    trimmed = Room(to_grid(520), to_grid(120), to_grid(10), to_grid(10), to_grid(500), to_grid(100))
    sawn = saw(trimmed, [held(10, 10, 500, 100)], KERF)
    assert [cut.fence for cut in sawn.cuts] == pytest.approx([7, 100, 7, 500])
    assert [cut.y0 == cut.y1 for cut in sawn.cuts] == [True, True, False, False]
