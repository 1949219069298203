"""Strips and brackets in the corners: chine, sheer, transom and shelf cleats, and knees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.checks import strain_limit
from hullcut.hull.slope_panel import SlopePanel, slope_panel
from hullcut.parts.decks import nose_from
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line, transverse_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = [
    "chine_cleats",
    "chine_is_sawn",
    "chine_strain",
    "knees",
    "sheer_cleats",
    "shelf_cleats",
    "transom_cleats",
]

Array = NDArray[np.float64]


def chine_strain(hull: Hull) -> float:
    """Strain of a chine cleat if it were bent up the bow in one piece: its height over twice the radius."""
    return hull.design.cleats.chine_height * hull.bottom_sweep.curvature / 2.0


def chine_is_sawn(hull: Hull) -> bool:
    """Whether a chine cleat would break if it were bent up the bow, so that it is sawn to the curve."""
    limit = strain_limit(hull.design.woods.cleat.material)
    return limit is None or chine_strain(hull) > limit


def _panel(hull: Hull, port: bool) -> SlopePanel:
    breadth = hull.design.woods.cleat.thickness
    return slope_panel(hull.plan, hull.depth, hull.flare, breadth, hull.side_thickness, port)


def _strip(hull: Hull, spec: Spec, port: bool, guide: tuple[Array, Array], height: float, up: bool) -> Part:
    """A strip on the side along a guide edge in space (outer and inner face, port side), `height` wide.

    Args:
        hull: the hull.
        spec: what it is.
        port: which side.
        guide: the guided edge's lines on the outer and inner face, from aft forward.
        height: of the strip, in the flat.
        up: whether the strip lies above its guided edge.
    """
    panel = _panel(hull, port)
    mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
    outer, inner = guide[0] * mirror, guide[1] * mirror
    half = panel.thickness / 2.0
    middle = (panel.to_flat(outer)[:, :2] + panel.to_flat(inner)[:, :2]) / 2.0
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(middle, axis=0), axis=1))])
    steps = np.gradient(middle, along, axis=0)
    left = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.linalg.norm(steps, axis=1)[:, None]
    upward = left if port else -left
    parallel = middle + (height if up else -height) * upward
    other_outer, other_inner = panel.to_space(parallel, half), panel.to_space(parallel, -half)
    names = ("lower", "upper") if up else ("upper", "lower")
    edges = [
        EdgeLines(names[0], outer, inner),
        EdgeLines("fore end", np.array([outer[-1], other_outer[-1]]), np.array([inner[-1], other_inner[-1]])),
        EdgeLines(names[1], other_outer[::-1], other_inner[::-1]),
        EdgeLines("after end", np.array([other_outer[0], outer[0]]), np.array([other_inner[0], inner[0]])),
    ]
    return make_part(hull.design, spec, panel, edges)


def _spec(hull: Hull, slug: str, name: str, port: bool, step: str) -> Spec:
    hand: Literal["port", "starboard"] = "port" if port else "starboard"
    return Spec(f"{slug}-{hand}", f"{name}, {hand}", "cleat", hull.design.woods.cleat, hand=hand, step=step)


def _guide_on_bottom(hull: Hull, start: float, stop: float) -> tuple[Array, Array]:
    x = hull.stations(start, stop)
    z = hull.bottom_height(x, hull.bottom_thickness)
    near, far = hull.side_thickness, hull.side_thickness + hull.design.woods.cleat.thickness
    return line(x, hull.half_breadth(x, z, near), z), line(x, hull.half_breadth(x, z, far), z)


def _guide_at(hull: Hull, start: float, stop: float, z: float) -> tuple[Array, Array]:
    x = hull.stations(start, stop)
    near, far = hull.side_thickness, hull.side_thickness + hull.design.woods.cleat.thickness
    return line(x, hull.half_breadth(x, z, near), z), line(x, hull.half_breadth(x, z, far), z)


def chine_cleats(hull: Hull) -> list[Part]:
    """The chine cleats: one strip a side where it bends, else a straight one and one sawn to the sweep."""
    start, stop = hull.transom_thickness, nose_from(hull)
    split = hull.design.hull.flat_to
    height = hull.design.cleats.chine_height
    made = []
    for port in (True, False):
        if chine_is_sawn(hull):
            aft = _spec(hull, "chine-cleat-after", "Chine cleat, after", port, "straight strip")
            fore = _spec(hull, "chine-cleat-fore", "Chine cleat, fore", port, "sawn to the bow's curve")
            made.append(_strip(hull, aft, port, _guide_on_bottom(hull, start, split), height, up=True))
            made.append(_strip(hull, fore, port, _guide_on_bottom(hull, split, stop), height, up=True))
        else:
            spec = _spec(hull, "chine-cleat", "Chine cleat", port, "bent up the bow")
            made.append(_strip(hull, spec, port, _guide_on_bottom(hull, start, stop), height, up=True))
    return made


def sheer_cleats(hull: Hull) -> list[Part]:
    """The strips along the upper edges of the sides, under the decks."""
    guide = _guide_at(hull, hull.transom_thickness, nose_from(hull), hull.roof)
    height = hull.design.cleats.sheer_height
    return [
        _strip(
            hull,
            _spec(hull, "sheer-cleat", "Sheer cleat", port, "carries the decks"),
            port,
            guide,
            height,
            up=False,
        )
        for port in (True, False)
    ]


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
            up=False,
        )
        for port in (True, False)
    ]


def transom_cleats(hull: Hull) -> list[Part]:
    """The strips on the transom's inner face: one along its foot, one up either side."""
    cleats = hull.design.cleats
    material = hull.design.woods.cleat
    breadth = material.thickness
    x = (hull.transom_thickness, hull.transom_thickness + breadth)
    floor = hull.bottom_height(np.array(x), hull.bottom_thickness)
    near, far = hull.side_thickness, hull.side_thickness + breadth
    panel = transverse_panel(x[0], breadth)

    def foot_ring(i: int) -> list[Array]:
        z = np.array([floor[i], floor[i] + cleats.transom_height])
        y = hull.half_breadth(np.full(2, x[i]), z, far)
        corners = line(x[i], np.array([-y[0], y[0], y[1], -y[1]]), z[[0, 0, 1, 1]])
        return _around(corners)

    foot = [
        EdgeLines(n, o, i)
        for n, o, i in zip(("lower", "port", "upper", "starboard"), foot_ring(0), foot_ring(1), strict=True)
    ]
    spec = Spec("transom-cleat-foot", "Transom cleat, foot", "cleat", material, step="between the chine cleats")
    made = [make_part(hull.design, spec, panel, foot)]
    low = floor + cleats.chine_height * float(np.cos(hull.flare))
    high = hull.roof - cleats.sheer_height * float(np.cos(hull.flare))

    def up_ring(i: int) -> list[Array]:
        z = np.array([low[i], high])
        y = hull.half_breadth(np.full(2, x[i]), z, near)
        inner = y - cleats.transom_height / float(np.cos(hull.flare))
        corners = line(x[i], np.array([inner[0], y[0], y[1], inner[1]]), z[[0, 0, 1, 1]])
        return _around(corners)

    for port in (True, False):
        mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
        rings = zip(("lower", "side", "upper", "inner"), up_ring(0), up_ring(1), strict=True)
        edges = [EdgeLines(n, o * mirror, i * mirror) for n, o, i in rings]
        spec = _spec(hull, "transom-cleat", "Transom cleat", port, "in the corner of side and transom")
        made.append(make_part(hull.design, spec, panel, edges))
    return made


def _around(corners: Array) -> list[Array]:
    return [np.array([corners[i], corners[(i + 1) % len(corners)]]) for i in range(len(corners))]


def knees(hull: Hull) -> list[Part]:
    """The triangular brackets between transom and sheer cleats, level under the deck."""
    leg = hull.design.cleats.knee_leg
    material = hull.design.woods.knee
    low = hull.roof - material.thickness
    inset = hull.side_thickness + hull.design.woods.cleat.thickness
    x = np.linspace(hull.transom_thickness, hull.transom_thickness + leg, 5)
    made = []
    for port in (True, False):
        mirror = np.array([1.0, 1.0 if port else -1.0, 1.0])
        faces = []
        for z in (hull.roof, low):
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
