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

__all__ = [
    "Facet",
    "FacetRing",
    "box_solid",
    "loft_solid",
    "mesh_solid",
    "moved",
    "part_solid",
    "prism_solid",
    "rod_solid",
]

Array = NDArray[np.float64]

# How far a picture's outline may leave the part's, mm: a picture is printed several times smaller than the boat.
_SIMPLIFY = 0.15
# A bent part is cut so that no facet stands farther off the surface than this, mm.
_FLATNESS = 0.15
# Two pieces of outline that turn less than this against one another, degrees, are one smooth edge.
_SMOOTH_TURN = 20.0
# Sides of a round rod: they turn less than that.
_ROUND = 20


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


@dataclass(frozen=True, slots=True)
class _Strip:
    """A piece of a part's flat drawing that is flat in space too.

    Attributes:
        shape: in the flat.
        number: of the strip between two cuts; pieces of one strip share it.
        ends: the rulings (2, 2, 2) at its ends, between which it is stretched; None where the part is flat there.
    """

    shape: shapely.Polygon
    number: int
    ends: Array | None


@dataclass(frozen=True, slots=True)
class _Raised:
    """A ring of a strip: in the flat (n, 2), and in space (n, 3) on the outer and the inner face."""

    flat: Array
    upper: Array
    lower: Array


def part_solid(part: Part) -> tuple[Facet, ...]:
    """The solid of a part's first copy, in the boat's axes, square edges, without trim allowance."""
    strips, chords = _strips(part, _picture_outline(part))
    rings = [(strip, flat) for strip in strips for flat in _rings(strip.shape)]
    uppers = _to_space(part, rings, part.thickness / 2.0)
    lowers = _to_space(part, rings, -part.thickness / 2.0)
    raised: dict[int, list[_Raised]] = {}
    for (strip, flat), upper, lower in zip(rings, uppers, lowers, strict=True):
        raised.setdefault(id(strip), []).append(_Raised(flat, upper, lower))
    normals = _outward(part, strips, [raised[id(strip)][0].upper for strip in strips])
    facets: list[Facet] = []
    for strip in strips:
        facets += _strip_facets(strip, raised[id(strip)], normals, chords)
    return tuple(facets)


def _picture_outline(part: Part) -> shapely.Polygon:
    rings = [shapely.LinearRing(ring) for ring in (part.true_outline, *part.holes)]
    simple = [np.asarray(ring.simplify(_SIMPLIFY).coords) for ring in rings]
    polygon = shapely.orient_polygons(shapely.Polygon(simple[0], simple[1:]))
    return polygon if polygon.is_valid else shapely.orient_polygons(shapely.Polygon(part.true_outline))


def _strips(part: Part, polygon: shapely.Polygon) -> tuple[list[_Strip], list[shapely.LineString]]:
    """The part's flat drawing cut along some of its rulings, in their order, and the cuts."""
    chosen = _chosen_rulings(part)
    if len(chosen) < 2:
        return [_Strip(polygon, 0, None)], []
    x0, y0, x1, y1 = polygon.bounds
    reach = float(np.hypot(x1 - x0, y1 - y0))
    step = reach * _travel(chosen)
    # Rulings end at the part; a curved strip bulges past their ends. Neighbours meet metres away.
    cuts = [_stretched(each, 0.3 * reach) for each in chosen]
    far = [_stretched(cuts[0], reach) - step, _stretched(cuts[-1], reach) + step]
    before = polygon.intersection(_quad(far[0], cuts[0])).area
    after = polygon.intersection(_quad(cuts[-1], far[1])).area
    # A sliver beyond the first or last ruling goes with the strip beside it.
    sliver = 0.01 * polygon.area + 30.0
    edges = [far[0], *cuts[int(before < sliver) : len(cuts) - int(after < sliver)], far[1]]
    firm = [np.array(pair) for pair in itertools.pairwise(chosen)]
    spans = [*([] if before < sliver else [None]), *firm, *([] if after < sliver else [None])]
    strips = []
    for number, ((a, b), ends) in enumerate(zip(itertools.pairwise(edges), spans, strict=True)):
        strips += [
            _Strip(shapely.orient_polygons(each), number, ends)
            for each in shapely.get_parts(polygon.intersection(_quad(a, b)))
            if each.geom_type == "Polygon" and each.area > 0.5
        ]
    return strips, [shapely.LineString(cut) for cut in edges[1:-1]]


def _quad(a: Array, b: Array) -> BaseGeometry:
    return shapely.Polygon(np.vstack([a, b[::-1]])).convex_hull


def _chosen_rulings(part: Part) -> list[Array]:
    """So few rulings (2, 2) that between two of them the part is flat within `_FLATNESS`."""
    if not part.rulings:
        return []
    ends = np.array([[[r.x0, r.y0], [r.x1, r.y1]] for r in part.rulings])
    middle = part.panel.to_space(ends.mean(axis=1), 0.0)
    chosen = [0]
    while chosen[-1] < len(ends) - 1:
        start, stop = chosen[-1], chosen[-1] + 1
        while stop + 1 < len(ends) and _sag(middle[start : stop + 2]) < _FLATNESS:
            stop += 1
        chosen.append(stop)
    return [ends[index] for index in chosen]


def _sag(points: Array) -> float:
    """How far a run of points (n, 3) stands off its chord."""
    chord = points[-1] - points[0]
    chord = chord / max(float(np.linalg.norm(chord)), 1e-12)
    away = points - points[0]
    return float(np.linalg.norm(away - np.outer(away @ chord, chord), axis=1).max())


def _to_space(part: Part, rings: Sequence[tuple[_Strip, Array]], offset: float) -> list[Array]:
    """Flat points (n, 2) of some strips in space (n, 3), on the planes that the strips' rulings span."""
    feet: list[Array] = []
    shares: list[Array] = []
    for strip, flat in rings:
        if strip.ends is None:
            feet.append(flat)
            shares.append(np.ones(0))
            continue
        way = _travel(list(strip.ends))
        runs = []
        for start, end in strip.ends:
            along = end - start
            run = (along[1] * (flat[:, 0] - start[0]) - along[0] * (flat[:, 1] - start[1])) / (
                along[0] * way[1] - along[1] * way[0]
            )
            runs.append(run)
            feet.append(flat + run[:, None] * way)
        shares.append(runs[0] / np.where(np.abs(runs[0] - runs[1]) > 1e-9, runs[0] - runs[1], 1.0))
    # One call for the whole part: a curved panel looks up all points together.
    space = part.panel.to_space(np.vstack(feet), offset)
    lifted, first = [], 0
    for (_, flat), share in zip(rings, shares, strict=True):
        middle = first + len(flat)
        if len(share):
            last = middle + len(flat)
            lifted.append((1.0 - share)[:, None] * space[first:middle] + share[:, None] * space[middle:last])
            first = last
        else:
            lifted.append(space[first:middle])
            first = middle
    return lifted


def _outward(part: Part, strips: Sequence[_Strip], uppers: Sequence[Array]) -> dict[int, Array]:
    """The unit normal (3,) of each strip's outer face by the strip's number."""
    inside = np.array([strip.shape.representative_point().coords[0] for strip in strips])
    away = part.panel.to_space(inside, 1.0) - part.panel.to_space(inside, 0.0)
    normals = {}
    for strip, upper, up in zip(strips, uppers, away, strict=True):
        normal = _ring_normal(upper)
        normals[strip.number] = normal if float(normal @ up) > 0.0 else -normal
    return normals


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


def _rings(polygon: BaseGeometry) -> list[Array]:
    """Each ring (n, 2) without its repeated point, wood on the left."""
    pieces: list[shapely.Polygon] = [each for each in shapely.get_parts(polygon) if each.geom_type == "Polygon"]
    whole: shapely.Polygon = shapely.orient_polygons(max(pieces, key=lambda each: each.area))
    return [np.asarray(ring.coords)[:-1] for ring in (whole.exterior, *whole.interiors)]


def _strip_facets(
    strip: _Strip, rings: Sequence[_Raised], normals: dict[int, Array], chords: Sequence[shapely.LineString]
) -> list[Facet]:
    """A strip's outer and inner face, and the walls along its share of the outline."""
    outer: list[FacetRing] = []
    inner: list[FacetRing] = []
    walls: list[Facet] = []
    outward = normals[strip.number]
    for ring in rings:
        flat, upper, lower = ring.flat, ring.upper, ring.lower
        sides = _wall_normals(flat, upper, outward)
        beyond = _beyond(flat, strip.number, chords)
        on = np.array([other in normals for other in beyond.tolist()])
        drawn = ~on & (np.hypot(*(np.roll(flat, -1, axis=0) - flat).T) > 1e-6)
        across = np.array(
            [normals[other] if is_on else side for other, is_on, side in zip(beyond.tolist(), on, sides, strict=True)]
        )
        outer.append(FacetRing(upper, across, drawn))
        inner.append(FacetRing(lower, np.where(on[:, None], -across, across), drawn))
        walls += _walls(flat, upper, lower, sides, outward, on)
    return [Facet(tuple(outer), outward), Facet(tuple(inner), -outward), *walls]


def _beyond(flat: Array, number: int, chords: Sequence[shapely.LineString]) -> NDArray[np.int64]:
    """For each edge of a strip's ring, the number of the strip on its other side; -1 on the outline."""
    found = np.full(len(flat), -1)
    points = shapely.points(flat)
    # Cut `index` parts strip `index` from the next one.
    for index in (number - 1, number):
        if 0 <= index < len(chords):
            near = shapely.distance(points, chords[index]) < 1e-3
            found[near & np.roll(near, -1)] = index if index < number else index + 1
    return found


def _wall_normals(flat: Array, space: Array, outward: Array) -> Array:
    """Outward normals (n, 3) of the walls that stand on a ring's edges."""
    along = np.roll(space, -1, axis=0) - space
    normals = np.cross(along, outward)
    result: Array = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    # Wood lies on the left of the ring as drawn; a part drawn with its inner face up is seen from behind here.
    seen_from_behind = float(_ring_normal(space) @ outward) * _signed_area(flat) < 0.0
    return -result if seen_from_behind else result


def _signed_area(flat: Array) -> float:
    x, y = flat[:, 0], flat[:, 1]
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def _walls(flat: Array, upper: Array, lower: Array, sides: Array, outward: Array, on: NDArray[np.bool_]) -> list[Facet]:
    along = np.roll(flat, -1, axis=0) - flat
    heading = np.arctan2(along[:, 1], along[:, 0])
    turn = np.abs((heading - np.roll(heading, 1) + np.pi) % (2.0 * np.pi) - np.pi)
    # At a cut the wall goes on in the next strip.
    sharp = (np.degrees(turn) > _SMOOTH_TURN) & ~on & ~np.roll(on, 1)
    facets = []
    for i in np.flatnonzero(~on).tolist():
        j = (i + 1) % len(flat)
        points = np.array([lower[i], lower[j], upper[j], upper[i]])
        after = sides[i] if on[j] else sides[j]
        before = sides[i] if on[i - 1] else sides[i - 1]
        across = np.array([-outward, after, outward, before])
        facets.append(Facet((FacetRing(points, across, np.array([True, sharp[j], True, sharp[i]])),), sides[i]))
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


def mesh_solid(corners: Array, faces: Sequence[tuple[int, ...]]) -> tuple[Facet, ...]:
    """A closed body of flat faces that share their corners.

    Args:
        corners: (n, 3), mm.
        faces: the corners of each, counter-clockwise as seen from outside. Every edge is shared by two faces.
    """
    normals = np.array([_ring_normal(corners[list(face)]) for face in faces])
    owners = {(a, b): number for number, face in enumerate(faces) for a, b in _edges_of(face)}
    smooth = np.cos(np.radians(_SMOOTH_TURN))
    facets = []
    for face, normal in zip(faces, normals, strict=True):
        across = normals[[owners[b, a] for a, b in _edges_of(face)]]
        facets.append(Facet((FacetRing(corners[list(face)], across, across @ normal < smooth),), normal))
    return tuple(facets)


def _edges_of(face: tuple[int, ...]) -> list[tuple[int, int]]:
    return list(zip(face, (*face[1:], face[0]), strict=True))


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


def rod_solid(start: Array, end: Array, diameter: float) -> tuple[Facet, ...]:
    """A round rod between the centres of its ends."""
    along = np.asarray(end, dtype=np.float64) - np.asarray(start, dtype=np.float64)
    axis = along / np.linalg.norm(along)
    helper = np.array([0.0, 1.0, 0.0]) if abs(axis[1]) < 0.9 else np.array([1.0, 0.0, 0.0])
    u = np.cross(helper, axis)
    u /= np.linalg.norm(u)
    v = np.cross(axis, u)
    angle = 2.0 * np.pi * np.arange(_ROUND) / _ROUND
    ring = np.asarray(start) + diameter / 2.0 * (np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v)
    return prism_solid(ring, along)
