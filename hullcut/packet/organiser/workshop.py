"""The workshop's part of the organiser's document: evenings, substitutions, master templates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.packet.organiser.masters import master_section
from hullcut.packet.organiser.plain_section import section_flowables
from hullcut.packet.organiser.sessions import session_section
from hullcut.packet.organiser.sources import source_section
from hullcut.packet.organiser.substitutions import substitution_section

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.packet.document import Frames, Styles

__all__ = ["masters", "session_plan", "sources", "substitutions"]


def session_plan(plan: OrderPlan, boat: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Which steps go into which evening, for all boats of a design side by side."""
    boats = sum(each.design == boat.design.name for each in plan.order.boats)
    return section_flowables(session_section(boat, boats), frames, look)


def substitutions(_: OrderPlan, boat: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """What may stand in for a design's woods, and what that changes."""
    return section_flowables(substitution_section(boat), frames, look)


def sources(_: OrderPlan, boat: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Where the packet's rules come from."""
    return section_flowables(source_section(boat), frames, look)


def masters(plan: OrderPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Which shapes of the order are cut often enough for a master."""
    return section_flowables(master_section(plan), frames, look)
