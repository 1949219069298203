"""Where the rules and figures of the packet come from: the packet itself, which children read, leaves that out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.packet.opening import safety_sources
from hullcut.packet.organiser.plain_section import OrganiserSection
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan

__all__ = ["source_section"]

_PRACTICE = "common practice, no source"


def source_section(plan: BoatPlan) -> OrganiserSection:
    """The packet's rules by the page that they stand on, each with its source."""
    chosen = glue(plan.design.glue)
    rows = (
        *((f"Working safely: {heading.lower()}", source) for heading, source in safety_sources()),
        ("What to buy: sizes of fittings, safety things", _PRACTICE),
        ("Glue: open time, clamping, spread", f"{chosen.source} ({chosen.mark})"),
        ("Screws: distances from ends", screw(plan.design.fasteners.gauge).spacing_source),
        ("Screws: bits", "two published pilot-hole tables agree"),
        ("Screws: lengths and staggering", _PRACTICE),
        ("Steps: minutes, clamps, bolts' holes, thickness of the foam", _PRACTICE),
        ("Setup sheet: limits and amounts", _PRACTICE),
        ("The first float: distances and speeds", _PRACTICE),
    )
    return OrganiserSection(
        ("Every number of the packet that is not listed here follows from the design, or is a rough estimate.",),
        ("In the packet", "Where it comes from"),
        (60.0, 120.0),
        rows,
    )
