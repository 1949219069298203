"""The hull form: outside sizes to the faces of every panel, by wood thickness and laps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.errors import BuildError, Fault
from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.fair_curve import FairCurve, Sweep, fair_curve, sweep
from hullcut.hull.slope_panel import SlopePanel, slope_panel

if TYPE_CHECKING:
    from hullcut.design.values import Design

__all__ = ["Hull", "shape"]

Array = NDArray[np.float64]

# Two samples of a curved edge differ by at most this turn, radians: a chord then falls short of its arc by less than
# 2e-7 of its length.
EDGE_TURN = 0.002
# Nor do they stand nearer than this share of the length: parallels to an edge would else run backward between them.
LEAST_STEP = 1e-4


@dataclass(frozen=True, slots=True)
class Hull:
    """The hull in space.

    Attributes:
        design: what was asked for.
        plan: the sheer of the port side's outer face, in x and y, running forward.
        profile: the bottom's outer face, in x and z, running forward.
        bottom_sweep: how the bottom rises to the sheer.
        bow_taper: how the plan narrows to the bow.
        stern_taper: how the plan narrows to the transom.
        bottom: the bottom's panel.
        side_port, side_starboard: the sides' panels.
    """

    design: Design
    plan: FairCurve
    profile: FairCurve
    bottom_sweep: Sweep
    bow_taper: Sweep
    stern_taper: Sweep
    bottom: CylinderPanel
    side_port: SlopePanel
    side_starboard: SlopePanel

    @property
    def length(self) -> float:
        """Outside length, mm."""
        return self.design.hull.length

    @property
    def depth(self) -> float:
        """Height of the sheer, mm."""
        return self.design.hull.depth

    @property
    def flare(self) -> float:
        """Flare of the sides, radians."""
        return float(np.radians(self.design.hull.flare))

    @property
    def side_thickness(self) -> float:
        """Of the sides, mm."""
        return self.design.woods.side.thickness

    @property
    def bottom_thickness(self) -> float:
        """Of the bottom, mm."""
        return self.design.woods.bottom.thickness

    @property
    def transom_thickness(self) -> float:
        """Of the transom, mm."""
        return self.design.woods.transom.thickness

    @property
    def roof(self) -> float:
        """Height of the decks' lower face, mm."""
        laps_over = self.design.laps.deck == "over"
        return self.depth if laps_over else self.depth - self.design.woods.deck.thickness

    @property
    def chine_inset(self) -> float:
        """Depth inside the bottom's outer face of the face on which the sides stand, mm."""
        return self.bottom_thickness if self.design.laps.bottom == "under" else 0.0

    @property
    def side_aft(self) -> float:
        """X of the sides' after ends, mm."""
        return 0.0 if self.design.laps.transom == "between" else self.transom_thickness

    @property
    def bottom_aft(self) -> float:
        """X of the bottom's after edge, mm."""
        return 0.0 if self.design.laps.bottom == "under" else self.transom_thickness

    def half_breadth(self, x: Array, z: Array | float, inset: float = 0.0) -> Array:
        """Half breadth (n,) at x and z of the side's face `inset` mm inside its outer face."""
        x = np.asarray(x, dtype=np.float64)
        height = np.asarray(z, dtype=np.float64) - inset * np.sin(self.flare)
        out = (height - self.depth) * np.tan(self.flare) - inset * np.cos(self.flare)
        out = np.broadcast_to(out, x.shape)
        s = self.plan.at_first_axis(x, out)
        breadth: Array = self.plan.point(s)[:, 1] + out * np.cos(self.plan.heading(s))
        return breadth

    def bottom_height(self, x: Array, inset: float = 0.0) -> Array:
        """Z (n,) at x of the bottom's face `inset` mm inside its outer face."""
        x = np.asarray(x, dtype=np.float64)
        s = self.profile.at_first_axis(x, inset)
        return self.profile.point(s)[:, 1] + inset * np.cos(self.profile.heading(s))

    def bottom_reaches(self, z: float, inset: float = 0.0) -> float:
        """X at which the sweep of the bottom's face `inset` mm inside its outer face reaches height z."""
        low, high = self.design.hull.flat_to, self.length + 4.0 * self.bottom_thickness
        while high - low > 1e-11 * self.length:
            tried = np.linspace(low, high, 33)
            below = int(np.searchsorted(self.bottom_height(tried, inset), z)) - 1
            narrowed = (float(tried[max(below, 0)]), float(tried[min(max(below, 0) + 1, 32)]))
            if narrowed == (low, high):
                break
            low, high = narrowed
        return (low + high) / 2.0

    def stations(self, start: float, stop: float) -> Array:
        """X between two places, so close that every edge bends at most `EDGE_TURN` between two; ends included."""
        along = [
            self.profile.point(self.profile.samples(EDGE_TURN))[:, 0],
            self.plan.point(self.plan.samples(EDGE_TURN))[:, 0],
        ]
        x = np.unique(np.concatenate(along))
        margin = LEAST_STEP * self.length
        inside = x[(x > start + margin) & (x < stop - margin)]
        if len(inside):
            inside = inside[np.concatenate([[True], np.diff(inside) > margin])]
        return np.concatenate([[start], inside, [stop]])


def shape(design: Design) -> Hull:
    """Shape the hull of a design.

    Raises:
        BuildError: if the sizes are understood but give no hull that can be built.
    """
    sizes = design.hull
    bottom_sweep = _sweep(design, "hull.flat_to", sizes.length - sizes.flat_to, sizes.depth)
    profile = _straight_then_sweep(sizes.flat_to, bottom_sweep, 1.0, (0.0, 0.0))
    plan, bow, stern = _plan(design)
    flare = float(np.radians(sizes.flare))
    side = design.woods.side.thickness
    _check_breadth(design, flare)
    return Hull(
        design=design,
        plan=plan,
        profile=profile,
        bottom_sweep=bottom_sweep,
        bow_taper=bow,
        stern_taper=stern,
        bottom=CylinderPanel(design.woods.bottom.thickness, profile),
        side_port=slope_panel(plan, sizes.depth, flare, side, 0.0, port=True),
        side_starboard=slope_panel(plan, sizes.depth, flare, side, 0.0, port=False),
    )


def _sweep(design: Design, key: str, run: float, rise: float) -> Sweep:
    try:
        return sweep(run, rise)
    except ValueError:
        problem = f"a rise of {rise:.0f} mm over {run:.0f} mm is too steep to bend"
        raise BuildError(_fault(design, key, problem, "lengthen the run of the bend")) from None


def _straight_then_sweep(straight: float, bend: Sweep, side: float, start: tuple[float, float]) -> FairCurve:
    ramp = bend.length * 0.25
    knots = np.array([0.0, straight, straight + ramp, straight + bend.length])
    curvatures = side * np.array([0.0, 0.0, bend.curvature, bend.curvature])
    if bend.curvature == 0.0:
        return fair_curve(np.array([0.0, straight + bend.length]), np.zeros(2), start, 0.0)
    return fair_curve(knots, curvatures, start, 0.0)


def _plan(design: Design) -> tuple[FairCurve, Sweep, Sweep]:
    """The sheer's half of the plan, port side, from the transom forward."""
    sizes = design.hull
    stern = _sweep(design, "hull.parallel_from", sizes.parallel_from, (sizes.beam - sizes.beam_at_transom) / 2.0)
    bow = _sweep(design, "hull.parallel_to", sizes.length - sizes.parallel_to, (sizes.beam - sizes.beam_at_bow) / 2.0)
    knots, curvatures = [0.0], [-stern.curvature]

    def run_on(length: float, curvature: float) -> None:
        if length > 0.0:
            knots.append(knots[-1] + length)
            curvatures.append(curvature)

    if stern.curvature > 0.0:
        run_on(stern.length * 0.75, -stern.curvature)
        run_on(stern.length * 0.25, 0.0)
        run_on(sizes.parallel_to - sizes.parallel_from, 0.0)
    else:
        run_on(sizes.parallel_to, 0.0)
    if bow.curvature > 0.0:
        run_on(bow.length * 0.25, -bow.curvature)
        run_on(bow.length * 0.75, -bow.curvature)
    else:
        run_on(bow.run, 0.0)
    start = (0.0, sizes.beam_at_transom / 2.0)
    return fair_curve(np.array(knots), np.array(curvatures), start, stern.turn), bow, stern


def _check_breadth(design: Design, flare: float) -> None:
    """Refuse a flare so great that the chines cross the centre line or the surface folds."""
    sizes = design.hull
    narrowest = min(sizes.beam_at_bow, sizes.beam_at_transom, sizes.beam)
    chine = narrowest - 2.0 * sizes.depth * float(np.tan(flare))
    least = 2.0 * design.woods.side.thickness + 40.0
    if chine < least:
        problem = f"with this flare the bottom is only {chine:.0f} mm wide at its narrowest"
        remedy = f"lessen the flare or widen the boat until at least {least:.0f} mm are left"
        raise BuildError(_fault(design, "hull.flare", problem, remedy))


def _fault(design: Design, key: str, problem: str, remedy: str) -> Fault:
    lines = dict(design.lines)
    return Fault(design.file, lines.get(key, lines.get("hull")), key, problem, remedy)
