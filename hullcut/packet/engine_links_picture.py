"""How the throttle's rod and the kill switch take hold of the engine: a plain sketch, for engines differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.paths import circle, line, polygon, polyline, rectangle, transform
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.views.picture import NEW, arrow
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE

if TYPE_CHECKING:
    from hullcut.drawing.scene import Item, Path, Point, Scene
    from hullcut.packet.studio import Studio

__all__ = ["engine_links"]

_SIZE, _METAL = 2.3, "#b9c4cf"
# Turns of the spring as it is drawn, and half its breadth, mm.
_TURNS, _SPRING = 5, 1.3


def engine_links(studio: Studio, width: float, height: float) -> Scene:
    """Lever, spring and rod at the carburettor; beside them the kill switch between stop wire and bare metal.

    It is the same for every boat: how an engine is stopped and throttled depends on no size of the hull.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    del studio
    items = [*_at_the_carburettor(), *(transform(item, dx=56.0) for item in _at_the_ignition())]
    return fitted("How throttle and kill switch are joined to the engine", items, width, height, (0.5, 1.0))


def _at_the_carburettor() -> list[Item]:
    body, pivot, hole = rectangle(20.0, 4.0, 42.0, 20.0), (26.0, 20.0), (21.0, 33.0)
    lever = polygon([(24.4, 19.2), (19.3, 34.2), (22.7, 35.2), (27.8, 20.4)])
    return [
        Text(Role.LABEL, (0.0, 42.0), "The throttle", END_SIZE, bold=True),
        _solid(body, "#ffffff"),
        Text(Role.LABEL, (31.0, 11.0), "carburettor", _SIZE, anchor="middle"),
        _solid(lever, _METAL),
        _solid(circle(pivot, 1.2), "#ffffff"),
        Shape(Role.OUTLINE, (polyline(_spring((24.0, 28.0), (40.0, 28.0))),), width=0.3),
        _solid(rectangle(40.0, 20.0, 42.0, 30.0), _METAL),
        _solid(rectangle(0.0, hole[1] - 0.8, hole[0] + 1.5, hole[1] + 0.8), NEW.colour),
        _solid(circle(hole, 0.5), "#000000"),
        *arrow((12.0, 37.5), (3.0, 37.5)),
        Text(Role.LABEL, (13.0, 36.7), "pulled: more throttle", _SIZE),
        Text(Role.LABEL, (0.0, 28.4), "rod from", _SIZE),
        Text(Role.LABEL, (0.0, 25.4), "the servo", _SIZE),
        Text(Role.LABEL, (43.0, 28.4), "spring: pulls", _SIZE),
        Text(Role.LABEL, (43.0, 25.4), "it shut", _SIZE),
        Text(Role.LABEL, (11.0, 21.0), "lever", _SIZE),
        Shape(Role.DIMENSION, (line((17.6, 21.9), (24.2, 23.6)),), width=0.18),
    ]


def _at_the_ignition() -> list[Item]:
    switch = (22.0, 20.0)
    return [
        Text(Role.LABEL, (6.0, 42.0), "The kill switch", END_SIZE, bold=True),
        _solid(rectangle(28.0, 4.0, 44.0, 24.0), "#ffffff"),
        Text(Role.LABEL, (36.0, 15.0), "engine", _SIZE, anchor="middle"),
        _solid(rectangle(30.0, 27.0, 44.0, 36.0), _METAL),
        Text(Role.LABEL, (37.0, 30.7), "ignition", _SIZE, anchor="middle"),
        _solid(rectangle(6.0, 14.0, *switch), NEW.colour),
        Text(Role.LABEL, (14.0, 16.2), "kill switch", _SIZE, anchor="middle"),
        Shape(Role.OUTLINE, (polyline([(14.0, 20.0), (14.0, 31.5), (30.0, 31.5)]),), width=0.35),
        Text(Role.LABEL, (15.0, 32.6), "stop wire", _SIZE),
        Shape(Role.OUTLINE, (polyline([(14.0, 14.0), (14.0, 8.0), (30.0, 8.0)]),), width=0.35),
        _solid(circle((31.0, 8.0), 1.3), "#ffffff"),
        Text(Role.LABEL, (10.0, 4.0), "to bare metal", _SIZE),
    ]


def _spring(start: Point, end: Point) -> list[Point]:
    """A zigzag between two points on one height."""
    (x0, y), (x1, _) = start, end
    step = (x1 - x0) / (2 * _TURNS + 2)
    teeth = [(x0 + step * (number + 1.5), y + _SPRING * (1.0 if number % 2 else -1.0)) for number in range(2 * _TURNS)]
    return [start, (x0 + step, y), *teeth, (x1 - step, y), end]


def _solid(path: Path, fill: str) -> Shape:
    return Shape(Role.OUTLINE, (path,), fill=fill, width=0.3)
