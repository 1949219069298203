"""Every published nesting instance, and orders of many boats: the tables of figures, printed.

Run with `pytest tests/benchmarks/test_nesting.py -n 0 --benchmark-enable -s`; it takes several minutes. Times are
those of this process on one core (irregular strips and orders of boats: of the clock, with two cores free).
"""

import statistics
import time
from dataclasses import replace
from pathlib import Path

import pytest

from hullcut.design.reader import read_order
from hullcut.design.values import Stock
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.offer import usual_stock
from hullcut.nesting.strip import Outline, pack_strip
from hullcut.nesting.values import Piece, Rules
from hullcut.pipeline import build
from hullcut.stock.woods import wood
from tests.published.nesting_data import bin_packing, bin_packing_order, irregular, piece, rules, several_sizes, sheet

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"
#: length, width, price of the five sizes of sheet; the prices are invented.
FIVE = ((2440, 1220, 100.0), (1220, 1220, 55.0), (1220, 610, 30.0), (610, 610, 17.0), (1525, 1525, 85.0))
#: length, width, count of the leftovers of each plywood.
RACK = ((1220, 700, 1), (900, 400, 2))


@pytest.fixture(autouse=True)
def only_when_asked_for(request):
    if not request.config.getoption("--benchmark-enable"):
        pytest.skip("runs with --benchmark-enable")


def tell(*words):
    print(*words, flush=True)  # noqa: T201 - the table is what this is for


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("cutting", "effort", "kind"), [("through", "normal", "three-stage"), ("shape", "quick", "free")]
)
def test_bin_packing(cutting, effort, kind, turned):
    totals, times = {}, []
    for instance in bin_packing():
        start = time.process_time()
        layout = lay_out(*bin_packing_order(instance, turned), rules(cutting, effort))
        times.append(time.process_time() - start)
        length, width = instance["bin"]
        bound = layout.bounds[0].at_least / (length * width)
        known = instance["best"][kind, turned]
        assert bound <= known + 1e-6
        row = totals.setdefault(instance["class"], [0, 0, 0.0])
        for place, value in enumerate((len(layout.sheets), known, bound)):
            row[place] += value
    tell(f"\n{cutting}, {effort}, {'turned' if turned else 'not turned'}: class, sheets, best known, bound")
    for name, row in totals.items():
        tell(name, *(round(value) for value in row))
    found, best, bound = (sum(row[place] for row in totals.values()) for place in range(3))
    tell(f"total {found} against {best} ({100 * (found / best - 1):.2f} %), bound {round(bound)}")
    tell(f"seconds: median {statistics.median(times):.3f}, worst {max(times):.3f}")
    assert found <= 1.02 * best


def test_several_sheet_sizes():
    for name, sizes, items, best, _ in several_sizes():
        pieces = [piece(f"{n}-{copy}", *size, "any") for n, (*size, count) in enumerate(items) for copy in range(count)]
        offers = [sheet(f"size-{n}", *each) for n, each in enumerate(sizes)]
        start = time.process_time()
        (bound,) = lay_out(pieces, offers, rules("through")).bounds
        tell(
            f"{name}: cost {bound.plan:.0f}, best two-stage {best}, bound {bound.at_least:.0f}, "
            f"gap {100 * (bound.plan / bound.at_least - 1):.2f} %, {time.process_time() - start:.1f} s"
        )
        assert bound.at_least <= bound.plan <= best


def test_irregular_strips():
    for each in irregular():
        outlines = [
            Outline(str(n), tuple((x, y) for x, y in points), count, tuple(angles))
            for n, (count, angles, points) in enumerate(each["items"])
        ]
        strip = pack_strip(outlines, each["height"], 30)
        assert strip is not None
        longer = 100 * (strip.length / each["best"] - 1)
        tell(f"{each['name']}: {strip.length:.2f} against {each['best']} ({longer:.1f} %)")


def stock(name, kind, material, thick, length, width, price, available=None):
    name = f"{name}-{kind}-{length}x{width}"
    return Stock(name, kind, material, thick, thick, length, width, "length", available, price, "invented")


def order(boats):
    """Pieces of so many boats of all samples in turn, and five sizes of sheet, boards, and leftovers."""
    names = ("bramblefin", "marshpenny", "ten_lines")
    plans = [build(read_order(SAMPLES / f"{name}.toml").designs[0]) for name in names]
    pieces = [
        Piece(part.id, f"boat-{n}", part.material, part.thickness, part.grain, part.flip, part.outline)
        for n in range(boats)
        for part in plans[n % 3].parts
        for _ in range(part.quantity)
    ]
    offers = []
    for material, thick in sorted({(each.material, each.thickness) for each in pieces}):
        name = f"{material}-{thick:.4g}"
        if wood(material).kind == "plywood":
            offers += [stock(name, "sheet", material, thick, *size) for size in FIVE]
            offers += [stock(name, "leftover", material, thick, *size, None, count) for *size, count in RACK]
        else:
            boards = usual_stock(material, thick, "inch", "solid")
            offers += [replace(each, price=round(each.length * each.width * 1e-5, 2)) for each in boards]
    return pieces, offers


@pytest.mark.parametrize("boats", [1, 3, 12, 60])
def test_orders(boats):
    pieces, offers = order(boats)
    start = time.perf_counter()
    layout = lay_out(pieces, offers, Rules("through", 3.2, 10.0, 6.0, "cost"))
    seconds = time.perf_counter() - start
    plan, least = (sum(getattr(bound, name) for bound in layout.bounds) for name in ("plan", "at_least"))
    tell(
        f"{boats} boats, {len(pieces)} pieces: {len(layout.sheets)} sheets and boards, cost {plan:.2f}, "
        f"at least {least:.2f}, gap {100 * (plan / least - 1):.2f} %, {seconds:.1f} s"
    )
    assert least <= plan
