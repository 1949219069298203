"""How a part lies in its drawing: which face looks at the reader, and which way the bow is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from hullcut.parts.values import Part

__all__ = ["Lie", "Way", "end_words", "face_words", "lie_of", "towards_reader"]

Array = NDArray[np.float64]
Way = Literal["bow", "stern", "port", "starboard", "up", "down"]

_WAYS: tuple[tuple[Way, Way], ...] = (("stern", "bow"), ("starboard", "port"), ("down", "up"))
_OPPOSITE: dict[Way, Way] = {a: b for pair in _WAYS for a, b in (pair, pair[::-1])}
_FACES: dict[Way, str] = {
    "bow": "forward face",
    "stern": "after face",
    "port": "port face",
    "starboard": "starboard face",
    "up": "upper face",
    "down": "underside",
}
_ENDS: dict[Way, str] = {"bow": "fore", "stern": "after", "up": "upper", "down": "lower"}
# Families whose faces are told as inner and outer in the packet, whichever way they look.
_SHELL = ("side", "bottom", "transom")


@dataclass(frozen=True, slots=True)
class Lie:
    """How a part lies in its drawing.

    Attributes:
        face: the chart's face that looks at the reader.
        right: where the drawing's right is in the boat, by its greatest share.
        up: where the drawing's top is.
        towards: where the reader is.
    """

    face: Literal["inner", "outer"]
    right: Way
    up: Way
    towards: Way

    @property
    def left(self) -> Way:
        """Where the drawing's left is in the boat."""
        return _OPPOSITE[self.right]

    @property
    def foot(self) -> Way:
        """Where the drawing's foot is in the boat."""
        return _OPPOSITE[self.up]


def lie_of(part: Part) -> Lie:
    """How a part lies in its drawing, by its chart at the corner of its box."""
    corner, right, up = _directions(part, (0.0, 0.0))
    towards = np.cross(right, up)
    outward = part.panel.to_space(np.zeros((1, 2)), 1.0)[0] - corner
    face: Literal["inner", "outer"] = "outer" if float(towards @ outward) > 0.0 else "inner"
    return Lie(face, _way(right), _way(up), _way(towards))


def towards_reader(part: Part, at: tuple[float, float]) -> Array:
    """The direction in space (3,), length 1, in which the drawn face looks at a place of the drawing."""
    _, right, up = _directions(part, at)
    square: Array = np.cross(right, up)
    return square / float(np.linalg.norm(square))


def _directions(part: Part, at: tuple[float, float]) -> tuple[Array, Array, Array]:
    """A place of the drawing in space, and where right and up in the drawing lead from it."""
    place, right, up = part.panel.to_space(np.array([at, (at[0] + 1.0, at[1]), (at[0], at[1] + 1.0)]), 0.0)
    return place, right - place, up - place


def _way(direction: Array) -> Way:
    axis = int(np.argmax(np.abs(direction)))
    return _WAYS[axis][int(direction[axis] > 0.0)]


def end_words(way: Way) -> str:
    """The end of a part or a strip that lies in some direction, in one word: "fore", "port", "upper"."""
    return _ENDS.get(way, way)


def face_words(part: Part, face: str) -> str:
    """A face's name as a builder says it: "underside", "inner face", "inner, upper face"."""
    lie = lie_of(part)
    way = lie.towards if face == lie.face else _OPPOSITE[lie.towards]
    if part.hand is not None and way in ("port", "starboard"):
        return "outer face" if way == part.hand else "inner face"
    return f"{face}, {_FACES[way]}" if part.family in _SHELL else _FACES[way]
