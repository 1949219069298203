"""Repairs: a holed bottom with the outline of its patch, a bent shaft, a lost fin, an open edge, a swamped engine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from reportlab.platypus import CondPageBreak, KeepTogether, Spacer

from hullcut.drawing.paths import arc, line, polygon, transform
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Path, Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.packet.document import MM, Heading, bullet, note_box, paragraph
from hullcut.packet.step import Kit
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.document import Frames, Styles

__all__ = ["Patch", "bottom_patch", "patch_picture", "repair_lines", "repairs"]

_CORNER = 12.0
_LEAST_GAIN = 0.4


@dataclass(frozen=True, slots=True)
class Patch:
    """A patch over a hole in the bend of the bottom, glued on from outside.

    Attributes:
        flat_x: where its middle stands in the bottom's drawing.
        hole: length and width of the hole that it closes, in the bottom's drawing.
        covered: length of the bottom that it covers, in the bottom's drawing.
        length: of the patch laid flat: longer, for it bends round the outside.
        width: across the boat.
        thickness: of the patch, that of the bottom.
    """

    flat_x: float
    hole: tuple[float, float]
    covered: float
    length: float
    width: float
    thickness: float


def bottom_patch(plan: BoatPlan) -> Patch:
    """A patch in the middle of the sharpest stretch of the bottom's bend.

    Its length is reckoned on its own middle surface: the bottom's drawing is true at the bottom's middle, and the
    patch lies half of each thickness farther out, so that it gains that distance times the angle which the bottom
    turns under it.
    """
    bottom = next(part for part in plan.parts if part.family == "bottom")
    covered = 101.6 if plan.design.units == "in" else 100.0
    hole = (covered / 2.0, covered / 4.0)
    width = hole[1] + covered / 2.0
    outline = np.array(bottom.outline)
    y = (outline[:, 1].min() + outline[:, 1].max()) / 2.0
    starts = np.linspace(outline[:, 0].min() + 20.0, outline[:, 0].max() - covered - 30.0, 200)
    turns = [bottom.panel.turn(np.array([[start, y], [start + covered, y]])) for start in starts]
    sharpest = int(np.argmax([abs(float(turn[1] - turn[0])) for turn in turns]))
    gained = bottom.thickness * float(turns[sharpest][1] - turns[sharpest][0])
    middle = float(starts[sharpest]) + covered / 2.0
    return Patch(middle, hole, covered, covered + gained, width, bottom.thickness)


def _rounded(x0: float, y0: float, x1: float, y1: float, r: float) -> Path:
    """A rectangle with round corners, counter-clockwise from its lower side."""
    sides = (
        line((x0 + r, y0), (x1 - r, y0)),
        arc((x1 - r, y0 + r), r, 270.0, 360.0),
        line((x1, y0 + r), (x1, y1 - r)),
        arc((x1 - r, y1 - r), r, 0.0, 90.0),
        line((x1 - r, y1), (x0 + r, y1)),
        arc((x0 + r, y1 - r), r, 90.0, 180.0),
        line((x0, y1 - r), (x0, y0 + r)),
        arc((x0 + r, y0 + r), r, 180.0, 270.0),
    )
    return Path(tuple(segment for side in sides for segment in side.segments), True)


def patch_picture(plan: BoatPlan) -> Scene:
    """The patch at full size with the hole it closes, and where it sits on the bottom."""
    patch, kit = bottom_patch(plan), Kit(plan)
    bottom = next(part for part in plan.parts if part.family == "bottom")
    long, wide = patch.length, patch.width
    hole_x, hole_y = patch.hole
    items: list[Item] = [
        Shape(Role.CUT, (_rounded(0.0, 0.0, long, wide, _CORNER),), ref="patch", fill="#fff3d6"),
        Shape(
            Role.HIDDEN,
            (
                _rounded(
                    (long - hole_x) / 2.0, (wide - hole_y) / 2.0, (long + hole_x) / 2.0, (wide + hole_y) / 2.0, 5.0
                ),
            ),
            ref="hole",
        ),
        Text(Role.LABEL, (long / 2.0, wide / 2.0 - 1.0), "hole", 3.0, anchor="middle"),
        Text(Role.LABEL, (long / 2.0, wide - 8.0), "patch, full size", 3.2, anchor="middle", bold=True),
        Text(Role.LABEL, (long / 2.0, 5.0), "to the bow →", 3.0, anchor="middle"),
        *level(0.0, long, 0.0, 0.0, -6.0, kit.fine(long)),
        *plumb(0.0, wide, 0.0, 0.0, -6.0, kit.size(wide)),
    ]
    outline = np.array(bottom.true_outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    scale = 60.0 / float(high[0] - low[0])
    ring = polygon([(float(x), float(y)) for x, y in outline - low])
    spot = _rounded(
        patch.flat_x - low[0] - patch.covered / 2.0,
        (high[1] - low[1] - wide) / 2.0,
        patch.flat_x - low[0] + patch.covered / 2.0,
        (high[1] - low[1] + wide) / 2.0,
        _CORNER,
    )
    small = [
        Shape(Role.OUTLINE, (ring,), fill="#ffffff", width=0.35),
        Shape(Role.OUTLINE, (spot,), fill="#ffd27a", width=0.25),
    ]
    left = long + 10.0
    items += [transform(item, scale=scale, dx=left, dy=wide - (high[1] - low[1]) * scale - 6.0) for item in small]
    foot = wide - (high[1] - low[1]) * scale - 6.0
    items.append(Text(Role.LABEL, (left, wide - 3.0), "the bottom from below, laid flat", 2.6))
    items += level(
        left, left + (patch.flat_x - low[0]) * scale, foot, foot, foot - 6.0, kit.size(float(patch.flat_x - low[0]))
    )
    return Scene("A patch for the bend of the bottom", -12.0, -10.0, left + 66.0, wide + 3.0, tuple(items))


def repair_lines(plan: BoatPlan) -> list[tuple[str, tuple[str, ...]]]:
    """What to do for each kind of damage, in short sentences under headings."""
    kit, design, place = Kit(plan), plan.design, plan.arrangement
    patch = bottom_patch(plan)
    gain = patch.length - patch.covered
    uncover = f"Unscrew the {kit.cover}. " if kit.cover else ""
    # Less than a rule shows is nothing to measure out; the rest is told in whole thirty-seconds of an inch.
    shown = round(gain * 32.0 / 25.4) * 25.4 / 32.0
    longer = (f"There it must be {kit.fine(shown)} longer than what it covers.",) if gain >= _LEAST_GAIN else ()
    return [
        (
            "A hole in the straight run aft",
            (
                "A patch glued on outside is a hump here, and slows the boat: fit it flush.",
                "Drain the boat. Let it dry for some days, indoors.",
                f"{uncover}Take out what lies over the hole: radio box, shelf, foam. An adult takes out the engine.",
                "Saw out the broken wood to a hole with straight sides and round corners.",
                f"Use the same plywood, {kit.fine(patch.thickness)} thick, its grain as in the bottom.",
                f"Cut a backing {kit.size(patch.covered / 4.0)} larger than the hole on every side.",
                "Glue the backing on inside. Weigh it down until the glue is hard.",
                "Cut a piece that just drops into the hole. Glue it in from outside.",
                "Fill the gap round it. Sand until a straightedge shows no gap or hump.",
                "Seal both sides twice. Bed foam and shelf in sealant again.",
            ),
        ),
        (
            "A swamped engine",
            (
                "Kill switch first, then radio off. Do not start the engine. Carry the boat outdoors.",
                f"{uncover}An adult takes out the battery. A wet or warm one goes outdoors.",
                "An adult takes out the spark plug and empties the tank.",
                "The spark plug lead stays off. Glasses on: two adults turn the boat until the plug hole points down. "
                "One pulls the cord slowly until no water comes.",
                "An adult follows the engine's manual from here, outdoors.",
                "Rinse salt water off with fresh water. Dry all parts for days.",
            ),
        ),
        (
            "The engine does not do as it should",
            (
                "The propeller turns at idle? An adult sets the idle lower, by the engine's manual.",
                "The kill switch fails? An adult looks at its wire, its bare metal and the battery.",
                "It does not start? An adult looks at fuel, choke, plug lead and switch. Then ask a repair shop.",
                "Then begin again with “First start”, on land.",
            ),
        ),
        (
            "Water ahead of the bulkhead",
            (
                "Open the bulkhead's drain plug. Tip the water out, and let it dry for some weeks, indoors.",
                "Find the leak: brush soapy water on the joints outside. "
                "An adult blows into the hole with a bicycle pump.",
                "Seal the leak twice. Close the plug.",
            ),
        ),
        (
            "Water at the shaft",
            (
                "A few drops are normal.",
                "More? An adult draws the shaft, packs its tube with waterproof grease, and puts it back.",
                "Still more? Look at the strut's bolts, the drain plug and the fin's slot.",
            ),
        ),
        (
            "A bent shaft",
            (
                "Do not run it: it shakes the boat to bits.",
                "An adult takes off the propeller, with gloves, and draws the shaft out.",
                f"It is {kit.size(plan.balance.drive.rod)} long and {kit.fine(design.drive.shaft_diameter)} thick.",
                "Roll it on a flat table. Light under it shows the bend.",
                f"If it rises more than {kit.fine(25.4 / 32.0)}, fit a new one.",
                "An adult may straighten a smaller bend in a vice.",
                "Look for a bent propeller and a loose strut too.",
            ),
        ),
        (
            "A lost fin",
            (
                "An adult takes out engine, coupling and shaft, and pares off the old fin cleats.",
                "Cut a new fin and two new cleats with their templates.",
                "Pick and file the old glue out of the slot.",
                f"Its after end stands {kit.size(place.fin_x)} from the {kit.stern}.",
                f"It stands {kit.size(design.fin.depth)} deep, square to the bottom.",
                "Glue it in with its cleats. Seal the slot.",
            ),
        ),
        (
            "An open plywood edge",
            (
                "Dry it well: wet wood holds no glue.",
                "An adult works glue between the layers with a thin knife.",
                "Clamp it between two boards, with plastic film between.",
                "Sand it when the glue is hard. Seal it twice.",
            ),
        ),
        (
            "A hole in the bend of the bottom",
            (
                "Drain the boat. Let it dry for a week indoors, the hole down.",
                "Saw out the broken wood to a hole with round corners, as in the picture.",
                f"Use the same plywood, {kit.fine(patch.thickness)} thick, its grain as in the bottom.",
                f"Cut the patch {kit.size(patch.covered / 4.0)} larger than the hole on every side.",
                "The picture shows it laid flat, for the sharpest stretch of the bend.",
                *longer,
                "Round its edges. Sand the paint off under it.",
                "Try it dry, bent on with tape or clamps.",
                "Cut a piece that just drops into the hole.",
                "Glue patch and piece from outside in one go. Hold them until the glue is hard.",
                "Seal it twice. Sand the patch's edges thin at front and back.",
            ),
        ),
    ]


def repairs(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The pages on repairs."""
    who = " An adult spreads it." if glue(plan.design.glue).hands == "adults" else ""
    who += "" if plan.design.glue == "epoxy" else " Under the waterline an adult uses epoxy, outside and in gaps."
    story: list[Flowable] = [
        CondPageBreak(190 * MM),
        Heading("Repairs", look.chapter),
        note_box(
            [
                paragraph(
                    "Before every repair: engine cool, kill switch used, spark plug lead off, battery out. "
                    "An adult empties the tank outdoors and stands by. An adult does the sawing. Mask on to sand. "
                    f"The glue page and its cautions count here too.{who}",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
    ]
    for heading, lines in repair_lines(plan):
        block: list[Flowable] = [Heading(heading, look.section, 1)]
        bullets = [bullet(text, look.step, f"{index}.") for index, text in enumerate(lines, 1)]
        block += bullets
        if "bend" in heading:
            # The picture never stands on a page without its words.
            block.append(SceneFlowable(patch_picture(plan), align="LEFT"))
        story.append(KeepTogether(block))
    return [*story, Spacer(0, 6)]
