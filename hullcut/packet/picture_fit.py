"""Makes a picture no larger than its room."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hullcut.drawing.paths import bounds_of, transform
from hullcut.drawing.scene import Scene

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item

__all__ = ["fitted"]

# What is shrunk to its room must not stand over it by a rounding.
_SHORT = 1e-9


def fitted(
    title: str,
    items: Sequence[Item],
    width: float,
    height: float = math.inf,
    margin: tuple[float, float] = (1.0, 2.0),
) -> Scene:
    """A scene just round its items, made smaller where it would be wider or higher than it may.

    Args:
        title: of the scene.
        items: what is drawn, mm on paper.
        width: greatest, margins included, mm.
        height: greatest, margins included, mm.
        margin: left free at either side, and above and below, mm.
    """
    aside, over = margin
    x0, y0, x1, y1 = bounds_of(items)
    factor = min(1.0, (width - 2.0 * aside) / (x1 - x0), (height - 2.0 * over) / (y1 - y0))
    if factor < 1.0:
        factor -= _SHORT
        items = [transform(item, scale=factor) for item in items]
        x0, y0, x1, y1 = (factor * value for value in (x0, y0, x1, y1))
    return Scene(title, x0 - aside, y0 - over, x1 + aside, y1 + over, tuple(items))
