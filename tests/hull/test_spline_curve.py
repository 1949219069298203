"""Splines against scipy, the interface of a fair curve, fairing within the reading error, and bumps named."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import interpolate, optimize

from hullcut.hull.cubic_spline import cubic_spline, integrals, pentadiagonal_solution
from hullcut.hull.fair_curve import fair_curve
from hullcut.hull.fairing import LEAST_MOVE_MM, bumps, faired, straight_run
from hullcut.hull.slope_panel import slope_panel
from hullcut.hull.spline_curve import space_curve, spline_curve

RADIUS = 1500.0
X = np.linspace(0.0, 1000.0, 21)
ARC = spline_curve(np.column_stack([X, RADIUS - np.sqrt(RADIUS**2 - X**2)]))


@given(
    steps=st.lists(st.floats(5.0, 200.0), min_size=2, max_size=12),
    values=st.lists(st.floats(-100.0, 100.0), min_size=13, max_size=13),
)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_spline_is_scipys_with_not_a_knot_ends(steps, values):
    knots = np.concatenate([[0.0], np.cumsum(steps)])
    rows = np.array(values[: len(knots)])[:, None]
    ours, theirs = cubic_spline(knots, rows), interpolate.CubicSpline(knots, rows)
    at = np.linspace(0.0, knots[-1], 97)
    for order in (0, 1, 2):
        # In proportion to what such values can give at the shortest step.
        size = np.abs(rows).max() / min(steps) ** order + 1e-12
        assert np.abs(ours(at, order) - theirs(at, order)).max() < 1e-8 * size
    whole = theirs.integrate(0.0, knots[-1])
    assert integrals(ours)[-1] == pytest.approx(whole, abs=1e-8 * (np.abs(rows).max() + 1e-12) * knots[-1])


@pytest.mark.parametrize("order", [0, 1, 2])
def test_a_spline_goes_on_smoothly_past_its_ends(order):
    knots = np.array([0.0, 70.0, 200.0, 260.0, 400.0])
    spline = cubic_spline(knots, np.array([[3.0], [9.0], [-4.0], [0.0], [11.0]]))
    for place in (-70.0, 0.0, 400.0, 540.0):
        near = spline(np.array([place - 1e-7, place + 1e-7]), order)
        assert near[0, 0] == pytest.approx(near[1, 0], abs=1e-4)
    far = spline(np.array([-500.0, -300.0, 900.0, 2000.0]), 3)
    assert np.all(far == 0.0)


def test_knots_that_do_not_grow_are_refused():
    with pytest.raises(ValueError, match="growing"):
        cubic_spline(np.array([0.0, 5.0, 5.0]), np.zeros((3, 1)))


def test_a_pentadiagonal_system_is_solved():
    rng = np.random.default_rng(4)
    upper = np.triu(rng.normal(size=(40, 40))) - np.triu(rng.normal(size=(40, 40)), 3)
    banded = np.triu(upper) - np.triu(upper, 3)
    matrix = banded.T @ banded + np.eye(40)
    matrix = matrix - np.triu(matrix, 3) - np.tril(matrix, -3)
    right = rng.normal(size=40)
    found = pentadiagonal_solution(np.diag(matrix), np.diag(matrix, 1), np.diag(matrix, 2), right)
    assert np.abs(found - np.linalg.solve(matrix, right)).max() < 1e-10


def test_an_arc_through_points_is_as_long_and_bent_as_the_circle():
    assert ARC.length == pytest.approx(RADIUS * np.arcsin(1000.0 / RADIUS), abs=1e-4)
    s = np.linspace(50.0, ARC.length - 50.0, 50)
    assert np.abs(ARC.curvature(s) * RADIUS - 1.0).max() < 4e-3
    assert np.abs(ARC.heading(s) - s / RADIUS).max() < 1e-4


@pytest.mark.parametrize("distance", [-9.0, 0.0, 6.0])
def test_a_spline_curve_answers_as_a_fair_curve_does(distance):
    fair = fair_curve(np.array([0.0, ARC.length]), np.full(2, 1.0 / RADIUS), (0.0, 0.0), 0.0)
    s = np.linspace(0.0, ARC.length, 80)
    for both in (
        (ARC.point(s), fair.point(s)),
        (ARC.left(s), fair.left(s)),
        (ARC.tangent(s), fair.tangent(s)),
        (ARC.parallel_length(s, distance), fair.parallel_length(s, distance)),
        (ARC.at_first_axis(X, distance), fair.at_first_axis(X, distance)),
    ):
        assert np.abs(both[0] - both[1]).max() < 4e-3
    points = ARC.point(s) + distance * ARC.left(s)
    found, away = ARC.project(points)
    assert np.abs(found - s).max() < 1e-8
    assert np.abs(away - distance).max() < 1e-9
    assert np.abs(ARC.track(s) + ARC.point(np.zeros(1)) - ARC.point(s)).max() < 1e-8


def test_samples_turn_no_more_than_asked():
    s = ARC.samples(0.002)
    assert s[0] == 0.0
    assert s[-1] == pytest.approx(ARC.length)
    assert 0.0 < np.diff(ARC.heading(s)).max() <= 0.002


def test_a_spline_serves_as_the_plan_of_a_sloping_side():
    plan = spline_curve(np.column_stack([X, 180.0 - 9e-5 * (X - 200.0) ** 2]))
    panel = slope_panel(plan, 140.0, np.radians(8.0), 6.0, 0.0, port=True)
    flat = np.column_stack([np.linspace(20.0, 980.0, 30), np.linspace(10.0, 120.0, 30)])
    laid = panel.to_flat(panel.to_space(flat, 1.5))
    assert np.abs(laid - np.column_stack([flat, np.full(30, 1.5)])).max() < 1e-8


def test_a_space_curve_goes_through_its_points():
    points = np.column_stack([X, 150.0 - 1e-4 * X**2, 5e-5 * X**2])
    curve = space_curve(points)
    assert np.abs(curve.at(X) - points).max() < 1e-10
    assert np.abs(curve.at(X, 2) - np.array([0.0, -2e-4, 1e-4])).max() < 1e-12


@given(
    noise=st.lists(st.floats(-1.0, 1.0), min_size=9, max_size=9),
    steps=st.lists(st.floats(40.0, 160.0), min_size=8, max_size=8),
    read_to=st.floats(0.1, 1.5),
)
@settings(max_examples=50, deadline=None, derandomize=True)
def test_fairing_finds_the_fairest_values_within_the_reading_error(noise, steps, read_to):
    x = np.concatenate([[0.0], np.cumsum(steps)])
    values = 160.0 - 7e-5 * x**2 + np.array(noise)
    found = faired(x, values, read_to)
    assert np.abs(found - values).max() <= read_to * (1.0 + 1e-12)
    table = np.eye(9)
    for order in (1, 2, 3):
        table = np.diff(table, axis=0) / (x[order:] - x[:-order])[:, None]
    rows = table * np.sqrt(x[3:] - x[:-3])[:, None]
    rows = rows / np.abs(rows).max()
    best = optimize.lsq_linear(rows, -rows @ values, (-read_to, read_to), tol=1e-14, max_iter=2000)
    least = float(np.sum((rows @ (values + best.x)) ** 2))
    assert float(np.sum((rows @ found) ** 2)) <= least + 1e-6 * float(np.sum((rows @ values) ** 2)) + 1e-9


def test_a_straight_run_stays_straight_while_the_rest_is_faired():
    x = np.arange(10.0) * 100.0
    values = np.array([0.0, 0.0, 0.0, 0.0, 0.0, 1.2, 5.5, 11.0, 22.5, 34.0])
    assert straight_run(x, values).tolist() == [True] * 5 + [False] * 5
    found = faired(x, values, 0.8)
    assert np.array_equal(found[:5], values[:5])
    assert 0.0 < np.abs(found[5:] - values[5:]).max() <= 0.8 * (1.0 + 1e-12)


def test_three_stations_on_a_line_may_be_chance():
    assert not straight_run(np.arange(6.0), np.array([0.0, 1.0, 2.0, 2.5, 2.6, 2.6])).any()


def test_without_a_reading_error_nothing_moves():
    values = np.array([1.0, 5.0, 2.0, 8.0, 3.0])
    assert np.array_equal(faired(np.arange(5.0) * 100.0, values, 0.0), values)


@pytest.mark.parametrize("station", [2, 4, 6])
@pytest.mark.parametrize("size", [-4.0, 3.0])
def test_a_bump_is_named_with_the_move_that_undoes_it(station, size):
    x = np.linspace(0.0, 1000.0, 9)
    values = 160.0 - 8e-5 * (x - 200.0) ** 2
    values[station] += size
    found = bumps(x, values)
    assert [bump.station for bump in found] == [station]
    assert found[0].move == pytest.approx(-size, abs=1e-6)
    words = found[0].words("the sheer", "out", "in")
    assert f"station {station + 1}" in words
    assert f"{'in' if size > 0 else 'out'} {abs(size):.1f} mm" in words


def test_fair_points_and_moves_too_small_to_see_are_no_bumps():
    x = np.array([0.0, 60.0, 200.0, 320.0, 500.0, 640.0, 800.0])
    values = 150.0 - 6e-5 * x**2
    assert bumps(x, values) == ()
    values[3] += 0.5 * LEAST_MOVE_MM
    assert bumps(x, values) == ()
    values[3] += 1.0
    assert len(bumps(x, values)) == 1
    assert bumps(x, values, read_to=2.0) == ()
