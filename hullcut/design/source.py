"""A file that a person wrote, read as TOML with the lines of its keys."""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hullcut.design.lines import key_lines
from hullcut.errors import DesignError, Fault

__all__ = ["Source", "read_source", "read_text"]

LARGEST_BYTES = 1_000_000
"""A design is a few thousand characters; a megabyte is another kind of file."""

# Ending and greatest size in megabytes of each kind of file; a layout of a large order takes a few.
_KINDS = {"design": (".toml", 1), "table": (".csv", 1), "layout": (".json", 100)}

_PLACE = re.compile(r" ?\(at (?:line (?P<line>\d+), column \d+|end of document)\)$")

_ADVICE = (
    ("overwrite a value", "the same key stands twice, keep one of them"),
    ("twice", "the same table stands twice, put its keys together under one header"),
    ("immutable", "the same table stands twice, put its keys together under one header"),
    ("mutate", "the same table stands twice, put its keys together under one header"),
    ("Invalid value", 'put words between quotes, as in material = "white-oak"'),
    (
        "after a statement",
        'put lengths with a fraction or a unit between quotes, as in beam = "13 1/2 in"',
    ),
    ("end of document", "close the quotes or brackets that are open"),
    ("Illegal character '\\n'", "close the quotes on the same line"),
    ("after a key", "write each line as key = value, or start it with # to make it a remark"),
    ("table declaration", "write a table's header alone on its line, as in [hull]"),
)


@dataclass(frozen=True, slots=True)
class Source:
    """A file as read.

    Attributes:
        file: its name as the user gave it.
        path: where it is.
        text: as it stands.
        data: what `tomllib` makes of it.
        lines: dotted key to line.
    """

    file: str
    path: Path
    text: str
    data: dict[str, Any]
    lines: dict[str, int]


def read_source(path: Path) -> Source:
    """Return a file's text, values and lines.

    Raises:
        DesignError: with one fault, where the file is missing, unreadable, empty or not TOML.
    """
    file = str(path)
    text = read_text(path, file)
    if not text.strip():
        raise _failed(file, "the file is empty", "start from a sample with `hullcut new NAME --from SAMPLE`")
    try:
        data = tomllib.loads(text)
        lines = key_lines(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(file, text, str(error)) from None
    except RecursionError:
        raise _failed(file, "brackets are nested too deeply", "see a sample for how a design is written") from None
    except ValueError:
        raise _failed(file, "holds a number with too many digits", "write numbers of a few digits") from None
    return Source(file, path, text, data, lines)


def _failed(file: str, problem: str, remedy: str, line: int | None = None) -> DesignError:
    return DesignError(Fault(file, line, "", problem, remedy))


def read_text(path: Path, file: str, kind: str = "design") -> str:
    """Return the text of a file that a person wrote, or gives back to be used again.

    Args:
        path: where it is.
        file: its name as the user gave it, for messages.
        kind: what it should be: "design", "table" or "layout".

    Raises:
        DesignError: with one fault, where the file is missing, unreadable, too large or not text.
    """
    ending, megabytes = _KINDS[kind]
    largest = megabytes * LARGEST_BYTES
    shown = "".join(letter if letter.isprintable() else "?" for letter in file)
    try:
        if path.is_dir():
            raise _failed(shown, "is a folder", f"name the {kind} file in it, one that ends in {ending}")
        if path.exists() and not path.is_file():
            raise _failed(shown, "is not an ordinary file", f"name a {kind} file, one that ends in {ending}")
        with path.open("rb") as stream:
            content = stream.read(largest + 1)
    except FileNotFoundError:
        raise _failed(shown, "there is no such file", _near_files(path, ending)) from None
    except PermissionError:
        raise _failed(shown, "may not be read", "give yourself leave to read it, or copy it elsewhere") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "the name cannot be used"
        raise _failed(shown, f"cannot be read ({reason})", "check the name and the disk") from None
    if len(content) > largest:
        size = "a megabyte" if megabytes == 1 else f"{megabytes} megabytes"
        raise _failed(shown, f"is larger than {size}, so not a {kind}", f"name a {kind} file")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _failed(shown, "is not text in UTF-8", "save it again with the encoding UTF-8", line) from None


def _near_files(path: Path, ending: str) -> str:
    try:
        names = sorted(each.name for each in path.parent.iterdir() if each.suffix == ending)
    except OSError:
        return "check the name and the folder"
    near = difflib.get_close_matches(path.name, names, n=1)
    return f"did you mean {near[0]}?" if near else "check the name and the folder"


def _not_toml(file: str, text: str, message: str) -> DesignError:
    """Turn the parser's message into plain advice, with the line it names."""
    place = _PLACE.search(message)
    total = text.rstrip().count("\n") + 1
    line = total if place is None or place["line"] is None else min(int(place["line"]), total)
    reason = message[: place.start()] if place else message
    advice = next((remedy for sign, remedy in _ADVICE if sign in message), "see a sample for how a design is written")
    reason = " ".join("".join(letter if letter.isprintable() else " " for letter in reason).split())
    return _failed(file, f"cannot be read as TOML: {reason[:120]}", advice, line)
