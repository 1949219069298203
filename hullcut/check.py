"""One check of a boat against a limit: a frozen value that every stage can give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Check", "Status", "verdict"]

Status = Literal["ok", "warn", "fail"]


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
    status: Status
    value: float | None
    limit: float | None
    unit: str
    source: str
    advice: str


def verdict(holds: bool, otherwise: Status = "fail") -> Status:
    """Tell "ok" where a check holds, else what it is then."""
    return "ok" if holds else otherwise
