"""Battery, strap holes and aerial on the radio shelf: wood round every hole, and room between all things."""

from itertools import combinations

import numpy as np
import pytest
import shapely
from trial_boats import built, changed, sample

from hullcut.hull.form import shape
from hullcut.parts.checks import part_checks
from hullcut.parts.radio_places import AERIAL_TUBE, STRAP_HOLE, gap_beside_box, shelf_places
from tests.conftest import DESIGNS
from tests.packet.trial_bows import BOWS, bow_plan

# What rounding of sums may take off, mm.
NEAR = 1e-6


@pytest.fixture(params=[*DESIGNS, *BOWS])
def boat(request):
    return bow_plan(request.param) if request.param in BOWS else built(request.param)


def shelf_of(boat):
    return next(part for part in boat.parts if part.family == "shelf")


def holes_of(boat):
    """Each hole's mark in the boat, seen from above, and how wide it is."""
    shelf = shelf_of(boat)
    found = []
    for mark in shelf.marks:
        if mark.kind == "hole":
            x, y, _ = shelf.panel.to_space(np.array(mark.points), 0.0)[0]
            found.append((shapely.Point(x, y), mark.diameter or AERIAL_TUBE))
    return found


def prints_on(shelf, *names):
    """What lands on the shelf, seen from above, by the outlines of the parts themselves."""
    rings = [mark.points for mark in shelf.marks if mark.kind == "landing" and mark.name.startswith(names)]
    return [shapely.Polygon(shelf.panel.to_space(np.array(ring), 0.0)[:, :2]).buffer(0.0) for ring in rings]


def box_of(boat):
    radio, place = boat.design.radio, boat.arrangement
    x = radio.shelf_from + radio.shelf_length / 2.0
    long, wide = radio.box_length / 2.0, radio.box_width / 2.0
    return shapely.box(x - long, place.box_y - wide, x + long, place.box_y + wide)


def battery_of(boat):
    places = shelf_places(boat.hull, boat.arrangement, shelf_of(boat))
    long, wide = places.battery_length / 2.0, places.battery_width / 2.0
    x, y = places.battery.x, places.battery.y
    return shapely.box(x - long, y - wide, x + long, y + wide)


def test_every_hole_has_its_own_width_of_wood_round_it(boat):
    shelf = shelf_of(boat)
    wood = shapely.Polygon(shelf.panel.to_space(np.array(shelf.true_outline), 0.0)[:, :2])
    cleats, rails = prints_on(shelf, "Shelf cleat"), prints_on(shelf, "Servo mount rail")
    assert (len(cleats), len(rails)) == (2, 4)
    # A plate stands over two rails.
    mounts = [(a | b).convex_hull for a, b in combinations(rails, 2) if abs(a.centroid.y - b.centroid.y) < 1.0]
    assert len(mounts) == 2
    holes = holes_of(boat)
    assert [wide for _, wide in holes] == [*4 * [STRAP_HOLE], AERIAL_TUBE]
    for point, wide in holes:
        assert wood.contains(point)
        for other in (wood.exterior, *cleats, *mounts):
            assert point.distance(other) - wide / 2.0 >= wide - NEAR
    for (one, wide), (other, more) in combinations(holes, 2):
        assert one.distance(other) - wide / 2.0 - more / 2.0 >= max(wide, more) - NEAR


def test_holes_stand_clear_of_box_and_battery_and_these_of_one_another(boat):
    box, battery = box_of(boat), battery_of(boat)
    for point, wide in holes_of(boat):
        assert point.distance(box) > wide / 2.0 + 0.5
        assert point.distance(battery) > wide / 2.0 + 0.5
    near = shapely.Polygon(shelf_of(boat).panel.to_space(np.array(shelf_of(boat).true_outline), 0.0)[:, :2])
    assert near.contains(battery)
    assert battery.distance(box) > 2.0
    assert all(battery.distance(rail) > 2.0 for rail in prints_on(shelf_of(boat), "Servo mount rail"))
    # Large enough for four cells or a flat pack.
    assert min(box_long(battery)) > 20.0
    assert max(box_long(battery)) > 60.0


def box_long(area):
    x0, y0, x1, y1 = area.bounds
    return (x1 - x0, y1 - y0)


def test_straps_lie_square_enough_across_the_box_and_along_the_battery(boat):
    (one, _), (two, _), (three, _), (four, _), _ = holes_of(boat)
    box, battery = box_of(boat), battery_of(boat)
    for inner, outer in ((one, three), (two, four)):
        strap = shapely.LineString([inner, outer])
        assert abs(inner.x - outer.x) <= 12.7 + NEAR
        assert strap.intersection(box).length >= boat.design.radio.box_width - NEAR
    assert shapely.LineString([one, two]).intersection(battery).length == pytest.approx(box_long(battery)[0])


def test_a_smaller_box_leaves_room_for_a_wider_battery():
    boat = built("tansyfoot")
    wide = changed(boat.design, radio={"box_width": 80.0})
    hull = shape(wide)
    found = shelf_places(hull, boat.arrangement, shelf_of(boat))
    usual = shelf_places(boat.hull, boat.arrangement, shelf_of(boat))
    sides = gap_beside_box(wide, boat.arrangement)
    assert found.battery_width > usual.battery_width + 4.0
    assert abs(sides[0] - sides[1]) > found.battery_width


def test_a_box_that_leaves_no_room_for_holes_is_warned_of():
    boat = built("bramblefin")
    name = "Straps' holes have wood round them"

    def check(design):
        hull = shape(design)
        return next(each for each in part_checks(hull, boat.arrangement, boat.joints) if each.name == name)

    assert check(boat.design).status == "ok"
    wide = check(changed(sample("bramblefin"), radio={"box_width": 150.0}))
    assert wide.status == "warn"
    assert wide.value < 0.0
    assert "radio.box_width" in wide.advice
