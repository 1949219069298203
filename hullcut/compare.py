"""Two boats side by side: what is measured of each, and what was changed in the design."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.check import Check
    from hullcut.design.values import Design

__all__ = ["Measure", "changed_keys", "compare_json", "measures_of"]


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure of both boats.

    Attributes:
        name: what is measured.
        unit: of both values.
        places: decimals worth telling.
        first, second: rounded to that; None where a boat has none.
    """

    name: str
    unit: str
    places: int
    first: float | None
    second: float | None

    @property
    def change(self) -> float | None:
        """From the first to the second, as told; None where one of them is missing."""
        if self.first is None or self.second is None:
            return None
        return round(self.second - self.first, self.places) + 0.0


def measures_of(a: OrderPlan, one: BoatPlan, b: OrderPlan, other: BoatPlan) -> tuple[Measure, ...]:
    """Sizes, weights, sheets, cost, flotation, foam, shaft, speed, bend and checks of two boats.

    Args:
        a: the plan that the first belongs to.
        one: the first.
        b: the plan that the second belongs to.
        other: the second.
    """
    pairs = zip(_measures(a, one), _measures(b, other), strict=True)
    return tuple(
        Measure(name, unit, places, *(None if v is None else round(v, places) + 0.0 for v in (x, y)))
        for (name, unit, places, x), (*_, y) in pairs
    )


def _measures(order: OrderPlan, plan: BoatPlan) -> list[tuple[str, str, int, float | None]]:
    """Name, unit, decimals and value of everything that is set side by side."""
    hull, found = plan.design.hull, plan.balance
    lies, reached = found.flotation, found.running.reached
    cost = [line.cost for line in order.layout.shopping if line.cost is not None]
    radius = plan.hull.bottom_sweep.radius
    bend = next((each for each in plan.checks if each.name.startswith("Bottom bends")), None)
    counts = {status: sum(each.status == status for each in plan.checks) for status in ("warn", "fail")}
    return [
        ("Length", "mm", 1, hull.length),
        ("Beam", "mm", 1, hull.beam),
        ("Depth", "mm", 1, hull.depth),
        ("Weight, half a tank", "g", 0, found.mass),
        ("Wood afloat", "g", 0, sum(each.mass for each in found.weights if each.kind == "part")),
        ("Balance point", "% of length", 1, found.cg[0] / hull.length * 100.0),
        ("Sheets and boards of the file", "", 0, float(sum(line.count for line in order.layout.shopping))),
        ("Cost at the file's prices", "", 2, sum(cost) if cost else None),
        ("Draft", "mm", 1, None if lies is None else lies.draft),
        ("Trim by the stern", "°", 2, None if lies is None else lies.trim),
        ("Freeboard, least", "mm", 1, None if lies is None else lies.freeboard),
        ("Steadiness, GM", "mm", 0, None if lies is None else lies.gm),
        ("Foam needed", "litres", 1, found.foam.total),
        ("Shaft angle", "°", 1, plan.arrangement.shaft.angle),
        ("Speed, estimate", "m/s", 1, None if reached is None else reached.likely),
        ("  at least", "m/s", 1, None if reached is None else reached.low),
        ("  at most", "m/s", 1, None if reached is None else reached.high),
        ("Bend of the bottom, least radius", "mm", 0, None if math.isinf(radius) else radius),
        ("  of the bend that its wood bears", "%", 0, None if bend is None else _used(bend)),
        ("Checks to watch", "", 0, float(counts["warn"])),
        ("Checks that fail", "", 0, float(counts["fail"])),
    ]


def _used(bend: Check) -> float | None:
    """How much of a bend's limit is used, per cent: a radius is better greater, a strain less."""
    if bend.value is None or bend.limit is None:
        return None
    return 100.0 * (bend.limit / bend.value if bend.unit == "mm" else bend.value / bend.limit)


def changed_keys(a: Design, b: Design) -> list[tuple[str, str, str]]:
    """Every dotted key whose value differs, with both values; what was left out counts as chosen by hullcut."""
    one, other = dict(_flat("", a)), dict(_flat("", b))
    rows = [(key, one.get(key, ""), other.get(key, "")) for key in dict.fromkeys([*one, *other])]
    return [row for row in rows if row[1] != row[2]]


# What tells where a design was read, and what it is called, but nothing of the boat.
_UNSAID = ("name", "about", "file", "lines")


def _flat(prefix: str, value: object) -> Iterator[tuple[str, str]]:
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            if prefix or field.name not in _UNSAID:
                yield from _flat(f"{prefix}.{field.name}" if prefix else field.name, getattr(value, field.name))
    elif isinstance(value, tuple) and (not value or dataclasses.is_dataclass(value[0])):
        for i, each in enumerate(value):
            yield from _flat(f"{prefix}[{i + 1}]", each)
    elif isinstance(value, float):
        yield prefix, f"{value:.1f}".removesuffix(".0") if abs(value) >= 100.0 else f"{value:.4g}"
    else:
        yield prefix, str(value)


def compare_json(a: OrderPlan, b: OrderPlan) -> list[dict[str, Any]]:
    """Both files' designs, pair by pair: measures and changed keys."""
    return [
        {
            "first": one.design.name,
            "second": other.design.name,
            "measures": [
                {"name": m.name.strip(), "unit": m.unit, "first": m.first, "second": m.second, "change": m.change}
                for m in measures_of(a, one, b, other)
            ],
            "changed": [{"key": key, "first": x, "second": y} for key, x, y in changed_keys(one.design, other.design)],
        }
        for one, other in zip(a.boat_plans, b.boat_plans, strict=False)
    ]
