import pytest

from hullcut.design import starter
from hullcut.design.reader import read_order
from hullcut.design.starter import sample_names, starter_files
from hullcut.errors import DesignError


def test_the_samples_are_designs_and_not_orders():
    assert sample_names() == ("bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines")


@pytest.mark.parametrize("sample", ["bramblefin", "marshpenny", "puddlewick", "ten_lines"])
def test_a_starter_is_the_sample_renamed(tmp_path, samples, sample):
    text = starter_files("mallow", sample)["mallow.toml"]
    path = tmp_path / "mallow.toml"
    path.write_text(text, encoding="utf-8")
    order = read_order(path)
    original = read_order(samples / f"{sample}.toml")
    assert order.name == "mallow"
    assert order.designs[0].hull == original.designs[0].hull
    old, new = (samples / f"{sample}.toml").read_text(encoding="utf-8").split("\n"), text.split("\n")
    assert len(old) == len(new)
    assert [line for line, before in zip(new, old, strict=True) if line != before] == ['name = "mallow"']


def test_a_table_of_offsets_comes_along_under_the_new_name(tmp_path, samples):
    files = starter_files("mallow", "tansyfoot")
    assert sorted(files) == ["mallow.csv", "mallow.toml"]
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (design,) = read_order(tmp_path / "mallow.toml").designs
    (original,) = read_order(samples / "tansyfoot.toml").designs
    assert design.hull.offsets.rows == original.hull.offsets.rows
    assert design.hull.offsets.file == str(tmp_path / "mallow.csv")
    assert files["mallow.csv"] == (samples / "tansyfoot.csv").read_text(encoding="utf-8")


def test_an_unknown_sample_and_a_path_for_a_name_are_told_at_once():
    with pytest.raises(DesignError) as caught:
        starter_files("../boat", "bramblfin")
    assert [(fault.key, fault.remedy.endswith("did you mean bramblefin?")) for fault in caught.value.faults] == [
        ("NAME", False),
        ("--from", True),
    ]
    with pytest.raises(DesignError, match="take one of bramblefin, marshpenny, puddlewick, tansyfoot, ten_lines"):
        starter_files("boat", "zzz")


def test_an_installed_package_brings_its_samples(tmp_path, monkeypatch):
    package = tmp_path / "hullcut"
    (package / "samples").mkdir(parents=True)
    (package / "samples" / "only.toml").write_text('name = "only"\n[hull]\n', encoding="utf-8")
    monkeypatch.setattr(starter, "__file__", str(package / "design" / "starter.py"))
    assert sample_names() == ("only",)
    assert starter_files("mine", "only") == {"mine.toml": 'name = "mine"\n[hull]\n'}
