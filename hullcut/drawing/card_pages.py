"""The card model on paper: instructions, then one or two sheets of card with panels and strips at a stated scale."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from itertools import pairwise, product
from typing import TYPE_CHECKING

import numpy as np
import rectpack
import shapely
import shapely.ops

from hullcut.drawing.card_reading import BOWS, reading_page, stamp_text
from hullcut.drawing.font import fit_size, wrapped
from hullcut.drawing.furniture import FOOTER_HEIGHT, footer
from hullcut.drawing.labels import FreeGround
from hullcut.drawing.paper import paper_named
from hullcut.drawing.paths import line, polygon, polyline, text_box, transform
from hullcut.drawing.pdf import one_page
from hullcut.drawing.scene import Item, Path, Role, Scene, Shape, Text
from hullcut.drawing.smooth import smooth_path
from hullcut.errors import BuildError, Fault
from hullcut.parts.card_model import card_panels, edge_length, worst_mismatch

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hullcut.drawing.paper import Paper
    from hullcut.hull.form import Hull
    from hullcut.parts.card_model import CardPanel
    from hullcut.parts.values import Point

__all__ = ["SCALES", "Sheet", "card_model_pdf", "card_sheets"]

SCALES = (3, 4, 5, 6, 8, 10, 12, 15, 20)
"""One mm of card stands for so many of the boat; the largest model that fits two sheets is drawn."""

_MARGIN, _HEAD = 10.0, 9.0
_GAP = 3.0
_SHEETS = 2
# Strips: half on either panel. A piece between two stations that is shorter than the least has no room for its words.
_FOLDED_MM, _BUTT_MM = 10.0, 16.0
_SHORTEST_MM = 13.0
# An edge shorter than this on the card is left to the glue: it has room for neither a letter nor a strip.
_SHORTEST_EDGE_MM = 2.0
_SMALL, _LETTER, _NAME = 2.4, 3.4, 4.0
# Its smallest letters: the card model is small.
_LEAST_NAME = 2.0
_LETTER_CLEAR = 1.6
_TICK_MM = 7.0
# Two ticks of one station whose feet are nearer than this have one number.
_NUMBERS_APART_MM = 11.0


@dataclass(frozen=True, slots=True)
class _Piece:
    """Something to cut out of card, at the model's scale, its box's corner at 0, 0; drawn once its place is known."""

    name: str
    width: float
    height: float
    draw: Callable[[], Sequence[Item]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of card.

    Attributes:
        scene: of the whole paper.
        pieces: names of what stands on it.
    """

    scene: Scene
    pieces: tuple[str, ...]


def card_model_pdf(hull: Hull, paper: str, stamp: str | None = None) -> bytes:
    """The card model of a boat as a PDF: a page to read, then the sheets of card.

    Args:
        hull: of the boat.
        paper: a name in `hullcut.drawing.paper.PAPERS`.
        stamp: what stands on every page where a check failed.

    Raises:
        BuildError: the model fits two sheets at no scale.
    """
    panels = card_panels(hull)
    scale, sheets = card_sheets(hull, panels, paper, stamp)
    name = hull.design.name
    worst = worst_mismatch(panels) / scale
    first = reading_page(hull, paper_named(paper), (scale, len(sheets)), worst, panels, stamp)
    return one_page([first, *(sheet.scene for sheet in sheets)], f"{name}: card model, scale 1:{scale}")


def card_sheets(
    hull: Hull, panels: Sequence[CardPanel], paper: str, stamp: str | None = None
) -> tuple[int, tuple[Sheet, ...]]:
    """The scale, and the one or two sheets on which the panels of a hull fit at it."""
    turned = paper_named(paper).turned()
    width = turned.width - 2.0 * _MARGIN
    height = turned.height - 2.0 * _MARGIN - _HEAD - FOOTER_HEIGHT
    for scale in SCALES:
        pieces = _pieces(panels, scale, width)
        if pieces is None:
            continue
        places = _packed(pieces, width, height)
        if places is not None:
            count = max(place[0] for place in places) + 1
            return scale, tuple(
                _sheet(hull, turned, scale, (i + 1, count), pieces, places, stamp) for i in range(count)
            )
    problem = f"a card model of this boat fits two sheets of {paper} at no scale down to 1:{SCALES[-1]}"
    raise BuildError(Fault(hull.design.file, None, "", problem, "print it on larger paper"))


_Place = tuple[int, float, float, bool]


def _packed(pieces: Sequence[_Piece], width: float, height: float) -> list[_Place] | None:
    """Sheet, x, y and whether it is turned for each piece, or None where they don't all fit; fewest sheets first."""
    if sum((piece.width + _GAP) * (piece.height + _GAP) for piece in pieces) > _SHEETS * (width + _GAP) * (
        height + _GAP
    ):
        return None
    for sheets in range(1, _SHEETS + 1):
        for order in (rectpack.SORT_LSIDE, rectpack.SORT_AREA, rectpack.SORT_SSIDE):
            for method in (rectpack.MaxRectsBssf, rectpack.MaxRectsBl):
                found = _packed_by(pieces, width, height, sheets, order, method)
                if found is not None:
                    return found
    return None


def _packed_by(
    pieces: Sequence[_Piece], width: float, height: float, sheets: int, order: object, method: object
) -> list[_Place] | None:
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=method,
        sort_algo=order,
        rotation=True,
    )
    sizes = [(round((piece.width + _GAP) * 100.0), round((piece.height + _GAP) * 100.0)) for piece in pieces]
    for index, size in enumerate(sizes):
        packer.add_rect(*size, rid=index)
    for _ in range(sheets):
        packer.add_bin(int((width + _GAP) * 100.0), int((height + _GAP) * 100.0))
    packer.pack()
    found: dict[int, _Place] = {
        index: (sheet, x / 100.0, y / 100.0, (w, h) != sizes[index]) for sheet, x, y, w, h, index in packer.rect_list()
    }
    return [found[i] for i in range(len(pieces))] if len(found) == len(pieces) else None


def _sheet(
    hull: Hull,
    paper: Paper,
    scale: int,
    number: tuple[int, int],
    pieces: Sequence[_Piece],
    places: Sequence[_Place],
    stamp: str | None,
) -> Sheet:
    low = _MARGIN + FOOTER_HEIGHT
    items: list[Item] = []
    names = []
    for piece, (sheet, x, y, upright) in zip(pieces, places, strict=True):
        if sheet != number[0] - 1:
            continue
        names.append(piece.name)
        dx, dy = (x + _MARGIN + (piece.height if upright else 0.0), y + low)
        items += [transform(item, dx=dx, dy=dy, angle_deg=90.0 if upright else 0.0) for item in piece.draw()]
    title = f"{hull.design.name}: card model, scale 1:{scale}, card {number[0]} of {number[1]}"
    foot = (title, "Print at 100 % on card about 0.3 mm thick", "Measure both bars before you cut")
    items += footer(_MARGIN, _MARGIN - 4.0, paper.width - 2.0 * _MARGIN, foot)
    if stamp is not None:
        items.append(stamp_text(stamp, paper, _MARGIN))
    return Sheet(Scene(title, 0.0, 0.0, paper.width, paper.height, tuple(items)), tuple(names))


def _pieces(panels: Sequence[CardPanel], scale: int, width: float) -> list[_Piece] | None:
    """Every panel, divided at stations where it is longer than the sheet, and every strip."""
    found: list[_Piece] = []
    strips: list[_Piece] = []
    letters: set[str] = set()
    for panel in panels:
        cuts = _divided(panel, scale, width)
        if cuts is None:
            return None
        found += _panel_pieces(panel, cuts, scale)
        strips += [_butt_strip(panel, number, scale) for number in cuts]
    for panel in panels:
        if not panel.stations and panel.name not in ("Transom", *BOWS):
            continue
        for edge in panel.edges:
            if edge.letter and edge.letter not in letters and edge_length(edge) / scale >= _SHORTEST_EDGE_MM:
                letters.add(edge.letter)
                strips += _folded_strips(panel, edge.letter, edge.points, scale, width)
    return [*found, *strips]


def _divided(panel: CardPanel, scale: int, width: float) -> tuple[int, ...] | None:
    """Numbers of the stations at which a panel is divided; None where that does not help."""
    length = max(x for x, _ in panel.outline) / scale
    if length <= width:
        return ()
    places = {s.number: float(np.mean([x for x, _ in s.points])) / scale for s in panel.stations}
    halves = [n for n, x in places.items() if max(x, length - x) + 4.0 <= width]
    if not halves:
        return None
    return (min(halves, key=lambda n: (abs(places[n] - length / 2.0), n)),)


def _panel_pieces(panel: CardPanel, cuts: Sequence[int], scale: int) -> list[_Piece]:
    whole = shapely.Polygon(np.array(panel.outline) / scale)
    parts = [whole]
    for number in cuts:
        cut = _station(panel, number, scale, beyond=5.0)
        parts = [shapely.Polygon(p) for part in parts for p in shapely.get_parts(shapely.ops.split(part, cut))]
    places = [float(np.mean([x for x, _ in station.points])) for station in panel.stations]
    onward = 1.0 if len(places) < 2 or places[-1] > places[0] else -1.0
    parts.sort(key=lambda part: onward * float(part.centroid.x))
    return [_panel_piece(panel, part, (i + 1, len(parts)), cuts, scale) for i, part in enumerate(parts)]


def _panel_piece(
    panel: CardPanel, part: shapely.Polygon, number: tuple[int, int], cuts: Sequence[int], scale: int
) -> _Piece:
    x0, y0, x1, y1 = part.bounds
    name = panel.name if number[1] == 1 else f"{panel.name}, piece {number[0]} of {number[1]}"
    return _Piece(name, x1 - x0, y1 - y0, partial(_drawn, panel, part, name, cuts, scale))


def _station(panel: CardPanel, number: int, scale: int, beyond: float = 0.0) -> shapely.LineString:
    points = np.array(next(s.points for s in panel.stations if s.number == number)) / scale
    first, last = points[0] - points[1], points[-1] - points[-2]
    ends = (
        points[0] + beyond * first / max(float(np.linalg.norm(first)), 1e-9),
        points[-1] + beyond * last / max(float(np.linalg.norm(last)), 1e-9),
    )
    return shapely.LineString(np.vstack([ends[0], points[1:-1], ends[1]]))


def _drawn(panel: CardPanel, part: shapely.Polygon, name: str, cuts: Sequence[int], scale: int) -> list[Item]:
    """A piece of a panel: outline, ticks at the stations, their numbers, the joints' letters and its name.

    Args:
        panel: of which it is a piece.
        part: the piece, at the model's scale.
        name: of the piece.
        cuts: numbers of the stations at which the panel is divided.
        scale: of the model.
    """
    x0, y0, _, _ = part.bounds
    ring = [(float(x), float(y)) for x, y in shapely.get_coordinates(part.exterior)[:-1]]
    ticks = [
        (station.number, tick) for station in panel.stations for tick in _ticks(panel, station.number, part, scale)
    ]
    ground = FreeGround(part, [part.exterior, *(tick for _, tick in ticks)], 0.6)
    items: list[Item] = [word for number in cuts for word in _joint_words(panel, number, part, scale, ground)]
    told: list[tuple[int, shapely.LineString]] = []
    for number, tick in ticks:
        items.append(Shape(Role.THIN, (polyline(_coords(tick)),), ref=f"{panel.name} station {number}"))
        # Where the edges are close together at a station, one number tells for both.
        if all(number != other or _feet_apart(tick, before) > _NUMBERS_APART_MM for other, before in told):
            told.append((number, tick))
            items += _station_number(number, tick, ground)
    for edge in panel.edges:
        items += _edge_letter(edge.letter, edge.points, part, scale, ground)
    side = f"printed side {panel.printed}"
    items += ground.block([(name, True), (f"scale 1:{scale}", False), (side, False)], _NAME, least=_LEAST_NAME)
    outline = smooth_path(ring) if len(ring) > 12 else polygon(ring)
    items.append(Shape(Role.CUT, (outline,), ref=name))
    return [transform(item, dx=-x0, dy=-y0) for item in items]


def _joint_words(panel: CardPanel, number: int, part: shapely.Polygon, scale: int, ground: FreeGround) -> list[Text]:
    """What is said inside the edge at which a panel is divided, the same on both pieces and their butt strip."""
    run = _station(panel, number, scale).intersection(part.exterior.buffer(0.05))
    edge = max(shapely.get_parts(run), key=lambda each: each.length, default=None)
    text = Text(Role.LABEL, (0.0, 0.0), f"joint {number}", _SMALL, ref=f"joint {number}")
    if edge is None:
        return []
    for away in (2.2, -2.2, 3.4, -3.4):
        beside = edge.offset_curve(away)
        if isinstance(beside, shapely.LineString) and part.covers(beside.centroid):
            placed = ground.along(text, _coords(beside))
            if placed is not None:
                return [placed]
    return []


def _ticks(panel: CardPanel, number: int, part: shapely.Polygon, scale: int) -> list[shapely.LineString]:
    """The two ends of a station on a piece, from the edge inward; none where the piece is cut at that station."""
    run = _station(panel, number, scale).intersection(part)
    if not isinstance(run, shapely.LineString) or run.length < 1.0 or part.exterior.buffer(0.05).covers(run):
        return []
    reach = min(_TICK_MM, 0.4 * float(run.length))
    ends = shapely.ops.substring(run, 0.0, reach), shapely.ops.substring(run.reverse(), 0.0, reach)
    return [end for end in ends if isinstance(end, shapely.LineString)]


def _feet_apart(tick: shapely.LineString, other: shapely.LineString) -> float:
    """How far apart the edges are from which two ticks begin, mm."""
    return float(shapely.distance(shapely.get_point(tick, 0), shapely.get_point(other, 0)))


def _coords(run: shapely.LineString) -> list[Point]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(run)]


def _edge_letter(
    letter: str, points: Sequence[Point], part: shapely.Polygon, scale: int, ground: FreeGround
) -> list[Item]:
    """The letter inside the middle of an edge, as far as the edge belongs to this piece."""
    if not letter:
        return []
    run = shapely.LineString(np.array(points) / scale)
    own = run.intersection(part.exterior.buffer(0.05))
    longest = max(shapely.get_parts(own), key=lambda each: each.length, default=None)
    if longest is None or longest.length < _SHORTEST_EDGE_MM:
        return []
    inward = np.array(part.centroid.coords[0])
    for share in (0.5, 0.45, 0.55, 0.4, 0.6, 0.3, 0.7):
        at = np.array(longest.interpolate(share, normalized=True).coords[0])
        ahead = np.array(longest.interpolate(min(share + 0.02, 1.0), normalized=True).coords[0]) - at
        square = np.array([-ahead[1], ahead[0]]) / max(float(np.linalg.norm(ahead)), 1e-9)
        square = square if float(square @ (inward - at)) > 0.0 else -square
        for away in (2.6, 3.2, 4.2):
            middle = at + away * square
            place = (float(middle[0]), float(middle[1]) - 0.36 * _LETTER)
            text = Text(Role.LABEL, place, letter, _LETTER, anchor="middle", bold=True, ref=f"joint {letter}")
            if ground.put(text):
                # The name must not read on into the letter.
                ground.take(shapely.Polygon(text_box(text)).buffer(_LETTER_CLEAR))
                return [text]
    return []


def _station_number(number: int, tick: shapely.LineString, ground: FreeGround) -> list[Item]:
    """The station's number beside its tick."""
    for along, dx in product((2.4, 4.6, 1.6, 6.6), (0.9, -0.9, 1.8, -1.8, 3.0, -3.0)):
        at = tick.interpolate(min(along, float(tick.length)))
        place = (float(at.x) + dx, float(at.y) - 0.36 * _SMALL)
        text = Text(Role.LABEL, place, str(number), _SMALL, anchor="start" if dx > 0.0 else "end")
        if ground.put(text):
            return [text]
    return []


def _butt_strip(panel: CardPanel, number: int, scale: int) -> _Piece:
    """The strip behind the place where a panel is divided, its middle on the station."""
    length = _station(panel, number, scale).length - 2.0
    middle = _BUTT_MM / 2.0
    name = f"butt {number}: {panel.name.lower()}"
    told = f"joint {number}: {panel.name.lower()}"
    size = fit_size(told, length - 4.0, _SMALL)
    items: list[Item] = [
        Shape(Role.CUT, (polygon([(0.0, 0.0), (length, 0.0), (length, _BUTT_MM), (0.0, _BUTT_MM)]),), ref=name),
        # Short arrows where the joint lies: a line right across would be taken for a fold.
        *(Shape(Role.MARK, (_head(x, middle, way),), ref=name) for x, way in ((0.0, 1.0), (length, -1.0))),
        Text(Role.LABEL, (length / 2.0, middle + 3.2), told, size, anchor="middle"),
    ]
    lines = wrapped("lay on the joint, do not fold", length - 7.0, _SMALL, most=3)
    rise = (len(lines) - 1) * 1.5
    for row, text in enumerate(lines):
        at = (length / 2.0, middle - 1.6 + rise * 0.5 - 3.0 * row)
        items.append(Text(Role.LABEL, at, text, fit_size(text, length - 7.0, _SMALL), anchor="middle"))
    return _Piece(name, length, _BUTT_MM, lambda: items)


def _head(x: float, y: float, way: float) -> Path:
    """An arrowhead with its tip at the end of a joint, from the strip's edge inward."""
    return polyline([(x + 0.6 * way, y + 1.4), (x + 3.0 * way, y), (x + 0.6 * way, y - 1.4)])


def _folded_strips(panel: CardPanel, letter: str, points: Sequence[Point], scale: int, width: float) -> list[_Piece]:
    """The strips that join an edge, one from each station to the next, side by side as far as the sheet is wide."""
    stops = _stops(panel, points, scale)
    rows: list[list[tuple[str, float]]] = [[]]
    for (start, first), (stop, second) in pairwise(stops):
        length = stop - start
        if rows[-1] and sum(each for _, each in rows[-1]) + length > width:
            rows.append([])
        rows[-1].append((f"{letter} {first}–{second}" if first else letter, length))
    return [_ladder(row) for row in rows if row]


def _stops(panel: CardPanel, points: Sequence[Point], scale: int) -> list[tuple[float, str]]:
    """Distances along an edge, at the model's scale, with the names of its ends and stations, from aft forward."""
    run = shapely.LineString(np.array(points) / scale)
    marks = []
    for station in panel.stations:
        ends = [shapely.Point(np.array(station.points[i]) / scale) for i in (0, -1)]
        near = min(ends, key=run.distance)
        if run.distance(near) < 0.2:
            marks.append((float(run.project(near)), station.number))
    marks.sort()
    if not marks:
        return [(0.0, ""), (float(run.length), "")]
    if marks[0][1] > marks[-1][1] or (len(marks) == 1 and points[0][0] > points[-1][0]):
        marks = [(float(run.length) - at, number) for at, number in reversed(marks)]
    stops = [(at, str(number)) for at, number in marks if _SHORTEST_MM < at < run.length - _SHORTEST_MM]
    return [(0.0, "back"), *stops, (float(run.length), "front")]


def _ladder(row: Sequence[tuple[str, float]]) -> _Piece:
    total = sum(length for _, length in row)
    middle = _FOLDED_MM / 2.0
    items: list[Item] = [
        Shape(Role.CUT, (polygon([(0.0, 0.0), (total, 0.0), (total, _FOLDED_MM), (0.0, _FOLDED_MM)]),), ref="strip"),
        Shape(Role.CENTRE, (line((0.0, middle), (total, middle)),), ref="fold"),
    ]
    x = 0.0
    for name, length in row:
        if x > 0.0:
            items.append(Shape(Role.CUT, (line((x, 0.0), (x, _FOLDED_MM)),), ref="strip"))
        size = fit_size(name, length - 1.0, _SMALL)
        items.append(Text(Role.LABEL, (x + length / 2.0, middle + 1.4), name, size, anchor="middle"))
        x += length
    return _Piece(f"strips {row[0][0]} to {row[-1][0]}", total, _FOLDED_MM, lambda: items)
