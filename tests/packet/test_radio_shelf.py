"""The radio shelf: its picture, and its way out of the boat before the inside is sealed."""

import re

import numpy as np
import pytest

from hullcut.balance.foam_blocks import foam_blocks
from hullcut.packet.finishing import sealing_lines
from hullcut.packet.fittings_list import fitting_groups
from hullcut.packet.joining import bonds
from hullcut.packet.radio_shelf import (
    aerial_room,
    after_beam_low,
    foam_after_nuts,
    foam_after_shelf,
    on_shelf,
    servo_headroom,
    shelf_comes_out,
    shelf_headroom,
)
from hullcut.packet.step import Kit
from hullcut.packet.steps import after_step, building_steps
from hullcut.parts.fittings import arm_height, servo_places
from hullcut.parts.hatch import has_coaming
from hullcut.parts.radio_places import AERIAL_TUBE, STRAP_HOLE
from tests.conftest import planned
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


RIM = '[decks]\ncoaming = "3/4 in"\n'
"""A deck is glued round the opening under this hatch."""


def test_round_a_coaming_the_shelf_slides_back_in_below_the_beam():
    plan = bow_studio("pram", RIM).plan
    assert has_coaming(plan.hull)
    room = shelf_headroom(plan)
    # The mounts' height over the shelf, and the beam's under the sheer, reckoned from the design alone.
    radio, woods, decks = plan.design.radio, plan.design.woods, plan.design.decks
    top = radio.shelf_height + woods.shelf.thickness + 30.0 + woods.servo_mount.thickness
    beam = plan.hull.depth - plan.hull.deck_drop - decks.beam_depth
    assert room == pytest.approx(beam - top, abs=0.5)
    assert room > 3.0
    words = {step.title: " ".join(step.sentences) for step in building_steps(plan)}
    assert "slide it aft under the beam" in words["Bolt on the strut and the rudder"]


def test_a_deck_without_an_opening_comes_off_over_battery_radio_and_bolts():
    plan = planned("marshpenny").boat_plans[0]
    assert plan.design.decks.after == "deck"
    deck = next(part for part in plan.parts if part.id == "marshpenny-after-deck")
    joined = [bond for bond in bonds(plan) if deck in (bond.host, bond.guest)]
    assert joined
    assert sum(bond.screws for bond in joined) > 8
    assert all(bond.area == 0.0 for bond in joined)
    steps = {step.title: step for step in building_steps(plan)}
    assert not steps["Fit the after deck"].glue
    assert "With its screws out it lifts off freely." in steps["Fit the after deck"].check
    assert (
        steps["Bolt on the strut and the rudder"].sentences[0]
        == "Take the after deck off first, and the tape off the tube."
    )
    assert "the after deck too" in steps["Balance the boat"].sentences[0]
    painting = " ".join(line for _, lines in sealing_lines(plan) for line in lines)
    assert "The after deck is screwed on, never glued." in painting


def test_the_shelf_is_out_while_the_inside_is_sealed_and_back_before_the_radio(studio):
    assert shelf_comes_out(studio.plan)
    there: list[str] = []
    seen = {}
    for step in building_steps(studio.plan)[1:]:
        there = after_step(studio, step, there)
        seen[step.title] = {owner for owner in there if owner.startswith(("shelf#", "servo-"))}
    assert len(seen["Fit the servo mounts and the radio box"]) == 7
    assert not seen["Seal the inside"] | seen["Sand, seal and paint"]
    assert len(seen["Bolt on the strut and the rudder"]) == 7


def test_the_servos_that_are_bought_fit_under_what_hangs_over_their_cases():
    """In bramblefin it is the hatch, in marshpenny the after deck."""
    plan = planned("marshpenny").boat_plans[0]
    cover = next(part for part in plan.parts if part.id == "marshpenny-after-deck")
    low = {"marshpenny": float(corners(cover)[:, 2].min())}
    plans = {"marshpenny": plan, "bramblefin": planned("bramblefin").boat_plans[0]}
    hatch = next(part for part in plans["bramblefin"].parts if part.id == "bramblefin-hatch")
    low["bramblefin"] = float(corners(hatch)[:, 2].min())
    # The battens stand abaft and ahead of the servos, between the knees and before the beam.
    battens = [part for part in plans["bramblefin"].parts if "hatch-batten" in part.id]
    x = [part.panel.to_space(np.array(part.true_outline), 0.0)[:, 0] for part in battens]
    servos = [place[0] for place in servo_places(plans["bramblefin"].hull, plans["bramblefin"].arrangement)]
    half = plans["bramblefin"].design.radio.servo_length / 2.0
    assert all(ends.max() < min(servos) - half or ends.min() > max(servos) + half for ends in x)
    for name, plan in plans.items():
        mounts = [corners(part)[:, 2] for part in plan.parts if part.family == "servo_mount"]
        top = max(float(z.max()) for z in mounts)
        assert servo_headroom(plan) == pytest.approx(low[name] - top, abs=0.01)
        words = " ".join(line for _, lines in fitting_groups(plan) for line in lines)
        assert f"rise at most {Kit(plan).size(servo_headroom(plan) - 3.0)} above the lugs" in words


def test_round_a_coaming_foam_and_shelf_go_in_in_an_order_that_can_be_done():
    plan = bow_studio("pram", RIM).plan
    # The servos are screwed in through the opening when the shelf is in its place.
    assert shelf_headroom(plan) > 10.0
    steps = {step.title: step for step in building_steps(plan)}
    late = foam_after_shelf(plan)
    packed, shelf_back = steps["Pack in the foam"], steps["Bolt on the strut and the rudder"]
    assert f"Take blocks {late} out again" in " ".join(packed.sentences)
    told = " ".join(shelf_back.sentences)
    order = [told.index(each) for each in ("Put it back: tip it in", f"Then fix foam blocks {late}")]
    assert order == sorted(order)
    block = foam_blocks(plan.hull, plan.arrangement)[late - 1]
    # They slide in below the beam, ahead of the shelf.
    assert block.start >= plan.design.radio.shelf_from + plan.design.radio.shelf_length
    assert block.high < after_beam_low(plan)
    for name in ("bramblefin", "marshpenny"):
        assert foam_after_shelf(planned(name).boat_plans[0]) == 0


def test_battery_straps_and_aerial_are_bought_to_the_room_there_is(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    places = on_shelf(plan)
    words = " ".join(line for _, lines in fitting_groups(plan) for line in lines)
    assert places.battery_width > 15.0
    assert f"A battery at most {kit.size(places.battery_width)} wide" in words
    assert f"It is at most {kit.size(places.battery_length)} long" in words
    # Two of them go through holes 1 and 2.
    told = re.search(r"at most \S+ in \(([\d.]+) mm\) wide: two for it, one for the battery", words)
    assert 5.0 <= float(told[1]) <= 0.7 * STRAP_HOLE
    assert aerial_room(plan) > 30.0
    tube = f"A tube for the aerial, at most {kit.fine(AERIAL_TUBE)} wide and {kit.size(aerial_room(plan))} long"
    assert tube in words


def test_the_steps_drill_the_holes_and_thread_the_straps(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    words = {step.title: " ".join(step.sentences) for step in building_steps(plan)}
    drilled = words["Fit the shelf cleats and the radio shelf"]
    assert f"{kit.fine(STRAP_HOLE)} holes for straps at the four marks" in drilled
    assert "as wide as the tube" in drilled
    shelf = next(part for part in plan.parts if part.family == "shelf")
    assert sum(mark.diameter == STRAP_HOLE for mark in shelf.marks) == 4
    side = "port" if on_shelf(plan).battery.y > plan.arrangement.box_y else "starboard"
    assert f"Lay the battery to {side} of the box" in words["Fit the servo mounts and the radio box"]


def test_where_the_shelf_slides_in_below_the_beam_the_aerial_passes_it_too():
    plan = bow_studio("pram", RIM).plan
    floor = plan.design.radio.shelf_height + plan.design.woods.shelf.thickness
    assert 20.0 < aerial_room(plan) < after_beam_low(plan) - floor


def test_no_foam_stands_in_the_way_of_the_throttles_rod(studio):
    plan = studio.plan
    for block in foam_blocks(plan.hull, plan.arrangement):
        if block.place == "aft":
            assert block.high <= arm_height(plan.hull) - 6.0


def test_foam_beside_the_pads_is_fixed_when_their_nuts_are_tight():
    for name in ("bramblefin", "puddlewick"):
        plan = planned(name).boat_plans[0]
        number = foam_after_nuts(plan)
        block = foam_blocks(plan.hull, plan.arrangement)[number - 1]
        pads = max(points[:, 0].max() for points in (corners(part) for part in plan.parts if part.family == "pad"))
        assert 0.0 < block.start - pads < 60.0
        steps = {step.title: step for step in building_steps(plan)}
        assert f"Take blocks {number} out again" in " ".join(steps["Pack in the foam"].sentences)
        told = " ".join(steps["Bolt on the strut and the rudder"].sentences)
        order = [
            told.index(each) for each in ("Tighten the rudder's nuts", f"Then fix foam blocks {number}", "Put it b")
        ]
        assert order == sorted(order)


def corners(part):
    """Points in space of both faces of a part."""
    return np.vstack([part.panel.to_space(np.array(part.true_outline), s * part.thickness) for s in (0.5, -0.5)])
