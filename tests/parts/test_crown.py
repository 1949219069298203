"""A crowned after deck: a cylinder across the boat, and everything under it cut to the same arc."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from trial_boats import by_slug, from_text, taken

from hullcut.errors import BuildError
from hullcut.parts.checks import part_checks
from hullcut.parts.crown import Crown, CrownPanel, crown_of
from hullcut.parts.marking import mark_parts

TEXT = """
name = "trialcrown"
units = "in"
[hull]
length = 42
beam = 13
depth = 5
bow = "sled"
flare = 6
transom_rake = 8
[decks]
after = "deck"
crown = "3/8 in"
"""
RISE = 25.4 * 3 / 8


@pytest.fixture(scope="module")
def boat():
    hull, arrangement, parts, joints = taken(from_text(TEXT))
    return hull, arrangement, by_slug(mark_parts(hull, arrangement, parts)), joints


def upper_edge(part, names):
    edge = next(each for each in part.edges if each.name in names)
    outline = np.array(part.outline)
    stop = edge.stop if edge.stop > edge.start else edge.stop + len(outline)
    return outline[np.arange(edge.start, stop + 1) % len(outline)]


@given(st.floats(1.0, 40.0), st.floats(80.0, 250.0))
def test_the_arc_has_the_chord_and_rise_that_were_asked(rise, half):
    """R = (b^2 + c^2) / 2c for half chord b and rise c (any book of geometry)."""
    radius = (half**2 + rise**2) / (2.0 * rise)
    crown = Crown(radius, 100.0 + rise - radius, half)
    assert crown.height(0.0) == pytest.approx(100.0 + rise)
    assert crown.height(half) == pytest.approx(100.0)
    assert math.sin(crown.slope) == pytest.approx(half / radius)


@given(
    st.lists(st.tuples(st.floats(0.0, 400.0), st.floats(-150.0, 150.0)), min_size=2, max_size=9), st.floats(-2.0, 2.0)
)
def test_the_chart_is_an_isometry_of_its_middle_surface(points, offset):
    panel = CrownPanel(4.0, Crown(1200.0, -1070.0, 150.0)).moved(31.0, -7.0)
    flat = np.array(points)
    assert panel.to_flat(panel.to_space(flat, offset)) == pytest.approx(
        np.column_stack([flat, np.full(len(flat), offset)]), abs=1e-9
    )
    steps = np.linspace(flat[0], flat[1], 400)
    along = np.linalg.norm(np.diff(panel.to_space(steps, 0.0), axis=0), axis=1).sum()
    assert along == pytest.approx(np.linalg.norm(flat[1] - flat[0]), rel=1e-6, abs=1e-9)


def test_the_deck_unrolls_to_its_arc(boat):
    hull, _, parts, _ = boat
    deck, crown = parts["after-deck"], crown_of(hull)
    true = np.array(deck.true_outline)
    widest = 0.0
    for above in (0.0, deck.thickness):  # the edge is sawn on whichever face reaches farther
        half = hull.design.hull.beam / 2.0
        for _ in range(30):
            rise = float(crown.height(half, above)) - hull.depth
            half = hull.design.hull.beam / 2.0 + rise * math.tan(math.radians(hull.design.hull.flare))
        widest = max(widest, math.asin(half / (crown.radius + above)))
    assert np.ptp(true[:, 1]) == pytest.approx(2.0 * widest * (crown.radius + deck.thickness / 2.0), abs=0.02)
    assert np.ptp(true[:, 1]) > 2.0 * hull.half_breadth(np.array([100.0]), hull.depth)[0]


def test_transom_and_beam_are_cut_to_the_decks_lower_face(boat):
    hull, _, parts, _ = boat
    crown = crown_of(hull)
    for slug, names in (("transom", ("sheer",)), ("deck-beam-after", ("upper",))):
        part = parts[slug]
        run = upper_edge(part, names)
        for face in (0.5, -0.5):
            points = part.panel.to_space(run, face * part.thickness)
            middle = np.abs(points[:, 1]) < crown.half - 8.0
            gap = points[middle, 2] - crown.height(points[middle, 1])
            assert np.abs(gap).max() < 1.5  # a raked transom is cut on its longer face
            assert points[:, 2].max() == pytest.approx(hull.depth + RISE, abs=1.5)
    beam = parts["deck-beam-after"]
    points = beam.panel.to_space(upper_edge(beam, ("upper",)), 0.0)
    assert points[:, 2] == pytest.approx(crown.height(points[:, 1]), abs=0.02)


def test_the_fore_deck_and_its_beams_stay_flat(boat):
    hull, _, parts, _ = boat
    fore = parts["fore-deck"]
    z = fore.panel.to_space(np.array(fore.true_outline), 0.0)[:, 2]
    assert np.ptp(z) < 1e-9
    beam = parts["deck-beam-middle"]
    assert beam.panel.to_space(np.array(beam.outline), 0.0)[:, 2].max() == pytest.approx(hull.roof, abs=1e-6)


def test_joints_agree_and_screws_find_their_cleats(boat):
    _, _, parts, joints = boat
    assert max(joint.mismatch for joint in joints) < 0.1
    assert {f"sheer, {hand}, after-deck" for hand in ("port", "starboard")} <= {joint.name for joint in joints}
    deck = parts["after-deck"]
    screws = [shapely.Point(mark.points[0]) for mark in deck.marks if mark.kind == "screw"]
    assert len(screws) > 8
    landings = {mark.name for mark in deck.marks if mark.kind == "landing"}
    assert {"Sheer cleat, port", "Sheer cleat, starboard", "Deck beam, after", "Transom"} <= landings


def test_the_sheet_is_held_against_its_least_radius(boat):
    hull, arrangement, _, joints = boat
    check = next(each for each in part_checks(hull, arrangement, joints) if each.name.startswith("After deck bends"))
    assert check.status == "ok"
    assert check.value == pytest.approx(crown_of(hull).radius)
    thick = from_text(TEXT + '[wood.deck]\nthickness = "1/2 in"\ngrain = "across"\n')
    hull, arrangement, _, joints = taken(thick)
    check = next(each for each in part_checks(hull, arrangement, joints) if each.name.startswith("After deck bends"))
    assert check.status == "fail"
    assert "decks.crown" in check.advice


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("flare = 6", "flare = 6\nbeam_at_transom = 12", "bend two ways"),
        ("flare = 6", "flare = 6\nsheer_rise = 2.5\nsheer_from = 2", "bend two ways"),
        ('after = "deck"', 'after = "hatch"', "flat battens"),
        ("[decks]", '[laps]\ndeck = "between"\n[decks]', "must lie over the sides"),
    ],
)
def test_a_crown_that_cannot_be_bent_is_refused_with_its_reason(old, new, why):
    with pytest.raises(BuildError, match=why) as refused:
        taken(from_text(TEXT.replace(old, new)))
    assert refused.value.faults[0].key == "decks.crown"
    assert refused.value.faults[0].line is not None


def test_a_crowned_deck_may_carry_a_coaming():
    hull, arrangement, parts, joints = taken(from_text(TEXT.replace('"deck"', '"hatch"\ncoaming = "3/4 in"')))
    slugs = by_slug(mark_parts(hull, arrangement, parts))
    hole = shapely.Polygon(slugs["after-deck"].holes[0])
    assert shapely.Polygon(slugs["after-deck"].outline).contains(hole)
    lid = slugs["hatch"].panel.to_space(np.array(slugs["hatch"].outline), -slugs["hatch"].thickness / 2.0)
    assert lid[:, 2].min() == pytest.approx(hull.depth + RISE + slugs["after-deck"].thickness + 19.05)
    assert max(joint.mismatch for joint in joints) < 0.1


def test_flat_is_the_default():
    assert crown_of(taken(from_text(TEXT.replace('crown = "3/8 in"', "")))[0]) is None
