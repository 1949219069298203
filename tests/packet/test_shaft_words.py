"""What the packet and the organiser's sheet tell of shaft, dummy rod and tube agrees with the geometry."""

import re

import pytest
import shapely

from hullcut.balance.weights import ROD_SHORT, rod_length, rod_pieces
from hullcut.lengths import both
from hullcut.packet.organiser.rows import drive_rows
from hullcut.packet.places import tube
from hullcut.packet.shaft_picture import trial_bodies
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.packet.workshop import jig_lines
from hullcut.parts.clearances import bodies_of


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
        assert "Washers between strut and drive dog take the thrust" in words


def test_washer_collar_and_coupling_go_on_while_the_shaft_slides_in(sample_plan):
    for plan in sample_plan.boat_plans:
        words = " ".join(step_named(plan, "Fit the shaft and the propeller").sentences)
        order = [
            words.index(each)
            for each in (
                "Hold washer, collar, after half and star",
                "Slide the shaft in",
                "against the shaft log",
                "Mark where the set screws",
                "Draw the shaft out",
                "grease all but those",
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


def test_the_wedge_ends_before_the_fins_cleats_and_the_block_is_level_with_the_transom(sample_plan):
    for plan in sample_plan.boat_plans:
        bodies = {name: shapely.Polygon(ring) for name, ring, _ in trial_bodies(plan)}
        fin = [
            body.side
            for part in plan.parts
            if part.family == "fin" or part.id.endswith("-fin-cleat")
            for body in bodies_of(part)
        ]
        assert bodies["wedge"].intersection(shapely.union_all(fin)).area < 1.0
        assert bodies["wedge"].bounds[2] - bodies["wedge"].bounds[0] > 50.0
        transom = next(part for part in plan.parts if part.id == f"{part.design}-transom")
        top = max(body.side.bounds[3] for body in bodies_of(transom))
        assert bodies["block"].bounds[3] == pytest.approx(top, abs=1.5)


def test_the_gap_is_tried_while_the_epoxy_is_wet_and_no_cradle_covers_the_slot(sample_plan):
    for plan in sample_plan.boat_plans:
        step = step_named(plan, "Line up the coupling and glue in the shaft log")
        words = " ".join(step.sentences)
        order = [words.index(each) for each in ("packs thickened epoxy", "try the gap again", "an adult takes off rod")]
        assert order == sorted(order)
        assert step.check.startswith("While the epoxy is wet")
        shaft = plan.arrangement.shaft
        slot = shapely.box(shaft.slot_from, 0.0, shaft.slot_to, 1.0)
        cradles = [bodies_of(part)[0].side for part in plan.parts if "-stand-cradle" in part.id]
        covered = any(shapely.box(each.bounds[0], 0.0, each.bounds[2], 1.0).intersects(slot) for each in cradles)
        assert not covered or step.sentences[0].startswith("Lay the hull on two blocks")
