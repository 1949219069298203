"""Proposing where engine, fin and fittings stand, from the weights found so far."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hullcut.arrangement import Arrangement, ShaftLine
from hullcut.balance.shaft import shaft_line
from hullcut.balance.weights import centre_of_gravity, moving_mass, weight_table
from hullcut.parts.fittings import servos_breadth
from hullcut.parts.shell import tab_margin

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.balance.weights import Weight
    from hullcut.design.values import Design
    from hullcut.parts.values import Part

__all__ = ["engine_bay", "first_arrangement", "next_arrangement", "same_places"]

# What is left between the fin's tab and the engine plate's foot where the fin is moved to clear it, mm.
_CLEAR_MM = 0.5


def engine_bay(design: Design) -> tuple[float, float]:
    """X between which the engine plate's after face may stand: clear of shelf and after cover, and of the bulkhead."""
    half = design.engine.bearer_length / 2.0
    thickness = design.woods.engine_plate.thickness
    covered = design.decks.after_to if design.decks.after != "open" else 0.0
    shelf_end = design.radio.shelf_from + design.radio.shelf_length
    aft = max(covered, shelf_end)
    aft += _lean(design, aft) + 5.0
    fore = design.decks.fore_from - half - thickness / 2.0 - 5.0
    return aft, max(aft, fore)


def _lean(design: Design, plate_x: float) -> float:
    """How far the engine plate, square to the shaft, leans aft of its output at its head; 0 where a cover clears it."""
    engine = design.engine
    angle = math.radians(shaft_line(design, plate_x).angle)
    shoulder = design.woods.bottom.thickness + engine.bearer_height + math.tan(angle) * engine.bearer_length / 2.0
    head = shoulder + engine.plate_height * math.cos(angle)
    roof = design.hull.depth - (design.woods.deck.thickness if design.laps.deck == "between" else 0.0)
    if design.decks.after == "open" or head < roof - design.decks.beam_depth:
        return 0.0
    return math.tan(angle) * (head - engine.output_height)


def first_arrangement(design: Design) -> Arrangement:
    """Where to begin before any weight is known: the engine in the middle of its bay."""
    aft, fore = engine_bay(design)
    chosen = design.engine.plate_at
    return _arranged(
        design, (aft + fore) / 2.0 if chosen is None else chosen, design.balance.point * design.hull.length
    )


def next_arrangement(
    design: Design, parts: Sequence[Part], now: Arrangement, known: Mapping[str, Weight] | None = None
) -> Arrangement:
    """Move the engine so that the boat balances where it should, as far as its bay allows.

    Where the design fixes the engine's place, the engine stays. The balance point is where the boat balances with
    these weights and half a tank of fuel, which is the wanted one unless the engine could not be moved far enough.
    """
    mass, x, _, _ = centre_of_gravity(weight_table(design, parts, now, known))
    wanted = design.balance.point * design.hull.length
    if design.engine.plate_at is not None:
        return _arranged(design, design.engine.plate_at, x)
    moving = moving_mass(design, parts, now)
    aft, fore = engine_bay(design)
    place = min(max(now.plate_x + (wanted - x) * mass / moving, aft), fore)
    reached = x + (place - now.plate_x) * moving / mass
    return _arranged(design, place, reached)


def same_places(a: Arrangement, b: Arrangement, within: float = 0.1) -> bool:
    """Whether nothing has moved farther than `within` mm."""
    pairs = (
        (a.balance_x, b.balance_x),
        (a.plate_x, b.plate_x),
        (a.fin_x, b.fin_x),
        (a.shaft.exit_x, b.shaft.exit_x),
    )
    return all(abs(one - other) <= within for one, other in pairs)


def _arranged(design: Design, plate_x: float, balance_x: float) -> Arrangement:
    fin_centre = balance_x - design.fin.behind_balance * design.hull.length
    box_y, servo_y = _across_shelf(design)
    shaft = shaft_line(design, plate_x)
    return Arrangement(
        balance_x=balance_x,
        plate_x=plate_x,
        shaft=shaft,
        fin_x=_clear_of_plate(design, shaft, fin_centre - _fin_centre(design)),
        box_y=box_y,
        servo_y=servo_y,
    )


def _clear_of_plate(design: Design, shaft: ShaftLine, fin_x: float) -> float:
    """The fin moved ahead of the engine plate's foot where they would overlap.

    Only where the design leaves the fin's place open, and never so far that its centre comes ahead of the balance
    point; otherwise the fin stays and the check of the parts tells of it.
    """
    angle = math.radians(shaft.angle)
    reach = design.woods.engine_plate.thickness / math.cos(angle)
    aft = shaft.output_x + math.tan(angle) * (shaft.output_z - design.woods.bottom.thickness - design.fin.tab)
    fore = shaft.output_x + math.tan(angle) * (shaft.output_z - design.woods.bottom.thickness) + reach
    margin = tab_margin(design.fin.root)
    moved = fore + _CLEAR_MM - margin
    overlaps = fin_x < moved and fin_x + design.fin.root - margin > aft
    far = moved - fin_x > design.fin.behind_balance * design.hull.length
    if not overlaps or far or "fin.behind_balance" in dict(design.lines):
        return fin_x
    return moved


def _across_shelf(design: Design) -> tuple[float, float]:
    """Middles of the radio box and of the servos across the shelf, sharing the breadth evenly.

    The servos stand on the rudder's side of the boat, so that its pushrod runs nearly straight aft.
    """
    radio = design.radio
    servos = servos_breadth(design)
    spare = max(design.hull.beam_at_transom - 2.0 * design.woods.side.thickness - radio.box_width - servos, 0.0) / 3.0
    box_y = spare / 2.0 + (servos + radio.box_width) / 2.0 - radio.box_width / 2.0
    servo_y = box_y - radio.box_width / 2.0 - spare - servos / 2.0
    return (-box_y, -servo_y) if design.rudder.offset > 0.0 else (box_y, servo_y)


def _fin_centre(design: Design) -> float:
    from hullcut.parts.fin import fin_area_centre

    return fin_area_centre(design.fin)
