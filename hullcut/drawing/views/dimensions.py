"""Dimension lines beside a drawing, in millimetres on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.paths import line, polygon
from hullcut.drawing.scene import Role, Shape, Text

if TYPE_CHECKING:
    from hullcut.drawing.scene import Item, Point

__all__ = ["level", "plumb"]

_GAP = 1.0
_OVER = 1.2
_HEAD = (1.9, 0.5)
_WIDTH = 0.18


def level(x0: float, x1: float, from_y0: float, from_y1: float, y: float, text: str, size: float = 2.5) -> list[Item]:
    """A level dimension between two places.

    Args:
        x0: left end.
        x1: right end.
        from_y0: where what is measured stands at `x0`; the extension line begins a little off it.
        from_y1: the same at `x1`.
        y: of the dimension line.
        text: written over the line, or beside it where it does not fit.
        size: of the text.
    """
    items: list[Item] = [_extension((x0, from_y0), (x0, y)), _extension((x1, from_y1), (x1, y))]
    room = x1 - x0 - 2.0 * _HEAD[0] - 1.0
    if font.text_width(text, size) <= room:
        items.append(Text(Role.DIMENSION, ((x0 + x1) / 2.0, y + 0.8), text, size, anchor="middle"))
        items += _inside((x0, y), (x1, y))
    else:
        reach = 4.5
        items.append(Shape(Role.DIMENSION, (line((x0 - reach, y), (x1 + reach, y)),), width=_WIDTH))
        items += [_head((x0, y), (1.0, 0.0)), _head((x1, y), (-1.0, 0.0))]
        items.append(Text(Role.DIMENSION, (x1 + reach + 0.8, y - 0.36 * size), text, size))
    return items


def plumb(y0: float, y1: float, from_x0: float, from_x1: float, x: float, text: str, size: float = 2.5) -> list[Item]:
    """An upright dimension; its text reads from the right."""
    items: list[Item] = [_extension((from_x0, y0), (x, y0)), _extension((from_x1, y1), (x, y1))]
    room = y1 - y0 - 2.0 * _HEAD[0] - 1.0
    if font.text_width(text, size) <= room:
        items.append(Text(Role.DIMENSION, (x - 0.8, (y0 + y1) / 2.0), text, size, 90.0, "middle"))
        items += _inside((x, y0), (x, y1))
    else:
        reach = 4.5
        items.append(Shape(Role.DIMENSION, (line((x, y0 - reach), (x, y1 + reach)),), width=_WIDTH))
        items += [_head((x, y0), (0.0, 1.0)), _head((x, y1), (0.0, -1.0))]
        items.append(Text(Role.DIMENSION, (x, y1 + reach + 0.9), text, size, anchor="middle"))
    return items


def _extension(start: Point, end: Point) -> Shape:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    ux, uy = dx / length, dy / length
    near = (start[0] + _GAP * ux, start[1] + _GAP * uy)
    return Shape(Role.DIMENSION, (line(near, (end[0] + _OVER * ux, end[1] + _OVER * uy)),), width=_WIDTH)


def _inside(a: Point, b: Point) -> list[Item]:
    length = max(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, 1e-9)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return [
        Shape(Role.DIMENSION, (line(a, b),), width=_WIDTH),
        _head(a, (-along[0], -along[1])),
        _head(b, along),
    ]


def _head(tip: Point, along: Point) -> Shape:
    """An arrow head that points along a unit vector."""
    back = (tip[0] - _HEAD[0] * along[0], tip[1] - _HEAD[0] * along[1])
    side = (-along[1] * _HEAD[1], along[0] * _HEAD[1])
    ring = (tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]))
    return Shape(Role.DIMENSION, (polygon(ring),), fill="#000000", stroke="none")
