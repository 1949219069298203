"""Rulings between chine and sheer: known families, flat stretches, warp, refusals and advice."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.hull.ruled_panel import ruled_panel
from hullcut.hull.ruled_surface import ruled_surface
from hullcut.hull.ruling_advice import MOST_MOVE_MM, advise
from hullcut.hull.ruling_search import WARP_LIMIT_DEG, search_rulings
from hullcut.hull.spline_curve import space_curve
from hullcut.hull.strip_development import develop_strips

X = np.linspace(0.0, 1000.0, 11)


def lines(bulge=0.0, station=5):
    chine = np.column_stack([X, 130.0 - 6e-5 * (X - 200.0) ** 2, 2e-5 * X**2])
    sheer = np.column_stack([X, 165.0 - 6e-5 * (X - 200.0) ** 2, np.full(11, 150.0)])
    sheer[station, 1] += bulge
    return chine, sheer


def search(chine, sheer, **more):
    return search_rulings(space_curve(chine), space_curve(sheer), **more)


def test_the_rulings_of_a_cone_all_meet_its_apex():
    apex = np.array([-1500.0, -200.0, -900.0])
    chine = np.column_stack([X, 150.0 - 1e-4 * X**2, 2e-5 * X**2])
    family = search(chine, apex + 1.06 * (chine - apex))
    assert family.kind == "developable"
    assert family.worst_warp < 1e-6
    there = np.abs(family.at_sheer - apex[0] - 1.06 * (family.at_chine - apex[0]))
    assert there[family.needed].max() < 1e-6


@pytest.mark.parametrize("flare", [0.0, 30.0])
def test_where_any_ruling_does_they_go_straight_across(flare):
    """A flat side: no warp anywhere, so fairness alone decides."""
    chine = np.column_stack([X, np.full(11, 150.0), np.zeros(11)])
    family = search(chine, chine + np.array([0.0, flare, 120.0]))
    assert family.worst_warp < 1e-9
    assert np.abs(family.at_sheer - family.at_chine).max() < 1e-3
    surface = ruled_surface(family)
    assert surface.refusal(8.0) is None
    assert surface.tightest_bend(0.0).radius > 1e7


def test_rulings_run_forward_on_both_curves_and_cover_the_side():
    for bulge in (0.0, 4.0, 14.0):
        family = search(*lines(bulge))
        assert np.diff(family.at_chine).min() > 0.0
        assert np.diff(family.at_sheer).min() > 0.0
        for at in (family.at_chine, family.at_sheer):
            assert at[0] <= 0.0
            assert at[-1] >= 1000.0


def test_a_bulge_is_warped_there_and_refused_past_the_limit():
    family = search(*lines(14.0))
    assert family.kind == "warped"
    assert family.worst_warp > WARP_LIMIT_DEG
    assert abs(family.worst_x - X[5]) < 120.0
    found = family.refusal()
    assert found is not None
    assert f"{family.worst_warp:.1f} degrees" in found.problem
    assert found.remedy
    assert family.refusal(limit=family.worst_warp + 0.1) is None


def test_advice_is_the_least_move_that_helps():
    chine, sheer = lines(14.0)
    move = advise(chine, sheer)
    assert move is not None
    assert 1.0 <= move.distance <= MOST_MOVE_MM
    assert move.warp <= WARP_LIMIT_DEG
    assert move.words().startswith(f"move the {move.line} {move.way} {move.distance:.0f} mm at station {move.station} ")
    axis, sign = {"out": (1, 1.0), "in": (1, -1.0), "up": (2, 1.0), "down": (2, -1.0)}[move.way]
    for less, helps in ((0.0, True), (1.0, False)):
        tried = {"chine": chine.copy(), "sheer": sheer.copy()}
        tried[move.line][move.station - 1, axis] += sign * (move.distance - less)
        assert (search(tried["chine"], tried["sheer"], count=61).worst_warp <= WARP_LIMIT_DEG) is helps
    assert lines(14.0)[1][5, 1] == sheer[5, 1]


def test_no_advice_where_none_is_needed():
    assert advise(*lines(0.0)) is None


@pytest.mark.parametrize("split", ["up", "down"])
def test_strips_keep_every_length(split):
    rng = np.random.default_rng(2)
    low = np.column_stack([np.arange(6.0) * 50.0, rng.normal(0.0, 4.0, 6), rng.normal(0.0, 4.0, 6)])
    high = low + np.array([0.0, 10.0, 100.0]) + rng.normal(0.0, 5.0, (6, 3))
    a, b = develop_strips(low, high, split)
    ends = ((low, high, a, b), (low[1:], low[:-1], a[1:], a[:-1]), (high[1:], high[:-1], b[1:], b[:-1]))
    diagonal = (high[1:], low[:-1], b[1:], a[:-1]) if split == "up" else (low[1:], high[:-1], a[1:], b[:-1])
    for one, other, flat_one, flat_other in (*ends, diagonal):
        space = np.linalg.norm(one - other, axis=1)
        assert np.abs(space - np.linalg.norm(flat_one - flat_other, axis=1)).max() < 1e-9


@given(
    breadth=st.floats(80.0, 220.0),
    flare=st.floats(-10.0, 90.0),
    depth=st.floats(60.0, 180.0),
    taper=st.floats(0.0, 1.0),
    power=st.floats(1.6, 4.0),
    rise=st.floats(0.0, 80.0),
    sheer_rise=st.floats(0.0, 60.0),
    rake=st.floats(-60.0, 120.0),
    stations=st.integers(3, 12),
)
@settings(max_examples=80, deadline=None, derandomize=True)
def test_any_sensible_pair_of_curves_gives_a_side_or_a_refusal(
    breadth, flare, depth, taper, power, rise, sheer_rise, rake, stations
):
    share = np.linspace(0.0, 1.0, stations)
    chine = np.column_stack([900.0 * share, breadth * (1.0 - taper * share**power), min(rise, 0.7 * depth) * share**2])
    out = (breadth + flare) * (1.0 - taper * share ** (power + 0.4))
    sheer = np.column_stack([(900.0 + rake) * share, out, depth + sheer_rise * share**2])
    family = search(chine, sheer)
    assert np.diff(family.at_chine).min() > 0.0
    assert np.diff(family.at_sheer).min() > 0.0
    surface = ruled_surface(family)
    refused = surface.refusal(6.0)
    if refused is not None:
        assert refused.problem
        assert refused.remedy
        return
    assert family.worst_warp <= WARP_LIMIT_DEG
    panel = ruled_panel(surface, 6.0, 0.0, port=True)
    at = np.linspace(surface.start, surface.stop, 40)
    up = surface.frame(at)[:, 9] * np.linspace(0.0, 1.0, 40)
    foot = np.interp(at, surface.frame.knots, family.at_chine) / 900.0
    head = np.interp(at, surface.frame.knots, family.at_sheer) / (900.0 + rake)
    share = foot + (head - foot) * np.linspace(0.0, 1.0, 40)
    within = (share >= 0.0) & (share <= 1.0)
    assert within.sum() > 20
    for offset in (-3.0, 0.0, 3.0):
        points = surface.point(at[within], up[within], offset - 3.0)
        laid = panel.to_flat(points)
        assert np.abs(laid[:, 2] - offset).max() < 1e-6
        assert np.abs(panel.to_space(laid[:, :2], laid[:, 2]) - points).max() < 1e-6
