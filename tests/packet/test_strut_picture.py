"""Strut and propeller from the side and from astern: no line runs through a word or a figure."""

from itertools import pairwise

import pytest
import shapely

from hullcut.drawing.paths import flatten, text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.packet.strut_picture import propeller_on, strut_and_rudder
from hullcut.packet.studio import Studio
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_studio


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


@pytest.mark.parametrize("draw", [strut_and_rudder, propeller_on])
def test_no_line_of_a_measure_or_a_name_runs_through_what_is_written(studio, draw):
    scene = draw(studio, 78.0, 104.0)
    lines = [
        shapely.LineString(ends)
        for item in scene.items
        if isinstance(item, Shape) and item.role is Role.DIMENSION and item.fill is None
        for path in item.paths
        for ends in pairwise(flatten(path, 0.01))
    ]
    texts = [item for item in scene.items if isinstance(item, Text)]
    assert len(lines) > 10
    assert sum(item.role is Role.DIMENSION for item in texts) >= 2
    for text in texts:
        # A leader begins at the rim of its word.
        letters = shapely.Polygon(text_box(text)).buffer(-0.3, join_style="mitre")
        assert not any(letters.intersects(line) for line in lines), text.text
