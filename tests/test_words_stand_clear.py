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


def test_no_word_stands_on_another_in_a_raked_pram_on_a4(tmp_path):
    """The longest words and another paper: sizes in millimetres first, a bow transom, a rising sheer, epoxy."""
    from hullcut.drawing.paper import printing_of
    from hullcut.files import files_of
    from hullcut.pipeline import plan_file

    sizes = 'bow = "pram"\nbeam_at_bow = 230\nbeam_at_transom = 305\nflare = 8\ntransom_rake = 12\nrocker = 6'
    (tmp_path / "sedge.toml").write_text(
        'name = "sedge"\nunits = "mm"\n[glue]\nkind = "epoxy"\n'
        f"[hull]\nlength = 1016\nbeam = 330\ndepth = 127\nsheer_rise = 32\n{sizes}\n"
    )
    files = files_of("all", plan_file(tmp_path / "sedge.toml"), printing_of(None, "mm"), lambda _: None)
    for name in ("packet.pdf", "templates.pdf"):
        for page in read_pages(files[name]):
            assert not overlaps(page), (name, page.number)
            assert not outside(page, MARGIN), (name, page.number)


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
