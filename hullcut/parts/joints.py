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

from hullcut.parts.frames import line
from hullcut.parts.outline import as_points
from hullcut.parts.values import Joint, JointSide

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
        lines += [replace(joint, points=joint.points * mirror) for joint in _side_lines(hull, hand)]
    lines += _across_lines(hull)
    return tuple(lines)


def _side_lines(hull: Hull, hand: str) -> list[JointLine]:
    """The joints of one side, as lines on the port side."""
    design = hull.design
    under = design.laps.bottom == "under"
    chine_face = 0.0 if under else hull.side_thickness
    tip = hull.bottom_reaches(hull.depth, hull.chine_inset)
    start = max(hull.side_aft, hull.bottom_aft)
    x = hull.stations(start, tip)
    z = hull.bottom_height(x, hull.chine_inset)
    side, inner = f"side-{hand}", hull.side_thickness
    found = [
        JointLine(f"chine, {hand}", side, "lower", "bottom", hand, line(x, hull.half_breadth(x, z, chine_face), z))
    ]
    over = design.laps.deck == "over"
    deck_face = 0.0 if over else inner
    level = hull.roof if over else hull.depth
    spans = [("fore-deck", design.decks.fore_from, tip), ("after-deck", start, design.decks.after_to)]
    spans.append(("hatch", start, design.decks.after_to))
    for deck, near, far in spans:
        along = hull.stations(near, far)
        sheer = line(along, hull.half_breadth(along, level, deck_face), level)
        found.append(JointLine(f"sheer, {hand}, {deck}", side, "sheer", deck, hand, sheer))
    foot = hull.bottom_thickness if under else 0.0
    up = np.linspace(max(foot, hull.chine_inset), hull.depth, 33)
    corner = (0.0, inner) if design.laps.transom == "between" else (hull.transom_thickness, 0.0)
    ends = line(corner[0], hull.half_breadth(np.full(33, corner[0]), up, corner[1]), up)
    found.append(JointLine(f"transom, {hand}", side, "transom end", "transom", hand, ends))
    found += _cleat_lines(hull, hand, x)
    return found


def _cleat_lines(hull: Hull, hand: str, x: Array) -> list[JointLine]:
    """Chine and sheer cleats against side and bottom, along the lines where their corners lie."""
    from hullcut.parts.decks import nose_from

    inner, thickness = hull.side_thickness, hull.bottom_thickness
    split, start, stop = hull.design.hull.flat_to, hull.transom_thickness, nose_from(hull)
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
    along = hull.stations(start, stop)
    points = line(along, hull.half_breadth(along, hull.roof, inner), hull.roof)
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
    found = []
    x = 0.0 if under else hull.transom_thickness
    inset = hull.side_thickness if design.laps.transom == "between" or not under else 0.0
    y = float(hull.half_breadth(np.array([x]), hull.chine_inset, inset)[0])
    foot = line(x, np.linspace(-y, y, 9), hull.chine_inset)
    found.append(JointLine("transom, bottom", "transom", "lower", "bottom", "transom edge", foot))
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
