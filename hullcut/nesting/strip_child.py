"""The child process that lays outlines into a strip: one task on standard input, one answer on standard output.

It stands alone, so that the parent can end it at any time, and so that a panic of the library ends nothing else.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from typing import Any

__all__ = ["main"]

#: seconds between looks at the solver's reports.
_LOOK = 0.02
#: share of the time for the search at large; the rest is for pushing what it found together.
_SEARCH = 0.54


def _told(width: float, placed: Any) -> None:  # noqa: ANN401 - the library's own values
    answer = {"width": width, "placed": [[item.id, item.rotation, *item.translation] for item in placed]}
    sys.stdout.write(json.dumps(answer))
    sys.stdout.flush()


def main() -> None:
    """Read a task, solve it, write the answer; leave early once the strip is short enough."""
    import spyrrow

    task = json.load(sys.stdin)
    items = [
        spyrrow.Item(name, [(x, y) for x, y in shape], demand, angles) for name, shape, demand, angles in task["items"]
    ]
    instance = spyrrow.StripPackingInstance("strip", task["height"], items)
    seconds = task["seconds"]
    config = spyrrow.StripPackingConfig(
        exploration_time=max(1, round(seconds * _SEARCH)),
        compression_time=max(1, round(seconds * (1.0 - _SEARCH))),
        total_computation_time=None,
        num_workers=1,
        seed=task["seed"],
    )
    queue = spyrrow.ProgressQueue()

    def watch() -> None:
        ends = time.monotonic() + seconds
        while time.monotonic() < ends:
            for kind, solution in queue.drain():
                feasible = kind in (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas)
                if feasible and solution.width <= task["enough"]:
                    _told(solution.width, solution.placed_items)
                    os._exit(0)
            time.sleep(_LOOK)
        # What is not short enough by now is of no use to anybody.
        os._exit(1)

    if task["enough"] is not None:
        threading.Thread(target=watch, daemon=True).start()
    found = instance.solve(config, queue)
    _told(found.width, found.placed_items)
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
