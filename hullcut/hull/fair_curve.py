"""Plane curves told by their curvature along the arc, which is what makes them fair.

Curvature is continuous and straight between knots: straight runs, ramps (clothoids) and circular arcs. Everything
about such a curve, and about every curve parallel to it, follows from its turning in closed form or by quadrature
to rounding error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.known import Answers, kept
from hullcut.hull.quadrature import RunningIntegral, running_integral

__all__ = ["RAMP_FRACTION", "FairCurve", "Sweep", "fair_curve", "sweep", "sweep_onward"]

Array = NDArray[np.float64]

# A ramp over the first quarter keeps the greatest curvature within 1.3 times that of the arc with the same sweep.
RAMP_FRACTION = 0.25

# Spans this short keep the quadrature at rounding error.
_SPAN_TURN = 0.25
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_RAMP_NODES, _RAMP_WEIGHTS = (_NODES + 1.0) / 2.0, _WEIGHTS / 2.0
_NEWTON_STEPS = 40
# What is left after a step shrinks with its square: below rounding after one so short.
_LAST_STEP_MM = 1e-5


@dataclass(frozen=True, slots=True)
class FairCurve:
    """A plane curve by arc length s, from s = 0 to `length`; evaluation beyond the ends carries the end pieces on.

    Attributes:
        knots: arc lengths (n,) where the slope of the curvature changes.
        curvatures: at the knots (n,), 1/mm, positive where the curve turns to the left.
        start: the point at s = 0.
        start_heading: direction at s = 0, radians from the first axis.
        headings: at the knots (n,).
        track: the running integral of the tangent.
        answers: kept.
    """

    knots: Array
    curvatures: Array
    start: Array
    start_heading: float
    headings: Array
    track: RunningIntegral
    answers: Answers = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def length(self) -> float:
        """Arc length, mm."""
        return float(self.knots[-1])

    def curvature(self, s: Array) -> Array:
        """Curvature (n,) at arc lengths (n,), 1/mm, positive to the left."""
        i = _piece(self.knots, s)
        share = (s - self.knots[i]) / (self.knots[i + 1] - self.knots[i])
        return self.curvatures[i] + share * (self.curvatures[i + 1] - self.curvatures[i])

    def heading(self, s: Array) -> Array:
        """Direction (n,) at arc lengths (n,), radians."""
        return _heading(self.knots, self.curvatures, self.headings, s)

    @kept
    def point(self, s: Array) -> Array:
        """Points (n, 2) at arc lengths (n,)."""
        return self.start + self.track(np.asarray(s, dtype=np.float64))

    def tangent(self, s: Array) -> Array:
        """Unit tangents (n, 2)."""
        return _along(self.heading(s))

    def left(self, s: Array) -> Array:
        """Unit normals (n, 2) to the left of the tangents."""
        theta = self.heading(s)
        return np.column_stack([-np.sin(theta), np.cos(theta)])

    def parallel_length(self, s: Array, distance: float) -> Array:
        """Arc length (n,) of the curve parallel at `distance` to the left, from abreast of s = 0 up to s."""
        return s - distance * (self.heading(s) - self.start_heading)

    @kept
    def at_parallel_length(self, length: Array, distance: float) -> Array:
        """Arc lengths (n,) abreast of lengths (n,) along the curve parallel at `distance` to the left."""
        s = length
        for _ in range(_NEWTON_STEPS):
            step = (length - self.parallel_length(s, distance)) / (1.0 - distance * self.curvature(s))
            s = s + step
            if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
                break
        return s

    @kept
    def project(self, points: Array) -> tuple[Array, Array]:
        """Feet of the perpendiculars from points (n, 2).

        Returns:
            Arc lengths (n,) of the feet, and distances (n,) to the left.
        """
        points = np.asarray(points, dtype=np.float64)
        s = self._guess(points[:, 0])
        for _ in range(_NEWTON_STEPS):
            away = points - self.point(s)
            tangent = self.tangent(s)
            along = np.einsum("ij,ij->i", away, tangent)
            across = away[:, 1] * tangent[:, 0] - away[:, 0] * tangent[:, 1]
            step = along / np.maximum(1.0 - across * self.curvature(s), 0.1)
            s = s + step
            if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
                break
        away = points - self.point(s)
        tangent = self.tangent(s)
        return s, away[:, 1] * tangent[:, 0] - away[:, 0] * tangent[:, 1]

    @kept
    def at_first_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Arc lengths (n,) where the curve parallel at `distance` to the left has these first coordinates (n,)."""
        values = np.asarray(values, dtype=np.float64)
        s = self._guess(values)
        for _ in range(_NEWTON_STEPS):
            theta = self.heading(s)
            here = self.point(s)[:, 0] - distance * np.sin(theta)
            slope = np.cos(theta) * (1.0 - distance * self.curvature(s))
            step = (values - here) / slope
            s = s + step
            if not len(step) or float(np.max(np.abs(step))) < _LAST_STEP_MM:
                break
        return s

    @kept
    def second_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Second coordinates (n,) of the curve parallel at `distance` to the left, by its first coordinates (n,)."""
        s = self.at_first_axis(values, distance)
        height: Array = self.point(s)[:, 1] + distance * np.cos(self.heading(s))
        return height

    def _guess(self, first: Array) -> Array:
        at = self.track.sums[:, 0]
        along = first - self.start[0]
        beyond = np.minimum(along, 0.0) + np.maximum(along - at[-1], 0.0)
        guess: Array = np.interp(along, at, self.track.knots) + beyond * (self.length / at[-1])
        return guess

    def samples(self, turn: float) -> Array:
        """Arc lengths that split the curve so finely that it turns at most `turn` radians between two."""
        pieces = [np.array([self.knots[0]])]
        for i in range(len(self.knots) - 1):
            lo, hi = self.knots[i], self.knots[i + 1]
            angle = max(abs(self.curvatures[i]), abs(self.curvatures[i + 1])) * (hi - lo)
            count = max(1, int(np.ceil(angle / turn)))
            pieces.append(np.linspace(lo, hi, count + 1)[1:])
        return np.concatenate(pieces)


def _piece(knots: Array, s: Array) -> NDArray[np.intp]:
    """Which piece between knots each arc length (n,) belongs to."""
    # Minimum and maximum cost a tenth of what `clip` does on short arrays, and this is asked for everywhere.
    found: NDArray[np.intp] = knots.searchsorted(s, side="right") - 1
    return np.minimum(np.maximum(found, 0), len(knots) - 2)


def _heading(knots: Array, curvatures: Array, headings: Array, s: Array) -> Array:
    """Direction (n,) at arc lengths (n,), radians, from what is known at the knots."""
    i = _piece(knots, s)
    start, low = knots[i], curvatures[i]
    ds = s - start
    rate = (curvatures[i + 1] - low) / (knots[i + 1] - start)
    heading: Array = headings[i] + low * ds + rate * ds**2 / 2.0
    return heading


def _along(heading: Array) -> Array:
    """Unit vectors (n, 2) of directions (n,)."""
    along = np.empty((len(heading), 2))
    np.cos(heading, out=along[:, 0])
    np.sin(heading, out=along[:, 1])
    return along


def fair_curve(knots: Array, curvatures: Array, start: tuple[float, float], heading: float) -> FairCurve:
    """Build a curve from its curvature at knots.

    Args:
        knots: arc lengths (n,), growing from 0, mm.
        curvatures: at the knots (n,), 1/mm, positive to the left.
        start: point at s = 0.
        heading: direction at s = 0, radians.
    """
    knots = np.asarray(knots, dtype=np.float64)
    curvatures = np.asarray(curvatures, dtype=np.float64)
    spans = np.diff(knots)
    turns = spans * (curvatures[:-1] + curvatures[1:]) / 2.0
    headings = heading + np.concatenate([[0.0], np.cumsum(turns)])
    fine = [knots[:1]]
    for i, span in enumerate(spans):
        angle = max(abs(curvatures[i]), abs(curvatures[i + 1])) * span
        count = max(1, int(np.ceil(angle / _SPAN_TURN)))
        fine.append(np.linspace(knots[i], knots[i + 1], count + 1)[1:])

    def tangent(s: Array) -> Array:
        return _along(_heading(knots, curvatures, headings, s))

    track = running_integral(tangent, np.concatenate(fine))
    return FairCurve(knots, curvatures, np.array(start, dtype=np.float64), heading, headings, track)


@dataclass(frozen=True, slots=True)
class Sweep:
    """A bend from straight that gains `rise` over `run`: curvature ramps up over a quarter, then holds.

    Attributes:
        run: distance along the straight's direction, mm.
        rise: distance square to it, mm.
        length: arc length, mm.
        curvature: greatest, 1/mm; 0 where there is no rise.
        turn: angle between the ends, radians.
    """

    run: float
    rise: float
    length: float
    curvature: float
    turn: float

    @property
    def radius(self) -> float:
        """Smallest radius, mm; infinite where there is no rise."""
        return np.inf if self.curvature == 0.0 else 1.0 / self.curvature

    @property
    def arc_radius(self) -> float:
        """Radius of the circular arc with the same run and rise, tangent to the straight."""
        return np.inf if self.rise == 0.0 else (self.run**2 + self.rise**2) / (2.0 * self.rise)


def sweep_onward(run: float, rise: float, curvature: float, ramp: float = RAMP_FRACTION) -> Sweep:
    """The sweep that gains `rise` over `run` from a curvature that it begins with, so that another can end there.

    It begins along the straight, and its curvature goes over to its own within the ramp. Solved by Newton's method
    for length and curvature.

    Args:
        run: along the direction in which it begins, mm.
        rise: square to it, mm.
        curvature: at its beginning, 1/mm; at most that of the circular arc with the same run and rise.
        ramp: share of the length over which the curvature changes.

    Raises:
        ValueError: if the rise is so great against the run that the sweep would turn past a right angle.
    """
    begun = sweep(run, rise, ramp)

    def end(length: float, top: float) -> Array:
        knots = np.array([0.0, ramp * length, length])
        reached: Array = fair_curve(knots, np.array([curvature, top, top]), (0.0, 0.0), 0.0).point(knots[2:])[0]
        return reached

    size = np.array([begun.length, begun.length * begun.curvature])
    wanted = np.array([run, rise])
    for _ in range(60):
        here = end(size[0], size[1] / size[0])
        if float(np.abs(here - wanted).max()) < 1e-10 * run:
            break
        steps = np.array([1e-6 * size[0], 1e-6])
        columns = [
            (end((size + step)[0], (size + step)[1] / (size + step)[0]) - here) / step.max() for step in np.diag(steps)
        ]
        size = size + np.linalg.solve(np.column_stack(columns), wanted - here)
    length, top = float(size[0]), float(size[1] / size[0])
    turn = length * (ramp * (curvature + top) / 2.0 + (1.0 - ramp) * top)
    return Sweep(run, rise, length, top, turn)


def sweep(run: float, rise: float, ramp: float = RAMP_FRACTION) -> Sweep:
    """Find the sweep that gains `rise` over `run`.

    The shape depends on the whole turn alone, so the turn is found first, by bisection on the slope of the chord, and
    the size follows by scale.

    Raises:
        ValueError: if the rise is so great against the run that the sweep would turn past a right angle.
    """
    if rise == 0.0:
        return Sweep(run, 0.0, run, 0.0, 0.0)
    wanted = np.arctan2(rise, run)
    low, high = 0.0, np.pi / 2.0
    if _unit_chord(high, ramp)[1] < wanted:
        raise ValueError("the sweep is too steep for its run")
    for _ in range(200):
        turn = (low + high) / 2.0
        if turn in (low, high):
            break
        if _unit_chord(turn, ramp)[1] < wanted:
            low = turn
        else:
            high = turn
    chord, _ = _unit_chord(turn, ramp)
    length = float(np.hypot(run, rise)) / chord
    return Sweep(run, rise, length, turn / (length * (1.0 - ramp / 2.0)), turn)


def _unit_chord(turn: float, ramp: float) -> tuple[float, float]:
    """Chord length and direction of the sweep of unit arc length that turns by `turn`."""
    top = turn / (1.0 - ramp / 2.0)
    # The ramp turns little, so sixteen nodes integrate it to rounding error; the arc's chord is in closed form.
    heading = top * _RAMP_NODES**2 * ramp / 2.0
    x, y = ramp * float(_RAMP_WEIGHTS @ np.cos(heading)), ramp * float(_RAMP_WEIGHTS @ np.sin(heading))
    start, sweep_angle = top * ramp / 2.0, top * (1.0 - ramp)
    chord = (1.0 - ramp) * float(np.sinc(sweep_angle / (2.0 * np.pi)))
    x += chord * math.cos(start + sweep_angle / 2.0)
    y += chord * math.sin(start + sweep_angle / 2.0)
    return math.hypot(x, y), math.atan2(y, x)
