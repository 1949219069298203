"""The organiser's document: every section, numbers from the plan, plots that tell what the checks tell."""

import dataclasses
import io
import math
import re
from functools import cache
from itertools import pairwise

import pdfplumber
import pypdfium2
import pytest

from hullcut.balance.running import SLIP
from hullcut.drawing.scene import Shape, Text
from hullcut.lengths import both
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.organiser.document import ORDER_SECTIONS, SECTIONS, organiser_pdf
from hullcut.packet.organiser.fits import bent_parts, ruling_scene
from hullcut.packet.organiser.floating import righting_plot
from hullcut.packet.organiser.rows import foam_rows
from hullcut.packet.organiser.running import flag_bars, pitch_rows, running_plots
from hullcut.packet.organiser.shaft import wedge_at_full_size
from hullcut.packet.steps import building_steps
from hullcut.pipeline import build
from tests.conftest import DESIGNS, planned
from tests.glyphs import outside, overlaps, read_pages

PAPERS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


@cache
def document(name, paper="letter", watermark=None):
    return organiser_pdf(planned(name), paper, watermark)


@cache
def texts(name, paper="letter"):
    with pdfplumber.open(io.BytesIO(document(name, paper))) as file:
        return tuple(page.extract_text() for page in file.pages)


@pytest.mark.parametrize(("name", "paper"), [("bramblefin", "letter"), ("marshpenny", "a4")])
def test_pages_keep_their_words_inside_and_apart(name, paper):
    with pdfplumber.open(io.BytesIO(document(name, paper))) as file:
        assert 8 <= len(file.pages) <= 16
        for page in file.pages:
            assert (page.width, page.height) == pytest.approx(PAPERS[paper], abs=0.1)
            chars = [char for char in page.chars if char["text"].strip()]
            assert len(chars) > 200
    for page in read_pages(document(name, paper)):
        assert not overlaps(page), page.number
        assert not outside(page, 20.0), page.number


def test_every_section_has_a_bookmark_in_order():
    pdf = pypdfium2.PdfDocument(document("lakeside_class"))
    try:
        marks = [(mark.level, mark.get_title()) for mark in pdf.get_toc()]
    finally:
        pdf.close()
    sections = [title for title, *_ in SECTIONS]
    assert [title for level, title in marks if level == 1] == [*sections * 2, *(title for title, *_ in ORDER_SECTIONS)]
    assert [title for level, title in marks if level == 0] == [
        "lakeside-class: for the organiser",
        "bramblefin",
        "marshpenny",
    ]


def test_numbers_are_those_of_the_plan():
    (plan,) = planned("bramblefin").boat_plans
    told = " ".join(" ".join(texts("bramblefin")).split())
    balance = plan.balance
    for weight in balance.weights:
        assert f"{weight.name} {weight.mass:.0f} " in told, weight.name
    assert f"Together, with half a tank {balance.mass:.0f}" in told
    assert f"With an empty tank {balance.empty[0]:.0f}" in told
    assert f"GM {balance.flotation.gm:.0f} mm" in told
    assert "common practice, no source" in told
    assert "from memory: weigh yours" in told
    assert "Savitsky 1964, its equations from memory" in told
    assert "never drill it freehand" in told
    assert "Wood Handbook" in told
    assert "Every number is an estimate" in told
    for check in plan.checks:
        assert check.name.split()[0] in told


def test_the_righting_plot_begins_with_gm_and_ends_upside_down():
    (plan,) = planned("bramblefin").boat_plans
    scene = righting_plot(plan, 180.0, 70.0)
    shapes = [item for item in scene.items if isinstance(item, Shape) and item.paths]
    curve = next(item for item in shapes if item.role.value == "outline").paths[0]
    tangent = next(item for item in shapes if item.role.value == "hidden" and item.stroke == "#d55e00").paths[0]
    first, slope = curve.segments[0], tangent.segments[0]
    rise = (first.end[1] - first.start[1]) / (first.end[0] - first.start[0])
    wanted = (slope.end[1] - slope.start[1]) / (slope.end[0] - slope.start[0])
    assert rise == pytest.approx(wanted, rel=0.03)
    assert len(curve.segments) == len(plan.balance.flotation.arms) - 1
    words = [item.text for item in scene.items if isinstance(item, Text)]
    assert f"goes over {plan.balance.flotation.vanishes:.0f}°" in words


def test_the_running_plots_mark_the_speed_reached_and_the_bars_its_flags():
    (plan,) = planned("bramblefin").boat_plans
    running = plan.balance.running
    for scene in running_plots(plan, 180.0, 52.0):
        words = [item.text for item in scene.items if isinstance(item, Text)]
        assert f"{running.reached.likely:.1f} m/s" in words
    bars = {bar.name: bar.spans for bar in flag_bars(running.runs)}
    fast = [run.speed for run in running.runs if run.speed > 6.5]
    assert bars["light boat over 6.5 m/s"] == ((fast[0] - 0.25, running.runs[-1].speed),)
    low = [run.speed for run in running.runs if run.trim is not None and run.trim < 2.0]
    assert bars["trim under 2° or over 15°"][-1] == (low[0] - 0.25, running.runs[-1].speed)
    # Every flag has its bar.
    for run in running.runs:
        if run.flags:
            assert any(a <= run.speed <= b for spans in bars.values() for a, b in spans), run


def test_pitches_are_speed_over_turns_and_slip():
    (plan,) = planned("bramblefin").boat_plans
    rows = pitch_rows(plan, [7000.0, 8000.0])
    speeds = [speed for speed, _ in rows]
    assert speeds[0] <= plan.balance.running.reached.low
    assert speeds[-1] >= math.floor(plan.balance.running.reached.high)
    for speed, cells in rows:
        for rpm, pitches in zip((7000.0, 8000.0), cells, strict=True):
            for pitch, slip in zip(pitches, SLIP, strict=True):
                assert pitch * rpm / 60_000.0 * (1.0 - slip) == pytest.approx(speed)


def test_the_jigs_wedge_is_at_full_size():
    (plan,) = planned("marshpenny").boat_plans
    drawn = wedge_at_full_size(plan)
    wedge = next(item for item in drawn.items if isinstance(item, Shape) and item.role.value == "cut")
    (x0, y0), (x1, _), (_, high) = (segment.start for segment in wedge.paths[0].segments)
    assert (x0, y0) == (0.0, 0.0)
    assert (x1, high) == pytest.approx(jig_sizes(plan).wedge)
    told = " ".join(item.text for item in drawn.items if isinstance(item, Text))
    assert both(x1, plan.design.units, decimals=1) in told


def test_boats_that_sink_or_never_plane_have_their_document_too():
    order = planned("ten_lines")
    (plan,) = order.boat_plans

    def with_engine(**values):
        return build(dataclasses.replace(plan.design, engine=dataclasses.replace(plan.design.engine, **values)))

    told = []
    for boat in (
        with_engine(power=15.0),
        with_engine(mass=60000.0),
        with_engine(centre_height=1200.0),
        with_engine(mass=21000.0),
    ):
        pdf = organiser_pdf(dataclasses.replace(order, boat_plans=(boat,)), "letter", "CHECK FAILED: trial")
        with pdfplumber.open(io.BytesIO(pdf)) as file:
            pages = [page.extract_text() for page in file.pages]
        assert all("CHECK FAILED: trial" in page for page in pages)
        told.append(" ".join(" ".join(pages).split()))
    assert "does not get onto the plane" in told[0]
    assert "It sinks" in told[1]
    assert "it falls over" in told[2]
    assert "under water: it fills" in told[3]


@pytest.mark.parametrize("name", ["marshpenny", "tansyfoot"])
def test_rulings_count_their_turn_from_the_first_one(name):
    """Also on a cleat, whose chart begins with the turn that the side has there, and on a deck that hollows."""
    (plan,) = planned(name).boat_plans
    begins = []
    for part in bent_parts(plan):
        words = [item for item in ruling_scene(part, 180.0).items if isinstance(item, Text)]
        begins.append(abs(part.rulings[0].turn))
        assert words[0].text == "0°", part.name
        greatest = max(abs(each.turn - part.rulings[0].turn) for each in part.rulings)
        assert all(0 <= int(word.text.removesuffix("°")) <= round(greatest) for word in words), part.name
    assert max(begins) > 1.0


@pytest.mark.parametrize("name", DESIGNS)
def test_powers_of_units_are_raised(name):
    told = " ".join(texts(name))
    assert not re.search(r"\b[cdkm]?m[23]\b", told)
    assert "kg m²" in told
    assert "kg/m³" in told
    assert "cm²" in told


@pytest.mark.parametrize("name", DESIGNS)
def test_foam_that_is_needed_is_never_rounded_down(name):
    (plan,) = planned(name).boat_plans
    need = plan.balance.foam
    rows = dict(foam_rows(plan))
    for litres, words in (
        (need.upright, rows["Foam needed"].split(" upright")[0]),
        (need.capsized, rows["Foam needed"].split("upright, ")[1]),
        (need.fore, rows["  in the fore compartment"]),
        (need.aft, rows["  in the stern"]),
    ):
        if litres > 0.0 and not words.startswith("none"):
            told = float(words.split()[0])
            assert litres - 1e-6 <= told < litres + 0.1
            packet = [text for step in building_steps(plan) for text in step.sentences]
            if litres == need.aft and plan.design.foam.aft is None:
                assert any(f"at least {told:.1f} litres" in text for text in packet)


def test_the_bow_that_is_wetted_again_at_speed_is_told():
    told = {}
    for name in DESIGNS:
        (plan,) = planned(name).boat_plans
        top = plan.balance.running.reached.high + 1.0
        runs = [run for run in plan.balance.running.runs if run.speed <= top]
        wet = [any("sweep" in flag for flag in run.flags) for run in runs]
        again = any(now and not before for before, now in pairwise(wet))
        words = " ".join(" ".join(texts(name)).split())
        assert ("reaches the sweep of the bow again" in words) is again, name
        told[name] = again
    assert set(told.values()) == {True, False}


def test_same_plan_same_bytes():
    assert organiser_pdf(planned("bramblefin"), "letter", None) == document("bramblefin")
