"""A sheet, board or leftover with the parts that are cut from it and the order of its cuts, at true scale."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import shapely

from hullcut.drawing import font
from hullcut.drawing.labels import roomiest
from hullcut.drawing.names_on_parts import NAME, NUMBER, Lay, words_on
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
from hullcut.drawing.sheet_room import (
    Called,
    Clutter,
    Room,
    beside,
    called_out,
    leader_items,
    number_items,
    ring_radius,
    spread,
    under_rim,
)
from hullcut.drawing.style import line_style, tint
from hullcut.lengths import both, inches, millimetres
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Literal

    from hullcut.drawing.scene import Item, Path, Point
    from hullcut.drawing.segments import Box
    from hullcut.nesting.values import Sheet
    from hullcut.parts.values import Part

__all__ = ["Band", "offcut_name", "sheet_key", "sheet_name", "sheet_scene", "sheet_title", "size_words"]

_SIZE = 1.9
_RING = 2.1
# Of a small part a ring may hide no more than this share.
_HIDDEN_SHARE = 0.1
# Seen whole on a screen, letters of this scale read on a sheet of this length, mm.
_LEAST_SCALE, _LENGTH_AT_ONCE = 3.0, 260.0
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


def sheet_key(sheet: Sheet, parts: Mapping[str, Part]) -> tuple[tuple[int, str], ...]:
    """The number of every part on the sheet, as drawn, and its name; the boat too where there are several."""
    boats = {placement.boat for placement in sheet.placements}
    return tuple(
        (number, parts[each.part].name + (f" ({each.boat})" if len(boats) > 1 else ""))
        for number, each in enumerate(sheet.placements, 1)
    )


def sheet_scene(
    sheet: Sheet,
    parts: Mapping[str, Part],
    units: Literal["in", "mm"],
    text_scale: float | None = None,
    words: bool = True,
    band: Band | None = None,
) -> Scene:
    """A sheet at true scale: parts in their places, cuts in their order, distances from two edges, offcuts, grain.

    Args:
        sheet: what to draw; its untrimmed corner at 0, 0.
        parts: by id.
        units: which unit leads.
        text_scale: how many times larger than on a printed page the letters stand; for a scene that will be drawn
            1:n, n. None for a size that reads when the whole sheet is seen at once.
        words: whether title and key stand in the scene; without them the caller sets them beside it.
        band: the piece of the sheet to draw; None for all of it.
    """
    scale = max(_LEAST_SCALE, sheet.length / _LENGTH_AT_ONCE) if text_scale is None else text_scale
    shown = band or Band(0.0, sheet.length, 1, 1)
    window = (shown.start, 0.0, shown.stop, sheet.width)
    laid = _laid(sheet, parts, window)
    wood_items: list[Item] = [
        Shape(Role.STOCK, (rectangle(0.0, 0.0, sheet.length, sheet.width),), ref=sheet.stock.id, width=0.5)
    ]
    wood_items += [replace(each.item, role=Role.FILL, fill=tint(each.number - 1), stroke="none") for each in laid]
    wood_items += [
        Shape(Role.OFFCUT, (rectangle(o.x, o.y, o.x + o.length, o.y + o.width),), ref="offcut") for o in sheet.offcuts
    ]
    wood_items += [
        Shape(Role.SAW, (line((c.x0, c.y0), (c.x1, c.y1)),), ref=f"cut {c.order}", width=0.25) for c in sheet.cuts
    ]
    wood_items += [replace(each.item, width=0.3) for each in laid]
    wood_items += _joint_lines(laid, parts)
    whole = shown.start <= 0.0 and shown.stop >= sheet.length
    items = wood_items if whole else [*clip_items(wood_items, window), *_torn_edges(sheet, shown, scale)]
    room, called = Room(), []
    clutter: Clutter | None = None
    without = []
    for each in laid:
        written = words_on(each, room, scale)
        items += written
        if not written and each.whole:
            without.append(each)
    for each in without:
        clutter = clutter or _clutter(sheet, laid)
        small = Called(str(each.number), (each.middle,), Role.LABEL, each.placement.part)
        numbered = _part_beside(small, window, room, clutter, scale)
        items += numbered
        if not numbered:
            called.append(small)
    more, missing = _cut_numbers(sheet, laid, window, shown.left_out, room, scale, clutter)
    items += more
    # Behind the break stands no word twice.
    for number, offcut in enumerate(() if shown.far_end else sheet.offcuts):
        box = (max(offcut.x, shown.start), offcut.y, min(offcut.x + offcut.length, shown.stop), offcut.y + offcut.width)
        if box[2] <= box[0]:
            continue
        size = f"{_short(offcut.length, units)} × {_short(offcut.width, units)}"
        name = offcut_name(sheet, number)
        items += _offcut_words(box, (f"offcut {name}: {size}", f"offcut {name}", name), room, scale)
    items += _running_sizes(sheet, laid, units, scale, shown)
    outside, top = called_out([*called, *missing], window, _RING * scale, shown.stop >= sheet.length)
    items += outside
    items += _head_line(sheet, scale, top, shown)
    if words:
        items += _title_and_key(sheet, parts, units, scale, items)
    if text_scale is None:
        items = [_heavier(item, _WEIGHT * scale) for item in items]
    return _ground(sheet, units, items, scale, words, shown)


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


def _laid(sheet: Sheet, parts: Mapping[str, Part], window: Box) -> list[Lay]:
    laid = []
    names = dict(sheet_key(sheet, parts))
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


def _cut_numbers(
    sheet: Sheet,
    laid: Sequence[Lay],
    window: Box,
    left_out: float,
    room: Room,
    scale: float,
    clutter: Clutter | None,
) -> tuple[list[Item], list[Called]]:
    """Each cut's number in a ring on its line, or close beside it; and those for which there is no room.

    A cut along a board whose middle is left out behind the window has its number in the window.
    """
    items: list[Item] = []
    missing: list[Called] = []
    size = _RING * scale
    # Short cuts first: a long one finds room for its ring where they leave it.
    short = 4.0 * ring_radius("10", size)
    for cut in sorted(sheet.cuts, key=lambda cut: abs(cut.x1 - cut.x0) + abs(cut.y1 - cut.y0) > short):
        x0, x1 = sorted((cut.x0, cut.x1))
        y0, y1 = sorted((cut.y0, cut.y1))
        if x1 < window[0] or x0 > window[2] or (x0 == x1 == window[2] < sheet.length):
            continue
        here = (max(x0, window[0]), y0, min(x1, window[2]), y1)
        needed = window[0] <= (x0 + x1) / 2.0 <= window[2] + left_out
        length = max(here[2] - here[0], here[3] - here[1], 1e-9)
        radius = ring_radius(str(cut.order), size)
        if not needed and length < 4.0 * radius:
            continue
        shares = _shares(min(1.2 * radius / length, 0.5))
        anchors = tuple((here[0] + s * (here[2] - here[0]), here[1] + s * (here[3] - here[1])) for s in shares)
        called = Called(str(cut.order), anchors[:9], Role.SAW, f"cut {cut.order}")
        discs = ((at, _disc_box(at, radius)) for at in anchors)
        free = next((at for at, disc in discs if room.free(disc) and _hides(disc, laid) < _HIDDEN_SHARE), None)
        if free is not None:
            room.take(_disc_box(free, radius))
            items += number_items(called, free, size)
            continue
        if not needed:
            continue
        clutter = clutter or _clutter(sheet, laid)
        ends = (here[2:], here[:2])
        found = beside(anchors, ends, cut.x0 == cut.x1, radius, window, room, clutter)
        if found is None:
            # Over a small part rather than nowhere.
            free_here = [at for at in anchors if room.free(_disc_box(at, radius))]
            if free_here:
                least = min(free_here, key=lambda at: _hides(_disc_box(at, radius), laid))
                room.take(_disc_box(least, radius))
                items += number_items(called, least, size)
                continue
            missing.append(called)
            continue
        anchor, at, clear = found
        above = () if clear else under_rim(anchors, radius, window, room, clutter)
        if above:
            missing.append(replace(called, anchors=above[:9]))
            continue
        room.take_leader(anchor, at)
        room.take(_disc_box(at, radius))
        items += [*leader_items(called, (anchor, at), size), *number_items(called, at, size)]
    return items, missing


def _hides(disc: Box, laid: Sequence[Lay]) -> float:
    """Of the part of which a ring's box hides most, the share that it hides."""
    most = 0.0
    for each in laid:
        x0, y0, x1, y1 = each.box
        wide, high = min(disc[2], x1) - max(disc[0], x0), min(disc[3], y1) - max(disc[1], y0)
        if wide > 0.0 and high > 0.0:
            most = max(most, wide * high / ((x1 - x0) * (y1 - y0)))
    return most


def _part_beside(called: Called, window: Box, room: Room, clutter: Clutter, scale: float) -> list[Item]:
    """The number of a part that is too small for it, close by on clear ground, with a leader."""
    size = NUMBER * scale
    radius = ring_radius(called.text, size)
    found = beside(called.anchors, called.anchors, True, radius, window, room, clutter)
    if found is None:
        return []
    anchor, at, _ = found
    room.take_leader(anchor, at)
    room.take(_disc_box(at, radius))
    share = 1.0 - radius / max(math.dist(anchor, at), radius)
    end = (anchor[0] + share * (at[0] - anchor[0]), anchor[1] + share * (at[1] - anchor[1]))
    return [*leader_items(called, (anchor, end), size), *number_items(called, at, size)]


def _shares(inset: float) -> list[float]:
    """Places along a cut to try in turn: near an end first, then spread evenly over it."""
    return [inset + (1.0 - 2.0 * inset) * (step * 0.381966 % 1.0) for step in range(24)]


def _disc_box(at: Point, radius: float) -> Box:
    return (at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius)


def _clutter(sheet: Sheet, laid: Sequence[Lay]) -> Clutter:
    lines: list[shapely.Geometry] = [each.area.boundary for each in laid]
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
    boxes = [(b.x, b.y, b.x + b.length, b.y + b.width) for b in sheet.blanks] or [each.box for each in laid]
    boxes = [box for box in boxes if box[2] > band.start and box[0] < band.stop]
    across = _sides([(box[0], box[2]) for box in boxes], {c.x0 for c in sheet.cuts if c.x0 == c.x1}) | {sheet.length}
    up = _sides([(box[1], box[3]) for box in boxes], {c.y0 for c in sheet.cuts if c.y0 == c.y1}) | {sheet.width}
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
    sheet: Sheet, parts: Mapping[str, Part], units: Literal["in", "mm"], scale: float, drawn: Sequence[Item]
) -> list[Item]:
    """The title over what is drawn, the key of its parts under it."""
    size = NAME * scale
    title = sheet_title(sheet, units)
    boxes = [bounds(item) for item in drawn]
    high, low = max(box[3] for box in boxes), min(box[1] for box in boxes)
    fitted = font.fit_size(title, max(sheet.length, 60.0 * scale), 1.3 * size, True)
    items: list[Item] = [Text(Role.LABEL, (0.0, high + 1.5 * scale), title, fitted, bold=True)]
    y = low - 1.6 * size
    for row in _key_rows(sheet, parts, max(sheet.length, 60.0 * scale), size):
        items.append(Text(Role.LABEL, (0.0, y), row, size))
        y -= 1.45 * size
    return items


_BETWEEN = "  ·  "


def _key_rows(sheet: Sheet, parts: Mapping[str, Part], width: float, size: float) -> list[str]:
    rows: list[str] = []
    for number, name in sheet_key(sheet, parts):
        entry = f"{number} {name}"
        if rows and font.text_width(f"{rows[-1]}{_BETWEEN}{entry}", size) <= width:
            rows[-1] += f"{_BETWEEN}{entry}"
        else:
            rows.append(entry)
    return rows


def _ground(
    sheet: Sheet, units: Literal["in", "mm"], items: Sequence[Item], scale: float, words: bool, band: Band
) -> Scene:
    boxes = [bounds(item) for item in items]
    rim = 0.5 * scale
    x0 = min(band.start, *(box[0] for box in boxes)) - rim
    y0 = min(box[1] for box in boxes) - rim
    x1 = max(band.stop, *(box[2] for box in boxes)) + 1.5 * scale
    y1 = max(box[3] for box in boxes) + (1.5 * scale if words else rim)
    return Scene(sheet_title(sheet, units), x0, y0, x1, y1, tuple(items))
