"""How sharply sheets bend: the published table, and what it asks of a bow."""

import dataclasses
import itertools
from pathlib import Path

import pytest
from scipy.optimize import brentq

from hullcut.design.bending import smallest_radius
from hullcut.design.reader import read_order
from hullcut.hull.checks import hull_checks
from hullcut.hull.fair_curve import sweep
from hullcut.hull.form import shape

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"
IN, FOOT = 25.4, 304.8

# Smallest radii of dry, non-overlaid Douglas-fir form plywood: thickness in inches; radius in feet with the face
# grain square to the curve ("across grain") and along it ("parallel").
# Source: APA, Concrete Forming guide, as quoted in "Working with Curved Forms" (apawood-europe.org); the same figures
# stand in "Curving plywood forms" (concreteconstruction.net), which quotes the American Plywood Association.
APA = [
    (1 / 4, 2.0, 5.0),
    (5 / 16, 2.0, 6.0),
    (3 / 8, 3.0, 8.0),
    (1 / 2, 6.0, 12.0),
    (5 / 8, 8.0, 16.0),
    (3 / 4, 12.0, 20.0),
]


def bramblefin(**bottom):
    design = read_order(SAMPLES / "bramblefin.toml").designs[0]
    woods = dataclasses.replace(design.woods, bottom=dataclasses.replace(design.woods.bottom, **bottom))
    return dataclasses.replace(design, woods=woods)


def bend_check(design):
    return next(check for check in hull_checks(shape(design)) if check.name == "Bottom bends up at the bow")


@pytest.mark.parametrize(("thickness", "across", "along"), APA)
def test_smallest_radii_are_the_published_ones(thickness, across, along):
    assert smallest_radius(thickness * IN, "across") / FOOT == pytest.approx(across, abs=1e-9)
    assert smallest_radius(thickness * IN, "along") / FOOT == pytest.approx(along, abs=1e-9)


@pytest.mark.parametrize(("thickness", "across", "along"), APA)
def test_the_check_of_a_bow_holds_the_published_radius_against_it(thickness, across, along):
    for grain, feet in (("across", across), ("along", along)):
        check = bend_check(bramblefin(thickness=thickness * IN, grain=grain))
        assert check.limit / FOOT == pytest.approx(feet, abs=1e-9)
        assert (check.status == "ok") == (check.value >= feet * FOOT)
        assert "APA" in check.source


@pytest.mark.parametrize("grain", ["across", "along"])
def test_between_published_rows_no_radius_is_smaller_than_the_thinner_rows(grain):
    column = 1 if grain == "across" else 2
    for thin, thick in itertools.pairwise(APA):
        middle = smallest_radius((thin[0] + thick[0]) / 2.0 * IN, grain) / FOOT
        assert thin[column] <= middle <= thick[column]
        assert middle == pytest.approx((thin[column] + thick[column]) / 2.0)


def test_below_a_quarter_inch_strain_stays_that_of_the_quarter_inch_row():
    """No published value is known there; the surface strain t / (2 R) is carried on. Own extension, not published."""
    for grain, feet in (("across", 2.0), ("along", 5.0)):
        strain = (IN / 4.0) / (2.0 * feet * FOOT)
        assert 3.0 / (2.0 * smallest_radius(3.0, grain)) == pytest.approx(strain, rel=1e-12)


@pytest.mark.parametrize(("radius", "expected"), [(24.0, 16.9), (60.0, 27.4)])
def test_run_that_a_rise_of_five_inches_needs(radius, expected):
    """Computed, not published: for a curve whose curvature ramps up over a quarter of it and then holds."""
    run = brentq(lambda inches: sweep(inches, 5.0).radius - radius, 8.0, 80.0)
    assert run == pytest.approx(expected, abs=0.05)


def test_grain_along_the_boat_fails_at_the_sweep_that_grain_across_takes():
    across, along = bend_check(bramblefin(grain="across")), bend_check(bramblefin(grain="along"))
    assert across.status == "ok"
    assert along.status == "fail"
    assert along.value == across.value
    assert 'grain = "across"' in along.advice
    assert "runs across the boat" in along.advice


def test_a_sheet_too_thick_either_way_is_not_told_to_turn_its_grain():
    check = bend_check(bramblefin(grain="along", thickness=IN / 2.0))
    assert check.status == "fail"
    assert 'grain = "' not in check.advice
    assert "so that the face grain runs" not in check.advice
    assert "hull.flat_to" in check.advice
