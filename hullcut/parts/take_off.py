"""Taking off every part of a boat from its hull and the places of its fittings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.parts.cleats import chine_cleats, knees, sheer_cleats, shelf_cleats, transom_cleats
from hullcut.parts.decks import after_cover, bow_block, deck_beams, fore_deck
from hullcut.parts.engine import bearers, engine_plate
from hullcut.parts.fin import fin, fin_cleat
from hullcut.parts.fittings import pads, servo_plate, servo_rail, shelf
from hullcut.parts.hatch import coaming, has_coaming, hatch_battens, hatch_lid
from hullcut.parts.section import bulkhead
from hullcut.parts.shell import bottom, bow_transom, sides, transom
from hullcut.parts.stand import stand
from hullcut.parts.windscreen import windscreen

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["fixed_parts", "in_building_order", "moving_parts", "placed_parts", "take_off"]

# Families in the order in which a builder meets them.
_ORDER = (
    "side",
    "bottom",
    "transom",
    "bulkhead",
    "nose_block",
    "cleat",
    "knee",
    "deck_beam",
    "fin",
    "bearer",
    "engine_plate",
    "pad",
    "shelf",
    "servo_mount",
    "deck",
    "hatch",
    "batten",
    "windscreen",
    "stand",
)


def fixed_parts(hull: Hull, arrangement: Arrangement) -> tuple[Part, ...]:
    """The parts whose shape and place the hull alone decides; of the arrangement only what never moves is used."""
    lid = hatch_lid(hull) if has_coaming(hull) else None
    maybe = (bow_transom(hull), bow_block(hull), after_cover(hull), lid)
    return (
        *sides(hull),
        transom(hull),
        bulkhead(hull),
        *chine_cleats(hull),
        *sheer_cleats(hull),
        *transom_cleats(hull),
        *knees(hull),
        *deck_beams(hull),
        *pads(hull),
        *shelf_cleats(hull),
        shelf(hull),
        servo_plate(hull, arrangement),
        servo_rail(hull, arrangement),
        fore_deck(hull),
        *(part for part in maybe if part is not None),
        *coaming(hull),
        *hatch_battens(hull),
        *windscreen(hull),
    )


def moving_parts(hull: Hull, arrangement: Arrangement) -> tuple[Part, ...]:
    """The parts afloat that move with the engine or with the balance point."""
    return (
        bottom(hull, arrangement),
        fin(hull, arrangement),
        fin_cleat(hull, arrangement),
        *bearers(hull, arrangement),
        engine_plate(hull, arrangement),
    )


def placed_parts(hull: Hull, arrangement: Arrangement) -> tuple[Part, ...]:
    """The parts that move with the engine or with the balance point, those that stay ashore included."""
    return (*moving_parts(hull, arrangement), *stand(hull, arrangement))


def in_building_order(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Parts sorted by family as a builder meets them; within a family as they come."""
    return tuple(sorted(parts, key=lambda part: _ORDER.index(part.family)))


def take_off(hull: Hull, arrangement: Arrangement) -> tuple[Part, ...]:
    """Every part without marks (see `hullcut.parts.marking`), in building order."""
    return in_building_order((*fixed_parts(hull, arrangement), *placed_parts(hull, arrangement)))
