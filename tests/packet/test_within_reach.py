"""What a step asks for can be reached: by a drill, by a spanner, by hands that keep off wet glue, by a photo."""

import math

import pytest

from hullcut.balance.foam_blocks import foam_blocks
from hullcut.drawing.views.bodies import boat_bodies
from hullcut.packet.finishing import first_float_lines
from hullcut.packet.joining import bonds
from hullcut.packet.metal_parts_picture import BRACKET_HOLES
from hullcut.packet.places import frame_blocks
from hullcut.packet.rudder_throw import ABAFT_POST, aside
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.parts.drains import bulkhead_drain
from tests.packet.trial_bows import BOWS, bow_plan, bow_studio


def named(plan, title):
    return next(step for step in building_steps(plan) if step.title == title)


def place(sentences, words):
    return next(number for number, sentence in enumerate(sentences) if words in sentence)


@pytest.mark.parametrize("bow", BOWS)
def test_screws_just_over_the_board_wait_until_the_boat_is_turned(bow):
    plan = bow_studio(bow).plan
    step = named(plan, "Stand sides and transom on the board, keel up")
    low = Kit(plan).screwed("transom", "sheer-cleat") and frame_blocks(plan)[0] < 20.0
    assert any("They wait until the boat is turned" in sentence for sentence in step.sentences) == low
    turned = named(plan, "Turn the boat over and fit the knees")
    held = sum(
        bond.screws
        for bond in bonds(plan)
        if bond.host.family == "transom" and bond.guest.name.startswith("Sheer cleat")
    )
    assert not low or held > 0
    assert any(f"{held} screws into the sheer cleats" in sentence for sentence in turned.sentences) == low
    assert not low or {"drill and bits", "screwdriver"} <= set(turned.tools)
    # Two boards close a pram, and both have such screws.
    assert not low or ("both transoms'" in " ".join(turned.sentences)) == bool(Kit(plan).slugs("bow-transom"))


def test_not_every_frame_has_screws_that_wait():
    title = "Stand sides and transom on the board, keel up"
    found = {any("They wait until" in each for each in named(bow_studio(bow).plan, title).sentences) for bow in BOWS}
    assert found == {True, False}


@pytest.mark.parametrize("bow", BOWS)
def test_a_spanner_reaches_the_nuts_outside_the_bearers(bow):
    plan = bow_studio(bow).plan
    nut = plan.arrangement.plate_x - max(BRACKET_HOLES)
    outside = plan.design.engine.bearer_gap / 2.0 + plan.design.woods.bearer.thickness
    beside = [block for block in foam_blocks(plan.hull, plan.arrangement) if block.count == 2 and block.inner > outside]
    # Half a nut's washer and the wall of a socket.
    assert all(block.stop <= nut - 10.0 for block in beside)


@pytest.mark.parametrize("bow", BOWS)
@pytest.mark.parametrize("key", ["polyurethane", "exterior wood glue"])
def test_shelf_and_servo_mounts_are_tried_dry_and_glued_last(bow, key):
    plan = bow_plan(bow, f'[glue]\nkind = "{key}"')
    for title in ("Fit the shelf cleats and the radio shelf", "Fit the servo mounts and the radio box"):
        *before, last = named(plan, title).sentences
        assert "lue " in last.lower()
        assert not any(sentence.startswith("Glue") or ". Glue" in sentence for sentence in before), title
        assert "without glue" in " ".join(before) or "dry" in " ".join(before)


def test_where_the_glue_is_for_adults_adults_hold_what_is_wet():
    for key, who in (("polyurethane", "Two adults"), ("exterior wood glue", "Two p")):
        plan = bow_plan("sled", f'[glue]\nkind = "{key}"')
        for title in ("Glue the frame and check it again", "Bend on the bottom"):
            assert named(plan, title).adult.startswith(who), title


@pytest.mark.parametrize("bow", BOWS)
def test_beams_go_in_before_the_sides_are_drawn_in(bow):
    sentences = named(bow_studio(bow).plan, "Glue the frame and check it again").sentences
    assert place(sentences, "Lift out the bulkhead and the beams") < place(sentences, "Long clamps draw the sides in")
    both = sentences[place(sentences, "Long clamps draw the sides in")]
    assert both.index("weight on each beam") < both.index("Long clamps")


@pytest.mark.parametrize("bow", BOWS)
def test_the_balanced_boat_is_photographed_before_it_is_taken_down(bow):
    plan = bow_studio(bow).plan
    (step,) = (step for step in building_steps(plan) if step.title == "Balance the boat")
    *_, taken_down, last = step.sentences
    photo = taken_down.index("Take the photo now, and wait for the yes")
    # No engine is started on a boat that rocks on its bar.
    assert photo < taken_down.index("Bar out, cloth back in, boat back")
    assert last.index("Bed the ballast") < last.index("Take the bottle out")
    start = " ".join(dict(first_float_lines(plan))["First start, outdoors only"])
    assert start.index("Bar out: the boat sits in both cradles") < start.index("pours in")


@pytest.mark.parametrize("bow", BOWS)
def test_the_tube_is_cut_before_it_is_tried_and_goes_in_from_below(bow):
    sentences = named(bow_studio(bow).plan, "Cut the shaft slot and try the rod").sentences
    cut, tried = place(sentences, "cuts the tube"), place(sentences, "File the slot until the tube lies")
    assert cut < tried < place(sentences, "into the slot from below")


def test_the_throw_is_told_as_a_rule_measures_it():
    assert aside(30.0) == pytest.approx(ABAFT_POST / 2.0)
    assert aside(90.0) == pytest.approx(ABAFT_POST)
    assert aside(0.0) == 0.0
    assert math.degrees(math.asin(aside(25.0) / ABAFT_POST)) == pytest.approx(25.0)


@pytest.mark.parametrize("bow", BOWS)
def test_what_fits_either_way_up_is_told_which_way_it_goes(bow):
    """Bulkhead, bow transom and bottom stand or lie upside down on the board."""
    plan = bow_plan(bow)
    let_in = " ".join(named(plan, "Let in the bulkhead and the beams, dry").sentences)
    assert "its drain hole up: there the bottom goes" in let_in
    bend = next(step for step in building_steps(plan) if "Bend on the bottom" in step.title)
    assert any("marked face down" in sentence for sentence in bend.sentences)
    # That is its inner face, as the templates say.
    bottom = next(part for part in plan.parts if part.family == "bottom")
    assert any(mark.kind == "face" and mark.name == "this face in (up)" for mark in bottom.marks)
    stand = named(plan, "Stand sides and transom on the board, keel up").sentences
    if Kit(plan).slugs("bow-transom"):
        # No plane reaches the edge once it stands on the board.
        words = " ".join(stand)
        assert words.index("bow transom's deck edge") < words.index("on it upside down")
    else:
        assert not any("deck edge" in sentence for sentence in stand)


@pytest.mark.parametrize("bow", BOWS)
def test_no_glue_goes_on_edges_that_are_glued_later(bow):
    words = " ".join(named(bow_plan(bow), "Glue the frame and check it again").sentences)
    assert "Keep it off edges that bottom and deck cover" in words
    assert "all edges" not in words


@pytest.mark.parametrize("bow", BOWS)
def test_the_bulkheads_drain_hole_is_seen_in_pictures(bow):
    plan = bow_plan(bow)
    facets = boat_bodies(plan)["bulkhead#0"]
    bored = [facet for facet in facets if len(facet.rings) == 2]
    assert len(bored) == 2
    hole = bulkhead_drain(plan.hull)
    for facet in bored:
        middle = facet.rings[1].points.mean(axis=0)
        assert middle[1:] == pytest.approx([hole.y, hole.z], abs=0.1)
