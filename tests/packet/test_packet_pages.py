"""The packet as printed: pages, bookmarks, words inside the page and clear of each other."""

import os
import re
import subprocess
import sys
from functools import cache

import pypdfium2
import pytest
from reportlab.platypus import KeepTogether, Spacer

from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Text
from hullcut.packet.document import Heading, Table, bullet, paragraph, styles, words_told
from hullcut.packet.lists import screw_count
from hullcut.packet.opening import safety_sources
from hullcut.packet.packet import packet_pdf
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.packet.words import meanings
from hullcut.stock.glues import glue
from tests.conftest import SAMPLES, made, planned
from tests.glyphs import outside, overlaps, read_pages

PAPERS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


@cache
def packet(name: str, paper: str = "letter") -> bytes:
    plan = planned(name)
    if paper == ("letter" if plan.order.units == "in" else "a4"):
        return made(name)["packet.pdf"]
    return packet_pdf(plan, plan.order.boats[0], paper, None)


@cache
def studio(name: str) -> Studio:
    return Studio(planned(name).boat_plans[0])


@cache
def pages(name: str, paper: str = "letter"):
    """Letters and boxes of every page, read once."""
    return tuple(read_pages(packet(name, paper)))


@cache
def texts(name: str, paper: str = "letter") -> tuple[str, ...]:
    return tuple(text_of(packet(name, paper)))


def text_of(data: bytes):
    document = pypdfium2.PdfDocument(data)
    try:
        return [document[k].get_textpage().get_text_bounded().replace("\r\n", "\n") for k in range(len(document))]
    finally:
        document.close()


@pytest.fixture(
    params=[("ten_lines", "letter"), ("bramblefin", "a4"), ("marshpenny", "letter"), ("tansyfoot", "letter")],
    ids="-".join,
)
def which(request):
    return request.param


def test_pages_have_their_size_their_words_and_their_number(which):
    name, paper = which
    read = pages(name, paper)
    assert 18 <= len(read) <= 40
    for page in read:
        assert (page.width, page.height) == pytest.approx(PAPERS[paper], abs=0.1)
    for number, text in enumerate(texts(name, paper), 1):
        assert f"page {number} of {len(read)}" in " ".join(text.split())
        assert len(text) > 200


def test_no_word_leaves_the_page(which):
    for page in pages(*which):
        assert not outside(page, 20.0), page.number


def test_no_words_stand_on_one_another(which):
    for page in pages(*which):
        assert not overlaps(page), page.number


def test_pages_are_not_left_empty(which):
    """Ink reaches past the upper third of every page."""
    document = pypdfium2.PdfDocument(packet(*which))
    try:
        for index in range(len(document)):
            bitmap = document[index].render(scale=0.5).to_numpy()
            height = bitmap.shape[0]
            body = bitmap[: int(height * 0.93), :, :3].min(axis=(1, 2))
            lowest = max(row for row, darkest in enumerate(body) if darkest < 200)
            assert lowest > 0.3 * height, index + 1
    finally:
        document.close()


def test_the_list_of_words_holds_what_the_packet_uses_and_nothing_else(which):
    name, paper = which
    read = texts(name, paper)
    first = next(number for number in range(len(read) - 1, -1, -1) if "What the words mean" in read[number])
    # What stands only in the list needs no meaning; a word broken at a line's end is still one.
    used = " ".join(" ".join(read[:first]).lower().split())
    listed = " ".join(" ".join(read[first:]).split())
    entries = meanings(studio(name).plan.design.hull)
    for word, meaning in entries:
        shown = f"{word} {meaning}" in listed
        assert shown == any(re.search(rf"\b{each}(s|es|d|ed|ing)?\b", used) for each in word.split(", ")), word
    assert {"hull", "deck", "keel", "tab", "thrust", "tiller", "receiver", "gauge", "abaft"} <= {w for w, _ in entries}


def test_the_words_of_a_story_are_those_of_its_paragraphs_tables_and_pictures():
    look = styles()
    scene = Scene("picture", 0.0, 0.0, 9.0, 9.0, (Text(Role.LABEL, (0.0, 0.0), "keel", 2.0),))
    cells = [[paragraph("hull & deck", look.cell), [SceneFlowable(scene), bullet("tab", look.body)], "shaft"]]
    story = [KeepTogether([Heading("Words", look.section), Table(cells)]), Spacer(0, 1)]
    assert words_told(story).split() == ["Words", "hull", "&", "deck", "keel", "tab", "shaft"]


def test_sources_stand_with_the_organiser_and_not_before_the_child(which):
    name, paper = which
    read = " ".join(" ".join(texts(name, paper)).split())
    for words in ("no source", "Figures:", "NIOSH", "CFR", "tables agree"):
        assert words not in read, words
    told = "".join("".join(text_of(made(name)["organiser.pdf"])).split())
    for heading, source in safety_sources():
        assert "".join(source.split()) in told, heading
    (boat_plan,) = planned(name).boat_plans
    assert "".join(glue(boat_plan.design.glue).source.split()) in told


def test_bookmarks_title_and_language():
    document = pypdfium2.PdfDocument(packet("ten_lines"))
    try:
        titles = [(mark.level, mark.get_title(), mark.get_dest().get_index()) for mark in document.get_toc()]
        chapters = [title for depth, title, _ in titles if depth == 0]
        assert chapters == [
            "sedgewattle",
            "How to use this packet",
            "Working safely",
            "What to buy",
            "The engine",
            "The metal parts",
            "Tools, clamps and jigs",
            "Parts list",
            "Cutting plan",
            "Glue and screws",
            "Building, step by step",
            "Sealing and painting",
            "Before you go to the water",
            "Setup sheet",
            "The first float",
            "Repairs",
            "What the words mean",
        ]
        pages = [page for _, _, page in titles]
        assert pages == sorted(pages)
        for _, title, page in titles:
            assert title.split()[0] in texts("ten_lines")[page]
        assert document.get_metadata_dict()["Title"] == "sedgewattle: build packet"
    finally:
        document.close()
    assert b"/Lang" in packet("ten_lines")


def test_every_part_is_named_with_its_count(which):
    name, paper = which
    (boat_plan,) = planned(name).boat_plans
    joined = " ".join(" ".join(texts(name, paper)).split())
    for part in boat_plan.parts:
        words = part.name.split()
        assert all(word in joined for word in words)


def test_every_step_is_there(which):
    name, paper = which
    joined = "\n".join(texts(name, paper))
    for number, step in enumerate(building_steps(studio(name).plan), 1):
        assert f"{number} {step.title}" in joined


def test_a_stamp_stands_on_every_page():
    plan = planned("ten_lines")
    stamped = text_of(packet_pdf(plan, plan.order.boats[0], "letter", "CHECK FAILED: trial", studio("ten_lines")))
    assert all("CHECK FAILED: trial" in text for text in stamped)
    assert len(stamped) == len(texts("ten_lines"))
    assert not any("CHECK FAILED" in text for text in texts("ten_lines"))


def test_a_long_stamp_stays_on_the_page():
    plan = planned("ten_lines")
    long = "CHECK FAILED: " + "; ".join(["far too long"] * 60)
    first = read_pages(packet_pdf(plan, plan.order.boats[0], "letter", long, studio("ten_lines")))[0]
    assert not outside(first, 20.0)


def test_a_packet_without_a_boat_has_lines_to_fill_in():
    plan = planned("ten_lines")
    text = text_of(packet_pdf(plan, None, "letter", None, studio("ten_lines")))[0]
    assert "Builder: ____" in text
    assert "Boat number: ____" in text


def test_each_boat_of_an_order_has_its_builder_on_the_cover_and_its_kit():
    plan = planned("lakeside_class")
    files = made("lakeside_class")
    for boat in plan.order.boats:
        read = text_of(files[f"packets/{boat.id}.pdf"])
        cover = " ".join(read[0].split())
        assert f"Builder: {boat.builder}" in cover
        assert f"Boat number: {boat.number}" in cover
        assert boat.design in cover
        whole = "\n".join(read)
        assert "Your kit" in whole
        # Cuts and sheets are the class's: they stand in its packet alone.
        assert "Cutting plan" not in whole
    last = plan.order.boats[-1]
    assert packet_pdf(plan, last, "letter", None) == files[f"packets/{last.id}.pdf"]


def test_the_class_packet_has_one_list_one_cutting_plan_and_a_label_for_each_boat():
    plan = planned("lakeside_class")
    read = text_of(made("lakeside_class")["class.pdf"])
    whole = " ".join("\n".join(read).split())
    for boat in plan.order.boats:
        assert whole.count(boat.builder) >= 2
        assert f"packets/{boat.id}.pdf" in whole
        assert f"Boat {boat.number}" in whole
    for sheet in plan.layout.sheets:
        assert f" {sheet.number}: " in whole
    assert whole.count("What to buy for all boats") == 1
    assert whole.count("Labels for the kits") == 1
    screws = sum(
        screw_count(each.parts) * sum(boat.design == each.design.name for boat in plan.order.boats)
        for each in plan.boat_plans
    )
    told = [int(count) for count in re.findall(r"for (\d+) marked holes", whole)]
    assert len(told) > 1
    assert sum(told) == screws


def test_a_boat_of_no_design_is_refused():
    plan = planned("ten_lines")
    other = planned("bramblefin").order.boats[0]
    with pytest.raises(ValueError, match="no design"):
        packet_pdf(plan, other, "letter", None)


_SCRIPT = """
import hashlib, sys
from pathlib import Path
from hullcut.pipeline import plan_file
from hullcut.packet.packet import packet_pdf
plan = plan_file(Path(sys.argv[1]))
print(hashlib.sha256(packet_pdf(plan, plan.order.boats[0], "letter", None)).hexdigest())
"""


def test_bytes_do_not_depend_on_the_order_of_hashes(tmp_path):
    import hashlib

    environment = {**os.environ, "PYTHONHASHSEED": "4711", "PYTHONPATH": str(SAMPLES.parent)}
    run = subprocess.run(
        [sys.executable, "-c", _SCRIPT, str(SAMPLES / "ten_lines.toml")],
        env=environment,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.strip() == hashlib.sha256(packet("ten_lines")).hexdigest()


def test_the_picture_of_the_patch_stands_on_the_page_of_its_words(which):
    (page,) = [text for text in texts(*which) if "patch, full size" in " ".join(text.split())]
    assert "A hole in the bend of the bottom" in " ".join(page.split())


def test_the_list_of_the_first_float_is_one_page(which):
    found = [" ".join(text.split()) for text in texts(*which)]
    (day,) = [text for text in found if "First start, outdoors only" in text]
    assert "Write down what you changed." in day


def test_a_lone_boat_without_a_builder_leaves_name_and_number_free():
    first = " ".join(texts("bramblefin")[0].split())
    assert "Boat number: ___" in first
    assert "boat 1" not in first
    plan = planned("harbour_eight")
    boat = plan.order.boats[2]
    first = " ".join(text_of(packet_pdf(plan, boat, "letter", None))[0].split())
    assert f"Boat number: {boat.number}" in first
    assert boat.builder in first
