"""Results are put in place whole or not at all, and only our own files are ever replaced."""

import json

import pytest

from hullcut.errors import OutputError
from hullcut.staging import MANIFEST, put_in_place, refuse_target, write_new


def test_every_file_is_listed_in_the_manifest(tmp_path):
    paths = put_in_place(tmp_path / "out", {"a.txt": b"one", "deep/b.txt": b"two"})
    listed = json.loads((tmp_path / "out" / MANIFEST).read_text())
    assert [each["file"] for each in listed["files"]] == ["a.txt", "deep/b.txt"]
    assert [each["bytes"] for each in listed["files"]] == [3, 3]
    assert {path.name for path in paths} == {"a.txt", "b.txt", MANIFEST}
    assert (tmp_path / "out" / "deep" / "b.txt").read_bytes() == b"two"


def test_nothing_temporary_is_left_beside_the_target(tmp_path):
    put_in_place(tmp_path / "out", {"a.txt": b"one"})
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_what_a_former_run_wrote_goes_and_strangers_stay(tmp_path):
    target = tmp_path / "out"
    put_in_place(target, {"old/a.svg": b"a", "b.txt": b"b"})
    (target / "notes.txt").write_text("mine")
    put_in_place(target, {"b.txt": b"new"})
    assert not (target / "old").exists()
    assert (target / "b.txt").read_bytes() == b"new"
    assert (target / "notes.txt").read_text() == "mine"


def test_a_stranger_of_the_same_name_is_not_written_over(tmp_path):
    target = tmp_path / "out"
    target.mkdir()
    (target / "plan.json").write_text("mine")
    with pytest.raises(OutputError, match="did not write"):
        put_in_place(target, {"plan.json": b"ours", "a.txt": b"a"})
    assert (target / "plan.json").read_text() == "mine"
    assert not (target / "a.txt").exists()


def test_a_file_where_the_folder_should_be(tmp_path):
    (tmp_path / "out").write_text("mine")
    for target in (tmp_path / "out", tmp_path / "out" / "deeper"):
        with pytest.raises(OutputError, match="a file where the output folder should be"):
            refuse_target(target)
        with pytest.raises(OutputError):
            put_in_place(target, {"a.txt": b"a"})
    assert (tmp_path / "out").read_text() == "mine"


def test_a_manifest_cannot_make_us_delete_outside_the_folder(tmp_path):
    target = tmp_path / "out"
    put_in_place(target, {"a.txt": b"a"})
    (tmp_path / "precious.txt").write_text("mine")
    manifest = json.loads((target / MANIFEST).read_text())
    manifest["files"] += [{"file": "../precious.txt"}, {"file": str(tmp_path / "precious.txt")}]
    (target / MANIFEST).write_text(json.dumps(manifest))
    put_in_place(target, {"b.txt": b"b"})
    assert (tmp_path / "precious.txt").read_text() == "mine"


def test_new_files_never_replace(tmp_path):
    write_new(tmp_path, {"mallow.toml": b"one"})
    with pytest.raises(OutputError, match="stands here already"):
        write_new(tmp_path, {"mallow.toml": b"two", "other.json": b"x"})
    assert (tmp_path / "mallow.toml").read_bytes() == b"one"
    assert not (tmp_path / "other.json").exists()
