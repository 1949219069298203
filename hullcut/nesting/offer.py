"""What can be bought or taken from the rack for one wood and thickness."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from hullcut.design.values import Shop, Stock
from hullcut.stock.sheets import BoardSize, Market, SheetSize, board_sizes, sheet_sizes
from hullcut.stock.woods import wood

__all__ = [
    "PLANING_ALLOWANCE",
    "THICKNESS_MATCH",
    "THINNEST_RESAWN",
    "offer_for",
    "same_thickness",
    "usual_stock",
]

#: mm by which stock may differ from the part and still count as the same: PS 1's sanded tolerance (1/64 in).
THICKNESS_MATCH = 0.4
#: mm that planing takes off at least, so that both faces come clean.
PLANING_ALLOWANCE = 1.0
#: mm, 1/8 in: a thinner strip is not resawn and planed safely in a small shop (common practice, no source).
THINNEST_RESAWN = 3.175
#: mm within which two written sizes are one; inch fractions convert exactly, so this is only for rounding.
_ROUNDING = 1e-6


def same_thickness(stock: Stock, thickness: float) -> bool:
    """Whether stock as used has a part's thickness, within `THICKNESS_MATCH`."""
    return abs(stock.planed_to - thickness) <= THICKNESS_MATCH + _ROUNDING


def _sheet(material: str, thickness: float, size: SheetSize) -> Stock:
    return Stock(
        id=f"sheet-{material}-{thickness:.4g}mm-{size.key}",
        kind="sheet",
        material=material,
        thickness=thickness,
        planed_to=thickness,
        length=size.length,
        width=size.width,
        grain="length",
        available=None,
        price=None,
        source=size.source,
    )


def _board(material: str, planed_to: float, size: BoardSize) -> Stock:
    as_sold = planed_to == size.thickness
    return Stock(
        id=f"board-{material}-{size.key}" + ("" if as_sold else f"-planed-{planed_to:.4g}mm"),
        kind="board",
        material=material,
        thickness=size.thickness,
        planed_to=planed_to,
        length=size.length,
        width=size.width,
        grain="length",
        available=None,
        price=None,
        source=size.source if as_sold else f"{size.source}; resawn or planed by an adult, or bought planed",
    )


def _boards(material: str, thickness: float, market: Market) -> tuple[Stock, ...]:
    sizes = board_sizes(market)
    sold = [size for size in sizes if abs(size.thickness - thickness) <= THICKNESS_MATCH + _ROUNDING]
    if sold:
        nearest = min(abs(size.thickness - thickness) for size in sold)
        return tuple(
            _board(material, size.thickness, size)
            for size in sold
            if abs(size.thickness - thickness) <= nearest + _ROUNDING
        )
    if thickness < THINNEST_RESAWN - _ROUNDING:
        return ()
    thick = [size for size in sizes if size.thickness >= thickness + PLANING_ALLOWANCE - _ROUNDING]
    thinnest = min((size.thickness for size in thick), default=0.0)
    return tuple(_board(material, thickness, size) for size in thick if size.thickness == thinnest)


def usual_stock(
    material: str, thickness: float, market: Market, kind: Literal["solid", "plywood"]
) -> tuple[Stock, ...]:
    """The usual sizes on offer for one wood and thickness, smallest first.

    Plywoods come in every usual sheet size. Solid woods come in boards: as sold where the thickness agrees,
    else resawn or planed from the thinnest board that leaves `PLANING_ALLOWANCE`.

    Args:
        material: key of a wood.
        thickness: of the part, mm.
        market: whose sizes.
        kind: "solid" or "plywood".

    Returns:
        Unlimited stock without prices; empty where nothing sold is thick enough.
    """
    if kind == "plywood":
        found = tuple(_sheet(material, thickness, size) for size in sheet_sizes(market) if material in size.materials)
    else:
        found = _boards(material, thickness, market)
    return tuple(sorted(found, key=lambda stock: (stock.length * stock.width, stock.id)))


def offer_for(shop: Shop, groups: Iterable[tuple[str, float]]) -> tuple[Stock, ...]:
    """All stock that may be used for an order's woods and thicknesses.

    The shop's own stock comes first; the usual sizes are added for a group for which the shop offers nothing
    but leftovers.

    Args:
        shop: the order's shop.
        groups: (material, thickness) of the parts; repeats are ignored.

    Returns:
        Stock with unique ids, in the order of the sorted groups.

    Raises:
        DesignError: a material is not in the tables.
    """
    offers: dict[str, Stock] = {}
    for material, thickness in sorted(set(groups)):
        own = [stock for stock in shop.stock if stock.material == material and same_thickness(stock, thickness)]
        if all(stock.kind == "leftover" for stock in own):
            own += usual_stock(material, thickness, shop.market, wood(material).kind)
        for stock in own:
            offers.setdefault(stock.id, stock)
    return tuple(offers.values())
