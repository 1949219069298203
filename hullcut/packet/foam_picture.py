"""The foam's blocks in their places, from the side and from above, numbered, with a table of their sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.foam_blocks import foam_blocks, foam_litres
from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, line, polygon, polyline, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import bare, both
from hullcut.packet.picture_fit import fitted
from hullcut.packet.places import tube

if TYPE_CHECKING:
    from hullcut.balance.foam_blocks import FoamBlock
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["block_rows", "foam_in_place", "pair_lines"]

_SIZE, _ROW, _FINE = 2.2, 3.6, 0.18
_WIDE = 78.0
# Of the table's first column, which holds the number and how many there are, mm on a picture of the full width.
_FIRST = 8.0
# Between the table's columns, mm.
_BETWEEN = 2.0
# Widths of a block that differ by less are one, mm.
_ALIKE = 0.8


def foam_in_place(studio: Studio, width: float, height: float) -> Scene:
    """All blocks from the side and from above, and under them the table of their sizes.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    scale = _WIDE / plan.hull.length
    above = _from_above(plan, scale)
    side = _from_side(plan, scale)
    lift = bounds_of(above)[3] - bounds_of(side)[1] + 2.0
    items: list[Item] = [*above, *(transform(item, dy=lift) for item in side)]
    x0, low, _, high = bounds_of(items)
    items.append(Text(Role.LABEL, (x0, high + 1.0), "from the side, and from above; bow at the right", _SIZE))
    items += _table(plan, low - 5.0)
    return fitted("The foam in its place", items, width, height, (0.3, 1.0))


def block_rows(plan: BoatPlan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The table column by column, each with its head: a row for each block or pair of blocks.

    From the stern is to the after face. The width at the foot is told where it differs from that at the top.
    """
    units = plan.design.units
    blocks = foam_blocks(plan.hull, plan.arrangement)
    tapered = any(abs(block.width_high - block.width_low) > _ALIKE for block in blocks)
    heads = ["width at top", "width at foot"] if tapered else ["width"]
    widths = [[block.width_high, block.width_low] if tapered else [block.width_high] for block in blocks]
    rows = [
        (
            f"{number}" if block.count == 1 else f"{number}, two",
            bare(block.start, units),
            bare(block.length, units),
            *(bare(mm, units) for mm in wide),
            bare(block.height, units),
        )
        for number, (block, wide) in enumerate(zip(blocks, widths, strict=True), 1)
    ]
    names = ("no.", "from stern", "length", *heads, "height")
    return tuple(zip(names, zip(*rows, strict=True), strict=True))


def pair_lines(plan: BoatPlan) -> list[str]:
    """How far from the centre line the inner faces of each pair stand."""
    return [
        f"{number}: each {both(block.inner, plan.design.units)} off the centre line."
        for number, block in enumerate(foam_blocks(plan.hull, plan.arrangement), 1)
        if block.count > 1
    ]


def _table(plan: BoatPlan, top: float) -> list[Item]:
    """Heads, rows and sum, downward from a height."""
    found: list[Item] = []
    columns = block_rows(plan)
    # Each column is as wide as its longest cell; all are written in one size.
    widths = [max(font.text_width(cell, _SIZE) for cell in cells) for _, cells in columns[1:]]
    room = _WIDE - _FIRST - _BETWEEN * len(widths)
    size = _SIZE * min(1.0, room / sum(widths))
    share = room / sum(widths)
    starts = [0.0, *(_FIRST + share * sum(widths[:number]) + _BETWEEN * number for number in range(len(widths)))]
    lowest = top
    for at, (head, cells) in zip(starts, columns, strict=True):
        first, _, rest = head.partition(" ")
        found += [
            Text(
                Role.LABEL,
                (at, top - 2.8 * place),
                word,
                size,
                bold=True,
            )
            for place, word in enumerate((first, rest))
            if word
        ]
        y = top - 2.8 - 1.2
        for cell in cells:
            y -= _ROW
            found.append(Text(Role.LABEL, (at, y + 0.8), cell, size))
        lowest = y
    names = "inches (mm)" if plan.design.units == "in" else "mm (inches)"
    litres = foam_litres(foam_blocks(plan.hull, plan.arrangement))
    found += [Shape(Role.THIN, (line((0.0, y), (_WIDE, y)),), width=_FINE) for y in (top - 4.0, lowest - 0.4)]
    told = f"All in {names}. In all {litres:.1f} litres."
    lines = [told, *pair_lines(plan)]
    found += [
        Text(Role.LABEL, (0.0, lowest - 3.6 - 3.2 * number), words, _SIZE, bold=number == 0)
        for number, words in enumerate(lines)
    ]
    return found


def _from_above(plan: BoatPlan, scale: float) -> list[Item]:
    hull, design, shaft = plan.hull, plan.design, plan.arrangement.shaft
    x = np.linspace(0.0, hull.length, 60)
    half = hull.half_breadth(x, hull.roof_height(x))
    ring = [*zip(x, half, strict=True), *zip(x[::-1], -half[::-1], strict=True)]
    found: list[Item] = [Shape(Role.OUTLINE, (polygon(_paper(ring, scale)),), fill="#ffffff", width=0.3)]
    fore = design.decks.fore_from
    across = float(hull.half_breadth(np.array([fore]), hull.roof_height(np.array([fore])))[0])
    found.append(Shape(Role.OUTLINE, (line(*_paper([(fore, across), (fore, -across)], scale)),), width=0.3))
    outer, log = design.drive.tube_diameter / 2.0, tube(plan)
    begin, end = shaft.slot_from, shaft.output_x - log.abaft_plate
    sides = [(begin, -outer), (end, -outer), (end, outer), (begin, outer)]
    found.append(Shape(Role.OUTLINE, (polygon(_paper(sides, scale)),), fill="#b9c4cf", width=_FINE))
    wide, plate = design.engine.plate_width / 2.0, plan.arrangement.plate_x
    found.append(Shape(Role.OUTLINE, (line(*_paper([(plate, -wide), (plate, wide)], scale)),), width=0.5))
    for number, block in enumerate(foam_blocks(hull, plan.arrangement), 1):
        outside = max(block.outer_low, block.outer_high)
        spans = [(-outside, outside)] if block.count == 1 else [(block.inner, outside), (-outside, -block.inner)]
        for low, high in spans:
            found += _block(block, low, high, number, scale)
    middle = 0.5 * (plate + fore)
    found.append(Text(Role.LABEL, (middle * scale, -0.36 * _SIZE), "engine bay", _SIZE, anchor="middle"))
    return found


def _from_side(plan: BoatPlan, scale: float) -> list[Item]:
    hull, design = plan.hull, plan.design
    x = np.linspace(0.0, hull.length, 60)
    low = np.minimum(hull.bottom_height(x), hull.roof_height(x))
    ring = [*zip(x, low, strict=True), *zip(x[::-1], hull.roof_height(x)[::-1], strict=True)]
    found: list[Item] = [Shape(Role.OUTLINE, (polygon(_paper(ring, scale)),), fill="#ffffff", width=0.3)]
    for number, block in enumerate(foam_blocks(hull, plan.arrangement), 1):
        found += _block(block, block.low, block.high, number, scale)
    radio = design.radio
    shelf = [(radio.shelf_from, radio.shelf_height), (radio.shelf_from + radio.shelf_length, radio.shelf_height)]
    found.append(Shape(Role.OUTLINE, (polyline(_paper(shelf, scale)),), width=0.5))
    return found


def _block(block: FoamBlock, low: float, high: float, number: int, scale: float) -> list[Item]:
    """A block as an oblong with its number in its middle."""
    corners = [(block.start, low), (block.stop, low), (block.stop, high), (block.start, high)]
    at = (0.5 * (block.start + block.stop) * scale, 0.5 * (low + high) * scale - 0.36 * _SIZE)
    return [
        Shape(Role.OUTLINE, (polygon(_paper(corners, scale)),), fill=NEW.colour, width=_FINE),
        Text(Role.LABEL, at, str(number), _SIZE, anchor="middle"),
    ]


def _paper(points: list[Point], scale: float) -> tuple[Point, ...]:
    return tuple((float(x) * scale, float(y) * scale) for x, y in points)
