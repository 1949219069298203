"""The outer face of a general side as a run of rulings, and the faces parallel to it.

Each ruling carries a frame: its point A on the chine, its direction r towards the sheer, the outward normal n that all
its points share, and c = n x r, which points forward across it. A point of the side is A + l r + d n, with l up the
ruling and d outward from the outer face; on a developable side this is exact for every parallel face. Where a side is
warped, n is the mean of the normals at both ends.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hullcut.hull.cubic_spline import CubicSpline, cubic_spline
from hullcut.hull.known import Answers, kept
from hullcut.hull.ruling_search import Refusal, RulingFamily

__all__ = ["Bend", "RuledSurface", "forward_root", "ruled_surface"]

Array = NDArray[np.float64]

# A place that no ruling passes nearer than this is not on the surface, mm.
_MISSED_MM = 0.05
# The step after so small a miss leaves what rounding leaves: a secant step shrinks it by the miss before.
_LAST_MISS_MM = 1e-7
_NEWTON_STEPS = 25
# A coarse look at so many rulings finds which of them is near a point.
_COARSE = 48
# Rulings shorter than this share of the longest have no direction to speak of.
_SHORT = 0.05
# Past them the frame goes on at the mean rates of so many good ones; at each step its ruling turns less by this factor.
_STEADY = 5
_CALMING = 0.7
# Places up each ruling at which bends and folds are looked for.
_UP = 9


@dataclass(frozen=True, slots=True)
class Bend:
    """The tightest bend of a side.

    Attributes:
        radius: of the middle surface, mm; infinite where the side is flat.
        x, z: where, on the outer face.
        lean: of the ruling there from upright, radians: how far its head lies ahead of its foot.
    """

    radius: float
    x: float
    z: float
    lean: float


@dataclass(frozen=True, slots=True)
class RuledSurface:
    """The outer face of the port side.

    Attributes:
        family: the rulings as found.
        frame: by number of the ruling: A (3), r (3), n (3), and the ruling's length (1).
        start, stop: numbers of the first and the last needed ruling.
        coarse: numbers (n,) of rulings far apart, and their points, directions and normals (n, 3).
        answers: kept.
    """

    family: RulingFamily
    frame: CubicSpline
    start: float
    stop: float
    coarse: tuple[Array, Array, Array, Array]
    answers: Answers = field(default_factory=dict, init=False, repr=False, compare=False)

    def frames(self, at: Array) -> tuple[Array, Array, Array]:
        """Points A, directions r and normals n (n, 3) of rulings (n,), exactly square to one another."""
        return _square(self.frame(at))

    def point(self, at: Array, up: Array | float, out: Array | float = 0.0) -> Array:
        """Points (n, 3) up rulings (n,), `out` mm outward from the outer face."""
        place, ruling, normal = self.frames(at)
        up, out = np.broadcast_to(up, len(at)), np.broadcast_to(out, len(at))
        result: Array = place + up[:, None] * ruling + out[:, None] * normal
        return result

    @kept
    def locate(self, points: Array) -> tuple[Array, Array, Array]:
        """Which ruling (n,) each point (n, 3) belongs to, how far up it and how far outward it lies."""
        points = np.asarray(points, dtype=np.float64)
        knots, place, ruling, normal = self.coarse
        across = np.cross(normal, ruling)
        ahead = np.einsum("ij,kj->ik", points, across) - np.einsum("ij,ij->i", place, across)[None, :]

        def away(at: Array, which: NDArray[np.intp]) -> Array:
            base, along, outward = self.frames(at)
            result: Array = np.einsum("ij,ij->i", points[which] - base, np.cross(outward, along))
            return result

        at = forward_root(away, ahead, knots)
        base, along, outward = self.frames(at)
        rest = points - base
        return at, np.einsum("ij,ij->i", rest, along), np.einsum("ij,ij->i", rest, outward)

    @kept
    def half_breadth(self, x: Array, z: Array | float, inset: float = 0.0) -> Array:
        """Y (n,) at x and z of the face `inset` mm inside the outer face."""
        x = np.asarray(x, dtype=np.float64)
        z = np.broadcast_to(np.asarray(z, dtype=np.float64), x.shape)
        at = self._passing(x, z, inset)[0]
        base, along, outward = self.frames(at)
        rest = base - inset * outward
        result: Array = rest[:, 1] + (z - rest[:, 2]) / along[:, 2] * along[:, 1]
        return result

    def misses(self, x: Array, z: Array) -> Array:
        """How far fore and aft, mm (n,), the nearest ruling found passes places of the outer face at x and z."""
        at, away = self._passing(x, z, 0.0)
        missed: Array = np.abs(away(at, np.arange(len(at))))
        return missed

    def _passing(self, x: Array, z: Array, inset: float) -> tuple[Array, Callable[[Array, NDArray[np.intp]], Array]]:
        """Rulings (n,) on which places at x and z lie, and how far ahead of any ruling they lie."""
        knots, place, ruling, normal = self.coarse
        foot = place - inset * normal
        lean = ruling[:, 0] / ruling[:, 2]
        ahead = x[:, None] - foot[None, :, 0] - (z[:, None] - foot[None, :, 2]) * lean[None, :]

        def away(at: Array, which: NDArray[np.intp]) -> Array:
            base, along, outward = self.frames(at)
            rest: Array = base - inset * outward
            up = (z[which] - rest[:, 2]) / along[:, 2]
            result: Array = x[which] - rest[:, 0] - up * along[:, 0]
            return result

        return forward_root(away, ahead, knots), away

    def tightest_bend(self, depth_in: float) -> Bend:
        """The smallest radius of the face `depth_in` mm inside the outer face, between chine and sheer."""
        at, up, speed, turn = self._paces(depth_in)
        bend = np.where(self._within(at, up), np.abs(turn)[:, None] / np.maximum(speed, 1e-9), 0.0)
        i, j = np.unravel_index(int(np.argmax(bend)), bend.shape)
        spot = self.point(at[i : i + 1], up[i, j])[0]
        ruling = self.frames(at[i : i + 1])[1][0]
        radius = np.inf if bend[i, j] < 1e-12 else 1.0 / float(bend[i, j])
        return Bend(float(radius), float(spot[0]), float(spot[2]), float(np.arctan2(ruling[0], ruling[2])))

    def refusal_above(self, above: float) -> Refusal | None:
        """Why what lies over the sheer can't follow this form; None where it can.

        Args:
            above: how far over the sheer it reaches, mm.
        """
        sheer = self.family.sheer
        line = sheer.at(np.linspace(sheer.start, sheer.stop, 4 * _COARSE))
        missed = self.misses(line[:, 0], line[:, 2] + above)
        if float(missed.max()) < _MISSED_MM:
            return None
        x = float(line[int(np.argmax(missed > _MISSED_MM)), 0])
        problem = f"the rulings of the side lie so flat near x = {x:.0f} mm that none runs on over the sheer"
        return Refusal(problem, "make chine and sheer run more alike there, as with less rake or another bow's beam", x)

    def refusal(self, thickness: float) -> Refusal | None:
        """Why no sheet of a thickness can take this form; None where one can.

        Args:
            thickness: mm, inward from the outer face.
        """
        if found := self.family.refusal():
            return found
        least = np.inf
        x = 0.0
        for depth_in in (0.0, thickness):
            at, up, speed, _ = self._paces(depth_in)
            speed = np.where(self._within(at, up), speed, np.inf)
            i, j = np.unravel_index(int(np.argmin(speed)), speed.shape)
            if speed[i, j] < least:
                least, x = float(speed[i, j]), float(self.point(at[i : i + 1], up[i, j])[0, 0])
        if least > 0.0:
            return None
        problem = f"the rulings of the side cross one another in the wood near x = {x:.0f} mm"
        return Refusal(problem, "make chine and sheer run more alike there", x)

    def _paces(self, depth_in: float) -> tuple[Array, Array, Array, Array]:
        """Rulings (n,), places up them (n, m), how fast the face runs forward there, and how fast it turns (n,)."""
        at = np.linspace(self.start, self.stop, 2 * len(self.frame.knots))
        _, ruling, normal = self.frames(at)
        across = np.cross(normal, ruling)
        rates = self.frame(at, 1)
        turn = np.einsum("ij,ij->i", rates[:, 6:9], across)
        foot = np.einsum("ij,ij->i", rates[:, :3], across) - depth_in * turn
        up = self.frame(at)[:, 9:10] * np.linspace(0.0, 1.0, _UP)[None, :]
        return at, up, foot[:, None] + up * np.einsum("ij,ij->i", rates[:, 3:6], across)[:, None], turn

    def _within(self, at: Array, up: Array) -> NDArray[np.bool_]:
        """Whether places (n, m) up rulings (n,) lie between the ends of chine and sheer."""
        chine, sheer = self.family.chine, self.family.sheer
        numbers = self.frame.knots
        foot = np.interp(at, numbers, (self.family.at_chine - chine.start) / (chine.stop - chine.start))
        head = np.interp(at, numbers, (self.family.at_sheer - sheer.start) / (sheer.stop - sheer.start))
        share = foot[:, None] + (head - foot)[:, None] * up / up[:, -1:]
        return (share >= 0.0) & (share <= 1.0)


def forward_root(away: Callable[[Array, NDArray[np.intp]], Array], ahead: Array, knots: Array) -> Array:
    """Rulings (n,) at which each point is neither ahead nor behind.

    Args:
        away: how far points of given indices lie ahead of given rulings.
        ahead: the same for all points at coarse rulings (n, m).
        knots: which rulings those are (m,).
    """
    n = len(ahead)
    # The last coarse ruling that a point lies ahead of, and the one after it.
    low = np.clip((ahead > 0.0).sum(axis=1) - 1, 0, len(knots) - 2)
    rows = np.arange(n)
    a, b = ahead[rows, low], ahead[rows, low + 1]
    step = knots[1] - knots[0]
    slope = np.where(np.abs(a - b) > 1e-9, (b - a) / step, -1.0)
    last = knots[low].copy()
    value = a.copy()
    share = np.clip(-a / (slope * step), -20.0, 21.0)
    at: Array = last + np.where((share > 1e-3) | (share < 0.0), share, 1e-3) * step
    open_ones = rows
    for _ in range(_NEWTON_STEPS):
        if not len(open_ones):
            break
        fresh = away(at[open_ones], open_ones)
        moved = at[open_ones] - last[open_ones]
        slope = np.where(np.abs(moved) > 1e-12, (fresh - value[open_ones]) / np.where(moved == 0.0, 1.0, moved), 0.0)
        change = np.where(np.abs(slope) > 1e-12, -fresh / np.where(slope == 0.0, 1.0, slope), 0.0)
        change = np.clip(change, -4.0 * step, 4.0 * step)
        last[open_ones] = at[open_ones]
        value[open_ones] = fresh
        at[open_ones] += change
        open_ones = open_ones[np.abs(fresh) > _LAST_MISS_MM]
    return at


def ruled_surface(family: RulingFamily) -> RuledSurface:
    """Set frames on the rulings of a family."""
    place = family.chine.at(family.at_chine)
    ruling = family.sheer.at(family.at_sheer) - place
    length = np.linalg.norm(ruling, axis=1)
    low = np.cross(ruling, family.chine.at(family.at_chine, 1))
    high = np.cross(ruling, family.sheer.at(family.at_sheer, 1))
    normal = low / np.linalg.norm(low, axis=1)[:, None] + high / np.linalg.norm(high, axis=1)[:, None]
    normal = normal / np.linalg.norm(normal, axis=1)[:, None]
    numbers = np.arange(len(place), dtype=np.float64)
    channels = np.column_stack([place, ruling / length[:, None], normal, length])
    channels = _carried_past_tips(channels, family.needed)
    needed = np.flatnonzero(family.needed)
    last = float(len(place) - 1)
    start, stop = max(float(needed[0]) - 1.0, 0.0), min(float(needed[-1]) + 1.0, last)
    frame = cubic_spline(numbers, channels)
    knots = np.linspace(0.0, last, min(_COARSE, len(place)))
    return RuledSurface(family, frame, start, stop, (knots, *_square(frame(knots))))


def _carried_past_tips(channels: Array, needed: NDArray[np.bool_]) -> Array:
    """Frames (n, 10) with those past a tip, where chine and sheer come together, replaced.

    Rulings grow too short there to have a direction. From the last good ones the frame goes on turning and moving, as
    on a developable surface.
    """
    longest = int(np.argmax(np.where(needed, channels[:, 9], 0.0)))
    short = np.flatnonzero(channels[:, 9] < _SHORT * channels[longest, 9])
    # Beyond a tip chine and sheer part again, the wrong way round: only what runs on from the longest counts.
    first = int(max(short[short < longest], default=-1)) + 1
    last = int(min(short[short > longest], default=len(channels))) - 1
    carried = channels.copy()
    if last < len(channels) - 1:
        carried[last + 1 :] = _steady(carried[first : last + 1], len(channels) - 1 - last)
    if first > 0:
        # Seen from the other side the rates change their sign, and the frames come in the other order.
        carried[:first] = _steady(carried[first : last + 1][::-1], first)[::-1]
    return carried


def _steady(channels: Array, count: int) -> Array:
    """The next frames (count, 10) after those of good rulings.

    They go on at the mean rates of the last ones; the ruling itself soon stops turning, so that it sweeps no place
    twice.
    """
    spline = cubic_spline(np.arange(len(channels), dtype=np.float64), channels)
    last = np.arange(len(channels) - _STEADY, len(channels), dtype=np.float64)
    place, ruling, normal = _square(spline(last))
    across = np.cross(normal, ruling)
    rates = spline(last, 1)
    veer, bend, forward, upward = (
        float(np.einsum("ij,ij->i", rate, axis).mean())
        for rate, axis in (
            (-rates[:, 3:6], across),
            (rates[:, 6:9], across),
            (rates[:, :3], across),
            (rates[:, :3], ruling),
        )
    )
    pose = np.eye(4)
    pose[:3] = np.column_stack([across[-1], ruling[-1], normal[-1], place[-1]])
    found = []
    for _ in range(count):
        pose = pose @ _step(veer, bend, forward, upward)
        veer *= _CALMING
        found.append([*pose[:3, 3], *pose[:3, 1], *pose[:3, 2], channels[-1, 9]])
    return np.array(found)


def _step(veer: float, bend: float, forward: float, upward: float) -> Array:
    """How a frame (across, ruling, normal, place) of a developable surface moves from one ruling to the next."""
    motion = np.zeros((4, 4))
    motion[:3, 0] = 0.0, veer, -bend
    motion[0, 1], motion[0, 2] = -veer, bend
    motion[:2, 3] = forward, upward
    step, term = np.eye(4), np.eye(4)
    for order in range(1, 16):
        term = term @ motion / order
        step = step + term
    return step


def _square(channels: Array) -> tuple[Array, Array, Array]:
    ruling = channels[:, 3:6]
    ruling = ruling / np.sqrt(np.einsum("ij,ij->i", ruling, ruling))[:, None]
    normal = channels[:, 6:9]
    normal = normal - np.einsum("ij,ij->i", normal, ruling)[:, None] * ruling
    normal = normal / np.sqrt(np.einsum("ij,ij->i", normal, normal))[:, None]
    place: Array = channels[:, :3]
    return place, ruling, normal
