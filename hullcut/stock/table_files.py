"""Reads the tables that ship with the package."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["table"]


@cache
def table(name: str) -> dict[str, Any]:
    """Everything in one shipped table.

    Args:
        name: of the file under `tables`, without its ending.

    Returns:
        The parsed TOML. It is shared between callers, who must not change it.
    """
    text = files("hullcut.stock").joinpath("tables", f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
