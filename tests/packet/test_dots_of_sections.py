"""The pictures cut open: what a dot lies on is what its word names, and things stand as the steps build them."""

import numpy as np
import pytest
import shapely

from hullcut.balance.engine_room import MUFFLER_FREE
from hullcut.drawing.scene import Role, Shape
from hullcut.drawing.style import VERMILLION
from hullcut.packet.engine_astern_picture import engine_from_astern
from hullcut.packet.engine_bay_picture import engine_bay
from hullcut.packet.engine_limits_picture import engine_limits_astern, engine_limits_side
from hullcut.packet.picture_words import is_new
from hullcut.packet.section import BEYOND, METAL, WOOD
from hullcut.packet.shaft_picture import shaft_line
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.steps import after_step, building_steps
from hullcut.packet.strut_picture import propeller_on, strut_and_rudder
from hullcut.packet.studio import Studio
from tests.conftest import DESIGNS, planned
from tests.packet.scenes_of_packets import leaders_of
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


def filled(scene):
    """The filled polygons of a picture with their shapes, in the order in which they are drawn; no dots of leaders."""
    return [
        (item, shapely.Polygon([each.start for each in path.segments]))
        for item in scene.items
        if isinstance(item, Shape) and item.fill is not None and not (item.ref or "").startswith("dot ")
        for path in item.paths
        if len(path.segments) > 2
    ]


def under_dots(scene, name):
    """What lies uppermost under each dot of a name: its shape."""
    shapes = filled(scene)
    found = []
    for leader in leaders_of(scene):
        if leader.name == name:
            at = shapely.Point(leader.dot)
            found.append(next(item for item, area in reversed(shapes) if area.contains(at)))
    assert found, name
    return found


def test_tube_and_bearings_are_pointed_at_and_not_the_rod_in_them(studio):
    scene = shaft_line(studio, 180.0, 92.0)
    for name in ("tube", "bearing", "dummy rod", "disc", "block", "wedge"):
        assert all(item.ref == name for item in under_dots(scene, name)), name


def test_nothing_is_hatched_over_the_rod_that_passes_through_it(studio):
    scene = shaft_line(studio, 180.0, 92.0)
    refs = [item.ref for item in scene.items if isinstance(item, Shape)]
    assert "new" in refs
    assert "new" not in refs[refs.index("dummy rod") :]


def test_the_coupling_is_drawn_where_it_is_named_while_the_tube_is_glued(studio):
    scene = shaft_line(studio, 80.0, 60.0, measured=False)
    assert under_dots(scene, "coupling")[0].ref == "coupling"


def test_the_gap_is_pointed_at_between_the_coupling_s_halves(studio):
    scene = engine_bay(studio, 78.0, 92.0, stage="line up")
    halves = [area for item, area in filled(scene) if is_new(item)]
    assert len(halves) == 2
    (dot,) = [shapely.Point(each.dot) for each in leaders_of(scene) if each.name == "gap alike all round"]
    assert not any(half.contains(dot) for half in halves)
    between = shapely.shortest_line(*halves)
    assert between.distance(dot) < max(half.length for half in halves) / 4.0
    assert shapely.unary_union(halves).convex_hull.buffer(1.0).contains(dot)


@pytest.mark.parametrize("stage", ["mount", "shaft"])
def test_the_bearer_is_pointed_at_where_nothing_hides_it(studio, stage):
    assert under_dots(engine_bay(studio, 78.0, 92.0, stage=stage), "bearer")[0].fill == BEYOND


def test_the_strut_is_pointed_at(studio):
    assert all(is_new(item) for item in under_dots(strut_and_rudder(studio, 78.0, 104.0), "strut"))
    assert under_dots(propeller_on(studio, 78.0, 104.0), "strut")[0].fill == METAL


def test_the_bulkhead_is_pointed_at_and_no_dot_goes_without_a_word(studio):
    scene = engine_limits_side(studio, 100.0, 56.0)
    assert under_dots(scene, "bulkhead")[0].fill == WOOD
    rounds = [
        item
        for item in scene.items
        if isinstance(item, Shape) and item.fill is not None and all(len(path.segments) < 3 for path in item.paths)
    ]
    assert len(rounds) == len(leaders_of(scene))


def test_the_engine_s_room_ends_over_the_bottom(studio):
    scene = engine_limits_astern(studio, 78.0, 56.0)
    (room,) = [area for item, area in filled(scene) if is_new(item)]
    (bottom,) = [area for item, area in filled(scene) if item.fill == WOOD]
    assert room.bounds[1] > bottom.bounds[3]
    centre = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.CENTRE]
    low = min(segment.start[1] for item in centre for path in item.paths for segment in path.segments)
    assert low >= bottom.bounds[1] - 0.1


def test_the_bottom_lies_under_the_sides_and_the_chine_cleats_stand_on_it(studio):
    scene = engine_from_astern(studio, 80.0, 92.0)
    wood = [area for item, area in filled(scene) if item.fill == WOOD]
    bottom, *sides = wood[:3]
    for side in sides:
        assert side.bounds[1] == pytest.approx(bottom.bounds[3], abs=0.01)
        low = [x for x, y in shapely.get_coordinates(side) if y < side.bounds[1] + 0.01]
        assert max(abs(x - bottom.centroid.x) for x in low) == pytest.approx(
            (bottom.bounds[2] - bottom.bounds[0]) / 2.0, abs=0.6
        )
    assert under_dots(scene, "side")[0].fill == WOOD
    assert any(
        side.contains(shapely.Point(each.dot)) for side in sides for each in leaders_of(scene) if each.name == "side"
    )
    cleats = [area for area in wood[3:] if area.bounds[1] < bottom.bounds[3] + 0.01]
    assert sum(any(side.buffer(0.05).intersects(cleat) for side in sides) for cleat in cleats) == 2


def test_the_shield_is_as_much_larger_than_the_muffler_as_the_step_tells(studio):
    scene = engine_from_astern(studio, 80.0, 92.0)
    plan = studio.plan
    x = np.array([plan.arrangement.plate_x])
    (shield,) = [item for item in scene.items if isinstance(item, Shape) and item.width == 0.7]
    heights = sorted(point[1] for each in shield.paths[0].segments for point in (each.start, each.end))
    dashed = [area for item, area in filled(scene) if item.role is Role.HIDDEN]
    muffler = max(dashed, key=lambda area: area.centroid.x)
    wood = [area for item, area in filled(scene) if item.fill == WOOD]
    tall = max(area.bounds[3] for area in wood) - min(area.bounds[1] for area in wood)
    scale = tall / float((plan.hull.sheer_height(x) - plan.hull.bottom_height(x))[0])
    for off in (muffler.bounds[1] - heights[0], heights[-1] - muffler.bounds[3]):
        assert off / scale == pytest.approx(MUFFLER_FREE, abs=0.3)


def test_arrows_lie_over_the_hatching(studio):
    before, seen = [], 0
    for number, step in enumerate(building_steps(studio.plan), 1):
        if step.draw is None and not step.across and (step.parts or step.tried):
            brought = studio.owners(*step.onto, *step.back)
            items = step_picture(studio, step, brought if step.apart else [*before, *brought], 80.0, 104.0).items
            arrows = [k for k, item in enumerate(items) if isinstance(item, Shape) and item.fill == VERMILLION]
            hatched = [k for k, item in enumerate(items) if isinstance(item, Shape) and item.ref == "new"]
            if arrows and hatched:
                seen += 1
                assert min(arrows) > max(hatched), step.title
        if number > 1:
            before = after_step(studio, step, before)
    assert seen > 3
