"""The cutting plan: every sheet to scale, the order of its cuts and what they make."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, KeepTogether, Spacer, TableStyle

from hullcut.drawing.paths import bounds, bounds_of, clip_items
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.sheet_scene import offcut_name, sheet_key, sheet_scene, sheet_title, size_words
from hullcut.lengths import both, inches, millimetres
from hullcut.packet.document import MM, Heading, Table, grid, note_box, paragraph
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import OrderPlan
    from hullcut.nesting.values import Sheet
    from hullcut.packet.document import Frames, Styles
    from hullcut.parts.values import Part

__all__ = ["cutting_chapter"]

_COLUMNS = 3
_TALLEST = 76.0
# A long board with more parts than this for each row is drawn in several rows.
_PARTS_IN_ROW = 5
_MOST_ROWS = 3
# A picture up to this share of the column's width has its list of cuts beside it, if that is not too long.
_BESIDE = 0.57
_MOST_BESIDE = 17


def cutting_chapter(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every sheet of the order with its list of cuts."""
    parts = plan.parts
    rules = plan.layout.rules
    units = plan.order.units
    story: list[Flowable] = [
        CondPageBreak(160 * MM),
        Heading("Cutting plan", look.chapter),
        note_box(
            [
                paragraph(
                    "The straight cuts are an adult's work. Measure twice before each. "
                    f"The saw takes away {both(rules.kerf, units, 32, decimals=1)} at each cut.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
        Spacer(0, 3),
        paragraph(
            "Rings number the cuts in their order. Dashed red lines show where they run. "
            "Figures along the edges count from the lower left corner. Keep the offcuts: they are dashed grey. "
            "Write each one's name on it. In the list a letter names a piece that is cut again.",
            look.body,
        ),
        paragraph(
            "Each part has its number. Its colour is only a help: a light tint of the set for colour-blind readers by "
            "M. Okabe and K. Ito, “Color Universal Design” (2008).",
            look.small,
        ),
    ]
    if plan.glue_ups:
        words = "A blue line of dashes and dots along an edge: plane down to it, then glue that edge to the other half."
        story.append(paragraph(words, look.body))
    for number, sheet in enumerate(plan.layout.sheets):
        story += _sheet(sheet, parts, plan, frames, look, after_words=number == 0)
    return [*story, *_rack(plan, frames, look)]


def _rack(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The offcuts by name, with what to write so that the next boat uses them first."""
    units = plan.order.units
    heads = ("☐", "Name", "Wood", "Thickness", "Size", "Area")
    widths = [6.0, 14.0, 0.0, 34.0, 52.0, 22.0]
    widths[2] = frames.width - sum(widths)
    rows: list[list[object]] = [[paragraph(text, look.cell_bold) for text in heads]]
    for sheet in plan.layout.sheets:
        for number, offcut in enumerate(sheet.offcuts):
            cells = (
                "☐",
                offcut_name(sheet, number),
                wood(sheet.stock.material).name,
                both(sheet.stock.planed_to, units, 32, decimals=1),
                size_words(offcut.length, offcut.width, units),
                f"{offcut.length * offcut.width * 1e-2:.0f} cm²",
            )
            rows.append([paragraph(text, look.cell) for text in cells])
    if len(rows) == 1:
        return []
    return [
        CondPageBreak(60 * MM),
        Heading("Offcuts for the rack", look.section, 1),
        paragraph(
            "Write the name on each. An organiser writes them under [[shop.rack]] in the design or order file: "
            "the next boat then uses them first.",
            look.body,
        ),
        grid(rows, widths, padding=1.0),
        Spacer(0, 6),
    ]


def _sheet(
    sheet: Sheet,
    parts: Mapping[str, Part],
    plan: OrderPlan,
    frames: Frames,
    look: Styles,
    after_words: bool,
) -> list[Flowable]:
    """A sheet's picture, its key and its cuts, on one page where they fit.

    Under the chapter's words a long list may run on overleaf, for else those words would have a page of their own.
    """
    units = plan.order.units
    key = paragraph("  ·  ".join(f"{number}\u00a0{name}" for number, name in sheet_key(sheet, parts)), look.small)
    pictures = _pictures(sheet, parts, plan, frames)
    heading = Heading(sheet_title(sheet, units), look.section, 1)
    widest = max(picture.scene.width * picture.scale for picture in pictures)
    if sheet.cuts and widest <= _BESIDE * frames.width and len(sheet.cuts) <= _MOST_BESIDE:
        table = _cuts(sheet, units, frames.width - widest - 4.0, 1, look)
        return [KeepTogether([heading, _beside([*pictures, key], table, widest, frames), Spacer(0, 6)])]
    block: list[Flowable] = [heading, *pictures, key, Spacer(0, 3)]
    if not sheet.cuts:
        return [KeepTogether([*block, Spacer(0, 9)])]
    columns = min(_COLUMNS, max(1, (len(sheet.cuts) + 3) // 4))
    cuts = _cuts(sheet, units, frames.width, columns, look)
    if after_words and len(sheet.cuts) > _MOST_BESIDE:
        return [KeepTogether(block), cuts, Spacer(0, 9)]
    return [KeepTogether([*block, cuts, Spacer(0, 9)])]


def _beside(left: list[Flowable], right: Flowable, width: float, frames: Frames) -> Flowable:
    """A narrow picture with its list of cuts at its right."""
    table = Table([[left, right]], [(width + 4.0) * MM, (frames.width - width - 4.0) * MM], hAlign="LEFT")
    plain = [(name, (0, 0), (-1, -1), 0) for name in ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")]
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *plain]))
    return table


def _pictures(sheet: Sheet, parts: Mapping[str, Part], plan: OrderPlan, frames: Frames) -> list[SceneFlowable]:
    """The sheet as large as the column lets it be; a crowded board in rows, one under another."""
    units = plan.order.units
    room = frames.width - 18.0
    narrow = sheet.width / sheet.length < 0.2
    rows = min(_MOST_ROWS, max(1, math.ceil(len(sheet.placements) / _PARTS_IN_ROW))) if narrow else 1
    ratio = max(sheet.length / rows / room, sheet.width / _TALLEST)
    breaks = [sheet.length * row / rows for row in range(1, rows)]
    scene = sheet_scene(sheet, parts, units, ratio, words=False, breaks=breaks)
    if rows == 1:
        return [SceneFlowable(scene, min(frames.width, scene.width / ratio), align="LEFT")]
    return [SceneFlowable(row, row.width / ratio, align="LEFT") for row in _rows(scene, sheet.length, rows)]


def _rows(scene: Scene, length: float, rows: int) -> list[Scene]:
    """A long scene cut into rows, those without parts left out; a word stands in the row that holds its middle."""
    found = []
    each = length / rows
    for row in range(rows):
        start = scene.x0 if row == 0 else row * each
        stop = scene.x1 if row == rows - 1 else (row + 1) * each
        box = (start, scene.y0, stop, scene.y1)
        shapes = clip_items((item for item in scene.items if not isinstance(item, Text)), box)
        if not any(isinstance(item, Shape) and item.role is Role.CUT for item in shapes):
            continue
        words = [
            _kept_between(item, start, stop)
            for item in scene.items
            if isinstance(item, Text) and start <= _middle(item) < stop
        ]
        items = (*shapes, *words)
        x0, y0, x1, y1 = bounds_of(items)
        margin = 0.5 * length / rows / 100.0
        found.append(Scene(scene.title, min(start, x0), y0 - margin, max(stop, x1), y1 + margin, items))
    return found


def _kept_between(text: Text, start: float, stop: float) -> Text:
    """A level text moved along so far that it stands between two places."""
    box = bounds(text)
    if text.angle:
        return text
    shift = max(start - box[0], 0.0) - max(box[2] - stop, 0.0)
    return replace(text, at=(text.at[0] + shift, text.at[1]))


def _middle(text: Text) -> float:
    box = bounds(text)
    return (box[0] + box[2]) / 2.0


def _cuts(sheet: Sheet, units: Literal["in", "mm"], width: float, columns: int, look: Styles) -> Flowable:
    """The cuts in columns: order, fence setting, which piece is cut into which."""
    names = _piece_names(sheet)
    entries = [
        [
            paragraph(str(cut.order), look.cell),
            paragraph(_fence(cut.fence, units), look.cell),
            paragraph(f"{names[cut.piece]} → {', '.join(names[piece] for piece in cut.makes)}", look.cell),
        ]
        for cut in sheet.cuts
    ]
    per = -(-len(entries) // columns)
    fence = "Fence in (mm)" if units == "in" else "Fence mm (in)"
    heads = [paragraph(text, look.cell_bold) for text in ("Cut", fence, "Piece → pieces")]
    rows: list[list[object]] = [[*heads * columns]]
    for row in range(per):
        cells: list[object] = []
        for column in range(columns):
            index = column * per + row
            cells += entries[index] if index < len(entries) else ["", "", ""]
        rows.append(cells)
    each = width / columns
    return grid(rows, [8.5, 25.5, each - 34.0] * columns, padding=1.0)


def _fence(mm: float, units: Literal["in", "mm"]) -> str:
    """A fence setting without the units, which stand in the table's head."""
    if mm < 0.5:
        return "trim"
    inch, metric = inches(mm).removesuffix(" in"), millimetres(mm).removesuffix(" mm")
    return f"{inch} ({metric})" if units == "in" else f"{metric} ({inch})"


def _piece_names(sheet: Sheet) -> dict[str, str]:
    """Blanks by their parts' numbers; pieces that are cut again by letters; the rest is rest."""
    numbers = {placement: number for number, placement in enumerate(sheet.placements, 1)}
    names = {"0": "whole"}
    cut_again = [cut.piece for cut in sheet.cuts if cut.piece != "0"]
    for order, piece in enumerate(dict.fromkeys(cut_again)):
        names[piece] = _letters(order)
    for cut in sheet.cuts:
        for piece in cut.makes:
            names.setdefault(piece, "rest")
    for blank in sheet.blanks:
        names[blank.id] = "part " + " + ".join(str(numbers[each]) for each in blank.placements)
    return names


def _letters(order: int) -> str:
    """A to Z, then AA, AB and on."""
    name = ""
    order += 1
    while order:
        order, letter = divmod(order - 1, 26)
        name = chr(ord("A") + letter) + name
    return name
