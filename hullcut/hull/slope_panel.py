"""A panel of constant slope: a side that leans out by one flare angle all along.

With the plan curve C(s) of the sheer, its outward normal n(s) and the flare phi, the outer face is
P(s, h) = C(s) + (h - D) tan(phi) n(s) + h k. It is a developable surface: in the flat its level line h = 0 keeps its
arc length and turns by d(psi) = -kappa sin(phi) ds (kappa positive where the plan is convex outward, rulings to the
left), and the rulings stand square to it, h / cos(phi) long. Derived from the surface's geodesic curvature; for
flare 0 it is the plain vertical side.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.fair_curve import FairCurve
from hullcut.hull.known import Answers, kept
from hullcut.hull.quadrature import RunningIntegral, running_integral

__all__ = ["SlopePanel", "slope_panel"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SlopePanel:
    """A side of constant flare; the drawing is seen from inside the boat, with the rulings upward.

    Attributes:
        thickness: mm.
        plan: sheer of the hull's outer face on the port side, in the plane of x and y, running forward.
        depth: height of the sheer, mm.
        flare: radians.
        inset: of this panel's outer face inside the hull's outer face, mm along the normal.
        port: whether it is the port side; the starboard side is its mirror image.
        base: the flat image of the middle surface's level line, by the plan's arc length.
        shift: of the flat drawing.
        ruling_turn: greatest turn between two listed rulings, radians.
        answers: kept.
    """

    thickness: float
    plan: FairCurve
    depth: float
    flare: float
    inset: float
    port: bool
    base: RunningIntegral
    shift: tuple[float, float] = (0.0, 0.0)
    ruling_turn: float = 0.005
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
        points = np.asarray(points, dtype=np.float64)
        s, out = self.plan.project(points[:, :2] * np.array([1.0, self._side]))
        out = out + self.depth * np.tan(self.flare)
        d = out * np.cos(self.flare) - points[:, 2] * np.sin(self.flare)
        height = points[:, 2] + d * np.sin(self.flare)
        flat = self._flat(s, height)
        return np.column_stack([flat, d - self._middle])

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset to points in space (n, 3)."""
        flat = (np.asarray(flat, dtype=np.float64) - np.array(self.shift)) * np.array([self._side, 1.0])
        s, slant = self._unroll(flat)
        height = slant * np.cos(self.flare)
        d = np.broadcast_to(np.asarray(offset, dtype=np.float64), s.shape) + self._middle
        out = (height - self.depth) * np.tan(self.flare) + d * np.cos(self.flare)
        place = self.plan.point(s) + out[:, None] * self.plan.left(s)
        return np.column_stack([place[:, 0], self._side * place[:, 1], height - d * np.sin(self.flare)])

    def turn(self, flat: Array) -> Array:
        """Angle (n,) gathered up to each point, radians."""
        flat = (np.asarray(flat, dtype=np.float64) - np.array(self.shift)) * np.array([self._side, 1.0])
        s, _ = self._unroll(flat)
        return self._turn(s)

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2), square to the rulings, forward."""
        flat = (np.asarray(flat, dtype=np.float64) - np.array(self.shift)) * np.array([self._side, 1.0])
        s, _ = self._unroll(flat)
        psi = self._flat_heading(s)
        return np.column_stack([self._side * np.cos(psi), np.sin(psi)])

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """A point (n, 2) and direction (n, 2) of each ruling, and the turn (n,) up to it, radians."""
        s = self.plan.samples(self.ruling_turn)
        psi = self._flat_heading(s)
        points = self._flat(s, np.zeros(len(s)))
        return points, np.column_stack([-self._side * np.sin(psi), np.cos(psi)]), self._turn(s)

    def moved(self, dx: float, dy: float) -> SlopePanel:
        """The same panel with its flat drawing shifted by dx, dy."""
        return replace(self, shift=(self.shift[0] + dx, self.shift[1] + dy))

    def _flat(self, s: Array, height: Array) -> Array:
        psi = self._flat_heading(s)
        slant = height / np.cos(self.flare)
        raw = self.base(s) + slant[:, None] * np.column_stack([-np.sin(psi), np.cos(psi)])
        result: Array = raw * np.array([self._side, 1.0]) + np.array(self.shift)
        return result

    def _flat_heading(self, s: Array) -> Array:
        result: Array = np.sin(self.flare) * (self.plan.heading(s) - self.plan.start_heading)
        return result

    def _turn(self, s: Array) -> Array:
        result: Array = -np.cos(self.flare) * (self.plan.heading(s) - self.plan.start_heading)
        return result

    @kept
    def _unroll(self, flat: Array) -> tuple[Array, Array]:
        """Arc length of the plan curve and distance up the ruling of unshifted flat points, by Newton's method."""
        s = flat[:, 0].copy()
        shrink = _level_offset(self.depth, self.flare, self._middle)
        for _ in range(40):
            psi = self._flat_heading(s)
            away = flat - self.base(s)
            along = away[:, 0] * np.cos(psi) + away[:, 1] * np.sin(psi)
            up = away[:, 1] * np.cos(psi) - away[:, 0] * np.sin(psi)
            convex = -self.plan.curvature(s)
            step = along / (1.0 + shrink * convex + up * np.sin(self.flare) * convex)
            s = s + step
            if not len(step) or float(np.max(np.abs(step))) < 1e-10:
                break
        psi = self._flat_heading(s)
        away = flat - self.base(s)
        return s, away[:, 1] * np.cos(psi) - away[:, 0] * np.sin(psi)


def _level_offset(depth: float, flare: float, d: float) -> float:
    """Distance outward from the sheer's plan curve to the level line h = 0 of the surface at d."""
    return -depth * float(np.tan(flare)) + d * float(np.cos(flare))


def slope_panel(plan: FairCurve, depth: float, flare: float, thickness: float, inset: float, port: bool) -> SlopePanel:
    """Prepare the panel of constant slope.

    Args:
        plan: sheer of the hull's outer face on the port side, running forward.
        depth: height of the sheer, mm.
        flare: radians.
        thickness: mm.
        inset: of this panel's outer face inside the hull's outer face, mm.
        port: which side.
    """
    offset = _level_offset(depth, flare, -inset - thickness / 2.0)

    def pace(s: Array) -> Array:
        psi = np.sin(flare) * (plan.heading(s) - plan.start_heading)
        stretch = 1.0 - offset * plan.curvature(s)
        return np.column_stack([stretch * np.cos(psi), stretch * np.sin(psi)])

    return SlopePanel(thickness, plan, depth, flare, inset, port, running_integral(pace, plan.track.knots))
