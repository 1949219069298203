"""Lines, arcs and cubic curves: ends, flattening, bounds, splitting and conversion."""

from __future__ import annotations

import itertools
from functools import lru_cache
from math import acos, atan2, ceil, cos, degrees, hypot, pi, radians, sin, sqrt, tan

from hullcut.drawing.scene import Arc, Curve, Line, Path, Point, Segment

__all__ = [
    "Box",
    "arc_curves",
    "arc_point",
    "arc_sweep",
    "flatten",
    "flatten_segment",
    "is_circle",
    "path_bounds",
    "segment_bounds",
    "segment_end",
    "segment_start",
    "split",
]

Box = tuple[float, float, float, float]

# Angles nearer than this are one angle, degrees: 2e-9 mm on a circle of 100 mm.
_NO_TURN = 1e-9


def arc_sweep(arc: Arc) -> float:
    """Degrees that a path turns along the arc: positive counter-clockwise, negative clockwise."""
    turn = arc.end_deg - arc.start_deg
    if abs(turn) < _NO_TURN:
        return 0.0
    # Turning a circle leaves rounding in its angles; it must not make it vanish.
    if abs(turn - 360.0 * round(turn / 360.0)) < _NO_TURN:
        return -360.0 if arc.clockwise else 360.0
    return -((-turn) % 360.0) if arc.clockwise else turn % 360.0


def arc_point(arc: Arc, angle_deg: float) -> Point:
    """The point of the arc's circle at an angle."""
    angle = radians(angle_deg)
    return (arc.centre[0] + arc.radius * cos(angle), arc.centre[1] + arc.radius * sin(angle))


def segment_start(segment: Segment) -> Point:
    """Where a path enters the segment."""
    return arc_point(segment, segment.start_deg) if isinstance(segment, Arc) else segment.start


def segment_end(segment: Segment) -> Point:
    """Where a path leaves the segment."""
    return arc_point(segment, segment.end_deg) if isinstance(segment, Arc) else segment.end


def is_circle(path: Path) -> bool:
    """Whether the path is one full circle."""
    if len(path.segments) != 1:
        return False
    segment = path.segments[0]
    return isinstance(segment, Arc) and abs(arc_sweep(segment)) == 360.0


def flatten_segment(segment: Segment, tolerance_mm: float) -> list[Point]:
    """Points along a segment after its start, chords within `tolerance_mm` of it; the last is its end."""
    if isinstance(segment, Line):
        return [segment.end]
    if isinstance(segment, Arc):
        sweep = arc_sweep(segment)
        if segment.radius <= tolerance_mm:
            step = pi / 2
        else:
            step = min(pi / 4, 2 * acos(max(-1.0, 1 - tolerance_mm / segment.radius)))
        count = max(1, ceil(radians(abs(sweep)) / step - 1e-9))
        return [arc_point(segment, segment.start_deg + sweep * k / count) for k in range(1, count + 1)]
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = segment.start, segment.control1, segment.control2, segment.end
    bend = max(hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2), hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3))
    # The chord error of a cubic cut in n equal parts is at most 6 * bend / (8 n^2).
    count = max(1, ceil(sqrt(0.75 * bend / tolerance_mm)))
    points = []
    for k in range(1, count):
        t = k / count
        s = 1 - t
        a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        points.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    points.append(segment.end)
    return points


def flatten(path: Path, tolerance_mm: float) -> tuple[Point, ...]:
    """A path as points whose chords lie within `tolerance_mm` of it.

    A closed path's first point is not repeated.
    """
    if not path.segments:
        return ()
    points = [segment_start(path.segments[0])]
    for segment in path.segments:
        points.extend(flatten_segment(segment, tolerance_mm))
    if path.closed and len(points) > 1:
        points.pop()
    return tuple(points)


def arc_curves(arc: Arc) -> tuple[Curve, ...]:
    """The arc as cubic curves, each turning at most 30 degrees.

    A cubic with handles of 4/3 tan(turn/4) departs from the circle by 4/27 sin^6(turn/4) / cos^2(turn/4) of the
    radius: at 30 degrees 7e-7, which is 7e-4 mm at a radius of one metre.
    """
    sweep = arc_sweep(arc)
    count = max(1, ceil(abs(sweep) / 30.0 - 1e-9))
    step = radians(sweep / count)
    handle = 4.0 / 3.0 * tan(step / 4) * arc.radius
    curves = []
    for k in range(count):
        a0 = radians(arc.start_deg) + step * k
        a1 = a0 + step
        start = (arc.centre[0] + arc.radius * cos(a0), arc.centre[1] + arc.radius * sin(a0))
        end = (arc.centre[0] + arc.radius * cos(a1), arc.centre[1] + arc.radius * sin(a1))
        control1 = (start[0] - handle * sin(a0), start[1] + handle * cos(a0))
        control2 = (end[0] + handle * sin(a1), end[1] - handle * cos(a1))
        curves.append(Curve(start, control1, control2, end))
    return tuple(curves)


def _quadratic_roots(a: float, b: float, c: float) -> list[float]:
    if abs(a) < 1e-12 * (abs(b) + abs(c)):
        return [-c / b] if b else []
    root = b * b - 4 * a * c
    if root < 0:
        return []
    q = -0.5 * (b + (sqrt(root) if b >= 0 else -sqrt(root)))
    return [q / a] + ([c / q] if q else [])


def _curve_value(p0: float, p1: float, p2: float, p3: float, t: float) -> float:
    s = 1 - t
    return s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3


def _axis_extremes(p0: float, p1: float, p2: float, p3: float) -> list[float]:
    """Parameters strictly inside 0..1 at which one coordinate of a cubic turns back."""
    a = -p0 + 3 * p1 - 3 * p2 + p3
    b = 2 * (p0 - 2 * p1 + p2)
    return [t for t in _quadratic_roots(a, b, p1 - p0) if 0 < t < 1]


# Cutting a drawing to its pages asks for the same box a few times over.
@lru_cache(maxsize=8192)
def _curve_bounds(curve: Curve) -> Box:
    spans = []
    for axis in (0, 1):
        p = (curve.start[axis], curve.control1[axis], curve.control2[axis], curve.end[axis])
        values = [p[0], p[3]]
        if min(p[1], p[2]) < min(values) or max(p[1], p[2]) > max(values):
            values += [_curve_value(*p, t) for t in _axis_extremes(*p)]
        spans.append((min(values), max(values)))
    return (spans[0][0], spans[1][0], spans[0][1], spans[1][1])


@lru_cache(maxsize=8192)
def _arc_bounds(arc: Arc) -> Box:
    sweep = arc_sweep(arc)
    low, high = sorted((arc.start_deg, arc.start_deg + sweep))
    angles = [low, high] + [90.0 * k for k in range(ceil(low / 90.0), int(high // 90.0) + 1)]
    points = [arc_point(arc, angle) for angle in angles]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def segment_bounds(segment: Segment) -> Box:
    """The smallest upright box round a segment."""
    if isinstance(segment, Line):
        (xa, ya), (xb, yb) = segment.start, segment.end
        x0, x1 = (xa, xb) if xa < xb else (xb, xa)
        y0, y1 = (ya, yb) if ya < yb else (yb, ya)
        return (x0, y0, x1, y1)
    return _arc_bounds(segment) if isinstance(segment, Arc) else _curve_bounds(segment)


def path_bounds(path: Path) -> Box:
    """The smallest upright box round a path."""
    x0, y0, x1, y1 = segment_bounds(path.segments[0])
    # Pages are laid out by the boxes of all that stands on them: comparing here is twice as quick as asking min and
    # max, and of a straight segment only its end is new.
    for segment in path.segments[1:]:
        if isinstance(segment, Line):
            left, low = right, high = segment.end
        else:
            left, low, right, high = segment_bounds(segment)
        if left < x0:
            x0 = left
        if right > x1:
            x1 = right
        if low < y0:
            y0 = low
        if high > y1:
            y1 = high
    return (x0, y0, x1, y1)


def _part_of_curve(curve: Curve, t0: float, t1: float) -> Curve:
    """The cubic between two parameters, by blossoming."""

    def blossom(a: float, b: float, c: float) -> Point:
        out = []
        for axis in (0, 1):
            p = (curve.start[axis], curve.control1[axis], curve.control2[axis], curve.end[axis])
            q = [p[k] + a * (p[k + 1] - p[k]) for k in range(3)]
            r = [q[k] + b * (q[k + 1] - q[k]) for k in range(2)]
            out.append(r[0] + c * (r[1] - r[0]))
        return (out[0], out[1])

    return Curve(blossom(t0, t0, t0), blossom(t0, t0, t1), blossom(t0, t1, t1), blossom(t1, t1, t1))


def _part(segment: Segment, t0: float, t1: float) -> Segment:
    """The stretch of a segment between two parameters in 0..1."""
    if isinstance(segment, Line):
        (xa, ya), (xb, yb) = segment.start, segment.end
        dx, dy = xb - xa, yb - ya
        return Line((xa + t0 * dx, ya + t0 * dy), (xa + t1 * dx, ya + t1 * dy))
    if isinstance(segment, Arc):
        sweep = arc_sweep(segment)
        first = segment.start_deg + sweep * t0
        return Arc(segment.centre, segment.radius, first, segment.start_deg + sweep * t1, segment.clockwise)
    return _part_of_curve(segment, t0, t1)


def _arc_crossings(arc: Arc, axis: int, value: float) -> list[float]:
    sweep = arc_sweep(arc)
    off = value - arc.centre[axis]
    if abs(off) >= arc.radius or sweep == 0.0:
        return []
    along = sqrt(arc.radius**2 - off**2)
    pair = ((off, along), (off, -along)) if axis == 0 else ((along, off), (-along, off))
    found = []
    for x, y in pair:
        ahead = (degrees(atan2(y, x)) - arc.start_deg) * (1 if sweep > 0 else -1)
        found.append((ahead % 360.0) / abs(sweep))
    return [t for t in found if 0 < t < 1]


def _curve_crossings(curve: Curve, axis: int, value: float) -> list[float]:
    """Parameters at which a cubic passes a level, by halving each stretch on which it only rises or falls."""
    p = (curve.start[axis], curve.control1[axis], curve.control2[axis], curve.end[axis])
    stops = [0.0, *sorted(_axis_extremes(*p)), 1.0]
    found = []
    for low, high in itertools.pairwise(stops):
        below = _curve_value(*p, low) < value
        if below == (_curve_value(*p, high) < value):
            continue
        for _ in range(52):
            middle = 0.5 * (low + high)
            if (_curve_value(*p, middle) < value) == below:
                low = middle
            else:
                high = middle
        found.append(0.5 * (low + high))
    return [t for t in found if 0 < t < 1]


def _crossings(segment: Segment, axis: int, value: float) -> list[float]:
    if isinstance(segment, Line):
        a, b = segment.start[axis], segment.end[axis]
        return [(value - a) / (b - a)] if (a < value) != (b < value) and value not in (a, b) else []
    if isinstance(segment, Arc):
        return _arc_crossings(segment, axis, value)
    return _curve_crossings(segment, axis, value)


def split(segment: Segment, box: Box) -> tuple[Segment, ...]:
    """A segment cut where it crosses the lines of a box's sides; each stretch is in or out of the box."""
    bounds = segment_bounds(segment)
    stops = {0.0, 1.0}
    for axis, value in ((0, box[0]), (1, box[1]), (0, box[2]), (1, box[3])):
        if bounds[axis] < value < bounds[axis + 2]:
            stops.update(_crossings(segment, axis, value))
    if len(stops) == 2:
        return (segment,)
    ordered = sorted(stops)
    return tuple(_part(segment, a, b) for a, b in itertools.pairwise(ordered) if b - a > 1e-12)
