"""One building step: a frozen value, and the words that measures are written with."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from hullcut.lengths import both, inches, millimetres
from hullcut.packet.joining import bonds
from hullcut.parts.bevels import bevel_summaries
from hullcut.parts.hatch import has_coaming

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Literal

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.packet.studio import Studio
    from hullcut.parts.values import Part
    from hullcut.stock.fasteners import Bit

__all__ = ["Kit", "Step", "bit_words"]

Point3 = tuple[float, float, float]


_SIXTEENTH = 25.4 / 16.0


@dataclass(frozen=True, slots=True)
class Step:
    """One step.

    Attributes:
        title: what is done.
        parts: that go on in this step.
        tools: needed.
        sentences: what to do, one action each.
        check: what to measure, with numbers from the geometry.
        adult: what an adult does or watches; empty where nothing.
        glue: whether the chosen glue is spread.
        view: from where the picture is taken.
        shift: how far off their place the new parts are drawn, mm.
        hide: slugs or families left out of the picture, to look inside.
        draw: makes the picture instead, in the boat's studio, of a width and height in mm; None for the usual one.
        closer: makes a second picture, under the first, as `draw` does; None for none.
        under: makes a picture that stands under the words, as `draw` does; None for none.
        wide: makes a picture as wide as the page, under picture and words, as `draw` does; None for none.
        across: whether its usual picture is as wide as the page, under the words: for a whole boat from the side.
        turns: slug to its own shift, where the new parts come from different sides.
        extra: fittings that this step adds.
        onto: parts that come to the bench with this step, for the new ones to go on.
        apart: whether it is done away from the boat, with nothing but `onto` on the bench.
        glued_up: the blanks of wide parts that are glued up in this step, before the parts are cut out.
        tried: parts that are put in their places dry, and are glued in a later step.
        out: owners of bodies that this step takes out of the boat; those that it draws itself go after it.
        pulls: starts and ends in space of further arrows.
        until_hard: whether what holds its parts stays until the glue is hard.
        waits_told: whether its sentences tell how long its glue needs, so that no line under them does.
        own_glue: key of the glue of this step where the boat's own will not do; empty for the boat's own.
        dry_screws: slugs with which hosts and guests begin whose screws this step sets or drills for without glue.
        back: parts built earlier and set aside that this step brings back, and that its picture shows.
        raised: how far what is there is drawn lifted off the parts brought back, mm.
    """

    title: str
    parts: tuple[Part, ...]
    tools: tuple[str, ...]
    sentences: tuple[str, ...]
    check: str
    adult: str = ""
    glue: bool = False
    view: str = "quarter"
    shift: Point3 = (0.0, 0.0, 0.0)
    hide: tuple[str, ...] = ()
    draw: Callable[[Studio, float, float], Scene] | None = None
    closer: Callable[[Studio, float, float], Scene] | None = None
    under: Callable[[Studio, float, float], Scene] | None = None
    wide: Callable[[Studio, float, float], Scene] | None = None
    across: bool = False
    turns: dict[str, Point3] = field(default_factory=dict)
    extra: tuple[str, ...] = ()
    onto: tuple[Part, ...] = ()
    apart: bool = False
    glued_up: tuple[GlueUp, ...] = ()
    tried: tuple[Part, ...] = ()
    out: tuple[str, ...] = ()
    pulls: tuple[tuple[Point3, Point3], ...] = ()
    until_hard: bool = False
    waits_told: bool = False
    own_glue: str = ""
    dry_screws: tuple[tuple[str, str], ...] = ()
    back: tuple[Part, ...] = ()
    raised: float = 0.0

    def shift_of(self, owner: str) -> Point3:
        """How far off its place a new body is drawn, mm."""
        # A cleat's slug begins as that of the part it carries does.
        found = [start for start in self.turns if owner.startswith(start)]
        return self.turns[max(found, key=len)] if found else self.shift


def bit_words(bit: Bit, units: Literal["in", "mm"]) -> str:
    """A drill bit by its mark and to 0.1 mm, the chosen unit first."""
    metric = f"{bit.diameter:.1f} mm"
    return f"{bit.name} ({metric})" if units == "in" else f"{metric} ({bit.name})"


class Kit:
    """The parts of a boat by slug and family, and its sizes in words.

    Args:
        plan: the boat.
    """

    def __init__(self, plan: BoatPlan) -> None:
        self.plan = plan
        self._slugs = {part.id.removeprefix(f"{part.design}-"): part for part in plan.parts}

    def family(self, *names: str) -> tuple[Part, ...]:
        """The parts of some families, in building order."""
        return tuple(part for part in self.plan.parts if part.family in names)

    def slugs(self, *starts: str) -> tuple[Part, ...]:
        """The parts whose slug begins so, in building order."""
        return tuple(part for slug, part in self._slugs.items() if slug.startswith(starts))

    @cached_property
    def _screwed(self) -> tuple[tuple[str, str], ...]:
        prefix = f"{self.plan.design.name}-"
        return tuple(
            (bond.host.id.removeprefix(prefix), bond.guest.id.removeprefix(prefix))
            for bond in bonds(self.plan)
            if bond.screws
        )

    def screwed(self, host: str, *guests: str) -> bool:
        """Whether screws go through a part whose slug begins so into parts whose slugs begin so."""
        return any(one.startswith(host) and other.startswith(guests) for one, other in self._screwed)

    @property
    def cover(self) -> str:
        """What is screwed over the stern and comes off, in words; empty for an open stern."""
        return {"hatch": "hatch", "deck": "after deck", "open": ""}[self.plan.design.decks.after]

    @property
    def taped_hatch(self) -> bool:
        """Whether a hatch is screwed at one edge alone, so that tape holds the others afloat."""
        if self.plan.design.decks.after != "hatch" or has_coaming(self.plan.hull):
            return False
        return not self.screwed("hatch", "sheer-cleat")

    @property
    def stern(self) -> str:
        """From where lengths are measured: on a raked transom only its lower edge stands at 0."""
        return "transom's lower edge" if self.plan.design.hull.transom_rake else "transom"

    @property
    def straight_run(self) -> float:
        """Length of the bottom's straight run, mm."""
        return self.plan.design.hull.flat_to - self.plan.design.hull.rocker_to

    @property
    def sloped(self) -> bool:
        """Whether ends and edges of the frame slope, so that they are planed to fit."""
        sizes = self.plan.design.hull
        flared = sizes.flare or sizes.offsets is not None
        return bool(flared or sizes.transom_rake or sizes.bow != "sled" or sizes.sheer_rise)

    def slants(self, parts: tuple[Part, ...]) -> bool:
        """Whether any edge of some parts is planed off square."""
        return any(bevel_summaries(part, self.plan.design.units) for part in parts)

    def size(self, mm: float) -> str:
        """A length in both units, the design's own first."""
        return both(mm, self.plan.design.units)

    def bit(self, bit: Bit) -> str:
        """A drill bit by its mark and in the other unit, the design's own first."""
        return bit_words(bit, self.plan.design.units)

    def at_most(self, mm: float) -> str:
        """A limit in both units, each rounded down: to 1/16 in, and to 1 mm or below an inch to 0.1 mm."""
        inch = inches(_SIXTEENTH * math.floor(mm / _SIXTEENTH + 1e-6))
        decimals = 1 if mm < 16.0 * _SIXTEENTH else 0
        metric = millimetres(math.floor(mm * 10.0**decimals + 1e-6) / 10.0**decimals, decimals)
        return f"{inch} ({metric})" if self.plan.design.units == "in" else f"{metric} ({inch})"

    def fine(self, mm: float) -> str:
        """A small length in both units, to 1/32 in and 0.1 mm."""
        return both(mm, self.plan.design.units, 32, decimals=1)
