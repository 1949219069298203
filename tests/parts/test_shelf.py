"""The radio shelf's after corners are cut where the knees stand over them, so that it goes straight down."""

import numpy as np
import pytest
import shapely
from trial_boats import built

from hullcut.parts.fittings import shelf_past_knees


def from_above(part):
    """What the part covers seen from above, over both its faces."""
    ring, half = np.array(part.true_outline), part.thickness / 2.0
    return shapely.union_all([shapely.Polygon(part.panel.to_space(ring, side * half)[:, :2]) for side in (1.0, -1.0)])


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot"])
def test_the_shelf_passes_the_knees_on_its_way_down(name):
    boat = built(name)
    there = {part.id.removeprefix(f"{part.design}-"): part for part in boat.parts}
    shelf = from_above(there["shelf"])
    # One side under its cleat, it stands half a cleat's thickness nearer to that side.
    aside = boat.design.woods.cleat.thickness / 2.0
    for hand, away in (("port", -aside), ("starboard", aside)):
        knee = from_above(there[f"knee-{hand}"])
        assert shelf.distance(knee) > 1.0
        assert shapely.affinity.translate(shelf, 0.0, away).distance(knee) > 1.0
    assert shelf_past_knees(boat.hull) > 0.0


def test_the_cuts_run_along_the_knees_free_edges():
    boat = built("bramblefin")
    there = {part.id.removeprefix(f"{part.design}-"): part for part in boat.parts}
    shelf, knee = there["shelf"], there["knee-port"]
    ways = []
    for part, name in ((shelf, "port corner"), (knee, "free")):
        edge = next(edge for edge in part.edges if edge.name == name)
        ends = part.panel.to_space(np.array([edge.outer[0], edge.outer[-1]]), part.thickness / 2.0)[:, :2]
        ways.append(np.diff(ends, axis=0)[0])
    assert np.linalg.norm(ways[0]) > 10.0
    sine = (ways[0][0] * ways[1][1] - ways[0][1] * ways[1][0]) / np.prod([np.linalg.norm(way) for way in ways])
    assert sine == pytest.approx(0.0, abs=0.02)
    assert from_above(shelf).distance(from_above(knee)) < boat.design.woods.cleat.thickness
