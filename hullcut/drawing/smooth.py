"""A dense run of points turned back into the lines, arcs and cubic curves that it was taken from.

The points are taken to lie exactly on the shape, a few millimetres apart where it is curved. Corners are
found first, then straight runs, then each smooth run is tried as a circle and else fitted with cubics in the
least-squares way of P. J. Schneider, "An Algorithm for Automatically Fitting Digitized Curves" (Graphics
Gems, 1990), halving a run where one cubic does not do. Between the points the fit is held to the middle of
the cubic through four neighbours, so that it cannot swing between them.
"""

from __future__ import annotations

import itertools
from functools import lru_cache
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing.scene import Arc, Curve, Line, Path, Segment

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from hullcut.drawing.scene import Point

    Array = NDArray[np.float64]

__all__ = ["smooth_path"]

# Points nearer than this are one point, mm.
_SAME = 1e-7
# A vertex that stands less than this off the chord of its neighbours is on a straight run, mm. At 2.5 mm
# between points that is a radius of 150 m.
_STRAIGHT = 2e-5
# A vertex that turns more than this is a corner however its neighbours turn, degrees.
_SHARP = 30.0
# A side that would bulge more than this, if it were a chord of a curve, is a straight side, mm.
_BULGE = 0.2
# Tangents of neighbouring runs that differ by less than this are made one, degrees.
_TANGENT = 0.5
# A run is a circle where it keeps to one within this share of the tolerance.
_CIRCLE_SHARE = 0.2
# Circles larger than this are left to the curves, mm.
_LARGEST_RADIUS = 20000.0


def smooth_path(
    points: Sequence[Point], closed: bool = True, corner_deg: float = 3.0, tolerance_mm: float = 0.01
) -> Path:
    """Lines, arcs and cubic curves through a dense run of points.

    Args:
        points: in order, mm; a closed run may repeat its first point.
        closed: whether the last point joins the first.
        corner_deg: a vertex whose tangents on both sides differ by more is kept as a corner, exactly.
        tolerance_mm: every point lies within this of the path.

    Returns:
        The path; the same points always give the same path.

    Raises:
        ValueError: fewer than two different points.
    """
    # The same outline is drawn on its template, on its sheet and for a machine.
    return _smoothed(tuple((float(x), float(y)) for x, y in points), closed, corner_deg, tolerance_mm)


@lru_cache(maxsize=1024)
def _smoothed(points: tuple[Point, ...], closed: bool, corner_deg: float, tolerance_mm: float) -> Path:
    run = _without_repeats(np.array(points, dtype=float).reshape(-1, 2), closed)
    if len(run) < (3 if closed else 2):
        raise ValueError("a path needs at least two different points, a closed one three")
    turn, lengths = _turns(run, closed)
    curved = _curved_sides(run, turn, lengths, closed)
    gap = _tangent_gaps(turn, lengths, curved)
    breaks, smooth = _breaks(run, turn, gap, curved, closed, corner_deg)
    if not breaks:
        whole = _full_circle(run, tolerance_mm)
        if whole is not None:
            return Path((whole,), True)
        breaks, smooth = [0], {0}
    return Path(tuple(_all_runs(run, curved, breaks, smooth, closed, tolerance_mm)), closed)


def _without_repeats(run: Array, closed: bool) -> Array:
    keep = np.ones(len(run), dtype=bool)
    keep[1:] = np.hypot(*np.diff(run, axis=0).T) > _SAME
    run = run[keep]
    if closed and len(run) > 1 and hypot(*(run[0] - run[-1])) <= _SAME:
        run = run[:-1]
    return run


def _turns(run: Array, closed: bool) -> tuple[Array, Array]:
    """The turn at every point, radians (0 at an open run's ends), and the length of the side after it."""
    side = np.roll(run, -1, axis=0) - run
    lengths = np.hypot(side[:, 0], side[:, 1])
    before = np.roll(side, 1, axis=0)
    cross = before[:, 0] * side[:, 1] - before[:, 1] * side[:, 0]
    turn = np.arctan2(cross, (before * side).sum(axis=1))
    if not closed:
        turn[[0, -1]] = 0.0
        lengths[-1] = 0.0
    return turn, lengths


def _curvature(turn: Array, lengths: Array) -> Array:
    return 2.0 * turn / np.maximum(np.roll(lengths, 1) + lengths, _SAME)


def _curved_sides(run: Array, turn: Array, lengths: Array, closed: bool) -> NDArray[np.bool_]:
    """For each side, whether it may be a chord of a curve."""
    curvature = np.abs(_curvature(turn, lengths))
    off = np.abs(turn) * np.minimum(np.roll(lengths, 1), lengths) / 2
    bent = off > _STRAIGHT
    if not closed:
        # An end has no turn of its own; it goes with its neighbour.
        curvature[0], curvature[-1] = curvature[1 % len(run)], curvature[-2 % len(run)]
        bent[0], bent[-1] = bent[1 % len(run)], bent[-2 % len(run)]
    least = np.minimum(curvature, np.roll(curvature, -1))
    curved: NDArray[np.bool_] = (least * lengths**2 / 8 < _BULGE) & bent & np.roll(bent, -1)
    return curved


def _tangent_gaps(turn: Array, lengths: Array, curved: NDArray[np.bool_]) -> Array:
    """The least angle by which the tangents before and after each point can differ, radians.

    Each side is read as straight, or as a chord of the circle through three points at either neighbour; a
    point is smooth if any pair of readings agrees.
    """
    curvature = _curvature(turn, lengths)
    before = np.where(np.roll(curved, 1), np.roll(lengths, 1), 0.0)
    after = np.where(curved, lengths, 0.0)
    readings = (np.zeros_like(turn), np.roll(curvature, 1), np.roll(curvature, -1))
    gaps = [np.abs(turn - (a * before + b * after) / 2) for a in readings for b in readings]
    least: Array = np.min(gaps, axis=0)
    return least


def _breaks(
    run: Array, turn: Array, gap: Array, curved: NDArray[np.bool_], closed: bool, corner_deg: float
) -> tuple[list[int], set[int]]:
    """Indices where one run ends and the next begins, and those of them at which the tangents are one."""
    corner = (gap > np.radians(corner_deg)) | (np.abs(turn) > np.radians(_SHARP))
    before = np.roll(curved, 1)
    # Between two straight sides every turn that can be seen is a break, however small.
    lengths = np.hypot(*(np.roll(run, -1, axis=0) - run).T)
    off = np.abs(turn) * np.minimum(np.roll(lengths, 1), lengths) / 2
    kink = ~curved & ~before & (off > _STRAIGHT)
    change = curved != before
    broken = corner | kink | change
    if not closed:
        broken[[0, -1]] = True
    breaks = [int(k) for k in np.flatnonzero(broken)]
    smooth = {k for k in breaks if not corner[k] and not kink[k] and gap[k] < np.radians(_TANGENT)}
    return breaks, smooth if closed else smooth - {0, len(run) - 1}


def _all_runs(
    run: Array, curved: NDArray[np.bool_], breaks: list[int], smooth: set[int], closed: bool, tolerance: float
) -> list[Segment]:
    count = len(run)
    ends = [*breaks[1:], breaks[0] + count] if closed else breaks[1:]
    segments: list[Segment] = []
    for first, last in zip(breaks, ends, strict=False):
        if last - first == 1:
            segments.append(Line(_pair(run[first]), _pair(run[last % count])))
            continue
        stretch = run[np.arange(first, last + 1) % count]
        if not curved[first]:
            segments.extend(_straight(stretch))
            continue
        begin = _tangent_from(run, curved, first, -1) if first % count in smooth else None
        end = _tangent_from(run, curved, last % count, +1) if last % count in smooth else None
        if closed and len(breaks) == 1 and first in smooth:
            begin = end = _tangent(run[[first - 1, first, (first + 1) % count]], 1)
        segments.extend(_smooth_run(stretch, begin, end, tolerance))
    return segments


def _tangent_from(run: Array, curved: NDArray[np.bool_], index: int, way: int) -> Array | None:
    """The direction of the straight side that a smooth run leaves (way -1) or meets (+1), if straight."""
    count = len(run)
    side = (index - 1) % count if way < 0 else index % count
    if curved[side]:
        return None
    delta = run[(side + 1) % count] - run[side]
    direction: Array = delta / np.hypot(*delta)
    return direction


def _straight(stretch: Array) -> list[Segment]:
    """One line if the stretch keeps to it, else a line a side."""
    first, last = stretch[0], stretch[-1]
    length = hypot(*(last - first))
    off = stretch - first
    if length > 0 and np.all(np.abs(off[:, 0] * (last - first)[1] - off[:, 1] * (last - first)[0]) <= 1e-3 * length):
        return [Line(_pair(first), _pair(last))]
    return [Line(_pair(a), _pair(b)) for a, b in itertools.pairwise(stretch)]


def _pair(point: Array) -> Point:
    return (float(point[0]), float(point[1]))


def _circle_through(a: Array, b: Array, c: Array) -> tuple[Array, float] | None:
    ab, ac = b - a, c - a
    cross = 2.0 * (ab[0] * ac[1] - ab[1] * ac[0])
    if abs(cross) < 1e-12:
        return None
    b2, c2 = float(ab @ ab), float(ac @ ac)
    off = np.array([ac[1] * b2 - ab[1] * c2, ab[0] * c2 - ac[0] * b2]) / cross
    return a + off, hypot(*off)


def _angles(run: Array, centre: Array) -> Array:
    angles: Array = np.degrees(np.unwrap(np.arctan2(run[:, 1] - centre[1], run[:, 0] - centre[0])))
    return angles


def _one_way(angles: Array) -> bool:
    steps = np.diff(angles)
    return bool(np.all(steps > 0) or np.all(steps < 0))


def _full_circle(run: Array, tolerance: float) -> Arc | None:
    """A closed run as one full circle, if it is one."""
    count = len(run)
    found = _circle_through(run[0], run[count // 3], run[2 * count // 3])
    if found is None:
        return None
    centre, radius = found
    off = np.abs(np.hypot(*(run - centre).T) - radius)
    angles = _angles(np.vstack([run, run[:1]]), centre)
    if off.max() > tolerance * _CIRCLE_SHARE or not _one_way(angles):
        return None
    if abs(abs(angles[-1] - angles[0]) - 360.0) > 1e-6:
        return None
    begin = float(angles[0])
    clockwise = bool(angles[-1] < angles[0])
    return Arc(_pair(centre), radius, begin, begin + (-360.0 if clockwise else 360.0), clockwise)


def _as_arc(stretch: Array, tolerance: float) -> Arc | None:
    """An open run as an arc of a circle, through its first and last point, if it is one."""
    if len(stretch) < 4:
        return None
    found = _circle_through(stretch[0], stretch[len(stretch) // 2], stretch[-1])
    if found is None or found[1] > _LARGEST_RADIUS:
        return None
    centre, radius = found
    if np.abs(np.hypot(*(stretch - centre).T) - radius).max() > tolerance * _CIRCLE_SHARE:
        return None
    angles = _angles(stretch, centre)
    if not _one_way(angles) or abs(angles[-1] - angles[0]) > 359.0:
        return None
    begin = degrees(atan2(stretch[0][1] - centre[1], stretch[0][0] - centre[0]))
    end = begin + float(angles[-1] - angles[0])
    return Arc(_pair(centre), radius, begin, end, end < begin)


def _tangent(three: Array, at: int) -> Array:
    """Unit tangent at one of three points of the parabola through them, by chord length."""
    d0, d1 = three[1] - three[0], three[2] - three[1]
    l0, l1 = hypot(*d0), hypot(*d1)
    v0, v1 = d0 / l0, d1 / l1
    middle = (v0 * l1 + v1 * l0) / (l0 + l1)
    tangent = (2 * v0 - middle, middle, 2 * v1 - middle)[at]
    unit: Array = tangent / hypot(*tangent)
    return unit


def _between(stretch: Array, stations: Array) -> tuple[Array, Array]:
    """The points of a run with those half way between them, from the cubic through four neighbours."""
    count = len(stretch)
    if count < 4:
        return stretch, stations
    first = np.clip(np.arange(count - 1) - 1, 0, count - 4)
    knots = first[:, None] + np.arange(4)
    s = stations[knots]
    at = 0.5 * (stations[:-1] + stations[1:])
    weight = np.ones_like(s)
    for j in range(4):
        for k in range(4):
            if j != k:
                weight[:, j] *= (at - s[:, k]) / (s[:, j] - s[:, k])
    half = (weight[:, :, None] * stretch[knots]).sum(axis=1)
    both = np.empty((2 * count - 1, 2))
    where = np.empty(2 * count - 1)
    both[0::2], both[1::2], where[0::2], where[1::2] = stretch, half, stations, at
    return both, where


def _smooth_run(stretch: Array, begin: Array | None, end: Array | None, tolerance: float) -> list[Segment]:
    arc = _as_arc(stretch, tolerance)
    if arc is not None:
        return [arc]
    if len(stretch) == 2:
        return _straight(stretch)
    stations = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(stretch, axis=0).T))])
    both, where = _between(stretch, stations)
    begin = _tangent(stretch[:3], 0) if begin is None else begin
    end = _tangent(stretch[-3:], 2) if end is None else end
    step = 2 if len(both) > len(stretch) else 1
    return list(_fit(both, where, begin, end, tolerance, step))


def _fit(points: Array, where: Array, begin: Array, end: Array, tolerance: float, step: int) -> list[Curve]:
    """Cubics through a smooth run, halving it until each keeps within the tolerance."""
    curve, error = _fit_one(points, where, begin, end, tolerance)
    sides = (len(points) - 1) // step
    if error <= tolerance or sides < 2:
        return [curve]
    middle = int(np.argmin(np.abs(where[::step] - 0.5 * (where[0] + where[-1]))))
    middle = min(max(middle, 1), sides - 1) * step
    tangent = _tangent(points[middle - 1 : middle + 2], 1)
    left = _fit(points[: middle + 1], where[: middle + 1], begin, tangent, tolerance, step)
    return left + _fit(points[middle:], where[middle:], tangent, end, tolerance, step)


def _fit_one(points: Array, where: Array, begin: Array, end: Array, tolerance: float) -> tuple[Curve, float]:
    """The cubic with given end tangents nearest to the points, and its greatest distance from them, mm."""
    first, last = points[0], points[-1]
    t = (where - where[0]) / (where[-1] - where[0])
    best: tuple[Curve, float] | None = None
    for _ in range(5):
        s = 1 - t
        # Products, for powers take several times as long.
        ss, st, tt = s * s, s * t, t * t
        b0, b1, b2, b3 = ss * s, 3 * st * s, 3 * st * t, tt * t
        rest = points - np.outer(b0 + b1, first) - np.outer(b2 + b3, last)
        handles = _handles(b1, b2, rest, begin, end, hypot(*(last - first)))
        p1, p2 = first + handles[0] * begin, last - handles[1] * end
        off = np.column_stack([b0, b1, b2, b3]) @ np.array([first, p1, p2, last]) - points
        error = float(np.sqrt((off * off).sum(axis=1).max()))
        if best is None or error < best[1]:
            best = (Curve(_pair(first), _pair(p1), _pair(p2), _pair(last)), error)
        if error <= tolerance or error > 100 * tolerance:
            break
        slope = np.column_stack([3 * ss, 6 * st, 3 * tt]) @ np.array([p1 - first, p2 - p1, last - p2])
        t = np.clip(t - (off * slope).sum(axis=1) / np.maximum((slope * slope).sum(axis=1), 1e-12), 0.0, 1.0)
    assert best is not None
    return best


def _handles(b1: Array, b2: Array, rest: Array, begin: Array, end: Array, chord: float) -> tuple[float, float]:
    """Lengths of the two handles by least squares; a third of the chord where that has no sensible answer."""
    a11, a22 = float(b1 @ b1), float(b2 @ b2)
    a12 = -float(begin @ end) * float(b1 @ b2)
    r1, r2 = float(b1 @ (rest @ begin)), -float(b2 @ (rest @ end))
    determinant = a11 * a22 - a12 * a12
    if determinant > 1e-12 * a11 * a22:
        left, right = (r1 * a22 - r2 * a12) / determinant, (a11 * r2 - a12 * r1) / determinant
        if 0.01 * chord < left < 3 * chord and 0.01 * chord < right < 3 * chord:
            return left, right
    return chord / 3, chord / 3
