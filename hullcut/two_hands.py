"""Sharing work between two processes, where the machine can."""

from __future__ import annotations

import multiprocessing
import os
import signal
import warnings
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
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

    Each of the two takes the heaviest task that is left as soon as it is free, this one the first. The results are
    those of running the tasks one after another. Without a second processor, or where processes cannot be copied, that
    is what happens; likewise for the helper's share if the helper comes to grief.

    Args:
        tasks: each a function without arguments whose result can be sent between processes.
        weights: about how long each takes.
        ended_early: for tasks that end early with a result when a person stops them: whether a result tells of that.
            The helper is then told to stop too, instead of being given up.

    Returns:
        The results in the order of the tasks.
    """
    if len(tasks) < 2 or not _can_share():
        return [task() for task in tasks]
    order = sorted(range(len(weights)), key=lambda index: (-weights[index], index))
    waiting = _queue(order[2:])
    helped: dict[int, T] | None
    context = multiprocessing.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    helper = context.Process(target=_help, args=(sender, tasks, order[1], waiting), daemon=True)
    with warnings.catch_warnings():
        # Copying a process that has threads is safe here: the copy only computes, and touches none of their locks.
        warnings.simplefilter("ignore", DeprecationWarning)
        helper.start()
    sender.close()
    try:
        results = {index: tasks[index]() for index in _drawn(order[0], waiting)}
        if ended_early is not None and any(ended_early(result) for result in results.values()):
            _stop(helper)
        helped = _awaited(receiver, helper, ended_early is not None)
    finally:
        os.close(waiting)
        receiver.close()
        if helper.is_alive():
            helper.kill()
        helper.join()
    results |= helped or {}
    return [results[index] if index in results else task() for index, task in enumerate(tasks)]


def only_here(progress: Callable[[str], None]) -> Callable[[str], None]:
    """Progress that a helping process keeps to itself: only this one has the terminal."""
    here = os.getpid()

    def tell(words: str) -> None:
        if os.getpid() == here:
            progress(words)

    return tell


# Length of a number in the queue, and so many numbers that any pipe takes them at once; further tasks stay with the
# parent.
_BYTES, _MOST = 4, 128


def _queue(order: Sequence[int]) -> int:
    """A pipe that holds the tasks' numbers: whoever reads a number has that task. Returns its reading end."""
    reader, writer = os.pipe()
    # So few bytes fit into any pipe at once, and a read of one number is never torn.
    os.write(writer, b"".join(index.to_bytes(_BYTES, "big") for index in order[:_MOST]))
    os.close(writer)
    return reader


def _drawn(first: int, waiting: int) -> Iterator[int]:
    """A first number, then those drawn from a pipe until it is empty."""
    yield first
    while number := os.read(waiting, _BYTES):
        yield int.from_bytes(number, "big")


def _can_share() -> bool:
    return (os.cpu_count() or 1) > 1 and "fork" in multiprocessing.get_all_start_methods()


def _help(sender: Connection, tasks: Sequence[Callable[[], T]], first: int, waiting: int) -> None:
    """Run what falls to the helper and send it; on any fault send nothing, and the parent does the work itself."""
    try:
        # A key that stops the parent does not reach the helper by itself: the parent decides.
        os.setpgid(0, 0)
        sender.send({index: tasks[index]() for index in _drawn(first, waiting)})
    except BaseException:
        os._exit(1)
    finally:
        sender.close()


def _stop(helper: BaseProcess) -> None:
    if helper.pid is not None and helper.is_alive():
        os.kill(helper.pid, signal.SIGINT)


def _awaited(receiver: Connection, helper: BaseProcess, stops: bool) -> dict[int, T] | None:
    """What the helper sends. Where its tasks end early when stopped, a stop while waiting is handed on to it."""
    try:
        return _received(receiver)
    except KeyboardInterrupt:
        if not stops:
            raise
    _stop(helper)
    found: dict[int, T] | None = _received(receiver)
    if found is None:
        raise KeyboardInterrupt
    return found


def _received(receiver: Connection) -> dict[int, T] | None:
    try:
        result: dict[int, T] = receiver.recv()
    except (EOFError, OSError):
        return None
    return result
