"""The largest engine that fits, to measure one against: from astern and from its side, its shaft level."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.balance.engine_room import AHEAD, engine_room
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.paths import bounds_of
from hullcut.drawing.scene import Role, Scene, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW
from hullcut.packet.engine_mount import bearers_over_rod, plate_over_rod
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, words_beside
from hullcut.packet.section import BEYOND, BOX, FINE, WOOD, Section, bottom_cut, parts_named, rod_way
from hullcut.parts.clearances import bodies_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["engine_limits_astern", "engine_limits_side", "forward"]

_LETTER = 2.8
# Kept free while an engine is slid in, mm.
_SLIDE_PLAY = 3.0
# Between the engine's room and the bottom, at least, as it is drawn, mm on the boat.
_FREE_UNDER = 2.0
# How far the room over the bearers is drawn up, mm on the boat, and room for letters beside a picture, mm on paper.
_UP, _BESIDE, _WORDS = 80.0, 16.0, 13.0
# What is drawn abaft the plate, and beyond the bulkhead, mm on the boat.
_ABAFT, _BEYOND_BULKHEAD = 26.0, 14.0


def engine_limits_astern(studio: Studio, width: float, height: float) -> Scene:
    """The room for the engine seen from astern: between the bearers, and above them to either side.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    room, tops = engine_room(plan.hull, plan.arrangement), bearers_over_rod(plan)
    bore = plan.design.engine.housing_bore
    half, thick = room.between / 2.0, plan.design.woods.bearer.thickness
    # Ahead of the plate the bottom may drop: the room beside the letter E ends above it.
    floor, under = -max(room.below, room.under + _FREE_UNDER), plan.hull.bottom_thickness
    tall = tops + _UP - floor + under
    section = Section((0.0, 0.0), min((width - _BESIDE) / (2.0 * room.aside), (height - _WORDS) / tall))
    for side in (1.0, -1.0):
        ring = [(half, floor), (half + thick, floor), (half + thick, tops), (half, tops)]
        section.area([(side * y, z) for y, z in ring], BEYOND)
    section.area(
        [(-room.aside, floor - under), (room.aside, floor - under), (room.aside, floor), (-room.aside, floor)], WOOD
    )
    top = tops + _UP
    section.area(
        [
            *((-half, -room.under), (half, -room.under), (half, tops), (room.aside, tops)),
            *((room.aside, top), (-room.aside, top), (-room.aside, tops), (-half, tops)),
        ],
        NEW.colour,
    )
    section.ring(0.0, 0.0, bore / 2.0, BOX)
    # Under the bottom stands a letter.
    section.stroke((0.0, floor - under), (0.0, top + 6.0), Role.CENTRE)
    section.stroke((-room.aside, 0.0), (room.aside, 0.0), Role.CENTRE)
    drawn = section.items
    at = section.at
    zero, high = at(0.0, 0.0), at(0.0, top)[1]
    foot = at(0.0, floor - under)[1]
    left, right = at(-room.aside, 0.0)[0], at(room.aside, 0.0)[0]
    measures: list[Item] = level(at(-half, 0.0)[0], at(half, 0.0)[0], foot, foot, foot - 4.5, "A", _LETTER)
    measures += _from_middle(zero[1], at(0.0, tops)[1], at(half, 0.0)[0], right - 1.0, right + 4.0, "B")
    near = at(room.aside_ahead, 0.0)[0]
    for side in (1.0, -1.0):
        section.stroke((side * room.aside_ahead, tops), (side * room.aside_ahead, top), Role.HIDDEN, FINE)
        for letter, far, over in (("D", side * near, 4.0), ("C", side * right, 8.5)):
            start, end = sorted((zero[0], far))
            measures += level(start, end, high, high, high + over, letter, _LETTER)
    measures += _from_middle(at(0.0, -room.under)[1], zero[1], at(-half, 0.0)[0], left + 1.0, left - 4.0, "E")
    names = [
        ("clutch housing, H across", at(-0.35 * bore, 0.35 * bore)),
        ("bearer", at(half + 0.5 * thick, floor + 0.35 * (tops - floor))),
        ("bottom", at(0.8 * room.aside, floor - 0.5 * under)),
    ]
    return _worded("The engine from astern, its limits", [*drawn, *measures], names, "from astern", width, height)


def engine_limits_side(studio: Studio, width: float, height: float) -> Scene:
    """The room for the engine seen from its side, the shaft level and the bow to the right.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    room, tops = engine_room(plan.hull, plan.arrangement), bearers_over_rod(plan)
    wood, bore = plan.design.woods.engine_plate.thickness, plan.design.engine.housing_bore
    # Along the shaft from the plate's fore face forward, and square to it from its middle up.
    reach = forward(plan)
    end = room.ahead + _BEYOND_BULKHEAD
    long = wood + _ABAFT + end
    tall = tops + _UP + room.below + end * math.tan(math.radians(plan.arrangement.shaft.angle))
    section = Section((-wood - _ABAFT, 0.0), min((width - _BESIDE) / long, (height - _WORDS) / tall))
    window = shapely.box(-wood - _ABAFT, -1e3, end, tops + _UP)
    x0 = rod_way(plan).start[0]
    section.shape(_level(plan, bottom_cut(plan, x0 - 2.0 * _ABAFT, x0 + 2.0 * long)), WOOD, window)
    section.shape(_level(plan, bodies_of(parts_named(plan, "bearer-port")[0])[0].side), BEYOND, window)
    bulkhead = shapely.intersection(_level(plan, bodies_of(parts_named(plan, "bulkhead")[0])[0].side), window)
    on_bulkhead = bulkhead.representative_point()
    section.shape(bulkhead, WOOD, window)
    top = tops + _UP
    section.area(
        [
            *((0.0, -room.under), (AHEAD, -room.under), (AHEAD, -room.under_ahead), (reach, -room.under_ahead)),
            *((reach, top), (0.0, top)),
        ],
        NEW.colour,
    )
    head = plate_over_rod(plan)
    low = -room.below
    section.area([(-wood, low), (0.0, low), (0.0, head), (-wood, head)], WOOD)
    section.area([(-wood, -bore / 2.0), (0.0, -bore / 2.0), (0.0, bore / 2.0), (-wood, bore / 2.0)], BOX)
    section.stroke((0.0, tops), (min(reach, _bearer_end(plan)), tops), Role.HIDDEN, FINE)
    section.stroke((-wood - _ABAFT, 0.0), (reach, 0.0), Role.CENTRE)
    drawn, at = section.items, section.at
    zero = at(0.0, 0.0)
    far = at(reach, 0.0)[0]
    measures: list[Item] = level(zero[0], far, at(0.0, top)[1], at(0.0, top)[1], at(0.0, top)[1] + 4.0, "G", _LETTER)
    measures += _from_middle(at(0.0, -room.under)[1], zero[1], zero[0], zero[0], at(0.35 * AHEAD, 0.0)[0], "E")
    beside = at(AHEAD + 0.3 * (reach - AHEAD), 0.0)[0]
    measures += _from_middle(at(0.0, -room.under_ahead)[1], zero[1], beside, beside, beside, "F")
    names = [
        ("engine plate", at(-0.5 * wood, 0.7 * head)),
        ("shaft's middle", at(-wood - 0.8 * _ABAFT, 0.0)),
        ("bearer's top", at(0.6 * min(reach, _bearer_end(plan)), tops)),
        ("bulkhead", at(on_bulkhead.x, on_bulkhead.y)),
        ("free, to slide it in", at(0.5 * (reach + room.ahead), 0.5 * top)),
    ]
    return _worded(
        "The engine from its side, its limits",
        [*drawn, *measures],
        names,
        "from its side, the shaft level",
        width,
        height,
    )


def forward(plan: BoatPlan) -> float:
    """How far ahead of its plate an engine may reach, mm: it slides in from ahead, half the coupling on it."""
    wood = plan.design.woods.engine_plate.thickness
    return engine_room(plan.hull, plan.arrangement).ahead - wood - ROD_SHORT - _SLIDE_PLAY


def _from_middle(low: float, high: float, near: float, far: float, x: float, letter: str) -> list[Item]:
    """An upright limit with its letter."""
    return plumb(low, high, near, far, x, letter, _LETTER)


def _level(plan: BoatPlan, shape: BaseGeometry) -> BaseGeometry:
    """A shape of the boat's side view, its shaft turned level; zero is its middle at the plate's fore face."""
    rod = rod_way(plan)
    wood = plan.design.woods.engine_plate.thickness
    start, along, aside = (np.array(each) for each in (rod.start, rod.along, rod.aside))

    def turned(points: np.ndarray) -> np.ndarray:
        off = points - start
        return np.column_stack([-(off @ along) - wood, off @ aside])

    found: BaseGeometry = shapely.transform(shape, turned)
    return found


def _bearer_end(plan: BoatPlan) -> float:
    """How far ahead of the plate's fore face the bearers end, along the shaft, mm."""
    return float(_level(plan, bodies_of(parts_named(plan, "bearer-port")[0])[0].side).bounds[2])


def _worded(
    title: str, drawn: list[Item], names: list[tuple[str, Point]], seen: str, width: float, height: float
) -> Scene:
    """The picture with its names and how it is seen, no larger than its room."""
    x0, y0, x1, y1 = bounds_of(drawn)
    words = words_beside(drawn, [], names, (x0 - 6.0, y0 - 8.0, x1 + 6.0, y1 + 8.0))
    items = [*drawn, *words]
    left, _, _, high = bounds_of(items)
    items.append(Text(Role.LABEL, (left, high + 1.0), seen, END_SIZE))
    return fitted(title, items, width, height)
