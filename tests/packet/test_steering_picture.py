"""The steering's picture: arm, rod and tiller named and measured where the boat has them, words clear of words."""

from itertools import combinations

import pytest

from hullcut.drawing.paths import bounds
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.lengths import both
from hullcut.packet.picture_words import is_new
from hullcut.packet.places import pushrod_hole
from hullcut.packet.steering_picture import steering, steering_servo
from hullcut.packet.steps import building_steps
from hullcut.packet.studio import Studio
from hullcut.packet.wiring_picture import wiring
from hullcut.parts.fittings import arm_height, servo_arm_height, servo_places
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_studio

NAMES = {
    *("tiller", "bellows", "pushrod", "servo's arm", "servo", "shelf", "rudder's post", "transom", "bottom"),
    *("centre line", "throttle's rod, to the engine", "from the side, cut open", "from above, the bow to the right"),
}


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


def words_of(scene):
    return [item for item in scene.items if isinstance(item, Text)]


def test_every_piece_is_named_and_measured(studio):
    plan = studio.plan
    scene = steering(studio, 78.0, 104.0)
    servo = steering_servo(plan)
    sizes = [pushrod_hole(plan).z, servo_arm_height(plan.hull)]
    sizes += [abs(plan.design.rudder.offset), abs(pushrod_hole(plan).y), abs(servo[1])]
    assert {item.text for item in words_of(scene)} == NAMES | {both(size, plan.design.units) for size in sizes}
    assert scene.width <= 78.0
    assert scene.height <= 104.0
    for one, other in combinations(words_of(scene), 2):
        a, b = bounds(one), bounds(other)
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], (one.text, other.text)
    for item in scene.items:
        x0, y0, x1, y1 = bounds(item)
        assert x0 >= scene.x0
        assert y0 >= scene.y0
        assert x1 <= scene.x1
        assert y1 <= scene.y1


def test_the_rod_rises_from_the_transom_to_an_arm_that_stands_higher(studio):
    """The band of the rod from the side, the first new shape: as much higher than a level rod as the arm stands up."""
    plan = studio.plan
    scene = steering(studio, 78.0, 104.0)
    rod, bellows = [bounds(item) for item in scene.items if isinstance(item, Shape) and is_new(item)][:2]
    # The bellows are 20 mm long on the boat, and the rod 3 mm thick.
    scale = (bellows[2] - bellows[0]) / 20.0
    rise = servo_arm_height(plan.hull) - pushrod_hole(plan).z
    assert rise >= 0.0
    assert (rod[3] - rod[1]) / scale == pytest.approx(rise + 3.0, abs=0.05)


def test_the_rudders_post_is_named_on_its_own_side_of_the_transom(studio):
    hull = studio.plan.hull
    scene = steering(studio, 78.0, 104.0)
    leader = next(item for item in scene.items if isinstance(item, Shape) and item.ref == "leader rudder's post")
    start, end = (leader.paths[0].segments[0].start, leader.paths[0].segments[-1].end)
    rod, bellows = [bounds(item) for item in scene.items if isinstance(item, Shape) and is_new(item)][:2]
    scale = (bellows[2] - bellows[0]) / 20.0
    # The bellows begin on the transom's inner face at the rod's middle.
    hole = pushrod_hole(studio.plan).z
    zero = (bellows[0] - scale * float(hull.transom_inside.x(hole)), 0.5 * (bellows[1] + bellows[3]) - scale * hole)
    for x, y in (start, end):
        assert (x - zero[0]) / scale < float(hull.transom.x((y - zero[1]) / scale))
    # The rod begins over the post.
    assert end[0] == pytest.approx(rod[0], abs=0.01)


def test_the_centre_line_is_as_far_from_the_rod_as_the_hole_is(studio):
    plan = studio.plan
    scene = steering(studio, 78.0, 104.0)
    (centre,) = [bounds(item)[1] for item in scene.items if isinstance(item, Shape) and item.role is Role.CENTRE]
    new = [bounds(item) for item in scene.items if isinstance(item, Shape) and is_new(item)]
    # From the side: rod, bellows, tiller, arm; then from above the rod and its bellows.
    above = new[5]
    scale = (above[2] - above[0]) / 20.0
    assert (0.5 * (above[1] + above[3]) - centre) / scale == pytest.approx(pushrod_hole(plan).y, abs=0.1)


def test_the_rudders_servo_is_the_one_nearer_the_middle(studio):
    plan = studio.plan
    places = servo_places(plan.hull, plan.arrangement)
    assert abs(steering_servo(plan)[1]) == min(abs(y) for _, y in places)


def test_the_rod_leaves_the_boat_no_higher_than_the_arms(studio):
    assert arm_height(studio.plan.hull) <= servo_arm_height(studio.plan.hull)


def test_it_stands_over_the_wires_in_the_step_that_links_the_rods(studio):
    step = next(step for step in building_steps(studio.plan) if step.title.startswith("Fit the pushrods"))
    assert step.draw is steering
    assert step.closer is wiring
