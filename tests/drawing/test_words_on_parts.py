"""Words on a part: warnings that must stand there, and none that speak of what the part has not."""

from itertools import combinations

import pytest
import shapely
from sample_hulls import boat_of

from hullcut.drawing.measured_scene import is_plain
from hullcut.drawing.part_scene import part_marks, part_scene, pattern_size
from hullcut.drawing.paths import flatten
from hullcut.drawing.scene import Role, Text
from hullcut.drawing.style import line_style

SAMPLES = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


def words(part, units):
    return [item for item in part_scene(part, units).items if isinstance(item, Text)]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_shaft_slot_warns(name):
    boat = boat_of(name)
    bottom = next(part for part in boat.parts if part.family == "bottom")
    assert any(mark.kind == "slot" for mark in bottom.marks)
    told = " ".join(text.text for text in words(bottom, boat.design.units))
    assert "shaft slot: saw it only after trying the engine in place" in told


@pytest.mark.parametrize("name", SAMPLES)
def test_a_side_speaks_of_drill_marks_only_where_it_has_some(name):
    boat = boat_of(name)
    for part in boat.parts:
        drilled = any(mark.kind in ("screw", "hole") for mark in part.marks)
        told = [text.text for text in words(part, boat.design.units)]
        assert drilled or not any("drill through the marks" in text for text in told)


def test_a_bevel_that_is_told_on_a_part_is_level_or_upright_and_large_enough():
    seen = 0
    for name in SAMPLES:
        boat = boat_of(name)
        for part in boat.parts:
            for text in words(part, boat.design.units):
                if ": bevel " in text.text:
                    seen += 1
                    assert text.angle % 90.0 == 0.0
                    assert text.size >= 2.7
    assert seen > 10


def test_the_size_of_a_pattern_has_what_is_planed_off():
    boat = boat_of("bramblefin")
    bottom = next(part for part in boat.parts if part.family == "bottom")
    # As sawn it is 13 1/4 in wide; the finished boat's beam is 13 in.
    assert pattern_size(bottom, "in").replace("\N{NO-BREAK SPACE}", " ").endswith(" x 13 1/4 in (336.6 mm)")


@pytest.mark.parametrize("name", SAMPLES)
def test_every_pattern_tells_its_grain(name):
    boat = boat_of(name)
    for part in boat.parts:
        if is_plain(part):
            continue
        items = part_scene(part, boat.design.units).items
        told = [item.text for item in items if isinstance(item, Text) and item.text.startswith("grain")]
        arrows = [item for item in items if item.ref == f"{part.id} grain"]
        if part.grain == "any":
            assert (told, arrows) == (["grain: any way"], []), part.name
        else:
            # On a cleat that runs aslant the arrow may have no room for its word.
            assert told == ["grain"] or (part.family == "cleat" and told == []), part.name
            assert len(arrows) == 1, part.name


@pytest.mark.parametrize("name", SAMPLES)
def test_the_centre_line_of_the_bottom_stands_above_its_prints_and_is_the_widest_of_its_marks(name):
    bottom = next(part for part in boat_of(name).parts if part.family == "bottom")
    items = part_marks(bottom)
    last = items[-1]
    assert last.ref.endswith(" centre line")
    assert all(last.width > (item.width or line_style(item.role).width) for item in items if item.ref != last.ref)


@pytest.mark.parametrize("name", SAMPLES)
def test_dashed_lines_of_two_prints_never_lie_on_each_other(name):
    seen = 0
    for part in boat_of(name).parts:
        shapes = [item for item in part_marks(part) if item.role is Role.HIDDEN and item.stroke != "none"]
        lines = [
            shapely.union_all(
                [shapely.LineString([*run, *run[:1]] if path.closed else run) for path, run in runs_of(shape)]
            )
            for shape in shapes
        ]
        for one, other in combinations(lines, 2):
            shared = shapely.line_merge(one.intersection(other.buffer(0.25, cap_style="flat")))
            assert max((piece.length for piece in shapely.get_parts(shared)), default=0.0) < 6.0, part.id
            seen += 1
    assert seen > 10


def runs_of(shape):
    return [(path, flatten(path, 0.05)) for path in shape.paths]
