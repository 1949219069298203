"""The stand that carries the boat on the bench and lets it rock on its balance point.

Two cradles hold the hull; two rails join them; a balance bar drops into the rails at the balance point and lifts the
hull clear of the cradles.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, square_edges, transverse_panel, upright_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["cradle_places", "stand"]

# Wood outside the hull at a cradle's lips, and play between hull and lip.
_LIP_WIDTH = 22.0
_LIP_PLAY = 2.0
# How far the balance bar lifts the hull clear of the cradles.
_LIFT = 10.0
# Play in the halved joints between rails and what crosses them.
_JOINT_PLAY = 0.4


def cradle_places(hull: Hull, arrangement: Arrangement) -> tuple[float, float]:
    """X of the after faces of the two cradles, either side of the balance point."""
    spacing = hull.design.stand.spacing
    thickness = hull.design.woods.stand.thickness
    return (
        arrangement.balance_x - spacing / 2.0 - thickness / 2.0,
        arrangement.balance_x + spacing / 2.0 - thickness / 2.0,
    )


def stand(hull: Hull, arrangement: Arrangement) -> list[Part]:
    """Both cradles, the rail (two alike) and the balance bar."""
    aft, fore = cradle_places(hull, arrangement)
    return [
        _cradle(hull, "stand-cradle-after", "Stand cradle, after", aft),
        _cradle(hull, "stand-cradle-fore", "Stand cradle, fore", fore),
        _rail(hull, arrangement),
        _bar(hull, arrangement),
    ]


def _rail_height(hull: Hull) -> float:
    return min(50.0, 0.6 * hull.design.stand.height)


def _rail_y(hull: Hull) -> float:
    """Distance of the rails' inner faces from the centre line: well inside the narrowest part of the bottom."""
    return 0.28 * float(hull.half_breadth(np.array([0.0]), 0.0)[0]) * 2.0


def _cradle(hull: Hull, slug: str, name: str, x: float) -> Part:
    sizes = hull.design.stand
    wood = hull.design.woods.stand
    ground = -sizes.height
    across = np.array([x, x + wood.thickness])
    floor = float(hull.bottom_height(across, 0.0).min())
    lip = floor + sizes.lip
    inside = float(hull.half_breadth(across, lip).max()) + _LIP_PLAY
    inside_low = float(hull.half_breadth(across, floor).max()) + _LIP_PLAY
    outside = max(inside, inside_low) + _LIP_WIDTH
    slot, head = _slot(hull, ground)
    near, far = slot
    corners = [
        ("foot", -outside, ground),
        *_slot_corners(-far, -near, ground, head),
        *_slot_corners(near, far, ground, head),
        ("port", outside, ground),
        ("lip, port", outside, lip),
        ("inside, port", inside, lip),
        ("floor", inside_low, floor),
        ("inside, starboard", -inside_low, floor),
        ("lip, starboard", -inside, lip),
        ("starboard", -outside, lip),
    ]
    panel = transverse_panel(x, wood.thickness)
    spec = Spec(slug, name, "stand", wood, step="holds the hull")
    return make_part(hull.design, spec, panel, square_edges(panel, corners))


def _slot(hull: Hull, ground: float) -> tuple[tuple[float, float], float]:
    """Y of a rail slot's two sides, and the height at which it ends."""
    wood = hull.design.woods.stand
    near = _rail_y(hull) - _JOINT_PLAY / 2.0
    return (near, near + wood.thickness + _JOINT_PLAY), ground + _rail_height(hull) / 2.0


def _slot_corners(near: float, far: float, ground: float, head: float) -> list[tuple[str, float, float]]:
    return [
        ("rail slot", near, ground),
        ("rail slot head", near, head),
        ("rail slot", far, head),
        ("foot", far, ground),
    ]


def _rail(hull: Hull, arrangement: Arrangement) -> Part:
    wood = hull.design.woods.stand
    ground = -hull.design.stand.height
    aft, fore = cradle_places(hull, arrangement)
    start, stop = aft - 40.0, fore + wood.thickness + 40.0
    height = _rail_height(hull)
    middle = arrangement.balance_x - wood.thickness / 2.0
    top, notch = ground + height, ground + height / 2.0
    x, z, names = [start, stop, stop], [ground, ground, top], ["foot", "fore end", "top"]
    for place in (fore, middle, aft):
        right, left = place + wood.thickness + _JOINT_PLAY / 2.0, place - _JOINT_PLAY / 2.0
        x += [right, right, left, left]
        z += [top, notch, notch, top]
        names += ["notch", "notch foot", "notch", "top"]
    x.append(start)
    z.append(top)
    names.append("after end")
    near = _rail_y(hull)
    panel = upright_panel(near, wood.thickness)
    faces = []
    for y in (near + wood.thickness, near):
        ring = line(np.array(x), y, np.array(z))
        faces.append([np.array([ring[i], ring[(i + 1) % len(ring)]]) for i in range(len(ring))])
    edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
    spec = Spec(
        "stand-rail",
        "Stand rail",
        "stand",
        wood,
        step="two alike; the cradles and the balance bar drop into its notches",
        places=((0.0, 0.0, 0.0), (0.0, -2.0 * near - wood.thickness, 0.0)),
    )
    return make_part(hull.design, spec, panel, edges)


def _bar(hull: Hull, arrangement: Arrangement) -> Part:
    wood = hull.design.woods.stand
    ground = -hull.design.stand.height
    x = arrangement.balance_x - wood.thickness / 2.0
    foot = ground + _rail_height(hull) / 2.0
    top = float(hull.bottom_height(np.array([arrangement.balance_x]), 0.0)[0]) + _LIFT
    half = float(hull.half_breadth(np.array([0.0]), 0.0)[0]) * 0.9
    panel = transverse_panel(x, wood.thickness)
    gap = hull.design.woods.fin.thickness / 2.0 + 5.0
    sunk = max(-hull.design.fin.depth - 5.0, foot + 12.0)
    corners = [
        ("foot", -half, foot),
        ("port", half, foot),
        ("top", half, top),
        ("fin notch", gap, top),
        ("fin notch foot", gap, sunk),
        ("fin notch", -gap, sunk),
        ("top", -gap, top),
        ("starboard", -half, top),
    ]
    spec = Spec("balance-bar", "Balance bar", "stand", wood, step="drops into the rails to find the balance point")
    return make_part(hull.design, spec, panel, square_edges(panel, corners))
