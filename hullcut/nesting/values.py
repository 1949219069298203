"""A layout: parts placed on the stock, and how it is cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from hullcut.design.values import Grain, Stock

__all__ = [
    "Blank",
    "Bound",
    "Cut",
    "Effort",
    "Layout",
    "Offcut",
    "Piece",
    "Placement",
    "Rules",
    "Sheet",
    "ShoppingLine",
]

Point = tuple[float, float]
Effort = Literal["quick", "normal", "long"]


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing to be cut out, as nesting sees it.

    Attributes:
        part: the part's id.
        boat: the boat's id.
        material: key of a wood.
        thickness: actual.
        grain: of the piece: "along" its x, "across" it, or "any".
        flip: may be turned over.
        outline: closed, counter-clockwise, bounding-box corner at 0, 0.
        otherwise: what a person may do besides where no stock on offer holds it.
    """

    part: str
    boat: str
    material: str
    thickness: float
    grain: Grain
    flip: bool
    outline: tuple[Point, ...]
    otherwise: str = "glue it up from narrower pieces"


@dataclass(frozen=True, slots=True)
class Rules:
    """How the shop cuts.

    Attributes:
        cutting: "through" or "shape".
        kerf: of the cuts that free the blanks ("through": the saw's; "shape": the jigsaw's).
        trim: cut off all round a new sheet; a leftover is used as it is.
        clearance: round a part that is not a plain rectangle.
        objective: what is made least, in words.
        effort: how long to look for a better plan; counted in steps, so that the same input gives the same plan.
    """

    cutting: Literal["through", "shape"]
    kerf: float
    trim: float
    clearance: float
    objective: str
    effort: Effort = "normal"


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a piece lies: x to -x if mirrored, then turned, then shifted by x, y.

    Attributes:
        part, boat: whose it is.
        x, y: shift.
        rotation: degrees counter-clockwise about the origin.
        mirrored: whether it is turned over.
    """

    part: str
    boat: str
    x: float
    y: float
    rotation: float
    mirrored: bool


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle freed by straight cuts, from which placements are sawn."""

    id: str
    x: float
    y: float
    length: float
    width: float
    placements: tuple[Placement, ...]


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut from edge to edge of a piece of the sheet.

    Attributes:
        order: from 1.
        piece: which piece is cut; the sheet is "0".
        makes: the pieces it makes; waste is named too.
        fence: distance from the reference edge to the kerf's near side.
        x0, y0, x1, y1: the middle of the kerf.
    """

    order: int
    piece: str
    makes: tuple[str, ...]
    fence: float
    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle left over and worth keeping."""

    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, board or leftover with what is cut from it.

    Origin at the untrimmed corner, x along `length`, y along `width`.
    """

    stock: Stock
    number: int
    length: float
    width: float
    placements: tuple[Placement, ...]
    blanks: tuple[Blank, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]
    used_fraction: float


@dataclass(frozen=True, slots=True)
class Bound:
    """What no plan can beat, for one material and thickness.

    Attributes:
        material, thickness: of the parts.
        cutting: the way of cutting that it holds for.
        objective: what is counted.
        plan: what this plan uses.
        at_least: what every plan uses.
        proven_best: whether the two meet.
        how: the kind of proof.
    """

    material: str
    thickness: float
    cutting: str
    objective: str
    plan: float
    at_least: float
    proven_best: bool
    how: str


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """So many of one stock to buy, or to take from the rack."""

    stock: Stock
    count: int
    cost: float | None


@dataclass(frozen=True, slots=True)
class Layout:
    """The whole plan of cutting.

    Attributes:
        rules: how it is cut.
        sheets: with what lies on them.
        shopping: what to buy and to take from the rack.
        bounds: what no plan can beat.
        stopped: whether the search was stopped by hand; the plan is the best that was found until then.
    """

    rules: Rules
    sheets: tuple[Sheet, ...]
    shopping: tuple[ShoppingLine, ...]
    bounds: tuple[Bound, ...]
    stopped: bool = False
