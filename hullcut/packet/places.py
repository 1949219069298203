"""Where things stand in a boat, reckoned for the building steps: gaps, holes, blocks, beams and the shaft's tube."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.balance.weights import ROD_SHORT
from hullcut.parts.crown import crown_of
from hullcut.parts.decks import beam_places
from hullcut.parts.drains import Hole
from hullcut.parts.engine import bearer_places
from hullcut.parts.fittings import arm_height
from hullcut.parts.outline import outline_area

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.parts.values import Part

__all__ = [
    "COLLAR",
    "COLLAR_WASHER",
    "PUSHROD_HOLE",
    "CleatEnds",
    "Diagonal",
    "Hole",
    "Tube",
    "beam_rows",
    "bearers_from_inside",
    "bolt_holes",
    "bottom_overhang",
    "cleat_ends",
    "coupling_half",
    "cut_bottom",
    "end_cleat_gaps",
    "frame_blocks",
    "frame_diagonal",
    "lifted_by_bar",
    "lifted_clear",
    "pushrod_hole",
    "shelf_from_inside",
    "side_tips",
    "switch_place",
    "tube",
    "tube_bearings",
    "widest",
]

PUSHROD_HOLE = 6.35
"""Diameter of the hole in which a pushrod moves freely in its bellows, mm: common practice, no source."""
COLLAR_WASHER, COLLAR = 1.5, 4.5
"""What the washer, and the collar, at the tube's end take of the rod, mm: common practice, no source."""

Array = NDArray[np.float64]

# The rudder's pushrod passes so far beside the rudder's post, where the tiller reaches it, mm.
_TILLER = 25.0
# A place nearer than this to a bulkhead or a transom is not told apart from it, mm.
_NEAR = 25.0
# Between the coupling's half and the collar, mm: common practice, no source.
_PLAY = 3.0
# Between the frame and what is drawn over it, before it goes in, mm.
_OVER_FRAME = 12.0


@dataclass(frozen=True, slots=True)
class Diagonal:
    """The line across the frame, from a side's after lower corner to the other side's edge at the bulkhead.

    Attributes:
        aft: x of the after corner.
        aft_half: half breadth there.
        fore: x of the bulkhead's after face.
        fore_half: half breadth there.
        length: of the diagonal, as a tape measures it.
    """

    aft: float
    aft_half: float
    fore: float
    fore_half: float
    length: float


@dataclass(frozen=True, slots=True)
class CleatEnds:
    """How far a side's cleats stop short of the side's ends, mm.

    Attributes:
        aft: from the after end, along the side.
        fore: from the foremost upper corner, as a tape measures it.
    """

    aft: float
    fore: float


@dataclass(frozen=True, slots=True)
class Tube:
    """The tube that the shaft runs in, mm.

    Attributes:
        length: to cut: from where its lower side leaves the bottom to the foremost bearing.
        abaft_plate: from its fore end to the engine plate's after face, along the rod.
        below_at_stern: from the bottom's outer face down to the rod's middle, at the transom's foot.
    """

    length: float
    abaft_plate: float
    below_at_stern: float


def frame_diagonal(plan: BoatPlan) -> Diagonal:
    """The diagonal of a boat's frame, outside to outside along the lower edges, which lie up while it is built."""
    hull = plan.hull
    aft, fore = hull.foot_of(hull.side_aft, hull.chine_inset)[0], plan.design.decks.fore_from
    x = np.array([aft, fore])
    z = hull.bottom_height(x, hull.chine_inset)
    halves = hull.half_breadth(x, z)
    length = float(np.linalg.norm([fore - aft, halves.sum(), float(np.ptp(z))]))
    return Diagonal(aft, float(halves[0]), fore, float(halves[1]), length)


def cleat_ends(plan: BoatPlan, kind: str) -> CleatEnds:
    """The ends of the port side's cleats of a kind, "chine" or "sheer", in the flat of the side.

    Raises:
        ValueError: the boat has no such cleats.
    """
    side = next(part for part in plan.parts if part.family == "side" and part.hand == "port")
    cleats = [part for part in plan.parts if part.family == "cleat" and f"-{kind}-" in part.id and part.hand == "port"]
    if not cleats:
        raise ValueError(f"the boat has no {kind} cleats")
    rows = [_corners(part, part.thickness / 2.0) for part in cleats]
    space = np.vstack(rows)
    aft, fore = (space[np.argsort(way * space[:, 0])[:2]] for way in (1.0, -1.0))
    outline = outline_area(side.true_outline)
    u, v = side.panel.to_flat(aft)[:, :2].mean(axis=0)
    back = -float(np.sign(side.panel.to_flat(fore)[0, 0] - u))
    left = outline.intersection(shapely.LineString([(u, v), (u + back * 1e4, v)]))
    # A side's fore end is slanted or runs out to a tip: there the tape goes to its foremost upper corner.
    ends = _corners(side, side.thickness / 2.0)
    tip = ends[np.argmax(ends[:, 0] + 1e-3 * ends[:, 2])]
    ahead = fore[np.argmax(fore[:, 2])]
    far = np.diff(side.panel.to_flat(np.array([ahead, tip]))[:, :2], axis=0)
    return CleatEnds(float(left.length), float(np.linalg.norm(far)))


def _corners(part: Part, offset: float) -> Array:
    found: Array = part.panel.to_space(np.array(part.true_outline), offset)
    return found


def frame_blocks(plan: BoatPlan) -> tuple[float, float, float]:
    """Heights of the blocks under the sides, upside down, at transom, bulkhead and bow; none where all are 0."""
    hull = plan.hull
    head = hull.head_of(hull.transom)[0]
    bow = max(float(_corners(part, 0.0)[:, 0].max()) for part in plan.parts if part.family == "side")
    sheer = hull.sheer_height(np.array([head, plan.design.decks.fore_from, bow]))
    crown = crown_of(hull)
    high = float(sheer.max()) if crown is None else max(float(sheer.max()), float(crown.height(0.0)))
    after, middle, fore = (high - float(z) for z in sheer)
    if max(after, middle, fore) < 1.0:
        return (0.0, 0.0, 0.0)
    return (after, middle, fore)


def lifted_by_bar(plan: BoatPlan) -> float:
    """How far the balance bar in its rails lifts the boat off the stand's cradles, mm; 0 without a stand."""
    bar = next((part for part in plan.parts if part.id.endswith("-balance-bar")), None)
    if bar is None:
        return 0.0
    corners = np.vstack([_corners(bar, way * bar.thickness / 2.0) for way in (-1.0, 1.0)])
    return float(corners[:, 2].max() - plan.hull.bottom_height(corners[:, 0]).min())


def lifted_clear(plan: BoatPlan, parts: Sequence[Part], keel_up: bool) -> float:
    """How far parts are lifted off their places, all alike, until they are clear of the sides' edges, mm.

    Sides lean: what fits between them where it belongs would stand in them half-way out.

    Args:
        plan: the boat.
        parts: that go in between the sides.
        keel_up: whether they go in past the chines, while the boat lies keel up; else past the sheer.
    """
    hull = plan.hull
    lifts = [0.0]
    for part in parts:
        corners = np.vstack([_corners(part, way * part.thickness / 2.0) for way in (-1.0, 1.0)])
        x, z = corners[:, 0], corners[:, 2]
        if keel_up:
            lifts.append(float(z.max() - hull.bottom_height(x, hull.chine_inset).min()))
        else:
            lifts.append(float(hull.sheer_height(x).max() - z.min()))
    return max(lifts) + _OVER_FRAME


def side_tips(plan: BoatPlan) -> float:
    """X of the foremost corner of the sides, mm: as a tape measures it along the frame."""
    sides = [part for part in plan.parts if part.family == "side"]
    return max(float(_corners(part, way * part.thickness)[:, 0].max()) for part in sides for way in (0.5, -0.5))


def widest(plan: BoatPlan) -> tuple[float, float] | None:
    """X and width, outside to outside at the sheer, where the frame is widest.

    None where it is as wide at the transom or at the bulkhead, or widest beside one of them.
    """
    hull, fore = plan.hull, plan.design.decks.fore_from
    x = np.linspace(hull.head_of(hull.transom)[0], hull.length, 801)
    widths = 2.0 * hull.half_breadth(x, hull.sheer_height(x))
    at = int(np.argmax(widths))
    ends = 2.0 * hull.half_breadth(np.array([x[0], fore]), hull.sheer_height(np.array([x[0], fore])))
    if widths[at] - float(ends.max()) < 1.0 or min(abs(x[at] - x[0]), abs(x[at] - fore)) < _NEAR:
        return None
    return float(x[at]), float(widths[at])


def bolt_holes(plan: BoatPlan, of: str) -> tuple[Hole, ...]:
    """The holes in the transom for the bracket of the "strut" or the "rudder", lowest first."""
    transom = next(part for part in plan.parts if part.family == "transom" and part.id.endswith("-transom"))
    marks = [mark for mark in transom.marks if mark.kind == "hole" and mark.name.startswith(of)]
    if not marks:
        return ()
    space = transom.panel.to_space(np.array([mark.points[0] for mark in marks]), 0.0)
    found = [Hole(float(y), float(z), mark.diameter or 0.0) for (_, y, z), mark in zip(space, marks, strict=True)]
    return tuple(sorted(found, key=lambda hole: (round(hole.z, 3), hole.y)))


def pushrod_hole(plan: BoatPlan) -> Hole:
    """The hole of the rudder's pushrod: beside the rudder's post, towards the centre line."""
    design = plan.design
    side = 1.0 if design.rudder.offset <= 0.0 else -1.0
    return Hole(design.rudder.offset + side * _TILLER, arm_height(plan.hull), PUSHROD_HOLE)


def switch_place(plan: BoatPlan) -> Hole:
    """The hole of the radio's switch, as high as the pushrod's, and as wide, on the other side."""
    rod = pushrod_hole(plan)
    return Hole(-plan.design.rudder.offset, rod.z, rod.diameter)


def bearers_from_inside(plan: BoatPlan) -> float:
    """From the transom's inner face to the bearers' after ends, along the bottom, mm."""
    start = bearer_places(plan.hull, plan.arrangement)[0]
    return start - plan.hull.foot_of(plan.hull.transom_inside, plan.hull.bottom_thickness)[0]


def shelf_from_inside(plan: BoatPlan) -> float:
    """From the transom's inner face to the shelf's after edge, at the shelf's height, mm."""
    radio = plan.design.radio
    return radio.shelf_from - float(plan.hull.transom_inside.x(radio.shelf_height))


def beam_rows(plan: BoatPlan) -> tuple[tuple[str, float], ...]:
    """Name and x of the after face of each deck beam that the boat has, from aft forward."""
    places = beam_places(plan.hull)
    slugs = {part.id.removeprefix(f"{part.design}-") for part in plan.parts}
    rows = [(slug.removeprefix("deck-beam-"), x) for slug, x in places.items() if slug in slugs]
    return tuple(sorted(rows, key=lambda row: row[1]))


def tube(plan: BoatPlan) -> Tube:
    """The shaft's tube."""
    shaft, drive = plan.arrangement.shaft, plan.balance.drive
    steep = math.radians(shaft.angle)
    fore = drive.places[-1]
    foot, under = plan.hull.foot_of(plan.hull.transom, 0.0)
    return Tube(
        (fore - shaft.slot_from) / math.cos(steep),
        (shaft.output_x - fore) / math.cos(steep),
        under - (shaft.output_z - (shaft.output_x - foot) * math.tan(steep)),
    )


def coupling_half(plan: BoatPlan) -> float:
    """Length of the coupling's half on the rod, mm: between the rod's end and the collar with its washer."""
    return tube(plan).abaft_plate - ROD_SHORT - COLLAR_WASHER - COLLAR - _PLAY


def tube_bearings(plan: BoatPlan) -> tuple[float, ...]:
    """From the tube's fore end, where one bearing stands, to each other bearing in the tube, along it, mm.

    One that would stand abaft the tube is set into its after end.
    """
    along = math.cos(math.radians(plan.arrangement.shaft.angle))
    *others, fore = plan.balance.drive.places[1:]
    end = tube(plan).length
    return tuple(min((fore - place) / along, end) for place in reversed(others))


def cut_bottom(plan: BoatPlan) -> tuple[float, float]:
    """Length and width of the bottom as it is cut, with its trim allowance, mm."""
    outline = np.array(next(part for part in plan.parts if part.family == "bottom").outline)
    length, width = np.ptp(outline, axis=0)
    return float(length), float(width)


def bottom_overhang(plan: BoatPlan) -> float:
    """How far the bottom as it is cut reaches abaft its finished after edge, mm."""
    bottom = next(part for part in plan.parts if part.family == "bottom")
    cut, true = (bottom.panel.to_space(np.array(ring), 0.0) for ring in (bottom.outline, bottom.true_outline))
    return float(true[:, 0].min() - cut[:, 0].min())


def end_cleat_gaps(plan: BoatPlan, board: str, cleats: str) -> tuple[float, float]:
    """How far the cleats of an end board stop short of its edges, mm: the foot cleat of its end, a side one of its top.

    Args:
        plan: of the boat.
        board: slug of the board, "transom" or "bow-transom".
        cleats: slug with which its cleats begin.
    """
    slugs = {part.id.removeprefix(f"{part.design}-"): part for part in plan.parts}
    outline = outline_area(slugs[board].true_outline)
    gaps = []
    for slug, axis in ((f"{cleats}-foot", 0), (f"{cleats}-port", 1)):
        part = slugs[slug]
        # The cleat's outer face lies on the board.
        flat = slugs[board].panel.to_flat(_corners(part, part.thickness / 2.0))[:, :2]
        if axis == 0:
            start = flat[np.argsort(flat[:, 0])[-2:]].mean(axis=0)
            stop = start + np.array([1e4, 0.0])
        else:
            start = flat[np.argsort(flat[:, 1])[-2:]].mean(axis=0)
            stop = start + np.array([0.0, 1e4])
        gaps.append(float(outline.intersection(shapely.LineString([start, stop])).length))
    return gaps[0], gaps[1]
