"""Joints: named lines in space where two parts meet, measured on both parts' own drawings.

Each part's length along a joint is reckoned back from its flat line, ruling by ruling. A step in the flat has a
component along the ruling, which is the same on every parallel surface, and one across it, which grows by offset
times turn on a surface that lies `offset` outside the middle one. For edges square to the rulings this is half the
thickness times the angle turned; on bevelled edges only the reckoning ruling by ruling is right.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.cleats import sheer_cleat_fore
from hullcut.parts.crown import crown_of
from hullcut.parts.frames import line
from hullcut.parts.hatch import has_coaming
from hullcut.parts.outline import as_points
from hullcut.parts.values import Joint, JointSide
from hullcut.parts.windscreen import fold_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.hull.form import Hull
    from hullcut.hull.panel import Panel
    from hullcut.parts.values import Part

__all__ = ["JointLine", "joint_lines", "measure_joints", "reckon"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class JointLine:
    """A joint before it is measured.

    Attributes:
        name: of the joint.
        a, b: slugs of the two parts.
        edge_a, edge_b: what the line is on each.
        points: the line in space (n, 3).
    """

    name: str
    a: str
    edge_a: str
    b: str
    edge_b: str
    points: Array


def reckon(panel: Panel, flat: Array, offset: float) -> tuple[float, float]:
    """Lengths of a line of a panel, in the flat and in space.

    Args:
        panel: the chart.
        flat: the line (n, 2) in the flat.
        offset: of the line from the middle surface, mm.

    Returns:
        Flat length and length in space, mm.
    """
    steps = np.diff(flat, axis=0)
    across = panel.across(flat)
    mean = across[1:] + across[:-1]
    mean = mean / np.linalg.norm(mean, axis=1)[:, None]
    over = np.einsum("ij,ij->i", steps, mean) + offset * np.diff(panel.turn(flat))
    along = steps[:, 1] * mean[:, 0] - steps[:, 0] * mean[:, 1]
    return float(np.linalg.norm(steps, axis=1).sum()), float(np.hypot(over, along).sum())


def measure_joints(parts: Sequence[Part], lines: Sequence[JointLine], design: str) -> tuple[Joint, ...]:
    """Measure every joint on both of its parts; joints of parts that the boat does not have are left out."""
    by_slug = {part.id.removeprefix(f"{design}-"): part for part in parts}
    found = []
    for joint in lines:
        if joint.a not in by_slug or joint.b not in by_slug:
            continue
        a = _view(by_slug[joint.a], joint.edge_a, joint.points)
        b = _view(by_slug[joint.b], joint.edge_b, joint.points)
        found.append(Joint(joint.name, a, b, abs(a.length - b.length)))
    return tuple(found)


def _view(part: Part, edge: str, points: Array) -> JointSide:
    laid = part.panel.to_flat(points)
    offset = float(laid[:, 2].mean())
    flat_length, length = reckon(part.panel, laid[:, :2], offset)
    return JointSide(part.id, edge, as_points(laid[:, :2]), offset, flat_length, length)


def joint_lines(hull: Hull) -> tuple[JointLine, ...]:
    """The joints of a hull: chines, sheers, transom, bulkhead and cleats."""
    lines: list[JointLine] = []
    for hand, sign in (("port", 1.0), ("starboard", -1.0)):
        mirror = np.array([1.0, sign, 1.0])
        own = [*_side_lines(hull, hand), *_fold(hull, hand)]
        lines += [replace(joint, points=joint.points * mirror) for joint in own]
    lines += _across_lines(hull)
    return tuple(lines)


def _fold(hull: Hull, hand: str) -> list[JointLine]:
    """Where a wing of the windscreen meets its middle piece."""
    if hull.design.windscreen.wing <= 0.0:
        return []
    wing = f"windscreen-wing-{hand}"
    return [JointLine(f"windscreen's fold, {hand}", "windscreen", hand, wing, "fold", fold_line(hull))]


def _side_lines(hull: Hull, hand: str) -> list[JointLine]:
    """The joints of one side, as lines on the port side."""
    laps = hull.design.laps
    under, over = laps.bottom == "under", laps.deck == "over"
    side = f"side-{hand}"
    x = hull.stations(*chine_span(hull))
    z = hull.bottom_height(x, hull.chine_inset)
    y = hull.half_breadth(x, z, 0.0 if under else hull.side_thickness)
    found = [JointLine(f"chine, {hand}", side, "lower", "bottom", hand, line(x, y, z))]
    deck_face = 0.0 if over else hull.side_thickness
    drop = hull.deck_drop
    fore = _deck_end(hull, deck_face)
    aft = hull.head_of(hull.transom_inside if not over else hull.side_aft)[0]
    spans = [("fore-deck", hull.design.decks.fore_from, fore)]
    covers = ("after-deck",) if has_coaming(hull) else ("after-deck", "hatch")
    spans += [(cover, aft, hull.design.decks.after_to) for cover in covers]
    for deck, near, far in spans:
        along = hull.stations(near, far)
        level = hull.sheer_height(along, 0.0 if over else -drop)
        crown = crown_of(hull) if deck == "after-deck" else None
        if crown is not None:
            level = crown.height(hull.half_breadth(along, level, deck_face))
        sheer = line(along, hull.half_breadth(along, level, deck_face), level)
        found.append(JointLine(f"sheer, {hand}, {deck}", side, "sheer", deck, hand, sheer))
    found += _end_lines(hull, hand)
    start = hull.foot_of(hull.transom_inside, hull.bottom_thickness)[0]
    found += _cleat_lines(hull, hand, start)
    return found


def _deck_end(hull: Hull, inset: float) -> float:
    """X where a face of the side ends at the sheer."""
    if hull.side_fore is None:
        return hull.bottom_meets_sheer(hull.chine_inset)
    return hull.side_head(hull.side_fore, 0.0, inset)[0]


def chine_span(hull: Hull) -> tuple[float, float]:
    """X between which side and bottom meet."""
    inset = hull.chine_inset
    start = max(hull.foot_of(hull.side_aft, inset)[0], hull.foot_of(hull.bottom_aft, inset)[0])
    if hull.side_fore is None or hull.bottom_fore is None:
        return start, hull.bottom_meets_sheer(inset)
    face = 0.0 if hull.design.laps.bottom == "under" else hull.side_thickness
    return start, min(hull.side_foot(end, inset, face)[0] for end in (hull.side_fore, hull.bottom_fore))


def _end_lines(hull: Hull, hand: str) -> list[JointLine]:
    """Where a side meets the transom, and a pram's bow transom."""
    between = hull.design.laps.transom == "between"
    inset = hull.side_thickness if between else 0.0
    boards = [("transom", "transom end", hull.side_aft)]
    if hull.design.hull.bow == "pram" and hull.side_fore is not None:
        boards.append(("bow-transom", "bow end", hull.side_fore))
    found = []
    for board, edge, plane in boards:
        z = np.linspace(hull.foot_of(plane, hull.chine_inset)[1], hull.head_of(plane)[1], 33)
        points = line(plane.x(z), hull.half_breadth(plane.x(z), z, inset), z)
        name = board.replace("-", " ")
        found.append(JointLine(f"{name}, {hand}", f"side-{hand}", edge, board, hand, points))
    return found


def _cleat_lines(hull: Hull, hand: str, start: float) -> list[JointLine]:
    """Chine and sheer cleats against side and bottom, along the lines where their corners lie."""
    inner, thickness = hull.side_thickness, hull.bottom_thickness
    split, stop = hull.design.hull.flat_to, hull.bow_room()
    spans = [
        ("chine-cleat-after", start, split),
        ("chine-cleat-fore", split, stop),
        ("chine-cleat", start, stop),
    ]
    found = []
    for slug, near, far in spans:
        along = hull.stations(near, far)
        z = hull.bottom_height(along, thickness)
        points = line(along, hull.half_breadth(along, z, inner), z)
        name = f"{slug.replace('-', ' ')}, {hand}"
        found.append(JointLine(f"{name}, bottom", f"{slug}-{hand}", "lower", "bottom", "cleat corner", points))
        found.append(JointLine(f"{name}, side", f"{slug}-{hand}", "lower", f"side-{hand}", "cleat corner", points))
    along = hull.stations(hull.head_of(hull.transom_inside, -hull.deck_drop)[0], sheer_cleat_fore(hull))
    roof = hull.roof_height(along)
    points = line(along, hull.half_breadth(along, roof, inner), roof)
    found.append(
        JointLine(
            f"sheer cleat, {hand}, side",
            f"sheer-cleat-{hand}",
            "upper",
            f"side-{hand}",
            "cleat corner",
            points,
        )
    )
    return found


def _across_lines(hull: Hull) -> list[JointLine]:
    """Joints across the boat: transom and bulkhead on the bottom."""
    design = hull.design
    under = design.laps.bottom == "under"
    inset = hull.side_thickness if design.laps.transom == "between" or not under else 0.0
    found = []
    boards = [("transom", "transom edge", hull.transom if under else hull.transom_inside)]
    if design.hull.bow == "pram" and hull.bow is not None and hull.bow_inside is not None:
        boards.append(("bow-transom", "bow", hull.bow if under else hull.bow_inside))
    for board, edge, plane in boards:
        x, z = hull.foot_of(plane, hull.chine_inset)
        y = float(hull.half_breadth(np.array([x]), z, inset)[0])
        foot = line(x, np.linspace(-y, y, 9), z)
        found.append(JointLine(f"{board.replace('-', ' ')}, bottom", board, "lower", "bottom", edge, foot))
    x = design.decks.fore_from
    z = float(hull.bottom_height(np.array([x]), hull.bottom_thickness)[0])
    breadth = design.woods.cleat.thickness
    y = float(hull.half_breadth(np.array([x]), z, hull.side_thickness + breadth)[0])
    found.append(
        JointLine(
            "bulkhead, bottom",
            "bulkhead",
            "lower",
            "bottom",
            "on its face",
            line(x, np.linspace(-y, y, 9), z),
        )
    )
    return found
