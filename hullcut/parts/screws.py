"""Where the screws go: along the middle of every cleat, beam and bearer that a panel is screwed to."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.parts.values import Mark
from hullcut.stock.fasteners import screw

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.design.values import Design
    from hullcut.parts.landings import Landing
    from hullcut.parts.values import Part, Point

__all__ = ["screw_marks"]

# Into what each panel is screwed; screws go only into cleats, beams, bearers and the nose block.
_INTO: dict[str, tuple[str, ...]] = {
    "side": ("cleat", "nose_block"),
    "bottom": ("cleat", "bearer", "nose_block"),
    "transom": ("cleat",),
    "deck": ("deck_beam", "cleat", "nose_block"),
    "hatch": ("deck_beam", "cleat", "batten"),
    "shelf": ("cleat",),
}
# Guests that a screw through the panel would split or miss.
_NOT_INTO = ("fin-cleat", "hatch-batten-after", "hatch-batten-fore")


def screw_marks(design: Design, part: Part, prints: Sequence[Landing]) -> list[Mark]:
    """Screws through a part into what lands on its inner face, evenly spaced along the middle of each print.

    Screws through the bottom stand half a space on from those through the sides, so that they do not meet in a cleat
    (common practice, no source).
    """
    into = _INTO.get(part.family, ())
    sizes = screw(design.fasteners.gauge)
    words = f"#{design.fasteners.gauge} screw"
    found = []
    for each in prints:
        if each.face != "inner" or each.family not in into or len(each.middle) < 2:
            continue
        if any(each.guest.endswith(name) for name in _NOT_INTO):
            continue
        staggered = part.family in ("bottom", "transom")
        places = _along(each.middle, sizes.end_distance, design.fasteners.spacing, staggered)
        found += [Mark("screw", words, "outer", (place,), sizes.clearance.diameter) for place in places]
    return found


def _along(middle: Sequence[Point], end: float, spacing: float, staggered: bool) -> list[Point]:
    line = shapely.LineString(middle)
    end = min(end, line.length / 4.0)
    usable = line.length - 2.0 * end
    if usable <= 0.0:
        return []
    count = max(1, math.ceil(usable / spacing))
    step = usable / count
    stops = np.arange(count) * step + step / 2.0 if staggered else np.arange(count + 1) * step
    return [(point.x, point.y) for point in (line.interpolate(end + float(stop)) for stop in stops)]
