"""Pictures of an order's packets: drawn while parts are laid out, and kept for all packets of a design."""

import pytest

from hullcut import files
from hullcut.design.reader import read_order
from hullcut.drawing.paper import printing_of
from hullcut.files import Studios
from hullcut.packet.packet import draw_ahead
from hullcut.packet.studio import Studio
from hullcut.pipeline import build, plan_parts
from tests.conftest import SAMPLES


def test_packets_that_share_pictures_have_them_drawn_ahead_in_their_own_studio(monkeypatch):
    drawn = []
    monkeypatch.setattr("hullcut.packet.packet.draw_ahead", lambda studio, paper: drawn.append((studio, paper)))
    order = read_order(SAMPLES / "harbour_eight.toml")
    plans, studios = plan_parts(order), Studios()
    printing = printing_of(None, order.units)
    files.draw_ahead("packet", order, plans, printing, studios)
    ((studio, paper),) = drawn
    assert paper == printing.packet_paper
    plan = next(each for each in plans if each.design.name == studio.plan.design.name)
    assert studios.of(plan) is studio
    files.draw_ahead("templates", order, plans, printing, studios)
    assert len(drawn) == 1


def test_a_lone_boats_pictures_are_drawn_with_its_packet(monkeypatch):
    monkeypatch.setattr("hullcut.packet.packet.draw_ahead", lambda studio, paper: pytest.fail("drawn ahead"))
    order = read_order(SAMPLES / "bramblefin.toml")
    files.draw_ahead("all", order, plan_parts(order), printing_of(None, order.units), Studios())


def test_what_is_drawn_ahead_is_what_the_packet_asks_for():
    studio = Studio(build(read_order(SAMPLES / "bramblefin.toml").designs[0]))
    draw_ahead(studio, "letter")
    kept = dict(studio._kept)
    assert any(name.startswith("step: ") for name in kept)
    draw_ahead(studio, "letter")
    assert studio._kept == kept
