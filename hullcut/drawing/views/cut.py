"""A solid cut by a plane: what stands on one side of it, closed where it is cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing.views.solids import Facet, FacetRing

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["cut_solid"]

Array = NDArray[np.float64]

# Corners nearer than this to the plane lie on it, mm; a cut is closed over gaps as wide.
_ON = 1e-6


def cut_solid(facets: Sequence[Facet], point: Array, towards: Array) -> tuple[Facet, ...]:
    """What of a solid stands on one side of a plane.

    Args:
        facets: of the solid.
        point: (3,) on the plane, mm.
        towards: unit vector (3,) square to the plane, into what is kept.
    """
    plane = _Plane(point, towards)
    kept: list[Facet] = []
    seam: list[tuple[Array, Array, Array]] = []
    for facet in facets:
        if all(float(plane.away(ring.points).min()) > _ON for ring in facet.rings):
            kept.append(facet)
            continue
        rings = tuple(ring for ring in (_cut_ring(ring, plane) for ring in facet.rings) if ring is not None)
        if rings and plane.holds(rings[0].points) < len(rings[0].points):
            kept.append(Facet(rings, facet.normal))
            seam += _on_plane(rings, plane, facet.normal)
    return (*kept, *_closing(seam, -towards))


@dataclass(frozen=True, slots=True)
class _Plane:
    """A plane by a point on it and its unit normal (3,) into what is kept."""

    point: Array
    towards: Array

    def away(self, points: Array) -> Array:
        """How far points (n, 3) stand off it, mm."""
        found: Array = (points - self.point) @ self.towards
        return found

    def holds(self, points: Array) -> int:
        """How many points (n, 3) lie in it."""
        return int(np.count_nonzero(np.abs(self.away(points)) <= _ON))


def _cut_ring(ring: FacetRing, plane: _Plane) -> FacetRing | None:
    """A ring without what stands beyond the plane; None where nothing is left."""
    away = plane.away(ring.points)
    inside = away >= -_ON
    points: list[Array] = []
    across: list[Array] = []
    drawn: list[bool] = []
    for k in range(len(ring.points)):
        j = (k + 1) % len(ring.points)
        crosses = bool(inside[k] != inside[j]) and min(abs(away[k]), abs(away[j])) > _ON
        at = ring.points[k] + away[k] / (away[k] - away[j]) * (ring.points[j] - ring.points[k]) if crosses else None
        if inside[k]:
            leaves = not inside[j] and at is None
            points.append(ring.points[k])
            across.append(-plane.towards if leaves else ring.across[k])
            drawn.append(leaves or bool(ring.drawn[k]))
        if at is not None:
            points.append(at)
            across.append(-plane.towards if inside[k] else ring.across[k])
            drawn.append(bool(inside[k]) or bool(ring.drawn[k]))
    return FacetRing(np.array(points), np.array(across), np.array(drawn)) if len(points) > 2 else None


def _on_plane(rings: Sequence[FacetRing], plane: _Plane, normal: Array) -> list[tuple[Array, Array, Array]]:
    """The edges of a facet that lie in the plane, as the facet beyond has them: start, end, normal across."""
    return [
        (end, start, normal)
        for ring in rings
        for start, end in zip(ring.points, np.roll(ring.points, -1, axis=0), strict=True)
        if plane.holds(np.array([start, end])) == 2 and not np.allclose(start, end, atol=_ON)
    ]


def _closing(seam: Sequence[tuple[Array, Array, Array]], normal: Array) -> list[Facet]:
    """The facets that close a cut, from its edges; none where they do not run round."""
    left = {_key(start): (start, end, across) for start, end, across in seam}
    found: list[Facet] = []
    while left:
        run = [left.pop(next(iter(left)))]
        while _key(run[-1][1]) in left:
            run.append(left.pop(_key(run[-1][1])))
        if len(run) > 2 and _key(run[-1][1]) == _key(run[0][0]):
            points, across = (np.array([each[k] for each in run]) for k in (0, 2))
            found.append(Facet((FacetRing(points, across, np.ones(len(run), dtype=bool)),), normal))
    return found


def _key(point: Array) -> tuple[float, ...]:
    return tuple((np.round(point, 4) + 0.0).tolist())
