"""Parts that stand across the boat and follow its section: bulkhead, deck beams."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, transverse_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["Notch", "bulkhead", "cross_section"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Notch:
    """A corner cut away for a cleat.

    Attributes:
        breadth: across the boat, mm.
        height: up the side, mm.
    """

    breadth: float
    height: float


def cross_section(
    hull: Hull,
    x_aft: float,
    thickness: float,
    inset: float,
    depth: float | None = None,
    sheer_notch: Notch | None = None,
    chine_notch: Notch | None = None,
) -> list[EdgeLines]:
    """Edges of a part across the boat, under the deck, between the side's faces `inset` mm inside.

    Args:
        hull: whose section it follows.
        x_aft: x of its after face.
        thickness: of the part, mm.
        inset: of the side's face that it meets, inside the side's outer face.
        depth: of the part below the deck, mm; None to stand on the bottom.
        sheer_notch: cut from the upper corners.
        chine_notch: cut from the lower corners.

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
    sheer_notch: Notch | None,
    chine_notch: Notch | None,
) -> list[tuple[str, Array]]:
    head = float(hull.roof_height(x)[0])
    floor = float(hull.bottom_height(np.array([x]), hull.bottom_thickness)[0]) if depth is None else head - depth
    slope = float(hull.profile.heading(hull.profile.at_first_axis(np.array([x]), hull.bottom_thickness))[0])
    low, high = floor, head
    if chine_notch is not None:
        low += chine_notch.height / float(np.cos(slope))
    if sheer_notch is not None:
        high -= sheer_notch.height * float(np.cos(hull.flare_at(x, head - sheer_notch.height, inset)))

    def breadth(z: float, more: float = 0.0) -> float:
        return float(hull.half_breadth(np.array([x]), z, inset + more)[0])

    up: list[tuple[str, Array]] = []
    if chine_notch is not None:
        cut = chine_notch.breadth
        up.append(("chine notch", line(x, np.array([breadth(floor, cut), breadth(low, cut)]), np.array([floor, low]))))
        up.append(("chine notch top", line(x, np.array([breadth(low, cut), breadth(low)]), low)))
    z = np.linspace(low, high, 9)
    up.append(("port", line(x, hull.half_breadth(np.full(9, x), z, inset), z)))
    if sheer_notch is not None:
        cut = sheer_notch.breadth
        up.append(("sheer notch foot", line(x, np.array([breadth(high), breadth(high, cut)]), high)))
        up.append(("sheer notch", line(x, np.array([breadth(high, cut), breadth(head, cut)]), np.array([high, head]))))
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
    cleats = hull.design.cleats
    breadth = hull.design.woods.cleat.thickness
    x = hull.design.decks.fore_from
    edges = cross_section(
        hull,
        x,
        wood.thickness,
        hull.side_thickness,
        sheer_notch=Notch(breadth, cleats.sheer_height),
        chine_notch=Notch(breadth, cleats.chine_height),
    )
    spec = Spec("bulkhead", "Bulkhead", "bulkhead", wood, step="closes the fore compartment")
    return make_part(hull.design, spec, transverse_panel(x, wood.thickness), edges)
