"""Which woods, glues and fastenings may stand in for those of a design, and what that changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.lengths import both
from hullcut.packet.organiser.plain_section import OrganiserSection
from hullcut.stock.woods import wood, woods

if TYPE_CHECKING:
    from hullcut.boat_plan import BoatPlan
    from hullcut.parts.values import Part

__all__ = ["changed_mass", "substitution_section"]

# A wood is offered in another's place if it is of its kind and no lighter in strength than this share of it.
_LEAST_STRENGTH = 0.8

# Families whose part has not the same name in every boat.
_NAMED = ("nose_block", "hatch")

_FURTHER = (
    ("the chosen glue", "another of the three glues", "spread, times, whose hands: name it in the design"),
    ("brass screws", "stainless steel screws", "nothing; drill the same holes"),
    ("flat-head screws", "ring-shank nails of bronze", "half the spacing; they do not come out again"),
    ("exterior plywood of the same layers", "no other sheet", "chipboard and hardboard swell and fall apart"),
)


def changed_mass(plan: BoatPlan, key: str, other: str) -> float:
    """By how many grams a boat afloat gets heavier when one wood takes another's place, all thicknesses kept."""
    ratio = wood(other).density / wood(key).density
    return sum(
        part.mass * part.quantity * (ratio - 1.0)
        for part in plan.parts
        if part.material == key and part.family != "stand"
    )


def _kind(part: Part) -> str:
    """What a part is, in the words of the parts list: block and cover differ from boat to boat."""
    return part.name.lower() if part.family in _NAMED else part.family.replace("_", " ")


def substitution_section(plan: BoatPlan) -> OrganiserSection:
    """The table of substitutions of a design."""
    rows: list[tuple[str, ...]] = []
    used = dict.fromkeys(part.material for part in plan.parts)
    for key in used:
        data = wood(key)
        families = ", ".join(dict.fromkeys(_kind(part) for part in plan.parts if part.material == key))
        for other in woods():
            if other.key == key or other.kind != data.kind:
                continue
            strong = data.mor is None or other.mor is None or other.mor >= _LEAST_STRENGTH * data.mor
            change = changed_mass(plan, key, other.key)
            note = f"{change:+.0f} g afloat" + ("" if strong else "; weaker: not for bearers and cleats that bend")
            rows.append((f"{data.name} ({families})", other.name, note))
    rows += _FURTHER
    thick = both(
        next(part for part in plan.parts if part.family == "bottom").thickness, plan.design.units, 32, decimals=1
    )
    return OrganiserSection(
        (
            "Never swap by eye: write the wood and its measured thickness into the design file and make everything "
            "again. Every part, the balance point and the bending checks follow.",
            f"The bottom is drawn for {thick}: a thicker sheet may not take the bend, and hullcut then says so.",
            "Keep the same kind: solid wood for cleats, beams and bearers, plywood for panels.",
        ),
        ("Instead of", "take", "what changes"),
        (70.0, 45.0, 60.0),
        tuple(rows),
        "Densities and strengths: the table of woods, each with its source. Nails: common practice, no source.",
    )
