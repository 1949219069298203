"""What guards against harm is told before the act that could do it, and told alike wherever it stands."""

import math

import numpy as np
import pytest

from hullcut.balance.weights import rod_behind, rod_length
from hullcut.packet.before_water import home_lines
from hullcut.packet.document import frames_of, styles, words_told
from hullcut.packet.finishing import RAGS, first_float_lines, sealing_lines
from hullcut.packet.fittings_list import engine_lines, fitting_groups, workshop_things
from hullcut.packet.holding import weighed_down
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.lists import span
from hullcut.packet.opening import _SAFETY, _USE, how_to_use
from hullcut.packet.repairs import repairs
from hullcut.packet.setup_sheet import setup_blocks
from hullcut.packet.shaft_picture import trial_bodies
from hullcut.packet.step import Kit
from hullcut.packet.step_tools import all_tools
from hullcut.packet.steps import ADULTS_GLUE, PHOTO_GATE, building_steps, steps_chapter
from hullcut.packet.steps_hull import BOTTOM_STEP
from hullcut.packet.studio import Studio
from hullcut.packet.workshop import clamp_lines
from hullcut.parts.fittings import servo_arm_height
from hullcut.stock.glues import glue
from tests.conftest import planned
from tests.packet.trial_bows import BOWS, bow_plan, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def places(lines, *words):
    told = " ".join(lines)
    return [told.index(word) for word in words]


def test_fuel_is_poured_after_paint_has_stood_and_the_extinguisher_is_at_hand(studio):
    days = dict(first_float_lines(studio.plan))
    for heading, guards in (
        ("First start, outdoors only", ("one week", "Extinguisher", "glasses", "An adult pours in")),
        ("First run", ("glasses on", "extinguisher", "An adult pours in 40 ml (30 g) of fuel, no more")),
    ):
        found = places(days[heading], *guards)
        assert found == sorted(found), heading


def test_the_boat_stands_firm_with_its_propeller_clear_before_it_is_started(studio):
    days = dict(first_float_lines(studio.plan))
    for heading, firm in (("First start, outdoors only", "over its end"), ("First run", "over its end")):
        found = places(days[heading], firm, "starts")
        assert found == sorted(found), heading
    assert "Round the propeller 12 in (305 mm) is free" in " ".join(days["First start, outdoors only"])
    # What was taken out for charging is in again before anything is started.
    at_home = dict(home_lines(studio.plan))["At home, engine off"]
    home = places(at_home, "charges the batteries", "Strap the battery back")
    assert home == sorted(home)


def test_no_hole_is_drilled_in_the_hull_once_the_propeller_is_on(studio):
    steps = building_steps(studio.plan)
    fitted = next(number for number, step in enumerate(steps) if "propeller" in step.parts or "propeller" in step.extra)
    assert all("drill and bits" not in step.tools for step in steps[fitted:])
    drilled = next(step for step in steps if step.title.startswith("Glue in the strut pad"))
    words = " ".join(drilled.sentences).split(". ")
    acts = [sentence for sentence in words if "rill" in sentence]
    assert len(acts) == 4
    assert all(sentence.startswith(("An adult drills", "The adult drills", "They drill")) for sentence in acts)


def test_the_setup_sheet_lets_adults_alone_touch_the_running_boat(studio):
    cautions = " ".join(next(block for block in setup_blocks(Kit(studio.plan)) if block.title == "Cautions").lines)
    assert "Only adults touch it running: to hold, start or launch it." in cautions
    assert "before anyone reaches" not in cautions


def test_adults_and_rowing_boat_are_asked_for_before_anything_is_bought():
    found = places(_USE, "before you buy", "three adults and a rowing boat", "a yes in writing", "before you cut")
    assert found == sorted(found)


def test_what_a_run_hangs_on_is_looked_for_before_anything_else_is_bought():
    assert any(
        "the engine" in line and "kill switch" in line and "before you buy anything else" in line for line in _USE
    )


def test_a_photo_goes_to_the_adult_whom_page_1_names():
    assert "the adult on page 1" in PHOTO_GATE
    assert any("page 1" in line and "photos" in line for line in _USE)


def test_rags_are_treated_alike_wherever_they_are_told_of(studio):
    assert any(RAGS in sentences for _, _, sentences, _ in _SAFETY)
    assert any(RAGS in lines for _, lines in sealing_lines(studio.plan))
    assert any("lidded metal can" in line for line in workshop_things(1))
    assert "lidded metal can" in RAGS


def test_the_blocks_hole_lies_on_the_rod_that_is_drawn(studio):
    bodies = {name: np.array(ring) for name, ring, _ in trial_bodies(studio.plan)}
    (low, high), rod = bodies["block"][:2], bodies["dummy rod"]
    along = (low - high) / np.linalg.norm(low - high)
    hole = high + jig_sizes(studio.plan).block_hole * along
    middle = (rod[0] + rod[3]) / 2.0
    ahead = (rod[1] + rod[2]) / 2.0 - middle
    ahead /= np.linalg.norm(ahead)
    assert abs(float(ahead[0] * (hole - middle)[1] - ahead[1] * (hole - middle)[0])) < 0.05
    assert 0.0 < jig_sizes(studio.plan).block_hole < jig_sizes(studio.plan).block


def test_the_shaft_is_cut_by_what_stands_behind_the_transom(studio):
    plan = studio.plan
    shaft = plan.arrangement.shaft
    behind = rod_behind(plan.arrangement)
    # From its end in the coupling the rod reaches as far aft as it is long.
    start = shaft.output_x - (shaft.length - rod_length(plan.arrangement) + 25.0) * math.cos(math.radians(shaft.angle))
    aft = start - rod_length(plan.arrangement) * math.cos(math.radians(shaft.angle))
    assert behind == pytest.approx(-aft, abs=0.05)
    words = " ".join(next(step for step in building_steps(plan) if step.title.startswith("Fit the shaft")).sentences)
    assert Kit(plan).size(behind) in words


def test_who_launches_steps_aside_and_the_driver_waits_for_the_call(studio):
    lines = dict(first_float_lines(studio.plan))["First run"]
    run = " ".join(lines)
    found = places(
        lines,
        "transmitter on, then boat",
        "starts the engine",
        "step ashore, ahead of the propeller",
        "All ashore: both raise an arm and call “Clear!”. You get the transmitter, your thumb on its kill switch.",
        "It does not obey?",
        "Kill switch at once.",
        "Run for",
    )
    assert found == sorted(found)
    assert "keep away until its fuel is gone" in run
    # Nobody stands where the propeller throws, nor in the boat's way: it lies along the bank, its driver up the bank.
    assert "along the bank" in run
    assert "wait 10 ft (3 m) up the bank, beside the bow" in run


def test_the_guard_stands_over_the_acts_that_it_guards(studio):
    told = words_told(steps_chapter(studio, frames_of("letter"), styles()))
    for step in building_steps(studio.plan):
        if step.adult:
            assert told.index(step.adult) < told.index(step.sentences[0], told.index(step.title))


def test_the_plug_lead_is_off_wherever_the_engine_or_its_shaft_is_handled(studio):
    steps = {step.title: step for step in building_steps(studio.plan)}
    for title in (
        "Fit the engine bearers and the engine plate",
        "Line up the coupling and glue in the shaft log",
        "Put the engine and the radio back",
        "Fit the shaft and the propeller",
    ):
        assert "plug lead" in steps[title].adult, title


def test_life_jackets_are_told_alike(studio):
    safety = " ".join(sentence for _, _, sentences, _ in _SAFETY for sentence in sentences)
    assert "Every child at the water and the three adults wear life jackets." in safety
    assert "A life jacket for every child at the water, and for three adults." in workshop_things(1)


@pytest.mark.parametrize(("name", "theirs"), [("marshpenny", True), ("bramblefin", False)])
def test_a_glue_for_adults_hands_asks_for_two_adults_before_anything_is_bought(name, theirs):
    (plan,) = planned(name).boat_plans
    frames, look = frames_of("letter"), styles()
    told = words_told(how_to_use(Studio(plan), "templates.pdf", frames, look))
    assert ("two adults glue" in told) == theirs
    steps = words_told(steps_chapter(Studio(plan), frames, look))
    # Epoxy for the shaft log is for adults' hands in every boat.
    assert steps.count(ADULTS_GLUE) > 3 if theirs else steps.count(ADULTS_GLUE) == 1


def test_beams_are_weighed_down_where_no_clamp_can_reach_them(studio):
    step = next(step for step in building_steps(studio.plan) if step.title == "Glue the frame and check it again")
    beams = [part for part in weighed_down(step) if part.family == "deck_beam"]
    assert len(beams) == len([part for part in studio.plan.parts if part.family == "deck_beam"])
    assert "weights" in all_tools(step, screwed=False)
    assert any("a weight on each beam" in line for line in step.sentences)


@pytest.mark.parametrize("key", ["polyurethane", "exterior wood glue"])
def test_repairs_tell_whose_hands_spread_the_glue(key):
    plan = bow_plan("sled", f'[glue]\nkind = "{key}"')
    told = words_told(repairs(plan, frames_of("letter"), styles()))
    assert ("An adult spreads it." in told) == (key == "polyurethane")


def test_the_throttles_rod_passes_under_the_after_beam_where_it_meets_it():
    for name in ("bramblefin", "marshpenny"):
        plan = planned(name).boat_plans[0]
        beam = next(part for part in plan.parts if part.id.endswith("deck-beam-after"))
        low = float(beam.panel.to_space(np.array(beam.true_outline), 0.0)[:, 2].min())
        step = next(step for step in building_steps(plan) if step.title.startswith("Fit the pushrods"))
        told = any("Bend the throttle's rod to pass under the beam." in line for line in step.sentences)
        assert told == (servo_arm_height(plan.hull) >= low)


def test_the_engine_is_stopped_in_two_ways_before_it_may_start_and_the_switch_is_proved_without_power(studio):
    bought = " ".join(engine_lines(studio.plan))
    assert "stops by its switch, then by its choke" in bought
    found = places(
        dict(first_float_lines(studio.plan))["First start, outdoors only"],
        "Fuel smell? No start.",
        "boat's radio off, plug lead on, choked by its manual: an adult pulls three times",
        "Lead off, transmitter on, then the boat's radio, lead on",
        "kill switch three ways",
        "They shut the choke",
    )
    assert found == sorted(found)


def test_the_kill_switch_is_pressed_from_outside_the_boat(studio):
    placed = next(step for step in building_steps(studio.plan) if "kill switch" in step.title)
    assert "you press that from outside" in " ".join(placed.sentences)
    assert placed.check.startswith("The switch's middle is")
    assert "A hand outside the boat presses its button" in placed.check
    radio = " ".join(dict(fitting_groups(studio.plan))["Radio"])
    assert "pressed from outside, through the side" in radio


def test_a_bottom_without_screws_along_its_edges_is_strapped_until_its_glue_is_hard(studio):
    kit = Kit(studio.plan)
    bend = next(step for step in building_steps(studio.plan) if step.title == BOTTOM_STEP)
    screwed = kit.screwed("bottom", "chine-cleat")
    assert bend.until_hard is not screwed
    assert ("straps" in bend.tools) is not screwed
    laid_ready = " ".join(clamp_lines(studio.plan, building_steps(studio.plan)))
    assert ("straps with a buckle, each" in laid_ready) is not screwed
    hard = span(glue(studio.plan.design.glue).cure_minutes)
    told = words_told(steps_chapter(studio, frames_of("letter"), styles()))
    assert (f"Wait: {hard} under straps" in told) is not screwed
    # Whoever waits until it is hard does not wait for that once more.
    assert f"{hard} under straps, then" not in told
    deck = next(step for step in building_steps(studio.plan) if step.title == "Glue down the fore deck")
    edged = kit.screwed("fore-deck", "sheer-cleat")
    assert deck.until_hard is not edged
    assert any("Strap hull and deck" in each for each in deck.sentences) is not edged
