"""What carries the engine: the plate across the boat and the two bearers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import line, square_edges, transverse_panel, upright_panel
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Engine
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["bearer_places", "bearers", "engine_plate"]

Array = NDArray[np.float64]

# Play between the plate's foot and the bearers that it drops between, mm.
_PLAY = 0.5
# A circle drawn with so many corners is off by less than 0.01 mm at 30 mm radius.
_CIRCLE = 120


def engine_plate(hull: Hull, arrangement: Arrangement) -> Part:
    """The plate across the boat that the engine bolts to, drawn as seen from ahead of it.

    Its shoulders rest on the bearers and its foot drops between them to the bottom; the clutch housing passes through
    the bore.
    """
    engine = hull.design.engine
    wood = hull.design.woods.engine_plate
    panel = transverse_panel(arrangement.plate_x, wood.thickness)
    x = np.array([arrangement.plate_x, arrangement.plate_x + wood.thickness])
    floor = float(hull.bottom_height(x, hull.bottom_thickness).max())
    shoulder = floor + engine.bearer_height
    head = shoulder + engine.plate_height
    half, foot = engine.plate_width / 2.0, engine.bearer_gap / 2.0 - _PLAY
    corners = [
        ("lower", -foot, floor),
        ("foot, port", foot, floor),
        ("shoulder, port", foot, shoulder),
        ("port", half, shoulder),
        ("upper", half, head),
        ("starboard", -half, head),
        ("shoulder, starboard", -half, shoulder),
        ("foot, starboard", -foot, shoulder),
    ]
    middle = float(panel.origin[0])
    holes = [_circle(middle, 0.0, engine.output_height, engine.housing_bore / 2.0), *_bolt_holes(engine, middle)]
    spec = Spec("engine-plate", "Engine plate", "engine_plate", wood, step="stands on the bearers")
    return make_part(hull.design, spec, panel, square_edges(panel, corners), holes)


def _bolt_holes(engine: Engine, x: float) -> list[Array]:
    if not engine.bolts or engine.bolt_circle <= 0.0:
        return []
    angles = 2.0 * np.pi * (np.arange(engine.bolts) + 0.5) / engine.bolts
    y = engine.bolt_circle / 2.0 * np.cos(angles)
    z = engine.output_height + engine.bolt_circle / 2.0 * np.sin(angles)
    return [_circle(x, float(a), float(b), engine.bolt_diameter / 2.0) for a, b in zip(y, z, strict=True)]


def _circle(x: float, y: float, z: float, radius: float) -> Array:
    angle = np.linspace(0.0, 2.0 * np.pi, _CIRCLE, endpoint=False)
    return line(x, y + radius * np.cos(angle), z + radius * np.sin(angle))


def bearer_places(hull: Hull, arrangement: Arrangement) -> tuple[float, float]:
    """X of the bearers' after and fore ends: half their length either way from the engine plate."""
    engine = hull.design.engine
    middle = arrangement.plate_x + hull.design.woods.engine_plate.thickness / 2.0
    return middle - engine.bearer_length / 2.0, middle + engine.bearer_length / 2.0


def bearers(hull: Hull, arrangement: Arrangement) -> list[Part]:
    """Both bearers, port first, drawn as seen from between them."""
    engine = hull.design.engine
    wood = hull.design.woods.bearer
    start, stop = bearer_places(hull, arrangement)
    x = hull.stations(start, stop)
    low = hull.bottom_height(x, hull.bottom_thickness)
    head = low[0] + engine.bearer_height
    made = []
    for port in (True, False):
        hand: Literal["port", "starboard"] = "port" if port else "starboard"
        side = 1.0 if port else -1.0
        faces = [
            (
                line(x, side * y, low),
                line(stop, side * y, np.array([low[-1], head])),
                line(np.array([stop, start]), side * y, head),
                line(start, side * y, np.array([head, low[0]])),
            )
            for y in (engine.bearer_gap / 2.0 + wood.thickness, engine.bearer_gap / 2.0)
        ]
        names = ("lower", "fore end", "upper", "after end")
        edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
        spec = Spec(f"bearer-{hand}", f"Engine bearer, {hand}", "bearer", wood, hand=hand, step="glued to the bottom")
        panel = upright_panel(engine.bearer_gap / 2.0, wood.thickness, port)
        made.append(make_part(hull.design, spec, panel, edges))
    return made
