"""What is bought or made of metal, each with the sizes that it must have: coupling, strut, rudder, corner bracket."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.balance.engine_room import BRACKET_LEG, BRACKET_WIDE
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.paths import bounds_of
from hullcut.drawing.scene import Role, Scene, Text
from hullcut.drawing.views.bodies import BLADE, POST_ABAFT, POST_WIDE
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.lengths import both
from hullcut.packet.engine_mount import STUB_END, short_leg
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, words_beside
from hullcut.packet.places import COLLAR, COLLAR_WASHER, bolt_holes, coupling_half, pushrod_hole, tube
from hullcut.packet.section import (
    BEYOND,
    BOX,
    FINE,
    METAL,
    SMALL,
    STEEL,
    WOOD,
    Section,
    bottom_cut,
    parts_named,
    rod_way,
)
from hullcut.packet.step import Kit
from hullcut.parts.clearances import bodies_of
from hullcut.parts.marking import BOLT_HOLE

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = [
    "ARM_WIDE",
    "BARREL_WALL",
    "BEARING",
    "BLADE_THICK",
    "BRACKET_HOLES",
    "PLATE_BEYOND",
    "PLATE_THICK",
    "bracket_sizes",
    "coupling_sizes",
    "rudder_sizes",
    "strut_sizes",
]

BEARING = 16.0
"""Length of the shaft's bearings, and of the strut's barrel, mm: common practice, no source."""
BRACKET_HOLES = (12.0, 28.0)
"""How far from a bracket's corner the bolts through its bearer stand, mm: two, so that it cannot swivel."""

PLATE_THICK, ARM_WIDE, BLADE_THICK, BARREL_WALL = 3.2, 9.5, 3.2, 3.0
"""Usual sizes of strut and rudder, mm: their plates, the strut's arm, the rudder's blade, and what a barrel is wider
than the tube: common practice, no source."""
PLATE_BEYOND = 16.0
"""What a bracket's plate is larger than its bolts' pattern, mm: common practice, no source."""

# Plain shapes of what is bought, mm on the boat.
_TILLER = 5.0
# What is shown inside the transom, and over the bolts, mm on the boat.
_INSIDE, _OVER = 26.0, 16.0
# Length of tube shown, and how far the teeth of a coupling's halves reach into its star, mm on the boat.
_TUBE, _TEETH = 22.0, 4.0
# Room for a measure beside a picture, and from one to the next, mm on paper.
_ROW = 4.6
# From one upright measure to the next whose figure stands over it, mm on paper.
_BESIDE = 13.0
# Between the views of a bracket, mm on the boat.
_APART = 46.0
# Room for names over and under a picture, and for what it shows, mm on paper.
_WORDS = 10.0


def coupling_sizes(studio: Studio, width: float, height: float) -> Scene:
    """From the clutch drum to the shaft, the shaft level: adapter, coupling, collar, and how long each may be.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    design, log, kit = plan.design, tube(plan), Kit(plan)
    wood, bore = design.woods.engine_plate.thickness, design.engine.housing_bore / 2.0
    thick, outer = design.drive.shaft_diameter / 2.0, design.drive.tube_diameter / 2.0
    fore, half = log.abaft_plate, coupling_half(plan)
    # Abaft is to the left; zero is the middle of the shaft at the plate's after face.
    left, right = -fore - _TUBE, wood + 22.0
    high = bore + 8.0
    section = Section((left, 0.0), min((width - 2.0) / (right - left), (height - _WORDS - 4.0 * _ROW) / (2.0 * high)))
    for side in (1.0, -1.0):
        section.area(_box(0.0, side * bore, wood, side * high), WOOD)
        section.area(_box(left, side * 0.999 * thick, -fore, side * outer), METAL, width=FINE)
    section.area(_box(2.0, -0.9 * bore, right, 0.9 * bore), BOX, width=FINE)
    section.area(_box(4.0, -0.7 * bore, right - 6.0, 0.7 * bore), METAL, width=FINE)
    section.area(_box(-STUB_END, -thick, 4.0, thick), BEYOND, width=FINE)
    across = outer + 4.0
    star = ROD_SHORT - _TEETH
    section.area(_box(-star, thick, -1.0, across), METAL, width=FINE)
    section.area(_box(-star, -across, -1.0, -thick), METAL, width=FINE)
    section.area(_box(-ROD_SHORT - half, -across, -ROD_SHORT, across), METAL, width=FINE)
    section.area(_box(-ROD_SHORT, -across + 1.0, -star, across - 1.0), "#d9d9d9", width=FINE)
    section.area(_box(-fore, -outer - 2.0, -fore + COLLAR_WASHER, outer + 2.0), BOX, width=FINE)
    section.area(
        _box(-fore + COLLAR_WASHER, -outer - 1.0, -fore + COLLAR_WASHER + COLLAR, outer + 1.0), METAL, width=FINE
    )
    section.area(_box(left, -thick, -ROD_SHORT, thick), BOX, width=FINE)
    section.stroke((left, 0.0), (right, 0.0), Role.CENTRE)
    drawn, at = section.items, section.at
    plate = at(0.0, -high)
    base = plate[1]
    low = at(0.0, -across)[1]
    measures: list[Item] = []
    # The coupling's length is a limit: the words tell it so too.
    sizes = ((STUB_END, kit.fine), (ROD_SHORT, kit.fine), (ROD_SHORT + half, kit.at_most), (fore, kit.size))
    for row, (x, words) in enumerate(sizes):
        here, told = at(-x, 0.0)[0], words(x)
        measures += level(here, plate[0], low, base, base - 3.5 - _ROW * row, told, SMALL)
    names = [
        ("tube", at(left + 0.4 * _TUBE, 0.5 * (thick + outer))),
        ("shaft", at(left + 0.2 * _TUBE, 0.0)),
        ("washer, collar", at(-fore + COLLAR_WASHER + 0.5 * COLLAR, 0.8 * outer)),
        ("after half", at(-ROD_SHORT - 0.5 * half, 0.7 * across)),
        ("star", at(-0.5 * (ROD_SHORT + star), 0.6 * across)),
        ("fore half", at(-0.5 * star, 0.8 * across)),
        ("stub of drum or adapter", at(-0.5 * STUB_END, 0.0)),
        ("engine plate", at(0.5 * wood, 0.5 * (bore + high))),
        ("drum", at(wood + 6.0, 0.45 * bore)),
    ]
    return _worded("From the clutch to the shaft", drawn, measures, names, "clutch and shaft, cut open", width, height)


def strut_sizes(studio: Studio, width: float, height: float) -> Scene:
    """The strut alone on the transom, from the side: where its bearing stands, how it slants, and its bolts.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    units, rod, holes = plan.design.units, rod_way(plan), bolt_holes(plan, "strut")
    bearing = plan.balance.drive.places[0]
    back = (rod.start[0] - bearing) / -rod.along[0]
    at_bearing = rod.to(back)
    high = max(hole.z for hole in holes) + _OVER
    left = at_bearing[0] - 24.0
    tall = high - at_bearing[1] + 0.5 * BEARING
    section = Section((left, 0.0), min((width - 18.0 - _BESIDE) / (_INSIDE - left), (height - _WORDS - 6.0) / tall))
    _hull_cut(plan, section, left, high)
    outer = plan.design.drive.tube_diameter / 2.0
    low = min(hole.z for hole in holes) - PLATE_BEYOND / 2.0
    head = max(hole.z for hole in holes) + PLATE_BEYOND / 2.0
    face = [_face(plan, z) for z in (low, head)]
    section.area(
        [
            *(
                (face[0] - PLATE_THICK, low + 22.0),
                (face[0] - PLATE_THICK, low),
                (at_bearing[0] + 0.5 * ARM_WIDE, at_bearing[1] + outer),
            ),
            *((at_bearing[0] - 0.5 * ARM_WIDE, at_bearing[1] + outer), (face[0] - PLATE_THICK - ARM_WIDE, low + 12.0)),
        ],
        METAL,
    )
    section.area(
        [(face[0], low), (face[1], head), (face[1] - PLATE_THICK, head), (face[0] - PLATE_THICK, low)],
        METAL,
    )
    section.area(
        rod.slab(back - BEARING / 2.0, back + BEARING / 2.0, -outer - BARREL_WALL / 2.0, outer + BARREL_WALL / 2.0),
        METAL,
    )
    section.stroke(rod.to(back - 26.0), rod.to(back + 22.0), Role.CENTRE)
    rows = sorted({round(hole.z, 2) for hole in holes})
    for z in rows:
        section.stroke((_face(plan, z) - PLATE_THICK - 4.0, z), (_face(plan, z) + 4.0, z), Role.CENTRE)
    drawn, at = section.items, section.at
    foot = _face(plan, 0.0)
    middle, zero = at(*at_bearing), at(foot, 0.0)
    under = bounds_of(drawn)[1] - 3.0
    measures: list[Item] = level(
        middle[0], zero[0], middle[1], zero[1], under, both(foot - at_bearing[0], units), SMALL
    )
    beside = at(left, 0.0)[0] - 1.0
    measures += plumb(middle[1], zero[1], middle[0], zero[0], beside, both(-at_bearing[1], units), SMALL)
    right = at(_INSIDE, 0.0)[0] + 5.0
    ends = [at(_face(plan, z) + 4.0, z) for z in (rows[0], rows[-1])]
    if rows[-1] - rows[0] > 1.0:
        measures += plumb(ends[0][1], ends[1][1], ends[0][0], ends[1][0], right, both(rows[-1] - rows[0], units), SMALL)
    # From the bottom's outer face up to the lower slots.
    over = both(rows[0], units)
    measures += plumb(at(0.0, 0.0)[1], ends[0][1], at(_INSIDE, 0.0)[0], ends[0][0], right + _BESIDE, over, SMALL)
    steep = f"{plan.arrangement.shaft.angle:.1f}°"
    across = both(max(hole.y for hole in holes) - min(hole.y for hole in holes), units)
    names = [
        (f"barrel, {both(BEARING, units)} long, with its bearing", (at_bearing[0], at_bearing[1] + 0.5 * outer)),
        (f"slants {steep}", rod.to(back - 22.0)),
        (f"upright slots, {across} apart", (_face(plan, rows[-1]) - 0.5 * PLATE_THICK, rows[-1])),
        ("bottom's outer face", (0.7 * _INSIDE, float(plan.hull.bottom_height(np.array([0.7 * _INSIDE]))[0]))),
        ("transom", (0.5 * (face[0] + float(plan.hull.transom_inside.x(low))), low + 4.0)),
    ]
    placed = [(word, at(*place)) for word, place in names]
    return _worded("The strut's sizes", drawn, measures, placed, "strut, from the side", width, height)


def rudder_sizes(studio: Studio, width: float, height: float) -> Scene:
    """The rudder alone on the transom, from the side: how deep it reaches, how high and long its tiller is.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    rudder, units, hole = plan.design.rudder, plan.design.units, pushrod_hole(plan)
    holes = bolt_holes(plan, "rudder")
    post = min(0.0, _face(plan, hole.z)) - POST_ABAFT
    left, right, top = post - BLADE[0] - 6.0, _INSIDE, hole.z + 14.0
    tall = top + rudder.depth + 8.0
    section = Section(
        (left, 0.0), min((width - 18.0 - 2.0 * _BESIDE) / (right - left), (height - _WORDS - 12.0) / tall)
    )
    _hull_cut(plan, section, left, top)
    rows = sorted({round(each.z, 2) for each in holes})
    low, high = rows[0] - PLATE_BEYOND / 2.0, rows[-1] + PLATE_BEYOND / 2.0
    face = [_face(plan, z) for z in (low, high)]
    section.area([(face[0], low), (face[1], high), (face[1] - PLATE_THICK, high), (face[0] - PLATE_THICK, low)], METAL)
    for z in (low + 5.0, high - 9.0):
        section.area(_box(post - POST_WIDE / 2.0 - 2.0, z, _face(plan, z) - PLATE_THICK, z + 4.0), METAL, width=FINE)
    section.area(_box(post - BLADE[0], -rudder.depth, post + BLADE[1], 10.0), METAL)
    section.area(_box(post - POST_WIDE / 2.0, 10.0, post + POST_WIDE / 2.0, hole.z), METAL, width=FINE)
    section.area(
        _box(post - POST_WIDE / 2.0 - 2.0, hole.z - _TILLER, post + POST_WIDE / 2.0 + 2.0, hole.z), METAL, width=FINE
    )
    for z in rows:
        section.stroke((_face(plan, z) - PLATE_THICK - 4.0, z), (_face(plan, z) + 4.0, z), Role.CENTRE)
    section.stroke((post, -rudder.depth - 4.0), (post, hole.z + 6.0), Role.CENTRE)
    drawn, at = section.items, section.at
    zero, tip = at(_face(plan, 0.0), 0.0), at(post, -rudder.depth)
    beside = at(left, 0.0)[0]
    measures: list[Item] = plumb(tip[1], zero[1], tip[0], zero[0], beside, both(rudder.depth, units), SMALL)
    arm = at(post, hole.z)
    measures += plumb(zero[1], arm[1], zero[0], arm[0], beside - _BESIDE, both(hole.z, units), SMALL)
    far = at(right, 0.0)[0] + 5.0
    ends = [at(_face(plan, z) + 4.0, z) for z in (rows[0], rows[-1])]
    up = both(rows[0], units)
    measures += plumb(at(0.0, 0.0)[1], ends[0][1], at(right, 0.0)[0], ends[0][0], far + _BESIDE, up, SMALL)
    if rows[-1] - rows[0] > 1.0:
        measures += plumb(ends[0][1], ends[1][1], ends[0][0], ends[1][0], far, both(rows[-1] - rows[0], units), SMALL)
    low_at, back, front = at(0.0, -rudder.depth)[1], at(post - BLADE[0], 0.0)[0], at(post + BLADE[1], 0.0)[0]
    measures += level(back, front, low_at, low_at, low_at - 8.0, both(sum(BLADE), units), SMALL)
    measures += level(arm[0], front, low_at, low_at, low_at - 12.0, both(BLADE[1], units), SMALL)
    measures += level(arm[0], zero[0], low_at, zero[1], low_at - 4.0, both(_face(plan, 0.0) - post, units), SMALL)
    across = both(max(each.y for each in holes) - min(each.y for each in holes), units)
    names = [
        (f"tiller: rod {both(abs(hole.y - rudder.offset), units)} towards the middle", (post, hole.z - 0.5 * _TILLER)),
        (f"bolts {across} apart", (_face(plan, rows[-1]) - 0.5 * PLATE_THICK, rows[-1])),
        (f"post, {both(POST_WIDE, units)} thick", (post, 0.5 * (10.0 + low))),
        ("bottom's outer face", (0.7 * right, float(plan.hull.bottom_height(np.array([0.7 * right]))[0]))),
    ]
    placed = [(word, at(*place)) for word, place in names]
    return _worded("The rudder's sizes", drawn, measures, placed, "rudder, from the side", width, height)


def bracket_sizes(studio: Studio, width: float, height: float) -> Scene:
    """A steel corner bracket: along its corner, and both legs from outside, with the holes that are drilled.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    units, leg = plan.design.units, short_leg(plan)
    cut = BRACKET_LEG if leg is None else leg
    long = 2.0 * BRACKET_LEG + cut + 2.0 * _APART
    section = Section((0.0, 0.0), min((width - 28.0) / long, (height - _WORDS - 10.0) / BRACKET_WIDE))
    section.area(
        [(0.0, 0.0), (BRACKET_LEG, 0.0), (BRACKET_LEG, STEEL), (STEEL, STEEL), (STEEL, cut), (0.0, cut)], METAL
    )
    if leg is not None:
        section.area(_box(0.0, cut, STEEL, BRACKET_LEG), BOX, Role.HIDDEN, FINE)
    start = BRACKET_LEG + _APART
    other = start + BRACKET_LEG + _APART
    section.area(_box(start, 0.0, start + BRACKET_LEG, BRACKET_WIDE), METAL)
    section.area(_box(other, 0.0, other + cut, BRACKET_WIDE), METAL)
    low, high = 0.25 * BRACKET_WIDE, 0.75 * BRACKET_WIDE
    for far in BRACKET_HOLES:
        section.ring(start + far, low, BOLT_HOLE / 2.0, BOX, FINE)
    section.ring(other + 0.5 * (cut + STEEL), high, BOLT_HOLE / 2.0, BOX, FINE)
    drawn, at = section.items, section.at
    floor, top = at(0.0, 0.0)[1], at(0.0, BRACKET_WIDE)[1]
    begin, end = at(start, 0.0)[0], at(start + BRACKET_LEG, 0.0)[0]
    measures = plumb(0.0, at(0.0, cut)[1], 0.0, 0.0, -11.0, both(cut, units), SMALL)
    measures += level(begin, end, floor, floor, floor - 4.2, both(BRACKET_LEG, units), SMALL)
    # The farthest first, so that no line runs through a figure.
    for row, far in enumerate(BRACKET_HOLES[::-1], 2):
        hole = at(start + far, low)
        measures += level(begin, hole[0], floor, hole[1], floor - 4.2 * row, both(far, units), SMALL)
    edge = at(other + cut, 0.0)[0]
    measures += plumb(floor, top, edge, edge, edge + 4.5, both(BRACKET_WIDE, units), SMALL)
    measures += plumb(floor, at(0.0, low)[1], begin, begin, begin - 11.0, both(low, units), SMALL)
    names = [
        ("on the bearer", at(start + 0.75 * BRACKET_LEG, 0.6 * BRACKET_WIDE)),
        ("on the plate", at(other + 0.3 * cut, 0.4 * BRACKET_WIDE)),
        ("corner", at(start, 0.8 * BRACKET_WIDE)),
        ("corner", at(other, 0.2 * BRACKET_WIDE)),
    ]
    if leg is not None:
        names.append(("sawn off", at(0.5 * STEEL, 0.5 * (cut + BRACKET_LEG))))
    return _worded(
        "A corner bracket", drawn, measures, names, "bracket, along its corner, and both legs", width, height
    )


def _hull_cut(plan: BoatPlan, section: Section, left: float, high: float) -> None:
    """Bottom and transom, cut along the middle of the boat."""
    window = shapely.box(left, -1e3, _INSIDE, high)
    section.shape(bottom_cut(plan, left, _INSIDE), WOOD, window)
    for part in parts_named(plan, "transom"):
        section.shape(bodies_of(part)[0].side, WOOD, window)


def _face(plan: BoatPlan, z: float) -> float:
    """X of the transom's outer face at a height."""
    return float(plan.hull.transom.x(z))


def _box(x0: float, z0: float, x1: float, z1: float) -> list[Point]:
    return [(x0, z0), (x1, z0), (x1, z1), (x0, z1)]


def _worded(
    title: str,
    drawn: list[Item],
    measures: list[Item],
    names: list[tuple[str, Point]],
    seen: str,
    width: float,
    height: float,
) -> Scene:
    """The picture with its measures, its names on free ground and what it shows, no larger than its room."""
    everything = [*drawn, *measures]
    x0, y0, x1, y1 = bounds_of(everything)
    items = [*everything, *words_beside(everything, [], names, (x0 - 4.0, y0 - 7.0, x1 + 4.0, y1 + 8.0))]
    left, _, _, high = bounds_of(items)
    items.append(Text(Role.LABEL, (left, high + 1.0), seen, END_SIZE))
    return fitted(title, items, width, height)
