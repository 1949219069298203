"""Outlines: corners that join, allowances that stand off, edges that cover, and long faces."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from trial_boats import NAMES, built, by_slug, changed, outline_of, sample, taken

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.frames import level_panel, line, square_edges
from hullcut.parts.outline import EdgeLines, flat_outline

PANEL = FlatPanel(10.0, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def frustum(top, bottom, allowance=0.0, reverse=False):
    """A square plate with half widths `top` on its outer face and `bottom` on its inner one."""
    corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    edges = []
    for i, name in enumerate(("south", "east", "north", "west")):
        ends = corners[[i, (i + 1) % 4]]
        outer, inner = (np.column_stack([half * ends, np.full(2, z)]) for half, z in ((top, 5.0), (bottom, -5.0)))
        edges.append(EdgeLines(name, outer, inner, allowance if name == "east" else 0.0))
    if reverse:
        edges = [EdgeLines(e.name, e.outer[::-1], e.inner[::-1], e.allowance) for e in reversed(edges)]
    return flat_outline(PANEL, edges)


def runs_of(outline):
    return {
        edge.name: outline.points[
            (edge.start + np.arange((edge.stop - edge.start) % len(outline.points) + 1)) % len(outline.points)
        ]
        for edge in outline.edges
    }


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize(("top", "bottom", "face"), [(50.0, 47.0, "outer"), (46.0, 50.0, "inner")])
def test_a_bevelled_plate_is_cut_on_the_face_that_reaches_farther(top, bottom, face, reverse):
    outline = frustum(top, bottom, reverse=reverse)
    assert shapely.Polygon(outline.points).symmetric_difference(shapely.box(-50, -50, 50, 50)).area < 1e-9
    assert shapely.LinearRing(outline.points).is_ccw
    assert sorted(edge.name for edge in outline.edges) == ["east", "north", "south", "west"]
    for edge in outline.edges:
        assert edge.long_face == face
        assert edge.bevel == pytest.approx(np.degrees(np.arctan(abs(top - bottom) / 10.0)))


def test_a_square_edge_has_no_bevel_and_no_long_face():
    for edge in frustum(50.0, 50.0).edges:
        assert (edge.bevel, edge.long_face) == (0.0, None)


@pytest.mark.parametrize("reverse", [False, True])
def test_an_allowance_moves_its_own_edge_and_lengthens_its_neighbours(reverse):
    outline = frustum(50.0, 50.0, allowance=3.0, reverse=reverse)
    assert shapely.Polygon(outline.points).symmetric_difference(shapely.box(-50, -50, 53, 50)).area < 1e-9
    assert shapely.Polygon(outline.true_points).symmetric_difference(shapely.box(-50, -50, 50, 50)).area < 1e-9
    runs = runs_of(outline)
    assert np.abs(runs["east"][:, 0] - 53.0).max() < 1e-9
    assert np.abs(runs["west"][:, 0] + 50.0).max() < 1e-9


@given(
    radius=st.floats(60.0, 800.0),
    allowance=st.floats(0.5, 6.0),
    bow=st.sampled_from([1.0, -1.0]),
    n=st.integers(12, 60),
)
@settings(max_examples=40, deadline=None, derandomize=True)
def test_an_allowance_stands_off_a_curved_edge_by_its_width(radius, allowance, bow, n):
    """A plate with one curved side, bulging or hollow: what is sawn is the true edge's parallel."""
    x = np.linspace(50.0, -50.0, n)
    y = 40.0 + bow * (np.sqrt(radius**2 - x**2) - radius)
    ring = [
        ("foot", np.array([-50.0, 50.0]), np.array([-60.0, -60.0]), 0.0),
        ("right", np.array([50.0, 50.0]), np.array([-60.0, y[0]]), 0.0),
        ("curve", x, y, allowance),
        ("left", np.array([-50.0, -50.0]), np.array([y[-1], -60.0]), 0.0),
    ]
    edges = [EdgeLines(name, line(a, b, 5.0), line(a, b, -5.0), extra) for name, a, b, extra in ring]
    outline = flat_outline(PANEL, edges)
    true = shapely.Polygon(outline.true_points)
    cut = shapely.Polygon(outline.points)
    assert cut.is_valid
    assert cut.buffer(1e-6).contains(true)
    curve = shapely.LineString(np.column_stack([x, y]))
    middle = [point for point in runs_of(outline)["curve"] if abs(point[0]) < 45.0]
    for point in middle:
        # The corners of a polyline's parallel stand a little farther off than its sides.
        away = curve.distance(shapely.Point(point))
        assert allowance - 1e-6 <= away <= allowance * 1.03
    assert np.abs(np.array([cut.bounds[0], cut.bounds[2]]) - np.array([-50.0, 50.0])).max() < 1e-9


def test_edges_given_the_other_way_round_give_the_same_outline():
    one, other = frustum(50.0, 47.0, 3.0), frustum(50.0, 47.0, 3.0, reverse=True)
    assert shapely.Polygon(one.points).symmetric_difference(shapely.Polygon(other.points)).area < 1e-9


def test_square_edges_follow_their_corners():
    panel = level_panel(3.0, 8.0)
    corners = [("a", 0.0, 0.0), ("b", 30.0, 0.0), ("c", 30.0, 20.0), ("d", 0.0, 20.0)]
    outline = flat_outline(panel, square_edges(panel, corners))
    assert shapely.Polygon(outline.points).area == pytest.approx(600.0)
    assert [edge.name for edge in outline.edges] == ["a", "b", "c", "d"]
    assert [edge.start for edge in outline.edges] == [0, 1, 2, 3]
    assert [edge.stop for edge in outline.edges] == [1, 2, 3, 0]


@pytest.mark.parametrize("name", NAMES)
def test_the_edges_of_every_part_cover_its_outline_once(name):
    for part in built(name).parts:
        count = len(part.outline)
        covered = 0
        for edge, following in zip(part.edges, (*part.edges[1:], part.edges[0]), strict=True):
            assert 0 <= edge.start < count
            assert edge.stop == following.start
            covered += (edge.stop - edge.start) % count
        assert covered == count


@pytest.mark.parametrize("name", NAMES)
def test_only_lapped_edges_are_grown(name):
    """Bottom and glued decks are cut outside their true line where they lap; all else is cut to it."""
    allowance = sample(name).laps.trim_allowance
    for slug, part in by_slug(built(name).parts).items():
        cut, true = outline_of(part), outline_of(part, "true_outline")
        if slug not in ("bottom", "fore-deck", "after-deck"):
            assert part.outline == part.true_outline
            continue
        grown = {edge.name for edge in part.edges} - {"after", "fore"}
        square = {edge.name for edge in part.edges} & {"after", "fore"}
        points = np.array(part.outline)
        for edge in part.edges:
            run = (edge.start + np.arange((edge.stop - edge.start) % len(points) + 1)) % len(points)
            inner = points[run][1:-1] if len(run) > 2 else points[run].mean(axis=0, keepdims=True)
            away = [shapely.Point(point).distance(true.exterior) for point in inner]
            if edge.name in square:
                assert max(away) < 0.01
            else:
                assert edge.name in grown
                assert min(away) == pytest.approx(allowance, abs=0.01)
                assert max(away) == pytest.approx(allowance, abs=0.01)
        assert cut.buffer(1e-6).contains(true)
        assert any(mark.kind == "true line" for mark in part.marks)


def test_without_an_allowance_the_true_outline_is_what_is_cut():
    _, _, parts, _ = taken(changed(sample("marshpenny"), laps={"trim_allowance": 0.0}))
    for part in parts:
        assert part.outline == part.true_outline
        assert not [mark for mark in part.marks if mark.kind == "true line"]


@pytest.mark.parametrize("name", NAMES)
def test_the_long_face_of_every_edge_is_the_one_that_reaches_farther(name):
    """Of a bevelled side, bottom or transom edge, the outline lies on the named face of the finished boat's hull."""
    boat = built(name)
    hull = boat.hull
    parts = by_slug(boat.parts)
    side = parts["side-port"]
    lower = next(edge for edge in side.edges if edge.name == "lower")
    count = len(side.outline)
    run = (lower.start + np.arange(1, (lower.stop - lower.start) % count)) % count
    flat = np.array(side.outline)[run]
    if not len(flat):
        return
    face = -0.5 if lower.long_face == "inner" else 0.5
    other = -face
    near = side.panel.to_space(flat, face * side.thickness)
    far = side.panel.to_space(flat, other * side.thickness)
    seat = hull.bottom.to_flat(near)[:, 2] - (hull.bottom_thickness / 2.0 - hull.chine_inset)
    proud = hull.bottom.to_flat(far)[:, 2] - (hull.bottom_thickness / 2.0 - hull.chine_inset)
    assert np.abs(seat).max() < 2e-3
    assert proud.min() > -2e-3
    if lower.long_face is not None:
        assert proud.max() == pytest.approx(side.thickness * np.tan(np.radians(lower.bevel)), rel=0.1)
