"""The setup sheet: one page to take to the pond, with every distance, test and remedy."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import KeepInFrame, PageBreak, Spacer, TableStyle

from hullcut.drawing.pdf import SceneFlowable
from hullcut.packet.afloat import BALLAST_STEP, SIDE_STEP, WATCHERS, as_read, ballast_shifts, lean, upright
from hullcut.packet.document import MM, Heading, Table, bullet, grid, note_box, paragraph
from hullcut.packet.finishing import FLOAT_TOLERANCE
from hullcut.packet.rudder_throw import aside
from hullcut.packet.setup_picture import setup_picture
from hullcut.packet.step import Kit

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.studio import Studio

__all__ = ["Block", "further_sizes", "setup_blocks", "setup_distances", "setup_sheet", "signs_and_remedies"]

_MPH = 2.236936
# So much less throw calms a boat that spins out, degrees: common practice, no source.
_LESS_THROW = 5.0
_THIRTY_SECOND, _EIGHTH = 25.4 / 32.0, 25.4 / 8.0
# A lean that a rule hardly shows is not told, mm.
_TOLD_LEAN = 1.5
# A lean that a boat runs with as drawn, mm up its side: common practice, no source.
_LITTLE_LEAN = 8.0


@dataclass(frozen=True, slots=True)
class Block:
    """One test before or at the pond.

    Attributes:
        title: over it.
        to_do: sentences to do and tick.
        facts: sentences to know; nothing to tick.
    """

    title: str
    to_do: tuple[str, ...]
    facts: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """All sentences."""
        return (*self.to_do, *self.facts)


def setup_distances(kit: Kit) -> list[tuple[str, str, str]]:
    """Letter in the picture, what it is, and its measure."""
    plan = kit.plan
    place, lies = plan.arrangement, plan.balance.flotation
    shaft = place.shaft
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
        ("G", "propeller hub below bottom", kit.size(-shaft.hub_z)),
        ("H", "propeller hub behind transom", kit.size(-shaft.hub_x)),
    ]


def further_sizes(kit: Kit) -> list[tuple[str, str]]:
    """What it is, and its measure: sizes that the picture does not show."""
    plan = kit.plan
    drive, shaft = plan.balance.drive, plan.arrangement.shaft
    run = 254.0 if plan.design.units == "in" else 250.0
    rise = run * math.tan(math.radians(shaft.angle))
    return [
        ("G may be off by", kit.fine(_EIGHTH)),
        ("rudder's tip below the bottom", kit.size(plan.design.rudder.depth)),
        (f"shaft's rise over {kit.size(run)}", f"{kit.size(rise)}: {shaft.angle:.1f}°"),
        ("shaft, cut length", kit.size(drive.rod)),
        ("bearings on the shaft", f"{drive.bearings}"),
        ("gap between bearings, limit", kit.size(drive.longest)),
    ]


def setup_blocks(kit: Kit) -> list[Block]:
    """Every test before and at the pond, and the cautions."""
    plan = kit.plan
    design, hands = plan.design, plan.balance.handling
    aft, forward = (as_read(moved, design.units) for moved in ballast_shifts(plan))
    return [
        Block(
            "Balance it on the stand",
            (
                "Fit all that goes afloat; half a tank, shown by a water bottle.",
                "Set point A over the balance bar. The boat rocks level.",
                "Two people hold it on the bar. Then the bar comes out.",
            ),
            (
                f"Bow drops: {BALLAST_STEP:.0f} g inside the transom moves A {kit.fine(aft)} aft.",
                f"Stern drops: {BALLAST_STEP:.0f} g at the bulkhead moves A {kit.fine(forward)} forward.",
                "Bed ballast in sealant. The engine stays: its shaft log is glued.",
            ),
        ),
        Block(
            "Test the bottom",
            (
                f"Lay a straightedge along the aft {kit.size(304.8)} of the bottom.",
                f"No gap is over {kit.fine(_THIRTY_SECOND)}. Its after edge is sharp.",
            ),
        ),
        Block(
            "Shaft and propeller",
            (
                "Spark plug lead off before you turn anything by hand.",
                "Turn the shaft: it runs freely and touches nothing.",
            ),
            (
                "The coupling was lined up at home: within 0.5 mm and 0.5°.",
                "Washers between drive dog and strut take the thrust.",
                "The washers do it, never the engine's clutch.",
                "Do not move the strut: it would bend the shaft.",
                f"Seen from astern the propeller turns {hands.rotation}.",
                f"Its stern swings to {hands.stern_walks}; it turns better to {hands.better_turn}.",
                f"The rudder stands to {hands.rudder_side}. Its throw: {kit.size(aside(design.rudder.throw))}.",
            ),
        ),
        Block(
            "Engine bay",
            (
                "Nothing covers the open engine bay.",
                f"Keep {kit.size(25.4)} free round the muffler; fit a heat shield.",
                "The starter cord pulls clear of propeller and muffler.",
                "No bare wood shows, and fuel does not soften the paint.",
                "The receiver stands as far from the ignition as it can.",
                "The kill switch's button is pressed from outside the boat.",
            ),
        ),
        Block(
            "Controls, on the stand, before the water",
            (
                "Transmitter on first, off last. Throttle closed.",
                "Test rudder and throttle with the engine off.",
                "Wheel to the right: the rudder's after edge swings right.",
                "Throttle closes fully, and opens fully.",
                "Transmitter off: the failsafe closes the throttle, and works the kill switch.",
                "Outdoors, ears and eyes covered. Never give full throttle in the air.",
                "Start only as the next page tells. The propeller stands still at idle.",
                "Kill switch: the engine stops at once.",
            ),
            ("Three channels: rudder, throttle and kill switch.",),
        ),
        _float_block(kit),
        Block(
            "Cautions",
            (),
            (
                "An adult holds the boat. Nobody stands beside or behind the propeller.",
                f"Watchers stand {WATCHERS} back.",
                "Only adults touch it running: to hold, start or launch it. Else stop the engine first.",
                "The muffler burns: let it cool. Adults pour fuel, engine off and cool.",
                "Fetch a stopped boat in a boat: two adults, life jackets.",
                "Nobody reaches out from the bank.",
                "Local rules and labels come first.",
            ),
        ),
    ]


def _float_block(kit: Kit) -> Block:
    plan = kit.plan
    lies = plan.balance.flotation
    if lies is None:
        return Block("Float test", (), ("This boat sinks as designed. Do not launch it.",))
    leans = lean(plan, lies)
    told: tuple[str, ...] = ()
    if leans.rise >= _TOLD_LEAN:
        told = (
            f"As drawn it leans about {kit.size(leans.rise)} to {leans.low}"
            + (": leave that." if leans.rise <= _LITTLE_LEAN else "."),
            f"It leans more? Lay {SIDE_STEP:.0f} g at a time inside the {leans.high} side."
            if leans.rise <= _LITTLE_LEAN
            else f"About {round(leans.ballast, -1):.0f} g along the inside of the {leans.high} side levels it.",
        )
    return Block(
        "Float test",
        (
            "Muffler cold, tank empty, water bottle in: float it, still water.",
            "Keep it upright: the water stands at E and F.",
            f"Off by over {kit.size(FLOAT_TOLERANCE)}: weigh it, see next page.",
            "Lift it out after ten minutes: a few drops at most.",
        ),
        (
            f"The transom's edge is {kit.size(upright(plan, lies).aft)} above the water.",
            "A comes first. A is right, but the line is off? Ask the adult on page 1.",
            *told,
        ),
    )


def signs_and_remedies(kit: Kit) -> list[tuple[str, str]]:
    """What the boat does, and what to change once its shaft log is glued."""
    some = f"{BALLAST_STEP:.0f} g"
    calmer = aside(kit.plan.design.rudder.throw - _LESS_THROW)
    return [
        ("bounces (porpoises)", f"{some} at the bulkhead. Still bouncing: less throttle."),
        ("won't plane", f"Spare weight out. Then {some} inside the transom. Then a propeller of less pitch."),
        ("digs its bow in", f"{some} inside the transom, then as much again."),
        ("spins out in turns", f"Rudder throw {kit.size(calmer)}. Still spinning: {some} at the bulkhead."),
        ("leans", f"{SIDE_STEP:.0f} g on the high side, as often as it needs."),
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
    tables = _side_by_side(_distance_table(kit, half, look), _further_table(kit, half, look), half)
    line = ParagraphStyle("setup line", parent=look.cell, fontSize=8.0, leading=9.9)
    blocks = [_block(block, look, line) for block in setup_blocks(kit)]
    cautions = note_box(
        [*blocks[-1][:1], paragraph(" ".join(setup_blocks(kit)[-1].lines), line)], frames.width, "#fff3d6"
    )
    left = [piece for block in blocks[:4] for piece in block]
    right = [piece for block in blocks[4:6] for piece in block]
    remedies = grid(
        [
            [paragraph("If it…", look.cell_bold), paragraph("change this: one change a run", look.cell_bold)],
            *([paragraph(a, line), paragraph(b, line)] for a, b in signs_and_remedies(kit)),
        ],
        [25.5, half - 25.5],
        1.0,
    )
    right += [Spacer(0, 4), remedies]
    lead = f"Take this page and the next to the pond. Distances run forward from the {kit.stern}. {_speed(kit)}"
    head = [
        Heading("Setup sheet", look.chapter),
        paragraph(lead, look.caution),
        SceneFlowable(setup_picture(studio, frames.width)),
        tables,
        Spacer(0, 2),
    ]
    foot = paragraph("What is said of speed and balance is an estimate.", look.small)
    taken = sum(_height(each, frames) for each in (*head, cautions, foot))
    # One page it must be: where words run long, the columns are made a little smaller.
    columns = KeepInFrame(
        frames.width * MM,
        frames.height * MM - taken - 4.0,
        [_side_by_side(left, right, half)],
        mode="shrink",
        hAlign="LEFT",
        vAlign="TOP",
    )
    return [PageBreak(), *head, columns, cautions, foot]


def _height(each: Flowable, frames: Frames) -> float:
    """Room that a flowable takes in the column, points."""
    tall: float = each.wrap(frames.width * MM, frames.height * MM)[1]
    return tall + each.getSpaceBefore() + each.getSpaceAfter()


def _block(block: Block, look: Styles, line: ParagraphStyle) -> list[Flowable]:
    head = ParagraphStyle("setup head", parent=look.cell_bold, fontSize=8.4, leading=10.2, spaceBefore=2)
    ticks = [bullet(sentence, line, "☐") for sentence in block.to_do]
    return [paragraph(block.title, head), *ticks, *(bullet(sentence, line) for sentence in block.facts)]


def _distance_table(kit: Kit, width: float, look: Styles) -> list[Flowable]:
    head = [paragraph(words, look.cell_bold) for words in ("", "in the picture", "how much")]
    cells = [
        [paragraph(letter, look.cell_bold), *(paragraph(w, look.cell) for w in words)]
        for letter, *words in setup_distances(kit)
    ]
    return [grid([head, *cells], [6.0, (width - 6.0) * 0.56, (width - 6.0) * 0.44], 0.6)]


def _further_table(kit: Kit, width: float, look: Styles) -> list[Flowable]:
    head = [paragraph(words, look.cell_bold) for words in ("not in the picture", "how much")]
    cells = [[paragraph(words, look.cell) for words in row] for row in further_sizes(kit)]
    return [grid([head, *cells], [width * 0.56, width * 0.44], 0.6)]


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
