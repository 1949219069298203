"""Everything that is known of how one boat balances, floats and runs: frozen values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hullcut.balance.drive_line import drive_line, handling
from hullcut.balance.flotation import float_hull
from hullcut.balance.running import run_boat
from hullcut.balance.swamped import foam_need
from hullcut.balance.weights import centre_of_gravity, moving_mass, pitch_inertia, weight_table
from hullcut.parts.fin import fin_area_centre
from hullcut.stock.water import water

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.balance.drive_line import DriveLine, Handling
    from hullcut.balance.flotation import Flotation
    from hullcut.balance.running import Running
    from hullcut.balance.swamped import FoamNeed
    from hullcut.balance.weights import Weight
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["Ballast", "BoatBalance", "balance_boat", "ballast_for"]

Point3 = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Ballast:
    """A weight that would bring the boat to its wanted balance point.

    Attributes:
        mass: grams.
        x: where it would lie.
    """

    mass: float
    x: float


@dataclass(frozen=True, slots=True)
class BoatBalance:
    """How a boat balances, floats and runs.

    Attributes:
        weights: the table, with half a tank.
        mass: total, grams.
        cg: centre of gravity.
        radius: of gyration in pitch, mm.
        inertia: in pitch, g mm2.
        empty, full: mass and centre of gravity with an empty and a full tank.
        wanted: x of the wanted balance point.
        ballast: that would bring it there; None where the boat balances there within 1 mm.
        flotation: None where the boat sinks.
        foam: that keeps it afloat when swamped.
        drive: rod and bearings.
        handling: which way it pulls.
        running: what it should do at speed.
        fin_centre: x of the centre of the fin's area.
        inch_moves: how far the balance point moves forward with the engine an inch farther forward, mm.
    """

    weights: tuple[Weight, ...]
    mass: float
    cg: Point3
    radius: float
    inertia: float
    empty: tuple[float, Point3]
    full: tuple[float, Point3]
    wanted: float
    ballast: Ballast | None
    flotation: Flotation | None
    foam: FoamNeed
    drive: DriveLine
    handling: Handling
    running: Running
    fin_centre: float
    inch_moves: float


def ballast_for(mass: float, x: float, wanted: float, aft: float, fore: float) -> Ballast | None:
    """The least ballast at either end that moves the balance point from x to where it is wanted.

    Moments about the wanted point: ballast x its lever = mass x how far the balance is off.

    Args:
        mass: of the boat, grams.
        x: where it balances.
        wanted: where it should.
        aft: x of the farthest place for ballast towards the stern.
        fore: the same towards the bow.
    """
    if abs(x - wanted) <= 1.0:
        return None
    place = fore if wanted > x else aft
    return Ballast(mass * (wanted - x) / (place - wanted), place)


def balance_boat(
    hull: Hull, parts: Sequence[Part], arrangement: Arrangement, known: Mapping[str, Weight] | None = None
) -> BoatBalance:
    """Weigh, float and run a boat."""
    design = hull.design
    weights = weight_table(design, parts, arrangement, known)
    mass, *centre = centre_of_gravity(weights)
    cg = (centre[0], centre[1], centre[2])
    inertia = pitch_inertia(weights)
    lake = water(design.water.kind, design.water.temperature)
    empty, full = _with_fuel(weights, 0.0), _with_fuel(weights, 2.0)
    foam = foam_need(hull, weights, lake)
    wanted = design.balance.point * design.hull.length
    return BoatBalance(
        weights=weights,
        mass=mass,
        cg=cg,
        radius=(inertia / mass) ** 0.5,
        inertia=inertia,
        empty=empty,
        full=full,
        wanted=wanted,
        ballast=ballast_for(mass, cg[0], wanted, hull.transom_thickness + 25.0, foam.fore_x),
        flotation=float_hull(hull, mass, cg, lake, (empty, full)),
        foam=foam,
        drive=drive_line(design, arrangement),
        handling=handling(design.drive.rotation),
        running=run_boat(hull, arrangement, mass, cg, lake),
        fin_centre=arrangement.fin_x + fin_area_centre(design.fin),
        inch_moves=25.4 * moving_mass(design, parts, arrangement) / mass,
    )


def _with_fuel(weights: Sequence[Weight], tanks: float) -> tuple[float, Point3]:
    """Mass and centre of gravity with so many times the half tank of the table."""
    mass, x, y, z = centre_of_gravity(
        [replace(each, mass=each.mass * tanks) if each.kind == "fuel" else each for each in weights]
    )
    return mass, (x, y, z)
