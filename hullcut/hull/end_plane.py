"""The plane of a transom, a bow transom or a stem: square across the boat, leaning fore or aft."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel

__all__ = ["EndPlane"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class EndPlane:
    """All points with x = foot + slope z.

    Attributes:
        foot: x at z = 0, mm.
        slope: how far x grows with z; negative where the plane leans aft.
    """

    foot: float
    slope: float

    @property
    def lean(self) -> float:
        """Angle from upright, radians, positive where it leans forward."""
        return math.atan(self.slope)

    def x(self, z: Array | float) -> Array:
        """The plane's x at heights z."""
        return self.foot + self.slope * np.asarray(z, dtype=np.float64)

    def ahead(self, distance: float) -> EndPlane:
        """The parallel plane `distance` mm ahead, square to it."""
        return replace(self, foot=self.foot + distance / math.cos(self.lean))

    def panel(self, thickness: float, faces_aft: bool) -> FlatPanel:
        """A board whose after face lies in this plane, drawn as seen from inside the boat.

        Flat y runs up the board from z = 0.

        Args:
            thickness: mm.
            faces_aft: whether the board's outer face looks aft; then port is to the right, else to the left.
        """
        c, s = math.cos(self.lean), math.sin(self.lean)
        middle = self.ahead(thickness / 2.0)
        up, ahead = (s, 0.0, c), (c, 0.0, -s)
        if faces_aft:
            return FlatPanel(thickness, (middle.foot, 0.0, 0.0), (0.0, 1.0, 0.0), up, (-c, 0.0, s))
        return FlatPanel(thickness, (middle.foot, 0.0, 0.0), (0.0, -1.0, 0.0), up, ahead)

    def up(self, z: float) -> float:
        """Flat y of height z on a board of this plane."""
        return z / math.cos(self.lean)
