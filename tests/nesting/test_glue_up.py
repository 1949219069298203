"""Wide parts from two boards: strips that hold the outline and fit, joints clear of holes, and the order's own word."""

from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from hullcut.design.values import Extra, Stock, Wood
from hullcut.errors import BuildError
from hullcut.nesting.glue_up import CLEAR, JOINT, JOINTING_ALLOWANCE, glue_up, glue_ups, joint_marked, piece_of, remedy
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.values import Rules
from hullcut.parts.extra import extra_part
from hullcut.parts.values import Mark
from hullcut.pipeline import plan_file

RULES = Rules("through", 3.0, 3.0, 6.0, "least cost", "quick")


def board(width, length=2400.0, **more):
    values = {"id": f"board-{width:g}", "kind": "board", "material": "white-oak", "thickness": 18.0, "planed_to": 18.0}
    values |= {"length": length, "width": width, "grain": "length", "available": None, "price": 1.0, "source": ""}
    return Stock(**(values | more))


def part_of(outline, grain="along", material="white-oak", count=1):
    return extra_part(Extra("table", Wood(material, 18.0, grain, True), True, tuple(outline), count))


def rectangle(length, width):
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def planed(part, glued):
    """The two strips in their places in the part's drawing, once their edges that meet are planed."""
    found = []
    for number, (strip, (x, y)) in enumerate(zip(glued.strips, glued.corners, strict=True)):
        x0, y0, x1, y1 = affinity.translate(shapely.Polygon(strip.outline), x, y).bounds
        level = strip.grain == "along"
        sides = [0.0, 0.0, 0.0, 0.0]
        sides[(3 if level else 2) if number == 0 else (1 if level else 0)] = glued.allowance
        found.append(shapely.box(x0 + sides[0], y0 + sides[1], x1 - sides[2], y1 - sides[3]))
    return found


shapes = st.tuples(
    st.floats(120.0, 900.0), st.floats(120.0, 400.0), st.floats(0.0, 0.45), st.floats(0.0, 0.45), st.booleans()
)


@settings(max_examples=80, deadline=None)
@given(
    shape=shapes,
    share=st.floats(0.52, 0.95),
    grain=st.sampled_from(("along", "across", "any")),
    clearance=st.sampled_from((0.0, 6.35)),
)
def test_strips_hold_the_outline_and_fit_the_board(shape, share, grain, clearance):
    length, width, a, b, tapered = shape
    outline = rectangle(length, width)
    if tapered:
        outline = ((0.0, 0.0), (length, 0.0), (length * (1.0 - a), width), (length * b, width))
    part = part_of(outline, grain)
    rules = replace(RULES, clearance=clearance)
    across = {"along": width, "across": length, "any": min(length, width)}[grain]
    margin = max(clearance, rules.kerf)
    stock = board(min(share * across + margin + JOINTING_ALLOWANCE, across - 0.5))
    (glued,) = glue_ups([part], [stock], rules)
    lower, upper = planed(part, glued)
    blank = shapely.union_all([lower, upper])
    assert lower.intersection(upper).area == pytest.approx(0.0, abs=1e-6)
    assert lower.distance(upper) == pytest.approx(0.0, abs=1e-9)
    room = shapely.Polygon(outline).envelope.buffer(margin, join_style="mitre")
    assert room.symmetric_difference(blank).area < 1e-3
    assert shapely.LineString(glued.joint).length == pytest.approx(glued.length)
    assert glued.area == pytest.approx(glued.length * part.thickness)
    assert blank.buffer(1e-6).covers(shapely.LineString(glued.joint))
    for strip in glued.strips:
        assert max(p[1 if strip.grain == "along" else 0] for p in strip.outline) <= stock.width + 1e-6
        assert strip.grain == grain or grain == "any"
        assert shapely.LinearRing(strip.outline).is_ccw
        assert min(strip.outline) == (0.0, 0.0)


def test_the_joint_runs_in_the_middle_where_nothing_is_in_its_way():
    glued = glue_up(part_of(rectangle(600.0, 300.0)), [board(200.0)], RULES)
    assert [y for _, y in glued.joint] == [150.0, 150.0]
    assert [strip.outline[2] for strip in glued.strips] == [(612.0, 150.0 + 6.0 + JOINTING_ALLOWANCE)] * 2
    assert [strip.name for strip in glued.strips] == ["table: lower half", "table: upper half"]
    across = glue_up(part_of(rectangle(300.0, 600.0), "across"), [board(200.0)], RULES)
    assert [x for x, _ in across.joint] == [150.0, 150.0]
    assert [strip.name for strip in across.strips] == ["table: left half", "table: right half"]


def test_the_joint_keeps_clear_of_holes_slots_and_drillings():
    hole = tuple(shapely.Point(300.0, 150.0).buffer(20.0).exterior.coords[:-1])[::-1]
    slot = Mark(
        "slot", "slot", "both", ((100.0, 165.0), (200.0, 165.0), (200.0, 180.0), (100.0, 180.0), (100.0, 165.0))
    )
    drilled = tuple(Mark("screw", "", "outer", ((x, 118.0),), 4.0) for x in (40.0, 80.0, 500.0, 560.0))
    part = replace(part_of(rectangle(600.0, 300.0)), holes=(hole,), marks=(slot, *drilled))
    glued = glue_up(part, [board(240.0)], RULES)
    joint = shapely.LineString(glued.joint)
    near = [shapely.Polygon(hole), shapely.Polygon(slot.points), *(shapely.Point(mark.points[0]) for mark in drilled)]
    assert all(joint.distance(each) >= CLEAR - 1e-9 for each in near)
    assert abs(glued.joint[0][1] - 150.0) < 60.0


def test_no_sliver_stands_along_an_edge_beside_the_joint():
    notched = ((0.0, 0.0), (600.0, 0.0), (600.0, 152.0), (300.0, 152.0), (300.0, 300.0), (0.0, 300.0))
    glued = glue_up(part_of(notched), [board(220.0)], RULES)
    assert not 152.0 - CLEAR < glued.joint[0][1] <= 152.0, "a sliver of the upper board would stand along the notch"


def test_a_joint_across_a_notch_is_marked_in_pieces():
    part = part_of(
        (
            (0.0, 0.0),
            (250.0, 0.0),
            (250.0, 200.0),
            (350.0, 200.0),
            (350.0, 0.0),
            (600.0, 0.0),
            (600.0, 300.0),
            (0.0, 300.0),
        )
    )
    glued = glue_up(part, [board(170.0)], RULES)
    marks = [mark for mark in joint_marked(part, glued).marks if mark.kind == JOINT]
    assert len(marks) == 2
    assert "glue it up from two boards" in joint_marked(part, glued).step
    for strip in glued.strips:
        assert [mark.kind for mark in strip.marks] == [JOINT]


@pytest.mark.parametrize(
    ("part", "stock"),
    [
        (part_of(rectangle(600.0, 300.0)), board(140.0)),
        (part_of(rectangle(2600.0, 300.0)), board(200.0)),
        (part_of(rectangle(600.0, 300.0), material="birch-plywood"), board(200.0, material="birch-plywood")),
        (part_of(rectangle(600.0, 300.0)), board(200.0, planed_to=12.0)),
    ],
    ids=["two are too narrow", "too long", "plywood", "another thickness"],
)
def test_what_two_boards_do_not_hold_is_not_glued_up(part, stock):
    assert glue_ups([part], [stock], RULES) == ()


def test_a_part_that_a_board_holds_is_left_whole():
    part = part_of(rectangle(600.0, 300.0))
    assert glue_ups([part], [board(200.0), board(300.0)], RULES) == ()
    assert len(glue_ups([part], [board(200.0), board(299.0)], RULES)) == 1


def test_wide_stock_that_is_too_scarce_for_all_copies_counts_as_none():
    parts = [part_of(rectangle(600.0, 300.0)), replace(part_of(rectangle(600.0, 300.0)), id="other")]
    for available, boats, glued in ((1, 1, 2), (2, 1, 0), (2, 2, 2), (None, 9, 0)):
        rack = board(320.0, kind="leftover", available=available)
        assert len(glue_ups(parts, [board(200.0), rack], RULES, boats)) == glued
    one_left = [board(200.0), board(320.0, 700.0, id="rack", kind="leftover", available=1, price=None)]
    strips = [strip for each in glue_ups(parts, one_left, RULES) for strip in each.strips]
    laid = lay_out([piece_of(strip, "") for strip in strips], one_left, RULES)
    assert sum(len(sheet.placements) for sheet in laid.sheets) == 4


def test_the_fault_names_the_key_that_allows_it_and_not_where_it_would_not_help():
    for width, words in (
        (200.0, "or write glue_up = true under [wood.side], so that it is glued up from two boards"),
        (140.0, "or choose another wood: two boards edge to edge do not hold it either"),
    ):
        part = part_of(rectangle(600.0, 300.0))
        piece = piece_of(part, "one", remedy(part, "[wood.side]", [board(width)], RULES))
        with pytest.raises(BuildError, match="its blank is 600") as caught:
            lay_out([piece], [board(width)], RULES)
        assert words in str(caught.value)
    sheet = board(200.0, kind="sheet", material="birch-plywood")
    ply = part_of(rectangle(600.0, 300.0), material="birch-plywood")
    with pytest.raises(BuildError, match="or glue it up from narrower pieces"):
        lay_out([piece_of(ply, "", remedy(ply, "[wood.side]", [sheet], RULES))], [sheet], RULES)


ORDER = """
name = "tables"
units = "mm"

[[extra]]
name = "table"
material = "white-oak"
thickness = 18
corners = [[0, 0], [600, 0], [500, 300], [100, 300]]
grain = "along"
count = 3
glue_up = true

[shop]
cutting = "CUTTING"
saw_kerf = 3
jigsaw_kerf = 2
clearance = 6

[[shop.stock]]
kind = "board"
material = "white-oak"
thickness = 18
length = 2400
width = 180
price = 20
"""


@pytest.mark.parametrize("cutting", ["through", "shape"])
def test_an_order_lays_out_the_strips_of_every_copy(tmp_path, verify, cutting):
    path = tmp_path / "tables.toml"
    path.write_text(ORDER.replace("CUTTING", cutting))
    plan = plan_file(path, effort="quick")
    (glued,) = plan.glue_ups
    laid = [each.part for sheet in plan.layout.sheets for each in sheet.placements]
    assert sorted(laid) == sorted(strip.id for strip in glued.strips for _ in range(3))
    by_copy = renamed(plan.layout)
    pieces = [replace(piece_of(strip, ""), part=f"{strip.id}#{copy}") for strip in glued.strips for copy in range(3)]
    verify(by_copy, pieces, [sheet.stock for sheet in plan.layout.sheets])
    path.write_text(ORDER.replace("CUTTING", cutting).replace("glue_up = true\n", ""))
    with pytest.raises(BuildError, match=r"write glue_up = true under the \[\[extra\]\] of table"):
        plan_file(path, effort="quick")


def renamed(layout):
    """A layout in which every copy of a piece has a name of its own, for the verifier."""
    counts = {}
    sheets = []
    for sheet in layout.sheets:
        names = {}
        for each in sheet.placements:
            counts[each.part] = counts.get(each.part, -1) + 1
            names[each] = replace(each, part=f"{each.part}#{counts[each.part]}")
        blanks = tuple(
            replace(blank, placements=tuple(names[each] for each in blank.placements)) for blank in sheet.blanks
        )
        sheets.append(replace(sheet, placements=tuple(names.values()), blanks=blanks))
    return replace(layout, sheets=tuple(sheets))
