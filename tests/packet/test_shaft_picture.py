"""The picture of the dummy rod: all that the words name, standing where the words put it, clear of all else."""

from itertools import combinations

import numpy as np
import pytest
import shapely

from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Text
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.places import tube, tube_bearings
from hullcut.packet.shaft_picture import shaft_line, trial_bodies
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.parts.clearances import bodies_of
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=DESIGNS)
def plan(request):
    return planned(request.param).boat_plans[0]


def areas(plan):
    return [(name, shapely.Polygon(ring)) for name, ring, _ in trial_bodies(plan)]


def test_all_that_the_step_tells_of_is_named_apart_from_one_another(plan):
    scene = shaft_line(Studio(plan), 80.0, 92.0)
    words = [item for item in scene.items if isinstance(item, Text)]
    told = [item.text for item in words]
    assert set(told) >= {"disc", "block", "wedge", "tube", "bearing", "dummy rod"}
    assert told.count("bearing") == 1 + len(tube_bearings(plan))
    step = next(step for step in building_steps(plan) if step.title == "Cut the shaft slot and try the rod")
    assert all(name in " ".join(step.sentences) for name, _ in areas(plan))
    for one, other in combinations(words, 2):
        a, b = bounds(one), bounds(other)
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], (one.text, other.text)


def test_the_rod_runs_through_block_and_disc_and_the_tube_lies_on_the_wedge(plan):
    found = dict(areas(plan))
    rod = found["dummy rod"]
    assert rod.crosses(found["block"].boundary)
    assert rod.crosses(found["disc"].boundary)
    # It passes the block as far below the bottom as is told.
    block = found["block"]
    hole = shapely.Point(block.bounds[2] - 1.0, -tube(plan).below_at_stern)
    assert block.contains(hole)
    assert rod.distance(hole) < 0.01
    assert found["tube"].intersection(found["wedge"]).area < 0.02 * found["wedge"].area
    assert found["tube"].distance(found["wedge"]) < 0.5


def test_the_wedge_stands_between_slot_and_plate_and_is_as_steep_as_the_shaft(plan):
    long, high = jig_sizes(plan).wedge
    shaft = plan.arrangement.shaft
    # Ahead of the tube the coupling is lined up.
    assert 50.0 < long <= shaft.output_x - tube(plan).abaft_plate - shaft.slot_to
    aft, fore = plan.hull.bottom_height(np.array([shaft.slot_to, shaft.slot_to + long]), plan.hull.bottom_thickness)
    slope = (shaft.output_z - shaft.hub_z) / (shaft.output_x - shaft.hub_x)
    assert (high - (aft - fore)) / long == pytest.approx(slope)
    assert abs(aft - fore) < 0.05
    plate = next(part for part in plan.parts if part.family == "engine_plate")
    wedge = dict(areas(plan))["wedge"]
    assert wedge.intersection(bodies_of(plate)[0].side).area < 1.0


@pytest.mark.parametrize("bow", BOWS)
def test_the_tube_lies_on_the_wedge_where_the_bottom_rises_too(bow):
    found = dict(areas(bow_studio(bow).plan))
    assert found["tube"].intersection(found["wedge"]).area < 0.02 * found["wedge"].area
    ahead = shapely.LineString(
        [(min(found[name].bounds[2] for name in ("tube", "wedge")) - 3.0, z) for z in (-1e3, 1e3)]
    )
    under, over = (found[name].intersection(ahead).bounds[at] for name, at in (("tube", 1), ("wedge", 3)))
    assert under == pytest.approx(over, abs=0.5)


def test_the_block_stands_on_the_transom_outside_the_boat(plan):
    block = dict(areas(plan))["block"]
    transom = next(part for part in plan.parts if part.family == "transom")
    body = bodies_of(transom)[0].side
    assert block.intersection(body).area < 1.0
    assert block.distance(body) < 1.0
