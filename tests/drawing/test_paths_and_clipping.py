from math import pi

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.drawing import font
from hullcut.drawing.paths import (
    arc,
    bounds,
    circle,
    clip_items,
    flatten,
    has_ink,
    place,
    polygon,
    rectangle,
    scene_from,
    text_box,
    transform,
)
from hullcut.drawing.scene import Arc, Curve, Path, Role, Scene, Shape, Text
from hullcut.drawing.segments import arc_curves, arc_sweep

coordinate = st.floats(-100.0, 100.0)
point = st.tuples(coordinate, coordinate)
angle = st.floats(-720.0, 720.0)


@given(point, st.floats(1.0, 500.0), angle, angle, st.booleans())
@settings(max_examples=80, deadline=None)
def test_arc_as_curves_stays_on_the_circle(centre, radius, start, end, clockwise):
    curves = arc_curves(Arc(centre, radius, start, end, clockwise))
    fine = flatten(Path(curves, False), 1e-5)
    off = max(abs(((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5 - radius) for x, y in fine)
    assert off < 7.4e-7 * radius + 2e-5


def test_sweeps():
    assert arc_sweep(Arc((0, 0), 1, 0, 360)) == 360
    assert arc_sweep(Arc((0, 0), 1, 360, 0, True)) == -360
    assert arc_sweep(Arc((0, 0), 1, 350, 10)) == 20
    assert arc_sweep(Arc((0, 0), 1, 10, 350, True)) == -20
    assert arc_sweep(Arc((0, 0), 1, 10, 350)) == 340
    assert arc_sweep(Arc((0, 0), 1, 10, 10)) == 0


@given(point, point, point, point)
@settings(max_examples=80, deadline=None)
def test_bounds_of_a_curve_are_those_of_its_points(a, b, c, d):
    path = Path((Curve(a, b, c, d),), False)
    box = bounds(Shape(Role.CUT, (path,)))
    dense = shapely.MultiPoint(flatten(path, 1e-4)).bounds
    assert box == pytest.approx(dense, abs=1e-3)


@given(point, st.floats(1.0, 90.0), angle, angle, st.booleans(), st.booleans())
@settings(max_examples=80, deadline=None)
def test_transform_moves_arcs_as_it_moves_their_points(centre, radius, start, end, clockwise, mirror):
    shape = Shape(Role.CUT, (arc(centre, radius, start, end, clockwise),))
    moved = transform(shape, scale=1.5, angle_deg=33.0, mirror_x=mirror, dx=4.0, dy=-7.0)
    straight = Shape(Role.CUT, (polygon(flatten(shape.paths[0], 0.01)),))
    wanted = transform(straight, scale=1.5, angle_deg=33.0, mirror_x=mirror, dx=4.0, dy=-7.0)
    got = flatten(moved.paths[0], 0.015)
    expected = flatten(wanted.paths[0], 1.0)
    assert got[0] == pytest.approx(expected[0], abs=1e-6)
    assert got[-1] == pytest.approx(expected[-1], abs=1e-6)
    assert got[len(got) // 2] == pytest.approx(expected[len(got) // 2], abs=0.05)


def test_mirrored_text_takes_the_mirrored_place_and_reads_on():
    text = Text(Role.LABEL, (10.0, 5.0), "fore deck", 4.0, angle=20.0)
    mirrored = transform(text, mirror_x=True)
    assert mirrored.anchor == "end"
    box = sorted((round(-x, 6), round(y, 6)) for x, y in text_box(text))
    assert sorted((round(x, 6), round(y, 6)) for x, y in text_box(mirrored)) == box


def test_text_width_grows_with_size_and_fit_size_fits():
    assert font.text_width("chine", 8.0) == pytest.approx(2 * font.text_width("chine", 4.0))
    assert font.text_width("chine", 4.0, bold=True) > font.text_width("chine", 4.0)
    size = font.fit_size("a long line of text", 20.0, 6.0)
    assert font.text_width("a long line of text", size) == pytest.approx(20.0)
    assert font.fit_size("x", 20.0, 6.0) == 6.0


def test_every_fraction_of_the_workshop_is_in_the_font():
    from reportlab.pdfbase import pdfmetrics

    font.register_fonts()
    for name in (font.REGULAR, font.BOLD):
        known = pdfmetrics.getFont(name).face.charToGlyph
        assert all(ord(char) in known for char in "¼½¾⅛⅜⅝⅞⁄¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉′″×°Ø⌀←→↑↓“”·–")


@given(st.tuples(coordinate, coordinate), st.floats(2.0, 80.0))
@settings(max_examples=60, deadline=None)
def test_clipped_circle_has_the_length_that_stands_in_the_box(centre, radius):
    box = (-30.0, -40.0, 50.0, 20.0)
    shape = Shape(Role.CUT, (circle(centre, radius),))
    kept = clip_items([shape], box)
    length = sum(
        shapely.LineString([*flatten(p, 1e-4), *([flatten(p, 1e-4)[0]] if p.closed else [])]).length
        for item in kept
        for p in item.paths
    )
    ring = shapely.LinearRing(flatten(shape.paths[0], 1e-4))
    assert length == pytest.approx(ring.intersection(shapely.box(*box)).length, abs=0.02)
    scene = Scene("", -200, -200, 200, 200, (shape,))
    assert has_ink(scene, box) == bool(kept)


def test_clipped_fill_keeps_its_area_and_draws_no_false_edge():
    shape = Shape(Role.CUT, (rectangle(0, 0, 100, 50),), fill="#ffffff")
    fill, lines = clip_items([shape], (50.0, 10.0, 200.0, 40.0))
    assert fill.stroke == "none"
    assert shapely.Polygon(flatten(fill.paths[0], 0.1)).area == pytest.approx(50 * 30)
    assert lines.fill is None
    assert sum(shapely.LineString(flatten(p, 0.1)).length for p in lines.paths) == pytest.approx(30)


def test_a_box_inside_an_outline_is_blank():
    scene = scene_from("", [Shape(Role.CUT, (rectangle(0, 0, 100, 100),), fill="#eeeeee")])
    assert not has_ink(scene, (20, 20, 80, 80))
    assert has_ink(scene, (20, 20, 101, 80))
    words = scene_from("", [Text(Role.LABEL, (0.0, 0.0), "a long line of text over the box", 5.0)])
    assert has_ink(words, (30, 0, 32, 2))
    assert not has_ink(words, (30, 10, 32, 12))


def test_place_puts_the_turned_ground_at_the_corner():
    scene = Scene("", 5, 5, 25, 15, (Shape(Role.CUT, (rectangle(5, 5, 25, 15),)),))
    (item,) = place(scene, 100.0, 200.0, scale=2.0, angle_deg=90.0)
    assert bounds(item) == pytest.approx((100, 200, 120, 240))


def test_full_circle_has_its_length():
    fine = flatten(circle((3.0, 4.0), 10.0), 1e-4)
    assert shapely.LinearRing(fine).length == pytest.approx(2 * pi * 10, abs=1e-3)
