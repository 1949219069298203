"""The bow loop's screw stays inside the wood that it goes into."""

import numpy as np
import pytest

from hullcut.drawing.views.bodies import boat_bodies, copies
from hullcut.packet.bow_loop import loop_screw
from tests.packet.trial_bows import BOWS, bow_plan


def heights(facets, x):
    """Where a line straight down at x on the centre line meets a body's facets, from the tops of their planes."""
    found = []
    for facet in facets:
        ring, normal = facet.rings[0].points, facet.normal
        if abs(normal[2]) < 1e-6 or not _within(ring[:, :2], x):
            continue
        found.append(float(ring[0][2] - (normal[0] * (x - ring[0][0]) + normal[1] * (0.0 - ring[0][1])) / normal[2]))
    return found


def _within(ring, x):
    # A hair aside of the centre line, so that no corner lies on it.
    y, inside = 0.013, False
    for (xa, ya), (xb, yb) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        if (ya > y) != (yb > y) and x < xa + (y - ya) / (yb - ya) * (xb - xa):
            inside = not inside
    return inside


@pytest.mark.parametrize("bow", BOWS)
def test_the_screws_point_stays_in_deck_and_block(bow):
    plan = bow_plan(bow)
    screw = loop_screw(plan)
    blocks = [part for part in plan.parts if part.family == "nose_block"]
    if not blocks:
        assert screw is None
        return
    bodies = boat_bodies(plan)
    x = plan.hull.length - screw.from_bow
    owners = [owner for part in (*blocks, *(p for p in plan.parts if p.family == "deck")) for owner in copies(part)]
    met = [z for owner in owners for z in heights(bodies[owner], x)]
    assert len(met) >= 3
    assert max(met) - screw.most > min(met) + 1.0
    assert screw.most > 12.0
