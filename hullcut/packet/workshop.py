"""Tools, clamps and jigs: what a builder lays ready before the first step."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak, KeepTogether, Spacer

from hullcut.drawing.paths import line, polygon, rectangle
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.lengths import both
from hullcut.packet.building_board import BOARD_AFT, board_lines
from hullcut.packet.document import MM, Heading, bullet, grid, paragraph
from hullcut.packet.holding import WEIGHT, long_clamps, most_weights, small_clamp_opening
from hullcut.packet.jigs import BLOCK_LONG, BLOCK_THICK, BLOCK_WIDE, blocks_under, jig_sizes
from hullcut.packet.pace import CLAMP_EVERY, clamps_for
from hullcut.packet.places import frame_blocks
from hullcut.packet.runs import in_runs
from hullcut.packet.saws_and_bits import saw_and_bit_lines
from hullcut.packet.step import Kit
from hullcut.packet.steps import building_steps
from hullcut.packet.steps_hull import STAND_STEP
from hullcut.packet.straps_picture import straps_on_the_bottom

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.step import Step
    from hullcut.packet.studio import Studio

__all__ = ["clamp_lines", "jig_lines", "jig_picture", "most_clamps", "tools_chapter"]

# A strap goes round hull and board, and through its buckle: so much longer than twice the bottom's width, mm.
_STRAP_BEYOND = 600.0

_FOR = {
    "pencil": "lines to rub out",
    "steel rule": "sizes to 1/32 in or 1/2 mm, depths, gaps",
    "try square": "lines and edges that stand square",
    "hand saw": "straight cuts",
    "coping saw": "curves and inside cuts",
    "hole saw": "the engine plate's bore; an adult drills",
    "plane": "edges, down to a line; set it fine",
    "sanding block": "the last bit down to the line",
    "clamps": "joints, while the glue sets",
    "long clamps": "across the hull; or straps",
    "strap": "round the bow; one of the stand's",
    "straps": "the bottom, round hull and board",
    "scrap sticks": "under the straps, across the bottom",
    "thin card": "under a low corner; gaps",
    "wood filler": "dents and screw heads",
    "glue brush": "a thin, even coat of glue",
    "drill and bits": "pilot holes, bolt holes, sinking screw heads",
    "screwdriver": "screws; one that fits the heads",
    "flat board": "a true floor for the frame",
    "blocks for the sides": "under the sides, on the board",
    "baking paper": "keeping glue off",
    "plastic film": "epoxy off the wedge",
    "stop blocks": "beside the sides, screwed to the board",
    "weights": "pressing on what no clamp reaches",
    "disc and block": "holding the dummy rod",
    "wedge": "the slope of the shaft",
    "tape measure": "the diagonals",
    "two straight sticks": "seeing a twist",
    "straightedge": "flat edges; a long one",
    "small saw": "short cuts and notches",
    "tin snips": "the heat shield; an adult cuts",
    "keyhole saw": "slots in the bottom, from a start hole",
    "file": "slots and notches",
    "hex key or small screwdriver": "set screws on the shaft",
    "cable ties": "wires and pipes",
    "straight dummy rod": "lining up the shaft",
    "gloves": "thin nitrile: glue, paint; thick: metal, propeller",
    "brush": "sealer and paint",
    "rags": "spills and wet glue",
    "knife": "foam",
    "tape": "holding paper and light parts",
    "dust mask": "sanding",
    "spanners": "bolts and nuts",
    "grease": "the shaft, so that it turns freely and stays dry",
    "sealant": "holes through the hull, and the shelf",
    "pliers": "bending rods",
    "crimping pliers": "plugs on wires; no soldering near fuel",
    "hacksaw": "shaft, tube, rods, brackets; an adult",
    "vice with soft jaws": "holding shaft, tube and brackets",
    "chisel": "paring glue off; an adult pares",
    "soft cloth": "lining the stand",
    "stand": "holding the boat",
    "safety glasses": "chips, dust and splashes",
    "scissors": "cutting out paper",
    "sharp nail": "pricking marks",
    "vacuum cleaner": "dust in the hull",
    "jug": "water, to try if the hull is tight",
    "kitchen scale": "weighing water and ballast",
    "small bottle": "water in place of fuel",
}


def tools_chapter(studio: Studio, frames: Frames, look: Styles) -> list[Flowable]:
    """The tools with the steps that need them, the clamps counted, the jigs with their sizes."""
    steps = building_steps(studio.plan)
    used: dict[str, list[int]] = {}
    for number, step in enumerate(steps, 1):
        for tool in step.tools:
            used.setdefault(tool, []).append(number)
    kit = Kit(studio.plan)
    purposes = _FOR | {"straightedge": f"flat edges; {kit.size(kit.straight_run)} long or more"}
    listed = [(tool, purposes.get(tool, ""), in_runs(numbers)) for tool, numbers in used.items()]
    half = (len(listed) + 1) // 2
    heads = [paragraph(text, look.cell_bold) for text in ("☐", "Tool", "For", "Steps")]
    rows: list[list[object]] = [[*heads, *heads]]
    for number in range(half):
        cells: list[object] = []
        for tool, purpose, numbers in listed[number::half]:
            cells += [paragraph(text, look.cell) for text in ("☐", tool, purpose, numbers)]
        rows.append(cells + [""] * (8 - len(cells)))
    each = frames.width / 2.0
    widths = [5.5, 25.0, each - 57.5, 27.0] * 2
    return [
        CondPageBreak(150 * MM),
        Heading("Tools, clamps and jigs", look.chapter),
        paragraph("Lay these ready. The numbers tell which steps need them.", look.body),
        grid(rows, widths, padding=0.8),
        KeepTogether(
            [
                Heading("Saws and bits", look.section, 1),
                *(bullet(text, look.caution, "•") for text in saw_and_bit_lines(studio.plan)),
            ]
        ),
        KeepTogether(
            [
                Heading("Clamps and weights", look.section, 1),
                *(bullet(text, look.body, "☐") for text in clamp_lines(studio.plan, steps)),
            ]
        ),
        # The picture never stands on a page without its words.
        KeepTogether(
            [
                Heading("Jigs", look.section, 1),
                paragraph(
                    "Make these before the frame, from scraps or what step 1 leaves over. An adult saws and drills.",
                    look.body,
                ),
                *(bullet(text, look.step, "☐") for text in jig_lines(studio, steps)),
                Spacer(0, 3),
                SceneFlowable(jig_picture(studio, frames.width), align="LEFT"),
            ]
        ),
    ]


def most_clamps(steps: Sequence[Step]) -> tuple[int, str]:
    """The greatest number of clamps that a step needs, and its title."""
    step = max(steps, key=clamps_for)
    return clamps_for(step), step.title


def clamp_lines(plan: BoatPlan, steps: Sequence[Step]) -> tuple[str, ...]:
    """Clamps and weights to lay ready, with their number and opening from the boat."""
    kit = Kit(plan)
    count, title = most_clamps(steps)
    across, opening = long_clamps(plan)
    weights = most_weights(steps)
    return (
        f"{count} small clamps that open {kit.size(small_clamp_opening(plan))} or more. "
        f"The step “{title}” needs the most. Glue one side at a time. "
        f"Set a clamp every {both(CLAMP_EVERY, plan.design.units, 1)}.",
        f"{across} long clamps that open {kit.size(opening)} or more, to draw the sides together. "
        "Straps with a buckle do it too.",
        *_straps(kit),
        *((f"{weights} weights of {WEIGHT:.0f} kg, where no clamp reaches: bags of dry sand.",) if weights else ()),
    )


def _straps(kit: Kit) -> tuple[str, ...]:
    """Straps and sticks that hold a bottom without screws along its edges."""
    if kit.screwed("bottom", "chine-cleat"):
        return ()
    bottom = kit.family("bottom")[0]
    count = straps_on_the_bottom(kit.plan)
    return (
        f"{count} straps with a buckle, each {kit.size(2.0 * bottom.finished_width + _STRAP_BEYOND)} long or more. "
        f"{count} stiff scrap sticks {kit.size(bottom.finished_width)} long go across the bottom under them.",
    )


def jig_lines(studio: Studio, steps: Sequence[Step]) -> list[str]:
    """What to make before building, with sizes from the boat."""
    plan = studio.plan
    kit, design, sizes = Kit(plan), plan.design, jig_sizes(plan)
    long, wide, _ = sizes.board
    long_stop, wide_stop, high_stop = sizes.stop
    lines = [
        f"A flat board, {kit.size(long)} by {kit.size(wide)}, with a centre line. "
        f"Line A is {kit.size(BOARD_AFT)} from its end. The step that stands the frame on it tells the others.",
        f"{sizes.stops} stop blocks, {kit.size(long_stop)} long, {kit.size(wide_stop)} wide and {kit.size(high_stop)} "
        "high, of scraps glued together. "
        f"Two screws, {kit.size(sizes.stop_screw)} long, hold each on the board. Drill their holes first.",
        f"Two straight sticks, each {kit.size(sizes.stick)} long, to see a twist.",
        f"A straight dummy rod, {kit.fine(sizes.rod[0])} by {kit.size(sizes.rod[1])} long.",
        f"A wedge {kit.size(sizes.wedge[0])} long and {kit.fine(sizes.wedge[1])} high, as wide as the tube.",
    ]
    lines.append(
        f"Two blocks {kit.size(blocks_under(plan))} high, of scraps glued together, to lay the hull on. "
        f"Each is at least {kit.size(BLOCK_LONG)} long and {kit.size(2.0 * BLOCK_THICK)} wide. "
        f"Two scraps {kit.size(design.engine.bearer_gap)} wide, for between the bearers."
    )
    heights = dict.fromkeys(kit.size(high) for high in frame_blocks(plan) if high > 0.0)
    if heights:
        lines.append(f"Blocks for the sides to stand on, two of each: {' and '.join(heights)} high.")
    lines.append(
        f"A disc as wide as the plate's bore, {kit.size(design.engine.housing_bore)}. It is as thick as the plate. "
        f"Drill the rod's hole first, {kit.fine(sizes.rod[0])}, in its middle. Then cut round it with a coping saw. "
        f"A block {kit.size(sizes.block)} long, {kit.size(BLOCK_WIDE)} wide and {kit.size(BLOCK_THICK)} thick. "
        f"Its hole for the rod is in the middle. On the transom's side it is {kit.size(sizes.block_hole)} from the "
        "upper end. It slants like the shaft, down and aft: stand the wedge on its thick end beside the bit as a guide."
    )
    lines += [
        f"The stand: step {number} builds it." for number, step in enumerate(steps, 1) if step.title == STAND_STEP
    ]
    return lines


def jig_picture(studio: Studio, width: float) -> Scene:
    """The building board with its lines, and the wedge, to one scale.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
    """
    plan = studio.plan
    design, units = plan.design, Kit(plan)
    sizes = jig_sizes(plan)
    run, rise = sizes.wedge
    length, wide, _ = sizes.board
    scale = (width - 26.0) / (length + 60.0 + run)
    board = length * scale
    high = wide * scale
    rows = board_lines(plan)
    places = [(BOARD_AFT + each.x - rows[0].x) * scale for each in rows]
    middle = high / 2.0
    items: list[Item] = [
        Shape(Role.OUTLINE, (rectangle(0.0, 0.0, board, high),), fill="#f4f4f4"),
        Shape(Role.CENTRE, (line((0.0, middle), (board, middle)),)),
    ]
    # In the widest gap between two lines its words stand clear of the lines' names.
    start, stop = max(itertools.pairwise([*places, board]), key=lambda gap: gap[1] - gap[0])
    items.append(Text(Role.LABEL, ((start + stop) / 2.0 + 1.5, middle + 1.2), "centre line", 2.5, anchor="middle"))
    for x, each in zip(places, rows, strict=True):
        items.append(Shape(Role.THIN, (line((x, 2.0), (x, high - 2.0)),)))
        items.append(Text(Role.LABEL, (x + 3.0, middle + 4.0), f"{each.letter} {each.name}", 2.5, 90.0, "start"))
    to_bulkhead = next(x for x, each in zip(places, rows, strict=True) if each.name == "bulkhead")
    items += level(places[0], to_bulkhead, 0.0, 0.0, -6.0, units.size(design.decks.fore_from))
    left = board + 60.0 * scale
    ring = ((left, 0.0), (left + run * scale, 0.0), (left + run * scale, rise * scale))
    items.append(Shape(Role.OUTLINE, (polygon(ring),), fill="#ffd27a"))
    items.append(Text(Role.LABEL, (left, rise * scale + 9.0), "wedge for the shaft", 2.5))
    items += level(left, left + run * scale, 0.0, 0.0, -6.0, units.size(run))
    right = left + run * scale
    items += plumb(0.0, rise * scale, right, right, right + 4.0, units.fine(rise))
    return Scene("The building board and the wedge", -1.0, -11.0, width - 1.0, high + 2.0, tuple(items))
