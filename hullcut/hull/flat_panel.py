"""A panel that stays flat: a plane with a drawing frame in it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

__all__ = ["FlatPanel"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FlatPanel:
    """A flat panel.

    Attributes:
        thickness: mm.
        origin: point in space (3,) of the middle plane where the flat drawing has 0, 0.
        x_axis: unit vector (3,) of the drawing's x.
        y_axis: unit vector (3,) of the drawing's y.
        outer: unit vector (3,) from the middle plane towards the outer face.
    """

    thickness: float
    origin: tuple[float, float, float]
    x_axis: tuple[float, float, float]
    y_axis: tuple[float, float, float]
    outer: tuple[float, float, float]

    def to_flat(self, points: Array) -> Array:
        """Points in space (n, 3) to flat x, y and offset (n, 3)."""
        away = np.asarray(points, dtype=np.float64) - np.array(self.origin)
        frame = np.array([self.x_axis, self.y_axis, self.outer])
        result: Array = away @ frame.T
        return result

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset to points in space (n, 3)."""
        flat = np.asarray(flat, dtype=np.float64)
        offsets = np.broadcast_to(np.asarray(offset, dtype=np.float64), (len(flat),))
        result: Array = (
            np.array(self.origin)
            + flat[:, :1] * np.array(self.x_axis)
            + flat[:, 1:2] * np.array(self.y_axis)
            + offsets[:, None] * np.array(self.outer)
        )
        return result

    def turn(self, flat: Array) -> Array:
        """Zeros (n,): a flat panel does not turn."""
        return np.zeros(len(flat))

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2) along x."""
        return np.tile([1.0, 0.0], (len(flat), 1))

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """No rulings: points (0, 2), directions (0, 2) and turns (0,)."""
        return np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0)

    def moved(self, dx: float, dy: float) -> FlatPanel:
        """The same panel with its flat drawing shifted by dx, dy."""
        shifted = np.array(self.origin) - dx * np.array(self.x_axis) - dy * np.array(self.y_axis)
        return replace(self, origin=(float(shifted[0]), float(shifted[1]), float(shifted[2])))
