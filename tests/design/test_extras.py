import pytest

from hullcut.design.reader import read_order
from hullcut.errors import DesignError

HEAD = 'name = "shelves"\nunits = "mm"\n'
SHELF = '[[extra]]\nname = "shelf"\nmaterial = "birch-plywood"\nthickness = 12\n'


def read(folder, text):
    path = folder / "order.toml"
    path.write_text(HEAD + text)
    return read_order(path)


def faults(folder, text):
    with pytest.raises(DesignError) as caught:
        read(folder, text)
    return caught.value.faults


def test_an_order_without_boats(tmp_path):
    order = read(tmp_path, SHELF + 'length = 600\nwidth = "250 mm"\ngrain = "along"\ncount = 9\n')
    assert order.boats == ()
    (extra,) = order.extras
    assert extra.outline == ((0.0, 0.0), (600.0, 0.0), (600.0, 250.0), (0.0, 250.0))
    assert (extra.wood.grain, extra.count, extra.flip) == ("along", 9, True)


def test_a_polygon_is_moved_to_the_corner_and_turned_counter_clockwise(tmp_path):
    order = read(tmp_path, SHELF + "corners = [[10, 10], [10, 60], [110, 10], [10, 10]]\nflip = false\n")
    assert order.extras[0].outline == ((0.0, 0.0), (100.0, 0.0), (0.0, 50.0))
    assert not order.extras[0].flip


def test_inches_lead_where_nothing_else_is_said(tmp_path):
    path = tmp_path / "order.toml"
    path.write_text('name = "two"\n' + SHELF.replace("12", '"1/2 in"') + "length = 10\nwidth = 2\n")
    assert read_order(path).extras[0].outline[2] == pytest.approx((254.0, 50.8))


@pytest.mark.parametrize(
    ("text", "line", "key", "problem"),
    [
        (SHELF + "length = 5\n", 3, "extra[1].width", "is missing"),
        (SHELF + "length = 5\nwidth = 4\ncorners = [[0, 0], [5, 0], [5, 5]]\n", 9, "extra[1].corners", "stands beside"),
        (SHELF + "corners = [[0, 0], [5, 5], [5, 0], [0, 5]]\n", 7, "extra[1].corners", "crosses"),
        (SHELF + "corners = [[0, 0], [5, 5]]\n", 7, "extra[1].corners", "3 to 2000 corners"),
        (SHELF + "corners = [[0, 0], [5, 5], [1]]\n", 7, "extra[1].corners", "a corner of two lengths"),
        ((SHELF + "length = 5\nwidth = 4\n") * 2, 10, "extra[2].name", "stands twice"),
        (SHELF + "length = 5\nwidth = 4\nglue_up = true\n", 9, "extra[1].glue_up", "comes in sheets"),
        (SHELF + "length = 5\nwidth = 4\nglue_up = 1\n", 9, "extra[1].glue_up", "is 1"),
        (SHELF + "length = 5\nwidth = 4\ncount = 0\n", 9, "extra[1].count", "is 0"),
    ],
)
def test_wrong_extras(tmp_path, text, line, key, problem):
    (fault,) = faults(tmp_path, text)
    assert (fault.line, fault.key) == (line, key)
    assert problem in fault.problem
