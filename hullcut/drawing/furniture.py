"""What stands on a template page besides the part: measured bars, marks to join pages by, labels."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing import font
from hullcut.drawing.part_scene import drill_mark
from hullcut.drawing.paths import bounds, circle, line, polyline
from hullcut.drawing.scene import Role, Scene, Shape, Text

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = [
    "BAR_4_IN",
    "BAR_100_MM",
    "FOOTER_HEIGHT",
    "MARK_REACH",
    "bar",
    "cell_name",
    "check_items",
    "footer",
    "register_mark",
    "row_name",
    "stamped",
    "strip_text",
    "words",
]

FOOTER_HEIGHT = 18.0
BAR_100_MM = "bar 100 mm"
BAR_4_IN = "bar 4 in"

# Least letters of a footer's first line on one line, and its letters on several, mm.
_LEAST_TITLE, _TITLE_SMALL = 3.0, 2.6

_MARK_RADIUS = 2.5
_MARK_ARM = 4.0
MARK_REACH = _MARK_ARM + 0.5
"""How far from a joining line words stand, so that they keep clear of its register marks, mm."""
_STAMP_MARGIN, _LEAST_STAMP = 2.0, 2.4


def words(at: Point, text: str, size: float, **more: object) -> Text:
    """A text of page furniture."""
    return Text(Role.LABEL, at, text, size, **more)  # type: ignore[arg-type]


def row_name(row: int) -> str:
    """A, B ... Z, AA, AB ... for rows counted from 0."""
    name = ""
    row += 1
    while row:
        row, letter = divmod(row - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def cell_name(row: int, column: int) -> str:
    """The name of a page in its grid: "B3" is the third page of the second row."""
    return f"{row_name(row)}{column + 1}"


def bar(start: Point, upright: bool, inches: bool) -> list[Item]:
    """A bar to measure, 100 mm or 4 in long, with a tick each 10 mm or half inch.

    Args:
        start: its lower left end.
        upright: whether it stands.
        inches: 4 in instead of 100 mm.
    """
    length, step, count = (101.6, 12.7, 8) if inches else (100.0, 10.0, 10)
    name = "exactly 4 in" if inches else "exactly 100 mm"
    ref = BAR_4_IN if inches else BAR_100_MM

    def at(along: float, off: float) -> Point:
        return (start[0] - off, start[1] + along) if upright else (start[0] + along, start[1] + off)

    ticks = tuple(line(at(k * step, -1.5 if k in (0, count) else 0.0), at(k * step, 1.5)) for k in range(count + 1))
    return [
        Shape(Role.THIN, (line(at(0.0, 0.0), at(length, 0.0)),), ref=ref, width=0.35),
        Shape(Role.THIN, ticks),
        words(at(length / 2, 2.4), name, 2.6, anchor="middle", angle=90.0 if upright else 0.0),
    ]


def footer(left: float, bottom: float, width: float, lines: tuple[str, str, str]) -> list[Item]:
    """The foot of a page: both bars at the left and three lines of text, the first bold, at the right.

    A first line that is long is broken in two or three smaller ones, and what they can't hold ends in dots.
    """
    items = [
        *bar((left, bottom + 2.0), False, True),
        *bar((left, bottom + 10.0), False, False),
    ]
    right, room = left + width, width - 101.6 - 5.0
    if font.text_width(lines[0], _LEAST_TITLE, True) > room:
        titles = font.wrapped(lines[0], room, _TITLE_SMALL, True)
        for row, text in enumerate(reversed(titles)):
            high = bottom + 9.2 + 3.1 * row
            items.append(words((right, high), text, _TITLE_SMALL, anchor="end", bold=True))
        rows = [(5.5, lines[1], False), (1.4, lines[2], False)]
    else:
        rows = [(10.6, lines[0], True), (5.9, lines[1], False), (1.4, lines[2], False)]
    for height, text, bold in rows:
        size = font.fit_size(text, room, 3.6 if bold else 2.9, bold)
        items.append(words((right, bottom + height), text, size, anchor="end", bold=bold))
    return items


def register_mark(at: Point) -> list[Item]:
    """A cross in a circle; its middle is the same point of the part on every page that shows it."""
    x, y = at
    arms = (line((x - _MARK_ARM, y), (x + _MARK_ARM, y)), line((x, y - _MARK_ARM), (x, y + _MARK_ARM)))
    return [Shape(Role.PAGE, (circle(at, _MARK_RADIUS), *arms), ref="register mark")]


Array = NDArray[np.float64]

# Size of the words at a joint, mm: their capitals are 2 mm high. Their place is looked for in steps so long.
_HINT, _HINT_STEP = 2.8, 2.5


def _no_trouble(boxes: Array) -> NDArray[np.intp]:
    return np.zeros(len(boxes), dtype=np.intp)


def strip_text(
    window: Box,
    side: str,
    half_overlap: float,
    texts: Sequence[str],
    trouble: Callable[[Array], NDArray[np.intp]] = _no_trouble,
) -> list[Item]:
    """A line of text in the strip beyond the joining line on one side of the window, where it is best read.

    Args:
        window: in which the part shows.
        side: "left", "right", "top" or "bottom".
        half_overlap: width of the strip, mm.
        texts: the words, and shorter ones for a strip that has no room for them.
        trouble: how ill boxes (n, 4) are suited for words: 0 off the part, 1 on it, more where they should not stand.
    """
    x0, y0, x1, y1 = window
    size = min(_HINT, 0.56 * half_overlap)
    low = 0.5 * half_overlap - 0.36 * size
    upright = side in ("left", "right")
    start, stop = (y0, y1) if upright else (x0, x1)
    middle, quarter = 0.5 * (start + stop), start + 0.27 * (stop - start)
    across = {
        "left": x0 + half_overlap - low,
        "right": x1 - low,
        "top": y1 - half_overlap + low,
        "bottom": y0 + low,
    }[side]
    best: tuple[tuple[int, int, int, float], str, float] | None = None
    for shorter, text in enumerate(texts):
        half = 0.5 * font.text_width(text, size)
        first = start + half_overlap + MARK_REACH + half
        last = stop - half_overlap - MARK_REACH - half
        ats = first + np.arange(int(max(last - first, 0.0) / _HINT_STEP) + 1) * _HINT_STEP
        if last > first:
            # A register mark stands in the middle.
            ats = ats[np.abs(ats - middle) >= half + MARK_REACH]
        if not len(ats):
            continue
        box = np.array(bounds(_hint(text, size, upright, 0.0, across)))
        found = trouble(box + ats[:, None] * ([0.0, 1.0, 0.0, 1.0] if upright else [1.0, 0.0, 1.0, 0.0]))
        for ill, at in zip(found.tolist(), ats.tolist(), strict=True):
            rank = (max(ill, 1), shorter, ill, abs(at - quarter))
            if best is None or rank < best[0]:
                best = (rank, text, at)
    return [] if best is None else [_hint(best[1], size, upright, best[2], across)]


def _hint(text: str, size: float, upright: bool, along: float, across: float) -> Text:
    place = (across, along) if upright else (along, across)
    return words(place, text, size, anchor="middle", angle=90.0 if upright else 0.0)


def stamped(scene: Scene, stamp: str | None) -> Scene:
    """A picture with a stamp in a band of its own above it, wider if it must be; as it is where there is none."""
    if stamp is None:
        return scene
    size = max(font.fit_size(stamp, scene.width - 2.0 * _STAMP_MARGIN, 4.0, True), _LEAST_STAMP)
    at = (scene.x0 + _STAMP_MARGIN, scene.y1 + _STAMP_MARGIN)
    text = words(at, stamp, size, bold=True, colour="#d55e00")
    right = max(scene.x1, at[0] + font.text_width(stamp, size, True) + _STAMP_MARGIN)
    title = f"{stamp}: {scene.title}"
    return replace(scene, title=title, x1=right, y1=scene.y1 + size + 2.0 * _STAMP_MARGIN, items=(*scene.items, text))


_CHECK_LINES = (
    ("Before you print the rest", True),
    ("Print this page alone, at 100 % or “actual size”, with no fitting to the page.", False),
    ("Measure all six bars on it with a steel rule, from the outer tick to the outer tick.", False),
    ("Each must be right within 1/2 mm, or 1/64 in, both across and along the paper.", False),
    ("If they are not, first look whether the printer fits pages to the paper, and turn that off.", False),
    ("Do the 100 mm bars still read wrong? Ask the adult who planned the boat to write them afresh:", False),
    ("hullcut templates FILE --measured-x 99.2 --measured-y 100.4", False),
    ("x is what the rule reads of the lying 100 mm bar, y of the standing one, in millimetres.", False),
    ("", False),
    ("To join the pages of a large part", True),
    ("{maps} how the pages lie: rows A, B, C from the top, columns 1, 2, 3 from the left.", False),
    ("Cut each page along its thin lines at the left and at the top: “cut here”, in short “cut”.", False),
    ("Lay that edge on the thin line of the page before, “lay here”, in short “lay”: the halves of the", False),
    ("circled crosses meet and the lines of the part run on. Tape it. Then measure the joined pattern:", False),
    ("its map says how long and wide it is. It may be more than the parts list says: wood to trim away.", False),
    ("Narrow parts lie side by side: join all their pages first, then cut along the long lines between.", False),
    ("{lists}", False),
    ("", False),
    ("Take care", True),
    ("Knives and saws cut fingers too. Cut away from your hand, with an adult beside you, and follow", False),
    ("the tool's own instructions, the labels and the rules of the place where you work.", False),
)


_KEY = (
    ("cut along it", Role.CUT, None),
    ("cut a hole along it", Role.INNER_CUT, None),
    ("another part, on this face", Role.MARK, None),
    ("another part, on the other face", Role.HIDDEN, None),
    ("waterline", Role.WATERLINE, None),
    ("centre line, glue joint", Role.CENTRE, None),
    ("true line: plane down to it", Role.TRUE_LINE, None),
    ("tick of a station, at both edges", Role.THIN, 0.15),
    ("joint of pages", Role.PAGE, None),
)
_KEY_ROWS = 5


def _key(left: float, top: float, width: float) -> list[Item]:
    """What each kind of line means, in two columns."""
    items: list[Item] = [words((left, top), "Lines of the templates", 3.2, bold=True)]
    for index, (text, role, line_width) in enumerate(_KEY):
        column, row = divmod(index, _KEY_ROWS)
        x, y = left + column * width / 2.0, top - 5.5 - 5.0 * row
        items.append(Shape(role, (line((x, y + 0.9), (x + 14.0, y + 0.9)),), ref="key", width=line_width))
        items.append(words((x + 16.0, y), text, font.fit_size(text, width / 2.0 - 18.0, 2.7)))
    # The last place of the second column.
    x, y = left + width / 2.0, top - 5.5 - 5.0 * (_KEY_ROWS - 1)
    for at, bolt in ((x + 3.5, False), (x + 10.5, True)):
        items.append(Shape(Role.HOLE, drill_mark((at, y + 0.9), 3.0, bolt), ref="key"))
    text = "drill: screws left, bolts and straps right"
    items.append(words((x + 16.0, y), text, font.fit_size(text, width / 2.0 - 18.0, 2.7)))
    return items


def _maps_words(maps: int) -> str:
    """Where the maps are, which begin on the second page."""
    if maps < 2:
        return "The map on page 2 shows" if maps else "A map shows"
    return f"The maps on pages 2 {'and' if maps == 2 else 'to'} {1 + maps} show"


def _lists_words(lists: Sequence[tuple[str, int]]) -> str:
    """On which pages the lists stand that patterns speak of."""
    told = ", ".join(f"{name} on page {page}" for name, page in lists)
    return f"Lists to read: {told}." if told else ""


def check_items(
    window: Box, title: str, note: str = "", maps: int = 0, lists: Sequence[tuple[str, int]] = ()
) -> list[Item]:
    """The first page: bars in both directions, and what to do with them.

    Args:
        window: where it may stand.
        title: of the design.
        note: on the correction of this print, if there is one.
        maps: how many pages of maps follow.
        lists: name and page of each list that stands in place of a pattern.
    """
    x0, _y0, x1, y1 = window
    size = font.fit_size(title, x1 - x0, 6.0, True)
    items: list[Item] = [
        words((x0, y1 - 7.0), title, size, bold=True),
        words((x0, y1 - 14.0), "Printer check: measure me", 4.4, bold=True),
    ]
    y = y1 - 24.0
    for text, bold in (*_CHECK_LINES, *((("", False), (note, True)) if note else ())):
        if text:
            told = text.format(maps=_maps_words(maps), lists=_lists_words(lists))
            items.append(words((x0, y), told, font.fit_size(told, x1 - x0, 3.5, bold), bold=bold))
        y -= 5.4 if text else 3.0
    foot = y - 107.0
    items += bar((x0 + 8.0, foot), True, False) + bar((x0 + 28.0, foot), True, True)
    items += bar((x0 + 50.0, foot + 60.0), False, False) + bar((x0 + 50.0, foot + 40.0), False, True)
    items += _key(x0 + 50.0, foot + 31.0, x1 - x0 - 50.0)
    items.append(Shape(Role.PAGE, (polyline(((x0, y1 - 16.5), (x1, y1 - 16.5))),)))
    return items
