"""Outlines that nest into each other on one sheet: cleaned before they are laid, checked after."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import STRtree, affinity
from shapely.geometry.polygon import orient

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Room, from_grid
from hullcut.nesting.stacks import Member
from hullcut.nesting.strip import Outline, pack_strip
from hullcut.nesting.values import Piece, Rules

__all__ = ["Nest", "Wanted", "apart", "lay_on_sheet"]

#: mm by which an outline is grown above half the gap, so that the library's rounding stays within the gap.
_EXTRA = 0.02
#: mm within which the grown outline keeps to a round one.
_SIMPLE = 0.1
#: mm2; a smaller outline is none.
_LEAST_AREA = 1.0
#: mm by which a distance may fall short through rounding.
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Wanted:
    """So many of one kind of part."""

    kind: int
    piece: Piece
    plain: bool
    count: int


@dataclass(frozen=True, slots=True)
class Nest:
    """Parts on one sheet, from its usable corner, and how far they reach along it."""

    members: tuple[Member, ...]
    length: float
    width: float


def gap_of(rules: Rules) -> float:
    """Mm between any two parts: the curved saw's kerf, or the clearance where that is more."""
    return max(rules.kerf, rules.clearance)


def lay_on_sheet(wanted: Sequence[Wanted], stock: Stock, room: Room, rules: Rules, seconds: int) -> Nest | None:
    """Lay parts on one sheet so that outlines nest.

    Parts lie at least a gap apart; where any of them is not a plain rectangle, all stay a clearance inside.

    Args:
        wanted: all that must find room.
        stock: what they are cut from.
        room: its usable rectangle.
        rules: how the shop cuts.
        seconds: to look for.

    Returns:
        None where no layout was found that stands up to the check.
    """
    gap = gap_of(rules)
    inset = 0.0 if all(each.plain for each in wanted) else rules.clearance
    length, width = from_grid(room.length) - 2.0 * inset, from_grid(room.width) - 2.0 * inset
    if length <= 0.0 or width <= 0.0:
        return None
    grown = gap / 2.0 + _EXTRA
    outlines = [_outline(each, stock, grown) for each in wanted]
    height = width + 2.0 * grown
    if any(outline is None or _lowest(outline) >= height for outline in outlines):
        return None
    strip = pack_strip([each for each in outlines if each], height, seconds, length + 2.0 * grown)
    if strip is None or strip.length > length + 2.0 * grown + _EXTRA:
        return None
    shift = inset - grown
    members = tuple(Member(int(name), x + shift, y + shift, turn, False) for name, turn, x, y in strip.placed)
    return _checked(members, wanted, rules, (from_grid(room.length), from_grid(room.width), inset))


def _checked(
    members: Sequence[Member], wanted: Sequence[Wanted], rules: Rules, room: tuple[float, float, float]
) -> Nest | None:
    """The nest if all parts are there, inside and apart; moved by the trifle that the library's rounding takes."""
    if sorted(each.kind for each in members) != sorted(
        kind for each in wanted for kind in itertools.repeat(each.kind, each.count)
    ):
        return None
    by_kind = {each.kind: each.piece for each in wanted}
    shapes = [_placed(by_kind[member.kind], member) for member in members]
    length, width, inset = room
    left, low, right, high = shapely.total_bounds(shapes)
    if right - left > length - 2.0 * inset + _ROUNDING or high - low > width - 2.0 * inset + _ROUNDING:
        return None
    dx, dy = inset - float(left), inset - float(low)
    if not apart(shapes, gap_of(rules)):
        return None
    moved = tuple(Member(each.kind, each.x + dx, each.y + dy, each.rotation, each.mirrored) for each in members)
    return Nest(moved, float(right - left) + 2.0 * inset, width)


def apart(shapes: Sequence[shapely.Polygon], gap: float) -> bool:
    """Whether outlines keep their distance from each other."""
    tree = STRtree(list(shapes))
    pairs = tree.query(list(shapes), predicate="dwithin", distance=max(0.0, gap - _ROUNDING)) if gap > 0 else None
    if pairs is not None:
        return bool((pairs[0] == pairs[1]).all())
    return all(
        shapes[a].intersection(shapes[b]).area <= _ROUNDING
        for a, b in zip(*tree.query(list(shapes)), strict=True)
        if a < b
    )


def _outline(wanted: Wanted, stock: Stock, grown: float) -> Outline | None:
    """A part's outline grown by half the gap, clean; None where there is no such outline."""
    shape = shapely.make_valid(shapely.Polygon(wanted.piece.outline))
    if shape.geom_type != "Polygon" or shape.area < _LEAST_AREA:
        return None
    # Simplified outwards: first grown by the tolerance of simplifying.
    large = shape.buffer(grown + _SIMPLE, join_style="mitre" if wanted.plain else "round").simplify(_SIMPLE)
    if not isinstance(large, shapely.Polygon):
        return None
    ring = orient(shapely.Polygon(large.exterior)).exterior.coords[:-1]
    points = tuple((float(x), float(y)) for x, y in ring)
    return Outline(str(wanted.kind), points, wanted.count, _angles(wanted.piece, stock))


def _angles(piece: Piece, stock: Stock) -> tuple[float, ...]:
    if piece.grain == "any":
        return (0.0, 90.0, 180.0, 270.0)
    along = (piece.grain == "along") == (stock.grain == "length")
    return (0.0, 180.0) if along else (90.0, 270.0)


def _lowest(outline: Outline) -> float:
    """The least height that an outline has among its turns."""
    xs, ys = zip(*outline.points, strict=True)
    across, along = max(ys) - min(ys), max(xs) - min(xs)
    return float(min((across if angle % 180.0 == 0.0 else along) for angle in outline.angles))


def _placed(piece: Piece, member: Member) -> shapely.Polygon:
    shape = shapely.Polygon(piece.outline)
    if member.mirrored:
        shape = affinity.scale(shape, xfact=-1.0, origin=(0, 0))
    return affinity.translate(affinity.rotate(shape, member.rotation, origin=(0, 0)), member.x, member.y)
