"""Solids seen from a direction: parallel projection, and what hides what.

Of two facets whose pictures overlap, the nearer is told by the depths of their planes at the corners of the overlap;
where the planes cut one another there, each hides the other on its own side of the line of meeting. So no order of
drawing is needed, and bodies may even pass through one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.views.overlay import difference, intersection, intersections

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.views.solids import Facet

__all__ = ["EDGE_ON", "Camera", "Flat", "Hiding", "camera", "flat_bodies", "flat_facets", "hidings"]

Array = NDArray[np.float64]

EDGE_ON = 0.012
"""Facets seen more edge-on than this (cosine to the line of sight) show no surface."""
# Overlaps smaller than this, mm2, and depths closer than this, mm, decide nothing.
_LEAST_OVERLAP = 0.5
_LEAST_DEPTH = 0.02
# Bodies that seem to pass through one another by less than this, mm, only touch: their outlines were made simpler.
_TOUCH = 1.5
# Bodies nearer than this to one another, mm, lie against one another.
_AGAINST = 3.0
# How much smaller a facet is taken to tell what only touches it, mm; and the share of it that counts as all.
_RIM, _ALL = 0.05, 0.9995
# Facets narrower than this, mm, are strips.
_STRIP = 2.0
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
    """

    facet: Facet
    rings: tuple[Array, ...]
    polygon: shapely.Polygon
    facing: float
    plane: tuple[float, float, float]


def flat_facets(facets: Sequence[Facet], eye: Camera) -> list[Flat]:
    """The facets that face the camera, projected."""
    return flat_bodies([facets], eye)[0]


def flat_bodies(bodies: Sequence[Sequence[Facet]], eye: Camera) -> list[list[Flat]]:
    """The same of several bodies in one go, which costs a fraction of one by one."""
    every = [(number, facet) for number, facets in enumerate(bodies) for facet in facets]
    seen: list[list[Flat]] = [[] for _ in bodies]
    facing = np.array([facet.normal for _, facet in every]).reshape(-1, 3) @ eye.to_eye
    faces = [every[k] for k in np.flatnonzero(facing >= EDGE_ON).tolist()]
    if not faces:
        return seen
    towards = facing[facing >= EDGE_ON]
    lengths = [len(ring.points) for _, facet in faces for ring in facet.rings]
    points = np.concatenate([ring.points for _, facet in faces for ring in facet.rings])
    flat = iter(np.split(eye.project(points), np.cumsum(lengths)[:-1]))
    rings = [tuple(next(flat) for _ in facet.rings) for _, facet in faces]
    normals = np.array([facet.normal for _, facet in faces])
    levels = np.array([float(facet.normal @ facet.rings[0].points.mean(axis=0)) for _, facet in faces])
    planes = np.column_stack([levels, -normals @ eye.right, -normals @ eye.up]) / towards[:, None]
    for (number, facet), borders, polygon, plane, cosine in zip(
        faces, rings, _polygons(rings), planes.tolist(), towards.tolist(), strict=True
    ):
        if polygon is not None:
            seen[number].append(Flat(facet, borders, polygon, cosine, (plane[0], plane[1], plane[2])))
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


class Hiding(NamedTuple):
    """One facet hiding part of another.

    Attributes:
        hidden: index of the facet that is hidden.
        hider: index of the facet that hides it.
        area: what hides it; it may reach beyond the hidden facet.
        whole: whether all of the facet is hidden.
        swapped: whether `hidden` counts in the second list and `hider` in the first.
        touches: whether somewhere the one lies against the other, or runs into it.
    """

    hidden: int
    hider: int
    area: BaseGeometry
    whole: bool
    swapped: bool
    touches: bool


def hidings(first: Sequence[Flat], second: Sequence[Flat]) -> list[Hiding]:
    """What the facets of two lists hide of one another; of one list among itself if it is given twice."""
    if not first or not second:
        return []
    ours = np.array([each.polygon for each in first])
    theirs = np.array([each.polygon for each in second])
    # Facets that only touch hide nothing: one of each pair is taken a trifle smaller.
    ours_in = _shrunk(ours)
    i, j = shapely.STRtree(theirs).query(ours_in, predicate="intersects")
    if first is second:
        once = i < j
        i, j = i[once], j[once]
    slopes = np.array([each.plane for each in second])[j] - np.array([each.plane for each in first])[i]
    # Where one is the nearer at every corner of either facet, it is so wherever they overlap.
    (low, high), (lowest, highest) = _gaps(ours[i], slopes), _gaps(theirs[j], slopes)
    # What little is hidden of a thin facet is looked at closely, for it counts only from a least area on.
    broad = ~(_thin(ours)[i] | _thin(theirs)[j])
    behind = broad & (np.maximum(low, lowest) > _LEAST_DEPTH)
    ahead = broad & (np.minimum(high, highest) < -_LEAST_DEPTH)
    # The least gap where they overlap, or less.
    nearest = np.maximum(np.maximum(low, lowest), -np.minimum(high, highest))
    theirs_in = ours_in if first is second else _shrunk(theirs)
    found = [
        *_whole_covers(i[behind], j[behind], ours_in, theirs, nearest[behind], swapped=False),
        *_whole_covers(j[ahead], i[ahead], theirs_in, ours, nearest[ahead], swapped=True),
    ]
    doubtful = ~behind & ~ahead
    found += _by_overlap(ours, theirs, i[doubtful], j[doubtful], slopes[doubtful])
    return sorted(found, key=lambda each: (each.swapped, each.hidden, each.hider))


def _shrunk(areas: NDArray[np.object_]) -> NDArray[np.object_]:
    """Areas (n,) a trifle smaller; those that would vanish as they are."""
    smaller: NDArray[np.object_] = np.asarray(shapely.buffer(areas, -_RIM, join_style="mitre"), dtype=object)
    return np.where(shapely.is_empty(smaller), areas, smaller)


def _thin(areas: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Which areas (n,) are strips: their mean width is twice their area by their border."""
    thin: NDArray[np.bool_] = 2.0 * shapely.area(areas) < _STRIP * shapely.length(areas)
    return thin


def _gaps(areas: NDArray[np.object_], slopes: Array) -> tuple[Array, Array]:
    """The least and the greatest value of planes (n, 3) over the corners of an area each (n,)."""
    if not len(areas):
        return np.zeros(0), np.zeros(0)
    corners, whose = shapely.get_coordinates(areas, return_index=True)
    gaps = slopes[whose, 0] + np.sum(corners * slopes[whose, 1:], axis=1)
    starts = np.searchsorted(whose, np.arange(len(areas)))
    return np.minimum.reduceat(gaps, starts), np.maximum.reduceat(gaps, starts)


def _whole_covers(
    hidden: NDArray[np.intp],
    hider: NDArray[np.intp],
    behind: NDArray[np.object_],
    before: NDArray[np.object_],
    nearest: Array,
    swapped: bool,
) -> list[Hiding]:
    """Facets that hide others by all of their own area; those behind are given a trifle smaller."""
    shapely.prepare(before)
    whole = shapely.covers(before[hider], behind[hidden])
    return [
        Hiding(one, two, area, all_of_it, swapped, gap < _AGAINST)
        for one, two, area, all_of_it, gap in zip(
            hidden.tolist(), hider.tolist(), before[hider].tolist(), whole.tolist(), nearest.tolist(), strict=True
        )
    ]


def _by_overlap(
    ours: NDArray[np.object_], theirs: NDArray[np.object_], i: NDArray[np.intp], j: NDArray[np.intp], slopes: Array
) -> list[Hiding]:
    """What pairs of facets hide of one another, told by the depths at the corners of what they share."""
    if not len(i):
        return []
    # Which of a pair is asked for first must not change where they cross, down to the last digit.
    turned = _comes_after(ours[i], theirs[j])
    shared = intersections(np.where(turned, theirs[j], ours[i]), np.where(turned, ours[i], theirs[j]))
    mixed = shapely.get_type_id(shared) == _COLLECTION
    shared[mixed] = shapely.buffer(shared[mixed], 0.0)
    some = shapely.area(shared) > _LEAST_OVERLAP
    i, j, shared, turned = i[some], j[some], shared[some], turned[some]
    slopes = np.where(turned[:, None], -slopes[some], slopes[some])
    low, high = _gaps(shared, slopes)
    sizes = (shapely.area(ours), shapely.area(theirs))

    def hides(hidden: int, hider: int, area: BaseGeometry, swapped: bool) -> Hiding:
        return Hiding(hidden, hider, area, bool(area.area > _ALL * sizes[swapped][hidden]), swapped, touches)

    found = []
    for k in range(len(shared)):
        touches = bool(low[k] < _AGAINST and high[k] > -_AGAINST)
        other = bool(turned[k])
        one, two = (int(j[k]), int(i[k])) if other else (int(i[k]), int(j[k]))
        if low[k] < -_TOUCH and high[k] > _TOUCH:
            near, far = _parted(shared[k], slopes[k])
            found += [hides(one, two, near, other), hides(two, one, far, not other)]
        elif max(high[k], -low[k]) < _LEAST_DEPTH:
            continue
        elif high[k] > -low[k]:
            found.append(hides(one, two, shared[k], other))
        else:
            found.append(hides(two, one, shared[k], not other))
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
