"""Faults in the values of a file, told with their line and what to write instead."""

from __future__ import annotations

import difflib
import re
import types
import typing
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from hullcut.design.lines import line_of
from hullcut.design.source import Source
from hullcut.errors import Fault

__all__ = ["dotted", "faults_of", "in_file_order", "printable"]

_TABLE_ERRORS = ("model_type", "model_attributes_type", "dict_type")
_LIST_ERRORS = ("tuple_type", "list_type")


def printable(text: str) -> str:
    """Return text as it may stand in a one-line message, cut at 60 letters."""
    line = "".join(letter if letter.isprintable() else "?" for letter in text)
    return line if len(line) <= 60 else line[:57] + "..."


def dotted(place: Iterable[str | int]) -> str:
    """Return a key as people write it, the elements of arrays counted from 1: "shop.stock[2].length"."""
    key = ""
    for part in place:
        if isinstance(part, int):
            key += f"[{part + 1}]"
        else:
            key += f".{part}" if key else part
    return key


def in_file_order(faults: Iterable[Fault]) -> list[Fault]:
    """Return faults by line; those to which no line is to blame come first."""
    return sorted(faults, key=lambda fault: fault.line or 0)


def faults_of(error: ValidationError, model: type[BaseModel], source: Source) -> list[Fault]:
    """Return one fault for each thing that a model refuses.

    A misspelt key that leaves a needed one missing is told once.

    Args:
        error: what the model raised.
        model: the model of the whole file.
        source: the file.
    """
    details = error.errors(include_url=False)
    unknown = [each for each in details if each["type"] == "extra_forbidden"]
    meant = {(*each["loc"][:-1], _nearest(each, model)) for each in unknown}
    kept = [each for each in details if each["type"] != "missing" or each["loc"] not in meant]
    return in_file_order(_fault(each, model, source) for each in kept)


def _fault(detail: ErrorDetails, model: type[BaseModel], source: Source) -> Fault:
    key = dotted(detail["loc"])
    problem, remedy = _words(detail, model)
    return Fault(source.file, _line(detail, key, source.lines), printable(key), problem, remedy)


def _line(detail: ErrorDetails, key: str, lines: Mapping[str, int]) -> int | None:
    if detail["type"] == "missing":
        key = dotted(detail["loc"][:-1])
    return line_of(key, dict(lines))


def _words(detail: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    """What is wrong and what to write, for each kind of refusal."""
    kind, name = detail["type"], str(detail["loc"][-1])
    context = detail.get("ctx", {})
    if kind == "refused":
        return context["problem"], context["remedy"]
    if kind == "missing":
        return "is missing", _how_to_add(detail["loc"], model)
    if kind == "extra_forbidden":
        return _unknown_key(detail, model)
    if kind == "literal_error":
        return _unknown_choice(detail)
    if kind in _TABLE_ERRORS:
        if isinstance(detail["loc"][-1], int):
            table = dotted(detail["loc"][:-1])
            return "is not a table", f"write [[{table}]] on a line of its own and its keys below"
        if isinstance(detail["input"], list):
            return "is a list of tables", f"write [{dotted(detail['loc'])}] with single brackets, once"
        return "is not a table", f"write [{dotted(detail['loc'])}] on a line of its own and its keys below"
    if kind in _LIST_ERRORS:
        return _not_a_list(detail, model, name)
    return f"cannot be used ({printable(detail['msg'])})", "see the samples for how it is written"


def _not_a_list(detail: ErrorDetails, model: type[BaseModel], name: str) -> tuple[str, str]:
    if _model_at((*detail["loc"], 0), model) is None:
        return "is not a list", f'write it between square brackets, like {name} = ["one", "two"]'
    return "is not a list of tables", f"write [[{dotted(detail['loc'])}]] with double brackets, once for each"


def _how_to_add(place: tuple[str | int, ...], model: type[BaseModel]) -> str:
    name = str(place[-1])
    if child := _model_at(place, model):
        needed = [key for key, field in child.model_fields.items() if field.is_required()]
        return f"write [{dotted(place)}] and below it {_list(needed, 'and')}"
    if _model_at((*place, 0), model) is not None:
        return f"write [[{dotted(place)}]] and its keys below"
    if name == "name":
        return 'write name = "one-word" at the top' if len(place) == 1 else 'write name = "what it is"'
    owner = _model_at(place[:-1], model)
    field = owner.model_fields.get(name) if owner else None
    meaning = (field.description or "").rstrip(".") if field else ""
    under = f" under {_header(place[:-1])}" if len(place) > 1 else ""
    return f"write {name} = ...{under} ({meaning[:1].lower()}{meaning[1:]})"


def _header(place: tuple[str | int, ...]) -> str:
    """A table's header as it is written."""
    many = isinstance(place[-1], int)
    name = dotted(part for part in place if isinstance(part, str))
    return f"[[{name}]]" if many else f"[{name}]"


def _list(words: list[str], joint: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {joint} {words[-1]}"


def _nearest(detail: ErrorDetails, model: type[BaseModel]) -> str | None:
    """The key that an unknown one comes nearest to, in the same table."""
    owner = _model_at(detail["loc"][:-1], model)
    known = list(owner.model_fields) if owner else []
    name = str(detail["loc"][-1]).strip().lower().replace("-", "_").replace(" ", "_")
    near = difflib.get_close_matches(name, known, n=1)
    return near[0] if near else None


def _unknown_key(detail: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    if near := _nearest(detail, model):
        return "is not a key that is known", f"did you mean {near}?"
    name = str(detail["loc"][-1])
    homes = [path for path, table in _tables(model) if name in table.model_fields and path != "wood"]
    if len(homes) == 1:
        home = f"under [{homes[0]}]" if homes[0] else "at the top, above the first [table]"
        return "is not known here", f"write it {home}"
    owner = _model_at(detail["loc"][:-1], model)
    known = _list(list(owner.model_fields), "or") if owner else ""
    return "is not a key that is known", f"leave it out, or write {known}" if known else "leave it out"


def _unknown_choice(detail: ErrorDetails) -> tuple[str, str]:
    expected = detail.get("ctx", {}).get("expected", "")
    choices = [word or number for word, number in re.findall(r"'([^']*)'|(\d+)", expected)]
    value = detail["input"]
    texts = "'" in expected
    shown = f'"{printable(value)}"' if isinstance(value, str) else "not one of the choices"
    if not isinstance(value, str) and isinstance(value, int | float) and not isinstance(value, bool):
        shown = printable(f"{value:g}" if isinstance(value, float) else "a number")
    near = difflib.get_close_matches(value.lower(), choices, n=1) if isinstance(value, str) else []
    quoted = [f'"{choice}"' if texts else choice for choice in choices]
    if near and len(choices) > 1:
        return f"is {shown}, which is not known", f'did you mean "{near[0]}"?'
    return f"is {shown}, which is not known", f"write {_list(quoted, 'or')}"


def _tables(model: type[BaseModel], path: str = "") -> list[tuple[str, type[BaseModel]]]:
    """Every single table of a file, with its header."""
    found = [(path, model)]
    for name, field in model.model_fields.items():
        child, many = _child(field.annotation)
        if child is not None and not many:
            found += _tables(child, f"{path}.{name}" if path else name)
    return found


def _model_at(place: tuple[str | int, ...], model: type[BaseModel]) -> type[BaseModel] | None:
    """The model of the table that stands at a place of the file; None where no table stands there."""
    here: type[BaseModel] | None = model
    many = False
    for part in place:
        if isinstance(part, int):
            if not many:
                return None
            many = False
            continue
        if here is None or many or part not in here.model_fields:
            return None
        here, many = _child(here.model_fields[part].annotation)
    return None if many else here


def _child(annotation: Any) -> tuple[type[BaseModel] | None, bool]:  # noqa: ANN401 - any annotation at all
    """The model within an annotation, and whether it stands in a list."""
    many = False
    while typing.get_origin(annotation) is not None:
        if typing.get_origin(annotation) is tuple:
            many = True
        elif typing.get_origin(annotation) not in (types.UnionType, typing.Union):
            return None, many
        annotation = next(each for each in typing.get_args(annotation) if each is not type(None))
    is_model = isinstance(annotation, type) and issubclass(annotation, BaseModel)
    return (annotation if is_model else None), many
