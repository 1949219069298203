"""What holds parts while glue sets: clamps with their opening, long clamps across the hull, and weights."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hullcut.packet.places import beam_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.step import Step
    from hullcut.parts.values import Part

__all__ = ["WEIGHT", "across_the_hull", "long_clamps", "most_weights", "small_clamp_opening", "weighed_down"]

WEIGHT = 1.0
"""Kilograms of one weight, a bag of sand: common practice, no source."""

# A clamp opens so much wider than what it holds, mm: the pads and a hand's play; common practice, no source.
_PLAY = {"across": 25.4, "small": 6.0}
# Openings are told in steps of so many mm.
_STEPS = {"in": 25.4 / 2.0, "mm": 10.0}
# Small parts that are glued onto the middle of a sheet, where a clamp does not reach; a mount's rails lie under its
# plate.
_INLAND = ("fin-cleat", "servo-plate")
# Keel up, the beams lie on the sheer cleats, whose other sides are down on the board.
_KEEL_UP = (*_INLAND, "deck-beam")


def across_the_hull(step: Step) -> bool:
    """Whether a step draws the sides together on the frame's cross pieces."""
    families = {part.family for part in (*step.parts, *step.tried)}
    # Where the sides are new too, the parts are cut out, one by one on the bench.
    return "clamps" in step.tools and "bulkhead" in families and "side" not in families


def long_clamps(plan: BoatPlan) -> tuple[int, float]:
    """How many clamps or straps go across the hull, one at every cross piece, and their opening, mm.

    The middle beam stands against the bulkhead and has no clamp of its own.
    """
    count = 1 + sum(1 for name, _ in beam_rows(plan) if name != "middle")
    return count, _opening(plan, plan.design.hull.beam + _PLAY["across"])


def small_clamp_opening(plan: BoatPlan) -> float:
    """Opening of the small clamps, mm: a deck on its beam, or a side between two cleats' thicknesses."""
    woods = plan.design.woods
    beams = [part.finished_width for part in plan.parts if part.family == "deck_beam"]
    stacks = (woods.side.thickness + 2.0 * woods.cleat.thickness, max(beams, default=0.0) + woods.cleat.thickness)
    return _opening(plan, max(stacks) + _PLAY["small"])


def weighed_down(step: Step) -> tuple[Part, ...]:
    """The parts that a step glues on where no clamp reaches."""
    if not step.glue:
        return ()
    starts = _KEEL_UP if step.view == "keel up" else _INLAND
    return tuple(part for part in step.parts if part.id.removeprefix(f"{part.design}-").startswith(starts))


def most_weights(steps: Sequence[Step]) -> int:
    """The greatest number of weights that a step needs, one for each part that it glues where no clamp reaches."""
    return max(sum(part.quantity for part in weighed_down(step)) for step in steps)


def _opening(plan: BoatPlan, mm: float) -> float:
    step = _STEPS[plan.design.units]
    return math.ceil(mm / step - 1e-9) * step
