"""Small parts together on a page, at full size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing.grid import GAP, Draft, Piece, Sheet, Template, caption, make_piece, turned_box
from hullcut.drawing.paths import Ink, bounds, boxed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Point, Text
    from hullcut.drawing.segments import Box

__all__ = ["Block", "put_block", "shared_drafts", "small_block"]

# Room for a line of text under each part, mm.
_CAPTION = 5.0


@dataclass(frozen=True, slots=True)
class Block:
    """A small part with its caption, to be put on a shared page."""

    index: int
    turn: float
    box: Box
    width: float
    height: float


def small_block(template: Template, index: int, ink: Ink, sheet: Sheet, lying: bool = True) -> Block | None:
    """The part lying if it can, else standing, or the other way round; None if it is too large for the paper."""
    width, height = sheet.size
    box = ink.box()
    turns = (0.0, 90.0) if (box[2] - box[0] >= box[3] - box[1]) is lying else (90.0, 0.0)
    extent = max(bounds(text)[2] for text in caption(template, 0.0, 0.0, width))
    for turn in turns:
        turned = turned_box(box, turn)
        w, h = turned[2] - turned[0] + 1.0, turned[3] - turned[1] + 1.0 + _CAPTION
        if w <= width and h <= height:
            return Block(index, turn, turned, min(max(w, extent), width), h)
    return None


def _shelves(blocks: list[Block], size: Point) -> list[list[tuple[Block, float, float]]]:
    """Blocks on shelves, the highest first, each where there first is room: (block, x, y from the top)."""
    pages: list[list[tuple[Block, float, float]]] = []
    shelves: list[list[float]] = []  # page, y from the top, height, width used
    for block in sorted(blocks, key=lambda block: (-block.height, -block.width, block.index)):
        for shelf in shelves:
            if block.height <= shelf[2] and shelf[3] + GAP + block.width <= size[0]:
                pages[int(shelf[0])].append((block, shelf[3] + GAP, shelf[1]))
                shelf[3] += GAP + block.width
                break
        else:
            foot = {int(shelf[0]): shelf[1] + shelf[2] + GAP for shelf in shelves}
            page = next((p for p in sorted(foot) if foot[p] + block.height <= size[1]), len(pages))
            if page == len(pages):
                pages.append([])
            top = foot.get(page, 0.0)
            shelves.append([float(page), top, block.height, block.width])
            pages[page].append((block, 0.0, top))
    return pages


def shared_drafts(templates: Sequence[Template], blocks: list[Block], sheet: Sheet) -> list[Draft]:
    """Pages of small parts, each with its caption under it."""
    drafts = []
    x0, _, x1, y1 = sheet.window
    if not blocks:
        return []
    for page in _shelves(blocks, sheet.size):
        pieces, items = [], []
        for block, x, top in page:
            piece, words = put_block(templates[block.index], block, (x0 + x, y1 - top), x1)
            pieces.append(piece)
            items += words
        names = "; ".join(templates[piece.template].name for piece in pieces)
        drafts.append(Draft("shared", names, sheet, tuple(items), tuple(pieces)))
    return drafts


def put_block(template: Template, block: Block, corner: Point, limit: float) -> tuple[Piece, list[Text]]:
    """A part and its caption with the block's upper left corner at a place of the page.

    Args:
        template: the part.
        block: its block.
        corner: where, mm on the page.
        limit: x that the caption may not pass.
    """
    left, high = corner
    shift = (left + 0.5 - block.box[0], high - 0.5 - block.box[3])
    low = high - block.height + _CAPTION
    window = (left, low, left + block.box[2] - block.box[0] + 1.0, high)
    piece = make_piece(template.name, boxed(template.scene.items), block.index, "", block.turn, shift, window)
    return piece, caption(template, left, low - 3.6, limit - left)
