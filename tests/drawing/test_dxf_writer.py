from collections import Counter
from io import StringIO

import ezdxf
import pytest
import shapely
from ezdxf import bbox
from ezdxf.path import make_path
from trial_scenes import side_scene, swept_outline

from hullcut.drawing.dxf import ascii_text, to_dxf
from hullcut.drawing.paths import arc, circle, flatten, polyline, rectangle, scene_from, smooth_path
from hullcut.drawing.scene import Line, Path, Role, Shape


def read(text):
    document = ezdxf.read(StringIO(text))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    return document


def test_units_layers_and_order():
    document = read(to_dxf(side_scene()))
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.dxfversion == "AC1024"
    entities = [(e.dxftype(), e.dxf.layer) for e in document.modelspace()]
    assert entities == [("TEXT", "label"), ("LINE", "mark"), ("CIRCLE", "hole"), ("LWPOLYLINE", "cut")]


def test_outline_has_its_true_size_and_keeps_to_the_curve():
    document = read(to_dxf(side_scene(), tolerance_mm=0.05))
    (outline,) = document.modelspace().query("LWPOLYLINE")
    assert outline.closed
    points = swept_outline()
    box = bbox.extents([outline], fast=False)
    assert box.size.x == pytest.approx(max(p[0] for p in points) - min(p[0] for p in points), abs=0.05)
    assert box.size.y == pytest.approx(max(p[1] for p in points) - min(p[1] for p in points), abs=0.05)
    ring = shapely.LinearRing([(v.x, v.y) for v in make_path(outline).flattening(0.001)])
    assert max(ring.distance(shapely.Point(p)) for p in points) <= 0.05 + 0.01
    vertices = [v[:2] for v in outline.get_points("xy")]
    assert len(set(vertices)) == len(vertices)


@pytest.mark.parametrize("clockwise", [False, True])
def test_bulges_follow_the_arc(clockwise):
    shape = Shape(Role.CUT, (arc((5.0, 5.0), 20.0, 10.0, 310.0, clockwise),))
    (entity,) = read(to_dxf(scene_from("", [shape]))).modelspace()
    length = shapely.LineString([(v.x, v.y) for v in make_path(entity).flattening(0.001)]).length
    assert length == pytest.approx(shapely.LineString(flatten(shape.paths[0], 0.001)).length, abs=0.02)


def test_hole_of_an_outline_is_an_inner_cut_and_comes_first():
    outline = Shape(Role.CUT, (rectangle(0, 0, 50, 50), circle((20, 20), 5), rectangle(30, 30, 40, 40)))
    entities = list(read(to_dxf(scene_from("", [outline]))).modelspace())
    assert [(e.dxftype(), e.dxf.layer) for e in entities] == [
        ("CIRCLE", "inner cut"),
        ("LWPOLYLINE", "inner cut"),
        ("LWPOLYLINE", "cut"),
    ]


def test_repeated_points_are_written_once():
    path = Path((Line((0, 0), (10, 0)), Line((10, 0), (10, 0)), Line((10, 0), (0, 8)), Line((0, 8), (0, 0))), True)
    (entity,) = read(to_dxf(scene_from("", [Shape(Role.CUT, (path,))]))).modelspace()
    assert [tuple(v) for v in entity.get_points("xy")] == [(0, 0), (10, 0), (0, 8)]


def test_fills_are_not_cut():
    items = [
        Shape(Role.FILL, (rectangle(0, 0, 5, 5),), fill="#ffffff"),
        Shape(Role.CUT, (rectangle(0, 0, 9, 9),), fill="#ffffff", stroke="none"),
        Shape(Role.MARK, (polyline([(0, 0), (1, 1), (2, 0)]),)),
    ]
    assert Counter(e.dxf.layer for e in read(to_dxf(scene_from("", items))).modelspace()) == {"mark": 1}


def test_library_options_are_left_as_they_were():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    to_dxf(scene_from("", [Shape(Role.CUT, (smooth_path(swept_outline()),))]))
    assert ezdxf.options.write_fixed_meta_data_for_testing is before


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("13½ in", "13 1/2 in"),
        ("⅜ × 5⁄16", "3/8 x 5/16"),
        ("2¹⁄₁₆″", '2 1/16"'),
        ("Ø6 – 10° “fore”", 'dia 6 - 10 deg "fore"'),
        ("é 船", "e ?"),
        ("4 m²", "4 m2"),
    ],
)
def test_text_is_folded_to_ascii(text, wanted):
    assert ascii_text(text) == wanted
    assert to_dxf(side_scene()).isascii()
