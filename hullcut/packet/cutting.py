"""The cutting plan: every sheet to scale, the order of its cuts and what they make."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, PageBreak, Spacer

from hullcut.drawing.paths import bounds, clip_items
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Scene, Text
from hullcut.drawing.sheet_scene import sheet_key, sheet_scene, sheet_title
from hullcut.lengths import both
from hullcut.packet.document import Heading, grid, note_box, paragraph

if TYPE_CHECKING:
    from collections.abc import Mapping

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import OrderPlan
    from hullcut.nesting.values import Sheet
    from hullcut.packet.document import Frames, Styles
    from hullcut.parts.values import Part

__all__ = ["cutting_chapter"]

_COLUMNS = 3
_TALLEST = 70.0
# A long board with more parts than this for each row is drawn in several rows.
_PARTS_IN_ROW = 5
_MOST_ROWS = 3


def cutting_chapter(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every sheet of the order with its list of cuts."""
    parts = {part.id: part for boat in plan.boat_plans for part in boat.parts}
    rules = plan.layout.rules
    units = plan.order.units
    story: list[Flowable] = [
        PageBreak(),
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
            "Rings number the cuts in their order. Dotted red lines show where they run. "
            "Figures along the edges count from the lower left corner. Keep the offcuts: they are dashed grey. "
            "In the list a letter names a piece that is cut again.",
            look.body,
        ),
    ]
    for sheet in plan.layout.sheets:
        story += _sheet(sheet, parts, plan, frames, look)
    return story


def _sheet(sheet: Sheet, parts: Mapping[str, Part], plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    units = plan.order.units
    key = "   ".join(f"{number} {name}" for number, name in sheet_key(sheet, parts))
    block: list[Flowable] = [
        Heading(sheet_title(sheet, units), look.section, 1),
        *_pictures(sheet, parts, plan, frames),
        paragraph(key, look.small),
        Spacer(0, 3),
    ]
    if sheet.cuts:
        block.append(_cuts(sheet, plan, frames, look))
    return [KeepTogether([*block, Spacer(0, 9)])]


def _pictures(sheet: Sheet, parts: Mapping[str, Part], plan: OrderPlan, frames: Frames) -> list[Flowable]:
    """The sheet as large as the column lets it be; a crowded board in rows, one under another."""
    units = plan.order.units
    room = frames.width - 18.0
    narrow = sheet.width / sheet.length < 0.2
    rows = min(_MOST_ROWS, max(1, math.ceil(len(sheet.placements) / _PARTS_IN_ROW))) if narrow else 1
    ratio = max(sheet.length / rows / room, sheet.width / _TALLEST)
    scene = sheet_scene(sheet, parts, units, ratio, words=False)
    if rows == 1:
        return [SceneFlowable(scene, min(frames.width, scene.width / ratio), align="LEFT")]
    return [SceneFlowable(row, row.width / ratio, align="LEFT") for row in _rows(scene, sheet.length, rows)]


def _rows(scene: Scene, length: float, rows: int) -> list[Scene]:
    """A long scene cut into rows; a word stands in the row that holds its middle."""
    found = []
    each = length / rows
    for row in range(rows):
        start = scene.x0 if row == 0 else row * each
        stop = scene.x1 if row == rows - 1 else (row + 1) * each
        box = (start, scene.y0, stop, scene.y1)
        shapes = clip_items((item for item in scene.items if not isinstance(item, Text)), box)
        words = [item for item in scene.items if isinstance(item, Text) and start <= _middle(item) < stop]
        items = (*shapes, *words)
        edges = [bounds(item) for item in words]
        x0 = min([start, *(edge[0] for edge in edges)])
        x1 = max([stop, *(edge[2] for edge in edges)])
        found.append(Scene(scene.title, x0, scene.y0, x1, scene.y1, items))
    return found


def _middle(text: Text) -> float:
    box = bounds(text)
    return (box[0] + box[2]) / 2.0


def _cuts(sheet: Sheet, plan: OrderPlan, frames: Frames, look: Styles) -> Flowable:
    """The cuts in columns: order, fence setting, which piece is cut into which."""
    units = plan.order.units
    names = _piece_names(sheet)
    entries = [
        [
            paragraph(str(cut.order), look.cell),
            paragraph(both(cut.fence, units) if cut.fence > 0.5 else "trim", look.cell),
            paragraph(f"{names[cut.piece]} → {', '.join(names[piece] for piece in cut.makes)}", look.cell),
        ]
        for cut in sheet.cuts
    ]
    columns = min(_COLUMNS, max(1, (len(entries) + 3) // 4))
    per = -(-len(entries) // columns)
    heads = [paragraph(text, look.cell_bold) for text in ("Cut", "Fence", "Piece → pieces")]
    rows: list[list[object]] = [heads * columns]
    for row in range(per):
        cells: list[object] = []
        for column in range(columns):
            index = column * per + row
            cells += entries[index] if index < len(entries) else ["", "", ""]
        rows.append(cells)
    each = frames.width / columns
    return grid(rows, [8.0, 30.0, each - 38.0] * columns)


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
