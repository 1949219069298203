"""Checks of the hull's form: fair curves, and bends that the wood can take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.check import Check, verdict
from hullcut.design.bending import smallest_radius
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from hullcut.hull.fair_curve import Sweep
    from hullcut.hull.form import Hull

__all__ = ["hull_checks", "strain_limit"]

FAIR_RATIO = 1.3

_BEND_SOURCE = "APA, Concrete Forming guide, dry Douglas-fir plywood (quoted in Working with Curved Forms)"


def strain_limit(material: str) -> float | None:
    """Half of the breaking strain MOR / MOE of a wood; None where the table has no strength.

    Half the published breaking strain is common practice, no source.
    """
    data = wood(material)
    if data.moe is None or data.mor is None:
        return None
    return data.mor / (data.moe * 1000.0) / 2.0


def hull_checks(hull: Hull) -> tuple[Check, ...]:
    """The hull's checks, in the order in which a builder would ask."""
    checks = [_bottom_bend(hull), _fair(hull.bottom_sweep, "Bottom is fair")]
    for bend, words in ((hull.bow_taper, "towards the bow"), (hull.stern_taper, "towards the transom")):
        if bend.curvature > 0.0:
            checks += [_side_bend(hull, bend, words), _fair(bend, f"Plan is fair {words}")]
    return tuple(checks)


def _bottom_bend(hull: Hull) -> Check:
    bottom = hull.design.woods.bottom
    radius = hull.bottom_sweep.radius
    if wood(bottom.material).kind == "solid":
        return _strain("Bottom bends up at the bow", bottom.material, bottom.thickness, radius, "hull.flat_to")
    limit = smallest_radius(bottom.thickness, bottom.grain)
    thin = bottom.thickness < 6.3
    source = _BEND_SOURCE + ("; below 1/4 in carried on in proportion to the thickness" if thin else "")
    if radius >= limit:
        return Check("Bottom bends up at the bow", "ok", radius, limit, "mm", source, "bend it dry, and slowly")
    turned = "along" if bottom.grain == "across" else "across"
    other = smallest_radius(bottom.thickness, "across" if turned == "across" else "along")
    advice = "lessen hull.flat_to so that the sweep is longer, or take a thinner sheet"
    if turned == "across" and radius >= other:
        advice = 'set wood.bottom grain = "across", so that the face grain runs across the boat'
    return Check("Bottom bends up at the bow", "fail", radius, limit, "mm", source, advice)


def _side_bend(hull: Hull, bend: Sweep, words: str) -> Check:
    side = hull.design.woods.side
    name = f"Sides bend {words}"
    key = "hull.parallel_to" if "bow" in words else "hull.parallel_from"
    if wood(side.material).kind == "solid":
        return _strain(name, side.material, side.thickness, bend.radius, key)
    limit = smallest_radius(side.thickness, "across" if side.grain == "across" else "along")
    status = verdict(bend.radius >= limit)
    advice = "bend them dry, and slowly" if status == "ok" else f"change {key} so that the taper is longer"
    return Check(name, status, bend.radius, limit, "mm", _BEND_SOURCE, advice)


def _strain(name: str, material: str, thickness: float, radius: float, key: str) -> Check:
    """A bent board, judged by its surface strain t / (2 R) (pure bending, any book on strength of materials)."""
    limit = strain_limit(material)
    strain = thickness / (2.0 * radius)
    source = "half of MOR / MOE of the wood (Wood Handbook values; the half is common practice, no source)"
    if limit is None:
        advice = "no strength is known for this wood: try a strip of it first"
        return Check(name, "warn", strain * 100.0, None, "% strain", source, advice)
    status = verdict(strain <= limit)
    advice = (
        "bend it slowly, dampen the outer face" if status == "ok" else f"lengthen the bend ({key}) or plane thinner"
    )
    return Check(name, status, strain * 100.0, limit * 100.0, "% strain", source, advice)


def _fair(bend: Sweep, name: str) -> Check:
    ratio = bend.arc_radius / bend.radius
    status = verdict(ratio <= FAIR_RATIO)
    source = "hullcut's own rule: greatest curvature against that of the arc with the same sweep"
    advice = "" if status == "ok" else "give the bend more run for its rise"
    return Check(name, status, ratio, FAIR_RATIO, "times", source, advice)
