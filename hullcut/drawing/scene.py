"""A drawing as a list of items in millimetres, each carrying its meaning.

x to the right, y up; a writer turns it into its own axes. Items are lines, arcs and curves, never only
points, so that every writer can use the best that its format has.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Arc", "Curve", "Item", "Line", "Path", "Point", "Role", "Scene", "Segment", "Shape", "Text"]

Point = tuple[float, float]


class Role(StrEnum):
    """What an item means; its value names the layer in SVG and DXF."""

    CUT = "cut"
    INNER_CUT = "inner cut"
    MARK = "mark"
    TRUE_LINE = "true line"
    CENTRE = "centre line"
    HOLE = "hole"
    LABEL = "label"
    DIMENSION = "dimension"
    HIDDEN = "hidden"
    WATERLINE = "waterline"
    OUTLINE = "outline"
    THIN = "thin"
    STOCK = "stock"
    SAW = "saw cut"
    OFFCUT = "offcut"
    FILL = "fill"
    PAGE = "page"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight segment."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc from `start_deg` counter-clockwise to `end_deg`; 0 to 360 is a full circle.

    `clockwise` tells in which way a path runs along it: then it runs from `start_deg` down to `end_deg`.
    """

    centre: Point
    radius: float
    start_deg: float
    end_deg: float
    clockwise: bool = False


@dataclass(frozen=True, slots=True)
class Curve:
    """A cubic Bezier segment."""

    start: Point
    control1: Point
    control2: Point
    end: Point


Segment = Line | Arc | Curve


@dataclass(frozen=True, slots=True)
class Path:
    """Segments end to end; a closed path's last segment ends where the first begins."""

    segments: tuple[Segment, ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class Shape:
    """A stroked, and perhaps filled, set of paths (the first the outside, further ones holes).

    Attributes:
        role: its meaning; the writer chooses line width, dash and layer by it.
        paths: what is drawn.
        ref: what it stands for: a design key, or part and edge; empty where nothing.
        fill: "#rrggbb" or None.
        stroke: "#rrggbb" to override the role's colour; "none" for no line; None for the role's own.
        width: line width in mm to override the role's own.
    """

    role: Role
    paths: tuple[Path, ...]
    ref: str = ""
    fill: str | None = None
    stroke: str | None = None
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text.

    Attributes:
        role: its meaning.
        at: the anchor point, on the base line.
        text: one line.
        size: height of the font in mm.
        angle: degrees counter-clockwise.
        anchor: "start", "middle" or "end".
        ref: as for Shape.
        bold: heavier face.
        colour: "#rrggbb", or None for the role's own.
    """

    role: Role
    at: Point
    text: str
    size: float
    angle: float = 0.0
    anchor: str = "start"
    ref: str = ""
    bold: bool = False
    colour: str | None = None


Item = Shape | Text


@dataclass(frozen=True, slots=True)
class Scene:
    """Items on a ground of known size.

    Attributes:
        title: told to screen readers and used as the file's title.
        x0, y0, x1, y1: the ground's box; items may not stand outside it.
        items: drawn in order.
    """

    title: str
    x0: float
    y0: float
    x1: float
    y1: float
    items: tuple[Item, ...]

    @property
    def width(self) -> float:
        """Width of the ground, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Height of the ground, mm."""
        return self.y1 - self.y0
