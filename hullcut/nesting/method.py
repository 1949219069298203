"""What every way of nesting is given, and what it gives back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from hullcut.design.values import Stock
from hullcut.nesting.boxes import Box
from hullcut.nesting.choose import Filled
from hullcut.nesting.values import Rules, Sheet

__all__ = ["Method", "Outcome", "Task"]

Plan = tuple[Filled, ...]


def _silent(_: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True)
class Task:
    """One group to lay out.

    Attributes:
        boxes: of one wood and thickness.
        offers: stock of that wood and thickness.
        available: how many of each stock id are still to be had; None for as many as needed.
        rules: how the shop cuts.
        known: plans that earlier methods found, best first.
        at_least: weight that no plan goes below, as far as earlier methods proved.
        progress: told what is being done.
    """

    boxes: Sequence[Box]
    offers: Sequence[Stock]
    available: Mapping[str, int | None]
    rules: Rules
    known: tuple[Plan, ...] = ()
    at_least: float = 0.0
    progress: Callable[[str], None] = field(default=_silent, compare=False)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a method found.

    Attributes:
        plans: filled stock, best first.
        at_least: weight that no plan goes below; 0 where nothing was proven.
        how: the kind of that proof.
        sheets: a finished plan, where a method lays outlines rather than rectangles.
    """

    plans: tuple[Plan, ...] = ()
    at_least: float = 0.0
    how: str = ""
    sheets: tuple[Sheet, ...] | None = None


#: Lays out one group; an empty outcome where there is nothing to better or it can't.
Method = Callable[[Task], Outcome]
