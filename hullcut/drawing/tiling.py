"""Full-size templates on ordinary paper.

A part larger than the paper is spread over a grid of pages which overlap; smaller parts share pages. Nothing
is ever scaled. In the overlap of two pages stands one joining line with register marks on it, all at fixed
places of the part, so that the halves meet when the pages are laid together.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from hullcut.drawing.furniture import check_items, footer
from hullcut.drawing.grid import Draft, Piece, Sheet, Template, best_grid, tiled_drafts
from hullcut.drawing.page_map import map_drafts
from hullcut.drawing.paper import Paper, paper_named
from hullcut.drawing.paths import Ink
from hullcut.drawing.scene import Scene
from hullcut.drawing.shelves import shared_drafts, small_block

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["MARGIN", "OVERLAP", "Page", "Piece", "Template", "pages_pdf", "templates_pdf", "tile"]

MARGIN = 12.0
OVERLAP = 10.0


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        number: counted from 1.
        count: of all pages.
        kind: "check", "map", "tile" or "shared".
        title: what the page is, for the file's outline.
        frame: the page's ground with everything but the parts.
        pieces: the parts on it.
    """

    number: int
    count: int
    kind: str
    title: str
    frame: Scene
    pieces: tuple[Piece, ...]

    @property
    def scene(self) -> Scene:
        """The whole page as one scene."""
        items = tuple(item for piece in self.pieces for item in piece.scene.items)
        return Scene(self.title, self.frame.x0, self.frame.y0, self.frame.x1, self.frame.y1, items + self.frame.items)


def _number(drafts: list[Draft], design: str) -> tuple[Page, ...]:
    pages = []
    for number, draft in enumerate(drafts, start=1):
        paper, margin = draft.sheet.paper, draft.sheet.margin
        head = draft.title if draft.kind != "shared" else f"{len(draft.pieces)} small parts"
        if draft.kind == "shared" and len(draft.pieces) == 1:
            head = draft.title
        foot = (head, design, f"page {number} of {len(drafts)} · print at 100 %, actual size")
        items = [*draft.items, *footer(margin, margin, paper.width - 2 * margin, foot)]
        frame = Scene(draft.title, 0.0, 0.0, paper.width, paper.height, tuple(items))
        pages.append(Page(number, len(drafts), draft.kind, draft.title, frame, draft.pieces))
    return tuple(pages)


def _fewest_shared(
    templates: Sequence[Template], inks: list[Ink], small: list[int], sheets: tuple[Sheet, Sheet]
) -> list[Draft]:
    """Pages of small parts, on the paper upright or on its side, whichever needs fewer."""
    best: list[Draft] | None = None
    for sheet in sheets:
        found = [small_block(templates[index], index, inks[index], sheet) for index in small]
        blocks = [block for block in found if block is not None]
        if len(blocks) < len(small):
            continue
        drafts = shared_drafts(templates, blocks, sheet)
        if best is None or len(drafts) < len(best):
            best = drafts
    return best or []


def tile(
    templates: Sequence[Template],
    paper: str | Paper = "letter",
    title: str = "",
    margin: float = MARGIN,
    overlap: float = OVERLAP,
) -> tuple[Page, ...]:
    """Templates on pages: a printer check, maps of the large parts, their pages, then pages of small parts.

    Args:
        templates: the parts, in order; each scene must have something drawn on it.
        paper: its name, or the paper itself.
        title: of the design, written on every page.
        margin: which the printer may not reach, mm.
        overlap: of two pages side by side, mm.

    Raises:
        ValueError: no paper has that name, or it is too small for its margins.
    """
    upright = paper_named(paper) if isinstance(paper, str) else paper
    sheets = (Sheet(upright, margin), Sheet(upright.turned(), margin))
    if min(*sheets[0].size, *sheets[1].size) < 10 * overlap or sheets[0].size[0] < 150.0:
        raise ValueError("the paper is too small for its margins and overlap; choose a larger paper")
    inks = [Ink(template.scene) for template in templates]
    small = [k for k, ink in enumerate(inks) if small_block(templates[k], k, ink, sheets[0]) is not None]
    tiled = [(k, best_grid(ink, sheets, overlap)) for k, ink in enumerate(inks) if k not in small]
    drafts = [Draft("check", "Printer check", sheets[0], tuple(check_items(sheets[0].window, title)), ())]
    drafts += map_drafts(templates, tiled, sheets[0])
    for index, grid in tiled:
        drafts += tiled_drafts(templates[index], index, grid)
    drafts += _fewest_shared(templates, inks, small, sheets)
    return _number(drafts, title)


def templates_pdf(
    templates: Sequence[Template],
    paper: str | Paper = "letter",
    title: str = "",
    margin: float = MARGIN,
    overlap: float = OVERLAP,
) -> bytes:
    """The pages of `tile` as a PDF with an outline; the same templates always give the same bytes."""
    return pages_pdf(tile(templates, paper, title, margin, overlap), title)


def pages_pdf(pages: Sequence[Page], title: str) -> bytes:
    """Pages already laid out, as a PDF."""
    from hullcut.drawing.pdf import POINTS_PER_MM, draw_scene, new_canvas

    buffer = BytesIO()
    first = pages[0].frame
    canvas = new_canvas(buffer, f"{title}: templates" if title else "Templates", first.width, first.height)
    for page in pages:
        canvas.setPageSize((page.frame.width * POINTS_PER_MM, page.frame.height * POINTS_PER_MM))
        canvas.bookmarkPage(f"page-{page.number}")
        canvas.addOutlineEntry(page.title, f"page-{page.number}", 0)
        for piece in page.pieces:
            x0, y0, _, _ = piece.window
            draw_scene(canvas, piece.scene, x0, y0, clip=piece.window)
        draw_scene(canvas, page.frame, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()
