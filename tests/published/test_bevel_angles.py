"""Bevels against the angle between two planes.

The angle between two planes is that between their normals (any text of solid geometry), so an edge that lies against
the other part is off square by the arc sine of the normals' product. A regular octahedron's faces meet at
arccos(-1/3) = 109.4712 degrees (H. S. M. Coxeter, Regular Polytopes, table I): half of it, standing on its point, is a
hopper whose four sides lean arctan(1/sqrt 2) = 35.2644 degrees from upright, so its joints are 19.4712 degrees off
square.
"""

import dataclasses
import math
from pathlib import Path

import pytest

from hullcut.design.reader import read_order
from hullcut.hull.form import shape
from hullcut.parts.bevels import bevel_at
from hullcut.parts.shell import sides, transom

SAMPLE = Path(__file__).resolve().parents[2] / "sample_designs" / "bramblefin.toml"
OCTAHEDRON_LEAN = math.degrees(math.atan(1.0 / math.sqrt(2.0)))


def hull_with(**sizes):
    design = read_order(SAMPLE).designs[0]
    return shape(dataclasses.replace(design, hull=dataclasses.replace(design.hull, **sizes)))


def edge_of(part, name):
    return next(edge for edge in part.edges if edge.name == name)


def test_a_hopper_of_half_an_octahedron():
    hull = hull_with(flare=OCTAHEDRON_LEAN, transom_rake=OCTAHEDRON_LEAN)
    assert math.degrees(math.acos(-1.0 / 3.0)) - 90.0 == pytest.approx(19.4712, abs=1e-4)
    for hand in ("port", "starboard"):
        assert edge_of(transom(hull), hand).bevel == pytest.approx(19.4712, abs=1e-3)
    for side in sides(hull):
        assert edge_of(side, "transom end").bevel == pytest.approx(19.4712, abs=1e-3)


@pytest.mark.parametrize(("flare", "rake"), [(5.0, 0.0), (10.0, 12.0), (20.0, 25.0)])
def test_transom_edges_of_a_straight_flared_boat(flare, rake):
    hull = hull_with(flare=flare, transom_rake=rake)
    between = math.degrees(math.asin(math.sin(math.radians(flare)) * math.sin(math.radians(rake))))
    assert edge_of(transom(hull), "port").bevel == pytest.approx(between, abs=1e-3)
    assert edge_of(transom(hull), "lower").bevel == pytest.approx(rake, abs=1e-3)
    assert edge_of(transom(hull), "sheer").bevel == pytest.approx(rake, abs=1e-3)


@pytest.mark.parametrize("flare", [4.0, 15.0])
def test_lower_edges_of_the_sides_over_the_bows_sweep(flare):
    """The bottom's normal leans by its slope, so the two meet at asin(cos slope sin flare) off square."""
    hull = hull_with(flare=flare)
    side = sides(hull)[0]
    edge = edge_of(side, "lower")
    checked = 0
    for index in range(edge.start, edge.stop, 7):
        at = side.outline[index]
        x = float(side.panel.to_space([at], -side.thickness / 2.0)[0, 0])
        slope = float(hull.profile.heading(hull.profile.at_first_axis([x], hull.chine_inset))[0])
        between = math.degrees(math.asin(math.cos(slope) * math.sin(math.radians(flare))))
        told, gap = bevel_at(edge, *at)
        assert gap < 0.5
        assert abs(told) == pytest.approx(between, abs=0.06)
        checked += 1
    assert checked > 5
