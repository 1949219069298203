"""Which small move of chine or sheer would let a side that twists too much be bent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.ruling_search import WARP_LIMIT_DEG, search_rulings
from hullcut.hull.spline_curve import space_curve

__all__ = ["Move", "advise"]

Array = NDArray[np.float64]

MOST_MOVE_MM = 40.0
"""A greater move makes another boat; the builder should draw it anew."""

# Rulings fewer than for the side itself: the warp is needed to a tenth of a degree only.
_COUNT = 61
_FINEST_MM = 1.0
_WAYS = (("sheer", 1, 1.0, "out"), ("sheer", 1, -1.0, "in"), ("sheer", 2, 1.0, "up"), ("sheer", 2, -1.0, "down"))
_CHINE_WAYS = tuple(("chine", axis, sign, word) for _, axis, sign, word in _WAYS)


@dataclass(frozen=True, slots=True)
class Move:
    """One move that brings the warp under the limit.

    Attributes:
        line: "sheer" or "chine".
        station: of that line, counted from 1.
        x: of the station, mm.
        distance: mm, in whole millimetres.
        way: "out", "in", "up" or "down".
        warp: worst warp after it, degrees.
    """

    line: str
    station: int
    x: float
    distance: float
    way: str
    warp: float

    def words(self) -> str:
        """The move as one sentence."""
        return f"move the {self.line} {self.way} {self.distance:.0f} mm at station {self.station} (x = {self.x:.0f} mm)"


def advise(chine: Array, sheer: Array, limit: float = WARP_LIMIT_DEG) -> Move | None:
    """The least move of one station, next to the worst ruling, that brings the warp under a limit.

    Nothing is changed; None where no move of one station up to `MOST_MOVE_MM` helps, or where none is needed.

    Args:
        chine: points (n, 3) of the chine, forward.
        sheer: points (m, 3) of the sheer, forward.
        limit: greatest warp, degrees.
    """
    lines = {"chine": np.asarray(chine, dtype=np.float64), "sheer": np.asarray(sheer, dtype=np.float64)}
    family = search_rulings(space_curve(lines["chine"]), space_curve(lines["sheer"]), _COUNT)
    if family.worst_warp <= limit:
        return None
    at = {"chine": family.at_chine[family.worst_at], "sheer": family.at_sheer[family.worst_at]}
    best: Move | None = None
    for line, axis, sign, word in (*_WAYS, *_CHINE_WAYS):
        order = np.argsort(np.abs(lines[line][:, 0] - at[line]), kind="stable")
        for station in sorted(order[:2].tolist()):
            most = MOST_MOVE_MM if best is None else best.distance - _FINEST_MM
            if most < _FINEST_MM:
                return best
            found = _least(lines, line, station, axis, sign, most, limit)
            if found is not None:
                x = float(lines[line][station, 0])
                best = Move(line, station + 1, x, found[0], word, found[1])
    return best


def _least(
    lines: dict[str, Array], line: str, station: int, axis: int, sign: float, most: float, limit: float
) -> tuple[float, float] | None:
    """The least whole-millimetre move that helps, and the warp after it; None where none up to `most` does."""

    def warp(distance: float) -> float:
        moved = {name: points.copy() for name, points in lines.items()}
        moved[line][station, axis] += sign * distance
        return search_rulings(space_curve(moved["chine"]), space_curve(moved["sheer"]), _COUNT).worst_warp

    tried, helps = 0.0, None
    for distance in (_FINEST_MM, 2.0, 4.0, 8.0, 16.0, 28.0, MOST_MOVE_MM):
        distance = min(distance, most)
        if warp(distance) <= limit:
            helps = distance
            break
        tried = distance
        if distance >= most:
            return None
    if helps is None:
        return None
    while helps - tried > _FINEST_MM:
        middle = float(np.floor((helps + tried) / 2.0))
        if warp(middle) <= limit:
            helps = middle
        else:
            tried = middle
    return helps, warp(helps)
