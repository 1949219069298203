"""The measures of a part lead back to its outline: with straight lines, and with a batten sprung through the points."""

import numpy as np
import pytest
import shapely
from scipy.interpolate import CubicSpline
from trial_boats import built, by_slug

from hullcut.parts.measures import batten, is_mirror, is_rectangle, measures_of, reading_step

BOATS = ("bramblefin", "marshpenny")


def told(name):
    boat = built(name)
    return [
        (part, measures_of(part, boat.design.units), boat.design.units) for part in boat.parts if not is_rectangle(part)
    ]


def drawn(edge):
    """What a builder draws for an edge: a straight line, or a natural spline by another library."""
    points = np.array(edge.points)
    if not edge.curved:
        return points
    axis = 0 if np.ptp(points[:, 0]) >= np.ptp(points[:, 1]) else 1
    points = points if points[-1, axis] > points[0, axis] else points[::-1]
    spline = CubicSpline(points[:, axis], points[:, 1 - axis], bc_type="natural")
    at = np.linspace(points[0, axis], points[-1, axis], 600)
    return np.column_stack([at, spline(at)] if axis == 0 else [spline(at), at])


def marked_out(part, measures):
    """All lines that a builder draws, in the part's drawing, both sides of a middle line."""
    both = {"lower edge": [(1, 1)], "centre line along": [(1, 1), (1, -1)], "centre line up": [(1, 1), (-1, 1)]}
    lines = [
        shapely.LineString(drawn(edge) * turn + np.array(measures.origin))
        for edge in measures.edges
        for turn in both[measures.base]
    ]
    return shapely.union_all(lines)


@pytest.mark.parametrize("name", BOATS)
def test_the_outline_is_found_again_within_the_stated_error(name):
    for part, measures, _ in told(name):
        lines = marked_out(part, measures)
        ring = shapely.LinearRing(part.outline)
        there = shapely.distance(shapely.points(shapely.get_coordinates(ring.segmentize(5.0))), lines).max()
        back = shapely.distance(shapely.points(shapely.get_coordinates(lines)), ring).max()
        assert max(there, back) <= measures.worst_error + 0.06, part.name


@pytest.mark.parametrize("name", BOATS)
def test_the_worst_error_is_a_pencil_line(name):
    for part, measures, _ in told(name):
        assert 0.0 <= measures.worst_error < 0.8, part.name


@pytest.mark.parametrize("name", BOATS)
def test_measures_are_written_as_a_rule_reads_them(name):
    for _, measures, units in told(name):
        for edge in measures.edges:
            steps = np.array(edge.points) / reading_step(units)
            assert np.abs(steps - np.round(steps)).max() < 1e-6


def test_curved_edges_have_an_offset_every_two_inches_or_closer():
    side = by_slug(built("marshpenny").parts)["side-port"]
    lower = next(edge for edge in measures_of(side, "in").edges if edge.name == "lower")
    assert lower.curved
    along = np.array(lower.points)[:, 0]
    assert np.diff(along).max() <= 50.8 * 1.26
    inner = along[1:-1] / 50.8
    assert inner == pytest.approx(np.round(inner), abs=1e-9)
    metric = next(edge for edge in measures_of(side, "mm").edges if edge.name == "lower")
    inner = np.array(metric.points)[1:-1, 0] / 50.0
    assert inner == pytest.approx(np.round(inner), abs=1e-9)


def test_a_part_alike_on_both_sides_is_told_on_one():
    parts = by_slug(built("marshpenny").parts)
    assert measures_of(parts["bottom"], "in").base == "centre line along"
    assert measures_of(parts["transom"], "in").base == "centre line up"
    assert measures_of(parts["side-port"], "in").base == "lower edge"
    for slug, axis in (("bottom", 1), ("transom", 0)):
        for edge in measures_of(parts[slug], "in").edges:
            assert np.array(edge.points)[:, axis].min() >= -1e-9


def test_holes_and_slots_are_told():
    parts = by_slug(built("bramblefin").parts)
    bore = measures_of(parts["engine-plate"], "in").holes[0]
    assert bore.diameter == pytest.approx(built("bramblefin").design.engine.housing_bore, abs=0.01)
    assert bore.centre[0] == pytest.approx(0.0, abs=1e-9)
    fin_slot, shaft_slot = measures_of(parts["bottom"], "in").holes
    place = built("bramblefin").arrangement
    corners = np.array(shaft_slot.corners)
    trim = built("bramblefin").design.laps.trim_allowance
    assert corners[:, 0].min() == pytest.approx(place.shaft.slot_from + trim, abs=0.5)
    assert np.ptp(np.array(fin_slot.corners)[:, 1]) == pytest.approx(parts["fin"].thickness, abs=0.8)


def test_rectangles_just_have_a_size():
    parts = by_slug(built("bramblefin").parts)
    assert is_rectangle(parts["strut-pad"])
    assert not is_rectangle(parts["bottom"])
    assert not is_rectangle(parts["side-port"])


def test_what_is_a_rectangle_to_the_saw_has_no_pattern():
    for name in ("bramblefin", "tansyfoot"):
        parts = by_slug(built(name).parts)
        assert is_rectangle(parts["fin-cleat"])
        assert not is_rectangle(parts["fin"])
        assert not is_rectangle(parts["engine-plate"])


def test_straight_edges_need_no_batten():
    parts = by_slug(built("marshpenny").parts)
    for slug in ("knee-port", "bearer-port"):
        assert not any(edge.curved for edge in measures_of(parts[slug], "in").edges)
    for name in BOATS:
        for part, found, _ in told(name):
            for edge in found.edges:
                points = np.array(edge.points)
                flat = np.ptp(points, axis=0).min() == 0.0
                assert not edge.curved or (len(points) > 2 and not flat), (part.name, edge.name)


def test_holes_are_named_by_what_they_are_for():
    parts = by_slug(built("bramblefin").parts)
    assert measures_of(parts["bottom"], "in").holes[0].name == "fin slot"
    assert measures_of(parts["engine-plate"], "in").holes[0].name == "engine's bore"


def test_a_side_is_the_others_mirror_image_and_not_the_transoms():
    parts = by_slug(built("marshpenny").parts)
    assert is_mirror(parts["side-port"], parts["side-starboard"])
    assert not is_mirror(parts["side-port"], parts["transom"])
    assert not is_mirror(parts["side-port"], parts["side-port"])


def test_a_batten_through_two_points_is_straight():
    line = batten(np.array([[0.0, 1.0], [10.0, 6.0]]))
    assert line[:, 1] == pytest.approx(1.0 + 0.5 * line[:, 0])
    upright = batten(np.array([[1.0, 0.0], [6.0, 10.0]]), axis=1)
    assert upright[:, 0] == pytest.approx(1.0 + 0.5 * upright[:, 1])
