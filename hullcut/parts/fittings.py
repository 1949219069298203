"""Pads, radio shelf and servo mounts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.parts.cleats import knee_free_edge
from hullcut.parts.draft import Spec, make_part
from hullcut.parts.frames import level_panel, line, square_edges, transverse_panel
from hullcut.parts.measures import reading_step
from hullcut.parts.outline import EdgeLines

if TYPE_CHECKING:
    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design
    from hullcut.hull.form import Hull
    from hullcut.parts.values import Part

__all__ = [
    "RUDDER_ABAFT",
    "SERVO_DROP",
    "SERVO_MARGIN",
    "arm_height",
    "bolt_reach",
    "pads",
    "servo_arm_height",
    "servo_pitch",
    "servo_places",
    "servo_plate",
    "servo_rail",
    "servos_breadth",
    "shelf",
    "shelf_past_knees",
]

Array = NDArray[np.float64]

RUDDER_ABAFT = 31.75
"""How far abaft the transom the rudder's post stands, mm: weighed and drawn there; common practice, no source."""

# Wood left round a servo's body: fore and aft, where its screws go, and abeam.
SERVO_MARGIN = (13.0, 8.0)
# Between the two servos' plates, mm.
_SERVO_GAP = 4.0
# Height of the servo's body below its lugs, with room for its lead: rails of this height lift the plate.
SERVO_DROP = 30.0
"""From the shelf up to a servo mount's underside, mm: the height of its rails."""
# A servo's arm stands so far above its plate, mm: the common size, no source; and the room over a rod that runs under
# a deck or hatch, its batten and a bellows' flange.
_ARM, _UNDER_ROOF = 18.0, 28.0
# Room to slide on either side, mm.
_SHELF_PLAY = 0.5
# Kept clear of the knees, mm.
_KNEE_PLAY = 2.0
# Two stations nearer than this are one, mm.
_LEAST_CUT = 0.01


def bolt_reach(design: Design) -> tuple[float, float]:
    """How far the bolts of strut and rudder stand from the middle of their pads, across and up, mm.

    About a quarter of the pad in from its edges, to a whole step of a rule, so that pad and board are marked alike.
    """
    step, rudder = reading_step(design.units), design.rudder
    return step * round(rudder.pad_width / 4.0 / step), step * round(rudder.pad_height / 4.0 / step)


def pads(hull: Hull) -> list[Part]:
    """The strut pad and the rudder pad on the transom's inner face, above its foot cleat."""
    rudder = hull.design.rudder
    wood = hull.design.woods.pad
    plane = hull.transom_inside
    low = plane.up(hull.foot_of(plane, hull.bottom_thickness)[1]) + hull.design.cleats.transom_height
    high = low + rudder.pad_height
    panel = plane.panel(wood.thickness, faces_aft=True)
    made = []
    for slug, name, middle, step in (
        ("strut-pad", "Strut pad", 0.0, "backs the strut's bolts"),
        ("rudder-pad", "Rudder pad", rudder.offset, "backs the rudder's bolts"),
    ):
        half = rudder.pad_width / 2.0
        corners = [
            ("lower", middle - half, low),
            ("port", middle + half, low),
            ("upper", middle + half, high),
            ("starboard", middle - half, high),
        ]
        made.append(
            make_part(hull.design, Spec(slug, name, "pad", wood, step=step), panel, square_edges(panel, corners))
        )
    return made


def shelf(hull: Hull) -> Part:
    """The shelf for the watertight radio box, drawn as seen from above.

    One side goes under its sheer cleat, so that the other passes its own; then the shelf is slid to the middle. So it
    is narrower than the room between the sides by the thickness of a cleat, and rests on half of each shelf cleat. Its
    after corners are cut off where the knees stand over them.
    """
    radio = hull.design.radio
    wood = hull.design.woods.shelf
    start, stop = radio.shelf_from, radio.shelf_from + radio.shelf_length
    x = hull.stations(start, stop)
    heights = (radio.shelf_height + wood.thickness, radio.shelf_height)
    inset = _shelf_inset(hull)
    fore, corner = _past_knees(hull)
    x = np.append(fore, x[x > fore + _LEAST_CUT])
    faces = []
    for z in heights:
        y = hull.half_breadth(x, z, inset)
        after = y[0] if corner is None else corner
        loop = [
            line(x, -y, z),
            line(stop, np.array([-y[-1], y[-1]]), z),
            line(x[::-1], y[::-1], z),
            line(start, np.array([after, -after]), z),
        ]
        if corner is not None:
            loop.insert(3, line(np.array([fore, start]), np.array([y[0], corner]), z))
            loop.append(line(np.array([start, fore]), np.array([-corner, -y[0]]), z))
        faces.append(loop)
    names = ["starboard", "fore", "port", "after"]
    if corner is not None:
        names = [*names[:3], "port corner", names[3], "starboard corner"]
    edges = [EdgeLines(n, o, i) for n, o, i in zip(names, *faces, strict=True)]
    spec = Spec("shelf", "Radio shelf", "shelf", wood, step="held down on the shelf cleats")
    return make_part(hull.design, spec, level_panel(radio.shelf_height, wood.thickness), edges)


def _shelf_inset(hull: Hull) -> float:
    return hull.side_thickness + hull.design.woods.cleat.thickness / 2.0 + _SHELF_PLAY


def _knees_cut(hull: Hull) -> tuple[float, float, float]:
    """A straight cut along the knees' free edges: x where it leaves the shelf's sides, and what it leaves of the shelf.

    That is half the breadth at the shelf's after edge, whole, and between the cuts, mm.
    """
    radio = hull.design.radio
    heights = (radio.shelf_height + hull.design.woods.shelf.thickness, radio.shelf_height)
    x = np.linspace(radio.shelf_from, radio.shelf_from + radio.shelf_length, 200)
    half = np.max([hull.half_breadth(x, z, _shelf_inset(hull)) for z in heights], axis=0)
    (aft, inner), (end, outer) = knee_free_edge(hull)
    between = inner + (outer - inner) / (end - aft) * (x - aft) - _KNEE_PLAY
    # Ahead of its after edge the room grows, so it is clear from the first place where it is.
    return float(np.interp(0.0, between - half, x)), float(half[0]), float(between[0])


def _past_knees(hull: Hull) -> tuple[float, float | None]:
    """Where the shelf's sides begin, and half its breadth at its after edge where its corners are cut; else None.

    At most half of a side and half of the after edge are cut off; `shelf_past_knees` tells where that does not do.
    """
    radio = hull.design.radio
    fore, half, between = _knees_cut(hull)
    if between >= half:
        return radio.shelf_from, None
    return min(fore, radio.shelf_from + radio.shelf_length / 2.0), max(between, half / 2.0)


def shelf_past_knees(hull: Hull) -> float:
    """By how much the cuts at the shelf's after corners could be deeper, mm; negative where it meets the knees."""
    radio = hull.design.radio
    fore, half, between = _knees_cut(hull)
    return min(radio.shelf_from + radio.shelf_length / 2.0 - fore, between - half / 2.0)


def servo_arm_height(hull: Hull) -> float:
    """Z of the arms of servos in their mounts, mm."""
    woods = hull.design.woods
    top = hull.design.radio.shelf_height + woods.shelf.thickness + SERVO_DROP + woods.servo_mount.thickness
    return top + _ARM


def arm_height(hull: Hull) -> float:
    """Z of the rudder's pushrod in the transom: as high as the servos' arms, or as lies clear under deck and hatch."""
    arm = servo_arm_height(hull)
    roof = float(hull.roof_height(np.array([float(hull.transom_inside.x(arm - _ARM))]))[0])
    return min(arm, roof - _UNDER_ROOF)


def servo_pitch(design: Design) -> float:
    """From the middle of one servo to the other's, mm: a plate's breadth and the gap between two."""
    return design.radio.servo_width + 2.0 * SERVO_MARGIN[1] + _SERVO_GAP


def servos_breadth(design: Design) -> float:
    """Over both servos' plates and the gap between them, mm."""
    return 2.0 * servo_pitch(design) - _SERVO_GAP


def servo_places(hull: Hull, arrangement: Arrangement) -> list[tuple[float, float]]:
    """X and y of the middles of the two servos, side by side across the shelf."""
    radio = hull.design.radio
    pitch = servo_pitch(hull.design)
    x = radio.shelf_from + radio.shelf_length / 2.0
    return [(x, arrangement.servo_y + pitch / 2.0), (x, arrangement.servo_y - pitch / 2.0)]


def servo_plate(hull: Hull, arrangement: Arrangement) -> Part:
    """The plate with a window for a servo, drawn as seen from above; two alike."""
    radio = hull.design.radio
    wood = hull.design.woods.servo_mount
    places = servo_places(hull, arrangement)
    (x, y), (other_x, other_y) = places
    half_length = radio.servo_length / 2.0 + SERVO_MARGIN[0]
    half_width = radio.servo_width / 2.0 + SERVO_MARGIN[1]
    low = radio.shelf_height + hull.design.woods.shelf.thickness + SERVO_DROP
    panel = level_panel(low, wood.thickness)
    corners = [
        ("starboard", x - half_length, y - half_width),
        ("fore", x + half_length, y - half_width),
        ("port", x + half_length, y + half_width),
        ("after", x - half_length, y + half_width),
    ]
    window = line(
        x + radio.servo_length / 2.0 * np.array([-1.0, 1.0, 1.0, -1.0]),
        y + radio.servo_width / 2.0 * np.array([-1.0, -1.0, 1.0, 1.0]),
        low + wood.thickness / 2.0,
    )
    spec = Spec(
        "servo-plate",
        "Servo mount plate",
        "servo_mount",
        wood,
        step="the servo drops into its window",
        places=((0.0, 0.0, 0.0), (other_x - x, other_y - y, 0.0)),
    )
    return make_part(hull.design, spec, panel, square_edges(panel, corners), [window])


def servo_rail(hull: Hull, arrangement: Arrangement) -> Part:
    """The strips that lift the servo plates off the shelf, one under each end; four alike."""
    radio = hull.design.radio
    wood = hull.design.woods.batten
    (x, y), (other_x, other_y) = servo_places(hull, arrangement)
    half_width = radio.servo_width / 2.0 + SERVO_MARGIN[1]
    reach = radio.servo_length / 2.0 + SERVO_MARGIN[0]
    low = radio.shelf_height + hull.design.woods.shelf.thickness
    panel = transverse_panel(x - reach, wood.thickness)
    corners = [
        ("lower", y - half_width, low),
        ("port", y + half_width, low),
        ("upper", y + half_width, low + SERVO_DROP),
        ("starboard", y - half_width, low + SERVO_DROP),
    ]
    along = 2.0 * reach - wood.thickness
    spec = Spec(
        "servo-rail",
        "Servo mount rail",
        "batten",
        wood,
        step="two under each servo mount plate",
        places=(
            (0.0, 0.0, 0.0),
            (along, 0.0, 0.0),
            (other_x - x, other_y - y, 0.0),
            (other_x - x + along, other_y - y, 0.0),
        ),
    )
    return make_part(hull.design, spec, panel, square_edges(panel, corners))
