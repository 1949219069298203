"""A picture is made no larger than its room, and never larger than it is."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hullcut.drawing.paths import rectangle
from hullcut.drawing.scene import Role, Shape
from hullcut.packet.picture_fit import fitted

sides = st.floats(5.0, 400.0)
margins = st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 2.0))


@given(sides, sides, sides, sides, margins)
def test_a_picture_keeps_to_its_room_and_its_shape(wide, high, width, height, margin):
    items = [Shape(Role.OUTLINE, (rectangle(3.0, -4.0, 3.0 + wide, -4.0 + high),))]
    scene = fitted("box", items, width, height, margin)
    assert scene.width <= width or scene.width == pytest.approx(wide + 2.0 * margin[0])
    assert scene.width <= max(width, wide + 2.0 * margin[0])
    drawn = scene.width - 2.0 * margin[0], scene.height - 2.0 * margin[1]
    assert drawn[0] / drawn[1] == pytest.approx(wide / high)
    assert drawn[0] <= wide + 1e-6
    fits = wide + 2.0 * margin[0] <= width and high + 2.0 * margin[1] <= height
    assert (drawn[0] == pytest.approx(wide)) == fits or math.isclose(drawn[0], wide, rel_tol=1e-5)
    if not fits:
        assert scene.width <= width
        assert scene.height <= height
