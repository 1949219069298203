"""All building steps of a boat, and how they stand on the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, KeepTogether, Spacer, Table, TableStyle

from hullcut.drawing.pdf import SceneFlowable
from hullcut.packet.document import MM, Heading, bullet, note_box, paragraph
from hullcut.packet.special_pictures import step_picture
from hullcut.packet.step import Kit, Step
from hullcut.packet.steps_fitting import fitting_steps
from hullcut.packet.steps_hull import hull_steps
from hullcut.packet.studio import FOAM
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.studio import Studio

__all__ = ["building_steps", "steps_chapter"]

_PICTURE = (80.0, 65.0)
_TINT = "#fff3d6"


def building_steps(studio: Studio) -> list[Step]:
    """The steps of a boat, in order, without those whose parts it has not."""
    kit = Kit(studio.plan)
    return [*hull_steps(kit, studio), *fitting_steps(kit, studio)]


def steps_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The chapter of the building steps."""
    story: list[Flowable] = [
        CondPageBreak(100 * MM),
        Heading("Building, step by step", look.chapter),
        paragraph(
            "In each picture the new parts are orange. An arrow shows how they go on. "
            "Do not go on before the check is right.",
            look.body,
        ),
    ]
    before: list[str] = []
    steps = building_steps(studio)
    for number, step in enumerate(steps, 1):
        story.append(_step_block(studio, step, number, before, frames, look))
        arriving = [*studio.owners(*step.onto, *step.parts), *(each for each in step.extra if each != FOAM)]
        if number > 1:
            before += [owner for owner in arriving if owner not in before]
    return story


def _scene_of(studio: Studio, step: Step, before: list[str]) -> SceneFlowable:
    if step.draw is not None:
        return SceneFlowable(step.draw(*_PICTURE))
    brought = studio.owners(*step.onto)
    present = brought if step.apart else [*before, *(owner for owner in brought if owner not in before)]
    return SceneFlowable(step_picture(studio, step, present, *_PICTURE))


def _step_block(studio: Studio, step: Step, number: int, before: list[str], frames: Frames, look: Styles) -> Flowable:
    words_width = frames.width - _PICTURE[0] - 4.0
    words: list[Flowable] = []
    if 0 < len(step.parts) < len(studio.plan.parts):
        words.append(paragraph("Parts: " + "; ".join(_counted(step)), look.caution))
    words.append(paragraph("Tools: " + ", ".join(step.tools), look.caution))
    words.append(Spacer(0, 3))
    words += [bullet(sentence, look.step, f"{index}.") for index, sentence in enumerate(step.sentences, 1)]
    if step.adult:
        words += [
            Spacer(0, 2),
            note_box([paragraph(f"Ask the adult: {step.adult}", look.caution)], words_width - 2, _TINT),
        ]
    if step.glue:
        chosen = glue(studio.plan.design.glue)
        words += [
            Spacer(0, 2),
            paragraph(f"Glue: {chosen.hands} spread it. Cautions stand on the glue page.", look.small),
        ]
    check = note_box([paragraph(f"☐  Check: {step.check}", look.caution)], words_width - 2, "#e3f2ea")
    words += [Spacer(0, 2), check]
    title = Heading(f"{number}  {step.title}", look.section, 1)
    table = Table(
        [[[_scene_of(studio, step, before)], words]],
        [(_PICTURE[0] + 2.0) * MM, (frames.width - _PICTURE[0] - 2.0) * MM],
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
    return KeepTogether([title, table, Spacer(0, 5)])


def _counted(step: Step) -> list[str]:
    return [part.name + (f" × {part.quantity}" if part.quantity > 1 else "") for part in step.parts]
