"""How each role looks: one table of line widths, dashes and colours for every writer.

Line widths are those of ISO 128-2 (0.25, 0.35, 0.5, 0.7 mm), wide to narrow 2:1. Dashes follow ISO 128-2's
line types 02.1 (dashed narrow: dash 12 d, gap 3 d), 04.1 (long-dash dot narrow: 24 d, 3 d, dot, 3 d) and
05.1 (long-dash double-dot), d being the line width; the multiples are from memory. Colours are the
colour-blind-safe set of M. Okabe and K. Ito, "Color Universal Design" (2008). Operations also differ by
width or dash, so a black and white print reads.
"""

from __future__ import annotations

from dataclasses import dataclass

from hullcut.drawing.scene import Role

__all__ = [
    "BLACK",
    "BLUE",
    "BLUISH_GREEN",
    "GREY",
    "LINE_STYLES",
    "ORANGE",
    "REDDISH_PURPLE",
    "SKY_BLUE",
    "TINTS",
    "VERMILLION",
    "YELLOW",
    "LineStyle",
    "line_style",
    "tint",
]

BLACK = "#000000"
ORANGE = "#e69f00"
SKY_BLUE = "#56b4e9"
BLUISH_GREEN = "#009e73"
YELLOW = "#f0e442"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
REDDISH_PURPLE = "#cc79a7"
GREY = "#6b6b6b"

_WIDE = 0.5
_NARROW = 0.25


@dataclass(frozen=True, slots=True)
class LineStyle:
    """How the lines of a role are drawn.

    Attributes:
        width: mm; 0 where the role has no line.
        dash: lengths on and off in turn, mm; empty for a continuous line.
        colour: "#rrggbb".
    """

    width: float
    dash: tuple[float, ...]
    colour: str


def _dashed(width: float) -> tuple[float, ...]:
    return (12 * width, 3 * width)


def _long_dash_dot(width: float) -> tuple[float, ...]:
    return (24 * width, 3 * width, 0.5 * width, 3 * width)


def _long_dash_double_dot(width: float) -> tuple[float, ...]:
    return (24 * width, 3 * width, 0.5 * width, 3 * width, 0.5 * width, 3 * width)


LINE_STYLES: dict[Role, LineStyle] = {
    Role.CUT: LineStyle(_WIDE, (), BLACK),
    Role.INNER_CUT: LineStyle(_WIDE, (), VERMILLION),
    Role.MARK: LineStyle(_NARROW, (), BLUE),
    Role.TRUE_LINE: LineStyle(0.35, _dashed(0.35), BLUISH_GREEN),
    Role.CENTRE: LineStyle(_NARROW, _long_dash_dot(_NARROW), BLUE),
    Role.HOLE: LineStyle(0.35, (), VERMILLION),
    Role.LABEL: LineStyle(_NARROW, (), BLACK),
    Role.DIMENSION: LineStyle(_NARROW, (), BLACK),
    Role.HIDDEN: LineStyle(_NARROW, _dashed(_NARROW), BLACK),
    Role.WATERLINE: LineStyle(0.35, _long_dash_double_dot(0.35), BLACK),
    Role.OUTLINE: LineStyle(_WIDE, (), BLACK),
    Role.THIN: LineStyle(_NARROW, (), BLACK),
    Role.STOCK: LineStyle(0.7, (), BLACK),
    Role.SAW: LineStyle(0.35, _long_dash_double_dot(0.35), VERMILLION),
    Role.OFFCUT: LineStyle(_NARROW, _dashed(_NARROW), GREY),
    Role.FILL: LineStyle(0.0, (), GREY),
    Role.PAGE: LineStyle(_NARROW, (), GREY),
}

# Each colour of the set mixed with white, three parts white to one of colour (yellow: one to one), so that
# black text on it keeps a contrast of at least 7:1.
TINTS: tuple[str, ...] = ("#d5ecf9", "#f9e7bf", "#bfe6dc", "#f2ddea", "#f7f1a0", "#bfdbec", "#f4d6bf")


def line_style(role: Role) -> LineStyle:
    """How the lines of a role are drawn."""
    return LINE_STYLES[role]


def tint(index: int) -> str:
    """A light fill for the part counted `index`, turning round the palette; black text reads on it."""
    return TINTS[index % len(TINTS)]
