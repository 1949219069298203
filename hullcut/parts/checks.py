"""Checks of the parts: joints that fit, cleats that bend, fittings that keep clear, and wood to measure."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from hullcut.check import Check, verdict
from hullcut.design.bending import smallest_radius
from hullcut.hull.bends import side_bends, strain_limit
from hullcut.parts.clearances import overlap_checks
from hullcut.parts.cleats import chine_is_sawn, chine_strain
from hullcut.parts.crown import crown_of
from hullcut.parts.engine import bearer_places
from hullcut.parts.fittings import shelf, shelf_past_knees
from hullcut.parts.radio_places import shelf_places
from hullcut.stock.thickness import nominal_thickness
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Joint

__all__ = ["part_checks"]

MISMATCH_MM = 0.5
_BORE_WOOD_MM = 3.0
_ROUNDING_MM = 1e-6
_OWN_RULE = "hullcut's own rule"


def part_checks(hull: Hull, arrangement: Arrangement, joints: Sequence[Joint]) -> tuple[Check, ...]:
    """The checks of the parts."""
    return (
        _joints(joints),
        *_cleats(hull),
        *overlap_checks(hull, arrangement),
        *_clearances(hull, arrangement),
        *_crown(hull),
        *_measure(hull),
    )


def _joints(joints: Sequence[Joint]) -> Check:
    worst = max(joints, key=lambda joint: joint.mismatch)
    status = verdict(worst.mismatch <= MISMATCH_MM)
    advice = "" if status == "ok" else f"{worst.name}: the two edges differ; report this design as a fault"
    return Check(
        "Both edges of every joint are equally long",
        status,
        worst.mismatch,
        MISMATCH_MM,
        "mm",
        _OWN_RULE,
        advice,
    )


def _cleats(hull: Hull) -> list[Check]:
    cleat = hull.design.woods.cleat
    limit = strain_limit(cleat.material)
    source = "half of MOR / MOE of the wood (the half is common practice, no source)"
    found = []
    if chine_is_sawn(hull):
        advice = "a straight strip would break at the bow, so the fore chine cleats are sawn to the curve"
    else:
        advice = "the chine cleats bend up the bow in one piece"
    shown = None if limit is None else limit * 100.0
    found.append(Check("Chine cleats at the bow", "ok", chine_strain(hull) * 100.0, shown, "% strain", source, advice))
    radius = min(
        (place.radius for _, place, _ in side_bends(hull, hull.side_thickness + cleat.thickness / 2.0)),
        default=math.inf,
    )
    if math.isfinite(radius) and limit is not None:
        strain = cleat.thickness / (2.0 * radius)
        status = verdict(strain <= limit, "warn")
        kerf = "kerf the cleats every 1/2 in on their inner side, or " if wood(cleat.material).kind == "solid" else ""
        advice = "" if status == "ok" else f"{kerf}laminate two thin strips"
        found.append(Check("Cleats bend with the sides", status, strain * 100.0, shown, "% strain", source, advice))
    return found


def _clearances(hull: Hull, arrangement: Arrangement) -> list[Check]:
    """What stands under and between other things; see `hullcut.parts.clearances` for what could overlap."""
    design, shaft = hull.design, arrangement.shaft
    found = []
    radio = design.radio
    shelf_fore = radio.shelf_from + radio.shelf_length
    rise = (shaft.output_z - shaft.hub_z) / (shaft.output_x - shaft.hub_x)
    tube_top = shaft.hub_z + rise * (shelf_fore - shaft.hub_x) + design.drive.tube_diameter / 2.0
    found.append(_gap("Shaft passes under the radio shelf", radio.shelf_height - tube_top, "raise radio.shelf_height"))
    found.append(_gap("Radio shelf goes in past the knees", shelf_past_knees(hull), "shorten cleats.knee_leg"))
    holes = shelf_places(hull, arrangement, shelf(hull)).spare
    remedy = "make radio.box_width smaller or radio.shelf_length longer"
    # Whole steps of a rule are sums: what is just enough may fall short by a rounding.
    found.append(_gap("Straps' holes have wood round them", holes if abs(holes) > _ROUNDING_MM else 0.0, remedy))
    bearers = bearer_places(hull, arrangement)
    found.append(
        _gap(
            "Bearers end before the bulkhead",
            design.decks.fore_from - bearers[1],
            "shorten engine.bearer_length",
        )
    )
    found.append(
        _gap("Bearers lie on the flat of the bottom", design.hull.flat_to - bearers[1], "lengthen hull.flat_to")
    )
    found.append(_bore(hull))
    return found


def _crown(hull: Hull) -> list[Check]:
    """The after deck's bend across the boat, against the published least radius of a dry sheet."""
    crown = crown_of(hull)
    if crown is None:
        return []
    deck = hull.design.woods.deck
    limit = smallest_radius(deck.thickness, "across" if deck.grain == "along" else "along")
    status = verdict(crown.radius >= limit)
    source = "APA, Concrete Forming guide, dry Douglas-fir plywood; below 1/4 in in proportion to the thickness"
    advice = "" if status == "ok" else 'lessen decks.crown, take a thinner sheet, or set wood.deck grain = "along"'
    return [Check("After deck bends to its crown", status, crown.radius, limit, "mm", source, advice)]


def _bore(hull: Hull) -> Check:
    """Wood under the housing bore: too little is a warning, none at all a plate that cannot be cut."""
    engine = hull.design.engine
    left = engine.output_height - engine.housing_bore / 2.0 - hull.bottom_thickness
    check = _gap(
        "Wood is left under the housing bore",
        left - _BORE_WOOD_MM,
        "raise engine.output_height or lessen engine.housing_bore",
    )
    return replace(check, status="fail") if left <= 0.0 else check


def _gap(name: str, gap: float, remedy: str) -> Check:
    status = verdict(gap >= 0.0, "warn")
    return Check(name, status, gap, 0.0, "mm", "the parts' own outlines", "" if status == "ok" else remedy)


def _measure(hull: Hull) -> list[Check]:
    """One reminder for each sheet thickness: what is sold under a name is seldom as thick as its name."""
    market: Literal["inch", "metric"] = "inch" if hull.design.units == "in" else "metric"
    woods = hull.design.woods
    seen: dict[tuple[str, float], str] = {}
    for family in ("bottom", "transom", "deck", "hatch", "bulkhead", "shelf", "fin", "pad"):
        each = getattr(woods, family)
        if wood(each.material).kind == "plywood":
            seen.setdefault((each.material, each.thickness), family)
    found = []
    for (material, thickness), family in sorted(seen.items()):
        nominal = nominal_thickness(thickness, market)
        advice = (
            f"measure yours: what is sold as {nominal.name} is often {nominal.low:.1f} to {nominal.high:.1f} mm; "
            f"write what you measure under [wood.{family}]"
        )
        name = f"Thickness of {wood(material).name}"
        found.append(Check(name, "ok", thickness, None, "mm", "common practice, no source", advice))
    return found
