"""Sharing work between two processes, where the machine can."""

from __future__ import annotations

import multiprocessing
import os
import signal
import warnings
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

__all__ = ["only_here", "share_out"]

T = TypeVar("T")


def share_out(
    tasks: Sequence[Callable[[], T]],
    weights: Sequence[float],
    ended_early: Callable[[T], bool] | None = None,
) -> list[T]:
    """Run tasks that depend on nothing but what they were given; some of them in a helping process.

    The results are those of running the tasks one after another. Without a second processor, or where processes
    cannot be copied, that is what happens; likewise for the helper's share if the helper comes to grief.

    Args:
        tasks: each a function without arguments whose result can be sent between processes.
        weights: about how long each takes; each process gets as nearly as may be half, the heaviest tasks first.
        ended_early: for tasks that end early with a result when a person stops them: whether a result tells of that.
            The helper is then told to stop too, instead of being given up.

    Returns:
        The results in the order of the tasks.
    """
    if len(tasks) < 2 or not _can_share():
        return [task() for task in tasks]
    mine, others = _halves(weights)
    helped: list[T] | None
    context = multiprocessing.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    helper = context.Process(target=_help, args=(sender, [tasks[index] for index in others]), daemon=True)
    with warnings.catch_warnings():
        # Copying a process that has threads is safe here: the copy only computes, and touches none of their locks.
        warnings.simplefilter("ignore", DeprecationWarning)
        helper.start()
    sender.close()
    try:
        results = {index: tasks[index]() for index in mine}
        if ended_early is not None and any(ended_early(result) for result in results.values()):
            _stop(helper)
        helped = _awaited(receiver, helper, ended_early is not None)
    finally:
        receiver.close()
        if helper.is_alive():
            helper.kill()
        helper.join()
    if helped is None:
        helped = [tasks[index]() for index in others]
    results |= dict(zip(others, helped, strict=True))
    return [results[index] for index in range(len(tasks))]


def only_here(progress: Callable[[str], None]) -> Callable[[str], None]:
    """Progress that a helping process keeps to itself: only this one has the terminal."""
    here = os.getpid()

    def tell(words: str) -> None:
        if os.getpid() == here:
            progress(words)

    return tell


def _halves(weights: Sequence[float]) -> tuple[list[int], list[int]]:
    """Numbers of the tasks of both hands, the heaviest first, each given to the hand that has less to do."""
    hands: tuple[list[int], list[int]] = ([], [])
    loads = [0.0, 0.0]
    for index in sorted(range(len(weights)), key=lambda index: (-weights[index], index)):
        lighter = 0 if loads[0] <= loads[1] else 1
        hands[lighter].append(index)
        loads[lighter] += weights[index]
    return hands


def _can_share() -> bool:
    return (os.cpu_count() or 1) > 1 and "fork" in multiprocessing.get_all_start_methods()


def _help(sender: Connection, tasks: Sequence[Callable[[], T]]) -> None:
    """Run the helper's share and send it; on any fault send nothing, and the parent does the work itself."""
    try:
        # A key that stops the parent does not reach the helper by itself: the parent decides.
        os.setpgid(0, 0)
        sender.send([task() for task in tasks])
    except BaseException:
        os._exit(1)
    finally:
        sender.close()


def _stop(helper: BaseProcess) -> None:
    if helper.pid is not None and helper.is_alive():
        os.kill(helper.pid, signal.SIGINT)


def _awaited(receiver: Connection, helper: BaseProcess, stops: bool) -> list[T] | None:
    """What the helper sends. Where its tasks end early when stopped, a stop while waiting is handed on to it."""
    try:
        return _received(receiver)
    except KeyboardInterrupt:
        if not stops:
            raise
    _stop(helper)
    found: list[T] | None = _received(receiver)
    if found is None:
        raise KeyboardInterrupt
    return found


def _received(receiver: Connection) -> list[T] | None:
    try:
        result: list[T] = receiver.recv()
    except (EOFError, OSError):
        return None
    return result
