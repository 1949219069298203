"""Free ground in pictures: words keep clear, stand as near as may be, and outside where asked."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.drawing.paths import line, polygon
from hullcut.drawing.scene import Role, Shape
from hullcut.packet.free_ground import Ground

BOX = (0.0, 0.0, 60.0, 40.0)
CLEAR = 0.7
DISC = [(30.0 + 8.0 * math.cos(k / 5.0), 20.0 + 8.0 * math.sin(k / 5.0)) for k in range(31)]


def filled(*rings):
    return [Shape(Role.FILL, tuple(polygon(ring) for ring in rings), fill="#ffffff")]


def box_at(place, size):
    return shapely.box(place[0], place[1], place[0] + size[0], place[1] + size[1])


corners = st.tuples(st.floats(0.0, 60.0), st.floats(0.0, 40.0))
triangles = st.lists(st.tuples(corners, corners, corners).filter(lambda t: shapely.Polygon(t).area > 1.0), max_size=6)


@settings(max_examples=60, deadline=None)
@given(triangles, corners, st.tuples(st.floats(2.0, 15.0), st.floats(2.0, 4.0)))
def test_a_word_keeps_its_distance_and_stays_in_the_box(rings, at, size):
    place = Ground(filled(*rings), BOX, CLEAR).nearest(at, size, 100.0, (), outside=False)
    if place is None:
        return
    own = box_at(place, size)
    assert shapely.box(*BOX).buffer(1e-3).contains(own)
    for ring in rings:
        # A square of the ground is a quarter of a millimetre.
        assert shapely.Polygon(ring).distance(own) > CLEAR - 0.25


def test_a_word_keeps_off_a_point_that_is_sharper_than_a_square():
    sharp = ((0.0, 0.0), (3.0, 0.0), (31.0, 1.0))
    place = Ground(filled(sharp), BOX, CLEAR).nearest((4.0, 0.0), (2.0, 2.0), 100.0, (), outside=False)
    assert shapely.Polygon(sharp).distance(box_at(place, (2.0, 2.0))) > CLEAR - 0.25


def test_the_nearest_place_is_found():
    place = Ground(filled(DISC), BOX, CLEAR).nearest((30.0, 20.0), (6.0, 3.0), 100.0, (), outside=False)
    away = box_at(place, (6.0, 3.0)).distance(shapely.Point(30.0, 20.0))
    # Off the disc by the distance kept, and by no more than a step and a square.
    assert 8.0 + CLEAR - 0.25 < away < 8.0 + CLEAR + 1.2 + 0.5


def test_a_gap_in_the_drawing_is_not_outside():
    frame = filled([(5, 5), (55, 5), (55, 8), (5, 8)], [(5, 32), (55, 32), (55, 35), (5, 35)])
    ground = Ground(frame, BOX, CLEAR)
    within = ground.nearest((30.0, 20.0), (6.0, 3.0), 100.0, (), outside=False)
    without = ground.nearest((30.0, 20.0), (6.0, 3.0), 100.0, (), outside=True)
    assert box_at(within, (6.0, 3.0)).distance(shapely.Point(30.0, 20.0)) == pytest.approx(0.0, abs=0.7)
    assert not box_at(without, (6.0, 3.0)).intersects(shapely.box(5.0, 5.0, 55.0, 35.0))


def test_what_was_placed_is_taken_and_leaders_are_not_crossed():
    ground = Ground([Shape(Role.THIN, (line((0.0, 20.0), (60.0, 20.0)),))], BOX, CLEAR)
    first = ground.nearest((30.0, 20.0), (10.0, 3.0), 100.0, (), outside=False)
    ground.take_box((*first, first[0] + 10.0, first[1] + 3.0))
    second = ground.nearest((30.0, 20.0), (10.0, 3.0), 100.0, (), outside=False)
    assert box_at(first, (10.0, 3.0)).distance(box_at(second, (10.0, 3.0))) > CLEAR - 0.25
    fence = shapely.box(0.0, 20.5, 60.0, 20.6)
    below = ground.nearest((30.0, 20.0), (10.0, 3.0), 100.0, (fence,), outside=False)
    assert below[1] + 3.0 < 20.0


def test_no_room_is_told():
    full = filled([(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)])
    assert Ground(full, BOX, CLEAR).nearest((30.0, 20.0), (6.0, 3.0), 100.0, (), outside=False) is None
    assert Ground([], BOX, CLEAR).nearest((30.0, 20.0), (70.0, 3.0), 100.0, (), outside=False) is None
    assert Ground(filled(DISC), BOX, CLEAR).nearest((30.0, 20.0), (6.0, 3.0), 5.0, (), outside=False) is None
