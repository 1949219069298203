"""What a measured thickness is sold as."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hullcut.stock.sheets import Market
from hullcut.stock.table_files import table

__all__ = ["NominalThickness", "nominal_thickness", "sold_as"]


@dataclass(frozen=True, slots=True)
class NominalThickness:
    """A name on the shelf and what is found under it (common practice, no source).

    Attributes:
        name: "1/4 in".
        low: least usually measured, mm.
        high: greatest usually measured, mm.
    """

    name: str
    low: float
    high: float


@cache
def _nominals(market: Market) -> tuple[NominalThickness, ...]:
    return tuple(
        NominalThickness(row["name"], row["low"], row["high"])
        for row in table("thickness")["nominal"]
        if row["market"] == market
    )


def nominal_thickness(thickness_mm: float, market: Market) -> NominalThickness:
    """The name whose measured range holds a thickness, or the one whose range is nearest.

    Args:
        thickness_mm: measured.
        market: whose names to use.
    """
    return min(
        _nominals(market),
        key=lambda each: (max(each.low - thickness_mm, thickness_mm - each.high, 0.0), each.low),
    )


def sold_as(thickness_mm: float, market: Market) -> str:
    """The name under which a measured thickness is usually sold.

    >>> sold_as(5.2, "inch")
    '1/4 in'
    """
    return nominal_thickness(thickness_mm, market).name
