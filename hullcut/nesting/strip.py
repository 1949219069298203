"""Outlines laid into a strip of given height by a library for irregular nesting, in a child process that can be ended.

The library is spyrrow. Its search is bounded by the clock, so the same task may give another answer; whoever uses one
keeps it. Nothing it gives is trusted: the caller checks every distance.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass

__all__ = ["Outline", "Strip", "pack_strip"]

Point = tuple[float, float]

#: of the searches that run side by side; two searches find more than one on two processors does.
_SEEDS = (1, 5)
#: seconds that a child may take above its own limit before it is ended.
_GRACE = 10.0
#: the library wants every outline a little lower than the strip.
_HEADROOM = 1e-3


@dataclass(frozen=True, slots=True)
class Outline:
    """An outline to be laid so many times.

    Attributes:
        name: one of its own.
        points: counter-clockwise, clean.
        count: how many.
        angles: degrees by which it may be turned.
    """

    name: str
    points: tuple[Point, ...]
    count: int
    angles: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """Outlines in a strip: (name, degrees turned about the origin, shift x, shift y) of each, and the length used."""

    length: float
    placed: tuple[tuple[str, float, float, float], ...]


def pack_strip(outlines: Sequence[Outline], height: float, seconds: int, enough: float | None = None) -> Strip | None:
    """Lay outlines into a strip that is as short as can be.

    Args:
        outlines: what is laid.
        height: of the strip.
        seconds: to look for.
        enough: stop as soon as the strip is no longer than this.

    Returns:
        None where the library failed or was ended.
    """
    task = {
        "items": [[each.name, each.points, each.count, each.angles] for each in outlines],
        "height": height + _HEADROOM,
        "seconds": seconds,
        "enough": enough,
    }
    seeds = _SEEDS[: os.cpu_count() or 1]
    command = [sys.executable, "-m", "hullcut.nesting.strip_child"]
    pipe = subprocess.PIPE
    children = [subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL) for _ in seeds]
    with ThreadPoolExecutor(len(children)) as threads:
        running = {
            threads.submit(_answer, child, {**task, "seed": seed}, seconds + _GRACE)
            for child, seed in zip(children, seeds, strict=True)
        }
        try:
            found = _awaited(running, enough is not None)
        finally:
            for child in children:
                child.kill()
    return min(found, key=lambda strip: strip.length, default=None)


def _awaited(running: set[Future[Strip | None]], first: bool) -> list[Strip]:
    """What the searches find; where the first that finds something is enough, the others are not waited for."""
    found: list[Strip] = []
    while running and not (first and found):
        done, running = wait(running, return_when=FIRST_COMPLETED)
        found += [strip for strip in (each.result() for each in done) if strip is not None]
    return found


def _answer(child: subprocess.Popen[bytes], task: Mapping[str, object], seconds: float) -> Strip | None:
    """What a child finds; None where it fails or takes longer than it may."""
    try:
        told, _ = child.communicate(json.dumps(task).encode(), timeout=seconds)
    except subprocess.TimeoutExpired:
        child.kill()
        child.communicate()
        return None
    if child.returncode != 0 or not told:
        return None
    answer = json.loads(told)
    placed = tuple((name, float(turn), float(x), float(y)) for name, turn, x, y in answer["placed"])
    return Strip(float(answer["width"]), placed)
