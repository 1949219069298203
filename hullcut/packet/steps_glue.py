"""The step that glues up parts wider than any board, before their outlines are cut."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hullcut.drawing import font
from hullcut.drawing.paths import clip_items, line, polygon, rectangle, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.packet.step import Step
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item
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
            adult="An adult planes the edges with you, and checks the joint before you bend the part.",
            glue=True,
            draw=partial(glue_up_picture, kit.plan),
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
    (x0, y0), (x1, y1) = glued.joint
    along = y0 == y1
    low = glued.corners[0]
    top = glued.corners[1]
    upper = glued.strips[1]
    right, high = top[0] + upper.finished_length, top[1] + upper.finished_width
    reach = 0.1 * min(right - low[0], high - low[1])
    # A long part is drawn from its end as far as its joint can be seen well.
    far = (
        (min(right, low[0] + _SHOWN * (high - low[1])), high)
        if along
        else (right, min(high, low[1] + _SHOWN * (right - low[0])))
    )
    halves = (
        (low, (right, y0) if along else (x0, high)),
        ((low[0], y0) if along else (x0, low[1]), (right, high)),
    )
    items: list[Item] = [
        Shape(Role.OUTLINE, (rectangle(*a, *b),), fill=tint, ref=strip.id)
        for (a, b), tint, strip in zip(halves, _TINTS, glued.strips, strict=True)
    ]
    items.append(Shape(Role.HIDDEN, (polygon(part.outline),), ref=part.id))
    items.append(Shape(Role.CENTRE, (line((x0, y0), (x1, y1)),), ref="joint"))
    for number in range(_CLAMPS):
        share = (number + 0.5) / _CLAMPS
        at = low[0] + share * (far[0] - low[0]) if along else low[1] + share * (far[1] - low[1])
        half = reach / 4.0
        box = (
            (at - half, low[1] - reach, at + half, high + reach)
            if along
            else (low[0] - reach, at - half, right + reach, at + half)
        )
        items.append(Shape(Role.THIN, (rectangle(*box),), fill=_BARS[number % 2], ref=f"clamp {number + 1}"))
    x, y = low[0] - 1.5 * reach, low[1] - 1.5 * reach
    shown = (x, y, far[0] + (0.0 if along else 1.5 * reach), far[1] + (1.5 * reach if along else 0.0))
    scale = min((width - 2.0) / (shown[2] - x), (height - 17.0) / (shown[3] - y))
    drawn = [transform(item, scale=scale, dx=-x * scale, dy=-y * scale) for item in clip_items(items, shown)]
    high = (shown[3] - y) * scale
    gap = 1.0 / _CLAMPS
    for (a, b), strip in zip(halves, glued.strips, strict=True):
        middle = (low[0] + gap * (far[0] - low[0]), (a[1] + b[1]) / 2.0)
        if not along:
            middle = ((a[0] + b[0]) / 2.0, low[1] + gap * (far[1] - low[1]))
        here = ((middle[0] - x) * scale, (middle[1] - y) * scale - 0.36 * _WORDS)
        drawn.append(Text(Role.LABEL, here, strip.name.rpartition(": ")[2], _WORDS, anchor="middle", ref=strip.id))
    words = (
        f"{part.name}: two boards make one wide board.",
        "The glue joint is the line between them. Dashed: cut after drying.",
        "The bars are clamps: grey ones over the boards, white ones under.",
    )
    size = min(font.fit_size(text, width - 2.0, _WORDS) for text in words)
    texts = [Text(Role.LABEL, (0.0, -4.0 - 4.2 * number), text, size) for number, text in enumerate(words)]
    return Scene("Glue up the wide parts", -1.0, -14.5, width - 1.0, high + 1.0, (*drawn, *texts))
