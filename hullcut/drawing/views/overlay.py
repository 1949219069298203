"""Overlays of areas that never fail: quick with full precision, and where that breaks down, on a fine grid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.errors import GEOSException

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    Shapes = Any
    """A geometry of shapely or an array of them; its stubs tell the two apart only by overloads."""

__all__ = ["difference", "intersection", "union"]

# Far below what is seen on paper, mm on the boat.
_GRID = 0.01


def _overlay(way: Callable[..., Any], first: Shapes, second: Shapes) -> Shapes:
    try:
        return way(first, second)
    except GEOSException:
        return way(_clean(first), _clean(second), grid_size=_GRID)


def _clean(shapes: Shapes) -> Shapes:
    """Areas made valid and rid of stray lines; lines as they are."""
    if np.ndim(shapes) == 0:
        return shapely.buffer(shapes, 0.0) if shapely.get_dimensions(shapes) == 2 else shapes
    return np.array([_clean(shape) for shape in shapes], dtype=object)


def difference(first: Shapes, second: Shapes) -> Shapes:
    """What of the first geometry, or array of them, lies outside the second."""
    return _overlay(shapely.difference, first, second)


def intersection(first: Shapes, second: Shapes) -> Shapes:
    """What both geometries, or arrays of them, share."""
    return _overlay(shapely.intersection, first, second)


def union(areas: Shapes) -> Shapes:
    """All areas together."""
    try:
        return shapely.union_all(areas)
    except GEOSException:
        return shapely.union_all(_clean(np.array(areas, dtype=object)), grid_size=_GRID)
