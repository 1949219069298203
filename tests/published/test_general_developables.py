"""The general side - offsets, splines, rulings, unrolling - against developables whose flat form is known.

Right cone and helix as in books on differential geometry; the curvature of the helix, a / (a^2 + b^2), is as printed
by infinitelexicon.com (helixes, second-hand); the rest is derived here: a cone keeps the distance from its apex, a
cylinder keeps arc length across its rulings, and the tangents of a helix unroll as the tangents of a circle of radius
(a^2 + b^2) / a. Where there is no closed form the integral is taken to 1e-10 or better.
"""

import functools

import numpy as np
import pytest
import trimesh
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq

from hullcut.hull.ruled_panel import ruled_panel
from hullcut.hull.ruled_surface import ruled_surface
from hullcut.hull.ruling_search import search_rulings
from hullcut.hull.spline_curve import space_curve
from hullcut.hull.strip_development import develop_strips, greatest_gap
from hullcut.parts.joints import reckon


class RightCone:
    """Upright axis through (400, -1300), apex 1500 below; chine and sheer in sloping planes."""

    name = "right cone"
    spacing = 100.0
    axis, height, half_angle = np.array([400.0, -1300.0]), 1500.0, np.arctan2(1400.0, 1500.0)
    span = (np.radians(106.0), np.radians(67.0))
    planes = ((0.0, 0.02), (150.0, 0.05))

    def point(self, edge, angle):
        base, slope = self.planes[edge]
        lean = np.tan(self.half_angle)
        # z + height = r / lean along the ruling; z = base + slope x fixes r.
        along = (self.height + base + slope * self.axis[0]) / (1.0 / lean - slope * np.cos(angle))
        x, y = self.axis[0] + along * np.cos(angle), self.axis[1] + along * np.sin(angle)
        return np.array([x, y, along / lean - self.height])

    def flat(self, edge, angle):
        apex = np.array([*self.axis, -self.height])
        distance = np.linalg.norm(self.point(edge, angle) - apex)
        turned = angle * np.sin(self.half_angle)
        return distance * np.array([np.cos(turned), np.sin(turned)])


class ObliqueCone:
    """Rulings from an apex off to one side through a curve that is no circle."""

    name = "oblique cone"
    spacing = 100.0
    apex = np.array([-900.0, -700.0, -1400.0])
    span = (0.0, 1.0)

    def base(self, t):
        return np.array([900.0 * t, 160.0 - 60.0 * t**2 - 25.0 * t**3, 30.0 * t**2])

    def base_rate(self, t):
        return np.array([900.0, -120.0 * t - 75.0 * t**2, 60.0 * t])

    def point(self, edge, t):
        stretch = 1.0 if edge == 0 else 1.09 + 0.02 * t**2
        return self.apex + stretch * (self.base(t) - self.apex)

    @functools.cache  # noqa: B019 - lives as long as the tests
    def angle(self, t):
        def rate(at):
            away, pace = self.base(at) - self.apex, self.base_rate(at)
            return np.linalg.norm(np.cross(away, pace)) / (away @ away)

        return quad(rate, 0.0, t, epsabs=1e-13, epsrel=1e-13)[0]

    def flat(self, edge, t):
        distance = np.linalg.norm(self.point(edge, t) - self.apex)
        return distance * np.array([np.sin(self.angle(t)), np.cos(self.angle(t))])


class CutCylinder:
    """Radius 1500, its rulings leaning 20 degrees forward, cut by two sloping planes."""

    name = "cylinder cut at an angle"
    spacing = 100.0
    radius, lean = 1500.0, np.radians(20.0)
    span = (np.radians(-20.0), np.radians(17.0))
    planes = ((0.0, 0.03), (150.0, 0.10))

    def point(self, edge, angle):
        along = np.array([np.sin(self.lean), 0.0, np.cos(self.lean)])
        forward = np.array([np.cos(self.lean), 0.0, -np.sin(self.lean)])
        section = self.radius * (np.sin(angle) * forward + (np.cos(angle) - 0.9) * np.array([0.0, 1.0, 0.0]))
        base, slope = self.planes[edge]
        up = (base + slope * section[0] - section[2]) / (along[2] - slope * along[0])
        return section + up * along

    def flat(self, edge, angle):
        along = np.array([np.sin(self.lean), 0.0, np.cos(self.lean)])
        return np.array([self.radius * angle, self.point(edge, angle) @ along])


class HelixTangents:
    """Helix a = b = 500; the chine is nearly square to its tangents, the sheer 150 to 170 farther out on them.

    Its stations stand 50 mm apart: at 100 mm the cubic through them is itself 0.056 mm off the true edge in its end
    span, before any ruling is sought, and the outline 0.034 mm; at 50 mm they are 0.0054 and 0.0036 mm off.
    """

    name = "tangent developable of a helix"
    spacing = 50.0
    a = b = 500.0
    span = (0.0, 1.0)

    def _frame(self, t):
        size = np.hypot(self.a, self.b)
        place = np.array([self.a * np.cos(t), self.a * np.sin(t), self.b * t])
        return place, np.array([-self.a * np.sin(t), self.a * np.cos(t), self.b]) / size

    def out(self, edge, t):
        arc = np.hypot(self.a, self.b) * t
        return 1600.0 - arc + 15.0 * t**2 + (0.0 if edge == 0 else 150.0 + 20.0 * t)

    def point(self, edge, t):
        middle = 0.5
        _, up = self._frame(middle)
        aside = np.array([-np.cos(middle), -np.sin(middle), 0.0])  # the helix bends this way: across the rulings
        turn = np.stack([aside, np.cross(up, aside), up])
        place, tangent = self._frame(t)
        return turn @ (place + self.out(edge, t) * tangent)

    def flat(self, edge, t):
        radius = (self.a**2 + self.b**2) / self.a
        angle = np.hypot(self.a, self.b) * t / radius
        turn = np.array([np.cos(angle), np.sin(angle)])
        out = self.out(edge, t)
        place = radius * turn + out * np.array([-turn[1], turn[0]])
        return place * np.array([-1.0, 1.0])  # seen from inside the boat


SOLIDS = (RightCone(), ObliqueCone(), CutCylinder(), HelixTangents())
by_name = pytest.mark.parametrize("solid", SOLIDS, ids=lambda solid: solid.name)


def offsets(solid, edge, spacing):
    """Points of an edge at even steps in x, as nearly `spacing` as fits, as a builder's table gives them."""
    start, stop = (solid.point(edge, t)[0] for t in solid.span)
    count = int(np.ceil((stop - start) / spacing - 1e-9)) + 1
    x = np.linspace(start, stop, count)
    inner = [solid.point(edge, parameter(solid, edge, at)) for at in x[1:-1]]
    return np.array([solid.point(edge, solid.span[0]), *inner, solid.point(edge, solid.span[1])])


def parameter(solid, edge, x):
    """Which ruling meets an edge at x."""
    return brentq(lambda t: solid.point(edge, t)[0] - x, *solid.span, xtol=1e-14)


@functools.cache
def side(solid, spacing, count=161, thickness=0.0, inset=0.0):
    chine, sheer = (space_curve(offsets(solid, edge, spacing)) for edge in (0, 1))
    return ruled_panel(ruled_surface(search_rulings(chine, sheer, count)), thickness, inset, port=True)


@functools.cache
def places(solid, count=201):
    """The outline's parameters, evenly over the span."""
    return np.linspace(*solid.span, count)


def outline_error(solid, spacing, count=161):
    """Greatest distance of the panel's outline from the true one, laid on one another."""
    panel = side(solid, spacing, count)
    true = np.array([solid.flat(edge, t) for edge in (0, 1) for t in places(solid)])
    laid = []
    for edge, curve in ((0, panel.surface.family.chine), (1, panel.surface.family.sheer)):
        x = np.array([solid.point(edge, t)[0] for t in places(solid)])
        laid.append(panel.to_flat(curve.at(x))[:, :2])
    return greatest_gap(np.vstack(laid), true)


@by_name
def test_the_outline_from_offsets_100_mm_apart_or_less_is_true(solid):
    size = np.ptp([solid.point(0, t)[0] for t in solid.span])
    assert 800.0 < size < 1300.0
    error = outline_error(solid, solid.spacing)
    assert error < 0.01, error


@by_name
def test_halving_the_spacing_of_stations_divides_the_error_by_six_or_more(solid):
    errors = [outline_error(solid, solid.spacing * share) for share in (1.0, 0.5, 0.25)]
    assert errors[0] / errors[1] > 6.0
    assert errors[1] / errors[2] > 6.0


def strips_error(solid, count):
    """How far the strips between `count` rulings, laid down one by one, miss the true outline at those rulings."""
    family = side(solid, solid.spacing / 8.0, count).surface.family
    low, high = family.chine.at(family.at_chine), family.sheer.at(family.at_sheer)
    kept = family.needed.copy()
    for x, edge in ((low[:, 0], 0), (high[:, 0], 1)):
        ends = sorted(solid.point(edge, t)[0] for t in solid.span)
        kept &= (x >= ends[0]) & (x <= ends[1])
    true = [
        solid.flat(edge, parameter(solid, edge, at))
        for edge, run in ((0, low[kept]), (1, high[kept]))
        for at in run[:, 0]
    ]
    return greatest_gap(np.vstack(develop_strips(low[kept], high[kept])), np.array(true))


@by_name
def test_doubling_the_rulings_divides_the_error_of_strips_by_four(solid):
    """Strips between straight rulings cut corners; the panel's own chart converges faster, as the next test says."""
    errors = [strips_error(solid, count) for count in (41, 81, 161)]
    assert 4.0 * 0.8 < errors[0] / errors[1] < 4.0 * 1.2, errors
    assert 4.0 * 0.8 < errors[1] / errors[2] < 4.0 * 1.2, errors


@by_name
def test_the_chart_is_better_than_strips_between_as_many_rulings(solid):
    spacing = solid.spacing / 8.0
    floor = outline_error(solid, spacing, 321)
    for count in (41, 81):
        assert outline_error(solid, spacing, count) - floor < strips_error(solid, count) / 3.0


@by_name
def test_the_area_is_that_of_the_ruled_surface(solid):
    """By quadrature over the true rulings in space, which knows nothing of unrolling."""

    def element(share, t):
        step = 1e-5
        low, high = solid.point(0, t), solid.point(1, t)
        low_rate = (solid.point(0, t + step) - solid.point(0, t - step)) / (2.0 * step)
        high_rate = (solid.point(1, t + step) - solid.point(1, t - step)) / (2.0 * step)
        return float(np.linalg.norm(np.cross(high - low, low_rate + share * (high_rate - low_rate))))

    first, last = sorted(solid.span)
    true = dblquad(element, first, last, 0.0, 1.0, epsabs=0.01, epsrel=1e-8)[0]
    panel = side(solid, solid.spacing / 4.0)
    runs = []
    for edge, curve in ((0, panel.surface.family.chine), (1, panel.surface.family.sheer)):
        x = np.array([solid.point(edge, t)[0] for t in places(solid, 2001)])
        runs.append(panel.to_flat(curve.at(x))[:, :2])
    ring = np.vstack([runs[0], runs[1][::-1]])
    x, y = ring.T
    area = abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0
    assert area == pytest.approx(true, rel=2e-6)


@by_name
@pytest.mark.parametrize("edge", [0, 1])
def test_an_edge_is_as_long_as_a_meshs_path_as_near_as_the_mesh_is_fine(solid, edge):
    panel = side(solid, solid.spacing)
    curve = (panel.surface.family.chine, panel.surface.family.sheer)[edge]
    x = np.linspace(curve.start, curve.stop, 4001)
    laid = panel.to_flat(curve.at(x))
    assert np.abs(laid[:, 2]).max() < 1e-4
    flat = float(np.linalg.norm(np.diff(laid[:, :2], axis=0), axis=1).sum())
    errors = []
    curves = (panel.surface.family.chine, panel.surface.family.sheer)
    for count in (32, 64, 128):
        grid = np.stack([c.at(np.linspace(c.start, c.stop, count + 1)) for c in curves], axis=1)
        index = np.arange(2 * (count + 1)).reshape(-1, 2)
        a, b, c, d = index[:-1, 0], index[1:, 0], index[1:, 1], index[:-1, 1]
        faces = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
        mesh = trimesh.Trimesh(vertices=grid.reshape(-1, 3), faces=faces, process=False)
        path = mesh.vertices[index[:, edge]]
        errors.append(abs(float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum()) - flat))
    assert errors[-1] < 2e-5 * flat
    assert 3.2 < errors[0] / errors[1] < 4.8


@by_name
@pytest.mark.parametrize("inset", [0.0, 6.0])
def test_lines_on_both_faces_are_reckoned_as_long_as_they_are_in_space(solid, inset):
    """A curved line up the side, parallel to the outer face, its length taken from points alone."""
    panel = side(solid, solid.spacing, 161, thickness=8.0, inset=inset)
    surface = panel.surface
    at = np.linspace(surface.start + 8.0, surface.stop - 8.0, 6001)
    share = 0.5 + 0.4 * np.sin(np.linspace(0.0, 5.0, 6001))
    for offset in (-4.0, 0.0, 4.0):
        line = surface.point(at, share * surface.frame(at)[:, 9], offset - 4.0 - inset)
        laid = panel.to_flat(line)
        assert np.abs(laid[:, 2] - offset).max() < 1e-8
        true = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
        assert reckon(panel, laid[:, :2], offset)[1] == pytest.approx(true, abs=0.01)
