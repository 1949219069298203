"""Tables in pictures: columns as wide as their cells, no wider than the room, each row on its own line."""

import pytest

from hullcut.drawing.font import text_width
from hullcut.packet.picture_table import columns_of, rows_of

ROWS = [("what", "from aft"), ("battery", "2 1/2"), ("a long name of a thing", "0")]


def test_each_column_is_as_wide_as_its_longest_cell():
    columns = columns_of(ROWS, 2.5, 3.0)
    first = text_width("a long name of a thing", 2.5)
    assert columns.size == 2.5
    assert columns.lefts == pytest.approx((0.0, first + 3.0))
    assert columns.width == pytest.approx(first + 3.0 + text_width("from aft", 2.5))


def test_a_bold_head_is_measured_as_it_is_written():
    columns = columns_of(ROWS, 2.5, 3.0, bold_head=True)
    assert columns.width - columns.lefts[1] == pytest.approx(text_width("from aft", 2.5, bold=True))
    head, *rest = rows_of(ROWS, columns, 0.0, [0.0, -4.0, -8.0], bold_head=True)
    assert head.bold
    assert [item.bold for item in rest] == [True, False, False, False, False]


@pytest.mark.parametrize("most", [20.0, 35.0])
def test_letters_shrink_until_the_table_has_room(most):
    columns = columns_of(ROWS, 2.5, 3.0, most=most)
    assert columns.size < 2.5
    assert columns.width == pytest.approx(most)
    items = rows_of(ROWS, columns, 1.0, [0.0, -4.0, -8.0])
    reach = max(item.at[0] + text_width(item.text, item.size) for item in items)
    assert reach == pytest.approx(1.0 + most)
    assert [item.at[1] for item in items] == [0.0, 0.0, -4.0, -4.0, -8.0, -8.0]
