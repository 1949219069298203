"""What an order leaves behind: what each boat costs, and what goes back into the rack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from hullcut.design.values import Stock
from hullcut.nesting.values import Layout

__all__ = ["costs_by_boat", "rack_text"]


def costs_by_boat(layout: Layout, areas: Mapping[str, float]) -> dict[str, float] | None:
    """Each boat's share of the cost of what is bought; "" stands for parts of no boat.

    A sheet is shared by the area of the outlines that are cut from it, its waste in the same proportion.

    Args:
        layout: the plan.
        areas: mm2, of each part by its id.

    Returns:
        None where something bought has no price.
    """
    shares: dict[str, float] = {}
    for sheet in layout.sheets:
        price = 0.0 if sheet.stock.kind == "leftover" else sheet.stock.price
        if price is None:
            return None
        total = sum(areas[each.part] for each in sheet.placements)
        for each in sheet.placements:
            shares[each.boat] = shares.get(each.boat, 0.0) + price * areas[each.part] / total
    return dict(sorted(shares.items()))


def rack_text(layout: Layout, rack: Sequence[Stock], name: str) -> str:
    """The rack after an order, as the tables of an order file.

    Args:
        layout: the plan.
        rack: leftovers that were there before.
        name: of the order.
    """
    used = Counter(sheet.stock.id for sheet in layout.sheets)
    counts: Counter[tuple[str, float, float, float, str]] = Counter()
    for stock in rack:
        if stock.kind == "leftover":
            counts[_key(stock, stock.length, stock.width)] += max(0, (stock.available or 0) - used[stock.id])
    for sheet in layout.sheets:
        for offcut in sheet.offcuts:
            counts[_key(sheet.stock, offcut.length, offcut.width)] += 1
    lines = [
        f"# The rack after {name}: copy these tables into the next order, once you have measured each piece.",
        "# Rectangles worth keeping only; sizes are rounded down to a tenth of a millimetre.",
    ]
    for (material, thickness, length, width, grain), count in sorted(counts.items()):
        if count:
            lines += [
                "",
                "[[shop.rack]]",
                f'material = "{material}"',
                f'thickness = "{thickness:.4g} mm"',
                f'length = "{length:.1f} mm"',
                f'width = "{width:.1f} mm"',
                f'grain = "{grain}"',
                f"available = {count}",
            ]
    return "\n".join(lines) + "\n"


def _key(stock: Stock, length: float, width: float) -> tuple[str, float, float, float, str]:
    return (stock.material, stock.planed_to, int(length * 10.0) / 10.0, int(width * 10.0) / 10.0, stock.grain)
