"""Close pictures of the drive, cut along the middle of the boat: the engine on its plate; the strut and what it holds.

Wood, bolts, rod and tube stand where the geometry has them. Engine, strut, brackets, rudder and propeller are bought
or saved from a tool: of these only the places are known, so they are drawn as plain shapes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.balance.engine_room import MUFFLER_FREE, SHIELD_OFF, SWITCH_BELOW, engine_room
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.paths import bounds_of, circle, line, polygon, polyline, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.picture_words import END_SIZE, hatching, words_beside
from hullcut.packet.places import bolt_holes, tube
from hullcut.parts.clearances import bodies_of
from hullcut.parts.engine import bearer_top

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio
    from hullcut.parts.values import Part

__all__ = ["engine_bay", "engine_from_astern", "strut_and_rudder"]

Array = NDArray[np.float64]

_WOOD, _BEYOND, _METAL, _BOX = "#e4e4e4", "#f6f6f6", "#b9c4cf", "#ffffff"
_LINE, _FINE = 0.3, 0.18
# What a bolt's head and nut are drawn thick, a washer thick, and both wide, mm on the boat.
_HEAD, _WASHER, _NUT_WIDE, _WASHER_WIDE, _BOLT = 4.0, 1.6, 8.0, 11.0, 4.0
# Plain shapes of what is bought, mm on the boat.
_ARM, _BEARING, _BRACKET = 9.0, 16.0, 3.0
_STEEL = 2.5
# Height of the figures of distances, mm on paper.
_SMALL = 2.2


@dataclass
class _Section:
    """A drawing seen square to a plane of the boat, at a scale.

    Attributes:
        corner: what lies at 0, 0 of the paper, mm on the boat.
        scale: paper over boat.
        items: drawn so far.
    """

    corner: Point
    scale: float
    items: list[Item] = field(default_factory=list)

    def at(self, x: float, z: float) -> Point:
        """A place on paper."""
        return ((x - self.corner[0]) * self.scale, (z - self.corner[1]) * self.scale)

    def area(self, points: Sequence[Point] | Array, fill: str, role: Role = Role.OUTLINE, width: float = _LINE) -> None:
        """A filled outline."""
        ring = tuple(self.at(float(x), float(z)) for x, z in points)
        self._put(Shape(role, (polygon(ring),), fill=fill, width=width))

    def _put(self, shape: Shape) -> None:
        """A shape, hatched where it is new; what is drawn later hides the hatching too."""
        self.items += [shape, *hatching([shape])]

    def shape(self, shape: BaseGeometry, fill: str, window: BaseGeometry) -> None:
        """As much of a shape as lies in a window."""
        for piece in shapely.get_parts(shapely.intersection(shape, window)):
            if piece.geom_type == "Polygon":
                self.area(shapely.get_coordinates(piece.exterior)[:-1], fill)

    def ring(self, x: float, z: float, radius: float, fill: str | None, width: float = _LINE) -> None:
        """A circle."""
        self._put(Shape(Role.OUTLINE, (circle(self.at(x, z), radius * self.scale),), fill=fill, width=width))

    def stroke(self, start: Point, end: Point, role: Role, width: float | None = None) -> None:
        """A line."""
        self.items.append(Shape(role, (line(self.at(*start), self.at(*end)),), width=width))


@dataclass(frozen=True, slots=True)
class _Way:
    """A straight line in a section, by a point of it and its direction.

    Attributes:
        start: the point, mm.
        along: unit vector.
    """

    start: Point
    along: Point

    @property
    def aside(self) -> Point:
        """Unit vector upward and square to the line, for one that runs aft."""
        return (-abs(self.along[1]), abs(self.along[0])) if self.along[0] < 0.0 else (-self.along[1], self.along[0])

    def to(self, far: float, aside: float = 0.0) -> Point:
        """The point so far along the line, and so far beside it."""
        (x, z), (dx, dz), (ax, az) = self.start, self.along, self.aside
        return (x + far * dx + aside * ax, z + far * dz + aside * az)

    def slab(self, begin: float, end: float, low: float, high: float) -> list[Point]:
        """The oblong between two places along the line and two beside it."""
        return [self.to(begin, low), self.to(end, low), self.to(end, high), self.to(begin, high)]


def _bolt(section: _Section, way: _Way, begin: float, end: float) -> None:
    """A bolt along a line: its head before `begin`, washer and nut after `end`, and some thread beyond."""
    half = _BOLT / 2.0
    section.area(way.slab(begin, end + _WASHER + _HEAD + 3.0, -half, half), _METAL, width=_FINE)
    section.area(way.slab(begin - _HEAD, begin, -_NUT_WIDE / 2.0, _NUT_WIDE / 2.0), _METAL, width=_FINE)
    section.area(way.slab(end, end + _WASHER, -_WASHER_WIDE / 2.0, _WASHER_WIDE / 2.0), _BOX, width=_FINE)
    nut = end + _WASHER
    section.area(way.slab(nut, nut + _HEAD, -_NUT_WIDE / 2.0, _NUT_WIDE / 2.0), _METAL, width=_FINE)


def _rod(plan: BoatPlan) -> _Way:
    """The shaft's line from the middle of the plate's after face, aft and down."""
    shaft = plan.arrangement.shaft
    steep = math.radians(shaft.angle)
    return _Way((shaft.output_x, shaft.output_z), (-math.cos(steep), -math.sin(steep)))


def _bottom(plan: BoatPlan, start: float, stop: float) -> BaseGeometry:
    """The bottom cut along the middle, without the shaft's slot."""
    shaft, hull = plan.arrangement.shaft, plan.hull
    x = np.linspace(max(start, hull.foot_of(hull.transom, 0.0)[0]), stop, 40)
    low, high = hull.bottom_height(x), hull.bottom_height(x, hull.bottom_thickness)
    whole = shapely.Polygon(np.column_stack([np.append(x, x[::-1]), np.append(low, high[::-1])]))
    return whole.difference(shapely.box(shaft.slot_from, -1e3, shaft.slot_to, 1e3))


def _under_floor(plan: BoatPlan, window: shapely.Polygon) -> shapely.Polygon:
    """What lies below the bottom's inner face in a window."""
    x = np.linspace(window.bounds[0], window.bounds[2], 40)
    floor = plan.hull.bottom_height(x, plan.hull.bottom_thickness)
    return shapely.Polygon([*zip(x.tolist(), floor.tolist(), strict=True), (x[-1], -1e3), (x[0], -1e3)])


def _named(plan: BoatPlan, *slugs: str) -> list[Part]:
    return [part for part in plan.parts if part.id.removeprefix(f"{part.design}-") in slugs]


def _finished(title: str, items: list[Item], width: float) -> Scene:
    x0, y0, x1, y1 = bounds_of(items)
    factor = min(1.0, width / (x1 - x0))
    if factor < 1.0:
        items = [transform(item, scale=factor) for item in items]
        x0, y0, x1, y1 = (factor * value for value in (x0, y0, x1, y1))
    return Scene(title, x0 - 0.3, y0 - 1.0, x1 + 0.3, y1 + 1.0, tuple(items))


def _with_names(
    title: str, section: _Section, names: Sequence[tuple[str, Point]], width: float, over: float = 12.0
) -> Scene:
    """The section with names on free ground round it, each with a leader."""
    drawn = section.items
    _, y0, _, y1 = bounds_of(drawn)
    placed = [(word, section.at(*at)) for word, at in names]
    words = words_beside(drawn, [], placed, (0.5, y0 - over, width - 0.5, y1 + over))
    return _finished(title, [*drawn, *words], width)


def _engine_box(plan: BoatPlan) -> tuple[float, float, float]:
    """How far ahead of the plate's fore face the engine's box reaches, and its lower and upper side from the rod, mm.

    Only the weight's middle is known: the box has it in its own middle, and keeps off the bottom.
    """
    engine, rod = plan.design.engine, _rod(plan)
    wood = plan.design.woods.engine_plate.thickness
    x, z = plan.arrangement.plate_x + wood + engine.centre_ahead, engine.centre_height
    dx, dz = x - rod.start[0], z - rod.start[1]
    middle = dx * rod.aside[0] + dz * rod.aside[1]
    # Its lowest corner is the fore one's foot or the after one's, as the bottom lies.
    foot = rod.start[1] - plan.design.woods.bottom.thickness - 6.0
    half = max(12.0, min(48.0, middle + foot * rod.aside[1]))
    return 2.0 * engine.centre_ahead, middle - half, middle + half


def _bolt_rows(plan: BoatPlan) -> tuple[float, ...]:
    """How far over the rod the engine's bolts go through the plate, mm.

    One just over the bore where the holes are marked from the engine itself.
    """
    engine = plan.design.engine
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return (engine.housing_bore / 2.0 + 8.0,)
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    rows = {round(engine.bolt_circle / 2.0 * float(np.sin(angle)), 2) for angle in angles}
    return tuple(sorted(rows, reverse=True))


def _shoulder(plan: BoatPlan) -> float:
    """How far over the rod the bearers' upper edges run, mm."""
    rod = _rod(plan)
    x = np.array([rod.start[0]])
    return (float(bearer_top(plan.hull, plan.arrangement, x)[0]) - rod.start[1]) * rod.aside[1]


def engine_bay(studio: Studio, width: float, height: float, trying: bool = False) -> Scene:
    """The engine on its plate, cut along the shaft line, with the names of all that stands there.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
        trying: whether a dummy rod lies in the shaft's place, without the collar, and the coupling is lined up.
    """
    plan = studio.plan
    design, shaft, log = plan.design, plan.arrangement.shaft, tube(plan)
    rod = _rod(plan)
    wood, bore = design.woods.engine_plate.thickness, design.engine.housing_bore / 2.0
    bearer = bodies_of(_named(plan, "bearer-port")[0])[0].side
    plate = bodies_of(_named(plan, "engine-plate")[0])[0].side
    ahead, foot, head = _engine_box(plan)
    start, stop = shaft.output_x - log.abaft_plate - 70.0, shaft.output_x + wood + ahead + 22.0
    section = _Section((start, 0.0), width / (stop - start))
    window = shapely.box(start, -1e3, stop, 1e3)
    section.shape(_bottom(plan, start, stop), _WOOD, window)
    section.shape(bearer, _BEYOND, window)
    corner = _shoulder(plan)
    section.area(rod.slab(0.0, 36.0, corner - 27.0, corner + 24.0), _METAL, width=_FINE)
    section.area(rod.slab(-wood - ahead, -wood, foot, head), _BOX)
    # Its lower part hangs between the bearers: the edge of the one behind it is dashed.
    ends = [rod.to(-wood, corner), rod.to(-wood - ahead, corner)]
    section.stroke(ends[0], (min(ends[1][0], bearer.bounds[2]), _on_line(ends, bearer.bounds[2])), Role.HIDDEN, _FINE)
    passage = shapely.Polygon(rod.slab(-2.0 * wood, 2.0 * wood, -bore, bore))
    # The foot is planed to the bottom's inner face.
    section.shape(
        shapely.difference(plate, passage),
        _WOOD if trying else NEW.colour,
        shapely.difference(window, _under_floor(plan, window)),
    )
    section.area(rod.slab(-wood, 3.0, -0.9 * bore, 0.9 * bore), _BOX, width=_FINE)
    section.area(rod.slab(0.0, _STEEL, corner + 3.0, corner + 24.0), _METAL, width=_FINE)
    rows = _bolt_rows(plan)
    for up in rows:
        _bolt(section, _Way(rod.to(0.0, up), rod.along), -wood - 4.0, 0.0)
    through = corner + 17.0
    # It stands abeam of the bore: where both would be drawn in one place, the bracket's bolt is left out.
    if through > bore + _NUT_WIDE and min(abs(through - up) for up in rows) > _WASHER_WIDE:
        _bolt(section, _Way(rod.to(0.0, through), rod.along), -wood, _STEEL)
    _log_and_coupling(section, plan, trying)
    pin = rod.to(26.0, min(corner - 10.0, -13.0))
    section.ring(*pin, _NUT_WIDE / 2.0, _BOX, _FINE)
    section.ring(*pin, _BOLT / 2.0, _METAL, _FINE)
    far = bearer.bounds[2] - 0.12 * (bearer.bounds[2] - bearer.bounds[0])
    at_bottom = 0.5 * (start + shaft.output_x)
    names = [
        ("bottom", (at_bottom, float(plan.hull.bottom_height(np.array([at_bottom]))[0]) + 2.0)),
        ("bolt through bearer", pin),
        ("clutch, in the bore", rod.to(-wood / 2.0, -0.6 * bore)),
        ("tube", rod.to(log.abaft_plate + 28.0, 0.42 * design.drive.tube_diameter)),
        ("shaft", rod.to(log.abaft_plate + 52.0, 0.0)),
        ("steel bracket", rod.to(28.0, corner + 18.0)),
        ("collar and washer", rod.to(log.abaft_plate - 3.0, 4.0)),
        ("coupling", rod.to(0.45 * log.abaft_plate, 5.0)),
        ("bolt, washer, lock nut", rod.to(_WASHER + _HEAD, rows[0])),
        ("engine plate", rod.to(-wood / 2.0, 0.5 * (bore + _plate_head(plan)) + 6.0)),
        ("engine: a plain box here", rod.to(-wood - 0.75 * ahead, 0.7 * head)),
        ("bearer", (min(far, stop - 12.0), _height_in(bearer, min(far, stop - 12.0)))),
    ]
    if trying:
        dry = {"shaft": "dummy rod", "tube": "tube, in epoxy"}
        kept = ("bottom", "tube", "shaft", "engine plate", "engine: a plain box here")
        gap = ("gap alike all round", rod.to(0.5 * (log.abaft_plate - 5.0), 0.42 * design.drive.tube_diameter + 3.0))
        names = [gap, *((dry.get(word, word), place) for word, place in names if word in kept)]
        names.append(("coupling", rod.to(log.abaft_plate - 11.5, -0.42 * design.drive.tube_diameter - 2.0)))
    return _with_names("The engine bay, cut along the shaft", section, names, width)


def engine_from_astern(studio: Studio, width: float, height: float) -> Scene:
    """The engine plate on its bearers, the boat cut across there, with brackets, muffler and heat shield.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    design, hull, place = plan.design, plan.hull, plan.arrangement
    engine, rod = design.engine, _rod(plan)
    x = np.array([place.plate_x])
    floor, roof = float(hull.bottom_height(x)[0]), float(hull.sheer_height(x)[0])
    inner = float(hull.bottom_height(x, hull.bottom_thickness)[0])
    heights = np.linspace(floor, roof, 8)
    across = np.full(8, place.plate_x)
    outside = hull.half_breadth(across, heights)
    inside = hull.half_breadth(across, np.maximum(heights, inner), hull.side_thickness)
    half = float(outside.max())
    # Room for the measures on either hand.
    section = _Section((-half, floor), (width - 20.0) / (2.0 * half))
    low = float(hull.half_breadth(x, floor)[0])
    section.area([(-low, floor), (low, floor), (low, inner), (-low, inner)], _WOOD)
    for side in (1.0, -1.0):
        planking = [*zip(side * outside, heights, strict=True), *zip(side * inside[::-1], heights[::-1], strict=True)]
        section.area(np.array(planking), _WOOD)
    shoulder = rod.to(0.0, _shoulder(plan))[1]
    gap, thick = engine.bearer_gap / 2.0, design.woods.bearer.thickness
    head, wide = rod.to(0.0, _plate_head(plan))[1], engine.plate_width / 2.0
    _, foot, top = _engine_box(plan)
    box = (max(rod.start[1] + foot, inner + 4.0), max(rod.start[1] + top, head + 8.0))
    # It hangs between the bearers and is wider only over them.
    neck, rest = gap - 3.0, shoulder + 2.0
    low_part = [(-neck, rest), (-neck, box[0]), (neck, box[0]), (neck, rest)]
    section.area([*low_part, (wide, rest), (wide, box[1]), (-wide, box[1]), (-wide, rest)], _BOX, Role.HIDDEN, _FINE)
    for side in (1.0, -1.0):
        ring = [(gap, inner), (gap + thick, inner), (gap + thick, shoulder), (gap, shoulder)]
        section.area([(side * y, z) for y, z in ring], _BEYOND)
    section.area(
        [
            *((-gap, inner), (gap, inner), (gap, shoulder), (wide, shoulder)),
            *((wide, head), (-wide, head), (-wide, shoulder), (-gap, shoulder)),
        ],
        NEW.colour,
    )
    section.ring(0.0, rod.start[1], engine.housing_bore / 2.0, _BOX)
    section.ring(0.0, rod.start[1], design.drive.shaft_diameter / 2.0, _METAL, _FINE)
    for y, up in _bolt_places(plan):
        section.ring(y, rod.to(0.0, up)[1], _NUT_WIDE / 2.0, _METAL, _FINE)
    edge = gap + thick
    # The tank is strapped to the bearer on the other side than the muffler, ahead of the bracket and its bolt.
    holds = (max(-float(np.min(inside)) + 6.0, -edge - 44.0), inner + 3.0, -edge, shoulder)
    section.area(
        [(holds[0], holds[1]), (holds[2], holds[1]), (holds[2], holds[3]), (holds[0], holds[3])],
        _BOX,
        Role.HIDDEN,
        _FINE,
    )
    for side in (1.0, -1.0):
        leaf = [(edge, shoulder - 26.0), (edge + _STEEL, shoulder - 26.0), (edge + _STEEL, shoulder + 2.0)]
        leaf += [(wide - 1.0, shoulder + 2.0), (wide - 1.0, shoulder + 26.0), (edge, shoulder + 26.0)]
        leaf = [(side * y, max(z, inner + 1.0)) for y, z in leaf]
        section.area(leaf, _METAL, width=_FINE)
        section.ring(side * 0.5 * (edge + wide), shoulder + 17.0, _NUT_WIDE / 2.0, _BOX, _FINE)
        bolt = _Way((0.0, max(shoulder - 14.0, inner + 8.0)), (side, 0.0))
        _bolt(section, bolt, gap, edge + _STEEL)
    near = float(np.min(inside))

    def wall(z: float) -> float:
        return float(hull.half_breadth(x, np.array([z]), hull.side_thickness)[0])

    aside = _Muffler.placed(wide, wall, box)
    (start_x, _), _, (end_x, high), _ = aside.box
    pipe = 0.5 * (start_x + end_x)
    over = max(roof, high) + 12.0
    section.area([(pipe - 5.0, high), (pipe + 5.0, high), (pipe + 5.0, over), (pipe - 5.0, over)], _METAL, width=_FINE)
    section.area(aside.box, _BOX, Role.HIDDEN, _FINE)
    switch = roof - SWITCH_BELOW
    at_switch = wall(switch)
    section.area(
        [
            (-at_switch, switch - 6.0),
            (-at_switch + 9.0, switch - 6.0),
            (-at_switch + 9.0, switch + 6.0),
            (-at_switch, switch + 6.0),
        ],
        NEW.colour,
    )
    for start, end in pairwise(aside.shield):
        section.stroke(start, end, Role.OUTLINE, 0.7)
    spacers = [(1.0 - share) * aside.shield[1][1] + share * aside.shield[2][1] for share in (0.3, 0.85)]
    for z in spacers:
        ring = [
            (wall(z + up) - back, z + up)
            for up, back in ((-2.5, SHIELD_OFF), (-2.5, 0.0), (2.5, 0.0), (2.5, SHIELD_OFF))
        ]
        section.area(ring, _METAL, width=_FINE)
    # In an order in which each finds free ground.
    names = [
        ("bolt through bearer", (-edge - _STEEL - 4.0, max(shoulder - 14.0, inner + 8.0))),
        ("clutch, in the bore", (0.0, rod.start[1] - 0.7 * engine.housing_bore / 2.0)),
        ("bearer", (-gap - 0.5 * thick, 0.6 * inner + 0.4 * shoulder)),
        ("side", (0.5 * (half + near), 0.3 * floor + 0.7 * roof)),
        ("heat shield", aside.shield[1]),
        ("steel bracket", (-edge - 3.0, shoulder + 24.0)),
        ("tank", (holds[0] + 6.0, 0.5 * (holds[1] + holds[3]))),
        ("exhaust outlet", (pipe, over - 4.0)),
        ("engine, dashed", (0.55 * wide, 0.5 * (head + box[1]))),
        ("muffler", aside.middle),
        ("kill switch", (-at_switch + 5.0, switch)),
        ("engine plate", (-0.2 * wide, 0.8 * head + 0.2 * shoulder)),
        ("spacer", (wall(spacers[0]) - 0.5 * SHIELD_OFF, spacers[0])),
    ]
    room, units = engine_room(hull, place), design.units
    under = section.at(0.0, floor)[1] - 8.0
    low_at, beside = section.at(0.0, inner)[1], section.at(-half, 0.0)[0]
    measures = level(
        section.at(-gap, 0.0)[0], section.at(gap, 0.0)[0], low_at, low_at, under, both(room.between, units), _SMALL
    )
    shield = section.at(aside.shield[1][0], 0.0)[0]
    top = section.at(0.0, over)[1] + 3.0
    measures += level(
        section.at(end_x, 0.0)[0],
        shield,
        section.at(0.0, high)[1],
        section.at(0.0, high)[1],
        top,
        both(aside.shield[1][0] - end_x, units),
        _SMALL,
    )
    measures += plumb(
        section.at(0.0, shoulder)[1],
        section.at(0.0, roof)[1],
        section.at(-edge, 0.0)[0],
        section.at(-near, 0.0)[0],
        beside - 3.0,
        both(room.over, units),
        _SMALL,
    )
    for side, word in ((-1.0, "port"), (1.0, "starboard")):
        left, base = section.at(side * 0.8 * half, floor)
        measures.append(Text(Role.LABEL, (left, base - 3.4), word, _SMALL, anchor="middle"))
    section.items += measures
    drawn = _with_names("The engine plate from astern, the boat cut across", section, names, width, over=20.0)
    told = Text(Role.LABEL, (drawn.x0 + 0.3, drawn.y1), "from astern, the boat cut across", END_SIZE)
    return Scene(drawn.title, drawn.x0, drawn.y0, drawn.x1, drawn.y1 + END_SIZE + 0.5, (*drawn.items, told))


@dataclass(frozen=True, slots=True)
class _Muffler:
    """A plain box for the muffler to starboard of the engine, and the shield between it and the wood, from astern.

    Attributes:
        box: its corners.
        shield: the shield's corners.
    """

    box: tuple[Point, ...]
    shield: tuple[Point, ...]

    @property
    def middle(self) -> Point:
        """The middle of the box."""
        (x0, z0), _, (x1, z1), _ = self.box
        return (0.5 * (x0 + x1), 0.5 * (z0 + z1))

    @classmethod
    def placed(cls, wide: float, wall: Callable[[float], float], engine: tuple[float, float]) -> _Muffler:
        """Beside an engine that reaches so wide, along a wall, between the engine's lower and upper side."""
        low, high = 0.5 * (engine[0] + engine[1]), engine[1]
        foot = low - 0.4 * MUFFLER_FREE
        shield = [(wall(z) - SHIELD_OFF, z) for z in (foot, high)]
        end = max(wide + 8.0, min(y for y, _ in shield) - MUFFLER_FREE)
        return cls(((wide, low), (end, low), (end, high), (wide, high)), ((wide + 4.0, foot), *shield))


def _bolt_places(plan: BoatPlan) -> list[Point]:
    """Where the engine's bolts stand from the rod, across and up, mm."""
    engine = plan.design.engine
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return [(0.0, up) for up in _bolt_rows(plan)]
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    reach = engine.bolt_circle / 2.0
    return [(reach * math.cos(angle), reach * math.sin(angle)) for angle in angles.tolist()]


def _plate_head(plan: BoatPlan) -> float:
    """How far over the rod the engine plate's upper edge stands, mm."""
    return _shoulder(plan) + plan.design.engine.plate_height


def _height_in(shape: shapely.Polygon, x: float) -> float:
    """Half-way up a shape at x."""
    _, low, _, high = shape.bounds
    return float(shapely.intersection(shape, shapely.LineString([(x, low - 1.0), (x, high + 1.0)])).centroid.y)


def _on_line(ends: Sequence[Point], most: float) -> float:
    """Height on the line through two points at the second's x, or at the most x if that is less."""
    (x0, z0), (x1, z1) = ends
    return z0 + (z1 - z0) * (min(x1, most) - x0) / (x1 - x0)


def _log_and_coupling(section: _Section, plan: BoatPlan, trying: bool) -> None:
    """Rod, tube cut open, collar with washer unless the line is only tried, and the coupling's two halves."""
    design, log, rod = plan.design, tube(plan), _rod(plan)
    thick, outer = design.drive.shaft_diameter / 2.0, design.drive.tube_diameter / 2.0
    fore = log.abaft_plate
    # A rod is drawn as far as both its sides lie in the picture.
    start = (section.corner[0] - rod.start[0]) / rod.along[0] - 2.0
    end = min(start, fore + log.length)
    for side in (1.0, -1.0):
        section.area(rod.slab(fore, end, side * 0.999 * thick, side * outer), _METAL, width=_FINE)
    section.area(rod.slab(ROD_SHORT, start, -thick, thick), _BOX, width=_FINE)
    section.area(rod.slab(3.0, 5.0, -thick, thick), _METAL, width=_FINE)
    if not trying:
        section.area(rod.slab(fore - 1.5, fore, -outer - 2.0, outer + 2.0), _BOX, width=_FINE)
        section.area(rod.slab(fore - 6.0, fore - 1.5, -outer - 1.0, outer + 1.0), _METAL, width=_FINE)
    colour = NEW.colour if trying else _METAL
    # The rod ends flush with its half.
    section.area(rod.slab(4.0, ROD_SHORT - 2.0, -outer - 3.0, outer + 3.0), colour, width=_FINE)
    section.area(rod.slab(ROD_SHORT, fore - 9.0, -outer - 3.0, outer + 3.0), colour, width=_FINE)
    section.stroke(rod.to(start), rod.to(-30.0), Role.CENTRE)


def strut_and_rudder(studio: Studio, width: float, height: float) -> Scene:
    """The strut from the side, the boat cut along its middle; over it strut and rudder from astern.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    side, astern = _strut_from_side(studio.plan, width), _strut_from_astern(studio.plan, width)
    gap = 2.0
    lift = side.y1 - astern.y0 + gap
    items = (*side.items, *(transform(item, dy=lift) for item in astern.items))
    x0, x1 = min(side.x0, astern.x0), max(side.x1, astern.x1)
    factor = min(1.0, height / (side.height + gap + astern.height), width / (x1 - x0))
    if factor < 1.0:
        items = tuple(transform(item, scale=factor) for item in items)
    return Scene(
        "The strut from the side, and strut and rudder from astern",
        factor * x0,
        factor * side.y0,
        factor * x1,
        factor * (astern.y1 + lift),
        items,
    )


def _strut_from_side(plan: BoatPlan, width: float) -> Scene:
    """Strut, rod, tube, propeller and bolts, cut along the middle of the boat."""
    design, hull, shaft, units = plan.design, plan.hull, plan.arrangement.shaft, plan.design.units
    rod, holes = _rod(plan), bolt_holes(plan, "strut")
    high = max(hole.z for hole in holes) + 22.0
    left, right = shaft.hub_x - 22.0, shaft.slot_to + 16.0
    section = _Section((left, 0.0), (width - 12.0) / (right - left))
    window = shapely.box(left, -1e3, right, high)
    section.shape(_bottom(plan, left, right), _WOOD, window)
    for part in _named(plan, "transom", "transom-cleat-foot", "strut-pad"):
        section.shape(bodies_of(part)[0].side, _WOOD, window)
    log = tube(plan)
    reach = (right - rod.start[0]) / rod.along[0]
    thick, outer = design.drive.shaft_diameter / 2.0, design.drive.tube_diameter / 2.0
    end = log.abaft_plate + log.length
    section.area(rod.slab(reach, end, -outer, outer), _METAL, width=_FINE)
    section.area(rod.slab(end, shaft.length + 14.0, -thick, thick), NEW.colour, width=_FINE)
    foot = _transom_face(plan, 0.0)
    bearing = plan.balance.drive.places[0]
    back = (rod.start[0] - bearing) / -rod.along[0]
    at = rod.to(back)
    low = min(hole.z for hole in holes) - 9.0
    face = [_transom_face(plan, z) for z in (low, high - 12.0)]
    plate = [(face[0], low), (face[1], high - 12.0), (face[1] - _BRACKET, high - 12.0), (face[0] - _BRACKET, low)]
    arm = [
        (face[0] - _BRACKET, low + 22.0),
        (face[0] - _BRACKET, low),
        (at[0] + 0.5 * _ARM, at[1] + outer),
        (at[0] - 0.5 * _ARM, at[1] + outer),
        (face[0] - _BRACKET - _ARM, low + 12.0),
    ]
    section.area(arm, NEW.colour)
    section.area(plate, NEW.colour)
    section.area(rod.slab(back - _BEARING / 2.0, back + _BEARING / 2.0, -outer - 1.5, outer + 1.5), NEW.colour)
    blade = design.drive.propeller_diameter / 2.0
    section.area(rod.slab(shaft.length - 7.0, shaft.length + 7.0, -5.5, 5.5), NEW.colour)
    section.area(rod.slab(shaft.length - 2.5, shaft.length + 2.5, 5.5, blade), NEW.colour)
    section.area(rod.slab(shaft.length - 2.5, shaft.length + 2.5, -blade, -5.5), NEW.colour)
    section.area(rod.slab(shaft.length + 7.0, shaft.length + 12.0, -4.0, 4.0), _METAL, width=_FINE)
    section.stroke(rod.to(reach), rod.to(shaft.length + 18.0), Role.CENTRE)
    square = _inward(plan)
    inside = design.woods.transom.thickness + design.woods.pad.thickness
    for z in sorted({round(hole.z, 2) for hole in holes}):
        _bolt(section, _Way((_transom_face(plan, z), z), square), -_BRACKET, inside)
    drawn = section.items
    hub, zero = section.at(shaft.hub_x, shaft.hub_z), section.at(foot, 0.0)
    under = bounds_of(drawn)[1] - 3.5
    measures = level(hub[0], zero[0], hub[1], zero[1], under, both(-shaft.hub_x, units), _SMALL)
    beside = section.at(left, 0.0)[0] - 3.0
    measures += plumb(hub[1], section.at(0.0, 0.0)[1], hub[0], zero[0], beside, both(-shaft.hub_z, units), _SMALL)
    exit_at = section.at(shaft.exit_x, float(hull.bottom_height(np.array([shaft.exit_x]))[0]))
    measures += level(zero[0], exit_at[0], zero[1], exit_at[1], under - 5.0, both(shaft.exit_x, units), _SMALL)
    names = [
        ("propeller", rod.to(shaft.length, 0.7 * blade)),
        ("strut", (0.5 * (at[0] + face[0]), 0.5 * (at[1] + low))),
        ("bracket", (face[1] - 0.5 * _BRACKET, high - 14.0)),
        ("bolt, washer, lock nut", _Way((_transom_face(plan, high - 22.0), high - 22.0), square).to(inside + 4.0)),
        ("strut pad", _Way((face[0], low + 4.0), square).to(inside - 5.0)),
        ("tube", rod.to(end - 20.0)),
        ("shaft", rod.to(0.5 * (end + back))),
        ("bottom", (right - 8.0, float(hull.bottom_height(np.array([right - 8.0]))[0]) + 2.0)),
    ]
    x0, y0, x1, y1 = bounds_of([*drawn, *measures])
    words = words_beside(
        [*drawn, *measures], [], [(word, section.at(*place)) for word, place in names], (x0, y0, x1 + 4.0, y1 + 9.0)
    )
    items = [*drawn, *measures, *words]
    items.append(Text(Role.LABEL, (x0, max(bounds_of(items)[3], y1 + 1.5) + 0.5), "from the side, cut open", END_SIZE))
    return _finished("The strut from the side", items, width)


def _transom_face(plan: BoatPlan, z: float) -> float:
    """X of the transom's outer face at a height on the centre line."""
    return float(plan.hull.transom.x(z))


def _inward(plan: BoatPlan) -> Point:
    """The unit vector square through the transom, into the boat."""
    slope = _transom_face(plan, 1.0) - _transom_face(plan, 0.0)
    long = math.hypot(1.0, slope)
    return (1.0 / long, -slope / long)


def _strut_from_astern(plan: BoatPlan, width: float) -> Scene:
    """The brackets of strut and rudder on the transom, seen from astern, with the distances of their bolts."""
    design, hull, shaft, units = plan.design, plan.hull, plan.arrangement.shaft, plan.design.units
    strut, rudder = bolt_holes(plan, "strut"), bolt_holes(plan, "rudder")
    stock = design.rudder.offset
    blade = design.drive.propeller_diameter / 2.0
    reach = max(abs(stock) + 40.0, 62.0)
    high = max(hole.z for hole in (*strut, *rudder)) + 20.0
    # Seen from astern, port is at the left: y is turned round.
    section = _Section((-reach, 0.0), (width - 32.0) / (2.0 * reach))
    corners = [(-reach, 0.0), (reach, 0.0), (reach, high), (-reach, high), (-reach, 0.0)]
    for start, end in pairwise(corners):
        section.stroke(start, end, Role.OUTLINE, _LINE)
    section.stroke((-reach, hull.bottom_thickness), (reach, hull.bottom_thickness), Role.THIN)
    for holes in (strut, rudder):
        ys, zs = [-hole.y for hole in holes], [hole.z for hole in holes]
        box = (min(ys) - 7.0, min(zs) - 8.0, max(ys) + 7.0, max(zs) + 8.0)
        section.area([(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])], NEW.colour)
    low = min(hole.z for hole in strut) - 8.0
    section.area([(-4.0, low + 14.0), (4.0, low + 14.0), (4.0, shaft.hub_z), (-4.0, shaft.hub_z)], NEW.colour)
    section.ring(0.0, shaft.hub_z, 8.0, NEW.colour)
    section.ring(0.0, shaft.hub_z, design.drive.shaft_diameter / 2.0, _METAL, _FINE)
    turn = np.linspace(0.0, 2.0 * np.pi, 49)
    around = [section.at(blade * math.cos(angle), shaft.hub_z + blade * math.sin(angle)) for angle in turn.tolist()]
    section.items.append(Shape(Role.THIN, (polyline(around),), width=_FINE))
    foot = min(hole.z for hole in rudder)
    section.area(
        [(-stock - 3.0, foot + 20.0), (-stock + 3.0, foot + 20.0), (-stock + 3.0, 10.0), (-stock - 3.0, 10.0)],
        NEW.colour,
    )
    tip = -design.rudder.depth
    section.area([(-stock - 1.5, 10.0), (-stock + 1.5, 10.0), (-stock + 1.5, tip), (-stock - 1.5, tip)], NEW.colour)
    for hole in (*strut, *rudder):
        section.ring(-hole.y, hole.z, _NUT_WIDE / 2.0, _METAL, _FINE)
    middle = section.at(0.0, 0.0)
    section.stroke((0.0, tip), (0.0, high + 4.0), Role.CENTRE)
    drawn = section.items
    _, y0, x1, _ = bounds_of(drawn)
    right = x1 + 4.0
    measures: list[Item] = []
    for z in (0.0, *sorted({round(hole.z, 2) for hole in strut})):
        at = section.at(max(-hole.y for hole in strut), z)
        begin = x1 if z == 0.0 else at[0] + 0.5 * _NUT_WIDE * section.scale
        measures.append(Shape(Role.DIMENSION, (line((begin + 0.8, at[1]), (right, at[1])),), width=_FINE))
        told = both(z, units) if z else "bottom: 0"
        measures.append(Text(Role.DIMENSION, (right + 0.8, at[1] - 0.36 * _SMALL), told, _SMALL))
    ends = sorted(section.at(-hole.y, hole.z) for hole in strut if round(hole.z, 2) == round(strut[-1].z, 2))
    over = section.at(0.0, high)[1] + 2.5
    apart = both(strut[-1].y - min(hole.y for hole in strut), units)
    measures += level(ends[0][0], ends[-1][0], over - 2.5, over - 2.5, over, apart, _SMALL)
    span = sorted((middle[0], section.at(-stock, tip)[0]))
    if abs(stock) > 1.0:
        measures += level(span[0], span[1], y0, y0, y0 - 4.0, both(abs(stock), units), _SMALL)
    names = [
        ("rudder", section.at(-stock, 0.6 * tip)),
        ("rudder's bracket", section.at(min(-hole.y for hole in rudder) - 4.0, high - 28.0)),
        ("strut's bracket", section.at(max(-hole.y for hole in strut) + 4.0, high - 24.0)),
        ("strut", section.at(3.0, 0.5 * shaft.hub_z + 4.0)),
        ("path of the propeller", section.at(0.7 * blade, shaft.hub_z - 0.71 * blade)),
    ]
    bx = bounds_of([*drawn, *measures])
    words = words_beside([*drawn, *measures], [], names, (bx[0] - 15.0, bx[1], bx[2], bx[3] + 6.0))
    items = [*drawn, *measures, *words]
    top = bounds_of(items)[3] + 1.2
    items.append(Text(Role.LABEL, (bounds_of(items)[0], top), "from astern", END_SIZE))
    return _finished("Strut and rudder from astern", items, width)
