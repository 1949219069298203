"""The batten line is the natural cubic spline.

A thin beam held at points by forces alone has bending moments that run linearly between them and vanish at its ends:
small deflections are a cubic spline with natural ends (J. C. Holladay, 1957; C. de Boor, A Practical Guide to Splines,
from memory). Held against SciPy's, and against its error bound for a circular arc.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from hullcut.parts.measures import batten


@given(st.lists(st.tuples(st.floats(1.0, 60.0), st.floats(-40.0, 40.0)), min_size=3, max_size=14))
def test_it_is_the_natural_spline_of_another_library(steps):
    u = np.cumsum([step for step, _ in steps])
    v = np.array([value for _, value in steps])
    line = batten(np.column_stack([u, v]))
    other = CubicSpline(u, v, bc_type="natural")
    assert line[:, 1] == pytest.approx(other(line[:, 0]), abs=1e-8 * (1.0 + np.abs(v).max()) * 100.0)


@pytest.mark.parametrize("radius", [400.0, 700.0, 1500.0])
def test_a_batten_follows_an_arc_as_closely_as_theory_says(radius):
    """Inside, a cubic spline errs by at most 5/384 h^4 times the fourth derivative; at a free end by h^2 / 8 of the
    arc's curvature times 0.27 or less, since there it cannot bend (bound of the first span, worked out for equal
    spacing)."""
    h = 50.8
    u = np.arange(-4, 5) * h
    arc = np.sqrt(radius**2 - u**2) - radius
    line = batten(np.column_stack([u, arc]))
    error = np.abs(line[:, 1] - (np.sqrt(radius**2 - line[:, 0] ** 2) - radius))
    middle = np.abs(line[:, 0]) < 1.01 * h
    assert error[middle].max() < 0.02 * h**2 / radius
    steepest = radius**2 / (radius**2 - u[-1] ** 2) ** 1.5
    assert error.max() < 0.27 * 1.5 * h**2 / 8.0 * steepest
