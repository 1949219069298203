"""Scenes shared by the tests of the writers: a long part that sweeps up, a bottom, small knees."""

import numpy as np

from hullcut.drawing.paths import circle, line, polygon, rectangle, scene_from, smooth_path
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.tiling import Template


def swept_outline() -> list[tuple[float, float]]:
    """About 1030 x 330 mm, 2.5 mm between points: straight, then a curve whose curvature ramps up."""
    s = np.linspace(0, 1090, 437)
    curvature = np.where(s > 600, np.minimum((s - 600) / 150, 1) / 700, 0)
    turn = np.concatenate([[0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * np.diff(s))])
    x = np.concatenate([[0], np.cumsum(np.cos(turn[:-1]) * np.diff(s))])
    y = np.concatenate([[0], np.cumsum(np.sin(turn[:-1]) * np.diff(s))])
    lower = np.c_[x, y]
    upper = lower + 130 * np.c_[-np.sin(turn), np.cos(turn)]
    return [(float(a), float(b)) for a, b in np.vstack([lower, upper[::-1]])]


def side_scene() -> Scene:
    points = swept_outline()
    items = [
        Shape(Role.CUT, (smooth_path(points),), ref="side-port:outline"),
        Shape(Role.HOLE, (circle((300.0, 60.0), 20.0),)),
        Shape(Role.MARK, (line((250.0, 0.0), (250.0, 130.0)),)),
        Text(Role.LABEL, (120.0, 60.0), "Side, port ⅜ 5⁄16 in", 8.0),
    ]
    return scene_from("Side, port", items)


def knee_scene(width: float, height: float) -> Scene:
    items = [
        Shape(Role.CUT, (rectangle(0.0, 0.0, width, height),)),
        Shape(Role.HOLE, (circle((width - 9.0, height / 2), 2.0),)),
        Text(Role.LABEL, (4.0, 4.0), "knee", 4.0),
    ]
    return scene_from("Knee", items)


def trial_templates() -> list[Template]:
    bottom = scene_from("Bottom", [Shape(Role.CUT, (polygon([(0, 0), (1090, 0), (1090, 340), (40, 340)]),))])
    knees = [Template(knee_scene(60.0 + 13 * k, 20.0 + 9 * k), f"Knee {k}", "4 off") for k in range(6)]
    return [Template(side_scene(), "Side, port", "2 off"), Template(bottom, "Bottom"), *knees]
