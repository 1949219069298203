"""The building steps from the knees to the radio."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from hullcut.balance.engine_room import MUFFLER_FREE, SWITCH_BELOW, engine_room, shield_off
from hullcut.packet import shaft_picture
from hullcut.packet.drain import drain
from hullcut.packet.engine_astern_picture import engine_from_astern
from hullcut.packet.engine_bay_picture import engine_bay
from hullcut.packet.engine_mount import plate_on_bearers, short_leg
from hullcut.packet.fittings_list import METAL_CHAPTER
from hullcut.packet.jigs import blocks_under
from hullcut.packet.joining import bonds
from hullcut.packet.lists import span
from hullcut.packet.metal_parts_picture import BEARING
from hullcut.packet.places import (
    bearers_from_inside,
    bolt_holes,
    lifted_clear,
    pushrod_hole,
    shelf_from_inside,
    tube,
    tube_bearings,
)
from hullcut.packet.saws_and_bits import BOLT_BIT
from hullcut.packet.shelf_picture import shelf_picture
from hullcut.packet.step import Step
from hullcut.packet.steps_decks import deck_steps
from hullcut.packet.steps_finish import finish_steps
from hullcut.packet.steps_hull import low_screws
from hullcut.packet.transom_picture import holes_from_astern
from hullcut.parts.fittings import servo_places
from hullcut.parts.radio_places import STRAP_HOLE
from hullcut.parts.stand import cradle_places
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from hullcut.drawing.scene import Scene
    from hullcut.packet.places import Hole
    from hullcut.packet.step import Kit
    from hullcut.packet.studio import Studio

# Bit for the small screws that come with a servo, mm: common practice, no source.
_SERVO_PILOT = 25.4 / 16.0

# A bearing that would stand less deep than this in the tube ends flush with it, mm.
_FLUSH = 1.0
# Room round the shaft slot to press epoxy in and tape it over, mm.
_ROUND_SLOT = 20.0
# Greatest height of the shelf's picture, mm.
_SHELF_HIGH = 72.0

__all__ = ["drive_steps", "fitting_steps", "radio_steps"]


# The block for a loose tank's strap, long and wide, mm: common practice, no source.
_TANK_BLOCK = (76.2, 50.8)
# How far below a bow transom's upper edge its bow loop is bolted on, mm: common practice, no source.
_LOOP_BELOW = 25.4
# A slot is so much wider than its tube that thin card passes on both sides, mm.
_CARD = 0.8


def fitting_steps(kit: Kit) -> list[Step]:
    """All steps from the knees to the balance test, in order; those whose parts are absent are left out."""
    return [
        *drive_steps(kit),
        *radio_steps(kit),
        *deck_steps(kit),
        *finish_steps(kit),
    ]


def drive_steps(kit: Kit) -> list[Step]:
    """Knees, fin, bearers, engine plate, shaft."""
    return [_knee_step(kit), _fin_step(kit), _engine_step(kit), *_shaft_steps(kit)]


def _sheer_cleat_screws(kit: Kit) -> int:
    """How many screws hold the ends to the sheer cleats."""
    ends = {part.id for part in kit.slugs("transom", "bow-transom")}
    cleats = {part.id for part in kit.slugs("sheer-cleat")}
    return sum(bond.screws for bond in bonds(kit.plan) if bond.host.id in ends and bond.guest.id in cleats)


def _knee_step(kit: Kit) -> Step:
    leg = kit.size(kit.plan.design.cleats.knee_leg)
    onto, low = ", onto the stand" if kit.family("stand") else "", low_screws(kit)
    ends = "both transoms'" if kit.slugs("bow-transom") else "the transom's"
    return Step(
        "Turn the boat over and fit the knees",
        kit.family("knee"),
        ("clamps", "plane", "straightedge", "file", *(("drill and bits", "screwdriver") if low else ())),
        (
            f"Unscrew the stop blocks. Lift the hull off the board and turn it over{onto}.",
            *(
                (f"Now bore and set {ends} {_sheer_cleat_screws(kit)} screws into the sheer cleats, like the others.",)
                if low
                else ()
            ),
            "An adult pares off the hard glue inside the corners.",
            "Is your engine's tank loose? Glue a block of scrap to the bulkhead's after face, to port, half way up. "
            f"It is {kit.size(_TANK_BLOCK[0])} by {kit.size(_TANK_BLOCK[1])}, 1 in (25 mm) thick. "
            "Later two short screws hold the tank's strap to it.",
            "Try a knee in each corner of the stern, between transom and sheer cleat.",
            *(("Plane each knee until it touches transom and cleat.",) if kit.sloped else ()),
            "Glue the knees in, level with the sheer cleats.",
        ),
        f"Each knee's fore end is {leg} from the transom's inner face. "
        f"A straightedge from cleat to knee shows no step.{_on_stand(kit)}",
        adult="A chisel is sharp: an adult pares, both hands behind the edge.",
        glue=True,
        shift=(0.0, 0.0, 80.0),
    )


def _on_stand(kit: Kit) -> str:
    """Where the cradles stand under the boat; empty without a stand."""
    if not kit.family("stand"):
        return ""
    aft, fore = cradle_places(kit.plan.hull, kit.plan.arrangement)
    return f" The cradles' after faces are {kit.size(aft)} and {kit.size(fore)} from the {kit.stern}."


def _fin_step(kit: Kit) -> Step:
    design, place = kit.plan.design, kit.plan.arrangement
    slant = ("Its slanting edge faces the bow.",) if design.fin.sweep > 0.0 else ()
    cleat = kit.slugs("fin-cleat")[0]
    return Step(
        "Fit the fin and its cleats",
        kit.slugs("fin"),
        ("file", "tape", "weights", "try square"),
        (
            "File the fin slot until the fin's tab slides in.",
            "Try the tab dry, up through the bottom.",
            *slant,
            "Take it out, and glue the tab in its slot.",
            f"Glue a fin cleat along each side of the tab. Each cleat stands {kit.fine(cleat.finished_width)} high. "
            "Set weights on both.",
            "Tape the fin square to the bottom until the glue sets.",
        ),
        f"The fin's after end is {kit.size(place.fin_x)} from the {kit.stern}. It stands "
        f"{kit.size(design.fin.depth)} deep.",
        glue=True,
        view="cutaway",
        turns={"fin#": (0.0, 0.0, -75.0), "fin-cleat": (0.0, 0.0, 75.0)},
        hide=(
            "side-starboard",
            "chine-cleat-after-starboard",
            "chine-cleat-fore-starboard",
            "chine-cleat-starboard",
            "sheer-cleat-starboard",
        ),
    )


def _engine_step(kit: Kit) -> Step:
    place, engine = kit.plan.arrangement, kit.plan.design.engine
    clamped = span(glue(kit.plan.design.glue).clamp_minutes)
    lift = lifted_clear(kit.plan, kit.family("bearer"), keel_up=False)
    return Step(
        "Fit the engine bearers and the engine plate",
        kit.family("bearer", "engine_plate"),
        (
            *("long clamps", "weights", "try square", "screwdriver", "spanners", "plane"),
            *("vice with soft jaws", "file"),
            *(("hacksaw",) if short_leg(kit.plan) is not None else ()),
        ),
        (
            "Stand the bearers dry on their marks, low ends aft. "
            f"Put a scrap {kit.size(engine.bearer_gap)} wide, in plastic film, between their after ends. "
            "Hold all with a long clamp.",
            f"Pencil a line across their tops, {kit.size(plate_on_bearers(kit.plan))} from their after ends.",
            "Plane the plate's slanting foot. Slide it in between them from ahead, its after face on the line. "
            f"An adult makes two brackets as “{METAL_CHAPTER}” draws. "
            "Mark their holes on that face and the bearers' outer faces. "
            "Half of each stands above the bearer's top. Take all out.",
            f"{_engine_bolts(kit)} An adult drills them, and {kit.bit(BOLT_BIT)} for the brackets.",
            f"Glue the bearers down, a scrap between at each end. Set weights on for {clamped}.{_kept_off(kit)}",
            "Take the scraps out. Then turn the boat keel up, on cloth on the flat board. "
            "Drill all screw holes from below.",
            f"Screw the bearers on{_steel_first(kit)}. Turn the boat back. "
            "Bolt on brackets, plate and engine, the brackets' nuts outside and abaft.",
        ),
        f"The bearers' after ends are {kit.size(bearers_from_inside(kit.plan))} from the transom's inner face. "
        f"The gap between them is {kit.size(engine.bearer_gap)}. A square on their tops touches the plate all the "
        f"way up. Its after face, at the bore, is {kit.size(place.plate_x)} from the {kit.stern}.",
        adult="An adult drills the bolt holes, and lifts and bolts the engine. Tank empty, plug lead off.",
        glue=True,
        waits_told=True,
        shift=(0.0, 0.0, lift),
        # The bearers come from above; the plate slides in between them from ahead, along their slanting tops.
        turns={"engine-plate": (90.0, 0.0, lift + 90.0 * math.tan(math.radians(place.shaft.angle)))},
        closer=engine_bay,
    )


def _kept_off(kit: Kit) -> str:
    """How long young people keep off what adults glued, before the step goes on."""
    minutes = glue(kit.plan.design.glue).keep_off
    return f" Keep off for {span(minutes)}." if minutes else ""


def _engine_bolts(kit: Kit) -> str:
    """Where the engine's bolts go through its plate: in drawn holes, or in those marked from the engine."""
    engine = kit.plan.design.engine
    if engine.bolts and engine.bolt_circle > 0.0:
        return f"The engine's holes in the plate are {kit.fine(engine.bolt_diameter)} wide."
    return (
        "Hold paper on the engine's face, a hole for its nose. Rub with a pencil: its bolt holes show. Write “top”. "
        "Tape it to the plate's after face, rubbed side towards you. Prick two holes or more."
    )


def _steel_first(kit: Kit) -> str:
    """What is said of screws into bearers so hard that brass ones break in them."""
    bearer = kit.family("bearer")[0]
    return ": in each hole a steel screw first" if wood(bearer.material).pilot == "hard" else ""


def _shaft_steps(kit: Kit) -> list[Step]:
    """The slot and the dry rod; then the coupling in line and the tube glued in."""
    design, shaft = kit.plan.design, kit.plan.arrangement.shaft
    room = engine_room(kit.plan.hull, kit.plan.arrangement)
    drive, log = design.drive, tube(kit.plan)
    long = shaft.slot_to - shaft.slot_from
    return [
        Step(
            "Cut the shaft slot and try the rod",
            (),
            (
                *("keyhole saw", "hacksaw", "vice with soft jaws", "file", "spanners"),
                *("straight dummy rod", "disc and block", "wedge", "steel rule", "clamps"),
            ),
            (
                "Hold coupling, collar and washers behind the plate. "
                f"Do they need over {kit.size(log.abaft_plate)}? Ask the adult on page 1.",
                "An adult takes the engine off. Then lay the boat keel up, on cloth.",
                f"Pencil centre line and slot there. It begins {kit.size(shaft.slot_from)} from the {kit.stern}. It is "
                f"{kit.size(long)} long and {kit.fine(drive.tube_diameter + _CARD)} wide. "
                "An adult drills a start hole, and saws along the lines with a keyhole saw.",
                f"An adult cuts the tube in the vice, {kit.size(log.length)} long. File its ends smooth.",
                "File the slot until the tube lies at its angle: the wedge beside it is a guide, thick end aft. "
                "Thin card must pass all round the tube, for the epoxy. "
                f"Turn the boat back{_on_two_blocks(kit)}. Its stern stands out over the bench's end.",
                f"{_bearings_in(kit)} Push the dummy rod through. Slide both up into the slot from below.",
                "Fill the plate's bore with the disc that you made (see “Jigs”). "
                "Push the rod into it, and the block onto the rod's after end. "
                "Clamp the block upright to the transom, on its centre line, their upper ends level.",
                f"Set the tube's fore end {kit.size(log.abaft_plate)} abaft the plate. "
                "Slide the wedge under it, thin end at the slot. Turn the rod: it must not bind.",
            ),
            f"Just abaft the plate the rod's middle is {kit.size(room.below)} above the bottom, inside. "
            f"The middle of the tube's after end is {kit.size(shaft.slot_from)} from the {kit.stern}. "
            f"At the stern the rod's middle is {kit.size(log.below_at_stern)} below the bottom.",
            adult="An adult saws slot and tube, and presses the bearings. They check the line.",
            extra=("shaft",),
            out=("shaft",),
            view="keel up",
            wide=shaft_picture.shaft_line,
        ),
        Step(
            "Line up the coupling and glue in the shaft log",
            (),
            ("straight dummy rod", "disc and block", "wedge", "spanners", "sanding block", "rags", "tape"),
            (
                *_off_the_stand(kit),
                "Take block, rod and tube off. Sand the tube dull, grease the rod. "
                "Put all back, the rod's end in the tube. Tape the tube's ends shut.",
                "Take out the disc. Wrap the wedge in plastic film, and leave it under the tube's fore end. "
                "An adult fixes the coupling's fore half on the clutch with its set screw. They bolt the engine on.",
                "Hold the after half in the gap, without the star. "
                "Push the rod on through tape and half: the tape still closes round it.",
                "Lay a rule along both halves, on top and at the side. A step, or a gap not alike? Slide the wedge, "
                "the tube's fore end or the loosened block. Clamp it, and stack card into the gap.",
                "The adult packs thickened epoxy round the tube, inside. "
                "Outside they press it up into the slot, and tape it over.",
                "Turn the rod at once, and try the gap again. Shift wedge, tube or block now.",
                f"After {span(glue('epoxy').clamp_minutes)} an adult takes off rod, jigs and tape. "
                "Fresh epoxy fills the wedge's hollow and, outside, the fin's slot.",
            ),
            "While the epoxy is wet, as many cards fit the gap on all four sides. "
            f"The tube's fore end is {kit.size(log.abaft_plate)} abaft the engine plate.",
            adult="Wood glue fills no gaps under water. An adult mixes and spreads epoxy. The plug lead is off.",
            glue=True,
            own_glue="epoxy",
            extra=("shaft",),
            out=("shaft",),
            draw=partial(shaft_picture.shaft_line, measured=False),
            closer=partial(engine_bay, stage="line up"),
        ),
        _shield_step(kit),
    ]


def _off_the_stand(kit: Kit) -> tuple[str, ...]:
    """What is said where a cradle would stand in the way of the epoxy under the shaft slot."""
    if not kit.family("stand"):
        return ()
    shaft, thick = kit.plan.arrangement.shaft, kit.plan.design.woods.stand.thickness
    under = any(
        place < shaft.slot_to + _ROUND_SLOT and shaft.slot_from - _ROUND_SLOT < place + thick
        for place in cradle_places(kit.plan.hull, kit.plan.arrangement)
    )
    high = kit.size(blocks_under(kit.plan))
    words = f"Lay the hull on two blocks {high} high, clear of the slot. Its stern is over the bench's end."
    return (words,) if under else ()


def _shield_step(kit: Kit) -> Step:
    """Heat shield and kill switch are tried beside the engine, while holes may still be drilled in the sides."""
    return Step(
        "Make the heat shield and place the kill switch",
        (),
        ("scissors", "steel rule", "pencil"),
        (
            "Hold thin card beside the muffler. "
            f"Cut it {kit.size(MUFFLER_FREE)} larger than the muffler all round: the shield's shape.",
            "An adult cuts the metal to the card with snips. They file its edges smooth.",
            f"Hold it {kit.size(shield_off(kit.plan.design))} off the starboard side: it clears the sheer cleat. "
            f"It stays {kit.size(MUFFLER_FREE)} off the muffler. Mark two bolts near its ends, clear of that.",
            f"An adult drills them {kit.bit(BOLT_BIT)} wide in the sheet, clamped on scrap. "
            "Hold it there again. Prick the side through its holes with a nail.",
            "Hold the kill switch inside the port side, beside the engine plate. "
            "Mark two bolts, and a hole as wide as its button needs: you press that from outside.",
            "They take engine and plate out: both stay out. They measure all marks over to the outer face. "
            f"They drill {kit.bit(BOLT_BIT)} and the button's hole from there, a scrap inside.",
        ),
        f"The switch's middle is {kit.size(SWITCH_BELOW)} below the side's upper edge. "
        "A hand outside the boat presses its button.",
        out=("engine-plate",),
        adult="Tank empty, plug lead off. Sheet metal cuts: an adult wears gloves, but not to drill.",
        draw=partial(engine_from_astern, shielding=True),
    )


def _bearings_in(kit: Kit) -> str:
    """Where the bearings go that stand in the tube: the foremost in its end, the others so far abaft that."""
    deep = tube_bearings(kit.plan)
    if not deep:
        return "An adult presses a bearing flush into the tube's fore end."
    # From the after end, where a stick is marked and pushed in: the farthest goes first.
    ends = [tube(kit.plan).length - each - BEARING / 2.0 for each in deep]
    more = " and ".join(kit.size(each) if each >= _FLUSH else "flush" for each in ends)
    aft = (
        f"With a marked stick they press {len(deep)} more bearing{'s' if len(deep) > 1 else ''} in from the after end: "
    )
    aft += f"{more} deep."
    return f"An adult presses a bearing flush into the tube's fore end. {aft} Loose? Thread-lock."


def radio_steps(kit: Kit) -> list[Step]:
    """Pads, shelf, servos."""
    screwed = kit.screwed("side", "shelf-cleat")
    slants = kit.slants((*kit.slugs("shelf-cleat"), *kit.family("shelf")))
    dry, fix, wedged = (
        ("Screw", "Glue and screw", "") if screwed else ("Hold", "Glue", " Wedge a stick across between them.")
    )
    design = kit.plan.design
    radio = design.radio
    servos = servo_places(kit.plan.hull, kit.plan.arrangement)
    side = "port" if design.rudder.offset > 0.0 else "starboard"
    servo_side = "port" if servos[0][1] > 0.0 else "starboard"
    # It lies between box and servos.
    pared = "An adult pares hard glue off the cleats. " if glue(design.glue).damped else ""
    battery_side = "port" if kit.plan.arrangement.servo_y > kit.plan.arrangement.box_y else "starboard"
    return [
        Step(
            "Glue in the strut pad and the rudder pad",
            kit.family("pad"),
            ("straight dummy rod", "spanners", "steel rule"),
            (
                "An adult presses a bearing into the strut. "
                "Slide the dummy rod through tube and strut: it must turn freely.",
                "Pencil the bolts' places on the outer face, as picture and check tell. "
                "Hold strut and rudder there. Move a mark where a bracket's hole differs. "
                "Mark the pushrod's hole level with the tiller.",
                f"An adult drills the {kit.bit(BOLT_BIT)} bolt holes through the transom, square, from outside."
                + _loop_holes(kit),
                "Hold the pads to the inner face, on their marks, on the foot cleat. "
                f"The strut's is in the middle, the rudder's to {side}. Mark the holes with a nail.",
                "An adult drills the pads on the bench.",
                "Glue the pads on, and draw them tight with bolts and washers, greased. "
                "Take the bolts out when it is hard.",
                f"They drill the pushrod's and the switch's holes, {kit.fine(pushrod_hole(kit.plan).diameter)} wide. "
                f"They drill the drain hole, {kit.size(drain(kit.plan).diameter)} wide, through the foot cleat too.",
            ),
            f"The rudder pad's middle is {kit.size(abs(design.rudder.offset))} to {side} of the centre line."
            + _holes_told(kit, "strut")
            + _holes_told(kit, "rudder"),
            glue=True,
            view="bow",
            shift=(110.0, 0.0, 40.0),
            adult="An adult presses the bearing and drills, before anything stands behind the transom.",
            closer=partial(holes_from_astern, drain=drain(kit.plan)),
        ),
        Step(
            "Fit the shelf cleats and the radio shelf",
            (*kit.slugs("shelf-cleat"), *kit.family("shelf")),
            ("clamps", "screwdriver", "steel rule", "pencil", *(("plane",) if slants else ())),
            (
                *(("Plane the slanting edges of the cleats and the shelf.",) if slants else ()),
                f"{dry} a shelf cleat to each side, on its marks, without glue.{wedged}",
                "Push one side of the shelf under its sheer cleat.",
                "Lower the other side, slide it to the middle, and check it.",
                f"Lift the shelf out. An adult drills {kit.fine(STRAP_HOLE)} holes for straps at the four marks. "
                "They drill the aerial's hole at its cross, as wide as the tube. The next step's picture shows them.",
                f"{fix} the cleats on. Put no glue on the shelf.",
            ),
            f"Dry, the shelf's after edge is {kit.size(shelf_from_inside(kit.plan))} from the transom's inner face. "
            f"Its lower face is {kit.size(radio.shelf_height)} above the bottom's outer face.",
            glue=True,
            view="bow",
            turns={"shelf": (0.0, 0.0, 110.0), "shelf-cleat": (0.0, 0.0, 45.0)},
        ),
        Step(
            "Fit the servo mounts and the radio box",
            kit.slugs("servo"),
            ("screwdriver", "file", "clamps", "weights"),
            (
                f"{pared}Lay the shelf in. File each window until the servo drops in. "
                "File a notch in one rail for its wire.",
                "Clamp two rails dry under each plate. "
                f"Drill {kit.fine(_SERVO_PILOT)} holes, and screw the servos down to try them.",
                f"Set them on their marks, to {servo_side}, the rudder's nearer the middle. "
                "Their arms sit at the fore ends.",
                f"Strap the radio box, {kit.size(radio.box_length)} by {kit.size(radio.box_width)}, to the shelf. "
                "One strap goes down hole 1 and up hole 3. One goes down 2 and up 4.",
                f"Lay the battery to {battery_side} of the box, between holes 1 and 2. Its strap goes down 1 and up 2.",
                "Seal the aerial's tube upright in its hole. Later the aerial stands in it: never cut the aerial.",
                "An adult drills the box for the wires. Lead each out through a snug rubber ring.",
                "Take all off again, the servos too. Glue two rails under each plate, and the rails to the shelf. "
                "Set weights on.",
            ),
            f"Dry, each window is {kit.size(radio.servo_length)} by {kit.size(radio.servo_width)}: the servo slides in "
            f"without force. The box's middle is {kit.size(abs(kit.plan.arrangement.box_y))} from the centre line. "
            f"The servos' are {' and '.join(kit.size(abs(y)) for _, y in servos)}.",
            glue=True,
            view="bow",
            shift=(0.0, 0.0, 90.0),
            closer=_shelf_from_above,
            extra=("radio box",),
            out=("radio box",),
        ),
    ]


def _on_two_blocks(kit: Kit) -> str:
    """Onto what the boat is turned back where a cradle would stand in the shaft's way."""
    return f" onto two blocks {kit.size(blocks_under(kit.plan))} high" if _off_the_stand(kit) else ""


def _loop_holes(kit: Kit) -> str:
    """What is drilled for a bow loop that is bolted through a bow transom."""
    pram = kit.plan.design.hull.bow == "pram"
    return (
        " The bow loop's too, as wide as its bolts: "
        f"in the middle, {kit.size(_LOOP_BELOW)} below the bow transom's top."
        if pram
        else ""
    )


def _holes_told(kit: Kit, of: str) -> str:
    """Where the bolts of a bracket stand: from the centre line, and above the bottom."""
    holes = bolt_holes(kit.plan, of)
    if not holes:
        return ""
    heights = " and ".join(dict.fromkeys(kit.size(hole.z) for hole in holes))
    return f" The {of}'s holes are {_across(kit, holes)}. They are {heights} above the bottom's outer face."


def _across(kit: Kit, holes: tuple[Hole, ...]) -> str:
    sides = sorted({round(hole.y, 1) for hole in holes})
    if abs(sides[0] + sides[-1]) < 0.2:
        return f"{kit.size(sides[-1])} each side of the centre line"
    side = "port" if sides[-1] > 0.0 else "starboard"
    return " and ".join(kit.size(abs(y)) for y in sides) + f" to {side}"


def _shelf_from_above(studio: Studio, width: float, height: float) -> Scene:
    """The shelf's picture, no higher than the words beside it need."""
    return shelf_picture(studio, width, min(height, _SHELF_HIGH))
