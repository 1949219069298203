"""Cutting plans as scenes: parts where the layout puts them, words clear of each other."""

import itertools
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from hullcut.drawing.paths import bounds, flatten, text_box
from hullcut.drawing.scene import Arc, Role, Shape, Text
from hullcut.drawing.sheet_room import spread
from hullcut.drawing.sheet_scene import Band, sheet_key, sheet_scene, sheet_title, size_words
from hullcut.drawing.style import VERMILLION
from tests.conftest import planned


def parts_of(plan):
    return {part.id: part for boat in plan.boat_plans for part in boat.parts}


def placed(part, placement):
    """A part's outline as the layout's own rule places it, by shapely."""
    shape = shapely.Polygon(part.outline, part.holes)
    if placement.mirrored:
        shape = shapely.affinity.scale(shape, -1.0, 1.0, origin=(0.0, 0.0))
    shape = shapely.affinity.rotate(shape, placement.rotation, origin=(0.0, 0.0))
    return shapely.affinity.translate(shape, placement.x, placement.y)


def test_parts_are_drawn_where_the_layout_puts_them(any_plan):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        scene = sheet_scene(sheet, parts, any_plan.order.units)
        cuts = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.CUT]
        assert len(cuts) == len(sheet.placements)
        for item, placement in zip(cuts, sheet.placements, strict=True):
            drawn = shapely.Polygon(flatten(item.paths[0], 0.01), [flatten(path, 0.01) for path in item.paths[1:]])
            wanted = placed(parts[placement.part], placement)
            assert drawn.symmetric_difference(wanted).area < 0.05 * wanted.length
            assert item.ref == f"{placement.part} {placement.boat}"


def test_cuts_and_offcuts_are_drawn(any_plan):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        scene = sheet_scene(sheet, parts, any_plan.order.units)
        saw = {item.ref for item in scene.items if isinstance(item, Shape) and item.role is Role.SAW}
        assert saw == {f"cut {cut.order}" for cut in sheet.cuts}
        offcuts = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.OFFCUT]
        assert [bounds(item) for item in offcuts] == [
            pytest.approx((o.x, o.y, o.x + o.length, o.y + o.width)) for o in sheet.offcuts
        ]


@pytest.mark.parametrize("words", [True, False])
def test_words_stand_clear_of_each_other_and_on_the_ground(any_plan, words):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        scene = sheet_scene(sheet, parts, any_plan.order.units, words=words)
        ground = shapely.box(scene.x0, scene.y0, scene.x1, scene.y1)
        boxes = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
        for i, box in enumerate(boxes):
            assert ground.covers(box)
            for other in boxes[i + 1 :]:
                assert box.intersection(other).area < 0.15 * min(box.area, other.area)


@pytest.mark.parametrize("scale", [4.0, 7.0, 11.0])
def test_names_on_parts_end_clear_of_the_edges(any_plan, scale):
    """Half a millimetre of paper before the first letter and behind the last, also where a part runs to a point."""
    parts = parts_of(any_plan)
    seen = 0
    for sheet in any_plan.layout.sheets:
        scene = sheet_scene(sheet, parts, any_plan.order.units, scale, words=False)
        areas: dict[str, list[shapely.Polygon]] = {}
        for placement in sheet.placements:
            areas.setdefault(placement.part, []).append(placed(parts[placement.part], placement))
        for text in scene.items:
            if isinstance(text, Text) and text.role is Role.LABEL and not text.text.isdigit():
                corners = np.array(text_box(text))
                along = (corners[1] - corners[0]) / np.linalg.norm(corners[1] - corners[0]) * 0.5 * scale
                box = shapely.Polygon([corners[0] - along, corners[1] + along, corners[2] + along, corners[3] - along])
                assert any(area.covers(box) for area in areas[text.ref]), (sheet.number, text.text)
                seen += 1
    assert seen > 8


def test_every_part_is_in_the_key(any_plan):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        key = sheet_key(sheet, parts)
        assert [number for number, _ in key] == list(range(1, len(sheet.placements) + 1))
        for (_, name), placement in zip(key, sheet.placements, strict=True):
            assert name.startswith(parts[placement.part].name)
        scene = sheet_scene(sheet, parts, any_plan.order.units)
        written = " ".join(item.text for item in scene.items if isinstance(item, Text))
        assert all(re.search(rf"\b{number} {re.escape(name)}", written) for number, name in key)


@pytest.mark.parametrize("scale", [None, 3.0, 12.0])
def test_every_cut_and_every_part_has_its_number_however_small_the_drawing(any_plan, scale):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        scene = sheet_scene(sheet, parts, any_plan.order.units, scale, words=False)
        texts = [item for item in scene.items if isinstance(item, Text)]
        assert sorted(int(item.text) for item in texts if item.role is Role.SAW) == [cut.order for cut in sheet.cuts]
        named = [item.text.split()[0] for item in texts if item.role is Role.LABEL]
        assert sorted(map(int, named)) == list(range(1, len(sheet.placements) + 1))


def test_every_cut_and_every_part_has_its_number_in_some_band(any_plan):
    parts = parts_of(any_plan)
    for sheet in any_plan.layout.sheets:
        torn = [0.0, 0.31 * sheet.length, 0.72 * sheet.length, sheet.length]
        bands = [Band(torn[k], torn[k + 1], k + 1, 3) for k in range(3)]
        scenes = [sheet_scene(sheet, parts, any_plan.order.units, 6.0, words=False, band=band) for band in bands]
        texts = [item for scene in scenes for item in scene.items if isinstance(item, Text)]
        assert {int(item.text) for item in texts if item.role is Role.SAW} == {cut.order for cut in sheet.cuts}
        named = {int(item.text.split()[0]) for item in texts if item.role is Role.LABEL}
        assert named == set(range(1, len(sheet.placements) + 1))
        for scene in scenes:
            assert sum("band" in item.text for item in scene.items if isinstance(item, Text)) == 1


@given(
    wanted=st.lists(st.floats(0.0, 100.0), min_size=1, max_size=30).map(sorted),
    width=st.floats(0.5, 6.0),
)
def test_numbers_that_are_spread_keep_their_order_and_stand_clear(wanted, width):
    places = spread(wanted, [width] * len(wanted), 0.0, 100.0)
    assert all(b - a >= width - 1e-6 for a, b in itertools.pairwise(places))
    if width * len(wanted) <= 100.0:
        assert places[0] >= width / 2.0 - 1e-6
        assert places[-1] <= 100.0 - width / 2.0 + 1e-6
    alone = all(b - a >= width for a, b in itertools.pairwise(wanted))
    if alone and wanted[0] >= width / 2.0 and wanted[-1] <= 100.0 - width / 2.0:
        assert places == pytest.approx(wanted)


def test_letters_grow_with_the_scale_and_nothing_else(any_plan):
    parts = parts_of(any_plan)
    sheet = any_plan.layout.sheets[0]
    small, large = (sheet_scene(sheet, parts, any_plan.order.units, scale) for scale in (2.0, 6.0))

    def cuts(scene):
        return [item.paths for item in scene.items if isinstance(item, Shape) and item.role is Role.CUT]

    assert cuts(small) == cuts(large)


def test_titles_and_sizes_lead_with_the_chosen_unit(any_plan):
    assert size_words(609.6, 304.8, "in") == "24 × 12 in (610 × 305 mm)"
    assert size_words(609.6, 304.8, "mm") == "610 × 305 mm (24 × 12 in)"
    for sheet in any_plan.layout.sheets:
        assert f" {sheet.number}: " in sheet_title(sheet, "in")


def test_rings_of_cuts_stand_beside_a_small_part_where_the_sheet_has_room():
    """On a sheet drawn as small as in the packet the plates of the servos are seen whole."""
    plan = planned("bramblefin")
    parts = parts_of(plan)
    seen = 0
    for sheet in plan.layout.sheets:
        scene = sheet_scene(sheet, parts, plan.order.units, 12.0)
        rings = [
            shapely.Point(segment.centre).buffer(segment.radius)
            for item in scene.items
            if isinstance(item, Shape) and item.ref.startswith("cut ") and item.fill == "#ffffff"
            for path in item.paths
            for segment in path.segments
            if isinstance(segment, Arc)
        ]
        assert len(rings) == len(sheet.cuts)
        discs = shapely.union_all(rings)
        for placement in sheet.placements:
            if placement.part.endswith("servo-plate"):
                area = placed(parts[placement.part], placement)
                assert shapely.intersection(area, discs).area < 0.1 * area.area
                seen += 1
    assert seen == 2


@pytest.mark.parametrize("name", ["marshpenny", "ten_lines"])
def test_leaders_to_the_rings_of_crowded_cuts_run_over_no_part_and_no_ring(name):
    """On a sheet as high as in the packet, on which many short cuts part small pieces."""
    plan = planned(name)
    parts = parts_of(plan)
    (sheet,) = [sheet for sheet in plan.layout.sheets if sheet.number == 5]
    scene = sheet_scene(sheet, parts, plan.order.units, sheet.width / 70.0, words=False)
    numbered = [item for item in scene.items if isinstance(item, Shape) and item.ref.startswith("cut ")]
    rings = {
        item.ref: shapely.Point(segment.centre).buffer(0.95 * segment.radius)
        for item in numbered
        if item.fill == "#ffffff"
        for segment in item.paths[0].segments
        if isinstance(segment, Arc)
    }
    leaders = [item for item in numbered if item.role is Role.DIMENSION and item.fill is None]
    assert len(rings) == len(sheet.cuts)
    assert len(leaders) >= 4
    areas = [placed(parts[placement.part], placement).buffer(-0.5) for placement in sheet.placements]
    for leader in leaders:
        run = shapely.LineString([segment.start for segment in leader.paths[0].segments] + [_end(leader)])
        crossed = [area for area in areas if run.intersects(area)]
        # Over the wide bottom and the sheet's waste a leader hides nothing.
        assert all(area.area > 0.1 * sheet.length * sheet.width for area in crossed), leader.ref
        assert not any(run.intersects(ring) for ref, ring in rings.items() if ref != leader.ref), leader.ref
        assert leader.stroke != VERMILLION


def _end(item):
    return item.paths[0].segments[-1].end


def test_the_figures_of_every_band_count_to_the_near_side_of_a_cut():
    """A cut that bounds blanks on one side only in a band still has the figure that it has in the other bands."""
    plan = planned("bramblefin")
    parts = parts_of(plan)
    looked_at = 0
    for sheet in plan.layout.sheets:
        thirds = [sheet.length * n / 3.0 for n in range(4)]
        bands = [Band(a, b, n, 3) for n, (a, b) in enumerate(itertools.pairwise(thirds), 1)]
        figures = set()
        for band in bands:
            scene = sheet_scene(sheet, parts, "mm", 4.0, words=False, band=band)
            ticks = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.DIMENSION]
            starts = [flatten(shape.paths[0], 0.1)[0] for shape in ticks if shape.width == 0.15]
            figures |= {round(y, 3) for x, y in starts if y > 0.0 and x < band.start}
        level = [cut for cut in sheet.cuts if cut.y0 == cut.y1 and cut.fence > 1.0]
        half = plan.layout.rules.kerf / 2.0
        for cut in level:
            looked_at += 1
            far = cut.y0 + half
            # Another blank may end there by chance; and the sheet's own edge always has its figure.
            own = {sheet.width, *(blank.y + blank.width for blank in sheet.blanks)}
            chance = any(abs(far - each) < 0.01 for each in own)
            met = not chance and any(abs(figure - far) < 0.01 for figure in figures)
            assert not met, (sheet.number, cut, sorted(figures))
    assert looked_at > 20
