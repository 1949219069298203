"""Where things go on a part, from its base line: what lands on it, bolt holes, balance point and waterline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.measures import reading_step

if TYPE_CHECKING:
    from hullcut.parts.measures import Measures
    from hullcut.parts.values import Mark, Part, Point

__all__ = ["Placement", "placements"]

Array = NDArray[np.float64]
Span = tuple[float, float]

# A strip whose box is so many times as wide as itself slopes or bends; a print so many times as long is a strip.
_SLOPES, _STRIP = 1.5, 4.0
# The ends are looked at this far inside a print, mm, where a corner is cut or bevelled.
_INSIDE = 0.5
# Share of a step by which what should be a half may fall short of it.
_TIE = 1e-3


@dataclass(frozen=True, slots=True)
class Placement:
    """One thing's place on a part.

    Attributes:
        name: of the thing.
        face: of the part on which it stands.
        rows: along and off the base line from and to, as written, mm: one row for what is upright or a point; two, for
            its ends, where it slopes or bends.
    """

    name: str
    face: Literal["inner", "outer", "both"]
    rows: tuple[tuple[Span, Span], ...]


def placements(part: Part, found: Measures, units: Literal["in", "mm"]) -> tuple[Placement, ...]:
    """Where things go on a part.

    Args:
        part: with its marks.
        found: its measures, for where they begin.
        units: of the design.
    """
    step = reading_step(units)
    placed = [_placement(part, mark, np.array(found.origin), step) for mark in part.marks]
    return tuple(sorted((each for each in placed if each is not None), key=lambda each: each.face == "outer"))


def _placement(part: Part, mark: Mark, origin: Array, step: float) -> Placement | None:
    points = np.array(mark.points) - origin
    if mark.kind == "landing" and len(points) > 3:
        return Placement(_name(part, mark), mark.face, _spans(points, step))
    if mark.kind in ("hole", "shaft"):
        return Placement(_name(part, mark), mark.face, (_box(points[:1], step),))
    if mark.kind in ("balance point", "waterline") and len(points) > 1:
        return Placement(mark.name, mark.face, tuple(_box(points[[end]], step) for end in (0, -1)))
    return None


def _name(part: Part, mark: Mark) -> str:
    """A thing's name; its hand goes without saying on a part that has one too."""
    name = mark.name.split(":")[0]
    return name.removesuffix(f", {part.hand}") if part.hand else name


def _written(value: float, step: float) -> float:
    """To the nearest step; halves away from the base line on both sides of it, so that what is even stays even."""
    return math.copysign(math.floor(abs(value) / step + 0.5 + _TIE), value) * step + 0.0


def _box(points: Array, step: float) -> tuple[Span, Span]:
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return ((_written(x0, step), _written(x1, step)), (_written(y0, step), _written(y1, step)))


def _spans(ring: Array, step: float) -> tuple[tuple[Span, Span], ...]:
    """The box of a print, or its ends where it slopes or bends."""
    area = shapely.Polygon(ring).buffer(0.0)
    low, high = ring.min(axis=0), ring.max(axis=0)
    axis = 0 if high[0] - low[0] >= high[1] - low[1] else 1
    size = high - low
    mean = area.area / size[axis]
    if size[1 - axis] < _SLOPES * mean or size[axis] < _STRIP * mean:
        return (_box(ring, step),)
    rows = []
    for at in (low[axis] + _INSIDE, high[axis] - _INSIDE):
        ends: list[Point] = [(at, low[1] - 1.0), (at, high[1] + 1.0)]
        if axis == 1:
            ends = [(low[0] - 1.0, at), (high[0] + 1.0, at)]
        across = shapely.get_coordinates(shapely.LineString(ends).intersection(area))
        if not len(across):
            return (_box(ring, step),)
        edge = low[axis] if at < (low[axis] + high[axis]) / 2.0 else high[axis]
        across[:, axis] = edge
        rows.append(_box(across, step))
    return tuple(rows)
