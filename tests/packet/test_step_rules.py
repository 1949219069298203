"""Rules that hold for the steps of every bow: tools for what is told, order, what stands in the pictures, places."""

import itertools
import re

import numpy as np
import pytest

from hullcut.packet.joining import bonds_by_step
from hullcut.packet.metal_parts_picture import BEARING
from hullcut.packet.organiser.sessions import sessions
from hullcut.packet.pace import TOGETHER, waits
from hullcut.packet.picture_words import hatching, is_new
from hullcut.packet.places import (
    bolt_holes,
    cleat_ends,
    frame_blocks,
    tube,
    tube_bearings,
    widest,
)
from hullcut.packet.runs import in_runs
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.step import Kit
from hullcut.packet.steps import after_step, building_steps
from hullcut.stock.fasteners import screw
from hullcut.stock.woods import wood
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def told(step):
    return " ".join((*step.sentences, step.adult)).lower()


def test_tools_agree_with_what_is_told(studio):
    for step in building_steps(studio.plan):
        words, tools = told(step), set(step.tools)
        drills = re.search(r"\bdrill(?!ed)(?! you)", words.replace("never drill", "").replace("before you drill", ""))
        if drills:
            assert {"drill and bits", "safety glasses"} <= tools, step.title
        if re.search(r"\bsaws?\b", words) or tools & {"hand saw", "small saw"}:
            assert "safety glasses" in tools, step.title
        if re.search(r"\bbend\b", words):
            assert "safety glasses" in tools, step.title
        if re.search(r"\bsand\b", words) or "sanding block" in tools:
            assert "dust mask" in tools, step.title
        if step.glue:
            assert {"glue brush", "gloves", "safety glasses"} <= tools, step.title
            assert tools & {"clamps", "tape"} or "draw them tight with bolts" in words, step.title
        if re.search(r"\b(sealer|seal|sealant|paint|epoxy)\b", words):
            assert {"gloves", "safety glasses"} <= tools, step.title
        if {"sanding block", "chisel", "knife"} & tools:
            assert "safety glasses" in tools, step.title
        if re.search(r"\bclamps?\b", words):
            assert "clamps" in tools, step.title
        if re.search(r"\bwipe\b", words):
            assert "rags" in tools, step.title


def test_the_frame_is_checked_dry_then_glued_then_checked_again_in_one_evening(studio):
    steps = building_steps(studio.plan)
    titles = [step.title for step in steps]
    first = titles.index(TOGETHER[0])
    assert tuple(titles[first : first + len(TOGETHER)]) == TOGETHER
    assert [step.glue for step in steps[first : first + len(TOGETHER)]] == [False, False, False, True]
    tried = {part.id for step in steps[first : first + 3] for part in step.tried}
    assert {part.id for part in steps[first + 3].parts} <= tried
    numbers = set(range(first + 1, first + len(TOGETHER) + 1))
    assert sum(bool(numbers & {number for number, _ in session.steps}) for session in sessions(studio.plan)) == 1


def test_what_is_taken_out_is_not_drawn_until_it_is_put_back(studio):
    there: list[str] = []
    seen = {}
    for step in building_steps(studio.plan)[1:]:
        there = after_step(studio, step, there)
        seen[step.title] = {"engine-plate#0", "radio box", "shaft"} & set(there)
    assert seen["Cut the shaft slot and try the rod"] == {"engine-plate#0"}
    assert seen["Make the heat shield and place the kill switch"] == set()
    # Tried there, the box comes off again before anything is glued.
    assert seen["Fit the servo mounts and the radio box"] == set()
    assert seen["Seal the inside"] == set() == seen["Sand, seal and paint"]
    assert seen["Put the engine and the radio back"] == {"engine-plate#0", "radio box"}
    assert seen["Balance the boat"] == {"engine-plate#0", "radio box", "shaft"}


def test_bow_and_stern_stand_in_the_pictures_and_new_parts_are_hatched(studio):
    there: list[str] = []
    for step in building_steps(studio.plan)[1:]:
        if step.draw is None and not step.apart:
            kept = [owner for owner in there if not owner.startswith(step.out or ("?",))]
            scene = step_picture(studio, step, [*kept, *studio.owners(*step.onto)], 80.0, 65.0)
            words = [item.text for item in scene.items if hasattr(item, "text")]
            assert {"bow", "stern"} <= set(words), step.title
            if any(is_new(item) for item in scene.items):
                assert any(getattr(item, "ref", "") == "new" for item in scene.items), step.title
        there = after_step(studio, step, there)


def test_hatching_stays_inside_what_is_new():
    from hullcut.drawing.paths import polygon
    from hullcut.drawing.scene import Role, Shape

    ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    hole = ((3.0, 3.0), (3.0, 7.0), (7.0, 7.0), (7.0, 3.0))
    (lines,) = hatching([Shape(Role.FILL, (polygon(ring), polygon(hole)), fill="#ffd27a")])
    assert len(lines.paths) > 8
    for path in lines.paths:
        (segment,) = path.segments
        middle = (np.array(segment.start) + np.array(segment.end)) / 2.0
        assert np.all((middle > 0.0) & (middle < 10.0))
        assert not np.all((middle > 3.01) & (middle < 6.99))
    assert hatching([Shape(Role.FILL, (polygon(ring),), fill="#ffffff")]) == []


def test_places_are_those_of_the_geometry(studio):
    plan = studio.plan
    sheer, chine = cleat_ends(plan, "sheer"), cleat_ends(plan, "chine")
    # The transom, square or raked, takes up its own thickness between the sides, and a little more across a slope.
    for ends in (sheer, chine):
        assert 0.7 * plan.hull.transom_thickness <= ends.aft <= 1.4 * plan.hull.transom_thickness
    heights = frame_blocks(plan)
    if any(heights):
        x = np.array([plan.hull.head_of(plan.hull.transom)[0], plan.design.decks.fore_from])
        tops = plan.hull.sheer_height(x) + np.array(heights[:2])
        assert tops == pytest.approx([tops[0]] * 2)
    found = widest(plan)
    if found is not None:
        x, width = found
        near = np.array([x - 30.0, x, x + 30.0])
        halves = plan.hull.half_breadth(near, plan.hull.sheer_height(near))
        assert width == pytest.approx(2.0 * halves[1])
        assert halves[1] >= halves.max() - 1e-6
    low, high = (holes[0].y for holes in (bolt_holes(plan, "strut")[:1], bolt_holes(plan, "strut")[1:2]))
    assert low == pytest.approx(-high)
    rudder = bolt_holes(plan, "rudder")
    assert np.mean([hole.y for hole in rudder]) == pytest.approx(plan.design.rudder.offset, abs=0.01)
    shaft = plan.arrangement.shaft
    log = tube(plan)
    assert log.length + log.abaft_plate < shaft.length
    # The rod's middle at the transom's foot, reckoned from the propeller's end of the line.
    foot, under = plan.hull.foot_of(plan.hull.transom, 0.0)
    middle = shaft.hub_z + (foot - shaft.hub_x) * np.tan(np.radians(shaft.angle))
    assert log.below_at_stern == pytest.approx(under - middle, abs=0.01)


def test_beams_are_let_in_before_the_bottom_and_before_the_foam(studio):
    steps = building_steps(studio.plan)
    when = {part.id: number for number, step in enumerate(steps) for part in (*step.onto, *step.parts) if number}
    titles = [step.title for step in steps]
    beams = [number for name, number in when.items() if "deck-beam" in name]
    assert beams
    assert max(beams) < titles.index("Bend on the bottom") < titles.index("Pack in the foam")
    assert all(
        a < b for a, b in itertools.pairwise([titles.index("Seal the inside"), titles.index("Pack in the foam")])
    )


def test_the_stand_is_built_before_the_hull_leaves_its_board_and_holds_it_from_then_on(studio):
    steps = building_steps(studio.plan)
    titles = [step.title for step in steps]
    built, turned = titles.index("Build the stand"), titles.index("Turn the boat over and fit the knees")
    assert titles.index("Bend on the bottom") < built < turned
    for number, step in enumerate(steps):
        assert ("stand" in step.tools) == (number >= turned), step.title
    # It stays out of the pictures until the boat is balanced on it.
    stand = set(studio.owners(*studio.plan.parts)) & {owner for owner in studio.bodies if owner.startswith("stand-")}
    assert stand
    there: list[str] = []
    for step in steps[1:-1]:
        there = after_step(studio, step, there)
        assert not stand & set(there), step.title
    assert stand <= set(after_step(studio, steps[-1], there))


def test_numbers_in_a_row_are_told_as_a_run():
    assert in_runs([1, 2, 4, 5, 6, 7, 9]) == "1, 2, 4–7, 9"
    assert in_runs([3]) == "3"


def test_whoever_drills_is_told_the_bit_in_both_units(studio):
    drilled = 0
    for step in building_steps(studio.plan):
        for sentence in step.sentences:
            # Where the design tells no bolts, only the builder's own engine does.
            words = re.sub(r"never drill|before you drill|engine's bolts on the plate, and drill", "", sentence.lower())
            if re.search(r"\bdrill\b", words):
                drilled += 1
                assert re.search(r"[\d/]+ (in|mm) \([\d./]+ (in|mm)\)", sentence), sentence
    assert drilled >= 6
    gauge = screw(studio.plan.design.fasteners.gauge)
    for step, joined in zip(
        building_steps(studio.plan), bonds_by_step(studio.plan, building_steps(studio.plan)), strict=True
    ):
        words = " ".join(step.sentences)
        if "drill all screw holes" in words and any(bond.screws for bond in joined):
            assert f"{gauge.clearance.diameter:.1f} mm" in words
            for bond in joined:
                if bond.screws:
                    assert f"{gauge.pilot(wood(bond.guest.material).pilot).diameter:.1f} mm" in words


def test_whoever_must_wait_for_the_glue_is_told_so(studio):
    steps = building_steps(studio.plan)
    for step in steps:
        words = " ".join(step.sentences)
        if step.glue and re.search(r"glue is hard|glue harden\b", words):
            assert waits(step), step.title
        if not step.glue:
            assert not waits(step)
    assert waits(next(step for step in steps if step.title == "Glue the frame and check it again"))
    # The bottom's glue hardens while the stand is built; the step after that begins by waiting.
    trim = next(step for step in steps if step.title == "Trim the bottom flush")
    assert trim.sentences[0].startswith("Let the glue harden for")


def test_shaft_and_tube_are_cut_to_length_and_every_bearing_is_pressed_in(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    line = plan.balance.drive
    steps = {step.title: step for step in building_steps(plan)}
    tried, fitted = steps["Cut the shaft slot and try the rod"], steps["Fit the shaft and the propeller"]
    for step, length in ((tried, tube(plan).length), (fitted, line.rod)):
        assert {"hacksaw", "vice with soft jaws", "file", "safety glasses"} <= set(step.tools)
        assert kit.size(length) in " ".join(step.sentences)
        assert "saws" in step.adult
    # One in the strut, one in the tube's fore end, the others so far behind it.
    deep = tube_bearings(plan)
    assert len(deep) == line.bearings - 2
    assert "An adult presses a bearing into the strut" in " ".join(
        steps["Glue in the strut pad and the rudder pad"].sentences
    )
    words = " ".join(tried.sentences)
    assert "An adult presses a bearing flush into the tube's fore end" in words
    along = np.cos(np.radians(plan.arrangement.shaft.angle))
    for each, place in zip(deep, line.places[-2:0:-1], strict=True):
        inside = tube(plan).length - each - BEARING / 2.0
        assert (kit.size(inside) if inside >= 1.0 else "flush") in words
        assert 0.0 < each <= tube(plan).length
        assert each == pytest.approx(min((line.places[-1] - place) / along, tube(plan).length))


def test_the_shelf_is_fixed_only_when_the_nuts_behind_it_are_tight(studio):
    """No step before the nuts' fixes it: it is out while the inside is sealed, and back when they are tight."""
    steps = building_steps(studio.plan)
    bolted = next(number for number, step in enumerate(steps) if step.title.startswith("Bolt on the strut"))
    fixing = [
        number
        for number, step in enumerate(steps)
        if any("shelf" in text and "sealant" in text for text in step.sentences)
    ]
    assert min(fixing) >= bolted
