"""A section as plain values: remarks, and perhaps a table; and how it is set on the page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from hullcut.packet.document import bullet, grid, paragraph

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.packet.document import Frames, Styles

__all__ = ["OrganiserSection", "section_flowables"]


@dataclass(frozen=True, slots=True)
class OrganiserSection:
    """One section.

    Attributes:
        remarks: a sentence or two each.
        heads: of the table's columns; empty where there is no table.
        shares: of the column's width that each column takes.
        rows: of the table, as words.
        source: where figures and rules come from.
    """

    remarks: tuple[str, ...]
    heads: tuple[str, ...] = ()
    shares: tuple[float, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    source: str = ""


def section_flowables(section: OrganiserSection, frames: Frames, look: Styles) -> list[Flowable]:
    """What stands on the page under the section's heading."""
    story: list[Flowable] = [bullet(text, look.body) for text in section.remarks]
    if section.rows:
        heads: list[object] = [paragraph(text, look.cell_bold) for text in section.heads]
        rows = [[paragraph(text, look.cell) for text in row] for row in section.rows]
        whole = sum(section.shares)
        story.append(grid([heads, *rows], [frames.width * share / whole for share in section.shares]))
    if section.source:
        story.append(paragraph(section.source, look.small))
    return [*story, Spacer(0, 6)]
