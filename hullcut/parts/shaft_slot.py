"""The slot that the shaft's tube needs in the bottom."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull

__all__ = ["slot_length", "slot_outline"]

Array = NDArray[np.float64]

# A half ellipse drawn with so many corners is off by less than 0.03 mm at 50 mm length.
_CORNERS = 48


def slot_length(diameter: float, thickness: float, angle: float) -> float:
    """Length of the slot, mm, that a straight tube cuts through a sheet: d / sin a + t / tan a (plane geometry).

    Args:
        diameter: of the tube, mm.
        thickness: of the sheet, mm.
        angle: between tube and sheet, degrees.
    """
    steep = math.radians(angle)
    return diameter / math.sin(steep) + thickness / math.tan(steep)


def slot_outline(hull: Hull, arrangement: Arrangement) -> Array:
    """The slot's outline in space (n, 3), without a repeated point, on the bottom's middle surface.

    A tube meets either face of the bottom in a long ellipse as wide as the tube; the slot, sawn square to the sheet,
    takes in both.
    """
    drive = hull.design.drive
    x = np.array([arrangement.shaft.exit_x])
    incline = float(hull.profile.heading(hull.profile.at_first_axis(x))[0])
    steep = math.radians(arrangement.shaft.angle) - incline
    half_mouth = drive.tube_diameter / (2.0 * math.sin(steep))
    through = hull.bottom_thickness / math.tan(steep)
    turn = np.linspace(0.0, 2.0 * np.pi, 2 * _CORNERS, endpoint=False)
    mouth = np.column_stack([half_mouth * np.cos(turn), drive.tube_diameter / 2.0 * np.sin(turn)])
    both = np.vstack([mouth, mouth + np.array([through, 0.0])])
    flat = shapely.get_coordinates(shapely.MultiPoint(both).convex_hull)[:-1]
    place = hull.bottom.to_flat(np.array([[float(x[0]), 0.0, float(hull.bottom_height(x)[0])]]))[0, :2]
    outline: Array = hull.bottom.to_space(flat + place, 0.0)
    return outline
