"""Panels: there and back, lengths of edges on any face, areas, and both hands."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad

from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.fair_curve import fair_curve, sweep
from hullcut.hull.flat_panel import FlatPanel
from hullcut.hull.slope_panel import slope_panel
from hullcut.parts.joints import reckon

DEPTH = 140.0
MIRROR = np.array([1.0, -1.0, 1.0])
_BOW = sweep(520.0, 44.0)
# The plan narrows towards the bow: straight, ramp, hold.
PLAN = fair_curve(
    np.array([0.0, 500.0, 500.0 + 0.25 * _BOW.length, 500.0 + _BOW.length]),
    -_BOW.curvature * np.array([0.0, 0.0, 1.0, 1.0]),
    (0.0, 184.0),
    0.0,
)
_RISE = sweep(470.0, 127.0)
PROFILE = fair_curve(
    np.array([0.0, 600.0, 600.0 + 0.25 * _RISE.length, 600.0 + _RISE.length]),
    _RISE.curvature * np.array([0.0, 0.0, 1.0, 1.0]),
    (0.0, 0.0),
    0.0,
)
BOTTOM = CylinderPanel(6.35, PROFILE).moved(17.0, 190.0)


def side(flare, port=True, inset=0.0, thickness=7.9):
    return slope_panel(PLAN, DEPTH, np.radians(flare), thickness, inset, port)


def on_side(flare, s, height, offset, thickness=7.9):
    """A point of the port side from the definition: up the flare from the sheer's plan, then along the normal."""
    phi = np.radians(flare)
    outward = PLAN.left(s)
    middle = offset - thickness / 2.0
    level = (height - DEPTH) * np.tan(phi) + middle * np.cos(phi)
    return np.column_stack([PLAN.point(s) + level[:, None] * outward, height - middle * np.sin(phi)])


@pytest.mark.parametrize("port", [True, False])
@pytest.mark.parametrize("flare", [0.0, 3.0, 12.0])
@given(s=st.floats(0.0, 1015.0), height=st.floats(0.0, DEPTH), offset=st.floats(-4.0, 4.0))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_a_sloping_side_goes_there_and_back(flare, port, s, height, offset):
    panel = side(flare, port).moved(31.0, -12.0)
    point = on_side(flare, np.array([s]), np.array([height]), offset) * (1.0 if port else MIRROR)
    laid = panel.to_flat(point)
    assert laid[0, 2] == pytest.approx(offset, abs=1e-9)
    assert np.abs(panel.to_space(laid[:, :2], laid[:, 2]) - point).max() < 1e-8


@given(x=st.floats(-15.0, 1100.0), y=st.floats(-200.0, 200.0), offset=st.floats(-6.0, 6.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_bottom_goes_there_and_back(x, y, offset):
    flat = np.array([[x, y]])
    laid = BOTTOM.to_flat(BOTTOM.to_space(flat, offset))
    assert np.abs(laid - np.array([[x, y, offset]])).max() < 1e-8


def test_a_bottom_point_lies_where_the_profile_says():
    s = np.linspace(0.0, PROFILE.length, 31)
    place = PROFILE.point(s) + 6.35 * PROFILE.left(s)
    laid = BOTTOM.to_flat(np.column_stack([place[:, 0], np.full(31, 55.0), place[:, 1]]))
    assert np.abs(laid[:, 0] - 17.0 - s + 3.175 * PROFILE.heading(s)).max() < 1e-9
    assert np.abs(laid[:, 1] - 245.0).max() < 1e-12
    assert np.abs(laid[:, 2] + 3.175).max() < 1e-9


@given(x=st.floats(-50.0, 50.0), y=st.floats(-50.0, 50.0), offset=st.floats(-5.0, 5.0))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_a_flat_panel_goes_there_and_back_and_keeps_distances(x, y, offset):
    lean = np.radians(30.0)
    up, ahead = (-np.sin(lean), 0.0, np.cos(lean)), (np.cos(lean), 0.0, np.sin(lean))
    panel = FlatPanel(6.0, (100.0, 0.0, 40.0), (0.0, 1.0, 0.0), up, ahead).moved(3.0, 4.0)
    flat = np.array([[x, y], [x + 3.0, y + 4.0]])
    space = panel.to_space(flat, offset)
    assert np.linalg.norm(space[1] - space[0]) == pytest.approx(5.0, abs=1e-12)
    assert np.abs(panel.to_flat(space) - np.column_stack([flat, [offset, offset]])).max() < 1e-11
    assert reckon(panel, flat, offset) == pytest.approx((5.0, 5.0))


@pytest.mark.parametrize("flare", [0.0, 10.0])
def test_starboard_is_the_mirror_image_of_port(flare):
    port, starboard = side(flare), side(flare, port=False)
    flat = np.array([[5.0, 10.0], [480.0, 70.0], [760.0, 120.0], [990.0, 4.0]])
    mirrored = flat * np.array([-1.0, 1.0])
    assert np.abs(starboard.to_space(mirrored, 2.5) - port.to_space(flat, 2.5) * MIRROR).max() < 1e-9
    assert np.abs(starboard.turn(mirrored) - port.turn(flat)).max() < 1e-12
    assert np.abs(starboard.across(mirrored) - port.across(flat) * np.array([-1.0, 1.0])).max() < 1e-12


@pytest.mark.parametrize("port", [True, False])
def test_moving_a_panel_moves_its_drawing_alone(port):
    here, there = side(8.0, port), side(8.0, port).moved(11.0, -7.0)
    flat = np.array([[600.0, 30.0]]) * np.array([1.0 if port else -1.0, 1.0])
    assert np.abs(there.to_space(flat + np.array([11.0, -7.0]), 1.0) - here.to_space(flat, 1.0)).max() < 1e-9


def height_of(s):
    """A curved edge up the side: heights by arc length of the sheer, and their slopes."""
    return 20.0 + 90.0 * (s / 1000.0) ** 2, 0.18 * s / 1000.0


@pytest.mark.parametrize("port", [True, False])
@pytest.mark.parametrize("flare", [0.0, 5.0, 12.0])
@pytest.mark.parametrize("offset", [-3.95, 0.0, 3.95])
def test_a_sloping_sides_edge_is_reckoned_as_long_as_it_is_in_space(flare, offset, port):
    """The space curve's length from the derivative of its definition: dn/ds = -curvature t for the left normal."""
    phi = np.radians(flare)

    def pace(s):
        height, slope = height_of(s)
        level = (height - DEPTH) * np.tan(phi) + (offset - 3.95) * np.cos(phi)
        along = 1.0 - level * PLAN.curvature(np.array([s]))[0]
        return float(np.hypot(along, slope / np.cos(phi)))

    knots = np.clip(PLAN.knots, 10.0, 1010.0)
    true = sum(quad(pace, a, b, epsabs=1e-11, epsrel=1e-12)[0] for a, b in itertools.pairwise(knots))
    s = np.linspace(10.0, 1010.0, 20001)
    points = on_side(flare, s, height_of(s)[0], offset) * (1.0 if port else MIRROR)
    panel = side(flare, port)
    laid = panel.to_flat(points)
    flat_length, length = reckon(panel, laid[:, :2], offset)
    assert length == pytest.approx(true, rel=1e-9)
    if offset == 0.0:
        assert flat_length == pytest.approx(true, rel=1e-9)
    else:
        assert abs(flat_length - true) > 0.3


@pytest.mark.parametrize("offset", [-3.175, 0.0, 3.175])
def test_a_bottoms_edge_is_reckoned_as_long_as_it_is_in_space(offset):
    def breadth(s):
        return 184.0 - 40.0 * (s / 1000.0) ** 3

    def pace(s):
        along = 1.0 - (3.175 - offset) * PROFILE.curvature(np.array([s]))[0]
        return float(np.hypot(along, 0.12 * (s / 1000.0) ** 2))

    knots = PROFILE.knots
    true = sum(quad(pace, a, b, epsabs=1e-11, epsrel=1e-12)[0] for a, b in itertools.pairwise(knots))
    s = np.linspace(0.0, PROFILE.length, 20001)
    place = PROFILE.point(s) + (3.175 - offset) * PROFILE.left(s)
    laid = BOTTOM.to_flat(np.column_stack([place[:, 0], breadth(s), place[:, 1]]))
    assert reckon(BOTTOM, laid[:, :2], offset)[1] == pytest.approx(true, rel=1e-9)


@pytest.mark.parametrize("flare", [0.0, 5.0, 12.0])
def test_a_sloping_sides_developed_area_is_its_area_in_space(flare):
    phi = np.radians(flare)

    def patch(height, s):
        at = np.array([s])
        tangent = np.append(PLAN.tangent(at)[0], 0.0)
        outward = np.append(PLAN.left(at)[0], 0.0)
        level = (height - DEPTH) * np.tan(phi) - 3.95 * np.cos(phi)
        by_s = tangent * (1.0 - level * PLAN.curvature(at)[0])
        by_height = np.tan(phi) * outward + np.array([0.0, 0.0, 1.0])
        return float(np.linalg.norm(np.cross(by_s, by_height)))

    knots = PLAN.knots
    true = sum(
        dblquad(patch, a, b, lambda s: height_of(s)[0], DEPTH, epsabs=1e-5, epsrel=1e-10)[0]
        for a, b in itertools.pairwise(knots)
    )
    s = np.linspace(0.0, PLAN.length, 20001)
    ring = np.vstack(
        [
            on_side(flare, s, height_of(s)[0], 0.0),
            on_side(flare, s[::-1], np.full(len(s), DEPTH), 0.0),
        ]
    )
    area = shapely.Polygon(side(flare).to_flat(ring)[:, :2]).area
    assert area == pytest.approx(true, rel=1e-8)


def test_a_bottoms_developed_area_is_its_area_in_space():
    def strip(s):
        return (184.0 - 40.0 * (s / 1000.0) ** 3) * (1.0 - 3.175 * PROFILE.curvature(np.array([s]))[0])

    knots = PROFILE.knots
    true = 2.0 * sum(quad(strip, a, b, epsrel=1e-12)[0] for a, b in itertools.pairwise(knots))
    s = np.linspace(0.0, PROFILE.length, 20001)
    place = PROFILE.point(s) + 3.175 * PROFILE.left(s)
    y = 184.0 - 40.0 * (s / 1000.0) ** 3
    half = np.column_stack([place[:, 0], y, place[:, 1]])
    ring = np.vstack([half, half[::-1] * MIRROR])
    assert shapely.Polygon(BOTTOM.to_flat(ring)[:, :2]).area == pytest.approx(true, rel=1e-8)


def test_turning_the_wrong_way_would_miss_by_millimetres():
    """The same reckoning with the level line turned the other way: the comparison can fail."""
    flare, phi = 10.0, np.radians(10.0)
    s = np.linspace(0.0, PLAN.length, 8001)
    chine = on_side(flare, s, np.zeros(len(s)), 0.0)
    sheer = on_side(flare, s, np.full(len(s), DEPTH), 0.0)
    true = [float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in (chine, sheer)]
    pace = np.diff(s) * (1.0 + (DEPTH * np.tan(phi) + 3.95 * np.cos(phi)) * PLAN.curvature((s[1:] + s[:-1]) / 2.0))

    def sheer_length(sign):
        heading = sign * np.sin(phi) * PLAN.heading(s)
        middle = sign * np.sin(phi) * PLAN.heading((s[1:] + s[:-1]) / 2.0)
        steps = pace[:, None] * np.column_stack([np.cos(middle), np.sin(middle)])
        base = np.vstack([[0.0, 0.0], np.cumsum(steps, axis=0)])
        top = base + DEPTH / np.cos(phi) * np.column_stack([-np.sin(heading), np.cos(heading)])
        return float(np.linalg.norm(np.diff(top, axis=0), axis=1).sum())

    laid = side(flare).to_flat(sheer)
    developed = float(np.linalg.norm(np.diff(laid[:, :2], axis=0), axis=1).sum())
    assert developed == pytest.approx(true[1], abs=1e-5)
    assert sheer_length(1.0) == pytest.approx(true[1], abs=1e-4)
    assert abs(sheer_length(-1.0) - true[1]) > 2.0


@pytest.mark.parametrize("panel", [BOTTOM, side(0.0), side(10.0), side(10.0, port=False)])
def test_rulings_are_straight_in_space_and_their_turn_is_the_normals_turn(panel):
    points, directions, turns = panel.ruling_lines()
    far = points + 80.0 * directions
    middle = (points + far) / 2.0
    ends = (panel.to_space(points, 0.0), panel.to_space(far, 0.0))
    assert np.abs(panel.to_space(middle, 0.0) - (ends[0] + ends[1]) / 2.0).max() < 1e-9
    normals = panel.to_space(points, 1.0) - panel.to_space(points, 0.0)
    turned = 2.0 * np.arcsin(np.linalg.norm(np.diff(normals, axis=0), axis=1) / 2.0)
    assert np.abs(np.diff(turns) - turned).max() < 1e-9
    assert turns[0] == 0.0
    assert np.abs(panel.turn(middle) - turns).max() < 1e-10


def test_a_flat_panel_has_no_rulings_and_never_turns():
    panel = FlatPanel(6.0, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    assert [len(each) for each in panel.ruling_lines()] == [0, 0, 0]
    assert np.all(panel.turn(np.zeros((3, 2))) == 0.0)
