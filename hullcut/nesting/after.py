"""What an order leaves behind: what each boat costs, and what goes back into the rack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from hullcut.design.values import Stock
from hullcut.nesting.offer import THICKNESS_MATCH
from hullcut.nesting.values import Layout, Placement, Sheet
from hullcut.shares import whole_shares

__all__ = ["CostShares", "cost_shares", "rack_text"]


@dataclass(frozen=True, slots=True)
class CostShares:
    """Who pays how much of what is bought, in whole cents.

    Attributes:
        total: what all that is bought costs.
        boats: (boat's id, cost) of every boat, in the order's order.
        extras: (part's id, cost) of every part of no boat, all copies together.
    """

    total: float
    boats: tuple[tuple[str, float], ...]
    extras: tuple[tuple[str, float], ...]


def cost_shares(
    layout: Layout, areas: Mapping[str, float], boats: Sequence[str], extras: Sequence[str]
) -> CostShares | None:
    """Each boat's and each extra part's share of the cost of what is bought.

    What one wood of one thickness costs is shared by the area of the blanks that are cut from it, waste and leftovers
    in the same proportion, so that nobody pays for lying on a sheet that is badly filled. Parts that share a blank
    share it by the area of their outlines; where outlines are sawn out they count themselves.

    Args:
        layout: the plan.
        areas: mm2, of each piece by its part's id.
        boats: the ids of the boats.
        extras: the ids of the parts of no boat.

    Returns:
        None where something bought has no price. The shares add up to the total to the cent.
    """
    group_of = _thicknesses(layout)
    costs: dict[tuple[str, float], float] = {}
    ground: dict[tuple[str, float], dict[tuple[str, str], float]] = {}
    for sheet in layout.sheets:
        price = 0.0 if sheet.stock.kind == "leftover" else sheet.stock.price
        if price is None:
            return None
        group = sheet.stock.material, group_of[sheet.stock.material, sheet.stock.planed_to]
        costs[group] = costs.get(group, 0.0) + price
        taken = ground.setdefault(group, {})
        for each, area in _blank_areas(sheet, areas):
            owner = ("boat", each.boat) if each.boat else ("extra", each.part)
            taken[owner] = taken.get(owner, 0.0) + area
    owners = [*(("boat", boat) for boat in boats), *(("extra", part) for part in extras)]
    exact = [
        sum(costs[group] * taken.get(owner, 0.0) / sum(taken.values()) for group, taken in ground.items())
        for owner in owners
    ]
    total = round(sum(costs.values()) * 100.0)
    cents = [cent / 100.0 for cent in whole_shares([100.0 * share for share in exact], total)]
    return CostShares(
        total / 100.0,
        tuple(zip(boats, cents[: len(boats)], strict=True)),
        tuple(zip(extras, cents[len(boats) :], strict=True)),
    )


def _thicknesses(layout: Layout) -> dict[tuple[str, float], float]:
    """For each wood and thickness used, the least of those thicknesses that count as the same."""
    found: dict[tuple[str, float], float] = {}
    before: tuple[str, float] | None = None
    for material, thickness in sorted({(sheet.stock.material, sheet.stock.planed_to) for sheet in layout.sheets}):
        joins = before is not None and before[0] == material and thickness - before[1] <= THICKNESS_MATCH
        found[material, thickness] = found[before] if before is not None and joins else thickness
        before = (material, thickness)
    return found


def _blank_areas(sheet: Sheet, areas: Mapping[str, float]) -> Iterator[tuple[Placement, float]]:
    """Every piece on a sheet with its share of its blank, mm2."""
    if not sheet.blanks:
        yield from ((each, areas[each.part]) for each in sheet.placements)
    for blank in sheet.blanks:
        outlines = sum(areas[each.part] for each in blank.placements)
        for each in blank.placements:
            yield each, blank.length * blank.width * areas[each.part] / outlines


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
