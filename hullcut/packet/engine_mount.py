"""Where an engine's plain box, its bolts, the bearers' tops and the plate's head stand from the rod."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.engine_room import BRACKET_LEG
from hullcut.balance.weights import ROD_SHORT
from hullcut.packet.section import rod_way
from hullcut.parts.engine import bearer_places, bearer_top

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Point

__all__ = [
    "STUB_END",
    "bearers_over_rod",
    "bolt_places",
    "bolt_rows",
    "engine_box",
    "plate_on_bearers",
    "plate_over_rod",
    "short_leg",
]

STUB_END = ROD_SHORT - 5.0
"""How far abaft the engine plate the stub may end that carries the coupling's fore half, mm: clear of the shaft's end;
common practice, no source."""


def engine_box(plan: BoatPlan) -> tuple[float, float, float]:
    """How far ahead of the plate's fore face the engine's box reaches, and its lower and upper side from the rod, mm.

    Only the weight's middle is known: the box has it in its own middle, and keeps off the bottom.
    """
    engine, rod = plan.design.engine, rod_way(plan)
    wood = plan.design.woods.engine_plate.thickness
    x, z = plan.arrangement.plate_x + wood + engine.centre_ahead, engine.centre_height
    dx, dz = x - rod.start[0], z - rod.start[1]
    middle = dx * rod.aside[0] + dz * rod.aside[1]
    # Its lowest corner is the fore one's foot or the after one's, as the bottom lies.
    foot = rod.start[1] - plan.design.woods.bottom.thickness - 6.0
    half = max(12.0, min(48.0, middle + foot * rod.aside[1]))
    return 2.0 * engine.centre_ahead, middle - half, middle + half


def bolt_rows(plan: BoatPlan) -> tuple[float, ...]:
    """How far over the rod the engine's bolts go through the plate, mm.

    One just over the bore where the holes are marked from the engine itself.
    """
    engine = plan.design.engine
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return (engine.housing_bore / 2.0 + 8.0,)
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    rows = {round(engine.bolt_circle / 2.0 * float(np.sin(angle)), 2) for angle in angles}
    return tuple(sorted(rows, reverse=True))


def bolt_places(plan: BoatPlan) -> list[Point]:
    """Where the engine's bolts stand from the rod, across and up, mm."""
    engine = plan.design.engine
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return [(0.0, up) for up in bolt_rows(plan)]
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    reach = engine.bolt_circle / 2.0
    return [(reach * math.cos(angle), reach * math.sin(angle)) for angle in angles.tolist()]


def bearers_over_rod(plan: BoatPlan) -> float:
    """How far over the rod the bearers' upper edges run, mm."""
    rod = rod_way(plan)
    x = np.array([rod.start[0]])
    return (float(bearer_top(plan.hull, plan.arrangement, x)[0]) - rod.start[1]) * rod.aside[1]


def plate_over_rod(plan: BoatPlan) -> float:
    """How far over the rod the engine plate's upper edge stands, mm."""
    return bearers_over_rod(plan) + plan.design.engine.plate_height


def plate_on_bearers(plan: BoatPlan) -> float:
    """From the bearers' after ends to the engine plate's after face, along their upper edges, mm."""
    rod = rod_way(plan)
    # The plate is square to the shaft, and the edges run along it.
    x = rod.start[0] + bearers_over_rod(plan) * rod.aside[0]
    return (x - bearer_places(plan.hull, plan.arrangement)[0]) / abs(rod.along[0])


def short_leg(plan: BoatPlan) -> float | None:
    """How long a bracket's leg on the plate may be, mm; None where the plate takes it whole."""
    engine = plan.design.engine
    room = 0.5 * (engine.plate_width - engine.bearer_gap) - plan.design.woods.bearer.thickness
    return None if room >= BRACKET_LEG else room
