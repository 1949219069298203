"""Lengths as people write them, to millimetres and back.

Only one figure links the two systems: an inch is 25.4 mm exactly. Inside hullcut a length is in millimetres.
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction
from typing import Literal

__all__ = [
    "MM_PER_FOOT",
    "MM_PER_INCH",
    "LengthError",
    "Units",
    "bare",
    "both",
    "feet_inches",
    "inches",
    "millimetres",
    "parse_length",
]

Units = Literal["in", "mm"]

MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8

LONGEST_MM = 100_000.0
"""No boat, board or bench is longer than 100 m; a greater number is a slip of the finger."""

MOST_DIGITS = 9
"""More digits than this in a fraction are a slip of the finger too."""

HOW_TO_WRITE = 'write it like "13 1/2 in", "5/16 in", "1 ft 6 in", "330 mm" or 42'

_UNIT_SIZES = {
    "ft": Fraction("304.8"),
    "in": Fraction("25.4"),
    "m": Fraction(1000),
    "cm": Fraction(10),
    "mm": Fraction(1),
}
_UNIT_WORDS = {
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "''", "″", "”"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’"), "ft"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
}
_SMALLER_UNITS = {"ft": ("in",), "in": (), "m": ("cm", "mm"), "cm": ("mm",), "mm": ()}

_SUPERSCRIPT = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_SUBSCRIPT = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_PLAIN = {ord(small): str(i % 10) for i, small in enumerate("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉")}
_FRACTION_SLASH = "\u2044"

_NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_PIECE = re.compile(
    rf"\s*(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)\s*/\s*(?P<under>[0-9]+)(?P<unit_after_fraction>[^\s0-9./]*\.?)"
    rf"|\s*(?P<number>{_NUMBER})\s*(?P<unit>[^\s0-9./]+\.?|)",
)
_SPACED_UNIT = re.compile(r"\s*(?P<unit>[^\s0-9./]+\.?)")


class LengthError(ValueError):
    """A length that cannot be understood.

    Attributes:
        problem: what is wrong.
        remedy: what to write instead.
    """

    def __init__(self, problem: str, remedy: str = HOW_TO_WRITE) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


def parse_length(value: object, default_unit: Units) -> float:
    """Return a length in millimetres.

    A minus sign in front is understood; whether a negative length makes sense is the caller's affair.

    Args:
        value: a number in `default_unit`, or text: "13 1/2 in", "5/16", "1 ft 6 in", "13½", "330 mm".
            Text without a unit is in `default_unit`; a bare number after feet is in inches.
        default_unit: "in" or "mm".

    Raises:
        LengthError: with what is wrong and what to write instead.

    >>> parse_length("13 1/2 in", "mm")
    342.9
    >>> parse_length(330, "mm")
    330.0
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        kind = "true or false" if isinstance(value, bool) else "neither a number nor text"
        raise LengthError(f"is {kind}, not a length")
    if isinstance(value, str):
        return _parse_text(value, default_unit)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf if value > 0 else -math.inf
    if not math.isfinite(number) and isinstance(value, float):
        raise LengthError(f"is {number}, not a length")
    return _in_reach(_exact(number) * _UNIT_SIZES[default_unit])


def _exact(number: float) -> Fraction:
    """The decimal figure that a person wrote, so that 13.1 in is 332.74 mm and not a hair beside it."""
    if not abs(number) <= LONGEST_MM:
        raise _too_long()
    return Fraction(repr(number))


def _parse_text(text: str, default_unit: Units) -> float:
    plain = _plain_text(text)
    shown = _shown(text)
    if not plain:
        raise LengthError("is empty")
    if "," in plain:
        raise LengthError(f'"{shown}" has a comma', "write decimals with a point, like 13.5")
    sign = -1 if plain[0] in "-−" else 1
    body = plain[1:].lstrip() if plain[0] in "+-−" else plain
    total = Fraction(0)
    last: str | None = None
    position = 0
    while position < len(body):
        amount, word, position = _next_piece(body, position, shown)
        unit = _unit_of(word, shown, default_unit, last, position < len(body))
        if last is not None and unit not in _SMALLER_UNITS[last]:
            raise LengthError(f'"{shown}" mixes units in a way that is not understood')
        total += amount * _UNIT_SIZES[unit]
        last = unit
    return _in_reach(sign * total)


def _shown(text: str) -> str:
    """The text as it may stand in a one-line message."""
    line = "".join(letter if letter.isprintable() else "?" for letter in " ".join(text.split()))
    return line if len(line) <= 40 else line[:37] + "..."


def _plain_text(text: str) -> str:
    """Spell typographic fractions with plain digits and a plain slash, and drop spaces at the ends."""
    spelled = []
    small = False
    for letter in text:
        if unicodedata.decomposition(letter).startswith("<fraction>"):
            spelled.append(" " + unicodedata.normalize("NFKC", letter))
            small = False
        elif ord(letter) in _PLAIN:
            if not small and not (spelled and spelled[-1] == _FRACTION_SLASH):
                spelled.append(" ")
            spelled.append(_PLAIN[ord(letter)])
            small = True
        else:
            spelled.append(letter)
            small = False
    return "".join(spelled).replace(_FRACTION_SLASH, "/").strip()


def _next_piece(body: str, position: int, shown: str) -> tuple[Fraction, str, int]:
    """The next amount and the word after it, as written."""
    piece = _PIECE.match(body, position)
    if piece is None:
        raise LengthError(f'"{shown}" is not a length')
    if piece["top"] is None:
        return _exact(float(piece["number"])), piece["unit"], _after_space(body, piece.end())
    if max(len(piece[figure] or "") for figure in ("whole", "top", "under")) > MOST_DIGITS:
        raise LengthError(f'"{shown}" has too many digits')
    if int(piece["under"]) == 0:
        raise LengthError(f'"{shown}" divides by zero', 'write a fraction such as "13 1/2 in"')
    amount = int(piece["whole"] or 0) + Fraction(int(piece["top"]), int(piece["under"]))
    word, end = piece["unit_after_fraction"], piece.end()
    if not word and (spaced := _SPACED_UNIT.match(body, end)):
        word, end = spaced["unit"], spaced.end()
    return amount, word, _after_space(body, end)


def _after_space(body: str, position: int) -> int:
    while position < len(body) and body[position].isspace():
        position += 1
    return position


def _unit_of(word: str, shown: str, default_unit: Units, last: str | None, more: bool) -> str:
    """The unit that a word means, "" being the unit that goes without saying."""
    if word == "":
        if more:
            raise LengthError(f'"{shown}" is not a length')
        return "in" if last == "ft" else default_unit
    unit = _UNIT_WORDS.get(word.lower().rstrip("."))
    if unit is None:
        raise LengthError(f'"{_shown(word)}" in "{shown}" is not a unit', "write in, ft, mm, cm or m after the number")
    return unit


def _in_reach(millimetre: Fraction) -> float:
    if abs(millimetre) > LONGEST_MM:
        raise _too_long()
    return float(millimetre)


def _too_long() -> LengthError:
    return LengthError("is longer than 100 m", f"{HOW_TO_WRITE}, and look for a digit too many")


def _fraction(whole: int, top: int, under: int, typographic: bool) -> str:
    """A whole number and a proper fraction, reduced; the fraction left out where it is zero."""
    if top == 0:
        return str(whole)
    divisor = math.gcd(top, under)
    over, below = str(top // divisor), str(under // divisor)
    if typographic:
        figure = f"{over.translate(_SUPERSCRIPT)}{_FRACTION_SLASH}{below.translate(_SUBSCRIPT)}"
        return f"{whole}{figure}" if whole else figure
    return f"{whole} {over}/{below}" if whole else f"{over}/{below}"


def _steps(mm: float, denominator: int) -> tuple[str, int]:
    """The sign to print and the nearest whole count of 1/denominator in."""
    if denominator < 1:
        raise ValueError("the denominator counts the parts of an inch and is at least 1")
    count = math.floor(abs(mm) / MM_PER_INCH * denominator + 0.5)
    return ("-" if mm < 0 and count else ""), count


def inches(mm: float, denominator: int = 16, *, typographic: bool = False) -> str:
    """Return a length in inches, to the nearest fraction, reduced.

    Args:
        mm: the length in millimetres.
        denominator: the finest fraction, 16 or 32.
        typographic: whether to set fractions as small raised and lowered figures.

    >>> inches(342.9)
    '13 1/2 in'
    """
    sign, count = _steps(mm, denominator)
    whole, top = divmod(count, denominator)
    return f"{sign}{_fraction(whole, top, denominator, typographic)} in"


def feet_inches(mm: float, denominator: int = 16, *, typographic: bool = False) -> str:
    """Return a length in feet and inches, to the nearest fraction; in inches alone below one foot.

    Args:
        mm: the length in millimetres.
        denominator: the finest fraction of an inch.
        typographic: whether to set fractions as small raised and lowered figures.

    >>> feet_inches(457.2)
    '1 ft 6 in'
    """
    sign, count = _steps(mm, denominator)
    feet, rest = divmod(count, 12 * denominator)
    if feet == 0:
        return inches(mm, denominator, typographic=typographic)
    whole, top = divmod(rest, denominator)
    if rest == 0:
        return f"{sign}{feet} ft"
    return f"{sign}{feet} ft {_fraction(whole, top, denominator, typographic)} in"


def millimetres(mm: float, decimals: int = 0) -> str:
    """Return a length in millimetres, rounded half up and never "-0".

    Args:
        mm: the length in millimetres.
        decimals: figures after the point.

    >>> millimetres(342.9)
    '343 mm'
    """
    scale = 10**decimals
    rounded = math.floor(abs(mm) * scale + 0.5) / scale
    sign = "-" if mm < 0 and rounded else ""
    return f"{sign}{rounded:.{decimals}f} mm"


def bare(mm: float, units: Units) -> str:
    """A length in both systems without their names, which a table's head tells: "3 1/2 (89)"."""
    inch, metric = inches(mm).removesuffix(" in"), millimetres(mm).removesuffix(" mm")
    return f"{inch} ({metric})" if units == "in" else f"{metric} ({inch})"


def both(mm: float, units: Units, denominator: int = 16, *, decimals: int = 0, typographic: bool = False) -> str:
    """Return a length in both systems, the design's own first.

    Args:
        mm: the length in millimetres.
        units: which system leads.
        denominator: the finest fraction of an inch.
        decimals: figures after the point of the millimetres.
        typographic: whether to set fractions as small raised and lowered figures.

    >>> both(342.9, "in")
    '13 1/2 in (343 mm)'
    """
    inch = inches(mm, denominator, typographic=typographic)
    metric = millimetres(mm, decimals)
    return f"{inch} ({metric})" if units == "in" else f"{metric} ({inch})"
