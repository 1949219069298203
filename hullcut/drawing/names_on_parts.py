"""Numbers and names on the parts of a sheet: where they stand wholly on the wood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.drawing import font
from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Role, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item, Point, Shape
    from hullcut.drawing.segments import Box
    from hullcut.drawing.sheet_room import Room
    from hullcut.nesting.values import Placement

__all__ = ["NAME", "NUMBER", "Lay", "along_the_wood", "words_on"]

NAME, NUMBER = 2.3, 2.0
"""Sizes of a name and of a number, mm on paper."""
_LEAST_NUMBER = 1.5
# A line of letters keeps so far off the part's edges at either end, mm on paper: above and below it its box is higher
# than its letters.
_END_CLEAR = 0.7
# So much of that is kept on all sides where the part has room.
_CLEAR_AROUND = 0.6
# Places along a part to try in turn.
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.22, 0.78)
# And across it: the middle, and beside it for a part whose edges run together.
_ACROSS = (0.5, 0.4, 0.6, 0.3, 0.7)


@dataclass(frozen=True, slots=True)
class Lay:
    """A part as it lies: its number on the sheet, name, outline and holes; box and area of what the band shows of it.

    `middle` is the roomiest place of that area, and `whole` tells whether this band shows more of the part than any
    other may.
    """

    number: int
    name: str
    placement: Placement
    item: Shape
    box: Box
    area: shapely.Polygon
    middle: Point
    whole: bool


def words_on(lay: Lay, room: Room, scale: float) -> list[Item]:
    """Number and name where they stand wholly on the part, else the number alone; none where it is too small."""
    x0, y0, x1, y1 = lay.box
    upright = (y1 - y0) > 1.3 * (x1 - x0)
    long, short = (y1 - y0, x1 - x0) if upright else (x1 - x0, y1 - y0)
    shares = _SHARES
    name = f"{lay.number} {lay.name}"
    places: list[Point] = []
    clear = _END_CLEAR * scale
    for text, largest, least in ((name, NAME, 1.8), (str(lay.number), NUMBER, _LEAST_NUMBER)):
        size = min(largest * scale, 0.78 * short)
        if font.text_width(text, size) > 0.94 * long:
            size = font.fit_size(text, 0.94 * long, size)
        for each_size in dict.fromkeys((size, 0.5 * (size + least * scale), least * scale)):
            if each_size > size or each_size < least * scale:
                continue
            tries = [_along(lay, share, across, upright, text, each_size) for across in _ACROSS for share in shares]
            put = room.put(_on_part(lay, tries, clear))
            if put is None:
                places = places or _on_the_wood(lay, upright, shares)
                put = room.put(_on_part(lay, _at_places(lay, places, upright, text, each_size), clear))
            if put is not None:
                return [put]
    return []


def _inked(text: Text, clear: float) -> Box:
    """The box of a level or upright text's letters and of what is left free at both ends.

    A figure alone needs no more than itself: figures have nothing below their base line, nor above their caps.
    """
    if text.text.isdigit():
        (x, y), half, high = text.at, font.text_width(text.text, text.size) / 2.0, 0.75 * text.size
        return (x - high, y - half, x, y + half) if text.angle else (x - half, y, x + half, y + high)
    x0, y0, x1, y1 = bounds(text)
    return (x0, y0 - clear, x1, y1 + clear) if text.angle else (x0 - clear, y0, x1 + clear, y1)


def _on_part(lay: Lay, tries: Sequence[Text], clear: float) -> list[Text]:
    """Those texts that stand wholly on a part, and so far off its edges at either end; the clear of all edges first."""
    shapely.prepare(lay.area)
    boxes = np.array([_inked(text, clear) for text in tries])
    inside = shapely.covers(lay.area, shapely.box(*boxes.T))
    # Above and below the letters too: an edge that slants comes near to the first or the last of them.
    around = _CLEAR_AROUND * clear * np.array([-1.0, -1.0, 1.0, 1.0])
    roomy = inside & shapely.covers(lay.area, shapely.box(*(boxes + around).T))
    told = list(zip(tries, inside.tolist(), roomy.tolist(), strict=True))
    return [text for text, _, free in told if free] + [text for text, on_it, free in told if on_it and not free]


def along_the_wood(lay: Lay) -> list[Point]:
    """Places on a part to which a leader may lead, its roomiest first."""
    x0, y0, x1, y1 = lay.box
    return _on_the_wood(lay, (y1 - y0) > (x1 - x0), _SHARES)


def _on_the_wood(lay: Lay, upright: bool, shares: Sequence[float]) -> list[Point]:
    """The part's roomiest place, and the middle of its wood along its run: for parts that bend."""
    x0, y0, x1, y1 = lay.box
    places = [lay.middle]
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
    return places


def _at_places(lay: Lay, places: Sequence[Point], upright: bool, text: str, size: float) -> list[Text]:
    """A text at places, along the part first."""
    drop = 0.36 * size
    ref = lay.placement.part
    tries = []
    for x, y in places:
        standing = Text(Role.LABEL, (x + drop, y), text, size, 90.0, "middle", ref=ref)
        level = Text(Role.LABEL, (x, y - drop), text, size, 0.0, "middle", ref=ref)
        tries += [standing, level] if upright else [level, standing]
    return tries


def _along(lay: Lay, share: float, across: float, upright: bool, text: str, size: float) -> Text:
    x0, y0, x1, y1 = lay.box
    drop = 0.36 * size
    if upright:
        at = (x0 + across * (x1 - x0) + drop, y0 + share * (y1 - y0))
        return Text(Role.LABEL, at, text, size, 90.0, "middle", ref=lay.placement.part)
    at = (x0 + share * (x1 - x0), y0 + across * (y1 - y0) - drop)
    return Text(Role.LABEL, at, text, size, 0.0, "middle", ref=lay.placement.part)
