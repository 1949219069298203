"""Fresh and sea water: density and viscosity by temperature."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from hullcut.stock.table_files import table

__all__ = ["STANDARD_GRAVITY", "WaterData", "water"]

STANDARD_GRAVITY = 9.80665
"""m/s2 (standard value, by definition)."""


@dataclass(frozen=True, slots=True)
class WaterData:
    """Water of one kind at one temperature.

    Attributes:
        kind: "fresh" or "sea".
        temperature: degrees Celsius.
        density: kg/m3.
        viscosity: kinematic, m2/s.
        source: where the table comes from.
    """

    kind: Literal["fresh", "sea"]
    temperature: float
    density: float
    viscosity: float
    source: str


@cache
def water(kind: Literal["fresh", "sea"], temperature: float) -> WaterData:
    """Water between 5 and 30 degrees Celsius; between two rows of the table in proportion.

    The viscosity is taken in proportion by its logarithm, which falls nearly straight.

    Raises:
        ValueError: the table does not reach that temperature.
    """
    data = table("water")[kind]
    degrees, density, viscosity = np.array(data["rows"]).T
    if not degrees[0] <= temperature <= degrees[-1]:
        raise ValueError(f"the table of water runs from {degrees[0]:g} to {degrees[-1]:g} degrees Celsius")
    return WaterData(
        kind,
        temperature,
        float(np.interp(temperature, degrees, density)),
        float(np.exp(np.interp(temperature, degrees, np.log(viscosity)))),
        data["source"],
    )
