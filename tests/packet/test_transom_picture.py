"""The transom's picture: every hole through it stands where the step tells, with its figures, words clear of words."""

from itertools import combinations

import numpy as np
import pytest

from hullcut.drawing.paths import bounds, bounds_of
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.packet.drain import drain
from hullcut.packet.places import pushrod_hole, switch_place
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.transom_picture import holes_from_astern
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def holes_of(plan):
    return {
        "drain plug": drain(plan),
        "pushrod in its bellows": pushrod_hole(plan),
        "radio's switch": switch_place(plan),
    }


def test_every_hole_is_named_and_measured_where_it_is_drilled(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    scene = holes_from_astern(studio, 78.0, 80.0, drain(plan))
    words = [item for item in scene.items if isinstance(item, Text)]
    told = [item.text for item in words]
    step = next(step for step in building_steps(plan) if step.title.startswith("Glue in the strut pad"))
    assert step.closer is not None
    for name, hole in holes_of(plan).items():
        assert name in told
        for size in (kit.size(abs(hole.y)), kit.size(hole.z)):
            assert size in told
    for one, other in combinations(words, 2):
        a, b = bounds(one), bounds(other)
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], (one.text, other.text)
    assert scene.width <= 78.0


def test_the_holes_stand_to_scale_on_their_own_side(studio):
    plan = studio.plan
    scene = holes_from_astern(studio, 78.0, 80.0, drain(plan))
    drawn = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.OUTLINE and item.fill]
    board = bounds(drawn[0])
    transom = next(part for part in plan.parts if part.id.endswith("-transom") and "bow" not in part.id)
    face = transom.panel.to_space(np.array(transom.true_outline), transom.thickness / 2.0)
    scale = (board[2] - board[0]) / float(np.ptp(face[:, 1]))
    middle = (board[0] + board[2]) / 2.0
    rings = [bounds(item) for item in drawn[1:] if len(item.paths[0].segments) <= 4 and item.fill.lower() != "#e4e4e4"]
    places = sorted(((box[0] + box[2]) / 2.0 - middle, (box[1] + box[3]) / 2.0 - board[3]) for box in rings)
    wanted = sorted((-hole.y * scale, (hole.z - float(face[:, 2].max())) * scale) for hole in holes_of(plan).values())
    assert len(places) == 3
    assert np.allclose(places, wanted, atol=0.05)
    assert bounds_of(scene.items)[0] >= scene.x0
