"""Shaft, fin and rudder, with the wedge for the shaft at full size."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from hullcut.drawing.paths import polygon
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.lengths import both
from hullcut.packet.document import bullet, paragraph
from hullcut.packet.jigs import jig_sizes
from hullcut.packet.organiser.pieces import rows_table
from hullcut.packet.organiser.rows import drive_rows

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.document import Frames, Styles

__all__ = ["shaft_section", "wedge_at_full_size"]

# As much of a wedge is drawn as the page holds, mm.
_LONGEST = 150.0

_ADVICE = (
    "Saw the slot on its marks and file it slanting; never drill it freehand.",
    "Thread a straight dummy rod through log, block and the disc in the engine plate, and see that it turns freely.",
    "Until its holes are drilled the strut can be set up or down along the rod's line: later that would bend the rod.",
    "Going ahead, the propeller pushes the rod forward: washers between drive dog and strut carry that into the hull, "
    "never the engine's clutch. The collar at the log's fore end only keeps the rod from sliding out.",
    "Line up the coupling within 0.5 mm and 0.5° before anything is glued. All of this: common practice, no source.",
)


def wedge_at_full_size(plan: BoatPlan) -> Scene:
    """The wedge of the packet's jigs, or as much of it from its thin end as the page holds."""
    units = plan.design.units
    run, rise = jig_sizes(plan).wedge
    long = min(run, _LONGEST)
    high = rise * long / run
    items: list[Item] = [Shape(Role.CUT, (polygon(((0.0, 0.0), (long, 0.0), (long, high))),), fill="#f9e7bf")]
    items += level(0.0, long, 0.0, 0.0, -6.0, both(long, units, decimals=1))
    items += plumb(0.0, high, long, long, long + 14.0, both(high, units, 32, decimals=1))
    items.append(Text(Role.LABEL, (long * 0.6, 1.5), "fore end to the right", 2.8, anchor="middle"))
    return Scene("Wedge for the shaft", -24.0, -10.0, long + 34.0, high + 10.0, tuple(items))


def shaft_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The shaft line in numbers, how it is set up, and its wedge."""
    return [
        rows_table(drive_rows(plan), frames, look, ("drive", "")),
        Spacer(0, 4),
        *(bullet(words, look.body) for words in _ADVICE),
        KeepTogether(
            [
                paragraph(
                    "The jigs' wedge at full size, if printed at 100 %: measure its foot. Saw it from scrap as wide as "
                    "the tube. While the dummy rod is tried it stands on the bottom, its thin end at the slot. Before "
                    "the epoxy it comes out: rod, block and coupling hold the log."
                    + (" The wedge runs on past what is drawn." if jig_sizes(plan).wedge[0] > _LONGEST else ""),
                    look.body,
                ),
                SceneFlowable(wedge_at_full_size(plan), align="LEFT"),
            ]
        ),
    ]
