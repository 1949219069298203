"""The checks of balance and shaft at their limits."""

import dataclasses

import pytest
from trial_boats import built, changed, sample

from hullcut.balance.arrange import engine_bay
from hullcut.balance.checks import balance_checks


def checked(design, **places):
    arrangement = built("bramblefin").arrangement
    shaft = dataclasses.replace(arrangement.shaft, angle=places.pop("angle", 9.0))
    balance, angle = balance_checks(design, dataclasses.replace(arrangement, shaft=shaft, **places))
    return balance, angle


@pytest.mark.parametrize(
    ("angle", "status", "aims"),
    [
        (9.9, "ok", False),
        (10.0, "ok", False),
        (10.1, "ok", True),
        (12.0, "ok", True),
        (12.1, "warn", True),
        (15.0, "warn", True),
        (15.1, "fail", True),
    ],
)
def test_a_shaft_is_warned_of_above_12_degrees_and_refused_above_15(angle, status, aims):
    check = checked(sample("bramblefin"), angle=angle)[1]
    assert (check.status, check.value) == (status, angle)
    assert check.limit == (15.0 if status == "fail" else 12.0)
    assert ("aim for 10 degrees" in check.advice) == aims


@pytest.mark.parametrize(
    ("share", "status", "word"),
    [(0.299, "warn", "too far aft"), (0.301, "ok", ""), (0.349, "ok", ""), (0.351, "warn", "too far forward")],
)
def test_a_balance_point_outside_30_to_35_per_cent_is_warned_of(share, status, word):
    design = sample("bramblefin")
    check = checked(design, balance_x=share * design.hull.length)[0]
    assert check.status == status
    assert check.value == pytest.approx(100.0 * share)
    assert word in check.advice


def test_an_engine_at_the_end_of_its_bay_is_named_as_the_reason():
    design = sample("bramblefin")
    aft, fore = engine_bay(design)
    far = 0.4 * design.hull.length
    assert "end of its bay" in checked(design, balance_x=far, plate_x=aft)[0].advice
    assert "end of its bay" not in checked(design, balance_x=far, plate_x=(aft + fore) / 2.0)[0].advice
    fixed = changed(design, engine={"plate_at": aft})
    assert "end of its bay" not in checked(fixed, balance_x=far, plate_x=aft)[0].advice


def test_limits_say_that_they_are_common_practice():
    assert all(check.source == "common practice, no source" for check in checked(sample("bramblefin")))
