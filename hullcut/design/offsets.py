"""A table of offsets: half breadths and heights of chine and sheer at stations, as a builder reads them off a drawing.

The table is a CSV file beside the design. Cells may be blank where a station has only one of the two lines, as at a
raked stem.
"""

from __future__ import annotations

import csv
import difflib
import io
import itertools
from dataclasses import dataclass

from hullcut.errors import DesignError, Fault
from hullcut.lengths import LengthError, Units, parse_length

__all__ = ["COLUMNS", "OffsetRow", "Offsets", "parse_offsets"]

COLUMNS = ("x", "chine_half_breadth", "chine_height", "sheer_half_breadth", "sheer_height")
LEAST_STATIONS = 3
MOST_STATIONS = 200
LEAST_STEP_MM = 1.0
_HEADER = ",".join(COLUMNS)
_LINES = {"chine": COLUMNS[1:3], "sheer": COLUMNS[3:5]}


@dataclass(frozen=True, slots=True)
class OffsetRow:
    """One station.

    Attributes:
        x: from the transom's lower outer edge, forward, mm.
        chine_half_breadth, chine_height: of the chine, mm; None where the cell is blank.
        sheer_half_breadth, sheer_height: of the sheer.
        line: of the file, counted from 1.
    """

    x: float
    chine_half_breadth: float | None
    chine_height: float | None
    sheer_half_breadth: float | None
    sheer_height: float | None
    line: int


@dataclass(frozen=True, slots=True)
class Offsets:
    """A table of offsets of the hull's outer faces.

    Attributes:
        file: as the user gave it.
        rows: stations, from aft.
    """

    file: str
    rows: tuple[OffsetRow, ...]

    @property
    def chine(self) -> tuple[tuple[float, float, float], ...]:
        """Points (x, half breadth, height) of the chine, from aft, mm."""
        return self._points("chine_half_breadth", "chine_height")

    @property
    def sheer(self) -> tuple[tuple[float, float, float], ...]:
        """Points (x, half breadth, height) of the sheer, from aft, mm."""
        return self._points("sheer_half_breadth", "sheer_height")

    def _points(self, breadth: str, height: str) -> tuple[tuple[float, float, float], ...]:
        return tuple(
            (row.x, getattr(row, breadth), getattr(row, height))
            for row in self.rows
            if getattr(row, breadth) is not None
        )


def parse_offsets(text: str, file: str, units: Units) -> Offsets:
    """Return the table in a CSV text.

    Args:
        text: as it stands; blank lines and lines that begin with # are remarks.
        file: for messages.
        units: of bare numbers.

    Raises:
        DesignError: with every fault of the table.
    """
    lines = [(number, cells) for number, cells in _records(text, file) if any(cells) and not cells[0].startswith("#")]
    if not lines:
        raise DesignError(Fault(file, None, "", "holds no table", f"begin it with the line {_HEADER}"))
    places = _columns(*lines[0], file)
    faults: list[Fault] = []
    rows = [row for number, cells in lines[1:] if (row := _row(number, cells, places, file, units, faults))]
    if not faults:
        faults = _table_faults(rows, lines[0][0], file)
    if faults:
        raise DesignError(*faults)
    return Offsets(file, tuple(rows))


def _records(text: str, file: str) -> list[tuple[int, list[str]]]:
    """Each record with the line on which it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), skipinitialspace=True)
    found: list[tuple[int, list[str]]] = []
    try:
        line = 1
        for record in reader:
            found.append((line, [cell.strip() for cell in record] or [""]))
            line = reader.line_num + 1
    except csv.Error as error:
        problem = f"cannot be read as CSV ({error})"
        raise DesignError(Fault(file, reader.line_num, "", problem, "write plain cells between commas")) from None
    return found


def _columns(number: int, cells: list[str], file: str) -> dict[str, int]:
    """Which cell of a record holds each column."""
    names = [cell.lower().replace(" ", "_").replace("-", "_") for cell in cells]
    meant = [difflib.get_close_matches(name, COLUMNS, n=1) for name in names]
    faults = []
    for name, near in zip(names, meant, strict=True):
        if name in COLUMNS:
            continue
        remedy = f"did you mean {near[0]}?" if near else f"leave it out, or write one of {', '.join(COLUMNS)}"
        shown = "".join(letter if letter.isprintable() else "?" for letter in name)[:40]
        faults.append(Fault(file, number, shown or "(blank)", "is not a column that is known", remedy))
    for name in COLUMNS:
        if names.count(name) > 1:
            faults.append(Fault(file, number, name, "stands twice", "keep one of the two columns"))
        elif name not in names and not any([name] == near for near in meant):
            faults.append(Fault(file, number, name, "is missing", f"write the columns {_HEADER}"))
    if faults:
        raise DesignError(*faults)
    return {name: names.index(name) for name in COLUMNS}


def _row(
    number: int, cells: list[str], places: dict[str, int], file: str, units: Units, faults: list[Fault]
) -> OffsetRow | None:
    """One station; None, and faults added, where it can't be read."""
    before = len(faults)
    if any(cells[len(places) :]):
        problem = f"has {len(cells)} cells, more than the header"
        faults.append(Fault(file, number, "", problem, "write a decimal point, not a comma, and fractions in one cell"))
        return None
    values: dict[str, float | None] = {}
    for name, place in places.items():
        cell = cells[place] if place < len(cells) else ""
        values[name] = _cell(name, cell, number, file, units, faults)
    for line, (breadth, height) in _LINES.items():
        if len(faults) == before and (values[breadth] is None) != (values[height] is None):
            blank = breadth if values[breadth] is None else height
            remedy = f"fill it in, or leave {breadth} and {height} both blank"
            faults.append(Fault(file, number, blank, f"is blank beside the other measure of the {line}", remedy))
    x = values["x"]
    if len(faults) > before or x is None:
        return None
    if values["chine_height"] is None and values["sheer_height"] is None:
        faults.append(
            Fault(file, number, "", "has neither chine nor sheer", "fill in one of them, or drop the station")
        )
        return None
    return OffsetRow(
        x=x,
        chine_half_breadth=values["chine_half_breadth"],
        chine_height=values["chine_height"],
        sheer_half_breadth=values["sheer_half_breadth"],
        sheer_height=values["sheer_height"],
        line=number,
    )


def _cell(name: str, cell: str, number: int, file: str, units: Units, faults: list[Fault]) -> float | None:
    if not cell:
        if name == "x":
            faults.append(Fault(file, number, name, "is blank", "write how far the station is from the transom"))
        return None
    try:
        value = parse_length(cell, units)
    except LengthError as error:
        faults.append(Fault(file, number, name, error.problem, error.remedy))
        return None
    if value < 0.0 and name != "x":
        kind = "half breadth" if name.endswith("breadth") else "height"
        faults.append(Fault(file, number, name, f"is {cell}, less than zero", f"write a {kind} of 0 or more"))
        return None
    return value


def _table_faults(rows: list[OffsetRow], header: int, file: str) -> list[Fault]:
    """What is wrong with the table as a whole."""
    faults = []
    for before, row in itertools.pairwise(rows):
        if row.x - before.x < LEAST_STEP_MM:
            problem = "does not lie ahead of the station before it"
            faults.append(Fault(file, row.line, "x", problem, "write the stations from the transom forward, each once"))
    if len(rows) > MOST_STATIONS:
        faults.append(Fault(file, header, "", f"has {len(rows)} stations", f"write at most {MOST_STATIONS}"))
    for line, (breadth, _) in _LINES.items():
        count = sum(getattr(row, breadth) is not None for row in rows)
        if count < LEAST_STATIONS:
            problem = f"has {count} stations with a {line}"
            faults.append(Fault(file, header, breadth, problem, f"give it at {LEAST_STATIONS} stations or more"))
    for row in rows:
        if row.chine_height is not None and row.sheer_height is not None and row.sheer_height < row.chine_height:
            problem = "lies below the chine"
            faults.append(Fault(file, row.line, "sheer_height", problem, "write a height above chine_height"))
    return faults
