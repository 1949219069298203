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
_TRIAL_MM = 2.0
_WORDS = {1: ("out", "in"), 2: ("up", "down")}


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
    for step in _steps(lines, at, family.worst_warp, limit):
        most = MOST_MOVE_MM if best is None else best.distance - _FINEST_MM
        if most < _FINEST_MM:
            break
        found = _least(lines, step, most, limit)
        if found is not None:
            x = float(lines[step.line][step.station, 0])
            best = Move(step.line, step.station + 1, x, found[0], step.word, found[1])
    return best


@dataclass(frozen=True, slots=True)
class _Step:
    """A way of moving one station: its line, number from 0, axis and sign, in words, and how far it should go."""

    line: str
    station: int
    axis: int
    sign: float
    word: str
    guess: float


def _steps(lines: dict[str, Array], at: dict[str, float], warp: float, limit: float) -> list[_Step]:
    """The ways to move the stations next to the worst ruling, those first that seem to need the least.

    How much each does is judged from one small move; the other way round it should do the opposite.
    """
    found = []
    for line in ("sheer", "chine"):
        order = np.argsort(np.abs(lines[line][:, 0] - at[line]), kind="stable")
        for station in sorted(order[:2].tolist()):
            for axis in (1, 2):
                gain = (warp - _warp_after(lines, line, station, axis, _TRIAL_MM)) / _TRIAL_MM
                for sign, word in zip((1.0, -1.0), _WORDS[axis], strict=True):
                    helps = sign * gain
                    guess = (warp - limit) / helps if helps > 1e-9 else np.inf
                    found.append(_Step(line, station, axis, sign, word, guess))
    return sorted(found, key=lambda step: step.guess)


def _warp_after(lines: dict[str, Array], line: str, station: int, axis: int, distance: float) -> float:
    moved = {name: points.copy() for name, points in lines.items()}
    moved[line][station, axis] += distance
    return search_rulings(space_curve(moved["chine"]), space_curve(moved["sheer"]), _COUNT).worst_warp


def _least(lines: dict[str, Array], step: _Step, most: float, limit: float) -> tuple[float, float] | None:
    """The least whole-millimetre move that helps, and the warp after it; None where none up to `most` does."""
    known: dict[float, float] = {}

    def warp(distance: float) -> float:
        if distance not in known:
            known[distance] = _warp_after(lines, step.line, step.station, step.axis, step.sign * distance)
        return known[distance]

    # A move that seems to do no good is only tried at its farthest.
    tried, helps = 0.0, float(np.clip(np.ceil(step.guess), _FINEST_MM, most))
    while warp(helps) > limit:
        if helps >= most:
            return None
        tried, helps = helps, min(np.ceil(1.5 * helps), most)
    while helps - tried > _FINEST_MM:
        middle = float(np.floor((helps + tried) / 2.0))
        # The guess is near: one less is looked at first.
        if tried == 0.0 and helps == np.ceil(step.guess):
            middle = helps - _FINEST_MM
        if warp(middle) <= limit:
            helps = middle
        else:
            tried = middle
    return float(helps), warp(helps)
