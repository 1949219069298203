"""Drawing frames of flat parts in the boat, and edges that are sawn square."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.panel import Panel

__all__ = ["level_panel", "line", "square_edges", "transverse_panel", "upright_panel"]

Array = NDArray[np.float64]


def transverse_panel(x_aft: float, thickness: float) -> FlatPanel:
    """A panel across the boat, drawn as seen from ahead of it looking aft, so that port is to the right.

    Its outer face looks aft. Flat x is y in the boat, flat y is z.
    """
    middle = (x_aft + thickness / 2.0, 0.0, 0.0)
    return FlatPanel(thickness, middle, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))


def level_panel(z_low: float, thickness: float) -> FlatPanel:
    """A level panel, drawn as seen from above, bow to the right; its outer face looks up."""
    middle = (0.0, 0.0, z_low + thickness / 2.0)
    return FlatPanel(thickness, middle, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def upright_panel(y_near: float, thickness: float, port: bool = True) -> FlatPanel:
    """A panel fore and aft, drawn as seen from the middle of the boat; its outer face looks outboard.

    Args:
        y_near: distance of its inner face from the centre line, mm.
        thickness: mm.
        port: on which side; a panel on the centre line counts as port.
    """
    side = 1.0 if port else -1.0
    middle = (0.0, side * (y_near + thickness / 2.0), 0.0)
    return FlatPanel(thickness, middle, (side, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, side, 0.0))


def line(x: Array | float, y: Array | float, z: Array | float) -> Array:
    """Points in space (n, 3) from coordinates that may be single numbers."""
    return np.column_stack(np.broadcast_arrays(np.atleast_1d(x), np.atleast_1d(y), np.atleast_1d(z))).astype(np.float64)


def square_edges(panel: Panel, corners: Sequence[tuple[str, float, float]]) -> list[EdgeLines]:
    """Edges sawn square to the panel between corners in its flat.

    Args:
        panel: the chart that the corners are drawn in.
        corners: (name of the edge that begins here, x, y), around the part.
    """
    half = panel.thickness / 2.0
    edges = []
    for i, (name, x, y) in enumerate(corners):
        _, next_x, next_y = corners[(i + 1) % len(corners)]
        flat = np.array([[x, y], [next_x, next_y]])
        edges.append(EdgeLines(name, panel.to_space(flat, half), panel.to_space(flat, -half)))
    return edges
