"""How sharply a sheet may be bent, for the default length of the bow's sweep.

Smallest radii: APA, Concrete Forming guide (dry sheathing of Douglas-fir plywood), as quoted in "Working with
Curved Forms". No published value is known below 1/4 in or above 3/4 in; there the radius is taken in
proportion to the thickness.
"""

from __future__ import annotations

import itertools
import math
from typing import Literal

__all__ = ["smallest_radius", "sweep_length"]

_MM_PER_INCH = 25.4
_MM_PER_FOOT = 304.8

_RADII_FEET = (
    # thickness in inches, face grain square to the curve, face grain along the curve
    (1 / 4, 2.0, 5.0),
    (5 / 16, 2.0, 6.0),
    (3 / 8, 3.0, 8.0),
    (1 / 2, 6.0, 12.0),
    (5 / 8, 8.0, 16.0),
    (3 / 4, 12.0, 20.0),
)

CURVATURE_RATIO = 1.295
"""Greatest curvature of the sweep over that of a circular arc between the same ends; its curvature grows over
its first quarter and then holds (computed)."""

MARGIN = 1.15
"""The default sweep is bent no sharper than the smallest radius times this."""


def smallest_radius(thickness: float, grain: Literal["along", "across", "any"]) -> float:
    """Return the smallest radius to which a dry sheet bends, mm.

    Args:
        thickness: mm.
        grain: "across" where the face grain lies square to the curve; otherwise it is taken to lie along it.
    """
    column = 1 if grain == "across" else 2
    inch = thickness / _MM_PER_INCH
    first, last = _RADII_FEET[0], _RADII_FEET[-1]
    if inch <= first[0]:
        return first[column] * inch / first[0] * _MM_PER_FOOT
    if inch >= last[0]:
        return last[column] * inch / last[0] * _MM_PER_FOOT
    for lower, upper in itertools.pairwise(_RADII_FEET):
        if inch <= upper[0]:
            share = (inch - lower[0]) / (upper[0] - lower[0])
            return (lower[column] + share * (upper[column] - lower[column])) * _MM_PER_FOOT
    raise AssertionError("the table covers every thickness between its ends")


def sweep_length(depth: float, thickness: float, grain: Literal["along", "across", "any"]) -> float:
    """Return the length along the boat over which a bottom rises by the hull's depth without breaking, mm.

    A circular arc that rises by D over a length S has the radius (S^2 + D^2) / (2 D); the sweep's smallest
    radius is that over `CURVATURE_RATIO`.

    Args:
        depth: the rise, mm.
        thickness: of the bottom, mm.
        grain: of the bottom.
    """
    radius = CURVATURE_RATIO * MARGIN * smallest_radius(thickness, grain)
    return math.sqrt(max(2 * depth * radius - depth * depth, 0.0))
