"""Finding free places for words on a part, so that no text stands on another or on a line."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, cast

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray

from hullcut.drawing.font import ascent, descent, text_width
from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Role, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Point

__all__ = ["LEADER", "LEGIBLE", "LINES", "PRINT", "FreeGround", "readable", "roomiest"]

Array = NDArray[np.float64]

_LEADING = 1.35
LEGIBLE = 2.75
"""Size of the font, mm, at which its capitals are 2 mm high."""

LINES = "lines "
"""How the reference of texts begins that stand one under another: with a page that is turned they turn as one."""

PRINT = "print "
"""How the reference of a text begins that stands in a print and is its name."""

LEADER = " leader "
"""In the reference of a leader's line and of its dot; the text that follows them stands at its end."""

# Curves on which words keep off are made plainer by so much, mm.
_PLAIN = 0.05
_DIRECTIONS = 24
# A leader shorter than this is not seen, mm.
_LEAST_LEADER = 2.5
_MOST_TRIES = 200
# So many places are tried in one go.
_AT_ONCE = 32
# Words along a line that leans past the upright so far, degrees, are still read from the same side as upright ones.
_LEANING = 105.0


class FreeGround:
    """The part of an outline on which nothing is drawn yet; texts placed on it take their room from it."""

    def __init__(self, outline: BaseGeometry, drawn: Sequence[BaseGeometry], gap: float) -> None:
        """Begin with an outline less everything drawn on it, each kept `gap` mm clear."""
        # With every point of its curves, which nobody sees the want of beside letters, a ground takes twice as long.
        outline = shapely.simplify(outline, _PLAIN)
        busy = shapely.union_all(shapely.buffer(shapely.simplify(drawn, _PLAIN), gap, quad_segs=1))
        self._ground = outline.difference(busy)
        self._outline = outline
        self._taken: list[BaseGeometry] = []
        self._words: list[BaseGeometry] = []
        self._rooms: list[tuple[shapely.Polygon, Point, float]] | None = None
        shapely.prepare(self._ground)

    @property
    def free(self) -> BaseGeometry:
        """What is left."""
        if self._taken:
            self._ground = self._ground.difference(shapely.union_all(self._taken))
            self._taken = []
            self._rooms = None
            shapely.prepare(self._ground)
        return self._ground

    @property
    def rooms(self) -> list[tuple[shapely.Polygon, Point, float]]:
        """The largest pieces of what is left, each with its roomiest place and how far that reaches."""
        free = self.free
        if self._rooms is None:
            parts = sorted(shapely.get_parts(free), key=lambda part: -part.area)[:3]
            regions = [part for part in parts if part.geom_type == "Polygon" and part.area >= 20.0]
            self._rooms = [(region, *roomiest(region)) for region in regions]
        return self._rooms

    def put(self, text: Text) -> bool:
        """Take the room of a text if all of it is free."""
        return self.put_all([text])

    def put_all(self, texts: Sequence[Text]) -> bool:
        """Take the room of some texts if all of it is free."""
        boxes = [shapely.Polygon(text_box(text)) for text in texts]
        if not self._fit(np.array(boxes)).all():
            return False
        for box in boxes:
            self.take(box)
        return True

    def take(self, shape: BaseGeometry) -> None:
        """Take a shape's room."""
        self._taken.append(shape.buffer(0.6, quad_segs=1))
        self._words.append(self._taken[-1])

    def _fit(self, boxes: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Which of some boxes (n,) are free altogether."""
        # What was taken last is asked by itself: cutting it out of a ground full of lines costs far more.
        fit: NDArray[np.bool_] = shapely.covers(self._ground, boxes)
        for taken in self._taken:
            fit &= ~shapely.intersects(taken, boxes)
        return fit

    def along(
        self,
        text: Text,
        line: Sequence[Point],
        step: float = 6.0,
        within: BaseGeometry | None = None,
        avoid: Sequence[BaseGeometry] = (),
    ) -> Text | None:
        """The text at the first free place along a line, turned to it and readable; None where there is none.

        Args:
            text: what is written.
            line: beside or on which it stands.
            step: between the places that are tried, mm.
            within: what the text may not leave, if anything.
            avoid: where it may not stand.
        """
        run = shapely.LineString(line)
        width = text_width(text.text, text.size, text.bold)
        if run.length < width:
            return None
        drop = (ascent(text.size, text.bold) - descent(text.size, text.bold)) / 2.0
        shares = np.array(_from_the_middle(int(max(1.0, (run.length - width) // step)) + 1))
        middles = width / 2.0 + shares * (run.length - width)
        starts, places, ends = (
            shapely.get_coordinates(shapely.line_interpolate_point(run, middles + off))
            for off in (-width / 2.0, 0.0, width / 2.0)
        )
        angles = _readable(np.degrees(np.arctan2(ends[:, 1] - starts[:, 1], ends[:, 0] - starts[:, 0])))
        turned = np.radians(angles)
        ats = places + drop * np.column_stack([np.sin(turned), -np.cos(turned)])
        boxes = _boxes(text, width, ats, turned)
        fit = self._fit(boxes)
        if within is not None:
            fit &= shapely.covers(within, boxes)
        for each in avoid:
            fit &= ~shapely.intersects(each, boxes)
        found = np.flatnonzero(fit)
        if not len(found):
            return None
        first = int(found[0])
        at = (float(ats[first, 0]), float(ats[first, 1]))
        placed = replace(text, at=at, angle=float(angles[first]), anchor="middle")
        self.take(shapely.Polygon(text_box(placed)))
        return placed

    def pointed(
        self, text: Text, run: Sequence[Point], avoid: Sequence[BaseGeometry], reach: float
    ) -> tuple[Text, tuple[Point, Point]] | None:
        """The text on free ground, upright or turned a quarter, with a leader to a line; None where there is no place.

        The leader crosses nothing that was placed before, and stays within the outline.

        Args:
            text: what is written.
            run: the line that is pointed at.
            avoid: where the text may not stand.
            reach: farthest that the text may stand from the line, mm.

        Returns:
            The text, and the leader from the line to the text.
        """
        target = shapely.LineString(run)
        inner = shapely.ops.substring(target, 0.08, 0.92, normalized=True)
        x0, y0, x1, y1 = inner.buffer(reach, quad_segs=1).intersection(shapely.box(*self._outline.bounds)).bounds
        spots = _crossings(_places_between(x0, x1), _places_between(y0, y1))
        # The place itself lies under its text, and points are asked for far sooner than boxes.
        spots = spots[shapely.intersects_xy(self._ground, spots[:, 0], spots[:, 1])]
        found: list[tuple[float, int, Text, shapely.Polygon]] = []
        for angle in (0.0, 90.0):
            turned = replace(text, at=(0.0, 0.0), angle=angle, anchor="middle")
            corners = np.array(text_box(turned))
            shapes = np.asarray(shapely.polygons(corners[None, :, :] + spots[:, None, :]), dtype=object)
            gaps = shapely.distance(shapes, inner)
            # The cheap question first: only what is near enough is held against everything that is drawn.
            near = np.flatnonzero((gaps <= reach) & (gaps >= _LEAST_LEADER))
            for each in avoid:
                near = near[~shapely.intersects(each, shapes[near])]
            chosen = [int(k) for k in near[self._fit(shapes[near])]]
            found += [
                (
                    float(gaps[k]),
                    len(found) + n,
                    replace(turned, at=(float(spots[k][0]), float(spots[k][1]))),
                    shapes[k],
                )
                for n, k in enumerate(chosen)
            ]
        for _, _, placed, box in sorted(found, key=lambda each: each[:2])[:_MOST_TRIES]:
            leader = shapely.shortest_line(inner, box)
            if not self._outline.covers(leader) or any(taken.intersects(leader) for taken in self._words):
                continue
            self.take(box)
            self.take(leader)
            start, end = shapely.get_coordinates(leader)
            return placed, ((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))
        return None

    def block(
        self, lines: Sequence[tuple[str, bool]], largest: float, *, whole: bool = False, least: float = LEGIBLE
    ) -> list[Text]:
        """A block of lines in the roomiest place, upright or turned a quarter, as large as fits; empty if none does.

        Args:
            lines: (text, bold), from the top; where only one line fits, they are joined.
            largest: size of the font, mm.
            whole: whether all lines stand or none; otherwise the first may stand alone.
            least: smallest size of the font, mm.
        """
        if not lines:
            return []
        joined = [("  ·  ".join(text for text, _ in lines), lines[0][1])]
        arrangements = [list(lines), joined] if len(lines) > 1 else [list(lines)]
        if len(lines) > 1 and not whole:
            arrangements.append([lines[0]])
        for arrangement in arrangements:
            for region, centre, radius in self.rooms:
                found = _at_the_roomiest(region, centre, radius, arrangement, largest, least)
                found = found or _anywhere(region, centre, arrangement, max(least, min(largest, 1.15 * least)), least)
                if found:
                    ends = [corner for text in found for corner in text_box(text)]
                    # All of the rectangle, for lines that are turned with their page change places.
                    self.take(shapely.MultiPoint(ends).envelope)
                    return found
        return []

    def slanting(self, text: str, largest: float, least: float = LEGIBLE) -> list[Text]:
        """One bold line along the longest way through the roomiest place, for a strip that runs aslant."""
        for region, centre, _ in self.rooms:
            angle = _longest_direction(region, centre)
            for size in _sizes(largest, least):
                texts = _stacked([(text, True)], centre, angle, size)
                box = shapely.Polygon(text_box(texts[0]))
                if region.covers(box):
                    self.take(box)
                    return texts
        return []


def _sizes(largest: float, least: float) -> list[float]:
    """Sizes from the largest down to the least."""
    sizes = []
    size = largest
    while size > least:
        sizes.append(size)
        size *= 0.88
    return [*sizes, least] if largest >= least else []


def _at_the_roomiest(
    region: BaseGeometry,
    centre: Point,
    radius: float,
    arrangement: Sequence[tuple[str, bool]],
    largest: float,
    least: float,
) -> list[Text]:
    most = min(largest, 2.0 * radius / (_LEADING * len(arrangement)))
    sizes = _sizes(most, least)
    if not sizes:
        return []
    shapely.prepare(region)
    for angle in (0.0, 90.0):
        texts = _stacked(arrangement, (0.0, 0.0), angle, 1.0)
        # A page may turn the part half round, and the lines then change places.
        texts += _stacked(arrangement[::-1], (0.0, 0.0), angle, 1.0) if len(texts) > 1 else []
        corners = np.array([text_box(text) for text in texts]) * np.array(sizes)[:, None, None, None] + np.array(centre)
        low, high = corners.min(axis=2), corners.max(axis=2)
        boxes = shapely.box(low[..., 0], low[..., 1], high[..., 0], high[..., 1])
        fitting = np.flatnonzero(shapely.covers(region, boxes).all(axis=1))
        if len(fitting):
            return _stacked(arrangement, centre, angle, sizes[int(fitting[0])])
    return []


def _anywhere(
    region: BaseGeometry, centre: Point, arrangement: Sequence[tuple[str, bool]], largest: float, least: float
) -> list[Text]:
    """A block at the place nearest to the roomiest where it stands free."""
    x0, y0, x1, y1 = region.bounds
    spots = _crossings(_rows_between(x0, x1), _rows_between(y0, y1))
    if not len(spots):
        return []
    shapely.prepare(region)
    # A block's middle stands free too, and points are asked for far sooner than boxes.
    spots = spots[shapely.intersects_xy(region, spots[:, 0], spots[:, 1])]
    spots = spots[np.argsort(np.linalg.norm(spots - np.array(centre), axis=1), kind="stable")]
    for angle in (0.0, 90.0):
        for size in dict.fromkeys((largest, least)):
            texts = _stacked(arrangement, (0.0, 0.0), angle, size)
            corners = np.array([text_box(text) for text in texts]).reshape(-1, 2)
            low, high = corners.min(axis=0), corners.max(axis=0)
            found = _first_covered(region, spots, low, high)
            if found is not None:
                x, y = found
                return [replace(text, at=(text.at[0] + x, text.at[1] + y)) for text in texts]
    return []


def _first_covered(region: BaseGeometry, spots: Array, low: Array, high: Array) -> Point | None:
    """The first of some places (n, 2) about which a box, told from there, lies in a region; None where none does."""
    for x in (low[0], high[0]):
        for y in (low[1], high[1]):
            spots = spots[shapely.intersects_xy(region, spots[:, 0] + x, spots[:, 1] + y)]
    for start in range(0, len(spots), _AT_ONCE):
        some = spots[start : start + _AT_ONCE]
        least, most = some + low, some + high
        free = np.flatnonzero(shapely.covers(region, shapely.box(least[:, 0], least[:, 1], most[:, 0], most[:, 1])))
        if len(free):
            x, y = some[int(free[0])].tolist()
            return (x, y)
    return None


def _crossings(xs: Array, ys: Array) -> Array:
    """The places (n, 2) where columns and rows cross."""
    return np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)


def _places_between(low: float, high: float) -> Array:
    """Places 3 mm apart, or farther where that would be many."""
    return np.linspace(low, high, int(min((high - low) / 3.0, 90.0)) + 2)


def _rows_between(low: float, high: float) -> Array:
    """Places across a region, 4 mm apart or as many as serve."""
    return np.linspace(low, high, int(min(max((high - low) / 3.0, 3.0), 40.0)) + 2)[1:-1]


def roomiest(region: shapely.Polygon) -> tuple[Point, float]:
    """The place in a region with the most room about it, and how far that reaches; of a strip, its middle."""
    # Corner by corner along a smooth curve the search takes ten times as long.
    circle = shapely.maximum_inscribed_circle(cast("shapely.Polygon", region.simplify(0.2)), tolerance=1.0)
    middle = region.centroid
    reach = middle.distance(region.exterior) if region.contains(middle) else 0.0
    if reach >= 0.85 * circle.length:
        return (middle.x, middle.y), reach
    return (circle.coords[0][0], circle.coords[0][1]), circle.length


def _from_the_middle(count: int) -> list[float]:
    """Shares of a line from its middle outward."""
    if count == 1:
        return [0.5]
    shares = [i / (count - 1) for i in range(count)]
    return sorted(shares, key=lambda share: (abs(share - 0.5), share))


def readable(angle: float) -> float:
    """An angle turned half round where words would stand on their head; upright ones are read from the right."""
    return float(_readable(np.array([angle]))[0])


def _readable(angles: Array) -> Array:
    turned = (angles + 180.0) % 360.0 - 180.0
    return np.where(turned > _LEANING, turned - 180.0, np.where(turned <= _LEANING - 180.0, turned + 180.0, turned))


def _boxes(text: Text, width: float, ats: Array, turned: Array) -> NDArray[np.object_]:
    """The boxes (n,) of a text centred at places (n, 2), turned by angles (n,), radians; as `text_box` tells one."""
    low, high = -descent(text.size, text.bold), ascent(text.size, text.bold)
    along = np.array([-0.5, 0.5, 0.5, -0.5]) * width
    up = np.array([low, low, high, high])
    cos, sin = np.cos(turned)[:, None], np.sin(turned)[:, None]
    corners = np.stack([ats[:, :1] + along * cos - up * sin, ats[:, 1:] + along * sin + up * cos], axis=2)
    boxes: NDArray[np.object_] = np.asarray(shapely.polygons(corners), dtype=object)
    return boxes


def _longest_direction(region: BaseGeometry, centre: Point) -> float:
    """Direction of the longest straight line through a point inside a region, degrees; level wins a near tie."""
    x0, y0, x1, y1 = region.bounds
    reach = float(np.hypot(x1 - x0, y1 - y0))
    angles = np.arange(_DIRECTIONS) * 180.0 / _DIRECTIONS
    units = np.column_stack([np.cos(np.radians(angles)), np.sin(np.radians(angles))])
    middle = np.array(centre)
    lines = shapely.linestrings(np.stack([middle - reach * units, middle + reach * units], axis=1))
    lengths = [_piece_at(line.intersection(region), middle) for line in np.atleast_1d(np.asarray(lines))]
    best = int(
        np.argmax([length * (1.15 if angle == 0.0 else 1.0) for length, angle in zip(lengths, angles, strict=True)])
    )
    return float(_readable(angles[best]))


def _piece_at(crossing: BaseGeometry, middle: NDArray[np.float64]) -> float:
    spot = shapely.Point(middle)
    return max(
        (float(piece.length) for piece in shapely.get_parts(crossing) if piece.distance(spot) < 1e-6), default=0.0
    )


def _stacked(lines: Sequence[tuple[str, bool]], centre: Point, angle: float, size: float) -> list[Text]:
    """Lines set one under another about a point."""
    turned = math.radians(angle)
    texts = []
    ref = f"{LINES}{lines[0][0]}" if len(lines) > 1 else ""
    for i, (text, bold) in enumerate(lines):
        rise = ((len(lines) - 1) / 2.0 - i) * size * _LEADING - (ascent(size) - descent(size)) / 2.0
        at = (centre[0] - rise * math.sin(turned), centre[1] + rise * math.cos(turned))
        texts.append(Text(Role.LABEL, at, text, size, float(angle), "middle", ref=ref, bold=bold))
    return texts
