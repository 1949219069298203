"""The JSON Schema of the files that a person types, so that an editor can help while they type."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from hullcut.design.models import DesignFile, OrderFile

__all__ = ["design_schema", "order_schema"]

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def design_schema() -> dict[str, Any]:
    """Return the JSON Schema of a design file, read as TOML."""
    return _schema(DesignFile, "hullcut design file")


def order_schema() -> dict[str, Any]:
    """Return the JSON Schema of an order file, read as TOML."""
    return _schema(OrderFile, "hullcut order file")


def _schema(model: type[BaseModel], title: str) -> dict[str, Any]:
    schema = _without_null(model.model_json_schema())
    return {"$schema": _DIALECT, **schema, "title": title}


def _without_null(node: Any) -> Any:  # noqa: ANN401 - any JSON value
    """The schema without the choice of null, which TOML cannot write."""
    if isinstance(node, list):
        return [_without_null(each) for each in node]
    if not isinstance(node, dict):
        return node
    kept = {key: _without_null(each) for key, each in node.items() if not (key == "default" and each is None)}
    choices = kept.get("anyOf")
    if isinstance(choices, list) and {"type": "null"} in choices:
        choices = [each for each in choices if each != {"type": "null"}]
        if len(choices) == 1:
            del kept["anyOf"]
            kept = {**choices[0], **kept}
        else:
            kept["anyOf"] = choices
    return kept
