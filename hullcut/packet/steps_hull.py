"""The building steps from the cut parts to the closed bottom."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hullcut.packet import special_pictures
from hullcut.packet.step import Step, frame_diagonal
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.packet.step import Kit
    from hullcut.packet.studio import Studio

__all__ = ["bottom_steps", "frame_steps", "hull_steps", "piece_steps"]

_CLAMPS = "clamps"
_DRILL = "drill and bits"
_DRIVER = "screwdriver"
_RULE = "steel rule"
_SQUARE = "try square"


def hull_steps(kit: Kit, studio: Studio) -> list[Step]:
    """All steps of this module, in order."""
    return [*piece_steps(kit, studio), *frame_steps(kit, studio), *bottom_steps(kit)]


def piece_steps(kit: Kit, studio: Studio) -> list[Step]:
    """Cutting out; cleats on the sides and on the transom."""
    side = kit.slugs("side-port")[0]
    side_cleats = kit.slugs("chine-cleat", "sheer-cleat")
    transom_cleats = kit.slugs("transom-cleat")
    minutes = glue(kit.plan.design.glue).open_minutes
    return [
        Step(
            "Mark out and cut the parts",
            kit.plan.parts,
            ("pencil", _RULE, _SQUARE, "hand saw", "plane", "sanding block"),
            (
                "Print the printer check page and measure its bars.",
                "Lay out each part as the cutting plan shows.",
                "Copy each outline, each mark and each name onto the wood.",
                "Saw the curves just outside the line.",
                "Plane and sand each part down to its line.",
                "Tick each part off in the parts list.",
            ),
            f"A finished side is {kit.size(side.finished_length)} long. Lay both sides together: they match.",
            adult="An adult makes the straight cuts at the big saw, and resaws thick boards.",
            draw=partial(special_pictures.exploded, studio),
        ),
        Step(
            "Glue the cleats to the sides",
            side_cleats,
            (_CLAMPS, "glue brush", _DRILL, _DRIVER),
            (
                "Lay the two sides down as a mirrored pair, inner faces up.",
                "Try every cleat dry on its marked place.",
                "Drill the screw holes from the outer face.",
                "Spread glue on the cleat.",
                f"Close each joint within {minutes} minutes.",
                "Screw and clamp each cleat on its line.",
            ),
            f"The sheer cleats are {kit.size(kit.plan.design.cleats.sheer_height)} high and flush with the upper edge.",
            glue=True,
            draw=partial(special_pictures.mirrored_sides, studio),
        ),
        Step(
            "Glue the cleats to the transom",
            transom_cleats,
            (_CLAMPS, "glue brush", _DRILL, _DRIVER),
            (
                "Lay the transom down with its marked face up.",
                "Try the cleats dry on their marks.",
                "Glue and screw the foot cleat first.",
                "Glue and screw the two side cleats.",
            ),
            f"The transom is {kit.size(kit.slugs('transom')[0].finished_length)} long between its ends.",
            glue=True,
            view="bow",
            shift=(90.0, 0.0, 0.0),
            hide=("side", "chine-cleat", "sheer-cleat"),
        ),
    ]


def frame_steps(kit: Kit, studio: Studio) -> list[Step]:
    """The frame over a centre line, and whether it is square and true."""
    far = kit.plan.design.decks.fore_from
    diagonal = frame_diagonal(kit.plan).length
    pieces = kit.family("bulkhead", "nose_block")
    turns = {"bulkhead": (0.0, 0.0, -95.0), "nose-block": (95.0, 0.0, 0.0)}
    return [
        Step(
            "Set up the frame, keel up",
            pieces,
            ("flat board", "pencil", _SQUARE, _CLAMPS, _DRILL, _DRIVER, "plane"),
            (
                "Draw a straight centre line along a flat board.",
                "Stand sides and transom on it upside down.",
                "Plane the nose block's underside to the sides' curve.",
                "Glue and screw the sides to the transom.",
                "Glue the bulkhead and the nose block between the sides.",
            ),
            f"The bulkhead's after face is {kit.size(far)} from the transom's outer face.",
            glue=True,
            view="keel up",
            turns=turns,
        ),
        Step(
            "Check the diagonals and the twist",
            (),
            ("tape measure", "two straight sticks"),
            (
                "Do this before the glue sets.",
                "Measure both diagonals, from the transom's corners to the sides at the bulkhead.",
                "Push the longer diagonal until both agree.",
                "Lay a stick across each end of the frame.",
                "Look along both sticks: they must lie level with each other.",
                "Pack up a corner that stands low.",
            ),
            f"Each diagonal is {kit.size(diagonal)}. They differ by {kit.size(3.175)} at most.",
            draw=partial(special_pictures.diagonals, studio),
        ),
    ]


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
            (_CLAMPS, "glue brush", _DRILL, _DRIVER),
            (
                "Plane the cleats' edges until a straight stick lies flat across them.",
                "Try the bottom dry, its centre line on the transom's.",
                f"Spread the glue: it stays open {chosen.open_minutes} minutes.",
                "Screw the after end down first.",
                "Bend the sheet down from aft forward, screw by screw.",
                "Wipe off the glue inside, along the cleats.",
            ),
            f"{over} Its straight run is {kit.size(design.hull.flat_to)} long.",
            adult="Two pairs of hands bend the sheet. Stop if it cracks.",
            glue=True,
            view="keel up",
            shift=(0.0, 0.0, -110.0),
        ),
        Step(
            "Trim the bottom flush",
            (),
            ("plane", "sanding block", "straightedge"),
            (
                f"Let the glue harden for {_hours(chosen.cure_minutes)} first.",
                "Plane the edges down to the true line, flush with the sides.",
                "Plane from the bow towards the stern.",
                "Leave the after edges sharp: there the water lets go.",
                "Fill the screw heads.",
            ),
            f"A straightedge touches all along the flat {kit.size(design.hull.flat_to)}. "
            f"The bottom's length overall is {kit.size(kit.plan.hull.length)}.",
            view="keel up",
        ),
    ]


def _hours(minutes: int) -> str:
    hours = minutes / 60.0
    if hours >= 48:
        return f"{hours / 24.0:.0f} days"
    return f"{hours:.0f} hours" if hours != 1 else "1 hour"
