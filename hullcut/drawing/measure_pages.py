"""Pages of measures: every part told by distances along a base line and offsets from it, to mark out without a printer.

Each part has a small drawing with its base line and numbered points, and a table of those points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from hullcut.drawing.font import fit_size, text_width, wrapped
from hullcut.drawing.furniture import words
from hullcut.drawing.measure_picture import part_picture, picture_height
from hullcut.drawing.measure_tables import READ, Group, PointRow, point_table, told, word_table
from hullcut.drawing.measured_scene import plain_sizes
from hullcut.drawing.paper import paper_named
from hullcut.drawing.part_scene import part_caption
from hullcut.drawing.paths import line, transform
from hullcut.drawing.pdf import one_page
from hullcut.drawing.scene import Item, Role, Scene, Shape, Text
from hullcut.lengths import both, inches
from hullcut.parts.bevels import bevel_words
from hullcut.parts.lie import end_words, face_words, lie_of
from hullcut.parts.measures import is_mirror, is_rectangle, measures_of, reading_step
from hullcut.parts.placements import placements

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.paper import Paper
    from hullcut.parts.measures import Measures
    from hullcut.parts.values import Part, Point

__all__ = ["measures_pdf"]

Units = Literal["in", "mm"]

_MARGIN, _FOOT = 14.0, 12.0
_GAP = 9.0
_BLOCKS = ("Nose block", "Stem block")
_SIZE, _NAME = 2.9, 4.2
# A drawing is as large as the page's width allows, but no higher than this.
_PICTURE_HEIGHT, _LEAST_PICTURE = 62.0, 45.0


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
    blocks = [_how_to(parts, units, width)]
    plain = [part for part in parts if is_rectangle(part)]
    if plain:
        blocks.append(_plain_block(plain, units, width))
        blocks += [block for part in plain for block in _places_block(part, measures_of(part, units), units, width)]
    described: list[Part] = []
    for part in parts:
        if is_rectangle(part):
            continue
        twin = next((each for each in described if part.hand and each.hand and _twins(part, each)), None)
        if twin is None:
            described.append(part)
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
    items.append(words((_MARGIN, _MARGIN - 4.0), title, READ))
    page = f"page {number[0]} of {number[1]}"
    items.append(words((_MARGIN + width, _MARGIN - 4.0), page, READ, anchor="end"))
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
    "Where things go is told on the face that is drawn. What goes on the other face, such as the underside, says so, "
    "and is told as if you looked through the wood. A figure with a minus lies on the other side of the middle line. "
    "What slopes or bends is told at both ends: the first figures of both columns are one edge's corner, the second "
    "figures the other edge's. Screws go along the middle of the places of {screwed}, spaced as the packet says.",
)


def _screwed(parts: Sequence[Part]) -> str:
    """The parts along whose places screws go, as far as the boat has them."""
    blocks = [f"the {part.name.lower()}" for part in parts if part.name in _BLOCKS]
    kinds = ["cleats", "deck beams", "bearers", *dict.fromkeys(blocks)]
    return f"{', '.join(kinds[:-1])} and {kinds[-1]}"


def _how_to(parts: Sequence[Part], units: Units, width: float) -> _Block:
    pitch = "2 in" if units == "in" else "50 mm"
    step = "1/32 in" if units == "in" else "1/2 mm"
    items: list[Item] = [words((0.0, -5.0), "Marking out without a printer", 5.0, bold=True)]
    texts = [
        *(text.format(screwed=_screwed(parts)) for text in _HOW),
        f"Offsets stand every {pitch} or closer, written to {step}.",
    ]
    more, down = _lines(texts, width, _SIZE, 12.0)
    return _Block("how to", down, (*items, *more))


def _plain_block(parts: Sequence[Part], units: Units, width: float) -> _Block:
    rows, notes = [("Plain pieces (how many)", "longer side", "shorter side", "grain")], [""]
    captions = [part_caption(replace(part, quantity=1), units) for part in parts]
    for caption in dict.fromkeys(captions):
        rows.append((caption, "", "", ""))
        notes.append("")
        for part in (part for part, each in zip(parts, captions, strict=True) if each == caption):
            count = f" ({part.quantity})" if part.quantity > 1 else ""
            rows.append((f"{part.name}{count}", *plain_sizes(part, units), _plain_grain(part)))
            notes.append(" ".join(_joint_words(part, units)))
    items, down = word_table(rows, [share * width for share in (0.0, 0.33, 0.58, 0.82)], width, 3.5, notes)
    return _Block("plain pieces", down, tuple(items))


def _plain_grain(part: Part) -> str:
    """Which side of a plain piece the grain runs along."""
    length, breadth = _size(part)
    if part.grain == "any" or abs(length - breadth) < 0.1:
        return "either way" if part.grain == "any" else "along one side"
    return "longer side" if (part.grain == "along") == (length > breadth) else "shorter side"


_GRAIN = {
    "along": "grain along the base line",
    "across": "grain square to the base line",
    "any": "grain either way",
}


def _places_block(part: Part, found: Measures, units: Units, width: float) -> list[_Block]:
    """Where things go on a plain piece, if anything does."""
    head, down = _head(
        f"{part.name}: where things go", [f"{_lie_words(part)} {_base_words(part, found, units)}"], width
    )
    # Where the places of a larger part go on by themselves, its drawing has told the drill.
    drills, down = _lines(_screw_words(part, units) if is_rectangle(part) else [], width, READ, down)
    rows, down = _places(part, found, units, width, down + 2.0)
    head += drills
    return [_Block(part.name, down, (*head, *rows))] if rows else []


def _head(name: str, told_below: Sequence[str], width: float) -> tuple[list[Item], float]:
    """A part's name and the lines below it; and how far down the next may stand."""
    items: list[Item] = []
    down = 0.5
    for text in wrapped(name, width, _NAME, bold=True):
        down += _NAME
        items.append(words((0.0, -down), text, _NAME, bold=True))
    more, down = _lines(told_below, width, _SIZE, down + 5.0)
    return [*items, *more], down


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
    below = [
        f"{part_caption(part, units)}, {_GRAIN[part.grain]}.",
        f"{_lie_words(part)} {_base_words(part, found, units)}",
    ]
    head, top = _head(heading, below, width)
    groups, numbers = _groups(found, units)
    rows, down = point_table(groups, units, width, 3.5)
    more = [
        _error_words(found, units),
        *bevel_words(part, units),
        *_slot_words(part),
        *_joint_words(part, units),
        *_screw_words(part, units),
    ]
    lines, down = _lines(more, width, READ, down + 1.5)
    places, end = _places(part, found, units, width, down + 2.5)
    apart = top + min(_LEAST_PICTURE, picture_height(part, width)) + end > height
    rest = [*rows, *lines] if apart else [*rows, *lines, *places]
    end = down if apart or not places else end
    picture, tall = part_picture(part, found, numbers, width, min(_PICTURE_HEIGHT, height - top - end))
    items = [
        *head,
        *(transform(item, dy=-top) for item in picture),
        *(transform(item, dy=-top - tall) for item in rest),
    ]
    block = _Block(part.name, top + tall + end, tuple(items))
    return [block, *_places_block(part, found, units, width)] if apart else [block]


_TO_THE_RIGHT = {"up": "upper end", "down": "lower end"}


def _lie_words(part: Part) -> str:
    """Which face is drawn and which way the part lies."""
    lie = lie_of(part)
    return f"Drawn: {face_words(part, lie.face)}, {_TO_THE_RIGHT.get(lie.right, lie.right)} to the right."


def _base_words(part: Part, found: Measures, units: Units) -> str:
    """Where the measures of a part begin, and which side has a plus."""
    lie = lie_of(part)
    left = f"0 at the left ({end_words(lie.left)}) end"
    if found.base == "lower edge":
        foot = "" if lie.foot == "down" else f" ({end_words(lie.foot)})"
        return f"Base line: lower edge{foot}, {left}.{_leaving_words(part, units)}"
    if found.base == "centre line along":
        return f"Base line: the middle line, {left}; offsets to both sides, plus is {lie.up}."
    return f"Base line: lower edge, 0 at the middle line; distances to both sides, plus is {lie.right}."


def _leaving_words(part: Part, units: Units) -> str:
    """Where the lower edge leaves a base line that follows it; nothing where it lies on it from end to end."""
    points = np.array(part.outline)
    step = reading_step(units)
    # What a rule can't tell from the base line lies on it.
    on = points[points[:, 1] < 0.5 * step, 0]
    first, last, end = float(on.min()), float(on.max()), float(points[:, 0].max())
    start, stop = (both(at, units, 32, decimals=1) if at > step else "0" for at in (first, last))
    if last - first < 2.0 * step:
        return f" It only touches that edge, at {start}."
    if first > step:
        return f" The edge lies on it from {start} to {stop} only."
    return f" The edge leaves it at {stop}." if last < end - step else ""


def _slot_words(part: Part) -> list[str]:
    """What a slot's mark warns of."""
    warned = [mark.name for mark in part.marks if mark.kind == "slot" and ":" in mark.name]
    return [f"{text[0].upper()}{text[1:]}." for text in dict.fromkeys(warned)]


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


def _screw_words(part: Part, units: Units) -> list[str]:
    """What the screws that go through a part are drilled with."""
    sizes = sorted({mark.diameter for mark in part.marks if mark.kind == "screw" and mark.diameter is not None})
    return (
        [f"Screw holes through this part: drill {' or '.join(_drill(size, units) for size in sizes)}."] if sizes else []
    )


def _error_words(found: Measures, units: Units) -> str:
    error = f"{found.worst_error:.1f} mm"
    if units == "in":
        # The least that a rule shows which holds the error.
        steps = max(1, math.ceil(found.worst_error / reading_step("in")))
        error += f", within {inches(steps * reading_step('in'), 32)}"
    curved = any(edge.curved for edge in found.edges)
    how = "batten or straight line" if curved else "straight lines"
    return f"Worst error of the {how} through these points against the outline: {error}."


def _places(part: Part, found: Measures, units: Units, width: float, down: float) -> tuple[list[Item], float]:
    """The table of where things go, and how far down the next may stand; nothing where nothing goes."""
    placed = placements(part, found, units)
    if not placed:
        return [], down
    unit, other = ("in", "mm") if units == "in" else ("mm", "in")
    rows = [("Where things go", f"along the base line, {unit} ({other})", f"off the base line, {unit} ({other})")]
    drawn = lie_of(part).face
    hidden = False
    for each in sorted(placed, key=lambda each: each.face not in (drawn, "both")):
        if each.face not in (drawn, "both") and not hidden:
            hidden = True
            rows.append((f"On the {face_words(part, each.face)}", "", ""))
        for where, (along, off) in zip(each.wheres, each.rows, strict=True):
            name = each.name if each.diameter is None else f"{each.name}, drill {_drill(each.diameter, units)}"
            rows.append((f"{name}, {where}" if where else name, _span(along, units), _span(off, units)))
    return word_table(rows, (0.0, 0.37 * width, 0.69 * width), width, down)


def _drill(diameter: float, units: Units) -> str:
    """A drill's size; holes are told to 1/64 in, as drills are sold."""
    return both(diameter, units, 64, decimals=1)


def _span(span: tuple[float, float], units: Units) -> str:
    """From where to where, in the design's unit, the other in brackets."""
    ends = span if abs(span[1] - span[0]) > 1e-6 else span[:1]
    main, small = (" to ".join(each) for each in zip(*(told(end, units) for end in ends), strict=True))
    return f"{main} ({small})"


def _groups(found: Measures, units: Units) -> tuple[list[Group], list[tuple[Point, int]]]:
    """The table's points under the names of their edges and holes; and each numbered point."""
    groups: list[Group] = []
    numbers: list[tuple[Point, int]] = []
    for edge in found.edges:
        rows: list[PointRow] = []
        for point in edge.points:
            number = next((n for (x, y), n in numbers if abs(x - point[0]) + abs(y - point[1]) < 1e-6), None)
            if number is None:
                number = len(numbers) + 1
                numbers.append((point, number))
            rows.append(PointRow(str(number), *point))
        groups.append(Group(edge.name + (", batten" if edge.curved else ", straight"), tuple(rows)))
    for hole in found.holes:
        if hole.diameter is not None:
            size = both(hole.diameter, units, 32, decimals=1)
            groups.append(Group(f"{hole.name}, {size} in diameter, middle", (PointRow("", *hole.centre),)))
        else:
            groups.append(Group(f"{hole.name}, corners", tuple(PointRow("", x, y) for x, y in hole.corners)))
    return groups, numbers
