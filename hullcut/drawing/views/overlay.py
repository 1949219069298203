"""Overlays of areas that never fail: quick with full precision, and where that breaks down, on a fine grid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.errors import GEOSException

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

__all__ = ["difference", "intersection", "union"]

# Far below what is seen on paper, mm on the boat.
_GRID = 0.01


def _overlay(way: Callable[..., Any], first: Any, second: Any) -> Any:
    try:
        return way(first, second)
    except GEOSException:
        return way(_clean(first), _clean(second), grid_size=_GRID)


def _clean(shapes: Any) -> Any:
    """Areas made valid and rid of stray lines; lines as they are."""
    cleaned = np.where(shapely.get_dimensions(shapes) == 2, shapely.buffer(shapes, 0.0), shapes)
    return cleaned if cleaned.ndim else cleaned.item()


def difference(first: Any, second: Any) -> Any:
    """What of the first geometry, or array of them, lies outside the second."""
    return _overlay(shapely.difference, first, second)


def intersection(first: Any, second: Any) -> Any:
    """What both geometries, or arrays of them, share."""
    return _overlay(shapely.intersection, first, second)


def union(areas: Any) -> Any:
    """All areas together."""
    try:
        return shapely.union_all(areas)
    except GEOSException:
        return shapely.union_all(_clean(np.array(areas, dtype=object)), grid_size=_GRID)
