"""The bow's sweep: where it ends, how evenly it bends, and when it is too steep."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.hull.fair_curve import RAMP_FRACTION, fair_curve, sweep, sweep_onward


def as_curve(bend):
    knots = np.array([0.0, RAMP_FRACTION * bend.length, bend.length])
    return fair_curve(knots, bend.curvature * np.array([0.0, 1.0, 1.0]), (0.0, 0.0), 0.0)


@given(run=st.floats(50.0, 2000.0), slope=st.floats(1e-4, 0.8))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_sweep_ends_where_it_should_and_bends_no_sharper_than_it_may(run, slope):
    bend = sweep(run, run * slope)
    curve = as_curve(bend)
    end = curve.point(np.array([bend.length]))[0]
    assert end[0] == pytest.approx(run, abs=1e-9 * run)
    assert end[1] == pytest.approx(run * slope, abs=1e-9 * run)
    assert bend.curvature <= 1.3 / bend.arc_radius
    assert bend.turn == pytest.approx(curve.heading(np.array([bend.length]))[0], abs=1e-12)


@pytest.mark.parametrize("slope", [0.01, 0.2, 0.5, 0.8])
def test_curvature_grows_without_a_step_from_nothing(slope):
    bend = sweep(470.0, 470.0 * slope)
    curve = as_curve(bend)
    s = np.linspace(0.0, bend.length, 4001)
    curvature = curve.curvature(s)
    assert curvature[0] == 0.0
    assert np.all(np.diff(curvature) > -1e-18)
    assert np.diff(curvature).max() <= 1.01 * bend.curvature / (0.25 * 4000)
    assert curvature.max() == pytest.approx(bend.curvature, rel=1e-12)


def test_the_arc_to_compare_with_is_the_one_tangent_to_the_straight():
    bend = sweep(300.0, 100.0)
    centre = np.array([0.0, bend.arc_radius])
    assert np.linalg.norm(np.array([300.0, 100.0]) - centre) == pytest.approx(bend.arc_radius, rel=1e-14)


def test_a_ramp_over_most_of_the_sweep_would_bend_too_sharply():
    bend = sweep(400.0, 100.0, ramp=0.9)
    assert bend.curvature > 1.3 / bend.arc_radius


def test_no_rise_is_a_straight_run():
    bend = sweep(250.0, 0.0)
    assert (bend.length, bend.curvature, bend.turn) == (250.0, 0.0, 0.0)
    assert np.isinf(bend.radius)
    assert np.isinf(bend.arc_radius)


@pytest.mark.parametrize("slope", [0.85, 1.0, 5.0])
def test_a_rise_too_steep_for_its_run_is_refused(slope):
    with pytest.raises(ValueError, match="too steep"):
        sweep(100.0, 100.0 * slope)


def test_the_steepest_sweep_turns_just_short_of_a_right_angle():
    assert np.degrees(sweep(100.0, 82.0).turn) == pytest.approx(90.0, abs=2.0)


@given(run=st.floats(100.0, 900.0), slope=st.floats(0.01, 0.6), share=st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_sweep_that_goes_on_from_a_curvature_ends_where_it_should(run, slope, share):
    """From straight it is the plain sweep, from its own arc's curvature it is that arc."""
    rise = run * slope
    arc = 2.0 * rise / (run**2 + rise**2)
    bend = sweep_onward(run, rise, share * arc)
    knots = np.array([0.0, RAMP_FRACTION * bend.length, bend.length])
    curve = fair_curve(knots, np.array([share * arc, bend.curvature, bend.curvature]), (0.0, 0.0), 0.0)
    assert curve.point(np.array([bend.length]))[0] == pytest.approx([run, rise], abs=1e-8 * run)
    assert arc * (1.0 - 1e-6) <= bend.curvature <= 1.3 * arc
    assert bend.turn == pytest.approx(curve.heading(np.array([bend.length]))[0], abs=1e-12)


def test_from_straight_it_is_the_plain_sweep_and_from_its_arc_the_arc():
    plain, onward = sweep(400.0, 80.0), sweep_onward(400.0, 80.0, 0.0)
    assert (onward.length, onward.curvature) == pytest.approx((plain.length, plain.curvature), rel=1e-9)
    arc = sweep_onward(400.0, 80.0, 1.0 / plain.arc_radius)
    assert arc.curvature == pytest.approx(1.0 / plain.arc_radius, rel=1e-8)
