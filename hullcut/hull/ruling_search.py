"""Rulings of a side between two curves in space, its chine and its sheer.

A sheet bends onto both curves without stretching where every ruling meets the tangents of both curves in one plane:
det(A', B', B - A) = 0 (developable surfaces, any book on differential geometry; for boats U. Kilgore, Developable hull
surfaces, 1967, named from memory). The angle between the plane of ruling and chine tangent and that of ruling and sheer
tangent is the warp; zero is what is looked for.

A ruling joins the chine at share p of its length in x to the sheer at share q of its own. With u = (p + q) / 2 and
v = (q - p) / 2 a family v(u) runs forward on both curves as long as |dv/du| < 1. The search has two steps:

1. the least warp over all monotone families on a grid, by dynamic programming: the optimal boundary triangulation
   (W. H. Frey, 2002; C. C. L. Wang and K. Tang, Optimal boundary triangulations of an interpolating ruled surface,
   2005; named from memory), with the square of the warp as its measure;
2. from there, damped Gauss-Newton steps on warp, with so little weight on fairness that it decides only where the
   warp does not: along flat or parallel stretches, where any ruling does, and where there is no ruling without warp.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.cubic_spline import pentadiagonal_solution
from hullcut.hull.spline_curve import SpaceCurve

__all__ = ["FLAT_WARP_DEG", "WARP_LIMIT_DEG", "Refusal", "RulingFamily", "search_rulings"]

Array = NDArray[np.float64]

WARP_LIMIT_DEG = 3.0
"""A side with more warp is refused. Between its tangent planes at chine and sheer a ruling of breadth b twists by the
warp w, so the surface has the Gaussian curvature -(w / b)^2, and a flat sheet forced onto it must be about w^2 / 8
longer at its edges than in its middle: at 3 degrees 0.3 mm in a metre, as much as clamps and the trim take up, and
both edges of its joints still agree within 0.1 mm (derived; that the wood takes it is common practice, no source)."""

FLAT_WARP_DEG = 0.05
"""Below this the side keeps its area within a millionth when it is laid flat, by the same reckoning."""

# The search looks this share of the length past both ends, and at rulings this far from straight across.
_PAST_ENDS = 0.3
_ROWS, _STEPS = 57, 4
_SLANT_COST = 5e-4
_STEP_COST = 1e-3
# Rulings are carried this share past the ends, so that faces, laps and allowances still find them.
_MARGIN = 0.03
# Where chine and sheer come together, rulings end when they are this share of the longest.
_SHORTEST = 0.03
# Weights of fairness, lessened until the warp is as good as gone: at 0.002 degrees a face 10 mm off is 0.0003 mm out.
_FAIRNESS = (1e-4, 1e-5, 1e-6, 1e-7, 1e-8)
_STEPS_EACH = 3
_NO_WARP = 3.5e-5
_STRAIGHTNESS = 1e-10
_STEEPEST = 0.9
_STEEP_WEIGHT = 10.0
_DIFFERENCE = 1e-5
_SETTLED = 1e-6


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a side can't be made, ready for a fault.

    Attributes:
        problem: what is wrong.
        remedy: what to do instead.
        x: where along the boat, mm.
    """

    problem: str
    remedy: str
    x: float


@dataclass(frozen=True, slots=True)
class RulingFamily:
    """Rulings in order, forward.

    Attributes:
        chine, sheer: the curves.
        at_chine, at_sheer: each ruling's parameters (n,) on the curves.
        warp: of each ruling (n,), degrees, with its sign.
        needed: whether each ruling (n,) touches the side between the curves' ends.
        kind: "developable" where no ruling has noticeable warp, else "warped".
    """

    chine: SpaceCurve
    sheer: SpaceCurve
    at_chine: Array
    at_sheer: Array
    warp: Array
    needed: NDArray[np.bool_]
    kind: Literal["developable", "warped"]

    @property
    def worst_warp(self) -> float:
        """Greatest warp of a needed ruling, degrees."""
        return float(np.abs(self.warp[self.needed]).max())

    @property
    def worst_at(self) -> int:
        """Which ruling that is."""
        return int(np.argmax(np.where(self.needed, np.abs(self.warp), -1.0)))

    @property
    def worst_x(self) -> float:
        """X of the middle of that ruling, mm."""
        i = slice(self.worst_at, self.worst_at + 1)
        return float((self.chine.at(self.at_chine[i])[0, 0] + self.sheer.at(self.at_sheer[i])[0, 0]) / 2.0)

    def refusal(self, limit: float = WARP_LIMIT_DEG) -> Refusal | None:
        """Why the side can't be made; None where it can.

        Args:
            limit: greatest warp, degrees.
        """
        if self.worst_warp <= limit:
            return None
        problem = (
            f"the side would have to twist by {self.worst_warp:.1f} degrees from chine to sheer near "
            f"x = {self.worst_x:.0f} mm; a sheet takes {limit:.0f}"
        )
        return Refusal(problem, "move chine or sheer there so that they turn alike", self.worst_x)


@dataclass(frozen=True, slots=True)
class _Pair:
    """Both curves by shares of their lengths in x."""

    chine: SpaceCurve
    sheer: SpaceCurve
    low: tuple[float, float]
    size: tuple[float, float]

    def parameters(self, u: Array, v: Array) -> tuple[Array, Array]:
        return self.low[0] + self.size[0] * (u - v), self.low[1] + self.size[1] * (u + v)

    def warp(self, u: Array, v: Array) -> Array:
        """Signed angle (n,) between the tangent planes at both ends of each ruling, radians."""
        at_chine, at_sheer = self.parameters(u, v)
        return _warp(self.chine, self.sheer, at_chine, at_sheer)


def _warp(chine: SpaceCurve, sheer: SpaceCurve, at_chine: Array, at_sheer: Array) -> Array:
    foot, low = chine.with_rate(at_chine)
    head, high = sheer.with_rate(at_sheer)
    ruling = head - foot
    length = np.maximum(np.sqrt(_dot(ruling, ruling)), 1e-12)
    # Square to the ruling both tangents are seen from its end, so the angle between them is that of the planes.
    across = _dot(_cross(low, high), ruling) * length
    along = _dot(low, high) * length**2 - _dot(low, ruling) * _dot(high, ruling)
    result: Array = np.arctan2(across, along)
    return result


def _dot(a: Array, b: Array) -> Array:
    result: Array = np.einsum("ij,ij->i", a, b)
    return result


def _cross(a: Array, b: Array) -> Array:
    x, y, z = a.T
    u, v, w = b.T
    return np.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=1)


def search_rulings(chine: SpaceCurve, sheer: SpaceCurve, count: int = 161) -> RulingFamily:
    """Find the rulings of the side between two curves.

    Args:
        chine: lower curve, forward.
        sheer: upper curve, forward.
        count: how many rulings, evenly spaced by the mean of their shares of both curves.
    """
    pair = _pair(chine, sheer)
    rows, path = _least_warped(pair)
    start, stop = _needed_span(rows, path)
    for _ in range(3):
        u = np.linspace(start, stop, count)
        v = _refined(pair, u, np.interp(u, rows, path))
        # A family that came out slanted at its ends may leave a corner of the side without rulings.
        behind = max(u[0] + abs(v[0]), 0.0)
        ahead = max(1.0 - u[-1] + abs(v[-1]), 0.0)
        if behind == 0.0 and ahead == 0.0:
            break
        start, stop = start - 1.5 * behind, stop + 1.5 * ahead
    at_chine, at_sheer = pair.parameters(u, v)
    warp = np.degrees(_warp(chine, sheer, at_chine, at_sheer))
    needed = (u + np.abs(v) >= 0.0) & (u - np.abs(v) <= 1.0)
    kind: Literal["developable", "warped"] = "developable"
    if np.abs(warp[needed]).max() > FLAT_WARP_DEG:
        kind = "warped"
    return RulingFamily(chine, sheer, at_chine, at_sheer, warp, needed, kind)


def _pair(chine: SpaceCurve, sheer: SpaceCurve) -> _Pair:
    """The curves, without ends where they come together."""
    share = np.linspace(0.0, 1.0, 201)
    low = chine.at(chine.start + share * (chine.stop - chine.start))
    high = sheer.at(sheer.start + share * (sheer.stop - sheer.start))
    gap = np.linalg.norm(high - low, axis=1)
    apart = np.flatnonzero(gap >= _SHORTEST * gap.max())
    first, last = share[apart[0]], share[apart[-1]]
    spans = (chine.stop - chine.start, sheer.stop - sheer.start)
    return _Pair(
        chine,
        sheer,
        (chine.start + first * spans[0], sheer.start + first * spans[1]),
        ((last - first) * spans[0], (last - first) * spans[1]),
    )


def _least_warped(pair: _Pair) -> tuple[Array, Array]:
    """The least-warped monotone family on a grid: rows u and their v."""
    u = np.linspace(-_PAST_ENDS, 1.0 + _PAST_ENDS, _ROWS)
    dv = (u[1] - u[0]) / (_STEPS + 1)
    half = int(_PAST_ENDS / dv)
    v = np.arange(-half, half + 1) * dv
    us, vs = np.repeat(u, len(v)), np.tile(v, len(u))
    warp = pair.warp(us, vs).reshape(len(u), len(v))
    cost = warp**2 + _SLANT_COST * v[None, :] ** 2
    # Outside the side, rulings cost nothing; the first and the last must lie outside.
    outside_aft = u[:, None] + np.abs(v)[None, :] < -_MARGIN
    outside_fore = u[:, None] - np.abs(v)[None, :] > 1.0 + _MARGIN
    cost = np.where(outside_aft | outside_fore, _SLANT_COST * v[None, :] ** 2, cost)
    best = np.where(outside_aft[0], cost[0], np.inf)
    came = np.zeros(cost.shape, dtype=np.intp)
    shifts = np.arange(-_STEPS, _STEPS + 1)
    columns = np.arange(len(v))[None, :] - shifts[:, None]
    inside = (columns >= 0) & (columns < len(v))
    columns = np.clip(columns, 0, len(v) - 1)
    toll = _STEP_COST * (shifts * dv / (u[1] - u[0])) ** 2
    for i in range(1, len(u)):
        tried = np.where(inside, best[columns] + toll[:, None], np.inf)
        chosen = np.argmin(tried, axis=0)
        came[i] = columns[chosen, np.arange(len(v))]
        best = tried[chosen, np.arange(len(v))] + cost[i]
    path = np.empty(len(u), dtype=np.intp)
    path[-1] = int(np.argmin(np.where(outside_fore[-1], best, np.inf)))
    for i in range(len(u) - 1, 0, -1):
        path[i - 1] = came[i, path[i]]
    return u, v[path]


def _needed_span(u: Array, v: Array) -> tuple[float, float]:
    """From where to where rulings touch the side, with the margin."""
    aft = u[u + np.abs(v) <= -_MARGIN]
    fore = u[u - np.abs(v) >= 1.0 + _MARGIN]
    return float(aft[-1]), float(fore[0])


def _refined(pair: _Pair, u: Array, v: Array) -> Array:
    """The family of least warp near v(u), by Gauss-Newton steps."""
    h = float(u[1] - u[0])
    for fairness in _FAIRNESS:
        for _ in range(_STEPS_EACH):
            near = np.concatenate([v, v + _DIFFERENCE, v - _DIFFERENCE])
            warp, more, less = pair.warp(np.tile(u, 3), near).reshape(3, -1)
            rate = (more - less) / (2.0 * _DIFFERENCE)
            step = pentadiagonal_solution(*_normal_system(warp, rate, v, fairness, h))
            share = _shortened(pair, u, v, step, fairness, h)
            v = v - share * step
            if share * float(np.abs(step).max()) < _SETTLED:
                break
        if float(np.abs(pair.warp(u, v)).max()) < _NO_WARP:
            break
    return v


def _normal_system(warp: Array, rate: Array, v: Array, fairness: float, h: float) -> tuple[Array, Array, Array, Array]:
    """Diagonal, first and second side diagonals, and right side of the system for a Gauss-Newton step."""
    stiff = fairness / h**4
    bend = np.zeros(len(v) + 2)
    bend[2:-2] = np.diff(v, 2)
    force = rate * warp + _STRAIGHTNESS * v + stiff * np.diff(bend, 2)
    diagonal = rate**2 + _STRAIGHTNESS
    diagonal[:-2] += stiff
    diagonal[1:-1] += 4.0 * stiff
    diagonal[2:] += stiff
    first = np.zeros(len(v) - 1)
    first[:-1] -= 2.0 * stiff
    first[1:] -= 2.0 * stiff
    slope = np.diff(v) / h
    steep = np.maximum(np.abs(slope) - _STEEPEST, 0.0) * np.sign(slope) / h
    force[1:] += _STEEP_WEIGHT * steep
    force[:-1] -= _STEEP_WEIGHT * steep
    hard = np.where(steep != 0.0, _STEEP_WEIGHT / h**2, 0.0)
    diagonal[1:] += hard
    diagonal[:-1] += hard
    return diagonal, first - hard, np.full(len(v) - 2, stiff), force


def _shortened(pair: _Pair, u: Array, v: Array, step: Array, fairness: float, h: float) -> float:
    """The share of a step, halved until the step does good."""

    def badness(tried: Array) -> float:
        slope = np.diff(tried) / h
        steep = np.maximum(np.abs(slope) - _STEEPEST, 0.0)
        bend = np.diff(tried, 2) / h**2
        warp = pair.warp(u, tried)
        return float(
            warp @ warp + fairness * (bend @ bend) + _STRAIGHTNESS * (tried @ tried) + _STEEP_WEIGHT * (steep @ steep)
        )

    before = badness(v)
    share = 1.0
    for _ in range(8):
        if badness(v - share * step) <= before:
            return share
        share /= 2.0
    return 0.0
