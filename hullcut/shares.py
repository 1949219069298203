"""Sharing a whole number out so that the shares are whole too and add up."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["whole_shares"]


def whole_shares(exact: Sequence[float], total: int) -> list[int]:
    """Whole numbers that add up to a total: those that lose most by rounding down get what is left over.

    Args:
        exact: the shares, whose sum rounds to the total.
        total: what they add up to.
    """
    whole = [math.floor(share + 1e-6) for share in exact]
    by_loss = sorted(range(len(exact)), key=lambda number: (whole[number] - exact[number], number))
    for number in by_loss[: total - sum(whole)]:
        whole[number] += 1
    return whole
