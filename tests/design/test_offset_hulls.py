"""A hull given by a table of offsets: read from beside its design, and its sizes as a tape would find them."""

import pytest

from hullcut.design.offset_sizes import bow_of
from hullcut.design.offsets import parse_offsets
from hullcut.design.reader import read_order
from hullcut.errors import DesignError

HEADER = "x,chine_half_breadth,chine_height,sheer_half_breadth,sheer_height\n"
STEM = HEADER + "0,100,0,120,110\n300,110,0,135,110\n600,80,8,110,120\n800,0,25,60,135\n850,,,0,140\n"
PRAM = HEADER + "-10,,,120,110\n0,100,0,,\n300,110,0,135,110\n600,90,20,120,112\n800,80,60,,\n830,,,100,115\n"
SLED = HEADER + "0,100,0,120,110\n300,110,0,135,110\n600,100,30,125,110\n850,90,110,110,110\n"


def design(folder, table, hull='offsets = "lines.csv"', units="mm"):
    (folder / "lines.csv").write_text(table, encoding="utf-8")
    path = folder / "boat.toml"
    path.write_text(f'name = "mallow"\nunits = "{units}"\n[hull]\n{hull}\n', encoding="utf-8")
    return read_order(path).designs[0]


def faults(folder, table, hull='offsets = "lines.csv"'):
    with pytest.raises(DesignError) as caught:
        design(folder, table, hull)
    return caught.value.faults


@pytest.mark.parametrize(("table", "bow"), [(STEM, "stem"), (PRAM, "pram"), (SLED, "sled")])
def test_the_bow_is_told_by_where_the_lines_end(table, bow):
    assert bow_of(parse_offsets(table, "lines.csv", "mm")) == bow


def test_the_sizes_are_those_of_the_table(tmp_path):
    hull = design(tmp_path, PRAM).hull
    assert (hull.length, hull.beam, hull.beam_at_transom, hull.beam_at_bow) == (830.0, 270.0, 240.0, 200.0)
    assert (hull.bow, hull.flat_to, hull.rocker, hull.bow_height) == ("pram", 300.0, 0.0, 60.0)
    assert hull.transom_rake == pytest.approx(5.194, abs=1e-3)  # 10 in 110
    assert hull.bow_rake == pytest.approx(28.61, abs=1e-2)  # 30 in 55
    assert hull.read_to == 0.0
    assert hull.offsets.file == str(tmp_path / "lines.csv")


def test_offsets_are_in_the_units_of_the_design(tmp_path):
    table = (
        HEADER
        + "0,4,0,4 3/4,4 1/4\n12,4 1/4,0,5 1/4,4 1/4\n24,3,1/4,4 1/4,4 5/8\n31,0,1,2 1/4,5 1/4\n33 1/2,,,0,5 1/2\n"
    )
    hull = design(tmp_path, table, 'offsets = "lines.csv"\nread_to = "1/32"', units="in").hull
    assert hull.length == pytest.approx(33.5 * 25.4)
    assert hull.read_to == pytest.approx(25.4 / 32)


def test_sizes_beside_offsets_are_refused_each_on_its_line(tmp_path):
    found = faults(tmp_path, STEM, 'offsets = "lines.csv"\nbeam = 300\nflare = 5\nread_to = 1')
    assert [(fault.key, fault.line) for fault in found] == [("hull.beam", 5), ("hull.flare", 6)]
    assert all("stands beside offsets" in fault.problem for fault in found)


def test_read_to_without_a_table_is_refused(tmp_path):
    (fault,) = faults(tmp_path, STEM, "length = 900\nbeam = 300\ndepth = 120\nread_to = 1")
    assert (fault.key, fault.line) == ("hull.read_to", 7)


def test_without_offsets_the_three_sizes_are_wanted(tmp_path):
    found = faults(tmp_path, STEM, "beam = 300")
    assert {fault.key for fault in found} == {"hull.length", "hull.depth"}


def test_a_table_that_is_not_there_is_the_designs_fault(tmp_path):
    (fault,) = faults(tmp_path, STEM, 'offsets = "liens.csv"')
    assert (fault.key, fault.line) == ("hull.offsets", 4)
    assert "there is no such file" in fault.problem
    assert "lines.csv" in fault.remedy


def test_a_wrong_cell_is_told_with_the_tables_own_line(tmp_path):
    (fault,) = faults(tmp_path, STEM.replace("110,0,135", "110,zero,135"))
    assert fault.file == str(tmp_path / "lines.csv")
    assert (fault.line, fault.key) == (3, "chine_height")


def test_the_chine_begins_at_the_transoms_lower_edge(tmp_path):
    (fault,) = faults(tmp_path, STEM.replace("\n0,", "\n20,"))
    assert (fault.line, fault.key) == (2, "x")
    assert "lower outer edge" in fault.remedy


def test_ends_that_no_board_closes_are_refused(tmp_path):
    backward = PRAM.replace("-10,,,120,110\n0,100,0,,\n", "0,100,0,,\n40,,,120,110\n")
    (fault,) = faults(tmp_path, backward)
    assert fault.key == "hull.offsets"
    assert "transom" in fault.problem
    narrow = STEM.replace("850,,,0,140", "850,,,6,140")
    (fault,) = faults(tmp_path, narrow)
    assert "neither a bow transom nor a stem" in fault.problem


def test_a_folder_for_a_table_is_the_designs_fault(tmp_path):
    (tmp_path / "more").mkdir()
    (fault,) = faults(tmp_path, STEM, 'offsets = "more"')
    assert "is a folder" in fault.problem
    assert ".csv" in fault.remedy
