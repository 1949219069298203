"""Rod, bearings, fin, rudder and which way the boat pulls: what the shaft line asks of the builder."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from hullcut.balance.shaft import shaft_line
from hullcut.balance.weights import rod_length
from hullcut.stock.outfit import density, steel_modulus

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design

__all__ = [
    "CRITICAL_MARGIN",
    "STRUT_AHEAD",
    "DriveLine",
    "Handling",
    "critical_rpm",
    "drive_line",
    "handling",
    "longest_span",
]

CRITICAL_MARGIN = 1.4
"""The critical speed is at least so many times the greatest turns: common practice, no source."""

STRUT_AHEAD = 28.6
"""The strut's bearing stands so far ahead of the hub, mm, with room for half of both, washers and drive dog between:
common practice, no source."""
# The inner bearing stands so far abaft the engine plate, with room for the coupling and a collar, mm: common practice.
_COUPLING_ABAFT = 38.1
_INCH = 25.4

Side = Literal["port", "starboard"]


@dataclass(frozen=True, slots=True)
class DriveLine:
    """The rod and what holds it; lengths mm.

    Attributes:
        rod: length to cut.
        span: greatest distance between two bearings.
        longest: greatest span that the turns allow.
        critical: first critical speed of that span, turns a minute.
        least: turns that it must reach.
        bearings: how many there are.
        proposed: how many are enough.
        places: x of the bearings, strut first.
        inch_forward: shaft angle with the engine an inch farther forward, degrees.
        inch_aft: with the engine an inch farther aft.
    """

    rod: float
    span: float
    longest: float
    critical: float
    least: float
    bearings: int
    proposed: int
    places: tuple[float, ...]
    inch_forward: float
    inch_aft: float


@dataclass(frozen=True, slots=True)
class Handling:
    """Which way the boat pulls, from the way its propeller turns.

    Attributes:
        rotation: of the propeller, seen from astern.
        stern_walks: side to which the propeller pushes the stern.
        better_turn: side to which the boat turns tighter and more readily.
        rudder_side: side on which the rudder belongs: the inside of the better turn.
        leans: side that the engine's torque presses down.
    """

    rotation: Literal["clockwise", "counter-clockwise"]
    stern_walks: Side
    better_turn: Side
    rudder_side: Side
    leans: Side


def critical_rpm(diameter: float, span: float) -> float:
    """First critical speed of a solid round steel rod on two supports, turns a minute.

    The first natural frequency of a uniform beam, (pi/2) (E I / (m L^4))^0.5 with I / m = d^2 / (16 rho) for a round
    rod (S. Timoshenko, Vibration Problems in Engineering, beam with hinged ends; from memory).

    Args:
        diameter: mm.
        span: between supports, mm.
    """
    wave = math.sqrt(steel_modulus() * 1e9 / density("steel"))
    return 60.0 * math.pi / 8.0 * (diameter / 1000.0) / (span / 1000.0) ** 2 * wave


def longest_span(diameter: float, rpm: float) -> float:
    """Greatest span, mm, whose critical speed is still 1.4 times the turns."""
    return 1000.0 * math.sqrt(critical_rpm(diameter, 1000.0) / (CRITICAL_MARGIN * rpm))


def drive_line(design: Design, arrangement: Arrangement) -> DriveLine:
    """Rod and bearings of a shaft line.

    The bearings stand at equal distances from the strut to the fore end of the tube. The coupling gives way, so it
    holds nothing.
    """
    shaft, drive = arrangement.shaft, design.drive
    held = max(shaft.length - STRUT_AHEAD - _COUPLING_ABAFT, 1.0)
    longest = longest_span(drive.shaft_diameter, design.engine.rpm)
    proposed = max(2, math.ceil(held / longest - 1e-9) + 1)
    bearings = drive.bearings or proposed
    span = held / (bearings - 1)
    along = math.cos(math.radians(shaft.angle))
    places = tuple(shaft.hub_x + (STRUT_AHEAD + i * span) * along for i in range(bearings))
    plate = arrangement.plate_x
    return DriveLine(
        rod=rod_length(arrangement),
        span=span,
        longest=longest,
        critical=critical_rpm(drive.shaft_diameter, span),
        least=CRITICAL_MARGIN * design.engine.rpm,
        bearings=bearings,
        proposed=proposed,
        places=places,
        inch_forward=shaft_line(design, plate + _INCH).angle,
        inch_aft=shaft_line(design, plate - _INCH).angle,
    )


def handling(rotation: Literal["clockwise", "counter-clockwise"]) -> Handling:
    """Which way a boat pulls.

    Seen from astern, the blades of a clockwise propeller pass to port below, where the water is densest with work, and
    so push the stern to starboard; the bow swings to port, and the boat turns better to port. The rudder stands on
    that side, where it stays in the water. The torque that drives the propeller clockwise rolls the hull the other
    way, port side down. From memory.
    """
    if rotation == "clockwise":
        return Handling(rotation, "starboard", "port", "port", "port")
    return Handling(rotation, "port", "starboard", "starboard", "starboard")
