"""What is asked again is answered from memory, and nobody can write into what others are given too."""

from dataclasses import dataclass, field

import numpy as np
import pytest

from hullcut.hull.known import Answers, kept
from hullcut.hull.spline_curve import spline_curve


@dataclass(frozen=True)
class Doubled:
    asked: list
    answers: Answers = field(default_factory=dict, init=False, repr=False, compare=False)

    @kept
    def double(self, values, more=0.0):
        self.asked.append(values)
        return 2.0 * np.asarray(values) + more

    @kept
    def both(self, values):
        return np.asarray(values) + 0.0, np.asarray(values) + 1.0


def test_the_same_is_reckoned_once_and_what_differs_anew():
    value = Doubled([])
    first = value.double(np.array([1.0, 2.0]))
    assert value.double(np.array([1.0, 2.0])) is first
    assert value.double([1.0, 2.0]) is first
    assert len(value.asked) == 1
    for other in (np.array([1.0, 2.5]), np.array([[1.0, 2.0]]), np.array([1, 2]), np.array([1.0])):
        np.testing.assert_array_equal(value.double(other), 2.0 * other)
    np.testing.assert_array_equal(value.double(np.array([1.0, 2.0]), 3.0), [5.0, 7.0])
    np.testing.assert_array_equal(value.double(np.array([1.0, 2.0]), more=4.0), [6.0, 8.0])
    assert len(value.asked) == 7
    # Another value has its own answers.
    assert Doubled([]).double(np.array([1.0, 2.0])) is not first


def test_nobody_writes_into_an_answer():
    value = Doubled([])
    with pytest.raises(ValueError, match="read-only"):
        value.double(np.array([1.0]))[0] = 5.0
    low, high = value.both(np.array([1.0]))
    for each in (low, high):
        with pytest.raises(ValueError, match="read-only"):
            each += 1.0


def test_a_curve_answers_alike_however_often_it_is_asked():
    points = np.array([[0.0, 0.0], [300.0, 4.0], [700.0, 30.0], [1000.0, 90.0]])
    x = np.linspace(0.0, 1000.0, 40)
    curve, fresh = spline_curve(points), spline_curve(points)
    asked_before = [curve.second_axis(x, inset) for inset in (0.0, 6.0, 0.0)]
    for answer, inset in zip(asked_before, (0.0, 6.0, 0.0), strict=True):
        np.testing.assert_array_equal(answer, fresh.second_axis(x, inset))
    assert asked_before[0] is asked_before[2]
    assert float(np.abs(asked_before[0] - asked_before[1]).min()) > 5.0
