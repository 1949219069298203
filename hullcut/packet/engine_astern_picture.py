"""The engine plate from astern, the boat cut across there, with muffler, heat shield and switch."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.engine_room import BRACKET_WIDE, MUFFLER_FREE, SWITCH_BELOW, engine_room, shield_off
from hullcut.drawing.scene import Role, Scene, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.engine_mount import bearers_over_rod, bolt_places, engine_box, plate_over_rod
from hullcut.packet.picture_words import END_SIZE
from hullcut.packet.section import (
    BEYOND,
    BOX,
    FINE,
    METAL,
    NUT_WIDE,
    SMALL,
    STEEL,
    WOOD,
    Section,
    Way,
    draw_bolt,
    rod_way,
    with_names,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.drawing.scene import Point
    from hullcut.packet.studio import Studio

__all__ = ["engine_from_astern"]

# How far the kill switch's button stands out, and how wide it is, mm on the boat.
_BUTTON = 6.0
# A muffler is drawn no lower than this, mm on the boat.
_LEAST_MUFFLER = 20.0
# Half of the kill switch as it is drawn, mm on the boat.
_SWITCH_HALF = 6.0
# Names of what is told before, and of what holds the engine.
_SHELL = ("chine cleat",)
_MOUNT = ("bolts through bearer", "clutch, in the bore", "bearer", "steel bracket", "engine plate")


def engine_from_astern(studio: Studio, width: float, height: float, shielding: bool = False) -> Scene:
    """The engine plate on its bearers, the boat cut across there, with brackets, muffler and heat shield.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
        shielding: whether only heat shield and kill switch are placed, and the plate stands there already.
    """
    plan = studio.plan
    design, hull, place = plan.design, plan.hull, plan.arrangement
    engine, rod = design.engine, rod_way(plan)
    x = np.array([place.plate_x])
    floor, roof = float(hull.bottom_height(x)[0]), float(hull.sheer_height(x)[0])
    inner = float(hull.bottom_height(x, hull.bottom_thickness)[0])
    # The sides stand on the bottom, which reaches out to their outer faces.
    heights = np.linspace(inner, roof, 8)
    across = np.full(8, place.plate_x)
    outside = hull.half_breadth(across, heights)
    inside = hull.half_breadth(across, heights, hull.side_thickness)
    half = float(outside.max())
    # Room for the measures on either hand.
    section = Section((-half, floor), (width - 20.0) / (2.0 * half))
    low, edge_up = float(hull.half_breadth(x, floor)[0]), float(outside[0])
    section.area([(-low, floor), (low, floor), (edge_up, inner), (-edge_up, inner)], WOOD)
    for side in (1.0, -1.0):
        planking = [*zip(side * outside, heights, strict=True), *zip(side * inside[::-1], heights[::-1], strict=True)]
        section.area(np.array(planking), WOOD)
    shoulder = rod.to(0.0, bearers_over_rod(plan))[1]
    gap, thick = engine.bearer_gap / 2.0, design.woods.bearer.thickness
    head, wide = rod.to(0.0, plate_over_rod(plan))[1], engine.plate_width / 2.0
    _, foot, top = engine_box(plan)
    box = (max(rod.start[1] + foot, inner + 4.0), max(rod.start[1] + top, head + 8.0))
    # It hangs between the bearers and is wider only over them.
    neck, rest = gap - 3.0, shoulder + 2.0
    low_part = [(-neck, rest), (-neck, box[0]), (neck, box[0]), (neck, rest)]
    section.area([*low_part, (wide, rest), (wide, box[1]), (-wide, box[1]), (-wide, rest)], BOX, Role.HIDDEN, FINE)
    for side in (1.0, -1.0):
        ring = [(gap, inner), (gap + thick, inner), (gap + thick, shoulder), (gap, shoulder)]
        section.area([(side * y, z) for y, z in ring], BEYOND)
    section.area(
        [
            *((-gap, inner), (gap, inner), (gap, shoulder), (wide, shoulder)),
            *((wide, head), (-wide, head), (-wide, shoulder), (-gap, shoulder)),
        ],
        WOOD if shielding else NEW.colour,
    )
    section.ring(0.0, rod.start[1], engine.housing_bore / 2.0, BOX)
    section.ring(0.0, rod.start[1], design.drive.shaft_diameter / 2.0, METAL, FINE)
    for y, up in bolt_places(plan):
        section.ring(y, rod.to(0.0, up)[1], NUT_WIDE / 2.0, METAL, FINE)
    edge = gap + thick
    for side in (1.0, -1.0):
        reach = BRACKET_WIDE / 2.0
        leaf = [(edge, shoulder - reach), (edge + STEEL, shoulder - reach), (edge + STEEL, shoulder + 2.0)]
        leaf += [(wide - 1.0, shoulder + 2.0), (wide - 1.0, shoulder + reach), (edge, shoulder + reach)]
        leaf = [(side * y, max(z, inner + 1.0)) for y, z in leaf]
        section.area(leaf, METAL, width=FINE)
        section.ring(side * 0.5 * (edge + wide), shoulder + 17.0, NUT_WIDE / 2.0, BOX, FINE)
        bolt = Way((0.0, max(shoulder - 14.0, inner + 8.0)), (side, 0.0))
        draw_bolt(section, bolt, gap, edge + STEEL)
    near = float(np.min(inside))

    def wall(z: float) -> float:
        return float(hull.half_breadth(x, np.array([z]), hull.side_thickness)[0])

    head_of_cleat = float(hull.roof_height(x)[0])
    reach, foot_of_cleat = design.woods.cleat.thickness, head_of_cleat - design.cleats.sheer_height
    head_of_chine = inner + design.cleats.chine_height
    for foot_at, head_at in ((foot_of_cleat, head_of_cleat), (inner, head_of_chine)):
        for side in (1.0, -1.0):
            ring = [(wall(head_at), head_at), (wall(foot_at), foot_at)]
            ring += [(y - reach, z) for y, z in ring[::-1]]
            section.area([(side * y, z) for y, z in ring], WOOD, width=FINE)
    off = shield_off(design)
    aside = _Muffler.placed(wide, wall, off, box, (inner, roof))
    (start_x, _), _, (end_x, high), _ = aside.box
    pipe = 0.5 * (start_x + end_x)
    over = max(roof, high) + 12.0
    section.area([(pipe - 5.0, high), (pipe + 5.0, high), (pipe + 5.0, over), (pipe - 5.0, over)], METAL, width=FINE)
    section.area(aside.box, BOX, Role.HIDDEN, FINE)
    switch = roof - SWITCH_BELOW
    # On the cleat's inner face, where it is as low as that.
    at_switch = wall(switch) - (reach if switch + _SWITCH_HALF > foot_of_cleat else 0.0)
    section.area(
        [
            (-at_switch, switch - _SWITCH_HALF),
            (-at_switch + 9.0, switch - _SWITCH_HALF),
            (-at_switch + 9.0, switch + _SWITCH_HALF),
            (-at_switch, switch + _SWITCH_HALF),
        ],
        NEW.colour,
    )
    # Its button goes through the side, and is pressed from outside.
    tip = -float(hull.half_breadth(x, np.array([switch]))[0]) - _BUTTON
    section.area(
        [
            (tip, switch - _BUTTON / 2.0),
            (-at_switch, switch - _BUTTON / 2.0),
            (-at_switch, switch + _BUTTON / 2.0),
            (tip, switch + _BUTTON / 2.0),
        ],
        NEW.colour,
        width=FINE,
    )
    for start, end in pairwise(aside.shield):
        section.stroke(start, end, Role.OUTLINE, 0.7)
    foot_of_shield, head_of_shield = (z for _, z in aside.shield)
    # Clear of the sheer cleat.
    spacers = [
        0.75 * foot_of_shield + 0.25 * head_of_shield,
        min(0.2 * foot_of_shield + 0.8 * head_of_shield, foot_of_cleat - 6.0),
    ]
    for z in spacers:
        ring = [(wall(z + up) - back, z + up) for up, back in ((-2.5, off), (-2.5, 0.0), (2.5, 0.0), (2.5, off))]
        section.area(ring, METAL, width=FINE)
    # Between the spacers, in the thick of the planking.
    beside_spacers = 0.5 * (spacers[0] + spacers[1])

    def at_outer(z: float) -> float:
        return float(hull.half_breadth(x, np.array([z]))[0])

    # In an order in which each finds free ground.
    names = [
        ("bolts through bearer", (-edge - STEEL - 4.0, max(shoulder - 14.0, inner + 8.0))),
        ("clutch, in the bore", (0.0, rod.start[1] - 0.7 * engine.housing_bore / 2.0)),
        ("bearer", (-gap - 0.5 * thick, 0.6 * inner + 0.4 * shoulder)),
        ("side", (0.5 * (wall(beside_spacers) + at_outer(beside_spacers)), beside_spacers)),
        ("chine cleat", (-wall(inner) + 0.5 * reach, 0.5 * (inner + head_of_chine))),
        ("sheer cleat", (-wall(head_of_cleat) + 0.5 * reach, 0.5 * (head_of_cleat + foot_of_cleat))),
        ("heat shield", aside.shield[1]),
        ("steel bracket", (-edge - 3.0, shoulder + 24.0)),
        ("exhaust outlet", (pipe, over - 4.0)),
        ("engine, dashed", (0.55 * wide, 0.5 * (head + box[1]))),
        ("muffler", aside.middle),
        ("kill switch", (-at_switch + 5.0, switch)),
        ("engine plate", (-0.2 * wide, 0.8 * head + 0.2 * shoulder)),
        ("spacer", (wall(spacers[0]) - 0.5 * off, spacers[0])),
    ]
    # Where the engine's mount is named there is no room for more.
    names = [(word, at) for word, at in names if word not in (_MOUNT if shielding else _SHELL)]
    room, units = engine_room(hull, place), design.units
    under = section.at(0.0, floor)[1] - 8.0
    low_at, beside = section.at(0.0, inner)[1], section.at(-half, 0.0)[0]
    ends = (section.at(-gap, 0.0)[0], section.at(gap, 0.0)[0])
    measures = [] if shielding else level(*ends, low_at, low_at, under, both(room.between, units), SMALL)
    shield = section.at(aside.shield[0][0], 0.0)[0]
    top = section.at(0.0, over)[1] + 3.0
    measures += level(
        section.at(end_x, 0.0)[0],
        shield,
        section.at(0.0, high)[1],
        section.at(0.0, high)[1],
        top,
        both(aside.shield[0][0] - end_x, units),
        SMALL,
    )
    measures += plumb(
        section.at(0.0, switch)[1],
        section.at(0.0, roof)[1],
        section.at(-at_switch, 0.0)[0],
        section.at(-near, 0.0)[0],
        beside - 3.0,
        both(SWITCH_BELOW, units),
        SMALL,
    )
    for side, word in ((-1.0, "port"), (1.0, "starboard")):
        left, base = section.at(side * 0.8 * half, floor)
        measures.append(Text(Role.LABEL, (left, base - 3.4), word, SMALL, anchor="middle"))
    section.items += measures
    drawn = with_names("The engine plate from astern, the boat cut across", section, names, width, over=20.0)
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
    def placed(
        cls,
        wide: float,
        wall: Callable[[float], float],
        off: float,
        engine: tuple[float, float],
        room: tuple[float, float],
    ) -> _Muffler:
        """Beside an engine so wide, so far off a wall, by the engine's upper side; its shield from floor to sheer."""
        high = min(engine[1], room[1] - MUFFLER_FREE)
        low = min(max(0.5 * (engine[0] + engine[1]), room[0] + MUFFLER_FREE), high - _LEAST_MUFFLER)
        # As much larger than the muffler all round as the step tells.
        shield = tuple((wall(z) - off, z) for z in (low - MUFFLER_FREE, high + MUFFLER_FREE))
        end = max(wide + 8.0, min(y for y, _ in shield) - MUFFLER_FREE)
        return cls(((wide, low), (end, low), (end, high), (wide, high)), shield)
