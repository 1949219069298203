"""Templates of the samples on every kind of paper, laid together by templates.json alone, against plan.json."""

import json
import subprocess
from functools import cache
from shutil import which

import numpy as np
import pdfplumber
import pytest
import shapely

from hullcut.drawing.paper import printing_of
from hullcut.files import files_of
from hullcut.plan import plan_json
from tests.conftest import planned
from tests.reading import read_lines

TOLERANCE = 0.05
CUT_WIDTH = 0.5

# Name of the sample, paper, what a ruler read.
CASES = [
    ("bramblefin", "letter", (100.0, 100.0)),
    ("bramblefin", "roll 610 mm", (100.0, 100.0)),
    ("marshpenny", "a3", (99.2, 100.4)),
    ("ten_lines", "legal", (100.7, 99.1)),
    ("ten_lines", "300x500 mm", (100.0, 100.0)),
]


@cache
def written(name, paper, measured):
    plan = planned(name)
    return files_of("templates", plan, printing_of(paper, plan.order.units, measured), lambda _: None)


@cache
def plan_parts(name):
    return {part["id"]: part for part in plan_json(planned(name))["parts"]}


@pytest.fixture(scope="module", params=CASES, ids=str)
def printed(request, tmp_path_factory):
    name, paper, measured = request.param
    files = written(name, paper, measured)
    path = tmp_path_factory.mktemp("printed") / "templates.pdf"
    path.write_bytes(files["templates.pdf"])
    with pdfplumber.open(path) as document:
        yield name, paper, measured, path, json.loads(files["templates.json"]), document.pages


def back(matrix, points):
    """Points of a page in the part's own axes."""
    a, b, c, d, e, f = matrix
    return (np.array(points) - (e, f)) @ np.linalg.inv(np.array([[a, b], [c, d]]))


def laid_together(pages, read):
    """The cut lines of every part, from all pages, in the part's own axes."""
    found: dict[str, list] = {}
    for page, printed_page in zip(pages, read, strict=True):
        assert (float(printed_page.width), float(printed_page.height)) == pytest.approx(
            (page["width"] * 72 / 25.4, page["height"] * 72 / 25.4), abs=0.01
        )
        lines = [run for width, run in read_lines(printed_page) if abs(width - CUT_WIDTH) < 0.01]
        for piece in page["pieces"]:
            x0, y0, x1, y1 = piece["window"]
            for run in lines:
                if all(x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01 for x, y in run):
                    found.setdefault(piece["part"], []).append(shapely.LineString(back(piece["matrix"], run)))
    return {part: shapely.union_all(lines) for part, lines in found.items()}


def test_every_pattern_laid_together_is_the_part_of_the_plan(printed):
    name, _, _, _, pages, read = printed
    together = laid_together(pages["pages"], read)
    parts = plan_parts(name)
    patterns = {piece["part"] for page in pages["pages"] for piece in page["pieces"]} - {""}
    assert len(patterns) > 15
    for part in patterns:
        rings = [shapely.LinearRing(ring) for ring in (parts[part]["outline"], *parts[part]["holes"])]
        for ring in rings:
            # Every stretch of the outline is there, over the seams too.
            assert ring.difference(together[part].buffer(TOLERANCE)).length < 1e-3, part
        every = shapely.union_all(rings).buffer(TOLERANCE)
        stray = together[part].difference(every)
        assert stray.length < 1e-3, part


def test_a_page_laid_a_tenth_of_a_millimetre_off_is_seen(printed):
    name, _, _, _, pages, read = printed
    moved = json.loads(json.dumps(pages["pages"]))
    piece = next(piece for page in moved for piece in page["pieces"] if piece["part"].endswith("bottom"))
    piece["matrix"][4] += 0.1
    piece["matrix"][5] += 0.1
    ring = shapely.LinearRing(plan_parts(name)[piece["part"]]["outline"])
    assert ring.difference(laid_together(moved, read)[piece["part"]].buffer(TOLERANCE)).length > 10.0


def test_bars_measure_what_the_correction_asks(printed):
    """A printer that shrinks the page as measured makes the bars come out at 100 mm."""
    _, paper, (measured_x, measured_y), _, pages, read = printed
    first = read[0]
    runs = [run for _, run in read_lines(first) if len(run) == 2]
    lying = [abs(b[0] - a[0]) for a, b in runs if abs(b[1] - a[1]) < 1e-3]
    standing = [abs(b[1] - a[1]) for a, b in runs if abs(b[0] - a[0]) < 1e-3]
    assert any(abs(length * measured_x / 100.0 - 100.0) < 0.01 for length in lying)
    assert any(abs(length * measured_y / 100.0 - 100.0) < 0.01 for length in standing)
    for page in pages["pages"]:
        x, y = page["factors"]
        turned = page["width"] > page["height"] and not paper.startswith("roll")
        assert ((y, x) if turned else (x, y)) == pytest.approx((100 / measured_x, 100 / measured_y))


def test_no_page_is_blank(printed):
    """Each tile has some of its part's outline or words between its joining lines."""
    _, _, _, _, pages, read = printed
    for page, printed_page in zip(pages["pages"], read, strict=True):
        if page["kind"] == "tile":
            (piece,) = page["pieces"]
            x0, y0, x1, y1 = piece["window"]
            inside = [
                run
                for _, run in read_lines(printed_page)
                if all(x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01 for x, y in run)
            ]
            assert inside, page["page"]


def test_independent_programs_find_no_fault(printed):
    _, _, _, path, _, _ = printed
    if which("qpdf"):
        assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0
    if which("pdffonts"):
        listed = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True).stdout
        rows = [line.split() for line in listed.splitlines()[2:]]
        assert rows
        assert all(row[-5] == "yes" for row in rows), listed


def test_a_roll_is_one_page_as_wide_as_the_roll():
    pages = json.loads(written("bramblefin", "roll 610 mm", (100.0, 100.0))["templates.json"])["pages"]
    assert [page["kind"] for page in pages] == ["roll"]
    assert pages[0]["width"] == pytest.approx(610.0)
    assert pages[0]["height"] < 5000.0


def test_turning_paper_and_parts_needs_no_more_pages_than_either_alone():
    from hullcut.drawing.grid import Sheet, _grids, best_grid
    from hullcut.drawing.paper import paper_named
    from hullcut.drawing.part_scene import part_scene
    from hullcut.drawing.paths import Ink

    upright = Sheet(paper_named("letter"), 12.0)
    lying = Sheet(paper_named("letter").turned(), 12.0)
    for part in planned("bramblefin").boat_plans[0].parts[:6]:
        ink = Ink(part_scene(part, "in"))
        best = len(best_grid(ink, (upright, lying), 10.0).cells)
        for sheet in (upright, lying):
            for turn in (0.0, 90.0):
                assert all(best <= len(grid.cells) for grid in _grids(ink, sheet, turn, 10.0))
