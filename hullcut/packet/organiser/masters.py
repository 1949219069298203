"""Master templates: which parts are worth a pattern of hard wood when many are cut, and how it is used."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from hullcut.drawing.measured_scene import is_plain
from hullcut.packet.organiser.plain_section import OrganiserSection

if TYPE_CHECKING:
    from hullcut.boat_plan import OrderPlan

__all__ = ["MANY", "master_section"]

MANY = 4
"""From so many pieces of one shape a master pays: common practice, no source."""


def master_section(plan: OrderPlan) -> OrganiserSection:
    """The advice, with the parts of the order that are cut often enough."""
    boats = Counter(boat.design for boat in plan.order.boats)
    shapes: dict[tuple[str, str], list[int]] = {}
    for each in plan.boat_plans:
        for part in each.parts:
            if not is_plain(part):
                # Port and starboard are cut with one master, turned over.
                name = part.name.replace(", port", "").replace(", starboard", "")
                row = shapes.setdefault((each.design.name, name), [0, len(part.outline)])
                row[0] += part.quantity * boats[part.design]
    rows = tuple(
        (design, name, str(count), "router and flush-trim bit" if points > 16 else "band saw, several layers pinned")
        for (design, name), (count, points) in shapes.items()
        if count >= MANY
    )
    return OrganiserSection(
        (
            f"From {MANY} pieces of one shape on, make a master of 1/4 in (6 mm) hard plywood from the paper template. "
            "Plane its edge to the middle of the line and check its length against the parts list.",
            "Drill its marks through at 1/16 in (1.5 mm), so that a pencil or an awl copies them.",
            "An adult roughs each piece out 1/8 in (3 mm) large, fixes the master on with two screws where holes come "
            "anyway, and trims it flush at the router table.",
            "Write name, hand and “this face in” on both faces: a side's master is turned over for the other hand.",
            "Parts with a trim allowance keep it: the master is the outline as cut, not the true line.",
            "Plain strips and rectangles need none: set the saw's fence once for all boats.",
        ),
        ("Design", "Part", "Pieces", "How"),
        (35.0, 60.0, 18.0, 62.0),
        rows,
        "Common practice, no source. Router and saws are for adults; the maker's instructions come first.",
    )
