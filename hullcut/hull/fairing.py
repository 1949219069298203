"""Fairing measured points within the error of reading, and naming the station that bumps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["STRAIGHT_FROM", "Bump", "bumps", "faired", "straight_run"]

Array = NDArray[np.float64]

BUMP_SHARE = 0.5
"""A station bumps where its curvature misses what its neighbours lead one to expect by more than this share of the
greater of theirs (hullcut's own rule)."""

LEAST_MOVE_MM = 0.2
"""Nobody sees or measures less on a batten: half of 1/64 in."""

STRAIGHT_FROM = 4
"""So many stations on one line are no chance of reading: the run is straight (hullcut's own rule)."""

_SAME_SLOPE = 1e-9
_TIE = 1e-9
_MOST_STEPS = 400


def faired(x: Array, values: Array, read_to: float) -> Array:
    """Move values so that the curve through them is as fair as reading errors allow.

    The summed squared third differences, as estimates of the rate of curvature over each span, become least; no value
    moves farther than `read_to`. Solved by an active set: values at their bounds are held, the others solved for.
    Values of a straight run (`straight_run`) were drawn with a straightedge and stay where they are: a bottom that
    planes must not get rocker from its fairing.

    Args:
        x: where the values stand (n,), growing, mm.
        values: as read (n,), mm.
        read_to: greatest move of each, mm.
    """
    x, values = np.asarray(x, dtype=np.float64), np.asarray(values, dtype=np.float64)
    n = len(x)
    if n < 4 or read_to <= 0.0:
        return values.copy()
    rows = _third_differences(x)
    scale = float(np.abs(rows).max())
    rows = rows / scale
    loose = np.flatnonzero(~straight_run(x, values))
    if not len(loose):
        return values.copy()
    # A whisper of pull to the values as read settles what third differences leave open.
    matrix = rows[:, loose].T @ rows[:, loose] + _TIE * np.eye(len(loose))
    force = -rows[:, loose].T @ (rows @ values)
    found = values.copy()
    found[loose] += np.clip(_bounded(matrix, force, read_to), -read_to, read_to)
    return found


def straight_run(x: Array, values: Array) -> NDArray[np.bool_]:
    """Which values stand in a row of `STRAIGHT_FROM` or more that lie on one line exactly, as read."""
    straight = np.zeros(len(x), dtype=bool)
    slopes = np.diff(values) / np.diff(x)
    begin = 0
    for end in range(1, len(slopes) + 1):
        if end == len(slopes) or abs(slopes[end] - slopes[begin]) > _SAME_SLOPE:
            if end - begin + 1 >= STRAIGHT_FROM:
                straight[begin : end + 1] = True
            begin = end
    return straight


def _bounded(matrix: Array, force: Array, most: float) -> Array:
    """The x (n,) within +-most that makes x.matrix.x / 2 - force.x least."""
    move, held = np.zeros(len(force)), np.zeros(len(force))
    for _ in range(_MOST_STEPS):
        free, bound = np.flatnonzero(held == 0.0), np.flatnonzero(held != 0.0)
        target = move.copy()
        if len(free):
            right = force[free] - matrix[np.ix_(free, bound)] @ move[bound]
            target[free] = np.linalg.solve(matrix[np.ix_(free, free)], right)
        over = np.abs(target) > most * (1.0 + 1e-12)
        if not over.any():
            move = target
            pull = np.where(held != 0.0, (force - matrix @ move) * held, np.inf)
            # A value whose bound no longer holds it back is let go; the one that strains most goes first.
            freed = int(np.argmin(pull))
            if not pull[freed] < -1e-12 * max(float(np.abs(force).max()), 1e-30):
                break
            held[freed] = 0.0
            continue
        step = target - move
        limit = np.where(over, (np.sign(target) * most - move) / np.where(step == 0.0, 1.0, step), np.inf)
        first = int(np.argmin(limit))
        move = move + max(float(limit[first]), 0.0) * step
        move[first] = np.sign(target[first]) * most
        held[first] = np.sign(target[first])
    return move


def _third_differences(x: Array) -> Array:
    """Rows that give the third derivative over each run of four places, weighted by the root of its length."""
    n = len(x)
    table = np.eye(n)
    for order in (1, 2, 3):
        table = np.diff(table, axis=0) / (x[order:] - x[:-order])[:, None]
    result: Array = 6.0 * table * np.sqrt(x[3:] - x[:-3])[:, None]
    return result


@dataclass(frozen=True, slots=True)
class Bump:
    """A station off the fair line.

    Attributes:
        station: counted from 0.
        x: mm.
        kind: whether the curvature changes sign there and back, or only jumps.
        excess: how far its curvature misses what is expected, as a share of the neighbours' greater curvature.
        move: by how much its value would have to change, mm, with its sign.
    """

    station: int
    x: float
    kind: Literal["reversal", "jump"]
    excess: float
    move: float

    def words(self, what: str, more: str, less: str) -> str:
        """One sentence for a builder.

        Args:
            what: the line, "the sheer".
            more: which way a greater value lies, "out".
            less: which way a smaller value lies, "in".
        """
        way = more if self.move > 0.0 else less
        seen = "bends the wrong way" if self.kind == "reversal" else "bends unevenly"
        return (
            f"{what} {seen} at station {self.station + 1} (x = {self.x:.0f} mm): move it {way} {abs(self.move):.1f} mm"
        )


def bumps(x: Array, values: Array, read_to: float = 0.0) -> tuple[Bump, ...]:
    """The stations that bump, the worst first.

    The curvature at a station is the second difference of its three points. It should be what a straight line between
    the curvatures of the stations before and after gives. After the worst station is found it is moved to where it
    should be, and the others are looked at again, so that no station is blamed for its neighbour.

    Args:
        x: stations (n,), growing, mm.
        values: there (n,), mm.
        read_to: how exactly they were read, mm; no station is blamed for less.
    """
    x, values = np.asarray(x, dtype=np.float64), np.asarray(values, dtype=np.float64).copy()
    least = max(LEAST_MOVE_MM, read_to)
    found: list[Bump] = []
    for _ in range(len(x) // 2):
        worst = _worst_bump(x, values, least)
        if worst is None or any(worst.station == bump.station for bump in found):
            break
        found.append(worst)
        values[worst.station] += worst.move
    return tuple(found)


def _worst_bump(x: Array, values: Array, least: float) -> Bump | None:
    n = len(x)
    if n < 5:
        return None
    slopes = np.diff(np.eye(n), axis=0) / np.diff(x)[:, None]
    rows = 2.0 * np.diff(slopes, axis=0) / (x[2:] - x[:-2])[:, None]
    bend = rows @ values
    best: tuple[float, Bump] | None = None
    for i in range(1, n - 3):
        share = (x[i + 1] - x[i]) / (x[i + 2] - x[i])
        row = rows[i] - (1.0 - share) * rows[i - 1] - share * rows[i + 1]
        miss = float(row @ values)
        around = max(abs(bend[i - 1]), abs(bend[i + 1]), 1e-12)
        move = -miss / float(row[i + 1])
        if abs(miss) <= BUMP_SHARE * around or abs(move) < least:
            continue
        back = bend[i] * bend[i - 1] < 0.0 and bend[i] * bend[i + 1] < 0.0
        bump = Bump(i + 1, float(x[i + 1]), "reversal" if back else "jump", abs(miss) / float(around), move)
        if best is None or abs(move) > best[0]:
            best = (abs(move), bump)
    return None if best is None else best[1]
