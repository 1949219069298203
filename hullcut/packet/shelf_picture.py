"""The radio shelf from above: what stands on it and where its holes are, numbered, with their places in a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, circle, line, polygon, rectangle
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import bare, both
from hullcut.packet.picture_table import columns_of, rows_of
from hullcut.packet.picture_words import END_SIZE, hatching
from hullcut.packet.radio_shelf import on_shelf
from hullcut.parts.fittings import SERVO_MARGIN, servo_places
from hullcut.parts.radio_places import AERIAL_TUBE, STRAP_HOLE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["shelf_picture"]

_SIZE, _SMALL, _TOLD = 2.2, 2.0, 2.3
# Height of a digit over its font's size.
_CAP = 0.73
# From a hole to its number, between rows of the table, and between its columns, mm on paper.
_BESIDE, _ROW, _COLUMN = 0.6, 2.75, 2.8
# By which the numbers at the battery's ends are moved off it, mm on paper.
_OFF_BATTERY = 0.5
# No picture is drawn smaller, paper over boat.
_LEAST = 0.05
# Nearer to the centre line than this is on it, mm.
_ON_MIDDLE = 0.25
_HEAD = {
    "in": ("all in inches (mm)", "from after edge", "from centre line"),
    "mm": ("all in mm (inches)", "from after edge", "from centre line"),
}


def shelf_picture(studio: Studio, width: float, height: float) -> Scene:
    """The shelf from above, bow up: radio box, battery at its greatest, servos and holes, and where their middles are.

    Args:
        studio: of the boat.
        width: of the picture, mm.
        height: greatest height, mm.
    """
    scale = height / studio.plan.design.radio.shelf_length
    while True:
        scene = _at_scale(studio.plan, scale)
        # Words keep their size: only the drawing shrinks.
        if (scene.x1 - scene.x0 <= width and scene.y1 - scene.y0 <= height) or scale < _LEAST:
            return scene
        scale *= 0.95


def _at_scale(plan: BoatPlan, scale: float) -> Scene:
    """The picture with the shelf at a scale, paper over boat."""
    radio, units = plan.design.radio, plan.design.units
    shelf = next(part for part in plan.parts if part.family == "shelf")
    ring = shelf.panel.to_space(np.array(shelf.true_outline), 0.0)
    half, start = float(np.abs(ring[:, 1]).max()), radio.shelf_from
    stop = start + radio.shelf_length
    middle, box_y = (start + stop) / 2.0, plan.arrangement.box_y
    # The box stands on this side of the centre line, the servos on the other.
    side = 1.0 if box_y > 0.0 else -1.0
    places = on_shelf(plan)

    def at(x: float, y: float) -> Point:
        return (-y * scale, (x - start) * scale)

    high, edge = at(stop, 0.0)[1], half * scale
    items: list[Item] = [
        Shape(Role.OUTLINE, (polygon([at(float(x), float(y)) for x, y, _ in ring]),), fill="#f4f4f4", width=0.3),
        Shape(Role.CENTRE, (line((0.0, 0.0), (0.0, high + 2.0)),)),
    ]

    def box(x: float, y: float, long: float, wide: float, fill: str) -> None:
        corner, far = at(x - long / 2.0, y + wide / 2.0), at(x + long / 2.0, y - wide / 2.0)
        shape = Shape(Role.OUTLINE, (rectangle(*corner, *far),), fill=fill, width=0.25)
        items.extend([shape, *hatching([shape])])

    # The box may be as long as the shelf: what reaches over its edge is not drawn.
    box(middle, box_y, min(radio.box_length, stop - start), radio.box_width, NEW.colour)
    servos = sorted(servo_places(plan.hull, plan.arrangement), key=lambda place: -side * place[1])
    for x, y in servos:
        box(x, y, radio.servo_length + 2.0 * SERVO_MARGIN[0], radio.servo_width + 2.0 * SERVO_MARGIN[1], "#ffffff")
        box(x, y, radio.servo_length, radio.servo_width, NEW.colour)
    battery = at(places.battery.x, places.battery.y)
    if min(places.battery_length, places.battery_width) > 0.0:
        box(places.battery.x, places.battery.y, places.battery_length, places.battery_width, "#ffffff")
        items.append(Text(Role.LABEL, (battery[0] + 0.36 * _SMALL, battery[1]), "battery", _SMALL, 90.0, "middle"))

    numbered = [*((spot, STRAP_HOLE) for spot in places.straps), (places.aerial, AERIAL_TUBE)]
    # Beside the holes between box and servos, towards the servos; the aerial's outboard.
    # Those at the box's other side towards the shelf's middle: its corner may be cut off.
    ways = ((side, 0.0), (side, 0.0), (0.0, 1.0), (0.0, -1.0), (-side, 0.0))
    # A digit is as high as a hole is wide, and its letter's box is higher: so it keeps off the battery's ends.
    aside = (-_OFF_BATTERY, _OFF_BATTERY, 0.0, 0.0, 0.0)
    for number, ((spot, wide), (right, up), shift) in enumerate(zip(numbered, ways, aside, strict=True), 1):
        (x, y), radius, tall = at(spot.x, spot.y), wide / 2.0 * scale, _CAP * _SMALL
        items.append(Shape(Role.OUTLINE, (circle((x, y), radius),), fill="#ffffff", width=0.3))
        breadth = font.text_width(str(number), _SMALL)
        beside = (
            x + right * (radius + _BESIDE + breadth / 2.0),
            y + up * (radius + _BESIDE + tall / 2.0) - tall / 2.0 + shift,
        )
        items.append(Text(Role.LABEL, beside, str(number), _SMALL, anchor="middle"))

    for word, x, ends in (
        ("radio box", at(stop, box_y)[0], [at(stop - 12.0, box_y)]),
        (
            "servos",
            (at(0.0, servos[0][1])[0] + at(0.0, servos[1][1])[0]) / 2.0,
            [at(x + radio.servo_length / 2.0 - 4.0, y) for x, y in servos],
        ),
    ):
        items += [Shape(Role.DIMENSION, (line((x, high + 1.8), end),), width=0.18) for end in ends]
        items.append(Text(Role.LABEL, (x, high + 2.4), word, _SIZE, anchor="middle"))
    items += plumb(0.0, high, -edge, -edge, -edge - 4.0, both(stop - start, units), _SMALL)
    foot = -1.2 - _CAP * END_SIZE
    for word, y in (("bow", high + 2.8), ("stern", foot)):
        items.append(Text(Role.LABEL, (0.0, y), word, END_SIZE, anchor="middle", bold=True))
    items.append(Text(Role.LABEL, (-edge, foot), "port", _SIZE, anchor="start"))
    items.append(Text(Role.LABEL, (edge, foot), "starboard", _SIZE, anchor="end"))

    told = [
        ("radio box", middle, box_y),
        ("rudder servo", *servos[0]),
        ("throttle servo", *servos[1]),
        ("battery", places.battery.x, places.battery.y),
        *((f"{number} strap", spot.x, spot.y) for number, spot in enumerate(places.straps, 1)),
        (f"{len(numbered)} aerial's tube", places.aerial.x, places.aerial.y),
    ]
    # Rounded, so that a half is not told now up and now down.
    rows = [(name, bare(round(x - start, 6), units), _off_middle(y, plan)) for name, x, y in told]
    items += _table((_HEAD[units], *rows), foot - 1.6)
    x0, y0, x1, y1 = bounds_of(items)
    return Scene("What stands on the radio shelf", x0 - 0.5, y0 - 0.5, x1 + 0.5, y1 + 0.5, tuple(items))


def _off_middle(y: float, plan: BoatPlan) -> str:
    """How far from the centre line, and to which side, in words."""
    if abs(y) < _ON_MIDDLE:
        return "on it"
    return f"{bare(abs(y), plan.design.units)} {'port' if y > 0.0 else 'starboard'}"


def _table(rows: Sequence[tuple[str, ...]], top: float) -> list[Item]:
    """Rows of words under each other, the first as their head, round the picture's middle."""
    columns = columns_of(rows, _TOLD, _COLUMN)
    left = -columns.width / 2.0
    feet = [top - _CAP * _TOLD - _ROW * number - (0.6 if number else 0.0) for number in range(len(rows))]
    items = rows_of(rows, columns, left, feet)
    rule = top - _CAP * _TOLD - 0.9
    items.append(Shape(Role.DIMENSION, (line((left, rule), (-left, rule)),), width=0.18))
    return items
