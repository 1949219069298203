"""Fair curves through points: plane curves told by arc length, and space curves for chine and sheer.

A `SplineCurve` answers the same questions as a `FairCurve`, so a bottom's profile or a plan can be either.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.cubic_spline import CubicSpline, cubic_spline, hermite_spline
from hullcut.hull.known import Answers, kept
from hullcut.hull.quadrature import RunningIntegral, running_integral

__all__ = ["SpaceCurve", "SplineCurve", "SplineSpaceCurve", "space_curve", "spline_curve"]

Array = NDArray[np.float64]

_NEWTON_STEPS = 40
# What is left after a step shrinks with its square: below rounding after one so short.
_LAST_STEP_MM = 1e-5
# Parts into which each span is split for the running arc length: eight Gauss nodes on each reach rounding error.
_PARTS = 4
# Places on each span at which the curvature is looked at.
_LOOKS = 9


@dataclass(frozen=True, slots=True)
class SplineCurve:
    """A plane curve by arc length s, from s = 0 to `length`; beyond its ends the spline is carried on.

    Attributes:
        spline: the point (2) by its first coordinate.
        arc: running arc length by that coordinate.
        inverse: that coordinate by arc length, nearly.
        knots: arc lengths (n,) of the points.
        start_heading: direction at s = 0, radians from the first axis.
        track: the running integral of the tangent, by arc length.
        answers: kept.
    """

    spline: CubicSpline
    arc: RunningIntegral
    inverse: CubicSpline
    knots: Array
    start_heading: float
    track: RunningIntegral
    answers: Answers = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def length(self) -> float:
        """Arc length, mm."""
        return float(self.knots[-1])

    @property
    def start(self) -> Array:
        """The point (2,) at s = 0."""
        first: Array = self.spline(self.spline.knots[:1])[0]
        return first

    @kept
    def _parameter(self, s: Array) -> Array:
        """The spline's parameter (n,) at arc lengths (n,)."""
        return _parameters(self.spline, self.arc, self.inverse, s)

    def curvature(self, s: Array) -> Array:
        """Curvature (n,) at arc lengths (n,), 1/mm, positive to the left."""
        t = self._parameter(s)
        first, second = self.spline(t, 1), self.spline(t, 2)
        speed = np.linalg.norm(first, axis=1)
        result: Array = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / speed**3
        return result

    def heading(self, s: Array) -> Array:
        """Direction (n,) at arc lengths (n,), radians; less than half a turn from the first axis."""
        first = self.spline(self._parameter(s), 1)
        result: Array = np.arctan2(first[:, 1], first[:, 0])
        return result

    def point(self, s: Array) -> Array:
        """Points (n, 2) at arc lengths (n,)."""
        return self.spline(self._parameter(s))

    def tangent(self, s: Array) -> Array:
        """Unit tangents (n, 2)."""
        first = self.spline(self._parameter(s), 1)
        result: Array = first / np.linalg.norm(first, axis=1)[:, None]
        return result

    def left(self, s: Array) -> Array:
        """Unit normals (n, 2) to the left of the tangents."""
        tangent = self.tangent(s)
        return np.column_stack([-tangent[:, 1], tangent[:, 0]])

    def parallel_length(self, s: Array, distance: float) -> Array:
        """Arc length (n,) of the curve parallel at `distance` to the left, from abreast of s = 0 up to s."""
        result: Array = s - distance * (self.heading(s) - self.start_heading)
        return result

    @kept
    def at_parallel_length(self, length: Array, distance: float) -> Array:
        """Arc lengths (n,) abreast of lengths (n,) along the curve parallel at `distance` to the left."""
        t = self.inverse(length)[:, 0]
        for _ in range(_NEWTON_STEPS):
            first, second = self.spline(t, 1), self.spline(t, 2)
            speed = np.linalg.norm(first, axis=1)
            bend = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / speed**3
            turned = np.arctan2(first[:, 1], first[:, 0]) - self.start_heading
            step = (length - self.arc(t)[:, 0] + distance * turned) / (1.0 - distance * bend)
            t = t + step / speed
            if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
                break
        return self.arc(t)[:, 0]

    @kept
    def project(self, points: Array) -> tuple[Array, Array]:
        """Feet of the perpendiculars from points (n, 2).

        Returns:
            Arc lengths (n,) of the feet, and distances (n,) to the left.
        """
        points = np.asarray(points, dtype=np.float64)
        t = points[:, 0]
        for _ in range(_NEWTON_STEPS):
            along, across, first = self._away(points, t)
            second = self.spline(t, 2)
            speed = np.linalg.norm(first, axis=1)
            bend = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / speed**3
            step = along / np.maximum(1.0 - across * bend, 0.1)
            t = t + step / speed
            if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
                break
        return self.arc(t)[:, 0], self._away(points, t)[1]

    def _away(self, points: Array, t: Array) -> tuple[Array, Array, Array]:
        """How far points lie along and to the left of the tangents at parameters, and the first derivatives."""
        away, first = points - self.spline(t), self.spline(t, 1)
        unit = first / np.linalg.norm(first, axis=1)[:, None]
        along: Array = np.einsum("ij,ij->i", away, unit)
        return along, away[:, 1] * unit[:, 0] - away[:, 0] * unit[:, 1], first

    def at_first_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Arc lengths (n,) where the curve parallel at `distance` to the left has these first coordinates (n,)."""
        return self.arc(self._abreast(values, distance))[:, 0]

    @kept
    def second_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Second coordinates (n,) of the curve parallel at `distance` to the left, by its first coordinates (n,)."""
        t = self._abreast(values, distance)
        place, rate = self.spline.with_rate(t)
        height: Array = place[:, 1] + distance * rate[:, 0] / np.linalg.norm(rate, axis=1)
        return height

    def _abreast(self, values: Array, distance: float | Array) -> Array:
        """The spline's parameters (n,) where the curve parallel at `distance` has these first coordinates (n,)."""
        values = t = np.asarray(values, dtype=np.float64)
        for _ in range(_NEWTON_STEPS):
            first, second = self.spline(t, 1), self.spline(t, 2)
            speed = np.linalg.norm(first, axis=1)
            bend = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / speed**3
            here = self.spline(t)[:, 0] - distance * first[:, 1] / speed
            step = (values - here) / (first[:, 0] * (1.0 - distance * bend))
            t = t + step
            if not len(step) or float(np.max(np.abs(step * speed))) < _LAST_STEP_MM:
                break
        return t

    def samples(self, turn: float) -> Array:
        """Arc lengths that split the curve so finely that it turns at most `turn` radians between two."""
        low, high = self.knots[:-1], self.knots[1:]
        looks = np.linspace(low, high, _LOOKS)
        bend = np.abs(self.curvature(looks.ravel())).reshape(looks.shape).max(axis=0)
        # Between so many places on a cubic the curvature hardly rises more than a fifth above the greatest.
        counts = np.maximum(np.ceil(1.2 * bend * (high - low) / turn), 1.0).astype(int)
        runs = (np.linspace(*each)[1:] for each in zip(low, high, counts + 1, strict=True))
        return np.concatenate([self.knots[:1], *runs])


def _parameters(spline: CubicSpline, arc: RunningIntegral, inverse: CubicSpline, s: Array) -> Array:
    s = np.asarray(s, dtype=np.float64)
    t = inverse(s)[:, 0]
    for _ in range(_NEWTON_STEPS):
        step = s - arc(t)[:, 0]
        t = t + step / np.linalg.norm(spline(t, 1), axis=1)
        if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
            break
    return t


def spline_curve(points: Array) -> SplineCurve:
    """The plane curve through points, told by arc length.

    Args:
        points: (n, 2), at least two, their first coordinates growing: they are the spline's parameter.

    Raises:
        ValueError: if the first coordinates don't grow.
    """
    points = np.asarray(points, dtype=np.float64)
    spline = cubic_spline(points[:, 0], points)
    share = np.linspace(0.0, 1.0, _PARTS + 1)[:-1]
    fine = (spline.knots[:-1, None] + np.diff(spline.knots)[:, None] * share[None, :]).ravel()
    fine = np.append(fine, spline.knots[-1])

    def speed(t: Array) -> Array:
        pace: Array = np.linalg.norm(spline(t, 1), axis=1)[:, None]
        return pace

    arc = running_integral(speed, fine)
    inverse = hermite_spline(arc.sums[:, 0], fine[:, None], 1.0 / speed(fine))
    first = spline(spline.knots[:1], 1)[0]

    def tangent(s: Array) -> Array:
        along = spline(_parameters(spline, arc, inverse, s), 1)
        result: Array = along / np.linalg.norm(along, axis=1)[:, None]
        return result

    track = running_integral(tangent, arc.sums[:, 0])
    return SplineCurve(spline, arc, inverse, arc(spline.knots)[:, 0], float(np.arctan2(first[1], first[0])), track)


class SpaceCurve(Protocol):
    """A curve in space by a parameter that grows forward."""

    @property
    def start(self) -> float:
        """The parameter of its after end."""

    @property
    def stop(self) -> float:
        """The parameter of its fore end."""

    def at(self, parameter: Array, order: int = 0) -> Array:
        """Points (n, 3) at parameters (n,), or their first or second derivatives; also beyond the ends."""

    def with_rate(self, parameter: Array) -> tuple[Array, Array]:
        """Points (n, 3) at parameters (n,), and their first derivatives."""


@dataclass(frozen=True, slots=True)
class SplineSpaceCurve:
    """A curve in space by x: half breadth and height are splines of x.

    Attributes:
        spline: the point (3) by x.
        start, stop: x of the ends.
    """

    spline: CubicSpline
    start: float
    stop: float

    def at(self, parameter: Array, order: int = 0) -> Array:
        """Points (n, 3) at x (n,), or their derivatives by x."""
        return self.spline(parameter, order)

    def with_rate(self, parameter: Array) -> tuple[Array, Array]:
        """Points (n, 3) at x (n,), and their derivatives by x."""
        return self.spline.with_rate(parameter)


def space_curve(points: Array) -> SplineSpaceCurve:
    """The space curve through points (n, 3) whose x grow.

    Raises:
        ValueError: if there are fewer than two points, or if x doesn't grow.
    """
    points = np.asarray(points, dtype=np.float64)
    x = points[:, 0]
    return SplineSpaceCurve(cubic_spline(x, points), float(x[0]), float(x[-1]))
