"""Tables of the pages of measures: points in columns side by side, and rows of words that break where they must.

Every word is at least 8 points high, so that it can be read at arm's length on a bench.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from hullcut.drawing.font import text_width, wrapped
from hullcut.drawing.furniture import words
from hullcut.drawing.paths import line
from hullcut.drawing.scene import Item, Role, Shape
from hullcut.lengths import inches, millimetres

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["READ", "ROW", "Group", "PointRow", "point_table", "told", "word_table"]

Units = Literal["in", "mm"]

READ = 2.85
"""Em size of what is read on the bench, mm: a little over 8 points, capitals 2 mm high."""
ROW = 4.5
"""From one row of a table to the next, mm."""

_GAP = 6.0
# Rows of an edge that stay with its name, and that are not left alone at the head of the next column.
_TOGETHER = 2
_NUMBER, _GREY = "#0072b2", "#4a4a4a"
_BETWEEN = 3.0
# An edge's name may widen its column so far, mm.
_WIDEST_NAME = 58.0


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point of a table.

    Attributes:
        number: as in the drawing; "" where it has none there.
        along, off: along the base line and off it, mm.
    """

    number: str
    along: float
    off: float


@dataclass(frozen=True, slots=True)
class Group:
    """An edge or a hole with its points, in order."""

    name: str
    rows: tuple[PointRow, ...]


def told(mm: float, units: Units) -> tuple[str, str]:
    """A measure in the design's unit, and in the other; without the units' names."""
    inch, metric = inches(mm, 32).removesuffix(" in"), millimetres(mm, 1).removesuffix(" mm")
    return (inch, metric) if units == "in" else (metric, inch)


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of a column: an edge's name, or the cells of a point."""

    name: str
    cells: tuple[str, ...]


def point_table(groups: Sequence[Group], units: Units, width: float, down: float) -> tuple[list[Item], float]:
    """Points in columns side by side, each edge's name in bold above them; and how far down the next may stand.

    Args:
        groups: in order.
        units: which unit leads.
        width: of the page.
        down: of the heads' base line.
    """
    unit, other = ("in", "mm") if units == "in" else ("mm", "in")
    heads = ("", f"along, {unit}", other, f"offset, {unit}", other)
    cells = [[(row.number, *told(row.along, units), *told(row.off, units)) for row in group.rows] for group in groups]
    every = [row for rows in cells for row in rows]
    wide = [max(text_width(text, READ) for text in column) for column in zip(heads, *every, strict=True)]
    wide[0] = max((text_width(row[0], READ, bold=True) for row in every), default=0.0)
    # A unit's column ends at its right edge, close to the figure that it repeats.
    stops, at = [], 0.0
    for size, gap in zip(wide, (2.0, 1.6, _BETWEEN, 1.6, 0.0), strict=True):
        stops.append((at, at + size))
        at += size + gap
    names = [text_width(group.name, READ, bold=True) for group in groups]
    need = max(at, min(max(names, default=0.0), _WIDEST_NAME))
    count = max(1, int((width + _GAP) // (need + _GAP)))
    step = (width + _GAP) / count
    room = step - _GAP
    columns = _columns([_atoms(group, rows, room) for group, rows in zip(groups, cells, strict=True)], count)
    items: list[Item] = []
    for index, column in enumerate(columns):
        left = index * step
        for (start, stop), head, anchor in zip(stops, heads, _ANCHORS, strict=True):
            if head:
                x = left + (start if anchor == "start" else stop)
                items.append(words((x, -down), head, READ, anchor=anchor, colour=_GREY))
        for row, told_line in enumerate(column):
            y = -down - (row + 1) * ROW
            if told_line.name:
                items.append(words((left, y), told_line.name, READ, bold=True))
                continue
            for place, text in enumerate(told_line.cells):
                if not text:
                    continue
                (start, stop), anchor = stops[place], _ANCHORS[place]
                look = {"bold": True, "colour": _NUMBER} if place == 0 else {}
                if place in (2, 4):
                    look = {"colour": _GREY}
                items.append(
                    words((left + (start if anchor == "start" else stop), y), text, READ, anchor=anchor, **look)
                )
    return items, down + (1 + max((len(column) for column in columns), default=0)) * ROW


_ANCHORS: tuple[Literal["start", "end"], ...] = ("end", "start", "end", "start", "end")


def _atoms(group: Group, cells: Sequence[tuple[str, ...]], room: float) -> list[list[_Line]]:
    """The lines of an edge, in runs that are not parted: its name with the first rows, and the last rows."""
    name = [_Line(text, ()) for text in wrapped(group.name, room, READ, bold=True)]
    rows = [_Line("", row) for row in cells]
    if len(rows) < 2 * _TOGETHER:
        return [[*name, *rows]]
    middle = [[row] for row in rows[_TOGETHER:-_TOGETHER]]
    return [[*name, *rows[:_TOGETHER]], *middle, rows[-_TOGETHER:]]


def _columns(groups: Sequence[Sequence[Sequence[_Line]]], count: int) -> list[list[_Line]]:
    """Runs of lines in at most so many columns, as low as they can be."""
    atoms = [atom for group in groups for atom in group]
    total = sum(len(atom) for atom in atoms)
    height = max([-(-total // count), *(len(atom) for atom in atoms)])
    while True:
        columns: list[list[_Line]] = [[]]
        for atom in atoms:
            if columns[-1] and len(columns[-1]) + len(atom) > height:
                columns.append([])
            columns[-1] += atom
        if len(columns) <= count:
            return columns
        height += 1


def word_table(
    rows: Sequence[Sequence[str]],
    starts: Sequence[float],
    width: float,
    down: float,
    notes: Sequence[str] = (),
) -> tuple[list[Item], float]:
    """Rows of words with a thin line below each, broken where a cell is too narrow; how far down the next may stand.

    Args:
        rows: the heads first, in bold; all of one length; words in the first cell alone stand over the rows that
            follow, as wide as they need.
        starts: where each column begins, mm.
        width: of the page.
        down: of the heads' base line.
        notes: below the cells of each row, from the second column on; none, or as many as there are rows.
    """
    rooms = [stop - start - _BETWEEN for start, stop in zip(starts, [*starts[1:], width + _BETWEEN], strict=True)]
    items: list[Item] = []
    for number, row in enumerate(rows):
        over = not any(row[1:])
        bold = number == 0 or over
        wide = [width, *rooms[1:]] if over else rooms
        broken = [wrapped(text, room, READ, bold, most=6) for text, room in zip(row, wide, strict=True)]
        for start, lines in zip(starts, broken, strict=True):
            items += [
                words((start, -down - 0.8 * ROW * place), text, READ, bold=bold) for place, text in enumerate(lines)
            ]
        down += 0.8 * ROW * (max(len(lines) for lines in broken) - 1)
        for text in wrapped(notes[number], width - starts[1], READ) if notes else ():
            down += 0.85 * ROW
            items.append(words((starts[1], -down), text, READ, colour=_GREY))
        items.append(Shape(Role.PAGE, (line((0.0, -down - 1.3), (width, -down - 1.3)),)))
        down += ROW
    return items, down
