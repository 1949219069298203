"""No two screws of a boat meet, measured anew by points along their axes; those that never came near stay in place."""

import functools
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from trial_boats import NAMES, built, by_slug, changed, designs, from_text, landings, sample, taken

from hullcut.parts.marking import mark_parts
from hullcut.parts.screws import screw_rows
from hullcut.pipeline import build
from hullcut.stock.fasteners import screw

# Bows, decks and slopes that no sample has.
TEXTS = {
    "crown": 'length = 40\nbeam = 13\ndepth = 5\ntransom_rake = 8\n[decks]\nafter = "deck"\ncrown = "3/8 in"',
    "coaming": 'length = 42\nbeam = 13\ndepth = 5\nbeam_at_bow = 10\n[decks]\ncoaming = "3/4 in"',
    "raked pram": (
        'length = 40\nbeam = 13\ndepth = 5\nbow = "pram"\nbeam_at_bow = 9\nbeam_at_transom = 12\nflare = 8\n'
        'transom_rake = 12\nrocker = "1/4"\nsheer_rise = "1 1/4"'
    ),
    "raked stem": 'length = 40\nbeam = 13\ndepth = 5\nbow = "stem"\nbow_rake = 20\ntransom_rake = 8\nsheer_rise = 1',
    "small stem": (
        'length = 29.36\nbeam = 7.93\ndepth = 3.96\nbow = "stem"\nflare = 10\nbeam_at_transom = 6.98\n'
        "beam_at_bow = 3.5\nflat_to = 15"
    ),
}
# Thicker screws, and closer ones, in a sample.
FASTENED = {"thick": ("marshpenny", {"gauge": 10}), "close": ("bramblefin", {"spacing": 40.0})}
BOATS = (*NAMES, *TEXTS, *FASTENED)
# Points so close along an axis find a distance of 5 mm too large by less than this, mm.
POINTS, BLUR = 101, 1e-3


@functools.cache
def design_of(name):
    if name in FASTENED:
        base, values = FASTENED[name]
        return changed(sample(base), fasteners=values)
    return from_text(f'name = "sedge"\nunits = "in"\n[hull]\n{TEXTS[name]}\n') if name in TEXTS else sample(name)


@functools.cache
def boat_of(name):
    return built(name) if name in NAMES else build(design_of(name))


def clearance(design):
    return 2.0 * screw(design.fasteners.gauge).shank


def axis(host, place, length):
    """Head and point of a screw in every copy of its part (copies, 2, 3)."""
    face = host.thickness / 2.0
    ends = host.panel.to_space(np.array([place, place]), np.array([face, face - length]))
    return np.array([ends + np.array(copy) for copy in host.places])


def marked(parts):
    """Every screw that is marked: host and place, and its axes."""
    return [
        (part, mark, axis(part, mark.points[0], mark.length))
        for part in parts
        for mark in part.marks
        if mark.kind == "screw"
    ]


@functools.cache
def rows_of(name):
    """Every part with the rows in which its screws are evenly laid."""
    boat = boat_of(name)
    by_id = {part.id: part for part in boat.parts}
    prints = landings(boat.parts)
    return [(part, screw_rows(boat.design, part, prints[part.id], by_id)) for part in boat.parts]


@functools.cache
def laid(name):
    """Every screw as it is evenly laid."""
    return [
        (part, mark, axis(part, mark.points[0], mark.length))
        for part, rows in rows_of(name)
        for row in rows
        for mark in row.marks()
    ]


def distance(a, b):
    """Between two screws in all their copies: points along the one, and how far each is from the other."""
    least = np.inf
    for head, tip in a:
        points = head + np.linspace(0.0, 1.0, POINTS)[:, None] * (tip - head)
        for start, end in b:
            along = end - start
            share = np.clip((points - start) @ along / (along @ along), 0.0, 1.0)
            least = min(least, np.linalg.norm(points - start - share[:, None] * along, axis=1).min())
    return least


def near_pairs(screws, apart):
    """Which pairs of screws come nearer than allowed."""
    middles = np.array([axes.mean(axis=1) for _, _, axes in screws])
    # No host of screws stands in a boat twice.
    assert middles.shape[1] == 1
    away = np.linalg.norm(middles - middles[:, 0], axis=2)
    reach = apart + max(mark.length for _, mark, _ in screws)
    near = zip(*np.nonzero(np.triu(away < reach, 1)), strict=True)
    return [(int(i), int(j)) for i, j in near if distance(screws[i][2], screws[j][2]) < apart]


@pytest.mark.parametrize("name", BOATS)
def test_no_two_screws_meet(name):
    boat = boat_of(name)
    screws = marked(boat.parts)
    # Where cleats are too thin there are few.
    assert len(screws) > (60 if boat.design.woods.cleat.thickness > 9.0 else 15)
    assert near_pairs(screws, clearance(boat.design) - BLUR) == []


def test_evenly_laid_they_would_meet_in_cleats_and_block():
    screws = laid("marshpenny")
    met = {
        frozenset(screws[index][0].id.removeprefix("marshpenny-") for index in pair)
        for pair in near_pairs(screws, screw(6).shank)
    }
    assert {
        frozenset({"transom", "bottom"}),
        frozenset({"side-port", "after-deck"}),
        frozenset({"side-starboard", "fore-deck"}),
        frozenset({"bottom", "fore-deck"}),
    } <= met


@pytest.mark.parametrize("name", BOATS)
def test_none_is_left_out_and_each_ends_in_the_wood_of_its_row(name):
    boat = boat_of(name)
    by_id = {part.id: part for part in boat.parts}
    least = screw(boat.design.fasteners.gauge).spacing_along
    for part, rows in rows_of(name):
        marks = iter([mark for mark in part.marks if mark.kind == "screw"])
        for row in rows:
            mine = [next(marks) for _ in row.stops]
            guest = by_id[row.guest]
            ground = shapely.Polygon(guest.true_outline).buffer(0.1)
            stops = [row.line.project(shapely.Point(mark.points[0])) for mark in mine]
            for mark, stop in zip(mine, stops, strict=True):
                assert row.line.distance(shapely.Point(mark.points[0])) < 1e-6
                assert row.end - 1e-6 < stop < row.line.length - row.end + 1e-6
                tip = axis(part, mark.points[0], mark.length)[0, 1]
                flat = [guest.panel.to_flat(tip[None] - np.array(place))[0] for place in guest.places]
                assert any(
                    ground.covers(shapely.Point(x, y)) and abs(off) < guest.thickness / 2.0 for x, y, off in flat
                ), (part.id, guest.id, stop)
            # They neither change places nor bunch up.
            apart = min([least, *(np.diff(row.stops) / 2.0)])
            assert all(b - a > apart - 1e-6 for a, b in pairwise(stops))
        assert next(marks, None) is None


@pytest.mark.parametrize("name", BOATS)
def test_screws_that_never_come_near_another_stay_where_they_were(name):
    boat = boat_of(name)
    before, after = laid(name), marked(boat.parts)
    pairs = near_pairs(before, clearance(boat.design))
    order = ("side", "transom", "bottom", "deck", "hatch")
    moved = {
        index for index, (old, new) in enumerate(zip(before, after, strict=True)) if old[1].points != new[1].points
    }
    assert moved <= {index for pair in pairs for index in pair}
    for index in moved:
        rank = order.index(before[index][0].family)
        others = [sum(pair) - index for pair in pairs if index in pair]
        assert min(order.index(before[other][0].family) for other in others) <= rank
    # Where none was near, none moved; else at least one of each pair did.
    assert all(moved & set(pair) for pair in pairs)


@pytest.mark.parametrize("name", BOATS)
def test_a_gap_is_wider_than_asked_only_where_no_free_place_would_narrow_it(name):
    boat = boat_of(name)
    spacing, apart = boat.design.fasteners.spacing, clearance(boat.design)
    everything = marked(boat.parts)
    for part, rows in rows_of(name):
        marks = iter([mark for mark in part.marks if mark.kind == "screw"])
        for row in rows:
            mine = [next(marks) for _ in row.stops]
            stops = [row.line.project(shapely.Point(mark.points[0])) for mark in mine]
            moved = [abs(a - b) > 1e-6 for a, b in zip(stops, row.stops, strict=True)]
            for index in (n for n, is_moved in enumerate(moved) if is_moved and 0 < n < len(stops) - 1):
                # Those of a row move one after another: of two beside each other only the later knew where both stand.
                if moved[index + row.runs]:
                    continue
                widest = max(stops[index] - stops[index - 1], stops[index + 1] - stops[index])
                others = [axes for host, mark, axes in everything if (host, mark) != (part, mine[index])]
                for stop in row.stops[index] + 0.5 * np.arange(-100, 101):
                    gaps = (stop - stops[index - 1], stops[index + 1] - stop)
                    if widest <= spacing or min(gaps) <= 0.0 or max(gaps) > widest - 1e-3:
                        continue
                    point = row.line.interpolate(stop)
                    there = axis(part, (point.x, point.y), row.length)
                    assert any(distance(there, axes) < apart + BLUR for axes in others), (row.guest, stop)


def test_some_gap_must_be_wider_than_asked():
    """Else the test before would say nothing."""
    boat = boat_of("puddlewick")
    bottom = by_slug(boat.parts)["bottom"]
    rows = next(rows for part, rows in rows_of("puddlewick") if part.id == bottom.id)
    marks = iter([mark for mark in bottom.marks if mark.kind == "screw"])
    gaps = []
    for row in rows:
        stops = [row.line.project(shapely.Point(next(marks).points[0])) for _ in row.stops]
        gaps += [b - a for a, b in pairwise(stops)]
    assert boat.design.fasteners.spacing < max(gaps) < boat.design.fasteners.spacing + clearance(boat.design)


@pytest.mark.parametrize("name", BOATS)
def test_both_hands_are_screwed_alike(name):
    heads = {}
    for part, rows in rows_of(name):
        now = by_slug(boat_of(name).parts)[part.id.removeprefix(f"{part.design}-")]
        marks = iter([mark for mark in now.marks if mark.kind == "screw"])
        for row in rows:
            key = (part.id, row.guest)
            places = [axis(part, next(marks).points[0], row.length)[0, 0] for _ in row.stops]
            heads.setdefault(key, []).extend(places)
    twins = [key for key in heads if any(each.endswith("-port") for each in key)]
    assert bool(twins) == any("starboard" in each for key in heads for each in key)
    for host, guest in twins:
        # The blocks at the bow take the screws of both sides, and one has to make way.
        if not guest.endswith("-port"):
            continue
        port, starboard = (
            np.array(sorted(np.round(heads[key] * np.array([1.0, side, 1.0]), 3).tolist()))
            for key, side in (
                ((host, guest), 1.0),
                ((host.replace("-port", "-starboard"), guest.replace("-port", "-starboard")), -1.0),
            )
        )
        assert port == pytest.approx(starboard, abs=0.02), (host, guest)


def test_one_process_marks_the_same_places_as_two(monkeypatch):
    boat = boat_of("puddlewick")
    plain = [replace(part, marks=()) for part in boat.parts]
    shared = mark_parts(boat.hull, boat.arrangement, plain)
    monkeypatch.setattr("hullcut.two_hands.can_share", lambda: False)
    alone = mark_parts(boat.hull, boat.arrangement, plain)
    assert [part.marks for part in alone] == [part.marks for part in shared]
    assert [mark for _, mark, _ in marked(alone)] == [mark for _, mark, _ in marked(boat.parts)]


def test_where_screws_stand_too_close_for_others_those_are_left_out():
    """Screws through the sides every 12 mm leave no room between them for any through bottom or decks."""
    design = changed(sample("puddlewick"), fasteners={"spacing": 12.0})
    boat = build(design)
    screws = marked(boat.parts)
    assert near_pairs(screws, clearance(design) - BLUR) == []
    by_id = {part.id: part for part in boat.parts}
    prints = landings(boat.parts)
    rows = {part.id: screw_rows(design, part, prints[part.id], by_id) for part in boat.parts}
    for part in boat.parts:
        laid_here = sum(len(row.stops) for row in rows[part.id])
        kept = sum(host.id == part.id for host, _, _ in screws)
        assert kept == laid_here if part.family == "side" else kept <= laid_here
    assert len(screws) < sum(len(row.stops) for mine in rows.values() for row in mine)


@settings(max_examples=5, deadline=None, derandomize=True)
@given(designs())
def test_in_any_boat_no_two_screws_meet(design):
    hull, arrangement, parts, _ = taken(design)
    screws = marked(mark_parts(hull, arrangement, parts))
    assert near_pairs(screws, clearance(design) - BLUR) == []
