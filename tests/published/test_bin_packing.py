"""Plans and bounds held against the best-known values of classic bin packing instances (sources in the data file).

Here a fixed part of them; `tests/benchmarks/test_nesting.py` goes through all 250 and prints the table by class.
"""

import pytest

from hullcut.nesting.lay_out import lay_out
from tests.published.nesting_data import bin_packing, bin_packing_order, rules

#: every twelfth instance, the small ones of them.
SOME = [instance for instance in bin_packing()[::12] if len(instance["items"]) <= 60]


def sheets_and_bound(instance, turned, cutting, effort):
    layout = lay_out(*bin_packing_order(instance, turned), rules(cutting, effort))
    length, width = instance["bin"]
    return len(layout.sheets), layout.bounds[0].at_least / (length * width)


@pytest.mark.parametrize("turned", [False, True])
def test_through_cuts_come_near_the_best_known_three_stage_plans(turned):
    found = best = 0
    for instance in SOME:
        sheets, bound = sheets_and_bound(instance, turned, "through", "normal")
        known = instance["best"]["three-stage", turned]
        # A plan of any number of stages may use fewer sheets than three stages can.
        assert bound <= min(known, sheets) + 1e-6
        found += sheets
        best += known
    assert found <= 1.02 * best


@pytest.mark.parametrize("turned", [False, True])
def test_the_quick_plan_placed_anyhow(turned):
    found = best = 0
    for instance in bin_packing()[::4]:
        sheets, bound = sheets_and_bound(instance, turned, "shape", "quick")
        known = instance["best"]["free", turned]
        assert bound <= known + 1e-6
        assert sheets >= known
        found += sheets
        best += known
    assert found <= 1.025 * best


def test_the_instances_are_all_there():
    every = bin_packing()
    assert len(every) == 250
    assert len({instance["class"] for instance in every}) == 10
    # The totals of the best-known values over these 250.
    assert sum(instance["best"]["free", False] for instance in every) == 3574
    assert sum(instance["best"]["free", True] for instance in every) == 3437
    assert len(SOME) >= 8
