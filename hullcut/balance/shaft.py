"""The straight shaft line from the engine's output to the propeller."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hullcut.arrangement import ShaftLine

if TYPE_CHECKING:
    from hullcut.design.values import Design

__all__ = ["shaft_line"]


def shaft_line(design: Design, plate_x: float) -> ShaftLine:
    """The shaft line for an engine plate whose after face stands at `plate_x`.

    The hub lies one propeller radius below the bottom's plane carried aft, so that the upper tip just breaks the
    surface at speed (common practice, no source). A straight tube of diameter d through a bottom of thickness t at an
    angle a opens a slot d / sin(a) + t / tan(a) long (plane geometry).
    """
    drive = design.drive
    hub_x, hub_z = -drive.propeller_behind, -drive.propeller_diameter / 2.0
    rise, run = design.engine.output_height - hub_z, plate_x - hub_x
    angle = math.atan2(rise, run)
    exit_x = hub_x - hub_z / math.tan(angle)
    half_mouth = drive.tube_diameter / (2.0 * math.sin(angle))
    return ShaftLine(
        angle=math.degrees(angle),
        output_x=plate_x,
        output_z=design.engine.output_height,
        hub_x=hub_x,
        hub_z=hub_z,
        exit_x=exit_x,
        slot_from=exit_x - half_mouth,
        slot_to=exit_x + design.woods.bottom.thickness / math.tan(angle) + half_mouth,
        length=math.hypot(rise, run),
    )
