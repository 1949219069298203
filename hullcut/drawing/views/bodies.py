"""All bodies of a boat that pictures show: every copy of every part, and plain shapes for shaft, rudder and radio."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing.views.solids import box_solid, loft_solid, moved, part_solid, rod_solid

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
POST_ABAFT, POST_WIDE, BLADE = 31.75, 6.35, (30.0, 8.0)
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
    solid = part_solid(part)
    if part.family == "bottom" and hull.bow is None:
        return _reshaped(solid, lambda points: _under_sheer(hull, points))
    if part.family == "side" and hull.pointed:
        return _reshaped(solid, lambda points: _on_own_side(points, part.hand == "port"))
    if short_id(part) == "stem-block":
        return _reshaped(solid, lambda points: _between_sides(hull, points))
    return solid


def _reshaped(solid: tuple[Facet, ...], move: Callable[[Array], Array]) -> tuple[Facet, ...]:
    return tuple(
        replace(facet, rings=tuple(replace(ring, points=move(ring.points)) for ring in facet.rings)) for facet in solid
    )


def _under_sheer(hull: Hull, points: Array) -> Array:
    """Points with what stands above the sheer planed off, as the bottom's fore edge is."""
    lowered = points.copy()
    lowered[:, 2] = np.minimum(points[:, 2], hull.sheer_height(points[:, 0]))
    return lowered


def _on_own_side(points: Array, port: bool) -> Array:
    """Points with what stands past the centre line planed off, as the sides' ends are where they meet at a stem."""
    kept = points.copy()
    kept[:, 1] = np.maximum(points[:, 1], 0.0) if port else np.minimum(points[:, 1], 0.0)
    return kept


def _between_sides(hull: Hull, points: Array) -> Array:
    """Points moved in to the sides' inner faces, as a stem block's cheeks are planed."""
    inside = np.maximum(hull.half_breadth(points[:, 0], points[:, 2], hull.side_thickness), 0.5)
    moved_in = points.copy()
    moved_in[:, 1] = np.clip(points[:, 1], -inside, inside)
    return moved_in


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
        "shaft": rod_solid(output, hub, drive.shaft_diameter, 12),
        "propeller": (
            *rod_solid(hub - 6.0 * along, hub + 8.0 * along, 9.0, 12),
            *box_solid((hub[0] - 1.5, -4.0, hub[2] - blade), (hub[0] + 1.5, 4.0, hub[2] + blade)),
        ),
        "rudder": (
            *box_solid((blade_from, y - 1.5, -design.rudder.depth), (blade_from + sum(BLADE), y + 1.5, 12.0)),
            *rod_solid(np.array([-POST_ABAFT, y, 12.0]), np.array([-POST_ABAFT, y, 0.75 * depth]), POST_WIDE, 12),
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
