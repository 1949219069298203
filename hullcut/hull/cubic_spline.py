"""Cubic splines through points, with not-a-knot ends.

The second derivative is continuous everywhere, and at the first and last inner knot the third one too: such ends bend
as the points next to them say, where natural ends would go straight. (C. de Boor, A Practical Guide to Splines, 1978,
chapter IV; named from memory.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "CubicSpline",
    "cubic_spline",
    "hermite_spline",
    "integrals",
    "pentadiagonal_solution",
]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CubicSpline:
    """A vector function of one parameter, cubic between knots.

    Past either end the end piece is carried on for the length of the end span; farther out the second derivative
    stays as it is there, so that the curve does not run wild.

    Attributes:
        knots: parameters of the points (n,), growing.
        breaks: parameters (m,) where one piece gives way to the next.
        bases: parameter (m + 1,) from which each piece counts.
        pieces: coefficients (m + 1, 4, k) of each piece, constant first.
    """

    knots: Array
    breaks: Array
    bases: Array
    pieces: Array

    def __call__(self, at: Array, order: int = 0) -> Array:
        """Values (n, k) at parameters (n,), or their derivatives of an order up to 3."""
        at = np.asarray(at, dtype=np.float64)
        # On short arrays `take` and the method cost half of what indexing and the function do.
        piece = self.breaks.searchsorted(at, side="right")
        c = self.pieces.take(piece, axis=0)
        t = (at - self.bases[piece])[:, None]
        result: Array
        if order == 0:
            result = c[:, 0] + t * (c[:, 1] + t * (c[:, 2] + t * c[:, 3]))
        elif order == 1:
            result = c[:, 1] + t * (2.0 * c[:, 2] + t * (3.0 * c[:, 3]))
        elif order == 2:
            result = 2.0 * c[:, 2] + 6.0 * t * c[:, 3]
        else:
            result = 6.0 * c[:, 3]
        return result

    def with_rate(self, at: Array) -> tuple[Array, Array]:
        """Values (n, k) at parameters (n,), and their first derivatives."""
        piece = np.searchsorted(self.breaks, at, side="right")
        c0, c1, c2, c3 = self.pieces.swapaxes(0, 1)[:, piece]
        t = (at - self.bases[piece])[:, None]
        return c0 + t * (c1 + t * (c2 + t * c3)), c1 + t * (2.0 * c2 + t * (3.0 * c3))


def cubic_spline(knots: Array, values: Array) -> CubicSpline:
    """The spline through values at knots; a straight line through two, a parabola through three.

    Args:
        knots: parameters (n,), growing, at least two.
        values: one row each (n, k).

    Raises:
        ValueError: if there are fewer than two knots, or if they don't grow.
    """
    knots = np.asarray(knots, dtype=np.float64)
    values = np.asarray(values, dtype=np.float64)
    if len(knots) < 2 or not np.all(np.diff(knots) > 0.0):
        raise ValueError("a spline needs two knots or more, growing")
    spans = np.diff(knots)
    return hermite_spline(knots, values, _slopes(spans, np.diff(values, axis=0) / spans[:, None]))


def hermite_spline(knots: Array, values: Array, slopes: Array) -> CubicSpline:
    """The piecewise cubic function with given values and first derivatives (n, k) at knots (n,)."""
    spans = np.diff(knots)
    rise = np.diff(values, axis=0) / spans[:, None]
    second = (3.0 * rise - 2.0 * slopes[:-1] - slopes[1:]) / spans[:, None]
    third = (slopes[:-1] + slopes[1:] - 2.0 * rise) / spans[:, None] ** 2
    inner = np.stack([values[:-1], slopes[:-1], second, third], axis=1)
    head = _carried(inner[0], -spans[0])
    tail = _carried(inner[-1], 2.0 * spans[-1])
    return CubicSpline(
        knots,
        np.concatenate([[knots[0] - spans[0]], knots[1:-1], [knots[-1] + spans[-1]]]),
        np.concatenate([[knots[0] - spans[0]], knots[:-1], [knots[-1] + spans[-1]]]),
        np.concatenate([head[None], inner, tail[None]]),
    )


def integrals(spline: CubicSpline) -> Array:
    """The integral (n, k) of a spline from its first knot up to each knot."""
    h = np.diff(spline.knots)[:, None]
    c = spline.pieces[1:-1]
    areas = h * (c[:, 0] + h * (c[:, 1] / 2.0 + h * (c[:, 2] / 3.0 + h * c[:, 3] / 4.0)))
    return np.vstack([np.zeros((1, areas.shape[1])), np.cumsum(areas, axis=0)])


def _carried(piece: Array, t: float) -> Array:
    """The parabola that leaves a cubic piece at t with its value, slope and second derivative."""
    value = piece[0] + t * (piece[1] + t * (piece[2] + t * piece[3]))
    slope = piece[1] + t * (2.0 * piece[2] + t * 3.0 * piece[3])
    return np.stack([value, slope, piece[2] + 3.0 * t * piece[3], np.zeros_like(value)])


def _slopes(spans: Array, rise: Array) -> Array:
    """First derivatives (n, k) at the knots."""
    if len(spans) == 1:
        return np.vstack([rise, rise])
    if len(spans) == 2:
        bend = (rise[1] - rise[0]) / (spans[0] + spans[1])
        return np.vstack([rise[0] - bend * spans[0], rise[0] + bend * spans[0], rise[1] + bend * spans[1]])
    below = np.concatenate([[0.0], spans[1:], [spans[-1] + spans[-2]]])
    middle = np.concatenate([[spans[1]], 2.0 * (spans[:-1] + spans[1:]), [spans[-2]]])
    above = np.concatenate([[spans[0] + spans[1]], spans[:-1], [0.0]])
    right = np.vstack(
        [
            _end_side(spans[0], spans[1], rise[0], rise[1])[None],
            3.0 * (spans[1:, None] * rise[:-1] + spans[:-1, None] * rise[1:]),
            _end_side(spans[-1], spans[-2], rise[-1], rise[-2])[None],
        ]
    )
    return _tridiagonal_solution(below, middle, above, right)


def _end_side(end: float, following: float, rise: Array, next_rise: Array) -> Array:
    both = end + following
    result: Array = ((end + 2.0 * both) * following * rise + end**2 * next_rise) / both
    return result


def _tridiagonal_solution(below: Array, middle: Array, above: Array, right: Array) -> Array:
    """Solve a tridiagonal system by elimination without exchanges.

    Args:
        below: coefficients (n,) of the unknown before each row's own; the first is not used.
        middle: of each row's own.
        above: of the unknown after it; the last is not used.
        right: right sides (n, k).
    """
    # Plain numbers: on runs as short as these, arrays would take longer to set up than to reckon with.
    pivots, before, after = middle.tolist(), below.tolist(), above.tolist()
    n = len(pivots)
    shares = [0.0] * n
    for i in range(1, n):
        shares[i] = before[i] / pivots[i - 1]
        pivots[i] -= shares[i] * after[i - 1]
    columns = []
    for column in right.T.tolist():
        for i in range(1, n):
            column[i] -= shares[i] * column[i - 1]
        column[-1] /= pivots[-1]
        for i in range(n - 2, -1, -1):
            column[i] = (column[i] - after[i] * column[i + 1]) / pivots[i]
        columns.append(column)
    return np.array(columns).T


def pentadiagonal_solution(diagonal: Array, first: Array, second: Array, right: Array) -> Array:
    """Solve a symmetric, positive definite system with two side diagonals, by Cholesky's method without roots.

    Args:
        diagonal: (n,), at least three.
        first: side diagonal (n - 1,).
        second: side diagonal (n - 2,).
        right: right side (n,).
    """
    d, e, f, x = diagonal.tolist(), first.tolist(), second.tolist(), right.tolist()
    n = len(d)
    for i in range(n):
        for back, side in ((1, e), (2, f)):
            j = i - back
            if j < 0:
                continue
            share = side[j] / d[j]
            d[i] -= share * side[j]
            x[i] -= share * x[j]
            if back == 1 and i + 1 < n:
                e[i] -= share * f[j]
    x[-1] /= d[-1]
    x[-2] = (x[-2] - e[-1] * x[-1]) / d[-2]
    for i in range(n - 3, -1, -1):
        x[i] = (x[i] - e[i] * x[i + 1] - f[i] * x[i + 2]) / d[i]
    return np.array(x)
