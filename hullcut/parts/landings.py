"""Where one part lands on the face of another, found from both charts."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.crown import CrownPanel
from hullcut.parts.outline import as_points, outline_area

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.parts.values import Part, Point

__all__ = ["Grounds", "Landing", "grounds"]

Array = NDArray[np.float64]

# A bevelled or planed edge may stand this far off the face that it lands on, mm.
_TOUCHING_MM = 1.2
# Sides and cleats together are seldom broader than this, mm.
_PLANED_MM = 30.0
#: share of a print that lies on its host, from which it counts as whole.
_WHOLE = 0.98
_SMALLEST_MM2 = 20.0
# Narrower prints are where bevelled edges cross as sawn, not where parts meet.
_NARROWEST_MM = 1.5
_SHORTEST_MM = 5.0
# Parts whose boxes stand farther apart than this do not touch, mm.
_CLEAR_MM = 2.0

# Which families leave a print worth drawing on which; covers and bottom are found from the other side.
_INSIDE = ("transom", "bulkhead", "nose_block", "cleat", "deck_beam", "shelf", "knee", "pad")
_GUESTS: dict[str, tuple[str, ...]] = {
    "side": (*_INSIDE,),
    "bottom": ("side", *_INSIDE, "bearer", "engine_plate", "fin"),
    "transom": ("cleat", "knee", "pad", "side"),
    "bulkhead": ("deck_beam",),
    "bearer": ("engine_plate",),
    "shelf": ("cleat", "batten"),
    "deck": ("side", *_INSIDE, "windscreen"),
    "hatch": ("side", *_INSIDE, "batten"),
}


@dataclass(frozen=True, slots=True)
class Landing:
    """The print of one part on another's face.

    Attributes:
        host: id of the part that is landed on.
        guest: id of the part that lands.
        name: of the guest.
        family: of the guest.
        face: of the host.
        outline: the print in the host's drawing, without a repeated point.
        middle: the print's middle line in the host's drawing, where screws go.
    """

    host: str
    guest: str
    name: str
    family: str
    face: Literal["inner", "outer"]
    outline: tuple[Point, ...]
    middle: tuple[Point, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Faces:
    """A finished part's edges in space, once their bevels are planed.

    Attributes:
        lines: points (2, n, 3), first on the outer face, then on the inner; edge after edge, each with both its ends.
        starts: index at which each edge begins.
        box: lowest and highest corner (2, 3).
    """

    lines: Array
    starts: tuple[int, ...]
    box: Array


@dataclass(frozen=True, slots=True, eq=False)
class Grounds:
    """All parts of a boat as they stand, ready to be asked what lands on each.

    Attributes:
        parts: in the order in which prints are told.
        faces: of each part that has planed edges, by its id.
    """

    parts: tuple[Part, ...]
    faces: Mapping[str, Faces]

    def landings_on(self, host: Part) -> tuple[Landing, ...]:
        """Every print on a part's faces, guests in the order of the parts."""
        wanted = _GUESTS.get(host.family, ())
        if not wanted:
            return ()
        box = self.faces[host.id].box
        near = [
            (guest, self.faces[guest.id], np.array(place))
            for guest in self.parts
            if guest.id != host.id and guest.family in wanted
            for place in guest.places
            if _boxes_meet(box, self.faces[guest.id].box + np.array(place))
        ]
        return _prints_on(host, near)


def grounds(parts: Sequence[Part]) -> Grounds:
    """The faces of some parts in space."""
    return Grounds(tuple(parts), {part.id: _faces_in_space(part) for part in parts if any(e.outer for e in part.edges)})


def _boxes_meet(a: Array, b: Array) -> bool:
    return not (np.any(b[0] > a[1] + _CLEAR_MM) or np.any(a[0] > b[1] + _CLEAR_MM))


def _faces_in_space(part: Part) -> Faces:
    """A part's edges on both faces, as many points on one as on the other."""
    pairs = [_opposite(np.array(edge.outer), np.array(edge.inner)) for edge in part.edges]
    outer, inner = (np.vstack([pair[side] for pair in pairs]) for side in (0, 1))
    half = part.thickness / 2.0
    lines = np.stack([part.panel.to_space(outer, half), part.panel.to_space(inner, -half)])
    starts = np.cumsum([0, *(len(pair[0]) for pair in pairs[:-1])])
    points = lines.reshape(-1, 3)
    return Faces(lines, tuple(starts.tolist()), np.array([points.min(axis=0), points.max(axis=0)]))


def _opposite(outer: Array, inner: Array) -> tuple[Array, Array]:
    """Two lines (n, 2), (m, 2) with as many points as the one that has more, at the same shares of their lengths."""
    shares = max((_shares(line) for line in (outer, inner)), key=len)
    return _at_shares(outer, shares), _at_shares(inner, shares)


def _shares(line: Array) -> Array:
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    return along / along[-1] if along[-1] > 0.0 else np.linspace(0.0, 1.0, len(line))


def _at_shares(line: Array, shares: Array) -> Array:
    if len(line) == len(shares) and len(line) > 2:
        return line
    own = _shares(line)
    return np.column_stack([np.interp(shares, own, line[:, axis]) for axis in (0, 1)])


def _prints_on(host: Part, guests: Sequence[tuple[Part, Faces, Array]]) -> tuple[Landing, ...]:
    """The prints of guests, each with its faces and the place of its copy, on one host.

    All are laid in the host's chart at once: a chart takes little longer over many points than over a few.
    """
    if not guests:
        return ()
    laid = host.panel.to_flat(np.vstack([faces.lines.reshape(-1, 3) + place for _, faces, place in guests]))
    ends = np.cumsum([2 * faces.lines.shape[1] for _, faces, _ in guests])
    within = outline_area(host.true_outline)
    prints: list[Landing] = []
    for (guest, faces, _), points in zip(guests, np.split(laid, ends[:-1]), strict=True):
        prints += _prints(host, within, guest, faces, points.reshape(2, -1, 3))
    return tuple(_planed_to_sides(each, prints) if each.family == "nose_block" else each for each in prints)


def _planed_to_sides(block: Landing, prints: Sequence[Landing]) -> Landing:
    """The print of the block at the bow, whose cheeks are planed to fit between the sides."""
    sides = [shapely.Polygon(each.outline) for each in prints if each.family == "side" and each.face == block.face]
    left = shapely.Polygon(block.outline).buffer(0.0).difference(shapely.union_all(sides))
    pieces = [piece for piece in shapely.get_parts(left) if piece.geom_type == "Polygon"]
    if not pieces:
        return block
    largest = max(pieces, key=lambda piece: piece.area)
    corners = shapely.get_coordinates(shapely.remove_repeated_points(largest.exterior, 1e-6))[:-1]
    middle = shapely.LineString(block.middle).intersection(largest) if len(block.middle) > 1 else shapely.LineString()
    line = shapely.get_coordinates(middle) if middle.geom_type == "LineString" else np.zeros((0, 2))
    return replace(block, outline=as_points(corners), middle=as_points(line))


def _prints(host: Part, within: shapely.Polygon, guest: Part, faces: Faces, laid: Array) -> list[Landing]:
    """The prints of one copy of a guest, whose lines in the host's chart are given (2, n, 3)."""
    found = []
    for face, ring, middle in _face_prints(host, laid) or _edge_prints(host, faces, laid):
        shape = shapely.Polygon(ring).buffer(0.0).intersection(within)
        for piece in shapely.get_parts(shape):
            if piece.geom_type != "Polygon" or piece.area < _SMALLEST_MM2:
                continue
            if piece.buffer(-_NARROWEST_MM / 2.0).is_empty:
                continue
            corners = shapely.get_coordinates(shapely.remove_repeated_points(piece.exterior, 1e-6))[:-1]
            if piece.area < _WHOLE * shapely.Polygon(ring).area:
                # What reaches past the host's edge, as a strip planed to a slope does, takes no screw there.
                middle = _middle_of(corners)
            inside = shapely.LineString(middle).intersection(piece)
            line = shapely.get_coordinates(inside) if inside.geom_type == "LineString" else np.zeros((0, 2))
            found.append(
                Landing(host.id, guest.id, guest.name, guest.family, face, as_points(corners), as_points(line))
            )
    return found


Face = Literal["inner", "outer"]
Print = tuple[Face, Array, Array]


def _levels(host: Part) -> dict[Face, float]:
    """Offsets of a host's faces; where a line may stand on either, it stands on the first."""
    return {"inner": -host.thickness / 2.0, "outer": host.thickness / 2.0}


def _depth(offsets: Array, level: float) -> float:
    """How far off a face at this level the farthest of some points stands, above it or below."""
    return float(np.abs(offsets - level).max())


def _tolerance(host: Part) -> float:
    """The depth up to which something lands; under a crown more, for sides and cleats are planed down to it."""
    return _TOUCHING_MM + (_PLANED_MM * math.tan(host.panel.crown.slope) if isinstance(host.panel, CrownPanel) else 0.0)


def _face_under(host: Part, offsets: Array) -> Face | None:
    """The face of a host on which points at these offsets land."""
    levels = _levels(host)
    # On a thin host both faces may be near enough.
    face = min(levels, key=lambda each: _depth(offsets, levels[each]))
    return face if _depth(offsets, levels[face]) < _tolerance(host) else None


def _face_prints(host: Part, laid: Array) -> list[Print]:
    """The guest's whole face where it lies on the host."""
    for lines in laid:
        face = _face_under(host, lines[:, 2])
        # What is planed away to an edge has no face left there.
        if face is not None and abs(shapely.Polygon(lines[:, :2]).area) > _SMALLEST_MM2:
            return [(face, lines[:, :2], _middle_of(lines[:, :2]))]
    return []


def _middle_of(ring: Array) -> Array:
    """A line halfway between the two long sides of a strip, or along the longer axis of any other print."""
    polygon = shapely.Polygon(ring)
    box = shapely.get_coordinates(shapely.oriented_envelope(polygon))[:4]
    sides = [box[1] - box[0], box[2] - box[1]]
    long = sides[0] if np.linalg.norm(sides[0]) >= np.linalg.norm(sides[1]) else sides[1]
    unit = long / np.linalg.norm(long)
    square = np.array([-unit[1], unit[0]])
    along = ring @ unit
    count = max(2, int(np.ceil(np.ptp(along) / 10.0)) + 1)
    reach = 4.0 * float(np.ptp(ring @ square)) + 10.0
    feet = np.linspace(along.min() + 0.5, along.max() - 0.5, count)[:, None] * unit
    feet = feet + square * float(np.mean(ring @ square))
    across = shapely.linestrings(np.stack([feet - square * reach, feet + square * reach], axis=1))
    # Laid on a chart, the lines of a corner that is all but sharp may cross one another.
    whole = polygon if polygon.is_valid else polygon.buffer(0.0)
    crossing = np.atleast_1d(np.asarray(shapely.intersection(across, whole)))
    middles = np.array([shapely.get_coordinates(each).mean(axis=0) for each in crossing if not each.is_empty])
    return middles if len(middles) > 1 else np.array([ring.mean(axis=0), ring.mean(axis=0) + unit])


def _edge_prints(host: Part, faces: Faces, laid: Array) -> list[Print]:
    """Edges of the guest that stand on the host, between their lines on the guest's two faces."""
    found: list[Print] = []
    for both in np.split(laid, faces.starts[1:], axis=1):
        face = _face_under(host, both[:, :, 2])
        near, far = both[0, :, :2], both[1, :, :2]
        if face is None or max(_length(near), _length(far)) <= _SHORTEST_MM:
            continue
        found.append((face, np.vstack([near, far[::-1]]), (near + far) / 2.0))
    return found


def _length(line: Array) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
