"""Where a part lies on its sheet: its area there, and its roomiest place."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import shapely
from shapely import affinity

from hullcut.drawing.labels import roomiest
from hullcut.parts.outline import outline_area

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from hullcut.nesting.values import Placement
    from hullcut.parts.values import Part, Point

__all__ = ["placed_area", "roomiest_placed"]


def placed_area(part: Part, placement: Placement) -> shapely.Polygon:
    """The area of a part as it lies on its sheet."""
    found = _placed(outline_area(part.outline, part.holes), placement)
    assert isinstance(found, shapely.Polygon)
    return found


def roomiest_placed(part: Part, placement: Placement) -> Point:
    """The place on a sheet where a part has the most room about it."""
    place = _placed(shapely.Point(_roomiest(part.outline, part.holes)), placement)
    assert isinstance(place, shapely.Point)
    return (place.x, place.y)


@lru_cache(maxsize=512)
def _roomiest(outline: tuple[Point, ...], holes: tuple[tuple[Point, ...], ...]) -> Point:
    """Found once for all boats and for every drawing of their sheets."""
    return roomiest(outline_area(outline, holes))[0]


def _placed(shape: BaseGeometry, placement: Placement) -> BaseGeometry:
    if placement.mirrored:
        shape = affinity.scale(shape, xfact=-1.0, origin=(0.0, 0.0))
    shape = affinity.rotate(shape, placement.rotation, origin=(0.0, 0.0))
    return affinity.translate(shape, placement.x, placement.y)
