"""The strut from the side, cut along the middle of the boat; over it strut and rudder from astern."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, line, polyline, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.metal_parts_picture import ARM_WIDE, BEARING, PLATE_THICK
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, words_beside
from hullcut.packet.places import bolt_holes, tube
from hullcut.packet.section import (
    BOX,
    FINE,
    LINE,
    MARGIN,
    METAL,
    NUT_WIDE,
    SMALL,
    WOOD,
    Section,
    Way,
    bottom_cut,
    draw_bolt,
    parts_named,
    rod_way,
)
from hullcut.parts.clearances import bodies_of

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["propeller_on", "strut_and_rudder"]

# How far inside the transom the propeller's picture begins, mm on the boat.
_INSIDE = 40.0
# Plain shapes of what is bought, mm on the boat.
_HUB, _DOG = 14.0, 9.0


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


def propeller_on(studio: Studio, width: float, height: float) -> Scene:
    """The propeller with what drives it and takes its thrust, cut along the middle of the boat.

    Args:
        studio: of the boat.
        width: of the picture, mm.
        height: greatest.
    """
    return _strut_from_side(studio.plan, width, driving=True)


def _strut_from_side(plan: BoatPlan, width: float, driving: bool = False) -> Scene:
    """Strut, rod, tube, propeller and bolts, cut along the middle of the boat.

    Args:
        plan: the boat.
        width: of the picture, mm.
        driving: whether the propeller goes on, behind dog and washers; else the strut, and it is only hinted at.
    """
    design, hull, shaft, units = plan.design, plan.hull, plan.arrangement.shaft, plan.design.units
    rod, holes = rod_way(plan), bolt_holes(plan, "strut")
    high = max(hole.z for hole in holes) + 22.0
    left, right = shaft.hub_x - 22.0, _INSIDE if driving else shaft.slot_to + 16.0
    section = Section((left, 0.0), (width - 12.0) / (right - left))
    window = shapely.box(left, -1e3, right, high)
    section.shape(bottom_cut(plan, left, right), WOOD, window)
    for part in parts_named(plan, "transom", "transom-cleat-foot", "strut-pad"):
        section.shape(bodies_of(part)[0].side, WOOD, window)
    log = tube(plan)
    reach = (right - rod.start[0]) / rod.along[0]
    thick, outer = design.drive.shaft_diameter / 2.0, design.drive.tube_diameter / 2.0
    end = log.abaft_plate + log.length
    if reach < end:
        section.area(rod.slab(reach, end, -outer, outer), METAL, width=FINE)
    section.area(rod.slab(max(reach, end), shaft.length + 14.0, -thick, thick), NEW.colour, width=FINE)
    foot = _transom_face(plan, 0.0)
    bearing = plan.balance.drive.places[0]
    back = (rod.start[0] - bearing) / -rod.along[0]
    at = rod.to(back)
    low = min(hole.z for hole in holes) - 9.0
    face = [_transom_face(plan, z) for z in (low, high - 12.0)]
    plate = [(face[0], low), (face[1], high - 12.0), (face[1] - PLATE_THICK, high - 12.0), (face[0] - PLATE_THICK, low)]
    arm = [
        (face[0] - PLATE_THICK, low + 22.0),
        (face[0] - PLATE_THICK, low),
        (at[0] + 0.5 * ARM_WIDE, at[1] + outer),
        (at[0] - 0.5 * ARM_WIDE, at[1] + outer),
        (face[0] - PLATE_THICK - ARM_WIDE, low + 12.0),
    ]
    on_arm = shapely.Polygon(arm).centroid
    strut = METAL if driving else NEW.colour
    section.area(arm, strut)
    section.area(plate, strut)
    section.area(rod.slab(back - BEARING / 2.0, back + BEARING / 2.0, -outer - 1.5, outer + 1.5), strut)
    blade = design.drive.propeller_diameter / 2.0
    hub = shaft.length - _HUB / 2.0
    for low_end, high_end, begin, stop in (
        (-5.5, 5.5, hub, hub + _HUB),
        (5.5, blade, shaft.length - 2.5, shaft.length + 2.5),
        (-blade, -5.5, shaft.length - 2.5, shaft.length + 2.5),
    ):
        slab = rod.slab(begin, stop, low_end, high_end)
        if driving:
            section.area(slab, NEW.colour)
        else:
            section.area(slab, "#ffffff", Role.HIDDEN, FINE)
    dog = min(_DOG, 0.6 * (hub - back - BEARING / 2.0))
    if driving:
        section.area(rod.slab(hub + _HUB, hub + _HUB + 5.0, -4.0, 4.0), NEW.colour, width=FINE)
        section.area(rod.slab(hub - dog, hub, -5.0, 5.0), NEW.colour, width=FINE)
        section.area(rod.slab(back + BEARING / 2.0, hub - dog, -4.5, 4.5), BOX, width=FINE)
    section.stroke(rod.to(reach), rod.to(shaft.length + 18.0), Role.CENTRE)
    square = _inward(plan)
    inside = design.woods.transom.thickness + design.woods.pad.thickness
    for z in sorted({round(hole.z, 2) for hole in holes}):
        draw_bolt(section, Way((_transom_face(plan, z), z), square), -PLATE_THICK, inside)
    drawn = section.items
    middle, zero = section.at(shaft.hub_x, shaft.hub_z), section.at(foot, 0.0)
    under = bounds_of(drawn)[1] - 3.5
    # The figure beside a short measure stands ahead of the transom: what runs down there must end above it.
    row = under if driving else under - 5.0
    measures = level(middle[0], zero[0], middle[1], zero[1], row, both(-shaft.hub_x, units), SMALL)
    beside = section.at(left, 0.0)[0] - 3.0
    measures += plumb(middle[1], section.at(0.0, 0.0)[1], middle[0], zero[0], beside, both(-shaft.hub_z, units), SMALL)
    if not driving:
        exit_at = section.at(shaft.exit_x, float(hull.bottom_height(np.array([shaft.exit_x]))[0]))
        measures += level(zero[0], exit_at[0], zero[1], exit_at[1], under, both(shaft.exit_x, units), SMALL)
    names = [
        ("propeller: goes on last", rod.to(shaft.length, 0.7 * blade)),
        ("strut", (on_arm.x, on_arm.y)),
        ("bracket", (face[1] - 0.5 * PLATE_THICK, high - 14.0)),
        ("bolt, washer, lock nut", Way((_transom_face(plan, high - 22.0), high - 22.0), square).to(inside + 4.0)),
        ("strut pad", Way((face[0], low + 4.0), square).to(inside - 5.0)),
        ("tube", rod.to(end - 20.0)),
        ("shaft", rod.to(0.5 * (end + back))),
        ("bottom", (right - 8.0, float(hull.bottom_height(np.array([right - 8.0]))[0]) + 2.0)),
    ]
    if driving:
        names = [
            ("propeller", rod.to(shaft.length, 0.7 * blade)),
            ("nut", rod.to(hub + _HUB + 3.0, 2.0)),
            ("drive dog", rod.to(hub - 0.5 * dog, -3.0)),
            ("washers", rod.to(0.5 * (back + BEARING / 2.0 + hub - dog), 2.0)),
            *(each for each in names if each[0] == "strut"),
            ("shaft", rod.to(0.5 * (back + (foot - rod.start[0]) / rod.along[0]))),
            ("bottom", (right - 8.0, float(hull.bottom_height(np.array([right - 8.0]))[0]) + 2.0)),
        ]
    x0, y0, x1, y1 = bounds_of([*drawn, *measures])
    words = words_beside(
        [*drawn, *measures], [], [(word, section.at(*place)) for word, place in names], (x0, y0, x1 + 4.0, y1 + 9.0)
    )
    items = [*drawn, *measures, *words]
    over = max(bounds_of(items)[3], y1 + 1.5) + 0.5 + font.descent(END_SIZE)
    items.append(Text(Role.LABEL, (x0, over), "from the side, cut open", END_SIZE))
    return fitted("The propeller from the side" if driving else "The strut from the side", items, width, margin=MARGIN)


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
    section = Section((-reach, 0.0), (width - 32.0) / (2.0 * reach))
    corners = [(-reach, 0.0), (reach, 0.0), (reach, high), (-reach, high), (-reach, 0.0)]
    for start, end in pairwise(corners):
        section.stroke(start, end, Role.OUTLINE, LINE)
    section.stroke((-reach, hull.bottom_thickness), (reach, hull.bottom_thickness), Role.THIN)
    for holes in (strut, rudder):
        ys, zs = [-hole.y for hole in holes], [hole.z for hole in holes]
        box = (min(ys) - 7.0, min(zs) - 8.0, max(ys) + 7.0, max(zs) + 8.0)
        section.area([(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])], NEW.colour)
    low = min(hole.z for hole in strut) - 8.0
    section.area([(-4.0, low + 14.0), (4.0, low + 14.0), (4.0, shaft.hub_z), (-4.0, shaft.hub_z)], NEW.colour)
    section.ring(0.0, shaft.hub_z, 8.0, NEW.colour)
    section.ring(0.0, shaft.hub_z, design.drive.shaft_diameter / 2.0, METAL, FINE)
    turn = np.linspace(0.0, 2.0 * np.pi, 49)
    around = [section.at(blade * math.cos(angle), shaft.hub_z + blade * math.sin(angle)) for angle in turn.tolist()]
    section.items.append(Shape(Role.THIN, (polyline(around),), width=FINE))
    foot = min(hole.z for hole in rudder)
    section.area(
        [(-stock - 3.0, foot + 20.0), (-stock + 3.0, foot + 20.0), (-stock + 3.0, 10.0), (-stock - 3.0, 10.0)],
        NEW.colour,
    )
    tip = -design.rudder.depth
    section.area([(-stock - 1.5, 10.0), (-stock + 1.5, 10.0), (-stock + 1.5, tip), (-stock - 1.5, tip)], NEW.colour)
    for hole in (*strut, *rudder):
        section.ring(-hole.y, hole.z, NUT_WIDE / 2.0, METAL, FINE)
    middle = section.at(0.0, 0.0)
    section.stroke((0.0, tip), (0.0, high + 4.0), Role.CENTRE)
    drawn = section.items
    _, y0, x1, _ = bounds_of(drawn)
    right = x1 + 4.0
    measures: list[Item] = []
    for z in (0.0, *sorted({round(hole.z, 2) for hole in strut})):
        at = section.at(max(-hole.y for hole in strut), z)
        begin = x1 if z == 0.0 else at[0] + 0.5 * NUT_WIDE * section.scale
        measures.append(Shape(Role.DIMENSION, (line((begin + 0.8, at[1]), (right, at[1])),), width=FINE))
        told = both(z, units) if z else "bottom: 0"
        measures.append(Text(Role.DIMENSION, (right + 0.8, at[1] - 0.36 * SMALL), told, SMALL))
    ends = sorted(section.at(-hole.y, hole.z) for hole in strut if round(hole.z, 2) == round(strut[-1].z, 2))
    over = section.at(0.0, high)[1] + 2.5
    apart = both(strut[-1].y - min(hole.y for hole in strut), units)
    measures += level(ends[0][0], ends[-1][0], over - 2.5, over - 2.5, over, apart, SMALL)
    span = sorted((middle[0], section.at(-stock, tip)[0]))
    if abs(stock) > 1.0:
        measures += level(span[0], span[1], y0, y0, y0 - 4.0, both(abs(stock), units), SMALL)
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
    return fitted("Strut and rudder from astern", items, width, margin=MARGIN)
