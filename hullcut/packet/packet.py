"""The build packet of one boat as a PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.packet.before_water import before_the_water
from hullcut.packet.class_packet import kit_chapter
from hullcut.packet.cutting import cutting_chapter
from hullcut.packet.document import frames_of, render, styles, words_told
from hullcut.packet.fastening import fastening_chapter
from hullcut.packet.finishing import first_float, sealing
from hullcut.packet.lists import parts_list, shopping
from hullcut.packet.metal_page import engine_chapter, metal_chapter
from hullcut.packet.opening import cover, how_to_use, safety
from hullcut.packet.repairs import repairs
from hullcut.packet.setup_sheet import setup_sheet
from hullcut.packet.steps import steps_chapter
from hullcut.packet.studio import Studio
from hullcut.packet.words import words_chapter
from hullcut.packet.workshop import tools_chapter

if TYPE_CHECKING:
    from typing import Literal

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.design.values import Boat
    from hullcut.packet.document import Frames, Styles

__all__ = ["draw_ahead", "packet_pdf"]


def draw_ahead(studio: Studio, paper: Literal["letter", "a4"]) -> None:
    """Draw the steps' pictures, which a studio keeps for all packets of its design.

    Args:
        studio: of the design.
        paper: to print on.
    """
    steps_chapter(studio, frames_of(paper), styles())


def packet_pdf(
    plan: OrderPlan,
    boat: Boat | None,
    paper: Literal["letter", "a4"],
    watermark: str | None,
    studio: Studio | None = None,
) -> bytes:
    """The packet of one boat; the same plan gives the same bytes.

    Args:
        plan: of the whole order.
        boat: whose packet; None for a packet of the first design with lines to fill in.
        paper: to print on.
        watermark: stamped on every page where a check failed; None when all is well.
        studio: of the boat's design where several packets share one; made anew where None.

    Raises:
        ValueError: the plan has no design of the boat's name.
    """
    chosen = next((each for each in plan.boat_plans if boat is None or each.design.name == boat.design), None)
    if chosen is None:
        raise ValueError(f"the plan holds no design for {boat}")
    frames, look = frames_of(paper), styles()
    studio = studio or Studio(chosen)
    # A lone boat without a builder has its lines left free: many may be built from one packet.
    named = boat if boat is not None and (boat.builder or len(plan.order.boats) > 1) else None
    story: list[Flowable] = [
        *cover(studio, named, frames, look),
        *how_to_use(studio, _templates_file(plan, chosen), frames, look),
        *safety(frames, look),
        *shopping(plan, chosen, frames, look),
        *engine_chapter(studio, frames, look),
        *metal_chapter(studio, frames, look),
        *tools_chapter(studio, frames, look),
        *parts_list(chosen, frames, look),
        *_where_to_cut(plan, boat, frames, look),
        *fastening_chapter(studio, frames, look),
        *steps_chapter(studio, frames, look),
        *sealing(chosen, frames, look),
        *before_the_water(chosen, frames, look),
        *setup_sheet(studio, frames, look),
        *first_float(chosen, frames, look),
        *repairs(chosen, frames, look),
    ]
    story += words_chapter(chosen.design.hull, words_told(story), frames, look)
    name = chosen.design.name
    foot = f"{name} build packet" + (f" · boat {named.number}" if named is not None else "")
    return render(story, f"{name}: build packet", foot, paper, watermark)


def _templates_file(plan: OrderPlan, chosen: BoatPlan) -> str:
    """The name of the file with a design's templates, as `files` writes it."""
    return "templates.pdf" if len(plan.boat_plans) == 1 else f"templates-{chosen.design.name}.pdf"


def _where_to_cut(plan: OrderPlan, boat: Boat | None, frames: Frames, look: Styles) -> list[Flowable]:
    """The cutting plan of a lone boat; in a class, where the boat's pieces lie in the plan of all boats."""
    if boat is None or len(plan.order.boats) == 1:
        return cutting_chapter(plan, frames, look)
    return kit_chapter(plan, boat, frames, look)
