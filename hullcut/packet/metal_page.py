"""The pages to take to bench and shop: the engine with its limits, and the metal parts with their sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak, Spacer, TableStyle

from hullcut.balance.drive_line import STRUT_AHEAD
from hullcut.balance.engine_room import AHEAD, BRACKET_WIDE, engine_room
from hullcut.balance.weights import THREAD
from hullcut.drawing.pdf import SceneFlowable
from hullcut.packet.document import MM, Heading, Table, bullet, grid, note_box, paragraph
from hullcut.packet.engine_limits_picture import engine_limits_astern, engine_limits_side, forward
from hullcut.packet.engine_mount import STUB_END, bearers_over_rod
from hullcut.packet.fittings_list import (
    ENGINE_CHAPTER,
    METAL_CHAPTER,
    coupling_across,
    coupling_long,
    coupling_torque,
    engine_lines,
    tube_bore,
)
from hullcut.packet.metal_parts_picture import (
    ARM_WIDE,
    BARREL_WALL,
    BEARING,
    BLADE_THICK,
    PLATE_BEYOND,
    PLATE_THICK,
    bracket_sizes,
    coupling_sizes,
    rudder_sizes,
    strut_sizes,
)
from hullcut.packet.step import Kit
from hullcut.parts.fittings import bolt_reach

if TYPE_CHECKING:
    from collections.abc import Callable

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Scene
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.studio import Studio

__all__ = [
    "ENGINE_INTRO",
    "ENGINE_PICTURES",
    "ENGINE_TOO_LARGE",
    "METAL_INTRO",
    "engine_chapter",
    "limit_rows",
    "metal_chapter",
    "metal_words",
]

ENGINE_INTRO = (
    "Take this page and the next along when you choose an engine. "
    "An adult measures: engine cold, tank empty, plug lead off."
)
ENGINE_PICTURES = "Orange is the engine's room. The rest is drawn plainly: only the sizes count."
ENGINE_TOO_LARGE = (
    "Two bolt heads stand on the plate's fore face, just over the bearers: keep 1/4 in (6 mm) off them. "
    "A tank or stand that reaches too far may come off. "
    "Cooling cover and starter stay on, their air slots free. A loose tank gets a block: then G is 1 in (25 mm) less. "
    "Is anything else too large? Ask the adult on page 1 before you buy."
)
METAL_INTRO = "Show this page to whoever sells or makes these parts. Shapes are drawn plainly: only the sizes count."
"""What is said on the pages besides what follows from the boat."""

# Greatest heights of the pictures in each row, mm.
_ENGINE_HIGH, _DRIVE_HIGH, _STERN_HIGH = 56.0, 86.0, 88.0
# What hangs between the bearers has so much play there, mm: common practice, no source.
_PLAY = 3.2
# Less than this is level, mm.
_LEVEL = 0.4


def limit_rows(plan: BoatPlan) -> tuple[tuple[str, str, str], ...]:
    """Letter, what is measured on the engine, and its limit."""
    kit, room = Kit(plan), engine_room(plan.hull, plan.arrangement)
    bore = plan.design.engine.housing_bore
    over = bearers_over_rod(plan)
    tops = f"at least {kit.fine(over)}" if over >= _LEVEL else f"{kit.fine(-over)} below it, or higher"
    tops = "level with it, or higher" if abs(over) < _LEVEL else tops
    return (
        ("A", "breadth of all that hangs between the bearers", f"at most {kit.at_most(room.between - _PLAY)}"),
        ("B", "from the shaft's middle up to where it gets broader than A", tops),
        ("C", "from the shaft's middle to either side, over B, the muffler too", f"at most {kit.at_most(room.aside)}"),
        ("D", f"the same, from {kit.size(AHEAD)} ahead of the plate on", f"at most {kit.at_most(room.aside_ahead)}"),
        ("E", "from the shaft's middle down, next to the plate", f"at most {kit.at_most(room.under)}"),
        ("F", f"the same, from {kit.size(AHEAD)} ahead of the plate on", f"at most {kit.at_most(room.under_ahead)}"),
        ("G", "from the plate forward; up it may stand out over the deck", f"at most {kit.at_most(forward(plan))}"),
        ("H", "across the nose of the clutch housing: only that goes into the bore", f"at most {kit.at_most(bore)}"),
    )


def metal_words(plan: BoatPlan) -> tuple[str, ...]:
    """What the shop is told of the parts that it makes or that are bought, in short sentences."""
    kit, drive = Kit(plan), plan.design.drive
    bore, rod = tube_bore(plan), kit.fine(drive.shaft_diameter)
    across, up = (2.0 * reach + PLATE_BEYOND for reach in bolt_reach(plan.design))
    barrel = drive.tube_diameter + BARREL_WALL
    inside = "" if bore is None else f", bored {kit.fine(bore)} for bearings"
    outside = "" if bore is None else f", {kit.fine(bore)} outside,"
    return (
        f"Coupled, the coupling reaches at most {kit.at_most(coupling_long(plan))} abaft the plate. "
        f"Its fore half may go into the bore. It is at most {kit.at_most(coupling_across(plan))} across, "
        f"and made for {coupling_torque(plan):.0f} Nm or more.",
        "The drum has no round stub? A machine shop makes an adapter. One end fits the drum as its old shaft did. "
        f"The other is a stub as thick as the fore half is bored, {rod} say. "
        f"It ends {kit.fine(STUB_END)} abaft the plate, or less. It runs true, and a screw or pin holds it.",
        f"The tube is {kit.fine(drive.tube_diameter)} outside{inside}. Bearings: plain bronze bushes for "
        f"{rod}{outside} about {kit.size(BEARING)} long. The strut's barrel is bored for one, and as long.",
        f"From that bearing's middle to the propeller's it is {kit.fine(STRUT_AHEAD)} along the shaft. "
        "Half the bearing, washers, dog and half the hub share it. "
        f"The shaft's end has {kit.size(THREAD)} of thread, for its lock nut.",
        "Brackets: a mirrored pair; one is drawn. "
        f"The plate leg's hole is in its middle, {kit.size(BRACKET_WIDE / 4.0)} below the upper edge.",
        "Strut, rudder and brackets: steel, brass or aluminium. No edge is sharp. "
        f"Usual sizes: plates {kit.fine(PLATE_THICK)} thick, {kit.size(across)} by {kit.size(up)}. "
        f"The arm is {kit.size(ARM_WIDE)} thick, the barrel {kit.size(barrel)} outside, "
        f"the blade {kit.fine(BLADE_THICK)} thick. "
        "Collars with set screws hold post and tiller.",
    )


def engine_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The engine that the boat is drawn for: what it must be like, where it is measured, and how large it may be."""
    plan = studio.plan
    rows: list[list[object]] = [
        [paragraph(head, look.cell_bold) for head in ("", "Measure on your engine", "Limit", "Yours")]
    ]
    rows += [
        [paragraph(letter, look.cell_bold), paragraph(what, look.cell), paragraph(most, look.cell), ""]
        for letter, what, most in limit_rows(plan)
    ]
    widths = (0.42 * frames.width, 0.54 * frames.width)
    return [
        PageBreak(),
        Heading(ENGINE_CHAPTER, look.chapter),
        paragraph(ENGINE_INTRO, look.body),
        note_box([bullet(line, look.step) for line in engine_lines(plan)], frames.width, "#eef3f8"),
        Spacer(0, 6),
        _pair(studio, frames, (engine_limits_astern, engine_limits_side), widths, _ENGINE_HIGH),
        paragraph(ENGINE_PICTURES, look.small),
        grid(rows, [8.0, frames.width - 78.0, 46.0, 24.0], padding=1.4),
        Spacer(0, 3),
        paragraph(ENGINE_TOO_LARGE, look.step),
    ]


def metal_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """What is bought or made of metal, with the sizes that each must have."""
    side = 0.52 * frames.width
    half = (frames.width - 4.0) / 2.0
    return [
        PageBreak(),
        Heading(METAL_CHAPTER, look.chapter),
        paragraph(METAL_INTRO, look.body),
        _pair(studio, frames, (coupling_sizes, bracket_sizes), (frames.width - side - 4.0, side), _DRIVE_HIGH),
        *(bullet(line, look.step) for line in metal_words(studio.plan)),
        Spacer(0, 3),
        _pair(studio, frames, (strut_sizes, rudder_sizes), (half, half), _STERN_HIGH),
    ]


def _pair(
    studio: Studio,
    frames: Frames,
    draw: tuple[Callable[[Studio, float, float], Scene], ...],
    widths: tuple[float, ...],
    high: float,
) -> Flowable:
    """Pictures side by side."""
    scenes = [
        studio.kept(f"{each.__name__} {wide:.3f}", lambda each=each, wide=wide: each(studio, wide, high))  # type: ignore[misc]
        for each, wide in zip(draw, widths, strict=True)
    ]
    table = Table(
        [[SceneFlowable(scene, align="LEFT") for scene in scenes]],
        [(wide + 4.0) * MM for wide in widths[:-1]] + [(frames.width - sum(wide + 4.0 for wide in widths[:-1])) * MM],
        hAlign="LEFT",
    )
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    return table
