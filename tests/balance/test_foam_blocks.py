"""The foam's blocks lie inside the hull, clear of everything else, and hold what is told."""

import math

import numpy as np
import pytest
import shapely

from hullcut.balance.foam_blocks import HEAT_CLEAR, foam_blocks, foam_litres
from hullcut.packet.places import pushrod_hole
from hullcut.parts.clearances import bodies_of, shaft_log

# What runs along the curved sides, or lies outside the boat, is held against in other ways.
ROUND = ("side", "bottom", "cleat", "deck", "hatch", "windscreen", "stand", "stem_block")


def spans(block):
    """The reach abeam of each copy of a block."""
    outside = max(block.outer_low, block.outer_high)
    return [(-outside, outside)] if block.count == 1 else [(block.inner, outside), (-outside, -block.inner)]


def side_of(block):
    return shapely.box(block.start, block.low, block.stop, block.high)


@pytest.fixture
def boats(sample_plan):
    return [(plan, foam_blocks(plan.hull, plan.arrangement)) for plan in sample_plan.boat_plans]


def test_no_block_meets_a_part_or_the_tube(boats):
    for plan, blocks in boats:
        bodies = [body for part in plan.parts if part.family not in ROUND for body in bodies_of(part)]
        names = {part.family for part in plan.parts if part.family not in ROUND}
        assert {"shelf", "bearer", "engine_plate", "deck_beam", "pad"} <= names
        for block in blocks:
            for body in (*bodies, shaft_log(plan.hull, plan.arrangement)):
                for low, high in spans(block):
                    if low < body.port - 1e-6 and high > body.starboard + 1e-6:
                        assert side_of(block).intersection(body.side).area < 1e-6, (block, body.name)


def test_no_block_meets_another(boats):
    for _, blocks in boats:
        for number, block in enumerate(blocks):
            for other in blocks[number + 1 :]:
                if any(a < d and c < b for a, b in spans(block) for c, d in spans(other)):
                    assert side_of(block).intersection(side_of(other)).area < 1e-6


def test_blocks_lie_inside_sides_and_cleats_on_the_bottom_under_the_deck(boats):
    for plan, blocks in boats:
        hull, cleat = plan.hull, plan.design.woods.cleat.thickness
        for block in blocks:
            x = np.linspace(block.start, block.stop, 33)
            assert np.all(hull.bottom_height(x, hull.bottom_thickness) <= block.low + 0.01)
            assert np.all(hull.roof_height(x) > block.high)
            assert block.start > hull.transom_thickness
            for share in (0.0, 0.5, 1.0):
                z = block.low + share * block.height
                outer = block.outer_low + share * (block.outer_high - block.outer_low)
                assert np.all(hull.half_breadth(x, np.full_like(x, z), hull.side_thickness) - cleat > outer)


def test_blocks_keep_off_the_engine_and_the_pushrod(boats):
    for plan, blocks in boats:
        shaft, plate = plan.arrangement.shaft, plan.design.woods.engine_plate.thickness
        rod = pushrod_hole(plan)
        steep = math.radians(shaft.angle)
        for block in (each for each in blocks if each.place == "aft"):
            face = plan.arrangement.plate_x + plate / math.cos(steep)
            nearest = face - (block.high - shaft.output_z) * math.tan(steep)
            assert nearest - block.stop >= HEAT_CLEAR - 0.01
            for low, high in spans(block):
                beside = rod.y + rod.diameter / 2.0 < low or rod.y - rod.diameter / 2.0 > high
                over = rod.z - rod.diameter / 2.0 > block.high
                assert beside or over or block.start > plan.design.radio.shelf_from + plan.design.radio.shelf_length


def test_litres_are_those_of_the_solids(boats):
    for _, blocks in boats:
        total = 0.0
        for block in blocks:
            corners = [
                (block.inner if block.count == 2 else -block.outer_low, block.low),
                (block.outer_low, block.low),
                (block.outer_high, block.high),
                (block.inner if block.count == 2 else -block.outer_high, block.high),
            ]
            total += block.count * shapely.Polygon(corners).area * (block.stop - block.start) * 1e-6
        assert foam_litres(blocks) == pytest.approx(total)
        assert foam_litres(blocks, "fore") + foam_litres(blocks, "aft") == pytest.approx(total)


def test_the_samples_hold_what_a_swamped_boat_needs(boats):
    for plan, blocks in boats:
        assert foam_litres(blocks, "fore") >= plan.balance.foam.fore
        assert foam_litres(blocks, "aft") >= plan.balance.foam.aft
