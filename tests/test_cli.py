"""The commands: exit codes, plain faults, and earlier outputs left alone."""

import json
import os
import re
from pathlib import Path

import pytest
import svgelements
from typer.testing import CliRunner

from hullcut.cli import app
from hullcut.pipeline import Made
from hullcut.screen import written_screen

GOOD = """\
name = "mallow"
units = "in"
about = "An invented boat."

[hull]
length = 42
beam = 13
depth = 5
bow = "sled"
"""

PRICED = """\
name = "shelves"
units = "mm"

[[extra]]
name = "long-shelf"
material = "birch-plywood"
thickness = 12
length = 600
width = 100
count = 2

[[extra]]
name = "short-shelf"
material = "birch-plywood"
thickness = 12
length = 400
width = 100

[shop]
[[shop.stock]]
kind = "sheet"
material = "birch-plywood"
thickness = 12
length = 1220
width = 610
price = 10
"""


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Run a command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")

    def invoke(*words):
        return CliRunner().invoke(app, [str(word) for word in words])

    return invoke


def changed(old, new):
    assert old in GOOD
    return GOOD.replace(old, new)


# Each with the line that is to blame (None where no line is) and words of the fault.
WRONG = {
    "missing key": (changed("beam = 13\n", ""), 5, "beam"),
    "misspelt key": (changed("beam = 13", "baem = 13"), 7, "did you mean beam"),
    "misspelt table": (GOOD + "[enginne]\nmass = 3\n", 10, "did you mean engine"),
    "negative": (changed("beam = 13", "beam = -13"), 7, "beam"),
    "zero": (changed("depth = 5", "depth = 0"), 8, "depth"),
    "text for a number": (changed("beam = 13", 'beam = "wide"'), 7, "wide"),
    "not a number": (changed("beam = 13", "beam = nan"), 7, "beam"),
    "infinite": (changed("beam = 13", "beam = inf"), 7, "beam"),
    "1e300": (changed("length = 42", "length = 1e300"), 6, "length"),
    "beam ten times the length": (changed("beam = 13", "beam = 420"), 7, "beam"),
    "flare 80": (changed('bow = "sled"', 'bow = "sled"\nflare = 80'), 10, "flare"),
    "13 1/0 in": (changed("beam = 13", 'beam = "13 1/0 in"'), 7, "13 1/0"),
    "unknown unit": (changed("beam = 13", 'beam = "13 cubits"'), 7, "cubits"),
    "unknown wood": (GOOD + '[wood.side]\nmaterial = "balsaa"\n', 11, "balsaa"),
    "plywood glued up": (GOOD + "[wood.bottom]\nglue_up = true\n", 11, "leave it out, or write a solid wood"),
    "unknown bow": (changed('bow = "sled"', 'bow = "slead"'), 9, "sled"),
    "a path in the name": (changed('name = "mallow"', 'name = "../mallow"'), 1, "../mallow"),
    "true for a length": (changed("beam = 13", "beam = true"), 7, "beam"),
    "a list for a table": (changed("[hull]", "[[hull]]"), 5, "hull"),
    "a key twice": (changed("beam = 13", "beam = 13\nbeam = 14"), 8, "same key stands twice"),
    "not TOML": ("this is a letter, not a design\n", 1, ""),
    "empty": ("", None, ""),
    "not UTF-8": (b'name = "m\xe4llow"\n', 1, ""),
}


@pytest.mark.parametrize("fault", WRONG)
@pytest.mark.parametrize("command", ["check", "make"])
def test_wrong_files_tell_one_clear_line_and_leave_earlier_outputs(run, tmp_path, fault, command):
    text, line, words = WRONG[fault]
    file = tmp_path / "boat.toml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    earlier = tmp_path / "output" / "mallow" / "plan.json"
    earlier.parent.mkdir(parents=True)
    earlier.write_text("earlier")
    result = run(command, "boat.toml")
    assert result.exit_code == 2, result.output
    told = result.stderr.splitlines()
    assert len(told) == 1, told
    place = "boat.toml" if line is None else f"boat.toml:{line}"
    assert re.match(rf"^{re.escape(place)}: .+; .+$", told[0]), told
    assert words in told[0]
    assert "Traceback" not in result.output
    assert [path.name for path in (tmp_path / "output").rglob("*")] == ["mallow", "plan.json"]
    assert earlier.read_text() == "earlier"


def test_all_faults_of_a_file_are_told_at_once(run, tmp_path):
    text = changed("beam = 13", "baem = 13").replace("depth = 5", "depth = -5").replace('"sled"', '"scow"')
    (tmp_path / "boat.toml").write_text(text)
    result = run("check", "boat.toml")
    assert result.exit_code == 2
    lines = [int(told.split(":")[1]) for told in result.stderr.splitlines()]
    assert lines == sorted(lines)
    assert {7, 8, 9} <= set(lines)


def test_a_folder_and_a_missing_file(run, tmp_path):
    (tmp_path / "folder.toml").mkdir()
    for name in ("folder.toml", "nowhere.toml"):
        result = run("make", name)
        assert result.exit_code == 2
        assert len(result.stderr.splitlines()) == 1
        assert result.stderr.startswith(f"{name}: ")


def test_an_output_folder_that_is_a_file(run, tmp_path):
    (tmp_path / "boat.toml").write_text(GOOD)
    (tmp_path / "out").write_text("mine")
    for target in ("out", "out/deeper"):
        result = run("make", "boat.toml", "--out", target)
        assert result.exit_code == 2, result.output
        assert len(result.stderr.splitlines()) == 1
        assert "a file where the output folder should be" in result.stderr
    assert (tmp_path / "out").read_text() == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_an_output_folder_that_may_not_be_written(run, tmp_path):
    (tmp_path / "boat.toml").write_text(GOOD)
    (tmp_path / "shut").mkdir(mode=0o500)
    result = run("make", "boat.toml", "--out", "shut/out")
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


UNBUILDABLE = {
    "a part larger than any stock": (
        GOOD
        + "[[shop.stock]]\nkind = 'sheet'\nmaterial = 'okoume-plywood'\nthickness = '1/4'\nlength = 24\nwidth = 24\n",
        "mallow-bottom",
    ),
    "flare that leaves no bottom": (
        changed("beam = 13", "beam = 8\nflare = 28").replace("depth = 5", "depth = 7"),
        "hull.flare",
    ),
}


@pytest.mark.parametrize("case", UNBUILDABLE)
def test_a_boat_that_is_understood_but_cannot_be_built(run, tmp_path, case):
    text, words = UNBUILDABLE[case]
    (tmp_path / "boat.toml").write_text(text)
    result = run("sheets", "boat.toml")
    assert result.exit_code in (1, 2), result.output
    assert words in result.stderr
    assert all(re.match(r"^.+: .+; .+$", told) for told in result.stderr.splitlines())
    assert not (tmp_path / "output").exists()


TOO_SHARP = changed('bow = "sled"', 'bow = "sled"\nflat_to = 28')


def test_a_failed_check_writes_nothing_and_exits_1(run, tmp_path):
    (tmp_path / "boat.toml").write_text(TOO_SHARP)
    result = run("make", "boat.toml")
    assert result.exit_code == 1
    assert "FAILS: mallow: Bottom bends up at the bow" in result.stderr
    assert not (tmp_path / "output").exists()
    assert run("check", "boat.toml").exit_code == 1


def test_make_names_what_people_open_first(run, tmp_path):
    (tmp_path / "boat.toml").write_text(GOOD)
    told = run("make", "boat.toml", "-o", "one").stdout.splitlines()
    assert re.fullmatch(r"Wrote \d+ files to one", told[0])
    named = [line.split()[0] for line in told[1:]]
    assert named[:3] == ["packet.pdf", "shopping.csv", "templates.pdf"]
    assert "rack_after.toml" in named
    folder = tmp_path / "one"
    assert all((folder / name).exists() for name in named)
    unnamed = {path.name for path in folder.iterdir()} - set(named)
    assert unnamed == {"templates.json", "plan.schema.json", "manifest.json"}


def test_files_of_each_design_are_named_for_an_order(capsys):
    folder = Path("out")
    names = ("packets/a-1.pdf", "templates-a.pdf", "templates-b.pdf", "templates-b.json", "pictures/a/exploded.svg")
    written_screen(Made(None, folder, tuple(folder / name for name in names)))
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Wrote 5 files to out"
    assert [line.split()[0] for line in told[1:]] == ["packets", "templates-*.pdf", "pictures"]


def test_check_parts_and_sheets_print_json(run, tmp_path):
    (tmp_path / "boat.toml").write_text(GOOD)
    checks = json.loads(run("check", "boat.toml", "--json").stdout)
    assert checks[0]["name"] == "mallow"
    assert all(check["status"] in ("ok", "warn") for check in checks[0]["checks"])
    parts = json.loads(run("parts", "boat.toml", "--json").stdout)
    assert {"mallow-bottom", "mallow-side-port", "mallow-side-starboard"} <= {part["id"] for part in parts}
    sheets = json.loads(run("sheets", "boat.toml", "--json").stdout)
    assert set(sheets) == {"stock", "layout", "bound", "cost"}


def test_tables_are_for_people(run, tmp_path):
    (tmp_path / "boat.toml").write_text(GOOD)
    told = run("check", "boat.toml").stdout
    assert "measure yours: what is sold as" in " ".join(told.split())
    assert "[wood.bottom]" in told
    assert "Nose block" in run("parts", "boat.toml").stdout
    assert "What to buy for mallow" in run("sheets", "boat.toml").stdout


def test_shares_of_the_cost_are_told_where_prices_are_known(run, tmp_path):
    (tmp_path / "shelves.toml").write_text(PRICED)
    told = run("sheets", "shelves.toml").stdout
    rows = [line.split() for line in told.splitlines() if "shelf" in line or line.strip().startswith("together")]
    assert [row[-1] for row in rows] == ["7.50", "2.50", "10.00"]
    assert json.loads(run("sheets", "shelves.toml", "--json").stdout)["cost"] == {
        "total": 10.0,
        "boats": [],
        "extras": [{"part": "long-shelf", "cost": 7.5}, {"part": "short-shelf", "cost": 2.5}],
    }
    (tmp_path / "shelves.toml").write_text(PRICED.replace("price = 10\n", ""))
    assert "Share of the cost" not in run("sheets", "shelves.toml").stdout
    assert json.loads(run("sheets", "shelves.toml", "--json").stdout)["cost"] is None


def test_new_writes_a_design_that_reads(run, tmp_path):
    assert run("new", "mallow", "--from", "marshpenny", "--schema").exit_code == 0
    assert 'name = "mallow"' in (tmp_path / "mallow.toml").read_text()
    assert json.loads((tmp_path / "design.schema.json").read_text())["type"] == "object"
    assert run("check", "mallow.toml").exit_code == 0
    again = run("new", "mallow")
    assert again.exit_code == 2
    assert "stands here already" in again.stderr
    unknown = run("new", "sedge", "--from", "bramblefn")
    assert unknown.exit_code == 2
    assert "did you mean bramblefin" in unknown.stderr
    assert run("new", "../sedge").exit_code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["design.schema.json", "mallow.toml"]


def test_help_reads_like_a_workshop_card(run):
    told = run("--help").stdout
    for command in (
        "new",
        "check",
        "parts",
        "sheets",
        "balance",
        "compare",
        "templates",
        "packet",
        "organiser",
        "make",
    ):
        assert re.search(rf"\b{command}\b", told)
        assert run(command, "--help").exit_code == 0
    assert "adult" in told


SHELVES = """\
name = "shelves"
units = "mm"

[[extra]]
name = "cradle"
material = "okoume-plywood"
thickness = 6
grain = "along"
count = 2
corners = [[0, 0], [500, 0], [500, 500], [410, 500], [410, 90], [90, 90], [90, 500], [0, 500]]

[[extra]]
name = "plate"
material = "okoume-plywood"
thickness = 6
grain = "along"
count = 2
length = 300
width = 390

[shop]
cutting = "shape"
edge_trim = 5
clearance = 3
jigsaw_kerf = 2

[[shop.stock]]
kind = "sheet"
material = "okoume-plywood"
thickness = 6
length = 1220
width = 610
price = 30
"""


def test_a_layout_used_again_gives_the_same_bytes(run, tmp_path):
    (tmp_path / "shelves.toml").write_text(SHELVES)
    assert run("make", "shelves.toml", "-o", "first").exit_code == 0
    again = run("make", "shelves.toml", "-o", "second", "--layout", "first/layout.json")
    assert again.exit_code == 0
    first = {path.relative_to(tmp_path / "first"): path for path in (tmp_path / "first").rglob("*") if path.is_file()}
    second = {path.relative_to(tmp_path / "second") for path in (tmp_path / "second").rglob("*") if path.is_file()}
    assert set(first) == second
    assert all((tmp_path / "second" / name).read_bytes() == path.read_bytes() for name, path in first.items())
    sheets = run("sheets", "shelves.toml", "--layout", "first/layout.json")
    assert "least possible" in " ".join(sheets.output.split())


def test_a_layout_of_another_order_is_refused(run, tmp_path):
    (tmp_path / "shelves.toml").write_text(SHELVES)
    assert run("make", "shelves.toml", "-o", "first", "--effort", "quick").exit_code == 0
    (tmp_path / "more.toml").write_text(SHELVES.replace("count = 2", "count = 3"))
    refused = run("sheets", "more.toml", "--layout", "first/layout.json")
    assert refused.exit_code == 2
    assert "belongs to another order" in refused.stderr


@pytest.mark.parametrize("command", ["sheets", "make"])
def test_a_layout_file_that_cannot_be_read_is_told_before_any_work(run, tmp_path, command):
    (tmp_path / "shelves.toml").write_text(SHELVES)
    (tmp_path / "folder.json").mkdir()
    (tmp_path / "layout.json").write_bytes(b"\xff\xfe")
    for name, words in (
        ("layuot.json", "there is no such file; did you mean layout.json?"),
        ("folder.json", "is a folder"),
        ("layout.json", "is not text"),
    ):
        refused = run(command, "shelves.toml", "--layout", name)
        assert refused.exit_code == 2
        (told,) = refused.stderr.splitlines()
        assert re.match(rf"^{name}(:1)?: ", told)
        assert words in told
    assert not (tmp_path / "output").exists()


@pytest.mark.parametrize("effort", ["quick", "normal"])
def test_the_effort_is_a_choice(run, tmp_path, effort):
    (tmp_path / "shelves.toml").write_text(SHELVES.replace('"shape"', '"through"'))
    found = run("sheets", "shelves.toml", "--effort", effort, "--json")
    assert found.exit_code == 0
    assert json.loads(found.stdout)


def test_an_unknown_effort_is_refused(run, tmp_path):
    (tmp_path / "shelves.toml").write_text(SHELVES)
    assert run("sheets", "shelves.toml", "--effort", "heroic").exit_code == 2


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--paper", "foolscap"), "no paper is called"),
        (("--paper", "11x17"), "no unit"),
        (("--paper", "roll 9 mm"), "no paper's size"),
        (("--measured-x", "90"), "--measured-x is 90 mm"),
        (("--measured-y", "106"), "--measured-y is 106 mm"),
        (("--kerf", "wide"), "--kerf"),
        (("--kerf", "99"), "--kerf is 99 mm"),
    ],
)
def test_what_no_printer_or_machine_can_do_is_told_in_one_line(run, tmp_path, options, words):
    (tmp_path / "mallow.toml").write_text(GOOD)
    result = run("templates", "mallow.toml", *options)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert words in result.stderr
    assert not (tmp_path / "output").exists()


def test_a_roll_narrower_than_a_part_is_told(run, tmp_path):
    (tmp_path / "mallow.toml").write_text(GOOD)
    result = run("templates", "mallow.toml", "--paper", "roll 200 mm")
    assert result.exit_code == 2
    assert "too narrow for Bottom" in result.stderr
    assert not (tmp_path / "output").exists()


def test_pictures_from_any_side(run, tmp_path):
    (tmp_path / "mallow.toml").write_text(GOOD)
    result = run("pictures", "mallow.toml", "--from", "-60", "--above", "10")
    assert result.exit_code == 0, result.stderr
    drawn = {path.name for path in (tmp_path / "output" / "mallow" / "pictures").iterdir()}
    assert "from-300-above-10.svg" in drawn
    assert {"three-views.svg", "exploded.svg"} <= drawn
    assert all("CHECK FAILED" not in path.read_text() for path in (tmp_path / "output").rglob("*.svg"))


def test_pictures_of_a_boat_that_fails_a_check_are_stamped_or_unwritten(run, tmp_path):
    (tmp_path / "boat.toml").write_text(TOO_SHARP)
    refused = run("pictures", "boat.toml")
    assert refused.exit_code == 1
    assert "FAILS: mallow: Bottom bends up at the bow" in refused.stderr
    assert "Nothing was written" in refused.stderr
    assert not (tmp_path / "output").exists()
    assert run("pictures", "boat.toml", "--from", "30", "--anyway").exit_code == 0
    drawn = list((tmp_path / "output" / "mallow" / "pictures").iterdir())
    assert len(drawn) == 6
    for path in drawn:
        picture = svgelements.SVG.parse(path)
        (stamp,) = [each for each in picture.elements() if "CHECK FAILED" in str(getattr(each, "text", ""))]
        assert stamp.text == "CHECK FAILED: Bottom bends up at the bow"
