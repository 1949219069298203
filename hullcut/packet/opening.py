"""The first pages: cover, how to use the packet, and working safely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import PageBreak, Spacer, TableStyle

from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.views.picture import PLAIN, Shown
from hullcut.lengths import both
from hullcut.packet.afloat import WATCHERS
from hullcut.packet.document import MM, Heading, Table, bullet, note_box, paragraph
from hullcut.packet.finishing import RAGS
from hullcut.packet.pace import minutes_for
from hullcut.packet.pictures import exploded_with_names
from hullcut.packet.signs import sign
from hullcut.packet.steps import building_steps
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.design.values import Boat
    from hullcut.packet.document import Frames, Styles
    from hullcut.packet.studio import Studio

__all__ = ["INVENTED", "cover", "how_to_use", "safety", "safety_sources", "template_lines"]


INVENTED = "The boats, builders and prices that come with hullcut are invented samples."
"""Said wherever a sample may be shown."""

# Height of the smallest picture of the boat, and of the words above and below it, mm.
_LEAST_PICTURE, _COVER_WORDS = 45.0, 46.0


def cover(studio: Studio, boat: Boat | None, frames: Frames, look: Styles) -> list[Flowable]:
    """Name, picture, three views, and lines for the builder's name and the boat's number."""
    design = studio.plan.design
    shown = [Shown(owner, PLAIN) for owner in studio.afloat]
    # Two lines of words about the boat are reckoned with; each further one takes its place from the pictures.
    words = _COVER_WORDS + 5.0 * max(0, len(design.about) // 95 - 1)
    tall = frames.height - words - _LEAST_PICTURE
    views = studio.three_views(frames.width, tall)
    room = max(_LEAST_PICTURE, min(frames.height - views.height - words - 30.0, 88.0))
    picture = studio.kept(
        f"cover {frames.width:.3f} {room:.3f}",
        lambda: studio.view("cover").picture(f"{design.name} as built", shown, frames.width * 0.8, room),
    )
    builder = boat.builder if boat is not None and boat.builder else "_" * 30
    number = str(boat.number) if boat is not None else "_" * 8
    story: list[Flowable] = [
        Heading(design.name, look.title),
        paragraph("A radio-controlled wooden boat: build packet", look.section),
        SceneFlowable(picture),
        Spacer(0, 2),
    ]
    if design.about:
        story.append(paragraph(design.about.strip(), look.body))
    rows = [
        [f"Builder: {builder}", f"Boat number: {number}"],
        [f"Adult who planned the boat: {'_' * 16}", f"Telephone: {'_' * 14}"],
    ]
    names = Table(rows, [frames.width * 0.62 * MM, frames.width * 0.38 * MM])
    names.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), look.body.fontName, 10),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 1),
            ]
        )
    )
    story += [
        names,
        Spacer(0, 3),
        SceneFlowable(views, align="LEFT"),
        paragraph(INVENTED, look.small),
        PageBreak(),
    ]
    return story


_USE = (
    "Fill in page 1 before you buy. The adult who printed this packet planned the boat, and sees your photos.",
    "To run it takes three adults and a rowing boat. Find them first. "
    "Get a yes in writing from the owner of the water too.",
    "Find and measure the engine, and find the kill switch, before you buy anything else.",
    "Read the whole packet once before you cut anything.",
    "Work with an adult beside you, from the first step to the last. Epoxy and engine need a second one.",
    "Each step shows a picture, its parts, its tools, its time and a check.",
    "Do one step, do its check, then tick its box.",
    "If a check is wrong, put it right before you go on.",
    "Sizes stand in fractions of an inch and in millimetres. Where they differ, millimetres are closer.",
    "Port is left and starboard is right when you look forward.",
    "Write your name on every part.",
    "Look up words you do not know in the list on the last page.",
)


_ADULTS_GLUE = ("Your glue is for adults' hands: two adults glue, and you keep off. Find both early.",)


def template_lines(file: str) -> tuple[str, ...]:
    """What is said of the full-size templates, which lie in a file of their own.

    Args:
        file: name of the templates file.
    """
    return (
        f"The full-size templates belong to this packet. They are in the file {file}.",
        "The foot of its first page tells how many pages it has.",
        "Print that page at 100 %. Its bars must be as long as they say. Then print the rest.",
    )


# Wood that is off by no more is cut as drawn: a rule shows as much; common practice, no source.
_THICKNESS_OFF = 25.4 / 32.0


def _thickness(studio: Studio) -> tuple[str, ...]:
    """What is said of wood that is not as thick as it was planned."""
    off = both(_THICKNESS_OFF, studio.plan.design.units, 32, decimals=1)
    return (
        f"Measure how thick your wood is. Up to {off} off its list: go on.",
        "Is it further off? Tell the adult on page 1, and cut nothing: they print new pages.",
    )


def _hours(studio: Studio) -> str:
    """How long all steps take together, to five hours."""
    minutes = sum(minutes_for(step) for step in building_steps(studio.plan))
    return f"The steps take about {5 * round(minutes / 300.0)} hours, jigs and drying not counted: a guess."


# What the marks on the pages mean: the mark, and its meaning.
_MARKS = (
    ("☐", "Tick this box when the line is done."),
    ("Check", "A green box. Measure what it says. Go on only if it is right."),
    ("Ask the adult", "A yellow box. Wait until the adult is there."),
    (
        "STOP",
        "A pink box. Show or send the photo to the adult on page 1. Wait for a yes. "
        "No answer? A second adult measures the checks again, and signs beside it.",
    ),
    ("orange wood", "What goes on in this step. Orange arrows show which way."),
)


def how_to_use(studio: Studio, templates: str, frames: Frames, look: Styles) -> list[Flowable]:
    """How to work with the packet, what its marks mean, and the boat's parts by name.

    Args:
        studio: of the boat.
        templates: name of the file with its full-size templates.
        frames: room on the page.
        look: of the words.
    """
    story: list[Flowable] = [Heading("How to use this packet", look.chapter)]
    line = ParagraphStyle("use", parent=look.body, leading=12.2, spaceAfter=2)
    glued = _ADULTS_GLUE if glue(studio.plan.design.glue).hands == "adults" else ()
    told = (_hours(studio), *_USE[:4], *glued, *template_lines(templates), *_USE[4:-3])
    told += (*_thickness(studio), *_USE[-3:])
    story += [bullet(text, line) for text in told]
    story.append(Heading("Marks on the pages", look.section, 1))
    rows = [[paragraph(word, look.cell_bold), paragraph(meaning, look.cell)] for word, meaning in _MARKS]
    table = Table(rows, [32 * MM, (frames.width - 32) * MM], hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("LINEBELOW", (0, 0), (-1, -1), 0.3, HexColor("#aaaaaa")),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("TOPPADDING", (0, 0), (-1, -1), 1),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    room = frames.height - 147.0 - 5.0 * len(glued)
    picture = studio.kept(
        f"exploded {frames.width:.3f} {room:.3f}", lambda: exploded_with_names(studio, frames.width, room)
    )
    story += [table, Heading("The parts and their names", look.section, 1), SceneFlowable(picture)]
    return story


# Sign, heading, what to do, and where the facts come from: that stands in the organiser's document.
_SAFETY: tuple[tuple[str, str, tuple[str, ...], str], ...] = (
    (
        "eyes",
        "Saws, knives and drills",
        (
            "Adults run the big machines; you stand well back.",
            "Wear safety glasses. Tie back hair and sleeves.",
            "Clamp the work. Cut away from your hands. Gloves off while you drill.",
        ),
        "In the US, paid workers under 18 may not use power woodworking machines: 29 CFR 570.55 "
        "(osha.gov teen workers). A club is no employer, but it is a good guide.",
    ),
    (
        "gloves",
        "Glue, sealer and paint",
        (
            "Read the label first, together.",
            "Wear gloves and glasses; open the windows. In an eye? Rinse long, call a doctor.",
            "Stop if your skin itches or your breath is short.",
            RAGS,
        ),
        "Rags: common practice, no source.",
    ),
    (
        "mask",
        "Sanding dust",
        (
            "Wear a dust mask that fits.",
            "Sand outdoors or with a vacuum at the tool.",
            "Never sweep dust. Vacuum it.",
        ),
        "NIOSH advises at most 1 mg of wood dust in a cubic metre of air (osha.gov, wood dust evaluation).",
    ),
    (
        "fire",
        "Fuel",
        (
            "Only adults pour fuel: outdoors, engine stopped and cool.",
            "Keep flames, sparks and chargers far away.",
            "They wipe up spills and close the can. In an eye? Rinse long. Swallowed? Call a doctor.",
            "They pump the fuel out into its can, outdoors, before anyone works inside the boat.",
            "It burns? You run back, upwind. An adult calls the fire service. Nobody swims or rows to a burning boat.",
        ),
        "Petrol vapour is heavier than air; refuel stopped, cool and outdoors (FDNY notice, nyc.gov, 2012).",
    ),
    (
        "gas",
        "Exhaust gas",
        (
            "Never run the engine indoors, in a shed or in a garage.",
            "Exhaust holds carbon monoxide: you can't see or smell it.",
            "Headache or dizziness: out into fresh air, call for help.",
        ),
        "So say the manuals of small engines (a public manual, TSSH05).",
    ),
    (
        "blade",
        "The propeller",
        (
            "Keep hands, hair and strings away. Nobody stands beside or behind it.",
            "Shaft and coupling bite too: while they turn only an adult's hand at the choke reaches in.",
            "Start only outdoors on the stand, propeller clear, an adult holding the boat.",
            "Test first: the kill switch stops the engine, the failsafe closes the throttle.",
            "Take the spark plug lead off before you turn it by hand.",
        ),
        "Common practice, no source.",
    ),
    (
        "hot",
        "The hot muffler",
        (
            "Muffler and exhaust burn skin long after a run.",
            "Let all cool before you touch it. A burn? Cool running water for 20 minutes.",
            "Keep foam, wires and fuel line well away.",
            "Fire? Only an adult uses the extinguisher: ashore, while it is small, the way out behind them.",
        ),
        "Exhaust parts can set fire to dry fuels (USDA Forest Service Tech Tip 0351 1305, 2003).",
    ),
    (
        "danger",
        "Batteries",
        (
            "An adult charges them and stays in the room.",
            "Use the charger for that kind of battery, on stone or tile.",
            "Never charge one that was knocked, or is swollen, wet or hot.",
            "Do not touch such a battery. An adult puts it outdoors, on bare ground.",
            "If one burns: all get out, shut the door, call the fire service.",
        ),
        "Charge attended, on a surface that can't burn; unplug when done (CPSC alert, 2008).",
    ),
    (
        "water",
        "On the water",
        (
            "Ask the owner of the water in writing first, and for the speed limit.",
            "Every child at the water and the three adults wear life jackets.",
            "One adult stays by the driver. Two launch the boat, and fetch it by rowing boat.",
            "Only adults touch it while it runs: to hold, start or launch it. Else stop the engine first.",
            "Nobody reaches out from the bank, or swims after it.",
            f"Keep swimmers, birds and other people {WATCHERS} or more from the course.",
        ),
        "Clubs' rules differ: some forbid engines, one allows 12 mph at most. Distance: common practice, no source.",
    ),
    (
        "ears",
        "Noise",
        (
            "Wear ear protection near the running engine.",
            "Run it in short spells, and tell the neighbours.",
        ),
        "NIOSH 98-126 (a limit at work): 8 hours at 85 dB(A), 2 hours at 91, a quarter of an hour at 100. "
        "For children take it as the most.",
    ),
)


def safety(frames: Frames, look: Styles) -> list[Flowable]:
    """What can hurt, and what to do about it."""
    story: list[Flowable] = [
        PageBreak(),
        Heading("Working safely", look.chapter),
        note_box(
            [
                paragraph(
                    "Local rules, product labels and your supervising adult come first. This page can't know your "
                    "tools. If it says less than they do, follow them.",
                    look.body,
                )
            ],
            frames.width,
            "#fff3d6",
        ),
        Spacer(0, 5),
    ]
    cells = [_safety_cell(*entry[:3], look=look) for entry in _SAFETY]
    rows = [cells[index : index + 2] for index in range(0, len(cells), 2)]
    half = frames.width / 2.0
    table = Table(
        [[piece for cell in row for piece in cell] for row in rows],
        [17 * MM, (half - 17) * MM, 17 * MM, (half - 17) * MM],
        hAlign="LEFT",
    )
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 6),
                ("LINEABOVE", (0, 0), (-1, -1), 0.4, HexColor("#999999")),
                ("TOPPADDING", (0, 0), (-1, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ]
        )
    )
    story += [
        table,
        paragraph(
            "The signs are simple drawings of ours in the manner of ISO 7010. They replace no real sign.", look.small
        ),
    ]
    return story


def safety_sources() -> tuple[tuple[str, str], ...]:
    """Heading and source of each entry, for the organiser."""
    return tuple((heading, source) for _, heading, _, source in _SAFETY)


def _safety_cell(
    picture: str, heading: str, sentences: tuple[str, ...], look: Styles
) -> tuple[SceneFlowable, list[Flowable]]:
    words: list[Flowable] = [paragraph(heading, look.cell_bold)]
    words += [bullet(sentence, look.caution) for sentence in sentences]
    return SceneFlowable(sign(picture), align="LEFT"), words
