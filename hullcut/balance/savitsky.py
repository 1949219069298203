"""Savitsky's planing method: trim, wetted length and drag of a prismatic bottom at a steady speed.

D. Savitsky, "Hydrodynamic Design of Planing Hulls", Marine Technology 1(4), 1964, pages 71 to 95. The equations stand
here from memory; of the paper's printed example one figure was checked second-hand (see tests/published). Friction is
that of the ITTC-1957 line with the paper's allowance of 0.0004. Units here are metres, newtons, seconds and degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "CV_RANGE",
    "LAMBDA_MOST",
    "TRIM_RANGE",
    "PlaningBoat",
    "PlaningRuns",
    "flat_lift",
    "friction_line",
    "lift_with_deadrise",
    "planing_runs",
    "porpoising_trim",
    "pressure_centre",
    "runs_at_trim",
]

Array = NDArray[np.float64]

CV_RANGE = (0.60, 13.0)
"""Speed coefficients for which the method is stated."""
TRIM_RANGE = (2.0, 15.0)
"""Trims, degrees, for which it is stated."""
LAMBDA_MOST = 4.0
"""Greatest mean wetted length, beams, for which it is stated."""

_ROUGHNESS = 0.0004
_SEARCH = (0.3, 20.0)
_HALVINGS = 45
_NEWTON = 14


@dataclass(frozen=True, slots=True)
class PlaningBoat:
    """A boat as the method sees it.

    Attributes:
        weight: newtons.
        beam: across the chines, m.
        lcg: centre of gravity ahead of the transom, m.
        vcg: above the keel, m.
        deadrise: degrees.
        thrust_angle: of the shaft to the keel, degrees.
        thrust_below: distance of the thrust's line below the centre of gravity, m.
        density: of the water, kg/m3.
        viscosity: kinematic, m2/s.
        gravity: m/s2.
    """

    weight: float
    beam: float
    lcg: float
    vcg: float
    deadrise: float
    thrust_angle: float
    thrust_below: float
    density: float
    viscosity: float
    gravity: float


class PlaningRuns(NamedTuple):
    """Steady runs at several speeds; every field is an array (n,), not a number where no run was found.

    Attributes:
        speed: m/s.
        trim: degrees.
        wetted: mean wetted length over the beam.
        keel, chine: wetted lengths, m.
        friction: N, along the bottom.
        drag: N.
        lift: lift coefficient with deadrise.
        speed_coefficient: speed over the root of gravity times beam.
        moment: left over about the centre of gravity, N m.
    """

    speed: Array
    trim: Array
    wetted: Array
    keel: Array
    chine: Array
    friction: Array
    drag: Array
    lift: Array
    speed_coefficient: Array
    moment: Array


def friction_line(reynolds: Array | float) -> Array:
    """Friction coefficient 0.075 / (log10 Re - 2)^2 (the ITTC-1957 line)."""
    result: Array = 0.075 / (np.log10(np.asarray(reynolds, dtype=np.float64)) - 2.0) ** 2
    return result


def flat_lift(trim: Array | float, wetted: Array | float, speed_coefficient: Array | float) -> Array:
    """Lift coefficient of a flat bottom, tau^1.1 (0.0120 lambda^0.5 + 0.0055 lambda^2.5 / Cv^2)."""
    root = np.sqrt(np.asarray(wetted, dtype=np.float64))
    result: Array = np.asarray(trim) ** 1.1 * (0.0120 * root + 0.0055 * root**5 / np.asarray(speed_coefficient) ** 2)
    return result


def lift_with_deadrise(flat: Array | float, deadrise: float) -> Array:
    """Lift coefficient with deadrise (degrees), CL0 - 0.0065 beta CL0^0.60."""
    flat = np.asarray(flat, dtype=np.float64)
    result: Array = flat - 0.0065 * deadrise * flat**0.60
    return result


def pressure_centre(wetted: Array | float, speed_coefficient: Array | float) -> Array:
    """Centre of pressure ahead of the transom over the mean wetted length."""
    ratio = np.asarray(speed_coefficient, dtype=np.float64) ** 2 / np.asarray(wetted) ** 2
    result: Array = 0.75 - 1.0 / (5.21 * ratio + 2.39)
    return result


def porpoising_trim(lift: Array | float, deadrise: float) -> Array:
    """Trim, degrees, above which a boat begins to porpoise.

    A fit of Day and Haag's tank tests, 0.1197 beta^0.7651 exp(15.7132 (CL/2)^0.5 beta^-0.2629), from memory, made for
    deadrise from 10 to 20 degrees: a flatter bottom is given the value for 10 and begins a little sooner.
    """
    beta = max(deadrise, 10.0)
    root = np.sqrt(np.asarray(lift, dtype=np.float64) / 2.0)
    result: Array = 0.1197 * beta**0.7651 * np.exp(15.7132 * root * beta**-0.2629)
    return result


def _flat_from(lift: Array, deadrise: float) -> Array:
    """The flat bottom's lift coefficient that leaves this one with deadrise, by repeated substitution."""
    flat = lift
    for _ in range(60 if deadrise else 0):
        flat = lift + 0.0065 * deadrise * flat**0.60
    return flat


def _wetted_from(flat: Array, trim: Array, speed_coefficient: Array) -> Array:
    """Mean wetted length over beam for a lift, by Newton's method from above in its square root."""
    wanted = flat / trim**1.1
    k = 0.0055 / speed_coefficient**2
    root = np.minimum(wanted / 0.0120, (wanted / k) ** 0.2)
    for _ in range(_NEWTON):
        root = root - (0.0120 * root + k * root**5 - wanted) / (0.0120 + 5.0 * k * root**4)
    result: Array = root**2
    return result


def runs_at_trim(boat: PlaningBoat, speed: Array, trim: Array) -> PlaningRuns:
    """Wetted length, drag and left-over moment at given trims, degrees.

    Args:
        boat: its sizes.
        speed: m/s (n,).
        trim: degrees (n,).
    """
    cv = speed / np.sqrt(boat.gravity * boat.beam)
    lift = boat.weight / (0.5 * boat.density * speed**2 * boat.beam**2)
    wetted = _wetted_from(_flat_from(lift, boat.deadrise), trim, cv)
    tau, beta, eps = np.radians(trim), np.radians(boat.deadrise), np.radians(boat.thrust_angle)
    difference = boat.beam / np.pi * np.tan(beta) / np.tan(tau)
    mean = wetted * boat.beam
    dynamic = lift_with_deadrise(0.0120 * np.sqrt(wetted) * trim**1.1, boat.deadrise)
    slowed = 1.0 - dynamic / (wetted * np.cos(tau))
    bottom_speed = speed * np.sqrt(np.where(slowed > 0.0, slowed, np.nan))
    coefficient = friction_line(bottom_speed * mean / boat.viscosity) + _ROUGHNESS
    area = wetted * boat.beam**2 / np.cos(beta)
    friction = 0.5 * boat.density * bottom_speed**2 * area * coefficient
    drag = boat.weight * np.tan(tau) + friction / np.cos(tau)
    c = boat.lcg - pressure_centre(wetted, cv) * mean
    a = boat.vcg - boat.beam / 4.0 * np.tan(beta)
    f = boat.thrust_below
    pressing = (1.0 - np.sin(tau) * np.sin(tau + eps)) * c / np.cos(tau) - f * np.sin(tau)
    moment = boat.weight * pressing + friction * (a - f)
    keel, chine = mean + difference / 2.0, mean - difference / 2.0
    return PlaningRuns(speed, trim, wetted, keel, chine, friction, drag, lift, cv, moment)


def planing_runs(boat: PlaningBoat, speed: Array) -> PlaningRuns:
    """Steady runs at given speeds (n,), m/s: the trim at which no moment is left, by bisection.

    Where no trim between 0.3 and 20 degrees balances, trim, wetted length and drag are not a number.
    """
    speed = np.asarray(speed, dtype=np.float64)
    low, high = np.full(len(speed), _SEARCH[0]), np.full(len(speed), _SEARCH[1])
    # At great trims the wetted length shrinks so far that no flow is left under the bottom: come down from there.
    for _ in range(20):
        high = np.where(np.isnan(runs_at_trim(boat, speed, high).moment), high * 0.9, high)
    found = (runs_at_trim(boat, speed, low).moment < 0.0) & (runs_at_trim(boat, speed, high).moment > 0.0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        above = runs_at_trim(boat, speed, middle).moment > 0.0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    trim = np.where(found, (low + high) / 2.0, np.nan)
    runs = runs_at_trim(boat, speed, trim)
    return runs._replace(speed=speed)
