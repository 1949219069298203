"""Sealing and painting, and the first float."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Spacer

from hullcut.packet.afloat import BALLAST_STEP, WATCHERS, lifting_words, upright
from hullcut.packet.document import MM, Heading, bullet, note_box, paragraph
from hullcut.packet.step import Kit

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.document import Frames, Styles

__all__ = [
    "FLOAT_TOLERANCE",
    "RAGS",
    "SEALING_CHAPTER",
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

RAGS = "Oily rags can catch fire. Dry them flat, outdoors, then keep them in a lidded metal can."
"""What is done with rags wherever they are told of: common practice, no source."""

FLOAT_TOLERANCE = 6.35
"""How far the waterline may stand from where it was reckoned, mm, before the boat is weighed again: common practice,
no source."""


def coated_area(plan: BoatPlan) -> float:
    """Both faces of every part that goes afloat, square metres."""
    return sum(2.0 * part.area * part.quantity for part in plan.parts if part.family != "stand") * 1e-6


def paint_litres(plan: BoatPlan) -> float:
    """Sealer and paint for all coats, litres, rounded up to a tenth; an estimate."""
    return math.ceil(coated_area(plan) * _COATS / _COVERS * 10.0) / 10.0


SEALING_CHAPTER = "Sealing and painting"
"""The heading of the page that tells coats and waiting times: steps point to it."""


def sealing_lines(plan: BoatPlan) -> list[tuple[str, tuple[str, ...]]]:
    """What to do in which order, in short sentences under headings."""
    area = coated_area(plan)
    hatch = (
        (
            "Take the hatch off. Paint it by itself, so that paint does not stick it down.",
            "The hatch is screwed on, never glued. Put it back when all is dry.",
        )
        if plan.design.decks.after == "hatch"
        else ()
    )
    return [
        (
            "Before you open a tin",
            (
                "Read the label with an adult. Ask if fuel softens it.",
                "Work outdoors, or with open windows. Wear gloves and glasses.",
                "Its fumes make you dizzy. Go out into fresh air often.",
                "Keep flames and sparks away.",
                RAGS,
                f"The wood has {area:.1f} square metres in all, both faces counted.",
                f"Two coats of sealer and two of paint take about {paint_litres(plan):.1f} litres. "
                "This is a guess: ask the label.",
            ),
        ),
        (
            "Sealing",
            (
                "Water gets in at open edges. There the wood soaks up the most sealer.",
                "Seal the inside before the decks go on, in the step “Seal the inside”.",
                "Inside, brush one coat on the faces. Edges, slots and bolt holes get two.",
                "Outside, brush two coats on everything, before you paint.",
                "Let each coat dry as the label says. Most want one night.",
                "Sand lightly between coats, with a mask on.",
                "Holes that you drill later show bare wood. Brush sealer into each, and let it dry.",
            ),
        ),
        (
            "Painting",
            (
                "Fill screw heads and dents. Sand the filler level.",
                "Sand all outer faces along the grain. Wipe off the dust.",
                *hatch,
                "Brush on a thin first coat of paint. Let it dry as its label says.",
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
    story: list[Flowable] = [CondPageBreak(178 * MM), Heading(SEALING_CHAPTER, look.chapter)]
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
            f"Hold it level. The water should reach about {kit.size(lying.line[0])} up the transom.",
            f"About {kit.size(upright(plan, lying).least)} of side should stay dry at the lowest place.",
            f"These are guesses. If you are {kit.size(FLOAT_TOLERANCE)} off, weigh the boat. "
            "An adult steps on a bathroom scale with it, then without: the difference is the boat.",
        )
    return [
        (
            "At home, engine off",
            (
                "Charge the batteries, with an adult in the room.",
                "Grease the shaft. Check every screw, nut and link.",
                "Fit the drain plug. Check that no foam is loose.",
                "Switch the transmitter on first and off last, each time.",
                "Then test it: transmitter off, and the failsafe closes the throttle.",
            ),
        ),
        (
            "First start, outdoors only",
            (
                "Paint and epoxy have stood one week. Extinguisher, first-aid kit and phone at hand.",
                "Ear protection and glasses on. An adult pours the fuel, wipes up spills and moves the can away.",
                "Set the boat on its stand. An adult holds it all the time.",
                "Nobody stands beside or behind the propeller.",
                "Transmitter on, throttle closed. An adult starts the engine.",
                "The propeller must stand still at idle.",
                "Use the kill switch: the engine must stop at once. An adult empties the tank before the drive.",
            ),
        ),
        (
            "At the water, engine off",
            (
                "Ask the owner of the water first. Ask for its speed limit too.",
                f"Keep clear of swimmers and birds. Watchers stand {WATCHERS} back.",
                lifting_words(plan),
                "Tie a line to the bow loop. Lower the boat in by hand.",
                *numbers,
                "Wait ten minutes. Lift the boat out and look for water inside.",
                "Test the range: one stays with the boat, one walks off with the transmitter. "
                "The rudder must still move from the far end of your course.",
            ),
        ),
        (
            "First run",
            (
                "Ears and glasses on, extinguisher at hand. An adult pours the fuel, away from the water.",
                "Set the stand down at the water's edge. Untie the bow line.",
                "The driver stands beside an adult and holds the transmitter, nothing else. Throttle closed.",
                "Spills are wiped up. An adult starts the engine on the stand.",
                "All look at the propeller first. If it turns, use the kill switch and stop.",
                "It stands still: now two adults lift the boat into firm shallows.",
                "Hands go under the bottom, ahead of the shaft, away from the muffler.",
                "They set it down, bow to open water, and step back.",
                "Run for two minutes, at a quarter of the throttle. Never steer towards people.",
                "Close the throttle, then use the kill switch.",
                "Engine stopped, propeller still: only then does a hand go near the boat.",
                "Nobody reaches out from the bank. The two adults fetch it by rowing boat.",
                "Let the muffler cool. Then an adult looks for water, loose screws and scorched places.",
                f"If the bow hops up and down, add {BALLAST_STEP:.0f} g forward. If it digs in, add it aft.",
                "Go faster only when all is well, and never over the limit.",
            ),
        ),
        (
            "Afterwards",
            (
                "Switch off the boat's radio, then the transmitter.",
                "Let the muffler cool before you touch it.",
                "An adult empties the tank outdoors, before any work inside the boat.",
                "Open the drain plug. Dry the inside with a rag.",
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
                    "Three adults: one beside the driver, two to launch and fetch. They and children at the edge "
                    "wear life jackets. Nobody swims after a boat. "
                    "Local rules and the owner of the water come first.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
    ]
    # The whole day stands on one page, to take along.
    tick = ParagraphStyle("tick", parent=look.step, spaceAfter=0.8)
    for heading, lines in first_float_lines(plan):
        story.append(Heading(heading, look.section, 1))
        story += [bullet(text, tick, "☐") for text in lines]
    return [*story, Spacer(0, 6)]
