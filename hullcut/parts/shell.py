"""The shell: sides, bottom, transom and bow transom."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.crown import crown_of
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.hull.end_plane import EndPlane
    from hullcut.hull.form import Hull
    from hullcut.parts.crown import Crown
    from hullcut.parts.values import Part

__all__ = ["bottom", "bow_transom", "fin_slot", "sides", "tab_margin", "transom"]

Array = NDArray[np.float64]

# Points along an edge that runs up a side: the face is all but straight there.
_UP = 9


def sides(hull: Hull) -> tuple[Part, Part]:
    """Both sides, port first; each is drawn as seen from inside the boat."""
    faces = [_side_lines(hull, inset) for inset in (0.0, hull.side_thickness)]
    names = ("lower", "bow end", "sheer", "transom end") if len(faces[0]) == 4 else ("lower", "sheer", "transom end")
    mirror = np.array([1.0, -1.0, 1.0])
    made = []
    for port in (True, False):
        hand: Literal["port", "starboard"] = "port" if port else "starboard"
        turned = np.ones(3) if port else mirror
        edges = [
            EdgeLines(name, outer * turned, inner * turned) for name, outer, inner in zip(names, *faces, strict=True)
        ]
        spec = Spec(
            f"side-{hand}",
            f"Side, {hand}",
            "side",
            hull.design.woods.side,
            hand=hand,
            step="one of a mirrored pair",
        )
        panel = hull.side_port if port else hull.side_starboard
        made.append(make_part(hull.design, spec, panel, edges))
    return made[0], made[1]


def _side_lines(hull: Hull, inset: float) -> list[Array]:
    """The edges of one face of the port side: lower, bow end (but for a sled's tip), sheer, transom end."""
    aft, fore = hull.side_aft, hull.side_fore
    aft_foot, aft_head = hull.foot_of(aft, hull.chine_inset), hull.head_of(aft)
    if fore is None:
        tip = hull.bottom_meets_sheer(hull.chine_inset)
        fore_foot = fore_head = (tip, float(hull.sheer_height(tip)[0]))
    else:
        fore_foot, fore_head = hull.side_foot(fore, hull.chine_inset, inset), hull.side_head(fore, 0.0, inset)
    # Both faces are told at the same places, out to where the outer one ends.
    foot_x = fore_foot[0] if fore is None else hull.side_foot(fore, hull.chine_inset, 0.0)[0]
    head_x = fore_head[0] if fore is None else hull.side_head(fore, 0.0, 0.0)[0]
    low = hull.stations(aft_foot[0], foot_x)
    high = hull.stations(aft_head[0], head_x)
    z_low, z_high = hull.bottom_height(low, hull.chine_inset), hull.sheer_height(high)
    lower = line(low, hull.half_breadth(low, z_low, inset), z_low)
    sheer = line(high[::-1], hull.half_breadth(high, z_high, inset)[::-1], z_high[::-1])
    down = _on_plane(hull, aft, np.linspace(aft_head[1], aft_foot[1], _UP), inset)
    if fore is None:
        return [lower, sheer, down]
    up = np.linspace(fore_foot[1], fore_head[1], _UP)
    return [lower, _on_plane(hull, fore, up, inset), sheer, down]


def _on_plane(hull: Hull, plane: EndPlane, z: Array, inset: float) -> Array:
    """The line in which an end plane, or the centre plane at a pointed stem, cuts a face of the port side."""
    x = hull.side_end(plane, z, inset)
    return line(x, hull.half_breadth(x, z, inset), z)


def bottom(hull: Hull, arrangement: Arrangement) -> Part:
    """The bottom, drawn as seen from above, with the fin slot cut through."""
    under = hull.design.laps.bottom == "under"
    inset = 0.0 if under else hull.side_thickness
    aft, fore = hull.bottom_aft, hull.bottom_fore
    start = hull.foot_of(aft, 0.0)[0]
    stop = hull.length if fore is None else hull.side_foot(fore, 0.0, inset)[0]
    s = hull.profile.at_first_axis(hull.stations(start, stop))
    faces = []
    for depth_in in (0.0, hull.bottom_thickness):
        place = hull.profile.point(s) + depth_in * hull.profile.left(s)
        y = hull.half_breadth(place[:, 0], place[:, 1], inset)
        if fore is None:
            x_fore = hull.bottom_meets_sheer(depth_in)
            z_fore = float(hull.sheer_height(x_fore)[0])
        else:
            x_fore, z_fore = hull.side_foot(fore, depth_in, inset)
        x_aft, z_aft = hull.foot_of(aft, depth_in)
        y_fore = float(hull.half_breadth(np.array([x_fore]), z_fore, inset)[0])
        y_aft = float(hull.half_breadth(np.array([x_aft]), z_aft, inset)[0])
        faces.append(
            (
                line(place[:, 0], -y, place[:, 1]),
                line(x_fore, np.array([-y_fore, y_fore]), z_fore),
                line(place[::-1, 0], y[::-1], place[::-1, 1]),
                line(x_aft, np.array([y_aft, -y_aft]), z_aft),
            )
        )
    allowance = hull.design.laps.trim_allowance
    lapped = allowance if under else 0.0
    fore_extra = allowance if fore is None else lapped
    names = ("starboard", "bow", "port", "transom edge")
    extras = (lapped, fore_extra, lapped, lapped)
    edges = [EdgeLines(n, o, i, e) for n, o, i, e in zip(names, *faces, extras, strict=True)]
    if hull.pointed:
        del edges[1]
    spec = Spec("bottom", "Bottom", "bottom", hull.design.woods.bottom, step="bends up at the bow")
    return make_part(hull.design, spec, hull.bottom, edges, [fin_slot(hull, arrangement)])


def fin_slot(hull: Hull, arrangement: Arrangement) -> Array:
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
    spec = Spec("transom", "Transom", "transom", hull.design.woods.transom, step="closes the stern")
    return _end_board(hull, spec, hull.transom, faces_aft=True, crown=crown_of(hull))


def bow_transom(hull: Hull) -> Part | None:
    """A pram's bow transom, drawn as seen from inside the boat; None for other bows."""
    if hull.bow is None or hull.bow_inside is None or hull.design.hull.bow != "pram":
        return None
    spec = Spec("bow-transom", "Bow transom", "transom", hull.design.woods.transom, step="closes the bow")
    return _end_board(hull, spec, hull.bow_inside, faces_aft=False)


def _end_board(hull: Hull, spec: Spec, after_face: EndPlane, faces_aft: bool, crown: Crown | None = None) -> Part:
    """A board across one end of the boat, whose after face lies in a plane; its upper edge follows a crown."""
    laps = hull.design.laps
    inset = hull.side_thickness if laps.transom == "between" else 0.0
    thickness = spec.wood.thickness
    rings = []
    for plane in (after_face, after_face.ahead(thickness)):
        foot, head = hull.foot_of(plane, hull.chine_inset), hull.head_of(plane)
        up = _on_plane(hull, plane, np.linspace(foot[1], head[1], _UP), inset)
        mirror = np.array([1.0, -1.0, 1.0])
        rings.append(
            (
                np.array([up[0] * mirror, up[0]]),
                up,
                _head(plane, up[-1], crown),
                (up * mirror)[::-1],
            )
        )
    outer, inner = (rings[0], rings[1]) if faces_aft else (rings[1], rings[0])
    names = ("lower", "port", "sheer", "starboard")
    edges = [EdgeLines(name, a, b) for name, a, b in zip(names, outer, inner, strict=True)]
    return make_part(hull.design, spec, after_face.panel(thickness, faces_aft), edges)


def _head(plane: EndPlane, corner: Array, crown: Crown | None) -> Array:
    """The upper edge of an end board from its port corner: level, or raised to a crown between the corners."""
    if crown is None:
        return np.array([corner, corner * np.array([1.0, -1.0, 1.0])])
    y = np.linspace(corner[1], -corner[1], 65)
    z = np.maximum(crown.height(y), corner[2])
    return line(plane.x(z), y, z)
