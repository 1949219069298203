"""The boat on the balance bar, seen from astern: how far it hangs clear of the stand's cradles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of
from hullcut.drawing.scene import Role, Text
from hullcut.drawing.views.dimensions import plumb
from hullcut.drawing.views.picture import NEW, PLAIN, Shown
from hullcut.lengths import both
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, hatching, words_beside
from hullcut.packet.places import lifted_by_bar
from hullcut.packet.section import MARGIN, SMALL
from hullcut.parts.stand import cradle_places

if TYPE_CHECKING:
    from hullcut.drawing.scene import Scene
    from hullcut.packet.studio import Studio

__all__ = ["cradle_from_astern"]

# Of the picture's width the drawing takes so much; the rest is for names and the measure.
_DRAWN = 0.5
_NAMES = 26.0


def cradle_from_astern(studio: Studio, width: float, height: float) -> Scene:
    """Boat, cradles and bar from astern; what hangs on the transom is left out, for it would hide the gap.

    Args:
        studio: of the boat, which has a stand.
        width: of the picture, mm on paper.
        height: greatest.
    """
    plan = studio.plan
    lift, stand = lifted_by_bar(plan), studio.owners(*(part for part in plan.parts if part.family == "stand"))
    boat = [owner for owner in studio.afloat if owner not in studio.fittings]
    # The stand is drawn lower, and not the boat higher: where that is at home its view is known already.
    shown = [Shown(owner, PLAIN) for owner in boat]
    shown += [Shown(owner, NEW if owner.startswith("balance-bar") else PLAIN, (0.0, 0.0, -lift)) for owner in stand]
    view = studio.view("astern")
    x0, y0, x1, y1 = view.bounds(shown)
    scale = min(_DRAWN * width / (x1 - x0), (height - 12.0) / (y1 - y0))
    drawn = view.items(shown, scale, (x0, y0))
    drawn += hatching(drawn)
    aft = cradle_places(plan.hull, plan.arrangement)[0]
    thick = plan.design.woods.stand.thickness
    floor = float(plan.hull.bottom_height(np.array([aft, aft + thick])).min())

    def at(y: float, z: float) -> tuple[float, float]:
        return view.at(np.array([aft, y, z]), scale, (x0, y0))

    half = float(plan.hull.half_breadth(np.array([aft]), np.array([floor]))[0])
    low, high = at(-half, floor - lift), at(-half, floor)
    told = both(lift, plan.design.units)
    # The figure over so short a measure is wider than it.
    right = (x1 - x0) * scale + 2.0 + 0.5 * font.text_width(told, SMALL)
    measured = plumb(low[1], high[1], low[0], high[0], right, told, SMALL)
    names = [
        ("balance bar", at(0.5 * half, floor - 0.5 * lift)),
        ("cradle", at(0.8 * half, floor - lift - 8.0)),
        ("boat", at(0.0, floor + 0.5 * plan.design.hull.depth)),
    ]
    bx0, by0, bx1, by1 = bounds_of([*drawn, *measured])
    words = words_beside([*drawn, *measured], [], names, (bx0 - _NAMES, by0, bx1 + _NAMES, by1))
    items = [*drawn, *measured, *words]
    box = bounds_of(items)
    items.append(Text(Role.LABEL, (box[0], box[3] + 1.2), "from astern, without rudder and propeller", END_SIZE))
    return fitted("The boat on the balance bar, from astern", items, width, height, MARGIN)
