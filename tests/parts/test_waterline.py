"""The waterline marked on the sides is where the boat floats."""

import numpy as np
import pytest
from trial_boats import NAMES, built, by_slug


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("hand", ["port", "starboard"])
def test_the_mark_on_the_outside_lies_in_the_waters_plane(name, hand):
    boat = built(name)
    part, lies = by_slug(boat.parts)[f"side-{hand}"], boat.balance.flotation
    marks = [mark for mark in part.marks if mark.kind == "waterline"]
    assert len(marks) == 1
    assert marks[0].face == "outer"
    space = part.panel.to_space(np.array(marks[0].points), part.thickness / 2.0)
    assert space[:, 2] == pytest.approx(lies.line[0] + lies.line[1] * space[:, 0], abs=0.02)
    assert np.sign(space[:, 1]).tolist() == [1.0 if hand == "port" else -1.0] * len(space)
    # From the transom to where the water meets the bottom, or near it: the side ends above the bottom's lap.
    assert space[:, 0].min() < 15.0
    assert lies.meets - 60.0 < space[:, 0].max() < lies.meets + 5.0


def test_only_the_sides_bear_it():
    for part in built("bramblefin").parts:
        assert (part.family == "side") == any(mark.kind == "waterline" for mark in part.marks)
