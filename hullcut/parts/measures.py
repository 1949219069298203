"""Measures of a part: distances along a base line and offsets from it, to mark it out with tape, square and batten.

A straight edge is given by its ends, a curved one by its ends and an offset every 2 in or 50 mm, closer where the
batten needs it. A batten sprung through nails at those points bends as a natural cubic spline (a thin beam held at
points, small slopes: any text of mechanics or of spline theory); the points are taken as they are written, rounded to
what a rule reads, and the greatest distance between that spline and the true outline is the part's worst error.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.lengths import MM_PER_INCH
from hullcut.parts.outline import as_points, outline_area

if TYPE_CHECKING:
    from hullcut.parts.values import Part, Point

__all__ = [
    "EdgeMeasures",
    "HoleMeasures",
    "Measures",
    "batten",
    "fills_its_box",
    "is_mirror",
    "is_rectangle",
    "measures_of",
    "reading_step",
    "rectangle_sizes",
]

Array = NDArray[np.float64]
Base = Literal["lower edge", "centre line along", "centre line up"]

_CORNER_DEG = 8.0
_STRAIGHT_MM = 0.05
_SYMMETRIC_MM = 0.02
_SAME_MM = 0.02
# An outline that leaves its box by no more than this is the box, to any rule and saw.
_RECTANGLE_MM = 0.1
# A batten that errs more than this is held at twice as many points, up to four times.
_WANTED_MM = 0.8
_SPLINE_POINTS = 24


@dataclass(frozen=True, slots=True)
class EdgeMeasures:
    """One edge of a part, or as much of it as runs without a corner.

    Attributes:
        name: the edge's.
        curved: whether a batten is bent through its points; else a straight line joins them.
        points: distance along the base line and offset from it, as written; from end to end.
    """

    name: str
    curved: bool
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class HoleMeasures:
    """A hole or a slot.

    Attributes:
        name: in words.
        centre: along the base line and off it, as written.
        diameter: of a round hole; None for any other.
        corners: of any other hole, as written; empty for a round one.
    """

    name: str
    centre: Point
    diameter: float | None
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Measures:
    """How to mark out a part.

    Attributes:
        base: "lower edge": along the straight edge of the board, from the part's after or left end; "centre line
            along": along the part's middle line, offsets to both sides; "centre line up": distances to both sides of
            the middle line, offsets up from the lower edge.
        origin: where 0, 0 of the measures lies in the part's drawing.
        edges: in order round the part; on one side of the middle line only where there is one.
        holes: in the part's order, then its slots.
        worst_error: between straight line or batten and the outline, mm.
    """

    base: Base
    origin: Point
    edges: tuple[EdgeMeasures, ...]
    holes: tuple[HoleMeasures, ...]
    worst_error: float


def reading_step(units: Literal["in", "mm"]) -> float:
    """What the written measures are rounded to, mm: 1/32 in or half a millimetre."""
    return MM_PER_INCH / 32.0 if units == "in" else 0.5


def is_rectangle(part: Part) -> bool:
    """Whether a part is an upright rectangle without holes or slots, told by its length and width."""
    return not part.holes and not any(mark.kind == "slot" for mark in part.marks) and fills_its_box(part)


def fills_its_box(part: Part) -> bool:
    """Whether a part's outline is an upright rectangle, as near as a rule can tell."""
    points = np.array(part.outline)
    low, high = points.min(axis=0), points.max(axis=0)
    off = np.minimum(np.abs(points - low), np.abs(points - high)).min(axis=1)
    if len(points) < 4 or float(off.max()) > _RECTANGLE_MM:
        return False
    missing = float(np.prod(high - low)) - shapely.Polygon(points).area
    return missing < _RECTANGLE_MM * float((high - low).max())


def rectangle_sizes(part: Part) -> tuple[float, float]:
    """Longer and shorter side of a part's box as it is cut, mm."""
    length, breadth = np.ptp(np.array(part.outline), axis=0).tolist()
    return max(length, breadth), min(length, breadth)


def is_mirror(part: Part, other: Part) -> bool:
    """Whether a part is the other's mirror image, turned end for end or top for bottom."""
    a = outline_area(part.outline, part.holes)
    points, holes = np.array(other.outline), [np.array(hole) for hole in other.holes]
    size = points.max(axis=0)
    for turn in (np.array([-1.0, 1.0]), np.array([1.0, -1.0])):
        shift = np.where(turn < 0.0, size, 0.0)
        b = shapely.Polygon(points * turn + shift, [hole * turn + shift for hole in holes])
        if a.symmetric_difference(b).area < _SAME_MM * a.length:
            return True
    return False


def measures_of(part: Part, units: Literal["in", "mm"]) -> Measures:
    """The measures of a part, as it is cut, trim allowance included.

    Args:
        part: any part.
        units: of the design: offsets every 2 in or every 50 mm.
    """
    base, origin = _base_of(part)
    pitch = 2.0 * MM_PER_INCH if units == "in" else 50.0
    step = reading_step(units)
    edges: list[EdgeMeasures] = []
    worst = 0.0
    outline = np.array(part.outline)
    for edge in part.edges:
        stop = edge.stop if edge.stop > edge.start else edge.stop + len(outline)
        line = outline[np.arange(edge.start, stop + 1) % len(outline)] - origin
        for run in _runs(_one_side(line, base)):
            measured, error = _measured(edge.name, run, pitch, step)
            edges.append(measured)
            worst = max(worst, error)
    name = _HOLES.get(part.family, "hole")
    holes = [_hole(name, np.array(hole) - origin, step) for hole in part.holes]
    slots = [mark for mark in part.marks if mark.kind == "slot"]
    holes += [_hole(mark.name.split(":")[0], np.array(mark.points[:-1]) - origin, step) for mark in slots]
    return Measures(base, (float(origin[0]), float(origin[1])), tuple(edges), tuple(holes), worst)


def _base_of(part: Part) -> tuple[Base, Array]:
    """The base line: the middle line of a part that is alike on both sides of it, else the lower edge."""
    outline = outline_area(part.outline)
    points = np.array(part.outline)
    middle = points.max(axis=0) / 2.0
    ways: tuple[tuple[Base, Array, Array], ...] = (
        ("centre line along", np.array([1.0, -1.0]), np.array([0.0, middle[1]])),
        ("centre line up", np.array([-1.0, 1.0]), np.array([middle[0], 0.0])),
    )
    lines = [np.ptp(np.array(mark.points), axis=0) for mark in part.marks if mark.kind == "centre line"]
    along = float(lines[0][0] - lines[0][1]) if lines else float(points[:, 0].max() - points[:, 1].max())
    for base, turn, origin in ways if along >= 0.0 else ways[::-1]:
        mirrored = shapely.Polygon((points - middle) * turn + middle)
        if outline.symmetric_difference(mirrored).area < _SYMMETRIC_MM * outline.length:
            return base, origin
    return "lower edge", np.zeros(2)


def _one_side(line: Array, base: Base) -> Array:
    """As much of an edge as lies on the positive side of the middle line (n, 2); all of it where there is none."""
    if base == "lower edge":
        return line
    off = line[:, 1] if base == "centre line along" else line[:, 0]
    kept: list[Array] = []
    for (a, b), (p, q) in zip(pairwise(off), pairwise(line), strict=True):
        if a >= -_SAME_MM and not kept:
            kept.append(p)
        if (a > _SAME_MM) != (b > _SAME_MM) and (a > 0.0) != (b > 0.0):
            kept.append(p + (q - p) * (a / (a - b)))
        if b >= -_SAME_MM:
            kept.append(q)
    found = np.array(kept).reshape(-1, 2)
    across = np.abs(found[:, 1 if base == "centre line along" else 0])
    return found if len(found) > 1 and float(across.max()) > _SAME_MM else np.zeros((0, 2))


def _runs(line: Array) -> list[Array]:
    """An edge split where it turns a corner or turns back along the longer of its two directions."""
    if len(line) < 2:
        return []
    keep = np.concatenate([[True], np.linalg.norm(np.diff(line, axis=0), axis=1) > 1e-6])
    line = line[keep]
    if len(line) < 3:
        return [line] if len(line) == 2 else []
    steps = np.diff(line, axis=0)
    heading = np.arctan2(steps[:, 1], steps[:, 0])
    turn = np.abs(np.angle(np.exp(1j * np.diff(heading))))
    cuts = set((np.flatnonzero(turn > np.radians(_CORNER_DEG)) + 1).tolist())
    found = []
    for start, stop in pairwise([0, *sorted(cuts), len(line) - 1]):
        found += _forward(line[start : stop + 1])
    return found


def _forward(run: Array) -> list[Array]:
    """A run split where it turns back along the axis on which it is measured."""
    axis = _axis_of(run)
    ways = np.sign(np.diff(run[:, axis]))
    back = np.flatnonzero(ways[1:] * ways[:-1] < 0.0) + 1
    stops = [0, *back.tolist(), len(run) - 1]
    return [run[start : stop + 1] for start, stop in pairwise(stops)]


def _axis_of(run: Array) -> int:
    return 0 if np.ptp(run[:, 0]) >= np.ptp(run[:, 1]) else 1


def _measured(name: str, run: Array, pitch: float, step: float) -> tuple[EdgeMeasures, float]:
    """The points of a run as written, and how far line or batten strays from it."""
    chord = shapely.LineString(run[[0, -1]])
    if float(shapely.distance(shapely.points(run), chord).max()) < _STRAIGHT_MM:
        written = _written(run[[0, -1]], step)
        return EdgeMeasures(name, False, as_points(written)), _stray(run, written)
    axis = _axis_of(run)
    forward = run if run[-1, axis] > run[0, axis] else run[::-1]
    best: tuple[float, Array] | None = None
    for closer in (1.0, 2.0, 4.0):
        written = _written(_ordinates(forward, axis, pitch / closer), step)
        error = _stray(run, batten(written, axis))
        if best is None or error < best[0]:
            best = (error, written)
        if error <= _WANTED_MM and len(written) >= 4:
            break
    assert best is not None
    error, written = best
    # A straight line through the ends that is as good as the batten, or off by less than a rule reads, is the simpler.
    ends = _written(run[[0, -1]], step)
    straight = _stray(run, ends)
    if len(written) == 2 or straight <= max(error, 0.5 * step):
        return EdgeMeasures(name, False, as_points(ends)), straight
    return EdgeMeasures(name, True, as_points(written if forward is run else written[::-1])), error


def _ordinates(run: Array, axis: int, pitch: float) -> Array:
    """Points of a run at whole pitches of one axis, and its ends (n, 2)."""
    start, stop = run[0, axis], run[-1, axis]
    places = pitch * np.arange(np.ceil(start / pitch), np.floor(stop / pitch) + 1.0)
    places = places[(places > start + 0.25 * pitch) & (places < stop - 0.25 * pitch)]
    at = np.concatenate([[start], places, [stop]])
    off = np.interp(at, run[:, axis], run[:, 1 - axis])
    return np.column_stack([at, off] if axis == 0 else [off, at])


def _written(points: Array, step: float) -> Array:
    rounded: Array = np.round(points / step) * step
    return rounded


def batten(points: Array, axis: int = 0) -> Array:
    """A batten through points (n, 2), as a fine line (m, 2).

    Args:
        points: in order of growing distance along the axis.
        axis: 0 or 1, along which it lies.
    """
    u, v = points[:, axis], points[:, 1 - axis]
    keep = np.concatenate([[True], np.diff(u) > 1e-9])
    u, v = u[keep], v[keep]
    if len(u) < 2:
        return points
    bend = _natural_bend(u, v)
    lines = []
    for i in range(len(u) - 1):
        h = u[i + 1] - u[i]
        at = np.linspace(u[i], u[i + 1], _SPLINE_POINTS)
        a, b = (u[i + 1] - at) / h, (at - u[i]) / h
        value = a * v[i] + b * v[i + 1] + ((a**3 - a) * bend[i] + (b**3 - b) * bend[i + 1]) * h**2 / 6.0
        lines.append(np.column_stack([at, value] if axis == 0 else [value, at]))
    return np.concatenate(lines)


def _natural_bend(u: Array, v: Array) -> Array:
    """Second derivatives (n,) of the natural cubic spline: none at either end."""
    count = len(u)
    bend = np.zeros(count)
    if count < 3:
        return bend
    h = np.diff(u)
    matrix = np.diag(2.0 * (h[:-1] + h[1:])) + np.diag(h[1:-1], 1) + np.diag(h[1:-1], -1)
    slope = np.diff(v) / h
    bend[1:-1] = np.linalg.solve(matrix, 6.0 * np.diff(slope))
    return bend


def _stray(run: Array, drawn: Array) -> float:
    """Greatest distance between a run and what is drawn for it, seen from the corners of either, mm."""
    one, other = shapely.LineString(run), shapely.LineString(drawn)
    if one.length == 0.0 or other.length == 0.0:
        return float(one.distance(other))
    return float(shapely.hausdorff_distance(one, other))


# What the hole of a family's parts is for.
_HOLES = {"bottom": "fin slot", "engine_plate": "engine's bore", "servo_mount": "servo opening"}


def _hole(name: str, ring: Array, step: float) -> HoleMeasures:
    low, high = ring.min(axis=0), ring.max(axis=0)
    centre = _written((low + high)[None, :] / 2.0, step)[0]
    radius = np.linalg.norm(ring - (low + high) / 2.0, axis=1)
    place = (float(centre[0]), float(centre[1]))
    if len(ring) > 12 and float(np.ptp(radius)) < 0.02:
        return HoleMeasures(name, place, 2.0 * float(radius.mean()), ())
    if len(ring) > 12:
        ring = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
        name = f"{name}, within"
    return HoleMeasures(name, place, None, as_points(_written(ring, step)))
