"""Tables of offsets: what is read, and what is told about a table that can't be meant."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.design.offsets import COLUMNS, parse_offsets
from hullcut.errors import DesignError

HEADER = ",".join(COLUMNS)
GOOD = (
    f"{HEADER}\n0,5,0,5 1/2,5\n12,4.75,1/16,5.5,5\n24,3 3/4,3/16,5,5 1/4\n36,1,1/2,2,5 3/4\n37 1/2,0,5/8,,\n40,,,0,6\n"
)


def faults(text, units="in"):
    with pytest.raises(DesignError) as caught:
        parse_offsets(text, "boat.csv", units)
    return [str(fault) for fault in caught.value.faults]


def test_lengths_are_read_as_in_a_design():
    table = parse_offsets(GOOD, "boat.csv", "in")
    assert table.chine[2] == pytest.approx((609.6, 95.25, 4.7625))
    assert table.sheer[-1] == pytest.approx((1016.0, 0.0, 152.4))
    assert [row.line for row in table.rows] == [2, 3, 4, 5, 6, 7]
    metric = parse_offsets(GOOD.replace("5 1/2", "5 1/2 in"), "boat.csv", "mm")
    assert metric.rows[0].sheer_half_breadth == pytest.approx(139.7)
    assert metric.rows[1].x == 12.0


def test_blank_cells_leave_a_line_out_of_a_station():
    table = parse_offsets(GOOD, "boat.csv", "in")
    assert [point[0] for point in table.chine] == pytest.approx([0.0, 304.8, 609.6, 914.4, 952.5])
    assert [point[0] for point in table.sheer] == pytest.approx([0.0, 304.8, 609.6, 914.4, 1016.0])


def test_columns_stand_in_any_order_with_remarks_between():
    turned = "# read off the drawing\n\nsheer_height,x,chine_height,Sheer Half-Breadth,chine_half_breadth\n"
    turned += "5,0,0,5.5,5\n# amidships\n5,20,0,5.5,4\n5,40,0,2,1\n"
    table = parse_offsets(turned, "boat.csv", "in")
    assert table.sheer[0] == pytest.approx((0.0, 139.7, 127.0))
    assert table.rows[-1].line == 7


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "boat.csv: holds no table"),
        (
            GOOD.replace("chine_height", "chine_hight"),
            "boat.csv:1: chine_hight: is not a column that is known; did you mean chine_height?",
        ),
        (GOOD.replace("chine_height", "draught"), "boat.csv:1: chine_height: is missing; write the columns x,"),
        (GOOD.replace("sheer_height", "x"), "boat.csv:1: x: stands twice"),
        (GOOD.replace("4.75", "wide"), 'boat.csv:3: chine_half_breadth: "wide" is not a length; write it like'),
        (GOOD.replace("4.75", "nan"), 'boat.csv:3: chine_half_breadth: "nan" is not a length'),
        (GOOD.replace("4.75", "-4"), "boat.csv:3: chine_half_breadth: is -4, less than zero; write a half breadth"),
        (GOOD.replace("24,", "11,"), "boat.csv:4: x: does not lie ahead of the station before it"),
        (GOOD.replace("\n24,", "\n,"), "boat.csv:4: x: is blank"),
        (GOOD.replace("12,4.75,1/16", "12,4.75,"), "boat.csv:3: chine_height: is blank beside the other measure"),
        (GOOD.replace("1/16,5.5,5", "6,5.5,5"), "boat.csv:3: sheer_height: lies below the chine"),
        (GOOD.replace("40,,,0,6", "40,,,,"), "boat.csv:7: has neither chine nor sheer"),
        (GOOD.replace("0,5,0,5 1/2,5\n", "0,5,0,5 1/2,5,7\n"), "boat.csv:2: has 6 cells, more than the header"),
        ("\n".join(GOOD.splitlines()[:3]), "boat.csv:1: chine_half_breadth: has 2 stations with a chine; give it at 3"),
    ],
)
def test_a_fault_tells_its_line_column_and_remedy(text, told):
    assert any(line.startswith(told) for line in faults(text)), faults(text)


def test_all_faults_are_told_at_once():
    found = faults(GOOD.replace("4.75", "wide").replace("1/16", "tall").replace("36,1,", "36,-1,"))
    assert [line.split(": ")[0] for line in found] == ["boat.csv:3", "boat.csv:3", "boat.csv:5"]


def test_long_tables_are_refused():
    rows = "".join(f"{4 * i},5,0,5,5\n" for i in range(201))
    assert "200" in faults(f"{HEADER}\n{rows}")[-1]


@given(
    text=st.text(max_size=80)
    | st.lists(st.text(max_size=12), max_size=8).map(lambda cells: f"{HEADER}\n" + ",".join(cells))
)
@settings(max_examples=150, deadline=None, derandomize=True)
def test_any_text_is_a_table_or_is_refused_in_words(text):
    told, rows = [], ()
    try:
        rows = parse_offsets(text, "boat.csv", "in").rows
    except DesignError as error:
        told = [str(fault) for fault in error.faults]
    assert (len(rows) >= 3) is not bool(told)
    assert all(line.startswith("boat.csv") and "; " in line for line in told)


def test_the_sample_is_fair_and_bends(samples):
    from hullcut.hull.fairing import bumps, faired
    from hullcut.hull.ruled_surface import ruled_surface
    from hullcut.hull.ruling_search import search_rulings
    from hullcut.hull.spline_curve import space_curve

    table = parse_offsets((samples / "tansyfoot.csv").read_text(encoding="utf-8"), "tansyfoot.csv", "in")
    read_to = 25.4 / 32.0
    curves = []
    for points in (table.chine, table.sheer):
        x, y, z = (list(axis) for axis in zip(*points, strict=True))
        assert bumps(x, y, read_to) == bumps(x, z, read_to) == ()
        curves.append(space_curve(np.column_stack([x, faired(x, y, read_to), faired(x, z, read_to)])))
    family = search_rulings(*curves)
    assert family.kind == "developable"
    assert family.worst_warp < 0.05
    surface = ruled_surface(family)
    assert surface.refusal(6.0) is None
    assert surface.tightest_bend(3.0).radius > 500.0
