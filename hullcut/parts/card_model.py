"""The hull's outside as panels of card: no wood thickness, every edge shared by the two panels that meet there.

Card has next to no thickness, so the panels end on the lines in which the hull's outer faces meet, and each is laid
flat as its outer face unrolls: the chart of the wooden part unrolls the middle of the wood, and the outer face is wider
by half the thickness times the angle turned.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.decks import deck_panel
from hullcut.parts.frames import line
from hullcut.parts.marking import station_pitch
from hullcut.parts.outline import EdgeLines, as_points, flat_outline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.end_plane import EndPlane
    from hullcut.hull.form import Hull
    from hullcut.hull.panel import Panel
    from hullcut.parts.values import Point

__all__ = [
    "CardEdge",
    "CardPanel",
    "CardRun",
    "StationLine",
    "card_end",
    "card_panels",
    "edge_length",
    "worst_mismatch",
]

Array = NDArray[np.float64]

# Letters of the joints; an I would be read as a 1.
_LETTERS = "ABCDEFGHJKLMN"
# A face narrower than this at the bow is left to the glue, mm at full size.
_NARROWEST_MM = 4.0
# A station nearer than this to the end of a panel is left out, mm at full size.
_STATION_MARGIN_MM = 8.0
_UP = 9
# Of the hull's stations, close enough for wood, card takes one in so many.
_THIN = 6


@dataclass(frozen=True, slots=True)
class CardEdge:
    """An edge that is joined to another panel's.

    Attributes:
        letter: shared by the two edges of a joint; empty for an edge that stays free.
        points: from end to end.
    """

    letter: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class StationLine:
    """A station as it crosses a panel.

    Attributes:
        number: counted from the transom; the same on every panel.
        points: from edge to edge.
    """

    number: int
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class CardPanel:
    """One panel at full size, its box's corner at 0, 0.

    Attributes:
        name: in words.
        printed: which way the printed side looks, "in" or "up".
        outline: closed, without a repeated point.
        edges: in order round the panel.
        stations: in order from the transom.
    """

    name: str
    printed: str
    outline: tuple[Point, ...]
    edges: tuple[CardEdge, ...]
    stations: tuple[StationLine, ...]


def card_panels(hull: Hull) -> tuple[CardPanel, ...]:
    """The panels of a boat's card model: bottom, sides, ends and decks."""
    chine, sheer = CardRun(hull, low=True), CardRun(hull, low=False)
    stern = card_end(hull, hull.transom)
    bow = None if hull.bow is None else card_end(hull, hull.bow)
    closed = bow is not None and 2.0 * float(np.max(bow[:, 1])) > _NARROWEST_MM
    foot = "" if bow is None or 2.0 * float(bow[0, 1]) <= _NARROWEST_MM else "H"
    made = [_bottom(hull, chine, foot), *_sides(hull, chine, sheer, stern, bow, closed)]
    made.append(_end_panel("Transom", ("C", "D", "E"), hull.transom.panel(0.0, faces_aft=True), stern))
    if hull.bow is not None and bow is not None and closed:
        name = "Bow transom" if hull.design.hull.bow == "pram" else "Stem strip"
        made.append(_end_panel(name, ("F", "G", foot), hull.bow.panel(0.0, faces_aft=False), bow))
    decks = hull.design.decks
    if decks.after != "open":
        name = "Hatch" if decks.after == "hatch" and not decks.coaming else "After deck"
        made.append(_deck(hull, name, "IJ", sheer.start, decks.after_to))
    made.append(_deck(hull, "Fore deck", "KL", decks.fore_from, sheer.stop))
    return _lettered(made)


def _lettered(panels: Sequence[CardPanel]) -> tuple[CardPanel, ...]:
    """The same panels with the letters of their joints in a row without gaps."""
    used = sorted({edge.letter for panel in panels for edge in panel.edges if edge.letter})
    names = dict(zip(used, _LETTERS, strict=False)) | {"": ""}
    return tuple(
        replace(panel, edges=tuple(replace(edge, letter=names[edge.letter]) for edge in panel.edges))
        for panel in panels
    )


class CardRun:
    """A line along the port side in space, from the transom to the bow: the chine or the sheer."""

    def __init__(self, hull: Hull, low: bool) -> None:
        self.hull, self.low = hull, low
        self.start = (hull.foot_of(hull.transom, 0.0) if low else hull.head_of(hull.transom))[0]
        if hull.bow is None:
            self.stop = hull.bottom_meets_sheer(0.0)
        else:
            self.stop = (hull.foot_of(hull.bow, 0.0) if low else hull.head_of(hull.bow))[0]

    def at(self, x: Array) -> Array:
        """Points (n, 3) at x."""
        z = self.hull.bottom_height(x, 0.0) if self.low else self.hull.sheer_height(x)
        return line(x, self.hull.half_breadth(x, z, 0.0), z)

    def points(self, start: float | None = None, stop: float | None = None) -> Array:
        """Points (n, 3) between two places, from aft forward."""
        x = self.hull.stations(self.start if start is None else start, self.stop if stop is None else stop)
        return self.at(np.append(x[:-1:_THIN], x[-1]))


_MIRROR = np.array([1.0, -1.0, 1.0])


def card_end(hull: Hull, plane: EndPlane) -> Array:
    """The port edge (n, 3) of the face that closes one end, from the bottom up."""
    z = np.linspace(hull.foot_of(plane, 0.0)[1], hull.head_of(plane)[1], _UP)
    return line(plane.x(z), hull.half_breadth(plane.x(z), z, 0.0), z)


def _bottom(hull: Hull, chine: CardRun, front: str) -> CardPanel:
    """The bottom; `front` is the letter of its fore edge, if anything is joined to it."""
    port = chine.points()
    rows = [
        ("B", port * _MIRROR),
        (front, np.array([port[-1] * _MIRROR, port[-1]])),
        ("A", port[::-1]),
        ("E", np.array([port[0], port[0] * _MIRROR])),
    ]
    across = [(number, np.array([at * _MIRROR, at])) for number, at in _station_points(chine)]
    return _panel("Bottom", "in", hull.bottom, rows, across)


def _sides(
    hull: Hull, chine: CardRun, sheer: CardRun, stern: Array, bow: Array | None, closed: bool
) -> list[CardPanel]:
    """Both sides; where no panel closes the bow, their bow edges meet and bear one letter."""
    made = []
    decks = hull.design.decks
    covered = decks.after != "open"
    for hand, letters in (("port", tuple("ACFIK")), ("starboard", tuple("BDGJL" if closed else "BDFJL"))):
        side = np.ones(3) if hand == "port" else _MIRROR
        bottom, back, front, after, fore = letters
        rows = [(bottom, chine.points() * side)]
        if bow is not None:
            rows.append((front, bow * side))
        rows.append((fore, sheer.points(decks.fore_from)[::-1] * side))
        rows.append(("", sheer.points(decks.after_to if covered else None, decks.fore_from)[::-1] * side))
        if covered:
            rows.append((after, sheer.points(None, decks.after_to)[::-1] * side))
        rows.append((back, stern[::-1] * side))
        panel = hull.side_port if hand == "port" else hull.side_starboard
        up = [(number, _up_side(hull, float(at[0])) * side) for number, at in _station_points(chine)]
        up = [(number, points) for number, points in up if sheer.start < points[0, 0] < sheer.stop]
        made.append(_panel(f"Side, {hand}", "in", panel, rows, up))
    return made


def _up_side(hull: Hull, x: float) -> Array:
    """A station on the port side's outer face, from chine to sheer (n, 3)."""
    low, high = float(hull.bottom_height(np.array([x]), 0.0)[0]), float(hull.sheer_height(x)[0])
    z = np.linspace(low, high, _UP)
    return line(x, hull.half_breadth(np.full(_UP, x), z, 0.0), z)


def _end_panel(name: str, letters: tuple[str, str, str], panel: Panel, edge: Array) -> CardPanel:
    port, starboard, foot = letters
    rows = [
        (foot, np.array([edge[0] * _MIRROR, edge[0]])),
        (port, edge),
        ("", np.array([edge[-1], edge[-1] * _MIRROR])),
        (starboard, (edge * _MIRROR)[::-1]),
    ]
    return _panel(name, "in", panel, rows, [])


def _deck(hull: Hull, name: str, letters: str, start: float, stop: float) -> CardPanel:
    sheer = CardRun(hull, low=False)
    port = sheer.points(start, stop)
    rows = [
        (letters[1], port * _MIRROR),
        ("", np.array([port[-1] * _MIRROR, port[-1]])),
        (letters[0], port[::-1]),
        ("", np.array([port[0], port[0] * _MIRROR])),
    ]
    across = [(number, np.array([at * _MIRROR, at])) for number, at in _station_points(sheer, start, stop)]
    return _panel(name, "up", deck_panel(hull, 0.0, start, stop), rows, across)


def _station_points(run: CardRun, start: float | None = None, stop: float | None = None) -> list[tuple[int, Array]]:
    """Number and place on a line along the side of each station that it passes."""
    low = (run.start if start is None else start) + _STATION_MARGIN_MM
    high = (run.stop if stop is None else stop) - _STATION_MARGIN_MM
    pitch = station_pitch(run.hull.design.units)
    numbers = [n for n in range(1, int(high / pitch) + 1) if n * pitch > low]
    if not numbers:
        return []
    return list(zip(numbers, run.at(np.array(numbers) * pitch), strict=True))


def _panel(
    name: str,
    printed: str,
    panel: Panel,
    rows: Sequence[tuple[str, Array]],
    stations: Sequence[tuple[int, Array]],
) -> CardPanel:
    """A panel from its edges, end to end in space from the stern forward, and its stations, from the first edge up."""
    ring = np.concatenate([points for _, points in rows])
    laid, grown = _outer_face(panel, ring, np.zeros(2))
    first = len(rows[0][1])
    ends = np.cumsum([0, *(len(points) for _, points in rows)])
    flats = [laid[start:stop] for start, stop in pairwise(ends)]
    outline = flat_outline(
        _PAPER, [EdgeLines(letter, _level(flat), _level(flat)) for (letter, _), flat in zip(rows, flats, strict=True)]
    )
    corner = outline.points.min(axis=0)
    points = outline.points - corner
    edges = []
    for edge in outline.edges:
        stop = edge.stop if edge.stop > edge.start else edge.stop + len(points)
        edges.append(CardEdge(edge.name, as_points(points[np.arange(edge.start, stop + 1) % len(points)])))
    lines = []
    for number, up in stations:
        begun = np.array([np.interp(up[0, 0], ring[:first, 0], grown[:first, axis]) for axis in (0, 1)])
        lines.append(StationLine(number, as_points(_outer_face(panel, up, begun)[0] - corner)))
    return CardPanel(name, printed, as_points(points), tuple(edges), tuple(lines))


_PAPER = FlatPanel(0.0, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def _level(flat: Array) -> Array:
    return np.column_stack([flat, np.zeros(len(flat))])


def _outer_face(panel: Panel, points: Array, begun: Array) -> tuple[Array, Array]:
    """A line of a panel as the face in which it lies unrolls by itself, and how far that has moved each point.

    A face `offset` outside the middle surface has the same rulings; between two of them it is wider by offset times
    the turn, square to them.

    Args:
        panel: the chart of the middle surface.
        points: the line in space (n, 3).
        begun: how far its first point has moved (2,).
    """
    laid = panel.to_flat(points)
    across = panel.across(laid[:, :2])
    middle = across[1:] + across[:-1]
    middle = middle / np.linalg.norm(middle, axis=1)[:, None]
    offset = (laid[1:, 2] + laid[:-1, 2]) / 2.0
    steps = (offset * np.diff(panel.turn(laid[:, :2])))[:, None] * middle
    grown: Array = begun + np.vstack([np.zeros((1, 2)), np.cumsum(steps, axis=0)])
    return laid[:, :2] + grown, grown


def edge_length(edge: CardEdge) -> float:
    """Length of an edge in the flat, mm."""
    return float(shapely.LineString(edge.points).length)


def worst_mismatch(panels: Sequence[CardPanel]) -> float:
    """Greatest difference between the lengths of two edges that are joined, mm at full size."""
    lengths: dict[str, list[float]] = {}
    for panel in panels:
        for edge in panel.edges:
            if edge.letter:
                lengths.setdefault(edge.letter, []).append(edge_length(edge))
    return max((max(each) - min(each) for each in lengths.values()), default=0.0)
