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
    from collections.abc import Callable

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

__all__ = ["difference", "intersection", "intersections", "union"]

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


def union(areas: NDArray[np.object_]) -> BaseGeometry:
    """All areas (n,) together."""
    sizes = shapely.area(areas)
    try:
        found: BaseGeometry = shapely.union_all(areas)
        if sizes.max() - _SLACK <= found.area <= sizes.sum() + _SLACK:
            return found
    except GEOSException:
        pass
    return shapely.union_all([_clean(area) for area in areas], grid_size=_GRID)
