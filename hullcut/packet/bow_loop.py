"""The bow loop's screw: where it stands in the block that closes the bow, and how long it may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["LoopScrew", "loop_screw"]

# What is so much lower than its top corner still belongs to a block's top, mm.
_TOP = 12.0
# Wood that is left under the screw's point, mm: common practice, no source.
_LEFT = 3.0
# A longer one is not needed, and a raked block may be no deeper, mm: common practice, no source.
_ENOUGH = 25.4


@dataclass(frozen=True, slots=True)
class LoopScrew:
    """The screw that holds a bow loop.

    Attributes:
        from_bow: how far abaft the hull's foremost point it stands, mm.
        most: how long it may be under its ring, through the deck and into the block, mm.
    """

    from_bow: float
    most: float


def loop_screw(plan: BoatPlan) -> LoopScrew | None:
    """The screw in the middle of the block's top; None for a bow that has no block."""
    block = next((part for part in plan.parts if part.family == "nose_block"), None)
    if block is None:
        return None
    hull = plan.hull
    corners = block.panel.to_space(np.array(block.true_outline), 0.0)
    top = corners[corners[:, 2] > corners[:, 2].max() - _TOP, 0]
    x = 0.5 * float(top.min() + top.max())
    at = np.array([x])
    # A sled's bottom rises to the deck under its block; another bow's block may stand clear of the bottom.
    floor = max(float(hull.bottom_height(at, hull.bottom_thickness)[0]), float(corners[:, 2].min()))
    wood = float(hull.roof_height(at)[0]) - floor + plan.design.woods.deck.thickness
    return LoopScrew(hull.length - x, min(wood - _LEFT, _ENOUGH))
