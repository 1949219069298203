"""At rest and swamped: flotation, freeboard along the boat, the righting arm, foam."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from reportlab.platypus import KeepTogether, Spacer

from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.plots import Curve, Level, Mark, Plot, plot_scene
from hullcut.drawing.style import BLACK, BLUE, VERMILLION
from hullcut.lengths import both
from hullcut.packet.document import paragraph
from hullcut.packet.organiser.pieces import numbers_table, rows_table
from hullcut.packet.organiser.rows import foam_rows, rest_rows

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Scene
    from hullcut.packet.document import Frames, Styles

__all__ = ["foam_section", "rest_section", "righting_plot"]

_STATIONS = 6


def rest_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Flotation, freeboard and stability."""
    story: list[Flowable] = [rows_table(rest_rows(plan), frames, look, ("at rest", "half a tank"))]
    lies = plan.balance.flotation
    if lies is None:
        return story
    x = np.linspace(0.0, plan.hull.length, _STATIONS)
    heights = plan.hull.sheer_height(x) - lies.line[0] - lies.line[1] * x
    units = plan.design.units
    heads = ("from the transom", *(both(float(each), units) for each in x))
    row = ("freeboard, upright", *(both(float(each), units) for each in heights))
    rest = (frames.width - 22.0) / _STATIONS
    story += [Spacer(0, 5), numbers_table(heads, [row], (22.0, *[rest] * _STATIONS), look), Spacer(0, 5)]
    if lies.arms:
        words = (
            "Righting arm: how far buoyancy stands to the low side of the weight; the broken line begins with the "
            "slope GM. Reckoned from the hull's outside with the decks tight, free to trim; once water comes in, it no "
            "longer holds. Never trust a boat to right itself."
        )
        plot = SceneFlowable(righting_plot(plan, frames.width, 70.0), align="LEFT")
        story.append(KeepTogether([plot, paragraph(words, look.small)]))
    return story


def righting_plot(plan: BoatPlan, width: float, height: float) -> Scene:
    """Righting arm against heel, with its slope at the start, where the middle floods and where it goes over."""
    lies = plan.balance.flotation
    assert lies is not None
    arms = tuple((arm.heel, arm.arm) for arm in lies.arms)
    low, high = min(arm for _, arm in arms), max(arm for _, arm in arms)
    room = max(high - low, 1.0) * 0.08
    marks = [Mark(lies.floods, f"middle floods {lies.floods:.0f}°", BLUE)] if lies.floods > 0.0 else []
    if lies.gm > 0.0 and lies.vanishes < 180.0:
        marks.append(Mark(lies.vanishes, f"goes over {lies.vanishes:.0f}°", VERMILLION))
    return plot_scene(
        Plot(
            title="Righting arm",
            x_name="heel, degrees",
            y_name="mm",
            x_range=(0.0, 180.0),
            y_range=(low - room, high + room),
            curves=(
                Curve(((0.0, 0.0), (math.degrees(1.0), lies.gm)), "", VERMILLION, dashed=True),
                Curve(arms, "", BLACK),
            ),
            levels=(Level(0.0, ""),),
            marks=tuple(marks),
        ),
        width,
        height,
    )


def foam_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The foam that keeps a swamped boat afloat, and where it goes."""
    return [
        rows_table(foam_rows(plan), frames, look, ("swamped", "upright and upside down, the worse of both")),
        paragraph(f"Sources: {plan.balance.foam.source}.", look.small),
    ]
