"""Where every letter of a PDF stands, by an independent reader: tight boxes round the glyphs."""

from ctypes import c_double
from dataclasses import dataclass

import numpy as np
import pypdfium2
import shapely
from pypdfium2 import raw

# Two glyphs overlap where they share more than this part of the smaller one's width and of its height; neighbours in a
# word may, for some letters reach under the next.
SHARE = 0.25


@dataclass(frozen=True)
class Page:
    """One page: its size, its letters with their boxes (n, 4: left, bottom, right, top), points."""

    number: int
    width: float
    height: float
    letters: str
    boxes: np.ndarray


def read_pages(data):
    """All pages of a PDF."""
    document = pypdfium2.PdfDocument(data)
    pages = []
    try:
        for index in range(len(document)):
            page = document[index]
            text = page.get_textpage()
            letters, boxes = [], []
            left, right, bottom, top = (c_double() for _ in range(4))
            for k in range(text.count_chars()):
                code = raw.FPDFText_GetUnicode(text, k)
                if code > 32 and code != 0xA0:
                    raw.FPDFText_GetCharBox(text, k, left, right, bottom, top)
                    letters.append(chr(code))
                    boxes.append((left.value, bottom.value, right.value, top.value))
            size = page.get_size()
            pages.append(Page(index + 1, *size, "".join(letters), np.array(boxes).reshape(-1, 4)))
    finally:
        document.close()
    return pages


def outside(page, margin):
    """The letters that stand nearer than a margin, points, to the page's edge."""
    x0, y0, x1, y1 = page.boxes.T
    off = (x0 < margin) | (y0 < margin) | (x1 > page.width - margin) | (y1 > page.height - margin)
    return [(page.letters[k], tuple(page.boxes[k])) for k in np.flatnonzero(off)]


def overlaps(page):
    """Pairs of letters that stand on one another, with the words round them."""
    boxes = page.boxes
    if len(boxes) < 2:
        return []
    tree = shapely.STRtree(shapely.box(*boxes.T))
    a, b = tree.query(shapely.box(*boxes.T), predicate="intersects")
    keep = b > a + 1
    a, b = a[keep], b[keep]
    size = boxes[:, 2:] - boxes[:, :2]
    shared = np.minimum(boxes[a, 2:], boxes[b, 2:]) - np.maximum(boxes[a, :2], boxes[b, :2])
    least = np.maximum(np.minimum(size[a], size[b]), 0.1)
    bad = (shared > SHARE * least).all(axis=1)
    return [
        (page.letters[max(0, i - 8) : i + 8], page.letters[max(0, j - 8) : j + 8], tuple(np.round(boxes[i], 1)))
        for i, j in zip(a[bad], b[bad], strict=True)
    ]
