"""A hatch on a coaming: an opening in the after deck, four strips that stand in it, and a flat lid screwed on top."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from hullcut.errors import BuildError, Fault
from hullcut.parts.cleats import knee_free_edge
from hullcut.parts.crown import crown_of
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line, square_edges, transverse_panel, upright_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from hullcut.hull.form import Hull
    from hullcut.parts.crown import Crown
    from hullcut.parts.values import Part

    Array = NDArray[np.float64]

__all__ = ["Opening", "coaming", "has_coaming", "hatch_battens", "hatch_lid", "opening", "opening_ring"]

# How far the coaming reaches below the deck's lower face, and the lid out over the coaming, mm.
_BELOW_MM, _OVER_MM = 6.0, 5.0
# A smaller opening lets no hand through, mm.
_LEAST_MM = 60.0


@dataclass(frozen=True, slots=True)
class Opening:
    """The opening in the after deck, between the coaming's outer faces.

    Attributes:
        aft: x of its after edge.
        fore: x of its fore edge.
        half: half its width.
        top: z of the coaming's upper edge, one height all round.
    """

    aft: float
    fore: float
    half: float
    top: float


def has_coaming(hull: Hull) -> bool:
    """Whether the hatch is a lid on a coaming; else it is the whole after cover, or there is none."""
    return hull.design.decks.on_coaming


def opening(hull: Hull) -> Opening:
    """The opening: clear of the knees and the transom's cleats, of the sheer cleats, and of the beam at its fore edge.

    Raises:
        BuildError: too little is left to reach in.
    """
    decks, cleats, woods = hull.design.decks, hull.design.cleats, hull.design.woods
    aft = float(hull.transom_inside.x(hull.roof)) + max(cleats.knee_leg, woods.cleat.thickness) + decks.hatch_gap
    fore = decks.after_to - woods.deck_beam.thickness
    x = np.linspace(aft, max(fore, aft), 17)
    low = hull.roof_height(x) - max(cleats.sheer_height, _BELOW_MM)
    inside = hull.half_breadth(x, low, hull.side_thickness + woods.cleat.thickness)
    half = float(inside.min()) - decks.hatch_gap
    if fore - aft < _LEAST_MM or 2.0 * half < _LEAST_MM:
        key = "decks.coaming"
        problem = f"the deck leaves an opening of only {max(fore - aft, 0.0):.0f} by {max(2.0 * half, 0.0):.0f} mm"
        remedy = "write a greater decks.after_to, a shorter cleats.knee_leg, or decks.coaming as 0"
        raise BuildError(Fault(hull.design.file, dict(hull.design.lines).get(key), key, problem, remedy))
    crown = crown_of(hull)
    rise = 0.0 if crown is None else decks.crown
    top = float(hull.roof_height(x).max()) + rise + woods.deck.thickness + decks.coaming
    return Opening(aft, fore, half, top)


def opening_ring(hull: Hull) -> Array:
    """The opening's outline in space (n, 3), along the middle of the deck, without a repeated point."""
    found = opening(hull)
    x = hull.stations(found.aft, found.fore)
    crown = crown_of(hull)
    if crown is not None:
        return _crowned_ring(found, crown, hull.design.woods.deck.thickness / 2.0)
    z = hull.roof_height(x) + hull.design.woods.deck.thickness / 2.0
    starboard, port = line(x, -found.half, z), line(x[::-1], found.half, z[::-1])
    return np.vstack([starboard, port])


def _crowned_ring(found: Opening, crown: Crown, above: float) -> Array:
    """The opening in a crowned deck, whose short sides run over the crown."""
    y = np.linspace(-found.half, found.half, 65)
    z = crown.height(y, above)
    return np.vstack([line(found.fore, y, z), line(found.aft, y[::-1], z[::-1])])


def coaming(hull: Hull) -> list[Part]:
    """The four strips of the coaming, standing on edge in the opening; empty without a coaming."""
    if not has_coaming(hull):
        return []
    found = opening(hull)
    wood = replace(hull.design.woods.batten, grain="along")
    made = []
    x = hull.stations(found.aft, found.fore)
    low = hull.roof_height(x) - _BELOW_MM
    for hand, side in (("port", 1.0), ("starboard", -1.0)):
        faces = [
            (
                line(x, side * y, low),
                line(found.fore, side * y, np.array([low[-1], found.top])),
                line(np.array([found.fore, found.aft]), side * y, found.top),
                line(found.aft, side * y, np.array([found.top, low[0]])),
            )
            for y in (found.half, found.half - wood.thickness)
        ]
        names = ("lower", "fore end", "upper", "after end")
        edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
        spec = Spec(f"coaming-{hand}", f"Coaming, {hand}", "batten", wood, step="stands in the opening of the deck")
        panel = upright_panel(found.half - wood.thickness, wood.thickness, side > 0.0)
        made.append(make_part(hull.design, spec, panel, edges))
    inner = found.half - wood.thickness
    for slug, place in (("after", found.aft), ("fore", found.fore - wood.thickness)):
        panel = transverse_panel(place, wood.thickness)
        floor = float(hull.roof_height(np.array([place, place + wood.thickness])).min()) - _BELOW_MM
        corners = [
            ("lower", -inner, floor),
            ("port", inner, floor),
            ("upper", inner, found.top),
            ("starboard", -inner, found.top),
        ]
        spec = Spec(f"coaming-{slug}", f"Coaming, {slug}", "batten", wood, step="between the two long strips")
        made.append(make_part(hull.design, spec, panel, square_edges(panel, corners)))
    return made


def hatch_lid(hull: Hull) -> Part:
    """The flat lid on the coaming, drawn as seen from above."""
    found = opening(hull)
    wood = hull.design.woods.hatch
    panel = level_panel(found.top, wood.thickness)
    half = found.half + _OVER_MM
    corners = [
        ("starboard", found.aft - _OVER_MM, -half),
        ("fore", found.fore + _OVER_MM, -half),
        ("port", found.fore + _OVER_MM, half),
        ("after", found.aft - _OVER_MM, half),
    ]
    spec = Spec("hatch", "Hatch", "hatch", wood, step="lid on the coaming; held by screws")
    return make_part(hull.design, spec, panel, square_edges(panel, corners))


def hatch_battens(hull: Hull) -> list[Part]:
    """The two battens under the hatch that keep it from sliding; empty without a hatch."""
    decks = hull.design.decks
    if decks.after != "hatch":
        return []
    wood = hull.design.woods.batten
    ahead = decks.batten_width + decks.hatch_gap
    if has_coaming(hull):
        found = opening(hull)
        start = found.aft + wood.thickness + decks.hatch_gap
        stop = found.fore - wood.thickness - ahead
        level: float | None = found.top - wood.thickness
        step = "glued under the hatch, inside the coaming"
    else:
        # Between the knees: farther forward it would hang over the servos and their rods.
        top, low = hull.roof, hull.roof - wood.thickness
        start = max(float(hull.transom_inside.x(z)) for z in (top, low)) + decks.hatch_gap
        stop = decks.after_to - hull.design.woods.deck_beam.thickness - ahead
        level, step = None, "glued under the hatch, clear of knees and sheer cleats"
    made = []
    for slug, name, x in (
        ("hatch-batten-after", "Hatch batten, after", start),
        ("hatch-batten-fore", "Hatch batten, fore", stop),
    ):
        z = float(hull.roof_height(x)[0]) - wood.thickness if level is None else level
        panel = level_panel(z, wood.thickness)
        half = _batten_half(hull, x, z)
        corners = [
            ("starboard", x, -half),
            ("fore", x + decks.batten_width, -half),
            ("port", x + decks.batten_width, half),
            ("after", x, half),
        ]
        spec = Spec(slug, name, "batten", replace(wood, grain="across"), step=step)
        made.append(make_part(hull.design, spec, panel, square_edges(panel, corners)))
    return made


def _batten_half(hull: Hull, x: float, z: float) -> float:
    """Half the length of a hatch batten: clear of the sheer cleats and the knees, or of the coaming."""
    decks = hull.design.decks
    if has_coaming(hull):
        return opening(hull).half - hull.design.woods.batten.thickness - decks.hatch_gap
    inset = hull.side_thickness + hull.design.woods.cleat.thickness
    y = hull.half_breadth(np.array([x, x + decks.batten_width]), z, inset)
    (aft, inner), (fore, outer) = knee_free_edge(hull)
    # A knee's free edge slants; square to it there is as much play as elsewhere.
    slant = math.hypot(1.0, (outer - inner) / (fore - aft))
    knee = inner + (outer - inner) * (x - aft) / (fore - aft) if x < fore else math.inf
    return min(float(y.min()) - decks.hatch_gap, float(knee) - slant * decks.hatch_gap)
