"""The packet as printed: pages, bookmarks, words inside the page and clear of each other."""

import io
import os
import subprocess
import sys
from functools import cache

import pdfplumber
import pypdfium2
import pytest

from hullcut.packet.packet import packet_pdf, packets
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from tests.conftest import SAMPLES, planned

PAPERS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


@cache
def packet(name: str, paper: str = "letter", watermark: str | None = None) -> bytes:
    plan = planned(name)
    return packet_pdf(plan, plan.order.boats[0], paper, watermark)


@cache
def texts(name: str, paper: str = "letter") -> tuple[str, ...]:
    with pdfplumber.open(io.BytesIO(packet(name, paper))) as file:
        return tuple(page.extract_text() for page in file.pages)


@pytest.fixture(params=[("ten_lines", "letter"), ("bramblefin", "a4"), ("marshpenny", "letter")], ids="-".join)
def which(request):
    return request.param


def test_pages_have_their_size_their_words_and_their_number(which):
    name, paper = which
    with pdfplumber.open(io.BytesIO(packet(name, paper))) as file:
        assert 18 <= len(file.pages) <= 36
        for page in file.pages:
            assert (page.width, page.height) == pytest.approx(PAPERS[paper], abs=0.1)
    for number, text in enumerate(texts(name, paper), 1):
        assert f"page {number} of {len(texts(name, paper))}" in text
        assert len(text) > 200


def test_no_word_leaves_the_page(which):
    with pdfplumber.open(io.BytesIO(packet(*which))) as file:
        for page in file.pages:
            for char in page.chars:
                assert char["x0"] >= 20.0
                assert char["x1"] <= page.width - 20.0
                assert char["top"] >= 10.0
                assert char["bottom"] <= page.height - 10.0


def test_no_words_stand_on_one_another(which):
    """Letters of two lines may share a little of their boxes, but not their middles."""
    with pdfplumber.open(io.BytesIO(packet(*which))) as file:
        for page in file.pages:
            cells: dict[tuple[int, int], list] = {}
            for char in page.chars:
                if char["text"].strip():
                    cells.setdefault((int(char["x0"] // 12), int(char["top"] // 12)), []).append(char)
            for (column, row), here in cells.items():
                near = [c for dx in (-1, 0, 1) for dy in (-1, 0, 1) for c in cells.get((column + dx, row + dy), ())]
                for a in here:
                    for b in near:
                        if a is not b:
                            assert not on_one_another(a, b), (page.page_number, a["text"], b["text"], a["x0"], a["top"])


def on_one_another(a, b):
    width = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
    height = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
    least_width = min(a["x1"] - a["x0"], b["x1"] - b["x0"])
    least_height = min(a["bottom"] - a["top"], b["bottom"] - b["top"])
    return width > 0.4 * least_width and height > 0.4 * least_height


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
            "Tools, clamps and jigs",
            "Parts list",
            "Cutting plan",
            "Glue and screws",
            "Building, step by step",
            "Sealing and painting",
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
    (boat_plan,) = planned(name).boat_plans
    joined = "\n".join(texts(name, paper))
    for number, step in enumerate(building_steps(Studio(boat_plan)), 1):
        assert f"{number} {step.title}" in joined


def test_a_stamp_stands_on_every_page():
    with pdfplumber.open(io.BytesIO(packet("ten_lines", "letter", "CHECK FAILED: trial"))) as file:
        assert all("CHECK FAILED: trial" in page.extract_text() for page in file.pages)
        assert len(file.pages) == len(texts("ten_lines"))
    assert not any("CHECK FAILED" in text for text in texts("ten_lines"))


def test_a_long_stamp_stays_on_the_page():
    with pdfplumber.open(
        io.BytesIO(packet("ten_lines", "letter", "CHECK FAILED: " + "; ".join(["far too long"] * 60)))
    ) as f:
        page = f.pages[0]
        assert all(char["x0"] >= 20 and char["x1"] <= page.width - 20 for char in page.chars)


def test_a_packet_without_a_boat_has_lines_to_fill_in():
    plan = planned("ten_lines")
    with pdfplumber.open(io.BytesIO(packet_pdf(plan, None, "letter", None))) as file:
        text = file.pages[0].extract_text()
    assert "Builder: ____" in text
    assert "Boat number: ____" in text


def test_each_boat_of_an_order_has_its_builder_on_the_cover():
    plan = planned("lakeside_class")
    made = packets(plan, "letter", None)
    assert list(made) == [boat.id for boat in plan.order.boats]
    for boat in plan.order.boats:
        with pdfplumber.open(io.BytesIO(made[boat.id])) as file:
            cover = file.pages[0].extract_text()
        assert f"Builder: {boat.builder}" in cover
        assert f"Boat number: {boat.number}" in cover
        assert boat.design in cover
    last = plan.order.boats[-1]
    assert made[last.id] == packet_pdf(plan, last, "letter", None)


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
