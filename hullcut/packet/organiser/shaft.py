"""Shaft, fin and rudder, with an aligning block at full size."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from reportlab.platypus import KeepTogether, Spacer

from hullcut.drawing.paths import polygon
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.lengths import both
from hullcut.packet.document import bullet, paragraph
from hullcut.packet.organiser.pieces import rows_table
from hullcut.packet.organiser.rows import drive_rows

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.document import Frames, Styles

__all__ = ["aligning_block", "shaft_section"]

_LENGTH, _LEAST = 110.0, 6.0

_ADVICE = (
    "Saw the slot on its marks and file it slanting; never drill it freehand.",
    "Thread a straight dummy rod through log, block and engine plate; glue the log while it turns freely.",
    "The strut can be shimmed 3 mm up or down: the upper blade tip should just break the surface at speed.",
    "Going ahead, the propeller pushes the rod forward: washers between its hub and the strut carry that into the "
    "hull, never the engine's clutch. The collar at the log's fore end only keeps the rod from sliding out.",
    "Line up the coupling within 0.5 mm and 0.5° before anything is glued. All of this: common practice, no source.",
)


def aligning_block(plan: BoatPlan) -> Scene:
    """The wedge on which the log lies while it is glued, at full size; it stands on the bottom inside the boat."""
    shaft, units = plan.arrangement.shaft, plan.design.units
    profile = plan.hull.profile
    slope = float(profile.heading(profile.at_first_axis(np.array([shaft.exit_x])))[0])
    angle = math.radians(shaft.angle) - slope
    rise = _LENGTH * math.tan(angle)
    ring = ((0.0, 0.0), (_LENGTH, 0.0), (_LENGTH, _LEAST + rise), (0.0, _LEAST))
    items: list[Item] = [Shape(Role.CUT, (polygon(ring),), fill="#f9e7bf")]
    items += level(0.0, _LENGTH, 0.0, 0.0, -6.0, both(_LENGTH, units, decimals=1))
    items += plumb(0.0, _LEAST, 0.0, 0.0, -9.0, both(_LEAST, units))
    items += plumb(0.0, _LEAST + rise, _LENGTH, _LENGTH, _LENGTH + 14.0, both(_LEAST + rise, units, 32, decimals=1))
    items.append(
        Text(
            Role.LABEL,
            (_LENGTH * 0.55, 2.0),
            f"{math.degrees(angle):.1f}° · fore end to the right",
            2.8,
            anchor="middle",
        )
    )
    return Scene("Aligning block", -24.0, -10.0, _LENGTH + 34.0, _LEAST + rise + 10.0, tuple(items))


def shaft_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The shaft line in numbers, how it is set up, and its aligning block."""
    return [
        rows_table(drive_rows(plan), frames, look, ("drive", "")),
        Spacer(0, 4),
        *(bullet(words, look.body) for words in _ADVICE),
        KeepTogether(
            [
                paragraph(
                    "Aligning block at full size, if printed at 100 %: measure its foot. Saw it from scrap as wide as "
                    "the tube, cut a shallow groove along the slope, stand it on the bottom ahead of the slot, and lay "
                    "the log in the groove.",
                    look.body,
                ),
                SceneFlowable(aligning_block(plan), align="LEFT"),
            ]
        ),
    ]
