"""Strips and brackets in the corners: chine, sheer, transom and shelf cleats, and knees."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.bends import strain_limit
from hullcut.hull.end_plane import EndPlane
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.hull.form import Hull
    from hullcut.hull.panel import Panel
    from hullcut.parts.values import Part

__all__ = [
    "chine_cleat_top",
    "chine_cleats",
    "chine_is_sawn",
    "chine_strain",
    "knee_free_edge",
    "knees",
    "sheer_cleat_foot",
    "sheer_cleat_fore",
    "sheer_cleats",
    "shelf_cleats",
    "transom_cleats",
]

Array = NDArray[np.float64]

# A guide's point farther than this off the strip's face is none of it, nor one that in the flat stands so much farther
# from the last one than in space.
_OFF_FACE_MM, _FARTHER = 1e-3, 1.2
# An end is found by so many secants; less than so far, mm, or slower than this it is not sought.
_TRIES, _SAME_MM, _SLOWEST = 5, 1e-7, 0.1


def chine_strain(hull: Hull) -> float:
    """Strain of a chine cleat if it were bent up the bow in one piece: its height over twice the radius."""
    return hull.design.cleats.chine_height / (2.0 * hull.bottom_bend()[0])


def chine_is_sawn(hull: Hull) -> bool:
    """Whether a chine cleat would break if it were bent up the bow, so that it is sawn to the curve."""
    limit = strain_limit(hull.design.woods.cleat.material)
    return limit is None or chine_strain(hull) > limit


def _panel(hull: Hull, port: bool) -> Panel:
    return hull.inside_strip(hull.design.woods.cleat.thickness, port)


Ends = tuple["EndPlane | None", "EndPlane | None"]


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip on the side, by its long edges in space, from aft forward.

    Attributes:
        panel: its chart.
        guide: the guided edge's lines on the outer and inner face.
        far: the other long edge's.
    """

    panel: Panel
    guide: tuple[Array, Array]
    far: tuple[Array, Array]


def _strip(hull: Hull, spec: Spec, port: bool, guide: tuple[Array, Array], height: float, up: bool, ends: Ends) -> Part:
    """A strip on the side along a guide edge in space (outer and inner face, port side), `height` wide.

    Args:
        hull: the hull.
        spec: what it is.
        port: which side.
        guide: the guided edge's lines on the outer and inner face, from aft forward.
        height: of the strip, in the flat.
        up: whether the strip lies above its guided edge.
        ends: what it abuts aft and fore; None where it is cut square.
    """
    made = _laid(hull, port, guide, height, up, ends)
    (outer, inner), (far_outer, far_inner) = made.guide, made.far
    names = ("lower", "upper") if up else ("upper", "lower")
    edges = [
        EdgeLines(names[0], outer, inner),
        EdgeLines("fore end", np.array([outer[-1], far_outer[-1]]), np.array([inner[-1], far_inner[-1]])),
        EdgeLines(names[1], far_outer[::-1], far_inner[::-1]),
        EdgeLines("after end", np.array([far_outer[0], outer[0]]), np.array([far_inner[0], inner[0]])),
    ]
    return make_part(hull.design, spec, made.panel, edges)


def _laid(hull: Hull, port: bool, guide: tuple[Array, Array], height: float, up: bool, ends: Ends) -> _Strip:
    panel = _panel(hull, port)
    mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
    outer, inner = guide[0] * mirror, guide[1] * mirror
    half = panel.thickness / 2.0
    flat_outer, flat_inner = panel.to_flat(outer), panel.to_flat(inner)
    whole = min(_on_face(outer, flat_outer, half), _on_face(inner, flat_inner, -half))
    if whole < len(outer):
        ends = (ends[0], None)
    outer, inner, flat_outer, flat_inner = outer[:whole], inner[:whole], flat_outer[:whole], flat_inner[:whole]
    middle = (flat_outer[:, :2] + flat_inner[:, :2]) / 2.0
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(middle, axis=0), axis=1))])
    steps = np.gradient(middle, along, axis=0)
    left = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.linalg.norm(steps, axis=1)[:, None]
    upward = left if port else -left
    parallel = middle + (height if up else -height) * upward
    return _Strip(panel, (outer, inner), _ended(panel, parallel, height, ends))


def _ended(panel: Panel, line: Array, height: float, ends: Ends) -> tuple[Array, Array]:
    """A long edge in space on the outer and the inner face, each carried on or cut to what the strip abuts.

    Args:
        panel: the strip's chart.
        line: the edge (n, 2) in the flat, from aft forward.
        height: of the strip; an end that would move farther than twice that is left square.
        ends: what it abuts aft and fore.
    """
    half = panel.thickness / 2.0
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    square = np.array([0.0, 0.0, along[-1], along[-1]])
    offsets = np.array([half, -half, half, -half])

    def gaps(at: Array) -> Array:
        """How far ahead of what they abut both faces stand, at two places aft and two fore, mm."""
        space = panel.to_space(_on_line(line, along, at), offsets)
        planes = [end or EndPlane(float(space[2 * i, 0]), 0.0) for i, end in enumerate(ends)]
        behind = np.concatenate([planes[i].x(space[2 * i : 2 * i + 2, 2]) for i in (0, 1)])
        found: Array = space[:, 0] - behind
        return found

    stops, before = square, gaps(square)
    trial = square - before
    for _ in range(_TRIES):
        now = gaps(trial)
        moved = trial - stops
        rate = np.where(np.abs(moved) > _SAME_MM, (now - before) / np.where(moved == 0.0, 1.0, moved), 1.0)
        stops, before = trial, now
        trial = trial - now / np.where(np.abs(rate) > _SLOWEST, rate, 1.0)
    kept = np.abs(trial - square) < 2.0 * height
    kept &= np.repeat([end is not None for end in ends], 2)
    stops = np.where(kept, trial, square)
    between = (along > stops[:2].max() + _SAME_MM) & (along < stops[2:].min() - _SAME_MM)
    places = [
        np.vstack([_on_line(line, along, stops[[i]]), line[between], _on_line(line, along, stops[[2 + i]])])
        for i in (0, 1)
    ]
    return panel.to_space(places[0], half), panel.to_space(places[1], -half)


def _on_line(line: Array, along: Array, at: Array) -> Array:
    """Points (k, 2) of a line at distances along it; beyond its ends it runs straight on."""
    points = np.column_stack([np.interp(at, along, line[:, axis]) for axis in (0, 1)])
    for first, last, beyond in ((0, 1, np.minimum(at, 0.0)), (-2, -1, np.maximum(at - along[-1], 0.0))):
        step = line[last] - line[first]
        points += beyond[:, None] * step / np.linalg.norm(step)
    found: Array = points
    return found


@lru_cache(maxsize=8)
def _far_edges(hull: Hull) -> tuple[_Strip, _Strip]:
    """The chine cleat to port as if it were one strip, and the sheer cleat."""
    cleats = hull.design.cleats
    chine = _laid(hull, True, _guide_on_bottom(hull, *_chine_span(hull)), cleats.chine_height, True, _ends(hull))
    sheer = _laid(hull, True, _guide_at(hull, *_sheer_span(hull), None), cleats.sheer_height, False, _ends(hull))
    return chine, sheer


def chine_cleat_top(hull: Hull, plane: EndPlane) -> Array:
    """Where a plane cuts the upper edge of the chine cleat to port: (2, 3), on its outer and on its inner face."""
    return np.array([_where(line, plane) for line in _far_edges(hull)[0].far])


def sheer_cleat_foot(hull: Hull, plane: EndPlane) -> Array:
    """Where a plane cuts the lower edge of the sheer cleat to port: (2, 3), on its outer and on its inner face."""
    return np.array([_where(line, plane) for line in _far_edges(hull)[1].far])


def _where(line: Array, plane: EndPlane) -> Array:
    """Where a line (n, 3) that runs forward crosses a plane; its ends run straight on."""
    gap = line[:, 0] - plane.x(line[:, 2])
    i = int(np.clip(np.searchsorted(gap > 0.0, True), 1, len(line) - 1))
    found: Array = line[i - 1] + (line[i] - line[i - 1]) * (-gap[i - 1] / (gap[i] - gap[i - 1]))
    return found


def _on_face(guide: Array, flat: Array, offset: float) -> int:
    """How many points of a guide (n, 3), from aft, lie on the strip's face that is so far off its middle.

    In a bluff bow the face so deep inside may fold over before it comes to the stem: the strip ends there.
    """
    steps, flat_steps = (np.linalg.norm(np.diff(points, axis=0), axis=1) for points in (guide, flat))
    off = np.abs(flat[:, 2] - offset) > _OFF_FACE_MM
    off[1:] |= flat_steps > _FARTHER * steps + _OFF_FACE_MM
    return int(np.argmax(off)) if off.any() else len(guide)


def _spec(hull: Hull, slug: str, name: str, port: bool, step: str) -> Spec:
    hand: Literal["port", "starboard"] = "port" if port else "starboard"
    return Spec(f"{slug}-{hand}", f"{name}, {hand}", "cleat", hull.design.woods.cleat, hand=hand, step=step)


def _guide_on_bottom(hull: Hull, start: float, stop: float) -> tuple[Array, Array]:
    x = hull.stations(start, stop)
    z = hull.bottom_height(x, hull.bottom_thickness)
    near, far = hull.side_thickness, hull.side_thickness + hull.design.woods.cleat.thickness
    return line(x, hull.half_breadth(x, z, near), z), line(x, hull.half_breadth(x, z, far), z)


def _guide_at(hull: Hull, start: float, stop: float, height: float | None) -> tuple[Array, Array]:
    """A guide edge at one height, or under the deck."""
    x = hull.stations(start, stop)
    z = hull.roof_height(x) if height is None else np.full(len(x), height)
    near, far = hull.side_thickness, hull.side_thickness + hull.design.woods.cleat.thickness
    return line(x, hull.half_breadth(x, z, near), z), line(x, hull.half_breadth(x, z, far), z)


def _ends(hull: Hull) -> Ends:
    """What chine and sheer cleats abut: the transom, and the block or board that closes the bow."""
    if hull.design.hull.bow == "pram":
        return hull.transom_inside, hull.bow_inside
    return hull.transom_inside, EndPlane(hull.bow_room(), 0.0)


def _chine_span(hull: Hull) -> tuple[float, float]:
    return hull.foot_of(hull.transom_inside, hull.bottom_thickness)[0], hull.bow_room()


def _sheer_span(hull: Hull) -> tuple[float, float]:
    return hull.head_of(hull.transom_inside, -hull.deck_drop)[0], sheer_cleat_fore(hull)


def chine_cleats(hull: Hull) -> list[Part]:
    """The chine cleats: one strip a side where it bends, else a straight one and one sawn to the sweep."""
    start, stop = _chine_span(hull)
    split = hull.design.hull.flat_to
    height = hull.design.cleats.chine_height
    ends = _ends(hull)
    middle = EndPlane(split, 0.0)
    made = []
    for port in (True, False):
        if chine_is_sawn(hull):
            aft = _spec(hull, "chine-cleat-after", "Chine cleat, after", port, "straight strip")
            fore = _spec(hull, "chine-cleat-fore", "Chine cleat, fore", port, "sawn to the bow's curve")
            guides = _guide_on_bottom(hull, start, split), _guide_on_bottom(hull, split, stop)
            made.append(_strip(hull, aft, port, guides[0], height, True, (ends[0], middle)))
            made.append(_strip(hull, fore, port, guides[1], height, True, (middle, ends[1])))
        else:
            spec = _spec(hull, "chine-cleat", "Chine cleat", port, "bent up the bow")
            made.append(_strip(hull, spec, port, _guide_on_bottom(hull, start, stop), height, True, ends))
    return made


def sheer_cleats(hull: Hull) -> list[Part]:
    """The strips along the upper edges of the sides, under the decks."""
    guide = _guide_at(hull, *_sheer_span(hull), None)
    height = hull.design.cleats.sheer_height
    made = []
    for port in (True, False):
        spec = _spec(hull, "sheer-cleat", "Sheer cleat", port, "carries the decks")
        made.append(_strip(hull, spec, port, guide, height, False, _ends(hull)))
    return made


def sheer_cleat_fore(hull: Hull) -> float:
    """X where the upper edges of the sheer cleats end: at the block or board that closes the bow, under the deck."""
    if hull.design.hull.bow != "pram" or hull.bow_inside is None:
        return hull.bow_room()
    return hull.head_of(hull.bow_inside, -hull.deck_drop)[0]


def shelf_cleats(hull: Hull) -> list[Part]:
    """The short strips on the sides that carry the radio shelf."""
    radio = hull.design.radio
    guide = _guide_at(hull, radio.shelf_from, radio.shelf_from + radio.shelf_length, radio.shelf_height)
    height = hull.design.cleats.chine_height
    return [
        _strip(
            hull,
            _spec(hull, "shelf-cleat", "Shelf cleat", port, "carries the radio shelf"),
            port,
            guide,
            height,
            False,
            (None, None),
        )
        for port in (True, False)
    ]


def transom_cleats(hull: Hull) -> list[Part]:
    """The strips on the transom's inner face: one along its foot, one up either side; likewise on a bow transom."""
    thickness = hull.design.woods.cleat.thickness
    made = _end_cleats(hull, "transom-cleat", "Transom cleat", hull.transom_inside, faces_aft=True)
    if hull.design.hull.bow == "pram" and hull.bow_inside is not None:
        plane = hull.bow_inside.ahead(-thickness)
        made += _end_cleats(hull, "bow-cleat", "Bow cleat", plane, faces_aft=False)
    return made


def _end_cleats(hull: Hull, slug: str, name: str, after_face: EndPlane, faces_aft: bool) -> list[Part]:
    """Cleats on the inside of a board across one end, their after faces in a plane."""
    cleats = hull.design.cleats
    material = hull.design.woods.cleat
    breadth = material.thickness
    planes = (after_face, after_face.ahead(breadth))
    near, far = hull.side_thickness, hull.side_thickness + breadth
    panel = after_face.panel(breadth, faces_aft)

    def strip(plane: EndPlane, z: Array, y: Array) -> list[Array]:
        return _around(line(plane.x(z), y, z))

    def foot_ring(plane: EndPlane) -> list[Array]:
        floor = hull.foot_of(plane, hull.bottom_thickness)[1]
        z = np.array([floor, floor + cleats.transom_height * float(np.cos(plane.lean))])
        y = hull.half_breadth(plane.x(z), z, far)
        return strip(plane, z[[0, 0, 1, 1]], np.array([-y[0], y[0], y[1], -y[1]]))

    def up_ring(plane: EndPlane) -> list[Array]:
        top, foot = chine_cleat_top(hull, plane), sheer_cleat_foot(hull, plane)
        floor = hull.foot_of(plane, hull.bottom_thickness)[1] + cleats.transom_height * float(np.cos(plane.lean))
        upright = float(np.cos(hull.flare_at(float(plane.x(floor)), floor, near)))
        ends = []
        for corners, least in ((top, floor), (foot, -np.inf)):
            # Its end lies along the other cleat, inward past that, and over the strip along the foot.
            (_, y, z), (_, y_in, z_in) = corners
            inward = y - cleats.transom_height / upright
            ends.append(((y, z), (inward, max(z + (z_in - z) * (inward - y) / (y_in - y), least))))
        (low, low_in), (high, high_in) = ends
        ring = np.array([low_in, low, high, high_in])
        return strip(plane, ring[:, 1], ring[:, 0])

    outer, inner = planes if faces_aft else planes[::-1]
    foot_names = ("lower", "port", "upper", "starboard")
    foot = [EdgeLines(n, o, i) for n, o, i in zip(foot_names, foot_ring(outer), foot_ring(inner), strict=True)]
    spec = Spec(f"{slug}-foot", f"{name}, foot", "cleat", material, step="between the chine cleats")
    made = [make_part(hull.design, spec, panel, foot)]
    for port in (True, False):
        mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
        rings = zip(("lower", "side", "upper", "inner"), up_ring(outer), up_ring(inner), strict=True)
        edges = [EdgeLines(n, o * mirror, i * mirror) for n, o, i in rings]
        spec = _spec(hull, slug, name, port, "in the corner of side and end board")
        # It stands upright in its drawing, and a strip with its grain across would snap.
        spec = replace(spec, wood=replace(material, grain="across")) if material.grain == "along" else spec
        made.append(make_part(hull.design, spec, panel, edges))
    return made


def _around(corners: Array) -> list[Array]:
    return [np.array([corners[i], corners[(i + 1) % len(corners)]]) for i in range(len(corners))]


def knee_free_edge(hull: Hull) -> Array:
    """The after and the fore end of the port knee's free edge from above, x and y in mm, shape (2, 2).

    Of its two faces the one that reaches farther inboard.
    """
    leg = hull.design.cleats.knee_leg
    start, roof = hull.head_of(hull.transom_inside, -hull.deck_drop)
    inset = hull.side_thickness + hull.design.woods.cleat.thickness
    x = np.array([start, start + leg])
    faces = (roof, roof - hull.design.woods.knee.thickness)
    aft, fore = np.min([hull.half_breadth(x, z, inset) for z in faces], axis=0)
    return np.array([[x[0], aft - leg], [x[1], fore]])


def knees(hull: Hull) -> list[Part]:
    """The triangular brackets between transom and sheer cleats, level under the deck."""
    leg = hull.design.cleats.knee_leg
    material = hull.design.woods.knee
    start, roof = hull.head_of(hull.transom_inside, -hull.deck_drop)
    low = roof - material.thickness
    inset = hull.side_thickness + hull.design.woods.cleat.thickness
    x = np.linspace(start, start + leg, 5)
    made = []
    for port in (True, False):
        mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
        faces = []
        for z in (roof, low):
            y = hull.half_breadth(x, z, inset)
            inner = y[0] - leg
            faces.append(
                (
                    line(x, y, z),
                    line(np.array([x[-1], x[0]]), np.array([y[-1], inner]), z),
                    line(x[0], np.array([inner, y[0]]), z),
                )
            )
        names = ("side", "free", "transom")
        edges = [EdgeLines(n, o * mirror, i * mirror) for n, o, i in zip(names, *faces, strict=True)]
        hand: Literal["port", "starboard"] = "port" if port else "starboard"
        spec = Spec(f"knee-{hand}", f"Knee, {hand}", "knee", material, hand=hand, step="stiffens the stern's corner")
        made.append(make_part(hull.design, spec, level_panel(low, material.thickness), edges))
    return made
