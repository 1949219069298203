"""The building steps from the cut parts to the closed bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.packet import special_pictures
from hullcut.packet.step import Step, frame_diagonal
from hullcut.packet.steps_glue import glue_up_steps
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.packet.step import Kit

__all__ = ["bottom_steps", "frame_steps", "hull_steps", "piece_steps"]

_CLAMPS = "clamps"
_DRILL = "drill and bits"
_DRIVER = "screwdriver"
_RULE = "steel rule"
_SQUARE = "try square"


def hull_steps(kit: Kit) -> list[Step]:
    """All steps of this module, in order."""
    return [*piece_steps(kit), *frame_steps(kit), *bottom_steps(kit)]


def piece_steps(kit: Kit) -> list[Step]:
    """Cutting out; gluing up what is wide; cleats on the sides, on the transom and on a bow transom."""
    side = kit.slugs("side-port")[0]
    minutes = glue(kit.plan.design.glue).open_minutes
    cleats = kit.plan.design.cleats
    drop = kit.plan.hull.deck_drop
    place = f"{kit.fine(drop)} below" if drop else "flush with"
    slope = ("Cut all edges square: plane the slopes later, on the boat.",) if kit.sloped else ()
    return [
        Step(
            "Mark out and cut the parts",
            kit.plan.parts,
            ("pencil", _RULE, _SQUARE, "hand saw", "plane", "sanding block"),
            (
                "Print page 1 of the templates file and measure its bars.",
                "Print the rest, and tape the pages of each part together.",
                "Tape each template on its wood, as the cutting plan shows.",
                "Prick or trace every line, mark and name onto the wood.",
                "Saw the curves just outside the line.",
                "Plane and sand each part down to its line.",
                *slope,
                "Tick each part off in the parts list.",
            ),
            f"A finished side is {kit.size(side.finished_length)} long. Lay both sides together: they match.",
            adult="An adult makes the straight cuts at the big saw, and resaws thick boards.",
            draw=special_pictures.exploded,
        ),
        *glue_up_steps(kit),
        Step(
            "Glue the cleats to the sides",
            kit.slugs("chine-cleat", "sheer-cleat"),
            (_CLAMPS, "glue brush", _DRILL, _DRIVER),
            (
                "Lay the two sides down as a mirrored pair, inner faces up.",
                "Clamp every cleat dry on its marked place.",
                "Turn the side over and drill the screw holes.",
                "Take the cleats off again and spread glue on them.",
                f"Press each cleat onto its line within {minutes} minutes.",
                "Screw it from the outer face, and clamp it.",
            ),
            f"The sheer cleats are {kit.size(cleats.sheer_height)} high. They lie {place} the upper edge.",
            glue=True,
            draw=special_pictures.mirrored_sides,
            onto=kit.family("side"),
        ),
        _end_step(kit, "transom", "transom-cleat", "bow"),
        *([_end_step(kit, "bow transom", "bow-cleat", "quarter")] if kit.slugs("bow-transom") else []),
    ]


def _end_step(kit: Kit, board: str, cleats: str, view: str) -> Step:
    """The cleats of the board that closes one end of the boat."""
    part = kit.slugs(board.replace(" ", "-"))[0]
    away = 90.0 if view == "bow" else -90.0
    return Step(
        f"Glue the cleats to the {board}",
        kit.slugs(cleats),
        (_CLAMPS, "glue brush", _DRILL, _DRIVER),
        (
            f"Lay the {board} down with its marked face up.",
            "Try the cleats dry on their marks.",
            "Glue and screw the foot cleat first.",
            "Glue and screw the two side cleats.",
        ),
        f"The {board} is {kit.size(part.finished_length)} long at its longest.",
        glue=True,
        view=view,
        shift=(away, 0.0, 0.0),
        onto=(part,),
        apart=True,
    )


def frame_steps(kit: Kit) -> list[Step]:
    """The frame over a centre line, and whether it is square and true."""
    sizes = kit.plan.design.hull
    far = kit.plan.design.decks.fore_from
    diagonal = frame_diagonal(kit.plan).length
    ends = "transoms" if sizes.bow == "pram" else "transom"
    trial = (
        f"Plane the {ends}' ends until they touch the sides all along."
        if sizes.bow == "pram"
        else "Plane the transom's ends until they touch the sides all along."
    )
    blocks = (
        (f"Set the level part of the sheer on blocks {kit.size(sizes.sheer_rise)} high.",) if sizes.sheer_rise else ()
    )
    rake = ("The sides' after ends set the transom's slope.",) if sizes.transom_rake else ()
    return [
        Step(
            "Set up the frame, keel up",
            kit.family("bulkhead", "nose_block"),
            ("flat board", "pencil", _SQUARE, _CLAMPS, _DRILL, _DRIVER, "plane"),
            (
                "Draw the lines of the jigs page on a flat board.",
                f"Stand sides and {ends} on it upside down, middles on the centre line.",
                *blocks,
                *((trial,) if kit.sloped else ()),
                *rake,
                *_BOW_PLANING[sizes.bow],
                *_FRAME_GLUING[sizes.bow],
            ),
            f"The bulkhead's after face is {kit.size(far)} from the {kit.stern}.",
            adult="Two pairs of hands draw the sides together at the stem." if sizes.bow == "stem" else "",
            glue=True,
            view="keel up",
            turns={"bulkhead": (0.0, 0.0, -95.0), "nose-block": (95.0, 0.0, 0.0), "stem-block": (0.0, 0.0, -95.0)},
        ),
        Step(
            "Check the diagonals and the twist",
            (),
            ("tape measure", "two straight sticks"),
            (
                "Do this before the glue sets.",
                "Measure both diagonals, from the transom's corners to the sides at the bulkhead.",
                "Push on the ends of the longer one until both agree.",
                "Lay a stick across each end of the frame.",
                "Look along both sticks: they must lie level with each other.",
                "Pack up a corner that stands low.",
            ),
            f"Each diagonal is {kit.size(diagonal)}. They differ by {kit.size(3.175)} at most.",
            draw=special_pictures.diagonals,
        ),
    ]


# What is planed at the bow before the frame is glued, and what is glued, by kind of bow.
_BOW_PLANING = {
    "sled": ("Plane the nose block's underside to the sides' curve.",),
    "pram": (),
    "stem": ("Plane the stem block's cheeks until the sides lie flat on them.",),
}
_FRAME_GLUING = {
    "sled": (
        "Glue and screw the sides to the transom.",
        "Glue the bulkhead and the nose block between the sides.",
    ),
    "pram": (
        "Glue and screw the sides to both transoms.",
        "Glue the bulkhead between the sides.",
    ),
    "stem": (
        "Glue and screw the sides to the transom.",
        "Glue the bulkhead and the stem block between the sides.",
    ),
}


def bottom_steps(kit: Kit) -> list[Step]:
    """The bottom goes on and is trimmed."""
    design = kit.plan.design
    chosen = glue(design.glue)
    trim = design.laps.trim_allowance
    lapped = design.laps.bottom == "under"
    over = (
        f"The bottom stands out {kit.size(trim)} all round."
        if lapped and trim
        else "The bottom lies between the sides."
    )
    return [
        Step(
            "Bend on the bottom",
            kit.family("bottom"),
            (_CLAMPS, "glue brush", _DRILL, _DRIVER, "plane", "straightedge"),
            (
                "Lay a straightedge across both chine cleats.",
                "Plane until the straightedge touches both.",
                "Try the bottom dry, its centre line on the transom's.",
                f"Spread the glue: it stays open {chosen.open_minutes} minutes.",
                *_bending(kit),
                "Wipe off the glue inside, along the cleats.",
            ),
            f"{over} Its straight run is {kit.size(kit.straight_run)} long.",
            adult="Two pairs of hands bend the sheet. Stop if it cracks.",
            glue=True,
            view="keel up",
            shift=(0.0, 0.0, -110.0),
        ),
        _trim_step(kit),
    ]


def _bending(kit: Kit) -> tuple[str, ...]:
    """In which order the bottom is screwed down."""
    point = ("Bring its point to the middle of the stem.",) if kit.plan.design.hull.bow == "stem" else ()
    if kit.plan.design.hull.rocker:
        return (
            "Screw the straight run down first.",
            "Bend the after end down, then the bow end, screw by screw.",
            *point,
        )
    return ("Screw the after end down first.", "Bend the sheet down from aft forward, screw by screw.", *point)


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
            "Plane from the bow towards the stern.",
            _BOW_TRIMMING[sizes.bow],
            "Keep the straight run straight: a boat planes on it.",
            "A hollow or a hump there makes the bow hop or dig.",
            "Leave the after edges sharp: there the water lets go.",
            "Fill the screw heads.",
        ),
        f"A straightedge touches all along the flat {kit.size(kit.straight_run)}.{rocker} "
        f"The boat is {kit.size(kit.plan.hull.length)} long from the {kit.stern}.",
        view="keel up",
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
