"""Papers that a home or school printer or a plotter takes, and how a printer's error is made good.

A3 and A4 from ISO 216; letter and tabloid are sizes A and B of ANSI/ASME Y14.1; legal is 8 1/2 by 14 in
(common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal

from hullcut.lengths import LengthError, Units, inches, millimetres, parse_length

__all__ = ["PAPERS", "ROLL_LENGTH", "Correction", "Paper", "Printing", "paper_named", "printing_of"]

ROLL_LENGTH = 5000.0
"""The longest page on a roll, mm: a PDF page ends at 200 in (ISO 32000-1, annex C, from memory)."""

_LEAST, _MOST = 140.0, 5000.0
_SIZE = re.compile(r"^(?P<width>[^x×]+?)\s*[x×]\s*(?P<height>[^x×]+)$")
_HOW = 'write letter, legal, tabloid, a4, a3, a size like "11x17 in" or "300x600 mm", or a roll like "roll 24 in"'


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper, upright.

    Attributes:
        name: in lower case.
        width, height: mm; of a roll the height is the most that one page may have.
        roll: whether it comes off a roll, so that a page is as long as it needs to be.
    """

    name: str
    width: float
    height: float
    roll: bool = False

    def turned(self) -> Paper:
        """The same paper on its side."""
        return Paper(self.name, self.height, self.width, self.roll)


PAPERS: dict[str, Paper] = {
    "letter": Paper("letter", 8.5 * 25.4, 11 * 25.4),
    "legal": Paper("legal", 8.5 * 25.4, 14 * 25.4),
    "tabloid": Paper("tabloid", 11 * 25.4, 17 * 25.4),
    "a4": Paper("a4", 210.0, 297.0),
    "a3": Paper("a3", 297.0, 420.0),
}


@dataclass(frozen=True, slots=True)
class Correction:
    """What a ruler reads of the printer check's bars of 100 mm, printed without correction.

    Attributes:
        measured_x: of the bar across the first page, mm.
        measured_y: of the bar along the first page, mm.
    """

    measured_x: float = 100.0
    measured_y: float = 100.0

    def __post_init__(self) -> None:
        """Refuse what is no printer's error.

        Raises:
            ValueError: a bar is off by more than 5 %.
        """
        for name, value in (("measured-x", self.measured_x), ("measured-y", self.measured_y)):
            if not 95.0 <= value <= 105.0:
                raise ValueError(
                    f"--{name} is {value:g} mm, too far from 100 mm for a printer's error; "
                    "print at 100 % with no fitting to the page, and measure the 100 mm bars again"
                )

    @property
    def plain(self) -> bool:
        """Whether there is nothing to correct."""
        return self.measured_x == 100.0 and self.measured_y == 100.0

    def factors(self, landscape: bool) -> tuple[float, float]:
        """By how much a page is drawn larger, across and up.

        A page on its side goes through the printer turned, so the two change places.
        """
        x, y = 100.0 / self.measured_x, 100.0 / self.measured_y
        return (y, x) if landscape else (x, y)


def paper_named(name: str) -> Paper:
    """The paper of a name in any case, of a size "11x17 in" (either way round), or of a roll, "roll 610 mm".

    Raises:
        ValueError: there is none; the message says what to write.
    """
    text = " ".join(name.strip().lower().split())
    paper = PAPERS.get(text)
    if paper is not None:
        return paper
    if text.startswith("roll"):
        width = _length(text.removeprefix("roll"), name)
        return Paper(f"roll {_written(width, text)}", width, ROLL_LENGTH, roll=True)
    found = _SIZE.match(text)
    if found is None:
        raise ValueError(f"no paper is called {name!r}; {_HOW}")
    unit = re.sub(r"[^a-z]", "", found["height"])
    first = found["width"] if re.search("[a-z]", found["width"]) else f"{found['width']} {unit}"
    sides = sorted((_length(first, name), _length(found["height"], name)))
    return Paper(text.replace("×", "x"), sides[0], sides[1])


def _length(text: str, name: str) -> float:
    if not re.search(r'[a-z"″]', text):
        raise ValueError(f"paper {name!r} has no unit; {_HOW}")
    try:
        value = parse_length(text.strip(), "mm")
    except LengthError as error:
        raise ValueError(f"paper {name!r}: {error.problem}; {_HOW}") from None
    if not _LEAST <= value <= _MOST:
        raise ValueError(f"paper {name!r}: {value:g} mm is no paper's size; from {_LEAST:g} mm to {_MOST:g} mm will do")
    return value


def _written(width: float, text: str) -> str:
    return millimetres(width) if "mm" in text or "cm" in text else inches(width)


@dataclass(frozen=True, slots=True)
class Printing:
    """How templates, packets and cutting files are to be printed and cut.

    Attributes:
        paper: of the templates.
        packet_paper: of the packet, "letter" or "a4".
        correction: of the printer that prints the templates.
        kerf: width of a machine's cut, mm, that cutting files make good; 0 for none.
    """

    paper: Paper
    packet_paper: Literal["letter", "a4"]
    correction: Correction = field(default_factory=Correction)
    kerf: float = 0.0


_MOST_KERF = 10.0


def printing_of(
    paper: str | None, units: Units, measured: tuple[float, float] = (100.0, 100.0), kerf: str | None = None
) -> Printing:
    """How to print, from what a person writes.

    Args:
        paper: a name that `paper_named` understands; None to go by the units.
        units: of the design: inches for letter, millimetres for A4.
        measured: what a ruler reads of the printer check's 100 mm bars, across and along the page.
        kerf: width of a machine's cut as a length, millimetres if it has no unit; None for no compensation.

    Raises:
        ValueError: one of them cannot be meant so; the message says what to write.
    """
    usual: Literal["letter", "a4"] = "letter" if units == "in" else "a4"
    chosen = paper_named(paper or usual)
    near: dict[str, Literal["letter", "a4"]] = {
        "letter": "letter",
        "legal": "letter",
        "tabloid": "letter",
        "a4": "a4",
        "a3": "a4",
    }
    width = 0.0
    if kerf is not None:
        try:
            width = parse_length(kerf, "mm")
        except LengthError as error:
            raise ValueError(f"--kerf {kerf!r}: {error.problem}; write it like 0.2 or 1/8 in") from None
        if not 0.0 <= width <= _MOST_KERF:
            raise ValueError(f"--kerf is {width:g} mm; write the width of one cut, from 0 to {_MOST_KERF:g} mm")
    return Printing(chosen, near.get(chosen.name, usual), Correction(*measured), width)
