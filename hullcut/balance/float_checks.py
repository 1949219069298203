"""Checks of how the boat floats: weight, freeboard, trim, stability, foam."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING

import numpy as np

from hullcut.balance.foam_blocks import foam_blocks, foam_litres
from hullcut.balance.sections import hull_sections, immersed
from hullcut.balance.swamped import MARGIN
from hullcut.check import Check, Status

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hullcut.arrangement import Arrangement
    from hullcut.balance.boat_balance import BoatBalance
    from hullcut.balance.flotation import Flotation
    from hullcut.hull.form import Hull

__all__ = [
    "FREEBOARD_FAIL",
    "FREEBOARD_TRANSOM",
    "FREEBOARD_WARN",
    "TRIM_USUAL",
    "TRIM_WARN",
    "ballast_words",
    "float_checks",
    "foam_checks",
]

_PRACTICE = "common practice, no source"
_OWN = "hullcut's own rule"

FREEBOARD_WARN, FREEBOARD_TRANSOM, FREEBOARD_FAIL = 50.8, 38.1, 25.4
TRIM_USUAL, TRIM_WARN = (0.5, 2.5), (0.0, 3.0)
GM_SHARE = 0.08
HEEL_WARN, VANISH_WARN, FLOOD_WARN = 2.0, 60.0, 15.0


def float_checks(hull: Hull, balance: BoatBalance) -> tuple[Check, ...]:
    """Whether it floats, how high, how level and how steadily."""
    most = float(immersed(hull_sections(hull), np.array([0.0, 0.0, 1.0]), 1e9).volume)
    lies = balance.flotation
    carried = most * 1e-6 * (lies.water.density if lies is not None else 1000.0)
    lighter = "lighten it (engine.mass, wood.bottom.thickness, wood.deck.thickness) or enlarge hull.beam or hull.length"
    share = balance.mass / carried * 100.0
    status: Status = "fail" if lies is None else "ok"
    advice = "of what the hull would carry to the sheer"
    if lies is None:
        advice = f"it sinks: {lighter}" if share >= 99.0 else f"one end goes under, and it sinks: {lighter}"
    checks = [Check("Weight against what the hull carries", status, share, 100.0, "%", "Archimedes", advice)]
    if lies is not None:
        checks += [*_freeboards(lies, lighter), _trim(lies, balance), *_steadiness(hull, lies)]
    return tuple(checks)


def _freeboards(lies: Flotation, lighter: str) -> Iterator[Check]:
    low = lies.freeboard
    status: Status = "fail" if low < FREEBOARD_FAIL else "warn" if low < FREEBOARD_WARN else "ok"
    limit = FREEBOARD_FAIL if status == "fail" else FREEBOARD_WARN
    advice = "" if status == "ok" else f"it lies too low: make hull.depth greater, or {lighter}"
    source = f"{_PRACTICE}; the failing limit is {_OWN}" if status == "fail" else _PRACTICE
    yield Check("Freeboard, least", status, low, limit, "mm", source, advice)
    aft = lies.freeboard_aft
    holds = aft >= FREEBOARD_TRANSOM
    advice = "" if holds else "a following wave comes in: carry weight forward, or make hull.depth greater"
    yield Check("Freeboard at the transom", "ok" if holds else "warn", aft, FREEBOARD_TRANSOM, "mm", _PRACTICE, advice)


def _trim(lies: Flotation, balance: BoatBalance) -> Check:
    name = "Trim at rest, by the stern"
    empty, full = ("it sinks" if isnan(each) else f"{each:.1f}" for each in (lies.empty_trim, lies.full_trim))
    usual = f"{TRIM_USUAL[0]:g} to {TRIM_USUAL[1]:g} is usual; with the tank empty {empty}, full {full}"
    trim = lies.trim
    if trim > TRIM_WARN[1]:
        advice = "it sits by the stern: move the engine forward (engine.plate_at, balance.point) or the radio"
        return Check(name, "warn", trim, TRIM_WARN[1], "degrees", _PRACTICE, advice + ballast_words(balance))
    if trim < TRIM_WARN[0]:
        advice = "it hangs its bow: move the engine aft (engine.plate_at, balance.point)"
        return Check(name, "warn", trim, TRIM_WARN[0], "degrees", _PRACTICE, advice + ballast_words(balance))
    return Check(name, "ok", trim, TRIM_WARN[1], "degrees", _PRACTICE, usual)


def ballast_words(balance: BoatBalance) -> str:
    """What ballast would do it, to be added to an advice; empty where none is needed."""
    found = balance.ballast
    if found is None:
        return ""
    return f"; {found.mass:.0f} g of ballast {found.x:.0f} mm from the transom would bring it to its balance point"


def _steadiness(hull: Hull, lies: Flotation) -> Iterator[Check]:
    limit = GM_SHARE * hull.design.hull.beam
    status: Status = "fail" if lies.gm <= 0.0 else "warn" if lies.gm < limit else "ok"
    wrong = "it falls over" if status == "fail" else "it is tender"
    advice = "" if status == "ok" else f"{wrong}: lower the engine (engine.centre_height) or widen hull.beam"
    yield Check("Steadiness at rest (GM)", status, lies.gm, 0.0 if status == "fail" else limit, "mm", _OWN, advice)
    lean = abs(lies.heel)
    side = "port" if lies.heel > 0.0 else "starboard"
    advice = "" if lean <= HEEL_WARN else f"it leans to {side}: move a weight across, or set rudder.offset nearer to 0"
    status = "ok" if lean <= HEEL_WARN else "warn"
    yield Check("Lean from weights off the middle", status, lean, HEEL_WARN, "degrees", _OWN, advice)
    if lies.gm > 0.0 and lies.arms:
        holds = lies.vanishes >= VANISH_WARN
        advice = "with decks tight; past this it goes over" if holds else "lower the engine or widen hull.beam"
        status = "ok" if holds else "warn"
        yield Check("Heel up to which it rights itself", status, lies.vanishes, VANISH_WARN, "degrees", _OWN, advice)
        holds = lies.floods >= FLOOD_WARN
        advice = (
            "then water reaches the open middle" if holds else "water comes in: lengthen the decks, or more hull.depth"
        )
        status = "ok" if holds else "warn"
        yield Check("Heel at which the middle floods", status, lies.floods, FLOOD_WARN, "degrees", _OWN, advice)


def foam_checks(hull: Hull, arrangement: Arrangement, balance: BoatBalance) -> tuple[Check, ...]:
    """Whether the foam that is packed, or that finds room, keeps a swamped boat afloat."""
    foam, need = hull.design.foam, balance.foam
    blocks = foam_blocks(hull, arrangement)
    checks = []
    for key, words, packed, wanted, room in (
        ("fore", "fore compartment", foam.fore, need.fore, foam_litres(blocks, "fore")),
        ("aft", "stern", foam.aft, need.aft, foam_litres(blocks, "aft")),
    ):
        name = f"Foam in the {words}"
        source = f"margin {MARGIN:g} on what sinks: {_PRACTICE}"
        if packed is not None and packed < wanted - 1e-9:
            advice = f"swamped, it sinks by this end: pack {wanted:.1f} litres, and write foam.{key} so"
            checks.append(Check(name, "fail", packed, wanted, "litres", source, advice))
        elif max(wanted, packed or 0.0) > room:
            advice = (
                f"there is room for only {room:.1f} in blocks: lighten what sinks, deepen the hull, or lengthen decks"
            )
            checks.append(Check(name, "warn", max(wanted, packed or 0.0), room, "litres", f"{source}; {_OWN}", advice))
        else:
            shown = packed if packed is not None else wanted
            advice = f"{wanted:.1f} needed, blocks of {room:.1f} fit; closed-cell foam that fuel does not melt"
            checks.append(Check(name, "ok", shown, wanted, "litres", source, advice))
    return tuple(checks)
