"""The room for the engine, against the parts that bound it."""

import numpy as np
import pytest

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
