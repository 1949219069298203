"""The setup sheet: one page, short sentences, every number from the boat."""

import io
import re
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pdfplumber
import pytest

from hullcut.drawing.paths import bounds
from hullcut.packet.afloat import ballast_shifts, lean, upright
from hullcut.packet.document import frames_of, render, styles
from hullcut.packet.finishing import FLOAT_TOLERANCE, first_float_lines
from hullcut.packet.fittings_list import bolts_to_buy, engine_lines, fitting_groups, small_things, tube_bore
from hullcut.packet.lists import shopping
from hullcut.packet.repairs import repair_lines
from hullcut.packet.setup_picture import setup_picture
from hullcut.packet.setup_sheet import (
    _TOLD_LEAN,
    further_sizes,
    setup_blocks,
    setup_distances,
    setup_sheet,
    signs_and_remedies,
)
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
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


def words_of(kit, title):
    return " ".join(next(block.lines for block in setup_blocks(kit) if block.title == title))


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
        "kill switch",
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
    told = {what: size for _, what, size in setup_distances(kit)} | dict(further_sizes(kit))
    place, lies = plan.arrangement, plan.balance.flotation
    assert told["balance point"] == kit.size(place.balance_x)
    assert told["fin's after end"] == kit.size(place.fin_x)
    assert told["engine plate's after face"] == kit.size(place.plate_x)
    assert told["shaft leaves the bottom"] == kit.size(place.shaft.exit_x)
    assert told["waterline up the transom"] == kit.size(lies.line[0])
    assert told["propeller hub below bottom"] == kit.size(-place.shaft.hub_z)
    assert told["propeller hub behind transom"] == kit.size(-place.shaft.hub_x)
    assert told["shaft, cut length"] == kit.size(plan.balance.drive.rod)
    assert any(f"{place.shaft.angle:.1f}°" in size for size in told.values())
    assert [letter for letter, *_ in setup_distances(kit)] == list("ABCDEFGH")


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
    told = {what: size for _, what, size in setup_distances(kit)} | dict(further_sizes(kit))
    rod = told["shaft, cut length"]
    assert any("shaft" in line and rod in line for line in small_things(plan))
    assert any(f"It is {rod} long" in line for line in dict(repair_lines(plan))["A bent shaft"])
    afloat = " ".join(dict(first_float_lines(plan))["At the water, engine off"])
    assert f"about {told['waterline up the transom']} up the transom" in afloat
    off = kit.size(FLOAT_TOLERANCE)
    assert f"{off} off" in afloat
    assert f"Off by over {off}" in words_of(kit, "Float test")


@pytest.mark.parametrize("name", ["bramblefin", "tansyfoot", "marshpenny"])
def test_dry_side_and_waterline_at_the_transom_make_the_depth(name):
    plan = studio_of(name).plan
    lies = plan.balance.flotation
    sheer = float(plan.hull.sheer_height(np.array([0.0]))[0])
    assert lies.line[0] + upright(plan, lies).aft == pytest.approx(sheer)
    # The least of both sides of the leaning boat is lower than that by the lean.
    assert upright(plan, lies).least > lies.freeboard
    words = words_of(Kit(plan), "Float test")
    leans = lean(plan, lies)
    assert leans.low == ("port" if plan.balance.cg[1] > 0.0 else "starboard")
    # What a rule hardly shows is not told; what it shows is.
    assert ("leans about" in words) == (leans.rise >= _TOLD_LEAN)
    aside = replace(plan.balance, cg=(plan.balance.cg[0], -9.0, plan.balance.cg[2]), flotation=replace(lies, heel=-2.0))
    heeled = replace(plan, balance=aside)
    told = lean(heeled, aside.flotation)
    assert told.low == "starboard"
    words = words_of(Kit(heeled), "Float test")
    assert f"leans about {Kit(plan).size(told.rise)} to starboard" in words
    assert "leave that" in words
    assert "g at a time inside the port side" in words
    far = replace(aside, cg=(plan.balance.cg[0], -27.0, plan.balance.cg[2]), flotation=replace(lies, heel=-8.0))
    words = words_of(Kit(replace(plan, balance=far)), "Float test")
    assert "leave that" not in words
    assert "along the inside of the port side levels it" in words


@pytest.mark.parametrize("name", ["bramblefin", "raked stem"])
def test_what_is_bought_has_the_sizes_of_the_boat(name):
    plan = studio_of(name).plan
    kit, drive = Kit(plan), plan.design.drive
    lines = " ".join([*engine_lines(plan), *(line for _, lines in fitting_groups(plan) for line in lines)])
    assert f"{plan.balance.drive.bearings} bearings" in lines
    assert dict(further_sizes(kit))["bearings on the shaft"] == str(plan.balance.drive.bearings)
    pitch = plan.balance.running.pitch
    assert f"{kit.size(pitch.low)} to {kit.size(pitch.high)}" in lines
    assert f"{plan.design.engine.power:.0f} watts at {plan.design.engine.rpm:.0f} turns" in lines
    assert f"Seen from astern it turns {drive.rotation}. Plug lead off" in lines
    assert drive.shaft_diameter + 1.0 <= tube_bore(plan) < drive.tube_diameter
    count, length = bolts_to_buy(plan)
    assert count == 8
    woods = plan.design.woods
    assert 16.0 <= length - woods.transom.thickness - woods.pad.thickness < 16.0 + 25.4 / 4.0


def test_a_class_buys_for_all_and_its_builders_tick_nothing_to_buy():
    plan = planned("lakeside_class")
    frames, look = frames_of("letter"), styles()
    story = shopping(plan, plan.boat_plans[1], frames, look)
    with pdfplumber.open(io.BytesIO(render(story, "trial", "trial", "letter", None))) as file:
        words = " ".join(page.extract_text() for page in file.pages)
    assert "Comes in your kit" in words
    assert "you buy nothing" in words
    assert "What to buy" not in words
    assert "☐" not in words


def test_ballast_moves_the_balance_point_as_a_new_weight_does():
    plan = studio_of("bramblefin").plan
    aft, forward = ballast_shifts(plan)
    mass, x = plan.balance.mass, plan.balance.cg[0]
    for place, moved in ((plan.hull.transom_thickness + 25.0, -aft), (plan.design.decks.fore_from - 25.0, forward)):
        assert (mass * x + 100.0 * place) / (mass + 100.0) - x == pytest.approx(moved)


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_advice_at_the_pond_moves_no_engine_and_ticks_no_fact(name):
    kit = Kit(studio_of(name).plan)
    blocks = setup_blocks(kit)
    told = " ".join([*(line for block in blocks for line in block.lines), *(b for _, b in signs_and_remedies(kit))])
    assert "Engine an inch" not in told
    assert not [line for line in told.split(". ") if "engine" in line.lower() and "forward" in line]
    assert "1/32 in (0.8 mm)" in told
    assert "1/32 in (1.0 mm)" not in told
    for block in blocks:
        assert not set(block.to_do) & set(block.facts)
    assert not next(block.to_do for block in blocks if block.title == "Cautions")


@pytest.mark.parametrize("name", ["bramblefin", "stem"])
def test_sentences_are_short(name):
    kit = Kit(studio_of(name).plan)
    texts = [sentence for block in setup_blocks(kit) for sentence in block.lines]
    texts += [text for pair in signs_and_remedies(kit) for text in pair]
    for text in texts:
        for sentence in sentences(text):
            assert word_count(sentence) <= MOST_WORDS, sentence


def test_the_sides_of_turning_follow_the_propeller():
    plan = studio_of("bramblefin").plan
    words = words_of(Kit(plan), "Shaft and propeller")
    assert "turns clockwise" in words
    assert "swings to starboard; it turns better to port" in words
    other = replace(plan.design, drive=replace(plan.design.drive, rotation="counter-clockwise"))
    words = words_of(Kit(build(other)), "Shaft and propeller")
    assert "swings to port; it turns better to starboard" in words


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
    assert letters == list("ABCDEFGH")


def test_it_stays_one_page_where_words_run_long(monkeypatch):
    studio = studio_of("bramblefin")
    doubled = [replace(block, facts=(*block.lines, *block.facts)) for block in setup_blocks(Kit(studio.plan))]
    monkeypatch.setattr("hullcut.packet.setup_sheet.setup_blocks", lambda kit: doubled)
    assert len(page_of(studio, "letter")) == 1


def test_a_boat_that_sinks_is_not_to_be_launched():
    design = planned("bramblefin").boat_plans[0].design
    heavy = build(replace(design, engine=replace(design.engine, mass=60000.0)))
    words = page_of(Studio(heavy), "letter")[0]
    assert "Do not launch it" in words
    assert "waterline" not in words


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_what_ballast_moves_is_told_so_that_both_units_agree(name):
    kit = Kit(studio_of(name).plan)
    lines = [line for block in setup_blocks(kit) for line in block.lines if "moves A" in line]
    lines += [step.check for step in building_steps(kit.plan) if "moves it" in step.check]
    told = [pair for line in lines for pair in re.findall(r"([\d/ ]+) in \(([\d.]+) mm\)", line.partition("moves")[2])]
    told += [
        (b, a) for line in lines for a, b in re.findall(r"([\d.]+) mm \(([\d/ ]+) in\)", line.partition("moves")[2])
    ]
    assert len(told) >= 4
    for inch, metric in told:
        whole = sum(Fraction(part) for part in inch.split())
        # An inch's reading is rounded to 1/32, a millimetre's to 0.1.
        leeway = 0.06 if kit.plan.design.units == "in" else 25.4 / 64.0 + 0.06
        assert float(whole) * 25.4 == pytest.approx(float(metric), abs=leeway)


def test_what_is_ticked_at_the_pond_can_be_seen_there():
    kit = Kit(studio_of("bramblefin").plan)
    ticked = " ".join(line for block in setup_blocks(kit) for line in block.to_do)
    assert "0.5 mm" not in ticked
    assert "dummy rod" not in ticked
    assert "weigh it, see next page" in ticked
    afloat = " ".join(dict(first_float_lines(kit.plan))["At the water, engine off"])
    assert "One adult stands on a scale, one hands it over" in afloat
