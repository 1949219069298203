"""Where one part lands on the face of another, found from both charts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.crown import CrownPanel
from hullcut.parts.outline import as_points

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.parts.values import Part, Point

__all__ = ["Landing", "landings"]

Array = NDArray[np.float64]

# A bevelled or planed edge may stand this far off the face that it lands on, mm.
_TOUCHING_MM = 1.2
# Sides and cleats together are seldom broader than this, mm.
_PLANED_MM = 30.0
_SMALLEST_MM2 = 20.0
# Narrower prints are where bevelled edges cross as sawn, not where parts meet.
_NARROWEST_MM = 1.5
# An edge that meets a face at less than this sine is not taken back along its part.
_SHALLOWEST = 0.1
_SHORTEST_MM = 5.0

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


def landings(parts: Sequence[Part]) -> dict[str, tuple[Landing, ...]]:
    """Every print on the faces of the parts that others land on, by the host's id, guests in the order given."""
    boxes = {part.id: _box(part) for part in parts}
    found = {}
    for host in parts:
        wanted = _GUESTS.get(host.family, ())
        within = shapely.Polygon(host.true_outline)
        prints: list[Landing] = []
        for guest in parts:
            if guest.id == host.id or guest.family not in wanted:
                continue
            for place in guest.places:
                low, high = boxes[guest.id] + np.array(place)
                if np.any(low > boxes[host.id][1] + 2.0) or np.any(boxes[host.id][0] > high + 2.0):
                    continue
                prints += _prints(host, within, guest, np.array(place))
        found[host.id] = tuple(prints)
    return found


def _box(part: Part) -> Array:
    outline = np.array(part.true_outline)
    half = part.thickness / 2.0
    points = np.vstack([part.panel.to_space(outline, half), part.panel.to_space(outline, -half)])
    return np.array([points.min(axis=0), points.max(axis=0)])


def _prints(host: Part, within: shapely.Polygon, guest: Part, place: Array) -> list[Landing]:
    outline = np.array(guest.true_outline)
    half = guest.thickness / 2.0
    points = np.vstack([guest.panel.to_space(outline, half), guest.panel.to_space(outline, -half)]) + place
    laid = host.panel.to_flat(points)
    faces = (laid[: len(outline)], laid[len(outline) :])
    found = []
    for face, ring, middle in _face_prints(host, faces) or _edge_prints(host, guest, place, faces):
        shape = shapely.Polygon(ring).buffer(0.0).intersection(within)
        for piece in shapely.get_parts(shape):
            if piece.geom_type != "Polygon" or piece.area < _SMALLEST_MM2:
                continue
            if piece.buffer(-_NARROWEST_MM / 2.0).is_empty:
                continue
            corners = shapely.get_coordinates(shapely.remove_repeated_points(piece.exterior, 1e-6))[:-1]
            inside = shapely.LineString(middle).intersection(piece)
            line = shapely.get_coordinates(inside) if inside.geom_type == "LineString" else np.zeros((0, 2))
            found.append(
                Landing(host.id, guest.id, guest.name, guest.family, face, as_points(corners), as_points(line))
            )
    return found


Print = tuple[Literal["inner", "outer"], Array, Array]


def _face_of(host: Part, offsets: Array) -> Literal["inner", "outer"] | None:
    half = host.thickness / 2.0
    if float(np.abs(offsets + half).max()) < _touching(host):
        return "inner"
    if float(np.abs(offsets - half).max()) < _touching(host):
        return "outer"
    return None


def _off_the_faces(host: Part, offsets: Array) -> float:
    """How far a line lies off the nearer face of a host, where it is farthest."""
    half = host.thickness / 2.0
    return float(min(np.abs(offsets + half).max(), np.abs(offsets - half).max()))


def _touching(host: Part) -> float:
    """How far off a face an edge may stand that lands on it; under a crown, sides and cleats are planed down to it."""
    return _TOUCHING_MM + (_PLANED_MM * math.tan(host.panel.crown.slope) if isinstance(host.panel, CrownPanel) else 0.0)


def _face_prints(host: Part, faces: tuple[Array, Array]) -> list[Print]:
    """The guest's whole face where it lies on the host."""
    for laid in faces:
        face = _face_of(host, laid[:, 2])
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
    crossing = np.atleast_1d(np.asarray(shapely.intersection(across, polygon)))
    middles = np.array([shapely.get_coordinates(each).mean(axis=0) for each in crossing if not each.is_empty])
    return middles if len(middles) > 1 else np.array([ring.mean(axis=0), ring.mean(axis=0) + unit])


def _edge_prints(host: Part, guest: Part, place: Array, faces: tuple[Array, Array]) -> list[Print]:
    """Edges of the guest that stand on the host.

    A bevelled edge is sawn on its long face, so that as sawn only one of its lines meets the host; both are taken
    along the guest to where the bevel leaves them.
    """
    found: list[Print] = []
    outline = np.array(guest.true_outline)
    half = guest.thickness / 2.0
    for run in _edge_runs(outline):
        near, far = faces[0][run], faces[1][run]
        # On a thin host the line that does not meet it may lie at its other face by chance: the closer one counts.
        face = _face_of(host, min((near[:, 2], far[:, 2]), key=lambda offsets: _off_the_faces(host, offsets)))
        if face is None:
            continue
        level = host.thickness / 2.0 if face == "outer" else -host.thickness / 2.0
        proud = float(np.abs(np.concatenate([near[:, 2], far[:, 2]]) - level).max())
        if proud > _touching(host):
            bevel = _bevel_at(guest, int(run[(len(run) - 1) // 2]), len(outline))
            if proud > _TOUCHING_MM + guest.thickness * np.tan(np.radians(bevel)):
                continue
            near = _taken_back(host, guest, place, outline[run], half, near, level)
            far = _taken_back(host, guest, place, outline[run], -half, far, level)
        found.append((face, np.vstack([near[:, :2], far[::-1, :2]]), (near[:, :2] + far[:, :2]) / 2.0))
    return found


def _taken_back(host: Part, guest: Part, place: Array, run: Array, side: float, laid: Array, level: float) -> Array:
    """A line on one of the guest's faces, taken square to itself along that face until it lies in the host's face.

    Args:
        host: the part that is landed on.
        guest: the part that lands.
        place: how far this copy of the guest stands from the place that its chart gives.
        run: the line (n, 2) in the guest's drawing.
        side: offset of the guest's face.
        laid: the line (n, 3) in the host's chart.
        level: offset of the host's face.
    """
    steps = np.gradient(run, axis=0)
    inward = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.linalg.norm(steps, axis=1)[:, None]
    beside = host.panel.to_flat(guest.panel.to_space(run + inward, side) + place)
    rate = beside[:, 2] - laid[:, 2]
    steep = np.abs(rate) > _SHALLOWEST
    back = np.where(steep, (level - laid[:, 2]) / np.where(steep, rate, 1.0), 0.0)
    return host.panel.to_flat(guest.panel.to_space(run + back[:, None] * inward, side) + place)


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
