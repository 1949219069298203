"""What a plane curve of the hull answers, whether it is told by its curvature or runs through given points."""

from __future__ import annotations

import itertools
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

__all__ = ["PlaneCurve", "sharpest"]

Array = NDArray[np.float64]


class PlaneCurve(Protocol):
    """A plane curve by arc length s, running forward; beyond its ends it is carried on."""

    @property
    def knots(self) -> Array:
        """Arc lengths (n,) between which the curve is one smooth piece."""

    @property
    def length(self) -> float:
        """Arc length, mm."""

    @property
    def start(self) -> Array:
        """The point (2,) at s = 0."""

    @property
    def start_heading(self) -> float:
        """Direction at s = 0, radians from the first axis."""

    def curvature(self, s: Array) -> Array:
        """Curvature (n,) at arc lengths (n,), 1/mm, positive to the left."""

    def heading(self, s: Array) -> Array:
        """Direction (n,) at arc lengths (n,), radians."""

    def point(self, s: Array) -> Array:
        """Points (n, 2) at arc lengths (n,)."""

    def tangent(self, s: Array) -> Array:
        """Unit tangents (n, 2)."""

    def left(self, s: Array) -> Array:
        """Unit normals (n, 2) to the left of the tangents."""

    def parallel_length(self, s: Array, distance: float) -> Array:
        """Arc length (n,) of the curve parallel at `distance` to the left, from abreast of s = 0 up to s."""

    def at_parallel_length(self, length: Array, distance: float) -> Array:
        """Arc lengths (n,) abreast of lengths (n,) along the curve parallel at `distance` to the left."""

    def project(self, points: Array) -> tuple[Array, Array]:
        """Arc lengths (n,) of the feet of perpendiculars from points (n, 2), and distances (n,) to the left."""

    def at_first_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Arc lengths (n,) where the curve parallel at `distance` to the left has these first coordinates (n,)."""

    def second_axis(self, values: Array, distance: float | Array = 0.0) -> Array:
        """Second coordinates (n,) of the curve parallel at `distance` to the left, by its first coordinates (n,)."""

    def samples(self, turn: float) -> Array:
        """Arc lengths that split the curve so finely that it turns at most `turn` radians between two."""


# Curvature of a cubic between its knots is smooth: so many looks a piece find its greatest to a thousandth.
_LOOKS = 33


def sharpest(curve: PlaneCurve, start: float, stop: float) -> tuple[float, float]:
    """The smallest radius of a curve between two first coordinates, and the first coordinate of the place, mm.

    The radius is infinite where the curve is straight.
    """
    low, high = curve.at_first_axis(np.array([start, stop]))
    marks = np.concatenate([[low], [s for s in curve.knots if low < s < high], [high]])
    s = np.concatenate([np.linspace(a, b, _LOOKS) for a, b in itertools.pairwise(marks)])
    bend = np.abs(curve.curvature(s))
    worst = int(np.argmax(bend))
    place = float(curve.point(s[worst : worst + 1])[0, 0])
    return (float(1.0 / bend[worst]), place) if bend[worst] > 1e-12 else (np.inf, place)
