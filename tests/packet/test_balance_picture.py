"""The boat on its balance bar: lifted by what the stand's sizes give, clear of both cradles, and drawn so."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from hullcut.drawing.paths import bounds, bounds_of
from hullcut.drawing.scene import Text
from hullcut.drawing.views.solids import moved
from hullcut.lengths import both
from hullcut.packet.balance_picture import cradle_from_astern
from hullcut.packet.places import lifted_by_bar
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from tests.conftest import DESIGNS, planned
from tests.packet.test_step_pictures import pierces
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


def points(body):
    return np.vstack([ring.points for facet in body for ring in facet.rings])


def balancing(studio):
    return next(step for step in building_steps(studio.plan) if step.title == "Balance the boat")


def test_the_lift_sets_the_bottom_on_the_bars_top(studio):
    """The bar's top less the bottom's outer face over it, both from the bodies as they are drawn."""
    bar = points(studio.bodies["balance-bar#0"])
    along = (bar[:, 0].min(), bar[:, 0].max())
    under = studio.plan.hull.bottom_height(np.linspace(*along, 9)).min()
    assert lifted_by_bar(studio.plan) == pytest.approx(bar[:, 2].max() - under, abs=0.05)


def test_so_lifted_the_boat_is_clear_of_both_cradles_and_else_it_lies_on_them(studio):
    plan = studio.plan
    lift = lifted_by_bar(plan)
    assert 5.0 < lift < 20.0
    for name in ("after", "fore"):
        cradle = studio.bodies[f"stand-cradle-{name}#0"]
        x, z = points(cradle)[:, 0], points(cradle)[:, 2]
        under = plan.hull.bottom_height(np.linspace(x.min(), x.max(), 9)).min()
        assert abs(z - under).min() < 0.1
        for owner in studio.afloat:
            if owner.startswith(("bottom", "side", "fin#")):
                raised = moved(studio.bodies[owner], (0.0, 0.0, lift))
                assert not pierces(raised, cradle)
                assert not pierces(cradle, raised)


def test_from_the_side_the_boat_is_drawn_so_much_higher(studio):
    step = balancing(studio)
    assert step.raised == lifted_by_bar(studio.plan)
    there = [*studio.owners(*step.back), *studio.afloat]
    heights = []
    for raised in (step.raised, 0.0):
        scene = step_picture(studio, replace(step, raised=raised, extra=()), there, 178.0, 500.0)
        heights.append(bounds_of([item for item in scene.items if not isinstance(item, Text)]))
    wide = heights[0][2] - heights[0][0]
    long = np.ptp(np.vstack([points(studio.bodies[owner]) for owner in there])[:, 0])
    rise = (heights[0][3] - heights[0][1]) - (heights[1][3] - heights[1][1])
    assert rise / (wide / long) == pytest.approx(step.raised, abs=0.4)


def test_from_astern_the_gap_is_measured_and_words_are_clear_of_each_other(studio):
    scene = cradle_from_astern(studio, 160.0, 60.0)
    words = [item for item in scene.items if isinstance(item, Text)]
    told = both(lifted_by_bar(studio.plan), studio.plan.design.units)
    title = "from astern, without rudder and propeller"
    assert {item.text for item in words} == {"balance bar", "cradle", "boat", told, title}
    assert scene.width <= 160.0
    assert scene.height <= 60.0
    for one, other in combinations(words, 2):
        a, b = bounds(one), bounds(other)
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], (one.text, other.text)
    assert balancing(studio).under is cradle_from_astern
