"""The words on a part's full-size pattern: large enough, never on their head, at what they tell of."""

from dataclasses import replace

import pytest
import shapely

from hullcut.drawing.labels import LEGIBLE, LINES, readable
from hullcut.drawing.measured_scene import is_plain
from hullcut.drawing.part_scene import part_caption, part_scene
from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.tiling import Template, tile
from tests.conftest import planned

SAMPLES = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


def drawn(name):
    each = planned(name).boat_plans[0]
    return [(part, part_scene(part, each.design.units)) for part in each.parts], each.design.units


def texts(scene):
    return [item for item in scene.items if isinstance(item, Text)]


def on_its_head(angle):
    turned = (angle + 180.0) % 360.0 - 180.0
    return turned > 106.0 or turned < -75.0


@pytest.mark.parametrize("name", SAMPLES)
def test_captions_and_notes_stand_upright_or_turned_a_quarter_and_can_be_read(name):
    scenes, units = drawn(name)
    seen = 0
    for part, scene in scenes:
        for text in texts(scene):
            if "bevel " in text.text or "the list" in text.text or part_caption(part, units) in text.text:
                assert text.angle in (0.0, 90.0), (part.id, text.text)
                assert text.size >= LEGIBLE - 1e-9, (part.id, text.text)
                seen += 1
    assert seen > 20


@pytest.mark.parametrize("name", SAMPLES)
def test_every_part_has_its_name_on_it(name):
    scenes, _ = drawn(name)
    for part, scene in scenes:
        assert any(part.name in text.text for text in texts(scene)), part.id


@pytest.mark.parametrize("name", SAMPLES)
def test_no_words_stand_on_their_head_on_any_page(name):
    scenes, units = drawn(name)
    templates = [
        Template(scene, part.name, part_caption(part, units), part.id) for part, scene in scenes if not is_plain(part)
    ]
    turned = 0
    for page in tile(templates):
        for piece in page.pieces:
            for text in texts(piece.scene):
                assert not on_its_head(text.angle), (page.number, text.text)
                turned += text.angle == 90.0
    assert turned > 0


@pytest.mark.parametrize("name", SAMPLES)
def test_lines_that_stand_one_under_another_keep_their_order_on_every_page(name):
    scenes, units = drawn(name)
    templates = [
        Template(scene, part.name, part_caption(part, units), part.id) for part, scene in scenes if not is_plain(part)
    ]
    turned = 0
    for page in tile(templates):
        for piece in page.pieces:
            blocks = {}
            for text in texts(piece.scene):
                if text.ref.startswith(LINES):
                    blocks.setdefault(text.ref, []).append(text)
            original = texts(templates[piece.template].scene)
            for ref, lines in blocks.items():
                # Words that a joint of pages would cut may have moved by themselves.
                if len(lines) < sum(text.ref == ref for text in original):
                    continue
                order = [text.text for text in original if text.ref == ref]
                lines.sort(key=lambda text, order=order: order.index(text.text))
                down = [text.at[1] if text.angle == 0.0 else -text.at[0] for text in lines]
                assert down == sorted(down, reverse=True), (page.number, [text.text for text in lines])
                turned += lines[0].angle != original[[text.ref for text in original].index(ref)].angle
    assert turned > 0


def test_words_are_turned_so_that_all_are_read_from_one_side():
    assert readable(-89.4) == pytest.approx(90.6)
    assert readable(89.4) == pytest.approx(89.4)
    assert readable(180.0) == 0.0
    assert readable(-30.0) == -30.0


def strips_of(part):
    return [
        (mark, shapely.Polygon(mark.points).buffer(0.0))
        for mark in part.marks
        if mark.kind in ("landing", "slot") and len(mark.points) > 3 and mark.points[0] == mark.points[-1]
    ]


def leaders_of(part, scene):
    """The lines of the leaders, by the name that stands at their end."""
    found = {}
    for item in scene.items:
        if isinstance(item, Shape) and item.role is Role.THIN and " leader " in item.ref:
            segment = item.paths[0].segments[0]
            found.setdefault(item.ref.split(" leader ")[1], []).append((segment.start, segment.end))
    return found


@pytest.mark.parametrize("name", SAMPLES)
def test_names_of_prints_stand_in_their_own_print_or_have_a_leader(name):
    pointed = inside = nameless = 0
    for part, scene in drawn(name)[0]:
        strips = strips_of(part)
        named = [text for text in texts(scene) if not text.bold]
        boxes = [(text, shapely.Polygon(text_box(text))) for text in named]
        leaders = leaders_of(part, scene)
        for mark, strip in strips:
            own = [box for text, box in boxes if text.text == mark.name]
            if any(strip.buffer(0.01).covers(box) for box in own):
                inside += 1
                continue
            ends = [(a, b) for a, b in leaders.get(mark.name, ()) if strip.covers(shapely.Point(a))]
            nameless += not ends
            for start, end in ends:
                box = min(own, key=lambda box, end=end: box.distance(shapely.Point(end)))
                assert box.distance(shapely.Point(end)) < 0.01, (part.id, mark.name)
                assert not any(other.intersects(box) for _, other in strips), (part.id, mark.name)
                line = shapely.LineString([start, end])
                crossed = [text.text for text, other in boxes if other is not box and other.intersects(line)]
                assert crossed == [], (part.id, mark.name)
                pointed += 1
    assert inside > 40
    assert nameless == 0
    assert pointed > 0


def test_only_marks_that_are_there_are_drilled_through():
    said = {True: 0, False: 0}
    for name in SAMPLES:
        for part, scene in drawn(name)[0]:
            if part.family == "side":
                marked = any(mark.kind in ("screw", "hole") for mark in part.marks)
                words = " ".join(text.text for text in texts(scene))
                assert ("drill through the marks" in words) is marked, part.id
                assert "carry waterline and balance point to the outer face" in words
                said[marked] += 1
    assert all(said.values())


@pytest.mark.parametrize("name", SAMPLES)
def test_the_slot_for_the_shaft_is_told_at_the_slot(name):
    for part, scene in drawn(name)[0]:
        for mark, strip in strips_of(part):
            if mark.kind == "slot":
                words = [text for text in texts(scene) if text.text == mark.name]
                assert mark.name == "shaft slot: saw it only after trying the engine in place"
                assert min(shapely.Polygon(text_box(text)).distance(strip) for text in words) < 15.0
                break
        else:
            continue
        break
    else:
        pytest.fail("no slot")


@pytest.mark.parametrize("name", SAMPLES)
def test_bevelled_cleats_and_knees_name_their_face_on_the_pattern(name):
    for part, scene in drawn(name)[0]:
        if part.family in ("cleat", "knee") and any(edge.bevels for edge in part.edges) and not is_plain(part):
            assert "this face" in " ".join(text.text for text in texts(scene)), part.id


def test_faces_are_named_as_they_look_in_the_boat():
    import numpy as np

    ways = {"forward": (0, 1), "aft": (0, -1), "up": (2, 1), "to starboard": (1, -1), "to port": (1, 1)}
    seen = set()
    for name in SAMPLES:
        for part, _ in drawn(name)[0]:
            for mark in part.marks:
                if mark.kind != "face":
                    continue
                x, y = mark.points[0]
                a, b, c = part.panel.to_space(np.array([(x, y), (x + 1.0, y), (x, y + 1.0)]), 0.0)
                looks = np.cross(b - a, c - a)
                for words, (axis, sign) in ways.items():
                    if words in mark.name:
                        assert np.argmax(np.abs(looks)) == axis, (part.id, mark.name)
                        assert np.sign(looks[axis]) == sign, (part.id, mark.name)
                        seen.add(words)
                if part.hand and mark.name == "this face in":
                    assert looks[1] * (1.0 if part.hand == "port" else -1.0) < 0.0, part.id
                    seen.add("in")
    assert {"forward", "aft", "up", "to starboard", "in"} <= seen


def test_the_waterline_has_a_line_of_its_own_that_the_key_explains():
    from hullcut.drawing.furniture import check_items
    from hullcut.drawing.style import line_style

    for name in SAMPLES:
        lines = [
            item
            for part, scene in drawn(name)[0]
            if part.family == "side"
            for item in scene.items
            if isinstance(item, Shape) and item.ref.endswith(" waterline")
        ]
        assert lines
        assert {item.role for item in lines} == {Role.WATERLINE}
    dashes = [line_style(role).dash for role in (Role.WATERLINE, Role.HIDDEN, Role.CENTRE, Role.TRUE_LINE)]
    assert len({len(dash) for dash in dashes[:3]}) == 3
    key = check_items((10.0, 10.0, 200.0, 270.0), "a boat")
    at = {text.text: text.at[1] for text in key if isinstance(text, Text)}
    shown = [item for item in key if isinstance(item, Shape) and item.role is Role.WATERLINE]
    assert len(shown) == 1
    assert abs(shown[0].paths[0].segments[0].start[1] - at["waterline"]) < 2.0


@pytest.mark.parametrize("name", SAMPLES)
def test_no_other_words_read_on_from_the_word_grain(name):
    seen = 0
    for part, scene in drawn(name)[0]:
        for grain in (text for text in texts(scene) if text.text == "grain"):
            beside = shapely.Polygon(text_box(replace(grain, text="  grain  ", anchor="middle")))
            others = [text for text in texts(scene) if text is not grain]
            assert not any(beside.intersects(shapely.Polygon(text_box(text))) for text in others), part.id
            seen += 1
    assert seen > 5
