"""Joints, screws and clamps by step, and the patch of the bottom's bend measured in space."""

import re

import numpy as np
import pytest
import shapely

from hullcut.balance.foam_blocks import foam_blocks
from hullcut.packet.drain import _screws_near, drain
from hullcut.packet.finishing import SEALING_CHAPTER, coated_area, first_float_lines, sealing_lines
from hullcut.packet.joining import bonds, bonds_by_step, grams, joined_to, screws_by_wood, whole_grams
from hullcut.packet.lists import glue_grams, screw_count, span
from hullcut.packet.pace import CLAMP_EVERY, clamps_for, minutes_for, photo_of, waits
from hullcut.packet.places import beam_rows, bottom_overhang, frame_blocks
from hullcut.packet.repairs import bottom_patch, patch_picture, repair_lines
from hullcut.packet.screw_words import screws_told, tried_dry
from hullcut.packet.step import Kit
from hullcut.packet.steps import _wait, building_steps
from hullcut.packet.steps_hull import BOTTOM_STEP
from hullcut.packet.workshop import _FOR, jig_lines, jig_picture, most_clamps
from hullcut.stock.glues import glue
from tests.conftest import planned
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def test_every_joint_is_closed_in_one_step_and_nothing_is_lost(studio):
    plan = studio.plan
    steps = building_steps(studio.plan)
    rows = bonds_by_step(plan, steps)
    assert len(rows) == len(steps)
    listed = [bond for row in rows for bond in row]
    assert sorted((b.host.id, b.guest.id) for b in listed) == sorted((b.host.id, b.guest.id) for b in bonds(plan))
    assert sum(bond.screws for bond in listed) == screw_count(plan.parts) == sum(screws_by_wood(plan).values())
    assert sum(grams(plan, row) for row in rows) == pytest.approx(glue_grams(plan))
    for step, row in zip(steps, rows, strict=True):
        if grams(plan, row) > 0.0:
            assert step.glue, step.title


def test_a_step_names_all_parts_that_its_new_ones_join(studio):
    plan = studio.plan
    steps = building_steps(plan)
    named = {step.title: {part.id for part in row} for step, row in zip(steps, joined_to(plan, steps), strict=True)}
    sides = {part.id for part in plan.parts if part.family == "side"}
    assert named["Glue the cleats to the sides"] == sides
    assert any(name.endswith("-transom") for name in named["Glue the cleats to the transom"])
    assert sides <= named["Stand sides and transom on the board, keel up"]
    assert sides <= named["Glue the frame and check it again"] & named["Bend on the bottom"]
    for step, row in zip(steps[1:], bonds_by_step(plan, steps)[1:], strict=True):
        here = {part.id for part in (*step.parts, *step.tried)} | named[step.title]
        for bond in row:
            assert {bond.host.id, bond.guest.id} <= here or bond.host is bond.guest, step.title
        assert not named[step.title] & {part.id for part in (*step.parts, *step.tried)}


def test_screws_go_only_into_what_holds_them(studio):
    for bond in bonds(studio.plan):
        if bond.screws:
            assert bond.guest.family in ("cleat", "deck_beam", "nose_block", "bearer"), bond.guest.id


def test_what_comes_off_again_is_not_glued(studio):
    loose = [bond for bond in bonds(studio.plan) if bond.area == 0.0]
    assert {bond.guest.family for bond in loose} >= {"engine_plate"}
    for bond in bonds(studio.plan):
        if bond.host.family == "hatch" and bond.guest.family != "batten":
            assert bond.area == 0.0


def test_every_step_has_its_time_its_tools_explained_and_some_a_photo(studio):
    steps = building_steps(studio.plan)
    assert all(10 <= minutes_for(step) <= 400 for step in steps)
    assert 4 <= sum(bool(photo_of(step)) for step in steps) <= 8
    assert {tool for step in steps for tool in step.tools} <= set(_FOR)


def test_clamps_are_counted_along_the_strips_of_one_side(studio):
    steps = building_steps(studio.plan)
    step = next(step for step in steps if step.title == "Glue the cleats to the sides")
    wanted = sum(
        int(np.ceil(part.finished_length / CLAMP_EVERY)) * part.quantity for part in step.parts if part.hand == "port"
    )
    assert clamps_for(step) == wanted
    assert most_clamps(steps)[0] == max(clamps_for(each) for each in steps) >= wanted
    # Cutting out holds one piece at a time: it does not decide how many clamps there must be.
    assert "clamps" in steps[0].tools
    assert clamps_for(steps[0]) == 0
    stand = next((each for each in steps if each.title == "Build the stand"), None)
    assert stand is None or clamps_for(stand) == sum(part.quantity for part in stand.parts)


def test_grams_of_the_steps_are_whole_and_add_up_to_those_of_the_boat(studio):
    plan = studio.plan
    rows = bonds_by_step(plan, building_steps(plan))
    weights = whole_grams(plan, rows)
    assert sum(weights) == round(glue_grams(plan))
    assert all(abs(weight - grams(plan, row)) < 1.0 for weight, row in zip(weights, rows, strict=True))


def test_what_the_words_ask_for_stands_among_the_tools(studio):
    tools = {step.title: step.tools for step in building_steps(studio.plan)}
    assert "vacuum cleaner" in tools["Seal the inside"]
    sealing = [step for step in building_steps(studio.plan) if "sealant" in " ".join(step.sentences)]
    assert "Bolt on the strut and the rudder" in [step.title for step in sealing]
    assert all("sealant" in step.tools for step in sealing)
    assert {"scissors", "tape", "sharp nail"} <= set(tools["Mark out and cut the parts"])
    assert {"kitchen scale", "small bottle", "tape"} <= set(tools["Balance the boat"])


def test_each_jig_is_a_tool_of_the_steps_that_use_it(studio):
    steps = building_steps(studio.plan)
    tools = {step.title: set(step.tools) for step in steps}
    lines = " ".join(jig_lines(studio, steps)).lower()
    board = "Stand sides and transom on the board, keel up"
    assert "flat board" in tools[board]
    assert ("blocks for the sides" in tools[board]) == any(frame_blocks(studio.plan)) == ("blocks for the" in lines)
    assert {"straight dummy rod", "wedge", "disc and block"} <= tools["Cut the shaft slot and try the rod"]
    assert "two straight sticks" in tools["Check the dry frame"]
    for jig in ("flat board", "two straight sticks", "straight dummy rod", "wedge", "stand"):
        assert jig in lines
        assert any(jig in each for each in tools.values())
    # The board's lines are told with their distances where it is set up.
    words = " ".join(next(step for step in steps if step.title == board).sentences)
    assert "centre line" in words
    kit = Kit(studio.plan)
    for size in (studio.plan.design.decks.fore_from, *(x for name, x in beam_rows(studio.plan) if name != "middle")):
        assert kit.size(size) in words


def test_the_patch_is_as_long_as_its_own_middle_surface(studio):
    """Measured in space: along the patch's middle, a whole thickness outside the bottom's middle surface."""
    plan = studio.plan
    patch = bottom_patch(plan)
    bottom = next(part for part in plan.parts if part.family == "bottom")
    y = float(np.mean([min(p[1] for p in bottom.outline), max(p[1] for p in bottom.outline)]))
    x = np.linspace(patch.flat_x - patch.covered / 2.0, patch.flat_x + patch.covered / 2.0, 4001)
    space = bottom.panel.to_space(np.column_stack([x, np.full_like(x, y)]), bottom.thickness)
    length = float(np.linalg.norm(np.diff(space, axis=0), axis=1).sum())
    assert patch.length == pytest.approx(length, abs=0.02)
    assert patch.length > patch.covered
    assert patch.hole[0] < patch.covered
    assert patch.hole[1] < patch.width
    cut = next(item for item in patch_picture(plan).items if getattr(item, "ref", "") == "patch")
    from hullcut.drawing.paths import bounds

    x0, y0, x1, y1 = bounds(cut)
    assert (x1 - x0, y1 - y0) == pytest.approx((patch.length, patch.width))


def test_the_drain_hole_lies_low_in_the_foot_cleat_and_clear_of_its_screws(studio):
    plan = studio.plan
    hole = drain(plan)
    foot = plan.hull.foot_of(plan.hull.transom_inside, plan.hull.bottom_thickness)[1]
    radius = hole.diameter / 2.0
    assert foot < hole.z - radius < foot + 5.0
    assert hole.z + radius < foot + plan.design.cleats.transom_height
    assert min(abs(hole.y - y) for y in _screws_near(plan)) >= radius + 4.0
    inside = float(plan.hull.half_breadth(np.array([0.0]), np.array([hole.z]))[0]) - plan.design.woods.side.thickness
    assert abs(hole.y) + radius < inside - plan.design.woods.cleat.thickness
    assert hole.y * plan.design.rudder.offset <= 0.0


def test_the_bulkheads_drain_hole_is_marked_in_whole_wood_beside_the_bearers(studio):
    plan = studio.plan
    bulkhead = next(part for part in plan.parts if part.family == "bulkhead")
    (mark,) = [mark for mark in bulkhead.marks if mark.kind == "hole"]
    x, y, z = bulkhead.panel.to_space(np.array(mark.points[:1]), 0.0)[0]
    outline = np.array(bulkhead.true_outline)
    assert shapely.Polygon(outline).contains(shapely.Point(mark.points[0]).buffer(mark.diameter / 2.0 + 8.0))
    floor = float(plan.hull.bottom_height(np.array([x]), plan.hull.bottom_thickness)[0])
    assert 10.0 < z - floor < 13.0
    engine = plan.design.engine
    clear = abs(y) - mark.diameter / 2.0 - engine.bearer_gap / 2.0 - plan.design.woods.bearer.thickness
    assert clear > 6.0
    through = drain(plan)
    assert y * through.y > 0.0
    assert mark.diameter == through.diameter
    # The plug's nut has room ahead of the bulkhead.
    gap = min(block.start for block in foam_blocks(plan.hull, plan.arrangement) if block.place == "fore")
    assert gap - plan.design.decks.fore_from - bulkhead.thickness > 12.0
    assert "drain hole" in building_steps(plan)[0].adult


def test_nobody_is_told_to_measure_nothing(studio):
    for _, lines in repair_lines(studio.plan):
        for text in lines:
            assert " 0 in" not in text, text


def test_pictures_of_jigs_keep_to_the_page(studio):
    from hullcut.drawing.paths import bounds

    for width in (180.0, 185.9):
        scene = jig_picture(studio, width)
        for item in scene.items:
            x0, y0, x1, y1 = bounds(item)
            assert x0 >= scene.x0 - 0.5
            assert x1 <= scene.x1 + 0.5
            assert y0 >= scene.y0 - 0.5
            assert y1 <= scene.y1 + 0.5


def test_both_faces_are_coated(studio):
    by_hand = sum(2 * part.quantity * part.area for part in studio.plan.parts if part.family != "stand") / 1e6
    assert coated_area(studio.plan) == pytest.approx(by_hand)
    assert 1.0 < by_hand < 5.0


def test_every_screw_of_the_list_is_driven_in_a_step_that_tells_it_and_what_is_screwed_dry_is_screwed_again(studio):
    plan = studio.plan
    steps = building_steps(plan)
    rows = bonds_by_step(plan, steps)
    told = [sum(map(int, re.findall(r"(\d+) of ", screws_told(plan, row)))) for row in rows]
    assert sum(told) == screw_count(plan.parts)
    assert told == [sum(bond.screws for bond in row) for row in rows]
    for row in rows:
        words = screws_told(plan, row)
        for bond in row:
            if bond.screws:
                assert bond.host.name.split(",")[0].lower() in words
                assert bond.guest.name.split(",")[0].lower() in words
    # What the frame's dry steps set or drill for is what the step that glues the frame sets.
    glued = next(number for number, step in enumerate(steps) if step.title == "Glue the frame and check it again")
    dry = [bond for step in steps for bond in tried_dry(rows[glued], step.dry_screws)]
    assert sorted((b.host.id, b.guest.id) for b in dry) == sorted(
        (b.host.id, b.guest.id) for b in rows[glued] if b.screws
    )


def test_two_lengths_into_one_kind_of_part_are_told_apart_by_its_place(studio):
    """A builder must not guess which hole takes the short one."""
    plan = studio.plan
    for row in bonds_by_step(plan, building_steps(plan)):
        lengths = {}
        for bond in row:
            if bond.screws:
                kinds = tuple(part.name.split(",")[0].lower() for part in (bond.host, bond.guest))
                lengths.setdefault(kinds, {}).setdefault(bond.screw_length, set()).add(bond.guest.name)
        words = screws_told(plan, row)
        for (_, guest), by_length in lengths.items():
            if len(by_length) > 1:
                for names in by_length.values():
                    for name in names:
                        assert f"{name.split(', ')[1]} {guest}" in words, words


def test_a_pram_has_short_screws_ahead_and_longer_ones_abaft():
    plan = planned("puddlewick").boat_plans[0]
    words = [screws_told(plan, row) for row in bonds_by_step(plan, building_steps(plan))]
    assert any("into fore chine cleats;" in each and "into after chine cleats (" in each for each in words)


def test_bearers_are_screwed_from_below_with_the_boat_keel_up_and_what_no_clamp_reaches_is_weighted(studio):
    steps = {step.title: step for step in building_steps(studio.plan)}
    engine = steps["Fit the engine bearers and the engine plate"]
    turned = next(number for number, text in enumerate(engine.sentences) if "turn the boat keel up" in text)
    assert "from below" in engine.sentences[turned]
    assert any("Turn the boat back" in text for text in engine.sentences[turned + 1 :])
    for step in (engine, steps["Fit the fin and its cleats"]):
        assert "weights" in step.tools
        assert re.search(r"Set weights on", " ".join(step.sentences))
        assert step.waits_told or "under weights" in _wait(step, studio)
    assert "clamps" not in steps["Fit the fin and its cleats"].tools


def test_where_the_bottom_lies_is_told_before_the_glue_and_the_bending_is_rehearsed(studio):
    kit = Kit(studio.plan)
    bend = next(step for step in building_steps(studio.plan) if step.title == BOTTOM_STEP)
    out = bottom_overhang(studio.plan)
    assert out == pytest.approx(studio.plan.design.laps.trim_allowance, abs=0.05)
    glued = next(number for number, text in enumerate(bend.sentences) if text.startswith("Spread glue"))
    before = " ".join(bend.sentences[:glued])
    assert f"stands out {kit.size(out)} behind the transom's outer face" in before
    if any(bond.screws for bond in bonds(studio.plan) if bond.host.family == "bottom" and "chine" in bond.guest.id):
        assert "drill the screw holes, not yet those for the bearers" in before
        assert "with a dry brush" in before
        assert "screws standing in their holes" in before


def test_sharp_and_hard_acts_are_done_with_the_adult(studio):
    for step in building_steps(studio.plan):
        words = " ".join(step.sentences)
        if "chisel" in step.tools:
            assert "chisel" in step.adult, step.title
        if re.search(r"Press a bearing", words):
            assert re.search(r"presses the bearing", step.adult), step.title
        if "knife" in step.tools:
            assert "knife" in step.adult, step.title


def test_each_glued_step_ends_with_one_line_on_waiting(studio):
    steps = building_steps(studio.plan)
    for step in steps:
        line = _wait(step, studio)
        if step.waits_told:
            chosen = glue(studio.plan.design.glue)
            told = " ".join(step.sentences)
            assert not line
            assert f"for {span(chosen.clamp_minutes)}." in told
            assert (f"Keep off for {span(chosen.keep_off)}." in told) == (chosen.hands == "adults")
            continue
        assert line.startswith("Wait: ") == step.glue
        if step.title == BOTTOM_STEP:
            # Its glue hardens while the stand is built: not "go on".
            assert "go on" not in line
            assert "Trim the bottom only after" in line
        elif step.glue and glue(step.own_glue or studio.plan.design.glue).hands == "adults":
            assert "Keep off it for 24 hours" in line
            assert "go on" not in line
        elif step.glue:
            assert ("go on" in line) != waits(step)


def test_at_the_first_run_the_propeller_is_looked_at_before_anyone_lifts(studio):
    runs = dict(first_float_lines(studio.plan))["First run"]

    def place(words):
        (found,) = [number for number, line in enumerate(runs) if words in line]
        return found

    order = [
        place("on a table at the water's edge"),
        place("starts the engine"),
        place("looks at the propeller, from ahead. It turns? Kill switch, and stop. It stands still: straps off"),
        place("set it down"),
        place("Close the throttle"),
        place("Engine stopped, propeller still"),
        place("tie the line on, and tow it"),
        place("floats until the muffler is cold"),
    ]
    assert order == sorted(order)
    looked = runs[place("looks at the propeller")]
    assert looked.index("straps off") < looked.index("Two adults lift")


def test_coats_and_drying_are_told_on_one_page_and_the_step_points_to_it(studio):
    steps = {step.title: step for step in building_steps(studio.plan)}
    told = " ".join(line for _, lines in sealing_lines(studio.plan) for line in lines)
    painting = " ".join(steps["Sand, seal and paint"].sentences)
    assert f"“{SEALING_CHAPTER}”" in painting
    assert "two coats" not in painting.lower()
    # The step that the page names exists.
    named = re.findall(r"the step “([^”]+)”", told)
    assert named
    assert set(named) <= set(steps)
    hatched = studio.plan.design.decks.after == "hatch"
    assert ("The hatch is screwed on, never glued." in told) == hatched == ("hatch off" in painting)


def test_the_transoms_holes_are_drilled_before_the_inside_is_sealed_and_before_anything_stands_behind_it(studio):
    titles = [step.title for step in building_steps(studio.plan)]
    drilled = next(step for step in building_steps(studio.plan) if step.title.startswith("Glue in the strut pad"))
    order = [number for number, line in enumerate(drilled.sentences) if re.match(r"(An adult|They) drills? the", line)]
    lined_up = next(number for number, line in enumerate(drilled.sentences) if "through tube and strut" in line)
    assert len(order) == 3
    assert lined_up < min(order)
    assert titles.index(drilled.title) < titles.index("Fit the servo mounts and the radio box")
    sealing = next(step for step in building_steps(studio.plan) if step.title == "Seal the inside")
    words = " ".join(sealing.sentences)
    assert titles.index(drilled.title) < titles.index(sealing.title)
    assert "slots, drain and bolt holes a second coat" in words
    assert words.index("Tape shut the tube") < words.index("Brush sealer")
    # The hole in the transom is taped outside, where no sealer goes; the other one has its plug for the water.
    assert "outside, the transom's drain hole" in words
    assert "not at the tube" in words
    assert words.endswith("Bed its plug's socket: plug in.")
