"""Plots: round ticks, curves where their numbers are, nothing outside the ground, labels apart."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.drawing.paths import bounds
from hullcut.drawing.plots import Band, Bar, Curve, Level, Mark, Plot, bars_scene, plot_scene, ticks
from hullcut.drawing.scene import Line, Role, Shape, Text


@given(low=st.floats(-1e3, 1e3), span=st.floats(1e-2, 1e4))
@settings(max_examples=50, deadline=None, derandomize=True)
def test_ticks_are_round_and_inside(low, span):
    found = ticks(low, low + span)
    assert 2 <= len(found) <= 8
    assert all(low - 1e-6 * span <= value <= low + span + 1e-6 * span for value in found)
    step = found[1] - found[0]
    assert np.diff(found) == pytest.approx(step, rel=1e-6)
    mantissa = step / 10.0 ** np.floor(np.log10(step) + 1e-9)
    assert min(abs(mantissa - m) for m in (1.0, 2.0, 5.0, 10.0)) < 1e-6


def plot(**more):
    given = {
        "title": "Drag",
        "x_name": "speed, m/s",
        "y_name": "newtons",
        "x_range": (2.0, 12.0),
        "y_range": (0.0, 50.0),
        "curves": (Curve(((2.0, 10.0), (7.0, 30.0), (12.0, 80.0)), "likely"),),
    }
    return Plot(**{**given, **more})


def ends(scene, role):
    return [
        (segment.start, segment.end)
        for item in scene.items
        if isinstance(item, Shape) and item.role == role
        for path in item.paths
        for segment in path.segments
        if isinstance(segment, Line)
    ]


def at_ticks(scene, plot_, values):
    """Where values of x stand on paper, by the positions of the ticks' own numbers."""
    placed = {
        float(t.text): t.at[0] for t in scene.items if isinstance(t, Text) and t.anchor == "middle" and number(t.text)
    }
    known = sorted(placed)
    return np.interp(values, known, [placed[k] for k in known])


def number(text):
    return text.replace(".", "", 1).replace("-", "", 1).isdigit()


def test_a_curve_goes_through_its_points_and_is_cut_at_the_frame():
    scene = plot_scene(plot(), 150.0, 60.0)
    runs = ends(scene, Role.OUTLINE)
    x = at_ticks(scene, plot(), [2.0, 7.0])
    assert [runs[0][0][0], runs[0][1][0]] == pytest.approx(list(x))
    ys = {float(t.text): t.at[1] for t in scene.items if isinstance(t, Text) and t.anchor == "end" and number(t.text)}
    known = sorted(ys)
    step = (ys[known[-1]] - ys[known[0]]) / (known[-1] - known[0])
    assert runs[0][1][1] - runs[0][0][1] == pytest.approx(20.0 * step)
    # From 30 at 7 to 80 at 12 the curve passes 50 at 9.
    assert runs[-1][1][0] == pytest.approx(at_ticks(scene, plot(), [9.0])[0], abs=1e-6)
    top = max(y for _, (_, y) in ends(scene, Role.THIN))
    assert max(max(a[1], b[1]) for a, b in runs) <= top + 1e-9


def test_a_gap_in_a_curve_stays_open():
    scene = plot_scene(
        plot(curves=(Curve(((2.0, 5.0), (4.0, 6.0), (5.0, None), (6.0, 7.0), (8.0, 9.0)), ""),)), 150, 60
    )
    curve = next(item for item in scene.items if isinstance(item, Shape) and item.role == Role.OUTLINE)
    assert [len(path.segments) for path in curve.paths] == [1, 1]


def full_plot():
    return plot(
        bands=(Band(((2.0, 5.0, 15.0), (12.0, 40.0, 90.0)), "#d5ecf9", "band"),),
        levels=(Level(20.0, "engine × 0.35"), Level(21.0, "engine × 0.45"), Level(22.0, "engine × 0.55")),
        marks=(Mark(6.0, "6.0 m/s"), Mark(6.3, "6.3 m/s")),
        shaded=((2.0, 3.0), (9.0, 12.0)),
    )


def test_nothing_stands_outside_the_ground_and_no_label_on_another():
    scene = plot_scene(full_plot(), 150.0, 60.0)
    for item in scene.items:
        x0, y0, x1, y1 = bounds(item)
        assert x0 >= -0.01
        assert y0 >= -0.01
        assert x1 <= 150.01
        assert y1 <= 60.01
    boxes = [bounds(item) for item in scene.items if isinstance(item, Text)]
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            wide = min(a[2], b[2]) - max(a[0], b[0])
            tall = min(a[3], b[3]) - max(a[1], b[1])
            assert wide <= 0.0 or tall <= 0.25 * min(a[3] - a[1], b[3] - b[1]), (a, b)


def test_bars_stand_over_the_same_axis_as_a_plot():
    bars = bars_scene("Outside", (Bar("a", ((2.0, 4.0),)), Bar("b", ((9.0, 12.0),))), (2.0, 12.0), 150.0)
    scene = plot_scene(full_plot(), 150.0, 60.0)
    fills = [bounds(i) for i in bars.items if isinstance(i, Shape) and i.role == Role.FILL]
    wanted = at_ticks(scene, full_plot(), [2.0, 4.0, 9.0, 12.0])
    assert [fills[0][0], fills[0][2], fills[1][0], fills[1][2]] == pytest.approx(list(wanted))
    for item in bars.items:
        box = bounds(item)
        assert box[0] >= -0.01
        assert box[1] >= -0.01
        assert box[2] <= 150.01
        assert box[3] <= bars.height + 0.01
