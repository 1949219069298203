"""How the boat lies in the water: draft, trim and heel at rest, freeboard, stability."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hullcut.balance.sections import Immersed, direction, hull_sections, immersed
from hullcut.errors import BuildError, Fault

if TYPE_CHECKING:
    from hullcut.balance.sections import Sections
    from hullcut.hull.form import Hull
    from hullcut.stock.water import WaterData

__all__ = ["Flotation", "Rest", "RightingArm", "float_hull", "rest", "righting_arms"]

Array = NDArray[np.float64]

_ROUNDS = 200
_SETTLED = 1e-9
# A search that has not settled by then goes to and fro over a corner of the hull: it is made to step shorter.
_SHORTER_FROM, _SHORTER = 60, 0.3
# Steps of the search, so that a far guess cannot throw the boat over.
_MOST_TURN, _MOST_RISE = 0.1, 15.0
_TIPPED = np.radians(75.0)
_LEAST_GM = 4.0
_HEEL_STEP = 5.0
# The righting arms need no more than one part in a thousand.
_COARSE_MM = 40.0


@dataclass(frozen=True, slots=True)
class Rest:
    """A boat at rest, or held at one heel.

    Attributes:
        trim: by the stern, radians.
        heel: to port, radians.
        up: the upward direction in the boat's axes (3,).
        height: of the water along it, mm.
        wet: what is immersed.
        gm: metacentric height across, mm.
        arm: distance of buoyancy from weight towards the lower side, mm; it rights the boat where positive.
    """

    trim: float
    heel: float
    up: Array
    height: float
    wet: Immersed
    gm: float
    arm: float

    def water_height(self, x: Array | float, y: Array | float = 0.0) -> Array:
        """Z of the water's surface (n,) in the boat's axes at x and y."""
        result: Array = (self.height - self.up[0] * np.asarray(x) - self.up[1] * np.asarray(y)) / self.up[2]
        return result

    def above_water(self, points: Array) -> Array:
        """Height (n,) of points (n, 3) above the water."""
        result: Array = points @ self.up - self.height
        return result


@dataclass(frozen=True, slots=True)
class RightingArm:
    """The righting arm at one heel.

    Attributes:
        heel: degrees.
        arm: mm; the boat rights itself where positive.
    """

    heel: float
    arm: float


@dataclass(frozen=True, slots=True)
class Flotation:
    """How a boat lies in the water; lengths mm, angles degrees.

    Attributes:
        water: in which it lies.
        volume: of water pushed aside, mm3.
        draft: greatest depth of the bottom below the water.
        draft_aft: depth of the bottom's after edge.
        trim: by the stern; below zero by the bow.
        heel: to port, from weights off the centre line; below zero to starboard.
        freeboard: least height of the sheer above the water.
        freeboard_x: where that is.
        freeboard_aft: at the transom.
        opening: height of the lowest edge of the open middle above the water.
        waterplane: area, mm2.
        floating_centre: x of the waterplane's centre.
        buoyancy: centre of the immersed volume.
        gm: metacentric height across.
        gm_along: metacentric height fore and aft.
        line: heights of the upright waterline on the centre plane at x = 0 and a unit farther, for marking.
        meets: x of the waterline's fore end: on the bottom, or on a stem or bow transom whose foot is wet.
        arms: righting arm against heel, the deck taken as tight.
        vanishes: heel at which the righting arm has gone; 180 where it never goes.
        floods: heel at which water reaches the edge of the open middle.
        empty_trim, full_trim: trim with an empty and with a full tank.
    """

    water: WaterData
    volume: float
    draft: float
    draft_aft: float
    trim: float
    heel: float
    freeboard: float
    freeboard_x: float
    freeboard_aft: float
    opening: float
    waterplane: float
    floating_centre: float
    buoyancy: tuple[float, float, float]
    gm: float
    gm_along: float
    line: tuple[float, float]
    meets: float
    arms: tuple[RightingArm, ...]
    vanishes: float
    floods: float
    empty_trim: float
    full_trim: float


def rest(
    sections: Sections,
    mass: float,
    cg: tuple[float, float, float],
    density: float,
    heel: float | None = None,
    guess: Rest | None = None,
) -> Rest | None:
    """Find how a boat lies; None where it sinks, or goes under at one end and comes to no rest.

    Draft, trim and heel are turned towards equilibrium by the metacentric heights until nothing moves any more.

    Args:
        sections: of its outside.
        mass: grams.
        cg: centre of gravity, mm.
        density: of the water, kg/m3.
        heel: held at this heel to port, radians; None to let it find its own.
        guess: a state to begin with.

    Raises:
        BuildError: draft, trim and heel do not settle.
    """
    wanted = mass / density * 1e6
    if wanted >= 0.999 * float(immersed(sections, np.array([0.0, 0.0, 1.0]), 1e9).volume):
        return None
    centre = np.array(cg)
    trim = guess.trim if guess else 0.0
    lean = heel if heel is not None else 0.0
    up = direction(trim, lean)
    height = float(up @ guess.wet.floating_centre) if guess else _level(sections, up, wanted)
    for step in range(_ROUNDS):
        up = direction(trim, lean)
        wet = immersed(sections, up, height)
        if wet.volume < 0.05 * wanted or wet.area <= 0.0:
            height = _level(sections, up, wanted)
            wet = immersed(sections, up, height)
        away = wet.centre - centre
        along = np.array([np.cos(trim), np.sin(lean) * np.sin(trim), -np.cos(lean) * np.sin(trim)])
        across = np.array([0.0, np.cos(lean), np.sin(lean)])
        below = float(away @ up)
        gm, gm_along = wet.inertia_across / wet.volume + below, wet.inertia_along / wet.volume + below
        arm, ahead = float(away @ across), float(away @ along)
        turn = float(np.clip(ahead / max(gm_along, _LEAST_GM), -_MOST_TURN, _MOST_TURN))
        roll = 0.0 if heel is not None else float(np.clip(-arm / max(gm, _LEAST_GM), -_MOST_TURN, _MOST_TURN))
        rise = float(np.clip((wanted - wet.volume) / wet.area, -_MOST_RISE, _MOST_RISE))
        if max(abs(turn), abs(roll), abs(rise) / 1000.0) < _SETTLED:
            break
        share = 1.0 if step < _SHORTER_FROM else _SHORTER
        trim, lean = float(np.clip(trim + share * turn, -1.2, 1.2)), lean + share * roll
        height = float(direction(trim, lean) @ wet.floating_centre) + rise
        if abs(lean) > _TIPPED and heel is None:
            return None
    else:
        if _goes_under(sections, up, height):
            return None
        words = "how the boat lies in the water does not settle"
        raise BuildError(Fault("", None, "", words, "check the weights and their places in the design"))
    return Rest(trim, lean, up, height, wet, gm, arm)


def _goes_under(sections: Sections, up: Array, height: float) -> bool:
    """Whether some section of the hull is wholly under water: then no place of rest is left at that weight."""
    reach = sections.x[:, None] * up[0] + sections.y * up[1] + sections.z * up[2]
    return bool((reach.max(axis=1) < height).any())


def _level(sections: Sections, up: Array, wanted: float) -> float:
    """Height of the water along `up` that immerses the wanted volume, by bisection."""
    reach = sections.x[:, None] * up[0] + sections.y * up[1] + sections.z * up[2]
    low, high = float(reach.min()), float(reach.max())
    for _ in range(40):
        middle = (low + high) / 2.0
        if immersed(sections, up, middle).volume < wanted:
            low = middle
        else:
            high = middle
        if high - low < 0.01:
            break
    return (low + high) / 2.0


def righting_arms(
    sections: Sections, mass: float, cg: tuple[float, float, float], density: float
) -> tuple[RightingArm, ...]:
    """The righting arm from upright to upside down, free to trim, with the weight on the centre line."""
    centred = (cg[0], 0.0, cg[2])
    arms, state = [], None
    for degrees in np.arange(0.0, 180.0 + _HEEL_STEP / 2.0, _HEEL_STEP):
        state = rest(sections, mass, centred, density, float(np.radians(degrees)), state)
        if state is None:
            return ()
        arms.append(RightingArm(float(degrees), state.arm))
    return tuple(arms)


def float_hull(
    hull: Hull,
    mass: float,
    cg: tuple[float, float, float],
    water: WaterData,
    tanks: tuple[tuple[float, tuple[float, float, float]], tuple[float, tuple[float, float, float]]],
) -> Flotation | None:
    """Float a hull; None where it sinks.

    Args:
        hull: of the boat.
        mass: grams, with half a tank.
        cg: its centre of gravity.
        water: in which it lies.
        tanks: mass and centre of gravity with an empty and with a full tank.
    """
    sections = hull_sections(hull)
    upright = rest(sections, mass, (cg[0], 0.0, cg[2]), water.density, 0.0)
    if upright is None:
        return None
    leaning = rest(sections, mass, cg, water.density, None, upright) if upright.gm > 0.0 else None
    state = leaning or upright
    arms = righting_arms(hull_sections(hull, _COARSE_MM), mass, cg, water.density)
    return _told(hull, state, upright, water, arms, [_trim(sections, *each, water.density) for each in tanks])


def _trim(sections: Sections, mass: float, cg: tuple[float, float, float], density: float) -> float:
    state = rest(sections, mass, (cg[0], 0.0, cg[2]), density, 0.0)
    return float("nan") if state is None else float(np.degrees(state.trim))


def _told(
    hull: Hull,
    state: Rest,
    upright: Rest,
    water: WaterData,
    arms: tuple[RightingArm, ...],
    trims: list[float],
) -> Flotation:
    """Everything that is told of a boat at rest."""
    x = np.linspace(0.0, hull.length, 400)
    above = hull.sheer_height(x)
    sheer = np.maximum(hull.half_breadth(x, above), 0.0)
    edges = np.vstack([np.column_stack([x, side * sheer, above]) for side in (1.0, -1.0)])
    heights = state.above_water(edges)
    lowest = int(np.argmin(heights))
    low = np.minimum(hull.bottom_height(x), above)
    keel = np.vstack(
        [np.column_stack([x, side * np.maximum(hull.half_breadth(x, low), 0.0), low]) for side in (1.0, -1.0)]
    )
    depths = -state.above_water(keel)
    opening = edges[_open_middle(hull, edges[:, 0])]
    wet = state.wet
    line = (float(upright.water_height(0.0)), -float(upright.up[0] / upright.up[2]))
    return Flotation(
        water=water,
        volume=wet.volume,
        draft=float(depths.max()),
        draft_aft=float(depths[[0, len(x)]].max()),
        trim=float(np.degrees(state.trim)),
        heel=float(np.degrees(state.heel)),
        freeboard=float(heights[lowest]),
        freeboard_x=float(edges[lowest, 0]),
        freeboard_aft=float(heights[[0, len(x)]].min()),
        opening=float(state.above_water(opening).min()),
        waterplane=wet.area,
        floating_centre=float(wet.floating_centre[0]),
        buoyancy=(float(wet.centre[0]), float(wet.centre[1]), float(wet.centre[2])),
        gm=upright.gm,
        gm_along=upright.wet.inertia_along / upright.wet.volume
        + upright.gm
        - upright.wet.inertia_across / upright.wet.volume,
        line=line,
        meets=_fore_end(hull, line),
        arms=arms,
        vanishes=_vanishes(arms),
        floods=_floods(hull, upright, opening),
        empty_trim=trims[0],
        full_trim=trims[1],
    )


def _fore_end(hull: Hull, line: tuple[float, float]) -> float:
    """X of the waterline's fore end; 0 where the bottom is dry all along."""

    def dry(x: Array) -> Array:
        gap: Array = np.minimum(hull.bottom_height(x), hull.sheer_height(x)) - line[0] - line[1] * x
        return gap

    end = hull.length
    if hull.bow is not None:
        end = hull.side_foot(hull.bow, 0.0, 0.0)[0]
        if float(dry(np.array([end]))[0]) <= 0.0:
            # The water is nearly level: a few rounds settle where the bow's end passes through it.
            for _ in range(20):
                passed, end = end, float(hull.side_end(hull.bow, np.array([line[0] + line[1] * end]), 0.0)[0])
                if abs(end - passed) < 1e-6:
                    break
            return end
    x = np.linspace(0.0, end, 400)
    gaps = dry(x)
    wetted = np.flatnonzero(gaps <= 0.0)
    if not len(wetted):
        return 0.0
    last = int(wetted[-1])
    if last == len(x) - 1:
        return end
    share = -gaps[last] / (gaps[last + 1] - gaps[last])
    return float(x[last] + share * (x[last + 1] - x[last]))


def _vanishes(arms: tuple[RightingArm, ...]) -> float:
    """Heel, degrees, at which the righting arm has gone, in proportion between two of them; 180 where it never goes."""
    for a, b in itertools.pairwise(arms):
        if a.heel > 0.0 and b.arm <= 0.0:
            return a.heel + (b.heel - a.heel) * max(a.arm, 0.0) / max(a.arm - b.arm, 1e-9)
    return 180.0


def _open_middle(hull: Hull, x: Array) -> NDArray[np.bool_]:
    """Which places along the sheer border the open middle."""
    decks = hull.design.decks
    start = 0.0 if decks.after == "open" else decks.after_to
    found: NDArray[np.bool_] = (x >= min(start, decks.fore_from - 5.0)) & (x <= decks.fore_from)
    return found


def _floods(hull: Hull, upright: Rest, opening: Array) -> float:
    """Heel, degrees, at which the water of the upright boat, turned about its centre line, reaches the open edge.

    The water's height on the centre line is kept: good to a degree or two at the heels of a boat so wide.
    """
    clear = opening[:, 2] - upright.water_height(opening[:, 0])
    return float(np.degrees(np.arctan2(clear, np.abs(opening[:, 1])).min()))
