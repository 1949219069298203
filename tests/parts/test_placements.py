"""Where things go on a part: every print within the box or between the ends that are told."""

import functools

import numpy as np
import pytest
import shapely
from trial_boats import built

from hullcut.parts.measures import measures_of, reading_step
from hullcut.parts.placements import placements


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


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_places_agree_with_the_marks(name):
    step = reading_step(built(name).design.units)
    boxes = ends = 0
    for part, found, placed in told(name):
        marks = [mark for mark in part.marks if mark.kind == "landing"]
        for mark in marks:
            points = np.array(mark.points) - np.array(found.origin)
            low, high = points.min(axis=0), points.max(axis=0)
            words = mark.name.removesuffix(f", {part.hand}") if part.hand else mark.name
            rows = [each.rows for each in placed if each.name == words and each.face == mark.face]
            spans = [np.array(each) for each in rows]
            near = [
                np.abs(np.array([each[..., 0].min(axis=0), each[..., 1].max(axis=0)]) - [low, high]) for each in spans
            ]
            boxes += any(len(each) == 1 and off.max() <= step for each, off in zip(rows, near, strict=True))
            if any(len(each) == 2 for each in rows):
                # An end of a sloping strip is as wide there as the strip.
                ends += 1
                area = shapely.Polygon(points)
                axis = 0 if np.ptp(points[:, 0]) >= np.ptp(points[:, 1]) else 1
                for span in next(each for each in rows if len(each) == 2):
                    middle = [sum(side) / 2.0 for side in span]
                    middle[axis] += 0.5 if span[axis][0] < (low + high)[axis] / 2.0 else -0.5
                    assert area.distance(shapely.Point(middle)) < 2.0 * step
            else:
                assert any(off.max() <= step for off in near)
    assert boxes > 30
    assert ends >= 2


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
