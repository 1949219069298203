"""Nothing on the bottom stands in another thing's place: each check can hold, and each can fail."""

import dataclasses
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from trial_boats import built, by_slug, changed, sample

from hullcut.parts.clearances import Body, apart, bodies_of, overlap_checks, shaft_log
from hullcut.parts.engine import bearer_places, bearer_top
from hullcut.parts.shaft_slot import slot_length, slot_outline


def checks_of(tables, places, name="bramblefin"):
    boat = built(name)
    hull = dataclasses.replace(boat.hull, design=changed(sample(name), **tables))
    return {each.name: each for each in overlap_checks(hull, dataclasses.replace(boat.arrangement, **places))}


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick"])
def test_in_a_sample_nothing_overlaps(name):
    found = checks_of({}, {}, name)
    assert len(found) == 9
    for check in found.values():
        assert check.status == "ok"
        assert check.value > 2.0
        assert check.limit == 0.0


FIN_X = built("bramblefin").arrangement.fin_x
SHAFT = built("bramblefin").arrangement.shaft


@pytest.mark.parametrize(
    ("name", "tables", "places", "key"),
    [
        ("Fin's tab clears the engine plate's foot", {}, {"plate_x": FIN_X + 10.0}, "engine.plate_at"),
        ("Shaft slot clears the fin", {}, {"fin_x": 10.0}, "drive.propeller_behind"),
        ("Shaft log clears the fin's tab and its cleats", {"fin": {"tab": 30.0}}, {"fin_x": 170.0}, "fin.tab"),
        ("Shaft log clears the bearers", {"engine": {"bearer_gap": 8.0}}, {}, "engine.bearer_gap"),
        ("Fin and its cleats clear the bearers", {"engine": {"bearer_gap": 30.0}}, {}, "engine.bearer_gap"),
        ("Bearers clear the chine cleats", {"engine": {"bearer_gap": 260.0}}, {}, "engine.bearer_gap"),
        ("Engine plate clears shelf and after deck beam", {}, {"plate_x": 170.0}, "engine.plate_at"),
        ("Strut pad clears the rudder pad", {"rudder": {"offset": 20.0}}, {}, "rudder.offset"),
        (
            "Servo mounts clear sheer cleats, after deck and hatch",
            {"radio": {"shelf_height": 110.0}},
            {},
            "radio.shelf_height",
        ),
        (
            "Servo mounts clear sheer cleats, after deck and hatch",
            {"radio": {"shelf_height": 72.0}},
            {"servo_y": 125.0},
            "radio.shelf_height",
        ),
    ],
)
def test_each_overlap_fails_and_says_what_to_change(name, tables, places, key):
    check = checks_of(tables, places)[name]
    assert check.status == "fail"
    assert check.value < 0.0
    assert key in check.advice


def box(y0, y1, x0=0.0, x1=10.0, z0=0.0, z1=10.0):
    return Body("box", shapely.box(x0, z0, x1, z1), y0, y1)


def test_boxes_are_apart_by_both_gaps():
    assert apart(box(0, 5), box(8, 9)) == pytest.approx(3.0)
    assert apart(box(0, 5), box(1, 4, x0=14.0, x1=20.0)) == pytest.approx(4.0)
    assert apart(box(0, 5), box(8, 9, x0=14.0, x1=20.0)) == pytest.approx(5.0)
    assert apart(box(0, 5), box(4, 9)) == pytest.approx(-1.0)
    assert apart(box(0, 5), box(2, 7, x0=8.0, x1=30.0)) == pytest.approx(-2.0)


@given(st.tuples(*[st.floats(-20, 20)] * 3), st.tuples(*[st.floats(1, 15)] * 3))
def test_the_distance_between_boxes_is_that_of_their_corners(low, size):
    """Against the distance of axis-parallel boxes, coordinate by coordinate."""
    x, y, z = low
    other = box(y, y + size[1], x, x + size[0], z, z + size[2])
    gaps = [max(low[0] - 10.0, -low[0] - size[0]), max(low[1] - 5.0, -low[1] - size[1])]
    gaps.append(max(low[2] - 10.0, -low[2] - size[2]))
    outside = math.sqrt(sum(max(gap, 0.0) ** 2 for gap in gaps))
    found = apart(box(0.0, 5.0), other)
    if max(gaps) > 1e-6:
        assert found == pytest.approx(outside, abs=1e-6)
    elif max(gaps) < -1e-6:
        assert found < 0.0


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_the_slot_is_as_long_as_a_straight_tube_makes_it(name):
    """Length d / sin a + t / tan a on a straight run, as wide as the tube, as drawn on the bottom."""
    boat = built(name)
    ring = by_slug(boat.parts)["bottom"].panel.to_flat(slot_outline(boat.hull, boat.arrangement))[:, :2]
    tube, thickness = boat.design.drive.tube_diameter, boat.hull.bottom_thickness
    assert np.ptp(ring[:, 0]) == pytest.approx(slot_length(tube, thickness, boat.arrangement.shaft.angle), abs=1e-6)
    assert np.ptp(ring[:, 1]) == pytest.approx(tube, abs=1e-6)
    shaft = boat.arrangement.shaft
    assert np.ptp(ring[:, 0]) == pytest.approx(shaft.slot_to - shaft.slot_from, abs=1e-6)


def test_the_slot_lets_a_round_tube_through():
    """Points of a cylinder round the shaft line, where it lies within the bottom, all pass the slot."""
    boat = built("bramblefin")
    shaft, thickness = boat.arrangement.shaft, boat.hull.bottom_thickness
    slot = shapely.Polygon(boat.hull.bottom.to_flat(slot_outline(boat.hull, boat.arrangement))[:, :2]).buffer(0.02)
    angle = math.radians(shaft.angle)
    along = np.array([math.cos(angle), 0.0, math.sin(angle)])
    square = np.array([-math.sin(angle), 0.0, math.cos(angle)])
    exits = np.array([shaft.exit_x, 0.0, 0.0])
    inside = 0
    for turn in np.linspace(0.0, 2.0 * np.pi, 24):
        radial = (
            boat.design.drive.tube_diameter
            / 2.0
            * (math.cos(turn) * square + math.sin(turn) * np.array([0.0, 1.0, 0.0]))
        )
        for step in np.linspace(-60.0, 90.0, 151):
            point = exits + step * along + radial
            if 0.0 <= point[2] <= thickness:
                assert slot.covers(shapely.Point(boat.hull.bottom.to_flat(point[None])[0, :2]))
                inside += 1
    assert inside > 200


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_the_engine_plate_is_square_to_the_shaft_and_stands_on_the_bearers(name):
    boat = built(name)
    parts = by_slug(boat.parts)
    plate, shaft = parts["engine-plate"], boat.arrangement.shaft
    corners = plate.panel.to_space(np.array([[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]]), 0.0)
    normal = np.cross(corners[1] - corners[0], corners[2] - corners[0]) / 100.0
    angle = math.radians(shaft.angle)
    assert abs(normal @ [math.cos(angle), 0.0, math.sin(angle)]) == pytest.approx(1.0, abs=1e-12)
    bore = np.array(plate.holes[0])
    centre = plate.panel.to_space(np.array([bore.mean(axis=0)]), plate.thickness / 2.0)[0]
    assert centre == pytest.approx([shaft.output_x, 0.0, shaft.output_z], abs=1e-6)
    outline = np.array(plate.outline)
    for edge in plate.edges:
        if edge.name.startswith("shoulder"):
            ends = outline[[edge.start, edge.stop]]
            for offset in (plate.thickness / 2.0, -plate.thickness / 2.0):
                x, _, z = plate.panel.to_space(ends, offset).T
                assert z == pytest.approx(bearer_top(boat.hull, boat.arrangement, x), abs=1e-6)


def test_the_bearers_tops_slope_with_the_shaft():
    boat = built("bramblefin")
    bearer = by_slug(boat.parts)["bearer-port"]
    edge = next(each for each in bearer.edges if each.name == "upper")
    (x0, _, z0), (x1, _, z1) = bearer.panel.to_space(np.array(bearer.outline)[[edge.start, edge.stop]], 0.0)
    assert math.degrees(math.atan((z1 - z0) / (x1 - x0))) == pytest.approx(boat.arrangement.shaft.angle, abs=1e-9)
    low = boat.hull.bottom_thickness + boat.design.engine.bearer_height
    assert min(z0, z1) == pytest.approx(low, abs=1e-6)
    assert sorted((x0, x1)) == pytest.approx(bearer_places(boat.hull, boat.arrangement))


def test_bolts_stand_on_their_circle_in_the_plates_own_plane():
    design = changed(sample("bramblefin"), engine={"bolt_circle": 60.0, "bolts": 4})
    boat = built("bramblefin")
    from hullcut.parts.engine import engine_plate

    plate = engine_plate(dataclasses.replace(boat.hull, design=design), boat.arrangement)
    assert len(plate.holes) == 5
    bore = np.array(plate.holes[0]).mean(axis=0)
    for hole in plate.holes[1:]:
        assert np.linalg.norm(np.array(hole).mean(axis=0) - bore) == pytest.approx(30.0, abs=1e-6)
        assert np.ptp(np.array(hole)[:, 0]) == pytest.approx(design.engine.bolt_diameter, abs=0.01)


def test_the_log_runs_from_the_bottom_to_the_engine():
    boat = built("bramblefin")
    log = shaft_log(boat.hull, boat.arrangement)
    assert log.port - log.starboard == boat.design.drive.tube_diameter
    x0, _, x1, _ = log.side.bounds
    assert x0 < SHAFT.exit_x < SHAFT.output_x < x1 + 2.0


def test_two_copies_are_two_bodies():
    assert len(bodies_of(by_slug(built("bramblefin").parts)["fin-cleat"])) == 2


def test_the_plates_foot_and_bearers_are_marked_on_the_bottom():
    boat = built("bramblefin")
    parts = by_slug(boat.parts)
    marks = {mark.name: np.array(mark.points) for mark in parts["bottom"].marks if mark.kind == "landing"}
    foot = marks["Engine plate"]
    plate = parts["engine-plate"]
    # The foot stands at the shaft's angle, so its print is longer than the plate is thick.
    angle = math.radians(boat.arrangement.shaft.angle)
    assert np.ptp(foot[:, 0]) == pytest.approx(plate.thickness / math.cos(angle), abs=0.05)
    assert np.ptp(foot[:, 1]) == pytest.approx(boat.design.engine.bearer_gap, abs=1.1)
    assert {"Engine bearer, port", "Engine bearer, starboard"} <= set(marks)
