"""The drills for the screws stand beside the templates, one row for each wood that takes a thread."""

import dataclasses

import pytest
from sample_hulls import boat_of

from hullcut.drawing.scene import Text
from hullcut.drawing.screw_scene import screw_scene
from hullcut.lengths import both
from hullcut.stock.fasteners import screw
from hullcut.stock.woods import wood


def words(scene):
    return [item.text for item in scene.items if isinstance(item, Text)]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_every_screw_mark_has_its_drill_and_every_wood_below_its_pilot(name):
    boat = boat_of(name)
    told = words(screw_scene(boat.design, boat.parts))
    sizes = screw(boat.design.fasteners.gauge)
    clearances = {mark.diameter for part in boat.parts for mark in part.marks if mark.kind == "screw"}
    assert clearances
    for diameter in clearances:
        assert both(diameter, boat.design.units, 64, decimals=1) in told
    for part in boat.parts:
        if part.family == "cleat":
            below = wood(part.material)
            row = told.index(f"pilot hole into {below.name} below it")
            assert told[row + 1] == both(sizes.pilot(below.pilot).diameter, boat.design.units, 64, decimals=1)


def test_without_screws_there_is_no_table():
    boat = boat_of("marshpenny")
    bare = [dataclasses.replace(part, marks=()) for part in boat.parts]
    assert screw_scene(boat.design, bare) is None
