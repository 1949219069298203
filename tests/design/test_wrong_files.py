"""Wrong files: each tells one clear fault, with its line and a remedy."""

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hullcut.design.reader import read_order
from hullcut.errors import DesignError

GOOD = """\
name = "puddlewick"
units = "in"

[hull]
length = 42
beam = 13
depth = 5
bow = "sled"
"""
HEADER = GOOD.count("\n")


def faults(path):
    with pytest.raises(DesignError) as caught:
        read_order(path)
    for fault in caught.value.faults:
        assert "\n" not in str(fault)
        assert fault.problem
        assert fault.remedy
    return caught.value.faults


def faults_or_none(path):
    """The faults of a file that may be good; any other exception fails the test."""
    try:
        order = read_order(path)
    except DesignError as error:
        return error.faults or ("an error without a fault\n",)
    return () if order.boats or order.extras else ("an order of nothing\n",)


def written(folder, text, name="boat.toml"):
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


ONE_FAULT = {
    "missing key": (GOOD.replace("beam = 13\n", ""), 4, "hull.beam", "is missing", "write beam"),
    "misspelt key": (GOOD.replace("beam", "baem"), 6, "hull.baem", "not a key", "did you mean beam?"),
    "misspelt table": (
        GOOD + "[windscren]\nheight = 2\n",
        9,
        "windscren",
        "not a key",
        "did you mean windscreen?",
    ),
    "key of another table": (GOOD + "[fin]\nrpm = 8000\n", 10, "fin.rpm", "not known here", "under [engine]"),
    "negative": (GOOD.replace("beam = 13", "beam = -13"), 6, "hull.beam", "is -13", "above zero"),
    "zero": (GOOD.replace("depth = 5", "depth = 0"), 7, "hull.depth", "is 0", "above zero"),
    "text for a number": (GOOD + '[engine]\nmass = "heavy"\n', 10, "engine.mass", '"heavy"', "grams"),
    "text for a length": (
        GOOD.replace("= 13", '= "wide"'),
        6,
        "hull.beam",
        '"wide" is not a length',
        "13 1/2 in",
    ),
    "nan": (GOOD.replace("= 13", "= nan"), 6, "hull.beam", "is nan", "13 1/2 in"),
    "nan weight": (GOOD + "[engine]\nmass = nan\n", 10, "engine.mass", "is nan", "grams"),
    "inf": (GOOD.replace("= 13", "= inf"), 6, "hull.beam", "is inf", "13 1/2 in"),
    "1e300": (GOOD.replace("= 13", "= 1e300"), 6, "hull.beam", "longer than 100 m", "a digit too many"),
    "beam ten times length": (
        GOOD.replace("= 13", "= 420"),
        6,
        "hull.beam",
        "proportion",
        "hull.beam between",
    ),
    "flare 80": (GOOD + "flare = 80\n", 9, "hull.flare", "is 80", "between 0 and 30"),
    "13 1/0 in": (GOOD.replace("= 13", '= "13 1/0 in"'), 6, "hull.beam", "divides by zero", "13 1/2 in"),
    "unknown unit": (GOOD.replace("= 13", '= "13 ells"'), 6, "hull.beam", '"ells"', "in, ft, mm, cm or m"),
    "unknown units": (GOOD.replace('"in"', '"furlong"'), 2, "units", '"furlong"', 'write "in" or "mm"'),
    "unknown bow": (GOOD.replace('"sled"', '"scow"'), 8, "hull.bow", '"scow"', 'write "sled"'),
    "unknown wood": (
        GOOD + '[wood.side]\nmaterial = "yelow-poplar"\n',
        10,
        "wood.side.material",
        '"yelow-poplar"',
        'did you mean "yellow-poplar"?',
    ),
    "unknown wood, nothing near": (
        GOOD + '[wood.side]\nmaterial = "tin"\n',
        10,
        "wood.side.material",
        '"tin"',
        "okoume-plywood",
    ),
    "thickness of a beam": (
        GOOD + "[wood.side]\nthickness = 5\n",
        10,
        "wood.side.thickness",
        "is 5",
        "measured thickness",
    ),
    "screws that leave no room for others": (
        GOOD + '[fasteners]\nspacing = "3/8 in"\n',
        10,
        "fasteners.spacing",
        "is 3/8 in",
        "between 3/4 in and",
    ),
    "empty": ("", None, "", "empty", "hullcut new"),
    "only blanks": (" \n\n", None, "", "empty", "hullcut new"),
    "not TOML": ("a boat, 42 by 13\n", 1, "", "TOML", "key = value"),
    "words without quotes": (GOOD.replace('"sled"', "sled"), 8, "", "TOML", "between quotes"),
    "fraction without quotes": (GOOD.replace("= 13", "= 13 1/2"), 6, "", "TOML", "between quotes"),
    "open quotes": (GOOD.replace('"sled"', '"sled'), 8, "", "TOML", "close the quotes"),
    "duplicate key": (GOOD + "depth = 6\n", 9, "", "TOML", "stands twice"),
    "duplicate table": (GOOD + "[hull]\n", 9, "", "TOML", "stands twice"),
    "deep brackets": ("a = " + "[" * 5000 + "]" * 5000, None, "", "nested", "sample"),
    "endless figures": (GOOD.replace("= 13", "= " + "9" * 5000), None, "", "digits", "few digits"),
    "not UTF-8": (GOOD.encode() + b"# caf\xe9\n", 9, "", "UTF-8", "encoding"),
    "UTF-16": (GOOD.encode("utf-16"), 1, "", "UTF-8", "encoding"),
    "path in the name": (GOOD.replace("puddlewick", "../../etc/boat"), 1, "name", "a path", "--out"),
    "name of two words": (GOOD.replace("puddlewick", "puddle wick"), 1, "name", "one plain word", "hyphens"),
    "number for the name": (GOOD.replace('"puddlewick"', "7"), 1, "name", "is 7", "one word"),
    "no name": (GOOD.replace('name = "puddlewick"\n', ""), None, "name", "missing", "at the top"),
    "no hull": ('name = "puddlewick"\n', None, "hull", "missing", "length, beam and depth"),
    "number for a table": (GOOD.replace("[hull]", "fin = 3\n[hull]"), 4, "fin", "not a table", "[fin]"),
    "table for a number": (GOOD + "[hull.flare]\na = 1\n", 9, "hull.flare", "a table", "degrees"),
    "double brackets": (GOOD.replace("[hull]", "[[hull]]"), 4, "hull", "list of tables", "single brackets"),
    "single brackets": (
        GOOD + '[fittings]\nname = "flag"\n',
        9,
        "fittings",
        "not a list of tables",
        "[[fittings]] with double brackets",
    ),
    "date for a length": (GOOD.replace("= 13", "= 2020-01-01"), 6, "hull.beam", "a date", "13 1/2 in"),
    "text for true or false": (
        GOOD + '[windscreen]\nfitted = "yes"\n',
        10,
        "windscreen.fitted",
        '"yes"',
        "true",
    ),
    "gauge between sizes": (
        GOOD + "[fasteners]\ngauge = 7\n",
        10,
        "fasteners.gauge",
        "not known",
        "4, 6, 8 or 10",
    ),
    "flat past the end": (
        GOOD + "flat_to = 41\n",
        9,
        "hull.flat_to",
        "a sweep that rises by 5 in",
        "hull.flat_to as 37 in or less",
    ),
    "flared to nothing": (
        GOOD + "flare = 30\n beam_at_bow = 7",
        9,
        "hull.flare",
        "no width",
        "hull.beam_at_bow",
    ),
    "wider at the bow": (
        GOOD + "beam_at_bow = 14\n",
        9,
        "hull.beam_at_bow",
        "more than hull.beam",
        "13 in or less",
    ),
    "decks overlap": (
        GOOD + "[decks]\nafter_to = 30\n",
        10,
        "decks.after_to",
        "overlap",
        "decks.after_to as 25 3/16 in or less",
    ),
    "bearers too far apart": (
        GOOD.replace("= 13", "= 6") + "[wood.bearer]\nthickness = 2\n",
        10,
        "wood.bearer.thickness",
        "engine.bearer_gap is",
        "write engine.bearer_gap as",
    ),
    "shaft thicker than its tube": (
        GOOD + "[drive]\nshaft_diameter = 0.5\n",
        10,
        "drive.shaft_diameter",
        "tube",
        "drive.tube_diameter",
    ),
    "third stock without a price word": (
        GOOD
        + '[[shop.rack]]\nmaterial = "white-oak"\nthickness = 0.75\nlength = 9\nwidth = 4\n' * 2
        + '[[shop.rack]]\nmaterial = "white-oak"\nthickness = 0.75\nlength = "long"\nwidth = 4\n',
        22,
        "shop.rack[3].length",
        '"long"',
        "13 1/2 in",
    ),
}


@pytest.mark.parametrize("case", ONE_FAULT)
def test_one_fault_with_its_line(tmp_path, case):
    text, line, key, problem, remedy = ONE_FAULT[case]
    path = written(tmp_path, text)
    found = faults(path)
    assert len(found) == 1, found
    fault = found[0]
    assert (fault.file, fault.line, fault.key) == (str(path), line, key)
    assert problem in fault.problem
    assert remedy in fault.remedy


def test_the_good_file_is_good(tmp_path):
    assert read_order(written(tmp_path, GOOD)).name == "puddlewick"


def test_a_byte_order_mark_and_foreign_line_ends_are_fine(tmp_path):
    path = written(tmp_path, b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert dict(read_order(path).designs[0].lines)["hull.bow"] == 8


def test_a_fault_reads_as_file_line_key_problem_remedy(tmp_path, monkeypatch):
    written(tmp_path, GOOD.replace("beam", "baem"))
    monkeypatch.chdir(tmp_path)
    assert str(faults("boat.toml")[0]) == ("boat.toml:6: hull.baem: is not a key that is known; did you mean beam?")


def test_all_faults_at_once_in_the_order_of_the_file(tmp_path):
    text = GOOD.replace("= 13", "= -13").replace("depth", "deapth") + 'flare = 80\n[glue]\nkind = "paste"\n'
    found = faults(written(tmp_path, text))
    assert [(fault.line, fault.key) for fault in found] == [
        (6, "hull.beam"),
        (7, "hull.deapth"),
        (9, "hull.flare"),
        (11, "glue.kind"),
    ]


def test_a_folder(tmp_path):
    found = faults(tmp_path)
    assert len(found) == 1
    assert "is a folder" in found[0].problem


def test_a_missing_file_suggests_the_nearest(tmp_path):
    written(tmp_path, GOOD, "bramblefin.toml")
    found = faults(tmp_path / "bramblefn.toml")
    assert "no such file" in found[0].problem
    assert found[0].remedy == "did you mean bramblefin.toml?"
    assert "no such file" in faults(tmp_path / "nowhere" / "boat.toml")[0].problem


def test_names_that_no_disk_holds():
    assert "cannot be read" in faults("a\0b.toml")[0].problem
    assert "cannot be read" in faults("a" * 5000 + ".toml")[0].problem


def test_no_leave_to_read(tmp_path, monkeypatch):
    path = written(tmp_path, GOOD)

    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "may not be read" in faults(path)[0].problem


def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    assert "not an ordinary file" in faults(tmp_path / "pipe.toml")[0].problem


def test_a_huge_file_is_not_a_design(tmp_path):
    assert "larger than a megabyte" in faults(written(tmp_path, "#" * 1_100_000))[0].problem


WORDS = st.sampled_from(
    [
        "name", "units", "hull", "length", "beam", "depth", "shop", "stock", "rack", "boats", "design",
        "fittings", "wood", "side", "thickness", "material", "=", "=", "=", "\n", "\n", "\n",
        "[", "]", "[[", "]]", "{", "}",
        ",", ".", '"', "'", '"""', "'''", '"mm"', '"13 1/2 in"', "42", "-1", "1e300", "nan", "true", "#", "\\",
        " ", "\t", "\r", "\x00", "é", "2020-01-01", '"boat.toml"',
    ]
)  # fmt: skip


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=200)
@given(st.one_of(st.lists(WORDS, max_size=40).map("".join), st.text(max_size=80)))
def test_any_text_gives_an_order_or_faults(tmp_path, text):
    path = written(tmp_path, text.encode("utf-8", "replace"))
    assert all("\n" not in str(fault) for fault in faults_or_none(path))


VALUES = st.recursive(
    st.one_of(
        st.integers(-(2**70), 2**70).map(str),
        st.floats().map(lambda number: repr(number) if number == number else "nan"),
        st.booleans().map(lambda flag: str(flag).lower()),
        st.sampled_from(['"13 1/2 in"', '"sled"', '"any"', '"white-oak"', "2020-01-01", "07:32:00", '"\\u0000"']),
        st.text("abc 1/2'-", max_size=8).map(lambda text: f'"{text}"'),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.lists(inner, max_size=2).map(
            lambda items: "{" + ", ".join(f"{key} = {item}" for key, item in zip("xy", items, strict=False)) + "}"
        ),
    ),
    max_leaves=4,
)
KEYS = st.sampled_from(
    [
        "name", "units", "about", "hull", "hull.flare", "hull.flat_to", "hull.bow", "hull.parallel_to", "wood",
        "wood.side", "wood.side.grain", "wood.bottom.thickness", "decks.after_to", "fin", "engine.bolts",
        "engine.plate_at", "fittings", "shop", "shop.stock", "shop.rack", "shop.saw_kerf", "boats", "odd.'a.b'.c",
    ]
)  # fmt: skip


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=300)
@given(st.dictionaries(KEYS, VALUES, max_size=5))
def test_any_values_give_an_order_or_faults_with_lines(tmp_path, extra):
    base = {"name": '"puddlewick"', "hull.length": "42", "hull.beam": "13", "hull.depth": "5"} | extra
    lines = "".join(f"{key} = {value}\n" for key, value in base.items())
    for fault in faults_or_none(written(tmp_path, lines)):
        assert "\n" not in str(fault)
        assert fault.line is None or 1 <= fault.line <= len(base)
