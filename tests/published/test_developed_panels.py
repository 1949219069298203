"""Developed panels against closed forms, printed values and meshes of the surfaces in space.

Cylinder: closed form, derived here. Cone and frustum: printed values as named beside them. The samples' panels are held
against triangle meshes, which know nothing of charts and come as near as they are fine.
"""

import functools
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

from hullcut.balance.arrange import first_arrangement
from hullcut.design.reader import read_order
from hullcut.hull import form
from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.fair_curve import fair_curve
from hullcut.hull.slope_panel import slope_panel
from hullcut.parts.joints import joint_lines, measure_joints
from hullcut.parts.take_off import take_off

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"
FILES = ("bramblefin.toml", "marshpenny.toml", "puddlewick.toml", "tansyfoot.toml", "ten_lines.toml")
THIRD = 2.0 * np.pi / 3.0


def polyline_length(points):
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def about_y(angle):
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.array([[cosine, 0.0, sine], [0.0, 1.0, 0.0], [-sine, 0.0, cosine]])


def test_a_cylinder_cut_at_thirty_degrees():
    """Radius 40, cut at 30 degrees: z(s) = r tan(al) (1 - cos(s / r)), so width 2 pi r, peak 2 r tan(al).

    Closed form, derived: 251.3274 wide, 46.1880 high, area 2 pi r^2 tan(al) = 5804.158. A panel's profile must run
    forward, so the cylinder is developed in three thirds, each turned into the panel's place.
    """
    radius, slope = 40.0, np.tan(np.radians(30.0))
    thickness = 2.0
    outer = radius + thickness / 2.0
    # The lowest third of a circle about 0, 0, 0 whose wood lies inside its outer face.
    start = (-outer * np.sin(THIRD / 2.0), -outer * np.cos(THIRD / 2.0))
    profile = fair_curve(np.array([0.0, outer * THIRD]), np.full(2, 1.0 / outer), start, -THIRD / 2.0)
    panel = CylinderPanel(thickness, profile)
    width, area, peak = 0.0, 0.0, 0.0
    for third in range(3):
        angle = np.linspace(-THIRD / 2.0, THIRD / 2.0, 4001) + third * THIRD
        ring = radius * np.column_stack([np.sin(angle), np.zeros(4001), -np.cos(angle)])
        cut = ring.copy()
        cut[:, 1] = slope * (radius + ring[:, 2])  # the plane through the lowest point, 30 degrees off square
        turn = about_y(third * THIRD)
        foot, head = panel.to_flat(ring @ turn.T), panel.to_flat(cut @ turn.T)
        assert np.abs(foot[:, 2]).max() < 1e-9
        assert np.abs(head[:, 1] - radius * slope * (1.0 - np.cos(angle))).max() < 1e-9
        width += float(np.ptp(foot[:, 0]))
        peak = max(peak, float(head[:, 1].max()))
        area += shapely.Polygon(np.vstack([foot[:, :2], head[::-1, :2]])).area
    assert width == pytest.approx(251.3274, abs=5e-5)
    assert peak == pytest.approx(46.1880, abs=5e-5)
    assert area == pytest.approx(5804.158, abs=1e-3)


def third_of_a_cone(small, large, height):
    """A third of a cone that widens upward, as a side whose middle surface it is."""
    plan = fair_curve(np.array([0.0, large * THIRD]), np.full(2, -1.0 / large), (0.0, large), THIRD / 2.0)
    # The plan's left is outward, so it turns to the right; it is begun so that it runs forward all along.
    return slope_panel(plan, height, float(np.arctan2(large - small, height)), 0.2, -0.1, port=True), plan


def developed(small, large, height):
    """Inner radius, outer radius, whole angle in degrees, and whole area of a developed frustum."""
    panel, plan = third_of_a_cone(small, large, height)
    s = np.linspace(0.0, plan.length, 2001)
    level = {}
    for at, radius in ((0.0, small), (height, large)):
        place = plan.point(s) - (large - radius) * plan.left(s)
        level[at] = panel.to_flat(np.column_stack([place, np.full(2001, at)]))
        assert np.abs(level[at][:, 2]).max() < 1e-9
    foot, head = level[0.0][:, :2], level[height][:, :2]
    slant = np.linalg.norm(head - foot, axis=1)
    assert np.ptp(slant) < 1e-9
    # All rulings, carried on, meet in the apex.
    units = (head - foot) / slant[:, None]
    apex = np.linalg.solve(np.column_stack([units[0], -units[-1]]), foot[-1] - foot[0])[0] * units[0] + foot[0]
    inner, outer = np.linalg.norm(foot - apex, axis=1), np.linalg.norm(head - apex, axis=1)
    assert np.ptp(inner) < 1e-8
    assert np.ptp(outer) < 1e-8
    angle = 3.0 * np.degrees(np.arccos(units[0] @ units[-1]))
    area = 3.0 * shapely.Polygon(np.vstack([foot, head[::-1]])).area
    return float(inner.mean()), float(outer.mean()), float(angle), area, float(slant[0])


def test_a_frustum_as_printed():
    """Frustum r 2.5, R 4, h 4: radii 7.12 and 11.392, angle 126.4 degrees.

    Source (second-hand, a teaching page): "Drawings and nets 6" (ceemrr.com) prints 7.12, 11.39 and 126.4 degrees;
    more digits by the formula s = sqrt(h^2 + (R - r)^2), Ri = s r / (R - r), Ro = Ri + s, 360 (R - r) / s.
    """
    inner, outer, angle, area, slant = developed(2.5, 4.0, 4.0)
    assert inner == pytest.approx(7.12, abs=5e-6)
    assert outer == pytest.approx(11.392, abs=1e-5)
    assert angle == pytest.approx(126.4044, abs=5e-5)
    assert slant == pytest.approx(np.hypot(4.0, 1.5), rel=1e-9)
    assert area == pytest.approx(np.pi * 6.5 * np.hypot(4.0, 1.5), rel=1e-6)


def test_a_cone_as_printed():
    """Right cone r 3, h 4: a sector of 216 degrees, radius 5, arc 18.85, area 47.12.

    Source (second-hand): the cone page of calculatorsconversion.com; another row of it, 5-12-13, prints a wrong arc
    and is not used.
    The panel ends a fifth of the way above the apex, where a side has no direction; the missing tip, a like cone a
    fifth as large, is added to the area.
    """
    tip = 0.2
    inner, outer, angle, area, slant = developed(3.0 * tip, 3.0, 4.0 * (1.0 - tip))
    assert inner == pytest.approx(5.0 * tip, abs=1e-6)
    assert outer == pytest.approx(5.0, abs=1e-6)
    assert slant == pytest.approx(5.0 * (1.0 - tip), abs=1e-9)
    assert angle == pytest.approx(216.0, abs=1e-6)
    assert np.radians(angle) * outer == pytest.approx(18.85, abs=0.005)
    assert area / (1.0 - tip**2) == pytest.approx(47.12, abs=0.005)


@functools.cache
def hull(name):
    return form.shape(read_order(SAMPLES / name).designs[0])


def patch(of, name, along, up):
    """A grid (along + 1, up + 1, 3) on the middle surface of a panel, in space, and the panel."""
    boat = hull(name)
    end = 0.93 * boat.length
    x = np.linspace(0.0, end, along + 1)
    share = np.linspace(0.0, 1.0, up + 1)
    if of == "bottom":
        s = boat.profile.at_first_axis(x)
        place = boat.profile.point(s) + boat.bottom_thickness / 2.0 * boat.profile.left(s)
        half = boat.half_breadth(place[:, 0], place[:, 1])
        y = half[:, None] * (2.0 * share[None, :] - 1.0)
        return np.stack([np.tile(place[:, :1], up + 1), y, np.tile(place[:, 1:], up + 1)], axis=-1), boat.bottom
    low = boat.bottom_height(x, boat.chine_inset)
    z = low[:, None] + (boat.depth - low)[:, None] * share[None, :]
    flat_x = np.repeat(x, up + 1)
    y = boat.half_breadth(flat_x, z.ravel(), boat.side_thickness / 2.0).reshape(z.shape)
    return np.stack([np.tile(x[:, None], up + 1), y, z], axis=-1), boat.side_port


def mesh_of(grid):
    rows, columns = grid.shape[:2]
    index = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]
    faces = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    return trimesh.Trimesh(vertices=grid.reshape(-1, 3), faces=faces, process=False)


def border(grid):
    return np.concatenate([grid[:-1, 0], grid[-1, :-1], grid[:0:-1, -1], grid[0, :0:-1]])


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("of", ["bottom", "side"])
def test_a_samples_panel_has_the_area_of_a_mesh_as_near_as_the_mesh_is_fine(name, of):
    fine, panel = patch(of, name, 4000, 40)
    flat = shapely.Polygon(panel.to_flat(border(fine))[:, :2]).area
    errors = [abs(mesh_of(patch(of, name, 60 * n, 6 * n)[0]).area - flat) for n in (1, 2, 4)]
    assert errors[-1] < 1e-5 * flat
    assert 3.2 < errors[0] / errors[1] < 4.8
    assert 3.2 < errors[1] / errors[2] < 4.8


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("of", ["bottom", "side"])
@pytest.mark.parametrize("edge", [0, -1])
def test_a_samples_developed_edge_is_as_long_as_a_meshs_path(name, of, edge):
    fine, panel = patch(of, name, 12000, 1)
    laid = panel.to_flat(fine[:, edge])
    # On the middle surface the flat length is the length in space.
    assert np.abs(laid[:, 2]).max() < 1e-8
    flat = polyline_length(laid[:, :2])
    errors = []
    for n in (60, 120, 240):
        mesh = mesh_of(patch(of, name, n, 1)[0])
        path = np.arange(n + 1) * 2 + (1 if edge == -1 else 0)
        errors.append(abs(polyline_length(mesh.vertices[path]) - flat))
    assert errors[-1] < 1e-5 * flat
    if errors[0] > 1e-6:
        assert 3.2 < errors[0] / errors[1] < 4.8
        assert 3.2 < errors[1] / errors[2] < 4.8


@pytest.mark.parametrize("name", FILES)
def test_every_joint_is_as_long_as_its_curve_in_space(name, monkeypatch):
    """Both sides of every joint within a millionth of the space curve, taken ten times as finely."""
    boat = hull(name)
    design = boat.design
    parts = take_off(boat, first_arrangement(design))
    measured = measure_joints(parts, joint_lines(boat), design.name)
    monkeypatch.setattr(form, "EDGE_TURN", form.EDGE_TURN / 10.0)
    monkeypatch.setattr(form, "LEAST_STEP", form.LEAST_STEP / 10.0)
    curves = {joint.name: joint.points for joint in joint_lines(boat)}
    # A chine cleat that bends in one piece has two joints fewer a side than one in two.
    assert len(measured) >= (16 if any("chine-cleat-port" in part.id for part in parts) else 20)
    for joint in measured:
        true = polyline_length(curves[joint.name])
        assert joint.a.length == pytest.approx(true, rel=1e-6), joint.name
        assert joint.b.length == pytest.approx(true, rel=1e-6), joint.name


@pytest.mark.parametrize("name", ["bramblefin.toml", "ten_lines.toml"])
def test_a_plain_boats_chine_is_as_long_as_its_closed_form(name):
    """Upright, parallel sides: the chine is the bottom's inner face, s less thickness times turn (derived)."""
    boat = hull(name)
    design = boat.design
    joints = measure_joints(take_off(boat, first_arrangement(design)), joint_lines(boat), design.name)
    tip = np.array([boat.bottom_reaches(boat.depth, boat.bottom_thickness)])
    s = boat.profile.at_first_axis(tip, boat.bottom_thickness)
    true = float(s[0] - boat.bottom_thickness * boat.profile.heading(s)[0])
    chine = next(joint for joint in joints if joint.name == "chine, port")
    assert chine.a.length == pytest.approx(true, rel=1e-6)
    assert chine.b.length == pytest.approx(true, rel=1e-6)
