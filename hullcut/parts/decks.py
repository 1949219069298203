"""What covers the hull: fore deck, after deck or hatch with its battens, deck beams, windscreen, nose block."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.flat_panel import FlatPanel
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line, square_edges, transverse_panel
from hullcut.parts.outline import EdgeLines
from hullcut.parts.section import Notch, cross_section

if TYPE_CHECKING:
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = [
    "after_cover",
    "beam_places",
    "deck_beams",
    "fore_deck",
    "hatch_battens",
    "nose_block",
    "nose_from",
]
__all__ += ["windscreen"]

Array = NDArray[np.float64]


def nose_from(hull: Hull) -> float:
    """X of the nose block's after face: where the bottom leaves just the block's thickness under the deck."""
    return hull.bottom_reaches(hull.roof - hull.design.woods.nose_block.thickness, hull.bottom_thickness)


def nose_block(hull: Hull) -> Part:
    """The block that fills the wedge between bottom and deck at the bow, drawn as seen from above.

    Its underside is planed to the bottom's sweep, so its fore edge is a sharp wedge in the finished boat.
    """
    thickness = hull.design.woods.nose_block.thickness
    x = hull.stations(nose_from(hull), hull.bottom_reaches(hull.roof, hull.bottom_thickness))
    faces = []
    for z, ahead in ((hull.roof, x), (hull.roof - thickness, x)):
        y = hull.half_breadth(ahead, z, hull.side_thickness)
        tip = ahead[-1] if z == hull.roof else ahead[0]
        faces.append(
            (
                line(ahead, -y, z),
                line(tip, np.array([-y[-1], y[-1]]), z),
                line(ahead[::-1], y[::-1], z),
                line(ahead[0], np.array([y[0], -y[0]]), z),
            )
        )
    names = ("starboard", "bow", "port", "after")
    edges = [EdgeLines(name, outer, inner) for name, outer, inner in zip(names, *faces, strict=True)]
    spec = Spec(
        "nose-block",
        "Nose block",
        "nose_block",
        hull.design.woods.nose_block,
        step="underside planed to the bottom's curve",
    )
    return make_part(hull.design, spec, level_panel(hull.roof - thickness, thickness), edges)


def fore_deck(hull: Hull) -> Part:
    """The fore deck, drawn as seen from above."""
    over = hull.design.laps.deck == "over"
    low, high = _deck_faces(hull, hull.design.woods.deck.thickness)
    start = hull.design.decks.fore_from
    inset = 0.0 if over else hull.side_thickness
    bows = [hull.length if over else hull.bottom_reaches(z, hull.bottom_thickness) for z in (high, low)]
    x = hull.stations(start, min(bows))
    faces = [_deck_lines(hull, np.append(x[:-1], bow), z, inset) for z, bow in zip((high, low), bows, strict=True)]
    allowance = hull.design.laps.trim_allowance if over else 0.0
    extra = (allowance, allowance, allowance, 0.0)
    names = ("starboard", "bow", "port", "after")
    edges = [EdgeLines(n, o, i, e) for n, o, i, e in zip(names, *faces, extra, strict=True)]
    spec = Spec("fore-deck", "Fore deck", "deck", hull.design.woods.deck, step="glued down last")
    thickness = hull.design.woods.deck.thickness
    return make_part(hull.design, spec, level_panel(low, thickness), edges)


def after_cover(hull: Hull) -> Part | None:
    """The after deck or the hatch, drawn as seen from above; None for an open stern."""
    kind = hull.design.decks.after
    if kind == "open":
        return None
    over = hull.design.laps.deck == "over"
    wood = hull.design.woods.hatch if kind == "hatch" else hull.design.woods.deck
    low, high = _deck_faces(hull, wood.thickness)
    inset = 0.0 if over else hull.side_thickness
    start = 0.0 if over else hull.transom_thickness
    x = hull.stations(start, hull.design.decks.after_to)
    faces = [_deck_lines(hull, x, z, inset) for z in (high, low)]
    allowance = hull.design.laps.trim_allowance if over and kind == "deck" else 0.0
    extra = (allowance, 0.0, allowance, allowance)
    names = ("starboard", "fore", "port", "transom edge")
    edges = [EdgeLines(n, o, i, e) for n, o, i, e in zip(names, *faces, extra, strict=True)]
    if kind == "hatch":
        spec = Spec("hatch", "Hatch", "hatch", wood, step="lifts off; held by screws")
    else:
        spec = Spec("after-deck", "After deck", "deck", wood, step="glued down last")
    return make_part(hull.design, spec, level_panel(low, wood.thickness), edges)


def _deck_faces(hull: Hull, thickness: float) -> tuple[float, float]:
    low = hull.depth if hull.design.laps.deck == "over" else hull.depth - thickness
    return low, low + thickness


def _deck_lines(hull: Hull, x: Array, z: float, inset: float) -> tuple[Array, Array, Array, Array]:
    start, stop = x[0], x[-1]
    y = hull.half_breadth(x, z, inset)
    return (
        line(x, -y, z),
        line(stop, np.array([-y[-1], y[-1]]), z),
        line(x[::-1], y[::-1], z),
        line(start, np.array([y[0], -y[0]]), z),
    )


def beam_places(hull: Hull) -> dict[str, float]:
    """X of the after face of each deck beam, by its slug."""
    thickness = hull.design.woods.deck_beam.thickness
    decks = hull.design.decks
    fore = decks.fore_from + hull.design.woods.bulkhead.thickness
    places = {"deck-beam-fore": fore, "deck-beam-middle": (fore + nose_from(hull)) / 2.0}
    if decks.after != "open":
        places["deck-beam-after"] = decks.after_to - thickness
    return places


def deck_beams(hull: Hull) -> list[Part]:
    """The beams under the decks' edges and under the middle of the fore deck."""
    names = {
        "deck-beam-fore": "Deck beam, fore",
        "deck-beam-middle": "Deck beam, middle",
        "deck-beam-after": "Deck beam, after",
    }
    wood = hull.design.woods.deck_beam
    cleats = hull.design.cleats
    notch = Notch(hull.design.woods.cleat.thickness, cleats.sheer_height)
    made = []
    for slug, x in beam_places(hull).items():
        foot = hull.roof - hull.design.decks.beam_depth
        edges = cross_section(hull, x, wood.thickness, foot, hull.roof, hull.side_thickness, sheer_notch=notch)
        spec = Spec(slug, names[slug], "deck_beam", wood, step="notched over the sheer cleats")
        made.append(make_part(hull.design, spec, transverse_panel(x, wood.thickness), edges))
    return made


def hatch_battens(hull: Hull) -> list[Part]:
    """The battens under the hatch that keep it from sliding; empty without a hatch."""
    if hull.design.decks.after != "hatch":
        return []
    decks = hull.design.decks
    wood = hull.design.woods.batten
    start = hull.transom_thickness + hull.design.cleats.knee_leg + decks.hatch_gap
    stop = decks.after_to - hull.design.woods.deck_beam.thickness - decks.batten_width - decks.hatch_gap
    made = []
    for slug, name, x in (
        ("hatch-batten-after", "Hatch batten, after", start),
        ("hatch-batten-fore", "Hatch batten, fore", stop),
    ):
        inset = hull.side_thickness + hull.design.woods.cleat.thickness
        z = hull.roof - wood.thickness
        y = hull.half_breadth(np.array([x, x + decks.batten_width]), z, inset)
        half = float(y.min()) - decks.hatch_gap
        panel = level_panel(z, wood.thickness)
        corners = [
            ("starboard", x, -half),
            ("fore", x + decks.batten_width, -half),
            ("port", x + decks.batten_width, half),
            ("after", x, half),
        ]
        spec = Spec(
            slug, name, "batten", replace(wood, grain="across"), step="glued under the hatch, clear of the sheer cleats"
        )
        made.append(make_part(hull.design, spec, panel, square_edges(panel, corners)))
    return made


def windscreen(hull: Hull) -> Part | None:
    """The spray screen on the fore deck's after edge, leaning aft, drawn as seen from ahead."""
    screen = hull.design.windscreen
    if not screen.fitted:
        return None
    wood = hull.design.woods.windscreen
    rake = float(np.radians(screen.rake))
    up = (-float(np.sin(rake)), 0.0, float(np.cos(rake)))
    ahead = (float(np.cos(rake)), 0.0, float(np.sin(rake)))
    x = hull.design.decks.fore_from + hull.design.woods.bulkhead.thickness
    top = _deck_faces(hull, hull.design.woods.deck.thickness)[1]
    panel = FlatPanel(wood.thickness, (x, 0.0, top), (0.0, 1.0, 0.0), up, ahead)
    foot, head = screen.width_foot / 2.0, screen.width_top / 2.0
    corners = [
        ("foot", -foot, 0.0),
        ("port", foot, 0.0),
        ("top", head, screen.height),
        ("starboard", -head, screen.height),
    ]
    spec = Spec("windscreen", "Windscreen", "windscreen", wood, step="foot planed to the rake, glued on deck")
    return make_part(hull.design, spec, panel, square_edges(panel, corners))
