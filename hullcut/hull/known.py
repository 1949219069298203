"""Answers that are kept: taking off parts asks a hull for the same places again and again."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["Answers", "kept"]

Answers = dict[tuple[object, ...], Any]
"""What a frozen value has been asked before, and what it answered; a field `answers` of its class."""


class Asked(Protocol):
    """A frozen value that keeps its answers."""

    @property
    def answers(self) -> Answers:
        """What was asked before."""


A = TypeVar("A", bound=Asked)
P = ParamSpec("P")
R = TypeVar("R", bound=NDArray[np.float64] | tuple[NDArray[np.float64], ...])


def kept(method: Callable[Concatenate[A, P], R]) -> Callable[Concatenate[A, P], R]:
    """Keep what a method of a frozen value answers; its arguments are numbers, arrays or lists of numbers.

    An answer is one array or several, and is given to all who ask alike, so nobody may write into it.
    """
    name = method.__name__

    @wraps(method)
    def answer(self: A, /, *asked: P.args, **named: P.kwargs) -> R:
        key = (name, *(_fixed(each) for each in asked), *((word, _fixed(each)) for word, each in named.items()))
        found: R | None = self.answers.get(key)
        if found is None:
            found = self.answers[key] = method(self, *asked, **named)
            for array in (found,) if isinstance(found, np.ndarray) else found:
                array.flags.writeable = False
        return found

    return answer


def _fixed(value: object) -> object:
    """A value by which an argument is known again; a run of numbers as the array that it stands for."""
    if not isinstance(value, np.ndarray | list | tuple):
        return value
    array = np.asarray(value)
    return array.shape, array.dtype.str, array.tobytes()
