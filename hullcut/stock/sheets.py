"""Sheet sizes and board sizes as sold, and what they may differ from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from hullcut.stock.table_files import table

__all__ = ["BoardSize", "Market", "SheetSize", "Tolerance", "board_sizes", "sheet_sizes", "tolerances"]

Market = Literal["inch", "metric"]


@dataclass(frozen=True, slots=True)
class SheetSize:
    """One size of sheet; the face grain runs along its length.

    Attributes:
        key: "4x8".
        market: where it is sold.
        length: mm, along the face grain.
        width: mm.
        materials: keys of the plywoods usually sold in this size.
        source: where the size comes from.
    """

    key: str
    market: Market
    length: float
    width: float
    materials: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class BoardSize:
    """One size of board, planed on all four sides.

    Attributes:
        key: nominal size and length, "1x6-8ft".
        market: where it is sold.
        thickness: mm, dressed and dry.
        width: mm, dressed and dry.
        length: mm.
        source: where the size comes from.
        mark: "published", "from memory" or "common practice".
    """

    key: str
    market: Market
    thickness: float
    width: float
    length: float
    source: str
    mark: str


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a sheet may be from its printed size, in words, with its source."""

    name: str
    text: str
    source: str
    mark: str


@cache
def sheet_sizes(market: Market) -> tuple[SheetSize, ...]:
    """The sheet sizes of one market, in the table's order."""
    return tuple(
        SheetSize(row["key"], row["market"], row["length"], row["width"], tuple(row["materials"]), row["source"])
        for row in table("sheets")["sheet"]
        if row["market"] == market
    )


@cache
def board_sizes(market: Market) -> tuple[BoardSize, ...]:
    """The board sizes of one market in every length, in the table's order."""
    rows = table("boards")
    return tuple(
        BoardSize(
            key=f"{row['key']}-{name}",
            market=row["market"],
            thickness=row["thickness"],
            width=row["width"],
            length=length,
            source=row["source"],
            mark=row["mark"],
        )
        for row in rows["board"]
        if row["market"] == market
        for name, length in rows["lengths"][market]
    )


@cache
def tolerances() -> tuple[Tolerance, ...]:
    """What sheets may differ from their printed size, for notes on paper."""
    return tuple(
        Tolerance(row["name"], row["text"], row["source"], row["mark"]) for row in table("sheets")["tolerance"]
    )
