"""The hull's outside as cross sections, and what of it lies below any plane.

A section is a closed polygon, so the part below a plane is found exactly: every edge is clipped, and area and moments
are summed from a point on the water's line, about which the closing edges count nothing (Green's theorem). Along the
boat the sections are summed by Gauss's quadrature between the ends of the straight and bent runs.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from hullcut.hull.form import Hull

__all__ = ["Immersed", "Sections", "direction", "hull_sections", "immersed", "sections_from"]

Array = NDArray[np.float64]

# Spans so short, of three nodes each, that a corner meeting the water within one costs under 1e-5 of the volume.
_SPAN_MM = 12.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)
# A slanting end meets the water within a short stretch, over which the section grows fast.
_RAKED_SPAN_MM = 2.0
# Corners up a flared and bent side: it bulges less than 0.002 mm between two of them.
_UP = 4


@dataclass(frozen=True, slots=True)
class Sections:
    """Cross sections along the boat.

    Attributes:
        x: where they stand (n,), mm.
        weight: length of boat that each counts for (n,), mm.
        y, z: their corners (n, m), counter-clockwise seen with y to the right, mm.
    """

    x: Array
    weight: Array
    y: Array
    z: Array


@dataclass(frozen=True, slots=True)
class Immersed:
    """What lies below a plane.

    Attributes:
        volume: mm3.
        centre: centre of the volume (3,).
        area: of the waterplane, mm2.
        floating_centre: centre of the waterplane's area (3,).
        inertia_across: of the waterplane about its own fore-and-aft axis, mm4.
        inertia_along: about its own athwartship axis, mm4.
    """

    volume: float
    centre: Array
    area: float
    floating_centre: Array
    inertia_across: float
    inertia_along: float


def direction(trim: float, heel: float) -> Array:
    """The upward direction (3,) in the boat's axes.

    Args:
        trim: by the stern, radians.
        heel: to port, radians.
    """
    return np.array([np.sin(trim), -np.sin(heel) * np.cos(trim), np.cos(heel) * np.cos(trim)])


def hull_sections(hull: Hull, span: float = _SPAN_MM) -> Sections:
    """The outside of a hull: bottom, sides and transom by their outer faces, closed at the height of the sheer.

    Args:
        hull: of the boat.
        span: longest stretch between quadrature spans' ends, mm.
    """
    x, weight = _spread(_ends(hull), span)
    low, high = hull.bottom_height(x), hull.sheer_height(x)
    low, high = _between_planes(hull, x, low, high)
    shares = np.linspace(0.0, 1.0, _UP if hull.bends_up else 2)
    heights = [low + share * (high - low) for share in shares]
    breadths = [np.maximum(hull.half_breadth(x, height), 0.0) for height in heights]
    y = np.column_stack([*breadths, *(-each for each in reversed(breadths))])
    return Sections(x, weight, y, np.column_stack([*heights, *reversed(heights)]))


def _ends(hull: Hull) -> list[float]:
    """Where the hull's outside begins, ends, or changes its way of bending along the boat, growing."""
    marks = [hull.foot_of(hull.transom, 0.0)[0], hull.head_of(hull.transom)[0]]
    if hull.bow is None:
        marks.append(hull.bottom_meets_sheer(0.0))
    else:
        marks += [hull.foot_of(hull.bow, 0.0)[0], hull.head_of(hull.bow)[0]]
    low, high = min(marks), max(marks)
    for foot, head in zip(marks[::2], marks[1::2], strict=False):
        count = int(abs(head - foot) / _RAKED_SPAN_MM)
        marks += [float(x) for x in np.linspace(foot, head, count + 2)[1:-1]]
    for curve in (hull.profile, hull.plan, hull.sheer):
        marks += [float(x) for x in curve.point(curve.knots)[:, 0] if low < x < high]
    return sorted(marks)


def _between_planes(hull: Hull, x: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """The heights between bottom and sheer that lie between the planes of transom and bow."""
    planes = [(hull.transom, -1.0), *([(hull.bow, 1.0)] if hull.bow is not None else [])]
    for plane, side in planes:
        if plane.slope == 0.0:
            continue
        limit = (x - plane.foot) / plane.slope
        if side * plane.slope > 0.0:
            low = np.maximum(low, limit)
        else:
            high = np.minimum(high, limit)
    return low, np.maximum(low, high)


def sections_from(ends: Array, y: Array, z: Array) -> Sections:
    """Sections of a prism: one polygon (m,) between stretches of its length that begin and end at `ends`."""
    x, weight = _spread([float(end) for end in ends])
    return Sections(x, weight, np.tile(y, (len(x), 1)), np.tile(z, (len(x), 1)))


def _spread(ends: list[float], span: float = _SPAN_MM) -> tuple[Array, Array]:
    """Quadrature nodes and weights (n,) over stretches between growing ends."""
    places, weights = [], []
    for start, stop in itertools.pairwise(ends):
        if stop - start < 1e-9:
            continue
        count = max(1, int(np.ceil((stop - start) / span)))
        edges = np.linspace(start, stop, count + 1)
        half = np.diff(edges)[:, None] / 2.0
        places.append(((edges[:-1] + edges[1:])[:, None] / 2.0 + half * _NODES).ravel())
        weights.append((half * _WEIGHTS).ravel())
    return np.concatenate(places), np.concatenate(weights)


def immersed(sections: Sections, up: Array, height: float) -> Immersed:
    """What of the sections lies below the plane of all points p with up . p = height.

    Args:
        sections: of the hull.
        up: unit vector (3,); not along the boat.
        height: of the water along it, mm.
    """
    flat = float(np.hypot(up[1], up[2]))
    level = (height - up[0] * sections.x)[:, None] / flat
    across, upward = np.array([up[2], -up[1]]) / flat, up[1:] / flat
    # In each section: u along the water's line, v above it.
    u = sections.y * across[0] + sections.z * across[1]
    v = sections.y * upward[0] + sections.z * upward[1] - level
    u_next, v_next = np.roll(u, -1, axis=1), np.roll(v, -1, axis=1)
    wet, wet_next = v <= 0.0, v_next <= 0.0
    crosses = wet != wet_next
    share = np.where(crosses, v / np.where(crosses, v - v_next, 1.0), 0.0)
    u_cut = u + share * (u_next - u)
    u0, v0 = np.where(wet, u, u_cut), np.where(wet, v, 0.0)
    u1, v1 = np.where(wet_next, u_next, u_cut), np.where(wet_next, v_next, 0.0)
    cross = np.where(wet | wet_next, u0 * v1 - u1 * v0, 0.0) / 2.0
    w = sections.weight
    area = cross.sum(axis=1)
    first_u = (cross * (u0 + u1)).sum(axis=1) / 3.0
    first_v = (cross * (v0 + v1)).sum(axis=1) / 3.0
    volume = float(w @ area)
    mean_u, mean_v = float(w @ first_u), float(w @ (first_v + area * level[:, 0]))
    scale = 1.0 / volume if volume > 0.0 else 0.0
    centre = np.array([float(w @ (area * sections.x)) * scale, *(scale * (mean_u * across + mean_v * upward))])
    # Going round, the line is left upward at the far end of the wet stretch and entered at its near end.
    sign = np.where(crosses, np.where(wet, 1.0, -1.0), 0.0)
    chord = (sign * u_cut).sum(axis=1)
    first = (sign * u_cut**2).sum(axis=1) / 2.0
    second = (sign * u_cut**3).sum(axis=1) / 3.0
    return Immersed(volume, centre, *_waterplane(sections, up, flat, height, (chord, first, second)))


def _waterplane(
    sections: Sections, up: Array, flat: float, height: float, chords: tuple[Array, Array, Array]
) -> tuple[float, Array, float, float]:
    """Area, centre and both inertias of the waterplane from its chords' moments of order 0, 1 and 2."""
    chord, first, second = chords
    w = sections.weight / flat
    area = float(w @ chord)
    if area <= 0.0:
        return 0.0, np.zeros(3), 0.0, 0.0
    middle_x, middle_u = float(w @ (chord * sections.x)) / area, float(w @ first) / area
    across, upward = np.array([up[2], -up[1]]) / flat, up[1:] / flat
    level = (height - up[0] * middle_x) / flat
    centre = np.array([middle_x, *(middle_u * across + level * upward)])
    inertia_across = float(w @ second) - area * middle_u**2
    inertia_along = float(w @ (chord * (sections.x - middle_x) ** 2)) / flat**2
    return area, centre, inertia_across, inertia_along
