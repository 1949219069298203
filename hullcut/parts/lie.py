"""How a part lies in its drawing: which face looks at the reader, and which way the bow is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from hullcut.parts.values import Part

__all__ = ["Lie", "Way", "face_words", "lie_of"]

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
    """How a part lies in its drawing, by its chart."""
    corners = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    corner, right, up = part.panel.to_space(corners, 0.0)
    towards = np.cross(right - corner, up - corner)
    outward = part.panel.to_space(corners[:1], 1.0)[0] - corner
    face: Literal["inner", "outer"] = "outer" if float(towards @ outward) > 0.0 else "inner"
    return Lie(face, _way(right - corner), _way(up - corner), _way(towards))


def _way(direction: Array) -> Way:
    axis = int(np.argmax(np.abs(direction)))
    return _WAYS[axis][int(direction[axis] > 0.0)]


def face_words(part: Part, face: str) -> str:
    """A face's name as a builder says it: "underside", "inner face", "inner, upper face"."""
    lie = lie_of(part)
    way = lie.towards if face == lie.face else _OPPOSITE[lie.towards]
    if part.hand is not None and way in ("port", "starboard"):
        return "outer face" if way == part.hand else "inner face"
    return f"{face}, {_FACES[way]}" if part.family in _SHELL else _FACES[way]
