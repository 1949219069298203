"""What the boat should do at speed: drag, power and trim with bands, where they can't be trusted, and pitches."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from hullcut.balance.run_checks import PORPOISING_PLAY
from hullcut.balance.running import EFFICIENCY, SLIP, pitch_for
from hullcut.balance.savitsky import TRIM_RANGE
from hullcut.drawing.pdf import SceneFlowable
from hullcut.drawing.plots import Band, Bar, Curve, Level, Mark, Plot, bars_scene, plot_scene
from hullcut.drawing.style import BLACK, BLUE, TINTS, VERMILLION
from hullcut.packet.document import bullet, paragraph
from hullcut.packet.organiser.pieces import numbers_table
from hullcut.packet.organiser.rows import ESTIMATE, running_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from hullcut.balance.running import Run
    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Scene
    from hullcut.packet.document import Frames, Styles

__all__ = ["flag_bars", "pitch_rows", "pitch_section", "running_plots", "running_section"]

_HEIGHT = 52.0
_SWEEP = "wetted to the bow's sweep"
# Beginnings of the flags that `balance.running` sets, and what they are called beside their bars.
_FLAGS = (
    ("no steady trim", "not yet planing"),
    ("speed coefficient", "speed coefficient"),
    ("trim outside", "trim under 2° or over 15°"),
    ("wetted length over", "over 4 beams wetted"),
    ("over ", "light boat over 6.5 m/s"),
    ("wetted length reaches", _SWEEP),
)


def running_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """The plots, and what they rest on."""
    runs = _shown(plan)
    bars = flag_bars(runs)
    story: list[Flowable] = [
        paragraph(running_words(plan), look.body),
        paragraph(ESTIMATE, look.small),
        *(SceneFlowable(scene, align="LEFT") for scene in running_plots(plan, frames.width, _HEIGHT)),
    ]
    if bars:
        title = "Outside the method's stated range (grey in the plots)"
        story.append(SceneFlowable(bars_scene(title, bars, _range(runs), frames.width), align="LEFT"))
    again = _wetted_again(bars)
    if again:
        story += [Spacer(0, 4), paragraph(again, look.small)]
    raised = (
        f"Trim before porpoising: the plot's dashed line is where bouncing begins; the check lets the trim pass it by "
        f"{(PORPOISING_PLAY - 1.0) * 100.0:.0f} %, for the line is an estimate too."
    )
    story += [Spacer(0, 4), paragraph(raised, look.small)]
    checks = [c for c in plan.checks if c.name in ("Trim before porpoising", "Bow rise", "Wetted length at that speed")]
    story += [bullet(f"{c.name}: {c.value:.1f} {c.unit}; {c.advice} ({c.source}).", look.small) for c in checks]
    return story


def _shown(plan: BoatPlan) -> tuple[Run, ...]:
    """The runs up to a little over the greatest speed reached."""
    running = plan.balance.running
    top = (running.reached.high if running.reached is not None else 8.0) + 1.0
    return tuple(run for run in running.runs if run.speed <= top)


def _range(runs: Sequence[Run]) -> tuple[float, float]:
    return runs[0].speed, runs[-1].speed


def flag_bars(runs: Sequence[Run]) -> tuple[Bar, ...]:
    """For each kind of flag, the speeds at which it is set."""
    found = []
    for start, name in _FLAGS:
        spans = _spans(runs, [any(flag.startswith(start) for flag in run.flags) for run in runs])
        if spans:
            found.append(Bar(name, spans))
    return tuple(found)


def _wetted_again(bars: Sequence[Bar]) -> str:
    """What is said of a boat that runs fast and flat enough to wet the sweep of its bow once more; empty for others."""
    for bar in bars:
        if bar.name == _SWEEP and len(bar.spans) > 1:
            return (
                f"From {bar.spans[-1][0]:.1f} m/s on the water reaches the sweep of the bow again: the faster the "
                "boat, the flatter it runs."
            )
    return ""


def _spans(runs: Sequence[Run], holds: Sequence[bool]) -> tuple[tuple[float, float], ...]:
    """Stretches of speed, half a step to either side of the runs for which something holds."""
    half = (runs[1].speed - runs[0].speed) / 2.0
    low, high = _range(runs)
    spans: list[tuple[float, float]] = []
    for held, group in itertools.groupby(zip(runs, holds, strict=True), key=lambda pair: pair[1]):
        if held:
            speeds = [run.speed for run, _ in group]
            spans.append((max(speeds[0] - half, low), min(speeds[-1] + half, high)))
    return tuple(spans)


def running_plots(plan: BoatPlan, width: float, height: float) -> tuple[Scene, Scene, Scene]:
    """Drag, power and trim against speed, each a scene of the given size, mm."""
    running, runs = plan.balance.running, _shown(plan)
    known = [run for run in runs if run.drag is not None and run.power is not None]
    shaded = _spans(runs, [bool(run.flags) for run in runs])
    x_range = _range(runs)
    marks = (
        () if running.reached is None else (Mark(running.reached.likely, f"{running.reached.likely:.1f} m/s", BLUE),)
    )
    drag = [(r.speed, r.drag.low, r.drag.likely, r.drag.high) for r in known if r.drag is not None]
    power = [(r.speed, r.power.low, r.power.likely, r.power.high) for r in known if r.power is not None]
    watts = plan.design.engine.power
    given = tuple(share * watts for share in EFFICIENCY)
    trims = [run.trim for run in runs if run.trim is not None]
    steepest = max([*trims, 4.0]) * 1.25
    return (
        plot_scene(
            _banded("Drag", "newtons, with fin, strut, shaft, rudder and air", x_range, drag, shaded, marks, 0.0),
            width,
            height,
        ),
        plot_scene(
            _banded(
                "Power",
                "watts that drag takes; dashed, what the engine gives through the propeller",
                x_range,
                power,
                shaded,
                marks,
                given[2],
                tuple(
                    Level(value, f"engine × {share:g}", VERMILLION)
                    for share, value in zip(EFFICIENCY, given, strict=True)
                ),
            ),
            width,
            height,
        ),
        plot_scene(
            Plot(
                "Trim",
                "speed, m/s",
                "degrees by the stern; dashed, where bouncing (porpoising) begins",
                x_range,
                (0.0, steepest),
                curves=(
                    Curve(tuple((run.speed, run.porpoising) for run in runs), "bounces above", VERMILLION, dashed=True),
                    Curve(tuple((run.speed, run.trim) for run in runs), "trim"),
                ),
                levels=(Level(TRIM_RANGE[0], "method from 2° up"),),
                marks=marks,
                shaded=shaded,
            ),
            width,
            height,
        ),
    )


def _banded(
    title: str,
    y_name: str,
    x_range: tuple[float, float],
    rows: Sequence[tuple[float, float, float, float]],
    shaded: tuple[tuple[float, float], ...],
    marks: tuple[Mark, ...],
    reach: float,
    levels: tuple[Level, ...] = (),
) -> Plot:
    """A plot of low, likely and high against speed."""
    top = max([reach, *(high for *_, high in rows)], default=1.0) * 1.05 or 1.0
    bands = (Band(tuple((x, low, high) for x, low, _, high in rows), TINTS[0], "band"),) if rows else ()
    curves = (Curve(tuple((x, middle) for x, _, middle, _ in rows), "likely", BLACK),) if rows else ()
    return Plot(title, "speed, m/s", y_name, x_range, (0.0, top), bands, curves, levels, marks, shaded)


def pitch_rows(plan: BoatPlan, turns: Sequence[float]) -> list[tuple[float, list[tuple[float, float]]]]:
    """Speeds about the one reached, each with least and greatest pitch, mm, for each number of turns."""
    reached = plan.balance.running.reached
    low, high = (4.0, 10.0) if reached is None else (max(3.0, reached.low - 2.0), reached.high + 1.0)
    speeds = [float(v) for v in range(int(low), int(high) + 1)]
    return [(v, [(pitch_for(v, rpm, SLIP[0]), pitch_for(v, rpm, SLIP[1])) for rpm in turns]) for v in speeds]


def pitch_section(_: OrderPlan, plan: BoatPlan, frames: Frames, look: Styles) -> list[Flowable]:
    """Which pitch gives which speed at which turns."""
    rpm = plan.design.engine.rpm
    turns = [round(share * rpm / 100.0) * 100.0 for share in (0.7, 0.8, 0.9, 1.0, 1.1)]
    rows = [
        (f"{speed:.0f} m/s ({speed * 2.236936:.0f} mph)", *(f"{low:.0f} to {high:.0f}" for low, high in cells))
        for speed, cells in pitch_rows(plan, turns)
    ]
    heads = ("speed", *(f"{each:.0f} turns a minute" for each in turns))
    rest = (frames.width - 34.0) / len(turns)
    words = (
        f"Pitch in mm, with a slip from {SLIP[0]:g} (first figure) to {SLIP[1]:g} (second), usual of small surface "
        "propellers, from memory. Pitch = speed × 60,000 / (turns × (1 - slip)). Start with the smaller one: it loads "
        "the engine less."
    )
    slip = plan.balance.running.slip
    story: list[Flowable] = [paragraph(words, look.body)]
    if slip is not None and plan.design.drive.pitch is not None:
        told = f"The design's own propeller, {plan.design.drive.pitch:.0f} mm, would slip {slip * 100.0:.0f} %."
        story.append(paragraph(told, look.body))
    return [KeepTogether([*story, Spacer(0, 3), numbers_table(heads, rows, (34.0, *[rest] * len(turns)), look)])]
