"""What goes into the hull besides wood: densities, allowances, and what is usual of an engine."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hullcut.stock.table_files import table

__all__ = ["Allowances", "EngineRange", "allowances", "density", "density_source", "engine_range", "steel_modulus"]


@dataclass(frozen=True, slots=True)
class Allowances:
    """Weights that nobody weighs beforehand.

    Attributes:
        glue: as a fraction of the wood's mass.
        paint: grams a square metre of face, dry.
        fasteners: as a fraction of the wood's mass.
        contingency: as a fraction of everything.
        soaking: water that swamped wood takes up, as a fraction of its mass.
        source: where they come from.
    """

    glue: float
    paint: float
    fasteners: float
    contingency: float
    soaking: float
    source: str


@dataclass(frozen=True, slots=True)
class EngineRange:
    """What is usual of an engine saved from a garden tool.

    Attributes:
        mass_low, mass_high: grams, with clutch and tank.
        power_low, power_high: watts.
        source: where the figures come from.
    """

    mass_low: float
    mass_high: float
    power_low: float
    power_high: float
    source: str


@cache
def allowances() -> Allowances:
    """The allowances of the table."""
    return Allowances(**table("outfit")["allowance"])


@cache
def engine_range() -> EngineRange:
    """The usual engine."""
    row = table("outfit")["engine"]
    return EngineRange(row["mass_low"], row["mass_high"], row["power_low"], row["power_high"], row["source"])


@cache
def density(of: str) -> float:
    """Density of the solid matter of a kind of fitting, kg/m3.

    Raises:
        KeyError: the table has no such kind.
    """
    return float(table("outfit")["density"][of])


def density_source() -> str:
    """Where the densities come from."""
    return str(table("outfit")["density"]["source"])


def steel_modulus() -> float:
    """Stiffness of steel, GPa."""
    return float(table("outfit")["steel"]["modulus"])
