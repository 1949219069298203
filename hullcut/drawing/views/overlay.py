"""Overlays of areas that hold: quick with full precision, and on a fine grid where that breaks down.

Two areas that share an edge all but exactly can make a full-precision overlay fail, or give a wrong answer without
a word. So every answer is held against what it can be at most and at least, and reckoned anew on a grid if it is not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.errors import GEOSException

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

__all__ = ["difference", "differences", "intersection", "intersections", "intersections_of_lines", "unions"]

# Far below what is seen on paper, mm on the boat; and the slack of areas, mm2.
_GRID = 0.01
_SLACK = 1.0


def _overlay(
    way: Callable[..., BaseGeometry], first: BaseGeometry, second: BaseGeometry, least: float, most: float
) -> BaseGeometry:
    try:
        found = way(first, second)
        if least - _SLACK <= found.area <= most + _SLACK:
            return found
    except GEOSException:
        pass
    return way(_clean(first), _clean(second), grid_size=_GRID)


def _clean(shape: BaseGeometry) -> BaseGeometry:
    """An area made valid and rid of stray lines; lines as they are."""
    return shapely.buffer(shape, 0.0) if shapely.get_dimensions(shape) == 2 else shape


def difference(first: BaseGeometry, second: BaseGeometry) -> BaseGeometry:
    """What of the first area lies outside the second."""
    return _overlay(shapely.difference, first, second, first.area - second.area, first.area)


def intersection(first: BaseGeometry, second: BaseGeometry) -> BaseGeometry:
    """What two geometries share."""
    return _overlay(shapely.intersection, first, second, 0.0, min(first.area, second.area))


def intersections(first: NDArray[np.object_], second: NDArray[np.object_]) -> NDArray[np.object_]:
    """What each of the first areas (n,) shares with the second of the same place."""
    if not len(first):
        return first
    try:
        found: NDArray[np.object_] = np.asarray(shapely.intersection(first, second), dtype=object)
    except GEOSException:
        return np.array([intersection(a, b) for a, b in zip(first, second, strict=True)], dtype=object)
    a, b = shapely.bounds(first), shapely.bounds(second)
    sides = np.minimum(a[:, 2:], b[:, 2:]) - np.maximum(a[:, :2], b[:, :2])
    most = np.minimum(np.prod(np.maximum(sides, 0.0), axis=1), np.minimum(shapely.area(first), shapely.area(second)))
    for k in np.flatnonzero(shapely.area(found) > most + _SLACK).tolist():
        found[k] = shapely.intersection(_clean(first[k]), _clean(second[k]), grid_size=_GRID)
    return found


def intersections_of_lines(lines: NDArray[np.object_], areas: NDArray[np.object_]) -> NDArray[np.object_]:
    """What of each of the lines (n,) lies in the area of the same place."""
    return _each(shapely.intersection, intersection, lines, areas)


def differences(first: NDArray[np.object_], second: NDArray[np.object_]) -> NDArray[np.object_]:
    """What of each of the first areas (n,) lies outside the second of the same place."""
    found = _each(shapely.difference, difference, first, second)
    most, sizes = shapely.area(first), shapely.area(found)
    wrong = (sizes > most + _SLACK) | (sizes < most - shapely.area(second) - _SLACK)
    for k in np.flatnonzero(wrong).tolist():
        found[k] = difference(first[k], second[k])
    return found


def _each(
    all_at_once: Callable[..., NDArray[np.object_]],
    one: Callable[[BaseGeometry, BaseGeometry], BaseGeometry],
    first: NDArray[np.object_],
    second: NDArray[np.object_],
) -> NDArray[np.object_]:
    """Overlay places (n,) all at once; one by one where that fails for any of them."""
    try:
        return np.asarray(all_at_once(first, second), dtype=object)
    except GEOSException:
        return _shapes([one(a, b) for a, b in zip(first, second, strict=True)])


def _shapes(each: Sequence[BaseGeometry]) -> NDArray[np.object_]:
    found = np.empty(len(each), dtype=object)
    found[:] = each
    return found


def unions(areas: NDArray[np.object_], starts: NDArray[np.intp]) -> NDArray[np.object_]:
    """The areas (n,) of each run together; `starts` (m,) tells where runs begin, the first at 0."""
    counts = np.diff(np.append(starts, len(areas)))
    found = areas[starts]
    several = np.flatnonzero(counts > 1)
    if not len(several):
        return found
    # Runs side by side as rows of a table, with nothing where a run is shorter than the longest.
    columns = np.arange(counts[several].max())
    table = np.full((len(several), len(columns)), None, dtype=object)
    filled = columns[None, :] < counts[several, None]
    table[filled] = areas[(starts[several, None] + columns[None, :])[filled]]
    sizes = np.where(filled, shapely.area(table), 0.0)
    try:
        found[several] = shapely.union_all(table, axis=1)
        reached = shapely.area(found[several])
        good = (sizes.max(axis=1) - _SLACK <= reached) & (reached <= sizes.sum(axis=1) + _SLACK)
    except GEOSException:
        good = np.zeros(len(several), dtype=bool)
    for row in np.flatnonzero(~good).tolist():
        found[several[row]] = _union(table[row][filled[row]])
    return found


def _union(areas: NDArray[np.object_]) -> BaseGeometry:
    """All areas (n,) together."""
    sizes = shapely.area(areas)
    try:
        found: BaseGeometry = shapely.union_all(areas)
        if sizes.max() - _SLACK <= found.area <= sizes.sum() + _SLACK:
            return found
    except GEOSException:
        pass
    return shapely.union_all([_clean(area) for area in areas], grid_size=_GRID)
