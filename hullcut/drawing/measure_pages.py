"""Pages of measures: every part told by distances along a base line and offsets from it, to mark out without a printer.

Each part has a small drawing with its base line and numbered points, and a table of those points.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from hullcut.drawing.font import fit_size, text_width
from hullcut.drawing.furniture import words
from hullcut.drawing.paper import paper_named
from hullcut.drawing.part_scene import part_caption
from hullcut.drawing.paths import circle, line, polygon, polyline, text_box, transform
from hullcut.drawing.pdf import one_page
from hullcut.drawing.scene import Item, Role, Scene, Shape, Text
from hullcut.drawing.smooth import smooth_path
from hullcut.lengths import both, inches, millimetres
from hullcut.parts.bevels import bevel_words
from hullcut.parts.marking import marked_face
from hullcut.parts.measures import is_mirror, is_rectangle, measures_of, reading_step
from hullcut.parts.placements import placements

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.paper import Paper
    from hullcut.parts.measures import Measures
    from hullcut.parts.values import Part, Point

__all__ = ["measures_pdf"]

Units = Literal["in", "mm"]

_MARGIN, _FOOT = 14.0, 12.0
_GAP = 9.0
_ROW, _SIZE, _SMALL, _TINY = 4.4, 2.9, 2.5, 2.2
_PICTURE_HEIGHT = 52.0
_COLUMN, _OFFSET_AT = 58.0, 36.0


@dataclass(frozen=True, slots=True)
class _Block:
    """What is told of a part: items below and right of 0, 0."""

    name: str
    height: float
    items: tuple[Item, ...]


def measures_pdf(parts: Sequence[Part], units: Units, paper: str, title: str, stamp: str | None = None) -> bytes:
    """The pages of measures as a PDF.

    Args:
        parts: all parts of a boat.
        units: which unit leads.
        paper: a name in `hullcut.drawing.paper.PAPERS`.
        title: of the document.
        stamp: what stands on every page where a check failed.
    """
    size = paper_named(paper)
    width, height = size.width - 2.0 * _MARGIN, size.height - 2.0 * _MARGIN - _FOOT
    blocks = [_how_to(units, width)]
    plain = [part for part in parts if is_rectangle(part)]
    if plain:
        blocks.append(_plain_block(plain, units, width))
        blocks += [block for part in plain for block in _places_block(part, units, width)]
    told: list[Part] = []
    for part in parts:
        if is_rectangle(part):
            continue
        twin = next((each for each in told if part.hand and each.hand and _twins(part, each)), None)
        if twin is None:
            told.append(part)
            blocks += _part_blocks(part, parts, units, (width, height))
    pages = _flowed(blocks, height)
    scenes = [_page(page, size, (i + 1, len(pages)), title, stamp) for i, page in enumerate(pages)]
    return one_page(scenes, title)


def _twins(part: Part, other: Part) -> bool:
    """Whether a part is the other hand of one that is told already."""
    return part.name.rsplit(",", 1)[0] == other.name.rsplit(",", 1)[0] and is_mirror(part, other)


def _flowed(blocks: Sequence[_Block], height: float) -> list[list[tuple[_Block, float]]]:
    """Blocks one under another on pages, each with the distance of its head from the page's; in order where they fit.

    A page's foot takes the next block that still fits, so that little paper stays empty.
    """
    waiting = list(blocks)
    pages: list[list[tuple[_Block, float]]] = []
    while waiting:
        page: list[tuple[_Block, float]] = []
        down = 0.0
        while True:
            fitting = next((block for block in waiting if not page or down + block.height <= height), None)
            if fitting is None:
                break
            waiting.remove(fitting)
            page.append((fitting, down))
            down += fitting.height + _GAP
        pages.append(page)
    return pages


def _page(
    blocks: Sequence[tuple[_Block, float]], paper: Paper, number: tuple[int, int], title: str, stamp: str | None
) -> Scene:
    top = paper.height - _MARGIN
    width = paper.width - 2.0 * _MARGIN
    items: list[Item] = []
    for block, down in blocks:
        items += [transform(item, dx=_MARGIN, dy=top - down) for item in block.items]
        if down > 0.0:
            at = top - down + _GAP / 2.0
            items.append(Shape(Role.PAGE, (line((_MARGIN, at), (_MARGIN + width, at)),)))
    items.append(words((_MARGIN, _MARGIN - 4.0), title, _SMALL))
    page = f"page {number[0]} of {number[1]}"
    items.append(words((_MARGIN + width, _MARGIN - 4.0), page, _SMALL, anchor="end"))
    if stamp is not None:
        size = fit_size(stamp, width, 4.0, True)
        items.append(Text(Role.LABEL, (_MARGIN, top + 3.0), stamp, size, bold=True, colour="#d55e00"))
    return Scene(title, 0.0, 0.0, paper.width, paper.height, tuple(items))


def _lines(texts: Sequence[str], width: float, size: float, down: float) -> tuple[list[Item], float]:
    """Lines of text, broken to a width; and how far down the next may stand."""
    items: list[Item] = []
    for text in texts:
        row = ""
        for word in text.split(" "):
            longer = f"{row} {word}".strip()
            if row and text_width(longer, size) > width:
                items.append(words((0.0, -down), row, size))
                down += 1.45 * size
                row = word
            else:
                row = longer
        items.append(words((0.0, -down), row, size))
        down += 1.45 * size
    return items, down


_HOW = (
    "You need a steel rule or tape, a try square, a pencil, a straightedge, small nails and a batten: a thin straight "
    "strip of even wood, longer than the edge, that bends without a kink.",
    "1. Draw the part's base line on the wood. Where it is the lower edge, use a straight edge of the board or sheet.",
    "2. Tick off the distances along it from 0. Square a line across at each tick, and measure its offset from the "
    "base line. A part that is alike on both sides of a middle line is told on one side: mark both.",
    "3. Join the points of a straight edge with the straightedge. At a curved edge set a nail at each point, spring "
    "the batten against the nails, look along it for bumps, and draw along it. Let its ends run free.",
    "4. Saw outside the line and plane down to it. Saw a bevelled edge square along its longer face first.",
    "The worst error is the greatest distance between that line and the true outline; it takes in the rounding of the "
    "measures. Sizes are as cut, with the trim allowance. Take care with tools, with an adult beside you.",
    "Where things go is told on the face that lies up, unless it says so; what slopes or bends, at both its ends. A "
    "figure with a minus lies on the other side of the middle line. Screws go along the middle of a cleat's place, "
    "spaced as the packet says.",
)


def _how_to(units: Units, width: float) -> _Block:
    pitch = "2 in" if units == "in" else "50 mm"
    step = "1/32 in" if units == "in" else "1/2 mm"
    items: list[Item] = [words((0.0, -5.0), "Marking out without a printer", 5.0, bold=True)]
    texts = [*_HOW, f"Offsets stand every {pitch} or closer, written to {step}."]
    more, down = _lines(texts, width, _SIZE, 12.0)
    return _Block("how to", down, (*items, *more))


def _plain_block(parts: Sequence[Part], units: Units, width: float) -> _Block:
    rows = [("Plain pieces", "longer side", "shorter side", "grain", "what")]
    rows += [
        (
            part.name,
            both(max(_size(part)), units, 32, decimals=1),
            both(min(_size(part)), units, 32, decimals=1),
            _plain_grain(part),
            ". ".join([part_caption(part, units), *_joint_words(part, units)]).removesuffix("."),
        )
        for part in parts
    ]
    places = [0.0]
    for column in range(4):
        places.append(
            places[-1] + 3.0 + max(text_width(row[column], _SMALL, bold=i == 0) for i, row in enumerate(rows))
        )
    items: list[Item] = []
    for i, row in enumerate(rows):
        for x, text, room in zip(places, row, [*np.diff(places).tolist(), width - places[-1]], strict=True):
            size = fit_size(text, room, _SMALL, i == 0)
            items.append(words((x, -3.5 - i * _ROW), text, size, bold=i == 0))
        items.append(Shape(Role.PAGE, (line((0.0, -5.0 - i * _ROW), (width, -5.0 - i * _ROW)),)))
    return _Block("plain pieces", 6.0 + len(rows) * _ROW, tuple(items))


def _plain_grain(part: Part) -> str:
    """Which side of a plain piece the grain runs along."""
    length, breadth = _size(part)
    if part.grain == "any" or abs(length - breadth) < 0.1:
        return "either way" if part.grain == "any" else "along one side"
    return "longer side" if (part.grain == "along") == (length > breadth) else "shorter side"


_UNITS = {"in": ("in", "mm"), "mm": ("mm", "in")}
_GRAIN = {
    "along": "grain along the base line",
    "across": "grain square to the base line",
    "any": "grain either way",
}


def _places_block(part: Part, units: Units, width: float) -> list[_Block]:
    """Where things go on a plain piece, if anything does."""
    found = measures_of(part, units)
    rows, down = _places(part, found, units, width, 9.5)
    if not rows:
        return []
    base = _BASES[found.base]
    heading = words((0.0, -4.5), f"{part.name}: where things go", 4.2, bold=True)
    return [_Block(part.name, down, (heading, words((width, -4.5), base, _SMALL, anchor="end"), *rows))]


def _size(part: Part) -> tuple[float, float]:
    """Length and width as cut."""
    points = np.array(part.outline)
    return float(np.ptp(points[:, 0])), float(np.ptp(points[:, 1]))


def _part_blocks(part: Part, parts: Sequence[Part], units: Units, room: tuple[float, float]) -> list[_Block]:
    """A part's picture and tables; where things go by itself if a page cannot hold all."""
    width, height = room
    found = measures_of(part, units)
    other = next((each for each in parts if each is not part and part.hand and _twins(each, part)), None)
    heading = part.name if other is None else f"{part.name}; {other.name.rsplit(', ', 1)[-1]} is its mirror image"
    what, base = f"{part_caption(part, units)}, {_GRAIN[part.grain]}", _BASES[found.base]
    items: list[Item] = [
        words((0.0, -4.5), heading, fit_size(heading, width, 4.2, True), bold=True),
        words((0.0, -9.2), what, fit_size(what, width, _SIZE)),
    ]
    beside = text_width(what, _SIZE) + 6.0 + text_width(base, _SIZE) <= width
    head = 12.0 if beside else 16.2
    items.append(words((width, -9.2 if beside else -13.4), base, fit_size(base, width, _SIZE), anchor="end"))
    rows, numbers = _rows(found, units)
    picture, tall = _picture(part, found, numbers, width)
    down = head + tall
    items += [transform(item, dy=-head) for item in picture]
    table, down = _table(rows, units, width, down + 3.5)
    items += table
    more = [_error_words(found, units), *bevel_words(part, units), *_joint_words(part, units)]
    lines, down = _lines(more, width, _SMALL, down + 1.5)
    places, end = _places(part, found, units, width, down + 2.5)
    if end > height:
        return [_Block(part.name, down, (*items, *lines)), *_places_block(part, units, width)]
    return [_Block(part.name, end if places else down, (*items, *lines, *places))]


_BASES = {
    "lower edge": "base line: lower edge, 0 at the left end",
    "centre line along": "base line: the middle line, 0 at the left end; offsets to both sides",
    "centre line up": "base line: lower edge, 0 at the middle line; distances to both sides",
}


def _joint_words(part: Part, units: Units) -> list[str]:
    """Where the two boards of a part that is glued up meet."""
    found = []
    for mark in part.marks:
        if mark.kind == "glue joint":
            (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
            level = abs(x1 - x0) > abs(y1 - y0)
            place = both(y0 if level else x0, units, 32, decimals=1)
            found.append(
                f"The boards' joint runs {place} {'above the lowest point' if level else 'from the left end'}."
            )
    return list(dict.fromkeys(found))


def _error_words(found: Measures, units: Units) -> str:
    error = f"{found.worst_error:.1f} mm"
    if units == "in":
        steps = round(found.worst_error / reading_step("in"))
        error += f", about {steps}/32 in" if steps else ", under 1/32 in"
    curved = any(edge.curved for edge in found.edges)
    how = "batten or straight line" if curved else "straight lines"
    return f"Worst error of the {how} through these points against the outline: {error}."


def _places(part: Part, found: Measures, units: Units, width: float, down: float) -> tuple[list[Item], float]:
    """The table of where things go, and how far down the next may stand; nothing where nothing goes."""
    placed = placements(part, found, units)
    if not placed:
        return [], down
    unit, other = _UNITS[units]
    heads = ("Where things go", f"along the base line, {unit} ({other})", f"off the base line, {unit} ({other})")
    columns = (0.0, 0.36 * width, 0.68 * width)
    items: list[Item] = [words((x, -down), head, _SMALL, bold=True) for x, head in zip(columns, heads, strict=True)]
    drawn = marked_face(part)
    for each in placed:
        for number, row in enumerate(each.rows):
            down += _ROW
            end = "" if len(each.rows) == 1 else (", one end", ", other end")[number]
            face = "" if each.face in (drawn, "both") else f", {each.face} face"
            name = f"{each.name}{end}{face}"
            items.append(words((0.0, -down), name, fit_size(name, columns[1] - 3.0, _SMALL)))
            items += [words((x, -down), _span(span, units), _SMALL) for x, span in zip(columns[1:], row, strict=True)]
            items.append(Shape(Role.PAGE, (line((0.0, -down - 1.3), (width, -down - 1.3)),)))
    return items, down + _ROW


def _span(span: tuple[float, float], units: Units) -> str:
    """From where to where, in the design's unit, the other in brackets."""
    ends = span if abs(span[1] - span[0]) > 1e-6 else span[:1]
    figures = [_told(end, units).split("|") for end in ends]
    main, small = (" to ".join(each).replace(" in", "") for each in zip(*figures, strict=True))
    return f"{main} ({small})"


_Row = tuple[str, str, str]


def _rows(found: Measures, units: Units) -> tuple[list[_Row], list[tuple[Point, int]]]:
    """Rows of the table, edge names among them; and each numbered point."""
    rows: list[_Row] = []
    numbers: list[tuple[Point, int]] = []
    for edge in found.edges:
        rows.append((edge.name + (", batten" if edge.curved else ", straight"), "", ""))
        for point in edge.points:
            number = next((n for (x, y), n in numbers if abs(x - point[0]) + abs(y - point[1]) < 1e-6), None)
            if number is None:
                number = len(numbers) + 1
                numbers.append((point, number))
            rows.append((str(number), _told(point[0], units), _told(point[1], units)))
    for hole in found.holes:
        if hole.diameter is not None:
            size = both(hole.diameter, units, 32, decimals=1)
            rows.append((f"{hole.name}, {size} across, middle", "", ""))
            rows.append(("", _told(hole.centre[0], units), _told(hole.centre[1], units)))
        else:
            rows.append((f"{hole.name}, corners", "", ""))
            rows += [("", _told(x, units), _told(y, units)) for x, y in hole.corners]
    return rows, numbers


def _told(mm: float, units: Units) -> str:
    """A measure in the design's unit with the other small beside it."""
    if units == "in":
        return f"{inches(mm, 32).removesuffix(' in')} in|{mm:.1f}"
    return f"{millimetres(mm, 1)}|{inches(mm, 32)}"


def _table(rows: Sequence[_Row], units: Units, width: float, down: float) -> tuple[list[Item], float]:
    """The rows in columns side by side, edge names in bold; and how far down the next may stand."""
    columns = max(1, int(width // _COLUMN))
    room = width / columns
    each = -(-len(rows) // columns)
    items: list[Item] = []
    unit, other = _UNITS[units]
    for column in range(-(-len(rows) // each)):
        x = column * room
        for place, head in (
            (5.5, "point"),
            (11.0, f"along, {unit}, small {other}"),
            (_OFFSET_AT, f"offset, {unit}, small {other}"),
        ):
            anchor = "middle" if head == "point" else "start"
            items.append(words((x + place, -down), head, 2.0, anchor=anchor, colour="#6b6b6b"))
    down += _ROW
    for index, (first, along, off) in enumerate(rows):
        column, row = divmod(index, each)
        x, y = column * room, -down - row * _ROW
        if not along:
            size = fit_size(first, room - 3.0, _SMALL, True)
            items.append(words((x, y), first, size, bold=True))
            continue
        items.append(words((x + 5.5, y), first, _SMALL, anchor="middle", bold=True, colour="#0072b2"))
        for place, value in ((x + 11.0, along), (x + _OFFSET_AT, off)):
            main, small = value.split("|")
            items.append(words((place, y), main, _SMALL))
            items.append(words((place + text_width(main, _SMALL) + 0.8, y), small, 1.9))
    return items, down + each * _ROW


def _picture(
    part: Part, found: Measures, numbers: Sequence[tuple[Point, int]], width: float
) -> tuple[list[Item], float]:
    """The outline with base line, ordinates and numbered points, below and right of 0, 0; and its height."""
    length, breadth = _size(part)
    scale = min((width - 16.0) / length, (_PICTURE_HEIGHT - 12.0) / breadth, 1.0)
    height = breadth * scale + 12.0
    left, low = (width - length * scale) / 2.0, -height + 6.0

    def at(point: Point) -> Point:
        x, y = point[0] + found.origin[0], point[1] + found.origin[1]
        return (left + x * scale, low + y * scale)

    own = [(left + x * scale, low + y * scale) for x, y in part.outline]
    outline = smooth_path(own) if len(own) > 12 else polygon(own)
    items: list[Item] = []
    for hole in part.holes:
        ring = [(left + x * scale, low + y * scale) for x, y in hole]
        items.append(Shape(Role.INNER_CUT, (smooth_path(ring) if len(ring) > 12 else polygon(ring),)))
    for mark in part.marks:
        if mark.kind == "slot":
            ring = [(left + x * scale, low + y * scale) for x, y in mark.points[:-1]]
            items.append(Shape(Role.MARK, (smooth_path(ring) if len(ring) > 12 else polygon(ring),)))
    base = [at((-found.origin[0] - 4.0 / scale, 0.0)), at((length - found.origin[0] + 4.0 / scale, 0.0))]
    items.append(Shape(Role.CENTRE, (polyline(base),), ref="base line"))
    if found.base == "centre line up":
        items.append(Shape(Role.CENTRE, (polyline([at((0.0, 0.0)), at((0.0, breadth))]),), ref="middle line"))
    ordinates: list[tuple[Point, Point]] = []
    for point, _ in numbers:
        foot = at((point[0], 0.0))
        if abs(at(point)[1] - foot[1]) > 0.5:
            ordinates.append((foot, at(point)))
    items += [Shape(Role.PAGE, (line(*ends),)) for ends in ordinates]
    items.append(Shape(Role.OUTLINE, (outline,), ref=part.id))
    if found.base != "centre line up":
        items.append(words((base[0][0] - 1.0, base[0][1] - 0.8), "0", _TINY, anchor="end"))
    lines = [shapely.LineString(ends) for ends in (*ordinates, base)]
    items += _numbered([(at(point), number) for point, number in numbers], shapely.Polygon(own), lines)
    return items, height


def _numbered(
    points: Sequence[tuple[Point, int]], outline: shapely.Polygon, lines: Sequence[shapely.LineString]
) -> list[Item]:
    """A dot at each point and its number outside the outline where it can be, clear of lines and other numbers."""
    items: list[Item] = [Shape(Role.OUTLINE, tuple(circle(at, 0.45) for at, _ in points), fill="#000000", width=0.1)]
    taken: list[BaseGeometry] = [each.buffer(0.2) for each in lines]
    for (x, y), number in points:
        found: list[tuple[Text, shapely.Polygon]] = []
        for dx, dy, anchor in _BESIDE:
            text = Text(Role.LABEL, (x + dx, y + dy - 0.36 * _TINY), str(number), _TINY, anchor=anchor)
            box = shapely.Polygon(text_box(text))
            if not outline.exterior.intersects(box) and not any(box.intersects(other) for other in taken):
                found.append((text, box))
        if found:
            # Outside first; within the outline only where all places outside are taken.
            text, box = min(found, key=lambda each: outline.intersects(each[1]))
            taken.append(box)
            items.append(text)
    return items


# Places beside a point, tried in turn.
_BESIDE = (
    (0.0, 2.2, "middle"),
    (0.0, -2.2, "middle"),
    (1.2, 0.0, "start"),
    (-1.2, 0.0, "end"),
    (1.2, 1.6, "start"),
    (-1.2, 1.6, "end"),
    (1.2, -1.6, "start"),
    (-1.2, -1.6, "end"),
    (0.8, 3.4, "start"),
    (-0.8, 3.4, "end"),
    (0.8, -3.4, "start"),
    (-0.8, -3.4, "end"),
    (1.2, 5.4, "start"),
    (-1.2, -5.4, "end"),
)
