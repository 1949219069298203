"""All bodies of a boat that pictures show: every copy of every part, and plain shapes for shaft, rudder and radio."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing.views.solids import box_solid, loft_solid, moved, part_solid, rod_solid

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.views.solids import Facet
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["FITTINGS", "boat_bodies", "copies", "short_id"]

FITTINGS = ("shaft", "propeller", "rudder", "radio box")
"""Owners of the shapes that are no parts. Rudder and propeller are only sketched: their shapes are not designed."""


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
        solid = _planed_nose(plan.hull, part) if part.family == "nose_block" else part_solid(part)
        if part.family == "bottom":
            solid = _planed_to(solid, plan.hull.depth)
        for owner, place in zip(copies(part), part.places, strict=True):
            bodies[owner] = moved(solid, place)
    bodies.update(_fittings(plan))
    return bodies


def _planed_to(solid: tuple[Facet, ...], height: float) -> tuple[Facet, ...]:
    """A solid with what stands above a height planed off, as the bottom's fore edge is to the sheer."""
    top = np.array([np.inf, np.inf, height])
    return tuple(
        replace(facet, rings=tuple(replace(ring, points=np.minimum(ring.points, top)) for ring in facet.rings))
        for facet in solid
    )


def _planed_nose(hull: Hull, part: Part) -> tuple[Facet, ...]:
    """The nose block with its underside planed to the bottom."""
    outline = np.array(part.true_outline)
    ahead = part.panel.to_space(outline, part.thickness / 2.0)[:, 0]
    x = np.linspace(float(ahead.min()), float(ahead.max()), 6)
    z = np.minimum(hull.bottom_height(x, hull.bottom_thickness), hull.roof)
    fore = [x[-1]] if z[-1] < hull.roof - 0.5 else []
    ring_x = np.concatenate([x, fore, x[:1]])
    ring_z = np.concatenate([z, [hull.roof] * len(fore), [hull.roof]])
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
    y = design.rudder.offset
    return {
        "shaft": rod_solid(output, hub, drive.shaft_diameter, 12),
        "propeller": (
            *rod_solid(hub - 6.0 * along, hub + 8.0 * along, 9.0, 12),
            *box_solid((hub[0] - 1.5, -4.0, hub[2] - blade), (hub[0] + 1.5, 4.0, hub[2] + blade)),
        ),
        "rudder": (
            *box_solid((-62.0, y - 1.5, -55.0), (-24.0, y + 1.5, 12.0)),
            *rod_solid(np.array([-32.0, y, 12.0]), np.array([-32.0, y, 0.75 * depth]), 6.0, 12),
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
