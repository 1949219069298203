"""Parts that need no pattern: plain strips and rectangles, told by their measures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from hullcut.drawing.font import text_width
from hullcut.drawing.paths import line, scene_from
from hullcut.drawing.scene import Item, Role, Scene, Shape, Text
from hullcut.lengths import both
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.parts.values import Part

__all__ = ["is_plain", "measured_scene"]

_SIZE = 2.9
_ROW = 5.6
_GAP = 3.0
_TITLE, _TITLE_SIZE = "Plain pieces: mark them out with rule and square", 3.4
# Marks that a pattern is needed for; a centre line, a name and the grain are drawn with a square and a rule.
_NEEDS_PATTERN = ("landing", "screw", "slot", "hole", "shaft", "station", "balance point", "true line", "glue joint")


def is_plain(part: Part) -> bool:
    """Whether a part is a rectangle without marks that call for a pattern."""
    if len(part.outline) != 4 or part.holes or any(mark.kind in _NEEDS_PATTERN for mark in part.marks):
        return False
    xs = sorted({round(x, 3) for x, _ in part.outline})
    ys = sorted({round(y, 3) for _, y in part.outline})
    return len(xs) == 2 and len(ys) == 2


def measured_scene(parts: Sequence[Part], units: Literal["in", "mm"]) -> Scene:
    """A table of plain parts with their measures, to mark out with rule and square.

    Args:
        parts: at least one, each plain.
        units: which unit leads.
    """
    rows = [("part", "length", "width", "thick", "wood")]
    rows += [
        (
            f"{part.name}{f' ({part.quantity})' if part.quantity > 1 else ''}",
            both(part.finished_length, units, 32),
            both(part.finished_width, units, 32),
            both(part.thickness, units, 32, decimals=1),
            wood(part.material).name,
        )
        for part in parts
    ]
    places = [0.0]
    for column in range(len(rows[0]) - 1):
        widest = max(text_width(row[column], _SIZE, bold=i == 0) for i, row in enumerate(rows))
        places.append(places[-1] + widest + _GAP)
    items: list[Item] = []
    for i, row in enumerate(rows):
        items += [
            Text(Role.LABEL, (x, -i * _ROW), words, _SIZE, bold=i == 0) for x, words in zip(places, row, strict=True)
        ]
    items.append(Text(Role.LABEL, (0.0, 1.3 * _ROW), _TITLE, _TITLE_SIZE, bold=True))
    end = places[-1] + max(text_width(row[-1], _SIZE) for row in rows)
    items += [Shape(Role.THIN, (line((0.0, -i * _ROW - 2.0), (end, -i * _ROW - 2.0)),)) for i in range(len(rows))]
    return scene_from("Plain pieces", items, margin=2.0)
