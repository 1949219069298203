"""Where the packet's pictures are taken: the boat's bodies, and the directions from which they are looked at."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np

from hullcut.drawing.views.bodies import FITTINGS, boat_bodies, copies
from hullcut.drawing.views.picture import View
from hullcut.drawing.views.projection import camera
from hullcut.drawing.views.solids import loft_solid
from hullcut.drawing.views.three_views import three_views

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.drawing.views.solids import Facet
    from hullcut.parts.values import Part

__all__ = ["FOAM", "Direction", "Studio"]

Direction = Literal["quarter", "bow", "keel up", "side", "above", "cutaway", "cover", "astern"]

FOAM = "foam"

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
        return {**boat_bodies(self.plan), FOAM: _foam(self.plan)}

    def three_views(self, width: float, height: float = math.inf) -> Scene:
        """The three views in a scene of a width and a greatest height, mm on paper."""
        views = (self.view("side"), self.view("above"), self.view("astern"))
        owners = [owner for owner in self.bodies if owner != FOAM]
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
        """Everything but the stand, foam and radio box."""
        ashore = set(self.owners(*(part for part in self.plan.parts if part.family == "stand")))
        return [owner for owner in self.bodies if owner not in ashore and owner not in (FOAM, "radio box")]

    @property
    def fittings(self) -> tuple[str, ...]:
        """What is no wooden part."""
        return FITTINGS


def _foam(plan: BoatPlan) -> tuple[Facet, ...]:
    """A block of foam in the fore compartment, standing on the bottom, clear of what is round it."""
    hull, design = plan.hull, plan.design
    cleat = design.woods.cleat.thickness
    start = design.decks.fore_from + design.woods.bulkhead.thickness + design.woods.deck_beam.thickness + 6.0
    tried = np.linspace(start, max(start + 30.0, hull.bow_room() - cleat - 4.0), 60)
    low = hull.bottom_height(tried, hull.bottom_thickness) + 1.0
    high = hull.roof_height(tried) - design.decks.beam_depth - 4.0
    half = hull.half_breadth(tried, np.minimum(low, high), hull.side_thickness) - cleat - 4.0
    room = (high - low > 4.0) & (half > 4.0)
    stop = max(int(np.argmin(room)) - 1, 1) if not room.all() else len(tried) - 1
    chosen = np.unique(np.linspace(0, stop, 7).astype(int))
    x, z, top = tried[chosen], np.minimum(low, high - 1.0)[chosen], high[chosen]
    back = np.arange(len(x) - 1, -1, -1) if float(np.ptp(top)) > 1e-9 else np.array([len(x) - 1, 0])
    ring_x, ring_z = np.append(x, x[back]), np.append(z, top[back])
    y = np.maximum(hull.half_breadth(ring_x, ring_z, hull.side_thickness) - cleat - 4.0, 1.0)
    return loft_solid(np.column_stack([ring_x, y, ring_z]), np.column_stack([ring_x, -y, ring_z]))
