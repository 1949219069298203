"""Which copy of a part is named in a picture, and points well inside what is seen of it, for the dots of leaders."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import shapely

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from hullcut.drawing.scene import Point
    from hullcut.drawing.views.picture import Shown, View

__all__ = ["names_seen", "points_on"]

# Of several copies of a part the first is named of which so much shows, as a share of the one that shows most.
_SHOWS_WELL = 0.6
# A dot stands so far inside what is seen of a part where it can, mm on paper.
_WELL_INSIDE = 0.7

# Along a patch, in shares of its length.
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)
# So many patches are looked at, and so many points given.
_PATCHES, _MOST = 4, 10


def names_seen(
    view: View,
    shown: Sequence[Shown],
    owners: Mapping[str, Sequence[str]],
    scale: float,
    origin: Point,
) -> tuple[list[tuple[str, Point]], Callable[[str], list[Point]]]:
    """The names of bodies in a picture, each with a point on paper, and a way to find more points for each.

    Args:
        view: of the bodies.
        shown: the picture's bodies.
        owners: of each name, in the order in which they are preferred; a name of which nothing shows is left out.
        scale: of the picture.
        origin: of the camera's plane that is 0, 0 on paper.
    """
    seen = view.seen_patches(shown)

    def on_paper(point: Point) -> Point:
        return ((point[0] - origin[0]) * scale, (point[1] - origin[1]) * scale)

    @cache
    def patches_of() -> dict[str, list[shapely.Polygon]]:
        return view.seen_areas(shown, [owner for alike in owners.values() for owner in alike])

    def elsewhere(name: str) -> list[Point]:
        every = [patch for owner in owners[name] for patch in patches_of()[owner]]
        return [on_paper(at) for at in points_on(sorted(every, key=lambda one: -one.area), _WELL_INSIDE / scale)]

    names = []
    for name, alike in owners.items():
        patches = [seen[owner] for owner in alike if owner in seen]
        if patches:
            most = max(area for _, area in patches)
            names.append((name, on_paper(next(point for point, area in patches if area >= _SHOWS_WELL * most))))
    return names, elsewhere


def points_on(patches: Sequence[shapely.Polygon], least: float) -> list[Point]:
    """A few points on patches, half-way between their long edges; those nearer to an edge than is wanted come last.

    Args:
        patches: the largest first.
        least: wanted from a point to the edge of its patch.
    """
    well: list[Point] = []
    scant: list[tuple[float, Point]] = []
    for patch in patches[:_PATCHES]:
        x0, y0, x1, y1 = patch.bounds
        for share in _SHARES:
            if x1 - x0 > y1 - y0:
                x = x0 + share * (x1 - x0)
                across = shapely.LineString([(x, y0 - 1.0), (x, y1 + 1.0)])
            else:
                y = y0 + share * (y1 - y0)
                across = shapely.LineString([(x0 - 1.0, y), (x1 + 1.0, y)])
            chords = shapely.get_parts(shapely.intersection(patch, across))
            if not len(chords):
                continue
            middle = shapely.line_interpolate_point(max(chords, key=lambda chord: chord.length), 0.5, normalized=True)
            clear = float(shapely.distance(patch.boundary, middle))
            if clear >= least:
                well.append((middle.x, middle.y))
            elif clear > 0.0:
                scant.append((-clear, (middle.x, middle.y)))
    return [*well, *(point for _, point in sorted(scant))][:_MOST]
