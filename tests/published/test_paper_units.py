"""Paper sizes and the units of SVG and PDF, measured in written files.

ISO 216: A4 210 x 297, A3 297 x 420 mm (as given on pages that quote the standard). ANSI/ASME Y14.1: A 8.5 x 11,
B 11 x 17 in (Wikipedia, "ANSI/ASME Y14.1"). CSS Values and Units Level 3: 1 in = 96 px = 25.4 mm = 72 pt. PDF's
default unit is 1/72 in (ISO 32000-1, 8.3.2.1). Legal paper, 8.5 x 14 in: common practice, no source.
"""

from io import BytesIO, StringIO

import pdfplumber
import pytest
import svgelements

from hullcut.drawing.paper import PAPERS
from hullcut.drawing.paths import line, rectangle, scene_from
from hullcut.drawing.pdf import one_page
from hullcut.drawing.scene import Role, Shape
from hullcut.drawing.svg import to_svg
from hullcut.drawing.tiling import Template, templates_pdf

SIZES_MM = {
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "letter": (215.9, 279.4),
    "tabloid": (279.4, 431.8),
    "legal": (215.9, 355.6),
}


def bar_scene():
    return scene_from("bar", [Shape(Role.THIN, (line((0.0, 0.0), (100.0, 0.0)),))])


def test_sizes_of_paper():
    assert PAPERS.keys() == SIZES_MM.keys()
    for name, paper in PAPERS.items():
        assert (paper.width, paper.height) == pytest.approx(SIZES_MM[name], abs=1e-9)


@pytest.mark.parametrize(("name", "points"), [("letter", (612.0, 792.0)), ("a4", (595.2756, 841.8898))])
def test_pages_have_the_size_of_the_paper_in_points(name, points):
    scene = scene_from("knee", [Shape(Role.CUT, (rectangle(0, 0, 60, 40),))])
    with pdfplumber.open(BytesIO(templates_pdf([Template(scene, "Knee")], name))) as document:
        page = document.pages[0]
        assert (page.width, page.height) == pytest.approx(points, abs=1e-3)


def test_100_mm_are_377_95276_pixels_in_svg():
    drawing = svgelements.SVG.parse(StringIO(to_svg(bar_scene())), ppi=96)
    (box,) = [e.bbox(with_stroke=False) for e in drawing.elements() if isinstance(e, svgelements.Path)]
    # The reader takes a millimetre as 0.0393701 in, which is 5e-7 too much.
    assert box[2] - box[0] == pytest.approx(377.95276, rel=1e-6)


def test_100_mm_are_283_46457_points_in_pdf():
    with pdfplumber.open(BytesIO(one_page([bar_scene()]))) as document:
        (bar,) = document.pages[0].lines
    assert bar["x1"] - bar["x0"] == pytest.approx(283.46457, abs=1e-4)
