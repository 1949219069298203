"""A scene as SVG at true scale.

The root carries millimetres and everything inside is unitless in a viewBox of millimetres, so no reader has
to guess a resolution. Coordinates are final: y is turned over here and no group is moved. Each role is a
group with a plain id; the attributes by which layered editors know a layer are added to it, and plain
readers ignore them.
"""

from __future__ import annotations

import re
from math import ceil
from typing import TYPE_CHECKING

import svgwrite
from svgwrite.extensions import Inkscape

from hullcut.drawing import font
from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Arc, Line, Scene, Shape, Text
from hullcut.drawing.segments import arc_point, arc_sweep, segment_end, segment_start
from hullcut.drawing.style import line_style

if TYPE_CHECKING:
    from svgwrite.base import BaseElement

    from hullcut.drawing.scene import Item, Path, Point, Role, Segment
    from hullcut.drawing.segments import Box

__all__ = ["to_svg"]


def _number(value: float) -> str:
    """A number with at most 4 decimals, never "-0"."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class _Ground:
    """From the scene's axes to the drawing's: origin top left, y down."""

    def __init__(self, scene: Scene) -> None:
        self.left, self.top = scene.x0, scene.y1

    def pair(self, point: Point) -> str:
        return f"{_number(point[0] - self.left)} {_number(self.top - point[1])}"

    def x(self, value: float) -> str:
        return _number(value - self.left)

    def y(self, value: float) -> str:
        return _number(self.top - value)


def _segment_data(segment: Segment, ground: _Ground) -> str:
    if isinstance(segment, Line):
        return f"L{ground.pair(segment.end)}"
    if not isinstance(segment, Arc):
        points = (segment.control1, segment.control2, segment.end)
        return "C" + " ".join(ground.pair(point) for point in points)
    sweep = arc_sweep(segment)
    radius = _number(segment.radius)
    # SVG tells an arc by its ends, from which the middle of a large one cannot be found to four decimals, so it
    # is drawn in parts. The y axis is turned over, and with it the meaning of the sweep flag.
    flag = "0" if sweep > 0 else "1"
    count = max(1, ceil(abs(sweep) / 120.0 - 1e-9))
    ends = [arc_point(segment, segment.start_deg + sweep * k / count) for k in range(1, count)]
    ends.append(segment_end(segment))
    return "".join(f"A{radius} {radius} 0 0 {flag} {ground.pair(point)}" for point in ends)


def _path_data(paths: tuple[Path, ...], ground: _Ground) -> str:
    parts = []
    for path in paths:
        if not path.segments:
            continue
        segments = path.segments
        if path.closed and len(segments) > 1 and isinstance(segments[-1], Line):
            # The closing command draws the last line.
            segments = segments[:-1]
        parts.append("M" + ground.pair(segment_start(path.segments[0])))
        parts.extend(_segment_data(segment, ground) for segment in segments)
        if path.closed:
            parts.append("Z")
    return "".join(parts)


def _overlap(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


class _Group:
    """Items of one role that are drawn together, and the boxes of all and of the filled ones among them."""

    def __init__(self, role: Role) -> None:
        self.role = role
        self.items: list[Item] = []
        self.boxes: list[Box] = []
        self.filled: list[Box] = []

    def add(self, item: Item, box: Box, filled: bool) -> None:
        self.items.append(item)
        self.boxes.append(box)
        if filled:
            self.filled.append(box)

    def hides(self, box: Box, filled: bool) -> bool:
        """Whether an item drawn before this group instead of after it would look different."""
        return any(_overlap(box, other) for other in (self.boxes if filled else self.filled))


def _groups(scene: Scene) -> list[_Group]:
    """Items by role, in an order that shows the same picture.

    An item joins an earlier group of its role unless that would put it behind something filled, or a fill behind
    something that it covers; then a further group of the role begins.
    """
    groups: list[_Group] = []
    for item in scene.items:
        if isinstance(item, Shape) and not any(path.segments for path in item.paths):
            continue
        box, filled = bounds(item), isinstance(item, Shape) and item.fill is not None
        home = None
        for group in reversed(groups):
            if group.role is item.role:
                home = group
                break
            if group.hides(box, filled):
                break
        if home is None:
            home = _Group(item.role)
            groups.append(home)
        home.add(item, box, filled)
    return groups


def _shape_element(drawing: svgwrite.Drawing, shape: Shape, ground: _Ground) -> BaseElement:
    element = drawing.path(d=_path_data(shape.paths, ground))
    if shape.fill is not None:
        element["fill"] = shape.fill
        element["fill-rule"] = "evenodd"
    if shape.stroke is not None:
        element["stroke"] = shape.stroke
    if shape.width is not None:
        element["stroke-width"] = _number(shape.width)
    if shape.ref:
        element.set_desc(title=shape.ref)
    return element


def _text_element(drawing: svgwrite.Drawing, text: Text, ground: _Ground) -> BaseElement:
    x, y = ground.x(text.at[0]), ground.y(text.at[1])
    element = drawing.text(text.text, x=[x], y=[y])
    element["font-size"] = _number(text.size)
    element["fill"] = text.colour or line_style(text.role).colour
    element["stroke"] = "none"
    if text.anchor != "start":
        element["text-anchor"] = text.anchor
    if text.bold:
        element["font-weight"] = "bold"
    if _number(text.angle % 360.0) != "0":
        element["transform"] = f"rotate({_number(-text.angle)} {x} {y})"
    return element


def _slug(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def to_svg(scene: Scene, debug: bool = False) -> str:
    """The scene as the text of an SVG file.

    Args:
        scene: what to draw, mm.
        debug: have every attribute checked while writing; slower.

    Returns:
        The whole file; the same scene always gives the same text.
    """
    width, height = _number(scene.width), _number(scene.height)
    drawing = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), profile="full", debug=debug)
    drawing["viewBox"] = f"0 0 {width} {height}"
    drawing["font-family"] = f"{font.FAMILY}, sans-serif"
    drawing["stroke-linejoin"] = "round"
    drawing.set_desc(title=scene.title, desc=f"{width} mm wide, {height} mm high, drawn at true size.")
    layers = Inkscape(drawing)
    ground = _Ground(scene)
    seen: dict[str, int] = {}
    for members in _groups(scene):
        role = members.role
        seen[role] = seen.get(role, 0) + 1
        label = role.value if seen[role] == 1 else f"{role.value} {seen[role]}"
        style = line_style(role)
        group = layers.layer(label=label, id=_slug(label))
        group["fill"] = "none"
        group["stroke"] = style.colour if style.width else "none"
        if style.width:
            group["stroke-width"] = _number(style.width)
        if style.dash:
            group["stroke-dasharray"] = ",".join(_number(length) for length in style.dash)
        group.set_desc(title=label)
        for item in members.items:
            if isinstance(item, Text):
                group.add(_text_element(drawing, item, ground))
            else:
                group.add(_shape_element(drawing, item, ground))
        drawing.add(group)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + str(drawing.tostring()) + "\n"
