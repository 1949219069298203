"""Checks of the balance and of the shaft line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hullcut.balance.arrange import engine_bay
from hullcut.balance.float_checks import ballast_words, float_checks, foam_checks
from hullcut.balance.run_checks import drive_checks, run_checks
from hullcut.check import Check, Status

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.balance.boat_balance import BoatBalance
    from hullcut.design.values import Design
    from hullcut.hull.form import Hull

__all__ = ["balance_checks", "boat_checks"]

_PRACTICE = "common practice, no source"
USUAL_BALANCE = (0.30, 0.35)
SHAFT_AIM, SHAFT_WARN, SHAFT_FAIL = 10.0, 12.0, 15.0


def balance_checks(design: Design, arrangement: Arrangement) -> tuple[Check, Check]:
    """Where the boat balances, and how steep its shaft is."""
    return (_balance(design, arrangement), _shaft(arrangement))


def boat_checks(hull: Hull, arrangement: Arrangement, balance: BoatBalance) -> tuple[Check, ...]:
    """All checks of balance, flotation, foam, drive and running."""
    design = hull.design
    point, shaft = balance_checks(design, arrangement)
    if point.status != "ok":
        point = replace(point, advice=point.advice + ballast_words(balance))
    return (
        point,
        shaft,
        *float_checks(hull, balance),
        *foam_checks(hull, arrangement, balance),
        *drive_checks(design, balance),
        *run_checks(design, balance),
    )


def _balance(design: Design, arrangement: Arrangement) -> Check:
    share = arrangement.balance_x / design.hull.length
    low, high = USUAL_BALANCE
    aft, fore = engine_bay(design)
    name = "Balance point from the transom"
    if low <= share <= high:
        return Check(name, "ok", share * 100.0, high * 100.0, "% of length", _PRACTICE, "weigh your engine to be sure")
    wrong, limit = ("forward", high) if share > high else ("aft", low)
    stuck = design.engine.plate_at is None and (
        abs(arrangement.plate_x - aft) < 1.0 or abs(arrangement.plate_x - fore) < 1.0
    )
    reason = "the engine stands at the end of its bay; " if stuck else ""
    move = "shorten decks.after_to or carry weight aft" if share > high else "carry weight forward"
    advice = f"it balances too far {wrong}: {reason}{move}"
    return Check(name, "warn", share * 100.0, limit * 100.0, "% of length", _PRACTICE, advice)


def _shaft(arrangement: Arrangement) -> Check:
    angle = arrangement.shaft.angle
    status: Status = "ok"
    limit, advice = SHAFT_WARN, ""
    if angle > SHAFT_FAIL:
        status, limit = "fail", SHAFT_FAIL
    elif angle > SHAFT_WARN:
        status = "warn"
    if angle > SHAFT_AIM:
        advice = (
            f"aim for {SHAFT_AIM:.0f} degrees: lower engine.output_height, move the engine forward, "
            "or lengthen drive.propeller_behind"
        )
    return Check("Shaft angle", status, angle, limit, "degrees", _PRACTICE, advice)
