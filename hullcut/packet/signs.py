"""Simple safety signs, drawn by us in the manner of ISO 7010: blue discs must be done, yellow triangles warn.

The shapes and colours' meanings follow the standard (from memory); the pictures in them are our own and are no
copies of its registered signs.
"""

from __future__ import annotations

from collections.abc import Callable

from hullcut.drawing.paths import arc, circle, line, polygon, polyline
from hullcut.drawing.scene import Item, Path, Role, Scene, Shape, Text
from hullcut.drawing.style import BLACK, BLUE

__all__ = ["SIGNS", "sign"]

_WHITE, _YELLOW = "#ffffff", "#f9c800"


def _stroke(paths: tuple[Path, ...], colour: str, width: float = 0.7) -> Shape:
    return Shape(Role.LABEL, paths, stroke=colour, width=width)


def _fill(path: Path, colour: str) -> Shape:
    return Shape(Role.FILL, (path,), fill=colour, stroke="none")


def _must(inside: list[Item]) -> list[Item]:
    return [_fill(circle((7.0, 7.0), 6.8), BLUE), *inside]


def _warning(inside: list[Item]) -> list[Item]:
    ring = polygon(((0.4, 0.9), (13.6, 0.9), (7.0, 12.6)))
    return [Shape(Role.LABEL, (ring,), fill=_YELLOW, stroke=BLACK, width=0.8), *inside]


def _head(colour: str) -> Item:
    return _fill(circle((7.0, 7.2), 3.6), colour)


def _glasses() -> list[Item]:
    lenses = (
        circle((5.4, 7.6), 1.5),
        circle((8.6, 7.6), 1.5),
        line((2.6, 8.0), (3.9, 7.8)),
        line((10.1, 7.8), (11.4, 8.0)),
    )
    return _must([_head(_WHITE), _stroke(lenses, BLUE, 0.8)])


def _ears() -> list[Item]:
    band = arc((7.0, 7.4), 4.2, 0.0, 180.0)
    cups = [_fill(circle((2.9, 6.9), 1.5), _WHITE), _fill(circle((11.1, 6.9), 1.5), _WHITE)]
    return _must([_fill(circle((7.0, 6.8), 3.0), _WHITE), _stroke((band,), _WHITE, 1.0), *cups])


def _mask() -> list[Item]:
    ring = polygon(((4.6, 7.2), (9.4, 7.2), (8.8, 4.2), (7.0, 3.4), (5.2, 4.2)))
    return _must([_head(_WHITE), Shape(Role.FILL, (ring,), fill=_WHITE, stroke=BLUE, width=0.6)])


def _gloves() -> list[Item]:
    hand = polygon(
        (
            (5.0, 2.8),
            (9.0, 2.8),
            (9.2, 6.4),
            (10.8, 8.0),
            (10.2, 8.8),
            (8.6, 7.8),
            (8.6, 11.0),
            (7.6, 11.0),
            (7.4, 8.4),
            (7.2, 11.4),
            (6.2, 11.4),
            (6.2, 8.4),
            (5.8, 10.8),
            (4.9, 10.6),
            (5.0, 7.0),
        )
    )
    return _must([_fill(hand, _WHITE)])


def _danger() -> list[Item]:
    return _warning([Text(Role.LABEL, (7.0, 2.6), "!", 9.0, anchor="middle", bold=True)])


def _fire() -> list[Item]:
    flame = polygon(
        ((5.2, 2.4), (8.8, 2.4), (9.6, 4.4), (8.7, 6.4), (8.2, 5.4), (7.4, 8.6), (5.9, 6.2), (5.5, 6.8), (4.5, 4.4))
    )
    return _warning([_fill(flame, BLACK)])


def _hot() -> list[Item]:
    waves = tuple(
        polyline(((x, 3.6), (x + 0.5, 4.6), (x - 0.3, 5.6), (x + 0.4, 6.6), (x, 7.6))) for x in (5.4, 7.0, 8.6)
    )
    return _warning([_stroke((line((4.0, 2.6), (10.0, 2.6)), *waves), BLACK, 0.7)])


def _gas() -> list[Item]:
    puffs = [
        _fill(circle(at, radius), BLACK) for at, radius in (((5.6, 4.0), 1.3), ((7.4, 4.6), 1.6), ((8.9, 3.7), 1.1))
    ]
    return _warning([*puffs, Text(Role.LABEL, (7.0, 7.0), "CO", 2.4, anchor="middle", bold=True)])


def _blade() -> list[Item]:
    hub = circle((7.0, 4.6), 0.6)
    blades = [
        _fill(polygon(((7.0, 4.6), (6.0, 7.6), (7.6, 8.0))), BLACK),
        _fill(polygon(((7.0, 4.6), (9.8, 3.8), (9.4, 2.4))), BLACK),
        _fill(polygon(((7.0, 4.6), (4.2, 3.6), (4.9, 2.3))), BLACK),
    ]
    return _warning([*blades, _fill(hub, BLACK)])


def _water() -> list[Item]:
    rows = tuple(polyline(tuple((3.4 + 0.9 * k, y + (0.5 if k % 2 else 0.0)) for k in range(9))) for y in (2.3, 3.6))
    return _warning(
        [
            _stroke(rows, BLACK, 0.6),
            _fill(circle((7.0, 7.4), 0.9), BLACK),
            _stroke((line((7.0, 6.6), (7.0, 4.8)),), BLACK, 1.0),
        ]
    )


SIGNS: dict[str, Callable[[], list[Item]]] = {
    "eyes": _glasses,
    "ears": _ears,
    "mask": _mask,
    "gloves": _gloves,
    "danger": _danger,
    "fire": _fire,
    "hot": _hot,
    "gas": _gas,
    "blade": _blade,
    "water": _water,
}
"""Every sign by name."""


def sign(name: str) -> Scene:
    """A sign as a scene of 14 by 14 mm."""
    return Scene(name, 0.0, 0.0, 14.0, 14.0, tuple(SIGNS[name]()))
