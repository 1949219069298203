import pytest

from hullcut.design import starter
from hullcut.design.reader import read_order
from hullcut.design.starter import sample_names, starter_text
from hullcut.errors import DesignError


def test_the_samples_are_designs_and_not_orders():
    assert sample_names() == ("bramblefin", "marshpenny", "ten_lines")


@pytest.mark.parametrize("sample", ["bramblefin", "marshpenny", "ten_lines"])
def test_a_starter_is_the_sample_renamed(tmp_path, samples, sample):
    text = starter_text("tansyfoot", sample)
    path = tmp_path / "tansyfoot.toml"
    path.write_text(text, encoding="utf-8")
    order = read_order(path)
    original = read_order(samples / f"{sample}.toml")
    assert order.name == "tansyfoot"
    assert order.designs[0].hull == original.designs[0].hull
    old, new = (samples / f"{sample}.toml").read_text(encoding="utf-8").split("\n"), text.split("\n")
    assert len(old) == len(new)
    assert [line for line, before in zip(new, old, strict=True) if line != before] == ['name = "tansyfoot"']


def test_an_unknown_sample_and_a_path_for_a_name_are_told_at_once():
    with pytest.raises(DesignError) as caught:
        starter_text("../boat", "bramblfin")
    assert [(fault.key, fault.remedy.endswith("did you mean bramblefin?")) for fault in caught.value.faults] == [
        ("NAME", False),
        ("--from", True),
    ]
    with pytest.raises(DesignError, match="take one of bramblefin, marshpenny, ten_lines"):
        starter_text("boat", "zzz")


def test_an_installed_package_brings_its_samples(tmp_path, monkeypatch):
    package = tmp_path / "hullcut"
    (package / "samples").mkdir(parents=True)
    (package / "samples" / "only.toml").write_text('name = "only"\n[hull]\n', encoding="utf-8")
    monkeypatch.setattr(starter, "__file__", str(package / "design" / "starter.py"))
    assert sample_names() == ("only",)
    assert starter_text("mine", "only") == 'name = "mine"\n[hull]\n'
