"""The list of cuts names pieces by their parts' numbers, as the drawing shows them."""

import re

import pytest

from hullcut.packet.cutting import cut_words, piece_names
from hullcut.packet.runs import in_runs
from tests.conftest import planned


def numbers_in(words):
    found = set()
    for first, last in re.findall(r"(\d+)(?:–(\d+))?", words):
        found |= set(range(int(first), int(last or first) + 1))
    return found


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_parts_on_either_side_of_a_bar_lie_on_either_side_of_the_cut(name):
    parted = 0
    for sheet in planned(name).layout.sheets:
        names = piece_names(sheet)
        middles = {}
        for blank in sheet.blanks:
            for placement in blank.placements:
                number = sheet.placements.index(placement) + 1
                middles[number] = (blank.x + blank.length / 2.0, blank.y + blank.width / 2.0)
        for cut in sheet.cuts:
            words = cut_words(cut, names)
            assert numbers_in(words) == numbers_in(names[cut.piece])
            sides = words.split(" | ")
            if len(sides) == 2:
                parted += 1
                across = abs(cut.x0 - cut.x1) < 0.01
                place = cut.x0 if across else cut.y0
                axis = 0 if across else 1
                below = [{middles[each][axis] < place for each in numbers_in(side)} for side in sides]
                assert below in ([{True}, {False}], [{False}, {True}]), words
        if sheet.cuts:
            assert numbers_in(names["0"]) == set(range(1, len(sheet.placements) + 1))
    assert parted >= 10


def test_runs_are_read_back():
    assert in_runs([1, 2, 4, 5, 6]) == "1, 2, 4–6"
    assert numbers_in(in_runs([1, 2, 4, 5, 6])) == {1, 2, 4, 5, 6}
