"""The workshop's part of the organiser's sheet: session plans, substitutions, master templates."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from hullcut.packet.organiser_masters import master_section
from hullcut.packet.organiser_section import section_flowables
from hullcut.packet.organiser_sessions import session_section
from hullcut.packet.organiser_substitutions import substitution_section

if TYPE_CHECKING:
    from collections.abc import Mapping

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import OrderPlan
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.organiser_section import OrganiserSection
    from hullcut.packet.studio import Studio

__all__ = ["workshop_pages", "workshop_sections"]


def workshop_sections(plan: OrderPlan, studios: Mapping[str, Studio]) -> tuple[OrganiserSection, ...]:
    """The sections of an order: for each design its session plan and substitutions, then the masters.

    Args:
        plan: of the order.
        studios: by the designs' names.
    """
    boats = Counter(boat.design for boat in plan.order.boats)
    found: list[OrganiserSection] = []
    for each in plan.boat_plans:
        name = each.design.name
        found += [session_section(studios[name], boats[name]), substitution_section(each)]
    return (*found, master_section(plan))


def workshop_pages(plan: OrderPlan, studios: Mapping[str, Studio], frames: Frames, look: Styles) -> list[Flowable]:
    """The same as they stand on the pages."""
    return [piece for section in workshop_sections(plan, studios) for piece in section_flowables(section, frames, look)]
