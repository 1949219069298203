"""Where the parts of a hull bend most sharply, and whether their wood takes it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.check import Check
from hullcut.design.bending import smallest_radius
from hullcut.lengths import both
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from typing import Literal

    from hullcut.design.values import Wood
    from hullcut.hull.form import Hull
    from hullcut.lengths import Units

__all__ = ["BentPart", "Place", "bend_check", "side_bends", "strain_limit"]

_TABLE = "APA, Concrete Forming guide, dry Douglas-fir plywood (quoted in Working with Curved Forms)"
_THIN = "; below 1/4 in no value is published: carried on in proportion to the thickness"
_THICK = "; above 3/4 in no value is published: carried on in proportion to the thickness"
_HALF = "half of MOR / MOE of the wood (Wood Handbook values; the half is common practice, no source)"
# A sheet that comes this near its limit is dampened and clamped dry before gluing.
_NEAR = 1.25
_DAMPEN = "dampen the outer face and clamp it dry for 24 hours before gluing"


@dataclass(frozen=True, slots=True)
class Place:
    """The sharpest bend of a part.

    Attributes:
        radius: mm; infinite where the part stays flat.
        x: where, forward from the transom, mm.
    """

    radius: float
    x: float


@dataclass(frozen=True, slots=True)
class BentPart:
    """A part that is bent over its place.

    Attributes:
        name: of the check.
        family: key of its wood, to name in advice.
        wood: what it is cut from.
        place: where it bends most sharply.
        turn: angle that it turns through, radians.
        gentler: what would make the bend gentler, in words.
        across: what grain square to the bend means on this part, in words.
    """

    name: str
    family: str
    wood: Wood
    place: Place
    turn: float
    gentler: str
    across: str


def strain_limit(material: str) -> float | None:
    """Half of the breaking strain MOR / MOE of a wood; None where the table has no strength.

    Half the published breaking strain is common practice, no source.
    """
    data = wood(material)
    if data.moe is None or data.mor is None:
        return None
    return data.mor / (data.moe * 1000.0) / 2.0


def side_bends(hull: Hull, depth_in: float) -> tuple[tuple[str, Place, str], ...]:
    """Where the sides bend: the end towards which, the sharpest place, and the key that shapes it.

    Args:
        hull: whose sides.
        depth_in: of the surface that is looked at, inside the outer face, mm.
    """
    sizes = hull.design.hull
    if hull.surface is not None:
        bend = hull.surface.tightest_bend(depth_in)
        return (("", Place(bend.radius, bend.x), "hull.offsets" if sizes.offsets is not None else "hull.parallel_to"),)
    found = []
    if hull.bow_taper.curvature > 0.0:
        found.append(("towards the bow", Place(hull.bow_taper.radius, sizes.length), "hull.parallel_to"))
    if hull.stern_taper.curvature > 0.0:
        found.append(("towards the transom", Place(hull.stern_taper.radius, 0.0), "hull.parallel_from"))
    return tuple(found)


def bend_check(part: BentPart, units: Units) -> Check:
    """Hold a part's sharpest bend against what its wood takes, and tell which way its grain should run."""
    if wood(part.wood.material).kind == "solid":
        return _board(part, units)
    inch = part.wood.thickness / 25.4
    source = _TABLE + (_THIN if inch < 0.2499 else _THICK if inch > 0.7501 else "")
    grain: Literal["along", "across"] = "across" if part.wood.grain == "across" else "along"
    radius = part.place.radius
    limit = smallest_radius(part.wood.thickness, grain)
    if radius >= limit:
        return Check(part.name, "ok", radius, limit, "mm", source, f"{_where(part, units)}; {_confirmed(part, grain)}")
    return Check(part.name, "fail", radius, limit, "mm", source, f"{_where(part, units)}; {_remedies(part, grain)}")


def _where(part: BentPart, units: Units) -> str:
    strain = part.wood.thickness / (2.0 * part.place.radius) * 100.0
    return f"sharpest {both(max(part.place.x, 0.0), units)} from the transom, strain {strain:.2f} %"


def _confirmed(part: BentPart, grain: Literal["along", "across"]) -> str:
    """What is said of a sheet that takes its bend."""
    thickness, radius = part.wood.thickness, part.place.radius
    if grain == "along":
        told = "the sheet takes it with its grain either way"
    elif radius >= smallest_radius(thickness, "along"):
        told = f"grain {part.across} is right, and the sheet would take it the other way too"
    else:
        told = f"grain {part.across} is right: the other way the sheet would crack"
    if radius < _NEAR * smallest_radius(thickness, grain):
        return f"{told}; it is near its limit: {_DAMPEN}"
    return f"{told}; bend it dry, and slowly"


def _remedies(part: BentPart, grain: Literal["along", "across"]) -> str:
    """What would help a sheet that does not take its bend, the easiest first."""
    thickness, radius = part.wood.thickness, part.place.radius
    said = []
    if grain == "along" and radius >= smallest_radius(thickness, "across"):
        said.append(f'set wood.{part.family} grain = "across", so that the face grain runs {part.across}')
    best: Literal["along", "across"] = "across" if said else grain
    thin = _thickest(radius, best)
    said.append(f"{part.gentler}, or take a thinner sheet, up to {thin:.1f} mm")
    if best == "along":
        said[-1] += f" ({_thickest(radius, 'across'):.1f} mm where the grain can run {part.across})"
    if radius >= smallest_radius(thickness / 2.0, best):
        said.append(_two_layers(part))
    said.append(_DAMPEN)
    return "; or ".join(said[:-1]) + f"; {said[-1]}"


def _two_layers(part: BentPart) -> str:
    half = part.wood.thickness / 2.0
    return (
        f"two layers of {half:.1f} mm take it, each cut to its own outline: "
        f"the inner one comes out {half * abs(part.turn):.1f} mm shorter"
    )


def _thickest(radius: float, grain: Literal["along", "across"]) -> float:
    """The thickest sheet that bends to a radius, mm; by bisection, as the limit grows with the thickness."""
    low, high = 0.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if smallest_radius(middle, grain) <= radius:
            low = middle
        else:
            high = middle
    return low


def _board(part: BentPart, units: Units) -> Check:
    """A bent board, judged by its surface strain t / (2 R) (pure bending, any book on strength of materials)."""
    limit = strain_limit(part.wood.material)
    strain = part.wood.thickness / (2.0 * part.place.radius)
    place = f"sharpest {both(max(part.place.x, 0.0), units)} from the transom"
    if limit is None:
        advice = f"{place}; no strength is known for this wood: try a strip of it first"
        return Check(part.name, "warn", strain * 100.0, None, "% strain", _HALF, advice)
    if part.wood.grain == "across":
        advice = f'{place}; a board splits if its grain runs {part.across}: set wood.{part.family} grain = "along"'
        return Check(part.name, "fail", strain * 100.0, limit * 100.0, "% strain", _HALF, advice)
    if strain <= limit:
        slow = _DAMPEN if strain * _NEAR > limit else "bend it dry, and slowly"
        told = f"{place}; grain along the bend is right; {slow}"
        return Check(part.name, "ok", strain * 100.0, limit * 100.0, "% strain", _HALF, told)
    thin = 2.0 * limit * part.place.radius
    said = [f"{part.gentler}, or plane it to {thin:.1f} mm"]
    if strain <= 2.0 * limit:
        said.append(_two_layers(part))
    advice = f"{place}; {'; or '.join(said)}; {_DAMPEN}"
    return Check(part.name, "fail", strain * 100.0, limit * 100.0, "% strain", _HALF, advice)
