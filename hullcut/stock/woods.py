"""Woods and plywoods: weight, stiffness and strength, with sources."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from typing import Literal

from hullcut.errors import DesignError, Fault
from hullcut.stock.table_files import table

__all__ = ["WoodData", "find_wood", "wood", "wood_keys", "woods"]


@dataclass(frozen=True, slots=True)
class WoodData:
    """One wood or plywood.

    Attributes:
        key: as written in a design, "yellow-poplar".
        name: in plain words.
        kind: "solid" is sold in boards, "plywood" in sheets.
        density: kg/m3 at 12 % moisture.
        specific_gravity: ovendry mass on volume at 12 % moisture; None for plywoods.
        moe: stiffness along the face grain, GPa; None where no published value is at hand.
        mor: breaking strength along the face grain, MPa; None where no published value is at hand.
        pilot: which column of the pilot-hole table suits it.
        source: where the numbers come from.
        density_mark: "published", "derived" or "from memory".
        strength_mark: the same for `moe` and `mor`; empty where they are None.
    """

    key: str
    name: str
    kind: Literal["solid", "plywood"]
    density: float
    specific_gravity: float | None
    moe: float | None
    mor: float | None
    pilot: Literal["soft", "hard"]
    source: str
    density_mark: str
    strength_mark: str


@cache
def woods() -> tuple[WoodData, ...]:
    """Every wood in the table, in its order."""
    return tuple(
        WoodData(
            key=row["key"],
            name=row["name"],
            kind=row["kind"],
            density=row["density"],
            specific_gravity=row.get("specific_gravity"),
            moe=row.get("moe"),
            mor=row.get("mor"),
            pilot=row["pilot"],
            source=row["source"],
            density_mark=row["density_mark"],
            strength_mark=row.get("strength_mark", ""),
        )
        for row in table("woods")["wood"]
    )


def wood_keys() -> tuple[str, ...]:
    """The keys that may be written for a material."""
    return tuple(each.key for each in woods())


def find_wood(key: str) -> WoodData | None:
    """The wood of that key, or None where there is none."""
    return next((each for each in woods() if each.key == key), None)


def wood(key: str) -> WoodData:
    """The wood of that key.

    Raises:
        DesignError: no wood has that key; the message names the nearest ones.
    """
    found = find_wood(key)
    if found is not None:
        return found
    near = get_close_matches(key, wood_keys(), n=1) or list(wood_keys())
    raise DesignError(Fault("", None, "", f"there is no wood {key!r} in the tables", f"write {' or '.join(near)}"))
