"""A design file to begin with: the text of a sample under a new name."""

from __future__ import annotations

import difflib
import re
import tomllib
from pathlib import Path

from hullcut.design.models.fields import name_problem
from hullcut.errors import DesignError, Fault

__all__ = ["sample_names", "starter_files"]

_NAME_LINE = re.compile(r'^name[ \t]*=[ \t]*"[^"\n]*"', re.MULTILINE)

_OFFSETS_LINE = re.compile(r'^offsets[ \t]*=[ \t]*"[^"\n]*"', re.MULTILINE)


def _folder() -> Path:
    """The samples of the installed package, or those beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "samples"
    return installed if installed.is_dir() else package.parent / "sample_designs"


def sample_names() -> tuple[str, ...]:
    """Return the names of the sample designs, in alphabetical order; orders are not among them."""
    found = sorted(_folder().glob("*.toml"), key=lambda path: path.stem)
    return tuple(path.stem for path in found if "hull" in tomllib.loads(path.read_text(encoding="utf-8")))


def starter_files(name: str, sample: str) -> dict[str, str]:
    """Return a sample's text, remarks and all, with its boat renamed; and its table of offsets, where it has one.

    Args:
        name: of the new boat, one word.
        sample: one of `sample_names()`.

    Returns:
        Text by file name.

    Raises:
        DesignError: where the name cannot be used or there is no such sample.
    """
    faults = []
    if problem := name_problem(name):
        faults.append(Fault("", None, "NAME", *problem))
    known = sample_names()
    if sample not in known:
        near = difflib.get_close_matches(sample, known, n=1)
        remedy = f"did you mean {near[0]}?" if near else f"take one of {', '.join(known)}"
        shown = "".join(letter if letter.isprintable() else "?" for letter in sample[:40])
        faults.append(Fault("", None, "--from", f'there is no sample "{shown}"', remedy))
    if faults:
        raise DesignError(*faults)
    text = (_folder() / f"{sample}.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)["hull"].get("offsets")
    text = _NAME_LINE.sub(f'name = "{name}"', text, count=1)
    if table is None:
        return {f"{name}.toml": text}
    text = _OFFSETS_LINE.sub(f'offsets = "{name}.csv"', text, count=1)
    return {f"{name}.toml": text, f"{name}.csv": (_folder() / table).read_text(encoding="utf-8")}
