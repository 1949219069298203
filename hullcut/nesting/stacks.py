"""Matching parts that share a blank: curved sides back to back, curved strips one above another.

The parts of a stack are sawn out of one rectangle with the curved saw, so that they stand a clearance apart, and a
clearance from the rectangle's sides. Only the height of a stack is searched for: parts of nearly one length stand
flush at one end or about the middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from hullcut.nesting.values import Piece, Rules

__all__ = ["Member", "Stack", "find_stacks"]

Array = NDArray[np.float64]

#: a stack is worth its trouble where it is lower than this share of its parts' own blanks together.
_WORTH = 0.92
#: parts of one stack differ in length and in width at most by this share.
_SAME_SIZE = 0.05
#: parts in one stack.
_RUNS = (2, 4, 6)
#: points along a part at which the heights of its sides are taken.
_SAMPLES = 160
#: mm by which parts are moved apart until they truly keep their distance, and how often.
_NUDGE, _NUDGES = 0.05, 80


@dataclass(frozen=True, slots=True)
class Member:
    """A part in a stack: number of its kind, its place, turn and whether it is turned over."""

    kind: int
    x: float
    y: float
    rotation: float
    mirrored: bool


@dataclass(frozen=True, slots=True)
class Stack:
    """Parts in one rectangle of so many mm, clearances at its sides included."""

    members: tuple[Member, ...]
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class _Lying:
    """A part as it lies, its box's corner at 0, 0, and the shift that put it there."""

    kind: int
    rotation: float
    mirrored: bool
    shape: shapely.Polygon
    shift: tuple[float, float]

    @property
    def length(self) -> float:
        return float(self.shape.bounds[2])

    @property
    def width(self) -> float:
        return float(self.shape.bounds[3])


def find_stacks(kinds: Sequence[tuple[int, Piece, int]], rules: Rules) -> list[Stack]:
    """Stacks of parts that are lower than the parts' own blanks.

    Args:
        kinds: number, piece and how many are wanted, of each kind that is not a plain rectangle.
        rules: how the shop cuts.
    """
    found: list[Stack] = []
    for place, (_, one, _) in enumerate(kinds):
        for other in range(place, len(kinds)):
            if _match(one, kinds[other][1]) and (other != place or kinds[place][2] > 1):
                found += _pair(kinds[place], kinds[other], rules)
    return found


def _size(piece: Piece) -> tuple[float, float]:
    return max(x for x, _ in piece.outline), max(y for _, y in piece.outline)


def _match(one: Piece, other: Piece) -> bool:
    near = all(abs(a - b) <= _SAME_SIZE * max(a, b) for a, b in zip(_size(one), _size(other), strict=True))
    return near and one.grain == other.grain


@lru_cache(maxsize=4096)
def _lying(kind: int, piece: Piece, rotation: float, mirrored: bool) -> _Lying:
    shape = shapely.Polygon(piece.outline)
    if mirrored:
        shape = affinity.scale(shape, xfact=-1.0, origin=(0, 0))
    shape = affinity.rotate(shape, rotation, origin=(0, 0))
    x, y = -shape.bounds[0], -shape.bounds[1]
    return _Lying(kind, rotation, mirrored, affinity.translate(shape, x, y), (x, y))


def _ways(kind: int, piece: Piece) -> list[_Lying]:
    """Either end first; turned over too where the part may be and that makes another shape."""
    sides = (False, True) if piece.flip else (False,)
    return [_lying(kind, piece, rotation, mirrored) for mirrored in sides for rotation in (0.0, 180.0)]


@lru_cache(maxsize=1024)
def _pair(one: tuple[int, Piece, int], other: tuple[int, Piece, int], rules: Rules) -> tuple[Stack, ...]:
    """The lowest runs of two kinds in turn, as long as both are wanted."""
    gap = max(rules.clearance, rules.kerf)
    ways = [
        (low, high, slide, _rise(low, high, slide, gap), _rise(high, low, -slide, gap))
        for low in _ways(one[0], one[1])[:2]
        for high in _ways(other[0], other[1])
        for slide in sorted({0.0, low.length - high.length, (low.length - high.length) / 2.0})
    ]
    each = _size(one[1])[1] + _size(other[1])[1] + 4.0 * rules.clearance + 2.0 * rules.kerf
    found = []
    for run in _RUNS:
        wanted = run if one[0] == other[0] else run // 2
        if wanted > min(one[2], other[2]):
            break
        low, high, slide, up, back = min(ways, key=lambda way: round(run / 2 * way[3] + (run / 2 - 1) * way[4], 6))
        height = run / 2 * up + (run / 2 - 1) * back + high.width
        if height + 2.0 * rules.clearance > _WORTH * (run / 2 * each - rules.kerf):
            continue
        stack = _run(low, high, slide, run, gap, rules.clearance)
        if stack is not None:
            found.append(stack)
    return tuple(found)


@lru_cache(maxsize=4096)
def _profile(shape: shapely.Polygon, grown: float, top: bool, xs: tuple[float, float, int]) -> Array:
    """Heights of the upper (or lower) side of an outline grown by a distance, at even places; infinite beside it."""
    ring = np.asarray((shape.buffer(grown) if grown else shape).exterior.coords)
    places = np.linspace(*xs)
    heights = np.full(len(places), -np.inf)
    sign = 1.0 if top else -1.0
    lows, highs = np.minimum(ring[:-1, 0], ring[1:, 0]), np.maximum(ring[:-1, 0], ring[1:, 0])
    firsts, lasts = np.searchsorted(places, lows - 1e-9), np.searchsorted(places, highs + 1e-9)
    over = np.flatnonzero(firsts < lasts)
    counts = lasts[over] - firsts[over]
    edge = np.repeat(over, counts)
    place = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts) + firsts[edge]
    (x0, y0), (x1, y1) = ring[edge].T, ring[edge + 1].T
    upright = np.abs(x1 - x0) < 1e-12
    share = np.where(upright, 0.0, (places[place] - x0) / np.where(upright, 1.0, x1 - x0))
    np.maximum.at(heights, place, sign * (y0 + np.clip(share, 0.0, 1.0) * (y1 - y0)))
    return sign * heights


def _rise(low: _Lying, high: _Lying, slide: float, gap: float) -> float:
    """How far the upper part must stand above the lower one, by the heights of their sides."""
    left, right = min(0.0, slide), max(low.length, slide + high.length)
    xs = (left, right, _SAMPLES)
    upper = _profile(low.shape, gap, True, xs)
    lower = _profile(high.shape, 0.0, False, (left - slide, right - slide, _SAMPLES))
    both = np.isfinite(upper) & np.isfinite(lower)
    return float((upper[both] - lower[both]).max()) if both.any() else 0.0


def _apart(upper: shapely.Polygon, lower: shapely.Polygon, gap: float) -> bool:
    """Whether two parts of a run keep their distance; their boxes tell it of most pairs."""
    return bool(upper.bounds[1] - lower.bounds[3] >= gap or upper.distance(lower) >= gap - 1e-9)


def _run(low: _Lying, high: _Lying, slide: float, run: int, gap: float, clearance: float) -> Stack | None:
    """Parts one above another in turn; None where they can't be brought to keep their distance."""
    placed: list[tuple[_Lying, float, float, shapely.Polygon]] = []
    for number in range(run):
        lying, x = (low, 0.0) if number % 2 == 0 else (high, slide)
        y = 0.0
        if placed:
            below, below_x, below_y, _ = placed[-1]
            y = below_y + _rise(below, lying, x - below_x, gap)
        for _ in range(_NUDGES):
            shape = affinity.translate(lying.shape, x, y)
            if all(_apart(shape, other, gap) for *_, other in placed):
                break
            y += _NUDGE
        else:
            return None
        placed.append((lying, x, y, shape))
    left = min(shape.bounds[0] for *_, shape in placed) - clearance
    foot = min(shape.bounds[1] for *_, shape in placed) - clearance
    members = tuple(
        Member(lying.kind, x + lying.shift[0] - left, y + lying.shift[1] - foot, lying.rotation, lying.mirrored)
        for lying, x, y, _ in placed
    )
    far = max(shape.bounds[2] for *_, shape in placed) + clearance
    top = max(shape.bounds[3] for *_, shape in placed) + clearance
    return Stack(members, far - left, top - foot)
