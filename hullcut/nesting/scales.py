"""Sizes as whole numbers that lose as little as can be and still never rule out what fits.

A conservative scale gives each size a whole number, and each length of stock one, so that sizes which fit into a length
side by side have numbers which fit into its number (Fekete and Schepers, "A combinatorial characterization of
higher-dimensional orthogonal packing", Mathematics of Operations Research 29 (2004) 353-368). Whatever fits then also
fits by numbers, so that a bound by numbers holds for the true sizes. Rounding down gives such a scale; here the numbers
are raised one by one as long as the least true length of every total stays longer than the stock whose number the total
passes.
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["conservative_scale"]

# Longer than any stock.
_NEVER = 1 << 60


def conservative_scale(
    sizes: Sequence[int], totals: Sequence[int], unit: int, weights: Sequence[float]
) -> tuple[dict[int, int], list[int]]:
    """Numbers for sizes and for lengths of stock.

    Args:
        sizes: that may lie side by side, each as often as it fits; above zero.
        totals: lengths of stock.
        unit: that one stands for, about.
        weights: of each size: what a loss at it costs, by its length.

    Returns:
        The number of each size and of each length. A size may have none, where it is smaller than the unit.
    """
    number = {size: size // unit for size in sizes}
    limits = {total: total // unit for total in totals}
    if min(number.values(), default=0) == 0:
        return number, [limits[total] for total in totals]
    cost: dict[int, float] = {}
    for size, weight in zip(sizes, weights, strict=True):
        cost[size] = cost.get(size, 0.0) + weight
    order = sorted(number, key=lambda size: (-cost[size] * (size % unit) / size, size))
    for size in order:
        number[size] += 1
        if not _holds(number, limits):
            number[size] -= 1
    shortest = _shortest(number, max(limits.values(), default=0))
    return number, [max(k for k in range(limits[total] + 1) if shortest[k] <= total) for total in totals]


def _holds(number: dict[int, int], limits: dict[int, int]) -> bool:
    """Whether no sizes that fit into a length have numbers that don't."""
    shortest = _shortest(number, max(limits.values(), default=0) + max(number.values()))
    reach = max(number.values())
    return all(min(shortest[limit + 1 : limit + 1 + reach]) > total for total, limit in limits.items())


def _shortest(number: dict[int, int], most: int) -> list[int]:
    """The least length of sizes whose numbers come to each total; a very great length where none do."""
    shortest = [0] + [_NEVER] * most
    for length, step in number.items():
        for total in range(step, most + 1):
            longer = shortest[total - step] + length
            if longer < shortest[total]:
                shortest[total] = longer
    return shortest
