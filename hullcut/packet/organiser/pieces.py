"""What the sections of the organiser's document share: its kind of section, tables of rows, numbers in cells."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Flowable

from hullcut.boat_plan import BoatPlan, OrderPlan
from hullcut.packet.document import Frames, Styles, grid, paragraph

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from reportlab.platypus import Table

__all__ = ["OrderSection", "Section", "numbers_table", "rows_table"]

Section = Callable[[OrderPlan, BoatPlan, Frames, Styles], list[Flowable]]
"""A section takes the order, the boat, the room on a page and the styles, and gives what flows under its heading."""

OrderSection = Callable[[OrderPlan, Frames, Styles], list[Flowable]]
"""The same for what concerns the whole order."""


def rows_table(rows: Iterable[tuple[str, str]], frames: Frames, look: Styles, heads: tuple[str, str]) -> Table:
    """A table of names and words."""
    cells: list[list[Any]] = [[paragraph(head, look.cell_bold) for head in heads]]
    cells += [[paragraph(name, look.cell), paragraph(words, look.cell)] for name, words in rows]
    return grid(cells, [38.0, frames.width - 38.0], 1.2)


def numbers_table(
    heads: Sequence[str], rows: Iterable[Sequence[str]], widths: Sequence[float], look: Styles, bold: Sequence[int] = ()
) -> Table:
    """A table of short cells; the first column of words, further ones of numbers.

    Args:
        heads: of the columns.
        rows: of cells.
        widths: of the columns, mm.
        look: of the document.
        bold: which rows are heavy, counted from 0.
    """
    cells: list[list[Any]] = [[paragraph(head, look.cell_bold) for head in heads]]
    for number, row in enumerate(rows):
        style = look.cell_bold if number in bold else look.cell
        cells.append([paragraph(cell, style) for cell in row])
    return grid(cells, widths, 0.8)
