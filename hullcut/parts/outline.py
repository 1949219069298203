"""From edges in space to a flat outline that is cut on its long faces.

An edge is told by its two lines in space, one on either face. Both are laid in the flat; at each place the line that
reaches farther out is the one to saw, and the distance between the two is the bevel.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.values import BevelAt, Edge, Point

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.panel import Panel

__all__ = ["EdgeLines", "FlatOutline", "as_points", "flat_outline", "outline_area"]

Array = NDArray[np.float64]

_SAME_POINT_MM = 1e-9
_SQUARE_DEG = 0.05
_STRAIGHT_MM = 1e-7
# Between two places at which a bevel is told, the angle strays from running evenly by less than this, degrees, and the
# edge from a straight line by less than this, mm.
_EVEN_DEG, _EVEN_MM = 0.05, 0.25
# Corners of adjoining edges are sought this far beyond the ends of both, besides the bevel and the allowance.
_REACH_MM = 5.0


@dataclass(frozen=True, slots=True)
class EdgeLines:
    """One edge of a part in space.

    Attributes:
        name: of the edge.
        outer: its line (n, 3) on the outer face.
        inner: its line (n, 3) on the inner face, point by point opposite `outer`.
        allowance: extra wood to leave outside it, mm.
    """

    name: str
    outer: Array
    inner: Array
    allowance: float = 0.0


@dataclass(frozen=True, slots=True)
class FlatOutline:
    """An outline in the flat, still in the panel's own place.

    Attributes:
        points: what is cut (n, 2), counter-clockwise.
        edges: runs of `points`.
        true_points: without the allowances (m, 2).
    """

    points: Array
    edges: tuple[Edge, ...]
    true_points: Array


@dataclass(frozen=True, slots=True)
class _Run:
    name: str
    points: Array
    bevel: float
    long_face: Literal["inner", "outer"] | None
    allowance: float
    bevels: Array


def flat_outline(panel: Panel, lines: Sequence[EdgeLines]) -> FlatOutline:
    """Lay the edges of a part, given end to end, in its panel's flat and join them.

    Args:
        panel: the part's chart.
        lines: the edges in order around the part, either way round.
    """
    # One call for all: finding places on a bent panel costs nearly as much for one point as for hundreds.
    flat = panel.to_flat(np.concatenate([face for line in lines for face in (line.outer, line.inner)]))[:, :2]
    ends = np.cumsum([len(face) for line in lines for face in (line.outer, line.inner)])[:-1]
    faces = np.split(flat, ends)
    flats = list(zip(lines, faces[::2], faces[1::2], strict=True))
    if _signed_area(np.concatenate([outer for _, outer, _ in flats])) < 0.0:
        flats = [(line, outer[::-1], inner[::-1]) for line, outer, inner in reversed(flats)]
    runs = [_thinned(_long_run(line, outer, inner, panel.thickness)) for line, outer, inner in flats]
    true_points, edges = _join(runs)
    points = true_points
    if any(run.allowance != 0.0 for run in runs):
        points, edges = _join([_grown(run) for run in runs])
    # Not thinned: what is straight in this flat may bend in that of the part on which it stands.
    planed = [_crossed([outer for _, outer, _ in flats]), _crossed([inner for _, _, inner in flats])]
    edges = tuple(
        replace(edge, outer=as_points(outer), inner=as_points(inner))
        for edge, outer, inner in zip(edges, *planed, strict=True)
    )
    return FlatOutline(points, edges, true_points)


def _signed_area(points: Array) -> float:
    x, y = points[:, 0], points[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0


def _outward(points: Array) -> Array:
    """Unit normals (n, 2) to the right of a run, scaled at each bend so that parallels keep their distance."""
    steps = np.diff(points, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    keep = lengths > _SAME_POINT_MM
    units = steps / np.where(keep, lengths, 1.0)[:, None]
    normals = np.column_stack([units[:, 1], -units[:, 0]])
    before = np.vstack([normals[:1], normals])
    after = np.vstack([normals, normals[-1:]])
    total = before + after
    scale = 2.0 / np.maximum(np.einsum("ij,ij->i", total, total), 0.5)
    normals_out: Array = total * scale[:, None]
    return normals_out


def _long_run(line: EdgeLines, outer: Array, inner: Array, thickness: float) -> _Run:
    normals = _outward(outer)
    reach = np.einsum("ij,ij->i", outer - inner, normals)
    points = np.where((reach > 0.0)[:, None], outer, inner)
    greatest = float(reach[int(np.argmax(np.abs(reach)))])
    bevel = float(np.degrees(np.arctan2(abs(greatest), thickness)))
    if bevel < _SQUARE_DEG:
        return _Run(line.name, points, 0.0, None, line.allowance, np.zeros((0, 3)))
    degrees = np.degrees(np.arctan2(reach, thickness))
    face: Literal["inner", "outer"] = "outer" if greatest > 0.0 else "inner"
    return _Run(line.name, points, bevel, face, line.allowance, _told(points, degrees))


def _told(points: Array, degrees: Array) -> Array:
    """Places (n, 2) and bevels (n,) as rows (m, 3), without those that others tell as well."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    kept = [0, len(points) - 1]
    spans = [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        between = np.arange(first + 1, last)
        if not len(between):
            continue
        run = max(along[last] - along[first], _SAME_POINT_MM)
        even = degrees[first] + (degrees[last] - degrees[first]) * (along[between] - along[first]) / run
        chord = (points[last] - points[first]) / max(float(np.linalg.norm(points[last] - points[first])), 1e-9)
        off = points[between] - points[first]
        sag = np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0])
        stray = np.maximum(np.abs(degrees[between] - even) / _EVEN_DEG, sag / _EVEN_MM)
        worst = int(np.argmax(stray))
        if stray[worst] > 1.0:
            middle = int(between[worst])
            kept.append(middle)
            spans += [(first, middle), (middle, last)]
    rows = sorted(set(kept))
    return np.column_stack([points[rows], degrees[rows]])


def _thinned(run: _Run) -> _Run:
    """The run without points that lie on a straight line between their neighbours."""
    points = shapely.get_coordinates(shapely.LineString(run.points).simplify(_STRAIGHT_MM))
    return replace(run, points=points)


def _grown(run: _Run) -> _Run:
    if run.allowance == 0.0:
        return run
    return replace(run, points=run.points + run.allowance * _outward(run.points))


def _join(runs: Sequence[_Run]) -> tuple[Array, tuple[Edge, ...]]:
    """Join runs at their corners; each run's first point is the corner with the one before it."""
    count = len(runs)
    pieces = _crossed([run.points for run in runs])
    points: list[Array] = []
    starts: list[int] = []
    total = 0
    for i, piece in enumerate(pieces):
        following = pieces[(i + 1) % count]
        shares_end = np.linalg.norm(piece[-1] - following[0]) <= 1e-7
        kept = piece[:-1] if shares_end else piece
        starts.append(total)
        points.append(kept)
        total += len(kept)
    edges = tuple(
        Edge(run.name, starts[i], starts[(i + 1) % count], run.bevel, run.long_face, _as_bevels(run.bevels))
        for i, run in enumerate(runs)
    )
    return np.concatenate(points), edges


def _crossed(lines: Sequence[Array]) -> list[Array]:
    """Lines around a part, each trimmed or lengthened to where it meets its neighbours."""
    pieces = list(lines)
    for i in range(len(pieces)):
        j = (i + 1) % len(pieces)
        pieces[i], pieces[j] = _meet(pieces[i], pieces[j])
    return pieces


def _as_bevels(rows: Array) -> tuple[BevelAt, ...]:
    return tuple(BevelAt(float(x), float(y), float(degrees)) for x, y, degrees in rows)


def _meet(first: Array, second: Array) -> tuple[Array, Array]:
    """Trim or lengthen the end of one run and the start of the next to the point where they cross."""
    gap = float(np.linalg.norm(first[-1] - second[0]))
    if gap <= _SAME_POINT_MM:
        return first, second
    reach = _REACH_MM + 2.0 * gap
    tail = _lengthened(first[::-1], reach)[::-1]
    head = _lengthened(second, reach)
    line_a, line_b = shapely.LineString(tail), shapely.LineString(head)
    crossing = shapely.get_parts(line_a.intersection(line_b))
    spots = [np.array([p.x, p.y]) for p in crossing if p.geom_type == "Point"]
    if not spots:
        return first, second
    middle = (first[-1] + second[0]) / 2.0
    corner = min(spots, key=lambda spot: float(np.linalg.norm(spot - middle)))
    spot = shapely.Point(corner)
    return (
        np.vstack([_before(tail, line_a.project(spot)), corner]),
        np.vstack([corner, _before(head[::-1], line_b.length - line_b.project(spot))[::-1]]),
    )


def _lengthened(run: Array, reach: float) -> Array:
    """The run with its first segment carried back by `reach`."""
    back = run[0] - run[1]
    return np.vstack([run[0] + back / np.linalg.norm(back) * reach, run[1:]])


def _before(run: Array, distance: float) -> Array:
    """Points of a run that stand nearer than `distance` to its start, along it."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(run, axis=0), axis=1))])
    kept: Array = run[along < distance - 1e-7]
    return kept


@lru_cache(maxsize=1024)
def outline_area(outline: tuple[Point, ...], holes: tuple[tuple[Point, ...], ...] = ()) -> shapely.Polygon:
    """What lies within an outline, less its holes; made once, for many stages ask for the same."""
    return shapely.Polygon(np.array(outline), [np.array(hole) for hole in holes])


def as_points(array: Array) -> tuple[Point, ...]:
    """An array (n, 2) as a tuple of points."""
    return tuple([(x, y) for x, y in array.tolist()])
