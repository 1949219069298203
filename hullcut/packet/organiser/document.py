"""The organiser's document as a PDF: for every design of an order, one section after another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, PageBreak, Spacer

from hullcut.packet.document import MM, Heading, frames_of, note_box, paragraph, render, styles
from hullcut.packet.organiser.checks import checks_section
from hullcut.packet.organiser.fits import bevel_section, joint_section, ruling_section
from hullcut.packet.organiser.floating import foam_section, rest_section
from hullcut.packet.organiser.running import pitch_section, running_section
from hullcut.packet.organiser.shaft import shaft_section
from hullcut.packet.organiser.weights import weights_section
from hullcut.packet.organiser.workshop import masters, session_plan, sources, substitutions

if TYPE_CHECKING:
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import OrderPlan
    from hullcut.packet.organiser.pieces import OrderSection, Section

__all__ = ["ORDER_SECTIONS", "SECTIONS", "organiser_pdf"]

SECTIONS: tuple[tuple[str, float, Section], ...] = (
    ("Weights and balance", 60.0, weights_section),
    ("At rest", 60.0, rest_section),
    ("Swamped: foam", 45.0, foam_section),
    ("Shaft, fin and rudder", 80.0, shaft_section),
    ("Running", 235.0, running_section),
    ("Propeller's pitch", 70.0, pitch_section),
    ("Bevels", 60.0, bevel_section),
    ("Joints", 60.0, joint_section),
    ("Rulings of the bent parts", 80.0, ruling_section),
    ("Session plan", 60.0, session_plan),
    ("Substitutions", 60.0, substitutions),
    ("Sources of the packet's rules", 60.0, sources),
    ("Every check", 60.0, checks_section),
)
"""Heading, room that must be left on a page to begin there (mm), and what makes the section; for every design."""

ORDER_SECTIONS: tuple[tuple[str, float, OrderSection], ...] = (("Master templates for cutting many", 60.0, masters),)
"""The same, once for the whole order."""

_ABOUT = (
    "For the adult who plans and checks the build. Every number is an estimate from the design, the stock tables and "
    "the methods named beside it; none of them makes a boat safe. Weigh the real engine, the real boat, and do the "
    "float test before the engine runs. Local rules and product labels come first."
)


def organiser_pdf(plan: OrderPlan, paper: Literal["letter", "a4"], watermark: str | None) -> bytes:
    """The document of a whole order; the same plan gives the same bytes.

    Args:
        plan: of the order.
        paper: to print on.
        watermark: stamped on every page where a check failed; None when all is well.
    """
    frames, look = frames_of(paper), styles()
    story: list[Flowable] = [
        Heading(f"{plan.order.name}: for the organiser", look.title),
        note_box([paragraph(_ABOUT, look.body)], frames.width, "#fff3d6"),
        Spacer(0, 4),
    ]
    for number, boat in enumerate(plan.boat_plans):
        if number:
            story.append(PageBreak())
        if len(plan.boat_plans) > 1:
            story.append(Heading(boat.design.name, look.chapter))
        for title, room, section in SECTIONS:
            story += [CondPageBreak(room * MM), Heading(title, look.section, 1), *section(plan, boat, frames, look)]
    for title, room, whole in ORDER_SECTIONS:
        story += [CondPageBreak(room * MM), Heading(title, look.section, 1), *whole(plan, frames, look)]
    title = f"{plan.order.name}: for the organiser"
    return render(story, title, title, paper, watermark)
