"""The kinds of value that a person types, checked one by one.

A length may be a bare number in the file's units or text with a unit; every other quantity is a plain number
in the unit that its description names. Each refusal says what is wrong and what to write instead.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from hullcut.lengths import HOW_TO_WRITE, LengthError, Units, parse_length

__all__ = [
    "Angle",
    "BearingCount",
    "BoltCount",
    "Celsius",
    "Copies",
    "Corners",
    "Count",
    "Density",
    "Distance",
    "FilePath",
    "Flag",
    "Flare",
    "Length",
    "Litres",
    "Mass",
    "Material",
    "Money",
    "Name",
    "Offset",
    "Power",
    "Prose",
    "Rake",
    "Share",
    "Speed",
    "Table",
    "Thickness",
    "TinyShare",
    "Words",
    "given",
    "name_problem",
    "refuse",
]

THINNEST_MM, THICKEST_MM = 0.4, 60.0
LONGEST_NAME = 60
MOST_CORNERS = 2000


class Table(BaseModel):
    """A table of a design file; a key that it does not know is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


def given(description: str) -> Any:  # noqa: ANN401 - pydantic's own Field is typed so
    """Return a field that may be left out."""
    return Field(default=None, description=description)


def refuse(problem: str, remedy: str) -> PydanticCustomError:
    """Return the error by which a field refuses a value."""
    return PydanticCustomError("refused", "{problem}", {"problem": problem, "remedy": remedy})


def _typed(value: object) -> str:
    """A value as it may stand in a one-line message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**12 else "a number of very many digits"
    if isinstance(value, str):
        line = "".join(letter if letter.isprintable() else "?" for letter in " ".join(value.split()))
        return f'"{line if len(line) <= 40 else line[:37] + "..."}"'
    return {"dict": "a table", "list": "a list"}.get(type(value).__name__, "a date or time")


def _units(info: ValidationInfo) -> Units:
    units: Units = "mm" if isinstance(info.context, dict) and info.context.get("units") == "mm" else "in"
    return units


def _read_length(value: object, info: ValidationInfo) -> float:
    if not isinstance(value, int | float | str):
        raise refuse(f"is {_typed(value)}, not a length", HOW_TO_WRITE)
    try:
        return parse_length(value, _units(info))
    except LengthError as error:
        raise refuse(error.problem, error.remedy) from None


def _length(value: object, info: ValidationInfo) -> float:
    length = _read_length(value, info)
    if length <= 0:
        raise refuse(f"is {_typed(value)}, not more than zero", 'write a length above zero, like "13 1/2 in"')
    return length


def _distance(value: object, info: ValidationInfo) -> float:
    length = _read_length(value, info)
    if length < 0:
        raise refuse(f"is {_typed(value)}, less than zero", 'write 0 or a length above it, like "1/8 in"')
    return length


def _thickness(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if not THINNEST_MM <= length <= THICKEST_MM:
        raise refuse(
            f"is {_typed(value)}, which no sheet or board of these boats measures",
            "write the measured thickness, between 0.4 mm and 60 mm",
        )
    return length


def _number(low: float, high: float, unit: str, example: str) -> Callable[[object], float]:
    """A check that a value is a plain number within limits."""

    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refuse(f"is {_typed(value)}, not a plain number", f"write {unit} without quotes, like {example}")
        if not low <= value <= high:
            raise refuse(f"is {_typed(value)}", f"write {unit} between {low:g} and {high:g}, like {example}")
        return float(value)

    return read


def _count(low: int, high: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise refuse(f"is {_typed(value)}, not a whole number", f"write a whole number from {low} to {high}")
        if not low <= value <= high:
            raise refuse(f"is {_typed(value)}", f"write a whole number from {low} to {high}")
        return value

    return read


def _corners(value: object, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    example = "write at least three corners, like [[0, 0], [12, 0], [12, 5]]"
    if not isinstance(value, list | tuple) or not 3 <= len(value) <= MOST_CORNERS:
        raise refuse("is not a list of 3 to 2000 corners", example)
    corners = []
    for corner in value:
        if not isinstance(corner, list | tuple) or len(corner) != 2:
            raise refuse(f"holds {_typed(corner)}, not a corner of two lengths", example)
        corners.append((_read_length(corner[0], info), _read_length(corner[1], info)))
    return tuple(corners)


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise refuse(f"is {_typed(value)}", "write true or false, without quotes")
    return value


def _text(longest: int) -> Callable[[object], str]:
    """A check that a value is readable text; runs of blanks and line ends become one blank."""

    def read(value: object) -> str:
        if not isinstance(value, str):
            raise refuse(f"is {_typed(value)}, not text", "write words between quotes")
        text = " ".join(value.split())
        if any(unicodedata.category(letter) in ("Cc", "Cs", "Cn", "Co") for letter in text):
            raise refuse("holds a sign that cannot be printed", "write plain words")
        if len(text) > longest:
            raise refuse(f"is {len(text)} letters long", f"write at most {longest} letters")
        return text

    return read


def name_problem(value: object) -> tuple[str, str] | None:
    """Return what is wrong with a name for files and folders and what to write; None where it is good."""
    remedy = 'write one word of letters, digits and hyphens, like "bramblefin"'
    if not isinstance(value, str):
        return f"is {_typed(value)}, not a name", remedy
    if "/" in value or "\\" in value:
        return f"is {_typed(value)}, a path", f"{remedy}; where results go is chosen with --out"
    if not re.fullmatch(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*", value):
        return f"is {_typed(value)}, not one plain word", remedy
    if len(value) > LONGEST_NAME:
        return f"is {len(value)} letters long", f"write at most {LONGEST_NAME} letters"
    if re.fullmatch(r"con|prn|aux|nul|(?:com|lpt)[0-9]", value.lower()):
        return f"is {_typed(value)}, which some computers refuse as a file's name", "write another word"
    return None


def _name(value: object) -> str:
    if problem := name_problem(value):
        raise refuse(*problem)
    return str(value)


def _file_path(value: object) -> str:
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        raise refuse(f"is {_typed(value)}, not a file", 'write the design file, like "bramblefin.toml"')
    return value


def _material(value: object) -> str:
    # The stock tables stand later in the line of stages, so they are only looked up when a value is checked.
    from hullcut.stock.woods import wood_keys

    known = wood_keys()
    if isinstance(value, str) and value in known:
        return value
    near = difflib.get_close_matches(value.lower(), known, n=1) if isinstance(value, str) else []
    listed = ", ".join(f'"{key}"' for key in known)
    remedy = f'did you mean "{near[0]}"?' if near else f"write one of {listed}"
    raise refuse(f"is {_typed(value)}, not a wood that is known", remedy)


def _schema(kind: str, **more: object) -> WithJsonSchema:
    return WithJsonSchema({"type": kind, **more})


_LENGTH_TEXT = {"type": "string", "minLength": 1, "examples": ["13 1/2 in", "330 mm"]}
_ABOVE_ZERO = WithJsonSchema({"anyOf": [{"type": "number", "exclusiveMinimum": 0}, _LENGTH_TEXT]})
_FROM_ZERO = WithJsonSchema({"anyOf": [{"type": "number", "minimum": 0}, _LENGTH_TEXT]})
_EITHER_SIGN = WithJsonSchema({"anyOf": [{"type": "number"}, _LENGTH_TEXT]})
_NAME_PATTERN = "^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$"

Length = Annotated[float, BeforeValidator(_length), _ABOVE_ZERO]
Distance = Annotated[float, BeforeValidator(_distance), _FROM_ZERO]
Offset = Annotated[float, BeforeValidator(_read_length), _EITHER_SIGN]
Thickness = Annotated[float, BeforeValidator(_thickness), _ABOVE_ZERO]

Mass = Annotated[
    float, BeforeValidator(_number(0, 100_000, "grams", "250")), _schema("number", minimum=0, maximum=100_000)
]
Money = Annotated[
    float, BeforeValidator(_number(0, 1e6, "a price", "38.50")), _schema("number", minimum=0, maximum=1e6)
]
Speed = Annotated[
    float,
    BeforeValidator(_number(100, 40_000, "turns a minute", "8000")),
    _schema("number", minimum=100, maximum=40_000),
]
Power = Annotated[
    float, BeforeValidator(_number(10, 10_000, "watts", "750")), _schema("number", minimum=10, maximum=10_000)
]
Celsius = Annotated[
    float, BeforeValidator(_number(5, 30, "degrees Celsius", "15")), _schema("number", minimum=5, maximum=30)
]
Litres = Annotated[float, BeforeValidator(_number(0, 200, "litres", "3.5")), _schema("number", minimum=0, maximum=200)]
Density = Annotated[float, BeforeValidator(_number(5, 300, "kg/m3", "30")), _schema("number", minimum=5, maximum=300)]
Angle = Annotated[float, BeforeValidator(_number(0, 60, "degrees", "30")), _schema("number", minimum=0, maximum=60)]
Flare = Annotated[float, BeforeValidator(_number(0, 30, "degrees", "10")), _schema("number", minimum=0, maximum=30)]
Rake = Annotated[float, BeforeValidator(_number(0, 45, "degrees", "12")), _schema("number", minimum=0, maximum=45)]
Share = Annotated[
    float,
    BeforeValidator(_number(0.1, 0.9, "a share of the length", "0.33")),
    _schema("number", minimum=0.1, maximum=0.9),
]
TinyShare = Annotated[
    float,
    BeforeValidator(_number(-0.3, 0.3, "a share of the length", "0.015")),
    _schema("number", minimum=-0.3, maximum=0.3),
]
Count = Annotated[int, BeforeValidator(_count(1, 200)), _schema("integer", minimum=1, maximum=200)]
BearingCount = Annotated[int, BeforeValidator(_count(2, 8)), _schema("integer", minimum=2, maximum=8)]
Copies = Annotated[int, BeforeValidator(_count(1, 5000)), _schema("integer", minimum=1, maximum=5000)]
_EITHER_LENGTH: dict[str, object] = {"anyOf": [{"type": "number"}, _LENGTH_TEXT]}
Corners = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(_corners),
    _schema(
        "array",
        items={"type": "array", "items": _EITHER_LENGTH, "minItems": 2, "maxItems": 2},
        minItems=3,
        maxItems=MOST_CORNERS,
    ),
]
BoltCount = Annotated[int, BeforeValidator(_count(0, 24)), _schema("integer", minimum=0, maximum=24)]
Flag = Annotated[bool, BeforeValidator(_flag), _schema("boolean")]
Words = Annotated[str, BeforeValidator(_text(80)), _schema("string", maxLength=80)]
Prose = Annotated[str, BeforeValidator(_text(1000)), _schema("string")]
Name = Annotated[str, BeforeValidator(_name), _schema("string", pattern=_NAME_PATTERN, maxLength=LONGEST_NAME)]
FilePath = Annotated[str, BeforeValidator(_file_path), _schema("string", minLength=1)]
Material = Annotated[str, BeforeValidator(_material), _schema("string", examples=["okoume-plywood"])]
