"""What the packet and the organiser's sheet tell of shaft, dummy rod and tube agrees with the geometry."""

import re

import pytest

from hullcut.balance.weights import ROD_SHORT, rod_length, rod_pieces
from hullcut.lengths import both
from hullcut.packet.organiser.rows import drive_rows
from hullcut.packet.places import tube
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.packet.workshop import jig_lines


def step_named(plan, title):
    return next(step for step in building_steps(plan) if step.title == title)


def test_the_rods_length_is_told_as_a_sum(sample_plan):
    for plan in sample_plan.boat_plans:
        pieces = rod_pieces(plan.arrangement)
        assert sum(pieces) == pytest.approx(rod_length(plan.arrangement))
        # Its end stands abaft the plate, ahead of the tube and of the bearing there.
        abaft = plan.arrangement.shaft.length - pieces[0]
        assert abaft == pytest.approx(ROD_SHORT)
        assert 0.0 < abaft < tube(plan).abaft_plate
        told = dict(drive_rows(plan))["Rod"]
        millimetres = [float(each) for each in re.findall(r"(\d+) mm", told)]
        assert len(millimetres) == 4
        assert millimetres[0] == pytest.approx(sum(millimetres[1:3]), abs=2.0)
        assert millimetres[3] == pytest.approx(abaft, abs=0.5)
        assert all(both(each, plan.design.units) in told for each in pieces)


def test_thrust_is_told_alike_in_the_sheet_and_in_the_step(sample_plan):
    for plan in sample_plan.boat_plans:
        told = dict(drive_rows(plan))["Thrust"]
        words = " ".join(step_named(plan, "Fit the shaft and the propeller").sentences)
        assert "washers between strut and drive dog" in told
        assert "between strut and drive dog with washers" in words


def test_washer_collar_and_coupling_go_on_while_the_shaft_slides_in(sample_plan):
    for plan in sample_plan.boat_plans:
        words = " ".join(step_named(plan, "Fit the shaft and the propeller").sentences)
        order = [
            words.index(each)
            for each in (
                "Slide the shaft in",
                "slip on washer",
                "Draw the shaft out",
                "against the shaft log",
                "all set screws",
            )
        ]
        assert order == sorted(order)


def test_the_dummy_rod_is_as_thick_as_the_shaft_wherever_it_is_told(sample_plan):
    for plan in sample_plan.boat_plans:
        thick = Kit(plan).fine(plan.design.drive.shaft_diameter)
        lines = jig_lines(Studio(plan), building_steps(plan))
        assert any(f"dummy rod, {thick} by" in line for line in lines)
        assert any(f"Drill the rod's hole first, {thick}, in its middle." in line for line in lines)


def test_the_block_reaches_from_the_transoms_top_past_the_hole_below_the_bottom(sample_plan):
    from hullcut.packet.jigs import jig_sizes
    from hullcut.packet.places import tube

    for plan in sample_plan.boat_plans:
        assert (
            tube(plan).below_at_stern + plan.design.drive.shaft_diameter / 2.0
            < jig_sizes(plan).block - plan.design.hull.depth - 6.0
        )
