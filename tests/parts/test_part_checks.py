"""The parts' checks: each can hold, and each can fail."""

import dataclasses

import pytest
from trial_boats import built, changed, sample

from hullcut.parts.checks import part_checks


def checks_of(design, boat=None, **places):
    boat = boat or built("bramblefin")
    hull = dataclasses.replace(boat.hull, design=design)
    arrangement = dataclasses.replace(boat.arrangement, **places)
    return {check.name: check for check in part_checks(hull, arrangement, boat.joints)}


def test_a_sample_passes_all_of_them():
    assert {check.status for check in checks_of(sample("bramblefin")).values()} == {"ok"}


def test_a_joint_that_does_not_fit_fails_and_is_named():
    boat = built("bramblefin")
    worse = dataclasses.replace(boat.joints[3], mismatch=0.7)
    joints = (*boat.joints[:3], worse, *boat.joints[4:])
    check = part_checks(boat.hull, boat.arrangement, joints)[0]
    assert (check.status, check.value) == ("fail", 0.7)
    assert worse.name in check.advice


@pytest.mark.parametrize(
    ("name", "tables", "places"),
    [
        ("Shaft passes under the radio shelf", {"radio": {"shelf_height": 12.0}}, {}),
        ("Radio shelf goes in past the knees", {"cleats": {"knee_leg": 120.0}}, {}),
        ("Bearers end before the bulkhead", {"engine": {"bearer_length": 900.0}}, {}),
        ("Wood is left under the housing bore", {"engine": {"housing_bore": 60.0}}, {}),
    ],
)
def test_what_runs_into_something_is_warned_of(name, tables, places):
    check = checks_of(changed(sample("bramblefin"), **tables), **places)[name]
    assert check.status == "warn"
    assert check.value < 0.0
    assert check.advice


def test_a_bore_that_breaks_out_of_the_plate_fails():
    design = sample("bramblefin")
    low = design.engine.output_height - design.woods.bottom.thickness
    name = "Wood is left under the housing bore"
    assert checks_of(changed(design, engine={"housing_bore": 2.0 * low + 0.2}))[name].status == "fail"
    assert checks_of(changed(design, engine={"housing_bore": 2.0 * low - 8.0}))[name].status == "ok"


def test_each_plywood_thickness_is_to_be_measured_once():
    found = [name for name in checks_of(sample("bramblefin")) if name.startswith("Thickness of ")]
    assert len(found) >= 2
