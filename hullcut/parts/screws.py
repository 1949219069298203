"""Where the screws go: along the middle of every cleat, beam and bearer that a panel is screwed to."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.lengths import both
from hullcut.parts.outline import outline_area
from hullcut.parts.values import Mark
from hullcut.stock.fasteners import screw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
}
# Guests that a screw through the panel would split or miss.
_NOT_INTO = ("fin-cleat", "hatch-batten-after", "hatch-batten-fore")


def screw_marks(design: Design, part: Part, prints: Sequence[Landing], parts: Mapping[str, Part]) -> list[Mark]:
    """Screws through a part into what lands on its inner face, evenly spaced along the middle of each print.

    Screws through the bottom stand half a space on from those through the sides, so that they do not meet in a cleat
    (common practice, no source). Where the wood is too thin or too narrow for any screw there is none: clamps hold
    that joint until the glue is hard.

    Args:
        design: of the boat.
        part: under the heads.
        prints: of what lands on it.
        parts: by id, those that land on it among them.
    """
    into = _INTO.get(part.family, ())
    sizes = screw(design.fasteners.gauge)
    found = []
    for each in prints:
        if each.face != "inner" or each.family not in into or len(each.middle) < 2:
            continue
        if any(each.guest.endswith(name) for name in _NOT_INTO):
            continue
        width, depth = _wood_below(part, each, parts[each.guest])
        length = sizes.length_for(part.thickness, depth, design.fasteners.length)
        if length is None or width < sizes.least_width:
            continue
        words = f"#{design.fasteners.gauge} screw, {both(length, design.units)}"
        staggered = part.family in ("bottom", "transom")
        places = _along(each.middle, sizes.end_distance, design.fasteners.spacing, staggered)
        places = _ending_in(part, places, length, parts[each.guest])
        found += [Mark("screw", words, "outer", (place,), sizes.clearance.diameter, length) for place in places]
    return found


def _wood_below(host: Part, landing: Landing, guest: Part) -> tuple[float, float]:
    """How wide and how deep the wood is into which a screw goes: a strip lies on its face or stands on its edge."""
    at = shapely.LineString(landing.middle).interpolate(0.5, normalized=True)
    there = _normal(host, at)
    outline = outline_area(guest.true_outline)
    # A rectangle's shorter side from its area and its border's length; of a strip that bends, too.
    border = outline.length
    strip = (border - math.sqrt(max(border**2 - 16.0 * outline.area, 0.0))) / 4.0
    lies = abs(float(there @ _normal(guest, outline.representative_point()))) > math.cos(math.pi / 4.0)
    return (strip, guest.thickness) if lies else (guest.thickness, strip)


def _ending_in(host: Part, places: Sequence[Point], length: float, guest: Part) -> list[Point]:
    """Those places of a part at which a screw's point stays inside another: edges may slope away."""
    if not places:
        return []
    tips = host.panel.to_space(np.array(places), host.thickness / 2.0 - length)
    ground = outline_area(guest.true_outline)
    within = np.zeros(len(places), dtype=bool)
    for place in guest.places:
        laid = guest.panel.to_flat(tips - np.array(place))
        within |= (np.abs(laid[:, 2]) < guest.thickness / 2.0) & shapely.intersects_xy(ground, laid[:, :2])
    return [place for place, is_within in zip(places, within, strict=True) if is_within]


def _normal(part: Part, at: shapely.Point) -> np.ndarray:
    """The unit normal (3,) of a part's chart at a point of its drawing."""
    flat = np.array([[at.x, at.y]])
    away = (part.panel.to_space(flat, 1.0) - part.panel.to_space(flat, 0.0))[0]
    normal: np.ndarray = away / np.linalg.norm(away)
    return normal


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
