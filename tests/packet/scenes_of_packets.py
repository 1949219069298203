"""Every picture of a sample's packet as it is printed, with what its leaders join."""

from dataclasses import dataclass
from functools import cache

import pytest
import shapely

from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Shape
from hullcut.drawing.style import VERMILLION
from hullcut.packet.packet import packet_pdf
from hullcut.packet.pictures import exploded_with_names
from hullcut.packet.studio import Studio
from tests.conftest import planned


@dataclass(frozen=True)
class Leader:
    """A leader, mm on paper: what it names, its start beside the name, its dot."""

    name: str
    start: tuple[float, float]
    dot: tuple[float, float]

    @property
    def line(self):
        return shapely.LineString([self.start, self.dot])


@cache
def scenes_of(name):
    """All pictures of a sample's packet and the one drawn apart, in order, each with its scale on paper."""
    plan = planned(name)
    studio = Studio(plan.boat_plans[0])
    found = {}

    plain = SceneFlowable.__init__

    def init(self, scene, width_mm=None, align="CENTER"):
        plain(self, scene, width_mm, align)
        found[id(scene)] = (scene, self.scale)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(SceneFlowable, "__init__", init)
        packet_pdf(plan, None, "letter", None, studio)
    apart = exploded_with_names(studio, 180.0, 150.0)
    return (*found.values(), (apart, 1.0))


def leaders_of(scene, scale=1.0):
    """The leaders of a picture with names, in the order in which they are drawn."""
    found = []
    for item in scene.items:
        if isinstance(item, Shape) and item.ref is not None and item.ref.startswith("leader "):
            (segment,) = item.paths[0].segments
            start, dot = (tuple(scale * value for value in point) for point in (segment.start, segment.end))
            found.append(Leader(item.ref.removeprefix("leader "), start, dot))
    return found


def arrows_of(scene, scale=1.0):
    """The areas of the arrows that tell how a part goes on."""
    return [
        shapely.Polygon([(scale * each.start[0], scale * each.start[1]) for each in path.segments])
        for item in scene.items
        if isinstance(item, Shape) and item.fill == VERMILLION
        for path in item.paths
    ]
