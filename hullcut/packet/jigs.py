"""Sizes of the jigs: building board, sticks, dummy rod, wedge, and the blocks that hold the sides."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hullcut.packet.building_board import STOP_BLOCK, board_lines, board_size
from hullcut.packet.places import frame_blocks, tube

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["BLOCK_LONG", "BLOCK_THICK", "BLOCK_WIDE", "JigSizes", "blocks_under", "jig_sizes", "transom_top"]

BLOCK_THICK = 19.05
"""Of the block that holds the dummy rod, mm: common practice, no source; any scrap that stays straight."""

BLOCK_LONG = 304.8
"""Least length of the blocks that the hull lies on, mm: common practice, no source."""

BLOCK_WIDE = 50.8
"""Across the boat, of the same block, mm: room for a clamp at each side of the rod."""

# What a jig reaches beyond what it serves, mm: common practice, no source.
_STICK_BEYOND, _ROD_BEYOND = 150.0, 150.0
# The rod's hole in the block is below the bottom.
_BLOCK_BEYOND = 50.8
# How far a stop block reaches up beside a side at least, mm: sides may stand on blocks of their own.
_STOP_BESIDE = 19.05
# Screws for it are sold so long, mm. Through the block they go so deep into the board at least, and stay off its
# underside by so much (common practice, no source).
_STOP_SCREWS = {
    "in": (38.1, 50.8, 63.5, 76.2, 88.9, 101.6, 127.0, 152.4),
    "mm": (40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 120.0, 150.0),
}
_STOP_DEEP, _STOP_OFF = 9.0, 3.0
# Under the decks, blocks so high stand higher than any screen does above them, mm: common practice, no source.
_BLOCKS_UNDER = 76.2
# Between the wedge and the fin's cleats, mm.
_FIN_CLEAR = 2.0
# A board so thick stays flat under the frame, mm: common practice, no source.
_BOARD_THICK = 19.05


@dataclass(frozen=True, slots=True)
class JigSizes:
    """Sizes in mm.

    Attributes:
        board: length, width and least thickness of the building board.
        stick: length of a straight stick.
        rod: thickness and length of the dummy rod.
        wedge: length and rise of the wedge that props the tube, on the bottom from the slot forward.
        block: length of the block that holds the dummy rod, clamped on the transom, their heads level.
        block_hole: from its head to the rod's middle, along the face that lies on the transom.
        stop: length along the side, width out from it, and height of a stop block.
        stop_screw: length of its screws, two a block.
        stops: how many, two at each line of the board.
    """

    board: tuple[float, float, float]
    stick: float
    rod: tuple[float, float]
    wedge: tuple[float, float]
    block: float
    block_hole: float
    stop: tuple[float, float, float]
    stop_screw: float
    stops: int


def jig_sizes(plan: BoatPlan) -> JigSizes:
    """The sizes of a boat's jigs."""
    design, shaft = plan.design, plan.arrangement.shaft
    sizes = design.hull
    inch = design.units == "in"
    # Between the slot's fore end, where the tube's underside comes in, and the tube's fore end, ahead of which the
    # coupling turns, or the fin's cleats, which are glued in by then: in whole inches or halves of a centimetre.
    step, most = (25.4, 254.0) if inch else (5.0, 250.0)
    free = min(shaft.output_x - tube(plan).abaft_plate, _fin_within(plan) - _FIN_CLEAR) - shaft.slot_to
    # Where the fin leaves less than that, in quarters of an inch.
    step = step if free >= 2.0 * step else 6.35
    run = min(most, step * math.floor(free / step))
    # Where the bottom rises towards the stern the wedge is steeper than the shaft.
    floor = plan.hull.bottom_height(np.array([shaft.slot_to, shaft.slot_to + run]), plan.hull.bottom_thickness)
    high, screw = _stop_block(plan)
    return JigSizes(
        (*board_size(plan.hull), _BOARD_THICK),
        sizes.beam + _STICK_BEYOND,
        (design.drive.shaft_diameter, shaft.length + _ROD_BEYOND),
        (run, run * math.tan(math.radians(shaft.angle)) + float(floor[0] - floor[1])),
        transom_top(plan) + _BLOCK_BEYOND,
        _block_hole(plan),
        (*STOP_BLOCK, high),
        screw,
        2 * len(board_lines(plan)),
    )


def blocks_under(plan: BoatPlan) -> float:
    """Height of the two blocks that the hull lies on off its stand, mm: clear of fin or windscreen under it."""
    return max(_BLOCKS_UNDER, plan.design.fin.depth + _BLOCKS_UNDER / 4.0)


def _stop_block(plan: BoatPlan) -> tuple[float, float]:
    """Height of the stop blocks and length of their screws, mm.

    The sides' edges stand over the board where the sheer rises; a block reaches above the highest of them.
    """
    units = plan.design.units
    step = 12.7 if units == "in" else 10.0
    high = step * math.ceil((max(frame_blocks(plan)) + _STOP_BESIDE) / step - 1e-9)
    while True:
        fit = [each for each in _STOP_SCREWS[units] if _STOP_DEEP <= each - high <= _BOARD_THICK - _STOP_OFF]
        if fit or high > _STOP_SCREWS[units][-1]:
            return high, max(fit, default=high + _STOP_DEEP)
        high += step


def _block_hole(plan: BoatPlan) -> float:
    """Where the shaft's line, drawn on past the hull, meets the plane of the transom's outer face."""
    shaft, face = plan.arrangement.shaft, plan.hull.transom
    steep = math.tan(math.radians(shaft.angle))
    foot = float(face.x(0.0))
    lean = float(face.x(1.0)) - foot
    z = (shaft.output_z - (shaft.output_x - foot) * steep) / (1.0 - lean * steep)
    return (transom_top(plan) - z) * math.hypot(1.0, lean)


def transom_top(plan: BoatPlan) -> float:
    """Z of the transom's upper edge on its outer face, in the middle, mm: with it the block's head is level."""
    transom = next(part for part in plan.parts if part.id == f"{part.design}-transom")
    outline = np.array(transom.true_outline)
    faces = [transom.panel.to_space(outline, side * transom.thickness / 2.0) for side in (1.0, -1.0)]
    outer = min(faces, key=lambda points: float(points[:, 0].min()))
    return float(outer[:, 2].max())


def _fin_within(plan: BoatPlan) -> float:
    """X of the after end of what of the fin is inside the hull: its tab and cleats."""
    low = float(plan.hull.bottom_height(np.array([plan.arrangement.fin_x]), plan.hull.bottom_thickness)[0])
    found = []
    for part in plan.parts:
        if part.family == "fin":
            points = part.panel.to_space(np.array(part.true_outline), 0.0)
            found += points[points[:, 2] > low - 1e-6, 0].tolist()
        elif part.id.endswith("-fin-cleat"):
            found += part.panel.to_space(np.array(part.true_outline), 0.0)[:, 0].tolist()
    return float(min(found, default=math.inf))
