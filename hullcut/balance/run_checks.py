"""Checks of the drive and of how the boat should run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.balance.drive_line import CRITICAL_MARGIN
from hullcut.balance.running import SLIP
from hullcut.check import Check, Status

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hullcut.balance.boat_balance import BoatBalance
    from hullcut.design.values import Design

__all__ = ["drive_checks", "run_checks"]

_PRACTICE = "common practice, no source"
_OWN = "hullcut's own rule"
_MEMORY = "from memory"
_SAVITSKY = "Savitsky, Marine Technology 1(4), 1964; equations from memory"

FIN_BEHIND = (0.0, 0.03)
RUDDER_CLEAR = 6.0
# The limit is a fit for deadrise of 10 degrees, from memory: it is given a fifth of play.
PORPOISING_PLAY = 1.2
BOW_RISE = 8.0


def drive_checks(design: Design, balance: BoatBalance) -> tuple[Check, ...]:
    """Bearings, fin, rudder and propeller."""
    return (_bearings(design, balance), _fin(design, balance), *_rudder(design, balance))


def _bearings(design: Design, balance: BoatBalance) -> Check:
    line = balance.drive
    holds = line.critical >= line.least - 1e-6
    advice = f"{line.bearings} bearings, {line.span:.0f} mm apart; at most {line.longest:.0f} mm for this rod"
    if not holds:
        advice = (
            f"{line.span:.0f} mm between bearings lets the rod whip: write drive.bearings = {line.proposed} or more, "
            f"so that none are over {line.longest:.0f} mm apart, or take a thicker drive.shaft_diameter"
        )
    source = f"uniform rod on two supports (Timoshenko), {_MEMORY}; margin {CRITICAL_MARGIN:g}: {_PRACTICE}"
    status: Status = "ok" if holds else "fail"
    return Check("Critical speed of the shaft", status, line.critical, line.least, "turns a minute", source, advice)


def _fin(design: Design, balance: BoatBalance) -> Check:
    behind = (balance.cg[0] - balance.fin_centre) / design.hull.length * 100.0
    low, high = (share * 100.0 for share in FIN_BEHIND)
    name, unit = "Fin's centre behind the balance point", "% of length"
    if behind < low - 0.05:
        advice = "a fin ahead of the balance point spins the boat out: write fin.behind_balance between 0 and 0.03"
        return Check(name, "fail", behind, low, unit, _PRACTICE, advice)
    if behind > high + 0.05:
        advice = "so far aft it won't turn: write fin.behind_balance between 0 and 0.03"
        return Check(name, "warn", behind, high, unit, _PRACTICE, advice)
    return Check(name, "ok", behind, high, unit, _PRACTICE, "")


def _rudder(design: Design, balance: BoatBalance) -> Iterator[Check]:
    rudder, drive = design.rudder, design.drive
    clear = abs(rudder.offset) - drive.propeller_diameter / 2.0
    advice = "" if clear >= RUDDER_CLEAR else "the rudder stands in the propeller's way: move rudder.offset outward"
    status: Status = "ok" if clear >= RUDDER_CLEAR else "fail"
    yield Check("Rudder clear of the propeller", status, clear, RUDDER_CLEAR, "mm", _PRACTICE, advice)
    side = "port" if rudder.offset > 0.0 else "starboard"
    belongs = balance.handling.rudder_side
    advice = f"{belongs}: a propeller turning {drive.rotation} turns the boat better that way"
    if side != belongs:
        advice = f"it stands to {side}; move it to {belongs} (change the sign of rudder.offset)"
    status = "ok" if side == belongs else "warn"
    yield Check("Rudder on the better side", status, None, None, "", f"{_PRACTICE}, {_MEMORY}", advice)


def run_checks(design: Design, balance: BoatBalance) -> tuple[Check, ...]:
    """Whether it planes, porpoises, buries its straight run, and has the right propeller; estimates all."""
    running = balance.running
    reached = running.reached
    name = "Speed reached (estimate)"
    if reached is None:
        advice = "it won't get onto the plane: lighten it, or more engine.power"
        return (Check(name, "warn", None, None, "m/s", _SAVITSKY, advice),)
    advice = f"between {reached.low:.1f} and {reached.high:.1f}; most of that lies outside the method's stated range"
    checks = [Check(name, "ok", reached.likely, None, "m/s", f"{_SAVITSKY}; a wide estimate", advice)]
    return (*checks, *_attitude(design, balance, reached.likely), *_propeller(design, balance))


def _attitude(design: Design, balance: BoatBalance, top: float) -> Iterator[Check]:
    running = balance.running
    runs = [run for run in running.runs if run.trim is not None and run.speed <= top]
    worst = max(runs, key=lambda run: (run.trim or 0.0) / run.porpoising, default=None)
    if worst is not None and worst.trim is not None:
        limit = worst.porpoising * PORPOISING_PLAY
        holds = worst.trim <= limit
        advice = f"at {worst.speed:g} m/s it is nearest to bouncing"
        if not holds:
            advice = f"it may bounce (porpoise) at {worst.speed:g} m/s: a greater balance.point, or a flatter shaft"
        source = f"a fit of Day and Haag's tests, {_MEMORY}, given a fifth of play"
        yield Check("Trim before porpoising", "ok" if holds else "warn", worst.trim, limit, "degrees", source, advice)
    if running.greatest_trim is not None:
        trim, speed = running.greatest_trim
        holds = trim <= BOW_RISE
        advice = f"at {speed:g} m/s, getting onto the plane"
        if not holds:
            advice += ": the bow rises far; carry weight forward, or widen hull.beam"
        yield Check("Bow rise", "ok" if holds else "warn", trim, BOW_RISE, "degrees", f"{_SAVITSKY}; {_OWN}", advice)
    last = max((run for run in runs if run.wetted is not None), key=lambda run: run.speed, default=None)
    if last is not None and last.wetted is not None:
        flat = design.hull.flat_to
        status: Status = "ok" if last.wetted <= flat else "warn"
        reach = [run.speed for run in runs if run.wetted is not None and run.wetted > flat]
        advice = f"up to {max(reach):g} m/s it still reaches the sweep of the bow" if reach else ""
        if status == "warn":
            advice = "at speed the sweep of the bow still drags: carry weight aft, or a greater hull.flat_to"
        yield Check("Wetted length at that speed", status, last.wetted, flat, "mm", _SAVITSKY, advice)


def _propeller(design: Design, balance: BoatBalance) -> Iterator[Check]:
    running = balance.running
    pitch, slip = running.pitch, running.slip
    if pitch is None:
        return
    wanted = f"a pitch of {pitch.low:.0f} to {pitch.high:.0f} mm suits {design.engine.rpm:.0f} turns a minute"
    source = f"usual slip {SLIP[0]:g} to {SLIP[1]:g}, {_MEMORY}"
    if slip is None:
        yield Check("Propeller's pitch (estimate)", "ok", pitch.likely, None, "mm", source, wanted)
        return
    holds = SLIP[0] <= slip <= SLIP[1]
    limit = SLIP[0] if slip < SLIP[0] else SLIP[1]
    status: Status = "ok" if holds else "warn"
    advice = wanted if holds else f"{wanted}; change drive.pitch"
    yield Check("Propeller's slip (estimate)", status, slip * 100.0, limit * 100.0, "%", source, advice)
