"""Hydrostatics against closed forms and printed examples; each source stands beside its check.

Closed forms are plane and solid geometry, worked out by hand. Printed examples were read in the books named. Nothing
here is from memory.
"""

import dataclasses

import numpy as np
import pytest

from hullcut.balance.flotation import rest, righting_arms
from hullcut.balance.sections import direction, immersed, sections_from

UP = np.array([0.0, 0.0, 1.0])


def box(length, beam, depth):
    return sections_from(
        np.array([0.0, length]),
        np.array([beam / 2, beam / 2, -beam / 2, -beam / 2]),
        np.array([0.0, depth, depth, 0.0]),
    )


def metacentric_radius(wet):
    return wet.inertia_across / wet.volume


def test_a_box_barge():
    # V = LBT, KB = T/2, BM = B2/(12T), BML = L2/(12T): the model boat formulas of holtcraft.com/stabilityp1 agree.
    wet = immersed(box(1000.0, 300.0, 120.0), UP, 50.0)
    assert wet.volume == pytest.approx(0.015e9, rel=1e-9)
    assert wet.centre == pytest.approx([500.0, 0.0, 25.0], abs=1e-9)
    assert metacentric_radius(wet) == pytest.approx(150.0, rel=1e-9)
    assert wet.inertia_along / wet.volume == pytest.approx(1666.6667, rel=1e-7)
    # Fresh water at 20 degrees: 998.207 kg/m3 gives 14.973 kg, and with KG 90 mm a GM of 85 mm.
    found = rest(box(1000.0, 300.0, 120.0), 14973.0, (500.0, 0.0, 90.0), 998.207)
    assert found.gm == pytest.approx(85.0, abs=0.01)
    assert found.height == pytest.approx(50.0, abs=0.001)
    assert found.trim == pytest.approx(0.0, abs=1e-9)


def test_the_printed_seamanship_example():
    # Nicholls's Seamanship, page 527 (archive.org): a box, beam 36 ft, draught 18 ft, has BM 6 ft and KM 15 ft.
    wet = immersed(box(100.0, 36.0, 30.0), UP, 18.0)
    assert metacentric_radius(wet) == pytest.approx(6.0, rel=1e-9)
    assert wet.centre[2] + metacentric_radius(wet) == pytest.approx(15.0, rel=1e-9)


def test_the_draught_of_least_metacentre():
    # Ship Stability for Masters and Mates, page 111: KM is least, and equal to the draught, at B / sqrt 6; for 10 m
    # of beam (the beam is inferred, not printed) 4.08 m.
    def height(draught):
        wet = immersed(box(30.0, 10.0, 9.0), UP, draught)
        return wet.centre[2] + metacentric_radius(wet)

    least = 10.0 / np.sqrt(6.0)
    assert least == pytest.approx(4.08, abs=0.005)
    assert height(least) == pytest.approx(least, rel=1e-9)
    assert min(height(least - 0.1), height(least + 0.1)) > height(least)


def test_a_triangular_prism():
    # Apex down: KB = 2T/3, BM = B2/(6T) (holtcraft.com/stabilityp1).
    prism = sections_from(np.array([0.0, 1000.0]), np.array([300.0, -300.0, 0.0]), np.array([100.0, 100.0, 0.0]))
    wet = immersed(prism, UP, 50.0)
    assert wet.volume == pytest.approx(0.5 * 300.0 * 50.0 * 1000.0, rel=1e-9)
    assert wet.centre[2] == pytest.approx(33.3333333, rel=1e-8)
    assert metacentric_radius(wet) == pytest.approx(300.0, rel=1e-9)


def test_a_trimmed_box():
    # Drafts 60 mm aft and 40 mm forward: V = LB(ta + tf)/2, centre (L/3)(ta + 2tf)/(ta + tf) from aft, height
    # (ta2 + ta tf + tf2)/(3(ta + tf)) above the bottom. Exact for a plane over a flat bottom.
    slope = np.arctan(20.0 / 1000.0)
    up = direction(slope, 0.0)
    wet = immersed(box(1000.0, 300.0, 120.0), up, float(up @ np.array([0.0, 0.0, 60.0])))
    assert wet.volume == pytest.approx(0.015e9, rel=1e-9)
    assert wet.centre[0] == pytest.approx(1400.0 / 3.0, rel=1e-9)
    assert wet.centre[2] == pytest.approx(76.0 / 3.0, rel=1e-9)


def test_a_wigley_hull():
    # y = (B/2)(1 - (2x/L)2)(1 - (z/T)2): V = 4LBT/9, KB = 5T/8, BM = 3B2/(35T), IT = 4LB3/105, IL = BL3/30.
    length, beam, draft = 1000.0, 100.0, 62.5
    long = sections_from(np.linspace(0.0, length, 9), np.array([0.0]), np.array([0.0]))
    z = np.linspace(0.0, draft, 400)
    half = beam / 2 * (1.0 - (2.0 * (long.x - length / 2) / length) ** 2)[:, None] * (1.0 - ((draft - z) / draft) ** 2)
    tall = np.tile(z, (len(long.x), 1))
    # A little freeboard with the waterline's breadth, so that the water cuts upright sides.
    y = np.hstack([half, half[:, -1:], -half[:, -1:], -half[:, ::-1]])
    top = np.full((len(long.x), 1), draft + 10.0)
    hull = dataclasses.replace(long, y=y, z=np.hstack([tall, top, top, tall[:, ::-1]]))
    wet = immersed(hull, UP, draft + 1e-6)
    assert wet.volume == pytest.approx(4.0 / 9.0 * length * beam * draft, rel=1e-4)
    assert wet.centre == pytest.approx([length / 2, 0.0, 5.0 / 8.0 * draft], abs=0.01)
    assert metacentric_radius(wet) == pytest.approx(3.0 * beam**2 / (35.0 * draft), rel=1e-4)
    assert wet.area == pytest.approx(2.0 / 3.0 * length * beam, rel=1e-6)
    assert wet.inertia_across == pytest.approx(4.0 / 105.0 * length * beam**3, rel=1e-4)
    assert wet.inertia_along == pytest.approx(beam * length**3 / 30.0, rel=1e-4)


def test_the_printed_waterplane_by_simpsons_rule():
    # Ship Stability for Masters and Mates, page 74: half ordinates 20 m apart; sum of products 90.5, area printed
    # 1207 m2, TPC 12.37 t/cm in salt water of 1.025. Simpson's rule is exact for parabolas over two intervals, and so
    # is hullcut's quadrature, which is given those parabolas.
    ordinates = np.array([0.0, 3.7, 5.9, 7.6, 7.5, 4.6, 0.1])
    stations = 20.0 * np.arange(7)
    plane = sections_from(stations[::2], np.array([1.0, 1.0, -1.0, -1.0]), np.array([0.0, 2.0, 2.0, 0.0]))
    half = np.empty_like(plane.x)
    for k in (0, 2, 4):
        here = (plane.x > stations[k]) & (plane.x < stations[k + 2])
        half[here] = np.polyval(np.polyfit(stations[k : k + 3], ordinates[k : k + 3], 2), plane.x[here])
    area = immersed(dataclasses.replace(plane, y=plane.y * half[:, None]), UP, 1.0).area
    assert area == pytest.approx(20.0 / 3.0 * 90.5 * 2.0, rel=1e-9)
    assert area == pytest.approx(1207.0, rel=5e-4)
    assert area * 1.025 / 100.0 == pytest.approx(12.37, rel=5e-4)


def test_the_righting_arm_of_a_box_up_to_the_deck():
    # A wall-sided body rights with sin(heel) (GM + BM tan2(heel) / 2) until deck or bilge meets the water (the wall-
    # sided formula of any book of naval architecture); trim stays level by symmetry.
    arms = righting_arms(box(1000.0, 300.0, 120.0), 0.015e9 * 999.1e-6, (500.0, 0.0, 70.0), 999.1)
    gm, radius = 25.0 + 150.0 - 70.0, 150.0
    for arm in arms:
        if arm.heel <= 15.0:
            heel = np.radians(arm.heel)
            assert arm.arm == pytest.approx(np.sin(heel) * (gm + radius * np.tan(heel) ** 2 / 2.0), abs=0.05)
    assert arms[-1].heel == 180.0
