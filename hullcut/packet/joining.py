"""What holds the boat together: glued areas and screws, by the pairs of parts that they join."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import shapely

from hullcut.shares import whole_shares
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.packet.step import Step
    from hullcut.parts.values import Mark, Part

__all__ = [
    "GLUE_WASTE",
    "HOLDERS",
    "Bond",
    "bonds",
    "bonds_by_step",
    "grams",
    "joined_to",
    "screws_by_length",
    "screws_by_wood",
    "whole_grams",
]

GLUE_WASTE = 1.5
"""Glue is spread on more than the joint, runs out of it and hardens in the pot: common practice, no source."""

HOLDERS = {"cleat": "cleats", "deck_beam": "beams", "bearer": "bearers", "nose_block": "the block at the bow"}
"""What screws go into, by family, in words."""


@dataclass(frozen=True, slots=True)
class Bond:
    """Two parts that are joined, or the two boards that a part is glued up from.

    Attributes:
        host: the part on which the other lands.
        guest: the part that lands; the host itself where it is glued up from two boards.
        area: glued, of all copies, mm2; 0 where they are only screwed.
        screws: through the host into the guest, of all copies.
        screw_length: mm; 0 where there are none.
    """

    host: Part
    guest: Part
    area: float
    screws: int
    screw_length: float = 0.0


@lru_cache(maxsize=16)
def bonds(plan: BoatPlan) -> tuple[Bond, ...]:
    """Every pair of boards that are glued up, then every pair of parts that a boat's marks join, in building order."""
    named = {part.name: part for part in plan.parts}
    areas = {glued.part: glued.area for glued in plan.glue_ups}
    found = [Bond(part, part, part.quantity * areas[part.id], 0) for part in plan.parts if part.id in areas]
    for host in plan.parts:
        prints = [(named[mark.name], mark) for mark in host.marks if mark.kind == "landing" and mark.name in named]
        screws = _screws_into(host, prints)
        for guest in dict.fromkeys(part.id for part, _ in prints):
            mine = [(part, mark) for part, mark in prints if part.id == guest]
            part = mine[0][0]
            area = sum(float(shapely.Polygon(mark.points).area) for _, mark in mine if len(mark.points) > 3)
            glued = host.quantity * area if _glued(host, part) else 0.0
            count, length = screws.get(guest, (0, 0.0))
            found.append(Bond(host, part, glued, host.quantity * count, length))
    return tuple(found)


def _glued(host: Part, guest: Part) -> bool:
    """Whether two parts that meet are glued: what must come off again is only screwed or bolted."""
    if host.family == "hatch":
        return guest.family == "batten"
    if host.family == "shelf":
        return guest.family == "batten"
    return guest.family not in ("shelf", "engine_plate")


def _screws_into(host: Part, prints: Sequence[tuple[Part, Mark]]) -> dict[str, tuple[int, float]]:
    """How many screws of a part stand in whose print, by the guest's id, and how long they are, mm."""
    # The prints of a side and of its cleat overlap where the side bends: the cleat holds the screw.
    areas = [
        (part.id, shapely.Polygon(mark.points))
        for part, mark in prints
        if len(mark.points) > 3 and part.family in HOLDERS
    ]
    counts: dict[str, tuple[int, float]] = {}
    for mark in host.marks:
        if mark.kind == "screw" and areas:
            at = shapely.Point(mark.points[0])
            guest = min(areas, key=lambda pair: (pair[1].distance(at), pair[1].area))[0]
            count, length = counts.get(guest, (0, 0.0))
            counts[guest] = (count + 1, max(length, mark.length or 0.0))
    return counts


def grams(plan: BoatPlan, joined: Sequence[Bond]) -> float:
    """Glue for some joints, grams: their areas times the spread of the chosen glue, with waste."""
    return sum(bond.area for bond in joined) * 1e-6 * glue(plan.design.glue).spread * GLUE_WASTE


def whole_grams(plan: BoatPlan, rows: Sequence[Sequence[Bond]]) -> list[int]:
    """Whole grams of glue for the joints of each step, which add up to those of the boat; 0 for less than half one."""
    exact = [grams(plan, row) for row in rows]
    return whole_shares(exact, round(sum(exact)))


def bonds_by_step(plan: BoatPlan, steps: Sequence[Step]) -> tuple[tuple[Bond, ...], ...]:
    """The joints that each step closes: those of which the later part goes on in it, or whose boards it glues up.

    What is put together away from the boat meets the rest in the next step at the boat.
    """
    when: dict[str, int] = {}
    glued = {each.part: number for number, step in enumerate(steps) for each in step.glued_up}
    for number, step in enumerate(steps):
        if 0 < len(step.parts) + len(step.onto) < len(plan.parts):
            for part in (*step.onto, *step.parts):
                when.setdefault(part.id, number)
    rows: list[list[Bond]] = [[] for _ in steps]
    for bond in bonds(plan):
        if bond.host is bond.guest:
            rows[glued[bond.host.id]].append(bond)
            continue
        number = max(when[bond.host.id], when[bond.guest.id])
        while steps[number].apart and when[bond.host.id] != when[bond.guest.id]:
            number += 1
        # What is tried dry first is joined where the glue is spread.
        while bond.area > 0.0 and not steps[number].glue and number + 1 < len(steps):
            number += 1
        rows[number].append(bond)
    return tuple(tuple(row) for row in rows)


def joined_to(plan: BoatPlan, steps: Sequence[Step]) -> tuple[tuple[Part, ...], ...]:
    """For each step the parts, in building order, that its new ones are joined to and that were there before.

    Parts that are tried dry count as new where they are tried, and as there in the steps after it.
    """
    there: set[str] = set()
    found: list[tuple[Part, ...]] = []
    for step, closed in zip(steps, bonds_by_step(plan, steps), strict=True):
        if len(step.parts) == len(plan.parts):
            found.append(())
            continue
        new = {part.id for part in (*step.parts, *step.tried)}
        here = there | {part.id for part in step.onto}
        touched = {part.id for part in step.onto}
        # On the bench a part meets only what lies there with it.
        within = {part.id for part in step.onto} if step.apart else here
        for bond in bonds(plan):
            ends = {bond.host.id, bond.guest.id}
            if len(ends & new) == 1 and (ends - new) <= within:
                touched |= ends - new
        touched |= {part.id for bond in closed if bond.host is not bond.guest for part in (bond.host, bond.guest)} - new
        found.append(tuple(part for part in plan.parts if part.id in touched))
        there = here | new
    return tuple(found)


def screws_by_length(joined: Sequence[Bond]) -> dict[float, int]:
    """How many screws of each length, mm, some joints take; the shortest first."""
    counts: dict[float, int] = {}
    for bond in sorted(joined, key=lambda bond: bond.screw_length):
        if bond.screws:
            counts[bond.screw_length] = counts.get(bond.screw_length, 0) + bond.screws
    return counts


def screws_by_wood(plan: BoatPlan) -> dict[str, int]:
    """How many screws go into each wood, by its key, in building order."""
    counts: dict[str, int] = {}
    for bond in bonds(plan):
        if bond.screws:
            counts[bond.guest.material] = counts.get(bond.guest.material, 0) + bond.screws
    return counts
