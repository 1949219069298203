"""Small pictures that show how the pages of a large part lie, and which page is which."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from hullcut.drawing import font
from hullcut.drawing.furniture import cell_name, row_name, words
from hullcut.drawing.grid import GAP, Draft, Drawn, Grid, Sheet, Template
from hullcut.drawing.paths import bounds, line, rectangle, transform
from hullcut.drawing.scene import Role, Shape
from hullcut.drawing.style import GREY, TINTS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from hullcut.drawing.scene import Item, Point, Text
    from hullcut.drawing.segments import Box

__all__ = ["map_drafts"]

# Letters of a map, mm: its name, and all other words (7 points are 2.5 mm).
_NAME, _WORDS = 3.2, 2.6
_NAME_LINE, _WORDS_LINE = 4.4, 3.7
# Highest picture of a map, mm: of one column of pages, of two pages in a column, of any other.
_COLUMN, _SHORT_COLUMN, _OTHER = 84.0, 60.0, 82.0
# Least cell that holds its name and number, mm.
_CELL = (14.5, 8.5)
# Most that a cell of a single row is wide, mm.
_ROW_CELL = 34.0
# Between a cell and the words beside or below it, mm.
_LEADER = 3.2
# Room for words: beside a column, and below a row, mm.
_BESIDE = _LEADER + 22.0
_BELOW = _LEADER + 2.0 * _WORDS_LINE
# Maps in a row, unless a map needs more of the page's width.
_ABREAST = 3
_MOST_LINES = 3

_APART = "Parts from the top. Join the pages first, then cut the parts apart along the long lines between them."

_FIRM = "\N{NO-BREAK SPACE}"

_Numbers = dict[tuple[int, int], int]


@dataclass(frozen=True)
class _Map:
    """A map of one template, its upper left corner at 0, 0.

    Attributes:
        template: of the part.
        grid: on which it lies.
        room: width and height that it may take, mm.
        parts: what lies on the pages, from the top and from the left, where it is not the template alone.
    """

    template: Template
    grid: Grid
    room: Point
    parts: tuple[Template, ...] = ()

    @property
    def _third(self) -> float:
        return (self.room[0] - (_ABREAST - 1) * GAP) / _ABREAST

    @cached_property
    def scale(self) -> float:
        """Of the picture, by the way its pages lie and the room for words."""
        across, up = self.grid.extent
        rows, columns = self.grid.rows, self.grid.columns
        if columns == 1:
            wide, high = self.room[0] - _BESIDE, _SHORT_COLUMN if rows <= 2 else _COLUMN
        elif rows == 1:
            wide = self._third if columns == 2 else min(self.room[0], columns * _ROW_CELL)
            high = _OTHER
        else:
            # As high as its cells need for their words.
            wide, high = self.room[0], max(_OTHER, _CELL[1] * rows, 1.02 * _CELL[0] * columns * up / across)
        return min(wide / across, min(high, self.room[1] - 40.0) / up)

    @cached_property
    def picture(self) -> Point:
        """Width and height of the picture."""
        return (self.scale * self.grid.extent[0], self.scale * self.grid.extent[1])

    @cached_property
    def words_stand(self) -> Literal["beside", "below", "inside", "listed"]:
        """Where the names and numbers of the pages stand: in a list where the cells are too small for any other."""
        wide, high = self.picture[0] / self.grid.columns, self.picture[1] / self.grid.rows
        if self.grid.columns == 1:
            return "beside" if high >= _WORDS_LINE else "listed"
        if self.grid.rows == 1:
            return "below" if wide >= _CELL[0] else "listed"
        return "inside" if wide >= _CELL[0] and high >= _CELL[1] else "listed"

    @cached_property
    def width(self) -> float:
        """Of the picture with its words."""
        return max(self._third, self.picture[0] + (_BESIDE if self.words_stand == "beside" else 0.0))

    @cached_property
    def head(self) -> list[tuple[str, bool]]:
        """Lines above the picture, and whether they are bold: name, wood, size, how the pages lie."""
        template, grid = self.template, self.grid
        lines = [(text, True) for text in font.wrapped(template.name, self.width, _NAME, True, 2)]
        told = [template.subtitle, _joined(template)]
        for number, part in enumerate(self.parts, start=1):
            wood = f", {part.subtitle}" if part.subtitle else ""
            told += [f"{number}. {part.name}{wood}", _joined(part)]
        told += [_lie(grid), _APART if self.parts else ""]
        for text in told:
            lines += [
                (line.replace(_FIRM, " "), False) for line in font.wrapped(text, self.width, _WORDS, most=_MOST_LINES)
            ]
        return lines

    @cached_property
    def _head_height(self) -> float:
        return sum(_NAME_LINE if bold else _WORDS_LINE for _, bold in self.head) + 1.6

    @cached_property
    def height(self) -> float:
        """Of the heading, the picture and the words below it."""
        return self._head_height + self.picture[1] + self._foot_height

    @property
    def _foot_height(self) -> float:
        if self.words_stand == "listed":
            return (len(self._listed({})) + 0.5) * _WORDS_LINE
        return _BELOW if self.words_stand == "below" else 0.0

    def items(self, corner: Point, numbers: Mapping[tuple[int, int], int]) -> Iterator[Item]:
        """The map with its upper left corner at a place of the page.

        Args:
            corner: where, mm.
            numbers: of the pages, by row and column.
        """
        left, y = corner
        for text, bold in self.head:
            y -= _NAME_LINE if bold else _WORDS_LINE
            yield words((left, y + 1.0), text, _NAME if bold else _WORDS, bold=bold)
        foot = corner[1] - self._head_height - self.picture[1]
        shift = (left - self.scale * self.grid.x0, foot - self.scale * self.grid.y0)
        part = self._part(shift)
        yield from part
        drawn = Drawn(part)
        for row in range(self.grid.rows):
            for column in range(self.grid.columns):
                own = self.grid.own(row, column)
                box = tuple(self.scale * own[k] + shift[k % 2] for k in range(4))
                yield Shape(Role.PAGE, (rectangle(*box),))
                yield from self._cell_words(box, (row, column), numbers.get((row, column)), drawn)  # type: ignore[arg-type]
        if self.words_stand == "listed":
            for index, text in enumerate(self._listed(numbers), start=1):
                yield words((left, foot - index * _WORDS_LINE), text, _WORDS)

    def _part(self, shift: Point) -> list[Item]:
        """The part's outline, small, light enough to write on."""
        roles = (Role.CUT, Role.INNER_CUT, Role.HOLE)
        out: list[Item] = []
        for shape in self.template.scene.items:
            if isinstance(shape, Shape) and shape.role in roles:
                fill = TINTS[0] if shape.role is Role.CUT and shape.paths[0].closed else None
                plain = Shape(shape.role, shape.paths, fill=fill, stroke=GREY, width=0.25)
                out.append(transform(plain, scale=self.scale, angle_deg=self.grid.turn, dx=shift[0], dy=shift[1]))
        return out

    def _cell_words(self, box: Box, cell: tuple[int, int], number: int | None, drawn: Drawn) -> list[Item]:
        """The name and the number of a page, where the map has its words."""
        x0, y0, x1, y1 = box
        name, page = cell_name(*cell), "no page" if number is None else f"page {number}"
        middle = (0.5 * (x0 + x1), 0.5 * (y0 + y1))
        if self.words_stand == "beside":
            leader = Shape(Role.THIN, (line((x1 - 1.5, middle[1]), (x1 + _LEADER - 0.8, middle[1])),), width=0.15)
            low = middle[1] - 0.36 * _WORDS
            named = words((x1 + _LEADER, low), name, _WORDS, bold=True)
            after = x1 + _LEADER + font.text_width(f"{name} ", _WORDS, True)
            return [leader, named, words((after, low), page, _WORDS)]
        if self.words_stand == "below":
            leader = Shape(Role.THIN, (line((middle[0], y0 + 1.5), (middle[0], y0 - _LEADER + 2.4)),), width=0.15)
            return [leader, *_two_lines((middle[0], y0 - _LEADER - 0.6), name, page)]
        if self.words_stand == "inside":
            return list(_clear_words(box, name, page, drawn))
        return []

    def _listed(self, numbers: Mapping[tuple[int, int], int]) -> list[str]:
        """Names and numbers of the pages, line by line; before numbers are known, as wide as they may be."""
        told = ", ".join(f"{cell_name(*cell)}{_FIRM}page{_FIRM}{numbers.get(cell, 999)}" for cell in self.grid.cells)
        return [line.replace(_FIRM, " ") for line in font.wrapped(told, self.width, _WORDS, most=len(self.grid.cells))]


def _joined(template: Template) -> str:
    return f"this pattern joined: {template.joined}" if template.joined else ""


def _lie(grid: Grid) -> str:
    """How the pages of a part lie, in words."""
    first, last = cell_name(0, 0), cell_name(grid.rows - 1, grid.columns - 1)
    if grid.columns == 1:
        return f"{len(grid.cells)} pages, {first} to {last} from the top"
    if grid.rows == 1:
        return f"{len(grid.cells)} pages, {first} to {last} from the left"
    rows = f"rows A to {row_name(grid.rows - 1)} from the top"
    return f"{len(grid.cells)} pages, {rows}, columns 1 to {grid.columns} from the left"


def _two_lines(at: Point, name: str, page: str) -> tuple[Text, Text]:
    """A page's name and under it its number; `at` is the middle of the name's base line."""
    below = (at[0], at[1] - 1.25 * _WORDS)
    return words(at, name, _WORDS, anchor="middle", bold=True), words(below, page, _WORDS, anchor="middle")


def _clear_words(box: Box, name: str, page: str, drawn: Drawn) -> tuple[Text, Text]:
    """A page's name and number inside its cell, off the lines of the part where there is room, else in the middle."""
    x0, y0, x1, y1 = box
    half = 0.5 * max(font.text_width(name, _WORDS, True), font.text_width(page, _WORDS)) + 0.8
    places = []
    for up in (0.5, 0.25, 0.75, 0.1, 0.9):
        for along in (0.5, 0.3, 0.7, 0.1, 0.9):
            low, high = y0 + 1.25 * _WORDS + 1.2, y1 - _WORDS - 0.2
            at = (x0 + half + along * (x1 - x0 - 2.0 * half), low + up * (high - low))
            places.append(_two_lines(at, name, page))
    return next((each for each in places if all(drawn.leaves(bounds(text)) for text in each)), places[0])


_Placed = tuple[_Map, float, float]


def _shelves(maps: Sequence[_Map], size: Point) -> list[list[_Placed]]:
    """Maps on shelves, each where there first is room: (map, x, distance from the top), page by page."""
    pages: list[list[_Placed]] = []
    shelves: list[list[float]] = []  # page, distance from the top, height, width used
    for each in maps:
        for shelf in shelves:
            if each.height <= shelf[2] + 1e-6 and shelf[3] + GAP + each.width <= size[0] + 1e-6:
                pages[int(shelf[0])].append((each, shelf[3] + GAP, shelf[1]))
                shelf[3] += GAP + each.width
                break
        else:
            foot = {int(shelf[0]): shelf[1] + shelf[2] + GAP for shelf in shelves}
            page = next((p for p in sorted(foot) if foot[p] + each.height <= size[1] + 1e-6), len(pages))
            if page == len(pages):
                pages.append([])
            top = foot.get(page, 0.0)
            shelves.append([float(page), top, each.height, each.width])
            pages[page].append((each, 0.0, top))
    return pages


def map_drafts(mapped: Sequence[tuple[Template, Grid, tuple[Template, ...]]], sheet: Sheet) -> list[Draft]:
    """Pages of maps, as few as hold them all; the mapped pages follow them in the order of the maps.

    Args:
        mapped: for each map a template, its grid, and the parts in it where there are several.
        sheet: to draw on.
    """
    x0, _, _, y1 = sheet.window
    maps = [_Map(template, grid, sheet.size, parts) for template, grid, parts in mapped]
    highest_first = sorted(maps, key=lambda each: -each.height)
    pages = min((_shelves(order, sheet.size) for order in (maps, highest_first)), key=len)
    numbers: list[_Numbers] = []
    number = 2 + len(pages)
    for each in maps:
        numbers.append({cell: number + k for k, cell in enumerate(each.grid.cells)})
        number += len(each.grid.cells)
    drafts = []
    for page in pages:
        items: list[Item] = []
        for each, along, top in page:
            own = next(number for found, number in zip(maps, numbers, strict=True) if found is each)
            items += each.items((x0 + along, y1 - top), own)
        drafts.append(Draft("map", "How the pages of large parts join", sheet, tuple(items), ()))
    return drafts
