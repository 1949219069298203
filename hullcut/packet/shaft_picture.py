"""The shaft's line from the side: tried on a dummy rod with all that holds it, then with its tube glued in."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.engine_room import engine_room
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.paths import bounds_of, clip_items, line, polygon
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import VERMILLION
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW, PLAIN, Shown
from hullcut.lengths import both
from hullcut.packet.jigs import BLOCK_THICK, jig_sizes, transom_top
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, hatching, words_beside
from hullcut.packet.places import coupling_half, tube, tube_bearings

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["shaft_line", "trial_bodies"]

# How long a bearing and how thick the block are drawn, mm on the boat.
_BEARING, _BLOCK = 12.0, BLOCK_THICK
# What of the trial still holds rod and tube while the tube is glued in.
_KEPT = ("wedge", "block")
# How far the dummy rod is drawn past disc and hub, mm.
_PAST_DISC, _PAST_HUB = 60.0, 10.0
_METAL = "#9fb0bf"
# Between the coupling's halves, where its star goes, mm on the boat.
_STAR = 2.0


def shaft_line(studio: Studio, width: float, height: float, measured: bool = True) -> Scene:
    """The after half of the boat from its side, the near side left out, with the places that the shaft passes.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
        measured: whether places are measured on a dummy rod; else what is glued and lined up is named.
    """
    plan, shaft = studio.plan, studio.plan.arrangement.shaft
    families = ("bottom", "transom", "bearer", "engine_plate", "fin")
    parts = [part for part in plan.parts if part.family in families]
    ports = [part for part in parts if part.hand != "starboard"]
    owners = [*studio.owners(*ports), "shaft"]
    view = studio.view("side")
    x0, y0, _, _ = view.bounds([Shown(owner, PLAIN) for owner in owners])
    stop = max(shaft.output_x + 150.0, plan.arrangement.fin_x + plan.design.fin.root + 20.0)
    if measured:
        # As large as can be: no farther than the rod reaches past the disc.
        stop = shaft.output_x + plan.design.woods.engine_plate.thickness + _PAST_DISC + 12.0
    scale = (width - 24.0) / (stop - x0)
    shown = [
        Shown(owner, NEW if owner == "shaft" else PLAIN) for owner in owners if not (measured and owner == "shaft")
    ]
    edge = (stop - x0) * scale
    items = [
        piece for item in view.items(shown, scale, (x0, y0)) for piece in clip_items([item], (-1e4, -1e4, edge, 1e4))
    ]

    def at(x: float, z: float) -> Point:
        return ((x - x0) * scale, (z - y0) * scale)

    units = plan.design.units
    hub = at(shaft.hub_x, shaft.hub_z)
    slope = (hub, at(shaft.output_x + 60.0, shaft.output_z + 60.0 * math.tan(math.radians(shaft.angle))))
    items += hatching(items)
    for name, ring, fill in [*trial_bodies(plan), *([] if measured else _coupling(plan))]:
        if measured or name in (*_KEPT, "coupling"):
            body = Shape(Role.OUTLINE, (polygon([at(*corner) for corner in ring]),), fill=fill, width=0.25, ref=name)
            # What passes through it is drawn later and hides its hatching too.
            items += [body, *hatching([body])]
    if not measured:
        items.append(Shape(Role.CENTRE, (line(*slope),)))
    foot = at(0.0, -plan.design.fin.depth)[1] - 6.0
    head = at(0.0, plan.design.hull.depth)[1] + 1.5
    # Clear of the block that stands on the transom.
    items.append(Text(Role.LABEL, (at(_BLOCK, 0.0)[0], head), "stern", END_SIZE, bold=True))
    # Beside the drawing, unless the rise is measured there: then under all measures.
    ahead, anchor = ((edge, foot - 4.0), "end") if measured else ((edge + 2.0, at(0.0, 4.0)[1]), "start")
    items.append(Text(Role.LABEL, ahead, "to the bow", END_SIZE, anchor=anchor, bold=True))
    if not measured:
        return fitted("The shaft log and the coupling", items + _glued(plan, at, items), width, height)
    below = engine_room(plan.hull, plan.arrangement).below
    floor, middle = at(shaft.output_x, shaft.output_z - below), at(shaft.output_x, shaft.output_z)
    items += plumb(floor[1], middle[1], middle[0], middle[0], edge + 16.0, both(below, units))
    log = tube(plan)
    zero, end = at(0.0, 0.0), at(*_along(plan, log.abaft_plate + log.length))
    items += level(zero[0], end[0], zero[1], end[1], foot, both(shaft.slot_from, units))
    items += _hole_in_block(plan, at)
    low, under, high, over = bounds_of(items)
    names = [(name, at(*place)) for name, place in _trial_names(plan)]
    items += words_beside(items, [], names, (low, under, high, over + 14.0))
    return fitted("The dummy rod in its place", items, width, height)


def _hole_in_block(plan: BoatPlan, at: Callable[[float, float], Point]) -> list[Item]:
    """From the block's head down to the rod, beside it; nothing where it leans with the transom."""
    if plan.design.hull.transom_rake > 0.0:
        return []
    far, head = jig_sizes(plan).block_hole, transom_top(plan)
    low, high = at(-_BLOCK, head - far), at(-_BLOCK, head)
    return plumb(low[1], high[1], low[0], high[0], low[0] - 4.0, both(far, plan.design.units))


def _slab(plan: BoatPlan, begin: float, end: float, half: float) -> list[Point]:
    """The oblong about the shaft's middle between two places so far abaft the engine plate along it, mm."""
    (x0, z0), (x1, z1) = _along(plan, begin), _along(plan, end)
    steep = math.radians(plan.arrangement.shaft.angle)
    dx, dz = -half * math.sin(steep), half * math.cos(steep)
    return [(x0 - dx, z0 - dz), (x1 - dx, z1 - dz), (x1 + dx, z1 + dz), (x0 + dx, z0 + dz)]


def _coupling(plan: BoatPlan) -> list[tuple[str, list[Point], str]]:
    """Both halves of the coupling, as `trial_bodies` tells them."""
    half = plan.design.drive.tube_diameter / 2.0 + 3.0
    ends = ((4.0, ROD_SHORT - _STAR), (ROD_SHORT, ROD_SHORT + coupling_half(plan)))
    return [("coupling", _slab(plan, *each, half), _METAL) for each in ends]


def _along(plan: BoatPlan, back: float) -> Point:
    """A point so far abaft the engine plate along the shaft, mm."""
    shaft = plan.arrangement.shaft
    steep = math.radians(shaft.angle)
    return (shaft.output_x - back * math.cos(steep), shaft.output_z - back * math.sin(steep))


def trial_bodies(plan: BoatPlan) -> list[tuple[str, list[Point], str]]:
    """What the dummy rod is tried with: name, corners in x and z (mm on the boat), colour.

    The wedge stands on the bottom with its thin end at the slot, so that the tube's underside lies along it. The block
    stands on the transom's outer face, their heads level.
    """
    design, shaft, log, sizes = plan.design, plan.arrangement.shaft, tube(plan), jig_sizes(plan)
    wood, thick, outer = (
        design.woods.engine_plate.thickness,
        sizes.rod[0] / 2.0,
        design.drive.tube_diameter / 2.0,
    )
    long, high = sizes.wedge
    begin = _under_tube(plan)
    stands = np.array([begin, begin + long])
    aft, fore = plan.hull.bottom_height(stands, plan.hull.bottom_thickness).tolist()
    head = transom_top(plan)
    face = [(float(plan.hull.transom.x(z)), z) for z in (head - sizes.block, head)]
    bearings = [log.abaft_plate, *(log.abaft_plate + deep for deep in tube_bearings(plan))]
    # A bearing in an end lies flush in it, one between has its middle there.
    end = log.abaft_plate + log.length
    starts = [min(max(place - _BEARING / 2.0, log.abaft_plate), end - _BEARING) for place in bearings]
    return [
        (
            "wedge",
            [(begin, aft), (begin + long, fore), (begin + long, fore + high)],
            NEW.colour,
        ),
        ("block", [face[0], face[1], (face[1][0] - _BLOCK, face[1][1]), (face[0][0] - _BLOCK, face[0][1])], NEW.colour),
        ("disc", _slab(plan, -wood, 0.0, design.engine.housing_bore / 2.0), NEW.colour),
        ("tube", _slab(plan, log.abaft_plate, end, outer), "#ffffff"),
        *(("bearing", _slab(plan, begin, begin + _BEARING, outer), _METAL) for begin in starts),
        ("dummy rod", _slab(plan, -wood - _PAST_DISC, shaft.length + _PAST_HUB, thick), PLAIN.colour),
    ]


def _under_tube(plan: BoatPlan) -> float:
    """X where the tube's underside meets the bottom's inner face: so far the wedge is pushed under it.

    Where the bottom is bent that is a trifle ahead of the slot, which is reckoned with a straight bottom.
    """
    shaft, hull = plan.arrangement.shaft, plan.hull
    steep = math.radians(shaft.angle)
    x = np.array([shaft.slot_to - 1.0, shaft.slot_to + 1.0])
    under = shaft.output_z - (shaft.output_x - x) * math.tan(steep)
    gap = under - plan.design.drive.tube_diameter / 2.0 / math.cos(steep) - hull.bottom_height(x, hull.bottom_thickness)
    return float(x[0] - gap[0] * (x[1] - x[0]) / (gap[1] - gap[0]))


def _trial_names(plan: BoatPlan) -> list[tuple[str, Point]]:
    """Name and a point of each body of the trial, those first that have least room."""
    log, found = tube(plan), []
    for name, ring, _ in trial_bodies(plan):
        x, z = (sum(axis) / len(ring) for axis in zip(*ring, strict=True))
        if name == "block":
            x, z = ring[2][0] + 0.5 * _BLOCK, 0.8 * ring[2][1]
        elif name == "tube":
            x, z = _on_wall(plan, *_along(plan, log.abaft_plate + 0.45 * log.length))
        elif name == "bearing":
            x, z = _on_wall(plan, x, z)
        elif name == "dummy rod":
            x, z = _along(plan, -plan.design.woods.engine_plate.thickness - 0.6 * _PAST_DISC)
        elif name == "disc":
            z += 0.3 * plan.design.engine.housing_bore
        found.append((name, (x, z)))
    return [found[-1], *found[:-1]]


def _on_wall(plan: BoatPlan, x: float, z: float) -> Point:
    """From the shaft's middle up into what holds the rod: half-way between its surface and the tube's."""
    steep = math.radians(plan.arrangement.shaft.angle)
    up = 0.25 * (jig_sizes(plan).rod[0] + plan.design.drive.tube_diameter)
    return (x - up * math.sin(steep), z + up * math.cos(steep))


def _glued(plan: BoatPlan, at: Callable[[float, float], Point], drawn: list[Item]) -> list[Item]:
    """The tube drawn over the rod, and the names of what is lined up and of what holds it, each with a leader."""
    log = tube(plan)
    fore, aft = (at(*_along(plan, back)) for back in (log.abaft_plate, log.abaft_plate + log.length))
    items: list[Item] = [Shape(Role.OUTLINE, (line(aft, fore),), stroke=VERMILLION, width=1.1, ref="tube")]
    bodies = {name: ring for name, ring, _ in trial_bodies(plan)}
    wedge = tuple(sum(axis) / 3.0 for axis in zip(*bodies["wedge"], strict=True))
    _, _, (left, head), _ = bodies["block"]
    names = [
        ("coupling", at(*_along(plan, ROD_SHORT + 0.5 * coupling_half(plan)))),
        ("wedge, in plastic film", at(*wedge)),
        ("shaft log, in epoxy", at(*_along(plan, log.abaft_plate + 0.8 * log.length))),
        ("block", at(left + 0.5 * _BLOCK, 0.6 * head)),
    ]
    x0, y0, x1, y1 = bounds_of([*drawn, *items])
    return [*items, *words_beside([*drawn, *items], [], names, (x0, y0 - 8.0, x1, y1 + 6.0))]
