"""One font's measures, shared by every writer.

The size of a text is the font's em size in millimetres, as in SVG's font-size and PDF's Tf operator.
"""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

__all__ = [
    "BOLD",
    "FAMILY",
    "REGULAR",
    "ascent",
    "descent",
    "face_name",
    "fit_size",
    "register_fonts",
    "text_width",
    "wrapped",
]

FAMILY = "DejaVu Sans"
REGULAR = "DejaVuSans"
BOLD = "DejaVuSans-Bold"

_FOLDER = Path(__file__).parent / "fonts"


@cache
def _face(name: str) -> TTFont:
    """The face read from its file and made known to reportlab, once a run."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    face = TTFont(name, str(_FOLDER / f"{name}.ttf"))
    pdfmetrics.registerFont(face)
    return face


def face_name(bold: bool) -> str:
    """The name under which reportlab knows the face, after making sure that it does."""
    name = BOLD if bold else REGULAR
    _face(name)
    return name


@cache
def register_fonts() -> None:
    """Make both faces known to reportlab, with bold as the family's bold, for running prose."""
    from reportlab.pdfbase import pdfmetrics

    _face(REGULAR)
    _face(BOLD)
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


def text_width(text: str, size_mm: float, bold: bool = False) -> float:
    """Width of a line of text, mm.

    Args:
        text: one line.
        size_mm: em size, mm.
        bold: the heavier face.
    """
    return _width_of(text, bold) * size_mm


@lru_cache(maxsize=4096)
def _width_of(text: str, bold: bool) -> float:
    """Width of a line of text as a share of its em size: labels are tried in many places and sizes."""
    return float(_face(BOLD if bold else REGULAR).stringWidth(text, 1.0))


def ascent(size_mm: float, bold: bool = False) -> float:
    """Height of the font above the base line, mm, positive."""
    return float(_face(BOLD if bold else REGULAR).face.ascent) * size_mm / 1000.0


def descent(size_mm: float, bold: bool = False) -> float:
    """Depth of the font below the base line, mm, positive."""
    return -float(_face(BOLD if bold else REGULAR).face.descent) * size_mm / 1000.0


def fit_size(text: str, width_mm: float, largest_mm: float, bold: bool = False) -> float:
    """The greatest em size, at most `largest_mm`, at which `text` is no wider than `width_mm`."""
    width = text_width(text, largest_mm, bold)
    return largest_mm if width <= width_mm else largest_mm * width_mm / width


def wrapped(text: str, width_mm: float, size_mm: float, bold: bool = False, most: int = 3) -> list[str]:
    """A text in lines no wider than a width, broken at plain spaces; what `most` lines can't hold ends in dots.

    Args:
        text: words.
        width_mm: of the widest line.
        size_mm: em size, mm.
        bold: the heavier face.
        most: lines.
    """
    words = [word for word in text.split(" ") if word]
    lines: list[str] = []
    while words and len(lines) < most:
        count = next(
            (n for n in range(len(words), 1, -1) if text_width(" ".join(words[:n]), size_mm, bold) <= width_mm), 1
        )
        lines.append(" ".join(words[:count]))
        words = words[count:]
    if lines and (words or text_width(lines[-1], size_mm, bold) > width_mm):
        lines[-1] = _shortened(lines[-1], width_mm, size_mm, bold)
    return lines


def _shortened(line: str, width_mm: float, size_mm: float, bold: bool) -> str:
    """A line with as many of its letters as leave room for dots."""
    while line and text_width(f"{line}…", size_mm, bold) > width_mm:
        line = line[:-1].rstrip(" ,")
    return f"{line}…"
