"""The numbers of the cuts and of small parts on a cutting plan: on their own, close beside, or at the rim."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing.names_on_parts import NUMBER, along_the_wood
from hullcut.drawing.scene import Role
from hullcut.drawing.sheet_room import (
    HIDDEN_SHARE,
    Called,
    Clutter,
    Pulled,
    beside,
    called_out,
    disc_box,
    leader_items,
    number_items,
    pulled,
    ring_radius,
    under_rim,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.names_on_parts import Lay
    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box
    from hullcut.drawing.sheet_room import Room
    from hullcut.nesting.values import Cut, Sheet

__all__ = ["Ground", "Numbers", "number_cuts", "number_small_parts", "rows_at_the_rim"]

_RING = 2.1
# Where a ring or a number has no room, it may be so much smaller.
_SMALLER = (1.0, 0.85, 0.72)


@dataclass(frozen=True, slots=True)
class Ground:
    """What numbers are set on.

    Attributes:
        sheet: the sheet.
        laid: its parts that show.
        window: what shows of it.
        left_out: so many mm of plain wood behind the window are drawn nowhere.
        room: what is taken; it fills up as numbers are set.
        scale: how many times larger than on paper letters stand.
        clutter: outlines and cuts.
    """

    sheet: Sheet
    laid: Sequence[Lay]
    window: Box
    left_out: float
    room: Room
    scale: float
    clutter: Clutter


@dataclass(frozen=True, slots=True)
class Numbers:
    """Numbers that are set.

    Attributes:
        items: those on the wood.
        rim: those that stand at its rim.
        tangled: how many hide a part, or have a leader through another number or another leader.
    """

    items: tuple[Item, ...]
    rim: tuple[Pulled, ...]
    tangled: int


def number_small_parts(ground: Ground, small: Sequence[Lay], strict: bool) -> Numbers:
    """The numbers of parts on which they have no room.

    Args:
        ground: where they stand.
        small: those parts.
        strict: whether to stop at the first that tangles.
    """
    items: list[Item] = []
    rim: list[Pulled] = []
    tangled = 0
    for each in small:
        called = Called(str(each.number), (each.middle,), Role.LABEL, each.placement.part)
        anchors = tuple(dict.fromkeys(along_the_wood(each)))
        near = _part_beside(called, anchors, ground, False)
        out = None if near else pulled(called, anchors, ground.window, _right(ground), ground.room, ground.clutter)
        if out is not None and (out.across or not out.clear):
            near = _part_beside(called, anchors, ground, True)
        if near:
            items += near
        elif out is not None:
            ground.room.take_leader(out.anchor, out.foot)
            rim.append(out)
            tangled += not out.clear
            if strict and tangled:
                break
    return Numbers(tuple(items), tuple(rim), tangled)


def number_cuts(ground: Ground, strict: bool) -> Numbers:
    """Each cut's number in a ring on its line, or close beside it, else at the rim.

    A cut along a board whose middle is left out behind the window has its number in the window.

    Args:
        ground: where they stand.
        strict: whether to stop at the first that tangles.
    """
    items: list[Item] = []
    rim: list[Pulled] = []
    tangled = 0
    for cut in _in_order_of_room(ground):
        found = _number_cut(cut, ground)
        items += found.items
        rim += found.rim
        tangled += found.tangled
        if strict and tangled:
            break
    return Numbers(tuple(items), tuple(rim), tangled)


def rows_at_the_rim(rim: Sequence[Pulled], ground: Ground) -> tuple[list[Item], float]:
    """The numbers at the rim in their rows, and the top of those above the wood."""
    return called_out(rim, ground.window, _RING * ground.scale)


def _right(ground: Ground) -> bool:
    return ground.window[2] >= ground.sheet.length


def _in_order_of_room(ground: Ground) -> list[Cut]:
    """Short cuts first: a long one finds room for its ring where they leave it."""
    short = 4.0 * ring_radius("10", _RING * ground.scale)
    return sorted(ground.sheet.cuts, key=lambda cut: abs(cut.x1 - cut.x0) + abs(cut.y1 - cut.y0) > short)


def _number_cut(cut: Cut, ground: Ground) -> Numbers:
    window, room = ground.window, ground.room
    nothing = Numbers((), (), 0)
    x0, x1 = sorted((cut.x0, cut.x1))
    y0, y1 = sorted((cut.y0, cut.y1))
    upright = cut.x0 == cut.x1
    if x1 < window[0] or x0 > window[2] or (upright and x0 == window[2] and not _right(ground)):
        return nothing
    here = (max(x0, window[0]), y0, min(x1, window[2]), y1)
    needed = window[0] <= (x0 + x1) / 2.0 <= window[2] + ground.left_out
    length = max(here[2] - here[0], here[3] - here[1], 1e-9)
    size = _RING * ground.scale
    if not needed and length < 4.0 * ring_radius(str(cut.order), size):
        return nothing
    called = Called(str(cut.order), (), Role.SAW, f"cut {cut.order}")
    hiding: tuple[float, Point, float] | None = None
    over_a_part: tuple[Point, Point, float] | None = None
    for share in _SMALLER if needed else _SMALLER[:1]:
        drawn = share * size
        radius = ring_radius(called.text, drawn)
        anchors = _places(here, length, radius)
        for at in anchors:
            disc = disc_box(at, radius)
            if not (_in_torn(disc, ground) and room.free(disc)):
                continue
            hides = _hides(disc, ground.laid)
            if hides < HIDDEN_SHARE:
                room.take(disc)
                return Numbers(tuple(number_items(called, at, drawn)), (), 0)
            if hiding is None or hides < hiding[0]:
                hiding = (hides, at, drawn)
        if not needed:
            return nothing
        ends = (here[2:], here[:2])
        found = beside(anchors, ends, upright, radius, window, room, ground.clutter)
        if found is not None and found[2]:
            return _with_leader(called, found[0], found[1], drawn, room)
        if found is not None and over_a_part is None:
            over_a_part = (found[0], found[1], drawn)
    radius = ring_radius(called.text, size)
    anchors = _places(here, length, radius)
    above = under_rim(anchors, radius, window, room, ground.clutter)
    if above or over_a_part is None:
        out = pulled(called, above or anchors, window, _right(ground), room, ground.clutter)
        # A part half hidden can still be seen, but a leader through other numbers leads nowhere.
        if out.clear or hiding is None:
            room.take_leader(out.anchor, out.foot)
            return Numbers((), (out,), int(not out.clear))
    if over_a_part is not None:
        return _with_leader(called, *over_a_part, room)
    assert hiding is not None
    _, at, drawn = hiding
    room.take(disc_box(at, ring_radius(called.text, drawn)))
    return Numbers(tuple(number_items(called, at, drawn)), (), 1)


def _in_torn(disc: Box, ground: Ground) -> bool:
    """Whether a ring stands clear of the zigzags where the drawing breaks off."""
    low = disc[0] > ground.window[0] or ground.window[0] <= 0.0
    return low and (disc[2] < ground.window[2] or ground.window[2] >= ground.sheet.length)


def _with_leader(called: Called, anchor: Point, at: Point, size: float, room: Room) -> Numbers:
    room.take_leader(anchor, at)
    room.take(disc_box(at, ring_radius(called.text, size)))
    return Numbers((*leader_items(called, (anchor, at), size), *number_items(called, at, size)), (), 0)


def _part_beside(called: Called, anchors: Sequence[Point], ground: Ground, on_parts: bool) -> list[Item]:
    """The number of a part that is too small for it, close by, with a leader; on waste alone, or on a part too."""
    for size in (NUMBER * share * ground.scale for share in _SMALLER):
        radius = ring_radius(called.text, size)
        found = beside(anchors, anchors, True, radius, ground.window, ground.room, ground.clutter)
        if found is None or not (on_parts or (found[2] and not ground.clutter.on_a_part(found[1]))):
            continue
        anchor, at, _ = found
        ground.room.take_leader(anchor, at)
        ground.room.take(disc_box(at, radius))
        share = 1.0 - radius / max(math.dist(anchor, at), radius)
        end = (anchor[0] + share * (at[0] - anchor[0]), anchor[1] + share * (at[1] - anchor[1]))
        return [*leader_items(called, (anchor, end), size), *number_items(called, at, size)]
    return []


def _hides(disc: Box, laid: Sequence[Lay]) -> float:
    """Of the part of which a ring's box hides most, the share that it hides."""
    most = 0.0
    for each in laid:
        x0, y0, x1, y1 = each.box
        wide, high = min(disc[2], x1) - max(disc[0], x0), min(disc[3], y1) - max(disc[1], y0)
        if wide > 0.0 and high > 0.0:
            most = max(most, wide * high / ((x1 - x0) * (y1 - y0)))
    return most


def _places(here: Box, length: float, radius: float) -> tuple[Point, ...]:
    """Places along a cut to try in turn: near an end first, then spread evenly over it."""
    inset = min(1.2 * radius / length, 0.5)
    shares = [inset + (1.0 - 2.0 * inset) * (step * 0.381966 % 1.0) for step in range(24)]
    return tuple((here[0] + s * (here[2] - here[0]), here[1] + s * (here[3] - here[1])) for s in shares)
