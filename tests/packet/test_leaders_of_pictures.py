"""Leaders in every picture of the packet: one sees at once which word belongs to what."""

import math
from itertools import combinations

import pytest
import shapely

from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Text
from hullcut.drawing.views.leaders import cross
from tests.conftest import DESIGNS
from tests.packet.scenes_of_packets import arrows_of, leaders_of, scenes_of

# A dot's width and as much again, mm on paper.
APART = 2.4
# From a leader to the middle of another name's dot, so that white is left between them, mm on paper.
PAST = 0.95


@pytest.fixture(params=DESIGNS, scope="module")
def scenes(request):
    return scenes_of(request.param)


def test_no_two_dots_run_together(scenes):
    seen = 0
    for scene, scale in scenes:
        for one, other in combinations(leaders_of(scene, scale), 2):
            seen += 1
            assert math.dist(one.dot, other.dot) >= APART, (scene.title, one.name, other.name)
    assert seen > 500


def test_no_leader_runs_through_the_dot_of_another_name(scenes):
    for scene, scale in scenes:
        leaders = leaders_of(scene, scale)
        for one in leaders:
            for other in leaders:
                if other is not one:
                    assert one.line.distance(shapely.Point(other.dot)) >= PAST, (scene.title, one.name, other.name)


def test_no_two_leaders_cross(scenes):
    for scene, scale in scenes:
        for one, other in combinations(leaders_of(scene, scale), 2):
            assert not cross(one.start, one.dot, other.start, other.dot), (scene.title, one.name, other.name)


def test_no_leader_runs_over_an_arrow(scenes):
    arrows = 0
    for scene, scale in scenes:
        for arrow in arrows_of(scene, scale):
            arrows += 1
            for each in leaders_of(scene, scale):
                assert not each.line.intersects(arrow), (scene.title, each.name)
    assert arrows > 20


def test_a_leader_begins_clear_of_all_letters(scenes):
    for scene, _ in scenes:
        words = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
        for each in leaders_of(scene):
            assert not any(each.line.intersects(word) for word in words), (scene.title, each.name)


def test_bow_and_stern_are_words_without_a_leader(scenes):
    told = [item.text for scene, _ in scenes for item in scene.items if isinstance(item, Text)]
    assert "bow" in told
    assert "stern" in told
    assert not {each.name for scene, _ in scenes for each in leaders_of(scene)} & {"bow", "stern"}
