"""How every hull floats, against a general mesh library (trimesh) that cuts the hull's outside with the water."""

from functools import cache

import numpy as np
import pytest

from hullcut.balance.sections import direction, hull_sections, immersed
from hullcut.hull.form import shape
from tests.conftest import SAMPLES, planned
from tests.hull_mesh import below, float_mesh, hull_mesh, upward
from tests.packet.trial_bows import BOWS, design_of


@cache
def hulls(name):
    hull = planned(name).boat_plans[0].hull if (SAMPLES / f"{name}.toml").exists() else shape(design_of(BOWS[name]))
    return hull, hull_sections(hull), *hull_mesh(hull)


SHAPES = ("bramblefin", "marshpenny", "sled", "pram", "stem", "raked stem")
TILTS = [(0.0, 0.0, 40.0), (1.2, 0.0, 45.0), (-2.0, 6.0, 42.0), (4.0, 25.0, 30.0), (0.7, -50.0, 25.0)]


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize(("trim", "heel", "height"), TILTS)
def test_volume_and_centre_below_a_tilted_plane_are_those_of_the_mesh(name, trim, heel, height):
    hull, sections, mesh, slanting = hulls(name)
    if len(slanting) == 2 and heel == 0.0:
        heel = 3.0  # three planes that all lie athwart have no common point for the tetrahedra
    trim, heel = np.radians(trim), np.radians(heel)
    up = upward(trim, heel)
    assert direction(trim, heel) == pytest.approx(up, abs=1e-15)
    # Every tilt is about the same point amidships, so that it cuts the hull.
    level = float(up @ np.array([0.4 * hull.length, 0.0, height]))
    volume, centre = below(mesh, slanting, up, level)
    found = immersed(sections, up, level)
    assert found.volume == pytest.approx(volume, rel=1e-4)
    assert np.abs(found.centre - centre).max() < 1e-4 * hull.length


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "ten_lines"])
def test_every_sample_floats_as_its_mesh_does(name):
    boat = planned(name).boat_plans[0]
    _, _, mesh, slanting = hulls(name)
    lies, balance = boat.balance.flotation, boat.balance
    draft, trim, heel = float_mesh(mesh, slanting, balance.mass, balance.cg, lies.water.density)
    assert lies.draft == pytest.approx(draft, abs=0.1)
    assert lies.trim == pytest.approx(trim, abs=0.02)
    assert lies.heel == pytest.approx(heel, abs=0.02)


@pytest.mark.parametrize("name", ["sled", "stem"])
def test_raked_and_pointed_hulls_float_as_their_meshes_do(name):
    from hullcut.balance.flotation import rest

    hull, sections, mesh, slanting = hulls(name)
    cg = (0.36 * hull.length, 3.0, 60.0)
    state = rest(sections, 7500.0, cg, 999.1)
    _, trim, heel = float_mesh(mesh, slanting, 7500.0, cg, 999.1)
    assert np.degrees(state.trim) == pytest.approx(trim, abs=0.02)
    assert np.degrees(state.heel) == pytest.approx(heel, abs=0.02)
