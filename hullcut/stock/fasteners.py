"""Wood screws: shank, pilot and clearance holes, and how close they may stand."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from hullcut.errors import DesignError, Fault
from hullcut.stock.table_files import table

__all__ = ["Bit", "Screw", "screw", "screw_gauges"]

_INCH = Fraction("25.4")
# Lengths that differ by less are one, mm.
_ROUNDING = 0.01


@dataclass(frozen=True, slots=True)
class Bit:
    """A drill bit.

    Attributes:
        name: as marked, "5/64 in".
        diameter: mm.
    """

    name: str
    diameter: float


@dataclass(frozen=True, slots=True)
class Screw:
    """A wood screw of one gauge, with the holes it wants.

    Attributes:
        gauge: its number.
        shank: diameter under the head, mm (ASME B18.6.1).
        root: diameter at the bottom of the thread, mm; tables differ by a fifth.
        pilot_soft: bit for the thread in soft wood.
        pilot_hard: bit for the thread in hard wood.
        clearance: bit for the shank, a free fit.
        edge_distance: least distance from an edge, mm.
        end_distance: least distance from an end along the grain, mm.
        spacing_along: least distance between screws along the grain, mm.
        spacing_across: least distance between screws across the grain, mm.
        spacing_source: where the four distances come from.
        lengths: in which it is sold, mm, growing.
        point_clear: how much wood must be left beyond its point, mm.
        bite: how deep it must go at least into the lower part, mm.
        least_width: of a strip that it does not split, mm.
    """

    gauge: int
    shank: float
    root: float
    pilot_soft: Bit
    pilot_hard: Bit
    clearance: Bit
    edge_distance: float
    end_distance: float
    spacing_along: float
    spacing_across: float
    spacing_source: str
    lengths: tuple[float, ...]
    point_clear: float
    bite: float
    least_width: float

    def length_for(self, through: float, below: float, longest: float) -> float | None:
        """The longest one sold that holds two parts and does not come out behind; None where none does.

        Args:
            through: thickness of the part under its head, mm.
            below: depth of the part that takes its thread, mm.
            longest: that the design wants, mm.
        """
        # What a strip's outline leaves of rounding must not part port from starboard.
        most = min(longest, through + below - self.point_clear) + _ROUNDING
        fitting = [length for length in self.lengths if through + self.bite <= length <= most]
        return max(fitting, default=None)

    def pilot(self, column: Literal["soft", "hard"]) -> Bit:
        """The bit for the thread, by the wood's `pilot` column."""
        return self.pilot_hard if column == "hard" else self.pilot_soft


def _mm(text: str) -> float:
    return float(sum(Fraction(each) for each in text.split()) * _INCH)


def _bit(text: str) -> Bit:
    return Bit(f"{text} in", _mm(text))


def _screw(row: dict[str, Any], spacing: dict[str, Any], length: dict[str, Any]) -> Screw:
    shank = _mm(row["shank"])
    return Screw(
        gauge=row["gauge"],
        shank=shank,
        root=_mm(row["root"]),
        pilot_soft=_bit(row["pilot_soft"]),
        pilot_hard=_bit(row["pilot_hard"]),
        clearance=_bit(row["clearance"]),
        edge_distance=spacing["edge"] * shank,
        end_distance=spacing["end"] * shank,
        spacing_along=spacing["along_grain"] * shank,
        spacing_across=spacing["across_grain"] * shank,
        spacing_source=spacing["source"],
        lengths=tuple(_mm(each) for each in length["kept"]),
        point_clear=_mm(length["point_clear"]),
        bite=_mm(length["bite"]),
        least_width=length["least_width"] * shank,
    )


@cache
def _screws() -> tuple[Screw, ...]:
    rows = table("screws")
    return tuple(_screw(row, rows["spacing"], rows["length"]) for row in rows["screw"])


def screw_gauges() -> tuple[int, ...]:
    """The gauges in the table."""
    return tuple(each.gauge for each in _screws())


def screw(gauge: int) -> Screw:
    """The screw of that gauge.

    Raises:
        DesignError: the table has no such gauge.
    """
    for each in _screws():
        if each.gauge == gauge:
            return each
    known = " or ".join(str(number) for number in screw_gauges())
    raise DesignError(Fault("", None, "", f"there is no screw gauge {gauge} in the tables", f"write {known}"))
