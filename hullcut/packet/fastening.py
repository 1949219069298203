"""Glue and screws: which, how many, how large, where, and what can go wrong."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, Spacer

from hullcut.lengths import both
from hullcut.packet.document import MM, Heading, bullet, grid, note_box, paragraph
from hullcut.packet.joining import GLUE_WASTE, bonds, bonds_by_step, grams, screws_by_wood
from hullcut.packet.lists import glue_grams, span
from hullcut.packet.steps import building_steps
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.document import Frames, Styles
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
        CondPageBreak(200 * MM),
        Heading("Glue and screws", look.chapter),
        Heading(f"The glue: {chosen.name}", look.section, 1),
        *(bullet(line, look.body) for line in lines),
        note_box(cautions, frames.width, "#fff3d6"),
        paragraph(f"Figures: {chosen.source} ({chosen.mark}).", look.small),
        Heading("Screws", look.section, 1),
        *(bullet(line, look.body) for line in fastening_rules(plan)),
        paragraph(
            f"Distances: {screw(plan.design.fasteners.gauge).spacing_source}. Bits: two published pilot-hole tables "
            "agree. Staggering: common practice, no source.",
            look.small,
        ),
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
    fasteners, units = plan.design.fasteners, plan.design.units
    sizes = screw(fasteners.gauge)
    lines = [
        f"All screws are gauge {fasteners.gauge}, {both(fasteners.length, units)} long, with flat heads.",
        "Screws go only into cleats, beams, bearers and bow blocks. Plywood edges split.",
    ]
    for key, count in screws_by_wood(plan).items():
        data = wood(key)
        lines.append(f"Into {data.name}: {count} screws. Drill a pilot hole of {sizes.pilot(data.pilot).name}.")
    return [
        *lines,
        f"Drill {sizes.clearance.name} through the upper part only, so that the screw slides.",
        f"Set one about every {both(fasteners.spacing, units)}. The parts show where.",
        f"Stay {both(sizes.edge_distance, units)} from edges and {both(sizes.end_distance, units)} from ends.",
        "Bottom screws stand between the side screws, so that they never meet in the cleat.",
        "Sink each head just below the wood. Fill it later.",
    ]


def _by_step(studio: Studio, frames: Frames, look: Styles) -> Flowable:
    steps = building_steps(studio.plan)
    entries = []
    for number, (step, joined) in enumerate(zip(steps, bonds_by_step(studio.plan, steps), strict=True), 1):
        amount, screws = grams(studio.plan, joined), sum(bond.screws for bond in joined)
        if amount or screws:
            entries.append((f"{number}  {step.title}", f"{math.ceil(amount)} g" if amount else "", str(screws or "")))
    half = (len(entries) + 1) // 2
    heads = [paragraph(text, look.cell_bold) for text in ("Step", "Glue", "Screws")]
    rows: list[list[object]] = [[*heads, *heads]]
    for number in range(half):
        cells: list[object] = [paragraph(text, look.cell) for entry in entries[number::half] for text in entry]
        rows.append(cells + [""] * (6 - len(cells)))
    each = frames.width / 2.0
    return grid(rows, [each - 29.0, 13.0, 16.0] * 2, padding=1.0)


def _both_degrees(celsius: float) -> str:
    return f"{celsius:.0f} °C ({celsius * 9.0 / 5.0 + 32.0:.0f} °F)"
