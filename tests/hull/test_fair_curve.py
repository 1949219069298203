"""Fair curves against closed forms and against their own dense polylines."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import fresnel

from hullcut.hull.fair_curve import fair_curve

RAMP_AND_HOLD = fair_curve(
    np.array([0.0, 400.0, 520.0, 900.0]), np.array([0.0, 0.0, 1 / 700, 1 / 700]), (10.0, -4.0), 0.1
)


def polyline_length(points):
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def test_a_curve_without_curvature_is_straight():
    curve = fair_curve(np.array([0.0, 100.0]), np.zeros(2), (3.0, 4.0), 0.3)
    s = np.array([0.0, 12.5, 100.0, 140.0])
    expected = np.array([3.0, 4.0]) + s[:, None] * np.array([np.cos(0.3), np.sin(0.3)])
    assert np.abs(curve.point(s) - expected).max() < 1e-12
    assert curve.length == 100.0


@pytest.mark.parametrize("radius", [50.0, -50.0, 2000.0])
def test_a_curve_of_constant_curvature_is_an_arc(radius):
    curve = fair_curve(np.array([0.0, 130.0]), np.full(2, 1.0 / radius), (0.0, 0.0), 0.0)
    s = np.linspace(0.0, 130.0, 41)
    expected = radius * np.column_stack([np.sin(s / radius), 1.0 - np.cos(s / radius)])
    assert np.abs(curve.point(s) - expected).max() < 1e-10


@pytest.mark.parametrize(("length", "curvature"), [(1000.0, 1 / 600), (300.0, 1 / 60), (900.0, -1 / 500)])
def test_a_ramp_is_a_clothoid(length, curvature):
    curve = fair_curve(np.array([0.0, length]), np.array([0.0, curvature]), (0.0, 0.0), 0.0)
    s = np.linspace(0.0, length, 60)
    rate = abs(curvature) / length
    sine, cosine = fresnel(s * np.sqrt(rate / np.pi))
    expected = np.sqrt(np.pi / rate) * np.column_stack([cosine, np.sign(curvature) * sine])
    assert np.abs(curve.point(s) - expected).max() < 1e-10


def test_pieces_join_without_a_step_in_place_heading_or_curvature():
    curve = RAMP_AND_HOLD
    for knot in curve.knots[1:-1]:
        near, far = knot + np.array([-1e-7]), knot + np.array([1e-7])
        assert np.abs(curve.point(far) - curve.point(near)).max() < 2.1e-7
        assert abs(curve.heading(far) - curve.heading(near))[0] < 1e-9
        assert abs(curve.curvature(far) - curve.curvature(near))[0] < 1e-10


def test_heading_and_curvature_are_the_slopes_of_the_points():
    s = np.linspace(5.0, 890.0, 101)
    step = 1e-3
    tangent = (RAMP_AND_HOLD.point(s + step) - RAMP_AND_HOLD.point(s - step)) / (2.0 * step)
    bend = (RAMP_AND_HOLD.heading(s + step) - RAMP_AND_HOLD.heading(s - step)) / (2.0 * step)
    assert np.abs(tangent - RAMP_AND_HOLD.tangent(s)).max() < 1e-8
    assert np.abs(bend - RAMP_AND_HOLD.curvature(s)).max() < 1e-8
    assert np.abs(np.einsum("ij,ij->i", RAMP_AND_HOLD.tangent(s), RAMP_AND_HOLD.left(s))).max() < 1e-14


@pytest.mark.parametrize("distance", [-40.0, -3.2, 0.0, 6.35, 150.0])
def test_parallel_length_is_the_length_of_the_parallel_curve(distance):
    s = np.linspace(0.0, 900.0, 20001)
    parallel = RAMP_AND_HOLD.point(s) + distance * RAMP_AND_HOLD.left(s)
    assert RAMP_AND_HOLD.parallel_length(s[-1:], distance)[0] == pytest.approx(polyline_length(parallel), abs=1e-6)


@given(s=st.floats(0.0, 900.0), distance=st.floats(-300.0, 300.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_projecting_finds_the_foot_and_the_distance(s, distance):
    foot = np.array([s])
    point = RAMP_AND_HOLD.point(foot) + distance * RAMP_AND_HOLD.left(foot)
    found, away = RAMP_AND_HOLD.project(point)
    assert found[0] == pytest.approx(s, abs=1e-8)
    assert away[0] == pytest.approx(distance, abs=1e-8)


@given(s=st.floats(0.0, 900.0), distance=st.floats(-300.0, 300.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_the_place_abreast_of_a_first_coordinate_is_found_on_every_parallel(s, distance):
    foot = np.array([s])
    first = (RAMP_AND_HOLD.point(foot) + distance * RAMP_AND_HOLD.left(foot))[:, 0]
    assert RAMP_AND_HOLD.at_first_axis(first, distance)[0] == pytest.approx(s, abs=1e-8)


def test_distances_may_differ_from_point_to_point():
    s, distance = np.array([30.0, 450.0, 800.0]), np.array([0.0, 12.0, -25.0])
    first = (RAMP_AND_HOLD.point(s) + distance[:, None] * RAMP_AND_HOLD.left(s))[:, 0]
    assert np.abs(RAMP_AND_HOLD.at_first_axis(first, distance) - s).max() < 1e-8


@pytest.mark.parametrize("turn", [0.5, 0.02, 0.001])
def test_samples_turn_no_more_than_asked_and_keep_every_knot(turn):
    s = RAMP_AND_HOLD.samples(turn)
    assert np.diff(RAMP_AND_HOLD.heading(s)).max() <= turn + 1e-12
    assert np.all(np.diff(s) > 0.0)
    assert set(RAMP_AND_HOLD.knots) <= set(s)


def test_beyond_its_ends_a_curve_is_carried_on():
    arc = fair_curve(np.array([0.0, 50.0]), np.full(2, 1 / 80), (0.0, 0.0), 0.0)
    s = np.array([-10.0, 60.0])
    expected = 80.0 * np.column_stack([np.sin(s / 80.0), 1.0 - np.cos(s / 80.0)])
    assert np.abs(arc.point(s) - expected).max() < 1e-10
