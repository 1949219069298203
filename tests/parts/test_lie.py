"""How parts lie in their drawings agrees with where their corners stand in the boat."""

import numpy as np
import pytest
from trial_boats import built, by_slug

from hullcut.parts.lie import end_words, face_words, lie_of, towards_reader

AXES = {"stern": (0, -1), "bow": (0, 1), "starboard": (1, -1), "port": (1, 1), "down": (2, -1), "up": (2, 1)}


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_the_right_end_stands_where_it_is_said_to(name):
    for part in built(name).parts:
        lie = lie_of(part)
        points = np.array(part.true_outline)
        for axis, way in ((0, lie.right), (1, lie.up)):
            ends = part.panel.to_space(points[[np.argmin(points[:, axis]), np.argmax(points[:, axis])]], 0.0)
            place, sign = AXES[way]
            assert sign * (ends[1] - ends[0])[place] > 0.0, part.name
        middle = points.mean(axis=0)[None, :]
        near, far = (part.panel.to_space(middle, offset)[0] for offset in (0.0, 1.0 if lie.face == "outer" else -1.0))
        place, sign = AXES[lie.towards]
        assert sign * (far - near)[place] > 0.0, part.name


def test_faces_are_named_as_a_builder_says_them():
    parts = by_slug(built("marshpenny").parts)
    assert face_words(parts["fore-deck"], "inner") == "underside"
    assert face_words(parts["fore-deck"], "outer") == "upper face"
    for hand in ("port", "starboard"):
        assert face_words(parts[f"side-{hand}"], "inner") == "inner face"
        assert face_words(parts[f"side-{hand}"], "outer") == "outer face"
    assert face_words(parts["bottom"], "inner") == "inner, upper face"
    assert face_words(parts["transom"], "outer") == "outer, after face"
    assert face_words(parts["bulkhead"], "inner") == "forward face"


@pytest.mark.parametrize("name", ["bramblefin", "tansyfoot"])
def test_the_reader_stands_where_the_lie_says_at_the_corner(name):
    for part in built(name).parts:
        direction = towards_reader(part, (0.0, 0.0))
        place, sign = AXES[lie_of(part).towards]
        assert np.linalg.norm(direction) == pytest.approx(1.0)
        assert sign * direction[place] == pytest.approx(np.abs(direction).max())


def test_ends_are_named_in_one_word():
    assert [end_words(way) for way in AXES] == ["after", "fore", "starboard", "port", "lower", "upper"]
