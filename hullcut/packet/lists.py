"""The parts list to tick off, and what to buy: wood, screws, glue and the rest."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from reportlab.platypus import CondPageBreak, KeepTogether, PageBreak, Spacer

from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.sheet_scene import size_words
from hullcut.lengths import both
from hullcut.packet.document import MM, Heading, bullet, grid, note_box, paragraph
from hullcut.packet.fittings_list import ENGINE_CHAPTER, fitting_groups, workshop_supplies, workshop_things
from hullcut.packet.joining import bonds, grams, screws_by_length, screws_by_wood
from hullcut.packet.special_pictures import part_thumbnail
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.nesting.values import ShoppingLine
    from hullcut.packet.document import Frames, Styles
    from hullcut.parts.values import Part

__all__ = [
    "glue_grams",
    "glue_to_buy",
    "parts_list",
    "screw_count",
    "screw_kind",
    "screws_to_buy",
    "shopping",
    "span",
    "wood_list",
]

_THUMB = (26.0, 8.0)
# A part that is cut larger by less than this is told by its finished size alone, mm.
_PLANED_OFF = 1.0


def parts_list(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every part with a picture, count, finished size, wood, grain, weight and a box to tick."""
    heads = ("☐", "", "Part", "Count", "Finished size", "Wood and thickness", "Grain", "Grams each")
    widths = [5.5, 27.5, 0.0, 12.0, 36.0, 38.0, 15.0, 12.5]
    widths[2] = frames.width - sum(widths)
    rows: list[list[object]] = [[paragraph(head, look.cell_bold) for head in heads]]
    rows += [_part_row(part, plan.design.units, look) for part in plan.parts]
    total = sum(part.mass * part.quantity for part in plan.parts)
    afloat = sum(part.mass * part.quantity for part in plan.parts if part.family != "stand")
    return [
        PageBreak(),
        Heading("Parts list", look.chapter),
        paragraph(
            "Tick each part when it is cut, planed and named. Each size is the smallest box "
            "round the finished part: a slanting or curved strip is narrower. "
            "“Cut” tells a part that a later step planes down: leave it as large as that until then.",
            look.body,
        ),
        paragraph(
            f"All wood together weighs about {total / 1000.0:.2f} kg, {afloat / 1000.0:.2f} kg of it afloat.", look.body
        ),
        grid(rows, widths),
    ]


def _part_row(part: Part, units: Literal["in", "mm"], look: Styles) -> list[object]:
    grain = {"along": "along ↔", "across": "across ↕", "any": "any"}[part.grain]
    data = wood(part.material)
    size = size_words(part.finished_length, part.finished_width, units)
    cut = _as_cut(part)
    sizes = [paragraph(size, look.cell)]
    if cut is not None:
        sizes.append(paragraph(f"Cut: {size_words(*cut, units)}", look.small))
    thick = both(part.thickness, units, 32, decimals=1)
    return [
        paragraph("☐", look.cell),
        SceneFlowable(part_thumbnail(part, *_THUMB)),
        [paragraph(part.name, look.cell_bold), paragraph(part.step, look.small)],
        paragraph(str(part.quantity), look.cell),
        sizes,
        paragraph(f"{data.name}, {thick}", look.cell),
        paragraph(grain, look.cell),
        paragraph(f"{part.mass:.0f}", look.cell),
    ]


def _as_cut(part: Part) -> tuple[float, float] | None:
    """Length and width of a part as it is cut, where a later step planes off more than a rule's reading."""
    cut = np.ptp(np.array(part.outline), axis=0)
    true = np.ptp(np.array(part.true_outline), axis=0)
    if float((cut - true).max()) < _PLANED_OFF:
        return None
    return (float(cut[0]), float(cut[1]))


def shopping(plan: OrderPlan, boat_plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """What to buy for a lone boat, to tick off; in a class, which buys for all, what comes in the builder's kit."""
    alone = len(plan.order.boats) == 1
    mark = "☐" if alone else "•"
    story: list[Flowable] = [
        CondPageBreak(200 * MM),
        Heading("What to buy" if alone else "Comes in your kit", look.chapter),
    ]
    if alone:
        story += wood_list(plan, frames, look)
    else:
        story.append(
            paragraph(
                "The class buys wood and all of this for every boat: you buy nothing. "
                "Look into your kit and tell your adult what is missing.",
                look.body,
            )
        )
    story += _screws(boat_plan, look, mark)
    grams_to_buy = glue_to_buy(glue_grams(boat_plan))
    story.append(
        bullet(f"About {grams_to_buy} g of {glue(boat_plan.design.glue).name}, waste included.", look.body, mark)
    )
    groups = [
        ("The engine", (f"An engine: the page “{ENGINE_CHAPTER}” tells which.",)),
        *fitting_groups(boat_plan),
        ("For the workshop, once", workshop_supplies()),
        ("For safety, once for the workshop", workshop_things(len(plan.order.boats))),
    ]
    for heading, lines in groups:
        first, *others = (bullet(line, look.step, mark) for line in lines)
        story += [KeepTogether([Heading(heading, look.section, 1), first]), *others]
    story.append(
        paragraph(
            "The pitch is an estimate from the engine's power. Product labels and local rules come first.",
            look.small,
        )
    )
    return story


def wood_list(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The wood to buy for the whole order."""
    boats = len(plan.order.boats)
    whom = "this boat" if boats == 1 else f"all {boats} boats of the order together"
    story: list[Flowable] = [
        Heading("Wood", look.section, 1),
        paragraph(f"For {whom}.{_from_rack(plan)}{_SHORTER}", look.body),
        _wood_table(plan, frames, look),
    ]
    if _priced(plan):
        words = "Prices are in your money, as the adult who planned the boat wrote them."
        missing = any(line.cost is None for line in plan.layout.shopping)
        words += " The total is for wood alone" + (", without stock that has no price." if missing else ".")
        story += [Spacer(0, 3), paragraph(words, look.small)]
    if any(line.stock.planed_to < line.stock.thickness - 1e-6 for line in plan.layout.shopping):
        story += [
            Spacer(0, 3),
            note_box(
                [
                    paragraph(
                        "Boards marked * are resawn or planed by an adult, or bought planed. "
                        "No big saw? Take the cutting plan to a wood shop.",
                        look.caution,
                    )
                ],
                frames.width,
                "#fff3d6",
            ),
        ]
    return story


# What spares a builder a board that is mostly left over.
_SHORTER = " The cutting plan shows what is left: a board may be shorter by the offcut at its end."


def _from_rack(plan: OrderPlan) -> str:
    """What is said of leftovers, where any are used."""
    used = any(line.stock.kind == "leftover" for line in plan.layout.shopping)
    return " Leftovers from the rack are used first." if used else ""


def _priced(plan: OrderPlan) -> bool:
    """Whether any stock to buy has a price."""
    return any(line.stock.price is not None for line in plan.layout.shopping if line.stock.kind != "leftover")


def _wood_table(plan: OrderPlan, frames: Frames, look: Styles) -> Flowable:
    priced = _priced(plan)
    heads = ["☐", "Count", "What", "Thickness", "Size", *(["Each", "Together"] if priced else [])]
    widths = [6.0, 13.0, 0.0, 47.0, 45.0, *([16.0, 20.0] if priced else [])]
    widths[2] = frames.width - sum(widths)
    rows: list[list[object]] = [[paragraph(head, look.cell_bold) for head in heads]]
    rows += [
        [paragraph(text, look.cell) for text in _wood_row(line, plan.order.units, priced)]
        for line in plan.layout.shopping
    ]
    if priced:
        total = sum(line.cost for line in plan.layout.shopping if line.cost is not None)
        blank = [""] * (len(heads) - 2)
        rows.append([paragraph(text, look.cell_bold) for text in (*blank, "Total", f"{total:.2f}")])
    return grid(rows, widths)


def _wood_row(line: ShoppingLine, units: Literal["in", "mm"], priced: bool) -> list[str]:
    stock = line.stock
    planed = stock.planed_to < stock.thickness - 1e-6
    sold = both(stock.thickness, units, 32, decimals=1)
    thick = f"{sold}, planed to {both(stock.planed_to, units, 32, decimals=1)} *" if planed else sold
    source = " from the rack" if stock.kind == "leftover" else ""
    row = [
        "☐",
        str(line.count),
        f"{wood(stock.material).name}, {stock.kind}{source}",
        thick,
        size_words(stock.length, stock.width, units),
    ]
    if priced:
        row += ["" if stock.price is None else f"{stock.price:.2f}", "" if line.cost is None else f"{line.cost:.2f}"]
    return row


def screw_count(parts: Sequence[Part]) -> int:
    """The screws marked on the parts of one boat."""
    return sum(part.quantity for part in parts for mark in part.marks if mark.kind == "screw")


def glue_grams(plan: BoatPlan) -> float:
    """Glue for one boat, grams: the prints of parts on the faces they are glued to, times the spread, with waste."""
    return grams(plan, bonds(plan))


def screws_to_buy(count: int) -> int:
    """Screws to buy for so many holes: a tenth more, for those that get lost, in tens."""
    return math.ceil(count * 1.1 / 10.0) * 10


def glue_to_buy(grams_needed: float) -> int:
    """Grams of glue to buy, in tens."""
    return math.ceil(grams_needed / 10.0) * 10


def _screws(plan: BoatPlan, look: Styles, mark: str) -> list[Flowable]:
    design = plan.design
    lines = [
        f"{screws_to_buy(count)} flat-head wood screws, gauge {design.fasteners.gauge}, "
        f"{both(length, design.units)} long. The boat has {count}: the rest are spares."
        for length, count in screws_by_length(bonds(plan)).items()
    ]
    return [
        Heading("Screws and glue", look.section, 1),
        *(bullet(line, look.body, mark) for line in lines),
        bullet(screw_kind((plan,)), look.body),
    ]


def screw_kind(plans: Sequence[BoatPlan]) -> str:
    """Of what metal all screws are, and the one of plain steel that cuts the thread where any go into hard wood."""
    steel = " Buy one of plain steel too, like the longest: it cuts the thread in hard wood first."
    return f"Choose brass or stainless steel: they don't rust.{steel if any(map(_hard_wood, plans)) else ''}"


def _hard_wood(plan: BoatPlan) -> bool:
    """Whether any screw goes into hard wood."""
    return any(wood(key).pilot == "hard" for key in screws_by_wood(plan))


def span(minutes: int) -> str:
    """A time in words."""
    if minutes < 120:
        return f"{minutes} minutes"
    hours = minutes / 60.0
    return f"{hours:.0f} hours" if hours < 48 else f"{hours / 24.0:.0f} days"
