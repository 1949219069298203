"""No line of a packet, a class packet or an organiser's document ends within a size."""

import re
from itertools import pairwise

import pytest

from hullcut.packet.class_packet import class_pdf
from hullcut.packet.document import Words, paragraph, styles
from hullcut.packet.organiser.document import organiser_pdf
from hullcut.packet.packet import packet_pdf
from hullcut.packet.unbroken import FIRM, unbroken
from tests.conftest import planned

# What a line ends with, and what the next one begins with, where a size is broken in two.
ENDS = re.compile(r"\d$")
BEGINS = re.compile(r"\d+/\d|×|(in|ft|mm|cm|m|g|kg|litres?)\b")


def test_firm_spaces_stand_within_sizes_alone():
    assert unbroken("Knee × 2, 2 × stick").replace(FIRM, "_") == "Knee ×_2, 2_×_stick"
    told = unbroken("Saw 25 1/4 in (641 mm) by 3/8 in in step 7 from 1 ft 6 in, in 2 pieces of 1.5 kg")
    assert told.replace(FIRM, "_") == "Saw 25_1/4_in (641_mm) by 3/8_in in step 7 from 1_ft_6_in, in 2 pieces of 1.5_kg"


@pytest.mark.parametrize(
    ("make", "name"),
    [
        *((packet_pdf, name) for name in ("bramblefin", "marshpenny", "puddlewick", "tansyfoot")),
        (organiser_pdf, "puddlewick"),
        (organiser_pdf, "tansyfoot"),
        (class_pdf, "lakeside_class"),
    ],
)
def test_no_line_ends_within_a_size(monkeypatch, make, name):
    plan = planned(name)
    drawn = []
    whole = Words.draw
    monkeypatch.setattr(Words, "draw", lambda self: drawn.append(self) or whole(self))
    arguments = (plan, plan.order.boats[0]) if make is packet_pdf else (plan,)
    make(*arguments, "letter" if plan.order.units == "in" else "a4", None)
    bad, sizes = [], 0
    for each in drawn:
        sizes += unbroken(each.words) != each.words
        lines = [" ".join(words) for _, words in each.blPara.lines]
        assert not any(FIRM in line for line in lines)
        bad += [
            (this, after)
            for this, after in pairwise(lines)
            if (ENDS.search(this) and BEGINS.match(after)) or this.endswith("×")
        ]
    assert sizes > 20
    assert not bad


def test_a_column_narrower_than_a_size_breaks_it_between_its_figures():
    look = styles().body
    words = paragraph("25 1/4 in", look)
    wide, narrow = words.wrap(100.0, 100.0)[1], words.wrap(36.0, 100.0)[1]
    assert narrow > wide
    assert len(words.blPara.lines) == 2
    assert words.wrap(100.0, 100.0)[1] == wide
    assert len(words.blPara.lines) == 1
