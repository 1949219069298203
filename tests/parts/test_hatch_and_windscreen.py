"""A hatch on a coaming, and a windscreen of three flat pieces."""

import math

import numpy as np
import pytest
import shapely
from trial_boats import by_slug, changed, from_text, landings, sample, taken

from hullcut.errors import BuildError, DesignError
from hullcut.parts.hatch import opening
from hullcut.parts.marking import mark_parts

TEXT = """
name = "trialrim"
units = "in"
[hull]
length = 42
beam = 13
depth = 5
bow = "sled"
flare = 5
beam_at_bow = 11
[decks]
coaming = "3/4 in"
[windscreen]
wing = 3
"""


@pytest.fixture(scope="module")
def boat():
    design = from_text(TEXT)
    hull, arrangement, parts, joints = taken(design)
    return hull, by_slug(mark_parts(hull, arrangement, parts)), {each.name: each for each in joints}


def faces(part, place=(0.0, 0.0, 0.0)):
    outline = np.array(part.true_outline)
    half = part.thickness / 2.0
    return part.panel.to_space(outline, half) + place, part.panel.to_space(outline, -half) + place


def test_the_deck_has_an_opening_that_the_coaming_fills(boat):
    hull, parts, _ = boat
    found = opening(hull)
    deck = parts["after-deck"]
    hole = shapely.Polygon(deck.holes[0])
    assert hole.area == pytest.approx((found.fore - found.aft) * 2.0 * found.half, rel=1e-6)
    for hand, side in (("port", 1.0), ("starboard", -1.0)):
        y = np.concatenate(faces(parts[f"coaming-{hand}"]))[:, 1] * side
        assert y.max() == pytest.approx(found.half)
        assert y.min() == pytest.approx(found.half - parts[f"coaming-{hand}"].thickness)
    x = np.concatenate(faces(parts["coaming-after"]))[:, 0]
    assert x.min() == pytest.approx(found.aft)
    assert np.concatenate(faces(parts["coaming-fore"]))[:, 0].max() == pytest.approx(found.fore)


def test_the_opening_keeps_clear_of_knees_cleats_and_beam(boat):
    hull, parts, _ = boat
    strips = [parts[f"coaming-{which}"] for which in ("port", "starboard", "after", "fore")]
    box = shapely.MultiPoint(np.concatenate([np.concatenate(faces(part)) for part in strips])[:, :2]).envelope
    for slug in ("sheer-cleat-port", "knee-port", "knee-starboard", "deck-beam-after", "transom-cleat-foot"):
        points = np.concatenate(faces(parts[slug]))
        low = points[points[:, 2] > hull.roof - 30.0]
        assert not any(box.buffer(-0.01).contains(shapely.Point(x, y)) for x, y, _ in low), slug


def test_the_coamings_top_is_level_and_as_high_as_asked(boat):
    hull, parts, _ = boat
    tops = [np.concatenate(faces(parts[f"coaming-{which}"]))[:, 2].max() for which in ("port", "fore", "after")]
    deck_top = hull.depth + hull.design.woods.deck.thickness
    assert tops == pytest.approx([deck_top + 19.05] * 3)
    assert np.concatenate(faces(parts["hatch"]))[:, 2].min() == pytest.approx(tops[0])


def test_the_battens_drop_inside_the_coaming(boat):
    hull, parts, _ = boat
    found, gap = opening(hull), hull.design.decks.hatch_gap
    inside = found.half - parts["coaming-port"].thickness
    for which in ("after", "fore"):
        points = np.concatenate(faces(parts[f"hatch-batten-{which}"]))
        assert np.abs(points[:, 1]).max() == pytest.approx(inside - gap)
        assert points[:, 2].max() == pytest.approx(found.top)
        assert points[:, 0].min() >= found.aft + parts["coaming-after"].thickness + gap - 1e-9
        assert points[:, 0].max() <= found.fore - parts["coaming-fore"].thickness - gap + 1e-9


def test_screws_hold_the_lid_to_the_coaming_only(boat):
    _, parts, _ = boat
    lid = parts["hatch"]
    prints = {each.guest: shapely.Polygon(each.outline) for each in landings(tuple(parts.values()))[lid.id]}
    rims = shapely.union_all([shape for guest, shape in prints.items() if "-coaming-" in guest])
    screws = [mark for mark in lid.marks if mark.kind == "screw"]
    assert len(screws) >= 8
    assert all(rims.buffer(0.01).covers(shapely.Point(mark.points[0])) for mark in screws)


def test_the_lid_is_no_part_of_the_sheer(boat):
    _, _, joints = boat
    assert "sheer, port, after-deck" in joints
    assert not [name for name in joints if name.endswith(", hatch")]


def test_an_opening_too_small_for_a_hand_is_refused():
    design = changed(sample("bramblefin"), decks={"coaming": 20.0}, cleats={"knee_leg": 120.0})
    with pytest.raises(BuildError, match=r"decks\.coaming: the deck leaves an opening of only"):
        taken(changed(design, decks={"after_to": 200.0}))


def test_the_pieces_of_the_windscreen_meet_in_the_fold(boat):
    """Each face's fold edge is the same line in space on both pieces: a mitre closes without a gap."""
    _, parts, joints = boat
    for hand in ("port", "starboard"):
        middle, wing = parts["windscreen"], parts[f"windscreen-wing-{hand}"]
        ours = next(edge for edge in middle.edges if edge.name == hand)
        theirs = next(edge for edge in wing.edges if edge.name == "fold")
        assert ours.bevel == pytest.approx(theirs.bevel, abs=1e-6)
        assert ours.bevel > 10.0
        assert {ours.long_face, theirs.long_face} == {"outer"}
        line = np.sort(ends(middle, ours, 0.5), axis=0)
        # Their ends differ a little, for each is cut on its own foot's longer face.
        assert line == pytest.approx(np.sort(ends(wing, theirs, 0.5), axis=0), abs=0.05)
        assert joints[f"windscreen's fold, {hand}"].mismatch < 1e-9


def ends(part, edge, face):
    outline = np.array(part.outline)
    return part.panel.to_space(outline[[edge.start, edge.stop % len(outline)]], face * part.thickness)


def test_a_mitre_is_half_the_angle_between_the_pieces(boat):
    _, parts, _ = boat
    middle, wing = parts["windscreen"].panel, parts["windscreen-wing-port"].panel
    between = math.degrees(math.acos(np.dot(middle.outer, wing.outer)))
    bevel = next(edge.bevel for edge in parts["windscreen"].edges if edge.name == "port")
    assert bevel == pytest.approx(between / 2.0, abs=1e-6)


def test_every_foot_lies_on_the_deck(boat):
    hull, parts, _ = boat
    deck_top = hull.depth + hull.design.woods.deck.thickness
    for slug in ("windscreen", "windscreen-wing-port", "windscreen-wing-starboard"):
        part = parts[slug]
        foot = next(edge for edge in part.edges if edge.name == "foot")
        lowest = min(points[:, 2].min() for points in faces(part))
        assert foot.bevel > 5.0
        long = 0.5 if foot.long_face == "outer" else -0.5
        assert ends(part, foot, long)[:, 2] == pytest.approx([deck_top] * 2, abs=1e-6)
        assert lowest > deck_top - 2.0 * part.thickness * math.tan(math.radians(foot.bevel))


def test_wings_end_at_the_decks_after_edge(boat):
    hull, parts, _ = boat
    wing = np.concatenate(faces(parts["windscreen-wing-port"]))
    start = hull.design.decks.fore_from + hull.design.woods.bulkhead.thickness
    assert start - 5.0 < wing[wing[:, 2] < hull.depth + 6.0][:, 0].min() < start + 5.0
    port, starboard = parts["windscreen-wing-port"], parts["windscreen-wing-starboard"]
    mirrored = np.sort(np.concatenate(faces(starboard)) * [1.0, -1.0, 1.0], axis=0)
    assert np.sort(np.concatenate(faces(port)), axis=0) == pytest.approx(mirrored, abs=1e-6)


def test_without_wings_the_screen_is_one_piece():
    slugs = by_slug(taken(sample("bramblefin"))[2])
    assert "windscreen" in slugs
    assert not [slug for slug in slugs if "wing" in slug]


def test_wings_wider_than_the_boat_are_a_fault():
    with pytest.raises(DesignError, match=r"windscreen\.wing.*more than hull\.beam"):
        from_text(TEXT.replace("wing = 3", "wing = 7\nwing_angle = 60"))
