"""Checks of the hull's form: fair curves, sides that unroll, and bends that the wood can take."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.check import Check, verdict
from hullcut.design.bending import smallest_radius, sweep_length
from hullcut.hull.bends import BentPart, Place, bend_check, side_bends, strain_limit
from hullcut.hull.fairing import LEAST_MOVE_MM, bumps
from hullcut.hull.plane_curve import sharpest
from hullcut.hull.ruling_search import FLAT_WARP_DEG, WARP_LIMIT_DEG
from hullcut.hull.side_surface import given_lines
from hullcut.lengths import both
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from hullcut.design.values import Wood
    from hullcut.hull.fair_curve import Sweep
    from hullcut.hull.form import Hull
    from hullcut.hull.plane_curve import PlaneCurve

__all__ = ["hull_checks", "strain_limit"]

FAIR_RATIO = 1.3
_OWN_RULE = "hullcut's own rule"
# Half a degree makes the edges of a sheet 0.01 mm in a metre longer than its middle.
_UNFELT_WARP_DEG = 0.5
# A sheet is flat to the eye and to the hand where it bends no sharper than this, mm.
_FLAT_RADIUS = 20_000.0


def hull_checks(hull: Hull) -> tuple[Check, ...]:
    """The hull's checks, in the order in which a builder would ask."""
    checks = [_bottom_bend(hull)]
    if hull.design.hull.offsets is None:
        checks.append(_fair(hull.bottom_sweep, "Bottom is fair"))
    checks += _sides(hull)
    if hull.design.hull.offsets is None:
        for bend, words in ((hull.bow_taper, "towards the bow"), (hull.stern_taper, "towards the transom")):
            if bend.curvature > 0.0:
                checks.append(_fair(bend, f"Plan is fair {words}"))
    else:
        checks.append(_fair_lines(hull))
    return (*checks, *_decks(hull))


def _bottom_bend(hull: Hull) -> Check:
    bottom, sizes = hull.design.woods.bottom, hull.design.hull
    radius, x = hull.bottom_bend()
    if sizes.offsets is not None:
        gentler = "let the chine rise more gently there (hull.offsets)"
    else:
        gentler = _longer_sweep(hull)
    turn = _turn(hull.profile, 0.0, sizes.length)
    part = BentPart("Bottom bends up at the bow", "bottom", bottom, Place(radius, x), turn, gentler, "across the boat")
    return bend_check(part, hull.design.units)


def _longer_sweep(hull: Hull) -> str:
    """How far aft the bottom's sweep would have to begin, with the grain as it is."""
    sizes, bottom = hull.design.hull, hull.design.woods.bottom
    foot = hull.length if hull.bow is None else hull.foot_of(hull.bow, 0.0)[0]
    if wood(bottom.material).kind == "solid":
        return "lessen hull.flat_to so that the sweep is longer"
    limit = smallest_radius(bottom.thickness, bottom.grain)
    latest = foot - sweep_length(sizes.bow_height, bottom.thickness, bottom.grain)
    if hull.bottom_sweep.radius >= limit:
        return "give hull.rocker a longer run (hull.rocker_to)"
    if latest < 0.2 * hull.length:
        return "lessen hull.flat_to so that the sweep is longer"
    return f"lessen hull.flat_to to {both(latest, hull.design.units)} so that the sweep is longer"


def _turn(curve: PlaneCurve, start: float, stop: float) -> float:
    return float(np.ptp(curve.heading(curve.at_first_axis(np.linspace(start, stop, 33)))))


def _sides(hull: Hull) -> list[Check]:
    side = hull.design.woods.side
    turn = _turn(hull.plan, 0.0, hull.length)
    found = []
    for words, place, key in side_bends(hull, side.thickness / 2.0):
        if place.radius > _FLAT_RADIUS:
            continue
        gentler = f"change {key} so that the taper is longer"
        if key == "hull.offsets":
            gentler = "let chine and sheer turn more gently there (hull.offsets)"
        name = f"Sides bend {words}".rstrip()
        found.append(bend_check(BentPart(name, "side", side, place, turn, gentler, "up and down"), hull.design.units))
    if hull.surface is not None:
        found.append(_twist(hull))
    return found


def _twist(hull: Hull) -> Check:
    """How far the sides are from unrolling flat."""
    assert hull.surface is not None
    family = hull.surface.family
    warp = family.worst_warp
    source = (
        "hullcut's own rule: at the limit the edges of a sheet are 0.3 mm in a metre longer than its middle (derived)"
    )
    if warp <= FLAT_WARP_DEG:
        advice = "the sides unroll flat: every ruling lies on the sheet"
    elif warp <= _UNFELT_WARP_DEG:
        advice = "so little that the sheet does not feel it"
    else:
        place = both(max(family.worst_x, 0.0), hull.design.units)
        advice = f"most {place} from the transom: the sheet takes it under clamps; glue from the middle outward"
    status = verdict(warp <= WARP_LIMIT_DEG / 2.0, "warn")
    return Check("Sides twist from chine to sheer", status, warp, WARP_LIMIT_DEG, "degrees", source, advice)


def _fair(bend: Sweep, name: str) -> Check:
    ratio = bend.arc_radius / bend.radius
    status = verdict(ratio <= FAIR_RATIO)
    source = "hullcut's own rule: greatest curvature against that of the arc with the same sweep"
    advice = "" if status == "ok" else "give the bend more run for its rise"
    return Check(name, status, ratio, FAIR_RATIO, "times", source, advice)


def _fair_lines(hull: Hull) -> Check:
    """The fairness report of a table of offsets: the stations that bump, by curvature."""
    sizes = hull.design.hull
    assert sizes.offsets is not None
    lines = given_lines(sizes.offsets, sizes.read_to)
    found = [
        (abs(bump.move), bump.words(name, more, less))
        for name, points in (("the chine", lines.chine), ("the sheer", lines.sheer))
        for axis, more, less in ((1, "out", "in"), (2, "up", "down"))
        for bump in bumps(points[:, 0], points[:, axis], sizes.read_to)
    ]
    found.sort(key=lambda each: -each[0])
    limit = max(LEAST_MOVE_MM, sizes.read_to)
    source = f"{_OWN_RULE}: the curvature at a station against that of the stations beside it"
    if found:
        advice = "; ".join(words for _, words in found[:3])
        if len(found) > 3:
            advice += f"; and {len(found) - 3} more"
        return Check("Offsets are fair", "warn", found[0][0], limit, "mm", source, advice)
    advice = "no station bumps"
    if sizes.read_to > 0.0:
        advice += f"; the lines run within {lines.moved:.2f} mm of the points as read"
    return Check("Offsets are fair", "ok", 0.0, limit, "mm", source, advice)


def _decks(hull: Hull) -> list[Check]:
    """Decks that bend along the sheer."""
    design = hull.design
    spans: list[tuple[str, str, Wood, float, float]] = [
        ("Fore deck", "deck", design.woods.deck, design.decks.fore_from, hull.length)
    ]
    if design.decks.after == "hatch":
        spans.append(("Hatch", "hatch", design.woods.hatch, 0.0, design.decks.after_to))
    elif design.decks.after == "deck":
        spans.append(("After deck", "deck", design.woods.deck, 0.0, design.decks.after_to))
    found = []
    for name, family, chosen, start, stop in spans:
        radius, x = sharpest(hull.sheer, start, stop)
        if radius > _FLAT_RADIUS:
            continue
        turn = _turn(hull.sheer, start, stop)
        gentler = "let the sheer rise more gently (hull.sheer_from)"
        if design.hull.offsets is not None:
            gentler = "let the sheer rise more gently there (hull.offsets)"
        part = BentPart(
            f"{name} bends along the sheer", family, chosen, Place(radius, x), turn, gentler, "across the boat"
        )
        found.append(bend_check(part, design.units))
    return found
