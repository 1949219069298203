"""Saws for curves and inside cuts, and the bits that a boat's holes need, with sizes from its parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from hullcut.packet.drain import drain
from hullcut.packet.joining import bonds, screws_by_length
from hullcut.packet.places import pushrod_hole
from hullcut.packet.step import Kit
from hullcut.parts.marking import BOLT_HOLE
from hullcut.parts.radio_places import STRAP_HOLE
from hullcut.stock.fasteners import Bit, screw
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.parts.values import Part

__all__ = ["BOLT_BIT", "bits_of", "saw_and_bit_lines", "start_bit"]

BOLT_BIT = Bit("11/64 in", BOLT_HOLE)
"""The bit for bolts of 4 mm or number 8, as shops mark it."""

# Bits for the hole that a saw's blade starts in, mm: common sizes, the widest first.
_STARTS = {"in": (25.4 / 4.0, 25.4 * 3.0 / 16.0, 25.4 / 8.0), "mm": (6.0, 5.0, 4.0, 3.0)}
# A hole that fills this much of its box is no round one: a circle fills pi / 4 of it.
_ROUND = 0.9


def _inside_cuts(part: Part) -> list[tuple[float, float]]:
    """Narrow and long side of each hole that is not round, mm."""
    found = []
    for hole in part.holes:
        area = shapely.Polygon(hole)
        box = area.minimum_rotated_rectangle
        if area.area > _ROUND * box.area:
            ring = shapely.get_coordinates(box)
            sides = sorted(float(shapely.Point(ring[n]).distance(shapely.Point(ring[n + 1]))) for n in (0, 1))
            found.append((sides[0], sides[1]))
    return found


def start_bit(plan: BoatPlan) -> float:
    """The widest usual bit that stays inside the narrowest inside cut, mm."""
    narrowest = min((short for part in plan.parts for short, _ in _inside_cuts(part)), default=25.4)
    bits = _STARTS[plan.design.units]
    return next((bit for bit in bits if bit < narrowest - 1.0), bits[-1])


def bits_of(plan: BoatPlan) -> tuple[str, ...]:
    """Every bit that the boat's holes need, in words, from the thinnest, without repetition."""
    kit, sizes = Kit(plan), screw(plan.design.fasteners.gauge)
    screwed = [bond for bond in bonds(plan) if bond.screws]
    marked = [*(sizes.pilot(wood(bond.guest.material).pilot) for bond in screwed), sizes.clearance, BOLT_BIT]
    words = {kit.bit(bit): bit.diameter for bit in marked}
    rod = plan.design.drive.shaft_diameter
    for wide in (start_bit(plan), pushrod_hole(plan).diameter, drain(plan).diameter, rod, STRAP_HOLE):
        words.setdefault(kit.fine(wide), wide)
    return tuple(sorted(words, key=lambda word: words[word]))


def saw_and_bit_lines(plan: BoatPlan) -> tuple[str, ...]:
    """Which saw and which bit for which cut, in short sentences."""
    kit, bits = Kit(plan), bits_of(plan)
    half = (len(bits) + 1) // 2
    longest = max(screws_by_length(bonds(plan)), default=0.0)
    flag = (
        (
            "Wind tape round a bit as a flag: stop drilling there.",
            "The wider bit goes through the upper part only.",
            f"The thinner one goes as deep as the screw is long: {kit.size(longest)} at most.",
            "Then turn the countersink bit until the screw's head just lies level: in thin plywood that is soon.",
        )
        if longest
        else ()
    )
    return (
        "A coping saw cuts curves and inside shapes. You saw, with your adult beside you.",
        "An adult may use a jigsaw instead. No big saw? Have the straight cuts made at a wood shop. "
        "Or skip them: tape the templates on as the cutting plan is drawn, and saw round each.",
        f"A keyhole saw cuts the slots in the bottom: a coping saw does not reach them. "
        f"Inside cuts begin at a start hole: drill it {kit.fine(start_bit(plan))} wide, just inside the line. "
        "Does the blade not pass? Drill a row of them.",
        "Unhook the coping saw's blade. Put it through the hole and hook it on again.",
        f"An adult cuts the engine plate's bore with a hole saw, {kit.size(plan.design.engine.housing_bore)} wide. "
        "Or they use a smaller one. They file it to the housing.",
        f"Drill bits, thin: {', '.join(bits[:half])}. Thick: {', '.join(bits[half:])}. "
        "And a countersink bit, and one for your engine's bolts.",
        *((" ".join(flag),) if flag else ()),
    )
