"""Building, measuring, moving and cutting the items of a scene."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.scene import Arc, Curve, Item, Line, Path, Point, Role, Scene, Segment, Shape, Text
from hullcut.drawing.segments import (
    Box,
    flatten,
    path_bounds,
    segment_bounds,
    segment_end,
    segment_start,
    split,
)
from hullcut.drawing.smooth import smooth_path

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

__all__ = [
    "Box",
    "Boxed",
    "Ink",
    "arc",
    "bounds",
    "bounds_of",
    "boxed",
    "circle",
    "clip_boxed",
    "clip_items",
    "fit",
    "flatten",
    "has_ink",
    "line",
    "meeting",
    "place",
    "polygon",
    "polyline",
    "rectangle",
    "scene_from",
    "smooth_path",
    "text_box",
    "transform",
]


def line(start: Point, end: Point) -> Path:
    """An open path of one straight line."""
    return Path((Line(start, end),), False)


def polyline(points: Sequence[Point]) -> Path:
    """An open path of straight lines through the points."""
    return Path(tuple(itertools.starmap(Line, itertools.pairwise(points))), False)


def polygon(points: Sequence[Point]) -> Path:
    """A closed path of straight lines through the points; the first is not repeated."""
    ends = [*points[1:], points[0]]
    return Path(tuple(map(Line, points, ends)), True)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Path:
    """A closed upright rectangle, counter-clockwise from its lower left corner."""
    return polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def circle(centre: Point, radius: float) -> Path:
    """A closed full circle, counter-clockwise."""
    return Path((Arc(centre, radius, 0.0, 360.0),), True)


def arc(centre: Point, radius: float, start_deg: float, end_deg: float, clockwise: bool = False) -> Path:
    """An open path of one arc, as `Arc`."""
    return Path((Arc(centre, radius, start_deg, end_deg, clockwise),), False)


def text_box(text: Text) -> tuple[Point, Point, Point, Point]:
    """The four corners of a text by the font's measures: base-line side first, counter-clockwise."""
    width = font.text_width(text.text, text.size, text.bold)
    start = {"start": 0.0, "middle": -0.5 * width, "end": -width}[text.anchor]
    low, high = -font.descent(text.size, text.bold), font.ascent(text.size, text.bold)
    c, s = cos(radians(text.angle)), sin(radians(text.angle))
    x, y = text.at

    def corner(along: float, up: float) -> Point:
        return (x + along * c - up * s, y + along * s + up * c)

    return (corner(start, low), corner(start + width, low), corner(start + width, high), corner(start, high))


def bounds(item: Item) -> Box:
    """The smallest upright box round an item, without its line width; a text by the font's measures."""
    if isinstance(item, Text):
        corners = text_box(item)
        xs, ys = [p[0] for p in corners], [p[1] for p in corners]
        return (min(xs), min(ys), max(xs), max(ys))
    return _join(path_bounds(path) for path in item.paths if path.segments)


def bounds_of(items: Iterable[Item]) -> Box:
    """The smallest upright box round all items.

    Raises:
        ValueError: there are none.
    """
    return _join(bounds(item) for item in items)


def _join(boxes: Iterable[Box]) -> Box:
    every = list(boxes)
    if not every:
        raise ValueError("nothing has no bounds")
    if len(every) == 1:
        return every[0]
    lefts, lows, rights, highs = zip(*every, strict=True)
    return (min(lefts), min(lows), max(rights), max(highs))


def _moved_arc(arc: Arc, centre: Point, scale: float, angle_deg: float, mirror_x: bool) -> Arc:
    first, last = arc.start_deg, arc.end_deg
    if mirror_x:
        first, last = 180.0 - first, 180.0 - last
    clockwise = arc.clockwise != mirror_x
    return Arc(centre, arc.radius * scale, first + angle_deg, last + angle_deg, clockwise)


def transform(
    item: Item,
    *,
    scale: float = 1.0,
    angle_deg: float = 0.0,
    mirror_x: bool = False,
    dx: float = 0.0,
    dy: float = 0.0,
) -> Item:
    """An item mirrored (x to -x), scaled, turned counter-clockwise about the origin, then shifted.

    A mirrored text takes the mirrored place but stays readable. Line widths keep.
    """
    c, s = scale * cos(radians(angle_deg)), scale * sin(radians(angle_deg))
    if angle_deg % 90.0 == 0.0:
        # A quarter turn is exact, so that straight edges stay so.
        quarter = int(angle_deg // 90) % 4
        c, s = ((scale, 0.0), (0.0, scale), (-scale, 0.0), (0.0, -scale))[quarter]
    mirror = -1.0 if mirror_x else 1.0

    def move(point: Point) -> Point:
        x, y = mirror * point[0], point[1]
        return (c * x - s * y + dx, s * x + c * y + dy)

    def moved(path: Path) -> Path:
        segments: list[Segment] = []
        last, end = None, (0.0, 0.0)
        for segment in path.segments:
            # Nearly all are lines, each of which begins at the very point where the one before ends.
            if isinstance(segment, Line):
                start = end if segment.start is last else move(segment.start)
                last, end = segment.end, move(segment.end)
                segments.append(Line(start, end))
            elif isinstance(segment, Arc):
                segments.append(_moved_arc(segment, move(segment.centre), scale, angle_deg, mirror_x))
            else:
                points = (segment.start, segment.control1, segment.control2, segment.end)
                segments.append(Curve(*map(move, points)))
        return Path(tuple(segments), path.closed)

    if isinstance(item, Text):
        angle, anchor = item.angle, item.anchor
        if mirror_x:
            angle, anchor = -angle, {"start": "end", "end": "start", "middle": "middle"}[anchor]
        return replace(item, at=move(item.at), size=item.size * scale, angle=angle + angle_deg, anchor=anchor)
    return replace(item, paths=tuple(map(moved, item.paths)))


def scene_from(title: str, items: Sequence[Item], margin: float = 5.0) -> Scene:
    """A scene just large enough for its items and a margin round them, mm.

    Raises:
        ValueError: there are no items.
    """
    x0, y0, x1, y1 = bounds_of(items)
    return Scene(title, x0 - margin, y0 - margin, x1 + margin, y1 + margin, tuple(items))


def place(
    scene: Scene,
    x: float,
    y: float,
    *,
    scale: float = 1.0,
    angle_deg: float = 0.0,
    mirror_x: bool = False,
) -> tuple[Item, ...]:
    """A scene's items, mirrored, scaled and turned, the lower left corner of its moved ground at x, y."""
    ground = Shape(Role.PAGE, (rectangle(scene.x0, scene.y0, scene.x1, scene.y1),))
    low_x, low_y, _, _ = bounds(transform(ground, scale=scale, angle_deg=angle_deg, mirror_x=mirror_x))
    return tuple(
        transform(item, scale=scale, angle_deg=angle_deg, mirror_x=mirror_x, dx=x - low_x, dy=y - low_y)
        for item in scene.items
    )


def fit(scene: Scene, box: Box, *, largest_scale: float = float("inf")) -> tuple[Item, ...]:
    """A scene's items scaled to stand as large as they can, centred, in a box."""
    width, height = box[2] - box[0], box[3] - box[1]
    scale = min(width / scene.width, height / scene.height, largest_scale)
    x = box[0] + 0.5 * (width - scale * scene.width)
    y = box[1] + 0.5 * (height - scale * scene.height)
    return place(scene, x, y, scale=scale)


@dataclass(frozen=True, slots=True)
class Boxed:
    """An item that draws something, measured once so that many boxes can be asked for it.

    Attributes:
        item: as it is.
        box: its bounds.
        paths: of a shape, each path, its bounds, and those of its segments.
    """

    item: Item
    box: Box
    paths: tuple[tuple[Path, Box, tuple[Box, ...]], ...] = ()


def boxed(items: Iterable[Item]) -> tuple[Boxed, ...]:
    """Items that draw anything, measured."""
    return tuple(
        _boxed_shape(item) if isinstance(item, Shape) else Boxed(item, bounds(item)) for item in items if _draws(item)
    )


def _draws(item: Item) -> bool:
    return isinstance(item, Text) or any(path.segments for path in item.paths)


def _boxed_shape(shape: Shape) -> Boxed:
    paths = []
    for path in shape.paths:
        if path.segments:
            boxes = tuple(segment_bounds(segment) for segment in path.segments)
            paths.append((path, _join(boxes), boxes))
    return Boxed(shape, _join(box for _, box, _ in paths), tuple(paths))


def meeting(items: Iterable[Boxed], box: Box) -> tuple[Boxed, ...]:
    """Those items whose bounds meet a box."""
    return tuple(each for each in items if not _apart(each.box, box))


def clip_items(items: Iterable[Item], box: Box) -> tuple[Item, ...]:
    """What of the items stands in a box: lines cut exactly at its sides, texts kept whole.

    Fills are cut as polygons to 0.01 mm. A writer that can should also clip, for the texts.
    """
    return clip_boxed(boxed(items), box)


def clip_boxed(items: Iterable[Boxed], box: Box) -> tuple[Item, ...]:
    """As `clip_items`, of measured items."""
    kept: list[Item] = []
    for each in meeting(items, box):
        if isinstance(each.item, Text) or _inside(each.box, box):
            kept.append(each.item)
        else:
            kept.extend(_clip_shape(each.item, each.paths, box))
    return tuple(kept)


def _inside(a: Box, box: Box) -> bool:
    return a[0] >= box[0] and a[1] >= box[1] and a[2] <= box[2] and a[3] <= box[3]


def _apart(a: Box, box: Box) -> bool:
    return a[2] < box[0] or a[0] > box[2] or a[3] < box[1] or a[1] > box[3]


def _clip_shape(shape: Shape, paths: Sequence[tuple[Path, Box, tuple[Box, ...]]], box: Box) -> list[Shape]:
    out = []
    if shape.fill is not None:
        filled = tuple(p for p in (_clip_area(path, box) for path, _, _ in paths) if p.segments)
        if filled:
            out.append(replace(shape, paths=filled, stroke="none"))
    if shape.stroke != "none":
        lines = tuple(piece for path, extent, boxes in paths for piece in _clip_lines(path, extent, boxes, box))
        if lines:
            out.append(replace(shape, paths=lines, fill=None))
    return out


def _clip_lines(path: Path, whole_extent: Box, extents: Sequence[Box], box: Box) -> list[Path]:
    """The stretches of a path inside a box, as open paths; the path itself if it is all inside."""
    if _inside(whole_extent, box):
        return [path]
    if _apart(whole_extent, box):
        return []
    runs: list[list[Segment]] = []
    open_run = False
    for whole, extent in zip(path.segments, extents, strict=True):
        if _apart(extent, box):
            open_run = False
            continue
        inside = _inside(extent, box)
        for part in (whole,) if inside else split(whole, box):
            if not inside and not _middle_inside(part, box):
                open_run = False
                continue
            if open_run:
                runs[-1].append(part)
            else:
                runs.append([part])
            open_run = True
    if path.closed and open_run and len(runs) > 1 and _near(runs[-1][-1], runs[0][0]):
        runs[0] = runs.pop() + runs[0]
    return [Path(tuple(run), False) for run in runs]


def _near(before: Segment, after: Segment) -> bool:
    a, b = segment_end(before), segment_start(after)
    return hypot(a[0] - b[0], a[1] - b[1]) < 1e-6


def _middle_inside(segment: Segment, box: Box) -> bool:
    """Whether a segment that crosses no side of the box is inside, told by the middle of its own box."""
    extent = segment_bounds(segment)
    x, y = 0.5 * (extent[0] + extent[2]), 0.5 * (extent[1] + extent[3])
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _clip_area(path: Path, box: Box) -> Path:
    """The part of a closed path's area inside a box (Sutherland and Hodgman, 1974)."""
    points: list[Point] = list(flatten(path, 0.01))
    for axis, value, way in ((0, box[0], 1), (0, box[2], -1), (1, box[1], 1), (1, box[3], -1)):
        kept: list[Point] = []
        for a, b in zip(points, [*points[1:], *points[:1]], strict=True):
            a_in, b_in = (a[axis] - value) * way >= 0, (b[axis] - value) * way >= 0
            if a_in:
                kept.append(a)
            if a_in != b_in:
                t = (value - a[axis]) / (b[axis] - a[axis])
                kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
        points = kept
    return polygon(points) if len(points) > 2 else Path((), True)


class Ink:
    """The lines and texts of a scene, measured once so that many boxes can be asked for them."""

    def __init__(self, scene: Scene) -> None:
        self._segments: list[tuple[Box, Segment]] = []
        self._texts: list[tuple[Box, Path]] = []
        for item in scene.items:
            if isinstance(item, Text):
                area = polygon(text_box(item))
                self._texts.append((path_bounds(area), area))
            elif item.stroke != "none" and item.role is not Role.FILL:
                segments = (segment for path in item.paths for segment in path.segments)
                self._segments.extend((segment_bounds(segment), segment) for segment in segments)

    def box(self) -> Box:
        """The smallest upright box round all ink.

        Raises:
            ValueError: there is none.
        """
        return _join([extent for extent, _ in self._segments] + [extent for extent, _ in self._texts])

    def stands_in(self, box: Box) -> bool:
        """Whether any line or text stands in a box."""
        for extent, segment in self._segments:
            if _apart(extent, box):
                continue
            if _inside(extent, box) or any(_middle_inside(part, box) for part in split(segment, box)):
                return True
        return any(not _apart(extent, box) and bool(_clip_area(area, box).segments) for extent, area in self._texts)


def has_ink(scene: Scene, box: Box) -> bool:
    """Whether any line or text of the scene stands in a box; a fill alone is no ink."""
    return Ink(scene).stands_in(box)
