"""The packet of a whole class: who builds what, one shopping list, one cutting plan, and labels for the kits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, KeepTogether, PageBreak, Spacer, TableStyle

from hullcut.drawing.sheet_scene import sheet_key, sheet_name
from hullcut.lengths import both
from hullcut.packet.cutting import cutting_chapter
from hullcut.packet.document import MM, Heading, Table, bullet, frames_of, grid, paragraph, render, styles
from hullcut.packet.fittings_list import small_things, workshop_supplies, workshop_things
from hullcut.packet.joining import bonds, screws_by_length
from hullcut.packet.lists import glue_grams, glue_to_buy, screw_kind, screws_to_buy, wood_list
from hullcut.packet.opening import INVENTED
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.design.values import Boat
    from hullcut.packet.document import Frames, Styles

__all__ = ["Kit", "class_pdf", "kit_chapter", "kit_of"]

Kit = dict[int, list[tuple[int, str]]]
"""For each sheet, the numbers and names of a boat's pieces on it, as the cutting plan draws them."""

_LABEL = 88.0


def kit_of(plan: OrderPlan, boat: Boat) -> Kit:
    """Where the pieces of a boat lie in the cutting plan."""
    found: Kit = {}
    for sheet in plan.layout.sheets:
        names = dict(sheet_key(sheet, plan.parts))
        pieces = [
            (number, names[number].removesuffix(f" ({boat.id})"))
            for number, placement in enumerate(sheet.placements, 1)
            if placement.boat == boat.id
        ]
        if pieces:
            found[sheet.number] = pieces
    return found


def class_pdf(plan: OrderPlan, paper: Literal["letter", "a4"], watermark: str | None) -> bytes:
    """The class packet as a PDF; the same plan gives the same bytes."""
    frames, look = frames_of(paper), styles()
    story = [
        *_cover(plan, frames, look),
        *_shopping(plan, frames, look),
        *cutting_chapter(plan, frames, look),
        *_labels(plan, frames, look),
    ]
    return render(story, f"{plan.order.name}: class packet", f"{plan.order.name} class packet", paper, watermark)


def _cover(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    heads = ("☐", "Boat", "Builder", "Design", "Packet", "Pieces")
    widths = [8.0, 16.0, 0.0, 40.0, 55.0, 18.0]
    widths[2] = frames.width - sum(widths)
    rows: list[list[object]] = [[paragraph(head, look.cell_bold) for head in heads]]
    for boat in plan.order.boats:
        count = sum(len(pieces) for pieces in kit_of(plan, boat).values())
        cells = ("☐", str(boat.number), boat.builder or "_" * 20, boat.design, f"packets/{boat.id}.pdf", str(count))
        rows.append([paragraph(cell, look.body) for cell in cells])
    uses = (
        "Print one packet for each boat: its number and its builder stand on the cover.",
        "Buy from the one shopping list in this packet. It counts all boats.",
        "Cut from the one cutting plan in this packet. It uses the rack's leftovers first.",
        "Cut out the labels. Put each boat's pieces in its own box, with its label on.",
        "Tick a box above when a kit is complete.",
    )
    return [
        Heading(plan.order.name, look.title),
        paragraph(f"Class packet for {len(plan.order.boats)} boats", look.section),
        grid(rows, widths),
        Spacer(0, 6),
        *(bullet(text, look.body) for text in uses),
        paragraph(INVENTED, look.small),
        PageBreak(),
    ]


def _shopping(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """One list over all boats: wood, screws and glue together; then what every boat needs and what each design adds."""
    story: list[Flowable] = [Heading("What to buy for all boats", look.chapter), *wood_list(plan, frames, look)]
    boats = {each.design.name: _count(plan, each) for each in plan.boat_plans}
    by_screw: dict[tuple[int, float], int] = {}
    by_glue: dict[str, float] = {}
    for each in plan.boat_plans:
        for length, count in screws_by_length(bonds(each)).items():
            size = (each.design.fasteners.gauge, length)
            by_screw[size] = by_screw.get(size, 0) + boats[each.design.name] * count
        name = glue(each.design.glue).name
        by_glue[name] = by_glue.get(name, 0.0) + boats[each.design.name] * glue_grams(each)
    bought = [
        f"{screws_to_buy(count)} flat-head wood screws, gauge {gauge}, "
        f"{both(length, plan.order.units)} long, for {count} marked holes."
        for (gauge, length), count in sorted(by_screw.items())
    ]
    bought.append(screw_kind(plan.boat_plans))
    bought += [f"About {glue_to_buy(total)} g of {name}, waste included." for name, total in by_glue.items()]
    story += [Heading("Screws and glue", look.section, 1), *(bullet(line, look.body, "☐") for line in bought)]
    things = {each.design.name: small_things(each) for each in plan.boat_plans}
    first, *others = things.values()
    shared = [line for line in first if all(line in other for other in others)] if others else []
    if shared:
        story += _group(f"For every boat: each line {len(plan.order.boats)} times", shared, look)
    for name, lines in things.items():
        count = boats[name]
        times = f"{count} boats: each line {count} times" if count > 1 else "1 boat"
        story += _group(f"For {name}, {times}", [line for line in lines if line not in shared], look)
    story += _group("For the workshop, once for the class", workshop_supplies(), look)
    story += _group("For safety, once for the class", workshop_things(len(plan.order.boats)), look)
    return story


def _group(heading: str, lines: Sequence[str], look: Styles) -> list[Flowable]:
    """Lines to tick off under a heading, which never ends a page without the first of them; nothing without lines."""
    if not lines:
        return []
    first, *others = (bullet(line, look.body, "☐") for line in lines)
    return [KeepTogether([Heading(heading, look.section, 1), first]), *others]


def _count(plan: OrderPlan, each: BoatPlan) -> int:
    return sum(1 for boat in plan.order.boats if boat.design == each.design.name)


def _labels(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """A label for each boat's box of parts, to cut out."""
    cells = [_label(plan, boat, look) for boat in plan.order.boats]
    rows = [
        [*cells[index : index + 2], *([""] * (2 - len(cells[index : index + 2])))] for index in range(0, len(cells), 2)
    ]
    table = Table(rows, [_LABEL * MM] * 2, hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("GRID", (0, 0), (-1, -1), 0.4, HexColor("#666666"), None, (3, 2)),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 8),
                ("RIGHTPADDING", (0, 0), (-1, -1), 8),
                ("TOPPADDING", (0, 0), (-1, -1), 6),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
            ]
        )
    )
    return [
        CondPageBreak(190 * MM),
        Heading("Labels for the kits", look.chapter),
        paragraph("Cut along the dashed lines. The numbers are those of the pieces in the cutting plan.", look.body),
        table,
    ]


def _label(plan: OrderPlan, boat: Boat, look: Styles) -> list[Flowable]:
    kit = kit_of(plan, boat)
    names = {sheet.number: sheet_name(sheet).replace(" ", "\u00a0") for sheet in plan.layout.sheets}
    sheets = [f"{names[number]}: " + ", ".join(str(piece) for piece, _ in pieces) for number, pieces in kit.items()]
    total = sum(len(pieces) for pieces in kit.values())
    return [
        paragraph(f"Boat {boat.number}", look.chapter),
        paragraph(boat.builder or "_" * 24, look.section),
        paragraph(f"{boat.design}, {total} pieces", look.body),
        paragraph("; ".join(sheets), look.small),
        paragraph("\u00a0\u00a0\u00a0 ".join(("☐\u00a0all pieces here", "☐\u00a0named", "☐\u00a0marked")), look.small),
    ]


def kit_chapter(plan: OrderPlan, boat: Boat, frames: Frames, look: Styles) -> list[Flowable]:
    """For a builder's own packet: on which sheets of the class the pieces of this boat lie."""
    heads = ("☐", "From", "Your pieces: number in the cutting plan, and name")
    names = {sheet.number: sheet_name(sheet) for sheet in plan.layout.sheets}
    rows: list[list[object]] = [[paragraph(head, look.cell_bold) for head in heads]]
    for number, pieces in kit_of(plan, boat).items():
        listed = "  ·  ".join(f"{piece}\u00a0{name}" for piece, name in pieces)
        rows.append([paragraph(text, look.cell) for text in ("☐", names[number], listed)])
    return [
        CondPageBreak(100 * MM),
        Heading("Your kit", look.chapter),
        paragraph(
            "The class cuts all boats from one cutting plan. It stands in the class packet. "
            "Here you see where your pieces lie. Tick each row when you have all of its pieces.",
            look.body,
        ),
        grid(rows, [8.0, 22.0, frames.width - 30.0]),
        Spacer(0, 6),
    ]
