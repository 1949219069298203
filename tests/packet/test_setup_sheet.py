"""The setup sheet: one page, short sentences, every number from the boat."""

import io
from dataclasses import replace

import numpy as np
import pdfplumber
import pytest

from hullcut.drawing.paths import bounds
from hullcut.packet.document import frames_of, render, styles
from hullcut.packet.finishing import FLOAT_TOLERANCE, first_float_lines
from hullcut.packet.lists import small_things
from hullcut.packet.repairs import repair_lines
from hullcut.packet.setup_picture import setup_picture
from hullcut.packet.setup_sheet import setup_blocks, setup_distances, setup_sheet, signs_and_remedies
from hullcut.packet.step import Kit
from hullcut.packet.studio import Studio
from hullcut.pipeline import build
from tests.conftest import planned
from tests.packet.test_building_steps import MOST_WORDS, sentences, word_count
from tests.packet.trial_bows import BOWS, bow_studio


def studio_of(name):
    return bow_studio(name) if name in BOWS else Studio(planned(name).boat_plans[0])


def page_of(studio, paper):
    """The words of the sheet's pages, the left column before the right one."""
    story = setup_sheet(studio, frames_of(paper), styles())[1:]
    with pdfplumber.open(io.BytesIO(render(story, "trial", "trial", paper, None))) as file:
        halves = [(page.crop((0, 0, page.width / 2, page.height)), page) for page in file.pages]
        return [
            left.extract_text() + "\n" + page.crop((page.width / 2, 0, page.width, page.height)).extract_text()
            for left, page in halves
        ]


@pytest.mark.parametrize(("name", "paper"), [("bramblefin", "letter"), ("marshpenny", "a4"), ("raked stem", "letter")])
def test_it_is_one_page(name, paper):
    studio = studio_of(name)
    pages = page_of(studio, paper)
    assert len(pages) == 1
    words = " ".join(pages[0].split())
    for needed in (
        "balance bar",
        "straightedge",
        "heat shield",
        "starter cord",
        "fuel does not soften",
        "far from the ignition",
        "stop switch",
        "failsafe closes the throttle",
        "still at idle",
        "Never give full throttle in the air",
        "never the engine's clutch",
        "0.5 mm and 0.5°",
        "(porpoises)",
        "won't plane",
        "digs its bow in",
        "spins out",
        "one change a run",
    ):
        assert needed in words, needed
    assert "Speed, an" in words


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "pram"])
def test_distances_are_those_of_the_boat(name):
    plan = studio_of(name).plan
    kit = Kit(plan)
    told = {what: size for _, what, size in setup_distances(kit)}
    place, lies = plan.arrangement, plan.balance.flotation
    assert told["balance point"] == kit.size(place.balance_x)
    assert told["fin's after end"] == kit.size(place.fin_x)
    assert told["engine plate's after face"] == kit.size(place.plate_x)
    assert told["shaft leaves the bottom"] == kit.size(place.shaft.exit_x)
    assert told["waterline up the transom"] == kit.size(lies.line[0])
    assert told["propeller hub below the bottom"].startswith(kit.size(-place.shaft.hub_z))
    assert told["rod, cut length"] == kit.size(plan.balance.drive.rod)
    assert any(f"{place.shaft.angle:.1f}°" in size for size in told.values())
    letters = [letter for letter, *_ in setup_distances(kit) if letter]
    assert letters == list("ABCDEFG")


@pytest.mark.parametrize("name", ["bramblefin", "sled", "raked pram", "stem", "raked stem", "tansyfoot"])
def test_the_waterline_ends_forward_where_the_hull_leaves_the_water(name):
    plan = studio_of(name).plan
    lies = plan.balance.flotation
    z = lies.line[0] + lies.line[1] * lies.meets
    if plan.hull.bow is not None and z > plan.hull.side_foot(plan.hull.bow, 0.0, 0.0)[1]:
        assert float(plan.hull.side_end(plan.hull.bow, np.array([z]), 0.0)[0]) == pytest.approx(lies.meets, abs=0.01)
    else:
        assert float(plan.hull.bottom_height(np.array([lies.meets]))[0]) == pytest.approx(z, abs=0.05)
    assert lies.meets < plan.hull.length - 10.0 or name == "stem"


@pytest.mark.parametrize("name", ["bramblefin", "raked stem"])
def test_other_pages_tell_the_same_figures(name):
    plan = studio_of(name).plan
    kit = Kit(plan)
    told = {what: size for _, what, size in setup_distances(kit)}
    rod = told["rod, cut length"]
    assert any("shaft" in line and rod in line for line in small_things(plan))
    assert any(f"It is {rod} long" in line for line in dict(repair_lines(plan))["A bent shaft"])
    afloat = " ".join(dict(first_float_lines(plan))["At the water, engine off"])
    assert f"about {told['waterline up the transom']} up the transom" in afloat
    off = kit.size(FLOAT_TOLERANCE)
    assert f"{off} off" in afloat
    assert f"Off by over {off}" in " ".join(dict(setup_blocks(kit))["Float test"])


@pytest.mark.parametrize("name", ["bramblefin", "stem"])
def test_sentences_are_short(name):
    kit = Kit(studio_of(name).plan)
    texts = [sentence for _, lines in setup_blocks(kit) for sentence in lines]
    texts += [text for pair in signs_and_remedies(kit) for text in pair]
    for text in texts:
        for sentence in sentences(text):
            assert word_count(sentence) <= MOST_WORDS, sentence


def test_the_sides_of_turning_follow_the_propeller():
    plan = studio_of("bramblefin").plan
    words = " ".join(dict(setup_blocks(Kit(plan)))["Shaft and propeller"])
    assert "turns clockwise" in words
    assert "walks to starboard; it turns better to port" in words
    other = replace(plan.design, drive=replace(plan.design.drive, rotation="counter-clockwise"))
    words = " ".join(dict(setup_blocks(Kit(build(other))))["Shaft and propeller"])
    assert "walks to port; it turns better to starboard" in words


@pytest.mark.parametrize("name", ["bramblefin", "sled", "raked pram", "raked stem"])
def test_the_picture_keeps_to_its_ground(name):
    scene = setup_picture(studio_of(name), 180.0)
    for item in scene.items:
        x0, y0, x1, y1 = bounds(item)
        assert x0 >= scene.x0 - 0.01
        assert y0 >= scene.y0 - 0.01
        assert x1 <= scene.x1 + 0.01
        assert y1 <= scene.y1 + 0.01
    letters = sorted(item.text for item in scene.items if getattr(item, "text", ""))
    assert letters == list("ABCDEFG")


def test_it_stays_one_page_where_words_run_long(monkeypatch):
    studio = studio_of("bramblefin")
    doubled = [(title, (*lines, *lines)) for title, lines in setup_blocks(Kit(studio.plan))]
    monkeypatch.setattr("hullcut.packet.setup_sheet.setup_blocks", lambda kit: doubled)
    assert len(page_of(studio, "letter")) == 1


def test_a_boat_that_sinks_is_not_to_be_launched():
    design = planned("bramblefin").boat_plans[0].design
    heavy = build(replace(design, engine=replace(design.engine, mass=60000.0)))
    words = page_of(Studio(heavy), "letter")[0]
    assert "Do not launch it" in words
    assert "waterline" not in words
