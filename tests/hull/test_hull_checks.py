"""The hull's checks: what bends, what breaks, and what they advise."""

import dataclasses

import pytest
from trial_boats import changed, sample

from hullcut.hull.checks import hull_checks, strain_limit
from hullcut.hull.form import shape


def checks_of(design):
    return {check.name: check for check in hull_checks(shape(design))}


def with_wood(design, family, **values):
    wood = dataclasses.replace(getattr(design.woods, family), **values)
    return changed(design, woods={family: wood})


def test_a_plain_boat_is_checked_for_its_bottom_alone():
    found = checks_of(sample("bramblefin"))
    assert list(found) == ["Bottom bends up at the bow", "Bottom is fair"]
    assert all(check.status == "ok" for check in found.values())


def test_a_tapered_boat_is_checked_for_its_sides_too():
    found = checks_of(sample("marshpenny"))
    assert "Sides bend towards the bow" in found
    assert "Plan is fair towards the transom" in found
    assert all(check.status == "ok" for check in found.values())


def test_the_fairness_value_is_that_of_the_sweep():
    hull = shape(sample("marshpenny"))
    found = {check.name: check for check in hull_checks(hull)}
    assert found["Bottom is fair"].value == pytest.approx(hull.bottom_sweep.arc_radius / hull.bottom_sweep.radius)
    assert found["Bottom is fair"].value <= 1.3


def test_a_bottom_too_thick_for_its_sweep_fails_and_says_what_to_lessen():
    check = checks_of(with_wood(sample("bramblefin"), "bottom", thickness=9.5))["Bottom bends up at the bow"]
    assert check.status == "fail"
    assert check.value < check.limit
    assert "hull.flat_to" in check.advice


def test_a_thin_bottom_is_told_that_its_limit_is_carried_on():
    check = checks_of(with_wood(sample("bramblefin"), "bottom", thickness=3.0))["Bottom bends up at the bow"]
    assert check.status == "ok"
    assert "in proportion" in check.source


def test_boards_are_judged_by_their_strain():
    check = checks_of(sample("marshpenny"))["Sides bend towards the bow"]
    hull = shape(sample("marshpenny"))
    assert check.unit == "% strain"
    assert check.value == pytest.approx(100.0 * hull.side_thickness / (2.0 * hull.bow_taper.radius))
    assert check.limit == pytest.approx(100.0 * strain_limit("yellow-poplar"))


def test_a_side_too_thick_for_its_taper_fails():
    check = checks_of(with_wood(sample("marshpenny"), "side", thickness=25.0))["Sides bend towards the bow"]
    assert check.status == "fail"
    assert "hull.parallel_to" in check.advice


def test_half_the_breaking_strain_is_allowed():
    assert strain_limit("yellow-poplar") == pytest.approx(69.6 / 10900.0 / 2.0, rel=0.01)
