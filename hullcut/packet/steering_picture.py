"""How the rudder's servo turns the rudder: arm, pushrod and tiller from the side, and from above.

Wood, holes and the servos' middles stand where the geometry has them. Servos, rod, bellows, tiller and rudder are
bought: they are drawn as plain shapes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, transform
from hullcut.drawing.scene import Role, Scene, Text
from hullcut.drawing.views.bodies import BLADE, POST_ABAFT
from hullcut.drawing.views.dimensions import plumb
from hullcut.drawing.views.picture import NEW
from hullcut.lengths import both
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, words_beside
from hullcut.packet.places import pushrod_hole
from hullcut.packet.section import BEYOND, BOX, FINE, METAL, SMALL, WOOD, Section, bottom_cut, parts_named
from hullcut.parts.clearances import bodies_of
from hullcut.parts.fittings import SERVO_MARGIN, servo_arm_height, servo_places

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["arm_ahead", "rudder_rod", "steering", "steering_servo", "throttle_rod"]

# Plain shapes, mm on the boat: half a rod, half a post, half a tiller's or an arm's breadth, and how thick these are.
_ROD, _POST, _LEVER, _THICK = 1.5, 3.0, 4.0, 5.0
# The bellows: how far it reaches inboard of the transom, and half its height.
_BELLOWS = (20.0, 7.0)
# A servo's arm is at most so long, and its case rises so far above the plate.
_ARM_LONG, _CASE = 26.0, 10.0
# From the end of a usual servo's case to the middle of its arm: the common size, no source.
_ARM_FROM_END = 10.0
# What is shown abaft the post, ahead of the servos and over the rod, and of the rudder below the bottom.
_AFT, _AHEAD, _OVER, _BELOW = BLADE[0] + 2.0, 26.0, 12.0, 10.0
# What both ends of a rod are bent from, mm: common practice, no source.
_BENT_ENDS = 40.0
# Room for the measures on either hand, and for words over and under a view, mm on paper.
_MEASURES, _WORDS = 7.0, 7.0
_GAP = 1.5
# From a figure over its measure to the same under it, less the measure, mm on paper.
_FIGURE_DROP = 12.5


def steering_servo(plan: BoatPlan) -> Point:
    """X and y of the middle of the rudder's servo: of the two, the one nearer the centre line, mm."""
    return min(servo_places(plan.hull, plan.arrangement), key=lambda place: abs(place[1]))


def arm_ahead(plan: BoatPlan) -> float:
    """How far ahead of a servo's middle its arm turns, mm: servos stand with their arms at the fore ends."""
    return plan.design.radio.servo_length / 2.0 - _ARM_FROM_END


def rudder_rod(plan: BoatPlan) -> float:
    """Length of the rudder's pushrod to buy, mm: from tiller to servo's arm, with what its ends are bent from."""
    hole = pushrod_hole(plan)
    turns = steering_servo(plan)[0] + arm_ahead(plan)
    return math.hypot(turns - _post(plan), servo_arm_height(plan.hull) - hole.z) + _BENT_ENDS


def throttle_rod(plan: BoatPlan) -> float:
    """Length of wire for the throttle's pushrod, mm: from its servo's arm to the bulkhead, and its ends."""
    start = steering_servo(plan)[0] + arm_ahead(plan)
    step = 25.4 if plan.design.units == "in" else 10.0
    return step * math.ceil((plan.design.decks.fore_from - start + _BENT_ENDS) / step)


def steering(studio: Studio, width: float, height: float) -> Scene:
    """Servo, rod and tiller from the side, the boat cut open; under it the same from above.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    side, above = _from_side(studio.plan, width), _from_above(studio.plan, width)
    low = bounds_of(side)
    drop = low[1] - _GAP - bounds_of(above)[3]
    items = [*side, *(transform(item, dy=drop) for item in above)]
    return fitted("How the servo turns the rudder", items, width, height, (0.4, 1.0))


def _face(plan: BoatPlan, z: float) -> float:
    """X of the transom's outer face at a height."""
    return float(plan.hull.transom.x(z))


def _post(plan: BoatPlan) -> float:
    """X of the rudder's post, which stands upright abaft all of the transom below the rod."""
    return min(0.0, _face(plan, pushrod_hole(plan).z)) - POST_ABAFT


def _window(plan: BoatPlan) -> tuple[float, float]:
    """From where to where along the boat both views reach."""
    ahead = plan.design.radio.servo_length / 2.0 + SERVO_MARGIN[0] + _AHEAD
    return _post(plan) - _AFT, steering_servo(plan)[0] + ahead


def _section(plan: BoatPlan, low: float, width: float) -> Section:
    start, stop = _window(plan)
    return Section((start, low), (width - 2.0 * _MEASURES) / (stop - start))


def _box(x0: float, z0: float, x1: float, z1: float) -> list[Point]:
    return [(x0, z0), (x1, z0), (x1, z1), (x0, z1)]


def _told(
    section: Section,
    measures: list[Item],
    names: list[tuple[str, Point]],
    title: str,
    transom: Sequence[Point],
) -> list[Item]:
    """A view with its measures, its names on free ground on their side of the transom, and what it is seen from."""
    drawn = [*section.items, *measures]
    x0, y0, x1, y1 = bounds_of(drawn)
    placed = [(word, section.at(*at)) for word, at in names]
    wall = shapely.Polygon([section.at(*corner) for corner in transom])
    # Under the transom's foot a leader would pass from one side to the other too.
    rising = sorted((section.at(*corner) for corner in transom), key=lambda corner: corner[1])
    # Its outer face.
    (foot_x, foot_z), (head_x, head_z) = min(rising[:2]), min(rising[2:])
    slope = (head_x - foot_x) / (head_z - foot_z)
    low = y0 - _WORDS
    under = shapely.LineString([(foot_x + (low - foot_z) * slope, low), (foot_x, foot_z)])
    items = [*drawn, *words_beside(drawn, [], placed, (x0, low, x1, y1 + _WORDS), [wall, under])]
    box = bounds_of(items)
    return [*items, Text(Role.LABEL, (box[0], box[3] + 0.8 + font.descent(END_SIZE)), title, END_SIZE)]


def _from_side(plan: BoatPlan, width: float) -> list[Item]:
    """The view from starboard, the boat cut open: bottom, transom, shelf, mount, servo, rod and tiller."""
    hull, radio, units = plan.hull, plan.design.radio, plan.design.units
    rod, post, arm = pushrod_hole(plan), _post(plan), servo_arm_height(hull)
    servo = steering_servo(plan)[0]
    turns = servo + arm_ahead(plan)
    start, stop = _window(plan)
    section = _section(plan, 0.0, width)
    window = shapely.box(start, -1e3, stop, max(rod.z, arm) + _OVER)
    section.shape(bottom_cut(plan, start, stop), WOOD, window)
    for part in parts_named(plan, "transom", "shelf"):
        section.shape(bodies_of(part)[0].side, WOOD, window)
    plates = [bodies_of(part)[0].side for part in parts_named(plan, "servo-plate")]
    for part in parts_named(plan, "servo-rail"):
        for body in bodies_of(part)[:2]:
            section.shape(body.side, BEYOND, window)
    for plate in plates:
        section.shape(plate, BEYOND, window)
    top = max(plate.bounds[3] for plate in plates)
    half = radio.servo_length / 2.0
    shelf = radio.shelf_height + plan.design.woods.shelf.thickness
    section.area(_box(servo - half, shelf + 3.0, servo + half, top + _CASE), BOX)
    section.area(_box(turns - _POST, top + _CASE, turns + _POST, arm), BOX, width=FINE)
    # The blade is cut off below the bottom: only where it hangs matters here.
    section.area(_box(post - BLADE[0], -_BELOW, post + BLADE[1], 12.0), BOX, width=FINE)
    section.area(_box(post - _POST, 12.0, post + _POST, rod.z), METAL, width=FINE)
    bracket = 0.3 * hull.depth
    section.area(_box(post - _POST - 2.0, bracket, _face(plan, bracket), bracket + 4.0), METAL, width=FINE)
    inner = float(hull.transom_inside.x(rod.z))
    # Level through the transom; then up to an arm that stands higher.
    turn = inner + _BELLOWS[0]
    course = [(post, rod.z), (turn, rod.z), (turns, arm)]
    band = [*((x, z - _ROD) for x, z in course), *((x, z + _ROD) for x, z in course[::-1])]
    section.area(band, NEW.colour, width=FINE)
    section.area(_box(inner, rod.z - _BELLOWS[1], inner + _BELLOWS[0], rod.z + _BELLOWS[1]), NEW.colour, width=FINE)
    section.area(_box(post - _POST - 2.0, rod.z - _THICK, post + _POST + 2.0, rod.z), NEW.colour, width=FINE)
    section.area(_box(turns - _LEVER, arm - _THICK, turns + _LEVER, arm), NEW.colour, width=FINE)
    zero, hole, tip = (section.at(0.0, z)[1] for z in (0.0, rod.z, arm))
    left, right = section.at(start, 0.0)[0] - 2.0, section.at(stop, 0.0)[0] + 4.5
    foot = section.at(_face(plan, 0.0), 0.0)[0]
    measures = plumb(zero, hole, foot, section.at(post - 6.0, 0.0)[0], left, both(rod.z, units), SMALL)
    ends = (section.at(stop, 0.0)[0], section.at(turns + 6.0, 0.0)[0])
    measures += plumb(zero, tip, *ends, right, both(arm, units), SMALL)
    near = 0.5 * (hull.foot_of(hull.transom_inside, hull.bottom_thickness)[0] + plan.arrangement.shaft.slot_from)
    floor = float(hull.bottom_height(np.array([near]), 0.5 * hull.bottom_thickness)[0])
    names = [
        ("tiller", (post, rod.z - 0.5 * _THICK)),
        ("bellows", (inner + 0.7 * _BELLOWS[0], rod.z + 0.5 * _BELLOWS[1])),
        ("pushrod", (0.5 * (turn + turns), 0.5 * (rod.z + arm))),
        ("servo's arm", (turns, arm - 0.3 * _THICK)),
        ("servo", (servo - 0.6 * half, 0.5 * (shelf + top))),
        ("shelf", (radio.shelf_from + 8.0, shelf - 2.0)),
        ("rudder's post", (post, 0.2 * rod.z)),
        ("transom", (0.5 * (_face(plan, 0.62 * rod.z) + float(hull.transom_inside.x(0.62 * rod.z))), 0.62 * rod.z)),
        ("bottom", (near, floor)),
    ]
    face, inside = (
        [(float(plane.x(z)), z) for z in (0.0, hull.depth)] for plane in (hull.transom, hull.transom_inside)
    )
    return _told(section, measures, names, "from the side, cut open", [*face, *inside[::-1]])


def _from_above(plan: BoatPlan, width: float) -> list[Item]:
    """The view from above, bow to the right: both servos, rod, transom and tiller, from the centre line outward."""
    radio, units = plan.design.radio, plan.design.units
    rod, post, offset = pushrod_hole(plan), _post(plan), plan.design.rudder.offset
    servo_x, servo_y = steering_servo(plan)
    turns = servo_x + arm_ahead(plan)
    others = [place for place in servo_places(plan.hull, plan.arrangement) if place != (servo_x, servo_y)]
    start, stop = _window(plan)
    half_long, half_wide = radio.servo_length / 2.0, radio.servo_width / 2.0
    section = _section(plan, 0.0, width)
    reach = [0.0, offset, rod.y, servo_y, *(y for _, y in others)]
    low, high = min(reach) - half_wide - SERVO_MARGIN[1], max(reach) + half_wide + SERVO_MARGIN[1]
    face, inner = _face(plan, rod.z), float(plan.hull.transom_inside.x(rod.z))
    section.area(_box(face, low, inner, high), WOOD)
    for x, y in ((servo_x, servo_y), *others):
        plate = (half_long + SERVO_MARGIN[0], half_wide + SERVO_MARGIN[1])
        section.area(_box(x - plate[0], y - plate[1], x + plate[0], y + plate[1]), BEYOND, width=FINE)
        section.area(_box(x - half_long, y - half_wide, x + half_long, y + half_wide), BOX)
    toward = math.copysign(1.0, rod.y - servo_y)
    tip = servo_y + toward * min(_ARM_LONG, abs(rod.y - servo_y))
    section.area(
        [(inner, rod.y - 3.0), (face, rod.y - 3.0), (face, rod.y + 3.0), (inner, rod.y + 3.0)], BOX, width=FINE
    )
    run = [(post, rod.y - _ROD), (turns, tip - _ROD), (turns, tip + _ROD), (post, rod.y + _ROD)]
    section.area(run, NEW.colour, width=FINE)
    section.area(
        _box(inner, rod.y - _BELLOWS[1], inner + _BELLOWS[0], rod.y + _BELLOWS[1]),
        NEW.colour,
        width=FINE,
    )
    section.area(_lever(turns, servo_y, tip), NEW.colour, width=FINE)
    section.area(_lever(post, offset, rod.y), NEW.colour, width=FINE)
    section.ring(post, offset, _POST, METAL, FINE)
    section.stroke((start, 0.0), (stop, 0.0), Role.CENTRE)
    names = [
        ("tiller", (post, 0.5 * (offset + rod.y))),
        ("pushrod", (0.5 * (inner + _BELLOWS[0] + servo_x - half_long), rod.y)),
        ("servo's arm", (turns, 0.4 * servo_y + 0.6 * tip)),
        ("centre line", (0.5 * (inner + servo_x), 0.0)),
    ]
    for x, y in others:
        away = math.copysign(1.0, y - servo_y)
        end = y + away * min(_ARM_LONG, half_wide + 4.0)
        at_arm = x + arm_ahead(plan)
        section.area(_lever(at_arm, y, end), NEW.colour, width=FINE)
        section.area(_box(at_arm, end - _ROD, stop, end + _ROD), NEW.colour, width=FINE)
        names.append(("throttle's rod, to the engine", (0.3 * at_arm + 0.7 * stop, end)))
    zero = section.at(0.0, 0.0)[1]
    left, right = section.at(start, 0.0)[0], section.at(stop, 0.0)[0] + 4.5
    measures: list[Item] = []
    for x, y, at in (
        (post - _LEVER, offset, left - 2.0),
        (inner + _BELLOWS[0] + 8.0, rod.y, section.at(inner + _BELLOWS[0] + 12.0, 0.0)[0]),
        (servo_x + half_long, servo_y, right),
    ):
        ends = sorted([(zero, at), (section.at(x, y)[1], section.at(x, y)[0])])
        told = plumb(ends[0][0], ends[1][0], ends[0][1], ends[1][1], at, both(abs(y), units), SMALL)
        # On the centre line's far side no servo is in a figure's way.
        down = 0.0 if y < 0.0 else ends[0][0] - ends[1][0] - _FIGURE_DROP
        measures += [
            transform(item, dy=down) if isinstance(item, Text) and item.angle == 0.0 else item for item in told
        ]
    return _told(section, measures, names, "from above, the bow to the right", _box(face, low, inner, high))


def _lever(x: float, y: float, tip: float) -> list[Point]:
    """An arm from a post to a rod across it, and a little past both."""
    past = math.copysign(_LEVER, tip - y)
    return [
        (x - _LEVER, y - past),
        (x + _LEVER, y - past),
        (x + 0.6 * _LEVER, tip + past),
        (x - 0.6 * _LEVER, tip + past),
    ]
