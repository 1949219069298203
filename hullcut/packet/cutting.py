"""The cutting plan: every sheet to scale, the order of its cuts and what they make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, PageBreak, Spacer

from hullcut.drawing.pdf import SceneFlowable
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
            "Numbers in rings give the order of the cuts, and dotted red lines their place. Small figures along the edges "
            "are distances from the corner at the lower left. Dashed grey rectangles are offcuts worth keeping.",
            look.body,
        ),
    ]
    for sheet in plan.layout.sheets:
        story += _sheet(sheet, parts, plan, frames, look)
    return story


def _sheet(sheet: Sheet, parts: Mapping[str, Part], plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    units = plan.order.units
    ratio = max(sheet.length / (frames.width - 16.0), sheet.width / 135.0)
    scene = sheet_scene(sheet, parts, units, ratio, words=False)
    width = min(frames.width, scene.width / ratio)
    key = "   ".join(f"{number} {name}" for number, name in sheet_key(sheet, parts))
    top = [
        Heading(sheet_title(sheet, units), look.section, 1),
        SceneFlowable(scene, width, align="LEFT"),
        paragraph(key, look.small),
        Spacer(0, 3),
    ]
    if not sheet.cuts:
        return [KeepTogether([*top, Spacer(0, 6)])]
    return [KeepTogether([*top, _cuts(sheet, plan, frames, look), Spacer(0, 9)])]


def _cuts(sheet: Sheet, plan: OrderPlan, frames: Frames, look: Styles) -> Flowable:
    """The cuts in columns: order, fence setting, which piece is cut into which."""
    units = plan.order.units
    names = _piece_names(sheet)
    entries = [
        [
            paragraph(str(cut.order), look.cell),
            paragraph(both(cut.fence, units) if cut.fence > 0.5 else "trim", look.cell),
            paragraph(
                f"{names.get(cut.piece, cut.piece)} → {', '.join(names.get(p, p) for p in cut.makes)}", look.cell
            ),
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
    fence = 27.0 if columns > 1 else 30.0
    return grid(rows, [10.0, fence, each - 10.0 - fence] * columns)


def _piece_names(sheet: Sheet) -> dict[str, str]:
    """Blanks by the numbers of the parts in them; other pieces keep the plan's letters."""
    numbers = {id(placement): number for number, placement in enumerate(sheet.placements, 1)}
    equal = {placement: number for number, placement in enumerate(sheet.placements, 1)}
    names = {"0": "whole"}
    for blank in sheet.blanks:
        found = [numbers.get(id(each), equal.get(each, 0)) for each in blank.placements]
        names[blank.id] = "part " + "+".join(str(number) for number in found)
    return names
