"""The crown of the after deck: a cylinder bent across the boat, its straight lines fore and aft.

A sheet bends one way only. So the after deck is crowned where its edges run straight, level and parallel, and nowhere
else; the fore deck, which may follow a rising sheer, stays flat across. The deck's lower face passes through the inner
edges of the sides at the height of the sheer and `crown` above it on the centre line; sides and cleats, cut square,
are planed down to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.errors import BuildError, Fault

if TYPE_CHECKING:
    from hullcut.hull.form import Hull

__all__ = ["Crown", "CrownPanel", "crown_of"]

Array = NDArray[np.float64]

# Edges that stray more than this from a straight, level, parallel run would need the sheet to bend both ways, mm.
_STRAIGHT_MM = 0.3
_RULING_TURN = 0.005


@dataclass(frozen=True, slots=True)
class Crown:
    """The lower face of a crowned deck.

    Attributes:
        radius: of its arc, mm.
        axis: z of the arc's centre.
        half: half breadth at which it stands at the sheer: the inner edge of the sides.
    """

    radius: float
    axis: float
    half: float

    def height(self, y: Array | float, above: float = 0.0) -> Array:
        """Z at y of the lower face, or of the face `above` mm over it."""
        found: Array = self.axis + np.sqrt((self.radius + above) ** 2 - np.asarray(y, dtype=np.float64) ** 2)
        return found

    @property
    def slope(self) -> float:
        """Slope at the sides' inner edge, radians: by how much they are planed off level."""
        return math.asin(self.half / self.radius)


def crown_of(hull: Hull) -> Crown | None:
    """The crown of the after deck; None where it is flat or there is none.

    Raises:
        BuildError: the deck's edges are not straight, level and parallel, or the cover is a hatch without a coaming.
    """
    decks = hull.design.decks
    if decks.crown <= 0.0 or decks.after == "open":
        return None
    if hull.design.laps.deck != "over":
        raise _refused(hull, "a crowned deck must lie over the sides", 'write laps.deck as "over"')
    if decks.after == "hatch" and decks.coaming <= 0.0:
        problem = "a hatch over the whole stern lies on flat battens and cannot be crowned"
        raise _refused(hull, problem, 'write decks.after as "deck", or give it a lid with decks.coaming')
    x = np.linspace(hull.head_of(hull.transom)[0], decks.after_to, 33)
    z = hull.sheer_height(x)
    half = hull.half_breadth(x, z, hull.side_thickness)
    if float(np.ptp(z)) > _STRAIGHT_MM or float(np.ptp(half)) > _STRAIGHT_MM:
        problem = (
            "the after deck's edges are not straight, level and parallel, so the sheet would have to bend two ways"
        )
        remedy = (
            "write decks.crown as 0, or hull.beam_at_transom as hull.beam, with the sheer level abaft decks.after_to"
        )
        raise _refused(hull, problem, remedy)
    reach = float(half.min())
    radius = (reach**2 + decks.crown**2) / (2.0 * decks.crown)
    return Crown(radius, float(z[0]) + decks.crown - radius, reach)


def _refused(hull: Hull, problem: str, remedy: str) -> BuildError:
    lines = dict(hull.design.lines)
    return BuildError(Fault(hull.design.file, lines.get("decks.crown"), "decks.crown", problem, remedy))


@dataclass(frozen=True, slots=True)
class CrownPanel:
    """The chart of a crowned deck, drawn as seen from above, bow to the right; its outer face looks up.

    Attributes:
        thickness: mm.
        crown: its lower face.
        shift: of the flat drawing.
    """

    thickness: float
    crown: Crown
    shift: tuple[float, float] = (0.0, 0.0)

    @property
    def _middle(self) -> float:
        return self.crown.radius + self.thickness / 2.0

    def to_flat(self, points: Array) -> Array:
        """Points in space (n, 3) to flat x, y and offset (n, 3)."""
        points = np.asarray(points, dtype=np.float64)
        up = points[:, 2] - self.crown.axis
        angle = np.arctan2(points[:, 1], up)
        offset = np.hypot(points[:, 1], up) - self._middle
        return np.column_stack([points[:, 0] + self.shift[0], self._middle * angle + self.shift[1], offset])

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset to points in space (n, 3)."""
        flat = np.asarray(flat, dtype=np.float64)
        angle = (flat[:, 1] - self.shift[1]) / self._middle
        radius = self._middle + np.broadcast_to(np.asarray(offset, dtype=np.float64), angle.shape)
        up = self.crown.axis + radius * np.cos(angle)
        return np.column_stack([flat[:, 0] - self.shift[0], radius * np.sin(angle), up])

    @property
    def _first(self) -> float:
        """Angle of the first ruling: well outside the starboard edge."""
        return -1.2 * self.crown.slope - 0.05

    def turn(self, flat: Array) -> Array:
        """Angle (n,) that the surface has turned from its first ruling, at starboard, radians."""
        turned: Array = (np.asarray(flat, dtype=np.float64)[:, 1] - self.shift[1]) / self._middle - self._first
        return turned

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2) to port."""
        return np.tile([0.0, 1.0], (len(flat), 1))

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """A point (n, 2) and direction (n, 2) of each ruling, and the turn (n,) up to it, radians."""
        count = 2 * math.ceil(-self._first / _RULING_TURN) + 1
        angle = np.linspace(self._first, -self._first, count)
        points = np.column_stack([np.full(count, self.shift[0]), self._middle * angle + self.shift[1]])
        return points, np.tile([1.0, 0.0], (count, 1)), angle - self._first

    def moved(self, dx: float, dy: float) -> CrownPanel:
        """The same panel with its flat drawing shifted by dx, dy."""
        return replace(self, shift=(self.shift[0] + dx, self.shift[1] + dy))
