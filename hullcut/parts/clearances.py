"""Whether fin, shaft slot, shaft log, bearers, engine plate and pads keep out of one another's way.

Everything on the centre line and beside it stands upright and fore and aft, so each is told by its shape from the side
and by how far it reaches to port and starboard; two of them are as far apart as the hypotenuse of both gaps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.check import Check, verdict
from hullcut.parts.decks import after_cover, deck_beams
from hullcut.parts.engine import bearers, engine_plate
from hullcut.parts.fin import fin, fin_cleat
from hullcut.parts.fittings import pads, servo_plate, servo_rail, shelf
from hullcut.parts.hatch import hatch_battens
from hullcut.parts.shaft_slot import slot_outline
from hullcut.parts.shell import fin_slot

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["Body", "apart", "bodies_of", "overlap_checks", "shaft_log"]

Array = NDArray[np.float64]

_SOURCE = "the parts' own outlines"


@dataclass(frozen=True, slots=True)
class Body:
    """Something that stands in the boat, as seen from its side.

    Attributes:
        name: in words.
        side: its shape in x and z.
        starboard, port: the least and the greatest y that it reaches.
    """

    name: str
    side: shapely.Polygon
    starboard: float
    port: float


def apart(a: Body, b: Body) -> float:
    """Distance between two bodies, mm; where they overlap, the least that one must move, as a negative number."""
    across = max(a.starboard - b.port, b.starboard - a.port)
    along = _gap(a.side, b.side)
    if across < 0.0 and along < 0.0:
        return max(across, along)
    return math.hypot(max(across, 0.0), max(along, 0.0))


def _gap(a: shapely.Polygon, b: shapely.Polygon) -> float:
    """Distance between two shapes; where they overlap, minus the shorter side of what they share."""
    shared = a.intersection(b)
    if shared.area <= 1e-9:
        return float(a.distance(b))
    box = shapely.get_coordinates(shapely.oriented_envelope(shared))[:3]
    return -float(min(np.linalg.norm(box[1] - box[0]), np.linalg.norm(box[2] - box[1])))


def bodies_of(part: Part) -> tuple[Body, ...]:
    """A part's copies as bodies: as seen from the side, or the convex shape round both faces where they differ."""
    found = []
    for place in part.places:
        points = _faces(part) + np.array(place)
        outer, inner = np.split(points[:, [0, 2]], 2)
        upright = float(np.abs(outer - inner).max()) < 1e-6
        side = shapely.Polygon(outer) if upright else _around(points)
        found.append(Body(part.name, side, float(points[:, 1].min()), float(points[:, 1].max())))
    return tuple(found)


def _around(points: Array) -> shapely.Polygon:
    """The convex shape round points (n, 3) as seen from the side."""
    return shapely.Polygon(shapely.get_coordinates(shapely.MultiPoint(points[:, [0, 2]]).convex_hull))


def _faces(part: Part) -> Array:
    outline = np.array(part.true_outline)
    half = part.thickness / 2.0
    return np.vstack([part.panel.to_space(outline, half), part.panel.to_space(outline, -half)])


def shaft_log(hull: Hull, arrangement: Arrangement) -> Body:
    """The tube of the shaft inside the hull, from the bottom's outer face to the engine plate."""
    shaft = arrangement.shaft
    radius = hull.design.drive.tube_diameter / 2.0
    along = np.array([math.cos(math.radians(shaft.angle)), math.sin(math.radians(shaft.angle))])
    square = radius * np.array([-along[1], along[0]])
    end = np.array([shaft.output_x, shaft.output_z])
    start = np.array([shaft.exit_x, float(hull.bottom_height(np.array([shaft.exit_x]))[0])])
    corners = np.array([start - square, end - square, end + square, start + square])
    return Body("Shaft log", shapely.Polygon(corners), -radius, radius)


def _plate_foot(hull: Hull, plate: Part) -> Body:
    """The engine plate below its shoulders."""
    points = _faces(plate)
    half = hull.design.engine.bearer_gap / 2.0
    foot = points[np.abs(points[:, 1]) <= half]
    return Body("Engine plate's foot", _around(foot), -half, half)


def overlap_checks(hull: Hull, arrangement: Arrangement) -> tuple[Check, ...]:
    """One check for each two things that could stand in one place."""
    bearer_bodies = [body for part in bearers(hull, arrangement) for body in bodies_of(part)]
    plate = engine_plate(hull, arrangement)
    foot = _plate_foot(hull, plate)
    fin_bodies = [*bodies_of(fin(hull, arrangement)), *bodies_of(fin_cleat(hull, arrangement))]
    log = [shaft_log(hull, arrangement)]
    beams = [part for part in deck_beams(hull) if part.id.endswith("-after")]
    covered = [body for part in (*beams, shelf(hull)) for body in bodies_of(part)]
    pad_bodies = [body for part in pads(hull) for body in bodies_of(part)]
    mounts = [
        body for part in (servo_plate(hull, arrangement), servo_rail(hull, arrangement)) for body in bodies_of(part)
    ]
    cover = after_cover(hull)
    over = [*beams, *hatch_battens(hull), *((cover,) if cover is not None else ())]
    return (
        _on_bottom(hull, arrangement),
        _check(
            "Fin's tab clears the engine plate's foot",
            fin_bodies,
            [foot],
            "part them by {}: lower balance.point (the engine goes aft), engine.plate_at, or fin.behind_balance",
        ),
        _check(
            "Shaft log clears the fin's tab and its cleats",
            log,
            fin_bodies,
            "lower fin.tab by {}, or move the fin aft or forward: fin.behind_balance, engine.plate_at",
        ),
        _check("Shaft log clears the bearers", log, bearer_bodies, "widen engine.bearer_gap by twice {}"),
        _check(
            "Fin and its cleats clear the bearers", fin_bodies, bearer_bodies, "widen engine.bearer_gap by twice {}"
        ),
        _check(
            "Bearers clear the chine cleats",
            bearer_bodies,
            _cleats_beside(hull, bearer_bodies[0]),
            "lessen engine.bearer_gap by twice {}",
        ),
        _check(
            "Engine plate clears shelf and after deck beam",
            bodies_of(plate),
            covered,
            "move the engine forward by {} (engine.plate_at), or lessen engine.plate_height or decks.after_to",
        ),
        _check("Strut pad clears the rudder pad", pad_bodies[:1], pad_bodies[1:], "move rudder.offset out by {}"),
        _check(
            "Servo mounts clear sheer cleats, after deck and hatch",
            mounts,
            [*_sheer_cleats_beside(hull, mounts[0]), *(body for part in over for body in bodies_of(part))],
            "lower radio.shelf_height by {}, or make the hull deeper or broader",
        ),
    )


def _cleats_beside(hull: Hull, bearer: Body) -> list[Body]:
    """The chine cleats as far as they run beside a bearer."""
    start, low, stop, _ = bearer.side.bounds
    x = hull.stations(start, stop)
    floor = hull.bottom_height(x, hull.bottom_thickness)
    near = hull.half_breadth(x, floor, hull.side_thickness + hull.design.woods.cleat.thickness)
    side = shapely.box(start, low, stop, float(floor.max()) + hull.design.cleats.chine_height)
    inner, outer = float(near.min()), float(near.max()) + hull.design.woods.cleat.thickness
    return [Body("Chine cleat, port", side, inner, outer), Body("Chine cleat, starboard", side, -outer, -inner)]


def _sheer_cleats_beside(hull: Hull, mount: Body) -> list[Body]:
    """The sheer cleats as far as they run beside a servo mount."""
    start, _, stop, _ = mount.side.bounds
    x = hull.stations(start, stop)
    roof = hull.roof_height(x)
    low = float(roof.min()) - hull.design.cleats.sheer_height
    thick = hull.design.woods.cleat.thickness
    near = hull.half_breadth(x, low, hull.side_thickness + thick)
    side = shapely.box(start, low, stop, float(roof.max()))
    inner, outer = float(near.min()), float(near.max()) + thick
    return [Body("Sheer cleat, port", side, inner, outer), Body("Sheer cleat, starboard", side, -outer, -inner)]


def _on_bottom(hull: Hull, arrangement: Arrangement) -> Check:
    """The two slots in the bottom, in the bottom's own drawing."""
    chart = hull.bottom
    shaft_slot = shapely.Polygon(chart.to_flat(slot_outline(hull, arrangement))[:, :2])
    tab = shapely.Polygon(chart.to_flat(fin_slot(hull, arrangement))[:, :2])
    gap = _gap(shaft_slot, tab)
    remedy = "move the propeller nearer (drive.propeller_behind) or the fin forward (fin.behind_balance)"
    return _told("Shaft slot clears the fin", gap, f"the two slots meet: {remedy}")


def _check(name: str, these: Sequence[Body], those: Sequence[Body], remedy: str) -> Check:
    """A check of the nearest two of two groups; the remedy's braces stand for how far they are into each other."""
    pairs = [(apart(a, b), a, b) for a in these for b in those]
    if not pairs:
        return Check(name, "ok", None, 0.0, "mm", _SOURCE, "")
    gap, a, b = min(pairs, key=lambda pair: pair[0])
    return _told(name, gap, f"{a.name} and {b.name} overlap: {remedy.format(f'{-gap:.0f} mm')}")


def _told(name: str, gap: float, advice: str) -> Check:
    status = verdict(gap >= 0.0)
    return Check(name, status, gap, 0.0, "mm", _SOURCE, "" if status == "ok" else advice)
