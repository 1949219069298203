"""Engine, drive, steering, radio and the things for safety, with their sizes: what is bought besides wood and glue."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.balance.engine_room import (
    BRACKET_LEG,
    BRACKET_WIDE,
    MUFFLER_FREE,
    SWITCH_BELOW,
    coupling_room,
    shield_off,
)
from hullcut.balance.foam_blocks import foam_blocks, foam_litres, foam_thickness
from hullcut.balance.weights import ROD_SHORT
from hullcut.packet.afloat import BALLAST_STEP, SIDE_STEP
from hullcut.packet.bow_loop import loop_screw
from hullcut.packet.drain import drain, drain_depth
from hullcut.packet.engine_mount import short_leg
from hullcut.packet.finishing import paint_litres
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.places import PUSHROD_HOLE, coupling_half, pushrod_hole, shelf_from_inside, tube
from hullcut.packet.radio_shelf import aerial_room, battery_headroom, on_shelf, servo_headroom
from hullcut.packet.steering_picture import rudder_rod, throttle_rod
from hullcut.packet.step import Kit
from hullcut.parts.fittings import SERVO_DROP, bolt_reach
from hullcut.parts.radio_places import AERIAL_TUBE, STRAP_HOLE

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = [
    "BUILDER",
    "CLASS",
    "ENGINE_CHAPTER",
    "METAL_CHAPTER",
    "Reader",
    "bolts_to_buy",
    "coupling_across",
    "coupling_long",
    "coupling_torque",
    "engine_lines",
    "fitting_groups",
    "mount_bolts",
    "shield_bolt",
    "small_things",
    "switch_bolt",
    "tube_bore",
    "workshop_supplies",
    "workshop_things",
]

ENGINE_CHAPTER, METAL_CHAPTER = "The engine", "The metal parts"
"""Headings of the pages that draw the engine's limits, and what is made of metal."""


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads a list: whom they ask, and where the pages are that it names.

    Attributes:
        adult: whom to ask.
        page: how a page of a packet is named, in front of its heading.
    """

    adult: str
    page: str


BUILDER = Reader("the adult on page 1", "The page")
"""Who has a boat's own packet."""
CLASS = Reader("the adult who planned the boats", "In each boat's packet, the page")
"""Who buys for all boats of an order: the class packet has neither that line nor those pages."""

# A tube's usual wall, what its bearings need at least between bore and rod, and what bracket, washer and nut add to
# the length of a bolt, mm: common practice, no source.
_WALL, _BEARING_ROOM, _BOLT_BEYOND = 25.4 / 32.0, 1.0, 16.0
# What sheet, washer and lock nut add to the length of a bolt, mm: common practice, no source.
_NUT_BEYOND = 8.0
# Between the radio's switch and the shelf, mm: its wires.
_SWITCH_PLAY = 8.0
# Two straps share a hole: none is wider, mm.
_STRAP_WIDE = 2.0 / 3.0 * STRAP_HOLE
# Kept free over a servo's arm, mm.
_SERVO_PLAY = 3.0
# Power of a small two-stroke engine of a garden tool, watts for each cm³: from memory, a guess.
_WATTS_EACH = 30.0
# Share that is bought over what is fitted, for offcuts: hullcut's own guess.
_OFFCUTS = 0.15
# What holds the bow loop, by kind of bow.
_LOOP_BY = {
    "sled": "its screw{most}",
    "pram": "its bolts, wide washers and lock nuts",
    "stem": "its screw{most}",
}
# Between sheer cleat and kill switch, and the least height of one, mm.
_SWITCH_CLEAR, _SWITCH_LEAST = 1.6, 16.0
# An engine so much heavier than planned still floats near its line: common practice, no source.
_MOST_ENGINE = 1.1
# Wood between an engine's bolt and bore or edge of its plate: common practice, no source; and what is kept free round
# the coupling, mm.
_BOLT_EDGE, _COUPLING_PLAY = 12.7, 3.0
# Bolts are sold in lengths by so many mm.
_BOLT_STEPS = {"in": 25.4 / 4.0, "mm": 5.0}


def tube_bore(plan: BoatPlan) -> float | None:
    """Bore of the shaft's tube with a usual wall, mm; None where that leaves no room for bearings round the rod."""
    drive = plan.design.drive
    bore = drive.tube_diameter - 2.0 * _WALL
    return bore if bore >= drive.shaft_diameter + _BEARING_ROOM else None


def bolts_to_buy(plan: BoatPlan) -> tuple[int, float]:
    """How many bolts hold strut and rudder, and their length, mm: through transom and pad, with bracket and nut."""
    count = sum(1 for part in plan.parts if part.family == "pad" for mark in part.marks if mark.kind == "hole")
    woods = plan.design.woods
    through = woods.transom.thickness + woods.pad.thickness + _BOLT_BEYOND
    step = _BOLT_STEPS[plan.design.units]
    return count, math.ceil(through / step - 1e-9) * step


def engine_lines(plan: BoatPlan) -> tuple[str, ...]:
    """What engine the boat is drawn for, and what comes with it."""
    kit, engine, hands = Kit(plan), plan.design.engine, plan.balance.handling
    if engine.bolts and engine.bolt_circle > 0.0:
        bolts = (
            f"Its {engine.bolts} bolts stand on a circle {kit.size(engine.bolt_circle)} across. "
            f"The plate's holes are {kit.fine(engine.bolt_diameter)} wide."
        )
    else:
        bolts = (
            "You mark its bolts on the plate. At least two must meet wood there, "
            f"{kit.size(_BOLT_EDGE)} from bore and edge. Not so? Ask before you buy."
        )
    return (
        "The motor of an old grass trimmer or hedge cutter. First, outdoors, an adult runs the whole tool. "
        "It starts, idles with its blades still, stops by its switch, then by its choke.",
        "An adult takes off its shaft and blades: cold, its tank empty, the plug lead off. "
        "The clutch drum, its housing and bearing stay on the engine.",
        "Measure it before you buy. The pictures tell where, the table how large it may be. "
        "Agree with the seller that it may come back.",
        "Look at its clutch: that is from astern. Seen so, its muffler is at the right, to starboard. "
        "Is yours at the left? Ask the adult on page 1 before you buy: much changes sides. "
        "Its cord must pull up or aside, clear of bulkhead and screen.",
        "It gets the fuel that its own manual names. No manual? A dealer knows it by the name on the engine. "
        "An adult mixes and pours it.",
        f"With clutch and empty tank it weighs {engine.mass / 1000.0:.2f} kg. "
        f"Over {_MOST_ENGINE * engine.mass / 1000.0:.2f} kg? The plan no longer fits: ask the adult on page 1.",
        f"It gives about {engine.power:.0f} watts at {engine.rpm:.0f} turns a minute: some "
        f"{5.0 * round(engine.power / _WATTS_EACH / 5.0):.0f} cm³ (cc) do that. Seen from astern it turns "
        f"{hands.rotation}. Plug lead off, an adult pulls the cord. The shoes show it, through the drum's holes. "
        "A closed drum comes off first. The other way? Ask the adult on page 1: propeller and rudder change.",
        f"Its clutch housing fits a hole {kit.size(engine.housing_bore)} wide. {bolts}",
        f"It comes with clutch, tank, fuel line and muffler. The tank holds about {engine.fuel:.0f} g of fuel. "
        "Its exhaust turns up and out, or an adult fits a deflector made for it.",
    )


def fitting_groups(plan: BoatPlan, reader: Reader = BUILDER) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Heading and lines of all that one boat needs besides wood, screws, glue and engine.

    Args:
        plan: of the boat.
        reader: of the list.
    """
    return (
        ("Shaft and propeller", _drive_lines(plan, reader)),
        ("Strut and rudder", _steering_lines(plan, reader)),
        ("Radio", _radio_lines(plan, reader)),
        ("Hull", _hull_lines(plan)),
        ("Jigs and engine mount", _jig_lines(plan)),
    )


def small_things(plan: BoatPlan) -> tuple[str, ...]:
    """Engine, fittings, radio and paint for one boat of a class, line by line."""
    engine, hands = plan.design.engine, plan.balance.handling
    motor = (
        f"An engine of at most {engine.mass / 1000.0:.2f} kg with clutch, tank, fuel line, muffler and heat shield. "
        f"It turns {hands.rotation} seen from astern. {CLASS.page} “{ENGINE_CHAPTER}” tells which."
    )
    return (motor, *(line for _, lines in fitting_groups(plan, CLASS) for line in lines))


def _drive_lines(plan: BoatPlan, reader: Reader) -> tuple[str, ...]:
    kit, drive, line = Kit(plan), plan.design.drive, plan.balance.drive
    rod, bore = kit.fine(drive.shaft_diameter), tube_bore(plan)
    inside = (
        f"Its bore is about {kit.fine(bore)}. Bearings fit that bore and the rod"
        if bore is not None
        else "Its bore is wide enough for bearings round the rod"
    )
    pitch = plan.balance.running.pitch
    if drive.pitch is not None:
        steep = f"Its pitch is {kit.size(drive.pitch)}"
    elif pitch is not None:
        steep = f"Pitch {kit.size(pitch.low)} to {kit.size(pitch.high)}, an estimate: buy the smaller"
    else:
        steep = "Its pitch is not known: ask the adult who planned the boat"
    hand = "right-hand" if drive.rotation == "clockwise" else "left-hand"
    return (
        f"A straight steel shaft {rod} thick, to cut {kit.size(line.rod)} long. Its end is threaded, with "
        "a lock nut. All that goes on it is bored for the same rod: never mix mm and inch sizes.",
        f"A drive dog for the {rod} shaft, with its set screw. Its teeth turn the propeller, not the nut.",
        f"A tube for the shaft log, {kit.fine(drive.tube_diameter)} outside, "
        f"to cut {kit.size(tube(plan).length)} long. {inside}.",
        *(
            ()
            if plan.design.glue == "epoxy"
            else ("A little epoxy with its thickener, for the shaft log. An adult spreads it.",)
        ),
        f"{line.bearings} bearings for a {rod} shaft: one in the strut, the others in the tube.",
        "A small jaw coupling: two halves, a rubber star between. "
        f"Its after half, its teeth not counted, is at most {kit.at_most(coupling_half(plan))} long. "
        f"That is bored for the {rod} shaft. The fore half fits a stub on the clutch drum. "
        f"{reader.page} “{METAL_CHAPTER}” draws both, and an adapter.",
        f"A collar with its screw, and washers, for the {rod} shaft. "
        f"They and the coupling share {kit.size(tube(plan).abaft_plate)} between plate and tube.",
        f"A propeller {kit.size(drive.propeller_diameter)} across, {hand}, bored for a {rod} shaft and notched for "
        f"the dog. {steep}.",
    )


def coupling_across(plan: BoatPlan) -> float:
    """The widest coupling that turns freely between bearers and over bottom and fin's cleats, mm."""
    below = coupling_room(plan.hull, plan.arrangement, plan.balance.drive.places[-1])
    return min(2.0 * below, plan.design.engine.bearer_gap) - 2.0 * _COUPLING_PLAY


def coupling_torque(plan: BoatPlan) -> float:
    """Torque that the coupling is made for, Nm: twice the engine's at its turns, for the jolts of one cylinder.

    The engine's is its power by its angular speed (mechanics); that twice it is enough: common practice, no source.
    """
    engine = plan.design.engine
    return math.ceil(2.0 * engine.power / (engine.rpm * math.pi / 30.0))


def coupling_long(plan: BoatPlan) -> float:
    """Length of the closed coupling, mm: from the engine plate's after face to the after end of its half."""
    return ROD_SHORT + coupling_half(plan)


def _steering_lines(plan: BoatPlan, reader: Reader) -> tuple[str, ...]:
    kit, design, shaft = Kit(plan), plan.design, plan.arrangement.shaft
    rudder = design.rudder
    count, length = bolts_to_buy(plan)
    across, up = (2.0 * reach for reach in bolt_reach(design))
    bearing = plan.balance.drive.places[0]
    arm = pushrod_hole(plan).z
    low = shaft.hub_z + (bearing - shaft.hub_x) * math.tan(math.radians(shaft.angle))
    return (
        f"A strut for the shaft. Its bearing stands {kit.size(-low)} below the bottom's outer face, about "
        f"{kit.size(-bearing)} behind the transom. Its holes are slots, so that it can be set. "
        f"{reader.page} “{METAL_CHAPTER}” draws it, and the rudder.",
        f"A rudder with bracket and tiller. Its tip reaches {kit.size(rudder.depth)} below the bottom's outer face. "
        f"Its tiller stands {kit.size(arm)} above that. It swings {rudder.throw:.0f}° each way.",
        f"{count} bolts, 4 mm or number 8, {kit.size(length)} long, with washers and lock nuts. "
        f"They are drawn {kit.size(across)} by {kit.size(up)} apart. Other brackets fit too: move the holes.",
        "Two pushrods of stiff wire, with links, and a rubber bellows. "
        f"Cut the rudder's {kit.size(rudder_rod(plan))} long, then bend its ends. "
        f"Cut the throttle's to fit, from {kit.size(throttle_rod(plan))}.",
    )


def _radio_lines(plan: BoatPlan, reader: Reader) -> tuple[str, ...]:
    kit, radio, places = Kit(plan), plan.design.radio, on_shelf(plan)
    return (
        "A radio with three channels, for rudder, throttle and kill switch. "
        "Its failsafe closes the throttle and works the kill switch. "
        f"A battery at most {kit.size(places.battery_width)} wide and {kit.size(battery_headroom(plan))} high. "
        f"It is at most {kit.size(places.battery_length)} long, in its bag. "
        "A watertight bag and a charger for it, and the transmitter's batteries. The radio's manual tells their kind.",
        "A waterproof kill switch that works by radio and by its own button. "
        f"That is pressed from outside, through the side, {kit.size(plan.design.woods.side.thickness)} thick."
        f"{_switch_high(plan)} "
        "Without power it joins the engine's stop wire to bare metal: that stops it too. "
        f"Two bolts with lock nuts hold it, 4 mm or number 8, {kit.size(switch_bolt(plan))} long. "
        f"Wire for it, with plugs to crimp. Not to be had? Ask {reader.adult}: no other will do.",
        "Two waterproof servos with their screws, "
        f"each {kit.size(radio.servo_length)} by {kit.size(radio.servo_width)}. "
        f"Case and arm rise at most {kit.size(servo_headroom(plan) - _SERVO_PLAY)} above the lugs. "
        f"The case reaches at most {kit.size(SERVO_DROP)} below them.",
        f"A watertight box, {kit.size(radio.box_length)} by {kit.size(radio.box_width)} and "
        f"{kit.size(radio.box_height)} high at most. "
        f"Three thin straps, at most {kit.fine(_STRAP_WIDE)} wide: two for it, one for the battery. "
        "Rubber rings for its wires. "
        f"A tube for the aerial, at most {kit.fine(AERIAL_TUBE)} wide and {kit.size(aerial_room(plan))} long.",
        f"A waterproof switch for the radio, worked from outside. Its hole is {kit.fine(PUSHROD_HOLE)} wide, "
        f"through wood {kit.size(plan.design.woods.transom.thickness)} thick. "
        f"Inside it is at most {kit.size(shelf_from_inside(plan) - _SWITCH_PLAY)} deep.",
    )


def _hull_lines(plan: BoatPlan) -> tuple[str, ...]:
    thick = Kit(plan).size(foam_thickness(plan.hull))
    fitted = foam_litres(foam_blocks(plan.hull, plan.arrangement))
    foam = math.ceil(fitted * (1.0 + _OFFCUTS))
    return (
        f"About {paint_litres(plan):.1f} litres of sealer and paint together, that fuel does not soften, with brushes. "
        "Two-part ones are for adults' hands.",
        "Sealant and filler that fuel does not soften. Waterproof grease for the shaft, thread-lock for set screws.",
        f"{foam:.0f} litres of closed-cell foam, {thick} thick: {fitted:.1f} for the blocks, the rest is waste. "
        f"A board {Kit(plan).size(_square(foam, foam_thickness(plan.hull)))} square holds that. "
        "No polystyrene, as EPS or XPS board: fuel melts it.",
        f"Two drain plugs for holes {Kit(plan).size(drain(plan).diameter)} wide. "
        f"One goes through wood {Kit(plan).size(drain_depth(plan))} thick, one through "
        f"{Kit(plan).fine(plan.design.woods.bulkhead.thickness)}. "
        f"A bow loop with {_LOOP_BY[plan.design.hull.bow].format(most=_loop_most(plan))}. "
        "30 ft (9 m) of floating line.",
        f"Steel for ballast: five pieces of {BALLAST_STEP:.0f} g, two of {SIDE_STEP:.0f} g. "
        "A strap with two screws, hose and clips for a loose tank. "
        "Two straps to hold the boat in its stand, 6 ft (1.8 m) long."
        + (" Waterproof tape for the hatch." if Kit(plan).taped_hatch else ""),
        *_own_lines(plan),
    )


def _own_lines(plan: BoatPlan) -> tuple[str, ...]:
    """What a design adds by itself, each with the weight and the place that the balance counts on."""
    kit = Kit(plan)
    return tuple(
        f"The design's own: {each.name}, {each.mass:.0f} g. "
        f"It goes {kit.size(each.x)} from the {kit.stern}, before the boat is balanced."
        for each in plan.design.fittings
    )


def _square(litres: float, thick: float) -> float:
    """Side of a square board of so many litres, to the next inch, mm."""
    return 25.4 * math.ceil(math.sqrt(litres * 1e6 / thick) / 25.4)


def _loop_most(plan: BoatPlan) -> str:
    """How long the bow loop's screw may be, in words; empty where bolts hold the loop."""
    screw = loop_screw(plan)
    return "" if screw is None else f", at most {Kit(plan).at_most(screw.most)} long under the ring"


def mount_bolts(plan: BoatPlan) -> tuple[int, float]:
    """How many bolts hold the two corner brackets, two to a bearer and one to the plate, and their length, mm."""
    woods = plan.design.woods
    step = _BOLT_STEPS[plan.design.units]
    through = max(woods.bearer.thickness, woods.engine_plate.thickness) + _BOLT_BEYOND
    return 6, math.ceil(through / step - 1e-9) * step


def shield_bolt(plan: BoatPlan) -> float:
    """Length of the bolts that hold the heat shield, mm: through side and spacer, with washer and nut."""
    step = _BOLT_STEPS[plan.design.units]
    return math.ceil((shield_off(plan.design) + plan.design.woods.side.thickness + _NUT_BEYOND) / step - 1e-9) * step


def _switch_high(plan: BoatPlan) -> str:
    """How high the kill switch may be, so that it stays below the sheer cleat, its middle in its place.

    Empty where the cleat is so high that the switch is bolted to the cleat's own face.
    """
    room = 2.0 * (SWITCH_BELOW - plan.design.cleats.sheer_height - _SWITCH_CLEAR)
    return f" It is at most {Kit(plan).size(room)} high." if room >= _SWITCH_LEAST else ""


def switch_bolt(plan: BoatPlan) -> float:
    """Length of the bolts of the kill switch, mm: through side and sheer cleat, with its case, washer and nut."""
    step, woods = _BOLT_STEPS[plan.design.units], plan.design.woods
    return math.ceil((woods.side.thickness + woods.cleat.thickness + _BOLT_BEYOND) / step - 1e-9) * step


def _short_leg(plan: BoatPlan) -> str:
    """What is said of the brackets' legs on the plate, where it stands out less beside a bearer."""
    leg = short_leg(plan)
    return "" if leg is None else f" An adult saws one leg of each to {Kit(plan).size(leg)}, for the plate."


def _jig_lines(plan: BoatPlan) -> tuple[str, ...]:
    kit, sizes = Kit(plan), jig_sizes(plan)
    count, length = mount_bolts(plan)
    long, wide, thick = sizes.board
    thin, rod = sizes.rod
    return (
        f"Two steel corner brackets hold the engine plate to its bearers. Legs about {kit.size(BRACKET_LEG)}, "
        f"each {kit.size(BRACKET_WIDE)} wide."
        f"{_short_leg(plan)} "
        f"{count} bolts for them, 4 mm or number 8, {kit.size(length)} long. "
        "Each has a washer and a lock nut. "
        f"Engine bolts: the old thread, but {kit.size(plan.design.woods.engine_plate.thickness)} longer.",
        f"Thin sheet metal for the heat shield, {kit.size(2.0 * MUFFLER_FREE)} wider and higher than your muffler. "
        f"Two bolts, 4 mm or number 8, {kit.size(shield_bolt(plan))} long, hold it through the side. "
        f"Each has a wide washer, a lock nut and a metal spacer {kit.size(shield_off(kit.plan.design))} long.",
        f"A flat board to build on: {kit.size(long)} by {kit.size(wide)}, at least {kit.size(thick)} thick.",
        f"A straight rod for the dummy rod, {kit.fine(thin)} by {kit.size(rod)} long.",
        "Scraps of wood for the wedge, the disc, the blocks and two straight sticks. "
        f"{2 * sizes.stops} wood screws, {kit.size(sizes.stop_screw)} long, for the stop blocks.",
    )


def workshop_supplies() -> tuple[str, ...]:
    """Small things that are used up or shared, bought once for the workshop."""
    return (
        "Sandpaper in three grits: 80, 120 and 240. The higher the number, the finer it is.",
        "Masking tape, clear tape, baking paper, plastic film, thin card, soft cloth. Rags, wood filler, cable ties.",
        "A kitchen scale for ballast. A bathroom scale for the boat.",
    )


def workshop_things(boats: int) -> tuple[str, ...]:
    """What keeps people safe, bought once for the workshop.

    Args:
        boats: that are built side by side.
    """
    pairs = "for each of you" if boats == 1 else f"for all who build the {boats} boats"
    return (
        f"Safety glasses, gloves, dust masks and ear protection {pairs}, the adults too. "
        "Gloves: thin nitrile for glue and paint, thick ones for metal and propeller.",
        "A life jacket for every child at the water, and for three adults.",
        "Running it needs three adults and a rowing boat. Ask for both before you buy.",
        "A fire extinguisher made for fuel fires. A first-aid kit. "
        "Fuel, oil, a fuel can, a marked cup, a funnel, a hand pump with hose. A lidded metal can for rags.",
    )
