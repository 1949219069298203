"""One check of a boat against a limit: a frozen value that every stage can give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Check"]


@dataclass(frozen=True, slots=True)
class Check:
    """What was measured, what it is held against, and what to change.

    Attributes:
        name: what is checked, in words.
        status: "ok", "warn" or "fail".
        value: what was found; None where the check has no number.
        limit: what it is held against; None where the check has no number.
        unit: of both; empty where there is none.
        source: where the limit comes from.
        advice: what to change, or what to keep in mind.
    """

    name: str
    status: Literal["ok", "warn", "fail"]
    value: float | None
    limit: float | None
    unit: str
    source: str
    advice: str
