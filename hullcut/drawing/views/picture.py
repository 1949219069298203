"""Pictures of some of a boat's bodies from one direction, as scenes at printed size."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.paths import polygon, polyline
from hullcut.drawing.scene import Role, Scene, Shape
from hullcut.drawing.style import VERMILLION
from hullcut.drawing.views.in_sight import Hidden, Visible, what_shows
from hullcut.drawing.views.projection import EDGE_ON, Flat, flat_bodies, hidings
from hullcut.drawing.views.solids import moved

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.drawing.scene import Item
    from hullcut.drawing.views.projection import Camera, Hiding
    from hullcut.drawing.views.solids import Facet

__all__ = ["Look", "Shown", "View", "arrow"]

Array = NDArray[np.float64]

_LIGHT = np.array([-0.35, 0.45, 0.82])
_SILHOUETTE = 0.4
_EDGE = 0.18
_LEAST_ARROW = 8.0
# Beyond a corner, a surface seen more edge-on than this (cosine to the line of sight) counts as turned away: of a
# plank's edge less than a line's width is seen.
_TURNED_AWAY = 0.06
# Points nearer than this to one another are one, mm on paper.
_TOUCHING = 0.02


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


class _Cover(NamedTuple):
    """What hides some of a facet: whose facet it is, its area as far as it hides, whether it hides all, and touches."""

    hider: Key
    facet: int
    area: BaseGeometry
    whole: bool
    touches: bool


@dataclass(frozen=True, slots=True)
class _Body:
    """A body as the camera sees it."""

    flats: tuple[Flat, ...]
    thin: tuple[BaseGeometry, ...]
    wide: tuple[BaseGeometry, ...]
    lights: tuple[float, ...]
    box: tuple[float, float, float, float]


# By the body that is hidden, then by the one that hides it: which facet, and by what.
Covers = dict[Key, dict[Key, list[tuple[int, _Cover]]]]
# A facet among those that hide some of it.
_Name = tuple[Key, int, tuple[tuple[Key, int], ...]]


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
        self._covers: Covers = {}
        self._compared: set[tuple[Key, Key]] = set()
        self._visible: dict[_Name, Visible] = {}

    def _look_at(self, keys: Sequence[Key]) -> None:
        """Project those bodies that are not known yet, all in one go."""
        fresh = [key for key in dict.fromkeys(keys) if key not in self._seen]
        bodies = flat_bodies([moved(self._bodies[owner], shift) for owner, shift in fresh], self.eye)
        flats = [flat for body in bodies for flat in body]
        thin, wide = _edges(flats, self.eye)
        lights = _lights(flats)
        start = 0
        for key, body in zip(fresh, bodies, strict=True):
            own = slice(start, start + len(body))
            self._seen[key] = _Body(tuple(body), thin[own], wide[own], lights[own], _box(body))
            start += len(body)

    def _compare(self, keys: Sequence[Key]) -> None:
        """Find what the bodies hide of one another, as far as that is not known yet."""
        # In the order in which they are found; a dict, for they are asked for one another many times.
        fresh = {key: None for key in keys if (key, key) not in self._compared}
        for key in keys:
            if key not in fresh and any((key, other) not in self._compared for other in keys if other not in fresh):
                fresh[key] = None
        if not fresh:
            return
        self._look_at(keys)
        ours = self._listed(list(fresh))
        others = self._listed([key for key in keys if key not in fresh])
        for theirs in (ours, others):
            for each in hidings(ours[0], theirs[0]):
                hidden, hider = (theirs, ours) if each.swapped else (ours, theirs)
                self._note(hidden[1][each.hidden], hider[1][each.hider], each)
        self._compared.update((a, b) for a in keys for b in keys if a in fresh or b in fresh)

    def _note(self, hidden: tuple[Key, int], hider: tuple[Key, int], found: Hiding) -> None:
        (key, number), (other, facet) = hidden, hider
        if (key, other) not in self._compared:
            cover = _Cover(other, facet, found.area, found.whole, found.touches)
            self._covers.setdefault(key, {}).setdefault(other, []).append((number, cover))

    def _listed(self, keys: Sequence[Key]) -> tuple[list[Flat], list[tuple[Key, int]]]:
        """All facets of some bodies, and whose they are."""
        flats: list[Flat] = []
        names: list[tuple[Key, int]] = []
        for key in keys:
            for number, flat in enumerate(self._seen[key].flats):
                flats.append(flat)
                names.append((key, number))
        return flats, names

    def _in_sight(self, keys: Sequence[Key]) -> list[list[tuple[int, Visible]]]:
        """For each body the numbers of its facets of which some may be seen among all, and what is seen of each."""
        names = [self._names(key, keys) for key in keys]
        fresh: dict[_Name, Hidden] = {}
        for named in names:
            for name, covers in named:
                if name not in self._visible:
                    fresh[name] = self._hidden(name, covers)
        self._visible |= zip(fresh, what_shows(list(fresh.values())), strict=True)
        return [[(name[1], self._visible[name]) for name, _ in named] for named in names]

    def _names(self, key: Key, keys: Sequence[Key]) -> list[tuple[_Name, Sequence[_Cover]]]:
        """A body's facets that are not hidden as a whole, and what hides some of each."""
        covers: dict[int, list[_Cover]] = {}
        hiders = self._covers.get(key, {})
        for other in keys if hiders else ():
            for number, cover in hiders.get(other, ()):
                covers.setdefault(number, []).append(cover)
        found: list[tuple[_Name, Sequence[_Cover]]] = []
        for number in range(len(self._seen[key].flats)):
            some = covers.get(number, ())
            if not any(cover.whole for cover in some):
                found.append(((key, number, tuple((cover.hider, cover.facet) for cover in some)), some))
        return found

    def _hidden(self, name: _Name, covers: Sequence[_Cover]) -> Hidden:
        body, number = self._seen[name[0]], name[1]
        areas = tuple(cover.area for cover in covers)
        touched = any(cover.touches for cover in covers)
        return Hidden(body.flats[number].polygon, body.thin[number], body.wide[number], areas, touched)

    def bounds(self, shown: Sequence[Shown]) -> tuple[float, float, float, float]:
        """The picture's box in the camera's plane, mm on the boat."""
        self._look_at([_key(each) for each in shown])
        bodies = [self._seen[_key(each)] for each in shown]
        boxes = np.array([body.box for body in bodies if body.flats])
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))

    def items(self, shown: Sequence[Shown], scale: float = 1.0, origin: tuple[float, float] = (0.0, 0.0)) -> list[Item]:
        """The drawing, `origin` of the camera's plane at 0, 0, at a scale: fills first, then lines."""
        fills: dict[str, list[Array]] = {}
        thin: list[Array] = []
        wide: list[Array] = []
        keys = [_key(each) for each in shown]
        self._compare(keys)
        for each, key, in_sight in zip(shown, keys, self._in_sight(keys), strict=True):
            lights = self._seen[key].lights
            for number, seen in in_sight:
                if seen.rings:
                    fills.setdefault(_shaded(each.look, lights[number]), []).extend(seen.rings)
                thin += seen.thin
                wide += seen.wide
        areas = {
            colour: tuple(polygon(points) for points in _on_paper(rings, scale, origin, 3))
            for colour, rings in fills.items()
        }
        thin_lines, wide_lines = (
            tuple(polyline(points) for points in _on_paper(lines, scale, origin, 2)) for lines in (thin, wide)
        )
        drawn: list[Item] = [
            Shape(Role.FILL, paths, fill=colour, stroke=colour, width=0.1) for colour, paths in areas.items() if paths
        ]
        if thin_lines:
            drawn.append(Shape(Role.THIN, thin_lines, width=_EDGE))
        if wide_lines:
            drawn.append(Shape(Role.OUTLINE, wide_lines, width=_SILHOUETTE))
        return drawn

    def seen_points(self, shown: Sequence[Shown]) -> dict[str, tuple[float, float]]:
        """For each owner that shows, a point inside the largest patch seen of it, in the camera's plane."""
        return {owner: point for owner, (point, _) in self.seen_patches(shown).items()}

    def seen_patches(self, shown: Sequence[Shown]) -> dict[str, tuple[tuple[float, float], float]]:
        """The same, each with the area of its patch, mm2 on the boat."""
        keys = [_key(each) for each in shown]
        self._compare(keys)
        found: dict[str, tuple[tuple[float, float], float]] = {}
        for each, in_sight in zip(shown, self._in_sight(keys), strict=True):
            patches = [seen.rings for _, seen in in_sight if seen.rings]
            wholes = _areas([rings[0] for rings in patches])
            best = 4.0
            # The largest first, so that those need not be looked at that are smaller even with their holes filled.
            for k in np.argsort(-wholes, kind="stable").tolist():
                if wholes[k] <= best:
                    break
                patch = _patch(patches[k])
                if patch.area > best:
                    best = patch.area
                    inside = patch.representative_point()
                    found[each.owner] = ((inside.x, inside.y), best)
        return found

    def seen_areas(self, shown: Sequence[Shown], owners: Collection[str]) -> dict[str, list[shapely.Polygon]]:
        """What is seen of some owners, patch by patch in the camera's plane, the largest first."""
        keys = [_key(each) for each in shown]
        self._compare(keys)
        found: dict[str, list[shapely.Polygon]] = {owner: [] for owner in owners}
        for each, in_sight in zip(shown, self._in_sight(keys), strict=True):
            if each.owner in found:
                found[each.owner] += [_patch(seen.rings) for _, seen in in_sight if seen.rings]
        return {owner: sorted(patches, key=lambda patch: -patch.area) for owner, patches in found.items()}

    def at(self, point: Array, scale: float, origin: tuple[float, float]) -> tuple[float, float]:
        """Where a point in space (3,) falls in a drawing made with the same scale and origin."""
        x, y = self.eye.project(np.asarray(point)[None, :])[0]
        return ((float(x) - origin[0]) * scale, (float(y) - origin[1]) * scale)

    def frame(
        self,
        shown: Sequence[Shown],
        width: float,
        height: float,
        arrows: Sequence[tuple[Array, Array]] = (),
        margin: float = 2.0,
    ) -> tuple[float, tuple[float, float], tuple[float, float]]:
        """Scale, origin in the camera's plane, and upper right corner there, of a picture of at most the given size.

        The arguments are those of `picture`.
        """
        x0, y0, x1, y1 = self.bounds(shown)
        for ends in arrows:
            flat = self.eye.project(np.array(ends))
            x0, y0 = min(x0, float(flat[:, 0].min())), min(y0, float(flat[:, 1].min()))
            x1, y1 = max(x1, float(flat[:, 0].max())), max(y1, float(flat[:, 1].max()))
        return min((width - 2.0 * margin) / (x1 - x0), (height - 2.0 * margin) / (y1 - y0)), (x0, y0), (x1, y1)

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
        scale, (x0, y0), (x1, y1) = self.frame(shown, width, height, arrows, margin)
        items = self.items(shown, scale, (x0, y0))
        for start, end in arrows:
            items.extend(_long_arrow(self.at(start, scale, (x0, y0)), self.at(end, scale, (x0, y0))))
        right, top = (x1 - x0) * scale + margin, (y1 - y0) * scale + margin
        return Scene(title, -margin, -margin, right, top, tuple(items))


def _long_arrow(start: tuple[float, float], end: tuple[float, float]) -> list[Item]:
    """An arrow that is long enough to be seen; a short one begins farther off."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = float(np.hypot(dx, dy))
    if 0.5 < length < _LEAST_ARROW:
        start = (end[0] - dx / length * _LEAST_ARROW, end[1] - dy / length * _LEAST_ARROW)
    return arrow(start, end)


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


def _areas(rings: Sequence[Array]) -> Array:
    """The area (n,) within each ring."""
    if not rings:
        return np.zeros(0)
    whose = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    return np.asarray(shapely.area(shapely.polygons(shapely.linearrings(np.concatenate(rings), indices=whose))))


def _patch(rings: Sequence[Array]) -> shapely.Polygon:
    """What is seen of a facet: its first piece with the holes in that."""
    outer, *others = rings
    return shapely.Polygon(outer, [hole for hole in others if _within(hole, outer)])


def _within(inner: Array, outer: Array) -> bool:
    return bool(shapely.Polygon(outer).contains(shapely.Polygon(inner)))


def _key(shown: Shown) -> Key:
    return (shown.owner, shown.shift)


def _edges(flats: Sequence[Flat], eye: Camera) -> tuple[tuple[BaseGeometry, ...], tuple[BaseGeometry, ...]]:
    """The corners of each facet as lines: with both faces in sight, and where the surface turns away."""
    if not flats:
        return (), ()
    borders = [(ring, border) for flat in flats for ring, border in zip(flat.rings, flat.facet.rings, strict=True)]
    ends = np.concatenate([np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring, _ in borders])
    drawn = np.concatenate([border.drawn for _, border in borders])
    facing = np.concatenate([border.across for _, border in borders]) @ eye.to_eye
    away = facing < np.where(drawn, _TURNED_AWAY, EDGE_ON)
    whose = np.repeat(np.arange(len(flats)), [sum(len(ring) for ring in flat.rings) for flat in flats])
    thin, wide = drawn & ~away, away
    return (_joined(ends[thin], whose[thin], len(flats)), _joined(ends[wide], whose[wide], len(flats)))


def _joined(ends: Array, whose: NDArray[np.intp], count: int) -> tuple[BaseGeometry, ...]:
    """Lines (n, 2, 2) run together, those of each owner 0 to `count` by themselves."""
    found = np.full(count, shapely.LineString(), dtype=object)
    if len(ends):
        owners, place = np.unique(whose, return_inverse=True)
        lines: NDArray[np.object_] = np.asarray(shapely.linestrings(ends), dtype=object)
        found[owners] = shapely.line_merge(shapely.multilinestrings(lines, indices=place))
    return tuple(found)


def _on_paper(
    runs: Sequence[Array], scale: float, origin: tuple[float, float], least: int
) -> list[list[tuple[float, float]]]:
    """Runs of points at a scale, without points that fall on the one before."""
    if not runs:
        return []
    # All at once: of most runs there are but a few points.
    points = np.round((np.concatenate(runs) - np.array(origin)) * scale, 3)
    apart = np.abs(np.diff(points, axis=0)).sum(axis=1) > _TOUCHING
    close = np.concatenate([[0, 0], np.cumsum(~apart)])
    placed: list[tuple[float, float]] = list(map(tuple, points.tolist()))
    found = []
    stop = 0
    for run in runs:
        start, stop = stop, stop + len(run)
        kept = placed[start:stop]
        if stop - start > 1 and close[stop] > close[start + 1]:
            kept = _thinned(kept)
        if len(kept) >= least:
            found.append(kept)
    return found


def _thinned(run: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """A run without points that fall on the last one kept."""
    kept: list[tuple[float, float]] = []
    for x, y in run:
        if not kept or abs(x - kept[-1][0]) + abs(y - kept[-1][1]) > _TOUCHING:
            kept.append((x, y))
    return kept


def _lights(flats: Sequence[Flat]) -> tuple[float, ...]:
    """How each facet stands to the light: the cosine between its normal and the way to it."""
    if not flats:
        return ()
    normals = np.array([flat.facet.normal for flat in flats])
    return tuple((normals @ (_LIGHT / np.linalg.norm(_LIGHT))).tolist())


@lru_cache(maxsize=4096)
def _shaded(look: Look, light: float) -> str:
    level = 1.0 - look.shade * (1.0 - max(light, -0.3)) / 1.3
    parts = [round(int(look.colour[k : k + 2], 16) * level) for k in (1, 3, 5)]
    return "#" + "".join(f"{value:02x}" for value in parts)
