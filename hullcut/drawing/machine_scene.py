"""A sheet for a laser or router: what is cut, drilled and marked, and nothing that is only for reading."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import shapely

from hullcut.drawing.on_sheet import placed_area, roomiest_placed
from hullcut.drawing.part_scene import part_cuts, part_marks
from hullcut.drawing.paths import line, rectangle, text_box, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.sheet_scene import sheet_title

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from typing import Literal

    from hullcut.drawing.scene import Item
    from hullcut.nesting.values import Placement, Sheet
    from hullcut.parts.values import Part

__all__ = ["machine_scene"]

_NAME_SIZES = (5.0, 4.0, 3.0, 2.2, 1.6)
# What goes through the wood stands on a part that lies face down too; what is only marked would be on the wrong face.
_THROUGH = (Role.HOLE, Role.CUT, Role.INNER_CUT)


def machine_scene(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    kerf: float = 0.0,
    known: dict[str, tuple[Item, ...]] | None = None,
) -> Scene:
    """A sheet at true scale with each part's cuts, holes, marks and name, by operation.

    Args:
        sheet: what to cut; its untrimmed corner at 0, 0.
        parts: by id.
        units: which unit leads in the title.
        kerf: width of the machine's cut, mm; outlines are moved out and holes in by half of it.
        known: lines of parts by id, kept from one sheet to the next of the same kerf; filled by this.

    Raises:
        ValueError: the cut is wider than a hole.
    """
    known = {} if known is None else known
    items: list[Item] = [Shape(Role.STOCK, (rectangle(0.0, 0.0, sheet.length, sheet.width),), ref=sheet.stock.id)]
    items += [Shape(Role.SAW, (line((c.x0, c.y0), (c.x1, c.y1)),), ref=f"cut {c.order}") for c in sheet.cuts]
    for placement in sheet.placements:
        part = parts[placement.part]
        if part.id not in known:
            known[part.id] = (*(_for_machine(item) for item in part_marks(part)), *part_cuts(part, kerf))
        items += _placed(placement, part, known[part.id])
    return Scene(sheet_title(sheet, units), -kerf, -kerf, sheet.length + kerf, sheet.width + kerf, tuple(items))


def _for_machine(item: Item) -> Item:
    """A mark on the layer of its operation: a machine draws the waterline as it draws whatever lies behind."""
    return replace(item, role=Role.HIDDEN) if isinstance(item, Shape) and item.role is Role.WATERLINE else item


def _placed(placement: Placement, part: Part, lines: tuple[Item, ...]) -> Iterator[Item]:
    turned, mirrored = placement.rotation, placement.mirrored
    for item in lines:
        if not mirrored or item.role in _THROUGH:
            yield transform(item, angle_deg=turned, mirror_x=mirrored, dx=placement.x, dy=placement.y)
    yield from _name(part, placement)


def _name(part: Part, placement: Placement) -> list[Item]:
    """The part's name and boat in its roomiest place, as large as it fits; nothing where it does not."""
    area = placed_area(part, placement)
    x, y = roomiest_placed(part, placement)
    x0, y0, x1, y1 = area.bounds
    for text in (f"{part.name} ({placement.boat})" if placement.boat else part.name, part.name):
        for size in _NAME_SIZES:
            drop = 0.36 * size
            upright = Text(Role.LABEL, (x + drop, y), text, size, 90.0, "middle", ref=part.id)
            level = Text(Role.LABEL, (x, y - drop), text, size, 0.0, "middle", ref=part.id)
            for placed in (upright, level) if y1 - y0 > x1 - x0 else (level, upright):
                if area.covers(shapely.Polygon(text_box(placed))):
                    return [placed]
    return []
