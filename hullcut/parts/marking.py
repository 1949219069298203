"""Marks on the parts: centre lines, stations, where the next part lands, screws, slots, balance point, grain, name."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from typing import TYPE_CHECKING, cast

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.crown import CrownPanel
from hullcut.parts.draft import add_marks, rulings_of
from hullcut.parts.drains import bulkhead_drain
from hullcut.parts.fittings import bolt_reach
from hullcut.parts.frames import line
from hullcut.parts.landings import Landing, grounds
from hullcut.parts.lie import towards_reader
from hullcut.parts.outline import as_points, outline_area
from hullcut.parts.radio_places import STRAP_HOLE, shelf_places
from hullcut.parts.screws import screw_rows
from hullcut.parts.screws_apart import kept_apart
from hullcut.parts.shaft_slot import slot_outline
from hullcut.parts.values import Mark
from hullcut.two_hands import share_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.screws import ScrewRow
    from hullcut.parts.values import Part, Ruling

__all__ = ["BOLT_HOLE", "mark_parts", "station_pitch"]

Array = NDArray[np.float64]

_FACE_WORDS = {
    "side": "this face in",
    "bottom": "this face in (up)",
    "transom": "this face in (forward)",
    "deck": "this face out (up)",
    "hatch": "this face out (up)",
    "nose_block": "this face up",
    "shelf": "this face up",
    "windscreen": "this face out (forward)",
    "bulkhead": "this face forward",
    "deck_beam": "this face forward",
    "engine_plate": "this face forward",
    "pad": "this face forward",
    "bearer": "this face in",
    "knee": "this face up",
    "servo_mount": "this face up",
}
# How long the families take to mark, bottoms first: many parts land on them, or their rulings are many.
_LOAD = {"bottom": 8.0, "side": 4.0, "deck": 4.0, "hatch": 4.0, "cleat": 1.0}
_OTHER_LOAD = 0.3


def station_pitch(units: str) -> float:
    """Distance between stations, mm: 4 in, or 100 mm in a metric design."""
    return 101.6 if units == "in" else 100.0


def mark_parts(hull: Hull, arrangement: Arrangement, parts: Sequence[Part]) -> tuple[Part, ...]:
    """Every part with its marks, and where it is bent with its rulings."""
    ground = grounds(parts)
    named = {part.id: part for part in parts}

    def marked(part: Part) -> _Marked:
        prints = ground.landings_on(part)
        drawn = [
            *_lettering(part),
            *_centre_line(part),
            *_stations(hull, part),
            *_landing_marks(prints),
        ]
        rows = screw_rows(hull.design, part, prints, named)
        return _Marked(rulings_of(part), drawn, rows, _placed_marks(hull, arrangement, part))

    weights = [_LOAD.get(part.family, _OTHER_LOAD) for part in parts]
    found = share_out([partial(marked, part) for part in parts], weights)
    # Only now are all screws known: those of two parts may meet in a third.
    rows = iter(kept_apart(hull.design, [row for each in found for row in each.rows], named))
    screws = [[mark for row in islice(rows, len(each.rows)) for mark in row.marks()] for each in found]
    return tuple(
        add_marks(replace(part, rulings=each.rulings), [*each.drawn, *driven, *each.placed])
        for part, each, driven in zip(parts, found, screws, strict=True)
    )


@dataclass(frozen=True, slots=True)
class _Marked:
    """What one part bears, before anything is known of the screws through other parts.

    Attributes:
        rulings: of the part.
        drawn: marks before the screws.
        rows: of screws, evenly laid.
        placed: marks after the screws.
    """

    rulings: tuple[Ruling, ...]
    drawn: list[Mark]
    rows: list[ScrewRow]
    placed: list[Mark]


def _face_words(part: Part, at: tuple[float, float]) -> str | None:
    """Which way the drawn face looks in the boat, where it matters."""
    if part.id.endswith("bow-transom"):
        return "this face in (aft)"
    if part.id.endswith("stem-block"):
        return "this face to port" if towards_reader(part, at)[1] > 0.0 else "this face to starboard"
    if part.family == "cleat" and any(edge.bevels for edge in part.edges):
        along, across, _ = towards_reader(part, at)
        if abs(across) > abs(along):
            return "this face in"
        return "this face forward" if along > 0.0 else "this face aft"
    return _FACE_WORDS.get(part.family)


def _lettering(part: Part) -> list[Mark]:
    polygon = outline_area(part.outline, part.holes)
    x, y, radius = _roomiest(polygon)
    found = [Mark("name", part.name, "both", ((x, y),), None)]
    words = _face_words(part, (x, y))
    if words is not None:
        found.append(Mark("face", words, "both", ((x, y),), None))
    if part.grain != "any":
        along = part.grain == "along"
        reach = 0.3 * (part.finished_length if along else part.finished_width)
        arrow = _within(polygon, x, y, reach, along, radius)
        found.append(Mark("grain", "grain", "both", arrow, None))
    return found


def _roomiest(polygon: shapely.Polygon) -> tuple[float, float, float]:
    """Where a part has most room for lettering, and how far from its edge; in the middle where that is as good."""
    # Corner by corner along a smooth curve the search takes ten times as long.
    circle = shapely.maximum_inscribed_circle(cast("shapely.Polygon", polygon.simplify(0.5)), tolerance=2.0)
    (x, y), (edge_x, edge_y) = circle.coords[0], circle.coords[-1]
    radius = float(np.hypot(edge_x - x, edge_y - y))
    middle = polygon.centroid
    room = float(polygon.exterior.distance(middle)) if polygon.contains(middle) else 0.0
    room = min([room, *(float(hole.distance(middle)) for hole in polygon.interiors)])
    return (float(middle.x), float(middle.y), room) if room >= 0.95 * radius else (x, y, radius)


def _within(
    polygon: shapely.Polygon, x: float, y: float, reach: float, along: bool, radius: float
) -> tuple[tuple[float, float], ...]:
    """A straight arrow through a point, along x or y, kept inside the part."""
    step = (1.0, 0.0) if along else (0.0, 1.0)
    half = max(min(reach, 80.0), 0.5 * radius)
    while True:
        ends = ((x - half * step[0], y - half * step[1]), (x + half * step[0], y + half * step[1]))
        if half <= 0.5 * radius or polygon.covers(shapely.LineString(ends)):
            return ends
        half *= 0.7


def _centre_line(part: Part) -> list[Mark]:
    """The trace of the plane y = 0 on a part that it cuts in two."""
    if part.hand is not None or len(part.places) > 1:
        return []
    space = part.panel.to_space(np.array(part.true_outline), 0.0)
    if space[:, 1].min() > -1.0 or space[:, 1].max() < 1.0 or np.ptp(space[:, 1]) < 3.0 * part.thickness:
        return []
    box = np.array(part.true_outline)
    if isinstance(part.panel, FlatPanel) and part.panel.x_axis[1] != 0.0:
        x = float(part.panel.to_flat(np.array([[0.0, 0.0, 0.0]]))[0, 0])
        ends = np.array([[x, box[:, 1].min() - 1.0], [x, box[:, 1].max() + 1.0]])
    else:
        y = float(part.panel.to_flat(np.array([[space[:, 0].mean(), 0.0, space[:, 2].mean()]]))[0, 1])
        ends = np.array([[box[:, 0].min() - 1.0, y], [box[:, 0].max() + 1.0, y]])
    polygon = outline_area(part.true_outline, part.holes)
    pieces = shapely.get_parts(shapely.LineString(ends).intersection(polygon))
    return [Mark("centre line", "centre line", "both", as_points(shapely.get_coordinates(each))) for each in pieces]


def _stations(hull: Hull, part: Part) -> list[Mark]:
    """Lines square across the boat, every 4 in or 100 mm from the transom."""
    if part.family not in ("side", "bottom", "deck", "hatch"):
        return []
    pitch = station_pitch(hull.design.units)
    space = part.panel.to_space(np.array(part.true_outline), 0.0)
    low, high = space[:, 0].min(), space[:, 0].max()
    polygon = outline_area(part.true_outline, part.holes)
    found = []
    for number in range(1, int(high / pitch) + 1):
        x = number * pitch
        if x <= low + 2.0 or x >= high - 2.0:
            continue
        points = _trace(hull, part, x)
        inside = shapely.LineString(part.panel.to_flat(points)[:, :2]).intersection(polygon)
        pieces = [
            piece for piece in shapely.get_parts(inside) if piece.geom_type == "LineString" and piece.length > 1.0
        ]
        found += [Mark("station", f"{number}", "both", as_points(shapely.get_coordinates(piece))) for piece in pieces]
    return found


def _trace(hull: Hull, part: Part, x: float) -> Array:
    """A line across a part's middle at x, reaching past its edges (n, 3)."""
    if part.family == "side":
        side = 1.0 if part.hand == "port" else -1.0
        z = np.linspace(-2.0, hull.depth + hull.design.hull.sheer_rise + 2.0, 9)
        return line(x, side * hull.half_breadth(np.full(9, x), z, hull.side_thickness), z)
    y = np.array([-hull.design.hull.beam, hull.design.hull.beam])
    if part.family == "bottom":
        return line(x, y, float(hull.bottom_height(np.array([x]), hull.bottom_thickness)[0]))
    if isinstance(part.panel, CrownPanel):
        flat = np.linspace(-hull.design.hull.beam, hull.design.hull.beam, 3)
        ends = part.panel.to_flat(np.array([[x, 0.0, hull.depth]]))[:, :2] + np.column_stack([np.zeros(3), flat])
        return part.panel.to_space(ends, 0.0)
    return line(x, y, float(hull.roof_height(x)[0]))


def _landing_marks(prints: Sequence[Landing]) -> list[Mark]:
    return [Mark("landing", each.name, each.face, (*each.outline, each.outline[0])) for each in prints]


def _placed_marks(hull: Hull, arrangement: Arrangement, part: Part) -> list[Mark]:
    """Marks that the arrangement decides."""
    if part.family == "bottom":
        return _bottom_marks(hull, arrangement, part)
    if part.family == "side":
        return _balance_mark(hull, arrangement, part)
    if part.family == "bulkhead":
        hole = bulkhead_drain(hull)
        spot = np.array([[hull.design.decks.fore_from, hole.y, hole.z]])
        return [Mark("hole", "drain hole", "both", as_points(part.panel.to_flat(spot)[:, :2]), hole.diameter)]
    if part.family == "engine_plate":
        output = np.array([[arrangement.plate_x, 0.0, arrangement.shaft.output_z]])
        return [Mark("shaft", "centre of the engine's output", "both", as_points(part.panel.to_flat(output)[:, :2]))]
    if part.family in ("pad", "transom") and not part.id.endswith("bow-transom"):
        return _bolt_marks(hull, part)
    if part.family == "shelf":
        return [_radio_box(hull, arrangement, part), *_shelf_holes(hull, arrangement, part)]
    if part.family == "stand" and part.id.endswith("-rail"):
        x, z = arrangement.balance_x, -hull.design.stand.height
        points = part.panel.to_flat(line(x, 0.0, np.array([z, z + 12.0])))[:, :2]
        return [Mark("balance point", "balance point", "both", as_points(points))]
    return []


def _bottom_marks(hull: Hull, arrangement: Arrangement, part: Part) -> list[Mark]:
    shaft = arrangement.shaft
    ring = part.panel.to_flat(slot_outline(hull, arrangement))[:, :2]
    slot = as_points(np.vstack([ring, ring[:1]]))
    exit_at = line(shaft.exit_x, 0.0, hull.bottom_height(np.array([shaft.exit_x])))
    found = [
        Mark("slot", "shaft slot: saw it only after trying the engine in place", "inner", slot),
        Mark("shaft", "shaft leaves here", "outer", as_points(part.panel.to_flat(exit_at)[:, :2])),
    ]
    balance = arrangement.balance_x
    reach = hull.design.hull.beam
    z_balance = float(hull.bottom_height(np.array([balance]), hull.bottom_thickness)[0])
    across = part.panel.to_flat(line(balance, np.array([-reach, reach]), z_balance))[:, :2]
    inside = shapely.LineString(across).intersection(outline_area(part.true_outline))
    found.append(Mark("balance point", "balance point", "both", as_points(shapely.get_coordinates(inside)[[0, -1]])))
    return found


def _balance_mark(hull: Hull, arrangement: Arrangement, part: Part) -> list[Mark]:
    points = part.panel.to_flat(_trace(hull, part, arrangement.balance_x))[:, :2]
    inside = shapely.LineString(points).intersection(outline_area(part.true_outline))
    return [Mark("balance point", "balance point", "both", as_points(shapely.get_coordinates(inside)))]


def _bolt_marks(hull: Hull, part: Part) -> list[Mark]:
    """Four bolts for the strut's bracket and four for the rudder's, a quarter in from the pads' edges."""
    rudder = hull.design.rudder
    across, up = bolt_reach(hull.design)
    plane = hull.transom_inside
    floor = plane.up(hull.foot_of(plane, hull.bottom_thickness)[1])
    middle = floor + hull.design.cleats.transom_height + rudder.pad_height / 2.0
    board = plane.panel(0.0, faces_aft=True)
    found = []
    for slug, name, y in (("strut-pad", "strut", 0.0), ("rudder-pad", "rudder", rudder.offset)):
        if part.family == "pad" and not part.id.endswith(slug):
            continue
        for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            spot = np.array([[y + i * across, middle + j * up]])
            at = board.to_space(spot, 0.0)
            words = f"{name} bolt: move to suit the bracket"
            found.append(Mark("hole", words, "both", as_points(part.panel.to_flat(at)[:, :2]), BOLT_HOLE))
    return found


BOLT_HOLE = 4.3
"""Diameter of the hole for a bolt of 4 mm or number 8 with a little play, mm."""


def _radio_box(hull: Hull, arrangement: Arrangement, part: Part) -> Mark:
    radio = hull.design.radio
    x = radio.shelf_from + radio.shelf_length / 2.0 + radio.box_length / 2.0 * np.array([-1, 1, 1, -1, -1])
    y = arrangement.box_y + radio.box_width / 2.0 * np.array([-1, -1, 1, 1, -1])
    points = part.panel.to_flat(line(x, y, radio.shelf_height))[:, :2]
    points = np.clip(points, 0.0, [part.finished_length, part.finished_width])
    return Mark("landing", "radio box", "outer", as_points(points))


def _shelf_holes(hull: Hull, arrangement: Arrangement, part: Part) -> list[Mark]:
    """The straps' holes, and the aerial's: that is as wide as the tube that is bought."""
    places = shelf_places(hull, arrangement, part)
    drilled = [*((spot, "strap", STRAP_HOLE) for spot in places.straps), (places.aerial, "aerial's tube", None)]
    found = []
    for spot, name, wide in drilled:
        at = part.panel.to_flat(np.array([[spot.x, spot.y, hull.design.radio.shelf_height]]))[:, :2]
        found.append(Mark("hole", name, "both", as_points(at), wide))
    return found
