"""What is done and packed at home before the day afloat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, Spacer

from hullcut.packet.document import MM, Heading, bullet
from hullcut.packet.step import Kit

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.document import Frames, Styles

__all__ = ["before_the_water", "home_lines"]


def home_lines(plan: BoatPlan) -> list[tuple[str, tuple[str, ...]]]:
    """What to look at and what to pack, in short sentences under headings."""
    kit = Kit(plan)
    uncover = f"Unscrew the {kit.cover}, by hand. " if kit.cover else ""
    taped = " and tape its edges" if kit.taped_hatch else ""
    cover_on = f" Screw the {kit.cover} on{taped}." if kit.cover else ""
    return [
        (
            "At home, engine off",
            (
                f"{uncover}An adult charges the batteries away from the boat, and stays in the room.",
                "Wipe fresh grease round the shaft at both ends of its tube. Check every screw, nut and link.",
                "Strap the battery back in its bag and join it, switch off. "
                f"Fit the drain plugs. Check the foam you can see.{cover_on}",
                "Transmitter on first, off last. Off, the failsafe closes the throttle and works the kill switch.",
                "Find the transmitter's kill switch ten times without looking.",
            ),
        ),
        (
            "Pack for the water",
            (
                "The boat, its stand with the bar, two straps, a firm table, long clamps. "
                "Transmitter, line, water bottle, jug.",
                "Life jackets, ear protection, safety glasses, gloves, pump, extinguisher. First-aid kit and phone.",
                "Fuel in its can, the marked cup, a funnel. Rags and their lidded can. "
                "Screwdriver, hex key, spanners, ballast, bathroom scale.",
                "Rowing boat with oars, the owner's yes, the next two pages, a pencil.",
            ),
        ),
    ]


def before_the_water(plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The list, to tick off; it stands before the pages that are taken along."""
    story: list[Flowable] = [CondPageBreak(62 * MM), Heading("Before you go to the water", look.chapter)]
    for heading, lines in home_lines(plan):
        story.append(Heading(heading, look.section, 1))
        story += [bullet(text, look.step, "☐") for text in lines]
    return [*story, Spacer(0, 6)]
