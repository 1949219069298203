"""Words are broken into lines once for each width, and drawn as they would be without that."""

import io

import pdfplumber
import pytest
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Spacer

from hullcut.packet.document import Words, bullet, render, styles

TEXT = "Clamp every cleat dry on its marks, short of both ends, and look along it. " * 3


def test_the_size_is_that_of_a_paragraph_at_every_width(monkeypatch):
    look = styles().body
    ours, plain = Words(TEXT, look), Paragraph(TEXT, look)
    broken = []
    whole = Paragraph.breakLines
    monkeypatch.setattr(Paragraph, "breakLines", lambda self, width: broken.append(self) or whole(self, width))
    for width in (200.0, 200.0, 320.0, 320.0, 200.0):
        assert ours.wrap(width, 900.0) == pytest.approx(plain.wrap(width, 900.0))
        assert len(ours.blPara.lines) == len(plain.blPara.lines)
    assert sum(each is ours for each in broken) == 3
    assert sum(each is plain for each in broken) == 5


def test_words_go_on_to_the_next_page_together():
    """Where a page's end falls into a paragraph, the few lines of it are not parted."""
    look = ParagraphStyle("narrow", parent=styles().body, rightIndent=300.0)
    parted = 0
    for above in range(600, 690, 6):
        data = render([Spacer(0, above), bullet(TEXT, look)], "words", "words", "letter", None)
        with pdfplumber.open(io.BytesIO(data)) as document:
            counts = [(page.extract_text() or "").count("Clamp every") for page in document.pages]
        assert counts in ([3], [0, 3])
        parted += counts == [0, 3]
    assert parted > 2
