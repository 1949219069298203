"""The commands `balance` and `compare`: screens, JSON, exit codes, wrong files."""

import dataclasses
import json
import re

import pytest
from typer.testing import CliRunner

from hullcut.balance_screen import balance_screen
from hullcut.cli import app
from hullcut.compare import changed_keys, measures_of
from hullcut.design.reader import read_order
from hullcut.pipeline import build, weigh
from tests.conftest import SAMPLES, planned

GOOD = """\
name = "mallow"
units = "in"

[hull]
length = 42
beam = 13
depth = 5
bow = "sled"
"""


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Run a command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")

    def invoke(*words):
        return CliRunner().invoke(app, [str(word) for word in words])

    return invoke


def wrote(tmp_path, name, text):
    (tmp_path / name).write_text(text)
    return name


def test_balance_tells_every_number_that_the_organiser_needs(run):
    result = run("balance", SAMPLES / "bramblefin.toml")
    assert result.exit_code == 0, result.output
    told = " ".join(result.stdout.split())
    balance = planned("bramblefin").boat_plans[0].balance
    assert f"Together, with half a tank {balance.mass:.0f}" in told
    for words in (
        "Engine with clutch and tank",
        "Contingency",
        "Radius of gyration in pitch",
        f"Trim {balance.flotation.trim:.2f}° by the stern",
        "Freeboard least",
        "First opening",
        f"GM {balance.flotation.gm:.0f} mm",
        "Foam needed",
        "of round foam",
        "no polystyrene near fuel",
        "Shaft angle",
        "Engine an inch off",
        "washers between strut and drive dog",
        "sawn, never drilled freehand",
        "the stern walks to starboard, it turns better to port",
        "Running, estimates",
        "outside the method's stated range",
        "Savitsky 1964, its equations from memory",
    ):
        assert words in told, words
    assert f"reaches about {balance.running.reached.likely:.0f} m/s" in told


def test_balance_prints_what_stands_in_the_plan(run):
    printed = json.loads(run("balance", SAMPLES / "bramblefin.toml", "--json").stdout)
    assert [each["name"] for each in printed] == ["bramblefin"]
    found, planned_one = printed[0]["balance"], planned("bramblefin").boat_plans[0].balance
    assert found["mass"] == pytest.approx(planned_one.mass, abs=1e-4)
    assert found["trim"] == pytest.approx(planned_one.flotation.trim, abs=1e-5)
    assert sum(each["mass"] for each in found["weights"]) == pytest.approx(found["mass"], abs=1e-3)
    assert {"draft", "heel", "freeboard", "gm", "waterline", "foam_volume", "shaft", "running"} <= set(found)


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "ten_lines"])
def test_weighing_alone_gives_the_balance_of_the_whole_build(name):
    whole = planned(name).boat_plans[0]
    alone = weigh(read_order(SAMPLES / f"{name}.toml").designs[0])
    assert alone.balance.mass == pytest.approx(whole.balance.mass, rel=1e-12)
    assert alone.balance.flotation.trim == pytest.approx(whole.balance.flotation.trim, abs=1e-9)
    assert alone.arrangement == whole.arrangement
    assert set(alone.checks) <= set(whole.checks)
    assert whole.checks
    assert not [check for check in whole.checks if check.status != "ok"]


def test_balance_of_a_boat_that_fails_exits_1_and_says_why(run, tmp_path):
    heavy = wrote(tmp_path, "heavy.toml", GOOD + "[engine]\nmass = 60000\n")
    result = run("balance", heavy)
    assert result.exit_code == 1
    assert "It sinks" in result.stdout
    assert "FAILS: Weight against what the hull carries" in result.stdout
    assert "engine.mass" in result.stdout
    printed = run("balance", heavy, "--json")
    assert printed.exit_code == 1
    assert json.loads(printed.stdout)[0]["balance"]["draft"] is None


WRONG = {
    "a misspelt key": (GOOD.replace("beam", "baem"), r"^boat\.toml:6: .*; .*did you mean beam"),
    "not TOML": ("a letter\n", r"^boat\.toml:1: .+; .+"),
    "water that is too warm": (GOOD + "[water]\ntemperature = 60\n", r"^boat\.toml:10: .*temperature.*; .+"),
}


@pytest.mark.parametrize("fault", WRONG)
def test_wrong_files_are_told_in_one_line(run, tmp_path, fault):
    text, told = WRONG[fault]
    wrote(tmp_path, "boat.toml", text)
    wrote(tmp_path, "good.toml", GOOD)
    for command in (("balance", "boat.toml"), ("compare", "good.toml", "boat.toml")):
        result = run(*command)
        assert result.exit_code == 2, result.output
        assert re.search(told, result.stderr, re.MULTILINE), result.stderr
        assert result.stdout == ""
        assert "Traceback" not in result.output
    for command in (("balance", "nowhere.toml"), ("compare", "nowhere.toml", "good.toml")):
        result = run(*command)
        assert result.exit_code == 2
        assert result.stderr.startswith("nowhere.toml: ")


def test_compare_shows_an_inch_more_of_beam_and_what_followed(run, tmp_path):
    wrote(tmp_path, "a.toml", GOOD)
    wrote(tmp_path, "b.toml", GOOD.replace("beam = 13", "beam = 14"))
    result = run("compare", "a.toml", "b.toml")
    assert result.exit_code == 0, result.output
    rows = [line.split("  ") for line in result.stdout.splitlines()]
    rows = {cells[0].strip(): [cell.strip() for cell in cells[1:] if cell.strip()] for cells in rows if len(cells) > 1}
    rows = {name or cells[0]: cells for name, cells in rows.items() if cells}
    assert rows["Beam"] == ["330.2 mm", "355.6 mm", "+25.4"]
    assert rows["hull.beam"] == ["330.2", "355.6"]
    assert rows["Length"][-1] == "1066.8 mm"
    assert rows["Draft"][-1].startswith("-")
    assert "mallow (A)" in result.stdout
    printed = json.loads(run("compare", "a.toml", "b.toml", "--json").stdout)[0]
    beam = next(row for row in printed["measures"] if row["name"] == "Beam")
    assert beam == {"name": "Beam", "unit": "mm", "first": 330.2, "second": 355.6, "change": 25.4}
    assert {"key": "hull.beam", "first": "330.2", "second": "355.6"} in printed["changed"]


def test_a_boat_beside_itself_has_changed_nothing(capsys):
    plan = planned("bramblefin")
    boat = plan.boat_plans[0]
    measures = measures_of(plan, boat, plan, boat)
    assert len(measures) > 15
    assert not any(each.change for each in measures)
    assert changed_keys(boat.design, boat.design) == []


def test_a_change_is_the_difference_of_the_figures_told():
    one, other = planned("bramblefin"), planned("marshpenny")
    for row in measures_of(one, one.boat_plans[0], other, other.boat_plans[0]):
        if row.change is not None:
            assert round(row.first + row.change, row.places) == row.second
    keys = {key: (a, b) for key, a, b in changed_keys(one.boat_plans[0].design, other.boat_plans[0].design)}
    assert keys["engine.mass"] == ("2300", "2450")
    assert keys["fittings[1].name"] == ("", "pennant and staff")
    assert "name" not in keys


def test_the_screen_tells_a_boat_that_never_planes(capsys):
    design = read_order(SAMPLES / "bramblefin.toml").designs[0]
    weak = build(dataclasses.replace(design, engine=dataclasses.replace(design.engine, power=20.0)))
    balance_screen([weak])
    told = capsys.readouterr().out
    assert "It does not get onto the plane with this engine." in told
    assert "watch: Speed reached (estimate)" in told


def test_the_screen_tells_a_boat_that_falls_over(capsys):
    design = read_order(SAMPLES / "bramblefin.toml").designs[0]
    tall = weigh(dataclasses.replace(design, engine=dataclasses.replace(design.engine, centre_height=1200.0)))
    balance_screen([tall])
    told = capsys.readouterr().out
    assert "it falls over" in told
    assert "rights itself" not in told
    assert "FAILS: Steadiness at rest (GM)" in told
