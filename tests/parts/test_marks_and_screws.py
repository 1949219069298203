"""Marks lie on their parts; screws are laid in what they hold, no farther apart than the design says."""

import numpy as np
import pytest
import shapely
from trial_boats import NAMES, built, by_slug, changed, landings, sample

from hullcut.parts.marking import mark_parts, station_pitch
from hullcut.parts.screws import screw_rows
from hullcut.pipeline import build
from hullcut.stock.fasteners import screw


@pytest.mark.parametrize("name", NAMES)
def test_every_mark_lies_on_its_part(name):
    for part in built(name).parts:
        outline = shapely.Polygon(part.outline).buffer(1e-6)
        true = shapely.Polygon(part.true_outline).buffer(1e-6)
        assert {"name"} <= {mark.kind for mark in part.marks}
        for mark in part.marks:
            shape = shapely.Point(mark.points[0]) if len(mark.points) == 1 else shapely.LineString(mark.points)
            on = outline if mark.kind in ("true line", "name", "face", "grain") else true
            assert on.covers(shape), (part.id, mark.kind, mark.name)


@pytest.mark.parametrize("name", NAMES)
def test_grain_arrows_point_along_the_grain(name):
    for part in built(name).parts:
        arrows = [mark for mark in part.marks if mark.kind == "grain"]
        assert len(arrows) == (0 if part.grain == "any" else 1)
        for arrow in arrows:
            step = np.abs(np.array(arrow.points[1]) - np.array(arrow.points[0]))
            assert step[0 if part.grain == "along" else 1] > 3.0
            assert step[1 if part.grain == "along" else 0] == 0.0


@pytest.mark.parametrize("name", NAMES)
def test_stations_stand_square_across_the_boat_at_their_pitch(name):
    boat = built(name)
    pitch = station_pitch(boat.design.units)
    assert pitch == 101.6
    for slug in ("side-port", "side-starboard", "bottom", "fore-deck"):
        part = by_slug(boat.parts)[slug]
        stations = [mark for mark in part.marks if mark.kind == "station"]
        assert len(stations) >= 3
        # Drawn for the inner face, or for the lower one of a deck.
        half = part.thickness / 2.0
        for mark in stations:
            space = part.panel.to_space(np.array(mark.points), -half)
            assert np.abs(space[:, 0] - int(mark.name) * pitch).max() < 0.02


@pytest.mark.parametrize("name", NAMES)
def test_the_centre_line_is_the_boats(name):
    for slug in ("bottom", "transom", "bulkhead", "fore-deck"):
        part = by_slug(built(name).parts)[slug]
        lines = [mark for mark in part.marks if mark.kind == "centre line"]
        assert lines
        for mark in lines:
            assert np.abs(part.panel.to_space(np.array(mark.points), 0.0)[:, 1]).max() < 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_the_balance_point_is_marked_at_its_place(name):
    boat = built(name)
    for slug in ("bottom", "side-port", "side-starboard"):
        part = by_slug(boat.parts)[slug]
        mark = next(mark for mark in part.marks if mark.kind == "balance point")
        space = part.panel.to_space(np.array(mark.points), -part.thickness / 2.0)
        assert np.abs(space[:, 0] - boat.arrangement.balance_x).max() < 0.02


@pytest.mark.parametrize("name", NAMES)
def test_the_shaft_slot_is_marked_where_the_shaft_passes(name):
    boat = built(name)
    bottom = by_slug(boat.parts)["bottom"]
    slot = next(mark for mark in bottom.marks if mark.kind == "slot")
    space = bottom.panel.to_space(np.array(slot.points), 0.0)
    shaft = boat.arrangement.shaft
    # The places are reckoned on a level bottom; one through points has a run that is straight but not quite level.
    level = 1e-6 if boat.design.hull.offsets is None else 1e-3
    assert space[:, 0].min() == pytest.approx(shaft.slot_from, abs=level)
    assert space[:, 0].max() == pytest.approx(shaft.slot_to, abs=level)
    assert np.ptp(space[:, 1]) == pytest.approx(boat.design.drive.tube_diameter, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_screws_are_laid_in_their_landings_and_no_farther_apart_than_asked(name):
    boat = built(name)
    design = boat.design
    prints = landings(boat.parts)
    by_id = {part.id: part for part in boat.parts}
    count = 0
    for part in boat.parts:
        for landing in prints[part.id]:
            rows = screw_rows(design, part, [landing], by_id)
            places = [mark.points[0] for row in rows for mark in row.marks()]
            if not places:
                continue
            ring = shapely.Polygon(landing.outline)
            middle = shapely.LineString(landing.middle)
            along = np.array([middle.project(shapely.Point(place)) for place in places])
            assert all(ring.covers(shapely.Point(place)) for place in places)
            assert np.all(np.diff(along) > 0.0)
            assert np.diff(along).max(initial=0.0) <= design.fasteners.spacing + 1e-9
            # No end of a cleat is left farther from a screw than half a space and the end distance.
            spare = design.fasteners.spacing / 2.0 + screw(design.fasteners.gauge).end_distance + 1e-9
            assert along[0] <= spare
            assert middle.length - along[-1] <= spare
            count += len(places)
    marked = [mark for part in boat.parts for mark in part.marks if mark.kind == "screw"]
    assert count == len(marked)
    assert all(mark.diameter == screw(design.fasteners.gauge).clearance.diameter for mark in marked)
    # Cleats of a quarter inch are too thin for screws; the few left go into beams and bearers.
    assert count > (60 if design.woods.cleat.thickness > 9.0 else 15)


@pytest.mark.parametrize("name", NAMES)
def test_a_screw_leaves_wood_between_its_hole_and_the_edge(name):
    for part in built(name).parts:
        edge = shapely.Polygon(part.true_outline).exterior
        for mark in part.marks:
            if mark.kind == "screw":
                assert edge.distance(shapely.Point(mark.points[0])) - mark.diameter / 2.0 > 2.5, (part.id, mark.points)


@pytest.mark.parametrize("name", NAMES)
def test_no_screw_comes_out_behind_and_each_has_a_grip(name):
    boat = built(name)
    by_id = {part.id: part for part in boat.parts}
    longest = boat.design.fasteners.length
    for host_id, found in landings(boat.parts).items():
        host = by_id[host_id]
        for landing in found:
            guest = by_id[landing.guest]
            for mark in (mark for row in screw_rows(boat.design, host, [landing], by_id) for mark in row.marks()):
                assert host.thickness + 6.0 < mark.length <= longest
                # From the outer face straight in: the point is still inside the wood that it holds.
                tip = host.panel.to_space(np.array(mark.points), host.thickness / 2.0 - mark.length)
                inside = False
                for place in guest.places:
                    x, y, off = guest.panel.to_flat(tip - np.array(place))[0]
                    ground = shapely.Polygon(guest.true_outline).buffer(0.1)
                    inside |= bool(ground.covers(shapely.Point(x, y)) and abs(off) < guest.thickness / 2.0)
                assert inside, (host.id, guest.id, mark.length)


@pytest.mark.parametrize("name", NAMES)
def test_sides_bottom_and_decks_are_all_screwed_to_their_cleats(name):
    boat = built(name)
    parts = by_slug(boat.parts)
    if boat.design.woods.cleat.thickness < 9.0:
        for slug in ("side-port", "side-starboard", "transom"):
            assert not [mark for mark in parts[slug].marks if mark.kind == "screw"], slug
        return
    for slug, least in (("side-port", 16), ("side-starboard", 16), ("bottom", 16), ("fore-deck", 8), ("transom", 6)):
        assert len([mark for mark in parts[slug].marks if mark.kind == "screw"]) >= least, slug


def test_closer_spacing_means_more_screws():
    few = built("bramblefin")
    close = build(changed(sample("bramblefin"), fasteners={"spacing": 40.0}))

    def screws(boat):
        return sum(mark.kind == "screw" for part in boat.parts for mark in part.marks)

    assert screws(close) > 1.4 * screws(few)


def test_marking_changes_nothing_but_marks():
    boat = built("bramblefin")
    plain = [part for part in boat.parts if part.family == "knee"]
    marked = mark_parts(boat.hull, boat.arrangement, plain)
    for before, after in zip(plain, marked, strict=True):
        assert after.outline == before.outline
        assert after.marks[: len(before.marks)] == before.marks
