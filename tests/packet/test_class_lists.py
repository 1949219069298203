"""What a class buys: the same things as its builders are told of, in words that hold for who reads the class packet."""

import re

import pypdfium2
import pytest
from reportlab.platypus import Paragraph

from hullcut.packet.class_packet import class_pdf
from hullcut.packet.document import styles
from hullcut.packet.fittings_list import fitting_groups, small_things
from hullcut.packet.lists import screw_kind
from hullcut.packet.packet import packet_pdf
from tests.conftest import DESIGNS, planned


def told_in(data):
    document = pypdfium2.PdfDocument(data)
    try:
        return " ".join(" ".join(document[k].get_textpage().get_text_bounded() for k in range(len(document))).split())
    finally:
        document.close()


def test_a_class_buys_the_screws_that_its_packets_promise():
    plan = planned("lakeside_class")
    whole = told_in(class_pdf(plan, "letter", None))
    for boat in plan.boat_plans:
        assert screw_kind((boat,)) in whole
    assert "one of plain steel too" in whole


def test_a_class_list_names_no_page_or_person_that_it_has_not():
    plan = planned("lakeside_class")
    whole = told_in(class_pdf(plan, "letter", None))
    assert "page 1:" not in whole
    assert "adult on page" not in whole
    pages = re.findall(r"(In each boat's packet, the|The) page “", whole)
    assert len(pages) >= 3
    assert set(pages) == {"In each boat's packet, the"}


@pytest.mark.parametrize("name", DESIGNS)
def test_both_lists_differ_in_their_reader_alone(name):
    plan = planned(name).boat_plans[0]
    own = [line for _, lines in fitting_groups(plan) for line in lines]
    shared = small_things(plan)[1:]
    assert len(own) == len(shared)
    for one, other in zip(own, shared, strict=True):
        other = other.replace("the adult who planned the boats:", "the adult on page 1:")
        assert one == other.replace("In each boat's packet, the page “", "The page “")


def test_what_a_design_adds_is_on_the_list_with_its_weight():
    plan = planned("marshpenny")
    (boat,) = plan.boat_plans
    lines = " ".join(line for _, lines in fitting_groups(boat) for line in lines)
    assert boat.design.fittings
    whole = told_in(packet_pdf(plan, plan.order.boats[0], "letter", None))
    for each in boat.design.fittings:
        assert f"{each.name}, {each.mass:.0f} g" in lines
        assert f"{each.name}, {each.mass:.0f} g" in whole


def test_a_chapter_keeps_off_what_stands_over_it():
    look = styles().chapter
    assert Paragraph("Your kit", look).getSpaceBefore() >= look.spaceAfter
