"""Bevels: told along every edge, and as a shop reads them."""

import dataclasses

import numpy as np
import pytest
from trial_boats import built, by_slug

from hullcut.parts.bevels import COLUMNS, bevel_at, bevel_rows, bevel_words, bevels_of, shop_reading
from hullcut.parts.values import BevelAt, Edge


def bevel(part, edge):
    return next(each for each in bevels_of(part) if each.edge == edge)


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_every_bevelled_edge_is_told_and_no_square_one(name):
    for part in built(name).parts:
        for edge in part.edges:
            assert bool(edge.bevels) == (edge.bevel > 0.0)
            if edge.bevels:
                greatest = max(edge.bevels, key=lambda at: abs(at.degrees))
                assert abs(greatest.degrees) == pytest.approx(edge.bevel, abs=0.05)
                assert (greatest.degrees > 0.0) == (edge.long_face == "outer")


def test_upright_sides_have_square_edges():
    sides = [part for part in built("bramblefin").parts if part.family == "side"]
    assert [bevels_of(part) for part in sides] == [(), ()]


def test_a_changing_bevel_is_told_at_every_station_from_aft_forward():
    for hand in ("port", "starboard"):
        part = by_slug(built("marshpenny").parts)[f"side-{hand}"]
        readings = bevel(part, "lower").readings
        stations = [mark for mark in part.marks if mark.kind == "station"]
        assert [each.place for each in readings] == ["aft", *(f"station {mark.name}" for mark in stations), "fore"]
        degrees = [each.degrees for each in readings]
        assert degrees[0] == pytest.approx(10.0, abs=0.01)
        assert np.diff(degrees).min() > -0.05
        assert degrees[-1] > 14.0
        assert {each.long_face for each in readings} == {"inner"}


def test_a_bevel_is_the_angle_between_the_two_parts_that_meet():
    """Along the chine, the side's own normal and the bottom's, by differences of each chart, give the same angle."""
    boat = built("marshpenny")
    parts = by_slug(boat.parts)
    side, bottom = parts["side-port"], parts["bottom"]
    joint = next(each for each in boat.joints if each.name == "chine, port")
    edge = next(each for each in side.edges if each.name == "lower")
    for on_side, on_bottom in zip(joint.a.line[5::25], joint.b.line[5::25], strict=True):
        angle = np.degrees(np.arcsin(abs(normal(side.panel, on_side) @ normal(bottom.panel, on_bottom))))
        told, gap = bevel_at(edge, *on_side)
        assert gap < 2.5  # the joint lies on one face, the edge is told on the longer one
        assert abs(told) == pytest.approx(angle, abs=0.15)


def normal(panel, flat):
    corners = panel.to_space(np.array([flat, (flat[0] + 0.01, flat[1]), (flat[0], flat[1] + 0.01)]), 0.0)
    found = np.cross(corners[1] - corners[0], corners[2] - corners[0])
    return found / np.linalg.norm(found)


def test_a_bevel_between_told_places_runs_evenly():
    edge = Edge("lower", 0, 1, 12.0, "outer", (BevelAt(0.0, 0.0, -4.0), BevelAt(100.0, 0.0, 12.0)))
    assert bevel_at(edge, 25.0, 0.0) == pytest.approx((0.0, 0.0))
    assert bevel_at(edge, 50.0, 3.0) == pytest.approx((4.0, 3.0))
    assert bevel_at(edge, 140.0, 0.0) == pytest.approx((12.0, 40.0))


def test_the_offset_is_read_over_the_thickness():
    side = by_slug(built("marshpenny").parts)["side-port"]
    reading = bevel(side, "sheer").readings[0]
    assert reading.offset == pytest.approx(side.thickness * np.tan(np.radians(reading.degrees)))
    assert shop_reading(25.4 * 5 / 32 + 0.1, "in") == "5/32 in (4.1 mm)"
    assert shop_reading(4.1, "mm") == "4.0 mm"


def test_rows_and_words_are_ready_for_paper():
    parts = built("marshpenny").parts
    rows = bevel_rows(parts, "in")
    assert all(len(row) == len(COLUMNS) for row in rows)
    assert ("Side, port", "sheer", "all along", "10.0°", "1/32 in (1.1 mm)", "outer") in rows
    words = bevel_words(by_slug(parts)["side-port"], "in")
    assert "sheer: bevel 10.0°, 1/32 in (1.1 mm), outer face longer" in words
    assert any(line.startswith("lower: bevel 10.0° to 14.") for line in words)


def test_the_longer_face_is_named_as_a_builder_says_it():
    parts = by_slug(built("marshpenny").parts)
    told = {slug: " ".join(bevel_words(part, "in")) for slug, part in parts.items()}
    assert "upper face longer" in told["nose-block"]
    assert "underside longer" in told["knee-port"]
    assert "forward face longer" in told["engine-plate"]
    assert "inner face longer" in told["transom"]
    # The nose block is planed away below: its cut outline is that of its upper face.
    block = parts["nose-block"]
    upper = np.vstack([np.array(edge.outer) for edge in block.edges])
    assert np.ptp(upper, axis=0) == pytest.approx(np.ptp(np.array(block.outline), axis=0), abs=0.1)


def test_bevels_lie_on_the_finished_edge():
    for part in built("marshpenny").parts:
        outline = np.array(part.true_outline)
        low, high = outline.min(axis=0) - 9.0, outline.max(axis=0) + 9.0
        for edge in part.edges:
            for at in edge.bevels:
                assert low[0] <= at.x <= high[0]
                assert low[1] <= at.y <= high[1]


def test_a_part_without_bevels_has_no_rows():
    part = dataclasses.replace(by_slug(built("bramblefin").parts)["side-port"])
    assert bevel_rows([part], "mm") == ()
    assert bevel_words(part, "mm") == ()
