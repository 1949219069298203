"""A side between any two curves: the panel of a ruled surface that unrolls flat.

While the frame of a ruled surface goes forward, the ruling turns within the surface and the surface turns about the
ruling. In the flat the ruling turns by the first alone, d(psi) = -(dr . c), and the middle surface's foot moves as it
does in space, seen from the ruling; the second, d(turn) = dn . c, is what longer and shorter faces differ by. Both
follow from the definition of the developed surface (geodesic curvature; any book on differential geometry). On a warped
side the small part of the motion that leaves the tangent plane is left out.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.cubic_spline import CubicSpline, cubic_spline, hermite_spline, integrals
from hullcut.hull.known import Answers, kept
from hullcut.hull.ruled_surface import RuledSurface, forward_root

__all__ = ["RuledPanel", "ruled_panel"]

Array = NDArray[np.float64]

_COARSE = 48


@dataclass(frozen=True, slots=True)
class RuledPanel:
    """A general side; the drawing is seen from inside the boat, with the rulings upward.

    Attributes:
        thickness: mm.
        surface: outer face of the hull's port side.
        inset: of this panel's outer face inside the hull's outer face, mm along the normal.
        port: whether it is the port side; the starboard side is its mirror image.
        flat: by number of the ruling: foot in the flat (2), turn of the ruling (1), turn of the surface (1).
        shift: of the flat drawing.
        answers: kept.
    """

    thickness: float
    surface: RuledSurface
    inset: float
    port: bool
    flat: CubicSpline
    shift: tuple[float, float] = (0.0, 0.0)
    answers: Answers = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def _side(self) -> float:
        return 1.0 if self.port else -1.0

    @property
    def _middle(self) -> float:
        """Place of the middle surface along the hull's outward normal."""
        return -self.inset - self.thickness / 2.0

    def to_flat(self, points: Array) -> Array:
        """Points in space (n, 3) to flat x, y and offset (n, 3)."""
        points = np.asarray(points, dtype=np.float64) * np.array([1.0, self._side, 1.0])
        at, up, out = self.surface.locate(points)
        laid = self.flat(at)
        place = laid[:, :2] + up[:, None] * _upward(laid[:, 2])
        place = place * np.array([self._side, 1.0]) + np.array(self.shift)
        return np.column_stack([place, out - self._middle])

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset to points in space (n, 3)."""
        at, up = self._unroll(flat)
        points = self.surface.point(at, up, np.asarray(offset, dtype=np.float64) + self._middle)
        result: Array = points * np.array([1.0, self._side, 1.0])
        return result

    def turn(self, flat: Array) -> Array:
        """Angle (n,) gathered up to each point, radians."""
        return self.flat(self._unroll(flat)[0])[:, 3]

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2), square to the rulings, forward."""
        psi = self.flat(self._unroll(flat)[0])[:, 2]
        return np.column_stack([self._side * np.cos(psi), np.sin(psi)])

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """A point (n, 2) and direction (n, 2) of each ruling, and the turn (n,) up to it, radians."""
        laid = self.flat(self.flat.knots)
        side = np.array([self._side, 1.0])
        return laid[:, :2] * side + np.array(self.shift), _upward(laid[:, 2]) * side, laid[:, 3]

    def moved(self, dx: float, dy: float) -> RuledPanel:
        """The same panel with its flat drawing shifted by dx, dy."""
        return replace(self, shift=(self.shift[0] + dx, self.shift[1] + dy))

    @kept
    def _unroll(self, flat: Array) -> tuple[Array, Array]:
        """Number of the ruling (n,) of each flat point (n, 2), and how far up it the point lies."""
        flat = (np.asarray(flat, dtype=np.float64) - np.array(self.shift)) * np.array([self._side, 1.0])
        count = len(self.flat.knots)
        knots = np.linspace(0.0, count - 1.0, min(_COARSE, count))
        coarse = self.flat(knots)
        forward = _forward(coarse[:, 2])
        ahead = np.einsum("ij,kj->ik", flat, forward) - np.einsum("ij,ij->i", coarse[:, :2], forward)[None, :]

        def away(at: Array, which: NDArray[np.intp]) -> Array:
            laid = self.flat(at)
            result: Array = np.einsum("ij,ij->i", flat[which] - laid[:, :2], _forward(laid[:, 2]))
            return result

        at = forward_root(away, ahead, knots)
        laid = self.flat(at)
        up: Array = np.einsum("ij,ij->i", flat - laid[:, :2], _upward(laid[:, 2]))
        return at, up


def _forward(psi: Array) -> Array:
    return np.column_stack([np.cos(psi), np.sin(psi)])


def _upward(psi: Array) -> Array:
    return np.column_stack([-np.sin(psi), np.cos(psi)])


def ruled_panel(surface: RuledSurface, thickness: float, inset: float, port: bool) -> RuledPanel:
    """Unroll a side, or a strip parallel to it inside.

    The line half way up the rulings runs from end to end along x.

    Args:
        surface: outer face of the hull's port side.
        thickness: mm.
        inset: of this panel's outer face inside the hull's outer face, mm.
        port: which side.
    """
    numbers = surface.frame.knots
    _, ruling, normal = surface.frames(numbers)
    rates = surface.frame(numbers, 1)
    across = np.cross(normal, ruling)
    veer = -np.einsum("ij,ij->i", rates[:, 3:6], across)
    bend = np.einsum("ij,ij->i", rates[:, 6:9], across)
    psi, turn = integrals(cubic_spline(numbers, np.column_stack([veer, bend]))).T
    foot = rates[:, :3] + (-inset - thickness / 2.0) * rates[:, 6:9]
    forward, upward = np.einsum("ij,ij->i", foot, across), np.einsum("ij,ij->i", foot, ruling)
    psi = psi + _level(surface, psi, forward, upward)
    pace = forward[:, None] * _forward(psi) + upward[:, None] * _upward(psi)
    laid = integrals(cubic_spline(numbers, pace))
    values = np.column_stack([laid, psi, turn])
    flat = hermite_spline(numbers, values, np.column_stack([pace, veer, bend]))
    return RuledPanel(thickness, surface, inset, port, flat)


def _level(surface: RuledSurface, psi: Array, forward: Array, upward: Array) -> float:
    """The angle by which to turn the drawing so that its middle line runs along x."""
    numbers = surface.frame.knots
    laid = integrals(cubic_spline(numbers, forward[:, None] * _forward(psi) + upward[:, None] * _upward(psi)))
    middle = laid + 0.5 * surface.frame(numbers)[:, 9:10] * _upward(psi)
    chord = middle[round(surface.stop)] - middle[round(surface.start)]
    return -float(np.arctan2(chord[1], chord[0]))
