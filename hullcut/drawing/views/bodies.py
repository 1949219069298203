"""All bodies of a boat that pictures show: every copy of every part, and plain shapes for shaft, rudder and radio."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing.views.cut import cut_solid
from hullcut.drawing.views.solids import box_solid, loft_solid, mesh_solid, moved, part_solid, rod_solid
from hullcut.parts.fittings import RUDDER_ABAFT
from hullcut.parts.outline import as_points

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.views.solids import Facet
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

Array = NDArray[np.float64]

__all__ = ["BLADE", "FITTINGS", "POST_ABAFT", "POST_WIDE", "boat_bodies", "copies", "short_id"]

FITTINGS = ("shaft", "propeller", "rudder", "radio box")
"""Owners of the shapes that are no parts. Rudder and propeller are only sketched: their shapes are not designed."""
POST_ABAFT, POST_WIDE, BLADE = RUDDER_ABAFT, 6.35, (30.0, 8.0)
"""How far abaft the transom the rudder's post is sketched, how thick it is, and how far the blade reaches abaft and
ahead of its middle, mm: a usual rudder of such boats, common practice, no source."""


def short_id(part: Part) -> str:
    """A part's id without its design's name."""
    return part.id.removeprefix(f"{part.design}-")


def copies(part: Part) -> tuple[str, ...]:
    """The owners' names of a part's copies."""
    return tuple(f"{short_id(part)}#{number}" for number in range(len(part.places)))


def boat_bodies(plan: BoatPlan) -> dict[str, tuple[Facet, ...]]:
    """Facets of every copy of every part by owner (see `copies`), and of the fittings."""
    bodies: dict[str, tuple[Facet, ...]] = {}
    for part in plan.parts:
        solid = _planed(plan.hull, part)
        for owner, place in zip(copies(part), part.places, strict=True):
            bodies[owner] = moved(solid, place)
    bodies.update(_fittings(plan))
    return bodies


def _planed(hull: Hull, part: Part) -> tuple[Facet, ...]:
    """A part's solid as it is once it has been planed to what stands round it."""
    if short_id(part) == "nose-block":
        return _planed_nose(hull, part)
    if short_id(part) == "stem-block":
        return _planed_stem(hull)
    solid = part_solid(_drained(part))
    if part.family == "bottom" and hull.bow is None:
        return _under_sheer(hull, solid)
    if part.family == "side" and hull.pointed:
        # Their ends meet on the centre line at a stem.
        return cut_solid(solid, np.zeros(3), np.array([0.0, 1.0 if part.hand == "port" else -1.0, 0.0]))
    if short_id(part).startswith("bow-"):
        return _on_bottom(hull, solid)
    return solid


def _drained(part: Part) -> Part:
    """A part with its drain hole, which is only marked on it, bored."""
    turns = 2.0 * np.pi * np.arange(16) / 16
    around = np.column_stack([np.cos(turns), np.sin(turns)])
    holes = [
        as_points(np.array(mark.points[0]) + mark.diameter / 2.0 * around)
        for mark in part.marks
        if mark.name == "drain hole" and mark.diameter
    ]
    return replace(part, holes=(*part.holes, *holes)) if holes else part


def _under_sheer(hull: Hull, solid: tuple[Facet, ...]) -> tuple[Facet, ...]:
    """A solid with what stands above the sheer at the bow planed off, as the bottom's fore edge is."""
    x = np.array([hull.length - 1.0, hull.length])
    z = hull.sheer_height(x)
    down = np.array([z[1] - z[0], 0.0, -1.0])
    return cut_solid(solid, np.array([x[1], 0.0, z[1]]), down / np.linalg.norm(down))


def _on_bottom(hull: Hull, solid: tuple[Facet, ...]) -> tuple[Facet, ...]:
    """A solid with what stands below the bottom's inner face planed off, where that slants up at the bow."""
    corners = np.concatenate([ring.points for facet in solid for ring in facet.rings])
    x = float(corners[np.argmin(corners[:, 2]), 0]) + np.array([-1.0, 0.0, 1.0])
    z = hull.bottom_height(x, hull.bottom_thickness)
    along = np.array([x[2] - x[0], z[2] - z[0]]) / np.hypot(x[2] - x[0], z[2] - z[0])
    return cut_solid(solid, np.array([x[1], 0.0, z[1]]), np.array([-along[1], 0.0, along[0]]))


def _planed_stem(hull: Hull) -> tuple[Facet, ...]:
    """The stem block with its cheeks planed to the sides' inner faces."""
    assert hull.bow is not None
    aft, inset = hull.bow_room(), hull.side_thickness
    half = hull.design.woods.nose_block.thickness / 2.0
    foot = hull.side_foot(hull.bow, hull.bottom_thickness, inset)[0]
    head = hull.side_head(hull.bow, -hull.deck_drop, inset)[0]

    def edge(fore: float, height: Callable[[Array], Array]) -> Array:
        """Points (n, 3) of a cheek's edge from aft to fore, the second where planing begins."""
        tried = np.linspace(aft, fore, 257)
        square = np.flatnonzero(hull.half_breadth(tried, height(tried), inset) >= half)
        planed_from = max(float(tried[square[-1]]) if len(square) else aft, aft + 1.0)
        x = np.concatenate([[aft], np.linspace(planed_from, fore, 6)])
        return np.column_stack([x, np.clip(hull.half_breadth(x, height(x), inset), 0.5, half), height(x)])

    low = edge(foot, lambda x: hull.bottom_height(x, hull.bottom_thickness))
    high = edge(head, hull.roof_height)
    over = np.array([1.0, -1.0, 1.0])
    # Of each station: port below and above, starboard above and below.
    corners = np.stack([low, high, high * over, low * over], axis=1).reshape(-1, 3)
    last = len(corners) - 4
    faces: list[tuple[int, ...]] = [(0, 3, 2, 1), (last, last + 1, last + 2, last + 3)]
    for a in range(0, last, 4):
        b = a + 4
        faces += [(a, b, b + 3, a + 3), (a + 1, a + 2, b + 2, b + 1)]
        faces += [(a, a + 1, b + 1), (a, b + 1, b), (a + 3, b + 3, b + 2), (a + 3, b + 2, a + 2)]
    return mesh_solid(corners, faces)


def _planed_nose(hull: Hull, part: Part) -> tuple[Facet, ...]:
    """The nose block with its underside planed to the bottom and its top to the deck."""
    outline = np.array(part.true_outline)
    ahead = part.panel.to_space(outline, part.thickness / 2.0)[:, 0]
    x = np.linspace(float(ahead.min()), float(ahead.max()), 6)
    roof = hull.roof_height(x)
    z = np.minimum(hull.bottom_height(x, hull.bottom_thickness), roof)
    fore = [x[-1]] if z[-1] < roof[-1] - 0.5 else []
    straight = float(np.ptp(roof)) < 1e-9
    back = np.array([0]) if straight else np.arange(len(x) - 2, -1, -1)
    ring_x = np.concatenate([x, fore, x[back]])
    ring_z = np.concatenate([z, roof[-1:] if fore else [], roof[back]])
    y = hull.half_breadth(ring_x, ring_z, hull.side_thickness)
    port = np.column_stack([ring_x, y, ring_z])
    starboard = np.column_stack([ring_x, -y, ring_z])
    return loft_solid(port, starboard)


def _fittings(plan: BoatPlan) -> dict[str, tuple[Facet, ...]]:
    design, arrangement = plan.design, plan.arrangement
    shaft, drive, radio = arrangement.shaft, design.drive, design.radio
    output = np.array([shaft.output_x, 0.0, shaft.output_z])
    hub = np.array([shaft.hub_x, 0.0, shaft.hub_z])
    along = (hub - output) / np.linalg.norm(hub - output)
    depth = design.hull.depth
    blade = drive.propeller_diameter / 2.0
    shelf_top = radio.shelf_height + design.woods.shelf.thickness
    middle = radio.shelf_from + radio.shelf_length / 2.0
    y, blade_from = design.rudder.offset, -POST_ABAFT - BLADE[0]
    return {
        "shaft": rod_solid(output, hub, drive.shaft_diameter),
        "propeller": (
            *rod_solid(hub - 6.0 * along, hub + 8.0 * along, 9.0),
            *box_solid((hub[0] - 1.5, -4.0, hub[2] - blade), (hub[0] + 1.5, 4.0, hub[2] + blade)),
        ),
        "rudder": (
            *box_solid((blade_from, y - 1.5, -design.rudder.depth), (blade_from + sum(BLADE), y + 1.5, 12.0)),
            *rod_solid(np.array([-POST_ABAFT, y, 12.0]), np.array([-POST_ABAFT, y, 0.75 * depth]), POST_WIDE),
            *box_solid((-38.0, y - 10.0, 0.3 * depth), (-0.2, y + 10.0, 0.3 * depth + 4.0)),
        ),
        "radio box": box_solid(
            (middle - radio.box_length / 2.0, arrangement.box_y - radio.box_width / 2.0, shelf_top),
            (
                middle + radio.box_length / 2.0,
                arrangement.box_y + radio.box_width / 2.0,
                shelf_top + radio.box_height,
            ),
        ),
    }
