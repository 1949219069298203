"""The room for the engine, against the parts that bound it."""

import numpy as np
import pytest
import shapely

from hullcut.balance.engine_room import engine_room
from hullcut.parts.clearances import bodies_of
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


@pytest.mark.parametrize("name", DESIGNS)
def test_an_engine_within_the_limits_touches_neither_fin_nor_cleats_nor_shield(name):
    plan = planned(name).boat_plans[0]
    room, shaft, design = engine_room(plan.hull, plan.arrangement), plan.arrangement.shaft, plan.design
    steep = np.tan(np.radians(shaft.angle))
    start = shaft.output_x + design.woods.engine_plate.thickness
    ends = [(x, shaft.output_z + steep * (x - shaft.output_x)) for x in (start, design.decks.fore_from)]
    inside = [
        body.side
        for part in plan.parts
        if part.family == "fin" or part.id.endswith("-fin-cleat")
        for body in bodies_of(part)
    ]
    ahead = shapely.union_all(inside).intersection(shapely.box(start, -500.0, design.decks.fore_from, 500.0))
    line = shapely.LineString(ends)
    x = np.linspace(start, design.decks.fore_from, 80)
    floor = shapely.LineString(np.column_stack([x, plan.hull.bottom_height(x, plan.hull.bottom_thickness)]))
    nearest = min(line.distance(floor), line.distance(ahead) if not ahead.is_empty else np.inf)
    # Measured square to the shaft it is less by up to a millimetre than over the nearest corner.
    assert nearest - 3.0 < room.under < nearest
    assert room.aside == pytest.approx(room.across / 2.0 - design.woods.cleat.thickness - 6.35 - 25.4)
