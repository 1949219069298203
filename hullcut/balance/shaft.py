"""The straight shaft line from the engine's output to the propeller."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from hullcut.arrangement import ShaftLine
from hullcut.hull.form import shape

if TYPE_CHECKING:
    from hullcut.design.values import Design
    from hullcut.hull.plane_curve import PlaneCurve

__all__ = ["bottom_profile", "shaft_line"]


@lru_cache(maxsize=8)
def bottom_profile(design: Design) -> PlaneCurve:
    """The bottom's outer face in x and z, running forward."""
    return shape(design).profile


def shaft_line(design: Design, plate_x: float) -> ShaftLine:
    """The shaft line for an engine plate whose after face stands at `plate_x`.

    The hub lies one propeller radius below the bottom's plane carried aft, so that the upper tip just breaks the
    surface at speed (common practice, no source). A straight tube of diameter d through a bottom of thickness t at an
    angle a opens a slot d / sin(a) + t / tan(a) long (plane geometry), where a is measured from the bottom there.
    """
    drive = design.drive
    profile = bottom_profile(design)
    end, slope = float(profile.start[1]), math.tan(float(profile.start_heading))
    hub_x = -drive.propeller_behind
    hub_z = end + slope * hub_x - drive.propeller_diameter / 2.0
    rise, run = design.engine.output_height - hub_z, plate_x - hub_x
    angle = math.atan2(rise, run)
    exit_x, incline = _exit(profile, hub_x, hub_z, angle)
    steep = angle - incline
    half_mouth = drive.tube_diameter / (2.0 * math.sin(steep)) * math.cos(incline)
    through = design.woods.bottom.thickness / math.tan(steep) * math.cos(incline)
    return ShaftLine(
        angle=math.degrees(angle),
        output_x=plate_x,
        output_z=design.engine.output_height,
        hub_x=hub_x,
        hub_z=hub_z,
        exit_x=exit_x,
        slot_from=exit_x - half_mouth,
        slot_to=exit_x + through + half_mouth,
        length=math.hypot(rise, run),
    )


def _exit(profile: PlaneCurve, hub_x: float, hub_z: float, angle: float) -> tuple[float, float]:
    """X where the line passes the bottom's outer face, and the bottom's slope there, radians; by substitution."""
    x = hub_x - hub_z / math.tan(angle)
    incline = 0.0
    for _ in range(60):
        s = profile.at_first_axis(np.array([x]))
        incline = float(profile.heading(s)[0])
        moved = hub_x + (float(profile.point(s)[0, 1]) - hub_z) / math.tan(angle)
        if abs(moved - x) < 1e-10:
            break
        x = moved
    return x, incline
