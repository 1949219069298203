"""Planing, friction, propeller, water and shaft against outside values; each source stands beside its check."""

import numpy as np
import pytest

from hullcut.balance.drive_line import critical_rpm, longest_span
from hullcut.balance.running import pitch_for, pitch_speed, slip_of
from hullcut.balance.savitsky import (
    PlaningBoat,
    flat_lift,
    friction_line,
    lift_with_deadrise,
    planing_runs,
    pressure_centre,
    runs_at_trim,
)
from hullcut.stock.outfit import density, steel_modulus
from hullcut.stock.water import water

POUND_FORCE, FOOT, KNOT = 4.4482216153, 0.3048, 0.514444
SLUG_A_CUBIC_FOOT = 515.378818

# D. Savitsky, Marine Technology 1(4), 1964, Table 1: the boat's sizes, all from memory; density and viscosity chosen.
EXAMPLE = PlaningBoat(
    weight=60_000 * POUND_FORCE,
    beam=14 * FOOT,
    lcg=29 * FOOT,
    vcg=2 * FOOT,
    deadrise=10.0,
    thrust_angle=4.0,
    thrust_below=0.5 * FOOT,
    density=1.94 * SLUG_A_CUBIC_FOOT,
    viscosity=1.28e-5 * FOOT**2,
    gravity=32.174 * FOOT,
)
SPEED = np.array([67.5 * FOOT])


def test_savitskys_example_prints_7340_pounds_of_friction():
    # Second-hand: a reader of the paper's Table 1 quotes "7.340" for the friction in row 10 (boatdesign.net, thread
    # 20210); the unit and the column of 2 degrees are inferred. Within 1 %, the paper's chart readings.
    run = runs_at_trim(EXAMPLE, SPEED, np.array([2.0]))
    assert run.friction[0] / POUND_FORCE == pytest.approx(7340.0, rel=0.01)


def test_savitskys_example_as_remembered():
    # All published figures here are from memory, of low confidence.
    run = planing_runs(EXAMPLE, SPEED)
    assert run.speed_coefficient[0] == pytest.approx(3.18, abs=0.005)
    assert run.lift[0] == pytest.approx(0.069, abs=0.0005)
    assert run.trim[0] == pytest.approx(2.3, abs=0.05)
    assert run.drag[0] / POUND_FORCE == pytest.approx(9000.0, rel=0.01)
    power = run.drag[0] / POUND_FORCE * 67.5 / 550.0
    assert power == pytest.approx(1100.0, rel=0.015)
    for trim, wetted in ((2.0, 3.85), (3.0, 2.60), (4.0, 1.80)):
        assert runs_at_trim(EXAMPLE, SPEED, np.array([trim])).wetted[0] == pytest.approx(wetted, rel=0.02)


def test_unit_values_of_the_planing_equations():
    # Worked out from the equations by hand calculator, to 1e-6: they check the code, not the equations.
    flat = flat_lift(4.0, 2.0, 4.0)
    assert flat == pytest.approx(0.0869110, abs=1e-6)
    assert lift_with_deadrise(flat, 10.0) == pytest.approx(0.0719018, abs=1e-6)
    assert pressure_centre(2.0, 4.0) == pytest.approx(0.7069522, abs=1e-6)


# Reckoned once by a separate script from the same equations (not published): 6 kg, beam 0.28 m, fresh water at 20.
@pytest.mark.parametrize(
    ("speed", "trim", "wetted", "drag"),
    [(4.0, 3.745, 1.971, 9.08), (5.0, 2.802, 1.878, 10.49), (6.0, 2.132, 1.834, 12.65), (8.0, 1.333, 1.800, 18.92)],
)
def test_a_model_boat_by_another_hand(speed, trim, wetted, drag):
    boat = PlaningBoat(6 * 9.80665, 0.28, 0.36, 0.05, 0.0, 5.0, 0.03, 998.207, 1.0034e-6, 9.80665)
    run = planing_runs(boat, np.array([speed]))
    assert run.trim[0] == pytest.approx(trim, abs=0.001)
    assert run.wetted[0] == pytest.approx(wetted, abs=0.001)
    assert run.drag[0] == pytest.approx(drag, abs=0.006)


# ITTC-1957 line as printed in Introduction to Naval Architecture, table 8.3, page 191 (digilib copy); the last row is
# the worked example of NPL Ship Report 142 (1970). Within 0.1 %.
@pytest.mark.parametrize(
    ("reynolds", "printed"),
    [
        (1e5, 8.333e-3),
        (1e6, 4.688e-3),
        (5e6, 3.397e-3),
        (1e7, 3.000e-3),
        (1e8, 2.085e-3),
        (1e9, 1.531e-3),
        (5.62e6, 3.325e-3),
    ],
)
def test_the_friction_line(reynolds, printed):
    assert friction_line(reynolds) == pytest.approx(printed, rel=1e-3)
    assert friction_line(reynolds) == pytest.approx(0.075 / (np.log10(reynolds) - 2.0) ** 2, rel=1e-12)


def test_the_printed_propeller_example():
    # kencook.net/Propperf: 25 in of pitch at 6000 turns through a gear of 1.86 make 76.3 mph; at 68 mph 10.9 % slip.
    mph = 0.44704
    turns = 6000.0 / 1.86
    assert pitch_speed(25.0 * 25.4, turns) / mph == pytest.approx(76.3, rel=2e-3)
    assert slip_of(25.0 * 25.4, turns, 68.0 * mph) == pytest.approx(0.109, rel=1e-2)


def test_a_model_propeller():
    # Plain arithmetic: 60 mm of pitch at 8000 turns go 8 m/s; at 6 m/s a quarter of that slips.
    assert pitch_speed(60.0, 8000.0) == pytest.approx(8.0, rel=1e-12)
    assert slip_of(60.0, 8000.0, 6.0) == pytest.approx(0.25, rel=1e-12)
    assert pitch_for(6.0, 8000.0, 0.25) == pytest.approx(60.0, rel=1e-12)


# lsbu.ac.uk water data: fresh water, kg/m3 and mPa s.
@pytest.mark.parametrize(("degrees", "kg", "mpas"), [(10, 999.7, 1.307), (20, 998.2, 1.002), (30, 995.7, 0.797)])
def test_fresh_water(degrees, kg, mpas):
    found = water("fresh", degrees)
    assert found.density == pytest.approx(kg, rel=1e-4)
    assert found.viscosity == pytest.approx(mpas * 1e-3 / kg, rel=1.5e-3)


def test_water_of_the_towing_tanks():
    # Fresh at 15 degrees, the older tank standard: 1.13902e-6 m2/s (NPL Ship Report 142). Sea at 15 degrees
    # 1.189e-6 m2/s (a ship calculator's page); 1026.021 kg/m3 is the ITTC table's figure, from memory.
    assert water("fresh", 15.0).viscosity == pytest.approx(1.13902e-6, rel=1e-3)
    assert water("sea", 15.0).viscosity == pytest.approx(1.189e-6, rel=1.5e-2)
    assert water("sea", 15.0).density == pytest.approx(1026.021, rel=1e-4)


# Computed with two general libraries (IAPWS-95; TEOS-10 with Sharqawy's viscosity ratio), not printed anywhere read.
TABLE = [(5, 999.967, 1.5182e-6, 1027.722, 1.576e-6), (15, 999.103, 1.1386e-6, 1026.021, 1.1892e-6)]
TABLE += [(25, 997.048, 8.927e-7, 1023.387, 9.372e-7)]


@pytest.mark.parametrize(("degrees", "fresh", "fresh_nu", "sea", "sea_nu"), TABLE)
def test_the_water_table(degrees, fresh, fresh_nu, sea, sea_nu):
    one, other = water("fresh", degrees), water("sea", degrees)
    assert (one.density, one.viscosity) == pytest.approx((fresh, fresh_nu), rel=1e-6)
    assert (other.density, other.viscosity) == pytest.approx((sea, sea_nu), rel=1e-6)
    between = water("fresh", degrees + 2.5) if degrees < 30 else one
    assert between.density < one.density


def test_the_critical_speed_of_a_rod_on_two_supports():
    # S. Timoshenko, Vibration Problems in Engineering, hinged beam: w1 = (pi/L)2 sqrt(EI / (rho A)), from memory. Held
    # against a beam cut into small pieces, whose lowest frequency a general eigenvalue routine (numpy) finds.
    diameter, span, pieces = 6.35e-3, 0.26, 400
    stiffness = steel_modulus() * 1e9 * np.pi / 64.0 * diameter**4
    mass = density("steel") * np.pi / 4.0 * diameter**2
    step = span / pieces
    second = np.diag(-2.0 * np.ones(pieces - 1)) + np.diag(np.ones(pieces - 2), 1) + np.diag(np.ones(pieces - 2), -1)
    lowest = np.sqrt(np.linalg.eigvalsh(second @ second)[0] * stiffness / mass) / step**2
    assert critical_rpm(6.35, 260.0) == pytest.approx(lowest * 60.0 / (2.0 * np.pi), rel=1e-4)


def test_a_quarter_inch_rod_at_8000_turns_wants_bearings_260_mm_apart():
    # Common practice's "about 260 mm" with a margin of 1.4; no source.
    assert longest_span(6.35, 8000.0) == pytest.approx(260.0, abs=3.0)
