"""A part as a drawing at full size: outline, holes, marks and words."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.drawing.font import text_width
from hullcut.drawing.labels import LEADER, LEGIBLE, LINES, PRINT, FreeGround, roomiest
from hullcut.drawing.paths import circle, line, polygon, polyline, scene_from
from hullcut.drawing.scene import Item, Path, Role, Scene, Shape, Text
from hullcut.drawing.smooth import smooth_path
from hullcut.drawing.style import BLACK
from hullcut.lengths import both
from hullcut.parts.bevels import bevel_words
from hullcut.parts.lie import lie_of
from hullcut.parts.outline import outline_area
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Literal

    from hullcut.parts.values import Mark, Part, Point

__all__ = ["BEVELS_ELSEWHERE", "drill_mark", "part_caption", "part_cuts", "part_marks", "part_scene", "pattern_size"]

_NAME_SIZE = 5.0
_MARK_SIZE = 3.0
_GAP = 1.2
# A cross this wide shows where a drill goes.
_CROSS_MM = 6.0
# A hole so wide is for one thing, which is told beside it; bolts and screws are drilled by the row, mm.
_NAMED_FROM = 7.0
_ARROW_MM = 3.5
# Half of how long the arrow of the grain may be, the best first, mm; a cleat has little room.
_ARROWS = (30.0, 20.0, 12.0, 8.0, 6.0, 4.0)
_CLEAT_ARROWS = (12.0, 8.0, 6.0, 4.0)
# How far past the end of an arrow its word may begin, mm.
_PAST = 2.5
# A word with room at both its ends.
_ALONE = "   {}   "
_TICK_MM = 8.0
# Dashed lines nearer than this are one, where they run together for longer than that, mm.
_ONE_LINE_MM, _LEAST_TWICE_MM = 0.4, 4.0
_LEAST_MARK = 2.4
# A name that has no room in its print is looked for so near first, mm.
_REACHES = (15.0, 40.0, 90.0)
_DOT_MM = 1.2
_MIDDLES = 17
# A leader points at the piece of a print that no other covers, where that is at least this share of it.
_GOOD_PART = 0.3

BEVELS_ELSEWHERE = "slanting edges: see the list"
"""On a part whose bevels find no room: every bevel stands in the list at the end of the templates."""

_CARRY_OVER = ("carry waterline and balance point", "to the outer face")
_DRILL = "drill through the marks"
_GRAIN_ANY = "grain: any way"

# Which lines stand above all prints, in this order.
_ON_TOP = {"true line": 1, "centre line": 2}
# The boat's middle is measured from on every part: it stands out from the prints, yet no cut is so narrow, mm.
_CENTRE_MM = 0.4

_LINE_ROLES = {
    "true line": Role.TRUE_LINE,
    "centre line": Role.CENTRE,
    "glue joint": Role.CENTRE,
    "station": Role.THIN,
    "slot": Role.MARK,
    "balance point": Role.MARK,
    "waterline": Role.WATERLINE,
}


def part_caption(part: Part, units: Literal["in", "mm"]) -> str:
    """What a part is cut from and how many a boat has, in one line."""
    count = f"{part.quantity} for each boat, " if part.quantity > 1 else ""
    thickness = both(part.thickness, units, 32, decimals=1)
    glued = ", glued up from two boards" if part.family != "strip" and _joints(part) else ""
    return f"{count}{wood(part.material).name}, {thickness} thick{glued}"


def pattern_size(part: Part, units: Literal["in", "mm"]) -> str:
    """Length and width of a part's cut outline as it lies on the page, trim allowances and all, in both systems."""
    x, y = zip(*part.outline, strict=True)
    sizes = sorted((max(x) - min(x), max(y) - min(y)), reverse=True)
    # No line ends within a length.
    return " x ".join(both(size, units, decimals=1).replace(" ", "\N{NO-BREAK SPACE}") for size in sizes)


def _joints(part: Part) -> bool:
    return any(mark.kind == "glue joint" for mark in part.marks)


def part_scene(part: Part, units: Literal["in", "mm"]) -> Scene:
    """The part at true scale in its own coordinates, with marks and words that stand clear of each other.

    Args:
        part: what to draw.
        units: which unit leads.
    """
    items = [*part_marks(part), *part_cuts(part), *_words(part, units)]
    return scene_from(part.name, items, margin=4.0)


def part_cuts(part: Part, kerf: float = 0.0) -> list[Item]:
    """Outline and holes of a part, as the middle of a cut of some width; 0 for the part's own edge.

    Args:
        part: what to cut.
        kerf: width of the cut, mm; half of it is added outside the outline and taken off inside the holes.

    Raises:
        ValueError: the cut is wider than one of the holes.
    """
    outline, holes = part.outline, part.holes
    if kerf:
        grown = shapely.Polygon(outline, holes).buffer(kerf / 2.0, join_style="mitre", mitre_limit=10.0)
        if grown.geom_type != "Polygon" or len(grown.interiors) != len(holes):
            raise ValueError(f"the cut is wider than a hole of {part.name}; write a smaller kerf")
        outline = _points(grown.exterior)
        holes = tuple(_points(ring) for ring in grown.interiors)
    cuts: list[Item] = [Shape(Role.CUT, (smooth_path(outline),), ref=part.id)]
    return [*cuts, *(Shape(Role.INNER_CUT, (smooth_path(hole),), ref=part.id) for hole in holes)]


def _points(ring: shapely.LinearRing) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])


def part_marks(part: Part) -> list[Item]:
    """What is drawn on a part besides its cuts: prints of other parts, screws, lines."""
    shown = lie_of(part).face
    items: list[Item] = []
    dashed: list[shapely.LineString] = []
    # Drawn last, a line of the middle is not hidden under the prints that end on it.
    for mark in sorted(part.marks, key=lambda mark: _ON_TOP.get(mark.kind, 0)):
        ref = f"{part.id} {mark.kind}"
        if mark.kind in ("screw", "hole") and mark.diameter is not None:
            items.append(Shape(Role.HOLE, drill_mark(mark.points[0], mark.diameter, mark.kind == "hole"), ref=ref))
        elif mark.kind in ("shaft", "hole"):
            items.append(Shape(Role.MARK, _cross(mark.points[0]), ref=ref))
        elif mark.kind == "landing":
            if mark.face in (shown, "both"):
                items.append(Shape(Role.MARK, (_ring(mark.points),), ref=ref))
            else:
                items += _dashed(mark, ref, dashed)
        elif mark.kind == "station":
            items.append(Shape(Role.THIN, tuple(polyline(end) for end in _ends(mark.points)), ref=ref, width=0.15))
        elif mark.kind in _LINE_ROLES:
            closed = mark.points[0] == mark.points[-1] and len(mark.points) > 3
            path = _ring(mark.points) if closed else _run(mark.points)
            width = _CENTRE_MM if mark.kind == "centre line" else None
            items.append(Shape(_LINE_ROLES[mark.kind], (path,), ref=ref, width=width))
    return items


def _dashed(mark: Mark, ref: str, drawn: list[shapely.LineString]) -> list[Item]:
    """The lines of a print on the other face, without what lies on dashed lines that are drawn already.

    Dashes out of step on one another would look like one whole line, along which is cut.
    """
    ring = shapely.LineString(mark.points)
    near = [other for other in drawn if other.distance(ring) < _ONE_LINE_MM]
    drawn.append(ring)
    if not near:
        return [Shape(Role.HIDDEN, (_ring(mark.points),), ref=ref)]
    along = ring.intersection(shapely.union_all(near).buffer(_ONE_LINE_MM, cap_style="flat"))
    twice = [piece for piece in shapely.get_parts(shapely.line_merge(along)) if piece.length > _LEAST_TWICE_MM]
    if not twice:
        return [Shape(Role.HIDDEN, (_ring(mark.points),), ref=ref)]
    rest = shapely.line_merge(ring.difference(shapely.union_all(twice).buffer(0.05, cap_style="flat")))
    runs = [_run(_vertices(piece)) for piece in shapely.get_parts(rest) if piece.length > _ONE_LINE_MM]
    # The whole ring stays, unseen, for those who ask where the print is.
    whole = Shape(Role.HIDDEN, (_ring(mark.points),), ref=ref, stroke="none")
    return [whole, Shape(Role.HIDDEN, tuple(runs), ref=ref)] if runs else [whole]


def _vertices(run: shapely.LineString) -> list[Point]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(run)]


def _ends(points: Sequence[Point]) -> list[list[Point]]:
    """Short ticks at both ends of a line, so that it is not taken for one to cut along."""
    start, end = np.array(points[0]), np.array(points[-1])
    length = float(np.linalg.norm(end - start))
    if length <= 3.0 * _TICK_MM:
        return [[_pair(start), _pair(end)]]
    step = _TICK_MM * (end - start) / length
    return [[_pair(start), _pair(start + step)], [_pair(end - step), _pair(end)]]


def _ring(points: Sequence[Point]) -> Path:
    return smooth_path(points[:-1]) if len(points) > 12 else polygon(points[:-1])


def _run(points: Sequence[Point]) -> Path:
    return smooth_path(points, closed=False) if len(points) > 4 else polyline(points)


def _cross(at: Point) -> tuple[Path, ...]:
    x, y = at
    half = _CROSS_MM / 2.0
    return (line((x - half, y), (x + half, y)), line((x, y - half), (x, y + half)))


def drill_mark(at: Point, diameter: float, bolt: bool) -> tuple[Path, ...]:
    """A circle of a drill with a cross in it: upright for a screw, slanting for a bolt or a strap."""
    if not bolt:
        return (circle(at, diameter / 2.0), *_cross(at))
    (x, y), reach = at, _CROSS_MM / 2.0 * math.sqrt(0.5)
    slanting = (line((x - reach, y - side * reach), (x + reach, y + side * reach)) for side in (1.0, -1.0))
    return (circle(at, diameter / 2.0), *slanting)


def _words(part: Part, units: Literal["in", "mm"]) -> list[Item]:
    outline = outline_area(part.outline, part.holes)
    true_outline = outline_area(part.true_outline, part.holes)
    drawn = [outline.exterior, *outline.interiors, *_obstacles(part)]
    ground = FreeGround(true_outline, drawn, _GAP)
    items: list[Item] = []
    items += _lettering(part, units, ground)
    narrow = part.family == "cleat"
    # A cleat has little room: its grain comes first, for its bevels stand in the list as well.
    halves = _CLEAT_ARROWS if narrow else _ARROWS
    grain = _grain_arrow(part, ground, halves)
    if part.grain != "any" and not grain:
        # The caption stands under the pattern too: the grain has its place before it, where the name still has one.
        afresh = FreeGround(true_outline, drawn, _GAP)
        first = _grain_arrow(part, afresh, halves)
        lettering = _lettering(part, units, afresh)
        if any(part.name in text.text for text in lettering):
            ground, grain, items = afresh, first, [*lettering]
    items += grain
    items += _bevel_items(part, units, ground) if narrow else []
    strips = {mark: _area(mark.points) for mark in part.marks if _is_strip(mark)}
    shapely.prepare(list(strips.values()))
    pointed = []
    for mark in part.marks:
        found = _strip_name(mark, strips, ground) if mark in strips else _mark_words(mark, ground)
        items += found
        if mark.kind == "shaft" or (mark in strips and not found):
            pointed.append(mark)
    # The shaft's cross has its words first, for they must stand beside it; then the slot its warning. Then what is
    # larger, for a small print's leader reaches about it.
    sizes = {mark: strips[mark].area if mark in strips else math.inf for mark in pointed}
    for mark in sorted(pointed, key=lambda mark: (mark.kind != "shaft", mark.kind != "slot", -sizes[mark])):
        name = _pointed_name if mark in strips else _named_cross
        items += name(mark, part.id, strips, ground)
    items += [] if narrow else _bevel_items(part, units, ground)
    if part.grain == "any":
        items += ground.block([(_GRAIN_ANY, False)], _MARK_SIZE)
    if part.family == "side":
        drilled = any(mark.kind in ("screw", "hole") for mark in part.marks)
        hints = (_DRILL, *_CARRY_OVER) if drilled else _CARRY_OVER
        items += ground.block([(words, False) for words in hints], _MARK_SIZE)
    return items


def _lettering(part: Part, units: Literal["in", "mm"], ground: FreeGround) -> list[Text]:
    """Name, caption and which face is shown; without room the caption goes first, for it stands under the pattern."""
    name, caption = (part.name, True), (part_caption(part, units), False)
    face = [(mark.name, False) for mark in part.marks if mark.kind == "face"]
    for lines in ([name, caption, *face], [name, *face]):
        found = ground.block(lines, _NAME_SIZE, whole=True)
        if found:
            return found
    alone = ground.block([name], _MARK_SIZE if face else _NAME_SIZE) or ground.slanting(part.name, _NAME_SIZE)
    return [*alone, *ground.block(face, _MARK_SIZE)]


def _bevel_items(part: Part, units: Literal["in", "mm"], ground: FreeGround) -> list[Text]:
    """The bevels' words where they can be read; where one finds no room, a hint at the list that holds them all."""
    notes = bevel_words(part, units)
    together = ground.block([(words, False) for words in notes], _MARK_SIZE, whole=True)
    if together or not notes:
        return together
    each = [ground.block([(words, False)], _MARK_SIZE) for words in notes] if len(notes) > 1 else [[]]
    hint = [] if all(each) else _in_one_line_or_two(BEVELS_ELSEWHERE, ground)
    return [*(text for texts in each for text in texts), *hint]


def _in_one_line_or_two(words: str, ground: FreeGround) -> list[Text]:
    """Words of two clauses, one under the other where a line is too long."""
    first, second = words.split(": ")
    in_two = [(f"{first}:", False), (second, False)]
    return ground.block([(words, False)], _MARK_SIZE) or ground.block(in_two, _MARK_SIZE, whole=True)


def _obstacles(part: Part) -> list[shapely.LineString | shapely.Polygon]:
    found: list[shapely.LineString | shapely.Polygon] = []
    for mark in part.marks:
        if mark.diameter is not None:
            found.append(shapely.Point(mark.points[0]).buffer(max(mark.diameter, _CROSS_MM) / 2.0))
        elif mark.kind in ("shaft", "hole"):
            found.append(shapely.Point(mark.points[0]).buffer(_CROSS_MM / 2.0))
        elif len(mark.points) > 1 and mark.kind != "grain":
            found.append(shapely.LineString(mark.points))
    return found


def _area(points: Sequence[Point]) -> shapely.Polygon:
    """What a closed line encloses."""
    # Point by point from pairs a polygon takes several times as long.
    return shapely.Polygon(np.array(points)).buffer(0.0)


def _is_strip(mark: Mark) -> bool:
    """Whether a mark is a closed print with a name: where another part lands, or a slot."""
    return mark.kind in ("landing", "slot") and len(mark.points) > 3 and mark.points[0] == mark.points[-1]


def _strip_name(mark: Mark, strips: dict[Mark, shapely.Polygon], ground: FreeGround) -> list[Item]:
    """The name of a print inside its own lines, best where no other print lies."""
    own = strips[mark]
    others = [strip for other, strip in strips.items() if other is not mark and strip.intersects(own)]
    text = Text(Role.LABEL, (0.0, 0.0), mark.name, _MARK_SIZE, ref=f"{PRINT}{mark.name}")
    # No name runs outside the print, whichever way it is turned.
    sizes = [size for size in (_MARK_SIZE, LEGIBLE, _LEAST_MARK) if text_width(text.text, size) <= _reach(own)]
    for avoid, find in product((others, []) if others else ([],), (_long_middle, _middle_run)):
        middle = find(mark.points) if sizes else []
        for size in sizes:
            placed = ground.along(replace(text, size=size), middle, within=own, avoid=avoid)
            if placed is not None:
                return [placed]
    return []


def _reach(shape: shapely.Polygon) -> float:
    x0, y0, x1, y1 = shape.bounds
    return float(np.hypot(x1 - x0, y1 - y0))


def _plainest(mark: Mark, strips: dict[Mark, shapely.Polygon]) -> shapely.Polygon:
    """The largest piece of a print on which no other lies, if it is a good part of it; else all of it."""
    own = strips[mark]
    others = [strip for other, strip in strips.items() if other is not mark and strip.intersects(own)]
    if not others:
        return own
    pieces = shapely.get_parts(own.difference(shapely.union_all(others)))
    alone = max(pieces, key=lambda piece: float(piece.area), default=own)
    return alone if alone.geom_type == "Polygon" and alone.area >= _GOOD_PART * own.area else own


def _pointed_name(mark: Mark, part: str, strips: dict[Mark, shapely.Polygon], ground: FreeGround) -> list[Item]:
    """The name of a print too small for it, outside every print, with a thin leader that ends in a dot inside."""
    text = Text(Role.LABEL, (0.0, 0.0), mark.name, _MARK_SIZE)
    run = _middle_run(_points(_plainest(mark, strips).exterior))
    everywhere = list(strips.values())
    warns = mark.kind == "slot"
    for reach in _REACHES[:1] if warns else _REACHES:
        for size in (_MARK_SIZE, LEGIBLE) if warns else (_MARK_SIZE, LEGIBLE, _LEAST_MARK):
            found = ground.pointed(replace(text, size=size), run, everywhere, reach)
            if found is not None:
                placed, (start, end) = found
                ref = f"{part}{LEADER}{mark.name}"
                dot = Shape(Role.LABEL, (circle(start, _DOT_MM / 2.0),), ref=ref, fill=BLACK)
                return [Shape(Role.THIN, (line(start, end),), ref=ref), dot, placed]
    return _in_two_lines(replace(text, size=LEGIBLE), run, ground) if warns else []


def _named_cross(mark: Mark, part: str, strips: dict[Mark, shapely.Polygon], ground: FreeGround) -> list[Item]:
    """The words of a cross off every print, with a thin leader that ends in the cross itself."""
    text = Text(Role.LABEL, (0.0, 0.0), mark.name, _MARK_SIZE)
    (x, y), half = mark.points[0], 0.1 * _CROSS_MM
    found = None
    for reach in _REACHES[:2]:
        found = found or ground.pointed(text, [(x - half, y), (x + half, y)], list(strips.values()), reach)
    if found is None:
        return _beside(text, mark.points[0], ground)
    placed, leader = found
    return [Shape(Role.THIN, (line(*leader),), ref=f"{part}{LEADER}{mark.name}"), placed]


def _middle_run(points: Sequence[Point]) -> list[Point]:
    """The line midway between the long sides of a print, which may be curved."""
    strip = _area(points)
    start, end = (np.array(each) for each in _long_middle(points))
    unit = (end - start) / max(float(np.linalg.norm(end - start)), 1e-9)
    square = np.array([-unit[1], unit[0]]) * (float(np.ptp(np.array(points) @ np.array([-unit[1], unit[0]]))) + 1.0)
    ats = start + np.linspace(0.02, 0.98, _MIDDLES)[:, None] * (end - start)
    across = shapely.intersection(strip, shapely.linestrings(np.stack([ats - square, ats + square], axis=1)))
    parts = (shapely.get_parts(each) for each in np.asarray(across, dtype=object))
    pieces = [max(each, key=lambda piece: float(piece.length)) for each in parts if len(each)]
    middles = shapely.get_coordinates(shapely.centroid(pieces))
    return [_pair(middle) for middle in middles] if len(middles) > 1 else [_pair(start), _pair(end)]


def _mark_words(mark: Mark, ground: FreeGround) -> list[Item]:
    """The words beside a mark, where there is room for them; the line itself tells the rest."""
    text = Text(Role.LABEL, (0.0, 0.0), mark.name, _MARK_SIZE)
    if mark.kind == "station":
        words = replace(text, text=f"station {mark.name}", size=2.4)
        placed = ground.along(words, _parallel(mark.points, 2.0)) or ground.along(words, _parallel(mark.points, -2.0))
        return [] if placed is None else [placed]
    if mark.kind in ("centre line", "balance point", "true line", "waterline", "glue joint"):
        for shift in (2.4, -2.4, 5.0, -5.0):
            placed = ground.along(text, _parallel(mark.points, shift))
            if placed is not None:
                return [placed]
        return _beside(text, mark.points[-1], ground) if mark.kind == "balance point" else []
    if mark.kind == "hole" and (mark.diameter is None or mark.diameter >= _NAMED_FROM):
        return _beside(text, mark.points[0], ground)
    return []


def _beside(text: Text, at: Point, ground: FreeGround) -> list[Item]:
    for dx, anchor in ((5.0, "start"), (-5.0, "end")):
        for dy in (-1.0, 4.0, -6.0, 9.0, -11.0):
            candidate = replace(text, at=(at[0] + dx, at[1] + dy), anchor=anchor)
            if ground.put(candidate):
                return [candidate]
    return []


def _in_two_lines(text: Text, middle: Sequence[Point], ground: FreeGround) -> list[Item]:
    """Words in two lines as near to a mark as there is room."""
    all_words = text.text.split()
    half = (len(all_words) + 1) // 2
    lines = (" ".join(all_words[:half]), " ".join(all_words[half:]))
    ref = f"{LINES}{lines[0]}"
    (x0, y0), (x1, y1) = middle[0], middle[-1]
    x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    steps = [(dx, dy) for dx in range(-60, 61, 6) for dy in range(-48, 49, 4)]
    for dx, dy in sorted(steps, key=lambda step: (step[0] ** 2 + (2 * step[1]) ** 2, step)):
        texts = [
            replace(text, text=words, at=(x + dx, y + dy - 1.4 * text.size * number), anchor="middle", ref=ref)
            for number, words in enumerate(lines)
        ]
        if ground.put_all(texts):
            return [*texts]
    return []


def _long_middle(points: Sequence[Point]) -> list[Point]:
    """The middle line of a closed shape along its longer axis."""
    box = shapely.get_coordinates(shapely.oriented_envelope(shapely.multipoints(np.array(points))))
    a, b = box[1] - box[0], box[2] - box[1]
    if np.linalg.norm(a) >= np.linalg.norm(b):
        ends = ((box[0] + box[3]) / 2.0, (box[1] + box[2]) / 2.0)
    else:
        ends = ((box[0] + box[1]) / 2.0, (box[3] + box[2]) / 2.0)
    return [(float(end[0]), float(end[1])) for end in ends]


def _parallel(points: Sequence[Point], distance: float) -> list[Point]:
    start, end = np.array(points[0]), np.array(points[-1])
    unit = (end - start) / max(float(np.linalg.norm(end - start)), 1e-9)
    away = np.array([-unit[1], unit[0]]) * distance
    return [(float(p[0]), float(p[1])) for p in (start + away, end + away)]


def _grain_arrow(part: Part, ground: FreeGround, halves: Sequence[float]) -> list[Item]:
    """An arrow along the grain with its word, in the roomiest place that is left.

    Args:
        part: what it is drawn on.
        ground: what is free.
        halves: half of how long it may be, the best first, mm.
    """
    if part.grain == "any":
        return []
    unit = np.array([1.0, 0.0] if part.grain == "along" else [0.0, 1.0])
    bare: tuple[np.ndarray, np.ndarray] | None = None
    for region in sorted(shapely.get_parts(ground.free), key=lambda piece: -piece.area)[:3]:
        if region.geom_type != "Polygon" or region.area < 60.0:
            continue
        middle = np.array(roomiest(region)[0])
        for half in halves:
            start, end = middle - half * unit, middle + half * unit
            if not region.covers(_arrow_room(start, end)):
                continue
            bare = bare or (start, end)
            word = _grain_word(start, end, ground)
            if word is not None:
                ground.take(_arrow_room(start, end))
                return [Shape(Role.LABEL, _double_arrow(start, end), ref=f"{part.id} grain"), word]
    if bare is None:
        return []
    ground.take(_arrow_room(*bare))
    return [Shape(Role.LABEL, _double_arrow(*bare), ref=f"{part.id} grain")]


def _arrow_room(start: np.ndarray, end: np.ndarray, gap: float = 0.0) -> shapely.Polygon:
    return shapely.LineString([start, end]).buffer(0.4 * _ARROW_MM + 0.1 + gap, quad_segs=1)


def _grain_word(start: np.ndarray, end: np.ndarray, ground: FreeGround) -> Text | None:
    """The word beside its arrow, or in line with it on a strip that is too narrow for both."""
    ends = (_pair(start), _pair(end))
    kept = [_arrow_room(start, end, 0.6)]
    for size in (_MARK_SIZE, LEGIBLE):
        # Other words in line with it must not read on from it.
        word = Text(Role.LABEL, (0.0, 0.0), _ALONE.format("grain"), size)
        room = text_width(word.text, size) + 0.1
        beside = (_parallel(ends, 4.6), _parallel(ends, -4.6))
        for run in (*beside, _onward(start, end, room), _onward(end, start, room)):
            placed = ground.along(word, run, avoid=kept)
            if placed is not None:
                return replace(placed, text="grain")
    return None


def _onward(start: np.ndarray, end: np.ndarray, length: float) -> list[Point]:
    """A piece of the line that runs on past its end, a little off the end."""
    unit = (end - start) / np.linalg.norm(end - start)
    return [_pair(end + _PAST * unit), _pair(end + (_PAST + length) * unit)]


def _double_arrow(start: np.ndarray, end: np.ndarray) -> tuple[Path, ...]:
    unit = (end - start) / np.linalg.norm(end - start)
    square = np.array([-unit[1], unit[0]])
    paths = [polyline([_pair(start), _pair(end)])]
    for tip, way in ((start, unit), (end, -unit)):
        wings = [tip + _ARROW_MM * way + 0.4 * _ARROW_MM * side * square for side in (1.0, -1.0)]
        paths.append(polyline([_pair(wings[0]), _pair(tip), _pair(wings[1])]))
    return tuple(paths)


def _pair(point: np.ndarray) -> Point:
    return (float(point[0]), float(point[1]))
