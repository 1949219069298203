"""The building board: the lines on it, how far apart the sides stand there, and the blocks that hold them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, circle, line, polygon, polyline, rectangle
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.picture_table import columns_of, rows_of
from hullcut.packet.picture_words import END_SIZE, hatching
from hullcut.packet.places import beam_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.hull.form import Hull
    from hullcut.packet.studio import Studio

__all__ = ["BOARD_AFT", "STOP_BLOCK", "BoardLine", "board_lines", "board_picture", "board_size"]

Array = NDArray[np.float64]

_SIZE, _TOLD, _ROW, _COLUMN = 2.3, 2.6, 3.8, 2.5
_KEY = "Orange: stop blocks. Dots: their screws into the board."
STOP_BLOCK = (50.8, 25.4)
"""A stop block along the side and out from it, mm: any scrap of about that size will do."""
# The blocks at the transom stand ahead of its line, clear of the screws into its cleats, mm.
_AHEAD = 25.4
# Of a screw head as it is drawn, its radius, mm on paper.
_SCREW = 0.35
# Of the board, round the boat, mm.
_BOARD = 50.8
BOARD_AFT = _BOARD
"""From the board's after end to line A, mm."""
# A place nearer than this to the transom's line stands on it, mm.
_ON = 1.0


@dataclass(frozen=True, slots=True)
class BoardLine:
    """A line square across the building board.

    Attributes:
        letter: by which steps and picture name it.
        name: of what stands there.
        x: forward of the transom's line, mm.
        half: from the centre line to a side's outer face, down at the board, mm.
    """

    letter: str
    name: str
    x: float
    half: float


def board_lines(plan: BoatPlan) -> tuple[BoardLine, ...]:
    """The lines of the building board, from aft forward: the transom, the beams that stand alone, the bulkhead."""
    hull = plan.hull
    stations = [(f"{name} beam", x) for name, x in beam_rows(plan) if name != "middle"]
    stations += [("bulkhead", plan.design.decks.fore_from)]
    # A raked transom stands on the board with its upper edge.
    rows = [("transom", float(hull.head_of(hull.transom)[0])), *sorted(stations, key=lambda row: row[1])]
    halves = _half_breadths(plan, np.array([x for _, x in rows]))
    return tuple(
        BoardLine(chr(ord("A") + number), name, x, float(half))
        for number, ((name, x), half) in enumerate(zip(rows, halves, strict=True))
    )


def board_size(hull: Hull) -> tuple[float, float]:
    """Length and width of the building board, mm; it begins `BOARD_AFT` abaft the transom.

    A sled's bottom comes down to the board at the bow and is cut too long: the board ends abaft that.
    """
    ends = 0.0 if hull.design.hull.bow == "sled" else 2.0 * _BOARD
    return hull.length + ends, hull.design.hull.beam + 2.0 * _BOARD


def _half_breadths(plan: BoatPlan, x: Array) -> Array:
    """From the centre line to the sides' outer faces at their upper edges, which lie down, mm."""
    hull = plan.hull
    found: Array = hull.half_breadth(x, hull.sheer_height(x) - hull.deck_drop)
    return found


def board_picture(studio: Studio, width: float, height: float) -> Scene:
    """The board from above: its lines, sides and what stands between them, the stop blocks, and a table of places.

    Args:
        studio: of the boat.
        width: of the picture, mm.
        height: greatest height, mm.
    """
    plan = studio.plan
    lines = board_lines(plan)
    after = lines[0].x
    long, wide = board_size(plan.hull)
    start, stop, ahead, edge = min(after, 0.0) - _BOARD, long - _BOARD, plan.hull.length, wide / 2.0
    rows = _rows(plan)
    room = height - _ROW * (len(rows) + 1) - 12.0
    scale = min((width - 2.0) / (max(stop, ahead) - start), room / wide)

    def at(x: float, y: float) -> Point:
        return ((x - start) * scale + 1.0, y * scale)

    items: list[Item] = [
        Shape(Role.OUTLINE, (rectangle(*at(start, -edge), *at(stop, edge)),), fill="#f4f4f4", width=0.25),
        Shape(Role.CENTRE, (line(at(start + 0.2 * _BOARD, 0.0), at(stop - 0.2 * _BOARD, 0.0)),)),
    ]
    x = np.linspace(after, ahead - 1.0, 61)
    outer = _half_breadths(plan, x)
    inner = np.maximum(outer - plan.hull.side_thickness, 0.0)
    for side in (1.0, -1.0):
        ring = [at(float(a), side * float(b)) for a, b in zip(x, outer, strict=True)]
        ring += [at(float(a), side * float(b)) for a, b in zip(x[::-1], inner[::-1], strict=True)]
        items.append(Shape(Role.OUTLINE, (polygon(ring),), fill="#ffffff", width=0.25))
    for each in lines:
        reach = edge + 0.1 * _BOARD
        middle = each.x + (_AHEAD + STOP_BLOCK[0] / 2.0 if each is lines[0] else 0.0)
        items.append(Shape(Role.THIN, (polyline([at(each.x, -reach), at(each.x, reach)]),), width=0.25))
        for side in (1.0, -1.0):
            near, far = side * each.half, side * (each.half + STOP_BLOCK[1])
            box = rectangle(
                *at(middle - STOP_BLOCK[0] / 2.0, min(near, far)), *at(middle + STOP_BLOCK[0] / 2.0, max(near, far))
            )
            block = Shape(Role.OUTLINE, (box,), fill=NEW.colour, width=0.25, ref="stop block")
            items += [block, *hatching([block])]
            heads = [at(middle + along * STOP_BLOCK[0] / 4.0, 0.5 * (near + far)) for along in (-1.0, 1.0)]
            items += [
                Shape(Role.FILL, (circle(head, _SCREW),), fill="#000000", stroke="none", ref="screw") for head in heads
            ]
        top = at(each.x, reach)
        items.append(Text(Role.LABEL, (top[0], top[1] + 0.5), each.letter, _SIZE, anchor="middle", bold=True))
    high, low = at(0.0, edge)[1], at(0.0, -edge)[1]
    for word, place, anchor in (("stern", 1.0, "start"), ("bow", at(ahead, 0.0)[0], "end")):
        items.append(Text(Role.LABEL, (place, high + 3.6), word, END_SIZE, anchor=anchor, bold=True))
    items += _table(rows, width - 2.0, low)
    foot = bounds_of(items)[1]
    return Scene("The building board", 0.0, foot - 1.0, width, high + 7.0, tuple(items))


def _rows(plan: BoatPlan) -> list[tuple[str, str, str]]:
    """The table under the picture: how far each line is from the transom's, and each side from the centre line."""
    units = plan.design.units
    rows = [("line", "from transom line", "middle to side")]
    for each in board_lines(plan):
        where = both(abs(each.x), units) + (" abaft" if each.x < 0.0 else "") if abs(each.x) > _ON else "0"
        rows.append((f"{each.letter}  {each.name}", where, both(each.half, units)))
    return rows


def _table(rows: Sequence[tuple[str, str, str]], width: float, top: float) -> list[Item]:
    """The rows under each other with their head in bold, and what the orange blocks are, no wider than a width."""
    columns = columns_of(rows, _TOLD, _COLUMN, bold_head=True, most=width)
    feet = [top - _ROW * (number + 1) for number in range(len(rows))]
    items = rows_of(rows, columns, 1.0, feet, bold_head=True)
    last = top - _ROW * (len(rows) + 1)
    return [*items, Text(Role.LABEL, (1.0, last), _KEY, font.fit_size(_KEY, width, columns.size))]
