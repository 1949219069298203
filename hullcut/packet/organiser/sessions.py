"""The session plan: which steps go into which evening, with the clamps and jigs that a class needs at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.packet.lists import span
from hullcut.packet.organiser.plain_section import OrganiserSection
from hullcut.packet.pace import TOGETHER, clamps_for, minutes_for
from hullcut.packet.steps import building_steps
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.step import Step

__all__ = ["EVENING", "Session", "session_section", "sessions"]

EVENING = 110
"""Minutes of work in an evening of two hours, less setting up and sweeping: common practice, no source."""

# How many coats a step brushes on; a night lies between two of them.
_COATS = {"Seal the inside": 2, "Sand, seal and paint": 4}

# What each boat needs in a step that is kept from step to step, and how many of each.
_JIGS: dict[str, tuple[tuple[int, str], ...]] = {
    "Stand sides and transom on the board, keel up": ((1, "flat board with centre line"),),
    "Check the dry frame": ((2, "straight stick"),),
    "Cut the shaft slot and try the rod": ((1, "dummy rod"), (1, "wedge"), (1, "disc"), (1, "block")),
    "Line up the coupling and glue in the shaft log": ((1, "dummy rod"),),
    "Balance the boat": ((1, "stand with balance bar"),),
}


@dataclass(frozen=True, slots=True)
class Session:
    """One evening.

    Attributes:
        number: from 1.
        steps: numbers and titles; a long step stands in several evenings.
        minutes: of work.
        clamps: in use at once on one boat.
        jigs: that each boat needs, how many of each.
        adult: "yes" where a step gives an adult work or something to watch, "glue" where they only spread its glue.
        dries: what has to dry before the next evening, or that nothing has.
    """

    number: int
    steps: tuple[tuple[int, str], ...]
    minutes: int
    clamps: int
    jigs: tuple[tuple[int, str], ...]
    adult: str
    dries: str


def sessions(plan: BoatPlan, evening: int = EVENING) -> tuple[Session, ...]:
    """The steps in their order, spread over evenings.

    An evening ends when the next step no longer fits, or when it must wait for glue in its clamps or for a coat to
    dry: one coat an evening, for a night lies between two. A step longer than an evening goes on in the next. The
    frame is set up, checked and glued in one evening where one is long enough.

    Args:
        plan: of the boat.
        evening: minutes of work in one.
    """
    found: list[Session] = []
    today: list[tuple[int, Step]] = []
    used = 0

    def close(dries: str) -> None:
        nonlocal today, used
        if today:
            glued = any(step.glue for _, step in today)
            cure = glue(plan.design.glue).cure_minutes
            left_over = f"glue: hard after {span(cure)}" if glued else "nothing"
            found.append(_session(plan, len(found) + 1, today, used, dries or left_over))
        today, used = [], 0

    steps = building_steps(plan)
    for number, step in enumerate(steps, 1):
        left = minutes_for(step)
        coats = _COATS.get(step.title, 0)
        for coat in range(coats):
            share = left // coats + (coat < left % coats)
            if used and used + share > evening:
                close("")
            today.append((number, step))
            used += share
            close(f"coat {coat + 1} of {coats}: a night, or as the label says")
        if coats:
            continue
        # The first of the steps that belong together waits for an evening that holds them all.
        needed = (
            sum(minutes_for(each) for each in steps if each.title in TOGETHER) if step.title == TOGETHER[0] else left
        )
        if used and used + needed > evening:
            close("")
        while left > evening:
            today.append((number, step))
            used = evening
            left -= evening
            close("")
        today.append((number, step))
        used += left
        clamped = glue(step.own_glue or plan.design.glue).clamp_minutes
        off = glue(step.own_glue or plan.design.glue).keep_off
        if step.glue and off:
            close(f"glue: keep off for {span(off)}")
        elif step.glue and step.until_hard:
            close(f"glue: {span(glue(plan.design.glue).cure_minutes)} under straps")
        elif step.glue and used + clamped > evening:
            close(f"glue: {span(clamped)} in clamps")
    close("")
    return tuple(found)


def _session(plan: BoatPlan, number: int, steps: Sequence[tuple[int, Step]], minutes: int, dries: str) -> Session:
    jigs = tuple(dict.fromkeys(jig for _, step in steps for jig in _JIGS.get(step.title, ())))
    return Session(
        number,
        tuple((count, step.title) for count, step in steps),
        minutes,
        max(clamps_for(step) for _, step in steps),
        jigs,
        _adults_hands(plan, [step for _, step in steps]),
        dries,
    )


def _adults_hands(plan: BoatPlan, steps: Sequence[Step]) -> str:
    """What the steps of an evening leave to an adult, as `Session.adult` tells it; empty for nothing."""
    if any(step.adult for step in steps):
        return "yes"
    glues = [glue(step.own_glue or plan.design.glue) for step in steps if step.glue]
    return "glue" if any(each.hands == "adults" for each in glues) else ""


def session_section(plan: BoatPlan, boats: int) -> OrganiserSection:
    """The plan as a table, clamps and jigs counted for all boats that are built side by side."""
    planned = sessions(plan)
    rows = tuple(
        (
            str(each.number),
            "; ".join(f"{number} {title}" for number, title in each.steps),
            span(each.minutes),
            str(each.clamps * boats or ""),
            ", ".join(f"{boats * count} × {jig}" for count, jig in each.jigs),
            each.adult,
            each.dries,
        )
        for each in planned
    )
    most = max(each.clamps for each in planned)
    several = f"{boats} boats side by side" if boats > 1 else "one boat"
    return OrganiserSection(
        (
            f"{len(planned)} evenings of about two hours, for {several}, two beginners and an adult a boat. "
            "No. counts the evenings; one with a coat is short.",
            f"The busiest evening needs {most * boats} small clamps, one side of each boat glued at a time. "
            "Two groups that glue on different evenings need half of them. "
            "Clamps are counted for this design alone: designs built at the same time share none on one evening.",
            "An adult is there every evening. Their hands are needed where it says yes, for the steps give them work "
            "or something to watch, and where it says glue, which they alone spread.",
            "The straight cuts at the big saw are done by adults before the first evening.",
        ),
        ("No.", "Steps", "Work", "Clamps", "Jigs", "Adult's hands", "Then dries"),
        (8.0, 58.0, 18.0, 12.0, 26.0, 13.0, 24.0),
        rows,
        "Times: common practice, no source; estimates. Clamping: the chosen glue's figures in the glue table.",
    )
