"""The glued card model in space: the joints lie where the hull's own edges are, each on the two panels it names."""

import itertools

import numpy as np
import pytest
from trial_boats import sample

from hullcut.hull.form import shape
from hullcut.parts.card_model import card_panels
from hullcut.parts.card_space import model_faces, model_joints


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot"])
def test_every_joint_lies_on_the_border_of_both_its_panels(name):
    hull = shape(sample(name))
    panels = card_panels(hull)
    faces = {face.panel: face for face in model_faces(hull, panels)}
    assert set(faces) == {panel.name for panel in panels}
    joints = model_joints(hull, panels)
    assert {joint.letter for joint in joints} == {edge.letter for panel in panels for edge in panel.edges} - {""}
    for joint in joints:
        for panel in joint.panels:
            assert off_border(faces[panel], joint.middle) < 3.0, (joint.letter, panel)


def off_border(face, point):
    """How far a point lies from the border of a face, mm."""
    runs = (face.low, face.high, np.array([face.low[0], face.high[0]]), np.array([face.low[-1], face.high[-1]]))
    return min(
        float(np.linalg.norm(a + share * (b - a) - point))
        for run in runs
        for a, b in itertools.pairwise(run)
        for share in np.linspace(0.0, 1.0, 101)
    )


def test_port_joints_are_to_port_and_the_bottom_is_below():
    hull = shape(sample("bramblefin"))
    panels = card_panels(hull)
    for joint in model_joints(hull, panels):
        if "Side, port" in joint.panels:
            assert joint.middle[1] > 50.0
        if "Side, starboard" in joint.panels:
            assert joint.middle[1] < -50.0
        if "Bottom" in joint.panels:
            assert joint.middle[2] < 40.0
