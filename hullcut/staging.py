"""Putting results in place whole or not at all.

Files are written to a temporary folder beside the target, then moved into it one by one; a manifest names every file
that is ours. Files that a former run wrote and this one does not are taken away; files of anybody else stay.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
import tempfile
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from hullcut.errors import Fault, OutputError

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["MANIFEST", "put_in_place", "refuse_target", "write_new"]

MANIFEST = "manifest.json"


def put_in_place(target: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder, all or none.

    Args:
        target: the folder; made if need be.
        files: content by path within the folder, with forward slashes.

    Returns:
        The files' paths, the manifest last.

    Raises:
        OutputError: the folder cannot be made or written.
    """
    manifest = _manifest(files)
    everything = {**files, MANIFEST: manifest}
    old = _ours(target)
    try:
        _refuse_strangers(target, everything, old)
        target.parent.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    except OSError as error:
        raise OutputError(_fault(target, error)) from error
    try:
        for name, content in everything.items():
            place = stage / PurePosixPath(name)
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        return _move(stage, target, everything, old)
    except OSError as error:
        raise OutputError(_fault(target, error)) from error
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def _move(stage: Path, target: Path, files: Mapping[str, bytes], old: frozenset[str]) -> tuple[Path, ...]:
    """Rename every staged file over its place, then take away what a former run left."""
    placed = []
    for name in files:
        place = target / PurePosixPath(name)
        place.parent.mkdir(parents=True, exist_ok=True)
        (stage / PurePosixPath(name)).replace(place)
        placed.append(place)
    for name in sorted(old - set(files)):
        stale = target / PurePosixPath(name)
        stale.unlink(missing_ok=True)
        with contextlib.suppress(OSError):
            stale.parent.rmdir()
    return tuple(placed)


def _manifest(files: Mapping[str, bytes]) -> bytes:
    listed = [
        {"file": name, "bytes": len(files[name]), "sha256": hashlib.sha256(files[name]).hexdigest()}
        for name in sorted(files)
    ]
    return (json.dumps({"written_by": "hullcut", "files": listed}, indent=1) + "\n").encode()


def _ours(target: Path) -> frozenset[str]:
    """What a former run's manifest lists; nothing where there is none, or where it leads out of the folder."""
    try:
        listed = json.loads((target / MANIFEST).read_text("utf-8"))
        if listed.get("written_by") != "hullcut":
            return frozenset()
        names = [str(each["file"]) for each in listed["files"]]
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return frozenset()
    inside = [name for name in names if ".." not in PurePosixPath(name).parts and not PurePosixPath(name).is_absolute()]
    return frozenset([*inside, MANIFEST])


def _refuse_strangers(target: Path, files: Mapping[str, bytes], old: frozenset[str]) -> None:
    """Refuse to write over a file of the same name that hullcut did not write, or over a file for a folder."""
    refuse_target(target)
    for name in files:
        place = target / PurePosixPath(name)
        if place.exists() and name not in old:
            raise OutputError(
                Fault(
                    str(place),
                    None,
                    "",
                    "a file that hullcut did not write stands here",
                    "move it away, or choose another folder with --out",
                )
            )


def refuse_target(target: Path) -> None:
    """Refuse a target that cannot be a folder, before any work is done.

    Raises:
        OutputError: a file stands where the folder, or one that it stands in, should be.
    """
    for place in (target, *target.parents):
        if place.exists():
            if not place.is_dir():
                problem = "there is a file where the output folder should be"
                raise OutputError(Fault(str(place), None, "", problem, "choose another with --out"))
            return


def write_new(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files that may not exist yet, each first under a temporary name.

    Raises:
        OutputError: one stands there already, or the folder cannot be written.
    """
    faults = [
        Fault(name, None, "", "a file of this name stands here already", "choose another name, or move it away")
        for name in files
        if (folder / name).exists()
    ]
    if faults:
        raise OutputError(*faults)
    placed = []
    for name, content in files.items():
        stage = folder / f".{name}.part"
        try:
            stage.write_bytes(content)
            stage.replace(folder / name)
        except OSError as error:
            stage.unlink(missing_ok=True)
            raise OutputError(_fault(folder / name, error)) from error
        placed.append(folder / name)
    return tuple(placed)


def _fault(target: Path, error: OSError) -> Fault:
    reason = error.strerror or str(error)
    return Fault(str(target), None, "", f"the results cannot be written ({reason})", "choose another folder with --out")
