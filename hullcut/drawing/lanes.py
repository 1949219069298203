"""Long narrow parts side by side, as lanes, on one row of overlapping pages.

The pages of such a run are joined once, for all its parts; then the lanes are cut apart along the lines between them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing.furniture import MARK_REACH, cell_name, register_mark, words
from hullcut.drawing.grid import (
    CUT_WORDS,
    LAY_WORDS,
    Draft,
    Drawn,
    Grid,
    Piece,
    Sheet,
    Template,
    caption,
    make_piece,
    square_lines,
    turned_box,
    turned_items,
)
from hullcut.drawing.labels import LINES
from hullcut.drawing.paths import bounds, boxed, line, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.tile_words import Cell, words_of_cells

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.paths import Boxed, Ink
    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = ["Candidate", "Laid", "Run", "candidate", "readable_runs", "run_template"]

# Above each lane and below the last, mm: room for a register mark, and for words between two of them.
_BAND = 2.0 * MARK_REACH + 0.5
# Room between a part and its lane's rims, and between two parts of a lane, mm.
_CLEAR, _BETWEEN = 2.0, 8.0
# Least of a part on any page, mm: enough to name it there.
_LEAST = 60.0
# How far joints lie off the lines that words name, mm, as it should be and at least.
_OFF_LINES = (10.0, 8.0, 6.0)
# Least letters of a part's own words in a lane, mm.
_LEAST_WORDS = 1.8
# Room between a part's name in a lane and its cut lines, mm.
_OFF_CUTS = 0.5
# A part is moved along its lane in such steps, mm.
_STEP = 2.0
# Letters of the words at a joint, and the least of a part's subtitle, mm.
_HINT, _LEAST_SUBTITLE = 2.6, 2.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """A part that fits one row of pages.

    Attributes:
        index: of its template.
        turn: 0 or 90 degrees, so that it lies.
        box: of its ink when turned, mm.
        lines: x of the upright lines in it that words name.
        spans: from where to where along it its blocks of words stand, and its other words, in two rows.
        pages: how many it takes alone.
    """

    index: int
    turn: float
    box: Box
    lines: tuple[float, ...]
    spans: tuple[tuple[Point, ...], tuple[Point, ...]]
    pages: int

    @property
    def length(self) -> float:
        """Along the run, mm."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Across the run, with the room it keeps, mm."""
        return self.box[3] - self.box[1] + 2.0 * _CLEAR


@dataclass(frozen=True, slots=True)
class Laid:
    """A part in a run, its box's lower left corner at x, y from that of the run."""

    part: Candidate
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Run:
    """A row of pages and the lanes on it, from the top down; in a lane the parts from the left."""

    grid: Grid
    lanes: tuple[tuple[Laid, ...], ...]

    @property
    def indices(self) -> tuple[int, ...]:
        """Of the templates in it, lane by lane."""
        return tuple(laid.part.index for lane in self.lanes for laid in lane)

    def reach(self, lane: Sequence[Laid], number: int) -> tuple[float, float]:
        """From where to where along the run the lane is the part's own: to the middle of the gaps beside it."""
        ends = [(laid.x, laid.x + laid.part.length) for laid in lane]
        cuts = [0.5 * (a[1] + b[0]) for a, b in pairwise(ends)]
        edges = [0.0, *cuts, self.grid.extent[0]]
        return edges[number], edges[number + 1]


def candidate(template: Template, index: int, ink: Ink, grid: Grid, named: Sequence[tuple[Point, Point]]) -> Candidate:
    """A part whose own grid is one row or one column, lying."""
    box = ink.box()
    turn = 0.0 if box[2] - box[0] >= box[3] - box[1] else 90.0
    spans: tuple[list[Point], list[Point]] = ([], [])
    for item in template.scene.items:
        if isinstance(item, Text):
            x0, _, x1, _ = turned_box(bounds(item), turn)
            spans[not item.ref.startswith(LINES)].append((x0, x1))
    lines = tuple(square_lines(named, turn)[0])
    return Candidate(index, turn, turned_box(box, turn), lines, (tuple(spans[0]), tuple(spans[1])), len(grid.cells))


def _joints(sheet: Sheet, overlap: float, count: int) -> list[float]:
    pitch = sheet.size[0] - overlap
    return [k * pitch + 0.5 * overlap for k in range(1, count)]


def _place(part: Candidate, start: float, covered: float, joints: Sequence[float]) -> float | None:
    """Where a part may begin in a lane from `start` on: no sliver on any page, joints off its named lines and words."""
    last = covered - _CLEAR - part.length
    if last < start:
        return None
    # One row for each place, one column for each joint, as x in the part.
    places = start + np.arange(int((last - start) / _STEP) + 1) * _STEP
    inside = np.asarray(joints) - places[:, None] + part.box[0]
    low, high = part.box[0], part.box[2]
    sliver = (inside > low - 1.0) & (inside < high + 1.0) & ((inside < low + _LEAST) | (inside > high - _LEAST))
    good = ~sliver.any(axis=1)
    cut = [np.zeros(len(places), dtype=np.intp) for _ in part.spans]
    for many, spans in zip(cut, part.spans, strict=True):
        for begin, end in spans:
            many += ((inside > begin - MARK_REACH) & (inside < end + MARK_REACH)).any(axis=1)
    order = np.lexsort((places, cut[1], cut[0]))
    for off in _OFF_LINES:
        clear = good.copy()
        for at in part.lines:
            clear &= (abs(inside - at) >= off).all(axis=1)
        found = order[clear[order]]
        if len(found):
            return float(places[found[0]])
    return None


def _filled(parts: Sequence[Candidate], sheet: Sheet, overlap: float) -> Run | None:
    """A run as long as its first part needs, with whatever of the others fits in it, in their order."""
    width, height = sheet.size
    count = 1
    while count * (width - overlap) + overlap < parts[0].length + 2.0 * _CLEAR:
        count += 1
    covered, joints = count * (width - overlap) + overlap, _joints(sheet, overlap, count)
    lanes: list[list[tuple[Candidate, float]]] = []
    heights: list[float] = []
    for part in parts:
        for lane, high in zip(lanes, heights, strict=True):
            end = lane[-1][1] + lane[-1][0].length
            x = _place(part, end + _BETWEEN, covered, joints) if part.height <= high else None
            if x is not None:
                lane.append((part, x))
                break
        else:
            x = _place(part, _CLEAR, covered, joints)
            if x is not None and sum(heights) + part.height + _BAND * (len(heights) + 2) <= height:
                lanes.append([(part, x)])
                heights.append(part.height)
        if not lanes:
            return None
    top, laid = height, []
    for lane, high in zip(lanes, heights, strict=True):
        top -= _BAND + high
        laid.append(tuple(Laid(part, x, top + _CLEAR) for part, x in lane))
    cells = tuple((0, column) for column in range(count))
    return Run(Grid(sheet, 0.0, overlap, 0.0, 0.0, count, 1, cells), tuple(laid))


def readable_runs(
    parts: Sequence[Candidate], sheets: tuple[Sheet, Sheet], overlap: float, templates: Sequence[Template]
) -> tuple[tuple[Run, list[Draft]], ...]:
    """Runs and their pages; a part whose words find no good place in its lane keeps its own pages."""
    left = list(parts)
    known: dict[tuple[Run, int], list[Draft]] = {}
    while True:
        runs = _best_runs(left, sheets, overlap)
        found = []
        for number, run in enumerate(runs, start=1):
            if (run, number) not in known:
                known[run, number] = _run_drafts(run, templates, number)
            found.append((run, known[run, number]))
        pieces = [piece for _, drafts in found for draft in drafts for piece in draft.pieces]
        ill = {piece.template for piece in pieces if not _well_lettered(piece, templates[piece.template])}
        if not ill:
            return tuple(found)
        left = [part for part in left if part.index not in ill]


def _well_lettered(piece: Piece, template: Template) -> bool:
    """Whether a part's own words are large enough, and blocks of lines in their order and off the cut lines."""
    cuts = Drawn([item for item in piece.scene.items if isinstance(item, Shape) and item.role is Role.CUT])
    blocks: dict[str, list[Text]] = {}
    for item in piece.scene.items:
        if not isinstance(item, Text):
            continue
        if item.size < _LEAST_WORDS:
            return False
        if item.ref.startswith(LINES):
            x0, y0, x1, y1 = bounds(item)
            if not cuts.leaves((x0 - _OFF_CUTS, y0 - _OFF_CUTS, x1 + _OFF_CUTS, y1 + _OFF_CUTS)):
                return False
            blocks.setdefault(item.ref, []).append(item)
    for ref, lines in blocks.items():
        order = [item.text for item in template.scene.items if isinstance(item, Text) and item.ref == ref]
        lines.sort(key=lambda text: order.index(text.text))
        down = [text.at[1] if text.angle == 0.0 else -text.at[0] for text in lines]
        if down != sorted(down, reverse=True):
            return False
    return True


def _best_runs(parts: Sequence[Candidate], sheets: tuple[Sheet, Sheet], overlap: float) -> tuple[Run, ...]:
    """Runs for those parts that need fewer pages in one than alone; the longest parts choose first.

    Args:
        parts: that fit one row of pages.
        sheets: the paper upright and on its side; each run takes that which saves more pages.
        overlap: of neighbours, mm.
    """
    left = sorted(parts, key=lambda part: (-part.length, -part.height, part.index))
    runs = []
    while left:
        best, most = None, 0
        for sheet in (sheets[1], sheets[0]):
            run = _filled(left, sheet, overlap)
            if run is None:
                continue
            saved = sum(part.pages for part in left if part.index in run.indices) - len(run.grid.cells)
            if saved > most:
                best, most = run, saved
        if best is None:
            left = left[1:]
            continue
        runs.append(best)
        left = [part for part in left if part.index not in best.indices]
    return tuple(runs)


def run_template(run: Run, templates: Sequence[Template], number: int) -> Template:
    """All parts of a run as they lie in it, for its map."""
    items: list[Item] = []
    for lane in run.lanes:
        for laid in lane:
            part = laid.part
            shift = (laid.x - part.box[0], laid.y - part.box[1])
            shapes = [item for item in templates[part.index].scene.items if isinstance(item, Shape)]
            items += [transform(item, angle_deg=part.turn, dx=shift[0], dy=shift[1]) for item in shapes]
    width, height = run.grid.extent
    return Template(Scene(run_name(number), 0.0, 0.0, width, height, tuple(items)), run_name(number))


def run_name(number: int) -> str:
    """Of a run counted from 1."""
    return f"Narrow parts, run {number}"


def _run_drafts(run: Run, templates: Sequence[Template], number: int) -> list[Draft]:
    """The pages of a run, from the left."""
    grid, window = run.grid, run.grid.sheet.window
    boxes = {index: boxed(templates[index].scene.items) for index in run.indices}
    told = {
        laid.part.index: _words_of(run, lane, k, templates[laid.part.index])
        for lane in run.lanes
        for k, laid in enumerate(lane)
    }
    drafts = []
    for _, column in grid.cells:
        items = _joins(run, column)
        pieces: list[Piece] = []
        for lane in run.lanes:
            band = window[1] + max(laid.y + laid.part.box[3] - laid.part.box[1] for laid in lane) + _CLEAR
            here = [k for k, laid in enumerate(lane) if _stands(grid, column, laid)]
            for k in here:
                laid = lane[k]
                name = templates[laid.part.index].name
                here_told = told[laid.part.index][column]
                piece, limits = _piece(run, lane, k, column, name, boxes[laid.part.index], here_told)
                pieces.append(piece)
                goes_on = (
                    k == here[0] and laid.x < grid.own(0, column)[0],
                    k == here[-1] and _goes_on(grid, column, laid),
                )
                items += _band_words(band, limits, templates[laid.part.index], column, goes_on, len(here) > 1)
        names = "; ".join(templates[piece.template].name for piece in pieces)
        label = cell_name(0, column)
        title = f"{run_name(number)}, sheet {label} of A1 to {cell_name(0, grid.columns - 1)}: {names}"
        drafts.append(Draft("run", title, grid.sheet, tuple(items), tuple(pieces)))
    return drafts


def _goes_on(grid: Grid, column: int, laid: Laid) -> bool:
    return laid.x + laid.part.length > grid.own(0, column)[2]


def _stands(grid: Grid, column: int, laid: Laid) -> bool:
    own = grid.own(0, column)
    return laid.x < own[2] and own[0] < laid.x + laid.part.length


def _words_of(run: Run, lane: Sequence[Laid], number: int, template: Template) -> dict[int, list[Item]]:
    """The words of a part on each page on which it stands, in the axes of the turned part."""
    laid, grid = lane[number], run.grid
    columns = [column for _, column in grid.cells if _stands(grid, column, laid)]
    cells = [_cell(run, lane, number, column) for column in columns]
    items = turned_items(template.scene.items, laid.part.turn)
    return dict(zip(columns, words_of_cells(items, cells), strict=True))


def _cell(run: Run, lane: Sequence[Laid], number: int, column: int) -> Cell:
    """What of a lane is a part's own on a page, in the axes of the turned part."""
    laid, grid = lane[number], run.grid
    box = laid.part.box
    own = grid.own(0, column)
    low, high = run.reach(lane, number)
    x0, x1 = max(own[0], low), min(own[2], high)
    by, foot = box[0] - laid.x, box[1] - _CLEAR
    top = foot + laid.part.height
    # Words keep off the joining lines and off the next part of the lane.
    left = max(own[0] + (MARK_REACH if column else 0.0), low)
    right = min(own[2] - (MARK_REACH if column < grid.columns - 1 else 0.0), high)
    return Cell((x0 + by, foot, x1 + by, top), (left + by, foot, right + by, top))


def _piece(
    run: Run,
    lane: Sequence[Laid],
    number: int,
    column: int,
    name: str,
    items: Sequence[Boxed],
    told: Sequence[Item],
) -> tuple[Piece, tuple[float, float]]:
    """What a page shows of a part, and from where to where on the page the lane is its own."""
    grid, laid = run.grid, lane[number]
    part, page = laid.part, grid.sheet.window
    along, up = page[0] - grid.corner(0, column)[0], page[1]
    low, high = (edge + along for edge in run.reach(lane, number))
    bottom = laid.y + up - _CLEAR
    window = (max(low, page[0]), bottom, min(high, page[2]), bottom + part.height)
    own = grid.own(0, column)
    shift = (laid.x - part.box[0] + along, laid.y - part.box[1] + up)
    label = cell_name(0, column)
    piece = make_piece(name, items, part.index, label, part.turn, shift, window, told)
    return piece, (max(own[0] + along, low), min(own[2] + along, high))


def _joins(run: Run, column: int) -> list[Item]:
    """Joining lines, the lines to cut the lanes apart by, and register marks in every band."""
    grid = run.grid
    x0, y0, x1, y1 = grid.sheet.window
    half = 0.5 * grid.overlap
    rims = [y0 + laid.y - _CLEAR for laid, *_ in run.lanes]
    items: list[Item] = [Shape(Role.PAGE, (line((x0, rim), (x1, rim)),), ref="lane line") for rim in rims]
    middles = [top - 0.5 * _BAND for top in (y1, *rims)]
    for x, there in ((x0 + half, column > 0), (x1 - half, column < grid.columns - 1)):
        if there:
            items.append(Shape(Role.PAGE, (line((x, y0), (x, y1)),), ref="joining line"))
            for middle in middles:
                items += register_mark((x, middle))
    return items


def _band_words(
    band: float,
    limits: tuple[float, float],
    template: Template,
    column: int,
    goes_on: tuple[bool, bool],
    short: bool,
) -> list[Item]:
    """Above a part: which pages it goes on to, at the joints, and between them its name.

    Args:
        band: foot of the words' room on the page, mm.
        limits: from where to where on the page the lane is the part's own, mm.
        template: of the part.
        column: of the page.
        goes_on: whether the part goes on beyond the joint at the left, and beyond that at the right.
        short: whether the words have little room.
    """
    left, right = limits
    base = band + 0.5 * _BAND - 0.36 * _HINT
    items: list[Item] = []
    off = MARK_REACH + 0.5
    if goes_on[0]:
        told = CUT_WORDS[short].format(cell_name(0, column - 1), "←")
        items.append(words((left + off, base), told, _HINT))
        left = bounds(items[-1])[2] + 3.0
    if goes_on[1]:
        told = LAY_WORDS[short].format(cell_name(0, column + 1), "→")
        items.append(words((right - off, base), told, _HINT, anchor="end"))
        right = bounds(items[-1])[0] - 3.0
    room = right - left - 3.0
    told_name = f"{template.name}, {cell_name(0, column)}"
    lines = caption(replace(template, name=told_name), left + 1.5, base, room)
    return [*items, *(text for text in lines if text.size >= _LEAST_SUBTITLE or text.bold)]
