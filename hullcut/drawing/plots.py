"""Plots as scenes: curves, bands, shaded ranges and levels over two axes with round ticks."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.paths import line, polygon, polyline, rectangle
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import BLACK, GREY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item, Point

__all__ = ["Band", "Bar", "Curve", "Level", "Mark", "Plot", "bars_scene", "plot_scene", "ticks"]

_TEXT, _NAME = 2.4, 2.6
_LEFT, _RIGHT, _FOOT, _HEAD = 15.0, 34.0, 10.5, 6.0
_TICK = 1.2
_SHADE = "#ececec"
_LABEL_STEP = 3.1


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points.

    Attributes:
        points: x and y, x growing; a gap where y is None.
        label: written at its right end; empty for none.
        colour: "#rrggbb".
        dashed: whether the line is broken.
        width: mm.
    """

    points: tuple[tuple[float, float | None], ...]
    label: str = ""
    colour: str = BLACK
    dashed: bool = False
    width: float = 0.5


@dataclass(frozen=True, slots=True)
class Band:
    """The area between a low and a high curve.

    Attributes:
        points: x, low y and high y, x growing.
        colour: "#rrggbb" of its fill.
        label: written at its right end; empty for none.
    """

    points: tuple[tuple[float, float, float], ...]
    colour: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """A level line right across.

    Attributes:
        y: where.
        label: written at its right end; empty for none.
        colour: "#rrggbb".
    """

    y: float
    label: str
    colour: str = GREY


@dataclass(frozen=True, slots=True)
class Mark:
    """An upright line from the foot to the head.

    Attributes:
        x: where.
        label: written over the plot.
        colour: "#rrggbb".
    """

    x: float
    label: str
    colour: str = GREY


@dataclass(frozen=True, slots=True)
class Bar:
    """Stretches of the x axis at which something holds.

    Attributes:
        name: of what holds.
        spans: where, each from and to.
    """

    name: str
    spans: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """What is plotted.

    Attributes:
        title: over the plot.
        x_name, y_name: of the axes, with units.
        x_range, y_range: of the axes; what lies outside is cut off.
        bands, curves, levels, marks: what is drawn, in this order.
        shaded: stretches of x with a grey ground.
    """

    title: str
    x_name: str
    y_name: str
    x_range: tuple[float, float]
    y_range: tuple[float, float]
    bands: tuple[Band, ...] = ()
    curves: tuple[Curve, ...] = ()
    levels: tuple[Level, ...] = ()
    marks: tuple[Mark, ...] = ()
    shaded: tuple[tuple[float, float], ...] = ()


def ticks(low: float, high: float, about: int = 6) -> tuple[float, ...]:
    """Round values (1, 2 or 5 times a power of ten apart) between two, about so many."""
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw - 1e-12)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(k * step, 10) + 0.0 for k in range(first, last + 1))


@dataclass(frozen=True, slots=True)
class _Ground:
    """Where the axes' ranges fall on the paper."""

    x_range: tuple[float, float]
    y_range: tuple[float, float]
    x0: float
    x1: float
    y0: float
    y1: float

    def x(self, value: float) -> float:
        low, high = self.x_range
        return self.x0 + (self.x1 - self.x0) * (value - low) / (high - low)

    def y(self, value: float) -> float:
        low, high = self.y_range
        return self.y0 + (self.y1 - self.y0) * (value - low) / (high - low)


def plot_scene(plot: Plot, width: float, height: float) -> Scene:
    """A plot of the given size, mm on paper.

    Args:
        plot: what is plotted.
        width: of the scene.
        height: of the scene.
    """
    ground = _Ground(plot.x_range, plot.y_range, _LEFT, width - _RIGHT, _FOOT, height - _HEAD - 4.0)
    beside = font.text_width(plot.title, 3.0, bold=True) + 2.0
    items: list[Item] = [
        Text(Role.LABEL, (0.0, height - 3.6), plot.title, 3.0, bold=True),
        Text(Role.LABEL, (beside, height - 3.6), plot.y_name, _NAME),
    ]
    items += _shades(plot.shaded, ground)
    labels: list[tuple[float, str, str]] = []
    for band in plot.bands:
        items += _band(band, ground)
        if band.label:
            _, low, high = band.points[-1]
            labels.append((ground.y(_within((low + high) / 2.0, plot.y_range)), band.label, BLACK))
    items += _axes(plot, ground)
    for level in plot.levels:
        y = ground.y(level.y)
        items.append(Shape(Role.HIDDEN, (line((ground.x0, y), (ground.x1, y)),), stroke=level.colour))
        if level.label:
            labels.append((y, level.label, level.colour))
    for curve in plot.curves:
        runs = _runs(curve.points, plot.x_range, plot.y_range)
        role = Role.HIDDEN if curve.dashed else Role.OUTLINE
        paths = tuple(polyline([(ground.x(x), ground.y(y)) for x, y in run]) for run in runs if len(run) > 1)
        items.append(Shape(role, paths, stroke=curve.colour, width=0.35 if curve.dashed else curve.width))
        if curve.label and runs and runs[-1]:
            labels.append((ground.y(runs[-1][-1][1]), curve.label, curve.colour))
    items += _beside(labels, ground)
    items += _marks(plot.marks, ground)
    return Scene(plot.title, 0.0, 0.0, width, height, tuple(items))


def bars_scene(title: str, bars: Sequence[Bar], x_range: tuple[float, float], width: float) -> Scene:
    """Bars over the same x axis as plots of this width, each with its name at the right."""
    row = 4.4
    height = len(bars) * row + 8.0
    ground = _Ground(x_range, (0.0, 1.0), _LEFT, width - _RIGHT, 0.0, 1.0)
    items: list[Item] = [Text(Role.LABEL, (0.0, height - 3.6), title, 3.0, bold=True)]
    for number, bar in enumerate(bars):
        y = height - 6.5 - (number + 1) * row + 1.2
        items.append(Shape(Role.THIN, (line((ground.x0, y + 1.0), (ground.x1, y + 1.0)),), stroke="#bbbbbb"))
        for start, stop in bar.spans:
            box = rectangle(ground.x(start), y, ground.x(stop), y + 2.0)
            items.append(Shape(Role.FILL, (box,), fill=GREY, stroke="none"))
        size = font.fit_size(bar.name, _RIGHT - 2.0, _TEXT)
        items.append(Text(Role.LABEL, (ground.x1 + 1.5, y + 0.2), bar.name, size))
    return Scene(title, 0.0, 0.0, width, height, tuple(items))


def _within(value: float, limits: tuple[float, float]) -> float:
    return min(max(value, limits[0]), limits[1])


def _shades(spans: Sequence[tuple[float, float]], ground: _Ground) -> list[Item]:
    return [
        Shape(
            Role.FILL,
            (rectangle(ground.x(start), ground.y0, ground.x(stop), ground.y1),),
            fill=_SHADE,
            stroke="none",
        )
        for start, stop in spans
    ]


def _band(band: Band, ground: _Ground) -> list[Item]:
    upper = [(ground.x(x), ground.y(_within(high, ground.y_range))) for x, _, high in band.points]
    lower = [(ground.x(x), ground.y(_within(low, ground.y_range))) for x, low, _ in band.points]
    return [Shape(Role.FILL, (polygon([*lower, *reversed(upper)]),), fill=band.colour, stroke="none")]


def _axes(plot: Plot, ground: _Ground) -> list[Item]:
    items: list[Item] = []
    frame = polyline([(ground.x0, ground.y1), (ground.x0, ground.y0), (ground.x1, ground.y0)])
    items.append(Shape(Role.THIN, (frame,), width=0.35))
    for value in ticks(*plot.x_range, about=max(4, int((ground.x1 - ground.x0) / 14.0))):
        x = ground.x(value)
        items.append(Shape(Role.THIN, (line((x, ground.y0), (x, ground.y0 - _TICK)),)))
        items.append(Text(Role.LABEL, (x, ground.y0 - 4.2), f"{value:g}", _TEXT, anchor="middle"))
    for value in ticks(*plot.y_range, about=max(5, int((ground.y1 - ground.y0) / 6.5))):
        y = ground.y(value)
        items.append(Shape(Role.THIN, (line((ground.x0, y), (ground.x0 - _TICK, y)),)))
        items.append(Text(Role.LABEL, (ground.x0 - 2.0, y - 0.36 * _TEXT), f"{value:g}", _TEXT, anchor="end"))
    middle = (ground.x0 + ground.x1) / 2.0
    items.append(Text(Role.LABEL, (middle, 1.6), plot.x_name, _NAME, anchor="middle"))
    return items


def _runs(
    points: Sequence[tuple[float, float | None]], x_range: tuple[float, float], y_range: tuple[float, float]
) -> list[list[Point]]:
    """The stretches of a curve inside the ranges, cut where they leave them."""
    runs: list[list[Point]] = [[]]
    for (xa, ya), (xb, yb) in itertools.pairwise(points):
        piece = None if ya is None or yb is None else _clipped((xa, ya), (xb, yb), x_range, y_range)
        if piece is None:
            runs.append([])
            continue
        start, stop = piece
        if not runs[-1] or runs[-1][-1] != start:
            runs.append([start])
        runs[-1].append(stop)
    return [run for run in runs if len(run) > 1]


def _clipped(
    a: Point, b: Point, x_range: tuple[float, float], y_range: tuple[float, float]
) -> tuple[Point, Point] | None:
    """The stretch from a to b inside a box; None where there is none (Liang and Barsky's way)."""
    low, high = 0.0, 1.0
    for start, delta, limits in ((a[0], b[0] - a[0], x_range), (a[1], b[1] - a[1], y_range)):
        for edge, sign in ((limits[0], -1.0), (limits[1], 1.0)):
            pace, room = sign * delta, sign * (edge - start)
            if pace == 0.0:
                if room < 0.0:
                    return None
            elif pace > 0.0:
                high = min(high, room / pace)
            else:
                low = max(low, room / pace)
    if low >= high:
        return None
    ends = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (low, high)]
    return (a if low == 0.0 else ends[0], b if high == 1.0 else ends[1])


def _beside(labels: Sequence[tuple[float, str, str]], ground: _Ground) -> list[Item]:
    """Labels at the right of the plot, moved apart where they would touch, but never off the plot's height."""
    placed = sorted(labels)
    heights = [max(y - 0.36 * _TEXT, ground.y0) for y, *_ in placed]
    for i in range(1, len(heights)):
        heights[i] = max(heights[i], heights[i - 1] + _LABEL_STEP)
    top = ground.y1 - 0.36 * _TEXT
    for i in range(len(heights) - 1, -1, -1):
        heights[i] = min(heights[i], top)
        top = heights[i] - _LABEL_STEP
    return [
        Text(
            Role.LABEL,
            (ground.x1 + 1.5, y),
            text,
            font.fit_size(text, _RIGHT - 2.0, _TEXT),
            colour=None if colour == GREY else colour,
        )
        for y, (_, text, colour) in zip(heights, placed, strict=True)
    ]


def _marks(marks: Sequence[Mark], ground: _Ground) -> list[Item]:
    """Upright lines with their labels over the plot, each on the side where there is room."""
    items: list[Item] = []
    reach = -math.inf
    for mark in sorted(marks, key=lambda each: each.x):
        x = ground.x(mark.x)
        items.append(Shape(Role.HIDDEN, (line((x, ground.y0), (x, ground.y1)),), stroke=mark.colour))
        half = font.text_width(mark.label, _TEXT) / 2.0
        start = max(x - half, reach + 1.5)
        items.append(Text(Role.LABEL, (start, ground.y1 + 0.8), mark.label, _TEXT))
        reach = start + 2.0 * half
    return items
