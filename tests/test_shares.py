"""Whole shares add up, and none is off by one or more."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.shares import whole_shares


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.lists(st.floats(0.0, 1e4), min_size=1, max_size=40))
def test_whole_shares_add_up_and_lie_within_one(exact):
    total = round(sum(exact))
    shares = whole_shares(exact, total)
    assert sum(shares) == total
    assert all(abs(share - wanted) < 1.0 + 1e-5 for share, wanted in zip(shares, exact, strict=True))


def test_who_loses_most_gets_what_is_left_over():
    assert whole_shares([1.2, 1.7, 1.1], 4) == [1, 2, 1]
    assert whole_shares([], 0) == []
    assert whole_shares([2.0, 3.0], 5) == [2, 3]
    assert sum(whole_shares([0.25] * 4, 1)) == pytest.approx(1)
