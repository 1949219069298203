"""General sides: against sides of constant flare, on any face, there and back, on both hands, and at joints."""

import numpy as np
import pytest

from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.fair_curve import fair_curve, sweep
from hullcut.hull.ruled_panel import ruled_panel
from hullcut.hull.ruled_surface import ruled_surface
from hullcut.hull.ruling_search import search_rulings
from hullcut.hull.slope_panel import slope_panel
from hullcut.hull.spline_curve import space_curve, spline_curve
from hullcut.hull.strip_development import greatest_gap
from hullcut.parts.joints import reckon

MIRROR = np.array([1.0, -1.0, 1.0])
DEPTH, THICKNESS, FLARE = 140.0, 7.9, np.radians(9.0)
_BOW = sweep(700.0, 70.0)
PLAN = fair_curve(
    np.array([0.0, 300.0, 300.0 + 0.25 * _BOW.length, 300.0 + _BOW.length]),
    -_BOW.curvature * np.array([0.0, 0.0, 1.0, 1.0]),
    (0.0, 184.0),
    0.0,
)


def flared_side(spacing=25.0):
    """A side of one flare all along, given by points of its sheer and of its chine at z = 0."""
    s = np.linspace(0.0, PLAN.length, int(PLAN.length / spacing) + 1)
    rail, out = PLAN.point(s), PLAN.left(s)
    foot = rail - DEPTH * np.tan(FLARE) * out
    sheer = np.column_stack([rail, np.full(len(s), DEPTH)])
    chine = np.column_stack([foot, np.zeros(len(s))])
    return ruled_surface(search_rulings(space_curve(chine), space_curve(sheer)))


def stem_side():
    """A stem boat: flare growing forward, rising chine and sheer."""
    x = np.linspace(0.0, 1016.0, 21)
    t = x / 1016.0
    sheer = np.column_stack([x, 140.0 + 72.6 * t * (1.0 - t) - 139.0 * t**3.2, 127.0 + 28.0 * t**2.2])
    x = np.linspace(0.0, 952.5, 21)
    c = x / 952.5
    chine = np.column_stack([x, 127.0 + 56.0 * c * (1.0 - c) - 126.0 * c**2.5, 20.0 * c**2.2])
    return ruled_surface(search_rulings(space_curve(chine), space_curve(sheer)))


FLARED, STEM = flared_side(), stem_side()


@pytest.mark.parametrize("port", [True, False])
@pytest.mark.parametrize("inset", [0.0, 7.9, 20.0])
def test_a_side_of_one_flare_is_as_its_closed_form(port, inset):
    general = ruled_panel(FLARED, THICKNESS, inset, port)
    closed = slope_panel(PLAN, DEPTH, FLARE, THICKNESS, inset, port)
    x = np.linspace(5.0, 990.0, 200)
    ring = []
    for face in (inset, inset + THICKNESS):
        for z in (np.full(200, 3.0), 60.0 + 50.0 * np.sin(x / 200.0), np.full(200, DEPTH - 3.0)):
            y = FLARED.half_breadth(x, z, face)
            ring.append(np.column_stack([x, y, z]) * (1.0 if port else MIRROR))
    points = np.vstack(ring)
    a, b = general.to_flat(points), closed.to_flat(points)
    assert np.abs(a[:, 2] - b[:, 2]).max() < 0.02
    assert greatest_gap(a[:, :2], b[:, :2]) < 0.02
    turns = general.turn(a[:, :2]) - closed.turn(b[:, :2])
    assert np.ptp(turns) < 1e-3


def test_half_breadths_are_those_of_the_closed_form():
    x = np.linspace(0.0, 1000.0, 150)
    z = np.linspace(-5.0, 150.0, 150)
    for inset in (0.0, 7.9, 20.0):
        out = (z - inset * np.sin(FLARE) - DEPTH) * np.tan(FLARE) - inset * np.cos(FLARE)
        s = PLAN.at_first_axis(x, out)
        closed = PLAN.point(s)[:, 1] + out * np.cos(PLAN.heading(s))
        assert np.abs(FLARED.half_breadth(x, z, inset) - closed).max() < 0.02


@pytest.mark.parametrize("surface", [FLARED, STEM], ids=["flared", "stem"])
@pytest.mark.parametrize("port", [True, False])
@pytest.mark.parametrize("inset", [0.0, 12.0])
def test_there_and_back_on_both_hands(surface, port, inset):
    panel = ruled_panel(surface, THICKNESS, inset, port).moved(31.0, -12.0)
    x = np.linspace(-10.0, 940.0, 600)
    z = 70.0 + 60.0 * np.sin(x / 70.0)
    points = np.column_stack([x, surface.half_breadth(x, z, inset + 3.0), z]) * (1.0 if port else MIRROR)
    laid = panel.to_flat(points)
    assert np.abs(laid[:, 2] - (THICKNESS / 2.0 - 3.0)).max() < 1e-8
    assert np.abs(panel.to_space(laid[:, :2], laid[:, 2]) - points).max() < 1e-8


def test_starboard_is_the_mirror_image_of_port():
    port, starboard = (ruled_panel(STEM, THICKNESS, 0.0, hand) for hand in (True, False))
    flat = port.to_flat(STEM.point(np.linspace(20.0, 120.0, 40), np.linspace(0.0, 100.0, 40)))[:, :2]
    mirrored = flat * np.array([-1.0, 1.0])
    assert np.abs(starboard.to_space(mirrored, 2.5) - port.to_space(flat, 2.5) * MIRROR).max() < 1e-9
    assert np.abs(starboard.turn(mirrored) - port.turn(flat)).max() < 1e-12
    assert np.abs(starboard.across(mirrored) - port.across(flat) * np.array([-1.0, 1.0])).max() < 1e-12


def test_moving_a_panel_moves_its_drawing_alone():
    here = ruled_panel(STEM, THICKNESS, 0.0, port=True)
    there = here.moved(11.0, -7.0)
    points = STEM.point(np.linspace(20.0, 120.0, 9), 40.0)
    assert np.abs(there.to_flat(points) - here.to_flat(points) - np.array([11.0, -7.0, 0.0])).max() < 1e-9
    moved = there.ruling_lines()[0] - here.ruling_lines()[0]
    assert np.abs(moved - np.array([11.0, -7.0])).max() < 1e-9


def test_rulings_are_listed_as_the_chart_has_them():
    panel = ruled_panel(STEM, THICKNESS, 0.0, port=False)
    points, directions, turns = panel.ruling_lines()
    up = points + 50.0 * directions
    assert np.abs(panel.turn(up) - turns).max() < 1e-9
    assert np.abs(np.einsum("ij,ij->i", panel.across(up), directions)).max() < 1e-9


@pytest.mark.parametrize("under", [True, False])
@pytest.mark.parametrize("surface", [FLARED, STEM], ids=["flared", "stem"])
def test_bottom_and_side_agree_about_the_chine(surface, under):
    """The bottom's touching face meets a face of the side: one line, reckoned from both drawings."""
    x = np.linspace(0.0, 952.5, 41)
    profile = spline_curve(np.column_stack([x, 20.0 * (x / 952.5) ** 2.2]))
    depth_in, inset = (6.35, 0.0) if under else (0.0, THICKNESS)
    s = np.linspace(15.0, 900.0, 800)
    place = profile.point(s) + depth_in * profile.left(s)
    line = np.column_stack([place[:, 0], surface.half_breadth(place[:, 0], place[:, 1], inset), place[:, 1]])
    true = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
    for port in (True, False):
        seen = []
        for panel in (CylinderPanel(6.35, profile), ruled_panel(surface, THICKNESS, 0.0, port)):
            laid = panel.to_flat(line * (1.0 if port else MIRROR))
            seen.append(reckon(panel, laid[:, :2], float(laid[:, 2].mean()))[1])
        assert abs(seen[0] - seen[1]) < 0.02
        assert seen[1] == pytest.approx(true, abs=0.02)


def test_the_tightest_bend_is_that_of_the_plan_on_an_upright_side():
    rail = np.column_stack([np.linspace(0.0, 1000.0, 41), np.zeros(41), np.zeros(41)])
    rail[:, 1] = np.sqrt(1200.0**2 - (rail[:, 0] - 400.0) ** 2) - 1000.0
    surface = ruled_surface(search_rulings(space_curve(rail), space_curve(rail + np.array([0.0, 0.0, 140.0]))))
    assert surface.tightest_bend(0.0).radius == pytest.approx(1200.0, rel=0.01)
    assert surface.tightest_bend(100.0).radius == pytest.approx(1100.0, rel=0.01)


def test_a_fold_in_the_wood_is_refused():
    """A bend of radius 40 outside leaves nothing for a sheet of 60."""
    x = np.linspace(-35.0, 35.0, 41)
    rail = np.column_stack([x, np.sqrt(40.0**2 - x**2), np.zeros(41)])
    surface = ruled_surface(search_rulings(space_curve(rail), space_curve(rail + np.array([0.0, 0.0, 100.0]))))
    assert surface.refusal(20.0) is None
    found = surface.refusal(60.0)
    assert found is not None
    assert "cross one another" in found.problem
