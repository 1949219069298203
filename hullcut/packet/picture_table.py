"""Rows of words under each other in a picture, in columns as wide as their longest cells."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.scene import Role, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item

__all__ = ["Columns", "columns_of", "rows_of"]


@dataclass(frozen=True, slots=True)
class Columns:
    """How a table stands, mm on paper.

    Attributes:
        size: of the letters.
        lefts: where each column begins, from the table's left.
        width: of all columns and the room between them.
    """

    size: float
    lefts: tuple[float, ...]
    width: float


def columns_of(
    rows: Sequence[Sequence[str]], size: float, between: float, *, bold_head: bool = False, most: float = math.inf
) -> Columns:
    """Columns for rows of equally many cells, the first of them the head.

    Args:
        rows: the cells.
        size: of the letters, if there is room.
        between: two columns.
        bold_head: whether the head is written bold.
        most: the greatest width; the letters are made smaller to keep it.
    """
    spans = [
        max(font.text_width(row[column], size, bold_head and not number) for number, row in enumerate(rows))
        for column in range(len(rows[0]))
    ]
    gaps = between * (len(spans) - 1)
    shrunk = min(1.0, (most - gaps) / sum(spans))
    lefts = [sum(spans[:column]) * shrunk + between * column for column in range(len(spans))]
    return Columns(size * shrunk, tuple(lefts), sum(spans) * shrunk + gaps)


def rows_of(
    rows: Sequence[Sequence[str]], columns: Columns, left: float, feet: Sequence[float], *, bold_head: bool = False
) -> list[Item]:
    """The cells of rows, each row on a base line of its own.

    Args:
        rows: as for the columns.
        columns: theirs.
        left: of the table.
        feet: the height of each row's base line.
        bold_head: as for the columns.
    """
    return [
        Text(Role.LABEL, (left + start, foot), cell, columns.size, bold=bold_head and not number)
        for number, (row, foot) in enumerate(zip(rows, feet, strict=True))
        for start, cell in zip(columns.lefts, row, strict=True)
    ]
