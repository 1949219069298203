"""On every page of the samples and of an order of eight: no word on another, none off its page, fonts in the file."""

import subprocess
from functools import cache
from shutil import which

import pytest

from tests.conftest import made
from tests.glyphs import outside, overlaps, read_pages

SAMPLES = ("bramblefin", "marshpenny", "ten_lines", "lakeside_class", "harbour_eight")
# Nearest that a letter may stand to the edge of the paper, points: what printers leave white.
MARGIN = 14.0


@cache
def printed(name):
    return {path: data for path, data in made(name).items() if path.endswith(".pdf")}


@pytest.mark.parametrize("name", SAMPLES)
def test_no_word_stands_on_another_or_off_its_page(name):
    files = printed(name)
    assert files
    letters = 0
    for path, data in files.items():
        for page in read_pages(data):
            letters += len(page.letters)
            assert not overlaps(page), (path, page.number)
            assert not outside(page, MARGIN), (path, page.number)
    assert letters > 10_000


@pytest.mark.parametrize("name", SAMPLES)
def test_independent_programs_find_no_fault_and_every_font_inside(name, tmp_path):
    for path, data in printed(name).items():
        file = tmp_path / path.replace("/", "-")
        file.write_bytes(data)
        if which("qpdf"):
            assert subprocess.run(["qpdf", "--check", file], capture_output=True, check=False).returncode == 0, path
        if which("pdffonts"):
            listed = subprocess.run(["pdffonts", file], capture_output=True, text=True, check=True).stdout
            rows = [line.split() for line in listed.splitlines()[2:]]
            assert rows
            assert all(row[-5] == "yes" for row in rows), listed


def test_words_on_one_another_and_off_the_page_are_seen():
    from hullcut.drawing.pdf import one_page
    from hullcut.drawing.scene import Role, Scene, Text

    def page(*texts):
        return read_pages(one_page([Scene("t", 0.0, 0.0, 100.0, 60.0, texts)]))[0]

    clear = (Text(Role.LABEL, (20.0, 20.0), "chine", 4.0), Text(Role.LABEL, (20.0, 30.0), "sheer", 4.0))
    assert not overlaps(page(*clear))
    assert not outside(page(*clear), MARGIN)
    assert overlaps(page(clear[0], Text(Role.LABEL, (22.0, 21.0), "sheer", 4.0)))
    assert overlaps(page(clear[0], Text(Role.LABEL, (24.0, 18.0), "sheer", 4.0, angle=90.0)))
    assert outside(page(Text(Role.LABEL, (96.0, 20.0), "chine", 4.0)), MARGIN)
