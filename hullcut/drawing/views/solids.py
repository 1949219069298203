"""Parts as solids bounded by flat facets, light enough for pictures.

A bent part is cut along its rulings, so that every facet is flat. Each edge of a facet knows the normal of the facet
on its other side: an edge is drawn where two faces meet at a real corner, or where the surface turns out of sight.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.parts.values import Part

__all__ = ["Facet", "FacetRing", "box_solid", "loft_solid", "moved", "part_solid", "prism_solid", "rod_solid"]

Array = NDArray[np.float64]

# A picture is printed several times smaller than the boat: half a millimetre on the boat is not seen.
_SIMPLIFY = 0.5
# A bent part is cut so that neighbouring facets differ by at most about this turn, degrees.
_STRIP_TURN = 5.0
# Two pieces of outline that turn less than this against one another, degrees, are one smooth edge.
_SMOOTH_TURN = 20.0


@dataclass(frozen=True, slots=True)
class FacetRing:
    """One closed run of a facet's border.

    Attributes:
        points: corners (n, 3), mm.
        across: for the edge that begins at each corner, the outward normal (n, 3) of the facet on its other side.
        drawn: whether that edge is a real corner (n,).
    """

    points: Array
    across: Array
    drawn: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Facet:
    """A flat piece of a solid's surface.

    Attributes:
        rings: the border first, then the holes.
        normal: unit vector (3,) out of the solid.
    """

    rings: tuple[FacetRing, ...]
    normal: Array


def moved(facets: Sequence[Facet], shift: tuple[float, float, float]) -> tuple[Facet, ...]:
    """The same facets shifted, mm."""
    if shift == (0.0, 0.0, 0.0):
        return tuple(facets)
    away = np.array(shift)
    return tuple(
        replace(facet, rings=tuple(replace(ring, points=ring.points + away) for ring in facet.rings))
        for facet in facets
    )


def part_solid(part: Part) -> tuple[Facet, ...]:
    """The solid of a part's first copy, in the boat's axes, square edges, without trim allowance."""
    polygon = _picture_outline(part)
    strips, chords = _strips(part, polygon)
    half = part.thickness / 2.0
    outward = [_face_normal(part, strip) for strip in strips]
    facets: list[Facet] = []
    for number, strip in enumerate(strips):
        facets += _faces(part, strip, number, outward, half, chords)
    for ring in _rings(shapely.union_all(strips) if len(strips) > 1 else polygon):
        facets.extend(_walls(part, ring, half))
    return tuple(facets)


def _picture_outline(part: Part) -> shapely.Polygon:
    rings = [shapely.LinearRing(ring) for ring in (part.true_outline, *part.holes)]
    simple = [np.asarray(ring.simplify(_SIMPLIFY).coords) for ring in rings]
    polygon = shapely.orient_polygons(shapely.Polygon(simple[0], simple[1:]))
    return polygon if polygon.is_valid else shapely.orient_polygons(shapely.Polygon(part.true_outline))


def _strips(part: Part, polygon: shapely.Polygon) -> tuple[list[shapely.Polygon], list[shapely.LineString]]:
    """The part's flat drawing cut along some of its rulings, in their order, and the cuts."""
    chosen: list[Array] = []
    last = None
    for ruling in part.rulings:
        if last is not None and abs(ruling.turn - last) < _STRIP_TURN:
            continue
        last = ruling.turn
        chosen.append(np.array([[ruling.x0, ruling.y0], [ruling.x1, ruling.y1]]))
    if not chosen:
        return [polygon], []
    x0, y0, x1, y1 = polygon.bounds
    reach = float(np.hypot(x1 - x0, y1 - y0))
    # Rulings end at the part; a curved strip bulges past their ends. Neighbours meet metres away.
    cuts = [_stretched(each, 0.3 * reach) for each in chosen]
    step = _travel(chosen)
    edges = [cuts[0] - step * reach, *cuts, cuts[-1] + step * reach]
    strips = []
    for number, (a, b) in enumerate(itertools.pairwise(edges)):
        if number in (0, len(edges) - 2):
            a, b = (_stretched(a, reach), b) if number == 0 else (a, _stretched(b, reach))
        quad = shapely.Polygon(np.vstack([a, b[::-1]])).convex_hull
        piece = polygon.intersection(quad)
        strips += [
            shapely.orient_polygons(each)
            for each in shapely.get_parts(piece)
            if each.geom_type == "Polygon" and each.area > 0.5
        ]
    return strips, [shapely.LineString(cut) for cut in cuts]


def _stretched(line: Array, by: float) -> Array:
    along = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
    return np.array([line[0] - by * along, line[1] + by * along])


def _travel(chosen: Sequence[Array]) -> Array:
    """Unit vector from the first ruling towards the last."""
    first, last = chosen[0].mean(axis=0), chosen[-1].mean(axis=0)
    way = last - first
    if np.hypot(*way) < 1e-9:
        along = chosen[0][1] - chosen[0][0]
        way = np.array([-along[1], along[0]])
    result: Array = way / np.hypot(*way)
    return result


def _face_normal(part: Part, strip: shapely.Polygon) -> Array:
    inside = np.array(strip.representative_point().coords)
    away = (part.panel.to_space(inside, 1.0) - part.panel.to_space(inside, 0.0))[0]
    result: Array = away / np.linalg.norm(away)
    return result


def _rings(polygon: BaseGeometry) -> list[Array]:
    """Each ring (n, 2) without its repeated point, wood on the left."""
    pieces: list[shapely.Polygon] = [each for each in shapely.get_parts(polygon) if each.geom_type == "Polygon"]
    whole: shapely.Polygon = shapely.orient_polygons(max(pieces, key=lambda each: each.area))
    return [np.asarray(ring.coords)[:-1] for ring in (whole.exterior, *whole.interiors)]


def _faces(
    part: Part,
    strip: shapely.Polygon,
    number: int,
    outward: Sequence[Array],
    half: float,
    chords: Sequence[shapely.LineString],
) -> list[Facet]:
    """A strip's outer and inner face."""
    made: tuple[list[FacetRing], list[FacetRing]] = ([], [])
    for flat in _rings(strip):
        walls = _wall_normals(part, flat)
        drawn = np.hypot(*(np.roll(flat, -1, axis=0) - flat).T) > 1e-6
        beyond = np.full(len(flat), -1)
        for index, chord in enumerate(chords):
            near = shapely.distance(shapely.points(flat), chord) < 1e-3
            # A chord parts strip `index` from the next one; whichever this is not lies across it.
            other = min(max(index + 1 if number <= index else index, 0), len(outward) - 1)
            beyond[near & np.roll(near, -1)] = other
        on = beyond >= 0
        normals = np.array(outward)
        for sign, rings in zip((1.0, -1.0), made, strict=True):
            across = np.where(on[:, None], sign * normals[beyond], walls)
            rings.append(FacetRing(part.panel.to_space(flat, sign * half), across, drawn & ~on))
    return [Facet(tuple(rings), sign * outward[number]) for sign, rings in zip((1.0, -1.0), made, strict=True)]


def _wall_normals(part: Part, flat: Array) -> Array:
    """Outward normals (n, 3) of the walls that stand on a ring's edges."""
    following = np.roll(flat, -1, axis=0)
    middle = (flat + following) / 2.0
    along = following - flat
    away = np.column_stack([along[:, 1], -along[:, 0]])
    away /= np.maximum(np.hypot(away[:, 0], away[:, 1]), 1e-12)[:, None]
    shift = part.panel.to_space(middle + 0.01 * away, 0.0) - part.panel.to_space(middle, 0.0)
    result: Array = shift / np.maximum(np.linalg.norm(shift, axis=1), 1e-15)[:, None]
    return result


def _walls(part: Part, flat: Array, half: float) -> list[Facet]:
    outer, inner = part.panel.to_space(flat, half), part.panel.to_space(flat, -half)
    normals = _wall_normals(part, flat)
    face = outer - inner
    face /= np.linalg.norm(face, axis=1)[:, None]
    along = np.roll(flat, -1, axis=0) - flat
    heading = np.arctan2(along[:, 1], along[:, 0])
    turn = np.abs((heading - np.roll(heading, 1) + np.pi) % (2.0 * np.pi) - np.pi)
    sharp = np.degrees(turn) > _SMOOTH_TURN
    facets = []
    for i in range(len(flat)):
        j = (i + 1) % len(flat)
        points = np.array([inner[i], inner[j], outer[j], outer[i]])
        across = np.array([-face[i], normals[j], face[i], normals[i - 1]])
        facets.append(Facet((FacetRing(points, across, np.array([True, sharp[j], True, sharp[i]])),), normals[i]))
    return facets


def loft_solid(start: Array, end: Array) -> tuple[Facet, ...]:
    """A body between two flat rings (n, 3) of equally many corners, for what is not a plain part.

    Args:
        start: counter-clockwise as seen from the other ring.
        end: the other ring, corner by corner.
    """
    along = end - start
    sides = np.roll(start, -1, axis=0) - start
    sides = np.where(np.abs(sides) > 1e-9, sides, np.roll(end, -1, axis=0) - end)
    normals = np.cross(sides, along)
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    foot, head = -_ring_normal(start), _ring_normal(end)
    cosines = np.sum(normals * np.roll(normals, 1, axis=0), axis=1)
    sharp = cosines < np.cos(np.radians(_SMOOTH_TURN))
    every = np.ones(len(start), dtype=bool)
    facets = [
        Facet((FacetRing(end, normals, every),), head),
        Facet((FacetRing(start[::-1], np.roll(normals[::-1], -1, axis=0), every),), foot),
    ]
    for i in range(len(start)):
        j = (i + 1) % len(start)
        points = np.array([start[i], start[j], end[j], end[i]])
        across = np.array([foot, normals[j], head, normals[i - 1]])
        facets.append(Facet((FacetRing(points, across, np.array([True, sharp[j], True, sharp[i]])),), normals[i]))
    return tuple(facets)


def _ring_normal(ring: Array) -> Array:
    """Unit normal (3,) of a flat ring, counter-clockwise about it (Newell's sum)."""
    total = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    result: Array = total / np.linalg.norm(total)
    return result


def prism_solid(ring: Array, along: Array) -> tuple[Facet, ...]:
    """A prism: a flat ring (n, 3) carried along a vector (3,), counter-clockwise with `along` towards the eye."""
    return loft_solid(ring, ring + along)


def box_solid(low: tuple[float, float, float], high: tuple[float, float, float]) -> tuple[Facet, ...]:
    """An upright box between two corners."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    ring = np.array([[x0, y0, z0], [x1, y0, z0], [x1, y1, z0], [x0, y1, z0]])
    return prism_solid(ring, np.array([0.0, 0.0, z1 - z0]))


def rod_solid(start: Array, end: Array, diameter: float, corners: int = 18) -> tuple[Facet, ...]:
    """A round rod between the centres of its ends."""
    along = np.asarray(end, dtype=np.float64) - np.asarray(start, dtype=np.float64)
    axis = along / np.linalg.norm(along)
    helper = np.array([0.0, 1.0, 0.0]) if abs(axis[1]) < 0.9 else np.array([1.0, 0.0, 0.0])
    u = np.cross(helper, axis)
    u /= np.linalg.norm(u)
    v = np.cross(axis, u)
    angle = 2.0 * np.pi * np.arange(corners) / corners
    ring = np.asarray(start) + diameter / 2.0 * (np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v)
    return prism_solid(ring, along)
