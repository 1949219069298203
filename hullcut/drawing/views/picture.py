"""Pictures of some of a boat's bodies from one direction, as scenes at printed size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.paths import polygon, polyline
from hullcut.drawing.scene import Path, Role, Scene, Shape
from hullcut.drawing.style import ORANGE, VERMILLION
from hullcut.drawing.views.projection import Flat, flat_facets, hidings
from hullcut.drawing.views.solids import moved

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hullcut.drawing.scene import Item
    from hullcut.drawing.views.projection import Camera
    from hullcut.drawing.views.solids import Facet

__all__ = ["Look", "Shown", "View", "arrow"]

Array = NDArray[np.float64]

_LIGHT = np.array([-0.35, 0.45, 0.82])
_SILHOUETTE = 0.4
_EDGE = 0.18
# What shows of a facet in a strip narrower than twice this, mm on the boat, is left out; a line shows where it stands
# within this of what shows of its facet.
_SLIVER = 0.4


@dataclass(frozen=True, slots=True)
class Look:
    """How a body is coloured.

    Attributes:
        colour: "#rrggbb" in full light.
        shade: how much darker it gets away from the light, 0 to 1.
    """

    colour: str = "#ffffff"
    shade: float = 0.14


NEW = Look("#ffd27a", 0.16)
PLAIN = Look()


@dataclass(frozen=True, slots=True)
class Shown:
    """A body in a picture.

    Attributes:
        owner: which body.
        look: its colours.
        shift: away from its place, mm.
    """

    owner: str
    look: Look = PLAIN
    shift: tuple[float, float, float] = (0.0, 0.0, 0.0)


Key = tuple[str, tuple[float, float, float]]


@dataclass(frozen=True, slots=True)
class _Cover:
    """What one body hides of another's facet: facet's index, a number for the hider, hidden area, whether all of it."""

    facet: int
    area: shapely.Geometry
    whole: bool


@dataclass(frozen=True, slots=True)
class _Body:
    """A body as the camera sees it."""

    flats: tuple[Flat, ...]
    box: tuple[float, float, float, float]
    thin: tuple[shapely.Geometry, ...]
    wide: tuple[shapely.Geometry, ...]


@dataclass(frozen=True, slots=True)
class _Visible:
    """What is seen of one facet."""

    area: shapely.Geometry
    thin: shapely.Geometry
    wide: shapely.Geometry


class View:
    """All bodies from one direction; what hides what is found once for all pictures.

    Args:
        bodies: facets by owner, in order.
        eye: the direction.
    """

    def __init__(self, bodies: Mapping[str, Sequence[Facet]], eye: Camera) -> None:
        self.eye = eye
        self._bodies = bodies
        self._seen: dict[Key, _Body] = {}
        self._covers: dict[tuple[Key, Key], tuple[list[_Cover], list[_Cover]]] = {}
        self._visible: dict[tuple[Key, int, tuple[Key, ...]], _Visible] = {}

    def _body(self, shown: Shown) -> _Body:
        key = _key(shown)
        if key not in self._seen:
            flats = tuple(flat_facets(moved(self._bodies[shown.owner], shown.shift), self.eye, shown.owner))
            lines = [_edges(flat, self.eye) for flat in flats]
            box = _box(flats)
            self._seen[key] = _Body(flats, box, tuple(each[0] for each in lines), tuple(each[1] for each in lines))
        return self._seen[key]

    def _between(self, a: Shown, b: Shown) -> tuple[list[_Cover], list[_Cover]]:
        """What b hides of a, and what a hides of b."""
        key = (_key(a), _key(b))
        if key not in self._covers:
            ours, theirs = self._body(a).flats, self._body(b).flats
            of_a: list[_Cover] = []
            of_b: list[_Cover] = []
            for each in hidings(ours, theirs):
                whole = (theirs if each.swapped else ours)[each.hidden].polygon
                cover = _Cover(each.hidden, each.area, bool(each.area.area > 0.9995 * whole.area))
                (of_b if each.swapped else of_a).append(cover)
            self._covers[key] = (of_a, of_b)
        return self._covers[key]

    def _hidden(self, shown: Sequence[Shown]) -> list[dict[int, list[tuple[Key, _Cover]]]]:
        """For each body, by facet, what covers it and whose it is."""
        covers: list[dict[int, list[tuple[Key, _Cover]]]] = [{} for _ in shown]
        for a, ours in enumerate(shown):
            for b in range(a, len(shown)):
                theirs = shown[b]
                if _apart(self._body(ours).box, self._body(theirs).box):
                    continue
                of_a, of_b = self._between(ours, theirs)
                for cover in of_a:
                    covers[a].setdefault(cover.facet, []).append((_key(theirs), cover))
                for cover in of_b:
                    covers[b].setdefault(cover.facet, []).append((_key(ours), cover))
        return covers

    def _what_shows(self, shown: Shown, number: int, covers: list[tuple[Key, _Cover]]) -> _Visible | None:
        if any(cover.whole for _, cover in covers):
            return None
        body = self._body(shown)
        key = (_key(shown), number, tuple(whose for whose, _ in covers))
        if key not in self._visible:
            area, thin, wide = body.flats[number].polygon, body.thin[number], body.wide[number]
            if covers:
                hidden = shapely.union_all([cover.area for _, cover in covers])
                core = shapely.buffer(area.difference(hidden), -_SLIVER, join_style="mitre")
                area = shapely.buffer(core, _SLIVER, join_style="mitre")
                near = shapely.buffer(core, 2.0 * _SLIVER, join_style="mitre")
                thin, wide = thin.intersection(near), wide.intersection(near)
            self._visible[key] = _Visible(area, thin, wide)
        return self._visible[key]

    def bounds(self, shown: Sequence[Shown]) -> tuple[float, float, float, float]:
        """The picture's box in the camera's plane, mm on the boat."""
        boxes = np.array([self._body(each).box for each in shown if self._body(each).flats])
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))

    def items(self, shown: Sequence[Shown], scale: float = 1.0, origin: tuple[float, float] = (0.0, 0.0)) -> list[Item]:
        """The drawing, `origin` of the camera's plane at 0, 0, at a scale: fills first, then lines."""
        fills: dict[str, list[Path]] = {}
        thin: list[Path] = []
        wide: list[Path] = []
        for each, covers in zip(shown, self._hidden(shown), strict=True):
            for number, flat in enumerate(self._body(each).flats):
                seen = self._what_shows(each, number, covers.get(number, []))
                if seen is None:
                    continue
                areas = _area_paths(seen.area, scale, origin)
                if areas:
                    fills.setdefault(_shaded(each.look, flat.facet.normal), []).extend(areas)
                thin += _line_paths(seen.thin, scale, origin)
                wide += _line_paths(seen.wide, scale, origin)
        drawn: list[Item] = [
            Shape(Role.FILL, tuple(paths), fill=colour, stroke=colour, width=0.1) for colour, paths in fills.items()
        ]
        if thin:
            drawn.append(Shape(Role.THIN, tuple(thin), width=_EDGE))
        if wide:
            drawn.append(Shape(Role.OUTLINE, tuple(wide), width=_SILHOUETTE))
        return drawn

    def at(self, point: Array, scale: float, origin: tuple[float, float]) -> tuple[float, float]:
        """Where a point in space (3,) falls in a drawing made with the same scale and origin."""
        x, y = self.eye.project(np.asarray(point)[None, :])[0]
        return ((float(x) - origin[0]) * scale, (float(y) - origin[1]) * scale)

    def picture(
        self,
        title: str,
        shown: Sequence[Shown],
        width: float,
        height: float,
        arrows: Sequence[tuple[Array, Array]] = (),
        margin: float = 2.0,
    ) -> Scene:
        """A scene of at most the given size, mm on paper, just round the bodies.

        Args:
            title: told to screen readers.
            shown: the bodies.
            width: greatest.
            height: greatest.
            arrows: starts and ends in space of arrows that say how a body goes on.
            margin: left round the drawing.
        """
        x0, y0, x1, y1 = self.bounds(shown)
        for ends in arrows:
            flat = self.eye.project(np.array(ends))
            x0, y0 = min(x0, float(flat[:, 0].min())), min(y0, float(flat[:, 1].min()))
            x1, y1 = max(x1, float(flat[:, 0].max())), max(y1, float(flat[:, 1].max()))
        scale = min((width - 2.0 * margin) / (x1 - x0), (height - 2.0 * margin) / (y1 - y0))
        items = self.items(shown, scale, (x0, y0))
        for start, end in arrows:
            items.extend(arrow(self.at(start, scale, (x0, y0)), self.at(end, scale, (x0, y0))))
        right, top = (x1 - x0) * scale + margin, (y1 - y0) * scale + margin
        return Scene(title, -margin, -margin, right, top, tuple(items))


def arrow(start: tuple[float, float], end: tuple[float, float], colour: str = VERMILLION) -> list[Item]:
    """A plain arrow in the picture, mm on paper."""
    along = np.array(end) - np.array(start)
    length = float(np.hypot(*along))
    if length < 3.0:
        return []
    along /= length
    side = np.array([-along[1], along[0]])
    tip = np.array(end)
    neck = tip - 2.6 * along
    head = [tip, neck + 1.3 * side, neck - 1.3 * side]
    shaft = [np.array(start) + 0.45 * side, neck + 0.45 * side, neck - 0.45 * side, np.array(start) - 0.45 * side]
    return [
        Shape(Role.FILL, (polygon([(float(p[0]), float(p[1])) for p in ring]),), fill=colour, stroke="none")
        for ring in (shaft, head)
    ]


def _box(group: Sequence[Flat]) -> tuple[float, float, float, float]:
    if not group:
        return (0.0, 0.0, 0.0, 0.0)
    points = np.vstack([flat.rings[0] for flat in group])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return (float(x0), float(y0), float(x1), float(y1))


def _apart(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[2] < b[0] or a[0] > b[2] or a[3] < b[1] or a[1] > b[3]


def _key(shown: Shown) -> Key:
    return (shown.owner, shown.shift)


def _edges(flat: Flat, eye: Camera) -> tuple[shapely.Geometry, shapely.Geometry]:
    """A facet's corners as lines: those with both faces in sight, and those where the surface turns away."""
    thin: list[Array] = []
    wide: list[Array] = []
    for ring, border in zip(flat.rings, flat.facet.rings, strict=True):
        ends = np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)
        away = border.across @ eye.to_eye < 1e-9
        thin.extend(ends[border.drawn & ~away])
        wide.extend(ends[away])
    return (_joined(thin), _joined(wide))


def _joined(ends: Sequence[Array]) -> shapely.Geometry:
    return shapely.line_merge(shapely.multilinestrings(shapely.linestrings(ends))) if ends else shapely.LineString()


def _area_paths(area: shapely.Geometry, scale: float, origin: tuple[float, float]) -> list[Path]:
    paths = []
    for piece in shapely.get_parts(area):
        if piece.geom_type != "Polygon" or piece.area * scale * scale < 0.02:
            continue
        for ring in (piece.exterior, *piece.interiors):
            points = np.round((shapely.get_coordinates(ring) - np.array(origin)) * scale, 3)
            paths.append(polygon([(float(x), float(y)) for x, y in points[:-1]]))
    return paths


def _line_paths(lines: shapely.Geometry, scale: float, origin: tuple[float, float]) -> list[Path]:
    paths = []
    for piece in shapely.get_parts(lines):
        if piece.geom_type != "LineString" or piece.length * scale < 0.15:
            continue
        points = np.round((shapely.get_coordinates(piece) - np.array(origin)) * scale, 3)
        paths.append(polyline([(float(x), float(y)) for x, y in points]))
    return paths


def _shaded(look: Look, normal: Array) -> str:
    light = float(normal @ (_LIGHT / np.linalg.norm(_LIGHT)))
    level = 1.0 - look.shade * (1.0 - max(light, -0.3)) / 1.3
    parts = [round(int(look.colour[k : k + 2], 16) * level) for k in (1, 3, 5)]
    return "#" + "".join(f"{value:02x}" for value in parts)
