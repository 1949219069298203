"""Where the bulkhead is drilled for a drain plug, and how wide a plug's hole is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.design.values import Design
    from hullcut.hull.form import Hull

__all__ = ["Hole", "bulkhead_drain", "plug_hole"]

# A usual plug's hole, and the share of the transom's foot cleat's height that it may take, mm: common practice, no
# source.
_HOLES, _SHARE = {"in": 25.4 * 5.0 / 16.0, "mm": 8.0}, 0.7
# The hole's middle over the bulkhead's lower edge, and beside the bearers, where a hand reaches its plug, mm.
_UP, _BESIDE_BEARER = {"in": 12.7, "mm": 12.0}, 25.0
# Wood between the hole and the notch for a chine cleat, mm: for the plug's flange.
_CLEAR_OF_NOTCH = 10.0
_STEPS = {"in": 25.4 / 4.0, "mm": 5.0}


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole through a board that stands across the boat.

    Attributes:
        y: to port of the centre line, mm.
        z: above the bottom's outer face, mm.
        diameter: mm.
    """

    y: float
    z: float
    diameter: float

    @property
    def side(self) -> Literal["port", "starboard"]:
        """On which side of the boat it is."""
        return "port" if self.y > 0.0 else "starboard"


def plug_hole(design: Design) -> float:
    """Diameter of a drain plug's hole, mm: the transom's goes through its foot cleat."""
    return min(_HOLES[design.units], _SHARE * design.cleats.transom_height)


def bulkhead_drain(hull: Hull) -> Hole:
    """The hole through the bulkhead, low and outside the engine's bearers, on the side away from the rudder."""
    design = hull.design
    step, diameter = _STEPS[design.units], plug_hole(design)
    x = np.array([design.decks.fore_from])
    low = float(hull.bottom_height(x, hull.bottom_thickness)[0])
    # Clear of the notch for the chine cleat.
    inside = float(hull.half_breadth(x, np.array([low]), hull.side_thickness)[0]) - design.woods.cleat.thickness
    most = inside - diameter / 2.0 - _CLEAR_OF_NOTCH
    wanted = design.engine.bearer_gap / 2.0 + design.woods.bearer.thickness + _BESIDE_BEARER
    sign = 1.0 if design.rudder.offset <= 0.0 else -1.0
    return Hole(sign * step * math.floor(min(wanted, most) / step), low + _UP[design.units], diameter)
