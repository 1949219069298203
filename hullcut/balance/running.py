"""What the boat should do at speed, as estimates with a band: trim, drag, power, speed reached, propeller's pitch."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.balance.savitsky import (
    CV_RANGE,
    LAMBDA_MOST,
    TRIM_RANGE,
    PlaningBoat,
    PlaningRuns,
    planing_runs,
    porpoising_trim,
)
from hullcut.stock.water import STANDARD_GRAVITY

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.stock.water import WaterData

__all__ = ["Band", "Run", "Running", "pitch_for", "pitch_speed", "planing_boat", "run_boat", "slip_of"]

Array = NDArray[np.float64]

SPEEDS = np.arange(2.0, 16.01, 0.5)
# Fin, strut, shaft, rudder and air, as a share of the bottom's drag: least, reckoned with, most. Low confidence.
APPENDAGES = (0.20, 0.30, 0.40)
# The method's own drag, on a model of a metre, may be off by this share either way: hullcut's own guess.
METHOD_BAND = 0.15
# Engine's power to thrust times speed: least, reckoned with, most. From memory, for small surface propellers.
EFFICIENCY = (0.35, 0.45, 0.55)
# Slip of a small surface propeller: least and most. From memory.
SLIP = (0.20, 0.35)
# Light boats of a metre leave the method's range about here, m/s.
LIGHT_BOAT_SPEED = 6.5


@dataclass(frozen=True, slots=True)
class Band:
    """An estimate between a low and a high guess."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Run:
    """The boat at one steady speed; estimates all.

    Attributes:
        speed: m/s.
        trim: degrees by the stern; None where the method finds no balance.
        wetted: length of wetted bottom, mm; None likewise.
        drag: N, with appendages and air.
        power: W, that this drag takes from the water, without the propeller's losses.
        porpoising: trim above which boats begin to porpoise, degrees.
        flags: what takes this speed out of the method's stated range; empty where nothing does.
    """

    speed: float
    trim: float | None
    wetted: float | None
    drag: Band | None
    power: Band | None
    porpoising: float
    flags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Running:
    """All speeds, and what follows from them.

    Attributes:
        runs: by growing speed.
        reached: speed that the engine's power reaches, m/s; None where it never gets onto the plane.
        capped: whether the high end of `reached` is only the last speed reckoned.
        pitch: of the propeller that suits the speed reached, mm, at middling slip; None where no speed is reached.
        slip: of the design's own propeller at the speed reached; None where it names no pitch.
        greatest_trim: over all speeds up to the one reached, degrees, and the speed at which it comes.
        thrust_below: of the thrust's line below the centre of gravity, mm.
        beam: across the chines, mm, as the method takes it.
    """

    runs: tuple[Run, ...]
    reached: Band | None
    capped: bool
    pitch: Band | None
    slip: float | None
    greatest_trim: tuple[float, float] | None
    thrust_below: float
    beam: float


def pitch_speed(pitch: float, rpm: float) -> float:
    """Speed, m/s, of a propeller of that pitch (mm) that slips nothing: pitch x turns / 60,000."""
    return pitch * rpm / 60_000.0


def slip_of(pitch: float, rpm: float, speed: float) -> float:
    """Share by which the boat falls short of the pitch's speed."""
    return 1.0 - speed / pitch_speed(pitch, rpm)


def pitch_for(speed: float, rpm: float, slip: float) -> float:
    """Pitch, mm, that gives a speed, m/s, at those turns and that slip."""
    return speed * 60_000.0 / (rpm * (1.0 - slip))


def planing_boat(
    hull: Hull, arrangement: Arrangement, mass: float, cg: tuple[float, float, float], water: WaterData
) -> PlaningBoat:
    """The boat as the planing method sees it: its mean breadth across the chines from transom to balance point."""
    x = np.linspace(0.0, min(cg[0], hull.design.hull.flat_to), 9)
    beam = 2.0 * float(hull.half_breadth(x, hull.bottom_height(x)).mean())
    shaft = arrangement.shaft
    slope = math.radians(shaft.angle)
    line = shaft.hub_z + (cg[0] - shaft.hub_x) * math.tan(slope)
    return PlaningBoat(
        weight=mass / 1000.0 * STANDARD_GRAVITY,
        beam=beam / 1000.0,
        lcg=cg[0] / 1000.0,
        vcg=cg[2] / 1000.0,
        deadrise=0.0,
        thrust_angle=shaft.angle,
        thrust_below=(cg[2] - line) * math.cos(slope) / 1000.0,
        density=water.density,
        viscosity=water.viscosity,
        gravity=STANDARD_GRAVITY,
    )


def run_boat(
    hull: Hull, arrangement: Arrangement, mass: float, cg: tuple[float, float, float], water: WaterData
) -> Running:
    """Estimate how a boat runs over a range of speeds."""
    design = hull.design
    boat = planing_boat(hull, arrangement, mass, cg, water)
    found = planing_runs(boat, SPEEDS)
    limit = porpoising_trim(found.lift, boat.deadrise)
    runs = tuple(_run(found, i, float(limit[i]), design.hull.flat_to) for i in range(len(SPEEDS)))
    reached, capped = _reached(runs, design.engine.power)
    slip = pitch = None
    if reached is not None:
        middle = (SLIP[0] + SLIP[1]) / 2.0
        rpm = design.engine.rpm
        pitch = Band(*(pitch_for(reached.likely, rpm, share) for share in (SLIP[0], middle, SLIP[1])))
        if design.drive.pitch is not None:
            slip = slip_of(design.drive.pitch, rpm, reached.likely)
    top = reached.likely if reached is not None else float(SPEEDS[-1])
    trims = [(run.trim, run.speed) for run in runs if run.trim is not None and run.speed <= top]
    return Running(
        runs=runs,
        reached=reached,
        capped=capped,
        pitch=pitch,
        slip=slip,
        greatest_trim=max(trims) if trims else None,
        thrust_below=boat.thrust_below * 1000.0,
        beam=boat.beam * 1000.0,
    )


def _run(found: PlaningRuns, i: int, limit: float, flat_to: float) -> Run:
    speed, trim = float(found.speed[i]), float(found.trim[i])
    if math.isnan(trim) or math.isnan(float(found.drag[i])):
        return Run(speed, None, None, None, None, limit, ("no steady trim: not yet planing",))
    wetted = float(found.keel[i]) * 1000.0
    bare = float(found.drag[i])
    drag = Band(
        bare * (1.0 + APPENDAGES[0]) * (1.0 - METHOD_BAND),
        bare * (1.0 + APPENDAGES[1]),
        bare * (1.0 + APPENDAGES[2]) * (1.0 + METHOD_BAND),
    )
    power = Band(drag.low * speed, drag.likely * speed, drag.high * speed)
    flags = []
    cv = float(found.speed_coefficient[i])
    if not CV_RANGE[0] <= cv <= CV_RANGE[1]:
        flags.append(f"speed coefficient {cv:.2f} outside {CV_RANGE[0]:g} to {CV_RANGE[1]:g}")
    if not TRIM_RANGE[0] <= trim <= TRIM_RANGE[1]:
        flags.append(f"trim outside {TRIM_RANGE[0]:g} to {TRIM_RANGE[1]:g}°")
    if float(found.wetted[i]) > LAMBDA_MOST:
        flags.append(f"wetted length over {LAMBDA_MOST:g} beams")
    if speed > LIGHT_BOAT_SPEED:
        flags.append(f"over {LIGHT_BOAT_SPEED:g} m/s on a light boat")
    if wetted > flat_to:
        flags.append("wetted length reaches the sweep of the bow")
    return Run(speed, trim, wetted, drag, power, limit, tuple(flags))


def _reached(runs: tuple[Run, ...], power: float) -> tuple[Band | None, bool]:
    """Speed at which the power needed is the power given: by the high, likely and low drag."""
    low, _ = _meets(runs, "high", EFFICIENCY[0] * power)
    likely, _ = _meets(runs, "likely", EFFICIENCY[1] * power)
    high, capped = _meets(runs, "low", EFFICIENCY[2] * power)
    if likely is None or high is None:
        return None, False
    return Band(low if low is not None else 0.0, likely, high), capped


def _meets(runs: tuple[Run, ...], which: str, given: float) -> tuple[float | None, bool]:
    """Greatest speed whose power does not exceed what is given, and whether that is only the last one reckoned."""
    known = [(run.speed, getattr(run.power, which)) for run in runs if run.power is not None]
    if not known or known[0][1] > given:
        return None, False
    for (v0, p0), (v1, p1) in itertools.pairwise(known):
        if p1 > given >= p0:
            return v0 + (v1 - v0) * (given - p0) / (p1 - p0), False
    return known[-1][0], True
