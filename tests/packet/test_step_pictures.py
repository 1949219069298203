"""The steps' usual pictures: what is drawn off its place, before it goes in, stands in nothing else."""

import numpy as np
import pytest
import shapely

from hullcut.drawing.paths import flatten, text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.views.solids import moved
from hullcut.packet.places import lifted_clear
from hullcut.packet.special_pictures import _boat_ends, diagonals, step_picture
from hullcut.packet.steps import after_step, building_steps
from hullcut.packet.studio import Studio
from tests.conftest import DESIGNS, planned
from tests.packet.trial_bows import BOWS, bow_studio

HOME = (0.0, 0.0, 0.0)
# Pictures' outlines are simpler than the parts': what stands in another by less only touches it, mm.
TOUCH = 1.5


@pytest.fixture(params=[*DESIGNS, *BOWS])
def studio(request):
    return bow_studio(request.param) if request.param in BOWS else Studio(planned(request.param).boat_plans[0])


def pierces(body, other):
    """Whether an edge of a body goes through a facet of another, well inside that facet."""
    rings = [ring.points for facet in body for ring in facet.rings]
    edges = np.concatenate([np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings])
    for facet in other:
        before, after = ((edges[:, k] - facet.rings[0].points[0]) @ facet.normal for k in (0, 1))
        through = (before * after < 0.0) & (np.minimum(abs(before), abs(after)) > TOUCH)
        share = before[through] / (before[through] - after[through])
        points = edges[through, 0] + share[:, None] * (edges[through, 1] - edges[through, 0])
        flat = np.sort(np.argsort(abs(facet.normal))[:2])
        border, *holes = (ring.points[:, flat] for ring in facet.rings)
        inside = shapely.Polygon(border, holes).buffer(-TOUCH)
        if shapely.contains_xy(inside, points[:, flat]).any():
            return True
    return False


def pictured(studio):
    """Each step with a usual picture of shifted parts: the step, and its bodies as drawn, by owner, new and old."""
    before = []
    for number, step in enumerate(building_steps(studio.plan), 1):
        before = [owner for owner in before if not owner.startswith(step.out or ("?",))]
        if step.draw is None:
            brought = studio.owners(*step.onto, *step.back)
            there = brought if step.apart else [*before, *brought]
            new = studio.owners(*step.parts, *step.tried)
            shifted = {owner: moved(studio.bodies[owner], step.shift_of(owner)) for owner in new}
            hidden = (*step.hide, "?")
            old = {owner: studio.bodies[owner] for owner in there if owner not in new and not owner.startswith(hidden)}
            if any(step.shift_of(owner) != HOME for owner in new):
                yield step, shifted, old
        if number > 1:
            before = after_step(studio, step, before)


def test_what_is_drawn_off_its_place_stands_in_nothing_else(studio):
    seen = 0
    for step, new, old in pictured(studio):
        for owner, body in new.items():
            if step.shift_of(owner) == HOME:
                continue
            others = old | {other: its for other, its in new.items() if step.shift_of(other) != step.shift_of(owner)}
            for other, its in others.items():
                seen += 1
                assert not pierces(body, its), (step.title, owner, other)
                assert not pierces(its, body), (step.title, owner, other)
    assert seen > 100


def test_a_beam_lifted_less_would_stand_in_sides_that_lean():
    """With the boat keel up the sides stand closer together above than where the beam belongs."""
    studio = bow_studio("raked pram")
    beam = next(part for part in studio.plan.parts if part.id.endswith("deck-beam-after"))
    lift = lifted_clear(studio.plan, [beam], keel_up=True)
    owner = studio.owners(beam)[0]
    sides = [studio.bodies[each] for each in studio.bodies if each.startswith("side-")]

    def stands_in(share):
        body = moved(studio.bodies[owner], (0.0, 0.0, -share * lift))
        return any(pierces(body, side) or pierces(side, body) for side in sides)

    assert stands_in(0.6)
    assert not stands_in(1.0)


def test_a_cleat_has_its_own_shift_though_its_slug_begins_as_its_parts_does(studio):
    step = next(step for step in building_steps(studio.plan) if step.title.startswith("Fit the shelf cleats"))
    assert step.shift_of("shelf#0")[2] > step.shift_of("shelf-cleat-port#0")[2] > 0.0


def test_what_is_let_in_between_the_sides_is_named_though_little_ground_is_free(studio):
    before = []
    for number, step in enumerate(building_steps(studio.plan), 1):
        if step.title.startswith("Let in"):
            break
        before = after_step(studio, step, before) if number > 1 else before
    scene = step_picture(studio, step, before, 80.0, 104.0)
    written = {item.text for item in scene.items if isinstance(item, Text)}
    assert {part.name.lower() for part in step.tried} <= written


def test_the_words_for_bow_and_stern_point_at_the_boat(studio):
    plan = studio.plan
    sides = [part for part in plan.parts if part.family == "side"]
    corners = np.vstack([part.panel.to_space(np.array(part.true_outline), 0.0) for part in sides])
    for word, at in _boat_ends(plan):
        x, _, z = at
        near = np.abs(corners[:, 0] - x) < 12.0
        assert near.any(), word
        low, high = corners[near, 2].min(), corners[near, 2].max()
        assert low - 12.0 <= z <= high + 12.0, word


def test_no_line_of_the_frame_from_above_runs_through_a_word(studio):
    scene = diagonals(studio, 80.0, 60.0)
    words = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
    names = [item for item in scene.items if isinstance(item, Text) and item.text in ("bulkhead", "transom")]
    assert len(names) == 2
    assert min(item.size for item in names) >= 1.9
    lines = [
        shapely.LineString(flatten(path, 0.01))
        for item in scene.items
        if isinstance(item, Shape) and item.role in (Role.OUTLINE, Role.THIN, Role.DIMENSION)
        for path in item.paths
    ]
    assert len(lines) > 8
    for word in words:
        assert not any(word.buffer(-0.1).intersects(each) for each in lines)
