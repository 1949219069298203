"""The cutting plan: every sheet to scale, the order of its cuts and what they make."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, KeepTogether, Spacer, TableStyle

from hullcut.drawing.paths import transform
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Scene
from hullcut.drawing.sheet_scene import (
    Band,
    offcut_name,
    scale_of_pieces,
    sheet_drawing,
    sheet_title,
    size_words,
)
from hullcut.lengths import bare, both
from hullcut.packet.document import MM, Heading, Table, grid, note_box, paragraph
from hullcut.packet.runs import in_runs
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import OrderPlan
    from hullcut.drawing.sheet_scene import SheetDrawing
    from hullcut.nesting.values import Cut, Sheet
    from hullcut.packet.document import Frames, Styles
    from hullcut.parts.values import Part

__all__ = ["cut_words", "cutting_chapter", "piece_names"]

_COLUMNS = 3
# Tallest picture of a sheet, mm; and of one with so many pieces and cuts that they need the page's whole width.
_TALLEST, _TALLEST_CROWDED = 71.0, 165.0
_CROWDED = 40
# A piece narrower than this in a picture, mm on paper, makes it so much taller.
_SMALL, _TALLEST_SMALL = 3.0, 80.0
# Height of the chapter's words, and of what stands about a picture, mm.
_CHAPTER_WORDS, _AROUND, _HEADING = 70.0, 46.0, 20.0
# A long board with more parts than this for each band is drawn in several bands.
_PARTS_IN_BAND = 5
# So many bands at most, of a longer board as many as keep each to this length, mm.
_MOST_BANDS, _LONGEST_BAND = 3, 914.4
# A band may end this share of its length sooner or later, where fewer parts are torn.
_PLAY = 0.12
# Of a plain run behind the last part that is longer than this share of the sheet, so much is drawn before and behind
# the break, and the break is so wide, mm on paper; by this all is drawn so many times larger at most.
_PLAIN, _PLAIN_SHOWN, _FAR_END, _BREAK, _ENLARGED = 0.35, 0.08, 0.05, 3.0, 2.5
# A picture is so much narrower than the column, for the figures at its left, mm on paper.
_BESIDE_BAND = 18.0
# Where numbers tangle, each further try draws the sheet so much larger, at most at this scale, 1:n.
_CLOSER, _CLOSEST = 0.8, 2.0
# Sizes reckoned in different ways differ by less than this; and so near to a zigzag no ring should stand, mm of wood.
_TOUCH, _RING_ROOM = 0.01, 12.0
# Fewer rows of a list than this do not stand alone on a page.
_LEAST_ROWS = 3
# An edge so short does not guide a piece along a fence, mm: common practice, no source.
_SHORT_EDGE = 304.8
# A picture up to this share of the column's width has its list of cuts beside it, if that is not too long.
_BESIDE = 0.57
_MOST_BESIDE = 17


def cutting_chapter(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every sheet of the order with its list of cuts."""
    parts = plan.parts
    rules = plan.layout.rules
    units = plan.order.units
    story: list[Flowable] = [
        CondPageBreak(160 * MM),
        Heading("Cutting plan", look.chapter),
        note_box(
            [
                paragraph(
                    "The straight cuts are an adult's work. Measure twice before each. "
                    f"The saw takes away {both(rules.kerf, units, 32, decimals=1)} at each cut. "
                    "Cuts with an h in the list are no work for a fence: the piece would twist or is too small. "
                    "An adult clamps it down and saws by hand. "
                    "Thin strips are fed with a push stick, fingers well away.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
        Spacer(0, 3),
        paragraph(
            "Rings number the cuts in their order. A ring without room on its cut has a thin line to it. "
            "Cuts run along the dashed orange lines. At a zigzag some of the board is not drawn. "
            "In the list the cuts run across each row. "
            "Figures along the edges count from the lower left corner to the near side of each cut. "
            "At a trim the figure is the new edge, or the board's own. "
            "Offcuts are dashed grey: keep them, with their names on. "
            "In the list 1 | 2, 5 means: this cut parts piece 1 from pieces 2 and 5. "
            "What stays together is sawn apart by its templates. "
            "The fence is the guide of the saw: set it so far from the blade. "
            "“Trim” takes a thin strip off a rough edge.",
            look.body,
        ),
        paragraph(
            "Each part has its number. Its colour is only a help: a light tint of the set for colour-blind readers by "
            "M. Okabe and K. Ito, “Color Universal Design” (2008).",
            look.small,
        ),
    ]
    if plan.glue_ups:
        words = "A blue line of dashes and dots along an edge: plane down to it, then glue that edge to the other half."
        story.append(paragraph(words, look.body))
    for number, sheet in enumerate(plan.layout.sheets):
        story += _sheet(sheet, parts, plan, frames, look, after_words=number == 0)
    return [*story, *_rack(plan, frames, look)]


def _rack(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The offcuts by name, with what to write so that the next boat uses them first."""
    units = plan.order.units
    heads = ("☐", "Name", "Wood", "Thickness", "Size", "Area")
    widths = [6.0, 14.0, 0.0, 34.0, 52.0, 22.0]
    widths[2] = frames.width - sum(widths)
    rows: list[list[object]] = [[paragraph(text, look.cell_bold) for text in heads]]
    for sheet in plan.layout.sheets:
        for number, offcut in enumerate(sheet.offcuts):
            cells = (
                "☐",
                offcut_name(sheet, number),
                wood(sheet.stock.material).name,
                both(sheet.stock.planed_to, units, 32, decimals=1),
                size_words(offcut.length, offcut.width, units),
                f"{offcut.length * offcut.width * 1e-2:.0f} cm²",
            )
            rows.append([paragraph(text, look.cell) for text in cells])
    if len(rows) == 1:
        return []
    table = grid(rows, widths, padding=1.0)
    _, high = table.wrap(frames.width * MM, frames.height * MM)
    return [
        CondPageBreak(min(60.0 * MM, high + 12.0 * MM)),
        Heading("Offcuts for the rack", look.section, 1),
        paragraph(
            "Write the name on each, and put it where you keep wood. The next boat uses these first.",
            look.body,
        ),
        table,
        Spacer(0, 6),
    ]


def _sheet(
    sheet: Sheet,
    parts: Mapping[str, Part],
    plan: OrderPlan,
    frames: Frames,
    look: Styles,
    after_words: bool,
) -> list[Flowable]:
    """A sheet's picture, its key and its cuts, on one page where they fit.

    Under the chapter's words a long list may run on overleaf, for else those words would have a page of their own.
    """
    units = plan.order.units
    key = [paragraph(words, look.small) for words in _key(sheet, parts, plan)]
    pictures = _pictures(sheet, plan, frames, frames.height - _CHAPTER_WORDS if after_words else frames.height)
    heading = Heading(sheet_title(sheet, units), look.section, 1)
    widest = max(picture.scene.width * picture.scale for picture in pictures)
    if sheet.cuts and widest <= _BESIDE * frames.width and len(sheet.cuts) <= _MOST_BESIDE:
        table = _cuts(sheet, units, frames.width - widest - 4.0, 1, look)
        return [KeepTogether([heading, _beside([*pictures, *key], table, widest, frames), Spacer(0, 6)])]
    block: list[Flowable] = [heading, *_apart(pictures), *key, Spacer(0, 3)]
    if not sheet.cuts:
        return [KeepTogether([*block, Spacer(0, 9)])]
    columns = min(_COLUMNS, max(1, (len(sheet.cuts) + 1) // 2))
    cuts: Flowable = _cuts(sheet, units, frames.width, columns, look)
    if after_words and len(sheet.cuts) > _MOST_BESIDE:
        return [KeepTogether([heading, *_apart(pictures)]), *key, Spacer(0, 3), cuts, Spacer(0, 9)]
    return [KeepTogether([*block, cuts, Spacer(0, 9)])]


def _beside(left: list[Flowable], right: Flowable, width: float, frames: Frames) -> Flowable:
    """A narrow picture with its list of cuts at its right."""
    table = Table([[left, right]], [(width + 4.0) * MM, (frames.width - width - 4.0) * MM], hAlign="LEFT")
    plain = [(name, (0, 0), (-1, -1), 0) for name in ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")]
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *plain]))
    return table


def _key(sheet: Sheet, parts: Mapping[str, Part], plan: OrderPlan) -> list[str]:
    """Numbers and names of the parts on a sheet; where the order has several boats, boat by boat."""
    names = [(number, parts[each.part].name, each.boat) for number, each in enumerate(sheet.placements, 1)]

    def listed(boat: str | None) -> str:
        return "  ·  ".join(f"{number}\u00a0{name}" for number, name, of in names if boat in (None, of))

    if len(plan.order.boats) == 1 and len({boat for _, _, boat in names}) < 2:
        return [listed(None)]
    rows = [f"{boat or 'extra'}:  {listed(boat)}" for boat in dict.fromkeys(boat for _, _, boat in names)]
    return ["  |  ".join(rows)] if len(names) <= 2 * len(rows) else rows


def _apart(pictures: list[SceneFlowable]) -> list[Flowable]:
    """Bands one under another with room between, so that no word stands nearer to another band."""
    spaced: list[Flowable] = []
    for picture in pictures:
        spaced += [picture, Spacer(0, 7)]
    return spaced[:-1]


def _pictures(sheet: Sheet, plan: OrderPlan, frames: Frames, height: float) -> list[SceneFlowable]:
    """The sheet as large as the column lets it be; a crowded board in bands, one under another.

    Where numbers tangle, it is drawn again in more bands and larger, as many times as it needs, over several pages.
    """
    room = frames.width - _BESIDE_BAND
    # A plain run is left out where the length alone keeps the picture small.
    breaks = sheet.length / room > sheet.width / _TALLEST
    views = _Views(sheet, plan, *_bands(sheet, plan.layout.rules.kerf, breaks))
    crowded = len(sheet.placements) + len(sheet.cuts) > _CROWDED
    least = min((min(blank.length, blank.width) for blank in sheet.blanks), default=sheet.width)
    usual = _TALLEST_SMALL if least * _TALLEST / sheet.width < _SMALL else _TALLEST
    tallest = min(_TALLEST_CROWDED, height - _AROUND) if crowded else usual
    ratio = max(views.longest(room), sheet.width / tallest)
    usually = (views, ratio, height - _HEADING)
    for some, at, high in itertools.chain((usually,), _closer(views, ratio, room, frames)):
        scenes, ratio, tangled = _fitted(some, at, high, True)
        if not tangled:
            break
    else:
        scenes, ratio, _ = _fitted(*usually, False)
    ratio = max(ratio, max(scene.width for scene in scenes) / frames.width)
    return [SceneFlowable(scene, scene.width / ratio, align="LEFT") for scene in scenes]


def _fitted(views: _Views, ratio: float, height: float, strict: bool) -> tuple[list[Scene], float, int]:
    """The scenes of bands that are no higher together than a height, their ratio, and how many numbers tangle."""
    scenes, tangled = views.drawn(ratio, strict)
    over = sum(scene.height for scene in scenes) / ratio / height
    if over > 1.0 and not (strict and tangled):
        ratio *= over
        scenes, tangled = views.drawn(ratio, strict)
    return scenes, ratio, tangled


def _closer(views: _Views, usual: float, room: float, frames: Frames) -> Iterator[tuple[_Views, float, float]]:
    """More and more bands, larger and larger, on as many pages as they need: bands, ratio and height of them all.

    Args:
        views: the usual bands.
        usual: at which 1:n they are drawn.
        room: for the length of a band, mm.
        frames: of a page, on which each band has to fit.
    """
    sheet = views.sheet
    closest = max(_CLOSEST, sheet.width / (frames.height - _AROUND - _HEADING))
    ratio = min(usual, scale_of_pieces(sheet) / _CLOSER)
    while ratio > closest:
        ratio = max(_CLOSER * ratio, closest)
        views = _Views(sheet, views.plan, *_bands(sheet, views.kerf, bool(views.far_end), _count(views, ratio * room)))
        # A band that ends a little later for the parts' sake is no wider than the column.
        yield views, max(ratio, views.longest(room)), math.inf


def _count(views: _Views, longest: float) -> int:
    return math.ceil(views.bands[-1].stop / longest)


@dataclass(frozen=True, slots=True)
class _Views:
    """The bands in which a sheet is drawn, and how much of its far end beside the last of them, mm."""

    sheet: Sheet
    plan: OrderPlan
    bands: list[Band]
    far_end: float

    @property
    def kerf(self) -> float:
        """Of the saw, mm."""
        return self.plan.layout.rules.kerf

    def longest(self, room: float) -> float:
        """The least ratio at which every band fits into so many mm."""
        far_end, last = self.far_end, self.bands[-1]
        return max(
            *((band.stop - band.start) / room for band in self.bands),
            (last.stop - last.start + far_end) / (room - _BREAK) if far_end else 0.0,
            self.sheet.length / room / _ENLARGED if far_end else 0.0,
        )

    def drawn(self, ratio: float, strict: bool) -> tuple[list[Scene], int]:
        """A scene for each band, for 1:ratio, and how many numbers tangle; where strict, none behind the first."""
        plan, sheet = self.plan, self.sheet
        several = len(plan.order.boats) > 1

        def draw(band: Band) -> SheetDrawing:
            return sheet_drawing(sheet, plan.parts, plan.order.units, ratio, False, band, several, strict)

        drawings = []
        for band in self.bands:
            drawings.append(draw(band))
            if strict and drawings[-1].tangled:
                break
        scenes = [drawing.scene for drawing in drawings]
        if self.far_end and not (strict and drawings[-1].tangled):
            count = len(self.bands)
            end = Band(sheet.length - self.far_end, sheet.length, count, count, far_end=True)
            moved = self.bands[-1].stop + _BREAK * ratio - end.start
            scenes[-1] = _with_far_end(scenes[-1], draw(end).scene, moved)
        return scenes, sum(drawing.tangled for drawing in drawings)


def _with_far_end(scene: Scene, end: Scene, dx: float) -> Scene:
    """A band with the board's far end beside it, moved there."""
    return Scene(
        scene.title,
        scene.x0,
        min(scene.y0, end.y0),
        max(scene.x1, end.x1 + dx),
        max(scene.y1, end.y1),
        (*scene.items, *(transform(item, dx=dx) for item in end.items)),
    )


def _bands(sheet: Sheet, kerf: float, breaks: bool, at_least: int = 1) -> tuple[list[Band], float]:
    """The pieces in which a sheet is drawn: one, or several of a long board, torn where few parts lie.

    Of a long plain run behind the last part only the far end is drawn, as an interrupted view; how much of it is told
    too, mm, 0 where all is drawn.

    Args:
        sheet: to draw.
        kerf: of the saw, mm.
        breaks: whether a plain run may be left out.
        at_least: so many bands or more.
    """
    blanks = [(blank.x, blank.x + blank.length) for blank in sheet.blanks]
    last = max((stop for _, stop in blanks), default=sheet.length)
    shown, far_end = sheet.length, 0.0
    if breaks and sheet.length - last > _PLAIN * sheet.length:
        shown, far_end = last + _PLAIN_SHOWN * sheet.length, _FAR_END * sheet.length
    narrow = sheet.width / shown < 0.2
    most = max(_MOST_BANDS, math.ceil(sheet.length / _LONGEST_BAND))
    count = min(most, max(1, math.ceil(len(sheet.placements) / _PARTS_IN_BAND))) if narrow else 1
    # What is left of a board is drawn no smaller than all of it would be, in fewer bands.
    count = max(math.ceil(count * shown / sheet.length), at_least)
    each = shown / count
    places = [0.0]
    for number in range(1, count):
        middle = number * each
        if middle >= last:
            break
        # Behind the saw's cut, so that its number and its figure stand in one band.
        tries = [middle, *(stop + kerf for _, stop in blanks if abs(stop + kerf - middle) <= _PLAY * each)]
        places.append(min(tries, key=lambda x: (_torn(x, blanks), _cuts_beside(x, sheet, kerf), abs(x - middle))))
    places.append(shown)
    bands = [
        Band(start, stop, number, len(places) - 1) for number, (start, stop) in enumerate(itertools.pairwise(places), 1)
    ]
    if far_end:
        bands[-1] = replace(bands[-1], left_out=sheet.length - far_end - shown)
    return bands, far_end


def _torn(x: float, blanks: Sequence[tuple[float, float]]) -> int:
    """How many blanks are torn at a place along the board."""
    return sum(start + _TOUCH < x < stop - _TOUCH for start, stop in blanks)


def _cuts_beside(x: float, sheet: Sheet, kerf: float) -> int:
    """How many cuts across the board run so near to a place that their rings would stand on the zigzag there.

    That whose far side is the place does not count: its ring makes way.
    """
    middles = [cut.x0 for cut in sheet.cuts if cut.x0 == cut.x1 and abs(cut.x0 + kerf / 2.0 - x) > _TOUCH]
    return sum(abs(middle - x) < _RING_ROOM for middle in middles)


class _Rows(Table):
    """A list that a page's end never breaks so that only a row or two stand alone."""

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        """The pieces before and after the page's end; none where the list is to begin on the next page."""
        pieces: list[Flowable] = super().split(available_width, available_height)
        if len(pieces) != 2:
            return pieces
        heights = self.heights()
        left = _rows_of(pieces[1])
        if left < _LEAST_ROWS:
            filled = sum(heights[:-_LEAST_ROWS]) + 0.1
            pieces = super().split(available_width, filled)
        return pieces if len(pieces) == 2 and _rows_of(pieces[0]) >= _LEAST_ROWS else []

    def heights(self) -> list[float]:
        """Of the rows, the head's first, points."""
        return list(self._rowHeights)  # type: ignore[attr-defined]


def _rows_of(piece: Flowable) -> int:
    """The rows of a piece of a list, its head left out."""
    return len(piece.heights()) - 1 if isinstance(piece, _Rows) else 0


def _cuts(sheet: Sheet, units: Literal["in", "mm"], width: float, columns: int, look: Styles) -> Flowable:
    """The cuts, some across each row: order, fence setting, which piece is cut into which."""
    names = piece_names(sheet)
    entries = [
        [
            paragraph(str(cut.order), look.cell),
            paragraph(_fence(cut, units), look.cell),
            paragraph(cut_words(cut, names), look.cell),
        ]
        for cut in sheet.cuts
    ]
    fence = "Fence in (mm)" if units == "in" else "Fence mm (in)"
    heads = [paragraph(text, look.cell_bold) for text in ("Cut", fence, "Parts in it")]
    rows: list[list[object]] = [[*heads * columns]]
    for first in range(0, len(entries), columns):
        row = entries[first : first + columns]
        rows.append([cell for entry in row for cell in entry] + [""] * (3 * (columns - len(row))))
    each = width / columns
    return grid(rows, [8.5, 25.5, each - 34.0] * columns, padding=1.0, kind=_Rows)


def by_hand(cut: Cut) -> bool:
    """Whether a cut is sawn by hand: the edge along the fence is short, or shorter than the fence stands off.

    Such a piece can turn against the blade: common practice, no source.
    """
    along = math.hypot(cut.x1 - cut.x0, cut.y1 - cut.y0)
    return along < _SHORT_EDGE or along < cut.fence


def _fence(cut: Cut, units: Literal["in", "mm"]) -> str:
    """A fence setting without the units, which stand in the table's head."""
    told = "trim" if cut.fence < 0.5 else bare(cut.fence, units)
    return f"{told} h" if by_hand(cut) else told


def cut_words(cut: Cut, names: Mapping[str, str]) -> str:
    """The parts of the piece that is cut, a bar between what goes to either side: "1, 2 | 3–5".

    Args:
        cut: of a sheet.
        names: of the sheet's pieces; what holds no part has none.
    """
    return " | ".join(names[piece] for piece in cut.makes if piece in names)


def piece_names(sheet: Sheet) -> dict[str, str]:
    """Each piece by the numbers of the parts that are still in it, as the drawing shows them."""
    numbers = {placement: number for number, placement in enumerate(sheet.placements, 1)}
    holds = {blank.id: [numbers[each] for each in blank.placements] for blank in sheet.blanks}
    # A piece is cut before what it makes is, so that the last cuts are told first.
    for cut in sorted(sheet.cuts, key=lambda cut: -cut.order):
        holds[cut.piece] = [number for piece in cut.makes for number in holds.get(piece, [])]
    return {piece: in_runs(sorted(found)) for piece, found in holds.items() if found}
