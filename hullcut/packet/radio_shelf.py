"""The radio shelf: what stands where on it, drawn from above, and how it comes out of the boat again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.foam_blocks import foam_blocks
from hullcut.balance.weights import beside_box
from hullcut.drawing.paths import bounds_of, circle, line, polygon, rectangle
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.picture_words import END_SIZE, hatching
from hullcut.parts.fittings import SERVO_MARGIN, arm_height, servo_places
from hullcut.parts.hatch import has_coaming

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio
    from hullcut.parts.values import Part

__all__ = [
    "aerial_room",
    "after_beam_low",
    "battery_headroom",
    "battery_room",
    "foam_after_shelf",
    "servo_headroom",
    "shelf_comes_out",
    "shelf_headroom",
    "shelf_picture",
]

_SIZE, _SMALL = 2.2, 2.0
# Between the aerial's tube and what is over it, mm.
_AERIAL_PLAY = 6.35
# Of the aerial's tube as it is drawn, mm on the boat.
_TUBE = 4.0
# A battery as it is drawn between box and servos, its width and length, and what is left round it, mm on the boat.
_BATTERY, _BATTERY_LONG, _ROUND = 22.0, 75.0, 5.0
# Nearer to the centre line than this nothing is measured, mm.
_ON_MIDDLE = 3.0
# Kept free between battery and pushrod, mm.
_UNDER_ROD = 8.0
# No picture is drawn smaller, paper over boat.
_LEAST = 0.05


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


def aerial_room(plan: BoatPlan) -> float:
    """Greatest length of the aerial's tube, mm: from the shelf up to what covers its fore edge, less a little play."""
    radio = plan.design.radio
    stop = radio.shelf_from + radio.shelf_length
    floor = radio.shelf_height + plan.design.woods.shelf.thickness
    return float(plan.hull.roof_height(np.array([stop]))[0]) - floor - _AERIAL_PLAY


def shelf_comes_out(plan: BoatPlan) -> bool:
    """Whether the shelf can be taken out and put back when everything is glued."""
    room = shelf_headroom(plan)
    return room is None or room > 0.0


def servo_headroom(plan: BoatPlan) -> float:
    """From the servo mounts' upper faces up to what covers the servos' cases, mm; without a cover up to the sheer."""
    radio = plan.design.radio
    top = max(float(_heights(part).max()) for part in plan.parts if part.family == "servo_mount")
    middle = servo_places(plan.hull, plan.arrangement)[0][0]
    case = np.array([middle - radio.servo_length / 2.0, middle + radio.servo_length / 2.0])
    found = [float(plan.hull.roof_height(case).min())]
    for part in plan.parts:
        if part.family == "deck_beam" or "-hatch-batten" in part.id:
            x = part.panel.to_space(np.array(part.true_outline), 0.0)[:, 0]
            ends = (float(x.min()) - part.thickness / 2.0, float(x.max()) + part.thickness / 2.0)
            if ends[0] < case[1] and ends[1] > case[0]:
                found.append(float(_heights(part).min()))
    return min(found) - top


def battery_room(plan: BoatPlan) -> float:
    """Greatest width of the battery between the radio box and the servos, mm."""
    radio, place = plan.design.radio, plan.arrangement
    nearest = min((y for _, y in servo_places(plan.hull, place)), key=lambda y: abs(place.box_y - y))
    free = abs(place.box_y - nearest) - radio.box_width / 2.0 - radio.servo_width / 2.0 - SERVO_MARGIN[1]
    return free - _ROUND


def battery_headroom(plan: BoatPlan) -> float:
    """Greatest height of the battery on the shelf, mm: it stays below the rudder's rod, which may pass over it."""
    radio = plan.design.radio
    return min(
        arm_height(plan.hull) - _UNDER_ROD - radio.shelf_height - plan.design.woods.shelf.thickness, radio.box_height
    )


def _heights(part: Part) -> np.ndarray:
    faces = [part.panel.to_space(np.array(part.true_outline), side * part.thickness / 2.0)[:, 2] for side in (1, -1)]
    return np.concatenate(faces)


def shelf_picture(studio: Studio, width: float, height: float) -> Scene:
    """The shelf from above, bow up: the radio box, both servos and the aerial's tube, measured from the centre line.

    Args:
        studio: of the boat.
        width: of the picture, mm.
        height: greatest height, mm.
    """
    scale = (height - 34.0) / studio.plan.design.radio.shelf_length
    while True:
        scene = _at_scale(studio.plan, scale)
        # Figures beside the drawing keep their size: only the drawing shrinks.
        if scene.x1 - scene.x0 <= width or scale < _LEAST:
            return scene
        scale *= 0.93


def _at_scale(plan: BoatPlan, scale: float) -> Scene:
    """The picture with the shelf at a scale, paper over boat."""
    radio, units = plan.design.radio, plan.design.units
    shelf = next(part for part in plan.parts if part.family == "shelf")
    ring = shelf.panel.to_space(np.array(shelf.true_outline), 0.0)
    half, start, stop = float(np.abs(ring[:, 1]).max()), float(ring[:, 0].min()), float(ring[:, 0].max())

    def at(x: float, y: float) -> Point:
        return (-y * scale, (x - start) * scale)

    items: list[Item] = [
        Shape(Role.OUTLINE, (polygon([at(float(x), float(y)) for x, y, _ in ring]),), fill="#f4f4f4", width=0.3)
    ]

    def box(x: float, y: float, long: float, wide: float, fill: str) -> None:
        corner, far = at(x - long / 2.0, y + wide / 2.0), at(x + long / 2.0, y - wide / 2.0)
        shape = Shape(Role.OUTLINE, (rectangle(*corner, *far),), fill=fill, width=0.25)
        items.extend([shape, *hatching([shape])])

    middle = (start + stop) / 2.0
    box_y = plan.arrangement.box_y
    # The box stands on this side of the centre line, the servos on the other.
    side = 1.0 if box_y > 0.0 else -1.0
    # The box may be as long as the shelf: what reaches over its edge is not drawn.
    box(middle, box_y, min(radio.box_length, stop - start), radio.box_width, NEW.colour)
    servos = sorted(servo_places(plan.hull, plan.arrangement), key=lambda place: -side * place[1])
    for x, y in servos:
        box(x, y, radio.servo_length + 2.0 * SERVO_MARGIN[0], radio.servo_width + 2.0 * SERVO_MARGIN[1], "#ffffff")
        box(x, y, radio.servo_length, radio.servo_width, NEW.colour)
    gap = beside_box(plan.design, plan.arrangement)
    nearest = servos[0][1] + side * (radio.servo_width / 2.0 + SERVO_MARGIN[1])
    beside = side * (box_y - nearest) - radio.box_width / 2.0 >= _BATTERY + _ROUND
    battery_x = start + _ROUND + _BATTERY_LONG / 2.0
    if beside:
        box(battery_x, gap, _BATTERY_LONG, _BATTERY, "#ffffff")
    aerial = at(stop - 3.0 * _TUBE, gap)
    items.append(Shape(Role.OUTLINE, (circle(aerial, _TUBE * scale),), fill="#ffffff", width=0.25))
    high, low = at(stop, 0.0)[1], 0.0
    items.append(Shape(Role.CENTRE, (line((0.0, low - 2.0), (0.0, high + 2.0)),)))
    names: list[tuple[str, Point]] = [
        ("radio box", at(stop - 12.0, box_y)),
        ("servos", at(middle + radio.servo_length / 2.0, (servos[0][1] + servos[1][1]) / 2.0)),
    ]
    if beside:
        here = at(battery_x, gap)
        items.append(Text(Role.LABEL, (here[0] + 0.36 * _SMALL, here[1]), "battery", _SMALL, 90.0, "middle"))
    for word, (x, _) in names:
        items.append(Text(Role.LABEL, (x, high + 3.0), word, _SIZE, anchor="middle"))
    ends = [at(stop - 12.0, box_y), *(at(x + radio.servo_length / 2.0 - 4.0, y) for x, y in servos)]
    for end, x in zip(ends, (names[0][1][0], names[1][1][0], names[1][1][0]), strict=True):
        items.append(Shape(Role.DIMENSION, (line((x, high + 2.6), end),), width=0.18))
    items.append(Shape(Role.DIMENSION, (line((aerial[0], high + 6.6), aerial),), width=0.18))
    items.append(Text(Role.LABEL, (aerial[0], high + 7.0), "aerial's tube", _SIZE, anchor="middle"))
    foot = low - 5.0
    # The farthest first: so no extension line crosses the figures under it.
    rows = [(y, at(x - radio.servo_length / 2.0, y)) for x, y in sorted(servos, key=lambda place: -abs(place[1]))]
    told = [(box_y, at(start, box_y)), *rows]
    # The battery and the aerial's tube stand on one line; on the centre line it needs no figure.
    if abs(gap) > _ON_MIDDLE:
        told.append((gap, at(battery_x, gap)))
    for y, edge in told:
        left, right = sorted((0.0, at(0.0, y)[0]))
        marks = (low, edge[1]) if left == 0.0 else (edge[1], low)
        items += level(left, right, *marks, foot, both(abs(y), units), _SMALL)
        foot -= 4.0
    edge_x = -half * scale
    items += plumb(low, high, edge_x, edge_x, edge_x - 4.0, both(stop - start, units), _SMALL)
    for word, y in (("bow", high + 10.6), ("stern", foot - 0.4)):
        items.append(Text(Role.LABEL, (0.0, y), word, END_SIZE, anchor="middle", bold=True))
    x0, y0, x1, y1 = bounds_of(items)
    return Scene("What stands on the radio shelf", x0 - 0.5, y0 - 0.5, x1 + 0.5, y1 + 0.5, tuple(items))
