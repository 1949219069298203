"""The close pictures of the drive: every thing named, every figure from the geometry, no words on one another."""

from itertools import combinations

import numpy as np
import pytest
import shapely

from hullcut.balance.engine_room import MUFFLER_FREE, SHIELD_OFF, SWITCH_BELOW, engine_room
from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Line, Shape, Text
from hullcut.drawing.views.leaders import cross
from hullcut.lengths import both
from hullcut.packet.engine_astern_picture import engine_from_astern
from hullcut.packet.engine_bay_picture import engine_bay
from hullcut.packet.picture_words import is_new
from hullcut.packet.places import bolt_holes
from hullcut.packet.strut_picture import propeller_on, strut_and_rudder
from hullcut.packet.studio import Studio
from hullcut.packet.wiring_picture import FAILSAFE_TEST, wiring
from tests.conftest import DESIGNS, planned

ENGINE = {
    "engine, plainly",
    "engine plate",
    "bolt into the engine",
    "steel bracket",
    "bolts through bearer",
    "clutch, in the bore",
    "coupling",
    "collar",
    "tube",
    "shaft",
    "bearer",
    "bottom",
}
ASTERN = {
    "from astern, the boat cut across",
    "port",
    "starboard",
    "spacer",
    "engine, dashed",
    "engine plate",
    "steel bracket",
    "bolts through bearer",
    "clutch, in the bore",
    "bearer",
    "muffler",
    "heat shield",
    "side",
    "sheer cleat",
    "kill switch",
    "exhaust outlet",
}
STRUT = {
    "rudder",
    "rudder's bracket",
    "strut's bracket",
    "strut",
    "path of the propeller",
    "propeller: goes on last",
    "bracket",
    "bolt, washer, lock nut",
    "strut pad",
    "tube",
    "shaft",
    "bottom",
}


@pytest.fixture(params=DESIGNS)
def studio(request):
    return Studio(planned(request.param).boat_plans[0])


def words_of(scene):
    return [item for item in scene.items if isinstance(item, Text)]


def leaders_of(scene):
    return [
        segment
        for item in scene.items
        if isinstance(item, Shape) and item.ref.startswith("leader ")
        for path in item.paths
        for segment in path.segments
        if isinstance(segment, Line)
    ]


def assert_tidy(scene, width, height):
    assert scene.width <= width + 1.0
    assert scene.height <= height + 1e-6
    for item in scene.items:
        x0, y0, x1, y1 = bounds(item)
        assert x0 > scene.x0 - 0.5
        assert x1 < scene.x1 + 0.5
        assert y0 > scene.y0 - 0.5
        assert y1 < scene.y1 + 0.5
    for one, other in combinations(words_of(scene), 2):
        a, b = bounds(one), bounds(other)
        apart = a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]
        assert apart, (one.text, other.text)
    for one, other in combinations(leaders_of(scene), 2):
        assert not cross(one.start, one.end, other.start, other.end)


def test_all_that_stands_in_the_engine_bay_is_named(studio):
    scene = engine_bay(studio, 80.0, 92.0)
    assert {item.text for item in words_of(scene)} == ENGINE
    assert_tidy(scene, 80.0, 92.0)


def test_what_is_new_in_the_engine_bay_is_what_its_step_fits(studio):
    def fresh(scene):
        boxes = [bounds(item) for item in scene.items if is_new(item)]
        return [(0.5 * (box[0] + box[2]), 0.5 * (box[1] + box[3])) for box in boxes]

    mounting, fitting = engine_bay(studio, 80.0, 92.0), engine_bay(studio, 80.0, 92.0, stage="shaft")
    assert {item.text for item in words_of(fitting)} == ENGINE
    assert_tidy(fitting, 80.0, 92.0)
    # The plate stands ahead of shaft, collar and coupling: in no stage are both new.
    assert fresh(mounting)
    assert fresh(fitting)
    assert min(x for x, _ in fresh(mounting)) > max(x for x, _ in fresh(fitting))


def test_the_propeller_is_drawn_with_dog_and_washers_behind_the_strut(studio):
    plan, shaft = studio.plan, studio.plan.arrangement.shaft
    scene = propeller_on(studio, 78.0, 104.0)
    told = {item.text for item in words_of(scene)}
    assert told >= {"propeller", "nut", "drive dog", "washers", "strut", "shaft"}
    assert told >= {both(value, plan.design.units) for value in (-shaft.hub_x, -shaft.hub_z)}
    assert_tidy(scene, 78.0, 104.0)
    ends = {
        item.ref.removeprefix("leader "): item for item in scene.items if getattr(item, "ref", "").startswith("lead")
    }
    along = [ends[name].paths[0].segments[0].end[0] for name in ("nut", "propeller", "drive dog", "washers", "shaft")]
    assert along == sorted(along)


def test_the_gap_of_the_coupling_is_shown_while_the_rod_is_tried(studio):
    scene = engine_bay(studio, 78.0, 92.0, stage="line up")
    told = {item.text for item in words_of(scene)}
    assert told >= {"gap alike all round", "coupling", "dummy rod", "tube, in epoxy"}
    assert not told & {"shaft", "collar"}
    assert_tidy(scene, 78.0, 92.0)


def test_brackets_muffler_and_heat_shield_are_named_from_astern(studio):
    scene = engine_from_astern(studio, 80.0, 92.0)
    plan = studio.plan
    room = engine_room(plan.hull, plan.arrangement)
    told = {both(value, plan.design.units) for value in (room.between, SWITCH_BELOW, MUFFLER_FREE)}
    assert {item.text for item in words_of(scene)} == ASTERN | told
    assert_tidy(scene, 80.0, 92.0)


def test_shield_and_switch_alone_are_named_while_they_are_placed(studio):
    scene = engine_from_astern(studio, 80.0, 92.0, shielding=True)
    told = {item.text for item in words_of(scene)}
    assert told >= {
        "heat shield",
        "spacer",
        "muffler",
        "chine cleat",
        "kill switch",
        both(SWITCH_BELOW, studio.plan.design.units),
    }
    assert not told & {"steel bracket", "bearer", "engine plate"}
    assert_tidy(scene, 80.0, 92.0)


def test_the_shield_stands_along_the_side_as_far_off_as_its_spacers_are_long(studio):
    plan = studio.plan
    scene = engine_from_astern(studio, 80.0, 92.0)
    shield = [item for item in scene.items if isinstance(item, Shape) and item.width == 0.7]
    steep = max(shield, key=lambda item: bounds(item)[3] - bounds(item)[1])
    x = np.array([plan.arrangement.plate_x])
    wood = [bounds(item) for item in scene.items if isinstance(item, Shape) and item.fill == "#e4e4e4"]
    half = float(plan.hull.half_breadth(x, plan.hull.sheer_height(x))[0])
    left, right = min(box[0] for box in wood), max(box[2] for box in wood)
    scale = (right - left) / (2.0 * half)
    floor = min(box[1] for box in wood)
    for place in (steep.paths[0].segments[0].start, steep.paths[0].segments[0].end):
        z = (place[1] - floor) / scale + float(plan.hull.bottom_height(x)[0])
        wall = float(plan.hull.half_breadth(x, np.array([z]), plan.hull.side_thickness)[0])
        assert wall - (place[0] - (left + right) / 2.0) / scale == pytest.approx(
            SHIELD_OFF + plan.design.woods.cleat.thickness, abs=0.6
        )


def test_no_leader_runs_through_a_figure_or_a_name(studio):
    for scene in (engine_from_astern(studio, 80.0, 92.0), engine_bay(studio, 80.0, 92.0)):
        boxes = [shapely.box(*bounds(item)) for item in words_of(scene)]
        for item in scene.items:
            if isinstance(item, Shape) and (item.ref or "").startswith("leader"):
                segment = item.paths[0].segments[0]
                run = shapely.LineString([segment.start, segment.end])
                assert all(run.intersection(box).length < 0.3 for box in boxes), item.ref


def test_the_plate_is_drawn_as_wide_as_it_is_in_the_boat(studio):
    """The widest new shape over the boat's own breadth there, on paper and in the plan."""
    plan = studio.plan
    scene = engine_from_astern(studio, 80.0, 92.0)
    plate = next(item for item in scene.items if isinstance(item, Shape) and is_new(item))
    x = np.array([plan.arrangement.plate_x])
    heights = np.linspace(float(plan.hull.bottom_height(x)[0]), float(plan.hull.sheer_height(x)[0]), 8)
    half = float(plan.hull.half_breadth(np.full(8, x[0]), heights).max())
    wide = bounds(plate)[2] - bounds(plate)[0]
    wood = [bounds(item) for item in scene.items if isinstance(item, Shape) and item.fill == "#e4e4e4"]
    across = max(box[2] for box in wood) - min(box[0] for box in wood)
    assert wide / across == pytest.approx(plan.design.engine.plate_width / (2.0 * half), rel=0.02)


def test_the_radios_wires_and_the_failsafe_test_are_shown(studio):
    scene = wiring(studio, 80.0, 92.0)
    told = {item.text for item in words_of(scene)}
    assert told >= {"battery", "switch", "receiver", "rudder", "throttle", "kill switch", *FAILSAFE_TEST}
    assert_tidy(scene, 80.0, 92.0)


def test_strut_bolts_and_hub_stand_with_their_distances(studio):
    plan, shaft = studio.plan, studio.plan.arrangement.shaft
    scene = strut_and_rudder(studio, 80.0, 92.0)
    told = {item.text for item in words_of(scene)}
    assert told >= STRUT
    wanted = [-shaft.hub_x, -shaft.hub_z, shaft.exit_x, abs(plan.design.rudder.offset)]
    wanted += [hole.z for hole in bolt_holes(plan, "strut")]
    assert told >= {both(value, plan.design.units) for value in wanted}
    assert_tidy(scene, 80.0, 92.0)
