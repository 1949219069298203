"""Words on the pages of tiled parts: inside the print that they name or led to it, never beyond the cut."""

from functools import cache
from itertools import combinations

import pytest
import shapely

from hullcut.drawing.measured_scene import is_plain
from hullcut.drawing.part_scene import part_caption, part_scene
from hullcut.drawing.paths import bounds, flatten, text_box
from hullcut.drawing.scene import Shape, Text
from hullcut.drawing.tiling import Template, tile
from tests.conftest import planned

SAMPLES = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


@cache
def laid(name):
    """Each piece of a part on a page, with that part."""
    boat = planned(name).boat_plans[0]
    units = boat.design.units
    parts = [part for part in boat.parts if not is_plain(part)]
    templates = [Template(part_scene(part, units), part.name, part_caption(part, units), part.id) for part in parts]
    return [(page, piece, parts[piece.template]) for page in tile(templates) for piece in page.pieces]


def on_page(piece, points):
    return shapely.Polygon([piece.to_page(point) for point in points]).buffer(0.0)


def prints_of(piece, part):
    return [
        (mark.name, on_page(piece, mark.points))
        for mark in part.marks
        if mark.kind in ("landing", "slot") and len(mark.points) > 3 and mark.points[0] == mark.points[-1]
    ]


def leaders_of(piece):
    """The name and the ends of each leader that a page shows, and all dots."""
    shapes = [item for item in piece.scene.items if isinstance(item, Shape) and " leader " in item.ref]
    lines = [(item.ref.split(" leader ")[1], flatten(item.paths[0], 0.1)) for item in shapes if item.fill is None]
    dots = [bounds(item) for item in shapes if item.fill is not None]
    return [(name, run[0], run[-1]) for name, run in lines], [((a + c) / 2, (b + d) / 2) for a, b, c, d in dots]


def texts(piece):
    return [item for item in piece.scene.items if isinstance(item, Text)]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_name_of_a_print_stands_in_it_or_is_led_to_it_on_every_page(name):
    seen = 0
    for page, piece, part in laid(name):
        prints = prints_of(piece, part)
        names = {each for each, _ in prints}
        leaders, _ = leaders_of(piece)
        for text in texts(piece):
            if text.text not in names:
                continue
            box = shapely.Polygon(text_box(text))
            own = [area for each, area in prints if each == text.text]
            led = any(
                each == text.text
                and box.distance(shapely.Point(end)) < 0.5
                and any(area.buffer(0.4).contains(shapely.Point(start)) for area in own)
                for each, start, end in leaders
            )
            assert led or any(area.buffer(0.4).covers(box) for area in own), (page.title, text.text)
            seen += 1
    assert seen > 20


@pytest.mark.parametrize("name", SAMPLES)
def test_a_leader_stands_on_the_page_of_its_words_and_has_no_loose_end_elsewhere(name):
    seen = 0
    for page, piece, _ in laid(name):
        leaders, dots = leaders_of(piece)
        boxes = [(text.text, shapely.Polygon(text_box(text))) for text in texts(piece)]
        for told, start, end in leaders:
            near = [box for text, box in boxes if text == told and box.distance(shapely.Point(end)) < 0.5]
            assert near, (page.title, told)
            assert not any(text != told and box.intersects(shapely.LineString([start, end])) for text, box in boxes)
            seen += 1
        starts = [start for _, start, _ in leaders]
        assert all(min(shapely.Point(dot).distance(shapely.Point(start)) for start in starts) < 0.1 for dot in dots)
        for (a, b), (c, d) in combinations(dots, 2):
            assert ((a - c) ** 2 + (b - d) ** 2) ** 0.5 > 1.2, page.title
    assert seen > 3


@pytest.mark.parametrize("name", SAMPLES)
def test_no_word_of_a_part_stands_beyond_its_cut(name):
    for page, piece, part in laid(name):
        outline = on_page(piece, part.outline)
        for text in texts(piece):
            assert outline.covers(shapely.Polygon(text_box(text))), (page.title, text.text)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_place_where_the_shaft_leaves_is_pointed_at(name):
    seen = 0
    for _, piece, part in laid(name):
        crosses = [piece.to_page(mark.points[0]) for mark in part.marks if mark.kind == "shaft"]
        for told, start, _ in leaders_of(piece)[0]:
            if told == "shaft leaves here":
                assert min(shapely.Point(cross).distance(shapely.Point(start)) for cross in crosses) < 1.0
                seen += 1
    assert seen == 1
