"""Sharing work between two processes, where the machine can."""

from __future__ import annotations

import multiprocessing
import os
import signal
import warnings
from itertools import chain
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

__all__ = [
    "MOST",
    "awaited",
    "can_share",
    "drawn",
    "ended",
    "heaviest_first",
    "only_here",
    "queue",
    "share_out",
    "started",
    "stop",
]

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
    if len(tasks) < 2 or not can_share():
        return [task() for task in tasks]
    order = heaviest_first(weights)
    waiting = queue(order[2:])

    def help_out() -> dict[int, T]:
        return {index: tasks[index]() for index in chain(order[1:2], drawn(waiting))}

    helped: dict[int, T] | None
    receiver, helper = started(help_out)
    try:
        results = {index: tasks[index]() for index in chain(order[:1], drawn(waiting))}
        if ended_early is not None and any(ended_early(result) for result in results.values()):
            stop(helper)
        helped = awaited(receiver, helper, ended_early is not None)
    finally:
        os.close(waiting)
        ended(receiver, helper)
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
_BYTES, MOST = 4, 128


def heaviest_first(weights: Sequence[float]) -> list[int]:
    """Numbers of tasks in the order in which they are to be done."""
    return sorted(range(len(weights)), key=lambda index: (-weights[index], index))


def queue(order: Sequence[int]) -> int:
    """A pipe that holds the tasks' numbers: whoever reads a number has that task. Returns its reading end."""
    reader, writer = os.pipe()
    # So few bytes fit into any pipe at once, and a read of one number is never torn.
    os.write(writer, b"".join(index.to_bytes(_BYTES, "big") for index in order[:MOST]))
    os.close(writer)
    return reader


def drawn(waiting: int) -> Iterator[int]:
    """The numbers drawn from a queue until it is empty."""
    while number := os.read(waiting, _BYTES):
        yield int.from_bytes(number, "big")


def can_share() -> bool:
    """Whether a second process is of use, and can be had by copying this one."""
    return (os.cpu_count() or 1) > 1 and "fork" in multiprocessing.get_all_start_methods()


def started(work: Callable[[], T]) -> tuple[Connection, BaseProcess]:
    """A helping process that does some work; its result is sent to the connection."""
    context = multiprocessing.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    helper = context.Process(target=_help, args=(sender, work), daemon=True)
    with warnings.catch_warnings():
        # Copying a process that has threads is safe here: the copy only computes, and touches none of their locks.
        warnings.simplefilter("ignore", DeprecationWarning)
        helper.start()
    sender.close()
    return receiver, helper


def ended(receiver: Connection, helper: BaseProcess) -> None:
    """Make an end of a helper that is no longer needed."""
    receiver.close()
    if helper.is_alive():
        helper.kill()
    helper.join()


def _help(sender: Connection, work: Callable[[], T]) -> None:
    """Do what falls to the helper and send it; on any fault send nothing, and the parent does the work itself."""
    try:
        # A key that stops the parent does not reach the helper by itself: the parent decides.
        os.setpgid(0, 0)
        # Started in the background of a shell, hullcut would hand down that interrupts are ignored.
        signal.signal(signal.SIGINT, signal.default_int_handler)
        sender.send(work())
    except BaseException:
        os._exit(1)
    finally:
        sender.close()


def stop(helper: BaseProcess) -> None:
    """Tell a helper that a person has stopped the work."""
    if helper.pid is not None and helper.is_alive():
        os.kill(helper.pid, signal.SIGINT)


def awaited(receiver: Connection, helper: BaseProcess, stops: bool) -> Any:  # noqa: ANN401 - whatever it works out
    """What the helper sends; None where it came to grief.

    Where its tasks end early when stopped, a stop while waiting is handed on to it.
    """
    try:
        return _received(receiver)
    except KeyboardInterrupt:
        if not stops:
            raise
    stop(helper)
    found = _received(receiver)
    if found is None:
        raise KeyboardInterrupt
    return found


def _received(receiver: Connection) -> Any:  # noqa: ANN401 - whatever it works out
    try:
        return receiver.recv()
    except (EOFError, OSError):
        return None
