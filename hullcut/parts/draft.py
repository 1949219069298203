"""Making a `Part` from its chart and its edges in space: the one way in which every part is taken off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.parts.outline import EdgeLines, as_points, flat_outline
from hullcut.parts.values import Edge, Mark, Part, Point, Ruling
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.design.values import Design, Wood
    from hullcut.hull.panel import Panel

__all__ = ["Spec", "add_marks", "flat_marks", "is_bent", "make_part", "rulings_of"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spec:
    """What a part is, apart from its shape.

    Attributes:
        slug: the part's id without the design's name.
        name: in words.
        family: the key of its wood.
        wood: what it is cut from.
        hand: port, starboard or None.
        flip: whether it may be turned over on the sheet.
        step: a few words on how it is used.
        places: for each copy, its distance from the first.
    """

    slug: str
    name: str
    family: str
    wood: Wood
    hand: Literal["port", "starboard"] | None = None
    flip: bool = True
    step: str = ""
    places: tuple[tuple[float, float, float], ...] = ((0.0, 0.0, 0.0),)


def make_part(
    design: Design,
    spec: Spec,
    panel: Panel,
    lines: Sequence[EdgeLines],
    holes: Sequence[Array] = (),
) -> Part:
    """Take off a part.

    Args:
        design: whose part it is.
        spec: what it is.
        panel: its chart, anywhere in the flat.
        lines: its edges, end to end.
        holes: closed lines in space (n, 3) on the middle surface, without a repeated point.

    Returns:
        The part, with the chart moved so that the outline's box begins at 0, 0.
    """
    outline = flat_outline(panel, lines)
    corner = outline.points.min(axis=0)
    panel = panel.moved(-float(corner[0]), -float(corner[1]))
    points = outline.points - corner
    true_points = outline.true_points - corner
    flat_holes = [_clockwise(panel.to_flat(hole)[:, :2]) for hole in holes]
    cut = shapely.Polygon(points, flat_holes)
    finished = shapely.Polygon(true_points, flat_holes)
    size = true_points.max(axis=0) - true_points.min(axis=0)
    density = wood(spec.wood.material).density
    trimmed = len(true_points) != len(points) or float(np.abs(true_points - points).max()) > 1e-9
    marks = (Mark("true line", "plane to this line", "both", as_points(_closed(true_points))),) if trimmed else ()
    return Part(
        id=f"{design.name}-{spec.slug}",
        name=spec.name,
        family=spec.family,
        design=design.name,
        hand=spec.hand,
        quantity=len(spec.places),
        material=spec.wood.material,
        thickness=spec.wood.thickness,
        grain=spec.wood.grain,
        flip=spec.flip,
        outline=as_points(points),
        holes=tuple(as_points(hole) for hole in flat_holes),
        edges=tuple(_edge_moved(edge, corner) for edge in outline.edges),
        rulings=(),
        marks=marks,
        area=float(cut.area),
        finished_length=float(size[0]),
        finished_width=float(size[1]),
        mass=float(finished.area) * spec.wood.thickness * 1e-6 * density,
        true_outline=as_points(true_points),
        panel=panel,
        places=spec.places,
        step=spec.step,
    )


def is_bent(part: Part) -> bool:
    """Whether a part's panel turns at all."""
    turns = part.panel.ruling_lines()[2]
    return bool(len(turns)) and float(np.ptp(turns)) != 0.0


def rulings_of(part: Part) -> tuple[Ruling, ...]:
    """The rulings of a part's panel as far as they lie on it, with the turn gathered up to each, degrees."""
    if not is_bent(part):
        return ()
    points, directions, turns = part.panel.ruling_lines()
    outline = np.array(part.true_outline)
    far = 4.0 * float(np.hypot(*np.ptp(outline, axis=0))) + 1000.0
    ends = np.stack([points - far * directions, points + far * directions], axis=1)
    lines = shapely.linestrings(ends)
    crossed = np.atleast_1d(np.asarray(shapely.intersection(lines, shapely.Polygon(outline))))
    found = []
    for piece, turn in zip(crossed, turns, strict=True):
        if piece.is_empty or piece.length < 1e-6:
            continue
        (x0, y0), (x1, y1) = shapely.get_coordinates(piece)[[0, -1]]
        found.append(Ruling(float(x0), float(y0), float(x1), float(y1), float(np.degrees(turn))))
    return tuple(found)


def add_marks(part: Part, marks: Sequence[Mark]) -> Part:
    """The part with further marks, after those that it has."""
    return replace(part, marks=part.marks + tuple(marks))


def flat_marks(part: Part, points: Array) -> tuple[Point, ...]:
    """Points in space (n, 3) as points of the part's drawing."""
    return as_points(part.panel.to_flat(points)[:, :2])


def _edge_moved(edge: Edge, corner: Array) -> Edge:
    """An edge whose bevels and lines are told in the part's own drawing."""
    bevels = tuple(replace(at, x=at.x - float(corner[0]), y=at.y - float(corner[1])) for at in edge.bevels)
    outer, inner = (as_points(np.array(line) - corner) for line in (edge.outer, edge.inner))
    return replace(edge, bevels=bevels, outer=outer, inner=inner)


def _clockwise(points: Array) -> Array:
    ring = shapely.LinearRing(points)
    return points[::-1] if ring.is_ccw else points


def _closed(points: Array) -> Array:
    return np.vstack([points, points[:1]])
