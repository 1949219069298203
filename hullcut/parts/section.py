"""Parts that stand across the boat and follow its section: bulkhead, deck beams."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.end_plane import EndPlane
from hullcut.parts.cleats import chine_cleat_top, sheer_cleat_foot
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, transverse_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["bulkhead", "cross_section"]

Array = NDArray[np.float64]


def cross_section(
    hull: Hull,
    x_aft: float,
    thickness: float,
    inset: float,
    depth: float | None = None,
    sheer_notch: bool = False,
    chine_notch: bool = False,
) -> list[EdgeLines]:
    """Edges of a part across the boat, under the deck, between the side's faces `inset` mm inside.

    Args:
        hull: whose section it follows.
        x_aft: x of its after face.
        thickness: of the part, mm.
        inset: of the side's face that it meets, inside the side's outer face.
        depth: of the part below the deck, mm; None to stand on the bottom.
        sheer_notch: whether the upper corners make room for the sheer cleats.
        chine_notch: whether the lower corners make room for the chine cleats.

    Returns:
        The edges counter-clockwise in the flat, from the lower edge.
    """
    rings = [_ring(hull, x, depth, inset, sheer_notch, chine_notch) for x in (x_aft, x_aft + thickness)]
    return [EdgeLines(name, outer, inner) for (name, outer), (_, inner) in zip(rings[0], rings[1], strict=True)]


def _ring(
    hull: Hull,
    x: float,
    depth: float | None,
    inset: float,
    sheer_notch: bool,
    chine_notch: bool,
) -> list[tuple[str, Array]]:
    head = float(hull.roof_height(x)[0])
    floor = float(hull.bottom_height(np.array([x]), hull.bottom_thickness)[0]) if depth is None else head - depth
    plane = EndPlane(x, 0.0)

    def breadth(z: float, more: float = 0.0) -> float:
        return float(hull.half_breadth(np.array([x]), z, inset + more)[0])

    def section(corners: Sequence[Array]) -> Array:
        return np.array([[x, y, z] for _, y, z in corners])

    low, high = floor, head
    up: list[tuple[str, Array]] = []
    if chine_notch:
        outer, inner = chine_cleat_top(hull, plane)
        low = float(outer[2])
        on_floor = np.array([x, breadth(floor, hull.design.woods.cleat.thickness), floor])
        up.append(("chine notch", section([on_floor, inner])))
        up.append(("chine notch top", section([inner, outer])))
    notch: list[tuple[str, Array]] = []
    if sheer_notch:
        outer, inner = sheer_cleat_foot(hull, plane)
        high = float(outer[2])
        at_head = np.array([x, breadth(head, hull.design.woods.cleat.thickness), head])
        notch.append(("sheer notch foot", section([outer, inner])))
        notch.append(("sheer notch", section([inner, at_head])))
    z = np.linspace(low, high, 9)
    up.append(("port", line(x, hull.half_breadth(np.full(9, x), z, inset), z)))
    up += notch
    start, end = up[0][1][0], up[-1][1][-1]
    mirror = np.array([1.0, -1.0, 1.0])
    lower = ("lower", np.array([start * mirror, start]))
    upper = ("upper", np.array([end, end * mirror]))
    down = [(_other(name), (points * mirror)[::-1]) for name, points in reversed(up)]
    return [lower, *up, upper, *down]


def _other(name: str) -> str:
    return "starboard" if name == "port" else f"{name}, starboard"


def bulkhead(hull: Hull) -> Part:
    """The bulkhead that closes the fore compartment, drawn as seen from ahead of it."""
    wood = hull.design.woods.bulkhead
    x = hull.design.decks.fore_from
    edges = cross_section(
        hull,
        x,
        wood.thickness,
        hull.side_thickness,
        sheer_notch=True,
        chine_notch=True,
    )
    spec = Spec("bulkhead", "Bulkhead", "bulkhead", wood, step="closes the fore compartment")
    return make_part(hull.design, spec, transverse_panel(x, wood.thickness), edges)
