"""Sharing work between two processes, where the machine can."""

from __future__ import annotations

import multiprocessing
import os
import warnings
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from multiprocessing.connection import Connection

__all__ = ["share_out"]

T = TypeVar("T")


def share_out(tasks: Sequence[Callable[[], T]]) -> list[T]:
    """Run tasks that depend on nothing but what they were given; every second one in a helping process.

    The results are those of running the tasks one after another. Without a second processor, or where processes
    cannot be copied, that is what happens; likewise for the helper's share if the helper comes to grief.

    Args:
        tasks: each a function without arguments whose result can be sent between processes.

    Returns:
        The results in the order of the tasks.
    """
    if len(tasks) < 2 or not _can_share():
        return [task() for task in tasks]
    context = multiprocessing.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)
    helper = context.Process(target=_help, args=(sender, tasks[1::2]), daemon=True)
    with warnings.catch_warnings():
        # Copying a process that has threads is safe here: the copy only computes, and touches none of their locks.
        warnings.simplefilter("ignore", DeprecationWarning)
        helper.start()
    sender.close()
    try:
        own = [task() for task in tasks[0::2]]
        helped: list[T] | None = _received(receiver)
    finally:
        receiver.close()
        if helper.is_alive():
            helper.kill()
        helper.join()
    if helped is None:
        helped = [task() for task in tasks[1::2]]
    results = [*own, *helped]
    results[0::2], results[1::2] = own, helped
    return results


def _can_share() -> bool:
    return (os.cpu_count() or 1) > 1 and "fork" in multiprocessing.get_all_start_methods()


def _help(sender: Connection, tasks: Sequence[Callable[[], T]]) -> None:
    """Run the helper's share and send it; on any fault send nothing, and the parent does the work itself."""
    try:
        sender.send([task() for task in tasks])
    except BaseException:
        os._exit(1)
    finally:
        sender.close()


def _received(receiver: Connection) -> list[T] | None:
    try:
        result: list[T] = receiver.recv()
    except (EOFError, OSError):
        return None
    return result
