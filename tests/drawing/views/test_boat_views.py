"""The boat's bodies and its three views."""

import numpy as np
import pytest
import shapely

from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.views.bodies import FITTINGS, boat_bodies, copies
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import Shown, View
from hullcut.drawing.views.projection import camera, flat_facets
from hullcut.drawing.views.solids import part_solid
from hullcut.drawing.views.three_views import three_views
from hullcut.lengths import both
from tests.packet.trial_bows import BOWS, bow_plan


def volume(facets):
    """By the divergence theorem; holes take away."""
    total = 0.0
    for facet in facets:
        areas = [
            np.linalg.norm(np.cross(ring.points, np.roll(ring.points, -1, axis=0)).sum(axis=0)) / 2.0
            for ring in facet.rings
        ]
        total += float(facet.rings[0].points.mean(axis=0) @ facet.normal) * (areas[0] - sum(areas[1:])) / 3.0
    return total


def test_every_copy_of_every_part_has_a_body(sample_plan):
    for plan in sample_plan.boat_plans:
        bodies = boat_bodies(plan)
        wanted = [owner for part in plan.parts for owner in copies(part)] + list(FITTINGS)
        assert sorted(bodies) == sorted(wanted)
        assert sum(part.quantity for part in plan.parts) == len(wanted) - len(FITTINGS)


def test_bodies_are_closed_and_as_large_as_the_parts(sample_plan):
    for plan in sample_plan.boat_plans:
        for part in plan.parts:
            facets = part_solid(part)
            flat = shapely.Polygon(part.true_outline, part.holes).area * part.thickness
            # Outlines are simplified to half a millimetre, and a bent body has chords for arcs.
            slack = 0.02 * flat + 0.6 * part.thickness * shapely.Polygon(part.true_outline).length
            assert abs(volume(facets) - flat) <= slack, part.id
            for facet in facets:
                assert np.linalg.norm(facet.normal) == pytest.approx(1.0)


def test_the_whole_boat_has_the_hulls_sizes(sample_plan):
    """Measured on the bodies without shaft, rudder and stand: what a tape would tell."""
    for plan in sample_plan.boat_plans:
        bodies = boat_bodies(plan)
        shell = [copy for part in plan.parts if part.family in ("side", "bottom", "transom") for copy in copies(part)]
        shown = [Shown(owner) for owner in shell]
        side = View(bodies, camera(270, 0)).bounds(shown)
        above = View(bodies, camera(270, 90)).bounds(shown)
        sizes = plan.design.hull
        assert side[0] == pytest.approx(0.0, abs=0.6)
        assert side[2] == pytest.approx(sizes.length, abs=1.5)
        assert side[1] == pytest.approx(0.0, abs=0.6)
        # A raked end board's square edge, too, stands above the planed sheer.
        rake = plan.design.woods.transom.thickness * np.tan(np.radians(max(sizes.bow_rake, sizes.transom_rake)))
        side_part = next(part for part in plan.parts if part.family == "side")
        bevel = next(edge.bevel for edge in side_part.edges if edge.name == "sheer")
        proud = max(rake if sizes.bow == "pram" else 0.0, side_part.thickness * np.tan(np.radians(bevel)))
        assert side[3] == pytest.approx(sizes.depth + sizes.sheer_rise + proud, abs=1.5)
        # With flared sides the square edges of the picture's bodies reach a little farther than the planed sheer.
        slack = 1.0 + plan.design.woods.side.thickness * np.tan(np.radians(sizes.flare))
        assert above[3] - above[1] == pytest.approx(sizes.beam, abs=2.0 * slack)


def test_faces_of_bodies_are_flat(sample_plan):
    """What hides what is told by the planes of the faces."""
    for plan in sample_plan.boat_plans:
        for owner, facets in boat_bodies(plan).items():
            for facet in facets:
                points = np.vstack([ring.points for ring in facet.rings])
                off = (points - points.mean(axis=0)) @ facet.normal
                assert np.ptp(off) < 1.0, owner


@pytest.mark.parametrize("bow", sorted(BOWS))
def test_what_closes_the_bow_stands_inside_bottom_and_sides(bow):
    plan = bow_plan(bow)
    hull = plan.hull
    inside = [
        (owner, facets)
        for owner, facets in boat_bodies(plan).items()
        if owner.startswith(("bow-", "stem-block", "nose-block"))
    ]
    assert inside
    for owner, facets in inside:
        points = np.vstack([ring.points for facet in facets for ring in facet.rings])
        assert (points[:, 2] - hull.bottom_height(points[:, 0], hull.bottom_thickness)).min() > -0.6, owner
        if "block" in owner:
            room = hull.half_breadth(points[:, 0], points[:, 2], hull.side_thickness)
            assert (np.abs(points[:, 1]) - room).max() < 1.5, owner


def drawn_to(plan, width, height=np.inf):
    bodies = boat_bodies(plan)
    eyes = (camera(270.0, 0.0), camera(270.0, 90.0), camera(180.0, 0.0))
    return three_views(plan, list(bodies), [View(bodies, eye) for eye in eyes], width, height)


def test_three_views_tell_the_hulls_sizes(sample_plan):
    for plan in sample_plan.boat_plans:
        scene = drawn_to(plan, 186.0)
        texts = [item.text for item in scene.items if isinstance(item, Text)]
        sizes, units = plan.design.hull, plan.design.units
        joined = "\n".join(texts)
        stern = float(plan.hull.sheer_height(np.zeros(1))[0])
        told = (sizes.length, plan.hull.beam, sizes.depth, stern, sizes.beam_at_transom, plan.arrangement.balance_x)
        for size in told:
            assert both(size, units) in joined
        assert f"shaft {plan.arrangement.shaft.angle:.1f}°" in joined


def test_three_views_are_drawn_to_the_scale_they_name(sample_plan):
    for plan in sample_plan.boat_plans:
        scene = drawn_to(plan, 186.0)
        (note,) = [item.text for item in scene.items if isinstance(item, Text) and item.text.startswith("Scale 1:")]
        ratio = float(note.removeprefix("Scale 1:").split()[0])
        ends = [
            (segment.start[0], segment.end[0])
            for item in scene.items
            if isinstance(item, Shape) and item.role is Role.DIMENSION and item.fill is None
            for path in item.paths
            for segment in path.segments
            if abs(segment.start[1] - segment.end[1]) < 1e-9
        ]
        longest = max(abs(a - b) for a, b in ends)
        assert longest * ratio == pytest.approx(plan.hull.length, abs=1e-6)


@pytest.mark.parametrize("height", [np.inf, 145.0])
def test_words_of_the_three_views_stand_clear_of_each_other_and_inside(sample_plan, height):
    for plan in sample_plan.boat_plans:
        scene = drawn_to(plan, 180.0, height)
        boxes = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
        ground = shapely.box(scene.x0, scene.y0, scene.x1, scene.y1)
        for i, box in enumerate(boxes):
            assert ground.covers(box)
            assert not any(box.intersects(other) for other in boxes[i + 1 :])


def test_a_dimension_too_narrow_for_its_words_has_them_beside_it():
    wide = [item for item in level(0.0, 60.0, 0.0, 0.0, -6.0, "12 in (305 mm)") if isinstance(item, Text)]
    narrow = [item for item in level(0.0, 8.0, 0.0, 0.0, -6.0, "12 in (305 mm)") if isinstance(item, Text)]
    assert wide[0].anchor == "middle"
    assert narrow[0].at[0] > 8.0
    upright = [item for item in plumb(0.0, 60.0, 0.0, 0.0, -6.0, "12 in (305 mm)") if isinstance(item, Text)]
    assert upright[0].angle == 90.0


@pytest.mark.parametrize("eye", [(270, 0), (270, 90), (180, 0), (215, 40), (62, 24), (38, 40)])
def test_a_picture_covers_its_silhouette_once(sample_plan, eye):
    """What shows of all facets neither overlaps nor leaves holes: together it is the union of all facets."""
    for plan in sample_plan.boat_plans:
        bodies = boat_bodies(plan)
        owners = [owner for owner in bodies if not owner.startswith("stand")]
        view = View(bodies, camera(*eye))
        shown = [Shown(owner) for owner in owners]
        seen = []
        for item in view.items(shown):
            if isinstance(item, Shape) and item.role is Role.FILL:
                ring = shapely.Polygon()
                for path in item.paths:
                    ring = ring.symmetric_difference(shapely.Polygon([s.start for s in path.segments]).buffer(0))
                seen.append(ring)
        flats = [flat.polygon for owner in owners for flat in flat_facets(bodies[owner], view.eye)]
        whole = shapely.union_all(flats, grid_size=0.01)
        together = shapely.union_all(seen, grid_size=0.01)
        # Strips narrower than a millimetre may be missing where facets meet.
        assert whole.difference(together.buffer(1.0)).area < 0.002 * whole.area
        assert sum(each.area for each in seen) == pytest.approx(whole.area, rel=0.02)
