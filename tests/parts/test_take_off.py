"""What holds for every part of every boat, whatever its sizes and laps."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from trial_boats import NAMES, both_faces, built, by_slug, changed, designs, from_text, outline_of, sample, taken

from hullcut.errors import BuildError
from hullcut.stock.woods import wood

LAPS = list(itertools.product(("under", "between"), ("between", "over"), ("over", "between")))
MISMATCH_MM = 0.1


def hold_together(parts, joints):
    """Outlines are valid, counter-clockwise and begin at 0, 0; holes lie inside; joints agree."""
    assert len({part.id for part in parts}) == len(parts)
    for part in parts:
        for ring in (part.outline, part.true_outline):
            shape = shapely.Polygon(ring)
            assert shape.is_valid, part.id
            assert shapely.LinearRing(ring).is_ccw, part.id
            assert shape.area > 20.0, part.id
        low = np.array(part.outline).min(axis=0)
        assert np.abs(low).max() < 1e-9, part.id
        for hole in part.holes:
            assert not shapely.LinearRing(hole).is_ccw, part.id
            assert shapely.Polygon(part.true_outline).contains(shapely.Polygon(hole)), part.id
        assert part.area == pytest.approx(outline_of(part).area, rel=1e-12)
        assert part.quantity == len(part.places)
    for joint in joints:
        assert joint.mismatch <= MISMATCH_MM, joint.name
        assert joint.mismatch == abs(joint.a.length - joint.b.length)


@pytest.mark.parametrize("name", NAMES)
def test_the_samples_hold_together(name):
    boat = built(name)
    hold_together(boat.parts, boat.joints)
    # A chine cleat that bends in one piece has two joints fewer a side than one in two.
    assert len(boat.joints) >= (16 if "chine-cleat-port" in by_slug(boat.parts) else 20)


@pytest.mark.parametrize(("bottom", "transom", "deck"), LAPS)
def test_every_way_of_lapping_gives_parts_that_fit(bottom, transom, deck):
    design = changed(sample("marshpenny"), laps={"bottom": bottom, "transom": transom, "deck": deck})
    hull, _, parts, joints = taken(design)
    hold_together(parts, joints)
    found = by_slug(parts)
    sizes = design.hull
    space = {slug: both_faces(found[slug]) for slug in ("side-port", "transom", "bottom", "fore-deck", "after-deck")}
    # As sawn, a flared side's edges stand proud of the hull's sizes by its thickness times the flare's tangent.
    flare = np.radians(sizes.flare)
    proud = hull.side_thickness * np.tan(flare) + 0.01
    solid = np.vstack([space["side-port"], space["transom"], space["bottom"]])
    assert solid[:, 0].min() == pytest.approx(0.0, abs=proud)
    assert solid[:, 2].min() == pytest.approx(0.0, abs=proud)
    assert space["side-port"][:, 1].max() == pytest.approx(sizes.beam / 2.0, abs=proud * np.tan(flare) + 0.01)
    assert space["side-port"][:, 2].max() == pytest.approx(sizes.depth, abs=proud)
    assert space["bottom"][:, 0].max() == pytest.approx(sizes.length, abs=0.01)
    seat = hull.bottom_thickness if bottom == "under" else 0.0
    assert space["transom"][:, 2].min() == pytest.approx(seat, abs=1e-6)
    assert space["side-port"][:, 2].min() == pytest.approx(seat, abs=proud)
    aft = 0.0 if transom == "between" else hull.transom_thickness
    assert space["side-port"][:, 0].min() == pytest.approx(aft, abs=proud)
    top = sizes.depth + design.woods.deck.thickness if deck == "over" else sizes.depth
    assert space["fore-deck"][:, 2].max() == pytest.approx(top, abs=1e-6)
    side_face = 0.0 if transom == "over" else hull.side_thickness
    wide = hull.half_breadth(np.array([0.0, hull.transom_thickness]), sizes.depth, side_face).max()
    assert space["transom"][:, 1].max() == pytest.approx(wide, abs=1e-6)


def test_laps_take_the_woods_thickness_off_the_right_parts():
    """The same boat with its bottom between its sides: sides as much taller, bottom as much narrower."""
    under = by_slug(taken(sample("bramblefin"))[2])
    between = by_slug(taken(changed(sample("bramblefin"), laps={"bottom": "between"}))[2])
    woods = sample("bramblefin").woods
    taller = between["side-port"].finished_width - under["side-port"].finished_width
    assert taller == pytest.approx(woods.bottom.thickness, abs=1e-6)
    narrower = under["bottom"].finished_width - between["bottom"].finished_width
    assert narrower == pytest.approx(2.0 * woods.side.thickness, abs=1e-6)
    over = by_slug(taken(changed(sample("bramblefin"), laps={"transom": "over"}))[2])
    wider = over["transom"].finished_length - under["transom"].finished_length
    assert wider == pytest.approx(2.0 * woods.side.thickness, abs=1e-6)
    shorter = under["side-port"].finished_length - over["side-port"].finished_length
    assert shorter == pytest.approx(woods.transom.thickness, abs=1e-6)


@given(design=designs())
@settings(max_examples=14, deadline=None, derandomize=True)
def test_any_boat_holds_together(design):
    _, _, parts, joints = taken(design)
    hold_together(parts, joints)


@pytest.mark.parametrize("name", NAMES)
def test_hands_are_mirror_images(name):
    parts = by_slug(built(name).parts)
    pairs = [slug for slug in parts if slug.endswith("-port")]
    assert {"side-port", "sheer-cleat-port", "knee-port", "bearer-port"} <= set(pairs)
    for slug in pairs:
        port, starboard = parts[slug], parts[slug.replace("-port", "-starboard")]
        assert (port.hand, starboard.hand) == ("port", "starboard")
        # Parts drawn from above are mirrored across the boat, parts drawn from inside it along the boat.
        turned = np.array([1.0, -1.0]) if slug.startswith("knee") else np.array([-1.0, 1.0])
        mirrored = np.array(starboard.outline) * turned
        mirrored -= mirrored.min(axis=0)
        difference = shapely.Polygon(port.outline).symmetric_difference(shapely.Polygon(mirrored))
        assert difference.area < 1e-3 * np.sqrt(port.area), slug


@pytest.mark.parametrize("name", NAMES)
def test_mass_is_finished_area_times_thickness_times_density(name):
    for part in built(name).parts:
        finished = outline_of(part, "true_outline").area
        grams = finished * part.thickness * wood(part.material).density * 1e-6
        assert part.mass == pytest.approx(grams, rel=1e-12)
        assert part.mass <= part.area * part.thickness * wood(part.material).density * 1e-6 * (1.0 + 1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_finished_sizes_are_those_of_the_true_outline(name):
    for part in built(name).parts:
        size = np.ptp(np.array(part.true_outline), axis=0)
        assert (part.finished_length, part.finished_width) == pytest.approx(tuple(size), abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_rulings_cross_the_part_and_their_turn_grows(name):
    # A curve through points of a drawing swings about the line that was drawn: as far as one point may be misread
    # against the next, 1/32 in over the 4 in between them. The form's own curves never turn back.
    back = 1e-12 if built(name).design.hull.offsets is None else np.degrees(1.0 / 32.0 / 4.0)
    for part in built(name).parts:
        if not part.rulings:
            continue
        turns = np.array([ruling.turn for ruling in part.rulings])
        turned_back = min(np.max(np.maximum.accumulate(way) - way) for way in (turns, -turns))
        assert turned_back <= back
        for ruling in part.rulings:
            line = shapely.LineString([(ruling.x0, ruling.y0), (ruling.x1, ruling.y1)])
            assert shapely.Polygon(part.true_outline).buffer(1e-6).covers(line)
            ends = part.panel.to_space(np.array(line.coords), 0.0)
            middle = part.panel.to_space(np.array(line.coords).mean(axis=0, keepdims=True), 0.0)
            assert np.abs(middle - ends.mean(axis=0)).max() < 1e-7


def test_copies_stand_where_their_places_say():
    """Fin cleats either side of the fin's tab, servo plates and rails under their servos."""
    boat = built("marshpenny")
    parts = by_slug(boat.parts)
    half_fin = boat.design.woods.fin.thickness / 2.0
    cleat = parts["fin-cleat"]
    spans = [np.sort(both_faces(cleat)[:, 1] + place[1])[[0, -1]] for place in cleat.places]
    assert spans[0] == pytest.approx([half_fin, half_fin + cleat.thickness], abs=1e-9)
    assert spans[1] == pytest.approx([-half_fin - cleat.thickness, -half_fin], abs=1e-9)
    plate, rail = parts["servo-plate"], parts["servo-rail"]
    boxes = [both_faces(plate) + np.array(place) for place in plate.places]
    assert boxes[1][:, 1].max() < boxes[0][:, 1].min()
    middle = np.mean([(box[:, 1].min() + box[:, 1].max()) / 2.0 for box in boxes])
    assert middle == pytest.approx(boat.arrangement.servo_y, abs=1e-9)
    assert len(rail.places) == 4
    for i, place in enumerate(rail.places):
        strip = both_faces(rail) + np.array(place)
        above = boxes[i // 2]
        assert above[:, 0].min() - 1e-9 <= strip[:, 0].min() < strip[:, 0].max() <= above[:, 0].max() + 1e-9
        assert strip[:, 1].min() == pytest.approx(above[:, 1].min(), abs=1e-9)
        assert strip[:, 2].max() == pytest.approx(above[:, 2].min(), abs=1e-9)


def test_rails_of_the_stand_are_a_pair_either_side():
    rail = by_slug(built("bramblefin").parts)["stand-rail"]
    spans = [np.sort(both_faces(rail)[:, 1] + place[1])[[0, -1]] for place in rail.places]
    assert spans[1] == pytest.approx(-spans[0][::-1], abs=1e-9)


def test_parts_come_in_building_order():
    families = [part.family for part in built("bramblefin").parts]
    first = {family: families.index(family) for family in families}
    assert first["side"] < first["bottom"] < first["bulkhead"] < first["deck_beam"] < first["deck"] < first["stand"]
    assert families == sorted(families, key=lambda family: first[family])


# At a far raked, broad stem the last rulings of the side run all but along the sheer.
RAKED = """
name = "trialboat"
units = "in"
[hull]
length = 29.36
beam = 7.93
depth = 3.96
bow = "stem"
flare = 10
beam_at_transom = 6.98
beam_at_bow = {bow}
flat_to = 15
"""


def test_a_side_that_ends_at_the_sheer_under_a_deck_over_it_is_refused():
    with pytest.raises(BuildError, match=r"hull\.\w+: the rulings of the side lie so flat near x = \d+ mm"):
        taken(from_text(RAKED.format(bow=3.9)))


@pytest.mark.parametrize("bow", [1.5, 3.0])
def test_a_raked_stem_has_a_fore_deck_that_does_not_cross_itself(bow):
    deck = by_slug(taken(from_text(RAKED.format(bow=bow)))[2])["fore-deck"]
    assert outline_of(deck).is_valid
    assert outline_of(deck, "true_outline").is_valid
