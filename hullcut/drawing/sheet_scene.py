"""A sheet, board or leftover with the parts that are cut from it and the order of its cuts, at true scale."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import shapely

from hullcut.drawing import font
from hullcut.drawing.labels import roomiest
from hullcut.drawing.names_on_parts import NAME, Lay, words_on
from hullcut.drawing.on_sheet import placed_area, roomiest_placed
from hullcut.drawing.paths import (
    bounds,
    clip_items,
    line,
    polygon,
    polyline,
    rectangle,
    smooth_path,
    transform,
)
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.sheet_numbers import Ground, number_cuts, number_small_parts, rows_at_the_rim
from hullcut.drawing.sheet_room import Clutter, Room, spread
from hullcut.drawing.style import line_style, tint
from hullcut.lengths import both, inches, millimetres
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Literal

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item, Path, Point
    from hullcut.drawing.segments import Box
    from hullcut.nesting.values import Sheet
    from hullcut.parts.values import Part

__all__ = [
    "Band",
    "SheetDrawing",
    "offcut_name",
    "scale_of_pieces",
    "sheet_drawing",
    "sheet_key",
    "sheet_name",
    "sheet_scene",
    "sheet_title",
    "size_words",
]

_SIZE = 1.9
# Seen whole on a screen, letters of this scale read on a sheet of this length, mm.
_LEAST_SCALE, _LENGTH_AT_ONCE = 3.0, 260.0
# A ring's diameter with two figures or more, mm on paper, on a piece that is to hold it.
_RING_HIGH = 3.0
# Where numbers tangle, they are drawn so much smaller again and again, down to this scale.
_SMALLER, _CLOSEST_SCALE = 0.75, 1.5
# Words keep so far off a zigzag, mm on paper.
_TORN_CLEAR = 1.5
_WEIGHT = 0.6
# No saw's cut is wider, mm.
_SAW_CUT = 4.5


@dataclass(frozen=True, slots=True)
class Band:
    """A piece of a long board that is drawn by itself.

    Attributes:
        start, stop: along the board, mm.
        number, count: which of how many, from 1.
        left_out: of the plain board behind it, so many mm are drawn nowhere.
        far_end: whether it is what is drawn of a board's far end, behind a plain run that is left out.
    """

    start: float
    stop: float
    number: int
    count: int
    left_out: float = 0.0
    far_end: bool = False


def sheet_name(sheet: Sheet) -> str:
    """What a sheet is called wherever it is spoken of: "Board 13"."""
    kind = {"sheet": "Sheet", "board": "Board", "leftover": "Leftover"}[sheet.stock.kind]
    return f"{kind} {sheet.number}"


def sheet_title(sheet: Sheet, units: Literal["in", "mm"]) -> str:
    """Number, wood, thickness and size of a sheet in one line."""
    stock = sheet.stock
    thick = both(stock.planed_to, units, 32, decimals=1)
    size = size_words(sheet.length, sheet.width, units)
    return f"{sheet_name(sheet)}: {wood(stock.material).name}, {thick} thick, {size}"


def size_words(length: float, width: float, units: Literal["in", "mm"]) -> str:
    """Two sides in both units, the leading one first: "24 × 12 in (610 × 305 mm)"."""
    inch = f"{inches(length).removesuffix(' in')} × {inches(width)}"
    metric = f"{millimetres(length).removesuffix(' mm')} × {millimetres(width)}"
    return f"{inch} ({metric})" if units == "in" else f"{metric} ({inch})"


def sheet_key(sheet: Sheet, parts: Mapping[str, Part], several: bool = False) -> tuple[tuple[int, str], ...]:
    """The number of every part on the sheet, as drawn, and its name; the boat too where there are several.

    Args:
        sheet: the sheet.
        parts: by id.
        several: whether the order has several boats, even if this sheet holds parts of one alone.
    """
    told = several or len({placement.boat for placement in sheet.placements}) > 1
    return tuple(
        (number, parts[each.part].name + (f" ({each.boat})" if told and each.boat else ""))
        for number, each in enumerate(sheet.placements, 1)
    )


@dataclass(frozen=True, slots=True)
class SheetDrawing:
    """A sheet as a scene, and how well its numbers can be followed.

    Attributes:
        scene: the drawing.
        tangled: how many numbers hide a small part, or have a leader through another number or another leader.
    """

    scene: Scene
    tangled: int


def sheet_scene(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    text_scale: float | None = None,
    words: bool = True,
    band: Band | None = None,
    several: bool = False,
) -> Scene:
    """A sheet at true scale: parts in their places, cuts in their order, distances from two edges, offcuts, grain.

    Args:
        sheet: what to draw; its untrimmed corner at 0, 0.
        parts: by id.
        units: which unit leads.
        text_scale: how many times larger than on a printed page the letters stand; for a scene that will be drawn
            1:n, n. None for a size that reads when the whole sheet is seen at once, or as much less as numbers need to
            stand clear of each other.
        words: whether title and key stand in the scene; without them the caller sets them beside it.
        band: the piece of the sheet to draw; None for all of it.
        several: whether the order has several boats, so that each part is told with its boat.
    """
    if text_scale is not None:
        return sheet_drawing(sheet, parts, units, text_scale, words, band, several).scene
    at_once = max(_LEAST_SCALE, sheet.length / _LENGTH_AT_ONCE)
    scale = min(at_once, scale_of_pieces(sheet))
    drawn = _drawn(sheet, parts, units, scale, band, several, True)
    while drawn.tangled and scale > _CLOSEST_SCALE:
        scale = max(_SMALLER * scale, _CLOSEST_SCALE)
        drawn = _drawn(sheet, parts, units, scale, band, several, scale > _CLOSEST_SCALE)
    items = drawn.items
    if words:
        items = (*items, *_title_and_key(sheet, parts, units, at_once, items, several))
    return _ground(sheet, units, [_heavier(item, _WEIGHT * scale) for item in items], scale, words, band)


def sheet_drawing(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    text_scale: float,
    words: bool = True,
    band: Band | None = None,
    several: bool = False,
    strict: bool = False,
) -> SheetDrawing:
    """As `sheet_scene` at a given size of letters, with the count of what tangles.

    Args:
        sheet: what to draw; its untrimmed corner at 0, 0.
        parts: by id.
        units: which unit leads.
        text_scale: how many times larger than on a printed page the letters stand.
        words: whether title and key stand in the scene.
        band: the piece of the sheet to draw; None for all of it.
        several: whether the order has several boats.
        strict: whether to stop at the first number that tangles, with a scene in which nothing is drawn.
    """
    drawn = _drawn(sheet, parts, units, text_scale, band, several, strict)
    items = drawn.items
    if not items:
        return SheetDrawing(Scene(sheet_title(sheet, units), 0.0, 0.0, sheet.length, sheet.width, ()), drawn.tangled)
    if words:
        items = (*items, *_title_and_key(sheet, parts, units, text_scale, items, several))
    return SheetDrawing(_ground(sheet, units, items, text_scale, words, band), drawn.tangled)


def scale_of_pieces(sheet: Sheet) -> float:
    """The scale of letters at which a ring is about as high as the narrower pieces of a sheet are wide."""
    narrow = sorted(min(blank.length, blank.width) for blank in sheet.blanks)
    return max(narrow[len(narrow) // 4] / _RING_HIGH, _LEAST_SCALE) if narrow else math.inf


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A sheet without title and key, and how many of its numbers tangle."""

    items: tuple[Item, ...]
    tangled: int


def _drawn(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    scale: float,
    band: Band | None,
    several: bool,
    strict: bool,
) -> _Drawn:
    """Wood, parts, cuts, numbers and figures; nothing of them where `strict` and a number tangles."""
    shown = band or Band(0.0, sheet.length, 1, 1)
    window = (shown.start, 0.0, shown.stop, sheet.width)
    laid = _laid(sheet, parts, window, several)
    room = Room()
    on_parts = [(each, words_on(each, room, scale)) for each in laid]
    written = [item for _, names in on_parts for item in names]
    small = [each for each, names in on_parts if not names and each.whole]
    ground = Ground(sheet, laid, window, shown.left_out, room, scale, _clutter(sheet, laid))
    of_parts = number_small_parts(ground, small, strict)
    if strict and of_parts.tangled:
        return _Drawn((), of_parts.tangled)
    of_cuts = number_cuts(ground, strict)
    if strict and of_cuts.tangled:
        return _Drawn((), of_cuts.tangled)
    items = _wood_items(sheet, laid, parts, shown, scale)
    items += [*written, *of_parts.items, *of_cuts.items]
    # Behind the break stands no word twice.
    for number, offcut in enumerate(() if shown.far_end else sheet.offcuts):
        box = _clear_of_torn(
            (offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width), sheet, shown, scale
        )
        if box[2] <= box[0]:
            continue
        size = f"{_short(offcut.length, units)} × {_short(offcut.width, units)}"
        name = offcut_name(sheet, number)
        items += _offcut_words(box, (f"offcut {name}: {size}", f"offcut {name}", name), room, scale)
    items += _running_sizes(sheet, laid, units, scale, shown)
    outside, top = rows_at_the_rim([*of_parts.rim, *of_cuts.rim], ground)
    items += outside
    items += _head_line(sheet, scale, top, shown)
    return _Drawn(tuple(items), of_parts.tangled + of_cuts.tangled)


def _wood_items(sheet: Sheet, laid: Sequence[Lay], parts: Mapping[str, Part], shown: Band, scale: float) -> list[Item]:
    """The wood, its parts, offcuts and cuts, as far as they show."""
    items: list[Item] = [
        Shape(Role.STOCK, (rectangle(0.0, 0.0, sheet.length, sheet.width),), ref=sheet.stock.id, width=0.5)
    ]
    items += [replace(each.item, role=Role.FILL, fill=tint(each.number - 1), stroke="none") for each in laid]
    items += [
        Shape(Role.OFFCUT, (rectangle(o.x, o.y, o.x + o.length, o.y + o.width),), ref="offcut") for o in sheet.offcuts
    ]
    items += [
        Shape(Role.SAW, (line((c.x0, c.y0), (c.x1, c.y1)),), ref=f"cut {c.order}", width=0.25) for c in sheet.cuts
    ]
    items += [replace(each.item, width=0.3) for each in laid]
    items += _joint_lines(laid, parts)
    if shown.start <= 0.0 and shown.stop >= sheet.length:
        return items
    return [*clip_items(items, (shown.start, 0.0, shown.stop, sheet.width)), *_torn_edges(sheet, shown, scale)]


def _clear_of_torn(box: Box, sheet: Sheet, shown: Band, scale: float) -> Box:
    """What shows of a box, and at a zigzag so much less that words in it do not touch that."""
    clear = _TORN_CLEAR * scale
    low = shown.start + (clear if shown.start > 0.0 else 0.0)
    high = shown.stop - (clear if shown.stop < sheet.length else 0.0)
    return (max(box[0], low), box[1], min(box[2], high), box[3])


def _heavier(item: Item, times: float) -> Item:
    """An item with a line so many times as wide."""
    if isinstance(item, Text) or item.stroke == "none":
        return item
    return replace(item, width=times * (line_style(item.role).width if item.width is None else item.width))


def _torn_edges(sheet: Sheet, band: Band, scale: float) -> list[Item]:
    """A zigzag where the drawing of a sheet breaks off and goes on elsewhere."""
    items: list[Item] = []
    for x, wanted in ((band.start, band.start > 0.0), (band.stop, band.stop < sheet.length)):
        if not wanted:
            continue
        count = max(4, 2 * round(sheet.width / (6.0 * scale)))
        tooth = 0.7 * scale
        points = [
            (x + (0.0 if k in (0, count) else tooth * (-1.0) ** k), sheet.width * k / count) for k in range(count + 1)
        ]
        items.append(Shape(Role.THIN, (polyline(points),), ref="torn edge", stroke="#6b6b6b"))
    return items


def offcut_name(sheet: Sheet, number: int) -> str:
    """What to write on a sheet's offcut counted from 0: the sheet's number and a letter, "3A"."""
    return f"{sheet.number}{chr(65 + number % 26)}{number // 26 or ''}"


def _short(mm: float, units: Literal["in", "mm"]) -> str:
    return inches(mm) if units == "in" else millimetres(mm)


@lru_cache(maxsize=512)
def _paths(outline: tuple[Point, ...], holes: tuple[tuple[Point, ...], ...]) -> tuple[Path, ...]:
    return tuple(smooth_path(ring) if len(ring) > 16 else polygon(ring) for ring in (outline, *holes))


def _laid(sheet: Sheet, parts: Mapping[str, Part], window: Box, several: bool) -> list[Lay]:
    laid = []
    names = dict(sheet_key(sheet, parts, several))
    for number, placement in enumerate(sheet.placements, 1):
        part = parts[placement.part]
        area = placed_area(part, placement)
        if area.bounds[2] <= window[0] or area.bounds[0] >= window[2]:
            continue
        shape = Shape(Role.CUT, _paths(part.outline, part.holes), ref=f"{part.id} {placement.boat}")
        moved = transform(
            shape, angle_deg=placement.rotation, mirror_x=placement.mirrored, dx=placement.x, dy=placement.y
        )
        assert isinstance(moved, Shape)
        box = bounds(replace(moved, paths=moved.paths[:1]))
        whole = True
        if box[0] < window[0] or box[2] > window[2]:
            whole = window[0] <= (box[0] + box[2]) / 2.0 < window[2]
            pieces = shapely.get_parts(area.intersection(shapely.box(*window)))
            area = max((piece for piece in pieces if piece.geom_type == "Polygon"), key=lambda piece: piece.area)
            box = area.bounds
            middle = roomiest(area)[0]
        else:
            middle = roomiest_placed(part, placement)
        laid.append(Lay(number, names[number], placement, moved, box, area, middle, whole))
    return laid


def _joint_lines(laid: Sequence[Lay], parts: Mapping[str, Part]) -> list[Item]:
    """On each strip of a part that is glued up, the line to which the edge that meets the other strip is planed."""
    items: list[Item] = []
    for each in laid:
        at = each.placement
        for mark in parts[at.part].marks:
            if mark.kind == "glue joint":
                drawn = Shape(Role.CENTRE, (polyline(mark.points),), ref=f"{at.part} glue joint")
                items.append(transform(drawn, angle_deg=at.rotation, mirror_x=at.mirrored, dx=at.x, dy=at.y))
    return items


def _clutter(sheet: Sheet, laid: Sequence[Lay]) -> Clutter:
    lines: list[BaseGeometry] = [each.area.boundary for each in laid]
    lines += [shapely.LineString([(c.x0, c.y0), (c.x1, c.y1)]) for c in sheet.cuts]
    return Clutter(lines, [each.area for each in laid])


def _offcut_words(box: Box, names: Sequence[str], room: Room, scale: float) -> list[Item]:
    x0, y0, x1, y1 = box
    upright = (y1 - y0) > (x1 - x0)
    long, short = (y1 - y0, x1 - x0) if upright else (x1 - x0, y1 - y0)
    for name in names:
        size = font.fit_size(name, 0.92 * long, NAME * scale)
        if size < 1.6 * scale or size > 0.85 * short:
            continue
        drop = 0.36 * size
        tries = []
        for share in (0.5, 0.35, 0.65, 0.2, 0.8):
            if upright:
                at = (x0 + share * (x1 - x0) + drop, (y0 + y1) / 2.0)
            else:
                at = ((x0 + x1) / 2.0, y0 + share * (y1 - y0) - drop)
            tries.append(Text(Role.OFFCUT, at, name, size, 90.0 if upright else 0.0, "middle"))
        put = room.put(tries)
        if put is not None:
            return [put]
    return []


def _running_sizes(
    sheet: Sheet, laid: Sequence[Lay], units: Literal["in", "mm"], scale: float, band: Band
) -> list[Item]:
    """Distances of the blanks' sides from the left and from the lower edge, along those edges."""
    every = [(b.x, b.y, b.x + b.length, b.y + b.width) for b in sheet.blanks] or [each.box for each in laid]
    boxes = [box for box in every if box[2] > band.start and box[0] < band.stop]
    across = _sides([(box[0], box[2]) for box in boxes], {c.x0 for c in sheet.cuts if c.x0 == c.x1}) | {sheet.length}
    level = [c for c in sheet.cuts if c.y0 == c.y1]
    up = _sides([(box[1], box[3]) for box in boxes], {c.y0 for c in level}) | {sheet.width}
    # A cut may run through between blanks that lie elsewhere along the board.
    middles = [c.y0 for c in level if max(c.x0, c.x1) > band.start and min(c.x0, c.x1) < band.stop]
    sides = _sides([(box[1], box[3]) for box in every], {c.y0 for c in level})
    up |= {side for side in sides if any(0.0 < middle - side <= _SAW_CUT / 2.0 for middle in middles)}
    across = {value for value in across if band.start <= value <= band.stop}
    items = _figures(across, (band.start - 4.0 * scale, band.stop + 3.0 * scale), 0.0, units, scale, False)
    if band.far_end:
        return items
    return items + _figures(up, (-6.0 * scale, sheet.width + 6.0 * scale), band.start, units, scale, True)


def _sides(spans: Sequence[tuple[float, float]], cuts: set[float]) -> set[float]:
    """Where spans begin and end; of the two sides of one saw cut only the near one.

    Args:
        spans: of the blanks that are shown.
        cuts: the middles of the saw cuts that run square to the spans; of some only the far side bounds a blank here.
    """
    found = {stop for _, stop in spans}
    for start in {start for start, _ in spans}:
        if any(0.0 < start - stop <= _SAW_CUT for stop in found):
            continue
        middles = [middle for middle in cuts if 0.0 < start - middle <= _SAW_CUT / 2.0]
        near = 2.0 * max(middles) - start if middles else start
        # What trims a rough edge begins at that edge.
        found.add(near if near > 1.0 else start)
    return found


def _figures(
    values: set[float],
    reach: tuple[float, float],
    edge: float,
    units: Literal["in", "mm"],
    scale: float,
    upright: bool,
) -> list[Item]:
    """Every distance with a tick at its place; where figures would touch, they step aside on bent ticks."""
    by_words: dict[str, float] = {}
    for value in sorted(value for value in values if value > 1.0):
        by_words.setdefault(_short(value, units), value)
    size, tick = _SIZE * scale, 1.2 * scale
    wanted = list(by_words.values())
    places = spread(wanted, [1.15 * size] * len(wanted), *reach)
    bent = any(abs(place - value) > 0.1 * size for place, value in zip(places, wanted, strict=True))
    end = 2.4 * tick if bent else tick
    items: list[Item] = []
    for (text, value), place in zip(by_words.items(), places, strict=True):
        run = [(0.3 * scale, value), (0.55 * tick, value), (0.85 * end, place), (end, place)]
        points = [(edge - off, at) if upright else (at, edge - off) for off, at in run]
        items.append(Shape(Role.DIMENSION, (polyline(points),), width=0.15))
        out = end + 0.4 * tick
        if upright:
            items.append(Text(Role.DIMENSION, (edge - out, place - 0.36 * size), text, size, 0.0, "end"))
        else:
            items.append(Text(Role.DIMENSION, (place + 0.36 * size, edge - out), text, size, 90.0, "end"))
    return items


def _head_line(sheet: Sheet, scale: float, above: float, band: Band) -> list[Item]:
    """Over the drawing: the way of the grain, and which band this is; nothing over a far end, which stands beside."""
    if band.far_end:
        return []
    size = _SIZE * scale
    top = above + 3.4 * scale
    # Solid wood has one grain; plywood has that of its faces.
    grain = "face grain" if wood(sheet.stock.material).kind == "plywood" else "grain"
    width = font.text_width(grain, size)
    items: list[Item] = []
    if band.count > 1:
        on = ", goes on below" if band.number < band.count else ""
        words = f"band {band.number} of {band.count}{on}"
        at = (band.start + width + 24.0 * scale, top - 0.36 * size)
        items.append(Text(Role.MARK, at, words, 1.15 * size, bold=True, colour="#000000"))
    left = band.start
    items.append(Text(Role.MARK, (left, top - 0.36 * size), grain, size))
    x, reach, head = left + width + 4.0 * scale, 6.0 * scale, 1.2 * scale
    along = sheet.stock.grain == "length"
    if along:
        a, b = (x - 2.0 * scale, top), (x - 2.0 * scale + 2.0 * reach, top)
    else:
        a, b = (x, top - 1.6 * scale), (x, top + 1.6 * scale)
    ways = ((a, 1.0), (b, -1.0))
    items.append(Shape(Role.MARK, (line(a, b),), ref="grain"))
    for (px, py), way in ways:
        if along:
            ring = ((px + way * head, py + 0.4 * head), (px, py), (px + way * head, py - 0.4 * head))
        else:
            ring = ((px - 0.4 * head, py + way * head), (px, py), (px + 0.4 * head, py + way * head))
        items.append(Shape(Role.MARK, (polyline(ring),), ref="grain"))
    return items


def _title_and_key(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    scale: float,
    drawn: Sequence[Item],
    several: bool,
) -> list[Item]:
    """The title over what is drawn, the key of its parts under it."""
    size = NAME * scale
    title = sheet_title(sheet, units)
    boxes = [bounds(item) for item in drawn]
    high, low = max(box[3] for box in boxes), min(box[1] for box in boxes)
    fitted = font.fit_size(title, max(sheet.length, 60.0 * scale), 1.3 * size, True)
    items: list[Item] = [Text(Role.LABEL, (0.0, high + 1.5 * scale), title, fitted, bold=True)]
    y = low - 1.6 * size
    for row in _key_rows(sheet_key(sheet, parts, several), max(sheet.length, 60.0 * scale), size):
        items.append(Text(Role.LABEL, (0.0, y), row, size))
        y -= 1.45 * size
    return items


_BETWEEN = "  ·  "


def _key_rows(key: Sequence[tuple[int, str]], width: float, size: float) -> list[str]:
    rows: list[str] = []
    for number, name in key:
        entry = f"{number} {name}"
        if rows and font.text_width(f"{rows[-1]}{_BETWEEN}{entry}", size) <= width:
            rows[-1] += f"{_BETWEEN}{entry}"
        else:
            rows.append(entry)
    return rows


def _ground(
    sheet: Sheet, units: Literal["in", "mm"], items: Sequence[Item], scale: float, words: bool, band: Band | None
) -> Scene:
    start, stop = (0.0, sheet.length) if band is None else (band.start, band.stop)
    boxes = [bounds(item) for item in items]
    rim = 0.5 * scale
    x0 = min(start, *(box[0] for box in boxes)) - rim
    y0 = min(box[1] for box in boxes) - rim
    x1 = max(stop, *(box[2] for box in boxes)) + 1.5 * scale
    y1 = max(box[3] for box in boxes) + (1.5 * scale if words else rim)
    return Scene(sheet_title(sheet, units), x0, y0, x1, y1, tuple(items))
