"""Every bevel of every part stands in the list beside the templates, whether or not the part has room for it."""

import pytest
from sample_hulls import boat_of

from hullcut.drawing.bevel_scene import bevel_scenes
from hullcut.drawing.measured_scene import is_plain, measured_scene
from hullcut.drawing.scene import Text
from hullcut.parts.bevels import bevel_summaries, bevels_of

SAMPLES = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


def words(scene):
    return [item.text for item in scene.items if isinstance(item, Text)]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_bevel_is_in_the_list(name):
    boat = boat_of(name)
    scenes = bevel_scenes(boat.parts, boat.design.units)
    told = [word for scene in scenes for word in words(scene)]
    bevelled = 0
    for part in boat.parts:
        for each in bevel_summaries(part, boat.design.units):
            bevelled += 1
            assert part.name in told or part.name.removesuffix(f", {part.hand}") in told
            assert each.degrees in told
            assert each.back in told
    assert bevelled >= 4
    assert all(scene.x1 - scene.x0 < 190.0 and scene.y1 - scene.y0 < 200.0 for scene in scenes)


@pytest.mark.parametrize("name", SAMPLES)
def test_only_what_a_rule_can_not_show_is_left_out(name):
    boat = boat_of(name)
    for part in boat.parts:
        edges = [each.edges for each in bevel_summaries(part, "in")]
        for bevel in bevels_of(part):
            most = max(bevel.readings, key=lambda each: each.degrees)
            if most.degrees >= 1.0 and most.offset >= 0.4:
                assert any(bevel.edge.removesuffix(", starboard") in each for each in edges)
        assert not any(each.back.startswith("0 in") for each in bevel_summaries(part, "in"))


def test_a_plain_piece_with_a_bevel_says_so():
    boat = boat_of("puddlewick")
    plain = [part for part in boat.parts if is_plain(part)]
    told = words(measured_scene(plain, "in"))
    slanting = [part for part in plain if bevel_summaries(part, "in")]
    assert slanting
    for part in plain:
        assert (f"{part.name}: slanting edges, see the list" in told) == (part in slanting)


def test_edges_that_no_drawing_names_are_told_by_what_they_meet():
    boat = boat_of("marshpenny")
    told = [word for scene in bevel_scenes(boat.parts, "in") for word in words(scene)]
    names = {edge for part in boat.parts for each in bevel_summaries(part, "in") for edge in each.edges.split(", ")}
    assert {"side", "free", "inner"} <= names
    assert not {"side", "free", "inner", "foot"} & set(told)
    assert "at the side" in told
