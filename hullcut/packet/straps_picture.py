"""Pictures of a bottom and of a fore deck held down by straps until their glue is hard."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing.views.picture import NEW, PLAIN, Shown, View
from hullcut.drawing.views.solids import box_solid, loft_solid
from hullcut.packet.dot_places import names_seen
from hullcut.packet.pace import CLAMP_EVERY
from hullcut.packet.special_pictures import worded

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.drawing.views.solids import Facet
    from hullcut.packet.studio import Direction, Studio

__all__ = ["STRAP_EVERY", "strapped_bottom", "strapped_deck", "straps_on_the_bottom"]

STRAP_EVERY = 76.2
"""Between straps over a deck whose edges take no screws, mm: common practice, no source."""

# A strap as it is drawn: how wide it is, and how far off what it holds, mm.
_WIDE, _OFF = 25.0, 1.5
# A scrap stick across the bottom as it is drawn, wide and thick, mm.
_STICK = (20.0, 12.0)
# The first and the last strap stand so far from the ends, mm.
_FROM_ENDS = (40.0, 70.0)
# The building board as it is drawn: beyond the hull's side, and thick, mm.
_BEYOND, _THICK = 40.0, 18.0
# Greatest height of a picture, mm on paper.
_HIGH = 46.0

Corners = list[tuple[float, float]]


def straps_on_the_bottom(plan: BoatPlan) -> int:
    """How many straps hold a bottom without screws along its edges, each with a stick under it."""
    bottom = next(part for part in plan.parts if part.family == "bottom")
    return math.ceil(bottom.finished_length / CLAMP_EVERY)


def strapped_bottom(studio: Studio, width: float, height: float) -> Scene:
    """The hull keel up on its board, a strap round both over each stick.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan, hull = studio.plan, studio.plan.hull
    half, under = plan.design.hull.beam / 2.0 + _BEYOND, float(hull.sheer_height(np.array([0.0, hull.length])).max())
    bodies: dict[str, tuple[Facet, ...]] = {
        "board": box_solid((-_BEYOND, -half, under), (hull.length + _BEYOND, half, under + _THICK))
    }
    for number, x in enumerate(np.linspace(_FROM_ENDS[0], hull.length - _FROM_ENDS[1], straps_on_the_bottom(plan)), 1):
        low, across = _bottom(plan, float(x))
        stick = low - _STICK[1]
        bodies[f"stick {number}"] = box_solid(
            (float(x) - _STICK[0] / 2.0, -across, stick), (float(x) + _STICK[0] / 2.0, across, low)
        )
        top = under + _THICK + _OFF
        bodies[f"strap {number}"] = _strap(float(x), [(across, stick - _OFF), (half + _OFF, under), (half + _OFF, top)])
    return _picture(studio, "The bottom under straps", "keel up", bodies, ("stick", "strap"), width, height)


def strapped_deck(studio: Studio, width: float, height: float) -> Scene:
    """The hull with its fore deck, straps round both.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan, hull = studio.plan, studio.plan.hull
    start, stop = plan.design.decks.fore_from + _WIDE, hull.length - _FROM_ENDS[1]
    bodies: dict[str, tuple[Facet, ...]] = {}
    for number, x in enumerate(np.linspace(start, stop, max(2, math.ceil((stop - start) / STRAP_EVERY) + 1)), 1):
        at = np.array([float(x)])
        low, across = _bottom(plan, float(x))
        sheer = float(hull.sheer_height(at)[0])
        broad = float(hull.half_breadth(at, np.array([sheer]))[0]) + _OFF
        top = float(hull.roof_height(at)[0]) + plan.design.woods.deck.thickness + _OFF
        bodies[f"strap {number}"] = _strap(
            float(x), [(across, low - _OFF), (broad, max(sheer, top - 1.0)), (broad - 1.0, top)]
        )
    return _picture(studio, "The fore deck under straps", "quarter", bodies, ("strap",), width, height)


def _bottom(plan: BoatPlan, x: float) -> tuple[float, float]:
    """Height of the bottom's outer face at a place along the boat, and half its width with what stands over."""
    at = np.array([x])
    low = float(plan.hull.bottom_height(at)[0])
    return low, float(plan.hull.half_breadth(at, np.array([low]))[0]) + plan.design.laps.trim_allowance + _OFF


def _strap(x: float, port: Corners) -> tuple[Facet, ...]:
    """A band about a place along the boat through corners (y, z) to port, from below upward, and to starboard."""
    ring = [*port, *((-y, z) for y, z in port[::-1])]
    ends = [np.array([(x + side * _WIDE / 2.0, y, z) for y, z in ring]) for side in (-1.0, 1.0)]
    # The two first facets would fill the band.
    return loft_solid(ends[0], ends[1])[2:]


def _picture(
    studio: Studio,
    title: str,
    direction: Direction,
    added: dict[str, tuple[Facet, ...]],
    named: Sequence[str],
    width: float,
    height: float,
) -> Scene:
    """The hull's shell with what is strapped to it and what straps it."""
    families = ("side", "transom", "nose_block", "bottom", *(("deck",) if direction != "keel up" else ()))
    parts = [part for part in studio.plan.parts if part.family in families and "after-deck" not in part.id]
    owners = studio.owners(*parts)
    bodies = {owner: studio.bodies[owner] for owner in owners} | added
    view = View(bodies, studio.view(direction).eye)
    shown = [Shown(owner, PLAIN) for owner in owners]
    shown += [Shown(owner, NEW if owner.startswith(("strap", "stick")) else PLAIN) for owner in added]
    room = (width, min(height, _HIGH) - 8.0)
    drawn = view.picture(title, shown, *room)
    scale, origin, _ = view.frame(shown, *room)
    alike = {word: [owner for owner in added if owner.startswith(word)] for word in named}
    names, elsewhere = names_seen(view, shown, alike, scale, origin)
    return worded(drawn, [], names, width, elsewhere)
