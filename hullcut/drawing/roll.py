"""All parts at full size on one long page, for a plotter or a printer that takes paper from a roll."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

import rectpack

from hullcut.drawing.furniture import FOOTER_HEIGHT, bar, words
from hullcut.drawing.grid import GAP, Draft, Sheet, Template
from hullcut.drawing.paper import Paper
from hullcut.drawing.paths import Ink
from hullcut.drawing.shelves import Block, put_block, small_block

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Item

__all__ = ["roll_drafts"]

# Room at the head of a page for its title and the bars in both directions, mm.
_HEAD = 122.0
# Places are packed in whole hundredths of a millimetre.
_STEP = 100.0

_LINES = (
    "Print at 100 % or “actual size”, on one sheet from the roll.",
    "Measure the bars with a steel rule before you cut.",
    "If the 100 mm bars read wrong, add what you read to the next print:",
    "hullcut templates FILE --measured-x 99.2 --measured-y 100.4",
    "x is the lying bar, y the standing one.",
)


def roll_drafts(templates: Sequence[Template], sheet: Sheet, title: str) -> list[Draft]:
    """Pages as long as they need to be; one unless the parts fill more than a page may be long.

    Args:
        templates: the parts.
        sheet: the roll, its height being the most that a page may have.
        title: of the design.

    Raises:
        ValueError: the roll is too narrow for a part.
    """
    width, height = sheet.size
    room = Sheet(Paper(sheet.paper.name, sheet.paper.width, sheet.paper.height - _HEAD), sheet.margin)
    blocks = []
    for index, template in enumerate(templates):
        block = small_block(template, index, Ink(template.scene), room, lying=False)
        if block is None:
            raise ValueError(f"the roll is too narrow for {template.name}; choose a wider roll, or a paper to tile")
        blocks.append(block)
    return [_page(templates, placed, sheet, title) for placed in _packed(blocks, width, height - _HEAD)]


def _packed(blocks: Sequence[Block], width: float, height: float) -> list[list[tuple[Block, float, float]]]:
    """Blocks on pages: each with its left and its upper edge, counted from the page's lower left corner."""
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.SkylineBl,
        sort_algo=rectpack.SORT_LSIDE,
        rotation=False,
    )
    for number, block in enumerate(blocks):
        packer.add_rect(_whole(block.width + GAP), _whole(block.height + GAP), rid=number)
    packer.add_bin(_whole(width + GAP), _whole(height + GAP), count=len(blocks))
    packer.pack()
    pages: dict[int, list[tuple[Block, float, float]]] = {}
    for page, x, y, _, _, number in sorted(packer.rect_list()):
        block = blocks[number]
        pages.setdefault(page, []).append((block, x / _STEP, y / _STEP + block.height))
    return [pages[page] for page in sorted(pages)]


def _whole(mm: float) -> int:
    return ceil(mm * _STEP - 1e-6)


def _page(
    templates: Sequence[Template], placed: Sequence[tuple[Block, float, float]], sheet: Sheet, title: str
) -> Draft:
    margin, width = sheet.margin, sheet.paper.width
    base = margin + FOOTER_HEIGHT
    used = max(top for _, _, top in placed)
    height = base + used + _HEAD + margin
    pieces = []
    items: list[Item] = _head(margin, base + used + 8.0, title)
    for block, left, top in placed:
        piece, caption = put_block(templates[block.index], block, (margin + left, base + top), width - margin)
        pieces.append(piece)
        items += caption
    page = Sheet(Paper(sheet.paper.name, width, height, roll=True), margin)
    return Draft("roll", f"All parts, {sheet.paper.name}", page, tuple(items), tuple(pieces))


def _head(left: float, foot: float, title: str) -> list[Item]:
    """The title, what to do, and the bars in both directions."""
    items: list[Item] = [*bar((left + 8.0, foot), True, False), *bar((left + 22.0, foot), True, True)]
    x = left + 34.0
    items.append(words((x, foot + 94.0), title, 6.0, bold=True))
    items.append(words((x, foot + 84.0), "Printer check: measure me", 4.4, bold=True))
    items += [words((x, foot + 74.0 - 6.0 * number), line, 3.2) for number, line in enumerate(_LINES)]
    return [*items, *bar((x, foot + 30.0), False, False), *bar((x, foot + 12.0), False, True)]
