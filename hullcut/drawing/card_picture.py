"""A small picture of the glued card model with the letters of its joints."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing.furniture import words
from hullcut.drawing.paths import line, transform
from hullcut.drawing.scene import Role, Shape
from hullcut.drawing.views.picture import Look, Shown, View
from hullcut.drawing.views.projection import camera
from hullcut.drawing.views.solids import Facet, FacetRing
from hullcut.parts.card_space import model_faces, model_joints

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item, Point, Text
    from hullcut.hull.form import Hull
    from hullcut.parts.card_model import CardPanel
    from hullcut.parts.card_space import ModelFace, ModelJoint

__all__ = ["model_picture"]

Array = NDArray[np.float64]

_AZIMUTH, _ELEVATION = 118.0, 32.0
_LOOK = Look("#ffffff", 0.22)
# On a deck, a letter stands half way from its edge to the middle of the boat.
_INWARD = np.array([1.0, 0.55, 1.0])
# Any other stands so far from its joint, mm, with a short line to it.
_AWAY, _LETTER, _NOTE = 5.0, 3.2, 2.8


def model_picture(hull: Hull, panels: Sequence[CardPanel], corner: Point, size: Point) -> list[Item]:
    """The model from behind and above, as large as a box holds it, and what is said of the joints that it hides.

    Args:
        hull: of the boat.
        panels: of its card model.
        corner: upper left, mm on the page.
        size: width and height, mm.
    """
    faces = model_faces(hull, panels)
    middle = np.mean(np.concatenate([np.concatenate([face.low, face.high]) for face in faces]), axis=0)
    # Farther under the fore deck nobody sees; at a stem the sides' insides lie on one another.
    seen_to = (hull.design.decks.fore_from + hull.length) / 2.0
    sides = {face.panel: _facets(face, middle, seen_to) for face in faces}
    bodies = {name: (*outer, *inner) for name, (outer, inner) in sides.items()}
    eye = camera(_AZIMUTH, _ELEVATION)
    view, shown = View(bodies, eye), [Shown(face.panel, _LOOK) for face in faces]
    room = (size[0] - 2.0 * _AWAY - 4.0, size[1] - _AWAY - 9.0)
    scale, origin, top = view.frame(shown, *room)
    left = corner[0] + _AWAY + 2.0
    low = corner[1] - 2.0 - scale * (top[1] - origin[1])
    items = [transform(item, dx=left, dy=low) for item in view.items(shown, scale, origin)]
    centre = (left + scale * (top[0] - origin[0]) / 2.0, low + scale * (top[1] - origin[1]) / 2.0)
    decks = [panel.name for panel in panels if panel.printed == "up"]
    hidden = []
    for joint in model_joints(hull, panels):
        if not any(_faces_eye(sides[name][0], joint.middle, eye.to_eye) for name in joint.panels):
            hidden.append(joint.letter)
            continue
        on_deck = any(name in decks for name in joint.panels)
        x, y = view.at(_on_deck(hull, joint.middle) if on_deck else joint.middle, scale, origin)
        at = (x + left, y + low)
        items += [_letter(joint, at)] if on_deck else _led_to(joint, at, centre)
    told = f"seen from behind; {', '.join(hidden)} on the far side" if hidden else "seen from behind"
    items.append(words((corner[0] + 2.0, low - _AWAY - 5.0), told, _NOTE))
    return items


def _on_deck(hull: Hull, middle: Array) -> Array:
    """Where the letter of a deck's joint stands: towards the middle line, and of a pointed deck where it is wider."""
    fore = hull.design.decks.fore_from
    aft = 0.5 * (middle[0] - fore) if hull.pointed and middle[0] > fore else 0.0
    place: Array = middle * _INWARD - np.array([aft, 0.0, 0.0])
    return place


def _letter(joint: ModelJoint, at: Point) -> Text:
    place = (at[0], at[1] - 0.36 * _LETTER)
    return words(place, joint.letter, _LETTER, anchor="middle", bold=True, ref=f"joint {joint.letter}")


def _led_to(joint: ModelJoint, at: Point, centre: Point) -> list[Item]:
    """A joint's letter, away from the middle of the picture, and a short line to the joint."""
    away = np.array(at) - np.array(centre)
    if not all(name.startswith("Side") for name in joint.panels):
        # Along a long boat, up or down leads off it sooner than sideways.
        away = away * np.array([0.5, 2.0])
    away /= max(float(np.linalg.norm(away)), 1e-9)
    x, y = (float(value) for value in np.array(at) + _AWAY * away)
    stop = (float(at[0] + 0.5 * _AWAY * away[0]), float(at[1] + 0.5 * _AWAY * away[1]))
    leader = Shape(Role.THIN, (line(at, stop),), ref=f"joint {joint.letter}")
    return [leader, _letter(joint, (x, y))]


def _facets(face: ModelFace, middle: Array, seen_to: float) -> tuple[list[Facet], list[Facet]]:
    """A face cut across at its points, with lines round its border, and its inside, which decks may hide.

    Args:
        face: of the model.
        middle: of the boat, (3,).
        seen_to: how far ahead of the transom the inside may be seen, mm.
    """
    outer, inner = [], []
    last = len(face.low) - 2
    for i in range(last + 1):
        points = np.array([face.low[i], face.low[i + 1], face.high[i + 1], face.high[i]])
        drawn = np.array([True, i == last, True, i == 0])
        normal = np.cross(points[2] - points[0], points[3] - points[1])
        length = float(np.linalg.norm(normal))
        if length < 1e-6:
            continue
        normal /= length
        if float(normal @ (points.mean(axis=0) - middle)) < 0.0:
            # The edge that begins at a corner is, the other way round, the one that begins at the next.
            points, drawn, normal = points[::-1], np.roll(drawn[::-1], -1), -normal
        outer.append(_facet(points, drawn, normal))
        if float(points[:, 0].mean()) < seen_to:
            inner.append(_facet(points[::-1], np.roll(drawn[::-1], -1), -normal))
    return outer, inner


def _facet(points: Array, drawn: NDArray[np.bool_], normal: Array) -> Facet:
    """A facet; where it is no panel's border, what lies across looks the same way."""
    across = np.where(drawn[:, None], -normal, normal)
    return Facet((FacetRing(points, across, drawn),), normal)


def _faces_eye(outside: Sequence[Facet], at: Array, to_eye: Array) -> bool:
    """Whether the outside of a face is turned to the eye at a point."""
    nearest = min(outside, key=lambda each: float(np.linalg.norm(each.rings[0].points.mean(axis=0) - at)))
    return float(nearest.normal @ to_eye) > 0.05
