"""A sheet, board or leftover with the parts that are cut from it and the order of its cuts, at true scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import shapely
import shapely.affinity

from hullcut.drawing import font
from hullcut.drawing.labels import roomiest
from hullcut.drawing.paths import bounds, circle, line, polygon, polyline, rectangle, smooth_path, text_box, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import tint
from hullcut.lengths import both, inches, millimetres
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Literal

    from hullcut.drawing.scene import Item, Path, Point
    from hullcut.drawing.segments import Box
    from hullcut.nesting.values import Cut, Placement, Sheet
    from hullcut.parts.values import Part

__all__ = ["offcut_name", "sheet_key", "sheet_scene", "sheet_title", "size_words"]

_NAME, _NUMBER, _SIZE = 2.3, 2.0, 1.9
_LEAST_NUMBER = 1.5


@dataclass(frozen=True, slots=True)
class _Lay:
    """A part as it lies: its number on the sheet, name, outline and holes, box, and the same for shapely."""

    number: int
    name: str
    placement: Placement
    item: Shape
    box: Box
    area: shapely.Polygon


class _Room:
    """Boxes already taken by words, and lines from edge to edge that no word may cross."""

    def __init__(self, breaks: Sequence[float] = ()) -> None:
        self._taken: list[Box] = []
        self._breaks = breaks

    def free(self, box: Box) -> bool:
        """Whether nothing stands in a box."""
        if any(box[0] < x < box[2] for x in self._breaks):
            return False
        return all(box[2] < o[0] or box[0] > o[2] or box[3] < o[1] or box[1] > o[3] for o in self._taken)

    def take(self, box: Box) -> None:
        """Keep a box."""
        self._taken.append(box)

    def put(self, texts: Sequence[Text]) -> Text | None:
        """The first of the texts whose box is free, and its box taken; None where all are taken."""
        for text in texts:
            box = bounds(text)
            if self.free(box):
                self.take(box)
                return text
        return None


def sheet_title(sheet: Sheet, units: Literal["in", "mm"]) -> str:
    """Number, wood, thickness and size of a sheet in one line."""
    stock = sheet.stock
    kind = {"sheet": "Sheet", "board": "Board", "leftover": "Leftover"}[stock.kind]
    thick = both(stock.planed_to, units, 32, decimals=1)
    size = size_words(sheet.length, sheet.width, units)
    return f"{kind} {sheet.number}: {wood(stock.material).name}, {thick} thick, {size}"


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
    text_scale: float = 3.0,
    words: bool = True,
    breaks: Sequence[float] = (),
) -> Scene:
    """A sheet at true scale: parts in their places, cuts in their order, distances from two edges, offcuts, grain.

    Args:
        sheet: what to draw; its untrimmed corner at 0, 0.
        parts: by id.
        units: which unit leads.
        text_scale: how many times larger than on a printed page the letters stand; for a scene that will be drawn
            1:n, n.
        words: whether title and key stand in the scene; without them the caller sets them beside it.
        breaks: places along the length where the caller will cut the scene into rows.
    """
    laid = _laid(sheet, parts)
    room = _Room(breaks)
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
    for each in laid:
        items += _part_words(each, room, text_scale)
    for cut in sheet.cuts:
        items += _cut_number(cut, room, text_scale)
    for number, offcut in enumerate(sheet.offcuts):
        box = (offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width)
        size = f"{_short(offcut.length, units)} × {_short(offcut.width, units)}"
        name = offcut_name(sheet, number)
        items += _offcut_words(box, (f"offcut {name}: {size}", f"offcut {name}", name), room, text_scale)
    items += _running_sizes(sheet, laid, units, text_scale)
    items += _grain_arrow(sheet, text_scale)
    if words:
        items += _title_and_key(sheet, parts, units, text_scale)
    return _ground(sheet, units, items, text_scale, words)


def offcut_name(sheet: Sheet, number: int) -> str:
    """What to write on a sheet's offcut counted from 0: the sheet's number and a letter, "3A"."""
    return f"{sheet.number}{chr(65 + number % 26)}{number // 26 or ''}"


def _short(mm: float, units: Literal["in", "mm"]) -> str:
    return inches(mm) if units == "in" else millimetres(mm)


@lru_cache(maxsize=512)
def _paths(outline: tuple[Point, ...], holes: tuple[tuple[Point, ...], ...]) -> tuple[Path, ...]:
    return tuple(smooth_path(ring) if len(ring) > 16 else polygon(ring) for ring in (outline, *holes))


def _laid(sheet: Sheet, parts: Mapping[str, Part]) -> list[_Lay]:
    laid = []
    names = dict(sheet_key(sheet, parts))
    for number, placement in enumerate(sheet.placements, 1):
        part = parts[placement.part]
        shape = Shape(Role.CUT, _paths(part.outline, part.holes), ref=f"{part.id} {placement.boat}")
        moved = transform(
            shape, angle_deg=placement.rotation, mirror_x=placement.mirrored, dx=placement.x, dy=placement.y
        )
        assert isinstance(moved, Shape)
        box = bounds(replace(moved, paths=moved.paths[:1]))
        laid.append(_Lay(number, names[number], placement, moved, box, _area(part, placement)))
    return laid


def _joint_lines(laid: Sequence[_Lay], parts: Mapping[str, Part]) -> list[Item]:
    """On each strip of a part that is glued up, the line to which the edge that meets the other strip is planed."""
    items: list[Item] = []
    for each in laid:
        at = each.placement
        for mark in parts[at.part].marks:
            if mark.kind == "glue joint":
                drawn = Shape(Role.CENTRE, (polyline(mark.points),), ref=f"{at.part} glue joint")
                items.append(transform(drawn, angle_deg=at.rotation, mirror_x=at.mirrored, dx=at.x, dy=at.y))
    return items


def _area(part: Part, placement: Placement) -> shapely.Polygon:
    area = shapely.Polygon(part.outline, part.holes)
    if placement.mirrored:
        area = shapely.affinity.scale(area, xfact=-1.0, origin=(0.0, 0.0))
    area = shapely.affinity.rotate(area, placement.rotation, origin=(0.0, 0.0))
    return shapely.affinity.translate(area, placement.x, placement.y)


def _part_words(lay: _Lay, room: _Room, scale: float) -> list[Item]:
    """Number and name where they stand wholly on the part, else the number alone, else the number over its edge."""
    x0, y0, x1, y1 = lay.box
    upright = (y1 - y0) > 1.3 * (x1 - x0)
    long, short = (y1 - y0, x1 - x0) if upright else (x1 - x0, y1 - y0)
    shares = (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.22, 0.78)
    name = f"{lay.number} {lay.name}"
    for text, largest, least in ((name, _NAME, 1.8), (str(lay.number), _NUMBER, _LEAST_NUMBER)):
        size = min(largest * scale, 0.78 * short)
        if size < least * scale:
            continue
        if font.text_width(text, size) > 0.94 * long:
            size = font.fit_size(text, 0.94 * long, size)
            if size < least * scale:
                continue
        tries = [_along(lay, share, upright, text, size) for share in shares]
        tries += _on_the_wood(lay, upright, text, size, shares)
        put = room.put([each for each in tries if lay.area.covers(shapely.Polygon(text_box(each)))])
        if put is not None:
            return [put]
    size = _LEAST_NUMBER * scale
    tries = _on_the_wood(lay, upright, str(lay.number), size, shares)
    tries += [_along(lay, share, upright, str(lay.number), size) for share in shares]
    put = room.put(tries)
    return [] if put is None else [put]


def _on_the_wood(lay: _Lay, upright: bool, text: str, size: float, shares: Sequence[float]) -> list[Text]:
    """A text in the part's roomiest place and in the middle of its wood along its run: for parts that bend."""
    x0, y0, x1, y1 = lay.box
    places = [roomiest(lay.area)[0]]
    for share in shares:
        if upright:
            y = y0 + share * (y1 - y0)
            across = shapely.LineString([(x0 - 1.0, y), (x1 + 1.0, y)])
        else:
            x = x0 + share * (x1 - x0)
            across = shapely.LineString([(x, y0 - 1.0), (x, y1 + 1.0)])
        wood_there = max(shapely.get_parts(lay.area.intersection(across)), key=lambda piece: piece.length, default=None)
        if wood_there is not None and not wood_there.is_empty:
            middle = wood_there.centroid
            places.append((middle.x, middle.y))
    drop = 0.36 * size
    ref = lay.placement.part
    tries = []
    for x, y in places:
        standing = Text(Role.LABEL, (x + drop, y), text, size, 90.0, "middle", ref=ref)
        level = Text(Role.LABEL, (x, y - drop), text, size, 0.0, "middle", ref=ref)
        tries += [standing, level] if upright else [level, standing]
    return tries


def _along(lay: _Lay, share: float, upright: bool, text: str, size: float) -> Text:
    x0, y0, x1, y1 = lay.box
    drop = 0.36 * size
    if upright:
        at = ((x0 + x1) / 2.0 + drop, y0 + share * (y1 - y0))
        return Text(Role.LABEL, at, text, size, 90.0, "middle", ref=lay.placement.part)
    at = (x0 + share * (x1 - x0), (y0 + y1) / 2.0 - drop)
    return Text(Role.LABEL, at, text, size, 0.0, "middle", ref=lay.placement.part)


def _cut_number(cut: Cut, room: _Room, scale: float) -> list[Item]:
    """The cut's number on a small disc on its line, where there is room."""
    text = str(cut.order)
    size = 1.6 * scale
    radius = 0.62 * max(size, font.text_width(text, size))
    length = max(abs(cut.x1 - cut.x0), abs(cut.y1 - cut.y0), 1e-9)
    inset = min(1.2 * radius / length, 0.5)
    for step in range(24):
        share = inset + (1.0 - 2.0 * inset) * (step * 0.381966 % 1.0 if step else 0.0)
        x, y = cut.x0 + share * (cut.x1 - cut.x0), cut.y0 + share * (cut.y1 - cut.y0)
        box = (x - radius, y - radius, x + radius, y + radius)
        if not room.free(box):
            continue
        room.take(box)
        return [
            Shape(Role.SAW, (circle((x, y), radius),), ref=f"cut {cut.order}", fill="#ffffff", width=0.15),
            Text(Role.SAW, (x, y - 0.36 * size), text, size, anchor="middle"),
        ]
    return []


def _offcut_words(box: Box, names: Sequence[str], room: _Room, scale: float) -> list[Item]:
    x0, y0, x1, y1 = box
    upright = (y1 - y0) > (x1 - x0)
    long, short = (y1 - y0, x1 - x0) if upright else (x1 - x0, y1 - y0)
    for name in names:
        size = font.fit_size(name, 0.92 * long, _NAME * scale)
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


def _running_sizes(sheet: Sheet, laid: Sequence[_Lay], units: Literal["in", "mm"], scale: float) -> list[Item]:
    """Distances of the blanks' sides from the left and from the lower edge, along those edges."""
    boxes = [(b.x, b.y, b.x + b.length, b.y + b.width) for b in sheet.blanks] or [each.box for each in laid]
    items: list[Item] = []
    size = _SIZE * scale
    across = _spaced({value for box in boxes for value in (box[0], box[2])} | {sheet.length}, 1.15 * size)
    up = _spaced({value for box in boxes for value in (box[1], box[3])} | {sheet.width}, 1.15 * size)
    tick = 1.2 * scale
    for x in across:
        items.append(Shape(Role.DIMENSION, (line((x, -0.3 * scale), (x, -tick)),), width=0.15))
        items.append(Text(Role.DIMENSION, (x + 0.36 * size, -1.5 * tick), _short(x, units), size, 90.0, "end"))
    for y in up:
        items.append(Shape(Role.DIMENSION, (line((-0.3 * scale, y), (-tick, y)),), width=0.15))
        items.append(Text(Role.DIMENSION, (-1.5 * tick, y - 0.36 * size), _short(y, units), size, 0.0, "end"))
    return items


def _spaced(values: set[float], apart: float) -> list[float]:
    """Values in order, those nearer than `apart` to the one before left out; the greatest always kept."""
    ordered = sorted(value for value in values if value > 1.0)
    kept: list[float] = []
    for value in ordered:
        if not kept or value - kept[-1] >= apart:
            kept.append(value)
    if ordered and kept[-1] != ordered[-1]:
        kept = [value for value in kept if ordered[-1] - value >= apart] + [ordered[-1]]
    return kept


def _grain_arrow(sheet: Sheet, scale: float) -> list[Item]:
    size = _SIZE * scale
    top = sheet.width + 3.4 * scale
    width = font.text_width("face grain", size)
    items: list[Item] = [Text(Role.MARK, (0.0, top - 0.36 * size), "face grain", size)]
    x, reach, head = width + 4.0 * scale, 6.0 * scale, 1.2 * scale
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


def _left_margin(sheet: Sheet, units: Literal["in", "mm"], scale: float) -> float:
    widest = max(font.text_width(_short(value, units), _SIZE * scale) for value in (sheet.width, 139.7, 203.0))
    return widest + 2.6 * scale


def _title_and_key(sheet: Sheet, parts: Mapping[str, Part], units: Literal["in", "mm"], scale: float) -> list[Item]:
    size = _NAME * scale
    title = sheet_title(sheet, units)
    fitted = font.fit_size(title, max(sheet.length, 60.0 * scale), 1.3 * size, True)
    items: list[Item] = [Text(Role.LABEL, (0.0, sheet.width + 6.5 * scale), title, fitted, bold=True)]
    y = -_left_margin(sheet, units, scale) - 1.6 * size
    for row in _key_rows(sheet, parts, max(sheet.length, 60.0 * scale), size):
        items.append(Text(Role.LABEL, (0.0, y), row, size))
        y -= 1.45 * size
    return items


def _key_rows(sheet: Sheet, parts: Mapping[str, Part], width: float, size: float) -> list[str]:
    rows: list[str] = []
    for number, name in sheet_key(sheet, parts):
        entry = f"{number} {name}"
        if rows and font.text_width(f"{rows[-1]}   {entry}", size) <= width:
            rows[-1] += f"   {entry}"
        else:
            rows.append(entry)
    return rows


def _ground(sheet: Sheet, units: Literal["in", "mm"], items: Sequence[Item], scale: float, words: bool) -> Scene:
    margin = _left_margin(sheet, units, scale)
    boxes = [bounds(item) for item in items]
    x0 = min(-margin, *(box[0] for box in boxes)) - 0.5 * scale
    y0 = min(-margin, *(box[1] for box in boxes)) - 0.5 * scale
    x1 = max(sheet.length, *(box[2] for box in boxes)) + 1.5 * scale
    y1 = max(sheet.width, *(box[3] for box in boxes)) + (1.5 * scale if words else 0.5 * scale)
    return Scene(sheet_title(sheet, units), x0, y0, x1, y1, tuple(items))
