"""What carries the engine: the plate across the boat and the two bearers."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.end_plane import EndPlane
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, upright_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Engine
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["bearer_places", "bearer_top", "bearers", "engine_plate", "plate_plane"]

Array = NDArray[np.float64]

# Play between the plate's foot and the bearers that it drops between, mm.
_PLAY = 0.5
# A circle drawn with so many corners is off by less than 0.01 mm at 30 mm radius.
_CIRCLE = 120


def plate_plane(arrangement: Arrangement) -> EndPlane:
    """The plane of the engine plate's after face: square to the shaft, through the centre of the engine's output."""
    shaft = arrangement.shaft
    slope = -math.tan(math.radians(shaft.angle))
    return EndPlane(arrangement.plate_x - slope * shaft.output_z, slope)


def engine_plate(hull: Hull, arrangement: Arrangement) -> Part:
    """The plate across the boat that the engine bolts to, drawn as seen from ahead of it.

    It stands square to the shaft. Its shoulders rest on the bearers and its foot drops between them to the bottom; the
    clutch housing passes through the bore.
    """
    engine = hull.design.engine
    wood = hull.design.woods.engine_plate
    plane = plate_plane(arrangement)
    planes = (plane, plane.ahead(wood.thickness))
    panel = plane.panel(wood.thickness, faces_aft=True)
    low = [hull.foot_of(each, hull.bottom_thickness) for each in planes]
    shoulder = panel.to_flat(np.array([_on_bearers(hull, arrangement, plane)]))[0, 1]
    head = shoulder + engine.plate_height
    half, foot = engine.plate_width / 2.0, engine.bearer_gap / 2.0 - _PLAY
    faces = []
    for (x, z), offset in zip(low, (wood.thickness / 2.0, -wood.thickness / 2.0), strict=True):
        floor = float(panel.to_flat(np.array([[x, 0.0, z]]))[0, 1])
        corners = [
            (-foot, floor),
            (foot, floor),
            (foot, shoulder),
            (half, shoulder),
            (half, head),
            (-half, head),
            (-half, shoulder),
            (-foot, shoulder),
        ]
        faces.append(panel.to_space(np.array([*corners, corners[0]]), offset))
    edges = [EdgeLines(name, faces[0][i : i + 2], faces[1][i : i + 2]) for i, name in enumerate(_PLATE_EDGES)]
    output = panel.to_flat(np.array([[arrangement.plate_x, 0.0, arrangement.shaft.output_z]]))[0, :2]
    rings = [_circle(output, engine.housing_bore / 2.0), *_bolt_holes(engine, output)]
    holes = [panel.to_space(ring, 0.0) for ring in rings]
    spec = Spec("engine-plate", "Engine plate", "engine_plate", wood, step="stands on the bearers, square to the shaft")
    return make_part(hull.design, spec, panel, edges, holes)


_PLATE_EDGES = (
    "lower",
    "foot, port",
    "shoulder, port",
    "port",
    "upper",
    "starboard",
    "shoulder, starboard",
    "foot, starboard",
)


def _bolt_holes(engine: Engine, centre: Array) -> list[Array]:
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return []
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    around = centre + engine.bolt_circle / 2.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    return [_circle(at, engine.bolt_diameter / 2.0) for at in around]


def _circle(centre: Array, radius: float) -> Array:
    angle = np.linspace(0.0, 2.0 * np.pi, _CIRCLE, endpoint=False)
    return centre + radius * np.column_stack([np.cos(angle), np.sin(angle)])


def bearer_places(hull: Hull, arrangement: Arrangement) -> tuple[float, float]:
    """X of the bearers' after and fore ends: half their length either way from the engine plate's foot."""
    engine = hull.design.engine
    plane = plate_plane(arrangement).ahead(hull.design.woods.engine_plate.thickness / 2.0)
    middle = hull.foot_of(plane, hull.bottom_thickness)[0]
    return middle - engine.bearer_length / 2.0, middle + engine.bearer_length / 2.0


def bearer_top(hull: Hull, arrangement: Arrangement, x: Array) -> Array:
    """Z (n,) of the bearers' upper edges at x: parallel to the shaft, from their height at the after end."""
    start = bearer_places(hull, arrangement)[0]
    low = float(hull.bottom_height(np.array([start]), hull.bottom_thickness)[0])
    rise = math.tan(math.radians(arrangement.shaft.angle))
    top: Array = low + hull.design.engine.bearer_height + rise * (x - start)
    return top


def _on_bearers(hull: Hull, arrangement: Arrangement, plane: EndPlane) -> tuple[float, float, float]:
    """The point on the centre line where a plane square to the shaft meets the bearers' upper edges."""
    at_zero = float(bearer_top(hull, arrangement, np.array([0.0]))[0])
    rise = math.tan(math.radians(arrangement.shaft.angle))
    x = float(plane.foot + plane.slope * at_zero) / (1.0 - plane.slope * rise)
    return x, 0.0, at_zero + rise * x


def bearers(hull: Hull, arrangement: Arrangement) -> list[Part]:
    """Both bearers, port first, drawn as seen from between them; their upper edges slope with the shaft."""
    engine = hull.design.engine
    wood = hull.design.woods.bearer
    start, stop = bearer_places(hull, arrangement)
    x = hull.stations(start, stop)
    low = hull.bottom_height(x, hull.bottom_thickness)
    head = bearer_top(hull, arrangement, np.array([start, stop]))
    made = []
    for port in (True, False):
        hand: Literal["port", "starboard"] = "port" if port else "starboard"
        side = 1.0 if port else -1.0
        faces = [
            (
                line(x, side * y, low),
                line(stop, side * y, np.array([low[-1], head[1]])),
                line(np.array([stop, start]), side * y, head[::-1]),
                line(start, side * y, np.array([head[0], low[0]])),
            )
            for y in (engine.bearer_gap / 2.0 + wood.thickness, engine.bearer_gap / 2.0)
        ]
        names = ("lower", "fore end", "upper", "after end")
        edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
        step = "glued to the bottom, its low end aft"
        spec = Spec(f"bearer-{hand}", f"Engine bearer, {hand}", "bearer", wood, hand=hand, step=step)
        panel = upright_panel(engine.bearer_gap / 2.0, wood.thickness, port)
        made.append(make_part(hull.design, spec, panel, edges))
    return made
