"""How the parts fit: bevels of every edge, both lengths of every joint, the rulings of the bent parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from hullcut.drawing.paths import line, polygon
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.lengths import both
from hullcut.packet.document import paragraph
from hullcut.packet.organiser.pieces import numbers_table
from hullcut.parts.bevels import COLUMNS, bevel_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.document import Frames, Styles
    from hullcut.parts.values import Part

__all__ = ["bent_parts", "bevel_section", "joint_section", "ruling_scene", "ruling_section"]

_RULINGS = 28
_TALL = 70.0


def bent_parts(plan: BoatPlan) -> Iterator[Part]:
    """The parts that bend, one of each mirrored pair."""
    for part in plan.parts:
        if part.hand != "starboard" and any(ruling.turn for ruling in part.rulings):
            yield part


def bevel_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every bevelled edge, in degrees and as the shop reads it; port alone of mirrored pairs."""
    rows = bevel_rows((part for part in plan.parts if part.hand != "starboard"), plan.design.units)
    if not rows:
        return [paragraph("Every edge of this boat is sawn square.", look.body)]
    rest = frames.width - 3 * 27.0
    return [
        paragraph(
            "The long face is the one that is cut; the offset over the thickness is how far the other face stays "
            "behind it. Starboard parts mirror those of port. The builders' own pages say only: plane until the "
            "straightedge touches both.",
            look.body,
        ),
        numbers_table(COLUMNS, rows, (rest * 0.36, rest * 0.32, rest * 0.32, 18.0, 36.0, 27.0), look),
    ]


def joint_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Both parts' lengths of every joint, reckoned back from their flat drawings."""
    names = {part.id: part.name for part in plan.parts}
    rows = [
        (
            joint.name,
            f"{names[joint.a.part]}: {joint.a.edge}",
            f"{joint.a.length:.3f}",
            f"{names[joint.b.part]}: {joint.b.edge}",
            f"{joint.b.length:.3f}",
            f"{joint.mismatch + 0.0:.4f}",
        )
        for joint in plan.joints
    ]
    rest = frames.width - 2 * 20.0 - 17.0
    heads = ("joint", "first part: edge", "length, mm", "second part: edge", "length, mm", "differ by")
    widths = (rest * 0.30, rest * 0.35, 20.0, rest * 0.35, 20.0, 17.0)
    return [
        paragraph(
            "Each length is reckoned back from the line as it stands in that part's flat drawing, ruling by ruling; "
            "plan.json holds all that is needed to do it again.",
            look.body,
        ),
        numbers_table(heads, rows, widths, look),
    ]


def ruling_scene(part: Part, width: float) -> Scene:
    """A bent part's flat outline with some of its rulings and the angle that it has turned through from the first.

    Args:
        part: with rulings.
        width: of the picture, mm.
    """
    room = 5.0
    long = max(x for x, _ in part.outline)
    tall = max(y for _, y in part.outline)
    scale = min((width - 2.0 * room) / long, _TALL / tall)

    def at(x: float, y: float) -> tuple[float, float]:
        return (room + scale * x, room + scale * y)

    items: list[Item] = [Shape(Role.OUTLINE, (polygon([at(x, y) for x, y in part.outline]),))]
    step = max(1, round(len(part.rulings) / _RULINGS))
    chosen = part.rulings[::step]
    items += [Shape(Role.THIN, (line(at(r.x0, r.y0), at(r.x1, r.y1)),)) for r in chosen]
    # A cleat's chart is that of the side it lies on, and tells turns from the side's own end.
    start, last = chosen[0].turn, -100.0
    for ruling in chosen:
        x, _ = max(at(ruling.x0, ruling.y0), at(ruling.x1, ruling.y1), key=lambda each: each[1])
        if x - last >= 11.0:
            items.append(
                Text(
                    Role.LABEL,
                    (x, scale * tall + room + 1.5),
                    f"{round(abs(ruling.turn - start))}°",
                    2.2,
                    anchor="middle",
                )
            )
            last = x
    return Scene(f"Rulings of {part.name}", 0.0, 0.0, width, scale * tall + 2.0 * room + 3.0, tuple(items))


def ruling_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Every bent part with its rulings."""
    story: list[Flowable] = [
        paragraph(
            "A bent part is straight along its rulings: lay a straightedge along them when you try a bend. The figures "
            "tell by how many degrees the part has turned between the first ruling drawn (0°) and that one.",
            look.body,
        )
    ]
    for part in bent_parts(plan):
        long = max(x for x, _ in part.outline)
        caption = f"{part.name}, {both(long, plan.design.units)} long in the flat"
        story += [
            KeepTogether(
                [paragraph(caption, look.cell_bold), SceneFlowable(ruling_scene(part, frames.width), align="LEFT")]
            ),
            Spacer(0, 4),
        ]
    if len(story) == 1:
        return [paragraph("No part of this boat bends.", look.body)]
    return story
