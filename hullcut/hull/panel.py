"""A panel: a middle surface that unrolls flat, with its chart.

Every outline, mark, slot, station and waterline of a part goes through its panel's chart. A chart maps between the
part's flat drawing (x, y, seen with the marked face up) and the boat (x forward, y to port, z up), with an offset
from the middle surface, positive towards the panel's outer face.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

__all__ = ["Panel"]


class Panel(Protocol):
    """What every panel can do."""

    @property
    def thickness(self) -> float:
        """Distance between the faces, mm; the outer face is at offset +thickness/2."""

    def to_flat(self, points: Array) -> Array:
        """Points in space (n, 3) to flat x, y and offset (n, 3), mm."""

    def to_space(self, flat: Array, offset: float | Array) -> Array:
        """Flat points (n, 2) at an offset from the middle surface to points in space (n, 3), mm."""

    def turn(self, flat: Array) -> Array:
        """Angle (n,) that the surface has turned up to the ruling through each flat point, radians.

        Counted from the panel's first ruling, positive where the outer face is the longer one.
        """

    def across(self, flat: Array) -> Array:
        """Unit vectors (n, 2) in the flat, square to the ruling through each flat point, towards growing turn."""

    def ruling_lines(self) -> tuple[Array, Array, Array]:
        """A point (n, 2) and direction (n, 2) of each ruling, and the turn (n,) up to it, radians."""

    def moved(self, dx: float, dy: float) -> Panel:
        """The same panel with its flat drawing shifted by dx, dy."""
