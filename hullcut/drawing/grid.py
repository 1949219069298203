"""How a part that is larger than the paper lies on a grid of overlapping pages."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from math import ceil
from typing import TYPE_CHECKING, TypeGuard

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing import font
from hullcut.drawing.furniture import FOOTER_HEIGHT, MARK_REACH, cell_name, register_mark, strip_text, words
from hullcut.drawing.labels import LINES, readable
from hullcut.drawing.paper import Paper
from hullcut.drawing.paths import Boxed, Ink, bounds, boxed, clip_boxed, flatten, line, meeting, text_box, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.tile_words import Cell, is_word, words_of_cells

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = [
    "CUT_WORDS",
    "GAP",
    "LAY_WORDS",
    "Draft",
    "Drawn",
    "Grid",
    "Piece",
    "Sheet",
    "Template",
    "best_grid",
    "caption",
    "make_piece",
    "named_lines",
    "square_lines",
    "tiled_drafts",
    "turned_back",
    "turned_box",
    "turned_items",
]

# Between neighbours on a shared page, mm.
GAP = 5.0

# Room kept between a part and the rim of its grid, mm.
_CLEAR = 1.0
# How far a joint of pages lies off a line that words name, mm: as it should be, and less where there is no room.
_OFF_LINES = (10.0, 8.0, 6.0)
# How far it is moved for that, mm, the least first.
_MOVES = (0.0, *(way * far for far in (6.0, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0) for way in (1.0, -1.0)))
# Room kept between words at a joint and the lines beside them, mm.
_BESIDE = 0.8
# Lines are taken so coarsely, mm, where words look for a place beside them.
_COARSE = 0.3


@dataclass(frozen=True, slots=True)
class Template:
    """A part to be drawn at full size.

    Attributes:
        scene: the part, mm.
        name: in words, "Side, port".
        subtitle: what else to write beside the name: count, wood, thickness.
        part: the part's id; empty for what is no part.
        joined: what to measure of the pattern when its pages are joined, "44 in x 14 in"; empty where not told.
        is_list: whether it is a list to read, not a pattern; the first page tells where it stands.
    """

    scene: Scene
    name: str
    subtitle: str = ""
    part: str = ""
    joined: str = ""
    is_list: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """What a page shows of one template.

    A template's point p stands on the page at p turned by `angle_deg` (0 or 90) counter-clockwise about the
    origin, then shifted by dx, dy; the page's origin is its lower left corner.

    Attributes:
        template: its index.
        label: place in the grid, "B3"; empty if the part stands on one page.
        angle_deg, dx, dy: as above.
        window: the box of the page in which the part shows, mm.
        scene: the part's items on the page, cut to the window.
    """

    template: int
    label: str
    angle_deg: float
    dx: float
    dy: float
    window: Box
    scene: Scene

    def to_page(self, point: Point) -> Point:
        """Where a point of the template stands on the page."""
        x, y = (-point[1], point[0]) if self.angle_deg == 90.0 else point
        return (x + self.dx, y + self.dy)

    def to_template(self, point: Point) -> Point:
        """Which point of the template stands at a point of the page."""
        x, y = point[0] - self.dx, point[1] - self.dy
        return (y, -x) if self.angle_deg == 90.0 else (x, y)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A paper the way round that it is used, with its margins."""

    paper: Paper
    margin: float

    @property
    def window(self) -> Box:
        """Where parts may stand, in page coordinates: above the foot."""
        return (
            self.margin,
            self.margin + FOOTER_HEIGHT,
            self.paper.width - self.margin,
            self.paper.height - self.margin,
        )

    @property
    def size(self) -> Point:
        """Width and height of the window."""
        x0, y0, x1, y1 = self.window
        return (x1 - x0, y1 - y0)


@dataclass(frozen=True, slots=True)
class Grid:
    """How one template lies on its pages.

    Attributes:
        sheet: the paper.
        turn: 0 or 90 degrees.
        x0, y0: lower left corner of the first column's and the last row's window, in the turned part's axes.
        columns, rows: of the grid.
        cells: (row, column) of the pages that have something on them, in reading order.
    """

    sheet: Sheet
    turn: float
    overlap: float
    x0: float
    y0: float
    columns: int
    rows: int
    cells: tuple[tuple[int, int], ...]

    @property
    def extent(self) -> Point:
        """Width and height that all pages cover together."""
        width, height = self.sheet.size
        return (
            self.columns * (width - self.overlap) + self.overlap,
            self.rows * (height - self.overlap) + self.overlap,
        )

    def corner(self, row: int, column: int) -> Point:
        """Lower left corner of a page's window."""
        width, height = self.sheet.size
        return (
            self.x0 + column * (width - self.overlap),
            self.y0 + (self.rows - 1 - row) * (height - self.overlap),
        )

    def own(self, row: int, column: int) -> Box:
        """The box between a page's joining lines; at the rim of the grid it reaches to the window's edge."""
        width, height = self.sheet.size
        x, y = self.corner(row, column)
        half = 0.5 * self.overlap
        return (
            x + (half if column else 0.0),
            y + (half if row < self.rows - 1 else 0.0),
            x + width - (half if column < self.columns - 1 else 0.0),
            y + height - (half if row else 0.0),
        )


def turned_box(box: Box, turn: float) -> Box:
    """A box turned by 0 or 90 degrees about the origin."""
    return (-box[3], box[0], -box[1], box[2]) if turn == 90.0 else box


def turned_back(box: Box, turn: float) -> Box:
    """A box turned back by 0 or 90 degrees about the origin."""
    return (box[1], -box[2], box[3], -box[0]) if turn == 90.0 else box


def _count(length: float, window: float, overlap: float) -> int:
    """Pages in a row that cover a length."""
    return max(1, ceil((length - overlap) / (window - overlap) - 1e-9))


def _starts(low: float, high: float, covered: float, several: bool) -> tuple[float, ...]:
    """Where a grid may begin along one axis: centred, or with the part near either end where that may save pages."""
    centred = 0.5 * (low + high - covered)
    if not several or covered - (high - low) < 2.0 * _CLEAR:
        return (centred,)
    return (centred, low - _CLEAR, high + _CLEAR - covered)


def _grids(ink: Ink, sheet: Sheet, turn: float, overlap: float) -> Iterator[Grid]:
    box = turned_box(ink.box(), turn)
    width, height = sheet.size
    columns, rows = _count(box[2] - box[0], width, overlap), _count(box[3] - box[1], height, overlap)
    # Only a grid of several rows and columns can have a blank page in it.
    several = columns > 1 and rows > 1
    across, up = columns * (width - overlap) + overlap, rows * (height - overlap) + overlap
    for x0 in _starts(box[0], box[2], across, several):
        for y0 in _starts(box[1], box[3], up, several):
            yield _grid(ink, sheet, turn, overlap, (x0, y0), (columns, rows))


def _grid(ink: Ink, sheet: Sheet, turn: float, overlap: float, start: Point, count: tuple[int, int]) -> Grid:
    (x0, y0), (columns, rows) = start, count
    grid = Grid(sheet, turn, overlap, x0, y0, columns, rows, ())
    cells = tuple(
        (row, column)
        for row in range(rows)
        for column in range(columns)
        if ink.stands_in(turned_back(grid.own(row, column), turn))
    )
    return Grid(sheet, turn, overlap, x0, y0, columns, rows, cells)


def best_grid(ink: Ink, sheets: tuple[Sheet, Sheet], overlap: float, named: Sequence[tuple[Point, Point]] = ()) -> Grid:
    """The way of laying a part that needs the fewest pages; upright paper and the part unturned go first.

    Args:
        ink: of the part.
        sheets: the paper upright and on its side.
        overlap: of neighbours, mm.
        named: straight lines of the part that words name, off which joints are moved where no page more comes of it.
    """
    ways = ((sheet, turn) for sheet in sheets for turn in (0.0, 90.0))
    grids = [grid for sheet, turn in ways for grid in _grids(ink, sheet, turn, overlap)]
    best = min(grids, key=lambda grid: len(grid.cells))
    upright, level = square_lines(named, best.turn)
    width, height = best.sheet.size
    box = turned_box(ink.box(), best.turn)
    dx = _steps_aside(best.x0, width - overlap, best.columns, overlap, (box[0], box[2]), upright)
    dy = _steps_aside(best.y0, height - overlap, best.rows, overlap, (box[1], box[3]), level)
    for step_x, step_y in product((*dx, 0.0), (*dy, 0.0)):
        start = (best.x0 + step_x, best.y0 + step_y)
        moved = _grid(ink, best.sheet, best.turn, overlap, start, (best.columns, best.rows))
        if len(moved.cells) <= len(best.cells):
            return moved
    return best


def named_lines(scene: Scene) -> tuple[tuple[Point, Point], ...]:
    """The ends of the straight lines of a part beside which words stand: centre lines, glue joints, balance point."""
    return tuple(
        (runs[0], runs[-1])
        for item in scene.items
        if isinstance(item, Shape) and (item.role is Role.CENTRE or item.ref.endswith("balance point"))
        for path in item.paths
        for runs in [flatten(path, _COARSE)]
        if len(runs) == 2
    )


def square_lines(lines: Iterable[tuple[Point, Point]], turn: float) -> tuple[list[float], list[float]]:
    """Of a turned part, x of the upright lines and y of the level ones."""
    upright, level = [], []
    for start, end in lines:
        x0, y0, x1, y1 = turned_box((*start, *end), turn)
        if abs(x1 - x0) < _COARSE:
            upright.append(0.5 * (x0 + x1))
        elif abs(y1 - y0) < _COARSE:
            level.append(0.5 * (y0 + y1))
    return upright, level


def _steps_aside(
    start: float, pitch: float, count: int, overlap: float, part: tuple[float, float], lines: Sequence[float]
) -> list[float]:
    """How far a grid may move along one axis so that no joint lies on or near a line, the best first.

    Args:
        start: of the grid's first window.
        pitch: from one window to the next.
        count: of the windows.
        overlap: of neighbours.
        part: where the part begins and ends.
        lines: where they cross the axis.
    """
    joints = [start + k * pitch + 0.5 * overlap for k in range(1, count)]
    least = (part[1] + _CLEAR) - (start + count * pitch + overlap)
    most = (part[0] - _CLEAR) - start
    possible = [step for step in _MOVES if not step or least <= step <= most]
    found = [
        step
        for off in _OFF_LINES
        for step in possible
        if all(abs(joint + step - at) >= off - 0.1 for joint in joints for at in lines)
    ]
    return list(dict.fromkeys(found))


class Drawn:
    """The lines of a page, gathered when first asked for."""

    def __init__(self, items: Sequence[Item]) -> None:
        self._items = items

    @cached_property
    def _tree(self) -> shapely.STRtree:
        shapes = [item for item in self._items if isinstance(item, Shape) and item.stroke != "none"]
        runs = [(path, flatten(path, _COARSE)) for shape in shapes for path in shape.paths]
        return shapely.STRtree(
            [shapely.LineString([*run, *run[:1]] if path.closed else run) for path, run in runs if len(run) > 1]
        )

    def leaves(self, box: Box) -> bool:
        """Whether no line runs through a box."""
        return not len(self._tree.query(shapely.box(*box), predicate="intersects"))

    def crossing(self, areas: NDArray[np.object_]) -> NDArray[np.intp]:
        """How many lines run through each area (n,)."""
        return _met(self._tree, areas)


def _met(tree: shapely.STRtree, areas: NDArray[np.object_]) -> NDArray[np.intp]:
    """How many of a tree's shapes each area (n,) meets."""
    return np.bincount(tree.query(areas, predicate="intersects")[0], minlength=len(areas))


class _Ground:
    """Where words about the pages themselves are best read: off the part, else on it, but on no other part's place."""

    def __init__(self, drawn: Sequence[Item], whole: Sequence[Item]) -> None:
        """Begin with what shows on the page, and the part as a whole, in the page's axes."""
        self._drawn, self._whole = Drawn(drawn), whole

    @cached_property
    def _part(self) -> shapely.STRtree:
        return self._areas(Role.CUT)

    @cached_property
    def _others(self) -> shapely.STRtree:
        """Places of other parts, whose name the words would seem to be, and what is cut out."""
        return self._areas(Role.MARK, Role.HIDDEN, Role.INNER_CUT)

    def _areas(self, *roles: Role) -> shapely.STRtree:
        shapes = [item for item in self._whole if isinstance(item, Shape) and item.role in roles]
        runs = [flatten(path, _COARSE) for shape in shapes for path in shape.paths if path.closed]
        return shapely.STRtree([shapely.Polygon(run) for run in runs if len(run) > 2])

    def trouble(self, boxes: NDArray[np.float64]) -> NDArray[np.intp]:
        """0 off the part, 1 on it, 2 on another part's place, more with each line that runs through a box (n, 4)."""
        x0, y0, x1, y1 = boxes.T
        areas = np.asarray(shapely.box(x0 - _BESIDE, y0 - _BESIDE, x1 + _BESIDE, y1 + _BESIDE), dtype=object)
        lines, part = self._drawn.crossing(areas), np.minimum(_met(self._part, areas), 1)
        return np.where((lines > 0) | (_met(self._others, areas) > 0), 2 + lines, part)


def _upright(items: Sequence[Item]) -> list[Item]:
    """Items as they are; words that stand on their head are turned half round in their place, a block as a whole."""
    blocks: dict[str, list[Text]] = {}
    for item in items:
        if isinstance(item, Text) and item.ref.startswith(LINES):
            blocks.setdefault(item.ref, []).append(item)
    return [_turned(item, blocks.get(item.ref, [item])) if _on_its_head(item) else item for item in items]


def _on_its_head(item: Item) -> TypeGuard[Text]:
    return isinstance(item, Text) and abs(readable(item.angle) - item.angle) >= 1.0


def _turned(text: Text, block: Sequence[Text]) -> Text:
    """A text turned half round about the middle of its block."""
    corners = [corner for each in block for corner in text_box(each)]
    xs, ys = zip(*corners, strict=True)
    at = (min(xs) + max(xs) - text.at[0], min(ys) + max(ys) - text.at[1])
    return replace(text, at=at, angle=readable(text.angle))


def make_piece(
    name: str,
    items: Iterable[Boxed],
    index: int,
    label: str,
    turn: float,
    shift: Point,
    window: Box,
    words: Sequence[Item] | None = None,
) -> Piece:
    """What a page shows of a template that is turned and shifted so.

    Args:
        name: of the part.
        items: of the part, measured.
        index: its number.
        label: place in the grid.
        turn: 0 or 90 degrees.
        shift: after turning.
        window: the box of the page in which the part shows.
        words: this page's, with their leaders, turned and not yet shifted; all that the window shows where None.
    """
    # Cut before it is moved: where the part's lines run was measured once for all its pages.
    given = items if words is None else (each for each in items if not is_word(each.item))
    shown = clip_boxed(given, turned_back(_moved_box(window, (-shift[0], -shift[1])), turn))
    moved = [transform(item, angle_deg=turn, dx=shift[0], dy=shift[1]) for item in shown]
    if words is None:
        moved = _upright(moved)
    else:
        moved += [transform(item, dx=shift[0], dy=shift[1]) for item in words]
    scene = Scene(name, *window, tuple(moved))
    return Piece(index, label, turn, shift[0], shift[1], window, scene)


@dataclass(frozen=True, slots=True)
class Draft:
    """A page before its number is known."""

    kind: str
    title: str
    sheet: Sheet
    items: tuple[Item, ...]
    pieces: tuple[Piece, ...]


def caption(template: Template, x: float, y: float, room: float) -> list[Text]:
    """A part's name and subtitle on one line, made smaller where the room is short."""
    size = font.fit_size(template.name, room, 3.2, True)
    name = words((x, y), template.name, size, bold=True)
    used = font.text_width(name.text, size, True) + 2.0
    if not template.subtitle or room - used < 8.0:
        return [name]
    return [name, words((x + used, y), template.subtitle, font.fit_size(template.subtitle, room - used, 2.7))]


# What is said at a joint where this page's edge is cut and where the other is laid on it, and the same in short; the
# first page explains both.
CUT_WORDS = ("cut here, joins {0} {1}", "cut, {0} {1}")
LAY_WORDS = ("lay here, joins {0} {1}", "lay, {0} {1}")


def join_items(
    grid: Grid, row: int, column: int, window: Box, drawn: Sequence[Item] = (), whole: Sequence[Item] = ()
) -> list[Item]:
    """Joining lines, register marks and hints of one page, in page coordinates; hints stand where they are best read.

    Args:
        grid: of the part.
        row: of the page.
        column: of the page.
        window: in which the part shows.
        drawn: what shows of the part.
        whole: the part, not cut to the page.
    """
    ground = _Ground(drawn, whole)
    half = 0.5 * grid.overlap
    x0, y0, x1, y1 = window
    left, right, low, high = x0 + half, x1 - half, y0 + half, y1 - half
    items: list[Item] = []
    marks: list[Point] = []
    sides = (
        ("left", row, column - 1, (left, y0), (left, y1), CUT_WORDS, "←"),
        ("right", row, column + 1, (right, y0), (right, y1), LAY_WORDS, "→"),
        ("top", row - 1, column, (x0, high), (x1, high), CUT_WORDS, "↑"),
        ("bottom", row + 1, column, (x0, low), (x1, low), LAY_WORDS, "↓"),
    )
    for side, other_row, other_column, start, end, texts, arrow in sides:
        if (other_row, other_column) not in grid.cells:
            continue
        items.append(Shape(Role.PAGE, (line(start, end),), ref="joining line"))
        told = [text.format(cell_name(other_row, other_column), arrow) for text in texts]
        items += _best_told(window, side, half, told, ground)
        if side in ("left", "right"):
            marks += [(start[0], y) for y in (low, 0.5 * (low + high), high)]
        else:
            marks += [(x, start[1]) for x in (left, 0.5 * (left + right), right)]
    for at in dict.fromkeys(marks):
        items += register_mark(at)
    return items


def _best_told(window: Box, side: str, half: float, told: Sequence[str], ground: _Ground) -> list[Item]:
    """The words at a joint beyond its line; where a line of the part strikes all places there, on the line's near side.

    Args:
        window: in which the part shows.
        side: of the window.
        half: of the overlap of pages, mm.
        told: the words, and shorter ones.
        ground: on which they stand.
    """
    beyond = strip_text(window, side, half, told, ground.trouble)
    if beyond and _struck(beyond, ground):
        x0, y0, x1, y1 = window
        nearer = {
            "left": (x0 + half, y0, x1, y1),
            "right": (x0, y0, x1 - half, y1),
            "top": (x0, y0, x1, y1 - half),
            "bottom": (x0, y0 + half, x1, y1),
        }[side]
        within = strip_text(nearer, side, half, told, ground.trouble)
        if within and not _struck(within, ground):
            return within
    return beyond


def _struck(items: Sequence[Item], ground: _Ground) -> bool:
    return bool((ground.trouble(np.array([bounds(item) for item in items])) > 2).any())


def _moved_box(box: Box, shift: Point) -> Box:
    return (box[0] + shift[0], box[1] + shift[1], box[2] + shift[0], box[3] + shift[1])


def turned_items(items: Sequence[Item], turn: float) -> list[Item]:
    """Items of a part turned by 0 or 90 degrees, with no words on their head."""
    return _upright([transform(item, angle_deg=turn) for item in items] if turn else items)


def _cell(grid: Grid, row: int, column: int) -> Cell:
    """A page's own box, and off its joining lines by as much as the register marks reach, where its words stand."""
    own = grid.own(row, column)
    inner = (column > 0, row < grid.rows - 1, column < grid.columns - 1, row > 0)
    x0, y0, x1, y1 = (MARK_REACH if is_inner else 0.0 for is_inner in inner)
    return Cell(own, (own[0] + x0, own[1] + y0, own[2] - x1, own[3] - y1))


def tiled_drafts(template: Template, index: int, grid: Grid) -> list[Draft]:
    """The pages of one large part, in reading order."""
    drafts = []
    window = grid.sheet.window
    last = cell_name(grid.rows - 1, grid.columns - 1)
    items = boxed(template.scene.items)
    places = [_cell(grid, row, column) for row, column in grid.cells]
    told = words_of_cells(turned_items(template.scene.items, grid.turn), places)
    for (row, column), words_here in zip(grid.cells, told, strict=True):
        corner = grid.corner(row, column)
        shift = (window[0] - corner[0], window[1] - corner[1])
        label = cell_name(row, column)
        shown = meeting(items, turned_back(_moved_box(window, (-shift[0], -shift[1])), grid.turn))
        piece = make_piece(template.name, shown, index, label, grid.turn, shift, window, words_here)
        title = f"{template.name}, sheet {label} of A1 to {last}"
        whole = [transform(each.item, angle_deg=grid.turn, dx=shift[0], dy=shift[1]) for each in shown]
        joins = join_items(grid, row, column, window, piece.scene.items, whole)
        drafts.append(Draft("tile", title, grid.sheet, tuple(joins), (piece,)))
    return drafts
