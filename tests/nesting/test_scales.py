"""Numbers for sizes: whatever fits by true sizes fits by numbers; values of all rectangles against plain recursion."""

import itertools
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.nesting.knapsack import Way, best_tree, best_values, leaves
from hullcut.nesting.scales import conservative_scale


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(20, 90), min_size=1, max_size=4, unique=True),
    st.lists(st.integers(90, 200), min_size=1, max_size=2, unique=True),
    st.integers(3, 20),
)
def test_whatever_fits_by_size_fits_by_number(sizes, totals, unit):
    number, reaches = conservative_scale(sizes, totals, unit, [1.0] * len(sizes))
    assert all(number[size] >= size // unit for size in sizes)
    for total, reach in zip(totals, reaches, strict=True):
        for counts in itertools.product(*(range(total // size + 1) for size in sizes)):
            if sum(n * size for n, size in zip(counts, sizes, strict=True)) <= total:
                assert sum(n * number[size] for n, size in zip(counts, sizes, strict=True)) <= reach


def test_a_size_below_the_unit_has_no_number():
    number, reaches = conservative_scale([5, 40], [100], 10, [1.0, 1.0])
    assert number[5] == 0
    assert reaches == [10]


def test_numbers_are_raised_where_so_many_fit_anyway():
    # Two of 39 fit into 100 whatever they count up to 5; nothing else fits beside them.
    number, reaches = conservative_scale([39], [100], 10, [1.0])
    assert number[39] == 4
    assert reaches == [8]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9), st.integers(0, 30)), min_size=1, max_size=4),
    st.integers(1, 14),
    st.integers(1, 14),
)
def test_values_of_all_rectangles_are_those_of_plain_recursion(pieces, along, across):
    ways = [Way(kind, 0, a, c) for kind, (a, c, _) in enumerate(pieces)]
    values = [value for _, _, value in pieces]

    @cache
    def plain(a, c):
        found = [value for way, value in zip(ways, values, strict=True) if way.along <= a and way.across <= c]
        found += [plain(part, c) + plain(a - part, c) for part in range(1, a // 2 + 1)]
        found += [plain(a, part) + plain(a, c - part) for part in range(1, c // 2 + 1)]
        return max(found, default=0)

    best = best_values(along, across, ways, values)
    assert all(best[a, c] == plain(a, c) for a in range(1, along + 1) for c in range(1, across + 1))
    tree = best_tree(best, along, across, ways, values)
    assert sum(values[kind] for kind in (leaves(tree) if tree else ())) == plain(along, across)
