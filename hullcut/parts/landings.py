"""Where one part lands on the face of another, found from both charts."""

from __future__ import annotations

import math
from dataclasses import dataclass
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
# An edge that meets a face at less than this sine is not taken back along its part.
_SHALLOWEST = 0.1
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
class Grounds:
    """All parts of a boat as they stand, ready to be asked what lands on each.

    Attributes:
        parts: in the order in which prints are told.
        faces: the true outline of each part in space (2n, 3), first on the outer face, then on the inner, by its id.
        boxes: lowest and highest corner (2, 3) of each, by its id.
    """

    parts: tuple[Part, ...]
    faces: Mapping[str, Array]
    boxes: Mapping[str, Array]

    def landings_on(self, host: Part) -> tuple[Landing, ...]:
        """Every print on a part's faces, guests in the order of the parts."""
        wanted = _GUESTS.get(host.family, ())
        near = [
            (guest, np.array(place))
            for guest in self.parts
            if guest.id != host.id and guest.family in wanted
            for place in guest.places
            if _boxes_meet(self.boxes[host.id], self.boxes[guest.id] + np.array(place))
        ]
        return _prints_on(host, near, self.faces)


def grounds(parts: Sequence[Part]) -> Grounds:
    """The faces of some parts in space."""
    faces = {part.id: _faces_in_space(part) for part in parts}
    boxes = {name: np.array([points.min(axis=0), points.max(axis=0)]) for name, points in faces.items()}
    return Grounds(tuple(parts), faces, boxes)


def _boxes_meet(a: Array, b: Array) -> bool:
    return not (np.any(b[0] > a[1] + _CLEAR_MM) or np.any(a[0] > b[1] + _CLEAR_MM))


def _faces_in_space(part: Part) -> Array:
    """The true outline in space (2n, 3), first on the outer face, then on the inner."""
    outline = np.array(part.true_outline)
    half = part.thickness / 2.0
    return np.vstack([part.panel.to_space(outline, half), part.panel.to_space(outline, -half)])


def _prints_on(host: Part, guests: Sequence[tuple[Part, Array]], faces: Mapping[str, Array]) -> tuple[Landing, ...]:
    """The prints of guests, each with the place of its copy, on one host.

    All are laid in the host's chart at once: a chart takes little longer over many points than over a few.
    """
    if not guests:
        return ()
    laid = host.panel.to_flat(np.vstack([faces[guest.id] + place for guest, place in guests]))
    ends = np.cumsum([len(faces[guest.id]) for guest, _ in guests])
    within = outline_area(host.true_outline)
    prints: list[Landing] = []
    for (guest, place), points in zip(guests, np.split(laid, ends[:-1]), strict=True):
        prints += _prints(host, within, guest, place, points)
    return tuple(prints)


def _prints(host: Part, within: shapely.Polygon, guest: Part, place: Array, laid: Array) -> list[Landing]:
    """The prints of one copy of a guest, whose faces in the host's chart are given (2n, 3)."""
    faces = (laid[: len(laid) // 2], laid[len(laid) // 2 :])
    found = []
    for face, ring, middle in _face_prints(host, faces) or _edge_prints(host, guest, place, faces):
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
    tolerance = _tolerance(host)
    return next((face for face, level in _levels(host).items() if _depth(offsets, level) < tolerance), None)


def _face_prints(host: Part, faces: tuple[Array, Array]) -> list[Print]:
    """The guest's whole face where it lies on the host."""
    for laid in faces:
        face = _face_under(host, laid[:, 2])
        if face is not None:
            return [(face, laid[:, :2], _middle_of(laid[:, :2]))]
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


def _edge_prints(host: Part, guest: Part, place: Array, faces: tuple[Array, Array]) -> list[Print]:
    """Edges of the guest that stand on the host.

    A bevelled edge is sawn on its long face, so that as sawn only one of its lines meets the host; both are taken
    along the guest to where the bevel leaves them.
    """
    found: list[Print] = []
    outline = np.array(guest.true_outline)
    levels = _levels(host)
    for run in _edge_runs(outline):
        both = np.stack([faces[0][run], faces[1][run]])
        # On a thin host the line that does not meet it may lie at its other face by chance: the closer one counts.
        closer = min(both[:, :, 2], key=lambda offsets: min(_depth(offsets, level) for level in levels.values()))
        face = _face_under(host, closer)
        if face is None:
            continue
        depth = _depth(both[:, :, 2], levels[face])
        if depth > _tolerance(host):
            bevel = _bevel_at(guest, int(run[(len(run) - 1) // 2]), len(outline))
            if depth > _TOUCHING_MM + guest.thickness * math.tan(math.radians(bevel)):
                continue
            both = _taken_back(host, guest, place, outline[run], both, levels[face])
        near, far = both[0, :, :2], both[1, :, :2]
        found.append((face, np.vstack([near, far[::-1]]), (near + far) / 2.0))
    return found


def _taken_back(host: Part, guest: Part, place: Array, run: Array, laid: Array, level: float) -> Array:
    """An edge's lines on the guest's faces, each taken square to itself along its face until it lies in the host's.

    Args:
        host: the part that is landed on.
        guest: the part that lands.
        place: how far this copy of the guest stands from the place that its chart gives.
        run: the edge (n, 2) in the guest's drawing.
        laid: its lines on the outer and the inner face (2, n, 3) in the host's chart.
        level: offset of the host's face.
    """
    steps = np.gradient(run, axis=0)
    inward = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.linalg.norm(steps, axis=1)[:, None]
    sides = np.repeat([guest.thickness / 2.0, -guest.thickness / 2.0], len(run))

    def moved(by: Array) -> Array:
        """Both lines (2, n, 3) in the host's chart, each point moved inward by so much (2, n)."""
        flat = (run + by[:, :, None] * inward).reshape(-1, 2)
        result: Array = host.panel.to_flat(guest.panel.to_space(flat, sides) + place).reshape(laid.shape)
        return result

    rate = (moved(np.ones(laid.shape[:2])) - laid)[:, :, 2]
    steep = np.abs(rate) > _SHALLOWEST
    return moved(np.where(steep, (level - laid[:, :, 2]) / np.where(steep, rate, 1.0), 0.0))


def _bevel_at(guest: Part, index: int, count: int) -> float:
    """Bevel of the edge that holds an outline point; 0 where trim allowances leave the true outline unnumbered."""
    if len(guest.outline) != count:
        return 0.0
    for edge in guest.edges:
        if (index - edge.start) % count < ((edge.stop - edge.start) % count or count):
            return edge.bevel
    return 0.0


def _edge_runs(outline: Array) -> list[NDArray[np.intp]]:
    """Indices of the straight or smooth runs of an outline, split where it turns a corner."""
    steps = np.roll(outline, -1, axis=0) - outline
    headings = np.arctan2(steps[:, 1], steps[:, 0])
    turns = np.abs(np.angle(np.exp(1j * (headings - np.roll(headings, 1)))))
    corners = np.flatnonzero(turns > np.radians(10.0))
    lengths = np.linalg.norm(steps, axis=1)
    runs = []
    for i, start in enumerate(corners):
        count = (corners[(i + 1) % len(corners)] - start) % len(outline) or len(outline)
        run = (start + np.arange(count + 1)) % len(outline)
        if lengths[run[:-1]].sum() > _SHORTEST_MM:
            runs.append(run)
    return runs
