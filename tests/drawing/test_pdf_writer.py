from io import BytesIO

import pdfplumber
import pytest
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, SimpleDocTemplate

from hullcut.drawing import font
from hullcut.drawing.paths import circle, line, scene_from
from hullcut.drawing.pdf import SceneFlowable, draw_scene, new_canvas
from hullcut.drawing.scene import Role, Shape, Text

MM = 25.4 / 72


def bar_scene():
    items = [Shape(Role.THIN, (line((0.0, 0.0), (100.0, 0.0)),)), Text(Role.LABEL, (0.0, 3.0), "½ depth", 4.0)]
    return scene_from("bar", items, margin=0.0)


def test_picture_in_running_prose_has_the_width_asked_for():
    font.register_fonts()
    buffer = BytesIO()
    style = ParagraphStyle("plain", fontName=font.REGULAR)
    document = SimpleDocTemplate(buffer, invariant=1)
    document.build([Paragraph("before <b>and</b> after", style), SceneFlowable(bar_scene(), 50.0)])
    with pdfplumber.open(buffer) as read:
        (bar,) = read.pages[0].lines
        text = read.pages[0].extract_text()
        names = {char["fontname"].split("+")[-1] for char in read.pages[0].chars}
    assert (bar["x1"] - bar["x0"]) * MM == pytest.approx(50.0, abs=1e-3)
    assert bar["linewidth"] * MM == pytest.approx(0.25, abs=1e-3)
    assert "before and after" in text
    assert "½ depth" in text
    assert names == {font.REGULAR, font.BOLD}


def test_scene_stands_where_it_is_put_and_arcs_keep_their_size():
    buffer = BytesIO()
    canvas = new_canvas(buffer, "place", 200.0, 100.0)
    scene = scene_from("ring", [Shape(Role.HOLE, (circle((5.0, 7.0), 30.0),))], margin=0.0)
    draw_scene(canvas, scene, 20.0, 10.0, scale=0.5)
    canvas.showPage()
    canvas.save()
    with pdfplumber.open(buffer) as read:
        (ring,) = read.pages[0].curves
    assert ring["x0"] * MM == pytest.approx(20.0, abs=1e-3)
    assert ring["x1"] * MM == pytest.approx(50.0, abs=1e-3)
    assert ring["y0"] * MM == pytest.approx(10.0, abs=1e-3)
    assert ring["y1"] * MM == pytest.approx(40.0, abs=1e-3)
