"""All building steps of a boat, and how they stand on the page."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, KeepTogether, Spacer, TableStyle

from hullcut.drawing.pdf import SceneFlowable
from hullcut.lengths import both
from hullcut.packet.document import MM, Heading, Table, bullet, note_box, paragraph
from hullcut.packet.joining import bonds_by_step, joined_to, whole_grams
from hullcut.packet.lists import span
from hullcut.packet.pace import minutes_for, photo_of, waits
from hullcut.packet.screw_words import screws_told, tried_dry
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.step import Kit, Step
from hullcut.packet.step_tools import all_tools
from hullcut.packet.steps_fitting import fitting_steps
from hullcut.packet.steps_hull import BOTTOM_STEP, hull_steps
from hullcut.stock.fasteners import screw
from hullcut.stock.glues import glue
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.joining import Bond
    from hullcut.packet.studio import Studio
    from hullcut.parts.values import Part

__all__ = ["ADULTS_GLUE", "PHOTO_GATE", "after_step", "building_steps", "steps_chapter"]

_PICTURE, _CLOSER = (78.0, 65.0), (78.0, 104.0)
# Greatest height of a picture as wide as the page, mm.
_WIDE_HIGH = 92.0
# Greatest height of a picture under the words, mm.
_UNDER = 60.0
_TINT = "#fff3d6"

ADULTS_GLUE = "Two adults glue and check. You only try it dry."
"""Who does what where the glue is for adults' hands."""
PHOTO_GATE = "Show or send it to the adult on page 1. Wait for a yes."
"""What a pink box asks for, after its photo: the adult beside the builder may be no boat builder."""


@lru_cache(maxsize=16)
def building_steps(plan: BoatPlan) -> tuple[Step, ...]:
    """The steps of a boat, in order, without those whose parts it has not, each with all tools that it needs."""
    kit = Kit(plan)
    before, after = hull_steps(kit), fitting_steps(kit)
    steps = [*before, *after]
    # From the turning over on the hull lies on its stand.
    holds = ("stand",) if kit.family("stand") else ()
    rows = bonds_by_step(plan, steps)
    found = []
    for number, (step, joined) in enumerate(zip(steps, rows, strict=True)):
        tools = all_tools(step, any(bond.screws for bond in joined))
        # What is drilled dry is screwed in the next step that sets screws.
        later = next((row for row in rows[number:] if any(bond.screws for bond in row)), ())
        found.append(
            replace(
                step,
                tools=(*(holds if number >= len(before) else ()), *tools),
                sentences=tuple(_with_bits(kit, sentence, later) for sentence in step.sentences),
            )
        )
    return tuple(found)


# A sentence that has holes for screws drilled and names no bit itself.
_DRILLED = re.compile(r"\bdrill (?:all|the) screw holes\b|\bdrill and screw\b")


def _with_bits(kit: Kit, sentence: str, joined: Sequence[Bond]) -> str:
    """A sentence that has screw holes drilled, with the bits that they take."""
    screwed = [bond for bond in joined if bond.screws]
    if not screwed or not _DRILLED.search(sentence.lower()):
        return sentence
    return f"{sentence} {_bits(kit, screwed)}"


def _bits(kit: Kit, screwed: Sequence[Bond]) -> str:
    """The bits that the screws of some joints take."""
    sizes = screw(kit.plan.design.fasteners.gauge)
    pilots = dict.fromkeys(kit.bit(sizes.pilot(wood(bond.guest.material).pilot)) for bond in screwed)
    return f"Bits: {kit.bit(sizes.clearance)}, then {' or '.join(pilots)} into the part below."


def steps_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The chapter of the building steps."""
    apart = both(studio.plan.design.fasteners.spacing, studio.plan.design.units)
    story: list[Flowable] = [
        CondPageBreak(100 * MM),
        Heading("Building, step by step", look.chapter),
        paragraph(
            "In the pictures new parts are orange and hatched. An arrow shows how they go on. "
            "Times are guesses for two beginners. Do not go on before the check is right. "
            f"“From the {Kit(studio.plan).stern}” means from {_datum(studio.plan)}. An after face is nearer the stern. "
            f"Screw heads are on outer faces, about {apart} apart.{_who_glues(studio)}",
            look.body,
        ),
    ]
    before: list[str] = []
    steps = building_steps(studio.plan)
    joined = bonds_by_step(studio.plan, steps)
    weights = whole_grams(studio.plan, joined)
    others = joined_to(studio.plan, steps)
    for number, step in enumerate(steps, 1):
        before = [owner for owner in before if not owner.startswith(step.out or ("?",))]
        supplies = _supplies(step, studio, joined[number - 1], weights[number - 1])
        supplies += _dry_screws(step, studio, joined)
        story.append(_step_block(studio, step, number, before, supplies, others[number - 1], frames, look))
        if number > 1:
            before = after_step(studio, step, before)
    return story


def _who_glues(studio: Studio) -> str:
    """Who is meant where a step says glue, if the glue is for adults' hands."""
    adults = glue(studio.plan.design.glue).hands == "adults"
    return " Where a step says glue, the two adults do it." if adults else ""


def _datum(plan: BoatPlan) -> str:
    """From where along the boat lengths are measured."""
    raked = plan.design.hull.transom_rake > 0.0
    return "the edge where its outer face meets the bottom" if raked else "its outer face"


def after_step(studio: Studio, step: Step, before: Sequence[str]) -> list[str]:
    """The owners of what is in the boat after a step.

    Args:
        studio: of the boat.
        step: that is done.
        before: what was there.
    """
    arriving = [*studio.owners(*step.onto, *step.parts, *step.back), *step.extra]
    there = [*before, *(owner for owner in arriving if owner not in before)]
    return [owner for owner in there if not owner.startswith(step.out or ("?",))]


def _pictures_of(studio: Studio, step: Step, before: list[str], room: float) -> list[Flowable]:
    """The picture of a step, and a closer one under it where it has one.

    Args:
        studio: of the boat.
        step: the step.
        before: owners of what is there already.
        room: height of the words beside it, mm: a lone picture grows to it.
    """
    if step.across:
        return []
    low, high = _PICTURE[1], _CLOSER[1]
    tall = low if step.closer is not None else min(max(low, room), high)
    drawn = studio.kept(f"step: {step.title}", lambda: _drawn(studio, step, before, tall))
    found: list[Flowable] = [SceneFlowable(drawn)]
    closer = step.closer
    if closer is not None:
        scene = studio.kept(f"closer: {step.title}", lambda: closer(studio, *_CLOSER))
        found += [Spacer(0, 6), SceneFlowable(scene)]
    return found


def _drawn(studio: Studio, step: Step, before: list[str], tall: float) -> Scene:
    if step.draw is not None:
        return step.draw(studio, *_CLOSER)
    return _usual(studio, step, before, _PICTURE[0], tall)


def _usual(studio: Studio, step: Step, before: list[str], width: float, height: float) -> Scene:
    brought = studio.owners(*step.onto, *step.back)
    present = brought if step.apart else [*before, *(owner for owner in brought if owner not in before)]
    return step_picture(studio, step, present, width, height)


def _across(step: Step, before: list[str]) -> Callable[[Studio, float, float], Scene]:
    """What makes a step's usual picture as wide as the page."""
    return lambda studio, width, height: _usual(studio, step, before, width, height)


def _step_block(
    studio: Studio,
    step: Step,
    number: int,
    before: list[str],
    supplies: Sequence[str],
    others: Sequence[Part],
    frames: Frames,
    look: Styles,
) -> Flowable:
    beside = 0.0 if step.across else _PICTURE[0] + 2.0
    words_width = frames.width - beside - 2.0
    words: list[Flowable] = []
    if 0 < len(step.parts) + len(step.tried) < len(studio.plan.parts):
        joins = f". They join: {', '.join(_kinds(others))}" if others else ""
        words.append(paragraph(f"Parts: {'; '.join(_counted((*step.parts, *step.tried)))}{joins}", look.caution))
    if step.glued_up:
        glued = {each.part for each in step.glued_up}
        wide = [part for part in studio.plan.parts if part.id in glued]
        words.append(paragraph("Parts: " + "; ".join(_counted(wide)), look.caution))
    words.append(paragraph(f"Time: about {span(minutes_for(step))}. Tools: {', '.join(step.tools)}", look.caution))
    words += [paragraph(text, look.caution) for text in supplies]
    if step.adult:
        # Before the acts that it guards.
        guard = note_box([paragraph(f"Ask the adult: {step.adult}", look.caution)], words_width, _TINT)
        words += [Spacer(0, 2), guard]
    words.append(Spacer(0, 3))
    words += [bullet(sentence, look.step, f"{index}.") for index, sentence in enumerate(step.sentences, 1)]
    check = note_box([paragraph(f"☐  Check: {step.check}", look.caution)], words_width, "#e3f2ea")
    words += [Spacer(0, 2), check]
    waiting = _wait(step, studio)
    if waiting:
        words += [Spacer(0, 2), paragraph(waiting, look.caution)]
    photo = photo_of(step)
    if photo:
        gate = f"☐  STOP. Take a photo of {photo}. {PHOTO_GATE}"
        words += [Spacer(0, 2), note_box([paragraph(gate, look.caution)], words_width, "#f7dfe9")]
    under = step.under
    if under is not None:
        scene = studio.kept(f"under: {step.title}", lambda: under(studio, words_width - 2.0, _UNDER))
        words += [Spacer(0, 6), SceneFlowable(scene)]
    title = Heading(f"{number}  {step.title}", look.section, 1)
    room = sum(_tall(each, words_width) for each in words)
    table = Table(
        [[_pictures_of(studio, step, before, room), words] if beside else [words]],
        [width * MM for width in (beside, frames.width - beside) if width],
        hAlign="LEFT",
    )
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("LINEABOVE", (0, 0), (-1, 0), 0.6, HexColor("#000000")),
            ]
        )
    )
    block: list[Flowable] = [title, table]
    spread = _across(step, before) if step.across else step.wide
    if spread is not None:
        scene = studio.kept(
            f"wide: {step.title} {frames.width:.3f}", lambda: spread(studio, frames.width - 20.0, _WIDE_HIGH)
        )
        block += [Spacer(0, 6), SceneFlowable(scene, align="LEFT")]
    return KeepTogether([*block, Spacer(0, 3)])


def _tall(flowable: Flowable, width: float) -> float:
    """Height of a flowable in a column of a width, both mm."""
    high: float = flowable.wrap(width * MM, 1e4)[1]
    return (high + flowable.getSpaceBefore() + flowable.getSpaceAfter()) / MM


# How glued parts are held, by what holds them.
_HELD = (("clamps", "in clamps"), ("straps", "under straps"), ("weights", "under weights"))


def _wait(step: Step, studio: Studio) -> str:
    """How long a step's glue needs, and what may be done meanwhile; empty where there is none."""
    if not step.glue or step.waits_told:
        return ""
    chosen = glue(step.own_glue or studio.plan.design.glue)
    held = " and ".join(words for tool, words in _HELD if tool in step.tools) or "held still"
    hard = span(chosen.cure_minutes)
    meanwhile = "Build the stand meanwhile." if Kit(studio.plan).family("stand") else ""
    clamped = f"Wait: {hard if step.until_hard else span(chosen.clamp_minutes)} {held}"
    off = f"Keep off it for {span(chosen.keep_off)}." if chosen.keep_off else ""
    if step.title == BOTTOM_STEP:
        trim = "" if step.until_hard else f"Trim the bottom only after {hard}."
        return " ".join(f"{clamped}. {off} {meanwhile} {trim}".split())
    if step.until_hard and not off:
        return f"{clamped}."
    if off:
        later = f" It is hard after {hard}." if chosen.cure_minutes > chosen.keep_off else ""
        return f"{clamped}. {off}{later}"
    return f"{clamped}, then {hard} until it is hard." if waits(step) else f"{clamped}, then go on. Hard after {hard}."


def _supplies(step: Step, studio: Studio, joined: Sequence[Bond], weight: int) -> list[str]:
    """Glue, so many grams of it, and screws of a step."""
    lines = []
    design = studio.plan.design
    if step.glue:
        chosen = glue(step.own_glue or design.glue)
        who = ADULTS_GLUE if chosen.hands == "adults" else "You may spread it, with your adult."
        who = f"They damp one face first. {who}" if chosen.damped else who
        lines.append(f"Glue: {f'about {weight} g of ' if weight else 'a little '}{chosen.name.split(' (')[0]}. {who}")
    if any(bond.screws for bond in joined):
        told = any("Bits: " in sentence for sentence in step.sentences)
        bits = "" if told else f" {_bits(Kit(studio.plan), [bond for bond in joined if bond.screws])}"
        lines.append(f"Screws: {screws_told(studio.plan, joined)}. Gauge {design.fasteners.gauge}.{bits}")
    return lines


def _dry_screws(step: Step, studio: Studio, rows: Sequence[Sequence[Bond]]) -> list[str]:
    """The screws whose holes a step drills dry, and in which step they are counted."""
    found = []
    for number, joined in enumerate(rows, 1):
        tried = tried_dry(joined, step.dry_screws)
        if tried:
            found.append(f"Screws tried dry (step {number} counts them): {screws_told(studio.plan, tried)}.")
    return found


def _counted(parts: Sequence[Part]) -> list[str]:
    """Names of parts with their counts; a pair of port and starboard is told as one."""
    hands: dict[str, list[Part]] = {}
    for part in parts:
        hands.setdefault(part.name.removesuffix(f", {part.hand}"), []).append(part)
    return [
        f"{name}, port and starboard" if len(pair) == 2 else pair[0].name + _times(pair[0].quantity)
        for name, pair in hands.items()
    ]


def _times(quantity: int) -> str:
    return f" × {quantity}" if quantity > 1 else ""


def _kinds(parts: Sequence[Part]) -> list[str]:
    """Parts by kind, without their places: "sides", "transom", "chine cleats"."""
    counts: dict[str, int] = {}
    for part in parts:
        kind = part.name.split(",")[0].lower()
        counts[kind] = counts.get(kind, 0) + part.quantity
    return [f"{kind}s" if count > 1 else kind for kind, count in counts.items()]
