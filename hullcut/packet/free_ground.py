"""Free ground in a picture: what is drawn, painted coarsely on squares, and the nearest place where words fit."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Line, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item, Point
    from hullcut.drawing.segments import Box

__all__ = ["Ground"]

# Side of a square, mm on paper.
_SQUARE = 0.25
# Words may start at every so many mm.
_STEP = 1.2
# Close by is within this share of the farthest that words may be off.
_CLOSE_BY = 0.35
# So many places are tried in the first go, and four times as many in each that follows.
_FIRST_TRIED = 4


class Ground:
    """What is taken of a picture.

    Args:
        items: what is drawn.
        box: within which words may stand.
        clear: how far words keep from what is drawn, mm.
    """

    def __init__(self, items: Sequence[Item], box: Box, clear: float) -> None:
        self._box, self._margin = box, clear
        # Free places by what was asked for, until more is drawn: the same is asked again with other lines to cross.
        self._found: dict[tuple[float, float, bool, Box], NDArray[np.float64]] = {}
        # A square more at each side, so that every word with its margin has whole squares round it.
        self._corner = (box[0] - clear - _SQUARE, box[1] - clear - _SQUARE)
        size = (box[2] - self._corner[0] + clear, box[3] - self._corner[1] + clear)
        self._taken = Image.new("L", (int(size[0] / _SQUARE) + 2, int(size[1] / _SQUARE) + 2))
        self._brush = ImageDraw.Draw(self._taken)
        points: list[Point] = []
        for item in items:
            if isinstance(item, Text):
                self.take_box(bounds(item))
                continue
            for path in item.paths:
                run = [segment.start for segment in path.segments if isinstance(segment, Line)]
                if item.fill is None and path.segments and isinstance(path.segments[-1], Line):
                    run.append(path.segments[-1].end)
                if len(run) > 1:
                    points += run
                    self._take(run, filled=item.fill is not None)
        self._inside = Image.new("L", self._taken.size)
        if len(points) > 2:
            whole = shapely.get_coordinates(shapely.convex_hull(shapely.linestrings(points)))
            ImageDraw.Draw(self._inside).polygon(self._squares(whole.tolist()), fill=1)

    def copy(self) -> Ground:
        """The same once more, for trying words in another order."""
        twin = copy.copy(self)
        twin._taken, twin._found = self._taken.copy(), {}
        twin._brush = ImageDraw.Draw(twin._taken)
        return twin

    def _squares(self, points: Sequence[Point]) -> list[tuple[float, float]]:
        x, y = self._corner
        return [((px - x) / _SQUARE, (py - y) / _SQUARE) for px, py in points]

    def _take(self, run: Sequence[Point], filled: bool) -> None:
        self._found.clear()
        squares = self._squares(run)
        if filled and len(squares) > 2:
            self._brush.polygon(squares, fill=1, outline=1)
            # A polygon's own outline leaves out squares of a sharp corner.
            squares.append(squares[0])
        self._brush.line(squares, fill=1)

    def take_box(self, box: Box) -> None:
        """Count a box as drawn."""
        x0, y0, x1, y1 = box
        self._take([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], filled=True)

    def take_line(self, start: Point, end: Point) -> None:
        """Count a line as drawn."""
        self._take([start, end], filled=False)

    def nearest(
        self, at: Point, size: tuple[float, float], farthest: float, crossed: Sequence[BaseGeometry], outside: bool
    ) -> Point | None:
        """The free place for a box that is nearest to a point, its lower left corner; None where there is none.

        Args:
            at: the point.
            size: of the box, mm.
            farthest: how far it may be off.
            crossed: lines that the shortest line from box to point must not cross.
            outside: whether the box must stand clear of the drawing's whole outline, gaps counted in.
        """
        lines = shapely.STRtree(crossed)
        # Most find room close by: only then is a small piece of the picture looked at.
        for reach in (_CLOSE_BY * farthest, farthest):
            found = self._nearest(at, size, reach, lines, outside)
            if found is not None:
                return found
        return None

    def _nearest(
        self, at: Point, size: tuple[float, float], farthest: float, lines: shapely.STRtree, outside: bool
    ) -> Point | None:
        wide, high = size
        near = (at[0] - farthest - wide, at[1] - farthest - high, at[0] + farthest, at[1] + farthest)
        if (key := (wide, high, outside, near)) not in self._found:
            self._found[key] = self._free(wide, high, outside, near)
        places = self._found[key]
        aside = np.maximum(np.maximum(places - at, at - places - size), 0.0)
        away = np.hypot(aside[:, 0], aside[:, 1])
        order = np.argsort(away, kind="stable")
        order = order[away[order] <= farthest]
        target, start, count = shapely.Point(at), 0, _FIRST_TRIED
        while start < len(order):
            tried = places[order[start : start + count]]
            boxes = shapely.box(tried[:, 0], tried[:, 1], tried[:, 0] + wide, tried[:, 1] + high)
            free = np.ones(len(tried), dtype=bool)
            if len(lines):
                leaders = np.asarray(shapely.shortest_line(boxes, target), dtype=object)
                free[lines.query(leaders, predicate="intersects")[0]] = False
            clear = np.flatnonzero(free)
            if len(clear):
                x, y = tried[clear[0]].tolist()
                return (round(x, 3), round(y, 3))
            start, count = start + count, 4 * count
        return None

    def _free(self, wide: float, high: float, outside: bool, near: Box) -> NDArray[np.float64]:
        """The lower left corners (n, 2) within a box of all boxes of a size that touch nothing."""
        x0, y0, x1, y1 = self._box
        xs, ys = np.arange(x0, x1 - wide + 1e-6, _STEP), np.arange(y0, y1 - high + 1e-6, _STEP)
        xs, ys = xs[(xs >= near[0]) & (xs <= near[2])], ys[(ys >= near[1]) & (ys <= near[3])]
        if not (len(xs) and len(ys)):
            return np.zeros((0, 2))
        left, low = self._row(xs, 0, -self._margin), self._row(ys, 1, -self._margin)
        right, top = self._row(xs, 0, wide + self._margin) + 1, self._row(ys, 1, high + self._margin) + 1
        part = (slice(low[0], top[-1]), slice(left[0], right[-1]))
        taken = np.asarray(self._taken)[part]
        if outside:
            taken = taken | np.asarray(self._inside)[part]
        # First along the rows, of which only the words' ends are kept: so few columns are left to add up.
        along = np.zeros((taken.shape[0], taken.shape[1] + 1), dtype=np.int32)
        np.cumsum(taken, axis=1, dtype=np.int32, out=along[:, 1:])
        across = along[:, right - left[0]] - along[:, left - left[0]]
        sums = np.zeros((across.shape[0] + 1, across.shape[1]), dtype=np.int32)
        np.cumsum(across, axis=0, out=sums[1:])
        free = sums[top - low[0]] == sums[low - low[0]]
        rows, columns = np.nonzero(free)
        return np.column_stack([xs[columns], ys[rows]])

    def _row(self, starts: NDArray[np.float64], axis: int, off: float) -> NDArray[np.int64]:
        """The numbers of the squares that lie so far from some starts."""
        return np.floor((starts + off - self._corner[axis]) / _SQUARE).astype(np.int64)
