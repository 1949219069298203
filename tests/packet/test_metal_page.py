"""The pages of engine and metal parts: limits that the boat has, drawn to scale, with words clear of words."""

import math
import re
from itertools import combinations

import numpy as np
import pytest

from hullcut.balance.engine_room import AHEAD, engine_room
from hullcut.balance.weights import ROD_SHORT
from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.views.picture import NEW
from hullcut.packet.engine_limits_picture import engine_limits_astern, engine_limits_side, forward
from hullcut.packet.engine_mount import STUB_END, bearers_over_rod, short_leg
from hullcut.packet.metal_page import limit_rows, metal_words
from hullcut.packet.metal_parts_picture import bracket_sizes, coupling_sizes, rudder_sizes, strut_sizes
from hullcut.packet.places import COLLAR, COLLAR_WASHER, bolt_holes, coupling_half, pushrod_hole, tube
from hullcut.packet.step import Kit
from tests.packet.trial_bows import BOWS, bow_studio

PICTURES = (engine_limits_astern, engine_limits_side, bracket_sizes, coupling_sizes, rudder_sizes, strut_sizes)


@pytest.fixture(params=BOWS)
def studio(request):
    return bow_studio(request.param)


def figures(told):
    """Inches in mm, and millimetres, of a length as told."""
    found = re.search(r"(?:(\d+) )?(?:(\d+)/(\d+) )?in \(([\d.]+) mm\)", told)
    inch = float(found[1] or 0) + (float(found[2]) / float(found[3]) if found[2] else 0.0)
    return 25.4 * inch, float(found[4])


def test_a_limit_is_never_told_larger_than_the_room_there_is(studio):
    plan = studio.plan
    room = engine_room(plan.hull, plan.arrangement)
    told = {letter: most for letter, _, most in limit_rows(plan)}
    for letter, most in (
        # It hangs between the bearers with some play.
        ("A", room.between - 3.2),
        ("C", room.aside),
        ("D", room.aside_ahead),
        ("E", room.under),
        ("F", room.under_ahead),
        ("G", forward(plan)),
    ):
        assert told[letter].startswith("at most")
        inch, metric = figures(told[letter])
        assert most - 25.4 / 16.0 < inch <= most + 1e-6
        assert most - 1.0 < metric <= most + 1e-6
    assert Kit(plan).size(plan.design.engine.housing_bore) in told["H"]
    over = bearers_over_rod(plan)
    assert ("at least" in told["B"]) == (over >= 0.4)
    assert ("below" in told["B"]) == (over <= -0.4)
    # Half the coupling on its clutch, it slides in from ahead, until that passes the plate.
    assert room.ahead - forward(plan) >= plan.design.woods.engine_plate.thickness + ROD_SHORT


def orange(scene):
    (found,) = [item for item in scene.items if isinstance(item, Shape) and item.fill == NEW.colour]
    return np.array([segment.start for segment in found.paths[0].segments])


def test_the_engines_room_is_drawn_to_one_scale(studio):
    plan = studio.plan
    room, tops = engine_room(plan.hull, plan.arrangement), bearers_over_rod(plan)
    astern = orange(engine_limits_astern(studio, 78.0, 56.0))
    scale = np.ptp(astern[:, 0]) / (2.0 * room.aside)
    low, shoulder = sorted(set(astern[:, 1].round(6)))[:2]
    assert (shoulder - low) / scale == pytest.approx(room.under + tops, abs=0.01)
    narrow = astern[np.isclose(astern[:, 1], low)]
    assert np.ptp(narrow[:, 0]) / scale == pytest.approx(room.between, abs=0.01)
    side = orange(engine_limits_side(studio, 100.0, 56.0))
    scale = np.ptp(side[:, 0]) / forward(plan)
    start = side[:, 0].min()
    foot = max(side[np.isclose(side[:, 0], start), 1].min(), side[:, 1].min())
    deep = side[np.isclose(side[:, 0], side[:, 0].max()), 1].min()
    assert (foot - deep) / scale == pytest.approx(room.under_ahead - room.under, abs=0.01)
    step = sorted(set(side[:, 0].round(6)))
    assert any((x - start) / scale == pytest.approx(AHEAD, abs=0.01) for x in step)


def test_coupling_and_collar_fill_the_gap_between_plate_and_tube(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    half, gap = coupling_half(plan), tube(plan).abaft_plate
    assert 0.0 < STUB_END < ROD_SHORT < ROD_SHORT + half < gap - COLLAR - COLLAR_WASHER
    told = {item.text for item in coupling_sizes(studio, 108.0, 76.0).items if isinstance(item, Text)}
    for size in (STUB_END, ROD_SHORT):
        assert kit.fine(size) in told
    # The coupling's end is a limit, told alike in the words.
    assert kit.at_most(ROD_SHORT + half) in told
    assert kit.at_most(ROD_SHORT + half) in metal_words(plan)[0]
    assert kit.size(gap) in told
    inch, metric = figures(metal_words(plan)[0])
    assert max(inch, metric) <= ROD_SHORT + half + 1e-6


def test_strut_and_rudder_have_the_sizes_that_the_boat_asks_for(studio):
    plan, kit = studio.plan, Kit(studio.plan)
    words = [item.text for item in strut_sizes(studio, 90.0, 88.0).items if isinstance(item, Text)]
    x, shaft = plan.balance.drive.places[0], plan.arrangement.shaft
    low = shaft.output_z - (shaft.output_x - x) * math.tan(math.radians(shaft.angle))
    foot = float(plan.hull.transom.x(0.0))
    assert {kit.size(-low), kit.size(foot - x), f"slants {shaft.angle:.1f}°"} <= set(words)
    holes = bolt_holes(plan, "strut")
    assert kit.size(max(hole.z for hole in holes) - min(hole.z for hole in holes)) in words
    words = " | ".join(item.text for item in rudder_sizes(studio, 90.0, 88.0).items if isinstance(item, Text))
    hole = pushrod_hole(plan)
    for size in (plan.design.rudder.depth, hole.z, abs(hole.y - plan.design.rudder.offset)):
        assert kit.size(size) in words


def test_a_brackets_leg_is_sawn_where_the_plate_is_narrower(studio):
    leg = short_leg(studio.plan)
    engine, woods = studio.plan.design.engine, studio.plan.design.woods
    room = 0.5 * (engine.plate_width - engine.bearer_gap) - woods.bearer.thickness
    words = [item.text for item in bracket_sizes(studio, 74.0, 76.0).items if isinstance(item, Text)]
    assert (leg is None) == ("sawn off" not in words)
    if leg is not None:
        assert leg == pytest.approx(room)
        assert Kit(studio.plan).size(leg) in words


@pytest.mark.parametrize("draw", PICTURES)
def test_words_are_clear_of_words_and_the_picture_is_no_larger_than_its_room(studio, draw):
    scene = draw(studio, 90.0, 88.0)
    assert scene.width <= 90.0 + 1e-6
    assert scene.height <= 88.0 + 1e-6
    words = [item for item in scene.items if isinstance(item, Text)]
    assert len(words) >= 3
    for one, other in combinations(words, 2):
        a, b = bounds(one), bounds(other)
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], (one.text, other.text)
    assert all(item.size >= 1.9 for item in words)
    assert any(item.role is Role.DIMENSION for item in scene.items)
