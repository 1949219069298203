"""The shell: sides, bottom and transom."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, transverse_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["bottom", "fin_slot", "sides", "transom"]

# Points along an edge that runs up a side: the face is all but straight there.
_UP = 9


def sides(hull: Hull) -> tuple[Part, Part]:
    """Both sides, port first; each is drawn as seen from inside the boat."""
    tip = hull.bottom_reaches(hull.depth, hull.chine_inset)
    x = hull.stations(hull.side_aft, tip)
    faces = []
    for inset in (0.0, hull.side_thickness):
        low = hull.bottom_height(x, hull.chine_inset)
        up = np.linspace(hull.depth, low[0], _UP)
        sheer = hull.half_breadth(x, hull.depth, inset)
        end = hull.half_breadth(np.full(_UP, x[0]), up, inset)
        faces.append(
            (
                line(x, hull.half_breadth(x, low, inset), low),
                line(x[::-1], sheer[::-1], hull.depth),
                line(x[0], end, up),
            )
        )
    mirror = np.array([1.0, -1.0, 1.0])
    made = []
    for port in (True, False):
        hand = "port" if port else "starboard"
        turned = np.ones(3) if port else mirror
        edges = [
            EdgeLines(name, outer * turned, inner * turned)
            for name, outer, inner in zip(("lower", "sheer", "transom end"), *faces, strict=True)
        ]
        spec = Spec(
            f"side-{hand}",
            f"Side, {hand}",
            "side",
            hull.design.woods.side,
            hand=hand,  # type: ignore[arg-type]
            step="one of a mirrored pair",
        )
        panel = hull.side_port if port else hull.side_starboard
        made.append(make_part(hull.design, spec, panel, edges))
    return made[0], made[1]


def bottom(hull: Hull, arrangement: Arrangement) -> Part:
    """The bottom, drawn as seen from above, with the fin slot cut through."""
    thickness = hull.bottom_thickness
    inset = 0.0 if hull.design.laps.bottom == "under" else hull.side_thickness
    s = hull.profile.at_first_axis(hull.stations(hull.bottom_aft, hull.length))
    faces = []
    for depth_in in (0.0, thickness):
        place = hull.profile.point(s) + depth_in * hull.profile.left(s)
        y = hull.half_breadth(place[:, 0], place[:, 1], inset)
        x_bow = hull.bottom_reaches(hull.depth, depth_in)
        y_bow = float(hull.half_breadth(np.array([x_bow]), hull.depth, inset)[0])
        faces.append(
            (
                line(place[:, 0], -y, place[:, 1]),
                line(x_bow, np.array([-y_bow, y_bow]), hull.depth),
                line(place[::-1, 0], y[::-1], place[::-1, 1]),
                line(place[0, 0], np.array([y[0], -y[0]]), place[0, 1]),
            )
        )
    allowance = hull.design.laps.trim_allowance
    lapped = allowance if hull.design.laps.bottom == "under" else 0.0
    edges = [
        EdgeLines(name, outer, inner, extra)
        for name, outer, inner, extra in zip(
            ("starboard", "bow", "port", "transom edge"),
            *faces,
            (lapped, allowance, lapped, lapped),
            strict=True,
        )
    ]
    spec = Spec("bottom", "Bottom", "bottom", hull.design.woods.bottom, step="bends up at the bow")
    return make_part(hull.design, spec, hull.bottom, edges, [fin_slot(hull, arrangement)])


def fin_slot(hull: Hull, arrangement: Arrangement) -> np.ndarray:
    """Corners in space (4, 3) of the slot for the fin's tab, on the bottom's middle surface."""
    fin = hull.design.fin
    half = hull.design.woods.fin.thickness / 2.0
    margin = tab_margin(fin.root)
    x = np.array([0.0, fin.root - 2.0 * margin]) + arrangement.fin_x + margin
    z = hull.bottom_height(x, hull.bottom_thickness / 2.0)
    return line(x[[0, 1, 1, 0]], np.array([-half, -half, half, half]), z[[0, 1, 1, 0]])


def tab_margin(root: float) -> float:
    """How far the fin's tab stands back from either end of the root, mm, so that shoulders cover the slot."""
    return 0.08 * root


def transom(hull: Hull) -> Part:
    """The transom, drawn as seen from inside the boat."""
    laps = hull.design.laps
    inset = hull.side_thickness if laps.transom == "between" else 0.0
    foot = hull.bottom_thickness if laps.bottom == "under" else 0.0
    faces = []
    for x in (0.0, hull.transom_thickness):
        up = np.linspace(foot, hull.depth, _UP)
        y = hull.half_breadth(np.full(_UP, x), up, inset)
        faces.append(
            (
                line(x, np.array([-y[0], y[0]]), foot),
                line(x, y, up),
                line(x, np.array([y[-1], -y[-1]]), hull.depth),
                line(x, -y[::-1], up[::-1]),
            )
        )
    edges = [
        EdgeLines(name, outer, inner)
        for name, outer, inner in zip(("lower", "port", "sheer", "starboard"), *faces, strict=True)
    ]
    spec = Spec("transom", "Transom", "transom", hull.design.woods.transom, step="closes the stern")
    return make_part(hull.design, spec, transverse_panel(0.0, hull.transom_thickness), edges)
