"""The weight table, and the arrangement that follows from it."""

import numpy as np
import pytest
import shapely
import trimesh
from trial_boats import NAMES, built, by_slug, changed, sample, taken

from hullcut.arrangement import Arrangement
from hullcut.balance.arrange import engine_bay, first_arrangement, next_arrangement, same_places
from hullcut.balance.weights import Weight, centre_of_gravity, fitting_weights, part_weights, shaft_mass
from hullcut.design.reader import read_order
from hullcut.parts.fin import fin_area_centre
from hullcut.pipeline import build


def triangles_of(part, pitch=3.0):
    """Triangles (n, 3, 2) that fill a finished part's flat polygon finely, counter-clockwise."""
    polygon = shapely.Polygon(part.true_outline, part.holes)
    x0, y0, x1, y1 = polygon.bounds
    inside = np.stack(np.meshgrid(np.arange(x0, x1, pitch), np.arange(y0, y1, 25.0)), axis=-1).reshape(-1, 2)
    inside = inside[shapely.contains_xy(polygon.buffer(-0.5), inside[:, 0], inside[:, 1])]
    rings = [polygon.exterior, *polygon.interiors]
    edges = np.vstack([shapely.get_coordinates(shapely.segmentize(ring, pitch))[:-1] for ring in rings])
    cloud = shapely.MultiPoint(np.vstack([edges, inside]))
    triangles = [
        each
        for each in shapely.get_parts(shapely.delaunay_triangles(cloud))
        if polygon.buffer(1e-6).contains(each.centroid)
    ]
    corners = np.array([shapely.get_coordinates(each)[:3] for each in triangles])
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    flip = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < 0.0
    corners[flip] = corners[flip][:, ::-1]
    return corners


def centre_by_prisms(part):
    """Volume and centre of a part by summing its triangles' prisms between the faces, as trimesh sees them."""
    corners = triangles_of(part)
    flat = corners.reshape(-1, 2)
    half = part.thickness / 2.0
    top, low = part.panel.to_space(flat, half), part.panel.to_space(flat, -half)
    count = len(corners)
    index = np.arange(3 * count).reshape(count, 3)
    under = index + 3 * count
    sides = []
    for i in range(3):
        j = (i + 1) % 3
        sides += [
            np.column_stack([index[:, j], index[:, i], under[:, i]]),
            np.column_stack([index[:, j], under[:, i], under[:, j]]),
        ]
    faces = np.vstack([index, under[:, ::-1], *sides])
    mesh = trimesh.Trimesh(vertices=np.vstack([top, low]), faces=faces, process=False)
    return abs(float(mesh.volume)), np.array(mesh.center_mass)


@pytest.mark.parametrize(("name", "slug"), [("bramblefin", "bottom"), ("marshpenny", "side-port")])
def test_a_bent_parts_centre_and_volume_are_those_of_its_solid(name, slug):
    part = by_slug(built(name).parts)[slug]
    volume, centre = centre_by_prisms(part)
    weight = part_weights([part])[0]
    assert np.abs(centre - np.array([weight.x, weight.y, weight.z])).max() < 0.25
    area = shapely.Polygon(part.true_outline, part.holes).area
    assert volume == pytest.approx(area * part.thickness, rel=2e-3)


def test_a_flat_parts_centre_is_that_of_its_outline():
    part = by_slug(built("bramblefin").parts)["bulkhead"]
    _, centre = centre_by_prisms(part)
    weight = part_weights([part])[0]
    assert np.array([weight.x, weight.y, weight.z]) == pytest.approx(centre, abs=0.01)


def test_copies_weigh_together_about_the_middle_of_their_places():
    parts = by_slug(built("bramblefin").parts)
    weight = part_weights([parts["fin-cleat"]])[0]
    assert weight.mass == pytest.approx(2.0 * parts["fin-cleat"].mass)
    assert weight.y == pytest.approx(0.0, abs=1e-9)


def test_the_stand_stays_ashore():
    names = {weight.name for weight in part_weights(built("bramblefin").parts)}
    assert "Bottom" in names
    assert not any("Stand" in name or name == "Balance bar" for name in names)


def test_a_centre_of_gravity_is_the_weighted_mean():
    table = [Weight("a", 100.0, 0.0, 10.0, 0.0), Weight("b", 300.0, 40.0, -10.0, 8.0)]
    assert centre_of_gravity(table) == (400.0, 30.0, -5.0, 6.0)


@pytest.mark.parametrize("name", NAMES)
def test_fittings_weigh_what_the_design_says(name):
    design = sample(name)
    table = fitting_weights(design, built(name).arrangement)
    wanted = (
        design.engine.mass
        + design.engine.fuel / 2.0
        + shaft_mass(design, built(name).arrangement)
        + design.drive.coupling_mass
        + design.drive.propeller_mass
        + design.drive.strut_mass
        + design.rudder.mass
        + design.radio.mass
        + design.radio.battery_mass
        + 2.0 * design.radio.servo_mass
        + sum(fitting.mass for fitting in design.fittings)
    )
    assert sum(weight.mass for weight in table) == pytest.approx(wanted)


@pytest.mark.parametrize("name", NAMES)
def test_a_settled_boat_balances_at_its_balance_point(name):
    boat = built(name)
    moment = sum(weight.mass * weight.x for weight in boat.weights)
    mass = sum(weight.mass for weight in boat.weights)
    assert boat.arrangement.balance_x == pytest.approx(moment / mass, abs=0.2)


@pytest.mark.parametrize("name", NAMES)
def test_a_settled_arrangement_moves_no_more(name):
    boat = built(name)
    again = next_arrangement(boat.design, boat.parts, boat.arrangement)
    assert same_places(boat.arrangement, again)
    assert again.balance_x == pytest.approx(boat.arrangement.balance_x, abs=0.1)


@pytest.mark.parametrize("name", NAMES)
def test_the_engine_stands_in_its_bay_and_the_fin_behind_the_balance_point(name):
    boat = built(name)
    aft, fore = engine_bay(boat.design)
    assert aft <= boat.arrangement.plate_x <= fore
    centre = boat.arrangement.fin_x + fin_area_centre(boat.design.fin)
    behind = boat.design.fin.behind_balance * boat.design.hull.length
    assert boat.arrangement.balance_x - centre == pytest.approx(behind, abs=1e-9)


def test_the_wanted_balance_is_reached_where_the_bay_allows():
    design = changed(sample("bramblefin"), balance={"point": 0.348})
    boat = build(design)
    aft, fore = engine_bay(design)
    assert aft < boat.arrangement.plate_x < fore
    moment = sum(weight.mass * weight.x for weight in boat.weights)
    mass = sum(weight.mass for weight in boat.weights)
    assert moment / mass == pytest.approx(0.348 * design.hull.length, abs=0.3)


@pytest.mark.parametrize("point", [0.05, 0.9])
def test_an_engine_that_cannot_be_moved_far_enough_stays_in_its_bay(point):
    design = changed(sample("bramblefin"), balance={"point": point})
    _, arrangement, parts, _ = taken(design)
    for _ in range(4):
        arrangement = next_arrangement(design, parts, arrangement)
    assert arrangement.plate_x == engine_bay(design)[0 if point < 0.3 else 1]
    assert abs(arrangement.balance_x - point * design.hull.length) > 20.0


def test_an_engine_fixed_by_the_design_stays_where_it_is():
    design = changed(sample("bramblefin"), engine={"plate_at": 417.0})
    boat = build(design)
    assert boat.arrangement.plate_x == 417.0
    moment = sum(weight.mass * weight.x for weight in boat.weights)
    assert boat.arrangement.balance_x == pytest.approx(moment / sum(w.mass for w in boat.weights), abs=0.2)


def test_a_first_arrangement_puts_the_engine_in_the_middle_of_its_bay():
    design = sample("bramblefin")
    first = first_arrangement(design)
    assert isinstance(first, Arrangement)
    assert first.plate_x == pytest.approx(sum(engine_bay(design)) / 2.0)
    assert first.balance_x == pytest.approx(design.balance.point * design.hull.length)


def test_the_area_centre_of_a_fin_is_that_of_its_outline():
    sizes = sample("marshpenny").fin
    fore = sizes.root - sizes.sweep
    outline = shapely.Polygon([(0, 0), (sizes.root, 0), (fore, -sizes.depth), (fore - sizes.tip, -sizes.depth)])
    assert fin_area_centre(sizes) == pytest.approx(outline.centroid.x)


SMALL = 'name = "trialboat"\nunits = "mm"\n[hull]\nlength = 737\nbeam = 230\ndepth = 97\nbow = "sled"\n'


def small(tmp_path, more=""):
    path = tmp_path / "small.toml"
    path.write_text(SMALL + more, encoding="utf-8")
    return build(read_order(path).designs[0])


def fin_check(boat):
    return next(each for each in boat.checks if each.name == "Fin's tab clears the engine plate's foot")


def test_in_a_small_boat_the_fin_makes_way_for_the_engine_plate(tmp_path):
    """Left open, the fin moves ahead as far as its centre stays behind the balance point; typed, it stays and fails."""
    boat = small(tmp_path)
    centre = boat.arrangement.fin_x + fin_area_centre(boat.design.fin)
    assert fin_check(boat).status == "ok"
    assert centre <= boat.arrangement.balance_x + 1e-6
    assert centre > boat.arrangement.balance_x - boat.design.fin.behind_balance * boat.design.hull.length + 1.0
    typed = small(tmp_path, "[fin]\nbehind_balance = 0.015\n")
    assert fin_check(typed).status == "fail"
    assert "fin.behind_balance" in fin_check(typed).advice
