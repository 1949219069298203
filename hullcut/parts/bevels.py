"""Bevels as a shop reads them: degrees, and how far to plane back over the thickness, edge by edge.

An edge is sawn square along its long face, then planed back to the line of the other face. The distance between the
two lines is the thickness times the tangent of the angle off square (plane trigonometry). A bevel that changes along
its edge is told at every station that the edge crosses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from hullcut.lengths import inches, millimetres
from hullcut.parts.lie import face_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hullcut.parts.values import Edge, Part

__all__ = [
    "COLUMNS",
    "Bevel",
    "BevelReading",
    "BevelSummary",
    "bevel_at",
    "bevel_rows",
    "bevel_summaries",
    "bevel_words",
    "bevels_of",
    "shop_reading",
]

Array = NDArray[np.float64]

# An edge whose bevel changes by less than this is planed to one angle.
_CONSTANT_DEG = 0.25
# How the name of an edge to starboard ends, where that to port has none.
_FELLOW = ", starboard"
# Half of 1/32 in: less can't be read off a rule, mm.
_LEAST_BACK = 0.4
# A station whose line ends farther than this from an edge does not cross it.
_ON_EDGE_MM = 0.5

COLUMNS = ("part", "edge", "where", "degrees", "over the thickness", "long face")
"""Heads of the rows of `bevel_rows`."""


@dataclass(frozen=True, slots=True)
class BevelReading:
    """The bevel at one place of an edge.

    Attributes:
        place: "all along", "station 3", "aft", "fore", "low", "high".
        degrees: off square, never negative.
        offset: between the lines on the two faces, square to the edge, mm.
        long_face: the face that reaches farther, which is sawn; None where the edge is square there.
    """

    place: str
    degrees: float
    offset: float
    long_face: Literal["inner", "outer"] | None


@dataclass(frozen=True, slots=True)
class Bevel:
    """The bevel of one edge of a part.

    Attributes:
        part: the part's id.
        name: of the part.
        edge: the edge's name.
        readings: one where the bevel is the same all along, else one at each end and each station between.
    """

    part: str
    name: str
    edge: str
    readings: tuple[BevelReading, ...]

    @property
    def constant(self) -> bool:
        """Whether one reading tells it all."""
        return len(self.readings) == 1


def bevels_of(part: Part) -> tuple[Bevel, ...]:
    """The bevels of a part's edges, in the order of its edges; square edges are left out."""
    return tuple(Bevel(part.id, part.name, edge.name, _readings(part, edge)) for edge in part.edges if edge.bevels)


def bevel_at(edge: Edge, x: float, y: float) -> tuple[float, float]:
    """The bevel of an edge at the place nearest to a point.

    Args:
        edge: with bevels.
        x: of the point, in the part's drawing.
        y: of the point.

    Returns:
        Degrees, positive where the outer face reaches farther; and the distance from the point to the edge, mm.
    """
    places = np.array([(at.x, at.y) for at in edge.bevels])
    degrees = np.array([at.degrees for at in edge.bevels])
    start, step = places[:-1], np.diff(places, axis=0)
    square = np.maximum(np.einsum("ij,ij->i", step, step), 1e-18)
    share = np.clip(np.einsum("ij,ij->i", np.array([x, y]) - start, step) / square, 0.0, 1.0)
    gaps = np.linalg.norm(start + share[:, None] * step - np.array([x, y]), axis=1)
    nearest = int(np.argmin(gaps))
    told = degrees[nearest] + share[nearest] * (degrees[nearest + 1] - degrees[nearest])
    return float(told), float(gaps[nearest])


def _readings(part: Part, edge: Edge) -> tuple[BevelReading, ...]:
    degrees = [at.degrees for at in edge.bevels]
    if max(degrees) - min(degrees) < _CONSTANT_DEG:
        return (_reading(part, "all along", max(degrees, key=abs)),)
    ends = part.panel.to_space(np.array([(at.x, at.y) for at in (edge.bevels[0], edge.bevels[-1])]), 0.0)
    (aft_x, _, low), (fore_x, _, high) = ends
    upright = abs(high - low) > abs(fore_x - aft_x)
    words = ("low", "high") if upright else ("aft", "fore")
    told = [(float(ends[0][0]), degrees[0], words[0]), (float(ends[1][0]), degrees[-1], words[1])]
    if (high < low) if upright else (fore_x < aft_x):
        told = [(told[0][0], degrees[0], words[1]), (told[1][0], degrees[-1], words[0])][::-1]
    between = []
    for mark in part.marks:
        if mark.kind == "station":
            at = [bevel_at(edge, *point) for point in (mark.points[0], mark.points[-1])]
            near = min(at, key=lambda each: each[1])
            if near[1] < _ON_EDGE_MM:
                between.append((near[0], f"station {mark.name}"))
    all_told = [told[0][1:], *between, told[1][1:]]
    return tuple(_reading(part, word, angle) for angle, word in all_told)


def _reading(part: Part, place: str, degrees: float) -> BevelReading:
    offset = part.thickness * float(np.tan(np.radians(abs(degrees))))
    square = abs(degrees) < 1e-9
    return BevelReading(place, abs(degrees), offset, None if square else "outer" if degrees > 0.0 else "inner")


def shop_reading(offset: float, units: Literal["in", "mm"]) -> str:
    """The offset as a rule reads it: to 1/32 in with the millimetres beside it, or to half a millimetre."""
    if units == "in":
        return f"{inches(offset, 32)} ({offset:.1f} mm)"
    return millimetres(round(offset * 2.0) / 2.0, 1)


def bevel_rows(parts: Iterable[Part], units: Literal["in", "mm"]) -> tuple[tuple[str, ...], ...]:
    """One row for each reading of each bevelled edge of each part, as words, under `COLUMNS`."""
    return tuple(
        (
            bevel.name,
            bevel.edge,
            reading.place,
            f"{reading.degrees:.1f}°",
            shop_reading(reading.offset, units),
            "square" if reading.long_face is None else _face(part, reading.long_face).removesuffix(" face"),
        )
        for part in parts
        for bevel in bevels_of(part)
        for reading in bevel.readings
    )


@dataclass(frozen=True, slots=True)
class BevelSummary:
    """A bevel as told on a drawing; edges with the same bevel share one.

    Attributes:
        edges: their names, each once.
        degrees: off square, or from and to.
        back: how far to plane back over the thickness, at most.
        long_face: the face that reaches farther, as a builder says it: "outer face", "after face", "underside".
    """

    edges: str
    degrees: str
    back: str
    long_face: str


def bevel_summaries(part: Part, units: Literal["in", "mm"], least: float = 1.0) -> tuple[BevelSummary, ...]:
    """The bevels of a part in short.

    Args:
        part: what is drawn.
        units: which unit leads.
        least: bevels that nowhere reach so many degrees are left to the plane, as are those that nowhere take off as
            much as a rule shows.
    """
    edges: dict[tuple[str, str, str], list[str]] = {}
    for bevel in bevels_of(part):
        low = min(bevel.readings, key=lambda each: each.degrees)
        most = max(bevel.readings, key=lambda each: each.degrees)
        if most.degrees < least or most.offset < _LEAST_BACK:
            continue
        span = f"{most.degrees:.1f}°" if bevel.constant else f"{low.degrees:.1f}° to {most.degrees:.1f}°"
        upto = "" if bevel.constant else "at most "
        key = (span, f"{upto}{shop_reading(most.offset, units)}", _face(part, most.long_face or "outer"))
        edges.setdefault(key, []).append(bevel.edge)
    return tuple(BevelSummary(_edges(names), *key) for key, names in edges.items())


def _face(part: Part, face: str) -> str:
    """A face's name; those of the shell are inner and outer without more."""
    return face_words(part, face).replace(f"{face}, ", f"{face} face, ").split(", ")[0]


def _edges(names: Sequence[str]) -> str:
    """Names of edges, each once; an edge and its fellow to starboard are told as each of the two."""
    told = []
    for name in dict.fromkeys(names):
        if name.removesuffix(_FELLOW) in names and name.endswith(_FELLOW):
            continue
        told.append(f"each {name}" if name + _FELLOW in names else name)
    return ", ".join(told)


def bevel_words(part: Part, units: Literal["in", "mm"]) -> tuple[str, ...]:
    """A line for each bevel of a part, for its drawing.

    Args:
        part: what is drawn.
        units: which unit leads.
    """
    return tuple(
        f"{each.edges}: bevel {each.degrees}, {each.back}, {each.long_face} longer"
        for each in bevel_summaries(part, units)
    )
