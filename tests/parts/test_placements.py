"""Where things go on a part: every print within the box or between the ends that are told."""

import functools

import numpy as np
import pytest
import shapely
from trial_boats import built

from hullcut.parts.lie import lie_of
from hullcut.parts.measures import measures_of, reading_step
from hullcut.parts.placements import placements


def own_name(name, part):
    """A thing's name without the side that tells it from its like."""
    names = {mark.name.removesuffix(f", {part.hand}") if part.hand else mark.name for mark in part.marks}
    while name not in names and ", " in name:
        name = name.rpartition(", ")[0]
    return name


@functools.cache
def told(name):
    boat = built(name)
    units = boat.design.units
    return [
        (part, found, placements(part, found, units)) for part in boat.parts for found in [measures_of(part, units)]
    ]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_every_print_and_hole_has_its_place(name):
    for part, _, placed in told(name):
        wanted = [
            mark for mark in part.marks if mark.kind in ("landing", "hole", "balance point", "waterline", "shaft")
        ]
        assert len(placed) == len(wanted)


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_places_agree_with_the_marks(name):
    step = reading_step(built(name).design.units)
    boxes = ends = 0
    for part, found, placed in told(name):
        marks = [mark for mark in part.marks if mark.kind == "landing"]
        for mark in marks:
            points = np.array(mark.points) - np.array(found.origin)
            low, high = points.min(axis=0), points.max(axis=0)
            area = shapely.Polygon(points)
            words = mark.name.removesuffix(f", {part.hand}") if part.hand else mark.name
            alike = [each for each in placed if own_name(each.name, part) == words and each.face == mark.face]

            def fits(each, area=area, low=low, high=high):
                if each.wheres == ("",):
                    return np.abs(np.array(each.rows[0]).T - [low, high]).max() <= step
                return all(
                    area.exterior.distance(shapely.Point(along[side], off[side])) <= step
                    for along, off in each.rows
                    for side in (0, 1)
                )

            fitting = next(each for each in alike if fits(each))
            boxes += len(fitting.rows) == 1
            if fitting.wheres[0] in ("left end", "lower end", "starboard end"):
                ends += 1
                one = [(along[0], off[0]) for along, off in fitting.rows]
                other = [(along[1], off[1]) for along, off in fitting.rows]
                drawn = shapely.Polygon([*one, *other[::-1]])
                assert drawn.is_valid
                for pair in zip(one, other, strict=True):
                    assert area.distance(shapely.Point(np.mean(pair, axis=0))) < step
                if len(fitting.rows) == 2:
                    # Its corners, joined, are the strip.
                    assert drawn.symmetric_difference(area).area < step * area.length
    assert boxes > 30
    assert ends >= 2


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_a_box_is_told_only_of_what_fills_it(name):
    """A strip that slopes or bends is never told by its box, which would be wider than the wood."""
    step = reading_step(built(name).design.units)
    for part, _, placed in told(name):
        by_name = {each.name: each for each in placed if each.wheres == ("",)}
        for mark in part.marks:
            words = mark.name.split(":")[0]
            words = words.removesuffix(f", {part.hand}") if part.hand else words
            # Two of one name may differ: a notched beam's print is told by its box.
            if mark.kind != "landing" or words not in by_name or part.family == "bulkhead":
                continue
            area = shapely.Polygon(mark.points)
            size = np.ptp(np.array(mark.points), axis=0)
            assert size.min() - area.area / size.max() <= 0.5 * step + 1e-9, (part.name, words)


def test_both_edges_of_a_cleat_stand_as_far_apart_at_its_ends_as_it_is_thick():
    side, _, placed = next(each for each in told("marshpenny") if each[0].id.endswith("side-port"))
    cleat = next(part for part, _, _ in told("marshpenny") if part.id.endswith("chine-cleat-fore-port"))
    assert side.hand == "port"
    rows = next(each for each in placed if each.name == "Chine cleat, fore")
    assert rows.wheres == ("left end", "middle", "right end")
    for where, ((x0, x1), (y0, y1)) in zip(rows.wheres, rows.rows, strict=True):
        if where != "middle":
            assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(cleat.thickness, abs=1.7)


def test_a_hand_goes_without_saying_on_a_part_that_has_one():
    names = {each.name for part, _, placed in told("bramblefin") if part.id.endswith("side-port") for each in placed}
    assert "Sheer cleat" in names
    assert not any("port" in name for name in names)


@pytest.mark.parametrize("name", ["bramblefin", "tansyfoot"])
def test_bolt_holes_stand_as_far_apart_on_a_pad_as_on_the_transom(name):
    def told_of(slug, word):
        placed = next(placed for part, _, placed in told(name) if part.id.endswith(slug))
        return [each.rows[0] for each in placed if each.name.startswith(word)]

    for slug, word in (("strut-pad", "strut bolt"), ("rudder-pad", "rudder bolt")):
        on_pad, on_transom = told_of(slug, word), told_of("-transom", word)
        assert len(on_pad) == len(on_transom) == 4
        for axis in (0, 1):
            assert np.ptp([row[axis] for row in on_pad]) == pytest.approx(np.ptp([row[axis] for row in on_transom]))


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_no_two_things_on_a_face_have_one_name(name):
    for part, _, placed in told(name):
        names = [(each.name, each.face) for each in placed if each.diameter is None]
        assert len(set(names)) == len(names), part.name


def test_things_of_one_name_are_told_apart_by_where_they_stand():
    shelf, _, placed = next(each for each in told("marshpenny") if each[0].id.endswith("-shelf"))
    rails = {each.name: np.array(each.rows).mean(axis=(0, 2)) for each in placed if "rail" in each.name}
    assert set(rails) == {
        f"Servo mount rail, {along}, {across}" for along in ("fore", "after") for across in ("port", "starboard")
    }
    assert lie_of(shelf).right == "bow"
    for across in ("port", "starboard"):
        assert rails[f"Servo mount rail, fore, {across}"][0] > rails[f"Servo mount rail, after, {across}"][0] + 10.0
    for along in ("fore", "after"):
        assert rails[f"Servo mount rail, {along}, port"][1] > rails[f"Servo mount rail, {along}, starboard"][1] + 10.0


def test_the_nose_block_stands_on_the_bottom_by_its_four_corners():
    """It is planed to the sides, which come closer to each other forward: after edge and fore edge differ."""
    bottom, found, placed = next(each for each in told("marshpenny") if each[0].id.endswith("-bottom"))
    block = next(each for each in placed if each.name == "Nose block")
    assert block.wheres == ("starboard end", "port end")
    corners = [(along[i], off[i]) for along, off in block.rows for i in (0, 1)]
    outline = shapely.Polygon(
        np.array(next(mark.points for mark in bottom.marks if mark.name == "Nose block")) - np.array(found.origin)
    )
    for corner in corners:
        assert outline.exterior.distance(shapely.Point(corner)) < reading_step("in")
    fore, aft = (
        [off for along, off in corners if abs(along - end) < 1.0] for end in (max(corners)[0], min(corners)[0])
    )
    assert len(fore) == len(aft) == 2
    assert abs(np.ptp(aft) - np.ptp(fore)) > 2.0


def test_ends_of_what_lies_across_the_bottom_are_starboard_and_port():
    _, _, placed = next(each for each in told("marshpenny") if each[0].id.endswith("-bottom"))
    point = next(each for each in placed if each.name == "balance point")
    assert point.wheres == ("starboard end", "port end")
    assert point.rows[0][1][0] < 0.0 < point.rows[1][1][0]
