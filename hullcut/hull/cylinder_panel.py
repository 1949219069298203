"""A panel bent one way only, flat across the boat: the bottom."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.plane_curve import PlaneCurve

__all__ = ["CylinderPanel"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CylinderPanel:
    """A cylinder with rulings across the boat over a profile in the plane of x and z.

    The profile runs forward along the panel's lower face; the wood lies to its left. In the flat, x is the arc length
    of the middle surface and y is to port, seen from above.

    Attributes:
        thickness: mm.
        profile: the lower face's profile, or a curve parallel to it.
        base: how far the lower face lies to the left of (above) the profile, mm.
        outer_up: whether the outer face is the upper one, as on a deck; a bottom's is the lower one.
        shift: of the flat drawing.
        ruling_turn: greatest turn between two listed rulings, radians.
    """

    thickness: float
    profile: PlaneCurve
    base: float = 0.0
    outer_up: bool = False
    shift: tuple[float, float] = (0.0, 0.0)
    ruling_turn: float = 0.005

    @property
    def _middle(self) -> float:
        return self.base + self.thickness / 2.0

    @property
    def _side(self) -> float:
        return -1.0 if self.outer_up else 1.0

    def to_flat(self, points: Array) -> Array:
        """Points in space (n, 3) to flat x, y and offset (n, 3)."""
        points = np.asarray(points, dtype=np.float64)
        s, inward = self.profile.project(points[:, [0, 2]])
        x = self.profile.parallel_length(s, self._middle)
        offset = self._side * (self._middle - inward)
        return np.column_stack([x + self.shift[0], points[:, 1] + self.shift[1], offset])

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset to points in space (n, 3)."""
        flat = np.asarray(flat, dtype=np.float64)
        s = self.profile.at_parallel_length(flat[:, 0] - self.shift[0], self._middle)
        inward = self._middle - self._side * np.broadcast_to(np.asarray(offset, dtype=np.float64), s.shape)
        place = self.profile.point(s) + inward[:, None] * self.profile.left(s)
        return np.column_stack([place[:, 0], flat[:, 1] - self.shift[1], place[:, 1]])

    def turn(self, flat: Array) -> Array:
        """Angle (n,) gathered up to each point, radians."""
        s = self.profile.at_parallel_length(np.asarray(flat, dtype=np.float64)[:, 0] - self.shift[0], self._middle)
        turned: Array = self._side * (self.profile.heading(s) - self.profile.start_heading)
        return turned

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2): along x everywhere."""
        return np.tile([1.0, 0.0], (len(flat), 1))

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """A point (n, 2) and direction (n, 2) of each ruling, and the turn (n,) up to it, radians."""
        s = self.profile.samples(self.ruling_turn)
        x = self.profile.parallel_length(s, self._middle)
        points = np.column_stack([x + self.shift[0], np.full(len(s), self.shift[1])])
        turns = self._side * (self.profile.heading(s) - self.profile.start_heading)
        return points, np.tile([0.0, 1.0], (len(s), 1)), turns

    def moved(self, dx: float, dy: float) -> CylinderPanel:
        """The same panel with its flat drawing shifted by dx, dy."""
        return replace(self, shift=(self.shift[0] + dx, self.shift[1] + dy))
