"""Numbers on cutting plans can be followed: in files and on pages, of the samples and of orders of several boats."""

import re
from functools import cache

import pytest
import shapely

from hullcut.drawing.paths import flatten, text_box
from hullcut.drawing.scene import Arc, Role, Shape, Text
from hullcut.drawing.sheet_room import Room
from hullcut.drawing.sheet_scene import sheet_key, sheet_scene
from hullcut.packet.cutting import cutting_chapter
from hullcut.packet.document import frames_of, styles
from tests.conftest import DESIGNS, planned
from tests.drawing.test_sheet_scene import placed
from tests.packet.test_interrupted_view import flat

ALL = (*DESIGNS, "lakeside_class", "harbour_eight")


@cache
def in_files(name):
    """The scene of each sheet's file."""
    plan = planned(name)
    several = len(plan.order.boats) > 1
    return [
        (sheet, [sheet_scene(sheet, plan.parts, plan.order.units, several=several)]) for sheet in plan.layout.sheets
    ]


@cache
def on_pages(name):
    """Each sheet's scenes in the packet, and at which 1:n each is drawn."""
    plan = planned(name)
    pictures = [each for each in flat(cutting_chapter(plan, frames_of("letter"), styles())) if hasattr(each, "scene")]
    found = {}
    for each in pictures:
        number = int(re.search(r" (\d+):", each.scene.title)[1])
        found.setdefault(number, []).append(each)
    assert len(found) == len(plan.layout.sheets)
    return [(sheet, found[sheet.number]) for sheet in plan.layout.sheets]


def scenes_of(name, where):
    if where == "files":
        return in_files(name)
    return [(sheet, [each.scene for each in pictures]) for sheet, pictures in on_pages(name)]


def rings_of(scene):
    """Each ring and what it stands for."""
    return [
        (item.ref, shapely.Point(item.paths[0].segments[0].centre).buffer(item.paths[0].segments[0].radius))
        for item in scene.items
        if isinstance(item, Shape) and item.fill == "#ffffff" and isinstance(item.paths[0].segments[0], Arc)
    ]


def leaders_of(scene):
    """Each leader from its dot on, and what it stands for."""
    return [
        (item.ref, shapely.LineString(flatten(item.paths[0], 0.1)))
        for item in scene.items
        if isinstance(item, Shape)
        and item.role is Role.DIMENSION
        and item.ref
        and item.fill is None
        and not isinstance(item.paths[0].segments[0], Arc)
    ]


def inked(text):
    """What letters cover, less than their box by the room above capitals and below the line."""
    corners = shapely.Polygon(text_box(text))
    return corners.buffer(-0.12 * text.size)


@pytest.mark.parametrize("where", ["files", "pages"])
@pytest.mark.parametrize("name", ALL)
def test_no_leader_meets_another_or_a_number_that_is_not_its_own(name, where):
    for sheet, scenes in scenes_of(name, where):
        for scene in scenes:
            leaders, rings = leaders_of(scene), rings_of(scene)
            words = [text for text in scene.items if isinstance(text, Text) and text.role is not Role.SAW]
            for index, (ref, leader) in enumerate(leaders):
                told = (name, sheet.number, ref)
                assert not [other for other, run in leaders[index + 1 :] if leader.intersects(run)], told
                assert not [other for other, ring in rings if other != ref and leader.intersects(ring)], told
                # A part's own number stands at the end of its leader.
                end = shapely.Point(leader.coords[-1])
                struck = [text for text in words if leader.intersects(inked(text))]
                struck = [text for text in struck if text.ref != ref or inked(text).distance(end) > 0.5 * text.size]
                assert not struck, told


@pytest.mark.parametrize("where", ["files", "pages"])
@pytest.mark.parametrize("name", ALL)
def test_no_ring_covers_another_or_a_word_or_much_of_a_small_part(name, where):
    plan = planned(name)
    for sheet, scenes in scenes_of(name, where):
        areas = [placed(plan.parts[placement.part], placement) for placement in sheet.placements]
        for scene in scenes:
            rings = rings_of(scene)
            words = [text for text in scene.items if isinstance(text, Text) and text.role is not Role.SAW]
            for index, (ref, ring) in enumerate(rings):
                told = (name, sheet.number, ref)
                assert not [other for other, disc in rings[index + 1 :] if ring.intersects(disc.buffer(-0.01))], told
                assert not [text for text in words if ring.intersects(inked(text))], told
                for area in areas:
                    assert area.intersection(ring).area < 0.12 * area.area, told


@pytest.mark.parametrize("where", ["files", "pages"])
@pytest.mark.parametrize("name", ALL)
def test_a_number_or_the_dot_of_its_leader_is_on_its_own_part(name, where):
    plan = planned(name)
    for sheet, scenes in scenes_of(name, where):
        areas = {
            number: placed(plan.parts[each.part], each).buffer(0.1) for number, each in enumerate(sheet.placements, 1)
        }
        for scene in scenes:
            leaders = leaders_of(scene)
            # The key under a whole sheet is no number on it.
            on_sheet = [text for text in scene.items if isinstance(text, Text) and text.role is Role.LABEL and text.ref]
            for text in on_sheet:
                area = areas[int(text.text.split()[0])]
                if area.contains(inked(text).centroid):
                    continue
                near = [run for ref, run in leaders if ref == text.ref]
                run = min(near, key=lambda run: inked(text).distance(shapely.Point(run.coords[-1])))
                assert area.contains(shapely.Point(run.coords[0])), (name, sheet.number, text.text)


def test_every_file_of_a_sheet_of_an_order_names_its_boats():
    plan = planned("harbour_eight")
    lone = 0
    for sheet, (scene,) in in_files("harbour_eight"):
        boats = {placement.boat for placement in sheet.placements if placement.boat}
        lone += len(boats) == 1
        written = " ".join(item.text for item in scene.items if isinstance(item, Text))
        assert all(f"({boat})" in written for boat in boats), sheet.number
        assert all(
            f"({each.boat})" in told
            for (_, told), each in zip(sheet_key(sheet, plan.parts, True), sheet.placements, strict=True)
            if each.boat
        )
    assert lone >= 2


def shown_of(sheet, scene):
    """From where to where along the board a band shows it."""
    (stock,) = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.STOCK]
    xs = [x for path in stock.paths for x, _ in flatten(path, 0.1)]
    return min(xs), max(xs)


@pytest.mark.parametrize("name", DESIGNS)
def test_a_cut_along_the_board_has_its_figure_in_every_band(name):
    plan = planned(name)
    half, seen = plan.layout.rules.kerf / 2.0, 0
    for sheet, scenes in scenes_of(name, "pages"):
        if not any(item.ref == "torn edge" for scene in scenes for item in scene.items) or len(scenes) == 1:
            continue
        for scene in scenes:
            start, stop = shown_of(sheet, scene)
            ticks = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.DIMENSION]
            firsts = [flatten(item.paths[0], 0.1)[0] for item in ticks if item.width == 0.15 and not item.ref]
            figures = [y for x, y in firsts if x < start]
            for cut in sheet.cuts:
                runs = min(cut.x0, cut.x1) < stop - 1.0 and max(cut.x0, cut.x1) > start + 1.0
                if cut.y0 == cut.y1 and runs and cut.fence > 1.0:
                    seen += 1
                    # Figures that read alike stand once, so that the tick may be that of a neighbour.
                    assert min(abs(y - (cut.y0 - half)) for y in figures) < 1.6, (sheet.number, cut.order)
    assert seen >= 4 or name == "ten_lines"


@pytest.mark.parametrize("name", ALL)
def test_a_cut_across_has_number_and_figure_in_one_band_and_no_ring_on_a_zigzag(name):
    seen = 0
    for sheet, scenes in scenes_of(name, "pages"):
        if len(scenes) == 1:
            continue
        for scene in scenes:
            torn = [
                shapely.LineString(flatten(item.paths[0], 0.1))
                for item in scene.items
                if isinstance(item, Shape) and item.ref == "torn edge"
            ]
            start, stop = shown_of(sheet, scene)
            across = {f"cut {cut.order}": cut.x0 for cut in sheet.cuts if cut.x0 == cut.x1}
            level = [x for x, y in _figures_below(scene) if y < 0.0]
            for ref, ring in rings_of(scene):
                if ref in across:
                    seen += 1
                    assert not any(
                        ring.buffer(-0.3 * ring.bounds[2] + 0.3 * ring.bounds[0]).intersects(edge) for edge in torn
                    )
                    assert start <= across[ref] <= stop
                    assert any(abs(across[ref] - x) < 3.0 for x in level), (name, sheet.number, ref)
    assert seen >= 10


def _figures_below(scene):
    """Where the ticks under the board begin."""
    ticks = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.DIMENSION]
    return [flatten(item.paths[0], 0.1)[0] for item in ticks if item.width == 0.15 and not item.ref]


@pytest.mark.parametrize("name", ALL)
def test_words_on_an_offcut_stand_clear_of_the_zigzag(name):
    for sheet, pictures in on_pages(name):
        for picture in pictures:
            scene = picture.scene
            torn = [item for item in scene.items if isinstance(item, Shape) and item.ref == "torn edge"]
            edges = [shapely.LineString(flatten(item.paths[0], 0.1)) for item in torn]
            for text in scene.items:
                if isinstance(text, Text) and text.role is Role.OFFCUT:
                    box = shapely.Polygon(text_box(text))
                    assert all(box.distance(edge) > 0.5 / picture.scale for edge in edges), (name, sheet.number)


@pytest.mark.parametrize("name", DESIGNS)
def test_a_bearers_name_keeps_clear_of_its_slanting_edge(name):
    plan = planned(name)
    seen = 0
    for sheet, pictures in on_pages(name):
        for picture in pictures:
            for text in picture.scene.items:
                if isinstance(text, Text) and text.role is Role.LABEL and "bearer" in text.text and text.ref:
                    area = next(
                        placed(plan.parts[each.part], each)
                        for number, each in enumerate(sheet.placements, 1)
                        if number == int(text.text.split()[0])
                    )
                    box = shapely.Polygon(text_box(text))
                    assert area.boundary.distance(box) > 0.3 / picture.scale, (name, text.text)
                    seen += 1
    assert seen == 2


def test_a_way_is_clear_only_where_it_meets_neither_box_nor_leader():
    room = Room()
    room.take((2.0, 2.0, 4.0, 4.0))
    room.take_leader((0.0, 10.0), (10.0, 10.0))
    assert room.clear((0.0, 0.0), (10.0, 1.0))
    assert not room.clear((0.0, 0.0), (5.0, 5.0))
    assert not room.clear((3.0, 3.0), (3.2, 3.1))
    # Past the corner.
    assert room.clear((0.0, 3.0), (3.0, 6.1))
    assert not room.clear((5.0, 9.0), (5.0, 11.0))
    assert not room.clear((8.0, 10.0), (12.0, 10.0))
    assert room.clear((11.0, 10.0), (12.0, 10.0))
    assert room.free((5.0, 5.0, 6.0, 6.0))
    assert not room.free((4.0, 4.0, 5.0, 5.0))
    assert not room.free((5.0, 9.0, 6.0, 11.0))
