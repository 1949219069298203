"""The room for the engine, against the parts that bound it."""

import numpy as np
import pytest
import shapely

from hullcut.balance.engine_room import AHEAD, coupling_room, engine_room
from hullcut.parts.clearances import bodies_of
from hullcut.parts.engine import bearer_top
from tests.conftest import DESIGNS, planned


@pytest.mark.parametrize("name", DESIGNS)
def test_the_room_is_what_bearers_bulkhead_and_sheer_leave_free(name):
    plan = planned(name).boat_plans[0]
    room = engine_room(plan.hull, plan.arrangement)
    parts = {part.id.removeprefix(f"{part.design}-"): part for part in plan.parts}
    x = plan.arrangement.plate_x
    bearer, bulkhead = (bodies_of(parts[slug])[0].side for slug in ("bearer-port", "bulkhead"))
    ring = np.array(bearer.exterior.coords)
    top = ring[:, 1][np.argsort(ring[:, 1])[-2:]].max()
    sheer = float(plan.hull.sheer_height(np.array([x]))[0])
    # The bearers' tops rise forward, so that at the plate there is more room than over their highest corner.
    assert sheer - top < room.over < sheer - plan.hull.bottom_thickness
    wood = plan.design.woods.engine_plate.thickness
    assert x + wood + room.ahead == pytest.approx(bulkhead.bounds[0], abs=1.0)
    assert room.between == plan.design.engine.bearer_gap
    assert room.between < room.across < plan.design.hull.beam


def clear_below(plan, start, stop):
    """From the shaft's middle square down to what stands lowest under it between two places, by the parts' bodies."""
    shaft = plan.arrangement.shaft
    steep = np.tan(np.radians(shaft.angle))
    line = shapely.LineString([(x, shaft.output_z + steep * (x - shaft.output_x)) for x in (start, stop)])
    inside = [
        body.side
        for part in plan.parts
        if part.family == "fin" or part.id.endswith("-fin-cleat")
        for body in bodies_of(part)
    ]
    there = shapely.union_all(inside).intersection(shapely.box(start, -500.0, stop, 500.0))
    x = np.linspace(start, stop, 80)
    floor = shapely.LineString(np.column_stack([x, plan.hull.bottom_height(x, plan.hull.bottom_thickness)]))
    return min(line.distance(floor), line.distance(there) if not there.is_empty else np.inf)


@pytest.mark.parametrize("name", DESIGNS)
def test_an_engine_within_the_limits_touches_neither_fin_nor_cleats_nor_shield(name):
    plan = planned(name).boat_plans[0]
    room, design = engine_room(plan.hull, plan.arrangement), plan.design
    start, stop = plan.arrangement.shaft.output_x + design.woods.engine_plate.thickness, design.decks.fore_from
    # Measured square to the shaft it is less by up to a millimetre than over the nearest corner.
    nearest = clear_below(plan, start, stop)
    assert nearest - 3.0 < room.under < nearest
    farther = clear_below(plan, start + AHEAD, stop)
    # What stands just abaft is looked at square to the shaft too.
    assert farther - 4.0 < room.under_ahead < farther
    assert room.under <= room.under_ahead
    free = design.woods.cleat.thickness + 6.35 + 25.4
    top = float(bearer_top(plan.hull, plan.arrangement, np.array([plan.arrangement.plate_x]))[0])

    def narrowest(begin, end):
        x = np.linspace(begin, end, 400)
        return float(plan.hull.half_breadth(x, np.full_like(x, top), plan.hull.side_thickness).min()) - free

    plate = plan.arrangement.plate_x
    assert room.aside == pytest.approx(narrowest(plate, plate + AHEAD), abs=0.1)
    assert room.aside_ahead == pytest.approx(narrowest(plate + AHEAD, stop), abs=0.1)
    assert room.aside <= room.across / 2.0 - free + 1e-9


@pytest.mark.parametrize("name", DESIGNS)
def test_the_widest_coupling_turns_over_bottom_and_fins_cleats(name):
    plan = planned(name).boat_plans[0]
    ends = plan.balance.drive.places[-1], plan.arrangement.shaft.output_x
    room = coupling_room(plan.hull, plan.arrangement, ends[0])
    assert clear_below(plan, *ends) - 1.0 < room < clear_below(plan, *ends) + 0.2
    # A coupling of 5/8 in, the smallest that is sold for such a shaft (common practice, no source), finds room.
    assert room > 25.4 * 5.0 / 16.0 + 3.0
