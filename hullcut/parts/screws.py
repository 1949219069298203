"""Where the screws go: along the middle of every cleat, beam and bearer that a panel is screwed to."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.lengths import both
from hullcut.parts.outline import as_points, outline_area
from hullcut.parts.values import Mark
from hullcut.stock.fasteners import screw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.design.values import Design
    from hullcut.parts.landings import Landing
    from hullcut.parts.values import Part

__all__ = ["ScrewRow", "ends_within", "screw_axes", "screw_rows"]

Array = NDArray[np.float64]

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


@dataclass(frozen=True, slots=True, eq=False)
class ScrewRow:
    """Screws through one part into another, along the middle of the print where the two meet.

    Attributes:
        host: id of the part under the heads.
        guest: id of the part that takes the points.
        line: the print's middle line in the host's drawing.
        runs: 1 where the line runs forward in the boat, or to port where it lies athwart; else -1.
        end: how far from the line's ends they stand at least, mm.
        space: from one to the next where they are evenly laid, mm.
        stops: how far along the line each stands, mm, growing.
        axes: head and point of each in space (n, 2, 3), for the host as its chart places it.
        words: what each mark says.
        diameter: of the hole through the host, mm.
        length: of each screw, mm.
    """

    host: str
    guest: str
    line: shapely.LineString
    runs: int
    end: float
    space: float
    stops: tuple[float, ...]
    axes: Array
    words: str
    diameter: float
    length: float

    def marks(self) -> list[Mark]:
        """The screws as marks of the host."""
        places = as_points(_along(self.line, np.array(self.stops)))
        return [Mark("screw", self.words, "outer", (place,), self.diameter, self.length) for place in places]


def screw_rows(design: Design, part: Part, prints: Sequence[Landing], parts: Mapping[str, Part]) -> list[ScrewRow]:
    """Screws through a part into what lands on its inner face, evenly spaced along the middle of each print.

    Screws through the bottom stand half a space on from those through the sides, so that most do not meet in a cleat
    (common practice, no source); those that still would are moved by `hullcut.parts.screws_apart`. Where the wood is
    too thin or too narrow for any screw there is none: clamps hold that joint until the glue is hard.

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
        guest = parts[each.guest]
        width, depth = _wood_below(part, each, guest)
        length = sizes.length_for(part.thickness, depth, design.fasteners.length)
        if length is None or width < sizes.least_width:
            continue
        words = f"#{design.fasteners.gauge} screw, {both(length, design.units)}"
        staggered = part.family in ("bottom", "transom")
        line = shapely.LineString(each.middle)
        end = min(sizes.end_distance, line.length / 4.0)
        space, stops = _evenly(line.length - 2.0 * end, design.fasteners.spacing, staggered)
        stops = stops + end
        first, *axes, last = screw_axes(part, line, np.array([0.0, *stops, line.length]), length)
        # Compared axis by axis, x first; what differs by rounding only does not count.
        runs = 1 if tuple(np.round(last[0] - first[0], 6)) > (0.0, 0.0, 0.0) else -1
        driven = np.array(axes).reshape(-1, 2, 3)
        within = ends_within(guest, driven)
        if within.any():
            found.append(
                ScrewRow(
                    part.id,
                    each.guest,
                    line,
                    runs,
                    end,
                    space,
                    tuple(stops[within].tolist()),
                    driven[within],
                    words,
                    sizes.clearance.diameter,
                    length,
                )
            )
    return found


def screw_axes(host: Part, line: shapely.LineString, stops: Array, length: float) -> Array:
    """Head and point in space (n, 2, 3) of screws that stand so far along a line of their host's drawing."""
    flat = _along(line, stops)
    face = host.thickness / 2.0
    offsets = np.repeat([face, face - length], len(flat))
    return host.panel.to_space(np.vstack([flat, flat]), offsets).reshape(2, -1, 3).swapaxes(0, 1)


def _along(line: shapely.LineString, stops: Array) -> Array:
    """The points (n, 2) so far along a line."""
    return shapely.get_coordinates(shapely.line_interpolate_point(line, stops))


def ends_within(guest: Part, axes: Array) -> NDArray[np.bool_]:
    """Whether the point of each screw (n, 2, 3) stays inside the part that takes it (n,): edges may slope away."""
    ground = outline_area(guest.true_outline)
    within = np.zeros(len(axes), dtype=np.bool_)
    for place in guest.places:
        laid = guest.panel.to_flat(axes[:, 1] - np.array(place))
        within |= (np.abs(laid[:, 2]) < guest.thickness / 2.0) & shapely.intersects_xy(ground, laid[:, :2])
    return within


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


def _normal(part: Part, at: shapely.Point) -> np.ndarray:
    """The unit normal (3,) of a part's chart at a point of its drawing."""
    flat = np.array([[at.x, at.y]])
    away = (part.panel.to_space(flat, 1.0) - part.panel.to_space(flat, 0.0))[0]
    normal: np.ndarray = away / np.linalg.norm(away)
    return normal


def _evenly(usable: float, spacing: float, staggered: bool) -> tuple[float, Array]:
    """The space between screws on so long a line, mm, and how far along it each stands; staggered, half a space on."""
    if usable <= 0.0:
        return 0.0, np.zeros(0)
    count = max(1, math.ceil(usable / spacing))
    step = usable / count
    stops = np.arange(count) * step + step / 2.0 if staggered else np.arange(count + 1) * step
    return step, stops.astype(np.float64)
