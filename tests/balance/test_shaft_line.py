"""The shaft line's plane geometry."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trial_boats import changed, sample

from hullcut.balance.shaft import shaft_line


def with_bottom(design, thickness):
    woods = dataclasses.replace(design.woods, bottom=dataclasses.replace(design.woods.bottom, thickness=thickness))
    return dataclasses.replace(design, woods=woods)


@given(
    plate=st.floats(250.0, 700.0),
    diameter=st.floats(30.0, 90.0),
    behind=st.floats(40.0, 140.0),
    output=st.floats(15.0, 60.0),
    tube=st.floats(5.0, 14.0),
    thickness=st.floats(2.0, 10.0),
)
@settings(max_examples=50, deadline=None, derandomize=True)
def test_the_line_runs_from_output_to_hub_and_leaves_through_its_slot(plate, diameter, behind, output, tube, thickness):
    design = with_bottom(
        changed(
            sample("bramblefin"),
            drive={"propeller_diameter": diameter, "propeller_behind": behind, "tube_diameter": tube},
            engine={"output_height": output},
        ),
        thickness,
    )
    shaft = shaft_line(design, plate)
    # The hub lies a propeller radius below the bottom's plane, so that the upper tip comes up to it.
    assert (shaft.hub_x, shaft.hub_z) == (-behind, -diameter / 2.0)
    assert (shaft.output_x, shaft.output_z) == (plate, output)
    assert shaft.length**2 == pytest.approx((plate + behind) ** 2 + (output + diameter / 2.0) ** 2)
    angle = np.radians(shaft.angle)
    direction = np.array([np.cos(angle), np.sin(angle)])
    assert np.array([shaft.hub_x, shaft.hub_z]) + shaft.length * direction == pytest.approx(np.array([plate, output]))
    # It passes the bottom's outer face at exit_x.
    assert shaft.hub_z + (shaft.exit_x - shaft.hub_x) * np.tan(angle) == pytest.approx(0.0, abs=1e-9)
    # The slot: d / sin a where a slanting tube meets a plane, and t / tan a that it moves forward through the wood.
    assert shaft.slot_to - shaft.slot_from == pytest.approx(tube / np.sin(angle) + thickness / np.tan(angle))
    # Both ends touch the tube: the after one below at the outer face, the fore one above at the inner face.
    square = np.array([-np.sin(angle), np.cos(angle)])
    hub = np.array([shaft.hub_x, shaft.hub_z])
    after = (np.array([shaft.slot_from, 0.0]) - hub) @ square
    fore = (np.array([shaft.slot_to, thickness]) - hub) @ square
    assert after == pytest.approx(tube / 2.0)
    assert fore == pytest.approx(-tube / 2.0)


def test_a_lower_engine_or_a_longer_run_makes_a_flatter_shaft():
    design = sample("bramblefin")
    plain = shaft_line(design, 400.0).angle
    assert shaft_line(design, 500.0).angle < plain
    assert shaft_line(changed(design, engine={"output_height": 30.0}), 400.0).angle < plain
    assert shaft_line(changed(design, drive={"propeller_behind": 120.0}), 400.0).angle < plain
