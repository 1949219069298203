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


@pytest.mark.parametrize(
    ("name", "grain", "told"),
    [
        ("bramblefin", "across", "grain across the boat is right: the other way the sheet would crack"),
        ("marshpenny", "across", "grain across the boat is right: the other way the sheet would crack"),
        ("puddlewick", "along", "takes it with its grain either way"),
        ("tansyfoot", "across", "the sheet would take it the other way too"),
    ],
)
def test_the_check_tells_the_grain_of_every_samples_bottom_by_itself(name, grain, told):
    assert sample(name).woods.bottom.grain == grain
    check = checks_of(sample(name))["Bottom bends up at the bow"]
    assert check.status == "ok"
    assert told in check.advice


@pytest.mark.parametrize("grain", ["along", "any"])
def test_grain_that_would_crack_is_turned_by_the_advice(grain):
    check = checks_of(with_wood(sample("bramblefin"), "bottom", grain=grain))["Bottom bends up at the bow"]
    assert check.status == "fail"
    assert 'set wood.bottom grain = "across"' in check.advice


def test_a_sheet_near_its_limit_is_dampened_and_clamped():
    check = checks_of(sample("puddlewick"))["Bottom bends up at the bow"]
    assert check.limit <= check.value < 1.25 * check.limit
    assert "dampen the outer face and clamp it dry for 24 hours before gluing" in check.advice
    gentle = checks_of(with_wood(sample("puddlewick"), "bottom", thickness=3.0))["Bottom bends up at the bow"]
    assert "dampen" not in gentle.advice


def test_two_layers_are_advised_where_they_bend_with_the_difference_of_their_lengths():
    """Two layers of half the thickness run half a thickness apart, so one is shorter by that times the turn."""
    design = with_wood(sample("bramblefin"), "bottom", thickness=9.5)
    hull = shape(design)
    check = checks_of(design)["Bottom bends up at the bow"]
    shorter = 9.5 / 2.0 * hull.bottom_sweep.turn
    assert "two layers of 4.8 mm take it, each cut to its own outline" in check.advice
    assert f"the inner one comes out {shorter:.1f} mm shorter" in check.advice


def test_the_sweep_that_is_advised_is_long_enough():
    design = changed(sample("bramblefin"), hull={"flat_to": 700.0})
    check = checks_of(design)["Bottom bends up at the bow"]
    assert check.status == "fail"
    millimetres = float(
        check.advice.split("(hull.")[0].split("lessen hull.flat_to to ")[1].split("(")[1].split(" mm")[0]
    )
    assert 0.2 * design.hull.length < millimetres < design.hull.flat_to
    longer = checks_of(changed(design, hull={"flat_to": millimetres}))["Bottom bends up at the bow"]
    assert longer.status == "ok"


def test_the_place_of_the_sharpest_bend_is_told():
    check = checks_of(sample("tansyfoot"))["Sides bend"]
    hull = shape(sample("tansyfoot"))
    bend = hull.surface.tightest_bend(hull.side_thickness / 2.0)
    assert check.value == pytest.approx(100.0 * hull.side_thickness / 2.0 / bend.radius)
    assert f"({bend.x:.0f} mm) from the transom" in check.advice


def test_a_board_whose_grain_runs_up_and_down_would_split():
    check = checks_of(with_wood(sample("tansyfoot"), "side", grain="across"))["Sides bend"]
    assert check.status == "fail"
    assert 'set wood.side grain = "along"' in check.advice
