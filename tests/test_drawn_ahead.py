"""Pictures of an order's packets: drawn while parts are laid out, and kept for all packets of a design."""

from hullcut.design.reader import read_order
from hullcut.drawing.paper import printing_of
from hullcut.files import Studios, early_tasks
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
    tasks = early_tasks("packet", order, plans, printing, studios)
    assert [task() for _, task in sorted(tasks, key=lambda task: -task[0])] == [{}, {}]
    # The second heaviest packets' first: those are written by whoever waits for the layout.
    counts = {plan.design.name: sum(boat.design == plan.design.name for boat in order.boats) for plan in plans}
    assert counts[drawn[0][0].plan.design.name] <= counts[drawn[1][0].plan.design.name]
    assert {paper for _, paper in drawn} == {printing.packet_paper}
    by_name = {studio.plan.design.name: studio for studio, _ in drawn}
    assert all(studios.of(plan) is by_name[plan.design.name] for plan in plans)
    # Once packets are written it would come too late.
    assert [task() for _, task in tasks] == [{}, {}]
    assert len(drawn) == 2


def test_a_lone_boats_pictures_are_drawn_with_its_packet():
    order = read_order(SAMPLES / "bramblefin.toml")
    assert early_tasks("packet", order, plan_parts(order), printing_of(None, order.units), Studios()) == []


def test_what_is_drawn_ahead_is_what_the_packet_asks_for():
    studio = Studio(build(read_order(SAMPLES / "bramblefin.toml").designs[0]))
    draw_ahead(studio, "letter")
    kept = dict(studio._kept)
    assert any(name.startswith("step: ") for name in kept)
    draw_ahead(studio, "letter")
    assert studio._kept == kept
