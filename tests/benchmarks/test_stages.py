"""How long each stage takes against one baseline measured in the same run: a sort of 200,000 numbers.

Run with `pytest tests/benchmarks --benchmark-enable --benchmark-columns=min,median`; the ratio to the baseline stands
under `extra_info` of `--benchmark-json`, and is printed with `-s`.
"""

import random
import time
from pathlib import Path

import numpy as np
import pytest

from hullcut.design.reader import read_order
from hullcut.hull.form import shape
from hullcut.hull.side_surface import _surface
from hullcut.pipeline import build, plan_file, weigh

SAMPLE = Path(__file__).resolve().parents[2] / "sample_designs" / "bramblefin.toml"


def baseline() -> float:
    numbers = list(range(200_000))
    random.Random(1).shuffle(numbers)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        sorted(numbers)
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture
def against_baseline(benchmark):
    def run(function, *given):
        result = benchmark.pedantic(function, args=given, rounds=3, warmup_rounds=1)
        if benchmark.stats is not None:
            ratio = benchmark.stats.stats.min / baseline()
            benchmark.extra_info["ratio to a sort of 200,000 numbers"] = round(ratio, 2)
            print(f"{function.__name__}: {ratio:.2f} times a sort of 200,000 numbers")  # noqa: T201
        return result

    return run


def test_read(against_baseline):
    assert against_baseline(read_order, SAMPLE).boats


def test_shape(against_baseline):
    assert against_baseline(shape, read_order(SAMPLE).designs[0]).length > 0.0


DEVELOPING_S = 0.050


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot", "ten_lines"])
def test_developing_the_panels_of_a_sample_takes_under_50_ms(benchmark, name):
    """Sides and bottom from the lines to flat drawings: rulings sought, surface framed, panels unrolled."""
    design = read_order(SAMPLE.parent / f"{name}.toml").designs[0]

    spent = []

    def develop():
        start = time.process_time()
        _surface.cache_clear()
        hull = shape(design)
        corner = np.array([[0.4 * hull.length, 0.0, 0.0]])
        laid = [panel.to_flat(corner) for panel in (hull.side_port, hull.side_starboard, hull.bottom)]
        spent.append(time.process_time() - start)
        return laid

    assert len(benchmark.pedantic(develop, rounds=9, warmup_rounds=1)) == 3
    if benchmark.stats is not None:
        # Of the processor's own time: what else the machine does at the moment does not count.
        assert min(spent) < DEVELOPING_S
        print(f"{name}: {1000.0 * min(spent):.1f} ms")  # noqa: T201


def test_build(against_baseline):
    assert against_baseline(build, read_order(SAMPLE).designs[0]).parts


def test_weigh(against_baseline):
    assert against_baseline(weigh, read_order(SAMPLE).designs[0]).balance.mass > 0.0


def test_plan(against_baseline):
    assert against_baseline(plan_file, SAMPLE).layout.sheets
