"""The waterline as a mark on the outside of the sides, through their charts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.parts.draft import add_marks
from hullcut.parts.frames import line
from hullcut.parts.outline import as_points, outline_area
from hullcut.parts.values import Mark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["WATERLINE", "mark_waterline"]

WATERLINE = "waterline at rest"
"""What is written beside the mark."""

_PLACES = 201


def mark_waterline(hull: Hull, parts: Sequence[Part], height: float, slope: float) -> tuple[Part, ...]:
    """The parts with the waterline marked on the sides.

    Args:
        hull: of the boat.
        parts: all of them.
        height: of the water's surface at x = 0 on the upright boat, mm.
        slope: how far it rises for each mm forward.
    """
    return tuple(
        add_marks(part, _marks(hull, part, height, slope)) if part.family == "side" else part for part in parts
    )


def _marks(hull: Hull, part: Part, height: float, slope: float) -> list[Mark]:
    side = 1.0 if part.hand == "port" else -1.0
    x = np.linspace(0.0, hull.length, _PLACES)
    z = height + slope * x
    flat = part.panel.to_flat(line(x, side * hull.half_breadth(x, z), z))[:, :2]
    inside = shapely.LineString(flat).intersection(outline_area(part.true_outline))
    runs = [each for each in shapely.get_parts(inside) if each.geom_type == "LineString" and each.length > 1.0]
    return [Mark("waterline", WATERLINE, "outer", as_points(shapely.get_coordinates(each))) for each in runs]
