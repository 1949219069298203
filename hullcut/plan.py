"""The plan as JSON: the machine-readable result of an order, and its JSON Schema.

Lengths are millimetres to six decimals, masses grams, angles degrees. Anyone can recompute every joint from `edges`,
`rulings` and the joints' own lines, and replay every placement and cut.
"""

from __future__ import annotations

import json
from collections import Counter
from typing import TYPE_CHECKING, Any

from hullcut.balance.weights import rod_length
from hullcut.plan_schema import plan_schema

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.balance.running import Run
    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.check import Check
    from hullcut.design.values import Order
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.nesting.values import Layout, Placement, Sheet
    from hullcut.parts.values import Joint, JointSide, Mark, Part, Point

__all__ = [
    "FORMAT",
    "VERSION",
    "balance_json",
    "balances_json",
    "checks_json",
    "parts_json",
    "plan_json",
    "plan_schema",
    "sheets_json",
    "to_text",
]

FORMAT = "hullcut-plan"
VERSION = 1

Json = dict[str, Any]


def plan_json(plan: OrderPlan) -> Json:
    """The whole plan."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "name": plan.order.name,
        "rules": _rules(plan.layout),
        "designs": [_design(each) for each in plan.boat_plans],
        "boats": [
            {"id": boat.id, "design": boat.design, "builder": boat.builder, "number": boat.number}
            for boat in plan.order.boats
        ],
        "parts": [
            *parts_json(plan.order, plan.boat_plans),
            *_parts(plan.extras, plan.extra_glue_ups, 1),
        ],
        **sheets_json(plan),
    }


def parts_json(order: Order, plans: Sequence[BoatPlan]) -> list[Json]:
    """The parts of all designs, with quantities for the whole order."""
    boats = Counter(boat.design for boat in order.boats)
    return [part for each in plans for part in _parts(each.parts, each.glue_ups, boats[each.design.name])]


def _parts(parts: Sequence[Part], glue_ups: Sequence[GlueUp], boats: int) -> list[Json]:
    """Parts, then the strips of those that are glued up: these are what lies on the boards."""
    found = [_part(part, boats) for part in parts]
    by_part = {glued.part: glued for glued in glue_ups}
    for part in found:
        if part["id"] in by_part:
            part["glued_up"] = _glued_up(by_part[part["id"]])
    strips = [{**_part(strip, boats), "strip_of": glued.part} for glued in glue_ups for strip in glued.strips]
    return [*found, *strips]


def _glued_up(glued: GlueUp) -> Json:
    """How a part's blank is glued up; places in the part's own drawing."""
    return {
        "strips": [
            {"part": strip.id, "x": _mm(x), "y": _mm(y)}
            for strip, (x, y) in zip(glued.strips, glued.corners, strict=True)
        ],
        "joint": _points(glued.joint),
        "allowance": _mm(glued.allowance),
        "area": _mm(glued.area),
    }


def checks_json(plans: Sequence[BoatPlan]) -> list[Json]:
    """The checks of each design."""
    return [{"name": each.design.name, "checks": [_check(check) for check in each.checks]} for each in plans]


def sheets_json(plan: OrderPlan) -> Json:
    """Stock, layout, bounds and shares of the cost."""
    layout = plan.layout
    return {
        "stock": [
            {
                "id": line.stock.id,
                "kind": line.stock.kind,
                "material": line.stock.material,
                "thickness": _mm(line.stock.thickness),
                "planed_to": _mm(line.stock.planed_to),
                "length": _mm(line.stock.length),
                "width": _mm(line.stock.width),
                "grain": line.stock.grain,
                "available": line.stock.available,
                "price": line.stock.price,
                "source": line.stock.source,
            }
            for line in layout.shopping
        ],
        "layout": [_sheet(sheet) for sheet in layout.sheets],
        "bound": [
            {
                "material": bound.material,
                "thickness": _mm(bound.thickness),
                "cutting": bound.cutting,
                "objective": bound.objective,
                "plan": _mm(bound.plan),
                "at_least": _mm(bound.at_least),
                "proven_best": bound.proven_best,
                "how": bound.how,
            }
            for bound in layout.bounds
        ],
        "cost": _cost(plan),
    }


def _cost(plan: OrderPlan) -> Json | None:
    """What all that is bought costs, and whose share is how much; None where a price is missing."""
    shares = plan.cost_shares
    if shares is None:
        return None
    return {
        "total": shares.total,
        "boats": [{"boat": boat, "cost": cost} for boat, cost in shares.boats],
        "extras": [{"part": part, "cost": cost} for part, cost in shares.extras],
    }


def to_text(value: Json | list[Json]) -> str:
    """JSON text: what holds no mapping, as a row of points, and mappings of plain values stand on a line each."""
    return _laid_out(value, "\n") + "\n"


_ENCODE = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode


def _laid_out(value: Any, end: str) -> str:  # noqa: ANN401 - any JSON value
    """A value's text; `end` is a line feed and what the value's own line is indented by."""
    within = end + " "
    if isinstance(value, dict) and any(isinstance(each, dict | list) for each in value.values()):
        rows = [f"{_ENCODE(key)}: {_laid_out(each, within)}" for key, each in value.items()]
        return "{" + within + ("," + within).join(rows) + end + "}"
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[" + within + ("," + within).join(_laid_out(each, within) for each in value) + end + "]"
    return _ENCODE(value)


def _mm(value: float) -> float:
    return round(float(value), 6) + 0.0


def _rounded(value: Any) -> Any:  # noqa: ANN401 - any JSON value
    """A JSON value with every number to six decimals."""
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_rounded(each) for each in value]
    return _mm(value) if isinstance(value, float) else value


def _points(points: tuple[Point, ...]) -> list[list[float]]:
    return [[_mm(x), _mm(y)] for x, y in points]


def _rules(layout: Layout) -> Json:
    rules = layout.rules
    return {
        "cutting": rules.cutting,
        "kerf": _mm(rules.kerf),
        "trim": _mm(rules.trim),
        "clearance": _mm(rules.clearance),
        "objective": rules.objective,
    }


def _design(each: BoatPlan) -> Json:
    return {
        "name": each.design.name,
        "joints": [_joint(joint) for joint in each.joints],
        "checks": [_check(check) for check in each.checks],
        "balance": _rounded(balance_json(each)),
    }


def balances_json(plans: Sequence[BoatPlan]) -> list[Json]:
    """The balance of each design, with its checks."""
    return [{"name": each.design.name, "balance": balance_json(each)} for each in plans]


def balance_json(each: BoatPlan) -> Json:
    """Weights, flotation, foam, shaft line and running of a design; what floats is null where the boat sinks."""
    found, shaft = each.balance, each.arrangement.shaft
    lies, foam = found.flotation, found.foam
    x, y, z = found.cg
    return {
        "mass": _mm(found.mass),
        "cg": {"x": _mm(x), "y": _mm(y), "z": _mm(z)},
        "inertia": _mm(found.inertia),
        "weights": [
            {"name": w.name, "kind": w.kind, "mass": _mm(w.mass), "x": _mm(w.x), "y": _mm(w.y), "z": _mm(w.z)}
            for w in found.weights
        ],
        "draft": None if lies is None else _mm(lies.draft),
        "trim": None if lies is None else _mm(lies.trim),
        "heel": None if lies is None else _mm(lies.heel),
        "freeboard": None if lies is None else _mm(lies.freeboard),
        "gm": None if lies is None else _mm(lies.gm),
        "waterline": None if lies is None else {"at_transom": _mm(lies.line[0]), "slope": round(lies.line[1], 9) + 0.0},
        "righting_arms": [] if lies is None else [[_mm(arm.heel), _mm(arm.arm)] for arm in lies.arms],
        "foam_volume": {"fore": _mm(foam.fore), "aft": _mm(foam.aft)},
        "fin_x": _mm(each.arrangement.fin_x),
        "shaft": {
            "angle": _mm(shaft.angle),
            "length": _mm(rod_length(each.arrangement)),
            "exit_x": _mm(shaft.exit_x),
            "slot_length": _mm(shaft.slot_to - shaft.slot_from),
            "bearings": [_mm(place) for place in found.drive.places],
            "critical": _mm(found.drive.critical),
        },
        "running": [_run(run) for run in found.running.runs],
    }


def _run(run: Run) -> Json:
    """One speed; drag in newtons and power in watts, each as low, likely, high."""
    return {
        "speed": _mm(run.speed),
        "trim": None if run.trim is None else _mm(run.trim),
        "wetted": None if run.wetted is None else _mm(run.wetted),
        "drag": None if run.drag is None else [_mm(v) for v in (run.drag.low, run.drag.likely, run.drag.high)],
        "power": None if run.power is None else [_mm(v) for v in (run.power.low, run.power.likely, run.power.high)],
        "flags": list(run.flags),
    }


def _joint(joint: Joint) -> Json:
    return {
        "name": joint.name,
        "a": _joint_side(joint.a),
        "b": _joint_side(joint.b),
        "mismatch": _mm(joint.mismatch),
    }


def _joint_side(side: JointSide) -> Json:
    return {
        "part": side.part,
        "edge": side.edge,
        "line": _points(side.line),
        "offset": _mm(side.offset),
        "flat_length": _mm(side.flat_length),
        "length": _mm(side.length),
    }


def _check(check: Check) -> Json:
    return {
        "name": check.name,
        "status": check.status,
        "value": None if check.value is None else _mm(check.value),
        "limit": None if check.limit is None else _mm(check.limit),
        "unit": check.unit,
        "source": check.source,
        "advice": check.advice,
    }


def _part(part: Part, boats: int) -> Json:
    return {
        "id": part.id,
        "design": part.design,
        "name": part.name,
        "quantity": part.quantity * boats,
        "hand": part.hand,
        "material": part.material,
        "thickness": _mm(part.thickness),
        "grain": part.grain,
        "flip": part.flip,
        "outline": _points(part.outline),
        "holes": [_points(hole) for hole in part.holes],
        "edges": [
            {
                "name": edge.name,
                "from": edge.start,
                "to": edge.stop,
                "bevel": _mm(edge.bevel),
                "long_face": edge.long_face,
                "bevels": [[_mm(at.x), _mm(at.y), _mm(at.degrees)] for at in edge.bevels],
            }
            for edge in part.edges
        ],
        "rulings": [
            {"x0": _mm(r.x0), "y0": _mm(r.y0), "x1": _mm(r.x1), "y1": _mm(r.y1), "turn": round(r.turn, 9) + 0.0}
            for r in part.rulings
        ],
        "marks": [_mark(mark) for mark in part.marks],
        "area": _mm(part.area),
        "mass": _mm(part.mass),
    }


def _mark(mark: Mark) -> Json:
    return {
        "kind": mark.kind,
        "name": mark.name,
        "face": mark.face,
        "points": _points(mark.points),
        "diameter": None if mark.diameter is None else _mm(mark.diameter),
        "length": None if mark.length is None else _mm(mark.length),
    }


def _placement(placement: Placement) -> Json:
    return {
        "part": placement.part,
        "boat": placement.boat,
        "x": _mm(placement.x),
        "y": _mm(placement.y),
        "rotation": _mm(placement.rotation),
        "mirrored": placement.mirrored,
    }


def _sheet(sheet: Sheet) -> Json:
    return {
        "stock": sheet.stock.id,
        "number": sheet.number,
        "length": _mm(sheet.length),
        "width": _mm(sheet.width),
        "placements": [_placement(each) for each in sheet.placements],
        "blanks": [
            {
                "id": blank.id,
                "x": _mm(blank.x),
                "y": _mm(blank.y),
                "length": _mm(blank.length),
                "width": _mm(blank.width),
                "placements": [_placement(each) for each in blank.placements],
            }
            for blank in sheet.blanks
        ],
        "cuts": [
            {
                "order": cut.order,
                "piece": cut.piece,
                "makes": list(cut.makes),
                "fence": _mm(cut.fence),
                "x0": _mm(cut.x0),
                "y0": _mm(cut.y0),
                "x1": _mm(cut.x1),
                "y1": _mm(cut.y1),
            }
            for cut in sheet.cuts
        ],
        "offcuts": [
            {"x": _mm(o.x), "y": _mm(o.y), "length": _mm(o.length), "width": _mm(o.width)} for o in sheet.offcuts
        ],
        "used_fraction": _mm(sheet.used_fraction),
    }
