"""Sizes and counts in running words, held together: no line ends between a whole number, its fraction and its unit."""

from __future__ import annotations

import re

__all__ = ["FIRM", "unbroken"]

FIRM = "\u00a0"
"""A space at which no line ends."""

_UNITS = "in|ft|mm|cm|m|g|kg|ml|litres?"
# Between whole number and fraction, number and unit, feet and inches; and on both sides of "times".
_WITHIN = re.compile(rf"(?<=\d) (?=\d+/\d|(?:{_UNITS})\b|×)|(?<=\d ft) (?=\d)|(?<=×) ")


def unbroken(text: str) -> str:
    """The text with firm spaces within each of its sizes and beside its counts.

    >>> unbroken("is 25 1/4 in (641 mm) long").replace(FIRM, "_")
    'is 25_1/4_in (641_mm) long'
    """
    return _WITHIN.sub(FIRM, text)
