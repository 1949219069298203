"""Where the packet's pictures are taken: the boat's bodies, and the directions from which they are looked at."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from hullcut.drawing.views.bodies import FITTINGS, boat_bodies, copies
from hullcut.drawing.views.picture import View
from hullcut.drawing.views.projection import camera
from hullcut.drawing.views.three_views import three_views

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.drawing.views.solids import Facet
    from hullcut.parts.values import Part

__all__ = ["Direction", "Studio"]

Direction = Literal["quarter", "bow", "keel up", "side", "above", "cutaway", "cover", "astern"]


_CAMERAS = {
    "quarter": (215.0, 40.0, False),
    "bow": (38.0, 40.0, False),
    "keel up": (215.0, 34.0, True),
    "side": (270.0, 0.0, False),
    "above": (270.0, 90.0, False),
    "cutaway": (242.0, 24.0, False),
    "cover": (62.0, 24.0, False),
    "astern": (180.0, 0.0, False),
}


class Studio:
    """The bodies of one boat and its views, each made once, when first asked for.

    Args:
        plan: the boat.

    Attributes:
        plan: the boat.
    """

    def __init__(self, plan: BoatPlan) -> None:
        self.plan = plan
        self._views: dict[Direction, View] = {}
        self._kept: dict[str, Scene] = {}

    @cached_property
    def bodies(self) -> dict[str, tuple[Facet, ...]]:
        """Facets by owner."""
        return boat_bodies(self.plan)

    def three_views(self, width: float, height: float = math.inf) -> Scene:
        """The three views in a scene of a width and a greatest height, mm on paper."""
        views = (self.view("side"), self.view("above"), self.view("astern"))
        owners = list(self.bodies)
        return self.kept(
            f"three views {width:.3f} {height:.3f}", lambda: three_views(self.plan, owners, views, width, height)
        )

    def view(self, direction: Direction) -> View:
        """The view from a direction."""
        if direction not in self._views:
            azimuth, elevation, upside_down = _CAMERAS[direction]
            self._views[direction] = View(self.bodies, camera(azimuth, elevation, upside_down))
        return self._views[direction]

    def kept(self, name: str, make: Callable[[], Scene]) -> Scene:
        """A picture by its name, made when it is first asked for; boats of one design share it."""
        if name not in self._kept:
            self._kept[name] = make()
        return self._kept[name]

    def owners(self, *parts: Part) -> list[str]:
        """The owners' names of all copies of some parts."""
        return [owner for part in parts for owner in copies(part)]

    @property
    def afloat(self) -> list[str]:
        """Everything but the stand and the radio box."""
        ashore = set(self.owners(*(part for part in self.plan.parts if part.family == "stand")))
        return [owner for owner in self.bodies if owner not in ashore and owner != "radio box"]

    @property
    def fittings(self) -> tuple[str, ...]:
        """What is no wooden part."""
        return FITTINGS
