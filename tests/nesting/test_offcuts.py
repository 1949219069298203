import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from hullcut.nesting.boxes import GRID
from hullcut.nesting.offcuts import free_rectangles, keep_worthy


def grid(*corners):
    return tuple(round(value * GRID) for value in corners)


@pytest.mark.parametrize(
    ("length", "width", "kept"), [(300, 150, True), (150, 300, True), (299, 299, False), (1000, 149, False)]
)
def test_what_goes_back_into_the_rack(length, width, kept):
    assert keep_worthy(length, width, 1219.2) is kept


def test_the_end_of_a_narrow_board_goes_back_too():
    assert keep_worthy(300, 88.9, 88.9)
    assert not keep_worthy(1000, 40, 88.9)
    assert not keep_worthy(250, 88.9, 88.9)


def test_an_empty_sheet_is_one_offcut():
    (found,) = free_rectangles(grid(0, 0, 1000, 500), [], 500)
    assert (found.x, found.y, found.length, found.width) == (0, 0, 1000, 500)


def test_the_larger_side_is_taken_whole():
    found = free_rectangles(grid(0, 0, 1000, 500), [grid(0, 0, 200, 200)], 500)
    assert (found[0].x, found[0].y, found[0].length, found[0].width) == (200, 0, 800, 500)
    assert (found[1].x, found[1].y, found[1].length, found[1].width) == (0, 200, 200, 300)


corner = st.integers(0, 18)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(st.tuples(corner, corner, st.integers(1, 9), st.integers(1, 9)), max_size=5))
def test_offcuts_are_clear_and_none_larger_is_missed(rows):
    taken = [(50 * x, 50 * y, 50 * (x + a), 50 * (y + b)) for x, y, a, b in rows]
    found = free_rectangles(grid(0, 0, 1000, 1000), [grid(*each) for each in taken], 1000)
    shapes = [box(*each) for each in taken]
    cuts = [box(each.x, each.y, each.x + each.length, each.y + each.width) for each in found]
    for number, one in enumerate(cuts):
        assert all(one.intersection(other).area < 1e-6 for other in [*shapes, *cuts[:number]])
        assert box(0, 0, 1000, 1000).covers(one)
    # every rectangle on the 50 mm grid, by trying them all
    cell = [
        [any(x0 <= 50 * i < x1 and y0 <= 50 * j < y1 for x0, y0, x1, y1 in taken) for j in range(20)] for i in range(20)
    ]
    best = 0
    for left in range(20):
        free = [True] * 20
        for right in range(left, 20):
            free = [was and not cell[right][j] for j, was in enumerate(free)]
            run = 0
            for each in free:
                run = run + 1 if each else 0
                wide = 50 * (right - left + 1)
                if keep_worthy(wide, 50 * run, 1000):
                    best = max(best, wide * 50 * run)
    assert max((each.area for each in cuts), default=0) == pytest.approx(best)
