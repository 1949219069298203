"""The building steps from paint to the balance test."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hullcut.balance.engine_room import shield_off
from hullcut.balance.foam_blocks import HEAT_CLEAR
from hullcut.balance.weights import ROD_SHORT, rod_behind
from hullcut.drawing.views.bodies import copies
from hullcut.packet import wiring_picture
from hullcut.packet.afloat import BALLAST_STEP, as_read, ballast_shifts
from hullcut.packet.balance_picture import cradle_from_astern
from hullcut.packet.bow_loop import loop_screw
from hullcut.packet.engine_astern_picture import engine_from_astern
from hullcut.packet.engine_bay_picture import engine_bay
from hullcut.packet.engine_links_picture import engine_links
from hullcut.packet.finishing import SEALING_CHAPTER
from hullcut.packet.jigs import blocks_under
from hullcut.packet.lists import span
from hullcut.packet.places import lifted_by_bar, pushrod_hole
from hullcut.packet.radio_shelf import after_beam_low, foam_after_nuts, foam_after_shelf, shelf_comes_out
from hullcut.packet.rudder_throw import ABAFT_POST, aside
from hullcut.packet.steering_picture import steering
from hullcut.packet.step import Step
from hullcut.packet.strut_picture import propeller_on, strut_and_rudder
from hullcut.parts.fittings import servo_arm_height
from hullcut.parts.hatch import has_coaming
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.packet.step import Kit

__all__ = ["finish_steps"]

# What the bow loop is bolted through, by kind of bow.
_LOOP_IN = {
    "sled": "Screw the bow loop through the deck into the nose block, {where}. "
    "Use sealant. Its hole is as wide as the screw's core.",
    "pram": "The bow loop is bolted on already.",
    "stem": "Screw the bow loop through the deck into the stem block, {where}. "
    "Use sealant. Its hole is as wide as the screw's core.",
}


def _back_step(kit: Kit) -> Step:
    """Engine and radio go back into the painted boat, before the shaft is coupled."""
    return Step(
        "Put the engine and the radio back",
        (),
        ("spanners", "screwdriver", "steel rule"),
        (
            f"Bolt the heat shield on over its spacers, {kit.size(shield_off(kit.plan.design))} long, nuts inside. "
            "A dab of sealant under each bolt's head keeps water out.",
            "Set the engine plate on its bearers, and bolt its brackets.",
            "Bolt on the engine with its tank and muffler, as they came from the tool. "
            "Strap a loose tank to its block.",
            "Turn the exhaust outlet up and out, away from wood, tank and radio.",
            "Receiver in its box, aerial up its tube, lid shut. "
            "Strap down box and battery. An adult has charged it, and put it in its bag. Screw in the servos. "
            "An adult joins the wires as the next step draws them.",
            "Bolt the kill switch on, sealant under each bolt's head and round its case. None on its button. "
            "An adult joins it as the tool's own switch was: to the same wire and to bare metal. "
            "Wires are crimped, never just twisted.",
            "Tie every wire and fuel pipe clear of muffler and shaft. "
            "Two adults practise, engine off: one shuts the choke, no hand at coupling or muffler.",
        ),
        f"At its bore the plate's after face is {kit.size(kit.plan.arrangement.plate_x)} from the {kit.stern} again. "
        f"No foam is nearer than {kit.size(HEAT_CLEAR)} to engine and muffler."
        + (f" Lay the {kit.cover} on: it touches no servo, strap or wire." if kit.cover else ""),
        adult="An adult lifts and bolts the engine. Tank empty, plug lead off.",
        hide=("hatch", "after-deck"),
        extra=("engine-plate#0", "radio box"),
        closer=engine_from_astern,
    )


def _through_hull_step(kit: Kit) -> Step:
    """What goes through the hull: pushrods in their bellows, the bow loop."""
    design = kit.plan.design
    lay = f"Lay the {kit.cover} on. " if kit.cover else ""
    return Step(
        "Fit the pushrods and the bow loop",
        (),
        ("pliers", "hacksaw", "file", "screwdriver", "sealant"),
        (
            "An adult saws the rudder's rod in the vice, and the throttle's after a try. "
            "Slide the rudder's through its bellows before you bend both ends.",
            f"Link the rudder to its servo. Take the old cable off the carburettor's lever, "
            f"and hook the throttle's rod in there.{_under_beam(kit)}",
            "Leave the lever's spring on: it must close the throttle when the rod is unhooked. Try it.",
            f"Keep the rods clear of muffler, shaft and foam. {lay}Move both: no rod may rub or bind. "
            "Push the throttle's aside: it must not reach coupling or muffler.",
            "An adult joins transmitter and receiver by the radio's manual. "
            "With the wheel or stick in its middle the rudder stands straight. "
            "An adult tightens the set screws of post and tiller. Thread-lock on each. "
            "Twist the blade by hand: nothing slips.",
            "Does a rod move the wrong way? An adult reverses that channel. "
            "They set the rudder's throw as the check tells, and the throttle's ends: shut, and open without strain.",
            f"{_LOOP_IN[design.hull.bow].format(where=_loop_place(kit))} Tie a strong line to it and pull hard.",
        ),
        f"The rudder's rod leaves the transom {kit.size(pushrod_hole(kit.plan).z)} above the bottom. "
        f"The throttle closes fully. Full throw: {kit.size(ABAFT_POST)} abaft its post the blade moves "
        f"{kit.size(aside(design.rudder.throw))} aside.",
        adult="Plug lead off. Last, an adult sets the failsafe by the radio's manual, and tests it: "
        "it closes the throttle and works the kill switch.",
        draw=steering,
        closer=wiring_picture.wiring,
        under=engine_links,
    )


def _loop_place(kit: Kit) -> str:
    """Where the bow loop's screw goes in, and how long it may be; empty without a block for it."""
    screw = loop_screw(kit.plan)
    if screw is None:
        return ""
    return f"{kit.size(screw.from_bow)} from the bow. The screw goes at most {kit.at_most(screw.most)} deep"


def _late_foam(kit: Kit) -> str:
    """What is said of the foam that stood in the shelf's way."""
    late = foam_after_shelf(kit.plan)
    return f" Then fix foam blocks {late}." if late else ""


def _under_beam(kit: Kit) -> str:
    """What is said of the throttle's rod where the after beam stands in its way."""
    low = after_beam_low(kit.plan)
    return (
        ""
        if low is None or servo_arm_height(kit.plan.hull) < low
        else " Bend the throttle's rod to pass under the beam."
    )


# How the shelf goes in again, by whether a deck is glued over its ends.
_SHELF_WAYS = {False: "one side first, under its sheer cleat", True: "tip it in, and slide it aft under the beam"}


def _shelf_bodies(kit: Kit) -> tuple[str, ...]:
    """Owners of the bodies of the shelf and of the servo mounts that are glued on it."""
    parts = (*kit.slugs("shelf"), *kit.slugs("servo"))
    return tuple(owner for part in parts if "cleat" not in part.id for owner in copies(part))


def finish_steps(kit: Kit) -> list[Step]:
    """Paint, strut, propeller, rudder, balance."""
    design, place = kit.plan.design, kit.plan.arrangement
    drive = design.drive
    stand, rod, behind = kit.family("stand"), kit.plan.balance.drive.rod, rod_behind(place)
    under = has_coaming(kit.plan.hull)
    cover = kit.cover
    on_top = f" on the {cover}" if cover else ""
    uncover = f"Take the {cover} off. " if cover else ""
    but = f", not the {cover}'s" if cover else ""
    clear = f" {kit.size(blocks_under(kit.plan))} high, clear of the screen" if design.windscreen.fitted else ""
    shelf = _shelf_bodies(kit) if shelf_comes_out(kit.plan) else ()
    aft, forward = (as_read(moved, design.units) for moved in ballast_shifts(kit.plan))
    upright = ("Pack the rudder's bracket with a wedge until its post is upright.",) if design.hull.transom_rake else ()
    steps = [
        Step(
            "Sand, seal and paint",
            (),
            ("sanding block", "dust mask", "brush", "gloves"),
            (
                *((f"Take the {cover} off: it is painted by itself.",) if cover else ()),
                f"Fill dents and screw heads{but}. Sand along the grain, outdoors or with a vacuum.",
                f"Is the epoxy {span(glue('epoxy').cure_minutes)} old? Only then, in a mask: tape the shaft tube shut. "
                "An adult sands the epoxy round it flush with the bottom, not the tube.",
                "Round the upper edges. Leave the after ones sharp.",
                f"Brush on sealer coat by coat, as the page “{SEALING_CHAPTER}” tells: about five days with drying.",
                f"Then paint it in your own colours, and add the number. Bottom first, keel up on two blocks{clear}.",
            ),
            f"The bottom's after edge is still sharp. The beam is {kit.size(kit.plan.hull.beam)} plus the paint.",
            adult="An adult chooses paint that fuel does not soften. Two-part paint is for adults' hands.",
        ),
        Step(
            "Bolt on the strut and the rudder",
            (),
            ("screwdriver", "spanners", "sealant", "gloves"),
            (
                *(
                    (f"Take the {cover} off first, and the tape off the tube.",)
                    if cover
                    else ("Take the tape off the tube.",)
                ),
                "Bed the brackets of strut and rudder in sealant. Bolt them through their pads, finger-tight.",
                "Slide the shaft through tube and strut. Tighten the strut's nuts little by little. "
                "Turn the shaft after each turn: it must stay free.",
                *upright,
                "Tighten the rudder's nuts. Swing it by hand. It must not touch anything.",
                "Bed the transom plug's socket, switch and, inside, the bellows' flange in sealant."
                + (f" Then fix foam blocks {foam_after_nuts(kit.plan)}." if foam_after_nuts(kit.plan) else ""),
                *(
                    (
                        f"Last, thread the straps through the shelf. Put it back: {_SHELF_WAYS[under]}. "
                        f"A dab of sealant at each corner holds it.{_late_foam(kit)}",
                    )
                    if shelf_comes_out(kit.plan)
                    else ()
                ),
            ),
            f"The shaft's middle, {kit.size(drive.propeller_behind)} behind the {kit.stern}, is "
            f"{kit.size(-place.shaft.hub_z)} below the bottom. It still turns freely. Then draw it out.",
            adult="An adult holds the strut while you tighten.",
            extra=("rudder", *shelf),
            draw=strut_and_rudder,
        ),
        _back_step(kit),
        _through_hull_step(kit),
        Step(
            "Fit the shaft and the propeller",
            (),
            ("spanners", "hacksaw", "vice with soft jaws", "file", "steel rule", "grease", "gloves"),
            (
                "Set the stand so that the stern looks out over the bench's end. "
                "Work the greased shaft in and out until grease stands at both tube ends: it keeps water out.",
                "Hold washer, collar, after half and star in their places. "
                "Slide the shaft in from astern, into the after half.",
                f"Push it on until its end is {kit.fine(ROD_SHORT)} abaft the engine plate. "
                "It ends in the after half. "
                f"Its threaded end should now stand {kit.size(behind)} behind the {kit.stern}.",
                "Does it stand out more? Draw it out. An adult saws that much off its plain end: "
                f"it is then about {kit.size(rod)} long. Round its end with a file, and put all back.",
                "Set the collar against the shaft log. Slip washers and drive dog on behind the strut. "
                "Washers between strut and drive dog take the thrust: leave a card's thickness there.",
                "Mark where the set screws of dog, collar and coupling bear. Draw the shaft out. "
                "An adult files a small flat place at each mark, in the vice. "
                "Wipe it, grease all but those, put all back.",
                "Turn the shaft by hand. A rule along both halves shows no step, and thin card fits alike all round. "
                "Not so? Slip a strip of the shield's metal between bracket and plate. "
                "Tighten all set screws, thread-lock on each.",
                "An adult puts the propeller on the dog's teeth, and tightens the nut. They turn it: nothing binds. "
                "They wrap thick cloth round its blades. It stays on until the first start.",
            ),
            f"The hub is {kit.size(drive.propeller_behind)} behind the {kit.stern}. It is "
            f"{kit.size(-place.shaft.hub_z)} below the bottom. No foam touches shaft or tube.",
            adult="First an adult takes the plug lead off. An adult saws the shaft, in the vice. "
            "Blades are sharp: an adult fits the propeller, with gloves.",
            extra=("propeller", "shaft"),
            draw=partial(engine_bay, stage="shaft"),
            closer=propeller_on,
        ),
    ]
    if stand:
        steps += [
            Step(
                "Balance the boat",
                (),
                ("pencil", "kitchen scale", "small bottle", "tape"),
                (
                    f"Fit everything that goes afloat{f', the {cover} too' if cover else ''}. "
                    f"Tape {design.engine.fuel / 2.0:.0f} g of water in a bottle beside the tank.",
                    "Mark the balance point on tape, on both sides.",
                    "Two people lift the boat onto two blocks, hands clear of the propeller. Take the cloth out. "
                    "Drop the bar into the rails, slot up.",
                    "Set the marks over the bar's middle, the fin in the slot. Neither cradle may touch the boat.",
                    f"Does the bow drop? Lay pieces of {BALLAST_STEP:.0f} g{on_top} at the transom.",
                    "Does the stern drop? Lay them at the bulkhead instead. Stop when it rocks level.",
                    "Take the photo now, and wait for the yes. "
                    "Two people lift the boat off. Bar out, cloth back in, boat back.",
                    f"{uncover}Bed the ballast in sealant: at the stern on the shelf's after edge, clear of rods. "
                    "Forward it lies on the bottom, beside the bulkhead's plug. Take the bottle out.",
                ),
                f"The balance point is {kit.size(place.balance_x)} from the {kit.stern}. {BALLAST_STEP:.0f} g moves it "
                f"{kit.fine(aft)} aft or {kit.fine(forward)} forward. "
                f"Over {5.0 * BALLAST_STEP:.0f} g? Ask the adult on page 1.",
                adult="Two people hold the boat on the bar. Do not move the engine.",
                back=stand,
                # From the side the bar is seen under the bottom, between the cradles.
                view="side",
                across=True,
                extra=("balance-bar#0",),
                raised=lifted_by_bar(kit.plan),
                under=cradle_from_astern,
            ),
        ]
    return steps
