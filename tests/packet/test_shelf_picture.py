"""The shelf's picture: each thing to scale, its figures beside its name, words clear of words and lines."""

from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely

from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Line, Role, Shape, Text
from hullcut.lengths import bare
from hullcut.packet.radio_shelf import on_shelf
from hullcut.packet.shelf_picture import shelf_picture
from hullcut.packet.studio import Studio
from hullcut.parts.fittings import servo_places
from hullcut.parts.radio_places import STRAP_HOLE
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_studio

WIDE, HIGH = 78.0, 72.0


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


def words_of(scene):
    return [item for item in scene.items if isinstance(item, Text)]


def rows_of(scene):
    """The words that stand on one line under the picture, by the first of them."""
    lines = {}
    for word in words_of(scene):
        if word.angle == 0.0:
            lines.setdefault(round(word.at[1], 3), []).append(word)
    told = [[word.text for word in sorted(line, key=lambda word: word.at[0])] for line in lines.values()]
    return {line[0]: tuple(line[1:]) for line in told if len(line) == 3}


def test_the_table_tells_where_each_thing_and_each_hole_stands(studio):
    plan = studio.plan
    radio, units, places = plan.design.radio, plan.design.units, on_shelf(plan)
    rows = rows_of(shelf_picture(studio, WIDE, HIGH))
    rudder, throttle = sorted(servo_places(plan.hull, plan.arrangement), key=lambda place: abs(place[1]))
    wanted = {
        "radio box": (radio.shelf_from + radio.shelf_length / 2.0, plan.arrangement.box_y),
        "rudder servo": rudder,
        "throttle servo": throttle,
        "battery": (places.battery.x, places.battery.y),
        **{f"{number} strap": (spot.x, spot.y) for number, spot in enumerate(places.straps, 1)},
        "5 aerial's tube": (places.aerial.x, places.aerial.y),
    }
    for name, (x, y) in wanted.items():
        side = "port" if y > 0.0 else "starboard"
        assert rows[name] == (bare(round(x - radio.shelf_from, 6), units), f"{bare(abs(y), units)} {side}")


def test_holes_stand_to_scale_with_their_numbers_beside_them(studio):
    plan = studio.plan
    radio, places = plan.design.radio, on_shelf(plan)
    scene = shelf_picture(studio, WIDE, HIGH)
    drawn = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.OUTLINE]
    board = bounds(drawn[0])
    scale = (board[3] - board[1]) / radio.shelf_length
    middle = (board[0] + board[2]) / 2.0
    rings = [item for item in drawn if item.fill and not isinstance(item.paths[0].segments[0], Line)]
    assert len(rings) == 5
    numbers = {word.text: word for word in words_of(scene) if word.text.isdigit()}
    spots = (*places.straps, places.aerial)
    assert sorted(numbers) == [str(number) for number in range(1, len(spots) + 1)]
    for number, (spot, ring) in enumerate(zip(spots, rings, strict=True), 1):
        x0, y0, x1, y1 = bounds(ring)
        assert (x0 + x1) / 2.0 == pytest.approx(middle - spot.y * scale, abs=0.05)
        assert (y0 + y1) / 2.0 == pytest.approx(board[1] + (spot.x - radio.shelf_from) * scale, abs=0.05)
        near = {
            word: shapely.box(*bounds(item)).distance(shapely.box(x0, y0, x1, y1)) for word, item in numbers.items()
        }
        assert min(near, key=near.get) == str(number)
        assert near[str(number)] < 1.5
    assert np.ptp(np.array(bounds(rings[0]))[[0, 2]]) == pytest.approx(STRAP_HOLE * scale, abs=0.05)


def test_the_battery_is_drawn_at_its_greatest(studio):
    places = on_shelf(studio.plan)
    scene = shelf_picture(studio, WIDE, HIGH)
    drawn = [item for item in scene.items if isinstance(item, Shape) and item.role is Role.OUTLINE]
    board = bounds(drawn[0])
    scale = (board[3] - board[1]) / studio.plan.design.radio.shelf_length
    word = next(item for item in words_of(scene) if item.text == "battery" and item.angle)
    round_it = [bounds(item) for item in drawn[1:] if shapely.box(*bounds(item)).contains(shapely.box(*bounds(word)))]
    sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in round_it]
    assert len(sizes) == 1
    assert sizes[0] == pytest.approx((places.battery_width * scale, places.battery_length * scale))


@pytest.mark.parametrize(("width", "height"), [(WIDE, HIGH), (76.0, 60.0)])
def test_words_stand_clear_of_words_and_lines_and_inside_the_picture(studio, width, height):
    scene = shelf_picture(studio, width, height)
    assert scene.width <= width
    assert scene.height <= height
    words = words_of(scene)
    assert {"radio box", "servos", "battery", "bow", "stern", "port", "starboard"} <= {word.text for word in words}
    boxes = [shapely.box(*bounds(word)) for word in words]
    for (one, a), (other, b) in combinations(zip(words, boxes, strict=True), 2):
        assert not a.intersects(b), (one.text, other.text)
    picture = shapely.box(scene.x0, scene.y0, scene.x1, scene.y1)
    assert all(picture.covers(shapely.box(*bounds(item))) for item in scene.items)
    lines = [
        shapely.LineString([one, other])
        for item in scene.items
        if isinstance(item, Shape) and item.fill != "#000000"
        for one, other in strokes(item)
    ]
    assert len(lines) > 50
    hidden = scene.items.index(next(item for item in scene.items if isinstance(item, Text) and item.text == "battery"))
    under = [item for item in scene.items[:hidden] if isinstance(item, Shape) and item.role is Role.CENTRE]
    centre = [shapely.LineString(ends) for item in under for ends in strokes(item)]
    for word, box in zip(words, boxes, strict=True):
        # The battery's own white covers the centre line that was drawn before it.
        crossing = [each for each in lines if each.intersects(box) and not (word.text == "battery" and each in centre)]
        assert not crossing, word.text


def strokes(shape):
    """The ends of every straight stroke of a shape, closing strokes included."""
    found = []
    for path in shape.paths:
        points = [segment.start for segment in path.segments if isinstance(segment, Line)]
        points += [segment.end for segment in path.segments[-1:] if isinstance(segment, Line)]
        found += [ends for ends in pairwise(points) if ends[0] != ends[1]]
    return found


def test_a_line_through_a_word_is_seen():
    """The measure above is no blind one: a stroke across the word 'stern' crosses its box."""
    word = next(item for item in words_of(shelf_picture(bow_studio("sled"), WIDE, HIGH)) if item.text == "stern")
    x0, y0, x1, y1 = bounds(word)
    assert shapely.LineString([(x0 - 1.0, y0), (x1 + 1.0, y1)]).intersects(shapely.box(x0, y0, x1, y1))
