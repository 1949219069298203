"""The card model as it stands when it is glued: its panels' faces and its joints in space."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.card_model import CardRun, card_end

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hullcut.hull.form import Hull
    from hullcut.parts.card_model import CardPanel

__all__ = ["ModelFace", "ModelJoint", "model_faces", "model_joints"]

Array = NDArray[np.float64]

_MIRROR = np.array([1.0, -1.0, 1.0])
_STEPS = 24


@dataclass(frozen=True, slots=True)
class ModelFace:
    """A face of a panel between two lines that run along it.

    Attributes:
        panel: its name.
        low: the one line (n, 3).
        high: the other (n, 3), point by point across from it.
    """

    panel: str
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class ModelJoint:
    """Where two panels meet.

    Attributes:
        letter: of the joint.
        panels: the two that meet.
        middle: a point (3,) half way along it.
    """

    letter: str
    panels: tuple[str, str]
    middle: Array


def model_faces(hull: Hull, panels: Sequence[CardPanel]) -> tuple[ModelFace, ...]:
    """The faces of a glued model.

    Args:
        hull: of the boat.
        panels: of its card model.
    """
    chine, sheer = CardRun(hull, low=True), CardRun(hull, low=False)
    decks = hull.design.decks
    breaks = [(x - sheer.start) / (sheer.stop - sheer.start) for x in (decks.after_to, decks.fore_from)]
    shares = np.unique(np.clip([*np.linspace(0.0, 1.0, _STEPS + 1), *breaks], 0.0, 1.0))
    low = chine.at(chine.start + shares * (chine.stop - chine.start))
    high = sheer.at(sheer.start + shares * (sheer.stop - sheer.start))
    faces = [
        ModelFace("Bottom", low, low * _MIRROR),
        ModelFace("Side, port", high, low),
        ModelFace("Side, starboard", low * _MIRROR, high * _MIRROR),
    ]
    names = [panel.name for panel in panels]
    aft = high[shares <= breaks[0] + 1e-9]
    faces += [ModelFace(name, aft * _MIRROR, aft) for name in names if name in ("Hatch", "After deck")]
    fore = high[shares >= breaks[1] - 1e-9]
    faces.append(ModelFace("Fore deck", fore * _MIRROR, fore))
    stern = card_end(hull, hull.transom)
    faces.append(ModelFace("Transom", stern, stern * _MIRROR))
    if hull.bow is not None:
        bow = card_end(hull, hull.bow)
        faces += [ModelFace(name, bow * _MIRROR, bow) for name in names if name in ("Bow transom", "Stem strip")]
    return tuple(faces)


def model_joints(hull: Hull, panels: Sequence[CardPanel]) -> tuple[ModelJoint, ...]:
    """The joints of a glued model, by their letters."""
    faces = {face.panel: face for face in model_faces(hull, panels)}
    found: dict[str, list[str]] = {}
    for panel in panels:
        for edge in panel.edges:
            if edge.letter:
                found.setdefault(edge.letter, []).append(panel.name)
    return tuple(
        ModelJoint(letter, (first, second), _middle(faces[first], faces[second]))
        for letter, (first, second) in sorted(found.items())
    )


def _borders(face: ModelFace) -> Iterator[Array]:
    yield from (face.low, face.high, np.array([face.low[0], face.high[0]]), np.array([face.low[-1], face.high[-1]]))


def _middle(first: ModelFace, second: ModelFace) -> Array:
    """The middle of the border that two faces have in common: of the shorter one, as a deck's beside a side's."""
    pairs = [(a, b) for a in _borders(first) for b in _borders(second)]
    return _half_way(min(min(pairs, key=lambda pair: _apart(*pair)), key=_span))


def _span(run: Array) -> float:
    return float(np.linalg.norm(run[-1] - run[0]))


def _apart(first: Array, second: Array) -> float:
    """How far one line's ends lie from another's points."""
    shorter, longer = sorted((first, second), key=_span)
    gaps = np.linalg.norm(shorter[[0, len(shorter) // 2, -1], None, :] - longer[None, :, :], axis=2).min(axis=1)
    return float(gaps.sum())


def _half_way(run: Array) -> Array:
    steps = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(run, axis=0), axis=1))])
    return np.array([np.interp(steps[-1] / 2.0, steps, run[:, axis]) for axis in range(3)])
