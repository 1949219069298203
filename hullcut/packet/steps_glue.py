"""The step that glues up parts wider than any board, before their outlines are cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.paths import clip_items, line, polygon, rectangle, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.packet.step import Step
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Path
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.packet.step import Kit

__all__ = ["glue_up_picture", "glue_up_steps"]

_TINTS = ("#f9e7bf", "#f4d6bf")
_BARS = ("#9c9c9c", "#ffffff")
_WORDS = 2.4
_CLAMPS = 3
_SHOWN = 1.8


def glue_up_steps(kit: Kit) -> list[Step]:
    """The step, where any part of the boat is glued up from two boards."""
    glue_ups = kit.plan.glue_ups
    if not glue_ups:
        return []
    chosen = glue(kit.plan.design.glue)
    hours = -(-chosen.cure_minutes // 60)
    return [
        Step(
            "Glue up the wide parts",
            (),
            ("plane", "straightedge", "flat board", "clamps", "glue brush", "rags", "pencil"),
            (
                "Lay the two strips of each wide part side by side, with their names up.",
                f"Plane {kit.fine(glue_ups[0].allowance)} off the two edges that meet, straight and square.",
                "Hold them edge to edge: no light may show through.",
                "Lay both on the flat board, with paper under the joint.",
                f"Spread glue on both edges. Push them together within {chosen.open_minutes} minutes.",
                "Set two clamps near the ends, then more between, over and under by turns.",
                f"Wipe off the glue. Let the wide board lie flat for {hours} hours.",
                "Lay the template's joint line on the glued joint. Then cut out the part.",
            ),
            f"A straightedge across the joint shows no gap of {kit.fine(0.8)}. Both ends are flush.",
            adult="An adult planes the edges with you. Show them the joint before you go on.",
            glue=True,
            draw=lambda studio, width, height: glue_up_picture(studio.plan, width, height),
            glued_up=glue_ups,
        )
    ]


def glue_up_picture(plan: BoatPlan, width: float, height: float) -> Scene:
    """The first wide part: its two strips, their joint, the clamps across them and the outline that is cut at last.

    Args:
        plan: a boat with a part that is glued up.
        width: of the picture, mm.
        height: greatest height, mm.
    """
    glued = plan.glue_ups[0]
    part = next(part for part in plan.parts if part.id == glued.part)
    view = _View(glued)
    items = [*_boards(view), Shape(Role.HIDDEN, (polygon(part.outline),), ref=part.id), *_joint_and_clamps(view)]
    # A long part is drawn from its end as far as its joint can be seen well.
    corner, shown = view.at(view.start - view.reach, view.low - view.reach), view.at(view.far, view.high + view.reach)
    scale = min((width - 2.0) / (shown[0] - corner[0]), (height - 17.0) / (shown[1] - corner[1]))
    left, foot = -corner[0] * scale, -corner[1] * scale
    clipped = clip_items(items, (*corner, *shown))
    drawn = [transform(item, scale=scale, dx=left, dy=foot) for item in clipped]
    for name, (u, v) in view.names():
        x, y = view.at(u, v)
        drop = 0.36 * _WORDS
        here = (
            (x * scale + left, y * scale + foot - drop) if view.level else (x * scale + left + drop, y * scale + foot)
        )
        drawn.append(Text(Role.LABEL, here, name, _WORDS, 0.0 if view.level else 90.0, "middle"))
    words = (
        f"{part.name}: two boards make one wide board.",
        "The glue joint is the line between them. Dashed: cut after drying.",
        "The bars are clamps: grey ones over the boards, white ones under.",
    )
    size = min(font.fit_size(text, width - 2.0, _WORDS) for text in words)
    texts = [Text(Role.LABEL, (0.0, -4.0 - 4.2 * number), text, size) for number, text in enumerate(words)]
    high = (shown[1] - corner[1]) * scale
    return Scene("Glue up the wide parts", -1.0, -14.5, width - 1.0, high + 1.0, (*drawn, *texts))


class _View:
    """A glue-up told along its joint (u) and across it (v), once its edges are planed.

    Args:
        glued: what to draw.
    """

    def __init__(self, glued: GlueUp) -> None:
        self.level = glued.joint[0][1] == glued.joint[1][1]
        self.start, self.joint = self.at(*glued.joint[0])
        self.stop = self.at(*glued.joint[1])[0]
        self.low = self.at(*glued.corners[0])[1]
        second = glued.strips[1]
        breadth = second.finished_width if self.level else second.finished_length
        self.high = self.at(*glued.corners[1])[1] + breadth
        self.reach = 0.12 * (self.high - self.low)
        self.far = min(self.stop, self.start + _SHOWN * (self.high - self.low))
        self._strips = glued.strips

    def at(self, u: float, v: float) -> tuple[float, float]:
        """A place in the part's drawing; and back."""
        return (u, v) if self.level else (v, u)

    def box(self, u0: float, v0: float, u1: float, v1: float) -> Path:
        """A rectangle in the part's drawing."""
        return rectangle(*self.at(u0, v0), *self.at(u1, v1))

    def names(self) -> list[tuple[str, tuple[float, float]]]:
        """What the two strips are called, and where that stands clear of the clamps."""
        u = self.start + (self.far - self.start) / _CLAMPS
        middles = ((self.low + self.joint) / 2.0, (self.joint + self.high) / 2.0)
        return [(strip.name.rpartition(": ")[2], (u, v)) for strip, v in zip(self._strips, middles, strict=True)]


def _boards(view: _View) -> list[Item]:
    sides = ((view.low, view.joint), (view.joint, view.high))
    return [
        Shape(Role.OUTLINE, (view.box(view.start, v0, view.stop, v1),), fill=tint, ref="board")
        for (v0, v1), tint in zip(sides, _TINTS, strict=True)
    ]


def _joint_and_clamps(view: _View) -> list[Item]:
    joint = line(view.at(view.start, view.joint), view.at(view.stop, view.joint))
    items: list[Item] = [Shape(Role.CENTRE, (joint,), ref="joint")]
    for number in range(_CLAMPS):
        u = view.start + (number + 0.5) / _CLAMPS * (view.far - view.start)
        half, over = 0.2 * view.reach, 0.6 * view.reach
        bar = view.box(u - half, view.low - over, u + half, view.high + over)
        items.append(Shape(Role.THIN, (bar,), fill=_BARS[number % 2], ref=f"clamp {number + 1}"))
    return items
