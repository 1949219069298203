"""Parts wider than any board on offer: two strips of board that are glued edge to edge before the outline is cut.

The joint runs with the grain. Both strips are as long as the blank and keep an allowance on the edges that meet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from hullcut.design.values import Stock
from hullcut.hull.flat_panel import FlatPanel
from hullcut.nesting.boxes import box_of, from_grid, room_of
from hullcut.nesting.offer import same_thickness
from hullcut.nesting.values import Piece, Rules
from hullcut.parts.values import Edge, Mark, Part, Point
from hullcut.stock.woods import wood

__all__ = [
    "CLEAR",
    "JOINT",
    "JOINTING_ALLOWANCE",
    "GlueUp",
    "glue_up",
    "glue_ups",
    "joint_marked",
    "piece_of",
    "remedy",
]

#: mm, 1/16 in, planed off each of the two edges that meet, until they fit: common practice, no source.
JOINTING_ALLOWANCE = 25.4 / 16
#: mm that a joint keeps from holes, drillings and edges beside it where it can: common practice, no source.
CLEAR = 10.0
#: mm between the places that are tried for a joint.
_STEP = 2.0
#: kind of the mark that shows where the two boards of a part meet.
JOINT = "glue joint"

_NAMES = {"along": ("lower half", "upper half"), "across": ("left half", "right half")}


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A part's blank, glued up from two strips.

    Attributes:
        part: the part's id.
        strips: the lower and the upper one, or the left and the right one, as the part is drawn; parts of their own.
        corners: where the lower left corners of the strips, as cut, stand in the part's drawing.
        joint: the ends of the joint, at the ends of the blank, in the part's drawing.
        area: glued, of one copy, mm2.
        allowance: planed off each edge that meets, mm.
    """

    part: str
    strips: tuple[Part, Part]
    corners: tuple[Point, Point]
    joint: tuple[Point, Point]
    area: float
    allowance: float

    @property
    def length(self) -> float:
        """Of the joint, mm."""
        return abs(self.joint[1][0] - self.joint[0][0]) + abs(self.joint[1][1] - self.joint[0][1])


def piece_of(part: Part, boat: str, otherwise: str = "") -> Piece:
    """One copy of a part as nesting sees it.

    Args:
        part: to be cut.
        boat: the boat's id; empty for a part of no boat.
        otherwise: what a person may do where no stock on offer holds it.
    """
    piece = Piece(part.id, boat, part.material, part.thickness, part.grain, part.flip, part.outline)
    return replace(piece, otherwise=otherwise) if otherwise else piece


def glue_ups(parts: Sequence[Part], offers: Sequence[Stock], rules: Rules, boats: int = 1) -> tuple[GlueUp, ...]:
    """Those of some parts that have to be glued up, and can be; the others come whole from the stock, or not at all.

    Wide stock that is too scarce for all of these parts together counts as none, so that a single wide leftover
    doesn't keep a pair of sides from being built.

    Args:
        parts: whose design allows it.
        offers: all stock that may be used.
        rules: how the shop cuts.
        boats: how many are built with these parts.
    """
    wide = [part for part in parts if not _is_held(part, offers, rules, _wanted(part, parts, boats))]
    found = (glue_up(part, offers, rules) for part in wide)
    return tuple(each for each in found if each is not None)


def _wanted(part: Part, parts: Sequence[Part], boats: int) -> int:
    """How many pieces of a part's wood and thickness are wanted."""
    alike = (each for each in parts if (each.material, each.thickness) == (part.material, part.thickness))
    return boats * sum(each.quantity for each in alike)


def glue_up(part: Part, offers: Sequence[Stock], rules: Rules) -> GlueUp | None:
    """A part's blank as two strips that boards on offer hold.

    The blank is the outline's box with `rules.clearance` all round, and never less than a kerf, since the outline is
    cut after the glue is dry.
    The joint lies in the middle, or as near to it as it keeps clear of holes, drillings and edges that run beside it.

    Args:
        part: of any wood.
        offers: all stock that may be used.
        rules: how the shop cuts.

    Returns:
        None where the part is no solid wood, or two strips are too wide or too long as well.
    """
    if wood(part.material).kind != "solid":
        return None
    length, width = (max(point[axis] for point in part.outline) for axis in (0, 1))
    longer_first: tuple[Literal["along", "across"], ...] = (
        ("along", "across") if length >= width else ("across", "along")
    )
    for grain in longer_first:
        if part.grain in (grain, "any"):
            found = _in_two(part, grain, offers, rules)
            if found is not None:
                return found
    return None


def _stocks(part: Part, offers: Sequence[Stock]) -> list[Stock]:
    return [stock for stock in offers if stock.material == part.material and same_thickness(stock, part.thickness)]


def _is_held(part: Part, offers: Sequence[Stock], rules: Rules, wanted: int = 1) -> bool:
    """Whether stock on offer holds a part, and there is one of it for each of so many pieces."""
    box = box_of(0, piece_of(part, ""), rules)
    holding = [stock for stock in _stocks(part, offers) if box.fits(stock, room_of(stock, rules))]
    return sum(wanted if stock.available is None else stock.available for stock in holding) >= wanted


def _in_two(part: Part, grain: Literal["along", "across"], offers: Sequence[Stock], rules: Rules) -> GlueUp | None:
    run, breadth = (max(point[axis] for point in part.outline) for axis in ((0, 1) if grain == "along" else (1, 0)))
    margin, spare = max(rules.clearance, rules.kerf), JOINTING_ALLOWANCE
    room = _widest(_stocks(part, offers), run + 2.0 * margin, rules) - margin - spare
    low, high = max(breadth - room, spare), min(room, breadth - spare)
    if low > high:
        return None
    place = _clear_place(part, grain, low, high)
    sizes = (run + 2.0 * margin, place + margin + spare), (run + 2.0 * margin, breadth - place + margin + spare)
    strips = (
        _strip(part, _NAMES[grain][0], grain, sizes[0], sizes[0][1] - spare),
        _strip(part, _NAMES[grain][1], grain, sizes[1], spare),
    )
    glued = GlueUp(
        part.id,
        strips,
        (_turned((-margin, -margin), grain), _turned((-margin, place - spare), grain)),
        (_turned((-margin, place), grain), _turned((run + margin, place), grain)),
        (run + 2.0 * margin) * part.thickness,
        spare,
    )
    return glued if all(_is_held(strip, offers, rules) for strip in strips) else None


def _turned(point: Point, grain: str) -> Point:
    """A point told along and across the grain, in the part's drawing."""
    return point if grain == "along" else (point[1], point[0])


def _widest(stocks: Sequence[Stock], run: float, rules: Rules) -> float:
    """The width of the widest stock that is long enough; of the rack only where nothing else is on offer."""
    bought = [stock for stock in stocks if stock.kind != "leftover"] or list(stocks)
    rooms = [(stock, room_of(stock, rules)) for stock in bought]
    sizes = [
        (room.length, room.width) if stock.grain == "length" else (room.width, room.length) for stock, room in rooms
    ]
    return max((from_grid(across) for along, across in sizes if from_grid(along) >= run - 1e-6), default=0.0)


def _clear_place(part: Part, grain: Literal["along", "across"], low: float, high: float) -> float:
    """Where the joint runs, mm across the grain: between two limits, clear of what is near, then near the middle."""
    shape = shapely.Polygon(part.outline, part.holes)
    middle = min(max((max(p[1 if grain == "along" else 0] for p in part.outline)) / 2.0, low), high)
    near = shapely.union_all([shape.boundary, *_drillings(part)]).buffer(CLEAR)
    x0, y0, x1, y1 = shape.bounds

    def close(place: float) -> float:
        """How much of a joint there runs close to something."""
        ends = [(x0 - 1.0, place), (x1 + 1.0, place)] if grain == "along" else [(place, y0 - 1.0), (place, y1 + 1.0)]
        return float(shapely.LineString(ends).intersection(shape).intersection(near).length)

    tried = sorted(_places(middle, low, high), key=lambda place: (abs(place - middle), place))
    amounts = [close(place) for place in tried]
    # A joint that leaves through an edge at right angles is near it for CLEAR at each of its ends.
    enough = max(3.0 * CLEAR, min(amounts) + CLEAR)
    return next(place for place, amount in zip(tried, amounts, strict=True) if amount <= enough)


def _places(middle: float, low: float, high: float) -> Iterator[float]:
    yield middle
    for number in range(1, int((high - low) / _STEP) + 1):
        yield from (place for place in (middle - number * _STEP, middle + number * _STEP) if low <= place <= high)


def _drillings(part: Part) -> list[shapely.Geometry]:
    """What goes through the wood besides the holes: drillings by their places, slots by their outlines."""
    drilled = [shapely.Point(mark.points[0]) for mark in part.marks if mark.diameter is not None]
    return [*drilled, *(shapely.LineString(mark.points) for mark in part.marks if mark.kind == "slot")]


def _strip(
    part: Part, name: str, grain: Literal["along", "across"], size: tuple[float, float], joint_at: float
) -> Part:
    """One of the two strips as a part of its own, told by its size along and across the grain."""
    corners = [(0.0, 0.0), (size[0], 0.0), size, (0.0, size[1])]
    outline = tuple(_turned(corner, grain) for corner in (corners if grain == "along" else corners[::-1]))
    length, width = max(x for x, _ in outline), max(y for _, y in outline)
    joint = (_turned((0.0, joint_at), grain), _turned((size[0], joint_at), grain))
    return replace(
        part,
        id=f"{part.id}-{name.replace(' ', '-')}",
        name=f"{part.name}: {name}",
        family="strip",
        grain=grain,
        flip=True,
        outline=outline,
        holes=(),
        edges=tuple(Edge(f"side {n + 1}", n, (n + 1) % 4, 0.0, None) for n in range(4)),
        rulings=(),
        marks=(Mark(JOINT, "plane to this line", "both", joint),),
        area=length * width,
        finished_length=length,
        finished_width=width,
        mass=length * width * part.thickness * 1e-6 * wood(part.material).density,
        true_outline=outline,
        panel=FlatPanel(part.thickness, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        step="",
    )


def remedy(part: Part, table: str, offers: Sequence[Stock], rules: Rules) -> str:
    """What a person may do besides where no stock on offer holds a part of solid wood; empty for the usual words.

    Args:
        part: to be cut whole.
        table: of the design or order file, where the key that allows to glue it up belongs.
        offers: all stock that may be used.
        rules: how the shop cuts.
    """
    if wood(part.material).kind != "solid" or not _stocks(part, offers) or _is_held(part, offers, rules):
        return ""
    if glue_up(part, offers, rules) is None:
        return "choose another wood: two boards edge to edge do not hold it either"
    return f"write glue_up = true under {table}, so that it is glued up from two boards"


def joint_marked(part: Part, glued: GlueUp) -> Part:
    """A part with its joint drawn on it from edge to edge, and the parts list's words on how it is made."""
    crossed = shapely.LineString(glued.joint).intersection(shapely.Polygon(part.outline, part.holes))
    marks = tuple(
        Mark(JOINT, "glue joint of the two boards", "both", tuple((float(x), float(y)) for x, y in run.coords))
        for run in shapely.get_parts(crossed)
        if run.length > 0.0
    )
    first = "glue it up from two boards, then cut it out"
    return replace(part, marks=part.marks + marks, step=f"{first}; {part.step}" if part.step else first)
