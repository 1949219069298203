"""A flat part, as it is cut: outline, edges, marks, grain and weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from hullcut.design.values import Grain
    from hullcut.hull.panel import Panel

__all__ = ["BevelAt", "Edge", "Joint", "JointSide", "Mark", "Part", "Point", "Ruling"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BevelAt:
    """How much off square an edge is at one place.

    Attributes:
        x, y: the place on the finished part's edge.
        degrees: off square, positive where the outer face reaches farther, negative where the inner one does.
    """

    x: float
    y: float
    degrees: float


@dataclass(frozen=True, slots=True)
class Edge:
    """A named run of the outline.

    Attributes:
        name: which edge, "lower", "sheer", "transom end"...
        start: index of the outline point where it begins.
        stop: index of the outline point where it ends, counter-clockwise; may be less than `start`.
        bevel: greatest angle off square along it, degrees; 0 for a square edge.
        long_face: the face that reaches farther where the bevel is greatest, "inner" or "outer"; None for a square
            edge.
        bevels: from its start to its end, so close that the angle between two runs evenly; empty for a square edge.
        outer: its line on the finished part's outer face, once bevels are planed, to the corners with its neighbours;
            empty for what is cut to any outline.
        inner: its line on the inner face.
    """

    name: str
    start: int
    stop: int
    bevel: float
    long_face: Literal["inner", "outer"] | None
    bevels: tuple[BevelAt, ...] = ()
    outer: tuple[Point, ...] = ()
    inner: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Ruling:
    """A straight line of a bent part, and the angle gathered up to it.

    Attributes:
        x0, y0, x1, y1: its ends in the flat.
        turn: degrees that the surface has turned since the first ruling, positive where the outer face is the longer.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    turn: float


@dataclass(frozen=True, slots=True)
class Mark:
    """Something drawn on a part.

    Attributes:
        kind: "centre line", "station", "landing", "screw", "slot", "hole", "true line", "balance point", "grain",
            "face", "waterline", "name" or "note".
        name: what to write beside it.
        face: "inner", "outer" or "both".
        points: one point for a place, two or more for a line; closed shapes repeat their first point.
        diameter: of a hole; None otherwise, and for a hole as wide as what is bought to go through it.
        length: of a screw; None otherwise.
    """

    kind: str
    name: str
    face: Literal["inner", "outer", "both"]
    points: tuple[Point, ...]
    diameter: float | None = None
    length: float | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One flat part.

    The outline is closed, counter-clockwise, without a repeated point, its bounding box's corner at 0, 0, seen with
    the marked face up. It is what is cut: lapped edges include their trim allowance.

    Attributes:
        id: unique over all designs, "bramblefin-side-port".
        name: in words, "Side, port".
        family: "side", "bottom", "cleat"..., the key of its wood.
        design: the design's name.
        hand: "port", "starboard" or None.
        quantity: for one boat.
        material: key of a wood in the stock tables.
        thickness: actual.
        grain: "along" the part's x, "across" it, or "any".
        flip: whether it may be turned over on the sheet.
        outline: as cut.
        holes: clockwise.
        edges: cover the outline.
        rulings: of a bent part, in order, drawn with its marks; empty for a flat one.
        marks: what is drawn on it.
        area: of the outline less the holes.
        finished_length, finished_width: of the true outline's box, without trim allowance.
        mass: of one finished part, grams.
        true_outline: the finished part's outline, without trim allowance; the outline itself where there is none.
        panel: the chart between this flat drawing and the boat.
        places: for each copy, how far it stands from the place that the chart gives, mm.
        step: a word or two for the parts list, on how it is used.
    """

    id: str
    name: str
    family: str
    design: str
    hand: Literal["port", "starboard"] | None
    quantity: int
    material: str
    thickness: float
    grain: Grain
    flip: bool
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    edges: tuple[Edge, ...]
    rulings: tuple[Ruling, ...]
    marks: tuple[Mark, ...]
    area: float
    finished_length: float
    finished_width: float
    mass: float
    true_outline: tuple[Point, ...]
    panel: Panel
    places: tuple[tuple[float, float, float], ...]
    step: str


@dataclass(frozen=True, slots=True)
class JointSide:
    """One part's view of a joint.

    Attributes:
        part: the part's id.
        edge: the part's edge, or what the line is on its face.
        line: the joint's line in the part's flat.
        offset: of the line from the part's middle surface, positive towards its outer face.
        flat_length: of `line` as drawn.
        length: in space, reckoned back ruling by ruling.
    """

    part: str
    edge: str
    line: tuple[Point, ...]
    offset: float
    flat_length: float
    length: float


@dataclass(frozen=True, slots=True)
class Joint:
    """A line where two parts meet, measured on both.

    Attributes:
        name: of the joint.
        a, b: both views.
        mismatch: of the two lengths.
    """

    name: str
    a: JointSide
    b: JointSide
    mismatch: float
