"""Glues by kind: how much, how long, and whose hands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hullcut.errors import DesignError, Fault
from hullcut.stock.table_files import table

__all__ = ["Glue", "glue", "glue_keys"]


_DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Glue:
    """One kind of glue.

    Attributes:
        key: as written in a design.
        name: in plain words.
        spread_low: g/m2, least.
        spread: g/m2, to reckon with.
        spread_high: g/m2, greatest.
        open_minutes: from spreading to closing the joint.
        clamp_minutes: before clamps come off.
        cure_minutes: before full strength.
        coldest: degrees Celsius to work in.
        warmest: degrees Celsius to work in.
        hands: who may use it.
        damped: whether one face is damped first: it hardens by moisture, and what runs out of the joint foams.
        use: how, in a sentence.
        cautions: to print beside every glue step.
        source: where the numbers come from.
        mark: "published" or "from memory".
    """

    key: str
    name: str
    spread_low: float
    spread: float
    spread_high: float
    open_minutes: int
    clamp_minutes: int
    cure_minutes: int
    coldest: float
    warmest: float
    hands: str
    damped: bool
    use: str
    cautions: tuple[str, ...]
    source: str
    mark: str

    @property
    def keep_off(self) -> int:
        """Minutes for which young people keep off a joint that adults glued; 0 where they glue themselves.

        A day at most, for that is when epoxy is handled that takes a week to full strength: common practice, no
        source.
        """
        return min(self.cure_minutes, _DAY) if self.hands == "adults" else 0


@cache
def _glues() -> tuple[Glue, ...]:
    return tuple(Glue(**{**row, "cautions": tuple(row["cautions"])}) for row in table("glues")["glue"])


def glue_keys() -> tuple[str, ...]:
    """The keys that may be written for a glue."""
    return tuple(each.key for each in _glues())


def glue(key: str) -> Glue:
    """The glue of that key.

    Raises:
        DesignError: no glue has that key.
    """
    for each in _glues():
        if each.key == key:
            return each
    raise DesignError(
        Fault("", None, "", f"there is no glue {key!r} in the tables", f"write {' or '.join(glue_keys())}")
    )
