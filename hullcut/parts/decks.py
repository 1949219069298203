"""What covers the hull: fore deck, after deck or hatch, deck beams, block at the bow."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.end_plane import EndPlane
from hullcut.parts.crown import Crown, CrownPanel, crown_of
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line, transverse_panel, upright_panel
from hullcut.parts.hatch import has_coaming, opening_ring
from hullcut.parts.outline import EdgeLines
from hullcut.parts.section import cross_section

if TYPE_CHECKING:
    from hullcut.hull.form import Hull
    from hullcut.hull.panel import Panel
    from hullcut.parts.values import Part

__all__ = [
    "after_cover",
    "beam_places",
    "bow_block",
    "deck_beams",
    "deck_low",
    "deck_panel",
    "fore_deck",
]

Array = NDArray[np.float64]

# Points along an arc across the boat.
_ACROSS = 65


def bow_block(hull: Hull) -> Part | None:
    """What closes the bow between bottom and deck: a sled's nose block or a stem's block; None for a pram."""
    if hull.design.hull.bow == "pram":
        return None
    return _nose_block(hull) if hull.design.hull.bow == "sled" else _stem_block(hull)


def _nose_block(hull: Hull) -> Part:
    """The block that fills the wedge between bottom and deck at the bow, drawn as seen from above.

    Its underside is planed to the bottom's sweep, so its fore edge is a sharp wedge in the finished boat.
    """
    thickness = hull.design.woods.nose_block.thickness
    x = hull.stations(hull.bow_room(), hull.bottom_meets_roof(hull.bottom_thickness))
    head = float(hull.roof_height(x[-1])[0])
    faces = []
    for drop in (0.0, thickness):
        y = hull.half_breadth(x, hull.roof_height(x) - drop, hull.side_thickness)
        tip = x[-1] if drop == 0.0 else x[0]
        z = head - drop
        faces.append(
            (
                line(x, -y, z),
                line(tip, np.array([-y[-1], y[-1]]), z),
                line(x[::-1], y[::-1], z),
                line(x[0], np.array([y[0], -y[0]]), z),
            )
        )
    names = ("starboard", "bow", "port", "after")
    edges = [EdgeLines(name, outer, inner) for name, outer, inner in zip(names, *faces, strict=True)]
    step = "underside planed to the bottom's curve"
    spec = Spec("nose-block", "Nose block", "nose_block", hull.design.woods.nose_block, step=step)
    return make_part(hull.design, spec, level_panel(head - thickness, thickness), edges)


def _stem_block(hull: Hull) -> Part:
    """The block between the sides at the stem, drawn from the side; its cheeks are planed to fit them."""
    wood = hull.design.woods.nose_block
    assert hull.bow is not None
    inset = hull.side_thickness
    foot = hull.side_foot(hull.bow, hull.bottom_thickness, inset)
    head = hull.side_head(hull.bow, -hull.deck_drop, inset)
    aft = hull.bow_room()
    low, high = hull.stations(aft, foot[0]), hull.stations(aft, head[0])
    half = wood.thickness / 2.0
    panel = upright_panel(-half, wood.thickness)
    rings = []
    for y in (half, -half):
        z_low, z_high = hull.bottom_height(low, hull.bottom_thickness), hull.roof_height(high)
        rings.append(
            (
                line(low, y, z_low),
                line(np.array([foot[0], head[0]]), y, np.array([foot[1], head[1]])),
                line(high[::-1], y, z_high[::-1]),
                line(aft, y, np.array([z_high[0], z_low[0]])),
            )
        )
    names = ("lower", "stem", "upper", "after")
    edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *rings, strict=True)]
    spec = Spec("stem-block", "Stem block", "nose_block", wood, step="cheeks planed to fit the sides")
    return make_part(hull.design, spec, panel, edges)


def fore_deck(hull: Hull) -> Part:
    """The fore deck, drawn as seen from above."""
    wood = hull.design.woods.deck
    over = hull.design.laps.deck == "over"
    allowance = hull.design.laps.trim_allowance if over else 0.0
    start = EndPlane(hull.design.decks.fore_from, 0.0)
    extras = (allowance, allowance, allowance, 0.0)
    edges = _deck_edges(hull, wood.thickness, start, _deck_fore(hull), ("starboard", "bow", "port", "after"), extras)
    spec = Spec("fore-deck", "Fore deck", "deck", wood, step="glued down after the foam")
    return make_part(hull.design, spec, deck_panel(hull, wood.thickness, start.foot, hull.length), edges)


def after_cover(hull: Hull) -> Part | None:
    """The after deck, or the hatch where that covers the whole stern, drawn as seen from above; None for an open stern.

    Under a hatch on a coaming the deck has an opening.
    """
    kind = "deck" if has_coaming(hull) else hull.design.decks.after
    if kind == "open":
        return None
    over = hull.design.laps.deck == "over"
    wood = hull.design.woods.hatch if kind == "hatch" else hull.design.woods.deck
    start = hull.transom if over else hull.transom_inside
    stop = EndPlane(hull.design.decks.after_to, 0.0)
    allowance = hull.design.laps.trim_allowance if over and kind == "deck" else 0.0
    extras = (allowance, 0.0, allowance, allowance)
    names = ("starboard", "fore", "port", "transom edge")
    crown = crown_of(hull)
    if crown is None:
        edges = _deck_edges(hull, wood.thickness, start, stop, names, extras)
        panel = deck_panel(hull, wood.thickness, 0.0, stop.foot)
    else:
        edges = _crowned_edges(hull, crown, wood.thickness, stop, names, extras)
        panel = CrownPanel(wood.thickness, crown)
    holes = []
    if kind == "hatch":
        spec = Spec("hatch", "Hatch", "hatch", wood, step="lifts off; held by screws")
    elif has_coaming(hull):
        spec = Spec("after-deck", "After deck", "deck", wood, step="glued down after the foam")
        holes = [opening_ring(hull)]
    else:
        # Nothing under it could be reached if it were glued: it comes off as a hatch does.
        spec = Spec("after-deck", "After deck", "hatch", wood, step="screwed on, never glued")
    return make_part(hull.design, spec, panel, edges, holes)


def _crowned_edges(
    hull: Hull,
    crown: Crown,
    thickness: float,
    stop: EndPlane,
    names: tuple[str, str, str, str],
    extras: tuple[float, float, float, float],
) -> list[EdgeLines]:
    """The edges of a crowned after deck: flush with the sides' outer faces and with the transom's."""
    faces = []
    for above in (thickness, 0.0):
        half = float(hull.half_breadth(np.array([stop.foot]), float(crown.height(crown.half, above)))[0])
        for _ in range(20):
            half = float(hull.half_breadth(np.array([stop.foot]), float(crown.height(half, above)))[0])
        y = np.linspace(-half, half, _ACROSS)
        z = crown.height(y, above)
        aft = line(hull.transom.x(z), y, z)
        fore = line(stop.x(z), y, z)
        faces.append((np.array([aft[0], fore[0]]), fore, np.array([fore[-1], aft[-1]]), aft[::-1]))
    return [EdgeLines(n, o, i, e) for n, o, i, e in zip(names, *faces, extras, strict=True)]


def _crowned(crown: Crown, edge: EdgeLines) -> EdgeLines:
    """A level edge across the boat, raised to the crown between its ends."""
    lines = []
    for ends in (edge.outer, edge.inner):
        y = np.linspace(ends[0, 1], ends[-1, 1], _ACROSS)
        z = np.maximum(crown.height(y), ends[0, 2])
        lines.append(line(float(ends[0, 0]), y, z))
    return EdgeLines(edge.name, lines[0], lines[1], edge.allowance)


def deck_low(hull: Hull, thickness: float) -> float:
    """How far a deck's lower face lies above the sheer, mm; negative where the sides cover its edges."""
    return 0.0 if hull.design.laps.deck == "over" else -thickness


def deck_panel(hull: Hull, thickness: float, start: float, stop: float) -> Panel:
    """The chart of a deck between two places: flat where the sheer is straight, else bent along it."""
    low = deck_low(hull, thickness)
    turned = np.ptp(hull.sheer.heading(hull.sheer.at_first_axis(np.array([start, stop]))))
    if float(turned) == 0.0:
        return level_panel(float(hull.sheer_height(start)[0]) + low, thickness)
    return CylinderPanel(thickness, hull.sheer, base=low, outer_up=True)


def _deck_fore(hull: Hull) -> EndPlane | None:
    """Where the fore deck ends: the bow's plane, or a sled's foremost wood; None for the inside of a sled's bottom."""
    over = hull.design.laps.deck == "over"
    if hull.bow is None:
        return EndPlane(hull.length, 0.0) if over else None
    return hull.bow if over else hull.bow_inside


def _deck_edges(
    hull: Hull,
    thickness: float,
    start: EndPlane,
    stop: EndPlane | None,
    names: tuple[str, str, str, str],
    extras: tuple[float, float, float, float],
) -> list[EdgeLines]:
    inset = 0.0 if hull.design.laps.deck == "over" else hull.side_thickness
    low = deck_low(hull, thickness)
    faces = []
    ends = [
        (
            hull.head_of(start, above),
            (_inside_bottom(hull, above) if stop is None else hull.side_head(stop, above, inset)),
        )
        for above in (low + thickness, low)
    ]
    x0, x1 = min(end[0][0] for end in ends), max(end[1][0] for end in ends)
    s = hull.sheer.at_first_axis(hull.stations(x0, x1))
    for above, (aft, fore) in zip((low + thickness, low), ends, strict=True):
        place = hull.sheer.point(s) + above * hull.sheer.left(s)
        y = hull.half_breadth(place[:, 0], place[:, 1], inset)
        y_aft = float(hull.half_breadth(np.array([aft[0]]), aft[1], inset)[0])
        y_fore = float(hull.half_breadth(np.array([fore[0]]), fore[1], inset)[0])
        faces.append(
            (
                line(place[:, 0], -y, place[:, 1]),
                line(fore[0], np.array([-y_fore, y_fore]), fore[1]),
                line(place[::-1, 0], y[::-1], place[::-1, 1]),
                line(aft[0], np.array([y_aft, -y_aft]), aft[1]),
            )
        )
    edges = [EdgeLines(n, o, i, e) for n, o, i, e in zip(names, *faces, extras, strict=True)]
    if hull.pointed and stop == hull.bow:
        del edges[1]
    return edges


def _inside_bottom(hull: Hull, above: float) -> tuple[float, float]:
    """Where a face of a deck set between the sides meets the inside of a sled's bottom."""
    x = hull.bottom_meets_sheer(hull.bottom_thickness, -above)
    return x, float(hull.sheer_height(x, above)[0])


def beam_places(hull: Hull) -> dict[str, float]:
    """X of the after face of each deck beam, by its slug; from aft: after, middle (at the bulkhead), fore."""
    thickness = hull.design.woods.deck_beam.thickness
    decks = hull.design.decks
    bulkhead = decks.fore_from + hull.design.woods.bulkhead.thickness
    places = {"deck-beam-middle": bulkhead, "deck-beam-fore": (bulkhead + hull.bow_room()) / 2.0}
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
    made = []
    for slug, x in beam_places(hull).items():
        edges = cross_section(
            hull, x, wood.thickness, hull.side_thickness, depth=hull.design.decks.beam_depth, sheer_notch=True
        )
        crown = crown_of(hull) if slug == "deck-beam-after" else None
        if crown is not None:
            edges = [_crowned(crown, edge) if edge.name == "upper" else edge for edge in edges]
        spec = Spec(slug, names[slug], "deck_beam", wood, step="notched over the sheer cleats")
        made.append(make_part(hull.design, spec, transverse_panel(x, wood.thickness), edges))
    return made
