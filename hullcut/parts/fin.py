"""The fin (the small keel) and the cleats that hold its tab inside the hull."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, upright_panel
from hullcut.parts.outline import EdgeLines
from hullcut.parts.shell import tab_margin

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Fin
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

Array = NDArray[np.float64]

__all__ = ["fin", "fin_area_centre", "fin_cleat"]


def fin_area_centre(sizes: Fin) -> float:
    """Centre of the area below the bottom, mm ahead of the root's after end.

    The fin is a trapezium; its centroid follows from the two triangles that a diagonal makes (any book of statics).
    """
    tip_fore = sizes.root - sizes.sweep
    tip_aft = tip_fore - sizes.tip
    upper = (0.0 + sizes.root + tip_fore) / 3.0
    lower = (0.0 + tip_fore + tip_aft) / 3.0
    return (upper * sizes.root + lower * sizes.tip) / (sizes.root + sizes.tip)


def fin(hull: Hull, arrangement: Arrangement) -> Part:
    """The fin on the centre line, drawn with the bow to the right; its tab passes up through the bottom."""
    sizes = hull.design.fin
    wood = hull.design.woods.fin
    margin = tab_margin(sizes.root)
    start = arrangement.fin_x
    root = hull.stations(start, start + sizes.root)
    foot = hull.bottom_height(root, 0.0)
    tab = np.array([start + margin, start + sizes.root - margin])
    top = hull.bottom_height(tab, hull.bottom_thickness) + sizes.tab
    tab_foot = hull.bottom_height(tab, 0.0)
    tip_fore = start + sizes.root - sizes.sweep
    tip_aft = tip_fore - sizes.tip
    depth = float(foot.min()) - sizes.depth
    fore = root[root >= tab[1]]
    aft = root[root <= tab[0]]
    corners_fore = np.unique(np.concatenate([[tab[1]], fore]))[::-1]
    corners_aft = np.unique(np.concatenate([aft, [tab[0]]]))[::-1]
    rings: list[tuple[str, Array, Array]] = [
        ("tip", np.array([tip_aft, tip_fore]), np.array([depth, depth])),
        ("leading edge", np.array([tip_fore, root[-1]]), np.array([depth, foot[-1]])),
        ("root, fore", corners_fore, hull.bottom_height(corners_fore, 0.0)),
        ("tab, fore", tab[[1, 1]], np.array([tab_foot[1], top[1]])),
        ("tab", tab[::-1], top[::-1]),
        ("tab, after", tab[[0, 0]], np.array([top[0], tab_foot[0]])),
        ("root, after", corners_aft, hull.bottom_height(corners_aft, 0.0)),
        ("trailing edge", np.array([root[0], tip_aft]), np.array([foot[0], depth])),
    ]
    half = wood.thickness / 2.0
    panel = upright_panel(-half, wood.thickness)
    edges = [EdgeLines(name, line(x, half, z), line(x, -half, z)) for name, x, z in rings]
    spec = Spec("fin", "Fin", "fin", wood, step="its tab passes up through the slot in the bottom")
    return make_part(hull.design, spec, panel, edges)


def fin_cleat(hull: Hull, arrangement: Arrangement) -> Part:
    """The strip glued along the fin's tab inside the hull, as long as the tab; two alike, one either side."""
    sizes = hull.design.fin
    wood = replace(hull.design.woods.cleat, grain="along")
    half = hull.design.woods.fin.thickness / 2.0
    margin = tab_margin(sizes.root)
    start, stop = arrangement.fin_x + margin, arrangement.fin_x + sizes.root - margin
    x = hull.stations(start, stop)
    low = hull.bottom_height(x, hull.bottom_thickness)
    head = low + sizes.tab
    faces = [
        (
            line(x, y, low),
            line(stop, y, np.array([low[-1], head[-1]])),
            line(x[::-1], y, head[::-1]),
            line(start, y, np.array([head[0], low[0]])),
        )
        for y in (half + wood.thickness, half)
    ]
    names = ("lower", "fore end", "upper", "after end")
    edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
    spec = Spec(
        "fin-cleat",
        "Fin cleat",
        "cleat",
        wood,
        step="one either side of the fin's tab",
        places=((0.0, 0.0, 0.0), (0.0, -2.0 * half - wood.thickness, 0.0)),
    )
    return make_part(hull.design, spec, upright_panel(half, wood.thickness), edges)
