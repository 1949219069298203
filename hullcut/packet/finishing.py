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

# Fuel for the first starts, grams: it is gone soon where nothing stops the engine. How far the child stands from the
# running boat on its stand: hullcut's own rules, no source.
_LITTLE_FUEL, _STAND_OFF = 30.0, "10 ft (3 m)"
# Grams of petrol in a millilitre, about: from memory.
_PETROL = 0.74
# How near a hand may come to the propeller while the boat is lifted, mm: hullcut's own rule, no source.
_HANDS_OFF = 203.2
# How the boat is strapped on its stand.
_STRAPS = (
    "Lay both straps under the stand first. One goes round hull and after cradle. "
    "One goes under the rails, close ahead of the fore cradle, and over the deck. None lies over the engine."
)
# What is kept free round the propeller of a boat on its stand, mm: hullcut's own rule, no source.
_FREE_AIR = 304.8
# Seconds at full speed that the open water is long, and the least of it, m: hullcut's own rule, no source.
_AHEAD, _LEAST_WATER = 6.0, 50.0
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
    loose = Kit(plan).cover
    cover = (
        (
            f"Take the {loose} off. Paint it by itself, so that paint does not stick it down.",
            f"The {loose} is screwed on, never glued. Put it back when all is dry.",
        )
        if loose
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
                "Sand bare wood with 80, then 120. Sand lightly between coats with 240, with a mask on.",
                "Holes that you drill later show bare wood. Brush sealer into each, and let it dry.",
            ),
        ),
        (
            "Painting",
            (
                "Fill screw heads and dents. Sand the filler level.",
                "Sand all outer faces along the grain. Wipe off the dust.",
                *cover,
                "Brush on a thin first coat of paint. Let it dry as its label says.",
                "Sand lightly, then brush on a second coat.",
                "Keep paint off the shaft, the rudder post and the glue faces.",
                "Leave the after edges sharp: thick paint rounds them.",
                "Paint the number on both sides, so that you can read it far off.",
                "Mark the waterline's ends again with tape: E and F of the setup sheet.",
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
    uncover = f"Unscrew the {kit.cover}, by hand. " if kit.cover else ""
    numbers: tuple[str, ...] = ()
    if lying is not None:
        numbers = (
            f"They keep it upright. The water should reach about {kit.size(lying.line[0])} up the transom.",
            f"About {kit.size(upright(plan, lying).least)} of side should stay dry at the lowest place.",
            f"These are guesses. {kit.size(FLOAT_TOLERANCE)} off, or over {1.1 * plan.balance.mass / 1000.0:.1f} kg? "
            "No run, ask. One adult stands on a scale, one hands it over.",
        )
    return [
        (
            "First start, outdoors only",
            (
                "Paint and epoxy have stood one week. Extinguisher, first-aid kit and phone at hand.",
                "Long clamps hold the stand on a firm table, stern over its end. "
                "Bar out: the boat sits in both cradles. "
                f"{_STRAPS} Round the propeller {kit.size(_FREE_AIR)} is free, but for the table.",
                f"Ears covered, glasses on. An adult pours in {_fuel()} of fuel and wipes up. "
                f"The can goes {_STAND_OFF} away. Wait five minutes. Fuel smell? No start.",
                "Plug lead off: an adult in gloves unwraps the propeller. One adult holds the boat, one starts it, "
                "a third has the transmitter. Thumb on the kill switch; no full throttle in the air.",
                f"You stand {_STAND_OFF} off, ahead to port. All others: {WATCHERS} off. "
                "Nobody is beside or behind the propeller.",
                "Throttle closed, boat's radio off, plug lead on, choked by its manual: an adult pulls three times. "
                "Radio off, it must not fire. It does? Leave the choke shut until it dies: no run.",
                "Lead off, transmitter on, then the boat's radio, lead on. An adult starts it by its manual. "
                "The propeller turns? Kill switch, no run.",
                "Three starts try the kill switch three ways: by radio, by transmitter off, by its button. "
                "The adult who holds the boat presses that. "
                "The engine runs on? They shut the choke, as they practised: no run today.",
                "Muffler cold: an adult takes the plug lead off, wraps the propeller, switches off, empties the tank.",
            ),
        ),
        (
            "At the water, engine off",
            (
                "Its owner said yes, and named the speed limit. "
                "Daylight, next to no wind, no weed, no swimmers or birds. "
                f"The water is open for {_open_water(plan)} and more each way. Watchers: {WATCHERS} back.",
                f"{lifting_words(plan)} One lifts at the bow. One lifts from port, arms far under the bottom, "
                "either side of mark A. "
                f"No hand within {kit.size(_HANDS_OFF)} of the propeller, no arm over the engine.",
                "Tank empty, water bottle in, line on the bow loop. Two adults practise that: knee-deep in, and back.",
                *numbers,
                "Wait ten minutes. Lift it out. More than a few drops aft, or any ahead of the bulkhead? "
                "No run. Bottle out.",
                "Line off. Test the range: one stays, one walks off with the transmitter. "
                "At your course's end the rudder still moves.",
            ),
        ),
        (
            "First run",
            (
                "Up the bank: ears covered, glasses on, extinguisher at hand. "
                f"An adult pours in {_fuel()} of fuel, no more, wipes up. The can goes away. "
                "Wait five minutes. Fuel smell? No start.",
                "Clamp the stand on a table at the water's edge, the stern over its end. Strap the boat in. "
                "Lead off: an adult in gloves unwraps the propeller.",
                "The adult beside you: transmitter on, then boat. Rudder and throttle work. "
                "Throttle closed, thumb on the transmitter's kill switch until “Clear!”.",
                "You stand as at home. One adult holds the boat, one puts the lead on and starts the engine. "
                "The kill switch stops it? Start again. Else they shut the choke: no run.",
                "The one who holds it looks at the propeller, from ahead. It turns? Kill switch, and stop. "
                "It stands still: straps off, sleeves and hair tucked in. "
                "Two adults lift the boat into firm shallows, as they practised. "
                "It tips, or the propeller turns? Kill switch, set it back.",
                "They set it down along the bank, port side to it, bow a little out. "
                "They step ashore, ahead of the propeller.",
                f"You and an adult wait {_STAND_OFF} up the bank, beside the bow. "
                "All ashore: both raise an arm and call “Clear!”. "
                "You get the transmitter, your thumb on its kill switch. Nobody holds the boat now.",
                "It does not obey? You can't see which way it points? It nears the bank, a person, a bird? "
                "Kill switch at once. Don't try to save it. "
                "The adult beside you may call “Kill!”, and tap your shoulder.",
                "Run for two minutes, at a quarter of the throttle. Never steer towards people. "
                "Later go faster, within the limit.",
                "Close the throttle, then use the kill switch. If it runs on, keep away until its fuel is gone.",
                "Engine stopped, propeller still: two adults row up to its bow, tie the line on, and tow it.",
                "It floats until the muffler is cold. An adult takes the plug lead off and wraps the propeller.",
            ),
        ),
        (
            "Afterwards",
            (
                "Switch off the boat's radio, then the transmitter. An adult empties the tank outdoors. "
                f"Open both drain plugs. {uncover}An adult takes out the battery. Dry the inside. "
                "Look for loose screws, scorches.",
                f"It bounced? Add {BALLAST_STEP:.0f} g forward. It dug in? Add it aft. Write down what you changed.",
            ),
        ),
    ]


def _fuel() -> str:
    """The fuel of a first start or run, by volume and weight."""
    return f"{10.0 * round(_LITTLE_FUEL / _PETROL / 10.0):.0f} ml ({_LITTLE_FUEL:.0f} g)"


def _open_water(plan: BoatPlan) -> str:
    """How far the water is open each way, by the greatest speed that the boat may reach."""
    reached = plan.balance.running.reached
    metres = max(_AHEAD * (reached.high if reached is not None else 0.0), _LEAST_WATER)
    metres = 10.0 * math.ceil(metres / 10.0)
    feet = 10.0 * math.ceil(metres / 3.048)
    first, second = (f"{feet:.0f} ft", f"{metres:.0f} m")
    return f"{first} ({second})" if plan.design.units == "in" else f"{second} ({first})"


def first_float(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The page for the first day afloat, to tick off."""
    story: list[Flowable] = [
        CondPageBreak(150 * MM),
        Heading("The first float", look.chapter),
        note_box(
            [
                paragraph(
                    "Three adults: one beside you, the driver; two to launch and fetch. They and every child at the "
                    "water wear life jackets. Nobody swims after a boat. "
                    "Local rules and the owner of the water come first.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
    ]
    # The whole day stands on one page, to take along.
    tick = ParagraphStyle("tick", parent=look.step, leading=10.7, spaceAfter=0.4)
    for heading, lines in first_float_lines(plan):
        story.append(Heading(heading, look.section, 1))
        story += [bullet(text, tick, "☐") for text in lines]
    return [*story, Spacer(0, 6)]
