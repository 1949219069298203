"""The page to read of a card model: what to do in which order, which strip joins what, and the words explained."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.card_picture import model_picture
from hullcut.drawing.font import fit_size
from hullcut.drawing.furniture import footer, words
from hullcut.drawing.paths import line, polyline
from hullcut.drawing.scene import Role, Scene, Shape, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.paper import Paper
    from hullcut.drawing.scene import Item
    from hullcut.hull.form import Hull
    from hullcut.parts.card_model import CardPanel

__all__ = ["BOWS", "reading_page", "stamp_text"]

BOWS = ("Bow transom", "Stem strip")
"""Panels that close the bow, where it is not pointed."""

_MARGIN = 18.0
_HEADINGS = ("You need", "Print", "Cut and fold", "Glue")
_BODY, _TABLE = 3.8, 3.0
_BODY_LINE, _GAP_LINE, _TABLE_LINE = 5.2, 2.4, 4.2

# Top of the footer, width of the column with the table, height of the sketch of a fold, width of its lines, mm.
_FOOT, _LEFT_WIDTH, _FOLD_HEIGHT, _THICK = 29.0, 88.0, 26.0, 0.9


def stamp_text(stamp: str, paper: Paper, margin: float) -> Text:
    """What stands at the head of a page where a check failed."""
    size = fit_size(stamp, paper.width - 2.0 * margin, 4.0, True)
    return Text(Role.LABEL, (margin, paper.height - margin), stamp, size, bold=True, colour="#d55e00")


_Joint = tuple[str, str, str]


def _joints(panels: Sequence[CardPanel]) -> list[_Joint]:
    """The letters of strips that are glued together, what they join, and when."""
    found: dict[str, list[str]] = {}
    for panel in panels:
        for edge in panel.edges:
            if edge.letter:
                found.setdefault(edge.letter, []).append(panel.name)
    rows: dict[tuple[str, str], list[str]] = {}
    for letter, names in sorted(found.items()):
        rows.setdefault(_told(names), []).append(letter)
    return [(_listed(letters), what, when) for (what, when), letters in rows.items()]


def _told(names: Sequence[str]) -> tuple[str, str]:
    """What two panels that meet are, and the step in which they are joined."""
    sides = sum(name.startswith("Side") for name in names)
    other = next((name.lower() for name in names if not name.startswith(("Side", "Bottom"))), "")
    if sides == 2:
        return "the sides at the bow", "step 11"
    if not other:
        return "bottom to sides", "steps 7, 9"
    when = "step 11" if other.capitalize() in ("Transom", *BOWS) else "step 12"
    return f"{'sides' if sides else 'bottom'} to {other}", when


def _listed(letters: Sequence[str]) -> str:
    return letters[0] if len(letters) == 1 else f"{', '.join(letters[:-1])} and {letters[-1]}"


def _letters_at(panels: Sequence[CardPanel], name: str) -> str:
    """The letters of one panel's joints."""
    return _listed([*dict.fromkeys(sorted(e.letter for p in panels if p.name == name for e in p.edges if e.letter))])


def _ends_words(panels: Sequence[CardPanel]) -> str:
    """How to close the ends: a pointed bow by the letter that both sides bear, any other by its panel if it has one."""
    sides = [{edge.letter for edge in panel.edges if edge.letter} for panel in panels if panel.name.startswith("Side")]
    shared = "".join(sorted(set.intersection(*sides)))
    stern = f"Glue in the transom with strips {_letters_at(panels, 'Transom')}"
    if shared:
        return f"{stern}. Join the sides at the bow with strip {shared}."
    bow = [f", and the {p.name.lower()} with {_letters_at(panels, p.name)}" for p in panels if p.name in BOWS]
    return f"{stern}{''.join(bow)}."


def _lines(hull: Hull, scale: int, sheets: int, worst: float, panels: Sequence[CardPanel]) -> list[str]:
    """What the page says, line by line; an empty line parts two groups."""
    cards = "one sheet" if sheets == 1 else f"{sheets} sheets"
    decks = sorted({e.letter for p in panels if p.printed == "up" for e in p.edges if e.letter})
    return [
        f"Build {hull.design.name} in card before you cut any wood",
        f"The model is {hull.length / scale:.0f} mm long: 1 mm of it stands for {scale} mm of the boat.",
        "",
        "You need",
        f"•  {cards} of card about 0.3 mm thick, scissors, a ruler, paper glue, an old ballpoint pen.",
        "•  Ask the adult first if you would rather cut with a knife.",
        "",
        "Print",
        "1.  Print the card pages at 100 %, with no fitting to the page.",
        "2.  Measure both bars. If they are wrong, change the printer's settings.",
        "",
        "Cut and fold",
        "3.  Cut out every panel on its thick line.",
        "4.  Cut the strips into short pieces, on the thick lines between them.",
        "5.  Draw along the middle of each strip with the pen, then fold it there. Leave butt strips flat.",
        "",
        "Glue",
        "6.  Is a panel in two pieces? Lay them edge to edge and glue the butt strip behind the joint.",
        "7.  Glue half of each strip A and B inside the bottom's edge: A 3–4 runs from station 3 to station 4.",
        "8.  Bend the bottom up at the bow over a round stick.",
        "9.  Bring each side to the bottom, letter to letter and number to number. Begin at the transom.",
        "10. The station marks of bottom and side must meet. If they do, the panels fit.",
        f"11. {_ends_words(panels)}",
        f"12. Glue on the decks with strips {_listed(decks)}.",
        "",
        "The printed side goes inside, so that your model is clean. Only the decks have it on top.",
        f"Two edges that meet are equally long, within {max(worst, 0.1):.1f} mm.",
        "Scissors and knives cut fingers too. Cut away from your hand, with an adult beside you.",
    ]


_MEANINGS = (
    ("Station:", "a numbered place along the boat. Its marks on two panels belong together."),
    ("Butt strip:", "a flat strip behind two pieces that meet edge to edge."),
    ("Transom:", "the flat panel that closes the boat at the back."),
)
_MORE_MEANINGS = {
    "Bow transom": ("Bow transom:", "the flat panel that closes the boat at the front."),
    "Stem strip": ("Stem strip:", "the narrow panel that closes the boat at the front."),
}


def reading_page(
    hull: Hull,
    paper: Paper,
    model: tuple[int, int],
    worst: float,
    panels: Sequence[CardPanel],
    stamp: str | None,
) -> Scene:
    """The page to read.

    Args:
        hull: of the boat.
        paper: upright.
        model: its scale, and how many sheets of card it takes.
        worst: most that two edges that meet differ, mm on the card.
        panels: of the model.
        stamp: what stands on the page where a check failed.
    """
    name, (scale, sheets) = hull.design.name, model
    y, room = paper.height - 24.0, paper.width - 2.0 * _MARGIN
    items: list[Item] = []
    for number, text in enumerate(_lines(hull, scale, sheets, worst, panels)):
        bold = not number or text in _HEADINGS
        size = fit_size(text, room, _BODY if number else 6.0, bold)
        items.append(words((_MARGIN, y), text, size, bold=bold))
        y -= (_BODY_LINE if text else _GAP_LINE) if number else 9.0
    meanings = [*_MEANINGS, *(_MORE_MEANINGS[panel.name] for panel in panels if panel.name in _MORE_MEANINGS)]
    y -= _GAP_LINE - 1.0
    for word, meaning in meanings:
        items.append(words((_MARGIN, y), word, _TABLE, bold=True))
        items.append(words((_MARGIN + 26.0, y), meaning, fit_size(meaning, room - 26.0, _TABLE)))
        y -= _TABLE_LINE
    y -= 2.0
    items += _table(_MARGIN, y, panels)
    items += _butt_sketch(_MARGIN, _FOOT + 9.0)
    right = _MARGIN + _LEFT_WIDTH
    items += _fold_sketch(right, _FOOT - 1.0)
    room_for_model = (paper.width - _MARGIN - right, y + 3.0 - _FOOT - _FOLD_HEIGHT)
    items += model_picture(hull, panels, (right, y + 3.0), room_for_model)
    items += footer(_MARGIN, 10.0, room, (f"{name}: card model, scale 1:{scale}", "This page is for reading", ""))
    if stamp is not None:
        items.append(stamp_text(stamp, paper, 10.0))
    return Scene(f"{name}: card model", 0.0, 0.0, paper.width, paper.height, tuple(items))


def _table(x: float, y: float, panels: Sequence[CardPanel]) -> list[Item]:
    """Which strip joins what, and when."""
    places, width = (x, x + 24.0, x + 68.0), 86.0
    rows = [("strip", "joins", "when"), *_joints(panels)]
    items: list[Item] = []
    for number, row in enumerate(rows):
        for at, text in zip(places, row, strict=True):
            items.append(words((at, y), text, _TABLE, bold=not number))
        if not number:
            items.append(Shape(Role.THIN, (line((x, y - 1.3), (x + width, y - 1.3)),)))
        y -= _TABLE_LINE + (0.0 if number else 0.8)
    return items


def _fold_sketch(x: float, y: float) -> list[Item]:
    """How a folded strip lies in the corner, seen from the end; its lower left corner at x, y."""
    corner = polyline([(x + 5.0, y + 26.0), (x + 5.0, y + 6.0), (x + 50.0, y + 6.0)])
    strip = polyline([(x + 6.6, y + 20.0), (x + 6.6, y + 7.6), (x + 19.0, y + 7.6)])
    return [
        Shape(Role.OUTLINE, (corner,), width=_THICK),
        Shape(Role.MARK, (strip,), width=_THICK),
        words((x + 9.0, y + 22.0), "side", 3.2),
        words((x + 36.0, y + 1.6), "bottom", 3.2),
        words((x + 21.0, y + 11.0), "folded strip, inside", 3.2),
    ]


def _butt_sketch(x: float, y: float) -> list[Item]:
    """How a butt strip lies behind a joint, seen from the end; the two pieces at the height y."""
    flat = [line((x, y), (x + 27.6, y)), line((x + 28.4, y), (x + 56.0, y))]
    return [
        Shape(Role.OUTLINE, tuple(flat), width=_THICK),
        Shape(Role.MARK, (line((x + 18.0, y + 1.6), (x + 38.0, y + 1.6)),), width=_THICK),
        words((x + 28.0, y + 3.6), "butt strip, inside", 3.2, anchor="middle"),
        words((x + 14.0, y - 5.0), "piece 1", 3.2, anchor="middle"),
        words((x + 42.0, y - 5.0), "piece 2", 3.2, anchor="middle"),
    ]
