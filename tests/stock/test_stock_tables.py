import dataclasses
import itertools

import pytest

from hullcut.errors import DesignError
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue, glue_keys
from hullcut.stock.sheets import board_sizes, sheet_sizes
from hullcut.stock.thickness import nominal_thickness, sold_as
from hullcut.stock.woods import find_wood, wood, wood_keys, woods


def test_the_keys_that_designs_use():
    assert set(wood_keys()) == {
        "yellow-poplar",
        "eastern-white-pine",
        "douglas-fir",
        "white-oak",
        "sitka-spruce",
        "okoume-plywood",
        "birch-plywood",
        "douglas-fir-plywood",
    }


def test_every_wood_names_its_source_and_marks():
    marks = {"published", "derived", "from memory"}
    for each in woods():
        assert each.source
        assert each.density_mark in marks
        assert (each.moe is None) == (each.mor is None) == (each.strength_mark == "")
        assert each.strength_mark in marks | {""}
        assert 300 < each.density < 900
        assert (each.kind == "solid") == (each.specific_gravity is not None)


def test_an_unknown_wood_suggests_the_nearest():
    assert find_wood("yelow-poplar") is None
    with pytest.raises(DesignError, match="yellow-poplar"):
        wood("yelow-poplar")
    with pytest.raises(DesignError, match="okoume-plywood"):
        wood("zzz")


def test_unknown_gauges_and_glues_are_told():
    with pytest.raises(DesignError, match="4 or 6 or 8 or 10"):
        screw(7)
    with pytest.raises(DesignError, match="epoxy"):
        glue("flour paste")


def test_glue_that_hardens_by_moisture_says_so():
    assert [key for key in glue_keys() if glue(key).damped] == ["polyurethane"]
    for key in glue_keys():
        assert glue(key).use.startswith("Damp one face") == glue(key).damped
        assert ("foams" in glue(key).use) == glue(key).damped


def test_glues_that_harm_are_for_adults():
    assert {key for key in glue_keys() if glue(key).hands == "adults"} == {"polyurethane", "epoxy"}
    for key in glue_keys():
        assert any("local rules" in caution for caution in glue(key).cautions)


def test_pilot_column_follows_the_wood():
    found = screw(6)
    assert found.pilot(wood("white-oak").pilot).name == "5/64 in"
    assert found.pilot(wood("yellow-poplar").pilot).name == "1/16 in"


@pytest.mark.parametrize("market", ["inch", "metric"])
def test_nominal_ranges_do_not_overlap(market):
    ranges = []
    thickness = 1.0
    while thickness < 60:
        found = nominal_thickness(thickness, market)
        if found not in ranges:
            ranges.append(found)
        thickness += 0.05
    assert len(ranges) >= 8
    for thinner, thicker in itertools.pairwise(ranges):
        assert thinner.low < thinner.high < thicker.low


def test_sold_as_takes_the_nearest_name_outside_all_ranges():
    assert sold_as(10.2, "inch") == "3/8 in"
    assert sold_as(10.8, "inch") == "1/2 in"
    assert sold_as(5.2, "metric") == "5 mm"


def test_values_are_frozen():
    with pytest.raises(dataclasses.FrozenInstanceError):
        wood("white-oak").density = 1.0


def test_sizes_are_positive_and_keys_unique():
    for market in ("inch", "metric"):
        keys = [size.key for size in (*board_sizes(market), *sheet_sizes(market))]
        assert len(set(keys)) == len(keys)
        assert all(size.width <= size.length for size in (*board_sizes(market), *sheet_sizes(market)))
        assert all(material in wood_keys() for size in sheet_sizes(market) for material in size.materials)
