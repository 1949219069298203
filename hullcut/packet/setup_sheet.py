"""The setup sheet: one page to take to the pond, with every distance, test and remedy."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import KeepInFrame, PageBreak, Spacer, TableStyle

from hullcut.drawing.pdf import SceneFlowable
from hullcut.packet.document import MM, Heading, Table, bullet, grid, note_box, paragraph
from hullcut.packet.finishing import FLOAT_TOLERANCE
from hullcut.packet.setup_picture import setup_picture
from hullcut.packet.step import Kit

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.studio import Studio

__all__ = ["setup_blocks", "setup_distances", "setup_sheet", "signs_and_remedies"]

_MPH = 2.236936


def setup_distances(kit: Kit) -> list[tuple[str, str, str]]:
    """Letter in the picture, what it is, and its measure."""
    plan = kit.plan
    place, lies, drive = plan.arrangement, plan.balance.flotation, plan.balance.drive
    shaft, design = place.shaft, plan.design
    run = 254.0 if design.units == "in" else 250.0
    rise = run * math.tan(math.radians(shaft.angle))
    rows = [
        ("A", "balance point", kit.size(place.balance_x)),
        ("B", "fin's after end", kit.size(place.fin_x)),
        ("C", "engine plate's after face", kit.size(place.plate_x)),
        ("D", "shaft leaves the bottom", kit.size(shaft.exit_x)),
    ]
    if lies is not None:
        rows += [
            ("E", "waterline up the transom", kit.size(lies.line[0])),
            ("F", "waterline's fore end", kit.size(lies.meets)),
        ]
    return [
        *rows,
        ("G", "propeller hub below the bottom", f"{kit.size(-shaft.hub_z)}, ± {kit.fine(3.0)}"),
        ("", "propeller hub behind the transom", kit.size(-shaft.hub_x)),
        ("", "rudder's tip below the bottom", kit.size(design.rudder.depth)),
        ("", f"shaft's rise over {kit.size(run)}", f"{kit.size(rise)}: {shaft.angle:.1f}°"),
        ("", "rod, cut length", kit.size(drive.rod)),
        ("", f"{drive.bearings} bearings, apart at most", kit.size(drive.longest)),
    ]


def setup_blocks(kit: Kit) -> list[tuple[str, tuple[str, ...]]]:
    """Heading and sentences of every test before and at the pond."""
    plan = kit.plan
    balance, design = plan.balance, plan.design
    line, hands = balance.drive, balance.handling
    return [
        (
            "Balance it on the stand",
            (
                "Fit all that goes afloat; half a tank, shown by a water bottle.",
                "Set point A over the balance bar. The boat rocks level.",
                "Bow drops: engine aft. Stern drops: engine forward.",
                f"Engine an inch forward: shaft {line.inch_forward:.1f}°, "
                f"balance point {kit.size(balance.inch_moves)} forward.",
                f"Engine an inch aft: shaft {line.inch_aft:.1f}°.",
            ),
        ),
        (
            "Test the bottom",
            (
                f"Lay a straightedge along the aft {kit.size(304.8)} of the bottom.",
                f"No gap is over {kit.fine(25.4 / 32.0)}. Its after edge is sharp.",
            ),
        ),
        (
            "Shaft and propeller",
            (
                "A collar and a washer on the rod push against the log.",
                "They take the thrust, never the engine's clutch.",
                "Line up the coupling: within 0.5 mm and 0.5°.",
                "Do that on the dummy rod, before the log is glued.",
                f"Seen from astern the propeller turns {hands.rotation}.",
                f"Its stern walks to {hands.stern_walks}; it turns better to {hands.better_turn}.",
                f"The rudder stands to {hands.rudder_side} and moves {design.rudder.throw:.0f}° each way.",
            ),
        ),
        (
            "Engine bay",
            (
                "Air comes in ahead of the engine and leaves behind it.",
                f"Keep {kit.size(25.4)} free round the muffler; fit a heat shield.",
                "The starter cord pulls clear of propeller and muffler.",
                "Every face is finished with paint that fuel does not soften.",
                "The receiver stands as far from the ignition as it can.",
                "The stop switch is reached without passing propeller or muffler.",
            ),
        ),
        (
            "Controls, on the stand, before the water",
            (
                "Two channels: rudder and throttle. Test them with the engine off.",
                "Wheel to the right: the rudder's after edge swings right.",
                "Throttle closes fully, and opens fully.",
                "Transmitter off: the failsafe closes the throttle.",
                "An adult starts the engine. The propeller stands still at idle.",
                "Never give full throttle in the air.",
            ),
        ),
        ("Float test", _float_words(kit)),
        (
            "Cautions",
            (
                "An adult holds the boat. Nobody stands behind the propeller.",
                "The muffler burns: let it cool. Adults pour fuel, engine off.",
                "Fetch a stopped boat in a boat: two adults, life jackets.",
                "Local rules and labels come first.",
            ),
        ),
    ]


def _float_words(kit: Kit) -> tuple[str, ...]:
    lies = kit.plan.balance.flotation
    if lies is None:
        return ("This boat sinks as designed. Do not launch it.",)
    return (
        "Float it in still water, engine off, half a tank.",
        "The water stands at the marks on both sides: E and F.",
        f"Off by over {kit.size(FLOAT_TOLERANCE)}: weigh everything again.",
        f"The transom's edge stands {kit.size(lies.freeboard_aft)} above the water.",
        "Lower aft: move weight forward. Lower forward: move weight aft.",
        "Leans: move the battery to the high side.",
        "Lift it out after ten minutes. No water is inside.",
    )


def signs_and_remedies(kit: Kit) -> list[tuple[str, str]]:
    """What the boat does, and what to change."""
    little, inch = kit.fine(1.0), kit.size(6.35)
    return [
        ("bounces (porpoises)", f"Engine {inch} forward. Still bouncing: strut down {little}."),
        ("won't plane", f"Take weight out. Engine {inch} aft. Try a pitch one size smaller."),
        ("digs its bow in", f"Engine {inch} aft. Still digging: strut up {little}."),
        ("spins out in turns", f"Rudder throw 5° less. Still spinning: engine {inch} forward."),
        ("leans", f"Battery {inch} towards the high side."),
    ]


def _speed(kit: Kit) -> str:
    reached = kit.plan.balance.running.reached
    if reached is None:
        return "Speed, an estimate: it may not get onto the plane."
    low, high = math.floor(reached.low), math.ceil(reached.high)
    return f"Speed, an estimate: {low} to {high} m/s ({low * _MPH:.0f} to {high * _MPH:.0f} mph)."


def setup_sheet(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The page."""
    kit = Kit(studio.plan)
    half = (frames.width - 4.0) / 2.0
    rows = setup_distances(kit)
    middle = (len(rows) + 1) // 2
    tables = _side_by_side(_distance_table(rows[:middle], half, look), _distance_table(rows[middle:], half, look), half)
    line = ParagraphStyle("setup line", parent=look.cell, fontSize=8.0, leading=9.9)
    blocks = [_block(*block, look, line) for block in setup_blocks(kit)]
    cautions = note_box(blocks[-1], half - 2.0, "#fff3d6")
    left = [*(piece for block in blocks[:4] for piece in block), Spacer(0, 5), cautions]
    right = [piece for block in blocks[4:6] for piece in block]
    remedies = grid(
        [
            [paragraph("If it…", look.cell_bold), paragraph("change this: one change a run", look.cell_bold)],
            *([paragraph(a, line), paragraph(b, line)] for a, b in signs_and_remedies(kit)),
        ],
        [25.0, half - 25.0],
        1.0,
    )
    right += [Spacer(0, 4), remedies]
    lead = f"Take this page to the pond. Distances run forward from the {kit.stern}. {_speed(kit)}"
    head = [
        Heading("Setup sheet", look.chapter),
        paragraph(lead, look.caution),
        SceneFlowable(setup_picture(studio, frames.width)),
        tables,
        Spacer(0, 2),
    ]
    foot = paragraph("Limits and amounts: common practice, no source. Every number here is an estimate.", look.small)
    taken = sum(_height(each, frames) for each in (*head, foot))
    # One page it must be: where words run long, the columns are made a little smaller.
    columns = KeepInFrame(
        frames.width * MM,
        frames.height * MM - taken - 4.0,
        [_side_by_side(left, right, half)],
        mode="shrink",
        hAlign="LEFT",
        vAlign="TOP",
    )
    return [PageBreak(), *head, columns, foot]


def _height(each: Flowable, frames: Frames) -> float:
    """Room that a flowable takes in the column, points."""
    tall: float = each.wrap(frames.width * MM, frames.height * MM)[1]
    return tall + each.getSpaceBefore() + each.getSpaceAfter()


def _block(title: str, sentences: tuple[str, ...], look: Styles, line: ParagraphStyle) -> list[Flowable]:
    head = ParagraphStyle("setup head", parent=look.cell_bold, fontSize=8.4, leading=10.2, spaceBefore=2)
    return [paragraph(title, head), *(bullet(sentence, line, "☐") for sentence in sentences)]


def _distance_table(rows: list[tuple[str, str, str]], width: float, look: Styles) -> list[Flowable]:
    head = [paragraph(words, look.cell_bold) for words in ("", "what", "how much")]
    cells = [[paragraph(letter, look.cell_bold), *(paragraph(w, look.cell) for w in words)] for letter, *words in rows]
    return [grid([head, *cells], [6.0, (width - 6.0) * 0.52, (width - 6.0) * 0.48], 0.6)]


def _side_by_side(left: list[Flowable], right: list[Flowable], half: float) -> Table:
    table = Table([[left, right]], [(half + 4.0) * MM, half * MM], hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (0, 0), 4.0 * MM),
                ("RIGHTPADDING", (1, 0), (1, 0), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 1),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ]
        )
    )
    return table
