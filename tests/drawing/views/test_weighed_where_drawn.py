"""What hangs behind the transom is weighed where the pictures show it."""

import numpy as np
import pytest

from hullcut.drawing.views.bodies import POST_ABAFT, boat_bodies
from tests.conftest import DESIGNS, planned


@pytest.mark.parametrize("name", DESIGNS)
def test_rudder_and_propeller_weigh_within_their_bodies(name):
    plan = planned(name).boat_plans[0]
    bodies = boat_bodies(plan)
    weights = {each.name: each for each in plan.balance.weights}
    for line, body in (("Rudder and bracket", "rudder"), ("Propeller", "propeller")):
        corners = np.concatenate([ring.points for facet in bodies[body] for ring in facet.rings])
        place = np.array([weights[line].x, weights[line].y, weights[line].z])
        assert (corners.min(axis=0) <= place).all(), line
        assert (place <= corners.max(axis=0)).all(), line
    assert weights["Rudder and bracket"].x == -POST_ABAFT
