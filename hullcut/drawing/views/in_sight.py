"""What is seen of facets that others hide: areas and lines, of many facets at once.

Thousands of small areas are reckoned with for one picture: one call for all of them costs a fraction of a call each.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.views.overlay import differences, intersections_of_lines, unions

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

__all__ = ["Hidden", "Visible", "what_shows"]

Array = NDArray[np.float64]
Shapes = NDArray[np.object_]

# What shows of a facet in a strip narrower than twice this, mm on the boat, is left out; a line shows where it stands
# within this of what shows of its facet.
_SLIVER = 0.4
# A hole in what shows of a facet smaller than this, mm2, has no border.
_SPECK = 10.0
# What shows of a facet of less than this, mm2, is nothing; nor is a line shorter than this, mm.
_NOTHING = 1.0
# So many covers are taken from a facet in the first go.
_FIRST_COVERS = 4


@dataclass(frozen=True, slots=True)
class Hidden:
    """A facet that others may hide.

    Attributes:
        area: of it, in the camera's plane.
        thin, wide: its edges as lines of either width.
        covers: areas that hide some of it.
        touched: whether any of what hides it lies against it, or runs into it.
    """

    area: BaseGeometry
    thin: BaseGeometry
    wide: BaseGeometry
    covers: tuple[BaseGeometry, ...]
    touched: bool = False


@dataclass(frozen=True, slots=True)
class Visible:
    """What is seen of one facet: rings, and lines of both widths, as points (n, 2)."""

    rings: tuple[Array, ...] = ()
    thin: tuple[Array, ...] = ()
    wide: tuple[Array, ...] = ()


def what_shows(facets: Sequence[Hidden]) -> list[Visible]:
    """What is seen of each facet."""
    areas, thin, wide = (_shapes([getattr(each, name) for each in facets]) for name in ("area", "thin", "wide"))
    # Nobody looks for what hides so small an area: its lines would show through whatever stands before it.
    small = shapely.area(areas) <= _NOTHING
    for shapes in (areas, thin, wide):
        shapes[small] = None
    covered = np.flatnonzero(~small & np.array([bool(each.covers) for each in facets], dtype=bool))
    left = _left_of(areas[covered], [facets[k].covers for k in covered.tolist()])
    gone = shapely.is_empty(left)
    for shapes in (areas, thin, wide):
        shapes[covered[gone]] = None
    covered = covered[~gone]
    whole = areas[covered]
    # A facet seen nearly edge-on is a strip as a whole.
    sliver = np.minimum(_SLIVER, 0.5 * shapely.area(whole) / shapely.length(whole))
    cores = shapely.buffer(left[~gone], -sliver, join_style="mitre")
    areas[covered] = shapely.buffer(cores, sliver, join_style="mitre")
    lined = ~(shapely.is_empty(thin[covered]) & shapely.is_empty(wide[covered]))
    near = shapely.buffer(cores[lined], 2.0 * _SLIVER, join_style="mitre")
    for lines in (thin, wide):
        some = ~shapely.is_empty(lines[covered[lined]])
        here = covered[lined][some]
        lines[here] = intersections_of_lines(lines[here], near[some])
    seams = np.full(len(areas), shapely.LineString(), dtype=object)
    touched = np.array([each.touched for each in facets], dtype=bool)[covered]
    seams[covered[touched]] = _seams(areas[covered[touched]], whole[touched])
    found = zip(_rings_of(areas), _lines_of(thin), _lines_of(seams), _lines_of(wide), strict=True)
    return [Visible(rings, edges + cuts, turns) for rings, edges, cuts, turns in found]


def _seams(seen: Shapes, whole: Shapes) -> Shapes:
    """The borders of what is seen of facets that are not borders of the facets themselves.

    There another body stands before the facet or runs into it: where it runs in, neither has an edge there.
    """
    inside = shapely.buffer(whole, -_SLIVER / 2.0, join_style="mitre")
    return intersections_of_lines(_borders(seen), inside)


def _borders(areas: Shapes) -> Shapes:
    """The borders of areas (n,), but of no hole so small that it is a corner which pokes through by a hair."""
    found = np.full(len(areas), shapely.LineString(), dtype=object)
    pieces, owners = shapely.get_parts(areas, return_index=True)
    rings, which = shapely.get_rings(pieces, return_index=True)
    large = shapely.area(shapely.polygons(rings)) > _SPECK
    if large.any():
        whose, place = np.unique(owners[which[large]], return_inverse=True)
        found[whose] = shapely.multilinestrings(rings[large], indices=place)
    return found


def _shapes(each: Sequence[BaseGeometry]) -> Shapes:
    found = np.empty(len(each), dtype=object)
    found[:] = each
    return found


def _left_of(areas: Shapes, covers: Sequence[tuple[BaseGeometry, ...]]) -> Shapes:
    """What covers leave of each area; nothing where little is left.

    The largest are taken away first, twice as many in each go: mostly little or nothing is left for the small ones.
    """
    left = areas.copy()
    counts = np.array([len(each) for each in covers], dtype=np.intp)
    whose = np.repeat(np.arange(len(areas)), counts)
    every = _shapes([cover for each in covers for cover in each])
    # By area, the largest first, within each facet's own run.
    every = every[np.lexsort((-shapely.area(every), whose))]
    starts = np.cumsum(counts) - counts
    first, count = 0, _FIRST_COVERS
    live = np.flatnonzero(counts > 0)
    while len(live):
        taken = np.minimum(counts[live] - first, count)
        owners = np.repeat(live, taken)
        within = np.arange(len(owners)) - np.repeat(np.cumsum(taken) - taken, taken)
        some = every[starts[owners] + first + within]
        if first:
            shapely.prepare(left[live])
            meets = shapely.intersects(left[owners], some)
            owners, some = owners[meets], some[meets]
        met, runs = np.unique(owners, return_index=True)
        left[met] = differences(left[met], unions(some, runs))
        little = live[shapely.area(left[live]) <= _NOTHING]
        left[little] = shapely.Polygon()
        first, count = first + count, 2 * count
        live = live[(shapely.area(left[live]) > _NOTHING) & (counts[live] > first)]
    return left


def _rings_of(areas: Shapes) -> list[tuple[Array, ...]]:
    """The rings of each area, the border of each of its pieces first, without their closing points."""
    pieces, owners = shapely.get_parts(areas, return_index=True)
    real = (shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON) & (shapely.area(pieces) > _NOTHING)
    rings, which = shapely.get_rings(pieces[real], return_index=True)
    return _runs(rings, owners[real][which], len(areas), 1)


def _lines_of(lines: Shapes) -> list[tuple[Array, ...]]:
    """The lines of each shape."""
    pieces, owners = shapely.get_parts(lines, return_index=True)
    real = (shapely.get_type_id(pieces) == shapely.GeometryType.LINESTRING) & (shapely.length(pieces) > _NOTHING)
    return _runs(pieces[real], owners[real], len(lines), 0)


def _runs(lines: Shapes, owners: NDArray[np.intp], count: int, closing: int) -> list[tuple[Array, ...]]:
    """The points (n, 2) of lines, by owner 0 to `count`; so many points at their ends are left out."""
    points = shapely.get_coordinates(lines)
    stops = np.cumsum(shapely.get_num_coordinates(lines)).tolist()
    found: list[list[Array]] = [[] for _ in range(count)]
    start = 0
    for owner, stop in zip(owners.tolist(), stops, strict=True):
        found[owner].append(points[start : stop - closing])
        start = stop
    return [tuple(each) for each in found]
