"""The plan as JSON keeps its contract."""

import copy
import json
from dataclasses import replace

import jsonschema
import numpy as np
import pytest
import shapely

from hullcut.plan import plan_json, plan_schema, to_text


@pytest.fixture
def plan(any_plan):
    return json.loads(to_text(plan_json(any_plan)))


def test_every_sample_holds_against_the_schema(plan):
    jsonschema.Draft202012Validator.check_schema(plan_schema())
    jsonschema.validate(plan, plan_schema())


@pytest.mark.parametrize(
    "spoil",
    [
        lambda plan: plan.pop("rules"),
        lambda plan: plan.update(version=2),
        lambda plan: plan["parts"][0].update(grain="sideways"),
        lambda plan: plan["parts"][0].update(colour="red"),
        lambda plan: plan["layout"][0]["placements"][0].pop("rotation"),
        lambda plan: plan["designs"][0]["joints"][0]["a"].update(line=[[0.0, 1.0]]),
    ],
)
def test_the_schema_refuses_a_spoilt_plan(any_plan, spoil):
    plan = copy.deepcopy(json.loads(to_text(plan_json(any_plan))))
    spoil(plan)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(plan, plan_schema())


def test_outlines_stand_at_the_origin_counter_clockwise_with_clockwise_holes(plan):
    for part in plan["parts"]:
        outline = np.array(part["outline"])
        assert outline.min(axis=0) == pytest.approx([0.0, 0.0], abs=1e-6)
        assert shapely.Polygon(outline).is_valid
        assert shapely.LinearRing(outline).is_ccw
        for hole in part["holes"]:
            assert not shapely.LinearRing(hole).is_ccw
            assert shapely.Polygon(outline).contains(shapely.Polygon(hole))
        cut = shapely.Polygon(outline, part["holes"])
        assert part["area"] == pytest.approx(cut.area, rel=1e-6)


def test_edges_cover_the_outline(plan):
    for part in plan["parts"]:
        count = len(part["outline"])
        starts = [edge["from"] for edge in part["edges"]]
        stops = [edge["to"] for edge in part["edges"]]
        assert stops == [*starts[1:], starts[0]], part["id"]
        assert all(0 <= index < count for index in starts)
        assert all((edge["long_face"] is None) == (edge["bevel"] == 0.0) for edge in part["edges"])


def test_ids_are_unique_and_every_reference_is_known(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    boats = {boat["id"]: boat for boat in plan["boats"]}
    stock = {each["id"] for each in plan["stock"]}
    assert len(parts) == len(plan["parts"])
    assert len(boats) == len(plan["boats"])
    for design in plan["designs"]:
        for joint in design["joints"]:
            assert {joint["a"]["part"], joint["b"]["part"]} <= set(parts)
    for sheet in plan["layout"]:
        assert sheet["stock"] in stock
        for placement in sheet["placements"]:
            assert placement["part"] in parts
            assert placement["boat"] in boats


def test_every_piece_of_every_boat_is_placed_once(plan):
    placed: dict[str, int] = {}
    for sheet in plan["layout"]:
        for placement in sheet["placements"]:
            placed[placement["part"]] = placed.get(placement["part"], 0) + 1
    assert placed == {part["id"]: part["quantity"] for part in plan["parts"]}


def test_shares_of_the_cost_add_up_to_the_price_of_what_is_bought(any_plan):
    """As sold, and once more with a price on everything, so that every sample has shares."""
    every = plan_json(any_plan)
    bought = [line.stock for line in any_plan.layout.shopping if line.stock.kind != "leftover"]
    assert (every["cost"] is None) == any(stock.price is None for stock in bought)
    layout = any_plan.layout
    priced = {line.stock.id: replace(line.stock, price=9.99 + n / 7.0) for n, line in enumerate(layout.shopping)}
    sheets = tuple(replace(sheet, stock=priced[sheet.stock.id]) for sheet in layout.sheets)
    cost = plan_json(replace(any_plan, layout=replace(layout, sheets=sheets)))["cost"]
    whole = sum(sheet.stock.price for sheet in sheets if sheet.stock.kind != "leftover")
    assert cost["total"] == pytest.approx(whole, abs=0.0051)
    assert sum(round(each["cost"] * 100) for each in cost["boats"]) == round(cost["total"] * 100)
    assert [each["boat"] for each in cost["boats"]] == [boat.id for boat in any_plan.order.boats]


def test_numbers_have_six_decimals_at_most(plan):
    def numbers(value):
        if isinstance(value, dict):
            for each in value.values():
                yield from numbers(each)
        elif isinstance(value, list):
            for each in value:
                yield from numbers(each)
        elif isinstance(value, float):
            yield value

    found = list(numbers({key: value for key, value in plan.items() if key != "parts"}))
    assert found
    assert all(round(value, 6) == value for value in found)
