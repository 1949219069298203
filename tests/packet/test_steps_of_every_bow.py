"""The steps of sled, pram and stem: every part once, short sentences, words that fit the boat."""

import math

import numpy as np
import pytest

from hullcut.balance.foam_blocks import foam_blocks, foam_litres
from hullcut.packet.pace import minutes_for
from hullcut.packet.places import frame_diagonal
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.step import Kit
from hullcut.packet.steps import after_step, building_steps
from hullcut.packet.words import meanings
from tests.conftest import planned
from tests.packet.test_building_steps import MOST_WORDS, sentences, word_count
from tests.packet.trial_bows import BOWS, bow_studio

LAID_BETWEEN = '[laps]\ndeck = "between"\nbottom = "between"\n'
RIGGED = '[decks]\ncoaming = "3/4"\ncrown = "3/8"\n[windscreen]\nwing = 2\n'


# One boat of each kind set between its sides is enough: the words go by laps and bow apart.
CASES = [
    *((bow, "") for bow in BOWS),
    ("sled", LAID_BETWEEN),
    ("raked pram", LAID_BETWEEN),
    ("stem", LAID_BETWEEN),
    ("pram", RIGGED),
]


@pytest.fixture(params=CASES, ids=str)
def boat(request):
    studio = bow_studio(*request.param)
    return studio, building_steps(studio.plan)


def words_of(steps):
    return "\n".join("\n".join((step.title, *step.sentences, step.check, step.adult)) for step in steps)


def test_every_part_goes_on_in_exactly_one_step(boat):
    studio, steps = boat
    plan = studio.plan
    used = [part.id for step in steps[1:] for part in (*step.onto, *step.parts)]
    assert sorted(used) == sorted(part.id for part in plan.parts)


def test_sentences_are_short_and_few(boat):
    _, steps = boat
    for step in steps:
        assert 2 <= len(step.sentences) <= 8, step.title
        for text in (*step.sentences, step.check, step.adult):
            for sentence in sentences(text):
                assert word_count(sentence) <= MOST_WORDS, sentence


def test_what_is_not_there_is_not_spoken_of(boat):
    studio, steps = boat
    plan = studio.plan
    text = words_of(steps)
    bow = plan.design.hull.bow
    assert ("nose block" in text) == (bow == "sled")
    assert ("bow transom" in text) == (bow == "pram")
    assert ("stem block" in text) == (bow == "stem")
    assert ("transom's lower edge" in text) == (plan.design.hull.transom_rake > 0.0)
    assert ("Its after end rises" in text) == (plan.design.hull.rocker > 0.0)
    assert ("on blocks" in text) == (plan.design.hull.sheer_rise > 0.0 or plan.design.decks.crown > 0.0)
    assert "plane until the straightedge touches both" in text.lower()
    assert "°" not in words_of(step for step in steps if step.title != "Glue on the windscreen")
    explained = {word for word, _ in meanings(plan.design.hull)}
    assert ("stem" in explained) == (bow == "stem")
    assert ("rocker" in explained) == (plan.design.hull.rocker > 0.0)


def test_the_straight_run_is_told_with_its_reason(boat):
    studio, steps = boat
    plan = studio.plan
    kit = Kit(plan)
    sizes = plan.design.hull
    bend, trim = (next(step for step in steps if step.title.startswith(t)) for t in ("Bend on", "Trim the"))
    run = kit.size(sizes.flat_to - sizes.rocker_to)
    assert run in bend.check
    assert run in trim.check
    assert any("the boat skims on it" in sentence for sentence in trim.sentences)
    assert any("Plane the after edge flush with the transom, its corner sharp" in line for line in trim.sentences)
    # Between the run's ends the bottom's outer face is straight, and bends beyond them.
    x = np.linspace(sizes.rocker_to, sizes.flat_to, 50)
    assert plan.hull.bottom_height(x) == pytest.approx(0.0, abs=1e-6)
    assert float(plan.hull.bottom_height(np.array([sizes.flat_to + 40.0]))[0]) > 0.05


def test_the_diagonal_is_what_a_tape_finds(boat):
    studio, steps = boat
    plan = studio.plan
    found = frame_diagonal(plan)
    assert Kit(plan).size(found.length) in words_of(steps)
    ends = np.array([found.aft, found.fore])
    # The tape lies over the edges that are up while the frame stands keel up: the lower edges of the sides.
    z = plan.hull.bottom_height(ends, plan.hull.chine_inset)
    space = np.column_stack([ends, [found.aft_half, -found.fore_half], z])
    assert float(np.linalg.norm(space[0] - space[1])) == pytest.approx(found.length)
    for place, half, height in zip(ends, (found.aft_half, found.fore_half), z, strict=True):
        assert float(plan.hull.half_breadth(np.array([place]), height)[0]) == pytest.approx(half)


def test_foam_stays_inside_the_hull_and_its_fore_slices_in_the_fore_compartment(boat):
    studio, _ = boat
    plan = studio.plan
    points = np.array(
        [
            (at, side * wide, z)
            for block in foam_blocks(plan.hull, plan.arrangement)
            for at in (block.start, block.stop)
            for z, wide in ((block.low, block.outer_low), (block.high, block.outer_high))
            for side in (1.0, -1.0)
        ]
    )
    x, y, z = points.T
    assert x.min() > plan.hull.transom_thickness
    assert x.max() < plan.hull.bow_room()
    fore = x[x > plan.design.decks.fore_from]
    assert np.ptp(fore) > 60.0
    assert np.all(z < plan.hull.roof_height(x))
    assert np.all(z > plan.hull.bottom_height(x, plan.hull.bottom_thickness) - 0.5)
    assert np.all(np.abs(y) <= np.maximum(plan.hull.half_breadth(x, z, plan.hull.side_thickness), 1.0))


@pytest.mark.parametrize("bow", BOWS)
def test_each_new_part_is_seen_in_its_picture(bow):
    studio = bow_studio(bow)
    done: list[str] = []
    for step in building_steps(studio.plan)[1:]:
        if step.draw is None and (step.parts or step.tried):
            before = studio.owners(*step.onto) if step.apart else [*done, *studio.owners(*step.onto)]
            scene = step_picture(studio, step, before, 80.0, 65.0)
            assert scene.width <= 80.0 + 1e-6
            assert scene.height <= 65.0 + 1e-6
            fills = [item.fill for item in scene.items if getattr(item, "fill", None)]
            # The tint of new wood is yellow: much less blue than red.
            assert any(int(fill[1:3], 16) - int(fill[5:7], 16) > 60 for fill in fills), step.title
        done = after_step(studio, step, done)


@pytest.mark.parametrize("bow", BOWS)
def test_foam_is_told_in_numbered_blocks_that_hold_the_told_litres(bow):
    plan = bow_studio(bow).plan
    step = next(step for step in building_steps(plan) if step.title == "Pack in the foam")
    words = " ".join(step.sentences)
    blocks = foam_blocks(plan.hull, plan.arrangement)
    fore = sum(block.place == "fore" for block in blocks)
    assert fore >= 3
    assert f"slices 1 to {fore} across" in words
    assert f"{foam_litres(blocks, 'aft'):.1f} litres" in words
    assert f"{foam_litres(blocks):.1f} litres" in step.check
    # Where the blocks hold less than is needed, the step says so.
    assert ("litres of scraps there too" in words) == (
        foam_litres(blocks, "aft") < math.ceil(plan.balance.foam.aft * 10.0 - 1e-6) / 10.0
    )


@pytest.mark.parametrize(("name", "foams"), [("marshpenny", True), ("bramblefin", False)])
def test_glue_that_foams_is_pared_off_hard_and_other_glue_wiped_off_wet(name, foams):
    (plan,) = planned(name).boat_plans
    steps = {step.title: step for step in building_steps(plan)}
    for title in ("Glue the frame and check it again", "Bend on the bottom"):
        words = " ".join(steps[title].sentences)
        assert ("an adult pares it off when it is hard" in words) == foams
        assert ("Wipe off the glue" in words) == (not foams)


def test_every_step_of_every_boat_has_its_minutes(boat):
    _, steps = boat
    assert all(minutes_for(step) > 0 for step in steps)
