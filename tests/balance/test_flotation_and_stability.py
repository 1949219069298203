"""Flotation of the samples: equilibrium, righting arms, freeboard, foam, and what is told of them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trial_boats import NAMES, built, changed, designs, sample

from hullcut.balance.arrange import next_arrangement, same_places
from hullcut.balance.boat_balance import ballast_for
from hullcut.balance.flotation import rest, righting_arms
from hullcut.balance.sections import hull_sections, immersed
from hullcut.balance.swamped import MARGIN, round_length
from hullcut.balance.weights import Weight, centre_of_gravity, pitch_inertia
from hullcut.errors import BuildError
from hullcut.pipeline import weigh
from hullcut.stock.outfit import allowances
from tests.packet.trial_bows import BOWS, design_of


@pytest.mark.parametrize("name", NAMES)
def test_weight_and_buoyancy_balance(name):
    balance = built(name).balance
    lies = balance.flotation
    assert lies.volume * lies.water.density * 1e-6 == pytest.approx(balance.mass, rel=1e-7)
    tilt = np.array([np.tan(np.radians(lies.trim)), -np.tan(np.radians(lies.heel)), 1.0])
    away = np.array(lies.buoyancy) - np.array(balance.cg)
    assert np.cross(away, tilt / np.linalg.norm(tilt))[:2] == pytest.approx([0.0, 0.0], abs=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_the_righting_arm_starts_with_the_slope_gm(name):
    boat = built(name)
    balance, lies = boat.balance, boat.balance.flotation
    cg = (balance.cg[0], 0.0, balance.cg[2])
    for sections in (hull_sections(boat.hull), hull_sections(boat.hull, 40.0)):
        heel = np.radians(0.25)
        state = rest(sections, balance.mass, cg, lies.water.density, heel)
        assert state.arm / np.sin(heel) == pytest.approx(lies.gm, rel=0.01)
    assert lies.arms[0].arm == pytest.approx(0.0, abs=1e-6)
    assert lies.arms[1].arm / np.sin(np.radians(5.0)) == pytest.approx(lies.gm, rel=0.03)


@pytest.mark.parametrize("name", NAMES)
def test_freeboard_and_first_opening_are_heights_over_the_tilted_water(name):
    boat = built(name)
    lies = boat.balance.flotation
    x = np.linspace(0.0, boat.hull.length, 101)
    high = boat.hull.sheer_height(x)
    half = boat.hull.half_breadth(x, high)
    tilt = np.array([np.tan(np.radians(lies.trim)), -np.tan(np.radians(lies.heel)), 1.0])
    up = tilt / np.linalg.norm(tilt)
    # The water's height along `up`: where the immersed volume is the boat's.
    sections = hull_sections(boat.hull)
    low, top = -50.0, 200.0
    for _ in range(60):
        middle = (low + top) / 2.0
        low, top = (middle, top) if immersed(sections, up, middle).volume < lies.volume else (low, middle)
    heights = np.concatenate([np.column_stack([x, side * half, high]) @ up - low for side in (1.0, -1.0)])
    assert lies.freeboard == pytest.approx(heights.min(), abs=0.05)
    decks = boat.design.decks
    open_x = (x >= decks.after_to) & (x <= decks.fore_from)
    assert lies.opening == pytest.approx(heights.reshape(2, -1)[:, open_x].min(), abs=0.5)
    assert lies.opening >= lies.freeboard
    bottom = boat.hull.bottom_height(x[:1])
    chine = float(boat.hull.half_breadth(x[:1], bottom)[0])
    corners = np.column_stack([np.zeros(2), [chine, -chine], np.repeat(bottom, 2)])
    assert lies.draft == pytest.approx(low - (corners @ up).min(), abs=0.6)


def test_a_weight_to_port_heels_to_port_by_its_moment_over_gm():
    boat = built("bramblefin")
    balance = boat.balance
    sections = hull_sections(boat.hull)
    for y in (4.0, -4.0):
        state = rest(sections, balance.mass, (balance.cg[0], y, balance.cg[2]), 999.1)
        assert np.tan(state.heel) == pytest.approx(y / balance.flotation.gm, rel=0.01)


def test_sea_water_carries_the_boat_higher():
    fresh = built("bramblefin").balance
    sea = weigh(changed(sample("bramblefin"), water={"kind": "sea"})).balance
    assert sea.flotation.water.density == pytest.approx(1026.021, rel=1e-5)
    assert sea.flotation.draft == pytest.approx(fresh.flotation.draft * 999.103 / 1026.021, rel=0.01)


def test_what_is_too_heavy_sinks_and_says_so():
    boat = built("bramblefin")
    sections = hull_sections(boat.hull)
    most = immersed(sections, np.array([0.0, 0.0, 1.0]), 1e9).volume * 999.1e-6
    assert rest(sections, most * 1.01, boat.balance.cg, 999.1) is None
    # With its weight under the middle of the whole hull it just floats; with the weight aft its stern goes under.
    assert rest(sections, most * 0.95, (472.0, 0.0, 60.0), 999.1, 0.0) is not None
    assert rest(sections, most * 0.95, boat.balance.cg, 999.1, 0.0) is None


def test_a_search_that_does_not_settle_is_told(monkeypatch):
    boat = built("bramblefin")
    monkeypatch.setattr("hullcut.balance.flotation._ROUNDS", 2)
    with pytest.raises(BuildError, match="does not settle; check the weights"):
        rest(hull_sections(boat.hull, 40.0), boat.balance.mass, boat.balance.cg, 999.1)


def test_a_boat_upside_down_has_an_arm_of_nothing():
    boat = built("bramblefin")
    lies = boat.balance.flotation
    arms = righting_arms(hull_sections(boat.hull, 40.0), boat.balance.mass, boat.balance.cg, lies.water.density)
    assert arms[-1].heel == 180.0
    assert abs(arms[-1].arm) < 0.5
    crossed = next(i for i, arm in enumerate(arms) if i and arm.arm <= 0.0)
    assert arms[crossed - 1].heel <= lies.vanishes <= arms[crossed].heel
    heels, heights = [arm.heel for arm in arms], [arm.arm for arm in arms]
    assert np.interp(lies.vanishes, heels, heights) == pytest.approx(0.0, abs=1e-6)


def test_inertia_and_contingency():
    rods = [Weight("a", 100.0, 0.0, 0.0, 0.0, span=12.0), Weight("b", 100.0, 200.0, 0.0, 0.0, span=12.0)]
    assert pitch_inertia(rods) == pytest.approx(200.0 * (100.0**2 + 12.0))
    for name in NAMES:
        table = built(name).balance.weights
        *known, extra = table
        assert extra.name == "Contingency"
        assert extra.mass == pytest.approx(allowances().contingency * sum(each.mass for each in known))
        assert centre_of_gravity(known)[1:] == pytest.approx(centre_of_gravity(table)[1:])
        assert pitch_inertia(table) == pytest.approx(1.1 * pitch_inertia(known), rel=1e-9)


def test_ballast_brings_the_balance_point_where_it_is_wanted():
    for x, wanted in ((400.0, 352.0), (330.0, 352.0)):
        found = ballast_for(8000.0, x, wanted, 35.0, 900.0)
        assert (8000.0 * x + found.mass * found.x) / (8000.0 + found.mass) == pytest.approx(wanted)
        assert found.mass > 0.0
    assert ballast_for(8000.0, 352.5, 352.0, 35.0, 900.0) is None


@pytest.mark.parametrize("name", NAMES)
def test_a_swamped_boat_floats_on_its_foam_with_neither_end_hanging(name):
    boat = built(name)
    balance, need = boat.balance, boat.balance.foam
    lift = (balance.flotation.water.density - boat.design.foam.density) / 1000.0
    for upright in (True, False):
        grams = moment = 0.0
        for each in balance.weights:
            dry = each.z > boat.hull.depth if upright else each.z < 0.0
            soaked = each.mass * (1.0 + allowances().soaking) if each.kind == "part" else each.mass
            net = soaked - (0.0 if dry else each.volume * balance.flotation.water.density * 1e-6)
            net *= MARGIN if net > 0.0 else 1.0
            grams, moment = grams + net, moment + net * each.x
        # What either end must carry, as two supports carry a beam.
        reach = need.fore_x - need.aft_x
        fore = (moment - grams * need.aft_x) / reach
        assert need.fore * lift * 1000.0 >= fore - 1e-6
        assert need.aft * lift * 1000.0 >= grams - fore - 1e-6
        assert (need.fore + need.aft) * lift * 1000.0 >= grams - 1e-6
    assert need.total > 0.0


def test_round_foam_less_its_bore():
    # A tube of 64 mm with a bore of 22: pi/4 (64^2 - 22^2) mm2.
    assert round_length(1.0, 64.0, 22.0) == pytest.approx(1e6 / (np.pi / 4.0 * (64.0**2 - 22.0**2)))
    foam = sample("bramblefin").foam
    need = built("bramblefin").balance.foam
    volume = np.pi / 4.0 * (foam.diameter**2 - foam.bore**2) * need.aft_round * 1e-6
    assert volume == pytest.approx(need.aft)


@given(design=designs(), mass=st.integers(1500, 3200), point=st.floats(0.28, 0.40))
@settings(max_examples=8, deadline=None, derandomize=True)
def test_the_places_settle_over_random_hulls_or_it_says_why_not(design, mass, point):
    design = changed(design, engine={"mass": float(mass)}, balance={"point": point})
    try:
        boat = weigh(design)
    except BuildError as error:
        told = str(error)
    else:
        told = ""
    if told:
        assert "; " in told
        return
    again = next_arrangement(design, boat.parts, boat.arrangement)
    assert same_places(boat.arrangement, again)
    assert boat.balance.cg[0] == pytest.approx(boat.arrangement.balance_x, abs=0.2)
    lies = boat.balance.flotation
    if lies is None:
        assert any(check.status == "fail" for check in boat.checks)
    elif abs(lies.heel) < 5.0:
        assert lies.volume * lies.water.density * 1e-6 == pytest.approx(boat.balance.mass, rel=1e-6)


@pytest.mark.parametrize("bow", BOWS)
def test_the_places_settle_with_every_bow(bow):
    boat = weigh(design_of(BOWS[bow]))
    assert same_places(boat.arrangement, next_arrangement(boat.design, boat.parts, boat.arrangement))
    lies = boat.balance.flotation
    assert lies.volume * lies.water.density * 1e-6 == pytest.approx(boat.balance.mass, rel=1e-6)
    assert 0.0 < lies.freeboard < boat.hull.depth
    assert lies.gm > 0.0


def test_places_that_do_not_settle_are_told(monkeypatch):
    import hullcut.pipeline as pipeline

    def restless(design, parts, now, known=None):
        return dataclasses.replace(now, plate_x=now.plate_x + 1.0)

    monkeypatch.setattr(pipeline, "next_arrangement", restless)
    with pytest.raises(BuildError, match=r"do not settle; fix engine\.plate_at"):
        weigh(sample("bramblefin"))
