"""Straps are drawn where no screws hold: as many as are told, round all that they hold."""

import re

import numpy as np
import pytest

from hullcut.drawing.scene import Text
from hullcut.packet import straps_picture
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.straps_picture import strapped_bottom, strapped_deck, straps_on_the_bottom
from hullcut.packet.studio import Studio
from hullcut.packet.workshop import clamp_lines
from tests.conftest import planned
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=["tansyfoot", *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


@pytest.fixture
def added(monkeypatch):
    """The bodies that a picture adds to the hull."""
    kept = {}
    drawn = straps_picture._picture

    def picture(studio, title, direction, bodies, *others):
        kept.clear()
        kept.update(bodies)
        return drawn(studio, title, direction, bodies, *others)

    monkeypatch.setattr(straps_picture, "_picture", picture)
    return kept


def reach(facets):
    points = np.vstack([facet.rings[0].points for facet in facets])
    return points.min(axis=0), points.max(axis=0)


def test_a_step_shows_its_straps_where_its_words_tell_of_them(studio):
    kit = Kit(studio.plan)
    steps = {step.title: step for step in building_steps(studio.plan)}
    bottom, deck = steps["Bend on the bottom"], steps["Glue down the fore deck"]
    assert (bottom.closer is strapped_bottom) is not kit.screwed("bottom", "chine-cleat")
    assert (deck.closer is strapped_deck) is not kit.screwed("fore-deck", "sheer-cleat")
    for step in (bottom, deck):
        assert (step.closer is not None) is ("straps" in step.tools)


def test_as_many_straps_and_sticks_are_drawn_as_are_to_be_laid_ready(added):
    studio = Studio(planned("tansyfoot").boat_plans[0])
    strapped_bottom(studio, 78.0, 104.0)
    count = straps_on_the_bottom(studio.plan)
    told = " ".join(clamp_lines(studio.plan, building_steps(studio.plan)))
    assert re.search(rf"\b{count} straps with a buckle", told)
    for word in ("strap", "stick"):
        assert sum(name.startswith(word) for name in added) == count


def test_each_strap_goes_round_bottom_stick_and_board(studio, added):
    plan = studio.plan
    strapped_bottom(studio, 78.0, 104.0)
    board = reach(added["board"])
    for number in range(1, straps_on_the_bottom(plan) + 1):
        strap, stick = reach(added[f"strap {number}"]), reach(added[f"stick {number}"])
        x = np.array([(stick[0][0] + stick[1][0]) / 2.0])
        assert strap[0][2] < stick[0][2]
        assert stick[1][2] == pytest.approx(float(plan.hull.bottom_height(x)[0]))
        assert strap[1][2] > board[1][2]
        assert strap[0][1] < board[0][1]
        assert strap[1][1] > board[1][1]


def test_each_strap_goes_round_hull_and_deck(studio, added):
    hull = studio.plan.hull
    strapped_deck(studio, 78.0, 104.0)
    assert len(added) >= 2
    for facets in added.values():
        low, high = reach(facets)
        x = np.array([(low[0] + high[0]) / 2.0])
        assert low[2] < float(hull.bottom_height(x)[0])
        assert high[2] > float(hull.roof_height(x)[0])
        assert high[1] > float(hull.half_breadth(x, hull.sheer_height(x))[0])
        assert low[0] > studio.plan.design.decks.fore_from


@pytest.mark.parametrize("draw", [strapped_bottom, strapped_deck])
def test_the_picture_keeps_to_its_room_and_names_what_holds(studio, draw):
    scene = draw(studio, 78.0, 104.0)
    assert scene.x1 - scene.x0 <= 78.01
    assert scene.y1 - scene.y0 <= 50.0
    words = {item.text for item in scene.items if isinstance(item, Text)}
    assert "strap" in words
    assert ("stick" in words) is (draw is strapped_bottom)
