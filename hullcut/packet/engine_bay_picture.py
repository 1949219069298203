"""The engine on its plate, cut along the shaft, with the coupling and the fore end of the shaft log."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from hullcut.balance.engine_room import BRACKET_LEG
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.scene import Role, Scene
from hullcut.drawing.views.picture import NEW
from hullcut.packet.engine_mount import bearers_over_rod, bolt_rows, engine_box, plate_over_rod
from hullcut.packet.metal_parts_picture import BRACKET_HOLES
from hullcut.packet.places import COLLAR, COLLAR_WASHER, coupling_half, tube
from hullcut.packet.section import (
    BEYOND,
    BOLT,
    BOX,
    FINE,
    HEAD,
    METAL,
    NUT_WIDE,
    STEEL,
    WASHER,
    WASHER_WIDE,
    WOOD,
    Section,
    Way,
    bottom_cut,
    draw_bolt,
    draw_screw,
    parts_named,
    rod_way,
    under_floor,
    with_names,
)
from hullcut.parts.clearances import bodies_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Point
    from hullcut.packet.studio import Studio

__all__ = ["Stage", "engine_bay"]

# How far a bolt goes into the engine as it is drawn, mm.
_THREAD = 12.0
# Between the coupling's halves, mm.
_GAP = 2.0

Stage = Literal["mount", "line up", "shaft"]
"""What is done in the picture: the plate goes on, the coupling is lined up on a dummy rod, the shaft goes in."""


def engine_bay(studio: Studio, width: float, height: float, stage: Stage = "mount") -> Scene:
    """The engine on its plate, cut along the shaft line, with the names of all that stands there.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
        stage: what is done; a dummy rod lies in the shaft's place, without the collar, while it is lined up.
    """
    plan = studio.plan
    design, shaft, log = plan.design, plan.arrangement.shaft, tube(plan)
    rod = rod_way(plan)
    wood, bore = design.woods.engine_plate.thickness, design.engine.housing_bore / 2.0
    bearer = bodies_of(parts_named(plan, "bearer-port")[0])[0].side
    plate = bodies_of(parts_named(plan, "engine-plate")[0])[0].side
    ahead, foot, head = engine_box(plan)
    start, stop = shaft.output_x - log.abaft_plate - 70.0, shaft.output_x + wood + ahead + 22.0
    section = Section((start, 0.0), width / (stop - start))
    window = shapely.box(start, -1e3, stop, 1e3)
    section.shape(bottom_cut(plan, start, stop), WOOD, window)
    section.shape(bearer, BEYOND, window)
    corner = bearers_over_rod(plan)
    section.area(rod.slab(0.0, BRACKET_LEG, corner - 27.0, corner + 24.0), METAL, width=FINE)
    section.area(rod.slab(-wood - ahead, -wood, foot, head), BOX)
    # Its lower part hangs between the bearers: the edge of the one behind it is dashed.
    ends = [rod.to(-wood, corner), rod.to(-wood - ahead, corner)]
    section.stroke(ends[0], (min(ends[1][0], bearer.bounds[2]), _on_line(ends, bearer.bounds[2])), Role.HIDDEN, FINE)
    passage = shapely.Polygon(rod.slab(-2.0 * wood, 2.0 * wood, -bore, bore))
    # The foot is planed to the bottom's inner face.
    section.shape(
        shapely.difference(plate, passage),
        NEW.colour if stage == "mount" else WOOD,
        shapely.difference(window, under_floor(plan, window)),
    )
    section.area(rod.slab(-wood, 3.0, -0.9 * bore, 0.9 * bore), BOX, width=FINE)
    section.area(rod.slab(0.0, STEEL, corner + 3.0, corner + 24.0), METAL, width=FINE)
    rows = bolt_rows(plan)
    for up in rows:
        # It screws into the engine: there is no room for a nut between engine and plate.
        draw_screw(section, Way(rod.to(0.0, up), rod.along), -wood - _THREAD, 0.0)
    through = corner + 17.0
    # It stands abeam of the bore: where both would be drawn in one place, the bracket's bolt is left out.
    if through > bore + NUT_WIDE and min(abs(through - up) for up in rows) > WASHER_WIDE:
        draw_bolt(section, Way(rod.to(0.0, through), rod.along), -wood, STEEL)
    _log_and_coupling(section, plan, stage)
    # One stands behind the coupling, as it is drawn.
    pins = [rod.to(far, min(corner - 12.7, -13.0)) for far in BRACKET_HOLES]
    for pin in pins:
        section.ring(*pin, NUT_WIDE / 2.0, BOX, FINE)
        section.ring(*pin, BOLT / 2.0, METAL, FINE)
    # Where nothing stands before it.
    before = shapely.union_all(
        [
            plate,
            shapely.Polygon(rod.slab(-wood - ahead, -wood, foot, head)),
            shapely.Polygon(rod.slab(0.0, log.abaft_plate, corner - 27.0, corner + 24.0)),
            shapely.Polygon(rod.slab(0.0, log.abaft_plate + log.length, -design.drive.tube_diameter, BRACKET_LEG)),
        ]
    )
    bare = shapely.intersection(shapely.difference(bearer, before.buffer(1.0)), window.buffer(-4.0))
    on_bearer = max(shapely.get_parts(bare), key=lambda piece: piece.area).representative_point()
    at_bottom = 0.5 * (start + shaft.output_x)
    # In an order in which each finds free ground.
    names = [
        ("bottom", (at_bottom, float(plan.hull.bottom_height(np.array([at_bottom]))[0]) + 2.0)),
        ("bolts through bearer", pins[-1]),
        ("clutch, in the bore", rod.to(-wood / 2.0, -0.6 * bore)),
        ("tube", rod.to(log.abaft_plate + 28.0, 0.42 * design.drive.tube_diameter)),
        ("shaft", rod.to(log.abaft_plate + 52.0, 0.0)),
        ("collar", rod.to(log.abaft_plate - 3.0, 4.0)),
        ("steel bracket", rod.to(28.0, corner + 18.0)),
        ("engine, plainly", rod.to(-wood - 0.75 * ahead, 0.7 * head)),
        ("engine plate", rod.to(-wood / 2.0, 0.5 * (bore + plate_over_rod(plan)) + 6.0)),
        ("bolt into the engine", rod.to(WASHER + HEAD, rows[0])),
        ("coupling", rod.to(0.45 * log.abaft_plate, 5.0)),
        ("bearer", (on_bearer.x, on_bearer.y)),
    ]
    if stage == "line up":
        dry = {"shaft": "dummy rod", "tube": "tube, in epoxy"}
        kept = ("bottom", "tube", "shaft", "engine plate", "engine, plainly")
        gap = ("gap alike all round", rod.to(ROD_SHORT - 0.5 * _GAP, design.drive.tube_diameter / 2.0 + 1.5))
        names = [gap, *((dry.get(word, word), place) for word, place in names if word in kept)]
        names.append(("coupling", rod.to(log.abaft_plate - 11.5, -0.42 * design.drive.tube_diameter - 2.0)))
    return with_names("The engine bay, cut along the shaft", section, names, width, over=16.0)


def _on_line(ends: Sequence[Point], most: float) -> float:
    """Height on the line through two points at the second's x, or at the most x if that is less."""
    (x0, z0), (x1, z1) = ends
    return z0 + (z1 - z0) * (min(x1, most) - x0) / (x1 - x0)


def _log_and_coupling(section: Section, plan: BoatPlan, stage: Stage) -> None:
    """Rod, tube cut open, collar with washer unless the line is only tried, and the coupling's two halves."""
    design, log, rod = plan.design, tube(plan), rod_way(plan)
    thick, outer = design.drive.shaft_diameter / 2.0, design.drive.tube_diameter / 2.0
    fore = log.abaft_plate
    # A rod is drawn as far as both its sides lie in the picture.
    start = (section.corner[0] - rod.start[0]) / rod.along[0] - 2.0
    end = min(start, fore + log.length)
    for side in (1.0, -1.0):
        section.area(rod.slab(fore, end, side * 0.999 * thick, side * outer), METAL, width=FINE)
    fresh = NEW.colour if stage == "shaft" else None
    section.area(rod.slab(ROD_SHORT, start, -thick, thick), fresh or BOX, width=FINE)
    section.area(rod.slab(3.0, 5.0, -thick, thick), METAL, width=FINE)
    if stage != "line up":
        section.area(rod.slab(fore - COLLAR_WASHER, fore, -outer - 2.0, outer + 2.0), fresh or BOX, width=FINE)
        section.area(
            rod.slab(fore - COLLAR_WASHER - COLLAR, fore - COLLAR_WASHER, -outer - 1.0, outer + 1.0),
            fresh or METAL,
            width=FINE,
        )
    lined_up = NEW.colour if stage == "line up" else METAL
    # The rod ends flush with its half.
    section.area(rod.slab(4.0, ROD_SHORT - _GAP, -outer - 3.0, outer + 3.0), lined_up, width=FINE)
    half = ROD_SHORT + coupling_half(plan)
    section.area(rod.slab(ROD_SHORT, half, -outer - 3.0, outer + 3.0), fresh or lined_up, width=FINE)
    section.stroke(rod.to(start), rod.to(-30.0), Role.CENTRE)
