"""Keeping a boat's screws from meeting inside the wood: those of two parts may be driven into the same strip."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.screws import ends_within, screw_axes
from hullcut.stock.fasteners import screw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.design.values import Design
    from hullcut.parts.screws import ScrewRow
    from hullcut.parts.values import Part

__all__ = ["kept_apart", "least_apart"]

Array = NDArray[np.float64]

# The axes of two screws stand apart by so many shanks at least: a whole shank of wood is left between the two, and
# neither a bit that wanders nor a thread runs into the other (common practice, no source).
_SHANKS = 2.0
# Parts in the order in which they are screwed on, as far as it matters which of two screws makes way for the other.
_ORDER = ("side", "transom", "bottom", "deck", "hatch")
# A screw slides by steps of this, mm: nobody marks finer.
_STEP = 0.5
# Places that are equally good but for rounding count as equal, so that both hands of a boat stay alike; decimals of mm.
_DECIMALS = 6
_ROUNDING = 1e-6
# Square of the sine of the angle under which two screws count as parallel.
_PARALLEL = 1e-12
# So many places are tried at first: ten millimetres either way.
_FIRST = 41


def least_apart(gauge: int) -> float:
    """How far apart the axes of two screws must stay, from head to point, mm."""
    return _SHANKS * screw(gauge).shank


def kept_apart(design: Design, rows: Sequence[ScrewRow], parts: Mapping[str, Part]) -> list[ScrewRow]:
    """Rows of screws, evenly laid, with those moved that would come too near another anywhere in the wood.

    Where two screws would, the one through the part that is screwed on later makes way: sides, transoms, bottom, decks
    and hatch in this order, parts and rows of one family as they come, those of one row from the stern forward, so that
    both hands come out alike. It slides along its own row, by half millimetres, to a place

    - where it is clear of every screw that stays and of those that have moved before,
    - whose point ends inside the part that takes it, no nearer to the row's ends than any screw may be,
    - not nearer to its neighbours in the row than ten shanks (`Screw.spacing_along`) or, where they stand closer
      anyway, half their even space.

    Of these it takes the one where the gaps beside it go least beyond `fasteners.spacing` (at a row's end: beyond half
    of it and the end distance), then the nearest. So a gap is wider than the design asks only where every free place,
    with its neighbours where they are, would leave one at least as wide. A screw without such a place is left out. All
    others stay exactly where they were.

    Args:
        design: of the boat.
        rows: all screws of the boat.
        parts: by id.

    Returns:
        The rows in the order in which they came; one may have lost all its screws.
    """
    order = sorted(range(len(rows)), key=lambda number: _ORDER.index(parts[rows[number].host].family))
    driven = _driven(rows, order, parts)
    apart = least_apart(design.fasteners.gauge)
    moving = _in_the_way(driven, apart)
    settled = ~np.isin(driven.screw, moving)
    axes = driven.axes.copy()
    kept = list(rows)
    gone: dict[int, list[int]] = {}
    for each in moving:
        number, index = int(driven.row[each]), int(driven.index[each])
        row, lost = kept[number], gone.setdefault(number, [])
        tries = _places_to_try(design, row, index, lost)
        found = _first_free(row, parts, tries, axes[settled], apart)
        if found is None:
            lost.append(index)
            continue
        stop, there = found
        kept[number] = _moved(row, index, stop, there[0])
        own = driven.screw == each
        axes[own] = _of_all_copies(parts[row.host], there)
        settled = settled | own
    for number, lost in gone.items():
        kept[number] = _without(kept[number], lost)
    return kept


def _moved(row: ScrewRow, index: int, stop: float, axis: Array) -> ScrewRow:
    """A row with one screw elsewhere on its line."""
    axes = row.axes.copy()
    axes[index] = axis
    return replace(row, stops=(*row.stops[:index], stop, *row.stops[index + 1 :]), axes=axes)


def _without(row: ScrewRow, lost: Sequence[int]) -> ScrewRow:
    """A row without some of its screws."""
    left = [index for index in range(len(row.stops)) if index not in lost]
    return replace(row, stops=tuple(row.stops[index] for index in left), axes=row.axes[left])


@dataclass(frozen=True, slots=True, eq=False)
class _Driven:
    """All screws of a boat in space, those of every copy of a part.

    Attributes:
        axes: from head to point (m, 2, 3).
        screw: number of the mark that each of them belongs to (m,); they grow in the order in which screws are driven.
        row: number of the row, by the mark's number.
        index: place in the row, by the mark's number.
    """

    axes: Array
    screw: NDArray[np.intp]
    row: NDArray[np.intp]
    index: NDArray[np.intp]


def _driven(rows: Sequence[ScrewRow], order: Sequence[int], parts: Mapping[str, Part]) -> _Driven:
    axes = [np.zeros((0, 2, 3))]
    screws, index = [np.zeros(0, dtype=np.intp)], [np.zeros(0, dtype=np.intp)]
    count = 0
    for number in order:
        row = rows[number]
        host, own = parts[row.host], len(row.stops)
        axes.append(_of_all_copies(host, row.axes[:: row.runs]))
        screws.append(np.tile(np.arange(count, count + own), len(host.places)))
        index.append(np.arange(own)[:: row.runs])
        count += own
    numbers = np.repeat(np.array(order, dtype=np.intp), [len(rows[number].stops) for number in order])
    return _Driven(np.vstack(axes), np.concatenate(screws), numbers, np.concatenate(index))


def _of_all_copies(host: Part, axes: Array) -> Array:
    """The same screws (n, 2, 3) in every copy of their part, copy after copy (copies * n, 2, 3)."""
    return np.vstack([axes + np.array(place) for place in host.places])


def _in_the_way(driven: _Driven, apart: float) -> list[int]:
    """The numbers of the screws that come too near one before them, growing."""
    a, b = _neighbours(driven.axes, driven.axes, apart)
    later = driven.screw[a] > driven.screw[b]
    a, b = a[later], b[later]
    near = _gaps(driven.axes[a], driven.axes[b]) < apart
    return sorted({int(number) for number in driven.screw[a[near]]})


def _places_to_try(design: Design, row: ScrewRow, index: int, lost: Sequence[int]) -> Array:
    """Where along its row a screw may stand (n,) beside those neighbours that are not lost, the best first."""
    spacing = design.fasteners.spacing
    least = min(screw(design.fasteners.gauge).spacing_along, row.space / 2.0)
    whole = row.line.length
    before = next((row.stops[at] for at in range(index - 1, -1, -1) if at not in lost), None)
    after = next((row.stops[at] for at in range(index + 1, len(row.stops)) if at not in lost), None)
    low = row.end if before is None else before + least
    high = whole - row.end if after is None else after - least
    own = row.stops[index]
    # Where it stands now is within these bounds, but for rounding, unless a neighbour has come nearer.
    first, last = math.ceil((low - own) / _STEP - _ROUNDING), math.floor((high - own) / _STEP + _ROUNDING)
    tries = own + _STEP * np.arange(first, last + 1.0)
    at_end = row.end + spacing / 2.0
    behind = tries - at_end if before is None else tries - before - spacing
    ahead = whole - tries - at_end if after is None else after - tries - spacing
    # What is clear where it stands, since others have moved, stays.
    beyond = np.where(tries == own, 0.0, np.maximum(np.maximum(behind, ahead), 0.0))
    # Of two as near, the one towards the row's middle, or from there aft: the same on both hands.
    keys = (row.runs * tries, np.abs(tries - whole / 2.0), np.abs(tries - own), beyond)
    best: Array = tries[np.lexsort(np.round(keys, _DECIMALS))]
    return best


def _first_free(
    row: ScrewRow, parts: Mapping[str, Part], tries: Array, others: Array, apart: float
) -> tuple[float, Array] | None:
    """The first of some places at which a screw is clear of others (m, 2, 3), and its axis (1, 2, 3) there."""
    host, guest = parts[row.host], parts[row.guest]
    # Most find a place among the first few.
    for some in np.split(tries, [_FIRST]):
        if not len(some):
            continue
        axes = screw_axes(host, row.line, some, row.length)
        clear = _clear(_of_all_copies(host, axes), others, apart).reshape(-1, len(some)).all(axis=0)
        free = np.logical_and(clear, ends_within(guest, axes))
        if free.any():
            at = int(np.argmax(free))
            return float(some[at]), axes[at : at + 1]
    return None


def _clear(axes: Array, others: Array, apart: float) -> NDArray[np.bool_]:
    """Whether each of some screws (n, 2, 3) is clear of all others (m, 2, 3)."""
    a, b = _neighbours(axes, others, apart)
    clear = np.ones(len(axes), dtype=bool)
    clear[a[_gaps(axes[a], others[b]) < apart]] = False
    return clear


def _neighbours(axes: Array, others: Array, apart: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs of screws (n, 2, 3), (m, 2, 3) whose middles are so near that they may come too near each other."""
    reach = apart + (_longest(axes) + _longest(others)) / 2.0
    away = axes.mean(axis=1)[:, None] - others.mean(axis=1)[None, :]
    a, b = np.nonzero(np.einsum("ijk,ijk->ij", away, away) < reach**2)
    return a, b


def _longest(axes: Array) -> float:
    return float(np.linalg.norm(axes[:, 1] - axes[:, 0], axis=1).max(initial=0.0))


def _gaps(a: Array, b: Array) -> Array:
    """Least distances (n,) between straight pieces (n, 2, 3) and others, pair by pair, mm.

    Two pieces are nearest either at an end of one of them or where the common perpendicular of their lines meets both.
    """
    along_a, along_b, between = a[:, 1] - a[:, 0], b[:, 1] - b[:, 0], b[:, 0] - a[:, 0]
    ends = [_to_piece(end, b[:, 0], along_b) for end in (a[:, 0], a[:, 1])]
    ends += [_to_piece(end, a[:, 0], along_a) for end in (b[:, 0], b[:, 1])]
    normal = np.cross(along_a, along_b)
    square = np.sum(normal**2, axis=1)
    # Lines that run all but side by side have no one nearest place, and the ends tell how near they come.
    crossing = square > _PARALLEL * np.sum(along_a**2, axis=1) * np.sum(along_b**2, axis=1)
    square = np.where(crossing, square, 1.0)
    s = np.sum(np.cross(between, along_b) * normal, axis=1) / square
    t = np.sum(np.cross(between, along_a) * normal, axis=1) / square
    crossing &= (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    inside = np.where(crossing, np.abs(np.sum(between * normal, axis=1)) / np.sqrt(square), np.inf)
    gaps: Array = np.min([*ends, inside], axis=0)
    return gaps


def _to_piece(points: Array, starts: Array, along: Array) -> Array:
    """Distances (n,) of points from straight pieces, pair by pair, mm."""
    away = points - starts
    share = np.clip(np.sum(away * along, axis=1) / np.sum(along**2, axis=1), 0.0, 1.0)
    distances: Array = np.linalg.norm(away - share[:, None] * along, axis=1)
    return distances
