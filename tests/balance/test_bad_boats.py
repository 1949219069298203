"""Boats that are wrong in one way each: the check names number, limit, source and what to change."""

import dataclasses

import pytest
from trial_boats import changed, sample

from hullcut.design.values import Fitting
from hullcut.pipeline import weigh


def with_fitting(mass, x, y=0.0, z=40.0, **tables):
    return dataclasses.replace(changed(sample("bramblefin"), **tables), fittings=(Fitting("stone", mass, x, y, z),))


def told(design, name):
    """The check of that name."""
    found = [check for check in weigh(design).checks if check.name == name]
    assert len(found) == 1, [check.name for check in weigh(design).checks]
    return found[0]


GOOD = sample("bramblefin")
LONG = changed(GOOD, engine={"plate_at": 450.0}, drive={"bearings": 2})

# name of the case: design, check, status, whether the value must stay at or below its limit (None: neither),
# words of the advice.
CASES = {
    "sinks": (
        changed(GOOD, engine={"mass": 60000.0}),
        "Weight against what the hull carries",
        "fail",
        True,
        ("engine.mass",),
    ),
    "goes under by the stern": (
        changed(GOOD, engine={"mass": 25000.0}),
        "Weight against what the hull carries",
        "fail",
        None,
        ("one end goes under", "engine.mass"),
    ),
    "too heavy": (changed(GOOD, engine={"mass": 9000.0}), "Freeboard, least", "warn", False, ("hull.depth",)),
    "far too heavy": (changed(GOOD, engine={"mass": 14000.0}), "Freeboard, least", "fail", False, ("lighten it",)),
    "top-heavy": (
        changed(GOOD, engine={"centre_height": 1200.0}),
        "Steadiness at rest (GM)",
        "fail",
        False,
        ("lower the engine", "hull.beam"),
    ),
    "tender": (
        changed(GOOD, engine={"centre_height": 850.0}),
        "Steadiness at rest (GM)",
        "warn",
        False,
        ("lower the engine", "hull.beam"),
    ),
    "trims by the stern": (
        with_fitting(3500.0, 5.0),
        "Trim at rest, by the stern",
        "warn",
        True,
        ("engine.plate_at", "ballast"),
    ),
    "hangs its bow": (
        with_fitting(2500.0, 900.0),
        "Trim at rest, by the stern",
        "warn",
        False,
        ("move the engine aft", "ballast"),
    ),
    "wet transom": (
        with_fitting(4500.0, 10.0),
        "Freeboard at the transom",
        "warn",
        False,
        ("carry weight forward", "hull.depth"),
    ),
    "leans": (with_fitting(850.0, 352.0, 120.0), "Lean from weights off the middle", "warn", True, ("to port",)),
    "too little foam": (changed(GOOD, foam={"aft": 0.3}), "Foam in the stern", "fail", False, ("foam.aft", "litres")),
    "no room for the foam": (
        changed(GOOD, engine={"mass": 6000.0}),
        "Foam in the stern",
        "warn",
        True,
        ("room for only",),
    ),
    "balances too far aft": (
        with_fitting(4200.0, 5.0),
        "Balance point from the transom",
        "warn",
        False,
        ("carry weight forward", "g of ballast"),
    ),
    "shaft rather steep": (
        changed(GOOD, engine={"output_height": 52.0}),
        "Shaft angle",
        "warn",
        True,
        ("engine.output_height",),
    ),
    "shaft too steep": (
        changed(GOOD, engine={"output_height": 90.0}),
        "Shaft angle",
        "fail",
        True,
        ("engine.output_height", "drive.propeller_behind"),
    ),
    "bearings too far apart": (
        LONG,
        "Critical speed of the shaft",
        "fail",
        False,
        ("drive.bearings = 3", "drive.shaft_diameter"),
    ),
    "fin ahead": (
        changed(GOOD, fin={"behind_balance": -0.02}),
        "Fin's centre behind the balance point",
        "fail",
        False,
        ("fin.behind_balance",),
    ),
    "fin far aft": (
        changed(GOOD, fin={"behind_balance": 0.06}),
        "Fin's centre behind the balance point",
        "warn",
        True,
        ("fin.behind_balance",),
    ),
    "rudder in the propeller": (
        changed(GOOD, rudder={"offset": 20.0}),
        "Rudder clear of the propeller",
        "fail",
        False,
        ("rudder.offset",),
    ),
    "bounces": (
        with_fitting(3000.0, 5.0, engine={"plate_at": 300.0}),
        "Trim before porpoising",
        "warn",
        True,
        ("porpoise", "balance.point"),
    ),
    "rises by the bow": (
        with_fitting(3000.0, 5.0, engine={"plate_at": 300.0}),
        "Bow rise",
        "warn",
        True,
        ("carry weight forward",),
    ),
    "wrong pitch": (
        changed(GOOD, drive={"pitch": 45.0}),
        "Propeller's slip (estimate)",
        "warn",
        False,
        ("drive.pitch",),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_a_bad_boat_is_told_with_number_limit_source_and_remedy(case):
    design, name, status, most, words = CASES[case]
    check = told(design, name)
    assert check.status == status, check
    assert check.value is not None
    assert check.limit is not None
    if most is not None:
        assert (check.value > check.limit) if most else (check.value < check.limit)
    assert check.unit
    assert check.source
    for word in words:
        assert word in check.advice, check.advice


def test_the_same_boat_without_its_fault_passes():
    good = {check.name: check.status for check in weigh(GOOD).checks}
    assert set(good.values()) == {"ok"}
    # The sample leaves the pitch to be proposed, so that there is no slip to judge.
    assert {name for _, name, *_ in CASES.values()} - set(good) == {"Propeller's slip (estimate)"}


def test_the_rudder_on_the_worse_side_is_told():
    check = told(changed(GOOD, rudder={"offset": -57.0}), "Rudder on the better side")
    assert check.status == "warn"
    assert "move it to port" in check.advice
    turned = changed(GOOD, rudder={"offset": -57.0}, drive={"rotation": "counter-clockwise"})
    assert told(turned, "Rudder on the better side").status == "ok"


def test_a_boat_without_power_is_told_that_it_will_not_plane():
    check = told(changed(GOOD, engine={"power": 20.0}), "Speed reached (estimate)")
    assert check.status == "warn"
    assert "engine.power" in check.advice
