"""The card model's panels meet edge to edge and station to station, whatever the bow."""

import functools
import itertools

import numpy as np
import pytest
import shapely
from trial_boats import from_text, sample

from hullcut.hull.form import shape
from hullcut.parts.card_model import card_panels, edge_length, worst_mismatch

TEXTS = {
    "stem": 'name = "trialstem"\nunits = "mm"\n[hull]\nlength = 1100\nbeam = 340\ndepth = 130\nbow = "stem"\n'
    "transom_rake = 10\nsheer_rise = 30\nbow_rake = 15\n",
    "pram": 'name = "trialpram"\nunits = "mm"\n[hull]\nlength = 800\nbeam = 300\ndepth = 110\nbow = "pram"\n'
    'flare = 6\nrocker = 8\nbeam_at_bow = 200\n[decks]\nafter = "open"\n',
}
BOATS = ("bramblefin", "marshpenny", "stem", "pram", "tansyfoot")


@functools.cache
def model(name):
    hull = shape(from_text(TEXTS[name]) if name in TEXTS else sample(name))
    return hull, card_panels(hull)


def letters(panels):
    found = {}
    for panel in panels:
        for edge in panel.edges:
            if edge.letter:
                found.setdefault(edge.letter, []).append((panel, edge))
    return found


@pytest.mark.parametrize("name", BOATS)
def test_every_letter_stands_on_two_panels(name):
    for letter, pair in letters(model(name)[1]).items():
        assert len(pair) == 2, letter
        assert pair[0][0].name != pair[1][0].name


@pytest.mark.parametrize("name", BOATS)
def test_letters_stand_in_a_row_without_an_i(name):
    used = sorted(letters(model(name)[1]))
    assert used == list("ABCDEFGHJKLMN")[: len(used)]


@pytest.mark.parametrize("name", BOATS)
def test_edges_that_meet_are_equally_long(name):
    panels = model(name)[1]
    for letter, ((_, a), (_, b)) in letters(panels).items():
        assert edge_length(a) == pytest.approx(edge_length(b), abs=0.1), letter
    assert worst_mismatch(panels) < 0.1


@pytest.mark.parametrize("name", BOATS)
def test_stations_of_panels_that_meet_are_equally_far_along_their_edges(name):
    """From station to station, both edges of a chine or a sheer are equally long: the marks meet."""
    checked = 0
    for (panel_a, a), (panel_b, b) in letters(model(name)[1]).values():
        ours, theirs = places(panel_a, a), places(panel_b, b)
        shared = sorted(set(ours) & set(theirs))
        for first, second in itertools.pairwise(shared):
            assert abs(ours[second] - ours[first]) == pytest.approx(abs(theirs[second] - theirs[first]), abs=0.05)
            checked += 1
    assert checked >= 8


def places(panel, edge):
    """How far along an edge each station's end lies, by number."""
    run = shapely.LineString(edge.points)
    found = {}
    for station in panel.stations:
        for end in (station.points[0], station.points[-1]):
            if run.distance(shapely.Point(end)) < 0.2:
                found[station.number] = run.project(shapely.Point(end))
    return found


@pytest.mark.parametrize("name", BOATS)
def test_a_model_has_the_hulls_own_sizes(name):
    hull, panels = model(name)
    by_name = {panel.name: panel for panel in panels}
    sizes = hull.design.hull
    transom = np.array(by_name["Transom"].outline)
    assert np.ptp(transom[:, 0]) == pytest.approx(sizes.beam_at_transom, abs=2.0)
    side = np.array(by_name["Side, port"].outline)
    assert sizes.length * 0.98 <= np.ptp(side[:, 0]) <= sizes.length * 1.05
    for panel in panels:
        polygon = shapely.Polygon(panel.outline)
        assert polygon.is_valid
        assert np.array(panel.outline).min(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
        for station in panel.stations:
            assert polygon.buffer(0.3).covers(shapely.LineString(station.points))


def test_the_sides_of_a_pointed_bow_bear_one_letter_and_the_bottom_none_there():
    by_name = {panel.name: panel for panel in model("tansyfoot")[1]}
    port, starboard = ({edge.letter for edge in by_name[f"Side, {hand}"].edges} for hand in ("port", "starboard"))
    assert (port & starboard) - {""} == {"F"}
    bow = next(edge for edge in by_name["Side, port"].edges if edge.letter == "F")
    assert edge_length(bow) > 100.0
    assert {edge.letter for edge in by_name["Bottom"].edges} == {"A", "B", "E", ""}
    assert not {"Stem strip", "Bow transom"} & set(by_name)


@pytest.mark.parametrize("name", BOATS)
def test_no_lettered_edge_is_too_short_to_draw(name):
    for letter, pair in letters(model(name)[1]).items():
        assert min(edge_length(edge) for _, edge in pair) > 4.0, letter


def test_what_closes_the_ends_follows_the_bow():
    names = {name: {panel.name for panel in model(name)[1]} for name in BOATS}
    assert "Stem strip" in names["stem"]
    assert "Bow transom" in names["pram"]
    assert not {"Stem strip", "Bow transom"} & names["bramblefin"]
    assert "Hatch" in names["bramblefin"]
    assert "After deck" in names["marshpenny"]
    assert not {"Hatch", "After deck"} & names["pram"]
