"""The transom from outside with the holes through it, each measured from the centre line and from the bottom."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing.paths import bounds_of, circle, line, polygon
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import words_beside
from hullcut.packet.places import bolt_holes, pushrod_hole, switch_place

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.places import Hole
    from hullcut.packet.studio import Studio

__all__ = ["holes_from_astern"]

_SIZE, _FINE, _SEEN = 2.2, 0.18, 2.4
# Room beside the transom for heights, and between two measures under one another, mm on paper.
_BESIDE, _ROW = 24.0, 4.2
# A hole is drawn no smaller than so, mm on paper.
_LEAST = 0.8


def holes_from_astern(studio: Studio, width: float, height: float, drain: Hole) -> Scene:
    """The transom with the holes for drain plug, pushrod and switch, and the bolts of strut and rudder.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
        drain: the hole for its plug.
    """
    plan = studio.plan
    units = plan.design.units
    ring = _outline(plan)
    half, top = float(np.abs(ring[:, 0]).max()), float(ring[:, 1].max())
    scale = (width - _BESIDE) / (2.0 * half)

    def at(y: float, z: float) -> Point:
        # Seen from astern, port is at the left.
        return (-y * scale, z * scale)

    corners = [at(float(y), float(z)) for y, z in ring]
    items: list[Item] = [Shape(Role.OUTLINE, (polygon(corners),), fill="#f4f4f4", width=0.3)]
    foot, low_edge = float(plan.hull.foot_of(plan.hull.transom, 0.0)[1]), float(ring[:, 1].min())
    broad = float(np.abs(ring[ring[:, 1] < low_edge + 1.0, 0]).max())
    if low_edge - foot > 1.0:
        # The bottom that covers the transom's lower edge: heights are told over its outer face.
        under = [at(broad, low_edge), at(-broad, low_edge), at(-broad, foot), at(broad, foot)]
        items.append(Shape(Role.OUTLINE, (polygon(under),), fill="#e4e4e4", width=0.3))
    items.append(Shape(Role.CENTRE, (line(at(0.0, foot - 4.0), at(0.0, top + 4.0)),)))
    bolts = (*bolt_holes(plan, "strut"), *bolt_holes(plan, "rudder"))
    items += [
        Shape(Role.OUTLINE, (circle(at(bolt.y, bolt.z), bolt.diameter / 2.0 * scale),), width=_FINE) for bolt in bolts
    ]
    pushrod, switch = pushrod_hole(plan), switch_place(plan)
    holes = [("drain plug", drain), ("pushrod in its bellows", pushrod), ("radio's switch", switch)]
    for _, hole in holes:
        radius = max(hole.diameter / 2.0 * scale, _LEAST)
        items.append(Shape(Role.OUTLINE, (circle(at(hole.y, hole.z), radius),), fill=NEW.colour, width=0.3))
    low = at(0.0, foot)[1]
    measures: list[Item] = []
    # The farthest from the centre line first, so that no extension line crosses a figure.
    for row, (_, hole) in enumerate(sorted(holes, key=lambda each: -abs(each[1].y))):
        x, z = at(hole.y, hole.z)
        ends = ((x, 0.0), (z, low)) if x < 0.0 else ((0.0, x), (low, z))
        measures += level(*ends[0], *ends[1], low - 4.0 - _ROW * row, both(abs(hole.y), units), _SIZE)
    measures += _heights(plan, [hole for _, hole in holes], scale, at(-half, 0.0)[0])
    for y, word in ((half, "port"), (-half, "starboard")):
        items.append(Text(Role.LABEL, at(0.6 * y, 0.5 * (foot + top)), word, _SIZE, anchor="middle"))
    drawn = [*items, *measures]
    x0, y0, x1, _ = bounds_of(drawn)
    names = [(name, at(hole.y, hole.z)) for name, hole in holes]
    names.append(("bolts", at(bolts[-1].y, bolts[-1].z)))
    words = words_beside(drawn, [], names, (x0, y0, x1, at(0.0, top)[1] + 12.0))
    items = [*drawn, *words]
    left, _, _, high = bounds_of(items)
    items.append(Text(Role.LABEL, (left, high + 1.0), "from astern; heights over the bottom's outer face", _SEEN))
    return fitted("The transom from outside", items, width, height)


def _outline(plan: BoatPlan) -> np.ndarray:
    """Y and z of the transom's outer face, shape (n, 2), with the edges of bottom and sides that show beside it."""
    transom = next(part for part in plan.parts if part.id.endswith("-transom") and "bow" not in part.id)
    face = transom.panel.to_space(np.array(transom.true_outline), transom.thickness / 2.0)
    return face[:, 1:]


def _heights(plan: BoatPlan, holes: list[Hole], scale: float, edge: float) -> list[Item]:
    """The heights of the holes over the bottom's outer face, beside the transom; one line for those alike.

    Args:
        plan: of the boat.
        holes: to measure.
        scale: paper over boat.
        edge: x of the transom's edge to starboard, mm on paper.
    """
    rows: dict[str, list[Hole]] = {}
    for hole in sorted(holes, key=lambda hole: hole.z):
        rows.setdefault(both(hole.z, plan.design.units), []).append(hole)
    found: list[Item] = []
    for told, alike in rows.items():
        hole = max(alike, key=lambda each: each.y)
        z, end = hole.z * scale, edge + 3.0
        start = -hole.y * scale + max(hole.diameter / 2.0 * scale, _LEAST) + 0.4
        found.append(Shape(Role.DIMENSION, (line((start, z), (end, z)),), width=_FINE))
        found.append(Text(Role.DIMENSION, (end + 0.8, z - 0.36 * _SIZE), told, _SIZE))
    return found
