"""Hulls shaped from a table of offsets: lines through the points, faces inside them, ends, bends and fairness."""

import dataclasses

import numpy as np
import pytest
from trial_boats import sample

from hullcut.design.offsets import parse_offsets
from hullcut.errors import BuildError
from hullcut.hull.bends import side_bends
from hullcut.hull.checks import hull_checks
from hullcut.hull.form import shape
from hullcut.hull.side_surface import given_lines

HEADER = "x,chine_half_breadth,chine_height,sheer_half_breadth,sheer_height\n"
STATIONS = np.linspace(0.0, 1000.0, 11)


def table(chine_y, chine_z, sheer_y, sheer_z, x=STATIONS):
    rows = [f"{a},{chine_y(a)},{chine_z(a)},{sheer_y(a)},{sheer_z(a)}" for a in x]
    return parse_offsets(HEADER + "\n".join(rows) + "\n", "lines.csv", "mm")


def of_offsets(offsets, read_to=0.0, **more):
    design = sample("tansyfoot")
    hull = dataclasses.replace(design.hull, offsets=offsets, read_to=read_to, **more)
    return dataclasses.replace(design, hull=hull)


@pytest.fixture(scope="module")
def exact():
    """The sample's lines through every point of its table."""
    design = sample("tansyfoot")
    return shape(dataclasses.replace(design, hull=dataclasses.replace(design.hull, read_to=0.0)))


def test_without_a_reading_error_the_lines_go_through_every_point(exact):
    offsets = exact.design.hull.offsets
    lowest = min(0.0, float(given_lines(offsets, 0.0).chine[:, 2].min()))
    lift = given_lines(offsets, 0.0).chine[0, 2] - offsets.chine[0][2]
    assert lowest == 0.0
    for x, y, z in offsets.chine:
        assert exact.half_breadth(np.array([x]), z + lift)[0] == pytest.approx(y, abs=2e-3)
        assert exact.bottom_height(np.array([x]))[0] == pytest.approx(z + lift, abs=1e-9)
    for x, y, z in offsets.sheer:
        assert exact.half_breadth(np.array([x]), z + lift)[0] == pytest.approx(y, abs=2e-3)
        assert exact.sheer_height(x)[0] == pytest.approx(z + lift, abs=1e-9)


def test_with_a_reading_error_no_point_is_missed_by_more():
    hull = shape(sample("tansyfoot"))
    offsets, read_to = hull.design.hull.offsets, hull.design.hull.read_to
    lift = given_lines(offsets, read_to).chine[0, 2]
    for points, height in ((offsets.chine, hull.bottom_height), (offsets.sheer, hull.sheer_height)):
        for x, y, z in points:
            here = height(np.array([x]))[0]
            assert abs(here - lift - z) <= 2.0 * read_to
            assert abs(hull.half_breadth(np.array([x]), here)[0] - y) <= read_to + 2e-3


@pytest.mark.parametrize("inset", [0.0, 3.0, 6.35, 12.7])
def test_a_face_inside_the_side_lies_that_far_inside_along_the_normal(inset):
    hull = shape(sample("tansyfoot"))
    x = np.linspace(20.0, 900.0, 40)
    z = np.linspace(30.0, 100.0, 40)
    y = hull.half_breadth(x, z, inset)
    offsets = hull.side_port.to_flat(np.column_stack([x, y, z]))[:, 2]
    assert np.abs(offsets - (hull.side_thickness / 2.0 - inset)).max() < 1e-8
    mirrored = hull.side_starboard.to_flat(np.column_stack([x, -y, z]))[:, 2]
    assert np.abs(mirrored - offsets).max() < 1e-8


def test_the_sides_meet_on_the_centre_line_of_a_pointed_stem():
    hull = shape(sample("tansyfoot"))
    assert hull.pointed
    for inset in (0.0, hull.side_thickness):
        x, z = hull.side_foot(hull.bow, hull.bottom_thickness, inset)
        assert hull.half_breadth(np.array([x]), z, inset)[0] == pytest.approx(0.0, abs=1e-7)
        assert hull.bottom_height(np.array([x]), hull.bottom_thickness)[0] == pytest.approx(z, abs=1e-9)
        up = np.linspace(z, 150.0, 5)
        end = hull.side_end(hull.bow, up, inset)
        assert np.abs(hull.half_breadth(end, up, inset)).max() < 1e-7
    assert hull.side_foot(hull.bow, 0.0, hull.side_thickness)[0] < hull.side_foot(hull.bow, 0.0, 0.0)[0]


def test_a_cone_from_offsets_bends_as_a_cone_does():
    """A circular cone with an upright axis: at half angle a and radius r its radius of curvature is r / cos a."""
    half_angle, height = np.radians(12.0), 120.0

    def arc(radius):
        return lambda x: np.sqrt(radius**2 - (x - 500.0) ** 2) - 1200.0

    top = 1400.0
    low = top - height * np.tan(half_angle)
    offsets = table(arc(low), lambda _: 0.0, arc(top), lambda _: height, x=np.linspace(0.0, 1000.0, 41))
    hull = shape(of_offsets(offsets, bow="pram", beam_at_bow=200.0, length=1000.0))
    (place,) = [place for _, place, _ in side_bends(hull, 0.0)]
    assert place.radius == pytest.approx(low / np.cos(half_angle), rel=2e-3)
    assert hull.surface.family.worst_warp < 0.01
    assert hull.flare_at(500.0, 60.0) == pytest.approx(half_angle, abs=1e-3)


def test_a_side_that_cannot_unroll_is_refused_with_the_move_that_helps():
    offsets = table(
        lambda x: 130.0 - 60.0 * (x / 1000.0) ** 2,
        lambda _: 0.0,
        lambda x: 150.0 + 40.0 * np.sin(x / 90.0),
        lambda _: 120.0,
    )
    with pytest.raises(BuildError) as caught:
        shape(of_offsets(offsets, bow="pram", beam_at_bow=200.0))
    (fault,) = caught.value.faults
    assert fault.key == "hull.offsets"
    assert fault.line is not None
    assert fault.remedy.startswith(("move ", "make "))


def test_a_station_read_wrong_is_named_in_the_fairness_check():
    design = sample("tansyfoot")
    rows = list(design.hull.offsets.rows)
    rows[4] = dataclasses.replace(rows[4], sheer_half_breadth=rows[4].sheer_half_breadth + 4.0)
    offsets = dataclasses.replace(design.hull.offsets, rows=tuple(rows))
    hull = shape(dataclasses.replace(design, hull=dataclasses.replace(design.hull, offsets=offsets)))
    check = next(check for check in hull_checks(hull) if check.name == "Offsets are fair")
    assert check.status == "warn"
    assert "the sheer" in check.advice
    assert "station 5" in check.advice
    assert " in " in check.advice
    fair = next(check for check in hull_checks(shape(design)) if check.name == "Offsets are fair")
    assert fair.status == "ok"


def test_every_bent_part_of_the_sample_is_checked():
    found = {check.name: check for check in hull_checks(shape(sample("tansyfoot")))}
    assert {"Bottom bends up at the bow", "Sides bend", "Sides twist from chine to sheer"} <= set(found)
    assert found["Sides twist from chine to sheer"].value <= 0.5
    assert found["Sides bend"].unit == "% strain"
