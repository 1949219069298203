"""A table as a drawing at full size, for what is told by its measures instead of a pattern."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.font import text_width
from hullcut.drawing.paths import line, scene_from
from hullcut.drawing.scene import Item, Role, Scene, Shape, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["table_scene"]

_SIZE = 2.9
_ROW = 5.6
_GAP = 2.2
_TITLE_SIZE = 3.4


def table_scene(name: str, title: str, rows: Sequence[Sequence[str]]) -> Scene:
    """Rows under each other, each with a thin line below it.

    Args:
        name: of the scene.
        title: above the table.
        rows: the heads first, then at least one; all of one length.
    """
    places = [0.0]
    for column in range(len(rows[0]) - 1):
        widest = max(text_width(row[column], _SIZE, bold=i == 0) for i, row in enumerate(rows))
        places.append(places[-1] + widest + _GAP)
    items: list[Item] = []
    for i, row in enumerate(rows):
        items += [
            Text(Role.LABEL, (x, -i * _ROW), words, _SIZE, bold=i == 0) for x, words in zip(places, row, strict=True)
        ]
    items.append(Text(Role.LABEL, (0.0, 1.3 * _ROW), title, _TITLE_SIZE, bold=True))
    end = places[-1] + max(text_width(row[-1], _SIZE, bold=i == 0) for i, row in enumerate(rows))
    items += [Shape(Role.THIN, (line((0.0, -i * _ROW - 2.0), (end, -i * _ROW - 2.0)),)) for i in range(len(rows))]
    return scene_from(name, items, margin=2.0)
