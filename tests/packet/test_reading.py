"""How hard the packet is to read, by a library of its own: grade at most 6 over the steps, 15 words a sentence.

The grade is that of Kincaid and others, "Derivation of new readability formulas", 1975, as textstat 0.7.4 reckons it
without downloads. Trade words that the list of words explains are exempt: a short word stands for each.
"""

import re

import pytest
import textstat

from hullcut.packet.before_water import home_lines
from hullcut.packet.class_packet import kit_of
from hullcut.packet.fastening import fastening_rules
from hullcut.packet.finishing import first_float_lines, sealing_lines
from hullcut.packet.fittings_list import engine_lines, fitting_groups, workshop_supplies, workshop_things
from hullcut.packet.metal_page import (
    ENGINE_INTRO,
    ENGINE_PICTURES,
    ENGINE_TOO_LARGE,
    METAL_INTRO,
    limit_rows,
    metal_words,
)
from hullcut.packet.opening import _MARKS, _SAFETY, _USE, template_lines
from hullcut.packet.repairs import repair_lines
from hullcut.packet.saws_and_bits import saw_and_bit_lines
from hullcut.packet.setup_sheet import setup_blocks
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.packet.words import meanings
from hullcut.packet.workshop import clamp_lines, jig_lines
from tests.conftest import planned
from tests.packet.test_building_steps import MOST_WORDS, sentences, word_count
from tests.packet.trial_bows import BOWS, bow_studio

GRADE = 6.0
_MEASURE = re.compile(r"[\d./ ]+ (in|mm) \([\d./ ]+ (in|mm)\)")


def plain(text, hull):
    """The text with a short word for every trade word that is explained, and for every measure."""
    text = _MEASURE.sub(" 9 ", text)
    words = sorted({word for entry, _ in meanings(hull) for word in entry.split(", ")}, key=len, reverse=True)
    for word in words:
        text = re.sub(rf"\b{re.escape(word)}(s|'s|es)?\b", "bar", text, flags=re.IGNORECASE)
    return text


def grade(texts, hull):
    joined = " ".join(text if text.endswith((".", "?", "!")) else f"{text}." for text in texts)
    return textstat.flesch_kincaid_grade(plain(joined, hull))


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def test_the_steps_are_read_at_grade_6(studio):
    hull = studio.plan.design.hull
    steps = building_steps(studio.plan)
    texts = [text for step in steps for text in (*step.sentences, step.check, step.adult) if text]
    assert len(texts) > 100
    assert grade(texts, hull) <= GRADE
    for step in steps:
        assert grade([*step.sentences, step.check], hull) <= GRADE + 2.0, step.title


def further(studio):
    plan = studio.plan
    pages = {
        "how to use": [*_USE, *template_lines("templates.pdf"), *(meaning for _, meaning in _MARKS)],
        "safety": [line for _, _, lines, _ in _SAFETY for line in lines],
        "engine": engine_lines(plan),
        "engine page": [ENGINE_INTRO, ENGINE_PICTURES, ENGINE_TOO_LARGE, *(what for _, what, _ in limit_rows(plan))],
        "metal parts": [METAL_INTRO, *metal_words(plan)],
        "fittings": [line for _, lines in fitting_groups(plan) for line in lines],
        "for safety": workshop_things(1),
        "setup sheet": [line for block in setup_blocks(Kit(plan)) for line in block.lines],
        "supplies": workshop_supplies(),
        "clamps": clamp_lines(plan, building_steps(plan)),
        "saws and bits": saw_and_bit_lines(plan),
        "jigs": jig_lines(studio, building_steps(studio.plan)),
        "screws": fastening_rules(plan),
    }
    for page, groups in (
        ("sealing", sealing_lines(plan)),
        ("before the water", home_lines(plan)),
        ("first float", first_float_lines(plan)),
        ("repairs", repair_lines(plan)),
    ):
        pages[page] = [line for _, lines in groups for line in lines]
    return pages


def test_the_other_pages_are_as_easy_and_their_sentences_as_short(studio):
    hull = studio.plan.design.hull
    for page, lines in further(studio).items():
        assert grade(lines, hull) <= GRADE, page
        for line in lines:
            for sentence in sentences(line):
                assert word_count(sentence) <= MOST_WORDS, sentence


def test_the_measure_sees_what_is_hard_to_read():
    hull = planned("ten_lines").boat_plans[0].design.hull
    hard = "Subsequently accomplish the longitudinal alignment, notwithstanding considerable circumferential deviation."
    assert grade([hard], hull) > 12.0
    assert grade(["Lay the side down.", "Plane the edge flush."], hull) < 3.0


def test_every_trade_word_of_the_steps_is_explained(studio):
    hull = studio.plan.design.hull
    explained = {word for entry, _ in meanings(hull) for word in entry.split(", ")}
    text = " ".join(" ".join((*s.sentences, s.check, s.title)) for s in building_steps(studio.plan)).lower()
    trade = (
        "transom", "bulkhead", "cleat", "chine", "sheer", "knee", "bearer", "fin", "shaft log", "strut", "rudder",
        "pushrod", "bellows", "drain plug", "bow loop", "servo", "throttle", "hatch", "rocker", "stem", "bow transom",
        "nose block", "deck beam", "dummy rod", "twist", "diagonal", "flush", "true line", "straight run",
    )  # fmt: skip
    for word in trade:
        if re.search(rf"\b{word}", text):
            assert word in explained, word


def test_every_trade_word_of_the_other_pages_is_explained(studio):
    hull = studio.plan.design.hull
    explained = {word for entry, _ in meanings(hull) for word in entry.split(", ")}
    text = " ".join(line for lines in further(studio).values() for line in lines).lower()
    trade = (
        "ballast", "batten", "bearing", "bore", "collar", "coupling", "clutch", "failsafe", "flange", "hub",
        "kill switch", "muffler", "pare", "pitch", "porpoise", "resaw", "skin", "template", "transmitter", "trim",
        "waterline", "rack", "offcut", "strut", "shaft log", "transom", "bulkhead", "bow loop", "drain plug", "servo",
    )  # fmt: skip
    used = [word for word in trade if re.search(rf"\b{word}", text)]
    assert len(used) > 15
    assert not set(used) - explained


def test_the_switch_and_the_failsafe_have_one_name_and_one_deed(studio):
    text = " ".join(line for lines in further(studio).values() for line in lines).lower()
    steps = " ".join(" ".join((*step.sentences, step.adult)) for step in building_steps(studio.plan)).lower()
    assert "stop switch" not in text + steps
    assert "shut the throttle" not in text
    assert text.count("failsafe closes the throttle") >= 3


def test_every_piece_of_a_boat_is_in_its_kit_once():
    plan = planned("lakeside_class")
    total = 0
    for boat in plan.order.boats:
        each = next(p for p in plan.boat_plans if p.design.name == boat.design)
        names = sorted(name for pieces in kit_of(plan, boat).values() for _, name in pieces)
        assert names == sorted(part.name for part in each.parts for _ in range(part.quantity))
        total += len(names)
    assert total == sum(len(sheet.placements) for sheet in plan.layout.sheets)


def test_a_studio_draws_each_picture_once():
    studio = Studio(planned("ten_lines").boat_plans[0])
    made = []
    first = studio.kept("a", lambda: made.append(1) or "scene")
    assert studio.kept("a", lambda: made.append(2) or "other") == first
    assert made == [1]
