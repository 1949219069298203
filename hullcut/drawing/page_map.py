"""Small pictures that show how the pages of a large part lie, and which page is which."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.furniture import cell_name, words
from hullcut.drawing.grid import GAP, Draft, Grid, Sheet, Template
from hullcut.drawing.paths import rectangle, transform
from hullcut.drawing.scene import Role, Shape
from hullcut.drawing.style import GREY, TINTS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item

__all__ = ["map_drafts"]

# Height of a map's picture, mm: of a part lying, and of one standing.
_MAP_LYING = 40.0
_MAP_STANDING = 95.0
_MAP_HEAD = 25.0
# Letters of a map's notes, and from line to line, mm.
_NOTE, _LINE = 2.7, 3.9
# Maps in a row.
_ABREAST = 3


@dataclass(frozen=True, slots=True)
class _Map:
    """Where a map's picture of a template and its grid stands on the page."""

    template: Template
    grid: Grid
    scale: float
    dx: float
    dy: float

    @classmethod
    def at(cls, template: Template, grid: Grid, left: float, high: float, room: float) -> _Map:
        """A map whose heading has its upper left corner at a place."""
        whole = grid.extent
        scale = min(room / whole[0], _map_picture(grid) / whole[1])
        dy = high - _MAP_HEAD - scale * (grid.y0 + whole[1])
        return cls(template, grid, scale, left - scale * grid.x0, dy)

    def part_items(self) -> list[Item]:
        """The part's outline, small, light enough to write on."""
        roles = (Role.CUT, Role.INNER_CUT, Role.HOLE)
        shapes = [item for item in self.template.scene.items if isinstance(item, Shape) and item.role in roles]
        out: list[Item] = []
        for shape in shapes:
            fill = TINTS[0] if shape.role is Role.CUT and shape.paths[0].closed else None
            plain = Shape(shape.role, shape.paths, fill=fill, stroke=GREY, width=0.25)
            out.append(transform(plain, scale=self.scale, angle_deg=self.grid.turn, dx=self.dx, dy=self.dy))
        return out

    def cell_items(self, row: int, column: int, number: int | None) -> list[Item]:
        """One page of the grid, its name and its number."""
        own = self.grid.own(row, column)
        x0, y0 = self.scale * own[0] + self.dx, self.scale * own[1] + self.dy
        x1, y1 = self.scale * own[2] + self.dx, self.scale * own[3] + self.dy
        size = min(3.6, 0.2 * min(x1 - x0, y1 - y0))
        middle = (0.5 * (x0 + x1), 0.5 * (y0 + y1))
        below = "no page needed" if number is None else f"page {number}"
        small = font.fit_size(below, 0.9 * (x1 - x0), 0.75 * size)
        return [
            Shape(Role.PAGE, (rectangle(x0, y0, x1, y1),)),
            words(middle, cell_name(row, column), size, anchor="middle", bold=True),
            words((middle[0], middle[1] - 1.3 * size), below, small, anchor="middle"),
        ]


def _map_picture(grid: Grid) -> float:
    return _MAP_LYING if grid.extent[0] >= grid.extent[1] else _MAP_STANDING


def _wrapped(text: str, room: float) -> list[str]:
    """A text in lines that fit a width."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and font.text_width(longer, _NOTE) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _map_items(
    template: Template, grid: Grid, numbers: dict[tuple[int, int], int], left: float, high: float, room: float
) -> list[Item]:
    """A small picture of a part with its pages: names, and the numbers of the pages."""
    picture = _Map.at(template, grid, left, high, room)
    items: list[Item] = []
    last = cell_name(grid.rows - 1, grid.columns - 1)
    lines = [(template.name, 3.2, True)]
    lines += [(text, _NOTE, False) for text in _wrapped(template.subtitle, room)]
    lines.append((f"{len(grid.cells)} pages, A1 to {last}", _NOTE, False))
    lines += [(text, _NOTE, False) for text in _wrapped(f"joined: {template.size}", room) if template.size]
    for number, (text, size, bold) in enumerate(lines):
        # A name is made smaller sooner than broken: it is one on the part and in every list.
        fitting = font.fit_size(text, room, size, bold)
        items.append(words((left, high - 4.0 - number * _LINE), text, fitting, bold=bold))
    items += picture.part_items()
    for row in range(grid.rows):
        for column in range(grid.columns):
            items += picture.cell_items(row, column, numbers.get((row, column)))
    return items


def _is_wide(grid: Grid) -> bool:
    """Whether a grid has so many columns that its map has a row to itself."""
    return grid.extent[0] >= grid.extent[1] and grid.columns > _ABREAST


def _map_pages(tiled: list[tuple[int, Grid]], room: float) -> list[list[tuple[int, Grid, float, int]]]:
    """Maps on pages from the top down: (template, grid, distance from the top, column); standing ones abreast."""
    pages: list[list[tuple[int, Grid, float, int]]] = []
    top, column, row_height = room, 0, 0.0
    for index, grid in tiled:
        height = _MAP_HEAD + _map_picture(grid)
        if 0 < column < _ABREAST and height == row_height and not _is_wide(grid):
            pages[-1].append((index, grid, top, column))
        else:
            top += row_height + GAP if row_height else 0.0
            if top + height > room:
                pages.append([])
                top = 0.0
            column, row_height = 0, height
            pages[-1].append((index, grid, top, 0))
        column += _ABREAST if _is_wide(grid) else 1
    return pages


def map_drafts(templates: Sequence[Template], tiled: list[tuple[int, Grid]], sheet: Sheet) -> list[Draft]:
    """Pages of maps, as many to a page as fit; the numbers of the mapped pages follow from their order."""
    x0, _, x1, y1 = sheet.window
    pages = _map_pages(tiled, sheet.size[1])
    each = (x1 - x0 - (_ABREAST - 1) * GAP) / _ABREAST
    number = 2 + len(pages)
    drafts = []
    for page in pages:
        items: list[Item] = []
        for index, grid, top, column in page:
            numbers = {cell: number + k for k, cell in enumerate(grid.cells)}
            number += len(grid.cells)
            room = x1 - x0 if _is_wide(grid) else each
            items += _map_items(templates[index], grid, numbers, x0 + column * (each + GAP), y1 - top, room)
        drafts.append(Draft("map", "How the pages of large parts join", sheet, tuple(items), ()))
    return drafts
