"""Words are broken into lines once for each width, and drawn as they would be without that."""

import pytest
from reportlab.platypus import Paragraph

from hullcut.packet.document import Words, styles

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


def test_words_that_forgot_their_lines_are_broken_anew():
    ours = Words(TEXT, styles().body)
    first = ours.wrap(200.0, 900.0)
    del ours.blPara
    assert ours.wrap(200.0, 900.0) == first
    assert ours.blPara.lines
