"""On which page of a tiled part each of its words stands, and where: whole, beside what it tells of, and inside it.

A word that a joint of pages would cut is moved, or stands on the next page. The name of a print never leaves the print
without a leader to it, and a leader, its dot and its words all stand on one page.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import cos, hypot, radians, sin
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.font import ascent, descent, text_width
from hullcut.drawing.labels import LEADER, LINES, PRINT
from hullcut.drawing.paths import bounds, circle, flatten, line
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.segments import segment_start
from hullcut.drawing.style import BLACK

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = ["Cell", "is_word", "words_of_cells"]

Array = NDArray[np.float64]
_Shapes = NDArray[np.object_]

# Lines are taken so coarsely, mm.
_COARSE = 0.3
# Room between words and lines, and between words and words, mm; the latter where words are short of it.
_OFF_LINES, _OFF_WORDS = 0.6, 0.8
# Letters are set smaller in such steps before words leave their place, and no smaller than this, mm.
_SHARES, _LEAST = (1.0, 0.9, 0.8), 2.3
# Places are tried so far apart along and across the words, and so far off, mm; blocks and names more coarsely.
_STEPS, _REACH = (2.5, 1.25), 50.0
# Across the line that they stand beside, words are moved less willingly than along it.
_ACROSS = 3.0
# So many places are tried, so many in one go.
_MOST_TRIES, _AT_ONCE = 1280, 64
# Length of a leader, mm.
_LEAST_LEADER, _MOST_LEADER = 2.5, 45.0
# So far from the joint of two pages a leader's dot stands, and so far from other dots, mm.
_DOT_CLEAR, _DOTS_APART = 1.2, 2.4
_DOT_RADIUS = 0.6
_AREA_ROLES = (Role.CUT, Role.INNER_CUT, Role.MARK, Role.HIDDEN)


@dataclass(frozen=True, slots=True)
class Cell:
    """What of a part is one page's: its own box between the joints, and where words may stand in it."""

    own: Box
    room: Box


@dataclass(frozen=True, slots=True)
class _Unit:
    """Words that are moved as one, with their leader if they have one."""

    texts: tuple[Text, ...]
    leader: tuple[Shape, ...] = ()

    @property
    def items(self) -> tuple[Item, ...]:
        return (*self.leader, *self.texts)

    @property
    def target(self) -> Point:
        """Where the leader begins."""
        return segment_start(self.leader[0].paths[0].segments[0])


def is_word(item: Item) -> bool:
    """Whether an item is a text, or belongs to one: its leader, and the dot at that."""
    return isinstance(item, Text) or LEADER in item.ref


def words_of_cells(items: Sequence[Item], cells: Sequence[Cell]) -> list[list[Item]]:
    """The words of each page, with their leaders, in the part's axes.

    Args:
        items: of the part, turned as it lies on the pages, no words on their head.
        cells: of the pages.
    """
    found: list[list[Item]] = [[] for _ in cells]
    moved: list[tuple[int, _Unit]] = []
    table = _Table([item for item in items if isinstance(item, Shape) and not is_word(item)], cells)
    for unit in _units(items):
        x, y = _middle(_box_of(unit.texts))
        owner = next((k for k, cell in enumerate(cells) if _holds(cell.own, (x, y, x, y))), None)
        if owner is None:
            owner = min(range(len(cells)), key=lambda k: hypot(*_off(cells[k].own, (x, y))))
        if _holds(cells[owner].room, _box_of(unit.texts)) and _leads_within(unit, cells[owner]):
            found[owner] += unit.items
            table.take(unit)
        else:
            moved.append((owner, unit))
    # Words that may stay have their place before any other is moved. Leaders need the most room, first those that must
    # begin at a cross; the others' dots may move within a print.
    for owner, unit in sorted(moved, key=lambda each: (not each[1].leader, len(each[1].leader))):
        for cell, placed in _placed(unit, owner, table):
            found[cell] += placed.items
    return found


def _units(items: Sequence[Item]) -> Iterator[_Unit]:
    """Words that belong together: lines one under another, and a leader with the text that follows it."""
    blocks: dict[str, list[Text]] = {}
    for item in items:
        if isinstance(item, Text) and item.ref.startswith(LINES):
            blocks.setdefault(item.ref, []).append(item)
    leader: list[Shape] = []
    for item in items:
        if isinstance(item, Shape):
            leader += [item] if is_word(item) else []
        elif item.ref in blocks:
            if blocks[item.ref]:
                yield _Unit(tuple(blocks[item.ref]))
                blocks[item.ref] = []
        else:
            yield _Unit((item,), tuple(leader))
            leader = []


def _box_of(texts: Sequence[Text]) -> Box:
    x0, y0, x1, y1 = zip(*(bounds(text) for text in texts), strict=True)
    return (min(x0), min(y0), max(x1), max(y1))


def _middle(box: Box) -> Point:
    return ((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0)


def _off(box: Box, at: Point) -> Point:
    """How far a point lies outside a box, across and up."""
    return (max(box[0] - at[0], 0.0, at[0] - box[2]), max(box[1] - at[1], 0.0, at[1] - box[3]))


def _holds(box: Box, other: Box) -> bool:
    return box[0] <= other[0] and box[1] <= other[1] and other[2] <= box[2] and other[3] <= box[3]


def _leads_within(unit: _Unit, cell: Cell) -> bool:
    return not unit.leader or _holds(_shrunk(cell.own, _DOT_CLEAR), (*unit.target, *unit.target))


def _shrunk(box: Box, by: float) -> Box:
    return (box[0] + by, box[1] + by, box[2] - by, box[3] - by)


class _Table:
    """What is drawn of a part, where its prints and holes are, and the words that have their place."""

    def __init__(self, shapes: Sequence[Shape], cells: Sequence[Cell]) -> None:
        self.cells = cells
        self._shapes = shapes
        self._taken: list[_Unit] = []
        self._leaders: list[shapely.LineString] = []
        self._dots: list[Point] = []
        self._tree: tuple[int, shapely.STRtree] | None = None

    @cached_property
    def _lines(self) -> shapely.STRtree:
        shapes = [item for item in self._shapes if item.stroke != "none"]
        runs = [(path, flatten(path, _COARSE)) for item in shapes for path in item.paths]
        return shapely.STRtree(
            [shapely.LineString([*run, *run[:1]] if path.closed else run) for path, run in runs if len(run) > 1]
        )

    @cached_property
    def _areas(self) -> list[tuple[Role, shapely.Polygon]]:
        """What each closed line encloses, the smallest first."""
        found = [
            (item.role, shapely.Polygon(np.array(flatten(path, _COARSE))).buffer(0.0))
            for item in self._shapes
            if item.role in _AREA_ROLES
            for path in item.paths
            if path.closed
        ]
        shapely.prepare([area for _, area in found])
        return sorted(found, key=lambda each: float(each[1].area))

    def take(self, unit: _Unit) -> None:
        """Keep the room of words for them."""
        self._taken.append(unit)
        if unit.leader:
            start, end = flatten(unit.leader[0].paths[0], _COARSE)[:2]
            self._leaders.append(shapely.LineString([start, end]))
            self._dots.append(start)

    @property
    def _words(self) -> shapely.STRtree:
        """The rooms of all words that have their place."""
        if self._tree is None or self._tree[0] != len(self._taken):
            corners = [_corners(unit, np.zeros((1, 2)), _OFF_WORDS)[0] for unit in self._taken]
            self._tree = (len(corners), shapely.STRtree([shapely.Polygon(each) for each in corners]))
        return self._tree[1]

    def free(self, areas: _Shapes) -> NDArray[np.bool_]:
        """Which of some areas (n,) meet no line and no words."""
        struck = np.zeros(len(areas), dtype=bool)
        struck[self._lines.query(areas, predicate="intersects")[0]] = True
        struck[self._words.query(areas, predicate="intersects")[0]] = True
        for each in self._leaders:
            struck |= shapely.intersects(each, areas)
        return ~struck

    def within(self, spots: Array) -> NDArray[np.bool_]:
        """Which places (n, 2) each closed line encloses, (areas, n)."""
        if not self._areas:
            return np.zeros((0, len(spots)), dtype=bool)
        return np.array([shapely.contains_xy(area, spots[:, 0], spots[:, 1]) for _, area in self._areas])

    def on_bare_wood(self, inside: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Which places, told by `within`, are on the part and on no print."""
        cut = np.array([role is Role.CUT for role, _ in self._areas], dtype=bool)
        bare: NDArray[np.bool_] = (inside[cut].any(axis=0) | ~cut.any()) & ~inside[~cut].any(axis=0)
        return bare

    def print_at(self, at: Point) -> BaseGeometry | None:
        """The smallest print about a place, less what other prints in it cover where something is left."""
        prints = [(role, area) for role, area in self._areas if role in (Role.MARK, Role.HIDDEN)]
        own = next((area for _, area in prints if shapely.contains_xy(area, *at)), None)
        if own is None:
            return None
        others = [area for role, area in self._areas if area is not own and role is not Role.CUT]
        alone = own.difference(shapely.union_all([area for area in others if area.intersects(own)]))
        return alone if alone.area >= 0.3 * own.area else own

    def led(self, leaders: _Shapes, dot: Point, is_strict: bool) -> NDArray[np.bool_]:
        """Which leaders (n,) from a dot run through no words and no other leader, the dot being off other dots.

        Args:
            leaders: as lines.
            dot: where all begin.
            is_strict: whether they may run through no print and no hole but those in which the dot lies.
        """
        if any(hypot(dot[0] - a, dot[1] - b) < _DOTS_APART for a, b in self._dots):
            return np.zeros(len(leaders), dtype=bool)
        struck = np.zeros(len(leaders), dtype=bool)
        struck[self._words.query(leaders, predicate="intersects")[0]] = True
        others = self._apart_from(dot) if is_strict else []
        for each in (*self._leaders, *others):
            struck |= shapely.intersects(each, leaders)
        return ~struck

    def _apart_from(self, dot: Point) -> list[BaseGeometry]:
        return [area for role, area in self._areas if role is not Role.CUT and not shapely.contains_xy(area, *dot)]


def _corners(unit: _Unit, shifts: Array, pad: float) -> Array:
    """The corners (n, 4, 2) of the rectangle about words that are shifted by (n, 2)."""
    turn = radians(unit.texts[0].angle)
    along, up = np.array([cos(turn), sin(turn)]), np.array([-sin(turn), cos(turn)])
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for text in unit.texts:
        wide = text_width(text.text, text.size, text.bold)
        left = {"start": 0.0, "middle": -0.5 * wide, "end": -wide}[text.anchor]
        base = np.array([along @ text.at, up @ text.at])
        low = np.minimum(low, base + np.array([left, -descent(text.size, text.bold)]))
        high = np.maximum(high, base + np.array([left + wide, ascent(text.size, text.bold)]))
    ends = np.array([low - pad, (high[0] + pad, low[1] - pad), high + pad, (low[0] - pad, high[1] + pad)])
    corners: Array = (ends[:, :1] * along + ends[:, 1:] * up)[None] + shifts[:, None, :]
    return corners


def _shifted(unit: _Unit, shift: Point) -> _Unit:
    dx, dy = shift
    return _Unit(tuple(replace(text, at=(text.at[0] + dx, text.at[1] + dy)) for text in unit.texts))


def _sized(unit: _Unit, share: float) -> _Unit:
    """Words set smaller about their middle."""
    x, y = _middle(_box_of(unit.texts))
    texts = (
        replace(
            text,
            at=(x + share * (text.at[0] - x), y + share * (text.at[1] - y)),
            size=share * text.size,
        )
        for text in unit.texts
    )
    return _Unit(tuple(texts))


def _sizes(unit: _Unit) -> Iterator[_Unit]:
    """Words as large as they are, then smaller while they can be read."""
    for share in _SHARES:
        if share == 1.0 or share * min(text.size for text in unit.texts) >= _LEAST:
            yield _sized(unit, share)


def _placed(unit: _Unit, owner: int, table: _Table) -> Iterator[tuple[int, _Unit]]:
    """The page and the place of words that a joint would cut, or would part from what they tell of."""
    at = unit.target if unit.leader else _middle(_box_of(unit.texts))
    names_print = unit.texts[0].ref.startswith(PRINT)
    # A leader without a dot ends in a cross, which is no print.
    own = table.print_at(at) if len(unit.leader) > 1 or names_print else None
    cells = _cells_of(at, own, owner, table)
    found = None
    if names_print and own is not None:
        found = next((each for k in cells for each in _in_print(unit, own, k, table)), None)
    if found is None and (unit.leader or own is not None):
        tries = ((k, is_strict) for is_strict in (True, False) for k in cells)
        found = next((each for k, is_strict in tries for each in _led(unit, own, at, k, table, is_strict)), None)
    if found is None:
        found = next((each for k in dict.fromkeys((owner, *cells)) for each in _nearby(unit, k, table)), None)
    if found is not None:
        table.take(found[1])
        yield found
    elif len(unit.texts) > 1:
        for text in unit.texts:
            yield from _placed(_Unit((text,)), owner, table)
    else:
        # There is no good place: what can be read in an ill one is better than what is cut or not said.
        forced = _forced(unit, table.cells[owner].room)
        table.take(forced)
        yield owner, forced


def _cells_of(at: Point, own: BaseGeometry | None, owner: int, table: _Table) -> list[int]:
    """The pages that may tell of a place or a print, the best first."""
    here = [k for k, cell in enumerate(table.cells) if _holds(cell.own, (*at, *at))]
    if own is None:
        return here or [owner]
    areas = {k: float(own.intersection(shapely.box(*cell.room)).area) for k, cell in enumerate(table.cells)}
    much = [k for k in sorted(areas, key=lambda k: (-areas[k], k)) if areas[k] > 1.0]
    return list(dict.fromkeys((*(k for k in here if areas[k] > 0.3 * areas[much[0]]), *much) if much else here))


def _spots(unit: _Unit, room: Box, about: Box) -> Array:
    """Shifts (n, 2) that bring words into a room, near where they were, the dearest last.

    Args:
        unit: the words.
        room: where they must stand.
        about: in which their middle shall lie.
    """
    box = _box_of(unit.texts)
    low = np.array([room[0] - box[0], room[1] - box[1]])
    high = np.array([room[2] - box[2], room[3] - box[3]])
    if (low > high).any():
        return np.zeros((0, 2))
    x, y = _middle(box)
    low = np.maximum(low, (about[0] - x, about[1] - y))
    high = np.minimum(high, (about[2] - x, about[3] - y))
    if (low > high).any():
        return np.zeros((0, 2))
    upright = abs(sin(radians(unit.texts[0].angle))) > 0.7
    steps = _STEPS[::-1] if upright else _STEPS
    axes = []
    for axis in (0, 1):
        start = min(max(0.0, float(low[axis])), float(high[axis]))
        back, on = int((start - low[axis]) / steps[axis]), int((high[axis] - start) / steps[axis])
        axes.append(start + np.arange(-back, on + 1) * steps[axis])
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 2)


def _dear(unit: _Unit, shifts: Array) -> Array:
    """What moving words by shifts (n, 2) costs, mm: the way, and more where it leads aside."""
    turn = radians(unit.texts[0].angle)
    along = shifts @ (cos(turn), sin(turn))
    across = shifts @ (-sin(turn), cos(turn))
    cost: Array = np.hypot(along, _ACROSS * across)
    return cost


def _in_order(shifts: Array, cost: Array) -> Iterator[Array]:
    """Shifts (n, 2) a few at a time, the cheapest first."""
    order = np.argsort(cost, kind="stable")
    for first in range(0, min(len(order), _MOST_TRIES), _AT_ONCE):
        yield shifts[order[first : first + _AT_ONCE]]


def _areas(unit: _Unit, shifts: Array, pad: float) -> _Shapes:
    found: _Shapes = np.asarray(shapely.polygons(_corners(unit, shifts, pad)), dtype=object)
    return found


def _in_print(unit: _Unit, own: BaseGeometry, cell: int, table: _Table) -> Iterator[tuple[int, _Unit]]:
    """The name of a print inside that print on a page."""
    room = table.cells[cell].room
    shapely.prepare(own)
    for sized in _sizes(_Unit(unit.texts)):
        for turned in (sized, _quarter(sized)):
            shifts = _spots(turned, room, own.bounds)
            for some in _in_order(shifts, _dear(turned, shifts)):
                inside = some[shapely.covers(own, _areas(turned, some, 0.2))]
                free = inside[table.free(_areas(turned, inside, _OFF_LINES))] if len(inside) else inside
                placed = _first(turned, free, room)
                if placed is not None:
                    yield cell, placed
                    return


def _first(unit: _Unit, shifts: Array, room: Box) -> _Unit | None:
    """Words at the first of some shifts that leaves them in a room."""
    moved = (_shifted(unit, (float(x), float(y))) for x, y in shifts)
    return next((each for each in moved if _holds(room, _box_of(each.texts))), None)


def _quarter(unit: _Unit) -> _Unit:
    """One text turned by a quarter about its middle, so that it is read from below or from the right."""
    (text,) = unit.texts
    angle = text.angle - 90.0 if text.angle > 45.0 else text.angle + 90.0
    x, y = _middle(_box_of((text,)))
    turned = _Unit((replace(text, angle=angle),))
    a, b = _middle(_box_of(turned.texts))
    return _shifted(turned, (x - a, y - b))


def _led(
    unit: _Unit, own: BaseGeometry | None, at: Point, cell: int, table: _Table, is_strict: bool
) -> Iterator[tuple[int, _Unit]]:
    """Words on bare wood on a page, with a leader to a place or to their print."""
    room = table.cells[cell].room
    dot = _dot(own, at, table.cells[cell])
    if dot is None:
        return
    about = (dot[0] - _MOST_LEADER, dot[1] - _MOST_LEADER, dot[0] + _MOST_LEADER, dot[1] + _MOST_LEADER)
    found: list[tuple[float, int, _Unit, shapely.LineString]] = []
    for sized in _sizes(_Unit(unit.texts)):
        for turned in (sized, _quarter(sized)):
            shifts = _spots(turned, room, about)
            far = _distances(turned, shifts, dot)
            good = (far >= _LEAST_LEADER) & (far <= _MOST_LEADER)
            for some in _in_order(shifts[good], far[good]):
                placed = _led_first(turned, some, own, dot, table, is_strict)
                if placed is not None:
                    found.append((placed[1].length, len(found), *placed))
                    break
        if found:
            break
    if found:
        _, _, words, leader = min(found, key=lambda each: each[:2])
        yield cell, _Unit(words.texts, _drawn(unit, leader))


def _led_first(
    unit: _Unit, shifts: Array, own: BaseGeometry | None, dot: Point, table: _Table, is_strict: bool
) -> tuple[_Unit, shapely.LineString] | None:
    """Words at the first of some shifts at which they stand free and can have a leader from a dot, and the leader."""
    shifts = shifts[table.on_bare_wood(table.within(shifts + np.array(_middle(_box_of(unit.texts)))))]
    if not len(shifts):
        return None
    areas = _areas(unit, shifts, 0.3)
    free = table.free(_areas(unit, shifts, _OFF_LINES))
    if own is not None:
        # A leader that only just leaves its print looks like one of the print's lines.
        free &= shapely.distance(areas, own) >= 0.5
    shifts, areas = shifts[free], areas[free]
    leaders = np.asarray(shapely.shortest_line(shapely.Point(dot), areas), dtype=object)
    for k in np.flatnonzero(table.led(leaders, dot, is_strict)).tolist():
        return _shifted(unit, (float(shifts[k, 0]), float(shifts[k, 1]))), leaders[k]
    return None


def _distances(unit: _Unit, shifts: Array, at: Point) -> Array:
    """How far words shifted by (n, 2) stand from a place, mm."""
    turn = radians(unit.texts[0].angle)
    axes = np.array([(cos(turn), sin(turn)), (-sin(turn), cos(turn))])
    corners = _corners(unit, np.zeros((1, 2)), 0.3)[0] @ axes.T
    spots = (np.array(at) - shifts) @ axes.T
    out: Array = np.maximum(np.maximum(corners.min(axis=0) - spots, spots - corners.max(axis=0)), 0.0)
    far: Array = np.hypot(out[:, 0], out[:, 1])
    return far


def _drawn(unit: _Unit, leader: shapely.LineString) -> tuple[Shape, ...]:
    """A leader as the words had it, or one that ends in a dot where they had none."""
    start, end = ((float(x), float(y)) for x, y in leader.coords)
    if unit.leader:
        first, *dots = unit.leader
        ref, radius = first.ref, _radius(dots[0]) if dots else 0.0
    else:
        ref, radius = f"{LEADER}{unit.texts[0].text}", _DOT_RADIUS
    shape = Shape(Role.THIN, (line(start, end),), ref=ref)
    return (shape, Shape(Role.LABEL, (circle(start, radius),), ref=ref, fill=BLACK)) if radius else (shape,)


def _radius(dot: Shape) -> float:
    x0, _, x1, _ = bounds(dot)
    return (x1 - x0) / 2.0


def _dot(own: BaseGeometry | None, at: Point, cell: Cell) -> Point | None:
    """Where a leader begins on a page: at its place, or in what the page shows of its print; None where it can't."""
    inner = _shrunk(cell.own, _DOT_CLEAR)
    if _holds(inner, (*at, *at)):
        return at
    if own is None:
        return at if _holds(cell.own, (*at, *at)) else None
    piece = own.intersection(shapely.box(*inner))
    if piece.area < 2.0:
        return None
    spot = shapely.maximum_inscribed_circle(max(shapely.get_parts(piece), key=lambda each: float(each.area)))
    x, y = spot.coords[0]
    return (float(x), float(y))


def _nearby(unit: _Unit, cell: int, table: _Table) -> Iterator[tuple[int, _Unit]]:
    """Words near where they were, on a page, on the same ground or on bare wood, and never beyond a cut."""
    room = table.cells[cell].room
    x, y = _middle(_box_of(unit.texts))
    before = table.within(np.array([(x, y)]))
    about = (x - _REACH, y - _REACH, x + _REACH, y + _REACH)
    for sized in _sizes(_Unit(unit.texts)):
        shifts = _spots(sized, room, about)
        cost = _dear(sized, shifts)
        for is_same in (True, False):
            for some in _in_order(shifts, cost):
                inside = table.within(some + np.array([x, y]))
                fit = some[(inside == before).all(axis=0) if is_same else table.on_bare_wood(inside)]
                free = fit[table.free(_areas(sized, fit, _OFF_LINES))] if len(fit) else fit
                placed = _first(sized, free, room)
                if placed is not None:
                    yield cell, placed
                    return


def _forced(unit: _Unit, room: Box) -> _Unit:
    """A text slid into a room; one too long for it is set smaller first."""
    x0, y0, x1, y1 = _box_of(unit.texts)
    fit = min((room[2] - room[0]) / (x1 - x0), (room[3] - room[1]) / (y1 - y0))
    smaller = _sized(unit, 0.99 * fit) if fit < 1.0 else _Unit(unit.texts)
    x0, y0, x1, y1 = _box_of(smaller.texts)
    dx = max(room[0] - x0, 0.0) + min(room[2] - x1, 0.0)
    dy = max(room[1] - y0, 0.0) + min(room[3] - y1, 0.0)
    return _shifted(smaller, (dx, dy))
