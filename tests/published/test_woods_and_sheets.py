"""The stock tables against published values; each source is named beside its numbers."""

import pytest

from hullcut.stock.fasteners import screw, screw_gauges
from hullcut.stock.glues import glue
from hullcut.stock.sheets import board_sizes, sheet_sizes, tolerances
from hullcut.stock.thickness import sold_as
from hullcut.stock.woods import wood

# Wood Handbook FPL-GTR-190 (2010) tables 5-3a and 5-3b at 12 % moisture: SG, million psi, psi.
# Yellow-poplar read on the FPL technology sheet, Douglas-fir coast in the Oregon State University tables,
# white oak in a timber dealer's table, eastern white pine on a materials data sheet; Sitka's SG in TM 5-852-4
# table 2-2, its MOE and MOR from memory.
HANDBOOK = [
    ("yellow-poplar", 0.42, 1.58, 10_100),
    ("douglas-fir", 0.48, 1.95, 12_400),
    ("white-oak", 0.68, 1.78, 15_200),
    ("eastern-white-pine", 0.35, 1.24, 8_600),
    ("sitka-spruce", 0.40, 1.57, 10_200),
]
PSI_IN_MPA = 0.006894757


@pytest.mark.parametrize(("key", "gravity", "million_psi", "psi"), HANDBOOK)
def test_wood_handbook_values(key, gravity, million_psi, psi):
    found = wood(key)
    assert found.specific_gravity == pytest.approx(gravity, abs=0.005)
    assert found.moe == pytest.approx(million_psi * 1000 * PSI_IN_MPA, abs=0.05)
    assert found.mor == pytest.approx(psi * PSI_IN_MPA, abs=0.5)
    # derived: ovendry wood plus 12 % water, on the same volume
    assert found.density == pytest.approx(1000 * gravity * 1.12, abs=0.1)


# Derived from the same table and rounded to the whole kilogram.
@pytest.mark.parametrize(("key", "density"), [("yellow-poplar", 470), ("white-oak", 762), ("sitka-spruce", 448)])
def test_density_at_twelve_per_cent(key, density):
    assert wood(key).density == pytest.approx(density, abs=0.5)


# Sheet suppliers' weight tables: thickness in mm, kg/m2.
@pytest.mark.parametrize(("thickness", "weight"), [(4, 1.8), (5, 2.3), (6, 2.7), (9, 4.1), (12, 5.4)])
def test_okoume_sheet_weights(thickness, weight):
    assert wood("okoume-plywood").density * thickness / 1000 == pytest.approx(weight, abs=0.051)


def test_birch_sheet_density_lies_in_the_mills_table():
    # A mill's birch data sheet: 660, 670, 710, 695 kg/m3 for 4, 6.5, 9 and 12 mm.
    assert 660 <= wood("birch-plywood").density <= 710


def test_sheathing_plywood_lies_in_the_published_range():
    # A materials data sheet (ASTM D3043 and others): SG 0.40-0.60, MOE 8.2-10.3 GPa, MOR 48-69 MPa.
    found = wood("douglas-fir-plywood")
    assert 0.40 * 1120 <= found.density <= 0.60 * 1120
    assert 8.2 <= found.moe <= 10.3
    assert 48 <= found.mor <= 69


# PS 20-05 minimum dressed dry sizes in inches (two published lumber tables); 2x4 and 2x6 from memory.
@pytest.mark.parametrize(
    ("nominal", "thickness", "width"),
    [
        ("1x4", 0.75, 3.5),
        ("1x6", 0.75, 5.5),
        ("1x8", 0.75, 7.25),
        ("1x10", 0.75, 9.25),
        ("1x12", 0.75, 11.25),
        ("2x4", 1.5, 3.5),
        ("2x6", 1.5, 5.5),
    ],
)
def test_dressed_board_sizes(nominal, thickness, width):
    found = [size for size in board_sizes("inch") if size.key.startswith(f"{nominal}-")]
    assert [size.length / 304.8 for size in found] == pytest.approx([6, 8, 10, 12])
    for size in found:
        assert size.thickness == pytest.approx(thickness * 25.4, abs=1e-9)
        assert size.width == pytest.approx(width * 25.4, abs=1e-9)


def test_sheet_sizes():
    # PS 1 panel 4 x 8 ft = 1219.2 x 2438.4 mm; the others are common practice, no source.
    inch = {size.key: (size.length, size.width) for size in sheet_sizes("inch")}
    assert inch["4x8"] == (2438.4, 1219.2)
    for key, (length, width) in inch.items():
        feet = sorted(float(number) for number in key.split("x"))
        assert sorted((length / 304.8, width / 304.8)) == pytest.approx(feet)
    metric = {(size.length, size.width) for size in sheet_sizes("metric")}
    assert metric == {(2440, 1220), (1500, 1500), (1220, 610)}


def test_tolerances_say_what_is_from_memory():
    # PS 1-19 was read as quoted by the plywood makers' association; the EN 315 numbers are from memory.
    marks = {each.name: each.mark for each in tolerances()}
    assert {mark for name, mark in marks.items() if name.startswith("PS 1")} == {"published"}
    assert {mark for name, mark in marks.items() if name.startswith("EN 315")} == {"from memory"}


# ASME B18.6.1 shank diameters in inches, as printed in three hardware tables.
@pytest.mark.parametrize(("gauge", "shank"), [(4, 0.112), (6, 0.138), (8, 0.164), (10, 0.190)])
def test_screw_shanks(gauge, shank):
    assert screw(gauge).shank == pytest.approx(shank * 25.4, abs=1e-9)
    assert shank == pytest.approx(0.060 + 0.013 * gauge)  # from memory; fits all four


# Two pilot-hole tables agree: soft, hard; clearance is the printed bit or, where that is too small, the next.
@pytest.mark.parametrize(
    ("gauge", "soft", "hard", "clearance"),
    [
        (4, 3 / 64, 1 / 16, 1 / 8),
        (6, 1 / 16, 5 / 64, 9 / 64),
        (8, 5 / 64, 3 / 32, 11 / 64),
        (10, 3 / 32, 7 / 64, 13 / 64),
    ],
)
def test_screw_bits(gauge, soft, hard, clearance):
    found = screw(gauge)
    assert found.pilot_soft.diameter == pytest.approx(soft * 25.4)
    assert found.pilot_hard.diameter == pytest.approx(hard * 25.4)
    assert found.clearance.diameter == pytest.approx(clearance * 25.4)


def test_no_clearance_hole_is_smaller_than_its_shank():
    for gauge in screw_gauges():
        found = screw(gauge)
        assert found.pilot_soft.diameter < found.pilot_hard.diameter < found.shank < found.clearance.diameter


def test_polyurethane_figures():
    # A public data sheet of a polyurethane wood glue.
    found = glue("polyurethane")
    assert (found.spread_low, found.spread_high) == (150, 180)
    assert found.spread_low <= found.spread <= found.spread_high
    assert (found.open_minutes, found.clamp_minutes, found.cure_minutes) == (10, 90, 24 * 60)
    # derived: a metre of 12 mm glue line takes 2.0 g
    assert found.spread * 1.0 * 0.012 == pytest.approx(2.0, abs=0.05)


def test_quarter_inch_is_often_thinner():
    # common practice, no source
    assert sold_as(5.2, "inch") == "1/4 in"
    assert sold_as(6.35, "inch") == "1/4 in"
    assert sold_as(18.0, "inch") == "3/4 in"
