"""Clamps, weights, saws, bits and jigs: their sizes come from the boat, and what a step needs stands on a list."""

import re
from dataclasses import replace

import numpy as np
import pytest

from hullcut.packet.fittings_list import fitting_groups, mount_bolts, workshop_supplies, workshop_things
from hullcut.packet.holding import across_the_hull, long_clamps, most_weights, small_clamp_opening, weighed_down
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.opening import _SAFETY
from hullcut.packet.saws_and_bits import bits_of, saw_and_bit_lines, start_bit
from hullcut.packet.step import Kit, Step
from hullcut.packet.step_tools import all_tools
from hullcut.packet.steps import building_steps
from hullcut.packet.workshop import _FOR, clamp_lines, jig_lines
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def bought(plan):
    lines = [line for _, lines in fitting_groups(plan) for line in lines]
    return " ".join([*lines, *workshop_supplies(), *workshop_things(1)]).lower()


def test_long_clamps_reach_over_the_widest_frame(studio):
    plan = studio.plan
    count, opening = long_clamps(plan)
    x = np.linspace(0.0, plan.hull.length, 200)
    widest = 2.0 * float(np.max(plan.hull.half_breadth(x, plan.hull.sheer_height(x))))
    assert widest + 25.0 <= opening < widest + 45.0
    steps = building_steps(plan)
    assert 2 <= count <= sum(part.quantity for part in plan.parts if part.family in ("bulkhead", "deck_beam"))
    with_long = [step.title for step in steps if "long clamps" in step.tools]
    across = ["Let in the bulkhead and the beams, dry", "Glue the frame and check it again"]
    assert across == [step.title for step in steps if across_the_hull(step)]
    # Straps round hull and board hold the bottom down too.
    screwed = Kit(plan).screwed("bottom", "chine-cleat")
    assert with_long == [
        *across,
        *(["Bend on the bottom"] if screwed else []),
        "Fit the engine bearers and the engine plate",
    ]
    assert any(Kit(plan).size(opening) in line and f"{count} long clamps" in line for line in clamp_lines(plan, steps))


def test_a_wider_boat_needs_longer_clamps(studio):
    plan = studio.plan
    design = replace(plan.design, hull=replace(plan.design.hull, beam=plan.design.hull.beam + 50.8))
    assert long_clamps(replace(plan, design=design))[1] == pytest.approx(long_clamps(plan)[1] + 50.8)


def test_small_clamps_open_wider_than_what_they_hold(studio):
    plan = studio.plan
    woods = plan.design.woods
    assert small_clamp_opening(plan) > woods.side.thickness + 2.0 * woods.cleat.thickness
    assert Kit(plan).size(small_clamp_opening(plan)) in clamp_lines(plan, building_steps(plan))[0]


def test_weights_stand_where_no_clamp_reaches(studio):
    steps = building_steps(studio.plan)
    heavy = [step.title for step in steps if "weights" in step.tools]
    assert "Fit the fin and its cleats" in heavy
    assert set(heavy) >= {step.title for step in steps if weighed_down(step)}
    fin = next(step for step in steps if step.title == "Fit the fin and its cleats")
    assert sum(part.quantity for part in weighed_down(fin)) == 2 <= most_weights(steps)


def test_inside_cuts_begin_at_a_hole_that_fits_into_the_narrowest_of_them(studio):
    plan = studio.plan
    narrowest = plan.design.woods.fin.thickness
    assert 2.0 < start_bit(plan) < narrowest
    lines = " ".join(saw_and_bit_lines(plan))
    kit = Kit(plan)
    assert kit.fine(start_bit(plan)) in lines
    assert kit.size(plan.design.engine.housing_bore) in lines
    first = set(building_steps(plan)[0].tools)
    assert {"coping saw", "hole saw", "hand saw", "drill and bits"} <= first
    assert not first & {"long clamps", "weights"}


def test_every_bit_that_a_step_names_is_on_the_list(studio):
    plan = studio.plan
    words = " ".join(" ".join(step.sentences) for step in building_steps(plan))
    named = set(re.findall(r"\d+/\d+ in \([\d.]+ mm\)(?= (?:holes?|bit|bolt)\b)", words))
    assert len(named) >= 2
    servo = {word for word in named if word.startswith("1/16")}
    assert named - servo <= set(bits_of(plan))
    mm = [float(re.search(r"\(([\d.]+) mm", word).group(1)) for word in bits_of(plan)]
    assert mm == sorted(mm)
    assert len(mm) == len(set(mm))


def test_jigs_and_small_things_can_be_bought(studio):
    plan = studio.plan
    kit, sizes, words = Kit(plan), jig_sizes(plan), bought(plan)
    assert kit.size(sizes.board[0]) in words
    assert kit.size(sizes.rod[1]) in words
    assert kit.size(sizes.board[0]) in jig_lines(studio, building_steps(plan))[0]
    for thing in (
        "dummy rod", "flat board", "wedge", "heat shield", "steel corner brackets", "kill switch", "plastic film",
        "thin card", "filler", "grits", "bathroom scale", "kitchen scale", "masking tape", "soft cloth", "rags",
    ):  # fmt: skip
        assert thing in words, thing
    through = max(plan.design.woods.bearer.thickness, plan.design.woods.engine_plate.thickness)
    assert mount_bolts(plan)[1] > through + 10.0


def test_every_child_at_the_water_has_a_life_jacket():
    words = " ".join(workshop_things(1)).lower()
    assert "a life jacket for every child" in words
    on_the_water = next(lines for _, heading, lines, _ in _SAFETY if heading == "On the water")
    assert "Every child at the water and the three adults wear life jackets." in on_the_water


# A tool, and the words by which a step tells that it is used.
_TOLD = (
    ("tape", r"\btape (?:them|it|over|the)\b|with tape|on tape"),
    ("file", r"\bfile\b"),
    ("knife", r"\bknife\b"),
    ("soft cloth", r"soft cloth"),
    ("thin card", r"\bcard\b"),
    ("plastic film", r"\bfilm\b"),
    ("straight dummy rod", r"dummy rod"),
    ("vice with soft jaws", r"in the vice"),
    ("grease", r"\bgrease\b"),
    ("straightedge", r"straightedge"),
    ("try square", r"a square on|square to the bottom"),
    ("wood filler", r"fill (?:the|all) screw heads"),
    ("pencil", r"\bmark (?:it|its|the)\b"),
)


def test_a_tool_that_a_step_or_its_check_names_stands_in_its_line(studio):
    found = set()
    for step in building_steps(studio.plan):
        words = " ".join((*step.sentences, step.adult, step.check)).lower().replace("templates file", "")
        for tool, pattern in _TOLD:
            if re.search(pattern, words):
                found.add(tool)
                assert tool in step.tools, (step.title, tool)
        if re.search(r"\d mm\b", step.check):
            assert set(step.tools) & {"steel rule", "tape measure"}, step.title
        assert set(step.tools) <= set(_FOR)
    assert len(found) >= 9


def test_a_check_asks_for_the_rule_or_tape_that_reaches():
    def tools(check, *named):
        return all_tools(Step("x", (), named, ("Look.",), check), False)

    assert tools("It is 2 in (51 mm) wide.") == ("steel rule",)
    assert tools("It is 2 in (51 mm) wide.", "steel rule") == ("steel rule",)
    assert tools("It is 40 in (1016 mm) long.", "steel rule") == ("steel rule", "tape measure")
    assert tools("It leans 30°.") == ()
