"""Where the drain hole goes through the transom: low, so that water runs out, and clear of screws."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.packet.places import Hole
from hullcut.parts.drains import plug_hole

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["drain", "drain_depth"]

# What stays free beside the chine cleat and round a screw, mm: common practice, no source.
_BESIDE, _ROUND_SCREW = 12.0, 4.0


def drain(plan: BoatPlan) -> Hole:
    """The hole through transom and foot cleat, in the middle of the cleat's height, on the side away from the rudder.

    It stands just inside the chine cleat; where a screw is in its way it moves towards the middle.
    """
    design, hull = plan.design, plan.hull
    cleat = design.cleats.transom_height
    diameter = plug_hole(design)
    height = hull.foot_of(hull.transom_inside, hull.bottom_thickness)[1] + cleat / 2.0
    sign = 1.0 if design.rudder.offset <= 0.0 else -1.0
    half = float(hull.half_breadth(np.array([0.0]), np.array([height - cleat / 2.0]))[0])
    aside = design.woods.side.thickness + design.woods.cleat.thickness + diameter / 2.0 + _BESIDE
    screws = np.array(_screws_near(plan))
    free = diameter / 2.0 + _ROUND_SCREW
    places = sign * np.arange(half - aside, half / 3.0, -1.0)
    if len(screws):
        clear = np.abs(places[:, None] - screws[None, :]).min(axis=1) >= free
        place = float(places[int(np.argmax(clear))])
    else:
        place = float(places[0])
    return Hole(place, height, diameter)


def drain_depth(plan: BoatPlan) -> float:
    """How much wood the drain goes through, mm: the transom and its foot cleat."""
    return plan.design.woods.transom.thickness + plan.design.woods.cleat.thickness


def _screws_near(plan: BoatPlan) -> list[float]:
    """Distance to port of every screw that is driven into the foot cleat, through the transom or the bottom."""
    reach = plan.hull.transom_thickness + plan.design.woods.cleat.thickness
    low = plan.hull.foot_of(plan.hull.transom_inside, plan.hull.bottom_thickness)[1] + plan.design.cleats.transom_height
    found = []
    for part in plan.parts:
        if part.family not in ("transom", "bottom") or part.id.endswith("bow-transom"):
            continue
        for mark in part.marks:
            if mark.kind == "screw":
                x, y, z = part.panel.to_space(np.array(mark.points[:1]), 0.0)[0]
                if x < reach and z < low:
                    found.append(float(y))
    return found
