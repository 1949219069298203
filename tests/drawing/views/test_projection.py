"""Pictures of bodies whose visible edges are known."""

import math

import numpy as np
import pytest
import shapely

from hullcut.drawing.scene import Arc, Curve, Role, Shape
from hullcut.drawing.views.in_sight import Hidden, what_shows
from hullcut.drawing.views.picture import NEW, Shown, View
from hullcut.drawing.views.projection import camera, flat_facets, hidings
from hullcut.drawing.views.solids import box_solid, prism_solid, rod_solid

CORNER = camera(225.0, math.degrees(math.atan(1.0 / math.sqrt(2.0))))


def lines_of(items, *roles):
    """All straight segments of some roles."""
    found = []
    for item in items:
        if isinstance(item, Shape) and item.role in roles:
            for path in item.paths:
                for segment in path.segments:
                    assert not isinstance(segment, Arc | Curve)
                    found.append((segment.start, segment.end))
    return found


def length_of(segments):
    return sum(math.dist(a, b) for a, b in segments)


def fill_area(items):
    """The area filled, each item's rings by even-odd."""
    total = 0.0
    for item in items:
        if isinstance(item, Shape) and item.role is Role.FILL:
            shape = shapely.Polygon()
            for path in item.paths:
                shape = shape.symmetric_difference(shapely.Polygon([segment.start for segment in path.segments]))
            total += shape.area
    return total


def test_camera_axes_are_square_and_right_handed():
    for azimuth, elevation, upside_down in ((215, 40, False), (33, -20, True), (270, 90, False), (180, 0, False)):
        eye = camera(azimuth, elevation, upside_down)
        frame = np.array([eye.right, eye.up, eye.to_eye])
        assert np.allclose(frame @ frame.T, np.eye(3), atol=1e-12)
        assert np.linalg.det(frame) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("azimuth", "elevation", "right", "up"),
    [(270, 0, (1, 0, 0), (0, 0, 1)), (270, 90, (1, 0, 0), (0, 1, 0)), (180, 0, (0, -1, 0), (0, 0, 1))],
)
def test_orthographic_cameras_look_as_their_names_say(azimuth, elevation, right, up):
    eye = camera(azimuth, elevation)
    assert np.allclose(eye.right, right, atol=1e-12)
    assert np.allclose(eye.up, up, atol=1e-12)


def test_upside_down_turns_the_boat_about_its_length():
    usual, turned = camera(215, 35), camera(215, 35, upside_down=True)
    points = np.array([[1.0, 2.0, 3.0], [-4.0, 0.5, 2.0]])
    assert np.allclose(turned.project(points * [1, -1, -1]), usual.project(points))


def test_a_cube_from_its_corner_shows_three_faces_nine_edges_and_a_hexagon():
    side = 100.0
    view = View({"cube": box_solid((0, 0, 0), (side, side, side))}, CORNER)
    items = view.items([Shown("cube")])
    edge = side * math.sqrt(2.0 / 3.0)
    silhouette = length_of(lines_of(items, Role.OUTLINE))
    inner = length_of(lines_of(items, Role.THIN))
    assert silhouette == pytest.approx(6 * edge, rel=1e-4)
    # Each of the three inner edges belongs to two faces in sight and is drawn for both.
    assert inner == pytest.approx(2 * 3 * edge, rel=1e-4)
    assert fill_area(items) == pytest.approx(3.0 * edge * edge * math.sqrt(3.0) / 2.0, rel=1e-4)


def test_a_box_from_the_side_is_its_rectangle():
    view = View({"box": box_solid((0, 0, 0), (200, 50, 30))}, camera(270, 0))
    assert view.bounds([Shown("box")]) == pytest.approx((0, 0, 200, 30))
    assert fill_area(view.items([Shown("box")])) == pytest.approx(6000, rel=1e-4)


def test_a_nearer_box_hides_what_is_behind_it():
    near = box_solid((20, -60, 20), (60, -50, 60))
    far = box_solid((0, 0, 0), (100, 10, 100))
    view = View({"far": far, "near": near}, camera(270, 0))
    for order in (["far", "near"], ["near", "far"]):
        items = view.items([Shown(owner) for owner in order])
        assert fill_area(items) == pytest.approx(100 * 100, rel=2e-3)
        drawn = lines_of(items, Role.OUTLINE, Role.THIN)
        assert length_of(drawn) == pytest.approx(4 * 100 + 4 * 40, rel=1e-3)


def test_a_hidden_box_leaves_no_line():
    wall = box_solid((0, -60, 0), (100, -50, 100))
    hidden = box_solid((20, 0, 20), (60, 10, 60))
    view = View({"wall": wall, "hidden": hidden}, camera(270, 0))
    both = view.items([Shown("hidden", NEW), Shown("wall")])
    assert lines_of(both, Role.OUTLINE, Role.THIN) == lines_of(view.items([Shown("wall")]), Role.OUTLINE, Role.THIN)


def test_a_hidden_face_seen_nearly_edge_on_leaves_no_line():
    """Its area in the picture is below the least overlap that is looked at: nothing is found to hide it."""
    wall = box_solid((0, -60, 0), (100, -50, 100))
    small = box_solid((40, 0, 40), (45, 5, 45))
    eye = camera(270, 1)
    smallest = min(flat.polygon.area for flat in flat_facets(small, eye))
    assert 0.0 < smallest < 0.5
    view = View({"wall": wall, "small": small}, eye)
    both = view.items([Shown("small", NEW), Shown("wall")])
    assert lines_of(both, Role.OUTLINE, Role.THIN) == lines_of(view.items([Shown("wall")]), Role.OUTLINE, Role.THIN)


def test_bodies_that_pass_through_one_another_hide_each_other_in_part():
    floor = box_solid((0, 0, -5), (100, 100, 0))
    post = box_solid((40, 40, -50), (60, 60, 50))
    eye = camera(225, 45)
    ours, theirs = flat_facets(floor, eye), flat_facets(post, eye)
    found = hidings(ours, theirs)
    assert any(each.swapped for each in found)
    assert any(not each.swapped for each in found)
    items = View({"floor": floor, "post": post}, eye).items([Shown("floor"), Shown("post", NEW)])
    tinted = [item for item in items if isinstance(item, Shape) and item.fill and item.fill[1:3] != item.fill[5:7]]
    # Only what stands above the floor is seen: a top of 20 by 20 and two sides of 20 by 50.
    top, sides = 20 * 20 * math.sin(math.radians(45)), 2 * 20 * 50 * 0.5
    assert fill_area(tinted) == pytest.approx(top + sides, rel=0.02)


def level_lines(items, role, height):
    """Length of the level lines of a role at a height."""
    return sum(
        abs(a[0] - b[0]) for a, b in lines_of(items, role) if abs(a[1] - b[1]) < 1e-6 and abs(a[1] - height) < 0.05
    )


def test_a_line_stands_where_one_body_runs_into_another():
    """Neither has an edge there."""
    floor = box_solid((0, 0, -5), (100, 100, 0))
    post = box_solid((40, 40, -3), (60, 60, 50))
    eye = camera(270, 45)
    items = View({"floor": floor, "post": post}, eye).items([Shown("floor"), Shown("post", NEW)])
    foot = float(eye.project(np.array([[50.0, 40.0, 0.0]]))[0, 1])
    # Both faces that meet there have it.
    assert level_lines(items, Role.THIN, foot) == pytest.approx(2 * 20.0, abs=1.0)


def test_a_body_far_behind_gets_no_second_line_along_what_stands_before_it():
    wall = box_solid((0, 0, 0), (100, 10, 100))
    before = box_solid((20, -60, 20), (60, -50, 60))
    against = box_solid((20, -10, 20), (60, 0, 60))
    eye = camera(270, 0)
    apart = View({"wall": wall, "box": before}, eye).items([Shown("wall"), Shown("box")])
    touching = View({"wall": wall, "box": against}, eye).items([Shown("wall"), Shown("box")])
    # The box's own outline is wide in both.
    assert length_of(lines_of(apart, Role.THIN)) == 0.0
    assert length_of(lines_of(touching, Role.OUTLINE)) == pytest.approx(length_of(lines_of(apart, Role.OUTLINE)))


def test_a_curved_side_keeps_its_outline_though_its_last_strips_are_seen_edge_on():
    """A quarter of a drum, half of it behind a wall; its strips get thinner than what is looked at."""
    turns = np.radians(np.linspace(0.0, 90.0, 61))
    arc = [(300.0 * math.sin(turn), 300.0 * math.cos(turn) - 300.0, 0.0) for turn in turns]
    drum = prism_solid(np.array([*arc[::-1], (0.0, -300.0, 0.0)]), np.array([0.0, 0.0, 80.0]))
    wall = box_solid((0.0, 10.0, 40.0), (400.0, 20.0, 90.0))
    # From where the drum's side turns away a little before its end.
    for turned in (0.3, 0.8, 1.3, 1.8):
        eye = camera(90.0 + turned, 0.0)
        items = View({"drum": drum, "wall": wall}, eye).items([Shown("drum"), Shown("wall")])
        right = max(eye.project(np.array(arc))[:, 0].tolist(), key=abs)
        along = [
            abs(a[1] - b[1])
            for a, b in lines_of(items, Role.OUTLINE)
            if abs(a[0] - right) < 1.0 and abs(b[0] - right) < 1.0
        ]
        assert max(along, default=0.0) >= 35.0, turned


def test_an_edge_is_wide_where_the_next_face_is_seen_all_but_edge_on():
    plank = box_solid((0, 0, 0), (200, 100, 6))
    for elevation in (90.0, 88.0):
        items = View({"plank": plank}, camera(270, elevation)).items([Shown("plank")])
        outline = lines_of(items, Role.OUTLINE)
        for y in (0.0, 100.0):
            height = float(camera(270, elevation).project(np.array([[0.0, y, 6.0]]))[0, 1])
            assert level_lines(items, Role.OUTLINE, height) == pytest.approx(200.0), (elevation, y)
        assert length_of(outline) >= 2 * (200 + 99)


def test_a_ring_of_boxes_that_hide_one_another_in_turn_is_drawn_right():
    """No order of drawing exists for three bars each lying over the next."""
    bars = {
        name: prism_solid(np.array(ring, dtype=float), np.array([0.0, 0.0, 5.0]))
        for name, ring in (
            ("a", [[0, 0, 0], [300, 0, 60], [300, 40, 60], [0, 40, 0]]),
            ("b", [[240, -40, 0], [280, -40, 0], [180, 240, 60], [140, 240, 60]]),
            ("c", [[0, -40, 60], [40, -40, 60], [200, 240, 0], [160, 240, 0]]),
        )
    }
    view = View(bars, camera(270, 90))
    orders = [["a", "b", "c"], ["c", "a", "b"], ["b", "c", "a"]]
    areas = [fill_area(view.items([Shown(owner) for owner in order])) for order in orders]
    outlines = [flat.polygon for facets in bars.values() for flat in flat_facets(facets, view.eye)]
    assert areas == pytest.approx([shapely.union_all(outlines).area] * 3, rel=5e-3)


def test_no_line_along_a_round_rod():
    rod = rod_solid(np.array([0.0, 0.0, 0.0]), np.array([200.0, 0.0, 0.0]), 20.0)
    items = View({"rod": rod}, camera(270, 0)).items([Shown("rod")])
    along = [
        (a, b)
        for a, b in lines_of(items, Role.THIN, Role.OUTLINE)
        if abs(a[1] - b[1]) < 1e-6 and abs(a[0] - b[0]) > 100
    ]
    assert {round(abs(a[1]), 1) for a, _ in along} == {10.0}


def test_pictures_are_the_same_every_time_and_fit():
    bodies = {"a": box_solid((0, 0, 0), (100, 40, 20)), "b": box_solid((10, 5, 20), (40, 30, 60))}
    scenes = [
        View(bodies, camera(215, 35)).picture("t", [Shown("a"), Shown("b", NEW, (0.0, 0.0, 30.0))], 60.0, 40.0)
        for _ in range(2)
    ]
    assert scenes[0] == scenes[1]
    assert scenes[0].width <= 60.0 + 1e-9
    assert scenes[0].height <= 40.0 + 1e-9


def test_what_is_hidden_does_not_depend_on_which_list_comes_first():
    eye = camera(215.0, 28.0)
    long, cross = box_solid((0.0, 0.0, 0.0), (97.3, 21.7, 13.1)), box_solid((31.9, -17.7, 7.3), (44.1, 39.3, 29.9))
    one, two = flat_facets(long, eye), flat_facets(cross, eye)

    def told(first, second, turned):
        return sorted(
            (each.hidden, each.hider, each.swapped != turned, each.area.wkb_hex) for each in hidings(first, second)
        )

    there, back = told(one, two, False), told(two, one, True)
    assert there
    assert there == back


def test_a_corner_that_pokes_through_by_a_hair_leaves_no_tick():
    none = shapely.LineString()
    small, large = shapely.box(50, 50, 52, 53), shapely.box(50, 50, 70, 80)
    seen = what_shows([Hidden(shapely.box(0, 0, 200, 100), none, none, (each,), True) for each in (small, large)])
    assert seen[0].thin == ()
    (border,) = seen[1].thin
    assert shapely.LineString(border).length == pytest.approx(100.0)
