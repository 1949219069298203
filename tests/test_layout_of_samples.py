"""The layout of every sample, held against the plan alone with shapely, independent of the packer."""

import json
from itertools import combinations

import pytest
import shapely
from shapely import affinity

from hullcut.plan import plan_json, to_text

INSIDE_MM = 1e-3


@pytest.fixture
def plan(any_plan):
    return json.loads(to_text(plan_json(any_plan)))


def placed_outline(part, placement):
    outline = shapely.Polygon(part["outline"])
    if placement["mirrored"]:
        assert part["flip"]
        outline = affinity.scale(outline, -1.0, 1.0, origin=(0.0, 0.0))
    outline = affinity.rotate(outline, placement["rotation"], origin=(0.0, 0.0))
    return affinity.translate(outline, placement["x"], placement["y"])


def test_every_placement_is_inside_its_sheet(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    for sheet in plan["layout"]:
        ground = shapely.box(0.0, 0.0, sheet["length"], sheet["width"]).buffer(INSIDE_MM)
        for placement in sheet["placements"]:
            assert ground.covers(placed_outline(parts[placement["part"]], placement))


def test_placements_are_apart_by_the_kerf(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    for sheet in plan["layout"]:
        outlines = [placed_outline(parts[each["part"]], each) for each in sheet["placements"]]
        for a, b in combinations(outlines, 2):
            assert a.distance(b) >= plan["rules"]["kerf"] - INSIDE_MM


def test_grain_is_honoured(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    stock = {each["id"]: each for each in plan["stock"]}
    for sheet in plan["layout"]:
        grain_along_x = stock[sheet["stock"]]["grain"] == "length"
        for placement in sheet["placements"]:
            grain = parts[placement["part"]]["grain"]
            turned = placement["rotation"] % 180.0
            if grain == "any":
                continue
            along = grain == "along"
            assert turned == (0.0 if along == grain_along_x else 90.0)


def test_wood_and_thickness_match_the_stock(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    stock = {each["id"]: each for each in plan["stock"]}
    for sheet in plan["layout"]:
        for placement in sheet["placements"]:
            part, each = parts[placement["part"]], stock[sheet["stock"]]
            assert part["material"] == each["material"]
            assert abs(part["thickness"] - each["planed_to"]) <= 0.4


def test_blanks_hold_their_placements(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    if plan["rules"]["cutting"] != "through":
        pytest.skip("blanks are only freed by through cuts")
    for sheet in plan["layout"]:
        held = 0
        for blank in sheet["blanks"]:
            ground = shapely.box(
                blank["x"], blank["y"], blank["x"] + blank["length"], blank["y"] + blank["width"]
            ).buffer(INSIDE_MM)
            for placement in blank["placements"]:
                assert ground.covers(placed_outline(parts[placement["part"]], placement))
                held += 1
        assert held == len(sheet["placements"])
        assert sheet["cuts"]
