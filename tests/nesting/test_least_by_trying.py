"""Tiny orders, solved by trying everything: what the plan says of itself must be true."""

from functools import cache

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hullcut.design.values import Stock
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.values import Piece, Rules

SHEETS = ((60, 40), (50, 50), (30, 40))


def piece(number, length, width, turns):
    outline = ((0.0, 0.0), (float(length), 0.0), (float(length), float(width)), (0.0, float(width)))
    return Piece(f"p{number}", "", "okoume-plywood", 6.0, "any" if turns else "along", False, outline)


def sheet(size, price):
    return Stock(f"{size}", "sheet", "okoume-plywood", 6.0, 6.0, *map(float, size), "length", None, price, "invented")


def least_cut(enough, size):
    """The least whole size below `size` that is enough, where any larger one is enough too."""
    low, high = 1, size - 1
    if high < low or not enough(high):
        return None
    while low < high:
        middle = (low + high) // 2
        if enough(middle):
            high = middle
        else:
            low = middle + 1
    return low


def least_by_trying(pieces, sheets, kerf):
    """The least cost of any plan of through cuts: every set of pieces on every sheet, every partition into sets."""

    def ways(number):
        length, width, turns = pieces[number]
        return {(length, width), (width, length)} if turns else {(length, width)}

    @cache
    def fits(subset, length, width):
        """Whether through cuts get a set of pieces out of a rectangle, kerfs counted with the pieces."""
        if len(subset) == 1:
            return any(a + kerf <= length and b + kerf <= width for a, b in ways(subset[0]))
        first, rest = subset[0], subset[1:]
        for mask in range(2 ** len(rest) - 1):
            low = (first, *(each for bit, each in enumerate(rest) if mask >> bit & 1))
            high = tuple(each for bit, each in enumerate(rest) if not mask >> bit & 1)
            # What fits a rectangle fits a larger one, so only the least cut that frees the one side matters.
            cut = least_cut(lambda size, low=low: fits(low, size, width), length)
            if cut is not None and fits(high, length - cut, width):
                return True
            cut = least_cut(lambda size, low=low: fits(low, length, size), width)
            if cut is not None and fits(high, length, width - cut):
                return True
        return False

    @cache
    def least(left):
        if not left:
            return 0.0
        first, rest = left[0], left[1:]
        found = []
        for mask in range(2 ** len(rest)):
            on = (first, *(each for bit, each in enumerate(rest) if mask >> bit & 1))
            off = tuple(each for bit, each in enumerate(rest) if not mask >> bit & 1)
            prices = [price for (length, width), price in sheets if fits(on, length + kerf, width + kerf)]
            if prices:
                found.append(min(prices) + least(off))
        return min(found, default=float("inf"))

    return least(tuple(range(len(pieces))))


sizes = st.tuples(st.integers(2, 6).map(lambda n: 5 * n), st.integers(1, 6).map(lambda n: 5 * n), st.booleans())


@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(
    st.lists(sizes, min_size=1, max_size=5),
    st.lists(st.integers(4, 12), min_size=3, max_size=3),
    st.sampled_from([0, 1]),
)
def test_the_claim_of_a_tiny_plan_is_true(pieces, prices, kerf):
    offers = [(size, float(price)) for size, price in zip(SHEETS, prices, strict=True)]
    layout = lay_out(
        [piece(number, *each) for number, each in enumerate(pieces)],
        [sheet(*each) for each in offers],
        Rules("through", float(kerf), 0.0, 0.0, "cost"),
    )
    (bound,) = layout.bounds
    least = least_by_trying(tuple(pieces), tuple(offers), kerf)
    assert bound.at_least <= least + 1e-6 <= bound.plan + 2e-6
    if bound.proven_best:
        assert abs(bound.plan - least) < 1e-6


def test_six_rectangles_by_trying():
    # One sheet of 60 x 40 cut up by four through cuts, and one piece too many.
    pieces = ((30, 20, False), (30, 20, False), (30, 20, False), (30, 10, False), (30, 10, False), (20, 10, True))
    offers = ((SHEETS[0], 7.0), (SHEETS[2], 4.0))
    layout = lay_out(
        [piece(number, *each) for number, each in enumerate(pieces)],
        [sheet(*each) for each in offers],
        Rules("through", 0.0, 0.0, 0.0, "cost"),
    )
    assert layout.bounds[0].plan == least_by_trying(pieces, offers, 0) == 11.0
    assert layout.bounds[0].proven_best
