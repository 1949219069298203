"""Every check of a boat, with its source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.packet.organiser.pieces import numbers_table

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.packet.document import Frames, Styles

__all__ = ["checks_section"]

_WORDS = {"ok": "holds", "warn": "watch", "fail": "FAILS"}
# What fails stands first, then what is to be watched.
_FIRST = {"fail": 0, "warn": 1, "ok": 2}


def _figure(value: float) -> str:
    """Four figures, never with an exponent."""
    return f"{value:.0f}" if abs(value) >= 1000.0 else f"{round(value, 3) + 0.0:.4g}"


def checks_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The checks as a table."""
    checks = sorted(plan.checks, key=lambda check: _FIRST[check.status])
    rows = [
        (
            _WORDS[check.status],
            check.name,
            "" if check.value is None else f"{_figure(check.value)} {check.unit}",
            "" if check.limit is None else _figure(check.limit),
            check.advice,
            check.source,
        )
        for check in checks
    ]
    widths = (12.0, 32.0, 24.0, 14.0)
    rest = (frames.width - sum(widths)) / 2.0
    bold = [number for number, check in enumerate(checks) if check.status != "ok"]
    heads = ("", "check", "value", "limit", "what to do", "source of the limit")
    return [numbers_table(heads, rows, (*widths, rest, rest), look, bold)]
