from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from trial_scenes import swept_outline

from hullcut.drawing.paths import flatten, smooth_path
from hullcut.drawing.scene import Arc, Curve, Line

TOLERANCE = 0.01
FINE = 1e-4


def distances(points, path):
    """Of every point from the path, and of the path from the points' polygon."""
    fine = flatten(path, FINE)
    curve = shapely.LinearRing(fine) if path.closed else shapely.LineString(fine)
    dense = shapely.LinearRing(points) if path.closed else shapely.LineString(points)
    there = max(curve.distance(shapely.Point(p)) for p in points)
    back = max(dense.distance(shapely.Point(p)) for p in fine)
    return there, back


def kinds(path):
    return [type(segment) for segment in path.segments]


def circle_points(radius, count, start=0.0):
    return [(radius * cos(start + 2 * pi * k / count), radius * sin(start + 2 * pi * k / count)) for k in range(count)]


@given(radius=st.floats(2.0, 400.0), start=st.floats(0.0, 6.0), reverse=st.booleans())
@settings(max_examples=60, deadline=None)
def test_circle_becomes_one_arc(radius, start, reverse):
    count = max(24, round(2 * pi * radius / 2.5))
    points = circle_points(radius, count, start)
    path = smooth_path(points[::-1] if reverse else points)
    assert kinds(path) == [Arc]
    assert path.segments[0].radius == pytest.approx(radius, abs=1e-6)
    assert path.segments[0].clockwise is reverse
    assert distances(points, path)[0] <= 2 * FINE


@given(
    ramp=st.floats(80.0, 400.0),
    radius=st.floats(40.0, 2000.0),
    straight=st.floats(0.0, 300.0),
    step=st.floats(1.5, 3.0),
    heading=st.floats(0.0, 360.0),
)
@settings(max_examples=60, deadline=None)
def test_ramped_curve_keeps_to_its_points(ramp, radius, straight, step, heading):
    s = np.arange(0.0, straight + 2 * ramp, step)
    curvature = np.interp(s, [straight, straight + ramp], [0.0, 1 / radius])
    turn = radians(heading) + np.concatenate([[0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * step)])
    middle = (turn[1:] + turn[:-1]) / 2
    x, y = (np.concatenate([[0], np.cumsum(f(middle) * step)]) for f in (np.cos, np.sin))
    points = [(float(a), float(b)) for a, b in zip(x, y, strict=True)]
    path = smooth_path(points, closed=False)
    there, back = distances(points, path)
    assert there <= TOLERANCE + FINE
    # Between two points the true curve bulges from its chord by step^2 / (8 radius).
    assert back <= TOLERANCE + step**2 / (8 * radius) * 1.2 + FINE
    assert len(path.segments) <= 16 + len(points) / 8


@given(st.lists(st.floats(20.0, 200.0), min_size=3, max_size=9), st.floats(0.0, 6.0))
@settings(max_examples=60, deadline=None)
def test_polygon_keeps_every_corner_exactly(radii, start):
    count = len(radii)
    corners = [(r * cos(start + 2 * pi * k / count), r * sin(start + 2 * pi * k / count)) for k, r in enumerate(radii)]
    dense = []
    for (xa, ya), (xb, yb) in zip(corners, [*corners[1:], corners[0]], strict=True):
        parts = max(1, round(hypot(xb - xa, yb - ya) / 2.5))
        dense += [(xa + (xb - xa) * k / parts, ya + (yb - ya) * k / parts) for k in range(parts)]
    path = smooth_path(dense)
    assert set(kinds(path)) == {Line}
    ends = {segment.start for segment in path.segments}
    turned = [
        corner
        for before, corner, after in zip([corners[-1], *corners[:-1]], corners, [*corners[1:], corners[0]], strict=True)
        if abs((corner[0] - before[0]) * (after[1] - corner[1]) - (corner[1] - before[1]) * (after[0] - corner[0]))
        > 1.0
    ]
    assert all(corner in ends for corner in turned)


def test_swept_part_has_few_segments_and_exact_corners():
    points = swept_outline()
    path = smooth_path(points)
    there, back = distances(points, path)
    assert there <= TOLERANCE
    assert back <= TOLERANCE + 2.5**2 / (8 * 570)
    assert len(path.segments) <= 16
    assert Curve in kinds(path)
    ends = {segment.start for segment in path.segments if not isinstance(segment, Arc)}
    assert {points[0], points[436], points[437], points[-1]} <= ends


def test_rounded_rectangle_is_lines_and_arcs():
    points = []
    for cx, cy, begin in ((90, 10, -90), (90, 40, 0), (10, 40, 90), (10, 10, 180)):
        angles = [radians(begin + 90 * k / 8) for k in range(9)]
        points += [(cx + 10 * cos(a), cy + 10 * sin(a)) for a in angles]
    path = smooth_path(points)
    assert sorted(kind.__name__ for kind in kinds(path)) == ["Arc"] * 4 + ["Line"] * 4
    assert all(s.radius == pytest.approx(10.0) for s in path.segments if isinstance(s, Arc))


@pytest.mark.parametrize(("radius", "count"), [(200.0, 12), (4.0, 8), (30.0, 6)])
def test_regular_polygon_is_not_taken_for_a_circle(radius, count):
    assert kinds(smooth_path(circle_points(radius, count))) == [Line] * count


def test_measure_of_deviation_sees_a_wrong_path():
    points = circle_points(100.0, 250)
    wrong = smooth_path([(x * 1.001, y) for x, y in points])
    assert distances(points, wrong)[0] > 5 * TOLERANCE


@pytest.mark.parametrize("points", [[], [(1.0, 1.0)], [(1.0, 1.0), (1.0, 1.0)]])
def test_too_few_points_are_refused(points):
    with pytest.raises(ValueError, match="at least two"):
        smooth_path(np.array(points).reshape(-1, 2), closed=False)
