"""Sizes of the jigs: building board, sticks, dummy rod, wedge, and the blocks that hold the sides."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["STOP_BLOCKS", "JigSizes", "jig_sizes"]

STOP_BLOCKS = 4
"""Blocks that hold the sides on the board, two at each: common practice, no source."""

# What a jig reaches beyond what it serves, mm: common practice, no source.
_BOARD_BESIDE, _STICK_BEYOND, _ROD_BEYOND, _BOARD_ENDS = 100.0, 150.0, 150.0, 100.0
# A board so thick stays flat under the frame, mm: common practice, no source.
_BOARD_THICK = 19.05


@dataclass(frozen=True, slots=True)
class JigSizes:
    """Sizes in mm.

    Attributes:
        board: length, width and least thickness of the building board.
        stick: length of a straight stick.
        rod: thickness and length of the dummy rod.
        wedge: length and rise of the wedge for the shaft.
        stop: height of a block that holds the sides, half as high as they are.
    """

    board: tuple[float, float, float]
    stick: float
    rod: tuple[float, float]
    wedge: tuple[float, float]
    stop: float


def jig_sizes(plan: BoatPlan) -> JigSizes:
    """The sizes of a boat's jigs.

    A sled's bottom comes down to the board at the bow and is cut too long: the board ends behind that.
    """
    design, shaft = plan.design, plan.arrangement.shaft
    sizes = design.hull
    run = 254.0 if design.units == "in" else 250.0
    ends = 0.0 if sizes.bow == "sled" else _BOARD_ENDS
    return JigSizes(
        (plan.hull.length + ends, sizes.beam + _BOARD_BESIDE, _BOARD_THICK),
        sizes.beam + _STICK_BEYOND,
        (design.drive.shaft_diameter, shaft.length + _ROD_BEYOND),
        (run, run * math.tan(math.radians(shaft.angle))),
        sizes.depth / 2.0,
    )
