"""The packet as a document: paper, margins, feet of pages, stamps, bookmarks and the styles of its words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, partial
from io import BytesIO
from typing import TYPE_CHECKING, Any

from reportlab import platypus
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_CENTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepInFrame,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Paragraph,
    TableStyle,
)

from hullcut.drawing import font
from hullcut.drawing.paper import paper_named
from hullcut.drawing.pdf import POINTS_PER_MM, SceneFlowable, prepare
from hullcut.drawing.scene import Text
from hullcut.drawing.style import VERMILLION
from hullcut.packet.unbroken import FIRM, unbroken

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from typing import Literal

__all__ = [
    "Frames",
    "Heading",
    "Styles",
    "Table",
    "bullet",
    "frames_of",
    "grid",
    "note_box",
    "paragraph",
    "render",
    "styles",
    "words_told",
]

MM = POINTS_PER_MM
_SIDE, _HEAD, _FOOT = 15.0, 13.0, 14.0
_TOTAL = "PagesInAll"
_LEAST_ROWS = 3


@dataclass(frozen=True, slots=True)
class Frames:
    """The room on a page.

    Attributes:
        width: of the column, mm.
        height: of the column, mm.
    """

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Styles:
    """The styles of the packet's words."""

    title: ParagraphStyle
    chapter: ParagraphStyle
    section: ParagraphStyle
    body: ParagraphStyle
    small: ParagraphStyle
    cell: ParagraphStyle
    cell_bold: ParagraphStyle
    centred: ParagraphStyle
    caution: ParagraphStyle
    step: ParagraphStyle


def styles() -> Styles:
    """All styles, in the one font."""
    font.register_fonts()
    body = ParagraphStyle("body", fontName=font.REGULAR, fontSize=9.5, leading=13.2, spaceAfter=3)
    small = ParagraphStyle("small", parent=body, fontSize=7.2, leading=9.4, textColor=HexColor("#444444"))
    cell = ParagraphStyle("cell", parent=body, fontSize=7.6, leading=9.6, spaceAfter=0)
    return Styles(
        title=ParagraphStyle("title", parent=body, fontName=font.BOLD, fontSize=26, leading=31, spaceAfter=4),
        chapter=ParagraphStyle(
            "chapter", parent=body, fontName=font.BOLD, fontSize=16, leading=20, spaceBefore=10, spaceAfter=6
        ),
        section=ParagraphStyle(
            "section", parent=body, fontName=font.BOLD, fontSize=11, leading=14, spaceBefore=6, spaceAfter=3
        ),
        body=body,
        small=small,
        cell=cell,
        cell_bold=ParagraphStyle("cell bold", parent=cell, fontName=font.BOLD),
        centred=ParagraphStyle("centred", parent=small, alignment=TA_CENTER),
        caution=ParagraphStyle("caution", parent=body, fontSize=8.6, leading=10.8, spaceAfter=0),
        step=ParagraphStyle("step", parent=body, fontSize=9, leading=11.0, spaceAfter=1.0),
    )


class Table(platypus.Table):
    """A table whose cells, the empty ones too, are set in the one font; a break leaves no lone rows behind."""

    def __init__(self, *args: Any, **more: Any) -> None:  # noqa: ANN401 - as for any table
        super().__init__(*args, **more)
        self.setStyle(TableStyle([("FONTNAME", (0, 0), (-1, -1), font.REGULAR)]))

    def split(self, width: float, height: float) -> list[Flowable]:
        """The table in two where a page ends, so that the next page gets some rows and not the last one alone."""
        halves: list[Flowable] = super().split(width, height)
        if len(halves) != 2:
            return halves
        heads = self.repeatRows if isinstance(self.repeatRows, int) else 0
        here, later = (half._rowHeights for half in halves)  # type: ignore[attr-defined]
        lacking = _LEAST_ROWS - (len(later) - heads)
        if lacking <= 0 or len(here) - heads < lacking + _LEAST_ROWS:
            return halves
        fewer: list[Flowable] = super().split(width, sum(here[:-lacking]) + 0.1)
        # Without the break the rest would begin again in the room that was left for it.
        return [fewer[0], PageBreak(), fewer[1]] if len(fewer) == 2 else halves


class Words(Paragraph):
    """A paragraph of plain text that knows its words also after it was measured.

    Args:
        text: the words.
        style: their style.
        mark: before the first line; None for none.
    """

    def __init__(self, text: str, style: ParagraphStyle, mark: str | None = None) -> None:
        # Without markup there is nothing to parse: letters in the style's own look are all there is.
        super().__init__("", style, bulletText=mark, frags=[_letters(style).clone(text=text)])
        self.words = text
        self._measured: tuple[float, tuple[float, float]] | None = None

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width and height in a column, points; broken into lines once for each width.

        Tables, kept-together pieces and frames each ask for it again.
        """
        if self._measured is None or self._measured[0] != width:
            self._measured = (width, self._broken(width, height))
        return self._measured[1]

    def _broken(self, width: float, height: float) -> tuple[float, float]:
        """Width and height once the words are broken into lines, no size in two where the column holds it."""
        self.frags[0].text = unbroken(self.words)
        size: tuple[float, float] = super().wrap(width, height)
        if self._splitLongWordCount:  # type: ignore[attr-defined]
            self.frags[0].text = self.words
            size = super().wrap(width, height)
        told = self.blPara  # type: ignore[attr-defined]
        # Who copies a line, or looks for a size in the file, finds plain spaces.
        told.lines = [(spare, [word.replace(FIRM, " ") for word in words]) for spare, words in told.lines]
        return size

    def split(self, width: float, height: float) -> list[Flowable]:
        """No pieces: where a page ends in it, the few lines of a paragraph go on to the next one together."""
        return []


class Heading(Words):
    """A heading that is also a bookmark.

    Args:
        text: of the heading.
        style: its style.
        level: depth in the outline, from 0.
    """

    def __init__(self, text: str, style: ParagraphStyle, level: int = 0) -> None:
        super().__init__(text, style)
        self.level = level

    def draw(self) -> None:
        """Draw the heading and set its bookmark."""
        key = f"{self.canv.getPageNumber()}-{self.level}-{self.words}"
        self.canv.bookmarkHorizontal(key, 0, self.height + 4)
        self.canv.addOutlineEntry(self.words, key, self.level, closed=False)
        super().draw()


@lru_cache(maxsize=256)
def _letters(style: ParagraphStyle) -> Any:  # noqa: ANN401 - the library's own, without a public name
    """How letters look in a style, as the library tells it."""
    return Paragraph("x", style).frags[0]


def paragraph(text: str, style: ParagraphStyle) -> Words:
    """A paragraph of plain text."""
    return Words(text, style)


def bullet(text: str, style: ParagraphStyle, mark: str = "•") -> Words:
    """A paragraph after a mark, its further lines hanging."""
    return Words(text, _hanging(style), mark)


@lru_cache(maxsize=256)
def _hanging(style: ParagraphStyle) -> ParagraphStyle:
    return ParagraphStyle(
        f"{style.name} hanging", parent=style, leftIndent=12, bulletFontName=font.REGULAR, bulletFontSize=style.fontSize
    )


def words_told(story: Iterable[object]) -> str:
    """The words of a story: of its paragraphs, tables and pictures."""
    found: list[str] = []
    for each in story:
        if isinstance(each, Words):
            found.append(each.words)
        elif isinstance(each, SceneFlowable):
            found += [item.text for item in each.scene.items if isinstance(item, Text)]
        elif isinstance(each, platypus.Table):
            rows = each._cellvalues  # type: ignore[attr-defined]
            found += [words_told(cell if isinstance(cell, list | tuple) else [cell]) for row in rows for cell in row]
        elif isinstance(each, KeepTogether | KeepInFrame):
            found.append(words_told(each._content))  # type: ignore[union-attr]
        elif isinstance(each, str):
            found.append(each)
    return "\n".join(found)


def grid(
    rows: Sequence[list[Any]], widths_mm: Sequence[float], padding: float = 2.0, kind: type[Table] = Table
) -> Table:
    """A ruled table whose first row is repeated on every page; padding over and under the words in points."""
    table = kind(rows, [width * MM for width in widths_mm], repeatRows=1, hAlign="LEFT")
    look: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, HexColor("#999999")),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), padding),
        ("BOTTOMPADDING", (0, 0), (-1, -1), padding + 0.5),
        ("BACKGROUND", (0, 0), (-1, 0), HexColor("#e6e6e6")),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, HexColor("#000000")),
    ]
    table.setStyle(TableStyle(look))
    return table


def note_box(content: Sequence[Flowable], width_mm: float, colour: str) -> Table:
    """Content in a tinted box with a heavy left side."""
    table = Table([[list(content)]], [width_mm * MM], hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("BACKGROUND", (0, 0), (-1, -1), HexColor(colour)),
                ("LINEBEFORE", (0, 0), (0, -1), 3, HexColor("#333333")),
                ("LEFTPADDING", (0, 0), (-1, -1), 8),
                ("TOPPADDING", (0, 0), (-1, -1), 3),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ]
        )
    )
    return table


def frames_of(paper: Literal["letter", "a4"]) -> Frames:
    """The room on a page of that paper."""
    width, height = paper_named(paper).width, paper_named(paper).height
    return Frames(width - 2.0 * _SIDE, height - _HEAD - _FOOT)


class _PacketCanvas(Canvas):
    """A canvas that knows at the end how many pages there are, and that asks no viewer for a font."""

    def __init__(self, *args: Any, **more: Any) -> None:  # noqa: ANN401 - whatever the document template gives
        super().__init__(*args, **{**more, "initialFontName": font.REGULAR})

    def save(self) -> None:
        pages = self.getPageNumber() - 1
        self.beginForm(_TOTAL, 0, 0, 60, 12)
        self.setFont(font.REGULAR, 7.5)
        self.setFillColor(HexColor("#444444"))
        self.drawString(0, 2, str(pages))
        self.endForm()
        super().save()


def render(
    story: Sequence[Flowable], title: str, foot: str, paper: Literal["letter", "a4"], watermark: str | None
) -> bytes:
    """The finished PDF; the same story gives the same bytes.

    Args:
        story: of flowables; spent by this.
        title: of the document.
        foot: at the left of every page's foot.
        paper: which paper.
        watermark: stamped at the head of every page.
    """
    buffer = BytesIO()
    width, height = paper_named(paper).width, paper_named(paper).height
    document = BaseDocTemplate(
        buffer,
        pagesize=(width * MM, height * MM),
        leftMargin=_SIDE * MM,
        rightMargin=_SIDE * MM,
        title=title,
        invariant=1,
        pageCompression=1,
    )
    frame = Frame(
        _SIDE * MM,
        _FOOT * MM,
        (width - 2.0 * _SIDE) * MM,
        (height - _HEAD - _FOOT) * MM,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    furnish = partial(_furnish, title=title, foot=foot, watermark=watermark, size=(width, height))
    document.addPageTemplates([PageTemplate("page", [frame], onPage=furnish)])
    document.build(list(story), canvasmaker=_PacketCanvas)
    return buffer.getvalue()


def _furnish(
    canvas: Canvas, _: BaseDocTemplate, *, title: str, foot: str, watermark: str | None, size: tuple[float, float]
) -> None:
    """Foot, page number and stamp of a page."""
    width, height = size
    if canvas.getPageNumber() == 1:
        prepare(canvas, title)
    canvas.saveState()
    canvas.setFont(font.REGULAR, 7.5)
    canvas.setFillColor(HexColor("#444444"))
    base = 8.0 * MM
    canvas.drawString(_SIDE * MM, base, foot)
    number = f"page {canvas.getPageNumber()} of "
    total_room = font.text_width("000", 7.5)
    right = (width - _SIDE) * MM
    canvas.drawRightString(right - total_room, base, number)
    canvas.translate(right - total_room, base - 2)
    canvas.doForm(_TOTAL)
    canvas.restoreState()
    if watermark:
        _stamp(canvas, watermark, width, height)


def _stamp(canvas: Canvas, words: str, width: float, height: float) -> None:
    """A red bar with the stamp's words at the head of the page."""
    canvas.saveState()
    canvas.setFillColor(HexColor(VERMILLION))
    canvas.rect(_SIDE * MM, (height - 12.5) * MM, (width - 2.0 * _SIDE) * MM, 8.0 * MM, stroke=0, fill=1)
    canvas.setFillColor(HexColor("#ffffff"))
    room = (width - 2.0 * _SIDE - 6.0) * MM
    size = font.fit_size(words, room, 12.0, bold=True)
    while size < 5.0 and len(words) > 40:
        words = words[:-2].rstrip(" ;,…") + "…"
        size = font.fit_size(words, room, 12.0, bold=True)
    canvas.setFont(font.face_name(True), size)
    canvas.drawCentredString(width / 2.0 * MM, (height - 8.5) * MM - 0.36 * size, words)
    canvas.restoreState()
