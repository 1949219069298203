"""The close pictures of the drive: every thing named, every figure from the geometry, no words on one another."""

from itertools import combinations

import pytest

from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Line, Shape, Text
from hullcut.drawing.views.leaders import cross
from hullcut.lengths import both
from hullcut.packet.drive_pictures import engine_bay, strut_and_rudder
from hullcut.packet.places import bolt_holes
from hullcut.packet.studio import Studio
from tests.conftest import DESIGNS, planned

ENGINE = {
    "engine: a plain box here",
    "engine plate",
    "bolt, washer, lock nut",
    "steel bracket",
    "bolt through bearer",
    "clutch, in the bore",
    "coupling",
    "collar and washer",
    "tube",
    "shaft",
    "bearer",
    "bottom",
}
STRUT = {
    "rudder",
    "rudder's bracket",
    "strut's bracket",
    "strut",
    "path of the propeller",
    "propeller",
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


def test_strut_bolts_and_hub_stand_with_their_distances(studio):
    plan, shaft = studio.plan, studio.plan.arrangement.shaft
    scene = strut_and_rudder(studio, 80.0, 92.0)
    told = {item.text for item in words_of(scene)}
    assert told >= STRUT
    wanted = [-shaft.hub_x, -shaft.hub_z, shaft.exit_x, abs(plan.design.rudder.offset)]
    wanted += [hole.z for hole in bolt_holes(plan, "strut")]
    assert told >= {both(value, plan.design.units) for value in wanted}
    assert_tidy(scene, 80.0, 92.0)
