"""The building steps from the fin to the balance test."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from hullcut.packet import special_pictures
from hullcut.packet.drain import drain
from hullcut.packet.step import Step
from hullcut.packet.studio import FOAM

if TYPE_CHECKING:
    from hullcut.packet.step import Kit

__all__ = ["deck_steps", "drive_steps", "finish_steps", "fitting_steps", "radio_steps"]

# What closes the bow, under the fore deck, by kind of bow; and what is left out to look in from ahead.
_BOW_ENDS = {"sled": "nose block", "pram": "bow transom", "stem": "stem block"}
_AHEAD = ("bulkhead", "nose-block", "stem-block", "bow-transom", "bow-cleat")


def fitting_steps(kit: Kit) -> list[Step]:
    """All steps of this module, in order; those whose parts are absent are left out."""
    return [
        *drive_steps(kit),
        *radio_steps(kit),
        *deck_steps(kit),
        *finish_steps(kit),
    ]


def drive_steps(kit: Kit) -> list[Step]:
    """Knees, fin, bearers, engine plate, shaft."""
    design, place = kit.plan.design, kit.plan.arrangement
    shaft, engine = place.shaft, design.engine
    run = 254.0 if design.units == "in" else 250.0
    rise = run * math.tan(math.radians(shaft.angle))
    return [
        Step(
            "Turn the boat over and fit the knees",
            kit.family("knee"),
            ("clamps", "glue brush"),
            (
                "Lift the hull off the board and turn it over.",
                "Pare off the hard glue inside the corners.",
                *(("Plane each knee until it touches transom and cleat.",) if kit.sloped else ()),
                "Glue a knee into each corner of the stern.",
                "Keep the knees level with the sheer cleats.",
            ),
            f"The knees' legs are {kit.size(design.cleats.knee_leg)} long.",
            glue=True,
            shift=(0.0, 0.0, 80.0),
        ),
        Step(
            "Fit the fin and its cleats",
            kit.slugs("fin"),
            ("small saw", "file", "glue brush", "clamps", "try square"),
            (
                "Saw out the fin slot on its marks.",
                "File it until the fin's tab slides in.",
                "Push the tab up through the bottom.",
                "Glue a fin cleat along each side of the tab.",
                "Hold the fin square to the bottom until it sets.",
            ),
            f"The fin's after end is {kit.size(place.fin_x)} from the {kit.stern}. It stands "
            f"{kit.size(design.fin.depth)} deep.",
            adult="An adult starts the slot with a drill.",
            glue=True,
            view="cutaway",
            turns={"fin#": (0.0, 0.0, -75.0), "fin-cleat": (0.0, 0.0, 75.0)},
            hide=(
                "side-starboard",
                "chine-cleat-after-starboard",
                "chine-cleat-fore-starboard",
                "sheer-cleat-starboard",
            ),
        ),
        Step(
            "Fit the engine bearers and the engine plate",
            kit.family("bearer", "engine_plate"),
            ("clamps", "try square", "drill and bits", "screwdriver"),
            (
                "Clamp the bearers upright on their marks.",
                "Glue and screw them through the bottom.",
                "Set the engine plate on both bearers, square to their tops.",
                "Bolt the engine to the plate to try it.",
                "Move it only if the balance test, the last step, asks for it.",
            ),
            f"The gap between bearers is {kit.size(engine.bearer_gap)}. At its bore the plate's after "
            f"face is {kit.size(place.plate_x)} from the {kit.stern}.",
            adult="An adult lifts and bolts the engine. The tank is empty.",
            glue=True,
            shift=(0.0, 0.0, 110.0),
        ),
        Step(
            "Cut the shaft slot and set the shaft log",
            (),
            ("small saw", "file", "straight dummy rod", "rule", "glue brush"),
            (
                "Saw the slot on its marks, never drill it freehand.",
                "File it slanting until the tube lies at its angle.",
                "Push a straight dummy rod through tube and engine plate.",
                "Prop the rod over the centre line, as steep as the wedge.",
                "Glue the shaft log in while the rod holds it.",
                "Turn the rod by hand: it must not bind.",
            ),
            f"The rod rises {kit.size(rise)} over {kit.size(run)}, as the wedge does. It leaves the bottom "
            f"{kit.size(shaft.exit_x)} from the {kit.stern}.",
            adult="An adult saws the slot and checks the line.",
            glue=True,
            extra=("shaft",),
            draw=special_pictures.shaft_line,
        ),
    ]


def radio_steps(kit: Kit) -> list[Step]:
    """Pads, shelf, servos."""
    design = kit.plan.design
    radio = design.radio
    return [
        Step(
            "Glue in the strut pad and the rudder pad",
            kit.family("pad"),
            ("clamps", "glue brush", "drill and bits"),
            (
                "Glue the pads to the transom's inner face, on their marks.",
                "Stand them on the foot cleat.",
                "Let the glue harden before you drill.",
                "Drill the bolt holes from the outside, square through both.",
            ),
            f"The rudder pad's middle is {kit.size(abs(design.rudder.offset))} from the centre line.",
            glue=True,
            view="bow",
            shift=(110.0, 0.0, 40.0),
            hide=_AHEAD,
        ),
        Step(
            "Fit the shelf cleats and the radio shelf",
            (*kit.slugs("shelf-cleat"), *kit.family("shelf")),
            ("clamps", "screwdriver", "glue brush"),
            (
                "Glue a shelf cleat to each side, level.",
                "Push one side of the shelf under its sheer cleat.",
                "Lower the other side and slide the shelf to the middle.",
                "A dab of sealant at each corner holds it. A knife frees it.",
                "Mark where the radio box stands.",
            ),
            f"The shelf's lower face is {kit.size(radio.shelf_height)} above the bottom's outer face.",
            glue=True,
            view="bow",
            turns={"shelf": (0.0, 0.0, 110.0), "shelf-cleat": (0.0, 0.0, 45.0)},
            hide=_AHEAD,
        ),
        Step(
            "Fit the servo mounts and the radio box",
            kit.slugs("servo"),
            ("screwdriver", "glue brush", "file"),
            (
                "File each window until the servo drops in.",
                "Glue two rails under each plate.",
                "Glue the rails to the shelf.",
                "Strap the radio box to the shelf.",
                "Lead the aerial up through a tube.",
            ),
            f"Each window is {kit.size(radio.servo_length)} by {kit.size(radio.servo_width)}. "
            "Measure your servo first.",
            glue=True,
            view="bow",
            shift=(0.0, 0.0, 90.0),
            hide=_AHEAD,
            extra=("radio box",),
        ),
    ]


def deck_steps(kit: Kit) -> list[Step]:
    """Sealing, foam, beams, decks, windscreen."""
    design, hull = kit.plan.design, kit.plan.hull
    decks = design.decks
    over = design.laps.deck == "over"
    rim = "sides' upper edges" if over else "sheer cleats' tops"
    beams = kit.family("deck_beam")
    steps = [
        Step(
            "Seal the inside",
            (),
            ("brush", "gloves", "rags"),
            (
                "Take engine, servos and radio box out first.",
                "Open the windows before you open the tin.",
                "Vacuum all dust out of the hull.",
                "Brush sealer into every corner and every edge.",
                "Give end grain and slots a second coat.",
                "Let it dry as its label says.",
            ),
            f"Pour in water {kit.size(12.7)} deep and wait ten minutes. No drop comes through.",
            adult="An adult reads the label first and stays for the whole job.",
        ),
        Step(
            "Pack in the foam",
            (),
            ("knife", "rule"),
            (
                "Use closed-cell foam that fuel does not melt.",
                "Polystyrene melts in fuel: keep it out of this boat.",
                "Cut blocks to fill the fore compartment.",
                _stern_foam(kit),
                "Keep it clear of the engine and the muffler.",
            ),
            f"The fore compartment runs forward from {kit.size(decks.fore_from)}. It is full: about "
            f"{kit.plan.balance.foam.fore_room.litres:.0f} litres.",
            adult="An adult cuts with the long knife.",
            extra=(FOAM,),
            view="bow",
        ),
    ]
    if beams:
        places = kit.size(decks.fore_from + design.woods.bulkhead.thickness)
        steps.append(
            Step(
                "Glue in the deck beams",
                beams,
                ("clamps", "glue brush", "straightedge"),
                (
                    "Try each beam: its notches hook over the sheer cleats.",
                    f"Plane it flush with the {rim}.",
                    "Glue the beams in square to the centre line.",
                ),
                f"The fore beam's after face is {places} from the {kit.stern}.",
                glue=True,
                shift=(0.0, 0.0, 85.0),
            )
        )
    steps.append(
        Step(
            "Glue down the fore deck",
            kit.slugs("fore-deck"),
            ("glue brush", "drill and bits", "screwdriver", "plane"),
            (
                "Lay a straightedge across from sheer to sheer.",
                "Plane until the straightedge touches both.",
                "Try the deck dry, on the centre line.",
                f"Spread glue on {'sides' if over else 'sheer cleats'}, beams and {_BOW_ENDS[design.hull.bow]}.",
                _DECKING[design.hull.sheer_rise > 0.0],
                "Plane its edges flush when the glue is hard.",
            ),
            f"The fore deck's after edge is {kit.size(hull.length - decks.fore_from)} from the bow, measured level.",
            glue=True,
            shift=(0.0, 0.0, 95.0),
        )
    )
    steps += _cover_steps(kit)
    if design.windscreen.fitted:
        steps.append(_screen_step(kit))
    return steps


def _stern_foam(kit: Kit) -> str:
    """How much foam goes into the stern: what is needed, or what the design packs where that is more."""
    design = kit.plan.design
    litres = max(kit.plan.balance.foam.aft, design.foam.aft or 0.0)
    place = "in the stern" if design.decks.after == "open" else "under the after cover"
    if litres <= 0.0:
        return f"Wedge more foam {place}."
    return f"Wedge at least {math.ceil(litres * 10.0 - 1e-6) / 10.0:.1f} litres more {place}."


def _screen_step(kit: Kit) -> Step:
    screen = kit.plan.design.windscreen
    check = f"It leans {screen.rake:.0f}° aft. Its upper edge is {kit.size(screen.width_top)} wide."
    parts, tools = kit.family("windscreen"), ("plane", "glue brush", "tape")
    sentences: tuple[str, ...]
    if screen.wing <= 0.0:
        sentences = (
            "Plane the foot until the screen leans aft.",
            "Glue it to the deck's after edge.",
            "Hold it with tape until the glue is hard.",
        )
    else:
        sentences = (
            "Plane the edges that meet in the folds to their bevel.",
            "Lay the three pieces side by side, outer faces up, and tape the two joints.",
            "Turn them over, glue the joints and fold the wings until the joints close.",
            "Plane the foot until it sits on the deck all round.",
            "Glue it down with the wings' ends at the deck's after edge.",
        )
    return Step("Glue on the windscreen", parts, tools, sentences, check, glue=True, shift=(-40.0, 0.0, 70.0))


# How the fore deck is screwed down, by whether the sheer rises.
_DECKING = {
    False: "Screw it down from its after edge forward.",
    True: "Bend it down from its after edge forward, screw by screw.",
}


_CROWN = (
    "Plane sides and cleats down to the curve of transom and beam.",
    "The deck bends over that curve: hold its middle down first.",
)


def _cover_steps(kit: Kit) -> list[Step]:
    decks = kit.plan.design.decks
    rim = decks.after == "hatch" and decks.coaming > 0.0
    steps = []
    if decks.after == "deck" or rim:
        steps.append(
            Step(
                "Glue down the after deck",
                kit.slugs("after-deck"),
                ("glue brush", "drill and bits", "screwdriver", "plane"),
                (
                    "Check everything below once more.",
                    *(_CROWN if decks.crown > 0.0 else ()),
                    "Try the deck dry.",
                    "Glue and screw it to sides, transom and beam.",
                    "Plane its edges flush when the glue is hard.",
                ),
                f"Its fore edge is {kit.size(decks.after_to)} from the {kit.stern}.",
                glue=True,
                shift=(0.0, 0.0, 95.0),
            )
        )
    if rim:
        steps.append(
            Step(
                "Glue in the coaming",
                kit.slugs("coaming"),
                ("glue brush", "clamps", "straightedge"),
                (
                    "Stand the side strips in the opening, against its edges.",
                    "Set the after and fore strips between them.",
                    "Lay a straightedge over all four: their tops lie level.",
                    "Glue them to the deck and to one another.",
                    "Seal the corners with glue: they keep the water out.",
                ),
                f"It stands {kit.size(decks.coaming)} above the deck.",
                glue=True,
                shift=(0.0, 0.0, 60.0),
            )
        )
    if decks.after != "hatch":
        return steps
    onto = "the coaming" if rim else "sides and beam"
    rest = (
        "Its battens drop inside the coaming."
        if rim
        else f"Its fore edge is {kit.size(decks.after_to)} from the {kit.stern}."
    )
    check = f"With its screws out it lifts off freely. {rest}"
    steps.append(
        Step(
            "Make the hatch",
            (*kit.slugs("hatch-batten"), *kit.family("hatch")),
            ("glue brush", "clamps", "drill and bits", "screwdriver"),
            (
                "Glue the battens under the hatch on their marks.",
                "Keep glue off the hull: the hatch must lift.",
                "Drop the hatch into place.",
                f"Drill and screw it to {onto}.",
            ),
            check,
            glue=True,
            turns={"hatch#": (0.0, 0.0, 120.0), "hatch-batten": (0.0, 0.0, 70.0)},
        )
    )
    return steps


# What the bow loop is bolted through, by kind of bow.
_LOOP_IN = {
    "sled": "Screw the bow loop through the deck into the nose block.",
    "pram": "Bolt the bow loop through the bow transom, near its top.",
    "stem": "Screw the bow loop into the stem block, near its top.",
}


def _through_hull_step(kit: Kit) -> Step:
    """What goes through the hull: pushrods in their bellows, the drain plug, the bow loop."""
    design = kit.plan.design
    hole = drain(kit.plan)
    return Step(
        "Fit the pushrods, the drain plug and the bow loop",
        (),
        ("drill and bits", "pliers", "screwdriver", "sealant"),
        (
            "Drill a hole through the transom where the rudder's pushrod comes.",
            "Slide a rubber bellows over the rod, and seal its flange.",
            "Link the rudder and the throttle to their servos.",
            "Move both on the radio: no rod may rub or bind.",
            f"Drill the drain hole, {kit.size(hole.diameter)} wide, through transom and foot cleat.",
            "Seal its bare edge, then fit the drain plug in sealant.",
            _LOOP_IN[design.hull.bow],
            "Tie a strong line to the loop and pull hard.",
        ),
        f"The drain hole is to {hole.side}. Its middle is {kit.size(hole.height)} above the boat's bottom.",
        adult="An adult tests the kill switch and the failsafe before the first start.",
        draw=partial(special_pictures.from_astern, drain=hole),
    )


def finish_steps(kit: Kit) -> list[Step]:
    """Paint, strut, propeller, rudder, stand, balance."""
    design, place = kit.plan.design, kit.plan.arrangement
    drive = design.drive
    stand = kit.family("stand")
    upright = ("Pack the rudder's bracket with a wedge until its post is upright.",) if design.hull.transom_rake else ()
    steps = [
        Step(
            "Sand, seal and paint",
            (),
            ("sanding block", "dust mask", "brush", "gloves"),
            (
                "Sand along the grain, outdoors or with a vacuum.",
                "Round the upper edges, not the after ones.",
                "Brush on two coats of sealer.",
                "Sand lightly between coats.",
                "Paint it in your own colours, and add the number.",
            ),
            f"The bottom's after edge is still sharp. The beam is {kit.size(design.hull.beam)} plus the paint.",
            adult="An adult chooses paint that fuel does not soften.",
        ),
        Step(
            "Bolt on the strut, the propeller and the rudder",
            (),
            ("screwdriver", "spanners", "sealant"),
            (
                "Bed the strut's bracket in sealant and bolt it through its pad.",
                "Slide in the shaft and couple it to the engine.",
                "Set its collar and washer against the log: they take the thrust.",
                "Bolt the rudder's bracket through its pad.",
                *upright,
                "Turn the propeller by hand: nothing touches.",
                "This picture only sketches propeller and rudder.",
            ),
            f"The hub is {kit.size(drive.propeller_behind)} behind the {kit.stern}. It is "
            f"{kit.size(-place.shaft.hub_z)} below the bottom.",
            adult="Propeller blades are sharp: an adult fits it, with gloves.",
            extra=("propeller", "rudder", "shaft"),
        ),
        _through_hull_step(kit),
    ]
    if stand:
        steps += [
            Step(
                "Build the stand",
                stand,
                ("file", "glue brush", "soft cloth"),
                (
                    "Drop both cradles into the rails' notches.",
                    "File a tight notch until it slides.",
                    "Glue the cradles, but leave the balance bar loose.",
                    "Line the cradles with soft cloth.",
                ),
                f"The cradles stand {kit.size(design.stand.spacing)} apart, middle to middle.",
                glue=True,
                shift=(0.0, 0.0, -80.0),
            ),
            Step(
                "Balance the boat",
                (),
                ("stand", "pencil"),
                (
                    "Fit everything that goes afloat.",
                    f"Tape {design.engine.fuel / 2.0:.0f} g of water in a bottle beside the tank.",
                    "Drop the balance bar into the rails.",
                    "Set the balance marks over the bar.",
                    "If the bow drops, move the engine aft a little.",
                    "If the stern drops, move it forward.",
                    "Bolt it down when the boat rocks level.",
                ),
                f"The balance point is {kit.size(place.balance_x)} from the {kit.stern}.",
                adult="An adult stays beside the boat whenever the engine is in.",
                view="cutaway",
            ),
        ]
    return steps
