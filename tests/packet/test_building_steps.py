"""The building steps: plain words, every part used once, numbers from the geometry."""

import re
from dataclasses import replace

import pytest

from hullcut.packet import opening
from hullcut.packet.joining import bonds_by_step
from hullcut.packet.lists import glue_grams, screw_count
from hullcut.packet.signs import SIGNS, sign
from hullcut.packet.special_pictures import part_thumbnail
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.steps_decks import deck_steps
from hullcut.packet.steps_finish import finish_steps
from hullcut.packet.steps_hull import stand_steps
from hullcut.stock.glues import glue

MOST_WORDS = 15


def sentences(text):
    return [each for each in re.split(r"(?<=[.:?!])\s+", text) if each]


def word_count(sentence):
    """A measure in two units counts as its figures: "13 1/2 in (343 mm)" is one thing to read."""
    joined = re.sub(r"[\d./ ]+ (in|mm) \([\d./ ]+ (in|mm)\)", " measure ", sentence)
    return len(joined.split())


@pytest.fixture
def steps(sample_plan):
    return [(plan, building_steps(plan)) for plan in sample_plan.boat_plans]


def test_sentences_are_short(steps):
    for _, each in steps:
        for step in each:
            for text in (*step.sentences, step.check, step.adult):
                for sentence in sentences(text):
                    assert word_count(sentence) <= MOST_WORDS, sentence


def test_the_opening_pages_use_short_sentences_too():
    safety = [sentence for _, _, lines, _ in opening._SAFETY for line in lines for sentence in sentences(line)]
    use = [sentence for line in opening._USE for sentence in sentences(line)]
    for sentence in safety + use:
        assert word_count(sentence) <= MOST_WORDS, sentence


def test_every_step_has_two_to_eight_sentences_tools_and_a_check_with_a_number(steps):
    for _, each in steps:
        for step in each:
            assert 2 <= len(step.sentences) <= 8
            assert step.tools
            assert re.search(r"\d", step.check), step.title


def test_nobody_is_told_to_set_screws_where_the_wood_is_too_thin_for_any(steps):
    for plan, each in steps:
        for step, joined in zip(each, bonds_by_step(plan, each), strict=True):
            words = " ".join(step.sentences)
            told = "all screw holes" in words or re.search(r"(?:^|[.:] )Screw (?:it|the|its)\b|Glue and screw", words)
            if told and step.glue:
                assert sum(bond.screws for bond in joined), (plan.design.name, step.title)


def test_every_part_goes_on_once(steps):
    for plan, each in steps:
        used = [part.id for step in each[1:] for part in (*step.onto, *step.parts)]
        assert sorted(used) == sorted(part.id for part in plan.parts)
        assert [part.id for part in each[0].parts] == [part.id for part in plan.parts]


def test_checks_quote_the_geometry(steps):
    for plan, each in steps:
        kit = Kit(plan)
        checks = "\n".join(step.check for step in each)
        sizes = plan.design.hull
        for size in (
            sizes.length,
            plan.design.decks.fore_from,
            plan.arrangement.fin_x,
            plan.arrangement.balance_x,
            plan.arrangement.plate_x,
            plan.arrangement.shaft.slot_from,
            plan.design.engine.bearer_gap,
        ):
            assert kit.size(size) in checks


def test_steps_follow_the_parts_that_there_are(sample_plan):
    for plan in sample_plan.boat_plans:
        titles = [step.title for step in building_steps(plan)]
        design = plan.design
        assert ("Glue on the windscreen" in titles) == design.windscreen.fitted
        assert ("Make the hatch" in titles) == (design.decks.after == "hatch")
        assert ("Fit the after deck" in titles) == (design.decks.after == "deck")
        assert ("Glue down the after deck" in titles) == (design.decks.after == "hatch" and design.decks.coaming > 0.0)
        bare = replace(
            design,
            windscreen=replace(design.windscreen, fitted=False),
            decks=replace(design.decks, after="open"),
        )
        kept = tuple(p for p in plan.parts if p.family not in ("windscreen", "hatch", "stand", "deck_beam"))
        kit = Kit(replace(plan, design=bare, parts=kept))
        left = [step.title for step in (*stand_steps(kit), *deck_steps(kit), *finish_steps(kit))]
        assert not {"Glue on the windscreen", "Make the hatch", "Fit the after deck", "Build the stand"} & set(left)


def test_glue_and_screws_are_counted_from_the_marks(sample_plan):
    for plan in sample_plan.boat_plans:
        by_hand = 0
        for part in plan.parts:
            by_hand += part.quantity * len([mark for mark in part.marks if mark.kind == "screw"])
        assert screw_count(plan.parts) == by_hand > (50 if plan.design.woods.cleat.thickness > 9.0 else 10)
        grams = glue_grams(plan)
        dearer = replace(plan, design=replace(plan.design, glue="epoxy"))
        ratio = glue("epoxy").spread / glue(plan.design.glue).spread
        assert glue_grams(dearer) == pytest.approx(grams * ratio)
        # A boat about a metre long has a few tenths of a square metre of joints at most.
        assert 10.0 < grams < 400.0


def test_the_foam_of_the_stern_is_what_a_swamped_boat_needs(steps):
    for plan, each in steps:
        words = next(" ".join(step.sentences) for step in each if step.title == "Pack in the foam")
        told = float(re.search(r"at least ([\d.]+) litres", words).group(1))
        assert plan.balance.foam.aft <= told < plan.balance.foam.aft + 0.1


def test_thumbnails_keep_to_their_box(sample_plan):
    for plan in sample_plan.boat_plans:
        for part in plan.parts:
            scene = part_thumbnail(part, 30.0, 9.0)
            assert scene.width <= 30.0 + 1e-6
            assert scene.height <= 9.0 + 1e-6


def test_every_sign_fits_its_ground_and_is_used():
    from hullcut.drawing.paths import bounds

    for name in SIGNS:
        for item in sign(name).items:
            x0, y0, x1, y1 = bounds(item)
            assert min(x0, y0) >= -0.01
            assert max(x1, y1) <= 14.01
    assert {entry[0] for entry in opening._SAFETY} == set(SIGNS)
