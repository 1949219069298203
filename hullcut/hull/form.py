"""The hull form: outside sizes to the faces of every panel, by wood thickness and laps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.design.offset_sizes import POINTED_MM
from hullcut.errors import BuildError, Fault
from hullcut.hull.cylinder_panel import CylinderPanel
from hullcut.hull.end_plane import EndPlane
from hullcut.hull.fair_curve import RAMP_FRACTION, FairCurve, Sweep, fair_curve, sweep, sweep_onward
from hullcut.hull.plane_curve import PlaneCurve, sharpest
from hullcut.hull.ruled_panel import RuledPanel, ruled_panel
from hullcut.hull.ruled_surface import RuledSurface
from hullcut.hull.side_surface import given_lines, side_surface
from hullcut.hull.slope_panel import SlopePanel, slope_panel
from hullcut.hull.spline_curve import spline_curve

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.design.offsets import Offsets
    from hullcut.design.values import Design

__all__ = ["Hull", "shape"]

Array = NDArray[np.float64]

# Two samples of a curved edge differ by at most this turn, radians: a chord then falls short of its arc by less than
# 2e-7 of its length.
EDGE_TURN = 0.002
# Nor do they stand nearer than this share of the length: parallels to an edge would else run backward between them.
LEAST_STEP = 1e-4

# Places along the boat at which its width is asked for, to find the greatest.
_BEAM_SAMPLES = 801


@dataclass(frozen=True, slots=True, eq=False)
class Hull:
    """The hull in space; two hulls are the same only if they are one object.

    Attributes:
        design: what was asked for.
        plan: the sheer of the port side's outer face, in x and y, running forward.
        profile: the bottom's outer face, in x and z, running forward.
        sheer: the sides' upper edges, in x and z, running forward.
        bottom_sweep: how the bottom rises to the bow.
        rocker_sweep: how it rises to the transom.
        sheer_sweep: how the sheer rises to the bow.
        bow_taper: how the plan narrows to the bow.
        stern_taper: how the plan narrows to the transom.
        transom: the plane of the transom's outer face.
        bow: the plane of a bow transom's outer face, or of a stem; None for a sled.
        bottom: the bottom's panel.
        side_port, side_starboard: the sides' panels.
        surface: the port side's outer face where its flare changes along the boat; None where it is one all along.
        chine_plan: the chine of that face, in x and y, running forward; else None.
    """

    design: Design
    plan: PlaneCurve
    profile: PlaneCurve
    sheer: PlaneCurve
    bottom_sweep: Sweep
    rocker_sweep: Sweep
    sheer_sweep: Sweep
    bow_taper: Sweep
    stern_taper: Sweep
    transom: EndPlane
    bow: EndPlane | None
    bottom: CylinderPanel
    side_port: SlopePanel | RuledPanel
    side_starboard: SlopePanel | RuledPanel
    surface: RuledSurface | None = None
    chine_plan: PlaneCurve | None = None

    @property
    def length(self) -> float:
        """Outside length, mm."""
        return self.design.hull.length

    @property
    def beam(self) -> float:
        """Greatest width over the sides' outer faces, mm: a fair line through given offsets may pass beyond them."""
        if self.design.hull.offsets is None:
            return self.design.hull.beam
        x = np.linspace(self.head_of(self.transom)[0], self.length, _BEAM_SAMPLES)
        return 2.0 * float(self.half_breadth(x, self.sheer_height(x)).max())

    @property
    def depth(self) -> float:
        """Height of the sheer amidships, mm."""
        return self.design.hull.depth

    @property
    def bends_up(self) -> bool:
        """Whether a line straight up the side may be bent: with flare on a side that bends in plan."""
        return self.surface is not None or self.design.hull.flare != 0.0

    @property
    def pointed(self) -> bool:
        """Whether the sides meet on the centre line, where a plain stem keeps them apart by its block."""
        return self.surface is not None and self.design.hull.bow == "stem" and self.design.hull.beam_at_bow < POINTED_MM

    def flare_at(self, x: float, z: float, inset: float = 0.0) -> float:
        """How far the side leans outward across the boat at a place, radians."""
        if self.surface is None:
            return float(np.radians(self.design.hull.flare))
        low, high = self.half_breadth(np.array([x, x]), np.array([z - 0.5, z + 0.5]), inset)
        return float(np.arctan(high - low))

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
        """Of the transom, and of a bow transom, mm."""
        return self.design.woods.transom.thickness

    @property
    def roof(self) -> float:
        """Height of the decks' lower face amidships, mm."""
        return self.depth - self.deck_drop

    @property
    def deck_drop(self) -> float:
        """How far the decks' lower face lies below the sheer: 0 where the decks cover it, mm."""
        return 0.0 if self.design.laps.deck == "over" else self.design.woods.deck.thickness

    @property
    def chine_inset(self) -> float:
        """Depth inside the bottom's outer face of the face on which the sides stand, mm."""
        return self.bottom_thickness if self.design.laps.bottom == "under" else 0.0

    @property
    def transom_inside(self) -> EndPlane:
        """The plane of the transom's inner face."""
        return self.transom.ahead(self.transom_thickness)

    @property
    def side_aft(self) -> EndPlane:
        """The plane of the sides' after ends."""
        return self.transom if self.design.laps.transom == "between" else self.transom_inside

    @property
    def bottom_aft(self) -> EndPlane:
        """The plane of the bottom's after edge."""
        return self.transom if self.design.laps.bottom == "under" else self.transom_inside

    @property
    def bow_inside(self) -> EndPlane | None:
        """The plane of a bow transom's inner face, or of a stem's; None for a sled."""
        if self.bow is None or self.design.hull.bow == "stem":
            return self.bow
        return self.bow.ahead(-self.transom_thickness)

    @property
    def side_fore(self) -> EndPlane | None:
        """The plane of the sides' fore ends; None for a sled, where they run out to a tip."""
        return self.bow if self.design.laps.transom == "between" else self.bow_inside

    @property
    def bottom_fore(self) -> EndPlane | None:
        """The plane of the bottom's fore edge; None for a sled, where it is trimmed at the sheer."""
        return self.bow if self.design.laps.bottom == "under" else self.bow_inside

    def half_breadth(self, x: Array, z: Array | float, inset: float = 0.0) -> Array:
        """Half breadth (n,) at x and z of the side's face `inset` mm inside its outer face."""
        x = np.asarray(x, dtype=np.float64)
        if self.surface is not None:
            return self.surface.half_breadth(x, z, inset)
        flare = float(np.radians(self.design.hull.flare))
        height = np.asarray(z, dtype=np.float64) - inset * np.sin(flare)
        out = (height - self.depth) * np.tan(flare) - inset * np.cos(flare)
        out = np.broadcast_to(out, x.shape)
        return self.plan.second_axis(x, out)

    def bottom_height(self, x: Array, inset: float = 0.0) -> Array:
        """Z (n,) at x of the bottom's face `inset` mm inside its outer face."""
        return self.profile.second_axis(x, inset)

    def sheer_height(self, x: Array | float, above: float = 0.0) -> Array:
        """Z (n,) at x of the sheer, or of the line parallel to it `above` mm over it."""
        return self.sheer.second_axis(np.atleast_1d(x), above)

    def roof_height(self, x: Array | float) -> Array:
        """Z (n,) at x of the decks' lower face."""
        return self.sheer_height(x, -self.deck_drop)

    def bottom_meets_sheer(self, inset: float, below: float = 0.0) -> float:
        """X at which the bottom's face `inset` mm inside its outer face comes within `below` mm of the sheer."""
        return self._crossing(lambda x: self.bottom_height(x, inset) - self.sheer_height(x) + below)

    def bottom_meets_roof(self, inset: float, below: float = 0.0) -> float:
        """X at which the bottom's face `inset` mm inside its outer face comes within `below` mm of the decks."""
        return self._crossing(lambda x: self.bottom_height(x, inset) - self.roof_height(x) + below)

    def bottom_reaches(self, z: float, inset: float = 0.0) -> float:
        """X at which the rise forward of the bottom's face `inset` mm inside its outer face reaches height z."""
        return self._crossing(lambda x: self.bottom_height(x, inset) - z)

    def _crossing(self, gap: Callable[[Array], Array]) -> float:
        """Where a gap that grows forward passes zero, beyond the bottom's straight run."""
        low, high = self.design.hull.flat_to, self.length + 4.0 * self.bottom_thickness
        while high - low > 1e-11 * self.length:
            tried = np.linspace(low, high, 33)
            below = max(int(np.searchsorted(gap(tried), 0.0)) - 1, 0)
            narrowed = (float(tried[below]), float(tried[min(below + 1, 32)]))
            if narrowed == (low, high):
                break
            low, high = narrowed
        return (low + high) / 2.0

    def foot_of(self, plane: EndPlane, inset: float) -> tuple[float, float]:
        """X and z where a plane across the boat meets the bottom's face `inset` mm inside its outer face."""
        return self._on_plane(plane, lambda x: self.bottom_height(x, inset))

    def head_of(self, plane: EndPlane, above: float = 0.0) -> tuple[float, float]:
        """X and z where a plane across the boat meets the sheer, or the line `above` mm over it."""
        return self._on_plane(plane, lambda x: self.sheer_height(x, above))

    @staticmethod
    def _on_plane(plane: EndPlane, height: Callable[[Array], Array]) -> tuple[float, float]:
        x = np.array([float(plane.x(0.0))])
        for _ in range(200):
            moved = plane.x(height(x))
            if float(abs(moved - x)[0]) < 1e-11:
                break
            x = moved
        return float(x[0]), float(height(x)[0])

    def side_foot(self, plane: EndPlane, depth_in: float, inset: float) -> tuple[float, float]:
        """X and z where a face of the side ends at a plane, on the bottom's face `depth_in` mm inside its outer face.

        At a stem where the sides meet, the face ends on the centre line instead.
        """
        if not self.pointed or plane != self.bow:
            return self.foot_of(plane, depth_in)
        return self._on_stem(plane, lambda x: self.bottom_height(x, depth_in), inset)

    def side_head(self, plane: EndPlane, above: float, inset: float) -> tuple[float, float]:
        """The same at the sheer, or on the line `above` mm over it."""
        if not self.pointed or plane != self.bow:
            return self.head_of(plane, above)
        return self._on_stem(plane, lambda x: self.sheer_height(x, above), inset)

    def side_end(self, plane: EndPlane, z: Array, inset: float) -> Array:
        """X (n,) at heights z where a face of the side ends at a plane, or on the centre line of a pointed stem."""
        x = np.asarray(plane.x(z), dtype=np.float64)
        if not self.pointed or plane != self.bow:
            return x
        for _ in range(60):
            breadth = self.half_breadth(x, z, inset)
            slope = self.half_breadth(x + 0.5, z, inset) - self.half_breadth(x - 0.5, z, inset)
            step = np.clip(-breadth / np.minimum(slope, -0.02), -0.05 * self.length, 0.05 * self.length)
            x = x + step
            if float(np.abs(step).max()) < 1e-10:
                break
        return x

    def _on_stem(self, plane: EndPlane, height: Callable[[Array], Array], inset: float) -> tuple[float, float]:
        def breadth(x: float) -> float:
            return float(self.half_breadth(np.array([x]), height(np.array([x])), inset)[0])

        # The secant through two places near the end; the side runs in steadily there.
        x = self._on_plane(plane, height)[0]
        before, at = x - 1.0, breadth(x - 1.0)
        for _ in range(60):
            here = breadth(x)
            slope = min((here - at) / (x - before), -0.02)
            step = float(np.clip(-here / slope, -0.05 * self.length, 0.05 * self.length))
            before, at, x = x, here, x + step
            if abs(step) < 1e-10:
                break
        return x, float(height(np.array([x]))[0])

    def bow_room(self) -> float:
        """X of the after side of what closes the bow: nose block, bow transom or stem block."""
        return _bow_room(self)

    @property
    def stem_length(self) -> float:
        """How far the stem block reaches aft along the bottom: to where its stock fills the space between the sides."""
        half = self.design.woods.nose_block.thickness / 2.0
        assert self.bow is not None
        foot, z = self.foot_of(self.bow, self.bottom_thickness)
        tried = np.linspace(foot - 0.25 * self.length, foot, 257)
        inside = self.half_breadth(tried, z, self.side_thickness)
        wide = np.flatnonzero(inside >= half)
        return foot - float(tried[wide[-1]]) if len(wide) else 0.25 * self.length

    def bottom_bend(self) -> tuple[float, float]:
        """The smallest radius of the bottom's outer face, and its x, mm; the radius is infinite where it is flat."""
        fore = self.length if self.bow is None else self.foot_of(self.bow, 0.0)[0]
        return sharpest(self.profile, self.foot_of(self.transom, 0.0)[0], fore)

    def inside_strip(self, breadth: float, port: bool) -> SlopePanel | RuledPanel:
        """The chart of a strip on the inner face of a side, `breadth` mm thick."""
        if self.surface is not None:
            return ruled_panel(self.surface, breadth, self.side_thickness, port)
        flare = float(np.radians(self.design.hull.flare))
        assert isinstance(self.plan, FairCurve)
        return slope_panel(self.plan, self.depth, flare, breadth, self.side_thickness, port)

    def stations(self, start: float, stop: float) -> Array:
        """X between two places, so close that every edge bends at most `EDGE_TURN` between two; ends included."""
        x = _edge_samples(self)
        margin = LEAST_STEP * self.length
        inside = x[(x > start + margin) & (x < stop - margin)]
        if len(inside):
            inside = inside[np.concatenate([[True], np.diff(inside) > margin])]
        return np.concatenate([[start], inside, [stop]])


@lru_cache(maxsize=8)
def _edge_samples(hull: Hull) -> Array:
    """X (n,), growing, between which every edge of a hull bends at most `EDGE_TURN`."""
    curves = [hull.profile, hull.plan, hull.sheer, *([hull.chine_plan] if hull.chine_plan else [])]
    return np.unique(np.concatenate([curve.point(curve.samples(EDGE_TURN))[:, 0] for curve in curves]))


# Nearly every strip and deck asks for it, and looking for it takes long.
@lru_cache(maxsize=8)
def _bow_room(hull: Hull) -> float:
    if hull.design.hull.bow == "sled":
        return hull.bottom_meets_roof(hull.bottom_thickness, hull.design.woods.nose_block.thickness)
    assert hull.bow_inside is not None
    foot = hull.foot_of(hull.bow_inside, hull.bottom_thickness)[0]
    return foot if hull.design.hull.bow == "pram" else foot - hull.stem_length


def shape(design: Design) -> Hull:
    """Shape the hull of a design.

    Raises:
        BuildError: if the sizes are understood but give no hull that can be built.
    """
    sizes = design.hull
    if sizes.offsets is not None:
        return _shape_of_offsets(design, sizes.offsets)
    bow = _bow_plane(design)
    foot = sizes.length if bow is None else float(bow.x(sizes.bow_height))
    rise = _sweep(design, "hull.flat_to", foot - sizes.flat_to, sizes.bow_height)
    rocker = _sweep(design, "hull.rocker_to", sizes.rocker_to, sizes.rocker)
    straight = sizes.flat_to - sizes.rocker_to
    profile = _two_sweeps(rocker, straight, rise, 1.0, (0.0, sizes.rocker), beyond=sizes.length - foot)
    sheer_run = sizes.length - sizes.sheer_from if sizes.sheer_rise > 0.0 else 0.0
    sheer_sweep = _sweep(design, "hull.sheer_from", sheer_run, sizes.sheer_rise)
    level = sizes.sheer_from if sizes.sheer_rise > 0.0 else sizes.length
    sheer = _two_sweeps(_NO_SWEEP, level, sheer_sweep, 1.0, (0.0, sizes.depth))
    ends = ((sizes.beam - sizes.beam_at_transom) / 2.0, (sizes.beam - sizes.beam_at_bow) / 2.0)
    plan, stern, taper = _plan(design, sizes.length, ends, sizes.beam_at_transom / 2.0)
    flare = float(np.radians(sizes.flare))
    side = design.woods.side.thickness
    _check_breadth(design, flare)
    hull = Hull(
        design=design,
        plan=plan,
        profile=profile,
        sheer=sheer,
        bottom_sweep=rise,
        rocker_sweep=rocker,
        sheer_sweep=sheer_sweep,
        bow_taper=taper,
        stern_taper=stern,
        transom=_transom_plane(design),
        bow=bow,
        bottom=CylinderPanel(design.woods.bottom.thickness, profile),
        side_port=slope_panel(plan, sizes.depth, flare, side, 0.0, port=True),
        side_starboard=slope_panel(plan, sizes.depth, flare, side, 0.0, port=False),
    )
    return _with_flared_stem(hull, foot) if sizes.bow == "stem" and flare > 0.0 else hull


def _plan(design: Design, fore: float, ends: tuple[float, float], start: float) -> tuple[FairCurve, Sweep, Sweep]:
    """A plan that widens from the transom, runs parallel and narrows to the bow, with both its bends.

    Args:
        design: whose keys are to blame.
        fore: x where it ends.
        ends: by how much it narrows to the transom and to the bow, mm.
        start: half breadth at the transom.
    """
    sizes = design.hull
    stern = _sweep(design, "hull.parallel_from", sizes.parallel_from, ends[0])
    taper = _sweep(design, "hull.parallel_to", fore - sizes.parallel_to, ends[1])
    parallel = sizes.parallel_to - sizes.parallel_from
    middle = 0.0
    if parallel == 0.0 and min(ends) > 0.0:
        # Both bends meet at the greatest beam: the gentler one is an arc, the other goes on from its curvature.
        middle = min(1.0 / stern.arc_radius, 1.0 / taper.arc_radius)
        stern = sweep_onward(sizes.parallel_from, ends[0], middle)
        taper = sweep_onward(fore - sizes.parallel_to, ends[1], middle)
    return _two_sweeps(stern, parallel, taper, -1.0, (0.0, start), middle=middle), stern, taper


# So many stations a line make its spline the line itself, within a few thousandths of a millimetre.
_LINE_STATIONS = 65


def _with_flared_stem(hull: Hull, foot: float) -> Hull:
    """The hull with sides that lean out amidships and come together at the stem, as a general surface."""
    design, sizes = hull.design, hull.design.hull
    lean = sizes.depth * float(np.tan(np.radians(sizes.flare)))
    narrowing = ((sizes.beam - sizes.beam_at_transom) / 2.0, sizes.beam / 2.0 - lean - sizes.beam_at_bow / 2.0)
    chine_plan, _, _ = _plan(design, foot, narrowing, sizes.beam_at_transom / 2.0 - lean)
    x = np.linspace(hull.foot_of(hull.transom, 0.0)[0], foot, _LINE_STATIONS)
    y = chine_plan.point(chine_plan.at_first_axis(x))[:, 1]
    chine = np.column_stack([x, y, hull.bottom_height(x)])
    x = np.linspace(hull.head_of(hull.transom)[0], sizes.length, _LINE_STATIONS)
    y = hull.plan.point(hull.plan.at_first_axis(x))[:, 1]
    sheer = np.column_stack([x, y, hull.sheer_height(x)])
    surface = side_surface(design, chine, sheer, "hull.flare")
    side = design.woods.side.thickness
    return replace(
        hull,
        surface=surface,
        chine_plan=chine_plan,
        side_port=ruled_panel(surface, side, 0.0, port=True),
        side_starboard=ruled_panel(surface, side, 0.0, port=False),
    )


def _shape_of_offsets(design: Design, offsets: Offsets) -> Hull:
    """Shape the hull whose chine and sheer stand in a table."""
    lines = given_lines(offsets, design.hull.read_to)
    chine, sheer = lines.chine, lines.sheer
    surface = side_surface(design, chine, sheer, "hull.offsets")
    profile = spline_curve(chine[:, [0, 2]])
    side = design.woods.side.thickness
    return Hull(
        design=design,
        plan=spline_curve(sheer[:, [0, 1]]),
        profile=profile,
        sheer=spline_curve(sheer[:, [0, 2]]),
        bottom_sweep=_NO_SWEEP,
        rocker_sweep=_NO_SWEEP,
        sheer_sweep=_NO_SWEEP,
        bow_taper=_NO_SWEEP,
        stern_taper=_NO_SWEEP,
        transom=_plane_through(chine[0], sheer[0]),
        bow=None if design.hull.bow == "sled" else _plane_through(chine[-1], sheer[-1]),
        bottom=CylinderPanel(design.woods.bottom.thickness, profile),
        side_port=ruled_panel(surface, side, 0.0, port=True),
        side_starboard=ruled_panel(surface, side, 0.0, port=False),
        surface=surface,
        chine_plan=spline_curve(chine[:, [0, 1]]),
    )


def _plane_through(foot: Array, head: Array) -> EndPlane:
    """The plane across the boat through the ends of chine and sheer."""
    slope = float((head[0] - foot[0]) / (head[2] - foot[2]))
    return EndPlane(float(foot[0]) - slope * float(foot[2]), slope)


def _transom_plane(design: Design) -> EndPlane:
    """The transom's outer face: through its lower outer edge at x = 0."""
    slope = -float(np.tan(np.radians(design.hull.transom_rake)))
    return EndPlane(-slope * design.hull.rocker, slope)


def _bow_plane(design: Design) -> EndPlane | None:
    """The outer face of a bow transom, or the plane of a stem: its head is the foremost wood."""
    sizes = design.hull
    if sizes.bow == "sled":
        return None
    slope = float(np.tan(np.radians(sizes.bow_rake)))
    return EndPlane(sizes.length - slope * (sizes.depth + sizes.sheer_rise), slope)


def _sweep(design: Design, key: str, run: float, rise: float) -> Sweep:
    try:
        return sweep(run, rise)
    except ValueError:
        problem = f"a rise of {rise:.0f} mm over {run:.0f} mm is too steep to bend"
        raise BuildError(_fault(design, key, problem, "lengthen the run of the bend")) from None


_NO_SWEEP = Sweep(0.0, 0.0, 0.0, 0.0, 0.0)


def _two_sweeps(
    aft: Sweep,
    straight: float,
    fore: Sweep,
    side: float,
    start: tuple[float, float],
    beyond: float = 0.0,
    middle: float = 0.0,
) -> FairCurve:
    """A curve that bends into a straight run and out of it again.

    Args:
        aft: the bend before the straight run, told from the run backward.
        straight: length of the run, mm.
        fore: the bend after it.
        side: 1 where both bends turn to the left, -1 to the right.
        start: where the curve begins.
        beyond: how far to carry the last piece on, mm.
        middle: curvature between both bends, where no straight run lies between them.
    """
    knots, curvatures = [0.0], [side * aft.curvature]

    def run_on(length: float, curvature: float) -> None:
        if length > 0.0:
            knots.append(knots[-1] + length)
            curvatures.append(side * curvature)

    if aft.curvature > 0.0:
        run_on(aft.length * (1.0 - RAMP_FRACTION), aft.curvature)
        run_on(aft.length * RAMP_FRACTION, middle)
        run_on(straight, middle)
    else:
        run_on(aft.run + straight, 0.0)
    if fore.curvature > 0.0:
        run_on(fore.length * RAMP_FRACTION, fore.curvature)
        run_on(fore.length * (1.0 - RAMP_FRACTION), fore.curvature)
    else:
        run_on(fore.run, 0.0)
    run_on(beyond, fore.curvature)
    return fair_curve(np.array(knots), np.array(curvatures), start, -side * aft.turn)


def _check_breadth(design: Design, flare: float) -> None:
    """Refuse a flare so great that the chines cross the centre line or the surface folds."""
    sizes = design.hull
    bow = sizes.beam if sizes.bow == "stem" else sizes.beam_at_bow
    narrowest = min(bow, sizes.beam_at_transom, sizes.beam)
    chine = narrowest - 2.0 * sizes.depth * float(np.tan(flare))
    least = 2.0 * design.woods.side.thickness + 40.0
    if chine < least:
        problem = f"with this flare the bottom is only {chine:.0f} mm wide at its narrowest"
        remedy = f"lessen the flare or widen the boat until at least {least:.0f} mm are left"
        raise BuildError(_fault(design, "hull.flare", problem, remedy))


def _fault(design: Design, key: str, problem: str, remedy: str) -> Fault:
    lines = dict(design.lines)
    return Fault(design.file, lines.get(key, lines.get("hull")), key, problem, remedy)
