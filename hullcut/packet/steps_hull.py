"""The building steps from the cut parts to the closed bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.packet import special_pictures
from hullcut.packet.building_board import BOARD_AFT, board_lines, board_picture
from hullcut.packet.places import (
    beam_rows,
    bottom_overhang,
    cleat_ends,
    cut_bottom,
    end_cleat_gaps,
    frame_blocks,
    frame_diagonal,
    lifted_clear,
    side_tips,
    widest,
)
from hullcut.packet.step import Step
from hullcut.packet.steps_glue import glue_up_steps
from hullcut.packet.straps_picture import strapped_bottom
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.packet.step import Kit
    from hullcut.stock.fasteners import Bit

__all__ = [
    "BOTTOM_STEP",
    "STAND_STEP",
    "bottom_steps",
    "frame_steps",
    "hull_steps",
    "low_screws",
    "piece_steps",
    "stand_steps",
]

BOTTOM_STEP = "Bend on the bottom"
"""Title of the step that glues on the bottom; its glue hardens while the stand is built."""
STAND_STEP = "Build the stand"
"""Title of the step that builds the stand; the hull lies on it in every step after the next."""

_CLAMPS = "clamps"
_RULE = "steel rule"
_SQUARE = "try square"
# Half a drill's chuck: no hole is drilled nearer over the board, mm; common practice, no source.
_DRILL_ROOM = 22.0
# Two lengths that differ by less are told as one, mm.
_FLUSH = 0.8

# Through what, into what the ends of the frame, and the block that closes its bow, are screwed.
_END_SCREWS = tuple(
    [("side", "transom-cleat"), ("side", "bow-cleat")]
    + [(board, cleat) for board in ("transom", "bow-transom") for cleat in ("chine-cleat", "sheer-cleat")]
)
_BOW_SCREWS = (("side", "nose-block"), ("side", "stem-block"))


def hull_steps(kit: Kit) -> list[Step]:
    """All steps of this module, in order."""
    return [*piece_steps(kit), *frame_steps(kit), *bottom_steps(kit)]


def piece_steps(kit: Kit) -> list[Step]:
    """Cutting out; gluing up what is wide; cleats on the sides, on the transom and on a bow transom."""
    side = kit.slugs("side-port")[0]
    minutes = glue(kit.plan.design.glue).open_minutes
    drop = kit.plan.hull.deck_drop
    place = f"{kit.fine(drop)} below" if drop else "flush with"
    screwed = kit.screwed("side", "chine-cleat", "sheer-cleat")
    return [
        Step(
            "Mark out and cut the parts",
            kit.plan.parts,
            (
                *("scissors", "tape", "sharp nail", "pencil", _RULE, _SQUARE),
                *("hand saw", "small saw", "plane", "sanding block"),
            ),
            (
                "Print page 1 of the templates file and measure its bars. Print the rest.",
                "Tape pages that join together. Cut the parts apart, and tape each to its wood.",
                "Prick or trace every line, mark and name onto the wood.",
                "Clamp each piece down. Saw just outside the line. Plane and sand to it. "
                "Two lines? Go to the outer one now. A later step goes to the inner one.",
                "Measure your servos, and saw out their windows. Saw the fin slot with a keyhole saw.",
                "Cut edges square. Plane slanting ones when a step says so: "
                "the templates' page “Slanting edges” tells how far.",
                f"Drill the screws' marks, not the bolts': {kit.bit(_thin_bit(kit))}.",
                "Draw waterline and balance line on the outer faces too.",
            ),
            f"A finished side is {kit.size(side.finished_length)} long, and both match. "
            "Every part is ticked off in the parts list.",
            adult="An adult saws by the cutting plan and resaws boards. "
            "They cut the plate's bore and the bulkhead's drain hole.",
            draw=special_pictures.exploded,
        ),
        *glue_up_steps(kit),
        Step(
            "Glue the cleats to the sides",
            kit.slugs("chine-cleat", "sheer-cleat"),
            (_CLAMPS,),
            (
                "Lay the two sides down as a mirrored pair, inner faces up.",
                "One side at a time: clamp every cleat dry on its marks. Cleats are shorter than the side.",
                *(("Turn the side over. Drill the screw holes over cleats.",) if screwed else ()),
                "Take all off again. Spread glue on one cleat.",
                f"Press it onto its line within {minutes} minutes.",
                ("Screw it from the outer face, and clamp it." if screwed else "Clamp it: it is too thin for screws.")
                + " Then glue the next cleat.",
            ),
            f"{_cleat_places(kit)} It lies {place} the upper edge.",
            glue=True,
            draw=special_pictures.mirrored_sides,
            onto=kit.family("side"),
        ),
        _end_step(kit, "transom", "transom-cleat", "bow"),
        *([_end_step(kit, "bow transom", "bow-cleat", "quarter")] if kit.slugs("bow-transom") else []),
    ]


def _thin_bit(kit: Kit) -> Bit:
    """The thinnest bit of the boat's screws: what it opens, any other bit follows."""
    sizes = screw(kit.plan.design.fasteners.gauge)
    return min(sizes.pilot_soft, sizes.pilot_hard, key=lambda bit: bit.diameter)


def _cleat_places(kit: Kit) -> str:
    """How far the cleats stop short of the sides' ends."""
    sheer, chine = cleat_ends(kit.plan, "sheer"), cleat_ends(kit.plan, "chine")
    if sheer.aft < _FLUSH and chine.aft < _FLUSH:
        aft = "At the stern all cleats end flush with the sides' after ends."
    elif abs(sheer.aft - chine.aft) < _FLUSH:
        aft = f"At the stern all cleats stop {kit.size(sheer.aft)} short of the sides' after ends."
    else:
        aft = (
            f"The chine cleat stops {kit.size(chine.aft)} short of the side's after end. "
            f"The sheer cleat stops {kit.size(sheer.aft)} short."
        )
    return f"{aft} The sheer cleat's fore end is {kit.size(sheer.fore)} from the side's upper tip."


def _end_step(kit: Kit, board: str, cleats: str, view: str) -> Step:
    """The cleats of the board that closes one end of the boat."""
    slug = board.replace(" ", "-")
    part = kit.slugs(slug)[0]
    away = 90.0 if view == "bow" else -90.0
    end, top = end_cleat_gaps(kit.plan, slug, cleats)
    screwed = kit.screwed(slug, cleats)
    fix = "screw" if screwed else "clamp"
    return Step(
        f"Glue the cleats to the {board}",
        kit.slugs(cleats),
        (_CLAMPS, *(("small saw",) if kit.slants(kit.slugs(cleats)) else ())),
        (
            f"Lay the {board} down with its marked face up.",
            *(("Saw and plane the cleats' slanting ends first.",) if kit.slants(kit.slugs(cleats)) else ()),
            "Clamp the cleats dry on their marks.",
            *(("Turn it over. Drill the screw holes over cleats.",) if screwed else ()),
            f"Glue and {fix} the foot cleat first.",
            f"Glue and {fix} the two side cleats.",
        ),
        f"The foot cleat's ends stop {kit.size(end)} short of the {board}'s ends. "
        f"The side cleats stop {kit.size(top)} below its upper edge.",
        glue=True,
        view=view,
        shift=(away, 0.0, 0.0),
        onto=(part,),
        apart=True,
    )


def frame_steps(kit: Kit) -> list[Step]:
    """The frame over a centre line: set up dry, checked, then glued and checked again."""
    diagonal = frame_diagonal(kit.plan).length
    again = f"Each diagonal is {kit.size(diagonal)}. They differ by {kit.size(3.175)} at most."
    broad = widest(kit.plan)
    width = (
        ""
        if broad is None
        else f" Down at the board, {kit.size(broad[0])} from the {kit.stern}, "
        f"the frame is {kit.size(broad[1])} wide outside."
    )
    return [
        _stand_up_step(kit),
        _let_in_step(kit),
        Step(
            "Check the dry frame",
            (),
            ("tape measure", "two straight sticks"),
            (
                "Do this dry, in its clamps: nothing is glued yet.",
                "Hold the tape on a side's outer corner at the transom, up at the chine.",
                "Pull it across to the other side's outer edge at the bulkhead's after face.",
                "Measure the other diagonal too. Both off? Measure the step before again. Is one longer? "
                "Unscrew all stop blocks but those at line A.",
                "Push on the ends of the longer one. Then screw the blocks down again, against the sides.",
                "Lay one stick across the sides at the transom, one at the bulkhead.",
                "Look along both sticks: they must lie level with each other.",
                "Push thin card under a corner that stands low.",
            ),
            f"{again}{width}",
            draw=special_pictures.diagonals,
        ),
        Step(
            "Glue the frame and check it again",
            kit.family("bulkhead", "nose_block", "deck_beam"),
            (_CLAMPS, "stop blocks", "screwdriver", "tape measure", "two straight sticks", "rags", *_bow_strap(kit)),
            (
                "Leave the frame on the board. "
                f"Two {'adults' if glue(kit.plan.design.glue).hands == 'adults' else 'of you'} glue: "
                f"each joint closes within {glue(kit.plan.design.glue).open_minutes} minutes.",
                *_frame_gluing(kit),
                f"Set the stop blocks back where they stood last. {_run_out(kit)}",
                "Measure both diagonals and look along the sticks again, at once.",
            ),
            again,
            adult=f"{'Two adults' if glue(kit.plan.design.glue).hands == 'adults' else 'Two pairs of hands'} "
            "hold the frame. Push it right while the glue is wet.",
            glue=True,
            view="keel up",
        ),
    ]


# What is said of a pram's bow transom on the building board.
_BOW_TRANSOM = "The bow transom's outer face lies flush with the sides' fore ends."
# Of the edge that no plane reaches once it stands there.
_BOW_DECK_EDGE = (
    "First plane the bow transom's deck edge to its slant: the edge with no foot cleat. It stands on the board."
)


def _stand_up_step(kit: Kit) -> Step:
    sizes = kit.plan.design.hull
    ends = "transoms" if sizes.bow == "pram" else "transom"
    level = "Is it low? Prop it on scraps until it is level with both sides' chine edges."
    rake = ("The sides' after ends set the transom's slope.",) if sizes.transom_rake else ()
    bow, slanted = ((_BOW_TRANSOM,), (_BOW_DECK_EDGE,)) if sizes.bow == "pram" else ((), ())
    trial = (f"Plane the {ends}' ends until they touch the sides all along.",) if sizes.bow == "pram" else ()
    if not trial:
        trial = ("Plane the transom's ends until they touch the sides all along.",)
    plumb = "lower edge is plumb over the transom line" if sizes.transom_rake else "outer face stands on line A"
    return Step(
        "Stand sides and transom on the board, keel up",
        (),
        (
            "flat board",
            *(("blocks for the sides",) if _on_blocks(kit) else ()),
            *("baking paper", "stop blocks", "tape", "pencil", _RULE, _SQUARE, _CLAMPS, "plane"),
        ),
        (
            _board_words(kit),
            " ".join((*slanted, f"Stand sides and {ends} on it upside down, chine edges up. An adult holds them.")),
            *_on_blocks(kit),
            " ".join((f"The transom's {plumb}. Its middle stands on the centre line.", *rake, level, *bow)),
            *(trial if kit.sloped else ()),
            (
                f"Drill the screw holes. Then screw the sides to the {ends} without glue."
                if _ends_screwed(kit)
                else f"Clamp each side to its cleat on the {ends}, without glue."
            ),
            *(
                ("The board is in the way of those into the sheer cleats. They wait until the boat is turned.",)
                if low_screws(kit)
                else ()
            ),
            "Screw a stop block to the board against each side, just ahead of line A. No others yet."
            + (" Keep clear of the sides' screws." if _ends_screwed(kit) else ""),
        ),
        f"A square on the board touches the {_upright(kit)}. "
        "A straightedge across both chine edges touches the transom's edge. "
        f"At line A each side's outer face is {kit.size(board_lines(kit.plan)[0].half)} from the centre line.",
        view="keel up",
        tried=kit.slugs("transom", "bow-transom", "bow-cleat"),
        turns={"transom": (-90.0, 0.0, 0.0), "bow": (90.0, 0.0, 0.0)},
        closer=board_picture,
        dry_screws=_END_SCREWS,
    )


def _board_words(kit: Kit) -> str:
    """What is drawn on the building board, and what keeps the glue off it."""
    _, first, *others = board_lines(kit.plan)
    told = "".join(f" To line {each.letter} it is {kit.size(each.x)}." for each in others)
    from_line = "Draw the transom line too. " if kit.plan.design.hull.transom_rake else ""
    return (
        f"Draw the centre line on the flat board. Draw line A square across it, {kit.size(BOARD_AFT)} from its end. "
        f"Draw lines {first.letter} to {others[-1].letter} square across too. {from_line}"
        f"From the transom line to line {first.letter} it is {kit.size(first.x)}.{told} "
        "Tape baking paper over them and trace them: glue does not stick to it."
    )


def _line_of(kit: Kit, name: str) -> str:
    """The letter of the line on the building board at which something stands."""
    return next(each.letter for each in board_lines(kit.plan) if each.name == name)


def low_screws(kit: Kit) -> bool:
    """Whether screws stand so low over the board that no drill gets at them until the boat is turned over."""
    return kit.screwed("transom", "sheer-cleat") and frame_blocks(kit.plan)[0] <= _DRILL_ROOM


def _upright(kit: Kit) -> str:
    """What stands upright on the building board."""
    sizes = kit.plan.design.hull
    if sizes.transom_rake:
        return "ends of both sides at the same height"
    return "transom's outer face all the way up"


def _on_blocks(kit: Kit) -> tuple[str, ...]:
    """Blocks under the sides where the sheer rises, or where a crown stands above it."""
    heights = frame_blocks(kit.plan)
    after, middle, fore = heights
    if max(heights) <= 0.0:
        return ()
    if max(heights) - min(heights) < _FLUSH:
        return (f"Set the sides on blocks {kit.size(after)} high all along.",)
    if abs(after - middle) < _FLUSH:
        sizes = kit.plan.design.hull
        reach = (
            (f"The sheer is level for {kit.size(sizes.sheer_from)} from the {kit.stern}.",)
            if sizes.offsets is None and sizes.sheer_from > 0.0
            else ()
        )
        ends = "The bow rests on the board." if fore < _FLUSH else f"At the bow they are {kit.size(fore)} high."
        return (f"Set the sides on blocks {kit.size(after)} high, at transom and bulkhead. {ends}", *reach)
    ends = "The bow rests on the board." if fore < _FLUSH else f"At the bow: {kit.size(fore)}."
    return (
        f"Set the sides on blocks: {kit.size(after)} high at the transom, {kit.size(middle)} at the bulkhead. {ends}",
    )


def _let_in_step(kit: Kit) -> Step:
    """Bulkhead, beams and what closes the bow go in dry."""
    sizes = kit.plan.design.hull
    far = kit.plan.design.decks.fore_from
    slanting = (
        ("Plane the slanting ends of bulkhead and beams.",) if kit.slants(kit.family("bulkhead", "deck_beam")) else ()
    )
    spread = () if sizes.bow == "pram" else ("Spread the sides at the bow, as the arrows show.",)
    beams = kit.family("deck_beam")
    lifted = (*kit.family("bulkhead"), *beams, *kit.slugs("stem-block"))
    rows = [(name, x) for name, x in beam_rows(kit.plan) if name != "middle"]
    places = "".join(f" To the {name} beam's it is {kit.size(x)}." for name, x in rows)
    lines = board_lines(kit.plan)
    return Step(
        "Let in the bulkhead and the beams, dry",
        (),
        ("stop blocks", _CLAMPS, "plane", _RULE, *_bow_strap(kit)),
        (
            *((" ".join((*slanting, *spread)),) if slanting or spread else ()),
            f"Turn the bulkhead slantwise, as seen from above, and lower it past the chine cleats. "
            f"Turn it square on line {_line_of(kit, 'bulkhead')}. "
            "Its after face stands on the line, its drain hole up: there the bottom goes.",
            *(
                (
                    "Turn the beams' notches down. Let them in slantwise too. "
                    "Then turn each square, onto the sheer cleats, its after face on its line. "
                    "The middle one lies against the bulkhead's fore face.",
                )
                if beams
                else ()
            ),
            *_BOW_PLANING[sizes.bow, kit.sloped],
            f"Draw the sides in{', a strap round the bow,' if _bow_strap(kit) else ','} and clamp all. "
            "Use no glue yet.",
            f"At lines B to {lines[-1].letter} set the sides as far out as the board's table. "
            "Screw stop blocks to the board there, against the sides.",
            *(("Drill the screw holes at the bow now.",) if kit.screwed("side", "nose-block") else ()),
        ),
        f"From the {kit.stern} to the bulkhead's after face is {kit.size(far)}.{places} "
        f"To the sides' fore tips it is {kit.size(side_tips(kit.plan))}.",
        adult=(
            "Two pairs of hands hold the sides while you turn the parts."
            if sizes.bow == "pram"
            else "Two pairs of hands spread the sides and draw them in."
        ),
        view="keel up",
        tried=kit.family("bulkhead", "nose_block", "deck_beam"),
        shift=(0.0, 0.0, -lifted_clear(kit.plan, lifted, keel_up=True)),
        turns={"nose-block": (95.0, 0.0, 0.0)},
        pulls=() if sizes.bow == "pram" else _spread(kit),
        dry_screws=_BOW_SCREWS,
    )


def _bow_strap(kit: Kit) -> tuple[str, ...]:
    """What draws the sides to a pointed bow, off which clamps slide."""
    return ("strap",) if kit.plan.design.hull.bow == "stem" else ()


def _spread(kit: Kit) -> tuple[tuple[tuple[float, float, float], tuple[float, float, float]], ...]:
    """Arrows that draw the sides apart, between bulkhead and bow."""
    hull = kit.plan.hull
    x = (kit.plan.design.decks.fore_from + 3.0 * hull.bow_room()) / 4.0
    z = float(hull.bottom_height(np.array([x]), hull.chine_inset)[0])
    half = float(hull.half_breadth(np.array([x]), z)[0])
    return tuple(((x, side * (half + 8.0), z), (x, side * (half + 68.0), z)) for side in (1.0, -1.0))


_NOSE_PLANING = (
    "Hold the nose block between the sides' fore tips, level with the sheer cleats. "
    "Mark the sides' curve on its ends. An adult saws most of it off; plane the rest."
)
# What is planed at the bow before the frame is glued, by kind of bow and whether ends and edges of the frame slope.
_BOW_PLANING = {
    ("sled", False): (_NOSE_PLANING,),
    ("sled", True): (f"Plane the nose block's ends to the sides' slant. {_NOSE_PLANING}",),
    ("pram", True): (),
    ("stem", True): ("Plane the stem block's cheeks until the sides lie flat on them.",),
}


def _ends_screwed(kit: Kit) -> bool:
    """Whether the sides are screwed to the cleats of the transom."""
    return kit.screwed("side", "transom-cleat")


def _frame_gluing(kit: Kit) -> tuple[str, ...]:
    """How the dry frame is glued, joint after joint, by kind of bow: what is inside goes in while an end is open."""
    bow = kit.plan.design.hull.bow
    off, on = ("Unscrew", "screw") if _ends_screwed(kit) else ("Take off", "clamp")
    beams = bool(kit.family("deck_beam"))
    # With the sides drawn in no beam passes the chine cleats: all go in while they are spread.
    inside = (
        f"Lift out the bulkhead{' and the beams' if beams else ''}. "
        "Spread glue where they touch sides, cleats and each other. Keep it off edges that bottom and deck cover.",
        (
            "Set them back at once, a weight on each beam. The middle one is glued to the bulkhead too. "
            if beams
            else "Set it back at once. "
        )
        + "Long clamps draw the sides in.",
    )
    free = "Take off all stop blocks but those at line A"
    if bow == "pram":
        return (
            f"{off} one transom, glue its cleats and ends, and {on} it back. Then the other.",
            f"{free}.",
            *inside,
        )
    transom = f"{off} the transom, glue its cleats and ends, and {on} it back."
    if bow == "sled":
        hold = "screw" if kit.screwed("side", "nose-block") else "clamp"
        return (
            f"{free}. Take out the nose block, and spread the sides there.",
            *inside,
            f"Spread glue on the nose block's ends, and {hold} it in.",
            transom,
        )
    return (
        f"{free}. Take the sides off the stem block, and spread them.",
        *inside,
        "Spread glue on the stem block's cheeks. Draw the sides to it with a strap round the bow.",
        transom,
    )


def bottom_steps(kit: Kit) -> list[Step]:
    """The bottom goes on and is trimmed."""
    design = kit.plan.design
    chosen = glue(design.glue)
    trim = design.laps.trim_allowance
    lapped = design.laps.bottom == "under"
    screwed = kit.screwed("bottom", "chine-cleat")
    over = (
        f"As cut it is {kit.size(cut_bottom(kit.plan)[1])} wide. It stands out {kit.size(trim)} on every edge: "
        "you plane that off later."
        if lapped and trim
        else "The bottom lies between the sides."
    )
    return [
        Step(
            BOTTOM_STEP,
            kit.family("bottom"),
            (*((_CLAMPS, "long clamps") if screwed else ("straps", "scrap sticks")), "plane", "straightedge", "rags"),
            (
                "Lay a straightedge across the frame, and move it from stern to bow. "
                "Plane sides and chine cleats until it lies flat on both, all along."
                + (" Plane bow transom and foot cleat level too." if design.hull.bow == "pram" else ""),
                f"Lay the bottom on dry, marked face down{', its slot nearer the stern' if kit.family('fin') else ''}. "
                f"Its centre line meets the transom's. {_bottom_end(kit)}",
                (
                    "Bend it down dry with long clamps or straps round hull and board. "
                    "Then drill the screw holes, not yet those for the bearers."
                    if screwed
                    else "Lift the board onto scraps. "
                    "Bend the bottom down dry with straps round hull and board, a stick under each. "
                    f"This is the trial.{_point_hole(kit)}"
                ),
                (
                    "Try it by the clock, with a dry brush and every third screw: "
                    f"under {chosen.open_minutes} minutes. "
                    "Then take the bottom off, its screws standing in their holes."
                    if screwed
                    else "Take it off, and lay straps and sticks ready in their order."
                ),
                f"Spread glue on the frame's edges and cleats: it stays open {chosen.open_minutes} minutes.",
                *_bending(kit, screwed),
                f"{'At once, while the glue is wet, set all other screws. ' if screwed else ''}{_run_out(kit)}",
            ),
            f"{over} Its straight run is {kit.size(kit.straight_run)} long.",
            adult=(
                f"Two {'adults' if chosen.hands == 'adults' else 'people'} bend the sheet, one at each side"
                f"{', each with a screwdriver' if screwed else ''}. "
                "It creaks? Bend slower. It cracks? Stop: it takes a new sheet."
            ),
            glue=True,
            until_hard=not screwed,
            view="keel up",
            shift=(0.0, 0.0, -110.0),
            closer=None if screwed else strapped_bottom,
        ),
        *stand_steps(kit),
        _trim_step(kit),
    ]


def _point_screwed(kit: Kit) -> bool:
    """Whether a bottom that is clamped all along its edges has a screw at its point."""
    return not kit.screwed("bottom", "chine-cleat") and kit.screwed("bottom", "stem-block")


def _point_hole(kit: Kit) -> str:
    """What is said of the hole for that screw."""
    return " Drill the screw's hole at the point." if _point_screwed(kit) else ""


def _run_out(kit: Kit) -> str:
    """What is done with glue that runs out: what foams is pared off when it is hard."""
    if glue(kit.plan.design.glue).damped:
        return "Leave what runs out: an adult pares it off when it is hard."
    return "Wipe off the glue that runs out."


def _bottom_end(kit: Kit) -> str:
    """Where the bottom lies lengthwise while it is tried and glued."""
    out = bottom_overhang(kit.plan)
    if kit.plan.design.laps.bottom != "under":
        return "Its after edge touches the transom's inner face."
    if out < _FLUSH:
        return "Its after edge is flush with the transom's outer face."
    return f"Its after edge stands out {kit.size(out)} behind the transom's outer face."


def stand_steps(kit: Kit) -> list[Step]:
    """The stand, where the boat has one: built while the bottom's glue hardens, before the hull leaves the board."""
    stand = kit.family("stand")
    if not stand:
        return []
    return [
        Step(
            STAND_STEP,
            stand,
            ("file", "clamps", "soft cloth", "steel rule"),
            (
                "Build it while the bottom's glue hardens. Drop both cradles into the rails' notches.",
                "File a tight notch until it slides.",
                "Try the balance bar in the middle notches. Put it away until the last step.",
                "Glue the cradles in the others.",
                "Lay soft cloth in the cradles, no glue: later it comes out.",
            ),
            f"The cradles stand {kit.size(kit.plan.design.stand.spacing)} apart, middle to middle.",
            glue=True,
            shift=(0.0, 0.0, 80.0),
            turns={"stand-rail": (0.0, 0.0, 0.0)},
            apart=True,
            # It stays beside the boat, out of the pictures, until the boat is balanced on it.
            out=tuple(part.id.removeprefix(f"{part.design}-") for part in stand),
        )
    ]


def _bending(kit: Kit, screwed: bool) -> tuple[str, ...]:
    """In which order the bottom is fixed down, by screws or by clamps and tape."""
    driven = " Drive its screw." if _point_screwed(kit) else ""
    point = (f"Bring its point to the middle of the stem.{driven}",) if kit.plan.design.hull.bow == "stem" else ()
    fix, by = ("Screw", "with every third screw") if screwed else ("Strap", "strap by strap")
    if kit.plan.design.hull.rocker:
        return (
            f"{fix} the straight run down first. Bend the after end down, then the bow end, {by}.",
            *point,
        )
    held = (
        (
            "Lay a scrap across at the bow. Two long clamps draw it to the board. "
            f"It stays for {_hours(glue(kit.plan.design.glue).cure_minutes)}.",
        )
        if kit.plan.design.hull.bow == "pram"
        else ()
    )
    return (f"{fix} the after end down first. Bend the sheet down from aft forward, {by}.", *point, *held)


def _trim_step(kit: Kit) -> Step:
    design = kit.plan.design
    sizes = design.hull
    hours = _hours(glue(design.glue).cure_minutes)
    rocker = f" Its after end rises {kit.fine(sizes.rocker)}." if sizes.rocker else ""
    return Step(
        "Trim the bottom flush",
        (),
        ("plane", "sanding block", "straightedge"),
        (
            f"Let the glue harden for {hours} first.",
            "Plane the edges down to the true line, flush with the sides.",
            "Plane from the bow towards the stern, as the arrows show.",
            _BOW_TRIMMING[sizes.bow],
            "Keep the straight run straight: the boat skims on it.",
            "A hollow or a hump there makes the bow hop or dig.",
            "Plane the after edge flush with the transom, its corner sharp: there the water lets go.",
            *(("Fill the screw heads.",) if kit.screwed("bottom", "chine-cleat") else ()),
        ),
        f"A straightedge touches all along the flat {kit.size(kit.straight_run)}.{rocker} "
        f"The boat is {kit.size(kit.plan.hull.length)} long from the {kit.stern}.",
        view="keel up",
        pulls=_planing_ways(kit),
    )


def _planing_ways(kit: Kit) -> tuple[tuple[tuple[float, float, float], tuple[float, float, float]], ...]:
    """Arrows along the bottom's edges, from the bow towards the stern, as the plane goes."""
    hull = kit.plan.hull
    start, stop = 0.62 * hull.length, 0.3 * hull.length
    halves = hull.half_breadth(np.array([start, stop]), 0.0)
    return tuple(
        ((start, side * float(halves[0]), -12.0), (stop, side * float(halves[1]), -12.0)) for side in (1.0, -1.0)
    )


_BOW_TRIMMING = {
    "sled": "Plane the fore edge level with the sides' upper edges.",
    "pram": "Plane the fore edge flush with the bow transom.",
    "stem": "Plane the point flush with the stem.",
}


def _hours(minutes: int) -> str:
    hours = minutes / 60.0
    if hours >= 48:
        return f"{hours / 24.0:.0f} days"
    return f"{hours:.0f} hours" if hours != 1 else "1 hour"
