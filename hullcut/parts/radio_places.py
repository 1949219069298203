"""What stands where on the radio shelf besides its box and servos: the greatest battery, strap holes, aerial's hole.

Straps go across the box at both its ends, and one along the battery. Each gets a hole at either of its ends. The two
between box and servos serve both: there the box's straps and the battery's come up together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import numpy as np
import shapely

from hullcut.parts.fittings import SERVO_MARGIN, servo_places, servos_breadth
from hullcut.parts.measures import reading_step

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["AERIAL_TUBE", "STRAP_HOLE", "ShelfPlaces", "Spot", "gap_beside_box", "servo_areas", "shelf_places"]

STRAP_HOLE = 25.4 * 3.0 / 8.0
"""Diameter of a strap's hole in the shelf, and greatest width of a strap, mm: a bit that every set has, and room for
two thin straps (common practice, no source)."""
AERIAL_TUBE = 25.4 * 5.0 / 16.0
"""Greatest diameter of the aerial's tube, mm: common practice, no source."""

# Between a strap's hole and the box beside it, mm: the strap comes straight up the box's side.
_BESIDE_BOX = 1.0
# Kept free between the battery in its bag and a hole, and between it and box or servos, mm.
_BEFORE_BATTERY, _ROUND_BATTERY = 1.6, 2.5
# A hole is looked for over this share of the shelf's length, from either end.
_MOST_ROW = 0.4
# Most by which a strap may run askew across the box, mm: what lies more askew slips (common practice, no source).
_ASKEW = 12.7


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the shelf.

    Attributes:
        x, y: of its middle, in the boat's axes, mm.
    """

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class ShelfPlaces:
    """What stands where on the shelf.

    Attributes:
        battery: middle of the battery.
        battery_length: greatest, along the boat, mm.
        battery_width: greatest, across it, mm.
        straps: the strap holes: between box and servos the after and the fore one, then those at the box's other side.
        aerial: the hole of the aerial's tube.
        spare: by how much the holes stand farther off everything than they must, mm; negative where there is no room.
    """

    battery: Spot
    battery_length: float
    battery_width: float
    straps: tuple[Spot, Spot, Spot, Spot]
    aerial: Spot
    spare: float


def gap_beside_box(design: Design, arrangement: Arrangement) -> tuple[float, float]:
    """Y of the box's side and of the servos' plates between which the battery lies, mm."""
    box, servos = arrangement.box_y, arrangement.servo_y
    side = _box_side(arrangement)
    return box - side * design.radio.box_width / 2.0, servos + side * servos_breadth(design) / 2.0


def _box_side(arrangement: Arrangement) -> float:
    """1 where the box stands to port of the servos, else -1."""
    return 1.0 if arrangement.box_y > arrangement.servo_y else -1.0


def shelf_places(hull: Hull, arrangement: Arrangement, board: Part) -> ShelfPlaces:
    """What stands where on the shelf.

    Every hole keeps its own width from the shelf's edges, from the cleats below, from the servos' mounts and from the
    other holes (common practice, no source: so much wood stays round it). Places are whole steps of a rule.

    Args:
        hull: of the boat.
        arrangement: where box and servos stand.
        board: the shelf.
    """
    design, radio = hull.design, hull.design.radio
    fine = reading_step(design.units)
    step = 2.0 * fine
    side = _box_side(arrangement)
    start, stop = radio.shelf_from, radio.shelf_from + radio.shelf_length
    middle, radius = (start + stop) / 2.0, STRAP_HOLE / 2.0
    wood = _free_wood(hull, board)

    box, servos = gap_beside_box(design, arrangement)
    gap = side * (box - servos)
    off = min(gap / 2.0, gap - STRAP_HOLE - radius)
    inner_y = side * _down(side * box - max(off, _BESIDE_BOX + radius), fine)
    beyond = side * arrangement.box_y + radio.box_width / 2.0
    outer_y = side * _up(beyond + _BESIDE_BOX + radius, fine)

    # A strap must come over the box: its holes stand beside it.
    reach = min(radio.shelf_length, radio.box_length) / 2.0 - radius
    after = start + _up(max(STRAP_HOLE + radius, middle - reach - start), step)
    fore = start + _down(min(radio.shelf_length - STRAP_HOLE - radius, middle + reach - start), step)
    room = wood.buffer(-STRAP_HOLE - radius)

    def clear(x: float) -> bool:
        return room.covers(shapely.Point(x, outer_y))

    outer_after = _first_clear(after, step, radio.shelf_length, clear)
    outer_fore = _first_clear(fore, -step, radio.shelf_length, clear)
    after = max(after, start + _up(outer_after - _ASKEW - start, step))
    fore = min(fore, start + _down(outer_fore + _ASKEW - start, step))
    straps = (Spot(after, inner_y), Spot(fore, inner_y), Spot(outer_after, outer_y), Spot(outer_fore, outer_y))

    aerial_x = start + _down((outer_after + outer_fore) / 2.0 - start, step)
    cleat = float(_cleat_inner(hull, np.array([aerial_x]))[0])
    # In the middle of what is left of the strip once the wood that the hole keeps before the cleat is taken off.
    aerial = Spot(aerial_x, side * _down((beyond + cleat - AERIAL_TUBE) / 2.0, fine))
    return ShelfPlaces(
        battery=Spot((after + fore) / 2.0, (box + servos) / 2.0),
        battery_length=_down(fore - after - STRAP_HOLE - 2.0 * _BEFORE_BATTERY, step),
        battery_width=_down(gap - 2.0 * _ROUND_BATTERY, step),
        straps=straps,
        aerial=aerial,
        spare=_spare(hull, arrangement, wood, straps, aerial),
    )


def _up(value: float, step: float) -> float:
    """The next whole step, mm."""
    return step * math.ceil(value / step - 1e-6)


def _down(value: float, step: float) -> float:
    """The whole step before, mm."""
    return step * math.floor(value / step + 1e-6)


def _first_clear(begin: float, step: float, length: float, clear: Callable[[float], bool]) -> float:
    """The first x from an end row inwards at which a hole is clear; where none is, the row itself."""
    tried = (begin + number * step for number in range(int(_MOST_ROW * length / abs(step))))
    return next((x for x in tried if clear(x)), begin)


def _cleat_inner(hull: Hull, x: np.ndarray) -> np.ndarray:
    """Half the breadth between the shelf cleats where the shelf lies on them, mm."""
    return hull.half_breadth(x, hull.design.radio.shelf_height, hull.side_thickness + hull.design.woods.cleat.thickness)


def _free_wood(hull: Hull, board: Part) -> shapely.Polygon:
    """The shelf from above without what rests on the shelf cleats."""
    ring = board.panel.to_space(np.array(board.true_outline), 0.0)[:, :2]
    low, high = float(ring[:, 0].min()), float(ring[:, 0].max())
    x = np.linspace(low, high, 60)
    inner = _cleat_inner(hull, x)
    port, starboard = np.column_stack([x, inner]), np.column_stack([x, -inner])
    between = shapely.Polygon([*port, *starboard[::-1]])
    return cast("shapely.Polygon", shapely.Polygon(ring).intersection(between))


def servo_areas(hull: Hull, arrangement: Arrangement) -> list[shapely.Polygon]:
    """What each servo mount covers of the shelf, seen from above."""
    radio = hull.design.radio
    long, wide = radio.servo_length / 2.0 + SERVO_MARGIN[0], radio.servo_width / 2.0 + SERVO_MARGIN[1]
    return [shapely.box(x - long, y - wide, x + long, y + wide) for x, y in servo_places(hull, arrangement)]


def _spare(
    hull: Hull, arrangement: Arrangement, wood: shapely.Polygon, straps: tuple[Spot, ...], aerial: Spot
) -> float:
    """The least that a hole has more than its own width of wood round it, or than its play to the box, mm."""
    radio = hull.design.radio
    half = radio.box_width / 2.0
    mounts = servo_areas(hull, arrangement)
    drilled = [*((spot, STRAP_HOLE) for spot in straps), (aerial, AERIAL_TUBE)]
    points = [shapely.Point(spot.x, spot.y) for spot, _ in drilled]
    found = []
    for number, ((spot, wide), point) in enumerate(zip(drilled, points, strict=True)):
        inside = point.distance(wood.exterior) if wood.covers(point) else -point.distance(wood)
        found.append(inside - 1.5 * wide)
        found += [point.distance(mount) - 1.5 * wide for mount in mounts]
        found.append(abs(spot.y - arrangement.box_y) - half - wide / 2.0 - _BESIDE_BOX)
        for (_, other_wide), other in zip(drilled[:number], points[:number], strict=True):
            apart = point.distance(other) - wide / 2.0 - other_wide / 2.0
            found.append(apart - max(wide, other_wide))
    return min(found)
