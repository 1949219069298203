"""Solids seen from a direction: parallel projection, and what hides what.

Of two facets whose pictures overlap, the nearer is told by the depths of their planes at the corners of the overlap;
where the planes cut one another there, each hides the other on its own side of the line of meeting. So no order of
drawing is needed, and bodies may even pass through one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.views.overlay import difference, intersection, intersections

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.views.solids import Facet

__all__ = ["Camera", "Flat", "Hiding", "camera", "flat_facets", "hidings"]

Array = NDArray[np.float64]

# Facets seen more edge-on than this (cosine to the line of sight) show no surface.
_EDGE_ON = 0.012
# Overlaps smaller than this, mm2, and depths closer than this, mm, decide nothing.
_LEAST_OVERLAP = 0.5
_LEAST_DEPTH = 0.02
# Bodies that seem to pass through one another by less than this, mm, only touch: their outlines were made simpler.
_TOUCH = 1.5
# Shapely's number for a collection of areas and lines.
_COLLECTION = 7


@dataclass(frozen=True, slots=True)
class Camera:
    """A direction to look from, without perspective.

    Attributes:
        right: unit vector (3,) to the right of the picture.
        up: unit vector (3,) up the picture.
        to_eye: unit vector (3,) towards the eye.
    """

    right: Array
    up: Array
    to_eye: Array

    def project(self, points: Array) -> Array:
        """Points in space (n, 3) to picture (n, 2), mm."""
        points = np.asarray(points, dtype=np.float64)
        result: Array = np.column_stack([points @ self.right, points @ self.up])
        return result


def camera(azimuth: float, elevation: float, upside_down: bool = False) -> Camera:
    """A camera by degrees.

    Args:
        azimuth: of the eye, from the bow (0) over port (90) to astern (180) and starboard (270).
        elevation: of the eye above the horizon; 90 looks straight down.
        upside_down: whether the boat lies keel up on the bench, turned over about its length.
    """
    a, e = np.radians(azimuth), np.radians(elevation)
    turned = -1.0 if upside_down else 1.0
    to_eye = np.array([np.cos(e) * np.cos(a), turned * np.cos(e) * np.sin(a), turned * np.sin(e)])
    right = np.array([-np.sin(a), turned * np.cos(a), 0.0])
    return Camera(right, np.cross(to_eye, right), to_eye)


@dataclass(frozen=True, slots=True)
class Flat:
    """A facet as the camera sees it.

    Attributes:
        facet: in space.
        rings: its border and holes in the picture (n, 2).
        polygon: the same for shapely.
        facing: cosine of its normal to the line of sight.
        plane: a, b, c such that its depth at picture x, y is a + b x + c y.
        owner: whose it is.
    """

    facet: Facet
    rings: tuple[Array, ...]
    polygon: shapely.Polygon
    facing: float
    plane: tuple[float, float, float]
    owner: str


def flat_facets(facets: Sequence[Facet], eye: Camera, owner: str) -> list[Flat]:
    """The facets that face the camera, projected."""
    normals = np.array([facet.normal for facet in facets]).reshape(-1, 3)
    facing = normals @ eye.to_eye
    faces = [(facets[k], float(facing[k])) for k in np.flatnonzero(facing >= _EDGE_ON).tolist()]
    rings = [tuple(eye.project(ring.points) for ring in facet.rings) for facet, _ in faces]
    seen = []
    for (facet, towards), borders, polygon in zip(faces, rings, _polygons(rings), strict=True):
        if polygon is None:
            continue
        level = float(facet.normal @ facet.rings[0].points.mean(axis=0))
        plane = (
            level / towards,
            -float(facet.normal @ eye.right) / towards,
            -float(facet.normal @ eye.up) / towards,
        )
        seen.append(Flat(facet, borders, polygon, towards, plane, owner))
    return seen


def _polygons(rings: Sequence[tuple[Array, ...]]) -> list[shapely.Polygon | None]:
    """The area within each facet's rings, border first; None where there is next to none."""
    if not rings:
        return []
    # Facets that meet share their corners exactly once these are rounded, far finer than any printer.
    corners = [np.round(ring, 3) for borders in rings for ring in borders]
    lengths = [len(ring) for ring in corners]
    owners = np.repeat(np.arange(len(corners)), lengths)
    closed: NDArray[np.object_] = np.asarray(shapely.linearrings(np.concatenate(corners), indices=owners), dtype=object)
    whose = np.repeat(np.arange(len(rings)), [len(borders) for borders in rings])
    found = np.asarray(shapely.polygons(closed, indices=whose), dtype=object)
    for k in np.flatnonzero(~shapely.is_valid(found)).tolist():
        found[k] = max(shapely.get_parts(found[k].buffer(0.0)), key=lambda each: each.area, default=found[k])
    good = shapely.is_valid(found) & (shapely.area(found) >= 0.01)
    return [polygon if is_good else None for polygon, is_good in zip(found, good, strict=True)]


@dataclass(frozen=True, slots=True)
class Hiding:
    """One facet hiding part of another.

    Attributes:
        hidden: index of the facet that is hidden.
        hider: index of the facet that hides it.
        area: what of the picture is hidden.
        swapped: whether `hidden` counts in the second list and `hider` in the first.
    """

    hidden: int
    hider: int
    area: BaseGeometry
    swapped: bool


def hidings(first: Sequence[Flat], second: Sequence[Flat]) -> list[Hiding]:
    """What the facets of two lists hide of one another; of one list among itself if it is given twice."""
    if not first or not second:
        return []
    ours = np.array([each.polygon for each in first])
    theirs = np.array([each.polygon for each in second])
    i, j = shapely.STRtree(theirs).query(ours, predicate="intersects")
    if first is second:
        once = i < j
        i, j = i[once], j[once]
    # Which of a pair is asked for first must not change where they cross, down to the last digit.
    turned = _comes_after(ours[i], theirs[j])
    a, b = np.where(turned, theirs[j], ours[i]), np.where(turned, ours[i], theirs[j])
    shared = intersections(a, b)
    mixed = shapely.get_type_id(shared) == _COLLECTION
    shared[mixed] = shapely.buffer(shared[mixed], 0.0)
    some = shapely.area(shared) > _LEAST_OVERLAP
    i, j, shared, turned = i[some], j[some], shared[some], turned[some]
    if not len(shared):
        return []
    slopes = np.array([each.plane for each in second])[j] - np.array([each.plane for each in first])[i]
    slopes = np.where(turned[:, None], -slopes, slopes)
    corners, whose = shapely.get_coordinates(shared, return_index=True)
    gaps = slopes[whose, 0] + np.sum(corners * slopes[whose, 1:], axis=1)
    starts = np.searchsorted(whose, np.arange(len(shared)))
    low, high = np.minimum.reduceat(gaps, starts), np.maximum.reduceat(gaps, starts)
    found = []
    for k in np.lexsort((j, i)).tolist():
        other = bool(turned[k])
        one, two = (int(j[k]), int(i[k])) if other else (int(i[k]), int(j[k]))
        if low[k] < -_TOUCH and high[k] > _TOUCH:
            near, far = _parted(shared[k], slopes[k])
            found += [Hiding(one, two, near, other), Hiding(two, one, far, not other)]
        elif max(high[k], -low[k]) < _LEAST_DEPTH:
            continue
        elif high[k] > -low[k]:
            found.append(Hiding(one, two, shared[k], other))
        else:
            found.append(Hiding(two, one, shared[k], not other))
    return found


def _comes_after(first: NDArray[np.object_], second: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Whether each of the first areas (n,) stands after the second of the same place, by their boxes."""
    after = np.zeros(len(first), dtype=bool)
    level = np.ones(len(first), dtype=bool)
    for a, b in zip(shapely.bounds(first).T, shapely.bounds(second).T, strict=True):
        after |= level & (a > b)
        level &= a == b
    return after


def _parted(area: BaseGeometry, slope: Array) -> tuple[BaseGeometry, BaseGeometry]:
    """An area cut along the line where two planes meet: where their gap is positive, and where negative."""
    x0, y0, x1, y1 = area.bounds
    reach = 4.0 * float(np.hypot(x1 - x0, y1 - y0))
    uphill = slope[1:] / np.hypot(*slope[1:])
    middle = np.array([(x0 + x1) / 2.0, (y0 + y1) / 2.0])
    foot = middle - uphill * (slope[0] + middle @ slope[1:]) / np.hypot(*slope[1:])
    side = np.array([-uphill[1], uphill[0]])
    ends = (foot - reach * side, foot + reach * side)
    ahead = shapely.Polygon([ends[0], ends[1], ends[1] + reach * uphill, ends[0] + reach * uphill])
    return intersection(area, ahead), difference(area, ahead)
