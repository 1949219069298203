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
from hullcut.drawing.grid import Draft, Grid, Piece, Sheet, Template, best_grid, named_lines, tiled_drafts
from hullcut.drawing.lanes import candidate, readable_runs, run_template
from hullcut.drawing.page_map import map_drafts
from hullcut.drawing.paper import Correction, Paper, paper_named
from hullcut.drawing.paths import Ink
from hullcut.drawing.roll import roll_drafts
from hullcut.drawing.scene import Scene
from hullcut.drawing.shelves import shared_drafts, small_block

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

__all__ = ["MARGIN", "OVERLAP", "Page", "Piece", "Template", "pages_json", "pages_pdf", "templates_pdf", "tile"]

MARGIN = 12.0
OVERLAP = 10.0

_NO_CORRECTION = Correction()


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        number: counted from 1.
        count: of all pages.
        kind: "check", "map", "tile", "run" (narrow parts side by side), "shared" or "roll".
        title: what the page is, for the file's outline.
        frame: the page's ground with everything but the parts.
        pieces: the parts on it.
        factors: by how much it is drawn larger, across and up, to make good the printer's error.
    """

    number: int
    count: int
    kind: str
    title: str
    frame: Scene
    pieces: tuple[Piece, ...]
    factors: tuple[float, float] = (1.0, 1.0)

    @property
    def paper_size(self) -> tuple[float, float]:
        """Width and height of the real page, mm."""
        return (self.frame.width * self.factors[0], self.frame.height * self.factors[1])

    @property
    def scene(self) -> Scene:
        """The whole page as one scene."""
        items = tuple(item for piece in self.pieces for item in piece.scene.items)
        return Scene(self.title, self.frame.x0, self.frame.y0, self.frame.x1, self.frame.y1, items + self.frame.items)


def _number(
    drafts: list[Draft], design: str, correction: Correction, landscape: Sheet | None, note: str
) -> tuple[Page, ...]:
    pages = []
    for number, draft in enumerate(drafts, start=1):
        paper, margin = draft.sheet.paper, draft.sheet.margin
        foot = (draft.title, design, f"page {number} of {len(drafts)} · print at 100 %, actual size{note}")
        items = [*draft.items, *footer(margin, margin, paper.width - 2 * margin, foot)]
        frame = Scene(draft.title, 0.0, 0.0, paper.width, paper.height, tuple(items))
        factors = correction.factors(draft.sheet == landscape)
        pages.append(Page(number, len(drafts), draft.kind, draft.title, frame, draft.pieces, factors))
    return tuple(pages)


def _fewest_shared(
    templates: Sequence[Template], inks: list[Ink], small: list[int], sheets: tuple[Sheet, Sheet]
) -> list[Draft]:
    """Pages of small parts, on the paper upright or on its side, whichever needs fewer.

    A part that fits the paper only the other way round has pages of that kind.
    """
    best: list[Draft] | None = None
    for main, other in (sheets, (sheets[1], sheets[0])):
        found = [(index, small_block(templates[index], index, inks[index], main)) for index in small]
        blocks = [block for _, block in found if block is not None]
        left = [small_block(templates[index], index, inks[index], other) for index, block in found if block is None]
        drafts = shared_drafts(templates, blocks, main)
        drafts += shared_drafts(templates, [block for block in left if block is not None], other)
        if best is None or len(drafts) < len(best):
            best = drafts
    return best or []


def tile(
    templates: Sequence[Template],
    paper: str | Paper = "letter",
    title: str = "",
    margin: float = MARGIN,
    overlap: float = OVERLAP,
    correction: Correction = _NO_CORRECTION,
) -> tuple[Page, ...]:
    """Templates on pages: a printer check, maps of the large parts, their pages, then pages of small parts.

    On a roll all parts stand on one long page, with the printer check at its head; on several where one would be
    longer than a PDF page may be.

    Args:
        templates: the parts, in order; each scene must have something drawn on it.
        paper: its name, or the paper itself.
        title: of the design, written on every page.
        margin: which the printer may not reach, mm.
        overlap: of two pages side by side, mm.
        correction: of the printer.

    Raises:
        ValueError: no paper has that name, or it is too small for its margins, or a roll too narrow for a part.
    """
    real = paper_named(paper) if isinstance(paper, str) else paper
    across, up = correction.factors(landscape=False)
    # Everything is laid out in true millimetres, on a paper that the correction makes as large as the real one.
    upright = Paper(real.name, real.width / across, real.height / up, real.roll)
    corrected = f"corrected for {correction.measured_x:g} and {correction.measured_y:g} mm"
    note = "" if correction.plain else f" · {corrected}"
    if real.roll:
        return _number(roll_drafts(templates, Sheet(upright, margin), title), title, correction, None, note)
    sheets = (Sheet(upright, margin), Sheet(upright.turned(), margin))
    if min(*sheets[0].size, *sheets[1].size) < 10 * overlap or sheets[0].size[0] < 150.0:
        raise ValueError("the paper is too small for its margins and overlap; choose a larger paper")
    inks = [Ink(template.scene) for template in templates]
    small = [
        k for k, ink in enumerate(inks) if any(small_block(templates[k], k, ink, sheet) is not None for sheet in sheets)
    ]
    named = {k: named_lines(template.scene) for k, template in enumerate(templates) if k not in small}
    grids = {k: best_grid(inks[k], sheets, overlap, lines) for k, lines in named.items()}
    narrow = [
        candidate(templates[k], k, inks[k], grid, named[k])
        for k, grid in grids.items()
        if 1 in (grid.columns, grid.rows)
    ]
    runs = readable_runs(narrow, sheets, overlap, templates)
    in_runs = {index for run, _ in runs for index in run.indices}
    tiled = [(k, grid) for k, grid in grids.items() if k not in in_runs]
    mapped: list[tuple[Template, Grid, tuple[Template, ...]]] = [(templates[k], grid, ()) for k, grid in tiled]
    for number, (run, _) in enumerate(runs, start=1):
        parts = tuple(templates[index] for index in run.indices)
        mapped.append((run_template(run, templates, number), run.grid, parts))
    maps = map_drafts(mapped, sheets[0])
    told = "" if correction.plain else f"This print is {corrected}."
    drafts = [*maps]
    for index, grid in tiled:
        drafts += tiled_drafts(templates[index], index, grid)
    for _, pages in runs:
        drafts += pages
    drafts += _fewest_shared(templates, inks, small, sheets)
    lists = [
        (templates[piece.template].name, page)
        for page, draft in enumerate(drafts, start=2)
        for piece in draft.pieces
        if templates[piece.template].is_list
    ]
    check = check_items(sheets[0].window, title, told, len(maps), lists)
    first = Draft("check", "Printer check", sheets[0], tuple(check), ())
    return _number([first, *drafts], title, correction, sheets[1], note)


def templates_pdf(
    templates: Sequence[Template],
    paper: str | Paper = "letter",
    title: str = "",
    margin: float = MARGIN,
    overlap: float = OVERLAP,
    correction: Correction = _NO_CORRECTION,
) -> bytes:
    """The pages of `tile` as a PDF with an outline; the same templates always give the same bytes."""
    return pages_pdf(tile(templates, paper, title, margin, overlap, correction), title)


def pages_pdf(pages: Sequence[Page], title: str) -> bytes:
    """Pages already laid out, as a PDF."""
    from hullcut.drawing.pdf import POINTS_PER_MM, draw_scene, new_canvas

    buffer = BytesIO()
    canvas = new_canvas(buffer, f"{title}: templates" if title else "Templates", *pages[0].paper_size)
    for page in pages:
        width, height = page.paper_size
        canvas.setPageSize((width * POINTS_PER_MM, height * POINTS_PER_MM))
        canvas.scale(*page.factors)
        canvas.bookmarkPage(f"page-{page.number}")
        canvas.addOutlineEntry(page.title, f"page-{page.number}", 0)
        for piece in page.pieces:
            x0, y0, _, _ = piece.window
            draw_scene(canvas, piece.scene, x0, y0, clip=piece.window)
        draw_scene(canvas, page.frame, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def pages_json(pages: Sequence[Page], templates: Sequence[Template], design: str) -> dict[str, Any]:
    """Which part of which template stands on which page, so that a program can lay the pages together.

    `matrix` a, b, c, d, e, f takes a point x, y of the part's drawing in plan.json to a x + c y + e, b x + d y + f on
    the real page, in mm from its lower left corner; `window` is the box of the page in which the part shows.
    """
    return {
        "format": "hullcut-templates",
        "version": 1,
        "design": design,
        "pages": [
            {
                "page": page.number,
                "kind": page.kind,
                "width": round(page.paper_size[0], 6),
                "height": round(page.paper_size[1], 6),
                "factors": [round(factor, 9) for factor in page.factors],
                "pieces": [_piece_json(piece, page, templates[piece.template]) for piece in page.pieces],
            }
            for page in pages
        ],
    }


def _piece_json(piece: Piece, page: Page, template: Template) -> dict[str, Any]:
    fx, fy = page.factors
    cos, sin = (0.0, 1.0) if piece.angle_deg == 90.0 else (1.0, 0.0)
    x0, y0, x1, y1 = piece.window
    return {
        "part": template.part,
        "name": template.name,
        "label": piece.label,
        "window": [round(value, 6) for value in (fx * x0, fy * y0, fx * x1, fy * y1)],
        "matrix": [
            round(value, 9) for value in (fx * cos, fy * sin, -fx * sin + 0.0, fy * cos, fx * piece.dx, fy * piece.dy)
        ],
    }
