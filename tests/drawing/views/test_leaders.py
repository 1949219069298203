from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Shape, Text
from hullcut.drawing.views.leaders import cross, leaders

BOX = (0.0, 0.0, 100.0, 60.0)
places = st.lists(
    st.tuples(st.integers(0, 1000).map(lambda v: v / 10.0), st.integers(0, 600).map(lambda v: v / 10.0)),
    min_size=1,
    max_size=24,
    unique=True,
)


@settings(max_examples=60, deadline=None)
@given(places)
def test_leaders_do_not_cross_and_names_stand_clear(points):
    items = leaders([(f"part {number}", at) for number, at in enumerate(points)], BOX)
    lines = [
        (item.paths[0].segments[0].start, item.paths[0].segments[0].end)
        for item in items
        if isinstance(item, Shape) and item.ref.startswith("leader")
    ]
    assert len(lines) == len(points)
    assert {end for _, end in lines} == set(points)
    for (a, b), (c, d) in combinations(lines, 2):
        if (a[0] < 0) == (c[0] < 0):
            assert not cross(a, b, c, d)
    boxes = [shapely.Polygon(text_box(item)) for item in items if isinstance(item, Text)]
    assert not any(a.intersects(b) for a, b in combinations(boxes, 2))


def test_a_name_with_room_stands_level_with_its_place_and_a_crowd_gathers_about_its_own():
    lone = [("a", (10.0, 55.0)), ("b", (20.0, 30.0)), ("c", (30.0, 5.0))]
    crowd = [(f"{number}", (80.0 + 0.1 * number, 30.0 + number)) for number in range(3)]
    ends = {
        item.ref: (item.paths[0].segments[0].start, item.paths[0].segments[0].end)
        for item in leaders(lone + crowd, BOX)
        if isinstance(item, Shape) and item.ref.startswith("leader")
    }
    for name, (_, y) in lone:
        assert ends[f"leader {name}"][0][1] == pytest.approx(y)
    for name, (_, y) in crowd:
        assert abs(ends[f"leader {name}"][0][1] - y) < 4.0


def test_crossing_is_told():
    assert cross((0, 0), (2, 2), (0, 2), (2, 0))
    assert not cross((0, 0), (2, 0), (0, 1), (2, 1))


def test_the_boat_drawn_apart_names_its_parts_without_crossing_leaders():
    from hullcut.packet.pictures import exploded_with_names
    from tests.packet.trial_bows import bow_studio

    for bow in ("sled", "stem"):
        studio = bow_studio(bow)
        scene = exploded_with_names(studio, 180.0, 130.0)
        assert scene.width <= 181.0
        lines = [
            (item.paths[0].segments[0].start, item.paths[0].segments[0].end)
            for item in scene.items
            if isinstance(item, Shape) and item.ref.startswith("leader")
        ]
        middle = (scene.x0 + scene.x1) / 2.0
        for (a, b), (c, d) in combinations(lines, 2):
            if (a[0] < middle) == (c[0] < middle):
                assert not cross(a, b, c, d)
        boxes = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
        assert not any(a.intersects(b) for a, b in combinations(boxes, 2))
        named = {item.text.split(" × ")[0] for item in scene.items if isinstance(item, Text)}
        # What the decks and the shelf hide has no leader; all the rest has.
        afloat = {part.name.removesuffix(f", {part.hand}") for part in studio.plan.parts if part.family != "stand"}
        assert named <= afloat
        assert len(named) >= 0.8 * len(afloat)
        # A mirrored pair has one name.
        assert "Side × 2" in {item.text for item in scene.items if isinstance(item, Text)}


@pytest.mark.parametrize("angle", [(0.0, 0.0), (300.0, 10.0), (45.0, -20.0), (180.0, 90.0)])
def test_the_boat_is_drawn_from_any_angle(angle):
    from hullcut.packet.pictures import assembled
    from tests.packet.trial_bows import bow_studio

    scene = assembled(bow_studio("sled"), *angle, 120.0)
    assert max(scene.width, scene.height) <= 120.0 + 1e-6
    assert sum(isinstance(item, Shape) and item.fill is not None for item in scene.items) >= 2
