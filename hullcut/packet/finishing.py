"""Sealing and painting, and the first float."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, Spacer

from hullcut.packet.document import MM, Heading, bullet, note_box, paragraph
from hullcut.packet.step import Kit

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.document import Frames, Styles

__all__ = [
    "FLOAT_TOLERANCE",
    "coated_area",
    "first_float",
    "first_float_lines",
    "paint_litres",
    "sealing",
    "sealing_lines",
]

# Square metres that a litre of sealer or paint covers once, on wood: common practice, no source.
_COVERS = 10.0
_COATS = 4

FLOAT_TOLERANCE = 6.35
"""How far the waterline may stand from where it was reckoned, mm, before the boat is weighed again: common practice,
no source."""


def coated_area(plan: BoatPlan) -> float:
    """Both faces of every part that goes afloat, square metres."""
    return sum(2.0 * part.area * part.quantity for part in plan.parts if part.family != "stand") * 1e-6


def paint_litres(plan: BoatPlan) -> float:
    """Sealer and paint for all coats, litres, rounded up to a tenth; an estimate."""
    return math.ceil(coated_area(plan) * _COATS / _COVERS * 10.0) / 10.0


def sealing_lines(plan: BoatPlan) -> list[tuple[str, tuple[str, ...]]]:
    """What to do in which order, in short sentences under headings."""
    area = coated_area(plan)
    return [
        (
            "Before you open a tin",
            (
                "Read the label with an adult. Ask if fuel softens it.",
                "Work outdoors, or with open windows. Wear gloves and glasses.",
                "Keep flames and sparks away. Hang wet rags out flat to dry.",
                f"The wood has {area:.1f} square metres in all, both faces counted.",
                f"Four coats take about {paint_litres(plan):.1f} litres. This is a guess: ask the label.",
            ),
        ),
        (
            "Sealing",
            (
                "Water gets in at open edges. They drink the most.",
                "Seal inside and out: the inside before the decks go on.",
                "Brush two coats on every edge, slot and screw hole.",
                "Let each coat dry as the label says. Most want one night.",
                "Sand lightly between coats, with a mask on.",
            ),
        ),
        (
            "Painting",
            (
                "Fill screw heads and dents. Sand the filler level.",
                "Sand all outer faces along the grain. Wipe off the dust.",
                "Brush on a thin first coat. Let it dry one night.",
                "Sand lightly, then brush on a second coat.",
                "Keep paint off the shaft, the rudder post and the glue faces.",
                "Leave the after edges sharp: thick paint rounds them.",
                "Paint the number on both sides, so that you can read it far off.",
                "Leave the boat one week before fuel comes near it.",
            ),
        ),
    ]


def sealing(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The page on sealing and painting."""
    story: list[Flowable] = [CondPageBreak(150 * MM), Heading("Sealing and painting", look.chapter)]
    for heading, lines in sealing_lines(plan):
        story.append(Heading(heading, look.section, 1))
        story += [bullet(text, look.body) for text in lines]
    return [*story, Spacer(0, 6)]


def first_float_lines(plan: BoatPlan) -> list[tuple[str, tuple[str, ...]]]:
    """What to look at on the first day afloat, in short sentences under headings."""
    kit = Kit(plan)
    lying = plan.balance.flotation
    numbers: tuple[str, ...] = ()
    if lying is not None:
        numbers = (
            f"The water should reach about {kit.size(lying.line[0])} up the transom.",
            f"About {kit.size(lying.freeboard)} of side should stay dry at the lowest place.",
            f"These are guesses. If you are {kit.size(FLOAT_TOLERANCE)} off, weigh the boat.",
        )
    return [
        (
            "At home",
            (
                "Charge the batteries, with an adult in the room.",
                "Grease the shaft. Check every screw, nut and link.",
                "Fit the drain plug. Fit the foam.",
                "Turn off the radio: the failsafe must shut the throttle.",
                "Pull the kill switch: the engine must stop at once.",
            ),
        ),
        (
            "At the water, engine off",
            (
                "Ask the owner of the water first. Keep clear of swimmers and birds.",
                "Tie a line to the bow loop. Lower the boat in by hand.",
                *numbers,
                "Wait ten minutes. Lift the boat out and look for water inside.",
                "Walk off with the radio: the rudder must move to the end of your course.",
            ),
        ),
        (
            "First run",
            (
                "An adult pours the fuel, away from the water, and wipes up spills.",
                "An adult starts the engine on the stand. Hands stay clear of the propeller.",
                "Run slowly, close to the bank, for two minutes.",
                "Stop. Look for water, loose screws and hot spots.",
                "If the bow hops, move weight forward a little. If it digs, move it aft.",
                "Go faster only when all is well.",
            ),
        ),
        (
            "Afterwards",
            (
                "Let the muffler cool before you touch it.",
                "Open the drain plug. Dry the inside with a rag.",
                "An adult empties the tank outdoors.",
                "Write down what you changed.",
            ),
        ),
    ]


def first_float(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The page for the first day afloat, to tick off."""
    story: list[Flowable] = [
        CondPageBreak(150 * MM),
        Heading("The first float", look.chapter),
        note_box(
            [
                paragraph(
                    "Two adults in life jackets stand by. Nobody swims after a boat. "
                    "Local rules and the owner of the water come first.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
    ]
    for heading, lines in first_float_lines(plan):
        story.append(Heading(heading, look.section, 1))
        story += [bullet(text, look.body, "☐") for text in lines]
    return [*story, Spacer(0, 6)]
