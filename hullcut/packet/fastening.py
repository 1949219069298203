"""Glue and screws: which, how many, how large, where, and what can go wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, Spacer

from hullcut.lengths import Units, both, inches, millimetres
from hullcut.packet.document import MM, Heading, bullet, grid, note_box, paragraph
from hullcut.packet.joining import (
    GLUE_WASTE,
    HOLDERS,
    bonds,
    bonds_by_step,
    screws_by_length,
    screws_by_wood,
    whole_grams,
)
from hullcut.packet.lists import glue_grams, span
from hullcut.packet.step import Kit, bit_words
from hullcut.packet.steps import building_steps
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.joining import Bond
    from hullcut.packet.studio import Studio

__all__ = ["fastening_chapter", "fastening_rules"]


def fastening_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The chapter: the chosen glue, grams and screws step by step, and how screws are set."""
    plan = studio.plan
    chosen = glue(plan.design.glue)
    lines = (
        chosen.use,
        f"Close the joint within {chosen.open_minutes} minutes.",
        f"Leave the clamps on for {span(chosen.clamp_minutes)}.",
        f"It is at full strength after {span(chosen.cure_minutes)}.",
        f"Work between {_both_degrees(chosen.coldest)} and {_both_degrees(chosen.warmest)}.",
        f"Who may spread it: {chosen.hands}.",
    )
    cautions = [bullet(caution, look.caution, "!") for caution in chosen.cautions]
    area = sum(bond.area for bond in bonds(plan))
    return [
        CondPageBreak(170 * MM),
        Heading("Glue and screws", look.chapter),
        Heading(f"The glue: {chosen.name}", look.section, 1),
        *(bullet(line, look.step) for line in lines),
        note_box(cautions, frames.width, "#fff3d6"),
        Heading("Screws", look.section, 1),
        *(bullet(line, look.step) for line in fastening_rules(plan)),
        Heading("How much, step by step", look.section, 1),
        _by_step(studio, frames, look),
        Spacer(0, 2),
        paragraph(
            f"All joints together have {area * 1e-2:.0f} cm² of glue. At {chosen.spread:.0f} g/m², times "
            f"{GLUE_WASTE:g} for what runs out and hardens in the pot, that is {glue_grams(plan):.0f} g.",
            look.small,
        ),
    ]


def fastening_rules(plan: BoatPlan) -> list[str]:
    """How the screws of a boat are set, in short sentences."""
    kit, fasteners, units = Kit(plan), plan.design.fasteners, plan.design.units
    sizes = screw(fasteners.gauge)
    lines = [
        f"All screws are gauge {fasteners.gauge}, with flat heads. No point may come through: try the first in scraps.",
        *_lengths(plan),
        f"These screws go only into {_holders(plan)}. Plywood edges split.",
    ]
    for key, count in screws_by_wood(plan).items():
        data = wood(key)
        lines.append(
            f"Into {data.name}: {count} screws. Drill a pilot hole of {bit_words(sizes.pilot(data.pilot), units)}."
            + (" First a steel one, in and out: brass breaks." if data.pilot == "hard" else "")
        )
    return [
        *lines,
        f"Drill {bit_words(sizes.clearance, units)} through the upper part only, so that the screw slides.",
        f"Set one about every {both(fasteners.spacing, units)}. The parts show where.",
        "Set it in the middle of the strip, so that the wood does not split.",
        *(
            ["Bottom screws stand between the side screws, so that they never meet in the cleat."]
            if kit.screwed("side", "chine-cleat") and kit.screwed("bottom", "chine-cleat")
            else []
        ),
        "Sink each head flush, no deeper. Fill it later.",
        *(
            ["Where no screw is marked, the wood is too thin for one. Clamps hold it until the glue is hard."]
            if any(_too_thin(bond) for bond in bonds(plan))
            else []
        ),
    ]


def _holders(plan: BoatPlan) -> str:
    """What screws go into, in words."""
    found = {bond.guest.family for bond in bonds(plan) if bond.screws}
    *first, last = [words for family, words in HOLDERS.items() if family in found]
    return f"{', '.join(first)} and {last}" if first else last


def _lengths(plan: BoatPlan) -> list[str]:
    """How many screws of each length there are."""
    lines = []
    joined = bonds(plan)
    for length, count in screws_by_length(joined).items():
        lines.append(f"{both(length, plan.design.units)} long: {count} screws. The table says at which step.")
    return lines


def _too_thin(bond: Bond) -> bool:
    """Whether strips are glued on without a screw."""
    return bond.guest.family == "cleat" and bond.area > 0.0 and not bond.screws and bond.host.family in _SCREWED


_SCREWED = ("side", "bottom", "transom", "deck")


def _by_step(studio: Studio, frames: Frames, look: Styles) -> Flowable:
    plan = studio.plan
    steps = building_steps(plan)
    joined = bonds_by_step(plan, steps)
    weights = whole_grams(plan, joined)
    units = plan.design.units
    entries = []
    for number, (step, row, weight) in enumerate(zip(steps, joined, weights, strict=True), 1):
        screws = ", ".join(f"{count} × {_short(length, units)}" for length, count in screws_by_length(row).items())
        glued = step.own_glue or (f"{weight} g" if weight else "a little" if step.glue else "")
        if glued or screws:
            entries.append((f"{number}  {step.title}", glued, screws))
    half = (len(entries) + 1) // 2
    heads = [paragraph(text, look.cell_bold) for text in ("Step", "Glue", "Screws")]
    rows: list[list[object]] = [[*heads, *heads]]
    for number in range(half):
        cells: list[object] = [paragraph(text, look.cell) for entry in entries[number::half] for text in entry]
        rows.append(cells + [""] * (6 - len(cells)))
    each = frames.width / 2.0
    return grid(rows, [each - 45.0, 14.0, 31.0] * 2, padding=0.6)


def _short(length: float, units: Units) -> str:
    return inches(length) if units == "in" else millimetres(length)


def _both_degrees(celsius: float) -> str:
    return f"{celsius:.0f} °C ({celsius * 9.0 / 5.0 + 32.0:.0f} °F)"
