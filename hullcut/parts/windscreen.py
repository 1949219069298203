"""The windscreen: one flat piece, or three that meet in folds, the wings running aft along the deck."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.decks import deck_low
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = ["fold_line", "screen_place", "windscreen"]

Array = NDArray[np.float64]

# The upper edge of a wing, as a share of its foot: its after edge slopes.
_WING_TOP = 0.5


@dataclass(frozen=True, slots=True)
class _Face:
    """A flat piece before it is cut: its chart, and the bend of the middle surface at its fold, radians."""

    panel: FlatPanel
    fold: float


def screen_place(hull: Hull) -> tuple[float, float]:
    """X and z of the middle of the screen's foot: at the deck's after edge, or so far ahead that wings end there."""
    screen = hull.design.windscreen
    reach = screen.wing * math.cos(math.radians(screen.wing_angle))
    x = hull.design.decks.fore_from + hull.design.woods.bulkhead.thickness + reach
    thickness = hull.design.woods.deck.thickness
    return x, float(hull.sheer_height(x, deck_low(hull, thickness) + thickness)[0])


def fold_line(hull: Hull) -> Array:
    """The port fold (2, 3) from deck to top, on the middle of the wood."""
    screen = hull.design.windscreen
    x, z = screen_place(hull)
    rake = math.radians(screen.rake)
    top = (x - screen.height * math.sin(rake), screen.width_top / 2.0, z + screen.height * math.cos(rake))
    return np.array([(x, screen.width_foot / 2.0, z), top])


def windscreen(hull: Hull) -> list[Part]:
    """The spray screen on the fore deck, leaning aft, and its wings if it has any; all drawn as seen from outside.

    Foot edges are bevelled to lie on the deck, fold edges by half the angle between the two pieces (a mitre).
    """
    screen = hull.design.windscreen
    if not screen.fitted:
        return []
    wood = hull.design.woods.windscreen
    rake = math.radians(screen.rake)
    up = (-math.sin(rake), 0.0, math.cos(rake))
    ahead = (math.cos(rake), 0.0, math.sin(rake))
    x, z = screen_place(hull)
    middle = FlatPanel(wood.thickness, (x, 0.0, z), (0.0, 1.0, 0.0), up, ahead)
    wing = _wing_panel(hull) if screen.wing > 0.0 else None
    bend = 0.0 if wing is None else _bend(middle, wing)
    foot, head, height = screen.width_foot / 2.0, screen.width_top / 2.0, screen.height
    corners = [(-foot, 0.0), (foot, 0.0), (head, height), (-head, height)]
    step = "foot planed to the rake, glued on deck"
    made = [
        make_part(
            hull.design,
            Spec("windscreen", "Windscreen", "windscreen", wood, step=step),
            middle,
            _edges(middle, corners, ("foot", "port", "top", "starboard"), {0: _foot(middle), 1: bend, 3: bend}),
        )
    ]
    if wing is None:
        return made
    hands: tuple[Literal["port", "starboard"], ...] = ("port", "starboard")
    for hand in hands:
        panel = wing if hand == "port" else _mirrored(wing)
        corners = _wing_corners(hull, panel, 1.0 if hand == "port" else -1.0)
        edges = _edges(panel, corners, ("foot", "after", "top", "fold"), {0: _foot(panel), 3: bend})
        spec = Spec(
            f"windscreen-wing-{hand}",
            f"Windscreen wing, {hand}",
            "windscreen",
            wood,
            hand=hand,
            step="its fore edge planed to the fold",
        )
        made.append(make_part(hull.design, spec, panel, edges))
    return made


def _wing_panel(hull: Hull) -> FlatPanel:
    """The port wing's chart: through the fold and a level line on deck that runs aft and outward."""
    screen = hull.design.windscreen
    fold = fold_line(hull)
    angle = math.radians(screen.wing_angle)
    aft = np.array([-math.cos(angle), math.sin(angle), 0.0])
    rise = fold[1] - fold[0]
    up = rise - (rise @ aft) * aft
    up /= np.linalg.norm(up)
    outer = np.cross(aft, up)
    if outer[1] < 0.0:
        aft, outer = -aft, -outer
    return FlatPanel(hull.design.woods.windscreen.thickness, _three(fold[0]), _three(aft), _three(up), _three(outer))


def _three(vector: Array) -> tuple[float, float, float]:
    return (float(vector[0]), float(vector[1]), float(vector[2]))


def _mirrored(panel: FlatPanel) -> FlatPanel:
    """The starboard wing's chart: the mirror image, its drawing turned over so that it is still seen from outside."""

    def flip(v: tuple[float, float, float], sign: float = 1.0) -> tuple[float, float, float]:
        return (sign * v[0], -sign * v[1], sign * v[2])

    return FlatPanel(
        panel.thickness, flip(panel.origin), flip(panel.x_axis, -1.0), flip(panel.y_axis), flip(panel.outer)
    )


def _wing_corners(hull: Hull, panel: FlatPanel, side: float) -> list[tuple[float, float]]:
    """Corners in the flat from the foot of the fold: along the foot aft, up, and back along the top."""
    screen = hull.design.windscreen
    angle = math.radians(screen.wing_angle)
    aft = np.array([-math.cos(angle), side * math.sin(angle), 0.0])
    fold = fold_line(hull) * np.array([1.0, side, 1.0])
    points = np.array([fold[0], fold[0] + screen.wing * aft, fold[1] + _WING_TOP * screen.wing * aft, fold[1]])
    return [(float(x), float(y)) for x, y, _ in panel.to_flat(points)]


def _bend(a: FlatPanel, b: FlatPanel) -> float:
    """Tangent of half the angle between two faces: how far a mitred edge moves out for each mm of offset."""
    return math.tan(math.acos(min(1.0, float(np.dot(a.outer, b.outer)))) / 2.0)


def _foot(panel: FlatPanel) -> float:
    """How far a foot edge that lies on a level deck moves out for each mm of offset."""
    return panel.outer[2] / panel.y_axis[2]


def _edges(
    panel: FlatPanel, corners: Sequence[tuple[float, float]], names: Sequence[str], slopes: dict[int, float]
) -> list[EdgeLines]:
    """Edges between corners on the middle surface; those with a slope move out by it times the offset of the face."""
    flat = np.array(corners)
    area = np.sum(flat[:, 0] * np.roll(flat[:, 1], -1) - np.roll(flat[:, 0], -1) * flat[:, 1])
    half = panel.thickness / 2.0
    made = []
    for i, name in enumerate(names):
        ends = flat[[i, (i + 1) % len(flat)]]
        step = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
        out = np.array([step[1], -step[0]]) * np.sign(area)
        slope = slopes.get(i, 0.0)
        faces = [panel.to_space(ends + offset * slope * out, offset) for offset in (half, -half)]
        made.append(EdgeLines(name, faces[0], faces[1]))
    return made
