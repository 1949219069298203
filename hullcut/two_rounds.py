"""Two rounds of work for two processes: what the second round is follows from what the first one found."""

from __future__ import annotations

import os
import pickle
import select
import tempfile
from collections.abc import Callable
from contextlib import suppress
from itertools import chain
from typing import TYPE_CHECKING, Generic, TypeVar

from hullcut.two_hands import MOST, awaited, can_share, drawn, ended, heaviest_first, queue, started, stop

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from multiprocessing.process import BaseProcess

__all__ = ["share_two_rounds"]

F = TypeVar("F")
M = TypeVar("M")
T = TypeVar("T")

Weighted = tuple[float, Callable[[], T]]


def share_two_rounds(
    first: Sequence[Weighted[F]],
    meanwhile: Sequence[Weighted[T]],
    then: Callable[[list[F]], tuple[M, Sequence[Weighted[T]]]],
    ended_early: Callable[[F], bool],
    ahead: Callable[[], object] = lambda: None,
) -> tuple[M, list[T], list[T]]:
    """Run a round of tasks, and one that follows from it, with one helping process for both.

    Each of the two takes the heaviest task that is left as soon as it is free. Whoever has none of the first round
    left, while the other is still busy with it, does what is to be done meanwhile: the helper the heaviest, this
    process the lightest, so that it is soon free for the second round, which begins with the heaviest task of all.
    The results are those of running all tasks one after another, which is what happens where there is no second
    processor or processes cannot be copied; likewise for the helper's share if the helper comes to grief.

    Args:
        first: about how long each takes, and a function without arguments whose result can be sent.
        meanwhile: likewise, what needs no result of the first round.
        then: from the results of the first round, something for the caller, and the tasks of the second round; called
            in both processes.
        ended_early: whether a result of the first round tells that a person stopped it. The helper is then told to
            stop too.
        ahead: what makes the second round quicker; the helper does it where it would only wait for the first one.

    Returns:
        What `then` gave for the caller; the results of `meanwhile`; those of the second round; each in order.
    """
    if not can_share():
        kept, second = then([task() for _, task in first])
        return kept, [task() for _, task in meanwhile], [task() for _, task in second]
    order = heaviest_first([weight for weight, _ in first])
    round_one, heavy_aside = queue(order[2:]), heaviest_first([weight for weight, _ in meanwhile])
    # Whoever draws here has one more of them, at its own end of the list: which number it draws means nothing.
    aside = queue(range(len(meanwhile)))
    # How many tasks the second round has is not known yet: numbers past their end mean nothing.
    round_two = queue(range(1, MOST))
    to_helper, to_parent = _Letter[dict[int, F]](), _Letter[dict[int, F]]()

    def help_out() -> tuple[dict[int, T], dict[int, T]]:
        to_helper.keep_reader()
        to_parent.keep_writer()
        own = {index: first[index][1]() for index in chain(order[1:2], drawn(round_one))}
        to_parent.write(own)
        done = {index: meanwhile[index][1]() for index, _ in zip(heavy_aside, drawn(aside), strict=False)}
        if not to_helper.is_there():
            ahead()
        theirs = to_helper.read() or {}
        _, second = then(_together(first, own, theirs))
        return done, _in_turn(second, drawn(round_two))

    receiver, helper = started(help_out)
    to_helper.keep_writer()
    to_parent.keep_reader()
    try:
        own = {index: first[index][1]() for index in chain(order[:1], drawn(round_one))}
        if any(ended_early(result) for result in own.values()):
            stop(helper)
        to_helper.write(own)
        done: dict[int, T] = {}
        light_aside = zip(reversed(heavy_aside), drawn(aside), strict=False)
        while not to_parent.is_there() and (another := next(light_aside, None)) is not None:
            done[another[0]] = meanwhile[another[0]][1]()
        kept, second = then(_together(first, own, _taken(to_parent, helper)))
        results = _in_turn(second, chain((0,), drawn(round_two)))
        done |= {index: meanwhile[index][1]() for index, _ in light_aside}
        aside_there, results_there = awaited(receiver, helper, stops=False) or ({}, {})
    finally:
        for each in (round_one, aside, round_two):
            os.close(each)
        to_helper.close()
        to_parent.close()
        ended(receiver, helper)
    return kept, _together(meanwhile, done, aside_there), _together(second, results, results_there)


def _in_turn(tasks: Sequence[Weighted[T]], places: Iterable[int]) -> dict[int, T]:
    """The results by number of those tasks whose places in the order of weight are given."""
    order = heaviest_first([weight for weight, _ in tasks])
    return {order[place]: tasks[order[place]][1]() for place in places if place < len(order)}


def _together(tasks: Sequence[Weighted[T]], own: dict[int, T], theirs: dict[int, T]) -> list[T]:
    """The results of both in the order of the tasks; what neither has is done now."""
    both = own | theirs
    return [both[index] if index in both else task() for index, (_, task) in enumerate(tasks)]


def _taken(letter: _Letter[dict[int, F]], helper: BaseProcess) -> dict[int, F]:
    """What the helper found in the first round; a person's stop while waiting is handed on to it."""
    try:
        return letter.read() or {}
    except KeyboardInterrupt:
        stop(helper)
    found = letter.read()
    if found is None:
        raise KeyboardInterrupt
    return found


class _Letter(Generic[T]):
    """Something that one process leaves for another, which takes it when it comes to it.

    A pipe alone would not do: it holds little, and whoever writes more waits until the other reads.
    """

    def __init__(self) -> None:
        self._file = tempfile.TemporaryFile()  # noqa: SIM115 - closed by both processes in their own time
        reader, writer = os.pipe()
        self._ends = {"reader": reader, "writer": writer}

    def keep_reader(self) -> None:
        """This process reads; when the other dies before it has written, this one is told."""
        os.close(self._ends.pop("writer"))

    def keep_writer(self) -> None:
        """This process writes."""
        os.close(self._ends.pop("reader"))

    def write(self, value: T) -> None:
        """Leave something, once; a process that has come to grief meanwhile needs it no longer."""
        text = pickle.dumps(value)
        self._file.write(text)
        self._file.flush()
        with suppress(BrokenPipeError):
            os.write(self._ends["writer"], len(text).to_bytes(8, "big"))

    def is_there(self) -> bool:
        """Whether reading would not have to wait."""
        return bool(select.select([self._ends["reader"]], [], [], 0.0)[0])

    def read(self) -> T | None:
        """Wait for what was left; None if the other process died before."""
        length = os.read(self._ends["reader"], 8)
        if not length:
            return None
        value: T = pickle.loads(os.pread(self._file.fileno(), int.from_bytes(length, "big"), 0))
        return value

    def close(self) -> None:
        """Give back what it holds."""
        self._file.close()
        for end in self._ends.values():
            os.close(end)
