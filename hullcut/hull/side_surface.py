"""Chine and sheer of a hull as curves in space, and the side between them, or why it can't be made."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.errors import BuildError, Fault
from hullcut.hull.fairing import faired
from hullcut.hull.ruled_surface import RuledSurface, ruled_surface
from hullcut.hull.ruling_advice import advise
from hullcut.hull.ruling_search import search_rulings
from hullcut.hull.spline_curve import space_curve

if TYPE_CHECKING:
    from hullcut.design.offsets import Offsets
    from hullcut.design.values import Design

__all__ = ["GivenLines", "given_lines", "side_surface"]

Array = NDArray[np.float64]

# Where a fair profile through the points dips below all of them, its lowest place is sought at so many.
_LOOKS = 400


@dataclass(frozen=True, slots=True)
class GivenLines:
    """Chine and sheer of the hull's outer faces as a table of offsets gives them.

    Attributes:
        chine, sheer: points (n, 3), from aft; heights count from the bottom's lowest place.
        moved: greatest move of a value in fairing, mm.
    """

    chine: Array
    sheer: Array
    moved: float


def given_lines(offsets: Offsets, read_to: float) -> GivenLines:
    """Chine and sheer through the points of a table, or faired within the error of reading them.

    Ends on the centre line stay there.

    Args:
        offsets: the table.
        read_to: greatest move of a half breadth or height, mm; 0 to go through every point.
    """
    lines = []
    for points in (np.array(offsets.chine), np.array(offsets.sheer)):
        line = points.copy()
        for axis in (1, 2):
            line[:, axis] = faired(points[:, 0], points[:, axis], read_to)
        line[points[:, 1] == 0.0, 1] = 0.0
        lines.append(line)
    chine, sheer = lines
    if np.allclose(offsets.chine[-1], offsets.sheer[-1]):
        sheer[-1] = chine[-1]
    moved = max(
        float(np.abs(line - np.array(points)).max())
        for line, points in ((chine, offsets.chine), (sheer, offsets.sheer))
    )
    x = np.linspace(chine[0, 0], chine[-1, 0], _LOOKS)
    lowest = float(space_curve(chine).at(x)[:, 2].min())
    lowest = min(lowest, float(chine[:, 2].min()))
    chine[:, 2] -= lowest
    sheer[:, 2] -= lowest
    return GivenLines(chine, sheer, moved)


def side_surface(design: Design, chine: Array, sheer: Array, key: str) -> RuledSurface:
    """The outer face of the port side between two lines.

    Args:
        design: whose side it is.
        chine: points (n, 3), from aft.
        sheer: points (m, 3), from aft.
        key: that is to blame where the side can't be made.

    Raises:
        BuildError: if no sheet can be bent onto both lines; the advice names the least move that helps.
    """
    surface = _surface(_Points(chine.tobytes()), _Points(sheer.tobytes()))
    refused = surface.refusal(design.woods.side.thickness)
    if refused is None and design.laps.deck == "over":
        refused = surface.refusal_above(max(design.woods.deck.thickness, design.woods.hatch.thickness))
    if refused is None:
        return surface
    move = advise(chine, sheer) if surface.family.refusal() is not None else None
    remedy = refused.remedy if move is None else move.words()
    lines = dict(design.lines)
    raise BuildError(Fault(design.file, lines.get(key, lines.get("hull")), key, refused.problem, remedy))


@dataclass(frozen=True, slots=True)
class _Points:
    content: bytes

    @property
    def points(self) -> Array:
        return np.frombuffer(self.content).reshape(-1, 3)


@lru_cache(maxsize=32)
def _surface(chine: _Points, sheer: _Points) -> RuledSurface:
    return ruled_surface(search_rulings(space_curve(chine.points), space_curve(sheer.points)))
