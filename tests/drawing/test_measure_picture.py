"""Numbers on the drawings of the pages of measures: every one there, out of the wood, read by itself."""

import numpy as np
import pytest
import shapely
from sample_hulls import boat_of

from hullcut.drawing.measure_pages import measures_pdf
from hullcut.drawing.measure_picture import part_picture
from hullcut.drawing.paths import flatten, text_box
from hullcut.drawing.scene import Role, Text
from hullcut.parts.measures import is_rectangle, measures_of

WIDTH, HEIGHT = 187.9, 85.0


def pictures(name):
    boat = boat_of(name)
    for part in boat.parts:
        if is_rectangle(part):
            continue
        found = measures_of(part, boat.design.units)
        points = list(dict.fromkeys(point for edge in found.edges for point in edge.points))
        numbers = [(point, number) for number, point in enumerate(points, start=1)]
        yield part, numbers, *part_picture(part, found, numbers, WIDTH, HEIGHT)


def wood_of(part, items):
    shape = next(item for item in items if getattr(item, "ref", "") == part.id)
    return shapely.Polygon(list(flatten(shape.paths[0], 0.05)))


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_every_point_has_its_number_within_the_drawing(name):
    for part, numbers, items, tall in pictures(name):
        texts = [item for item in items if isinstance(item, Text)]
        told = sorted(int(item.text) for item in texts if item.anchor == "middle")
        assert told == [number for _, number in numbers], part.name
        assert tall <= HEIGHT + 0.1 or tall <= 20.0
        for item in texts:
            (x0, y0), _, (x1, y1), _ = text_box(item)
            assert 0.0 <= x0 < x1 <= WIDTH, part.name
            assert -tall <= y0 < y1 <= 0.0, part.name


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_two_numbers_are_not_read_as_one(name):
    for part, _, items, _ in pictures(name):
        boxes = [shapely.Polygon(text_box(item)).bounds for item in items if isinstance(item, Text)]
        for index, a in enumerate(boxes):
            for b in boxes[:index]:
                beside = max(a[0], b[0]) - min(a[2], b[2])
                above = max(a[1], b[1]) - min(a[3], b[3])
                assert beside >= 1.5 or above >= -0.01, part.name


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_numbers_stand_out_of_the_wood_on_their_own_points_side(name):
    count = inside = 0
    for part, _, items, _ in pictures(name):
        wood = wood_of(part, items)
        dots = next(item for item in items if item.role is Role.OUTLINE and getattr(item, "fill", None) == "#000000")
        spots = [np.mean(list(flatten(path, 0.05)), axis=0) for path in dots.paths]
        for item in items:
            if isinstance(item, Text) and item.anchor == "middle":
                spot = spots[int(item.text) - 1]
                middle = shapely.Polygon(text_box(item)).centroid
                count += 1
                # Between a point and its number there is no wood, so that it is not on the far side of a thin strip.
                inside += shapely.LineString([spot, middle]).intersection(wood).length > 1.0
    assert count > 100
    assert inside <= 0.03 * count


def test_the_drawing_of_a_wide_part_is_as_wide_as_the_page_allows():
    part = next(each for each in boat_of("marshpenny").parts if each.id.endswith("side-port"))
    items = next(items for each, _, items, _ in pictures("marshpenny") if each is part)
    x0, _, x1, _ = wood_of(part, items).bounds
    assert x1 - x0 == pytest.approx(WIDTH - 16.0, abs=0.1)


def test_the_pages_are_the_same_each_time():
    boat = boat_of("tansyfoot")
    one, other = (measures_pdf(boat.parts, "in", "a4", "trial") for _ in range(2))
    assert one == other
