"""The radio shelf: the room over and on it, and how it comes out of the boat again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.foam_blocks import foam_blocks
from hullcut.parts.fittings import arm_height, servo_places
from hullcut.parts.hatch import has_coaming
from hullcut.parts.radio_places import AERIAL_TUBE, shelf_places

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.parts.radio_places import ShelfPlaces
    from hullcut.parts.values import Part

__all__ = [
    "aerial_room",
    "after_beam_low",
    "battery_headroom",
    "foam_after_nuts",
    "foam_after_shelf",
    "on_shelf",
    "servo_headroom",
    "shelf_comes_out",
    "shelf_headroom",
]

# Between the aerial's tube and what is over it, mm.
_AERIAL_PLAY = 6.35
# Abaft foam so far from the pads a nut goes on a bolt and a spanner on the nut, mm: common practice, no source.
_SPANNER = 60.0
# Kept free between battery and pushrod, mm.
_UNDER_ROD = 8.0


def shelf_headroom(plan: BoatPlan) -> float | None:
    """From the servo mounts' upper faces up to the after beam's lower edge, mm; None where no beam is in the way.

    Under a deck that is glued round a hatch's coaming the shelf slides below the beam, with its mounts on; where the
    whole cover comes off, or in an open stern, it is lifted straight up.
    """
    low = after_beam_low(plan)
    if not has_coaming(plan.hull) or low is None:
        return None
    mounts = [part for part in plan.parts if part.family == "servo_mount"]
    top = max((float(_heights(part).max()) for part in mounts), default=plan.design.radio.shelf_height)
    return low - top


def after_beam_low(plan: BoatPlan) -> float | None:
    """Z of the after beam's lower edge, mm; None where the boat has none."""
    beams = [part for part in plan.parts if part.id.endswith("-deck-beam-after")]
    return float(_heights(beams[0]).min()) if beams else None


def foam_after_shelf(plan: BoatPlan) -> int:
    """The last number of the foam blocks that would stand in the shelf's way below the after beam; 0 for none."""
    blocks = foam_blocks(plan.hull, plan.arrangement)
    aft = [number for number, block in enumerate(blocks, 1) if block.place == "aft"]
    ahead = plan.design.radio.shelf_from + plan.design.radio.shelf_length
    late = [number for number in aft if blocks[number - 1].start >= ahead]
    return late[-1] if late and has_coaming(plan.hull) and shelf_comes_out(plan) else 0


def foam_after_nuts(plan: BoatPlan) -> int:
    """The number of the foam blocks that would stand in the way of a spanner at the pads' nuts; 0 for none."""
    blocks = foam_blocks(plan.hull, plan.arrangement)
    pads = plan.hull.foot_of(plan.hull.transom_inside, plan.hull.bottom_thickness)[0] + plan.design.woods.pad.thickness
    near = [number for number, block in enumerate(blocks, 1) if block.place == "aft" and block.start < pads + _SPANNER]
    return near[0] if near and shelf_comes_out(plan) else 0


def aerial_room(plan: BoatPlan) -> float:
    """Greatest length of the aerial's tube, mm: from the shelf up to what covers it, less a little play.

    Where the shelf slides in below the after beam the tube passes under that too.
    """
    radio, x = plan.design.radio, on_shelf(plan).aerial.x
    floor = radio.shelf_height + plan.design.woods.shelf.thickness
    found = [_covered_at(plan, (x - AERIAL_TUBE / 2.0, x + AERIAL_TUBE / 2.0))]
    low = after_beam_low(plan)
    if has_coaming(plan.hull) and low is not None:
        found.append(low)
    return min(found) - floor - _AERIAL_PLAY


def shelf_comes_out(plan: BoatPlan) -> bool:
    """Whether the shelf can be taken out and put back when everything is glued."""
    room = shelf_headroom(plan)
    return room is None or room > 0.0


def servo_headroom(plan: BoatPlan) -> float:
    """From the servo mounts' upper faces up to what covers the servos' cases, mm; without a cover up to the sheer."""
    radio = plan.design.radio
    top = max(float(_heights(part).max()) for part in plan.parts if part.family == "servo_mount")
    middle = servo_places(plan.hull, plan.arrangement)[0][0]
    return _covered_at(plan, (middle - radio.servo_length / 2.0, middle + radio.servo_length / 2.0)) - top


def _covered_at(plan: BoatPlan, span: tuple[float, float]) -> float:
    """Z of the lowest that covers the shelf over a span of x: deck or hatch, beams and battens, mm."""
    found = [float(plan.hull.roof_height(np.array(span)).min())]
    for part in plan.parts:
        if part.family == "deck_beam" or "-hatch-batten" in part.id:
            x = part.panel.to_space(np.array(part.true_outline), 0.0)[:, 0]
            ends = (float(x.min()) - part.thickness / 2.0, float(x.max()) + part.thickness / 2.0)
            if ends[0] < span[1] and ends[1] > span[0]:
                found.append(float(_heights(part).min()))
    return min(found)


def on_shelf(plan: BoatPlan) -> ShelfPlaces:
    """The greatest battery, the straps' holes and the aerial's, and where they stand."""
    board = next(part for part in plan.parts if part.family == "shelf")
    return shelf_places(plan.hull, plan.arrangement, board)


def battery_headroom(plan: BoatPlan) -> float:
    """Greatest height of the battery on the shelf, mm: it stays below the rudder's rod, which may pass over it."""
    radio = plan.design.radio
    return min(
        arm_height(plan.hull) - _UNDER_ROD - radio.shelf_height - plan.design.woods.shelf.thickness, radio.box_height
    )


def _heights(part: Part) -> np.ndarray:
    faces = [part.panel.to_space(np.array(part.true_outline), side * part.thickness / 2.0)[:, 2] for side in (1, -1)]
    return np.concatenate(faces)
