"""The JSON Schema of plan.json (draft 2020-12)."""

from __future__ import annotations

from typing import Any

__all__ = ["plan_schema"]

Json = dict[str, Any]

_NUMBER: Json = {"type": "number"}
_SIZE: Json = {"type": "number", "minimum": 0}
_TEXT: Json = {"type": "string"}
_FLAG: Json = {"type": "boolean"}
_COUNT: Json = {"type": "integer", "minimum": 0}
_POINT: Json = {"type": "array", "items": _NUMBER, "minItems": 2, "maxItems": 2}
_LINE: Json = {"type": "array", "items": _POINT, "minItems": 2}
_RING: Json = {"type": "array", "items": _POINT, "minItems": 3}


def _choice(*values: str | None) -> Json:
    return {"enum": list(values)}


def _maybe(kind: str, **more: float) -> Json:
    return {"type": [kind, "null"], **more}


def _object(**properties: Json) -> Json:
    """An object with just these keys, all of them required; a trailing underscore keeps clear of Python's words."""
    named = {key.rstrip("_"): value for key, value in properties.items()}
    return {"type": "object", "properties": named, "required": list(named), "additionalProperties": False}


def _with(value: Json, **optional: Json) -> Json:
    """An object that may have further keys."""
    return {**value, "properties": {**value["properties"], **optional}}


def _list(of: Json, least: int = 0) -> Json:
    return {"type": "array", "items": of, "minItems": least}


def _joint_side() -> Json:
    return _object(part=_TEXT, edge=_TEXT, line=_LINE, offset=_NUMBER, flat_length=_SIZE, length=_SIZE)


def _check() -> Json:
    return _object(
        name=_TEXT,
        status=_choice("ok", "warn", "fail"),
        value=_maybe("number"),
        limit=_maybe("number"),
        unit=_TEXT,
        source=_TEXT,
        advice=_TEXT,
    )


def _part() -> Json:
    edge = _object(
        name=_TEXT,
        from_=_COUNT,
        to=_COUNT,
        bevel=_SIZE,
        long_face=_choice("inner", "outer", None),
        bevels=_list({"type": "array", "items": _NUMBER, "minItems": 3, "maxItems": 3}),
    )
    ruling = _object(x0=_NUMBER, y0=_NUMBER, x1=_NUMBER, y1=_NUMBER, turn=_NUMBER)
    mark = _object(
        kind=_TEXT,
        name=_TEXT,
        face=_choice("inner", "outer", "both"),
        points={"type": "array", "items": _POINT, "minItems": 1},
        diameter=_maybe("number", exclusiveMinimum=0),
        length=_maybe("number", exclusiveMinimum=0),
    )
    glued_up = {
        "description": "Only on a part that is glued up from two strips, edge to edge, before its outline is cut. "
        "Each strip is a part of its own, whose lower left corner as cut stands at x, y of this part's drawing, "
        "before `allowance` is planed off each edge that meets. `joint` has the joint's ends on the blank; `area` is "
        "glued, mm2 of one copy. The strips lie on the stock, not the part.",
        **_object(
            strips={**_list(_object(part=_TEXT, x=_NUMBER, y=_NUMBER), 2), "maxItems": 2},
            joint={**_LINE, "maxItems": 2},
            allowance=_SIZE,
            area=_SIZE,
        ),
    }
    strip_of = {"description": "Only on a strip: the id of the part that is glued up from it.", **_TEXT}
    part = _object(
        id=_TEXT,
        design=_TEXT,
        name=_TEXT,
        quantity={"type": "integer", "minimum": 1},
        hand=_choice("port", "starboard", None),
        material=_TEXT,
        thickness=_SIZE,
        grain=_choice("along", "across", "any"),
        flip=_FLAG,
        outline=_RING,
        holes=_list(_RING),
        edges=_list(edge, 1),
        rulings=_list(ruling),
        marks=_list(mark),
        area=_SIZE,
        mass=_SIZE,
    )
    return _with(part, glued_up=glued_up, strip_of=strip_of)


def _layout() -> Json:
    placement = _object(part=_TEXT, boat=_TEXT, x=_NUMBER, y=_NUMBER, rotation=_NUMBER, mirrored=_FLAG)
    blank = _object(id=_TEXT, x=_NUMBER, y=_NUMBER, length=_SIZE, width=_SIZE, placements=_list(placement))
    cut = _object(
        order={"type": "integer", "minimum": 1},
        piece=_TEXT,
        makes=_list(_TEXT),
        fence=_SIZE,
        x0=_NUMBER,
        y0=_NUMBER,
        x1=_NUMBER,
        y1=_NUMBER,
    )
    offcut = _object(x=_NUMBER, y=_NUMBER, length=_SIZE, width=_SIZE)
    return _object(
        stock=_TEXT,
        number={"type": "integer", "minimum": 1},
        length=_SIZE,
        width=_SIZE,
        placements=_list(placement),
        blanks=_list(blank),
        cuts=_list(cut),
        offcuts=_list(offcut),
        used_fraction={"type": "number", "minimum": 0, "maximum": 1},
    )


def _balance() -> Json:
    weight = _object(
        name=_TEXT,
        kind=_choice("part", "allowance", "fitting", "fuel", "contingency"),
        mass=_SIZE,
        x=_NUMBER,
        y=_NUMBER,
        z=_NUMBER,
    )
    band = {"type": ["array", "null"], "items": _SIZE, "minItems": 3, "maxItems": 3}
    run = _object(
        speed=_SIZE, trim=_maybe("number"), wetted=_maybe("number"), drag=band, power=band, flags=_list(_TEXT)
    )
    shaft = _object(
        angle=_SIZE, length=_SIZE, exit_x=_NUMBER, slot_length=_SIZE, bearings=_list(_NUMBER, 2), critical=_SIZE
    )
    return _object(
        mass=_SIZE,
        cg=_object(x=_NUMBER, y=_NUMBER, z=_NUMBER),
        inertia=_SIZE,
        weights=_list(weight, 1),
        draft=_maybe("number"),
        trim=_maybe("number"),
        heel=_maybe("number"),
        freeboard=_maybe("number"),
        gm=_maybe("number"),
        waterline={"anyOf": [_object(at_transom=_NUMBER, slope=_NUMBER), {"type": "null"}]},
        righting_arms=_list(_POINT),
        foam_volume=_object(fore=_SIZE, aft=_SIZE),
        fin_x=_NUMBER,
        shaft=shaft,
        running=_list(run),
    )


def plan_schema() -> Json:
    """The schema: no other keys allowed, and all required but those that tell of parts that are glued up."""
    rules = _object(cutting=_choice("through", "shape"), kerf=_SIZE, trim=_SIZE, clearance=_SIZE, objective=_TEXT)
    joint = _object(name=_TEXT, a=_joint_side(), b=_joint_side(), mismatch=_SIZE)
    design = _object(name=_TEXT, joints=_list(joint), checks=_list(_check()), balance=_balance())
    boat = _object(id=_TEXT, design=_TEXT, builder=_TEXT, number={"type": "integer", "minimum": 1})
    stock = _object(
        id=_TEXT,
        kind=_choice("sheet", "board", "leftover"),
        material=_TEXT,
        thickness=_SIZE,
        planed_to=_SIZE,
        length=_SIZE,
        width=_SIZE,
        grain=_choice("length", "width"),
        available=_maybe("integer", minimum=0),
        price=_maybe("number", minimum=0),
        source=_TEXT,
    )
    bound = _object(
        material=_TEXT,
        thickness=_SIZE,
        cutting=_TEXT,
        objective=_TEXT,
        plan=_SIZE,
        at_least=_SIZE,
        proven_best=_FLAG,
        how=_TEXT,
    )
    cost = {
        "description": "What all that is bought costs, in the order's money, and the shares of boats and extra parts: "
        "each wood's cost by the area of the blanks cut from it, waste in the same proportion. The shares add up to "
        "the total to the cent. Null where something bought has no price.",
        "anyOf": [
            _object(
                total=_SIZE,
                boats=_list(_object(boat=_TEXT, cost=_SIZE)),
                extras=_list(_object(part=_TEXT, cost=_SIZE)),
            ),
            {"type": "null"},
        ],
    }
    whole = _object(
        format={"const": "hullcut-plan"},
        version={"const": 1},
        name=_TEXT,
        rules=rules,
        designs=_list(design),
        boats=_list(boat),
        parts=_list(_part()),
        stock=_list(stock),
        layout=_list(_layout()),
        bound=_list(bound),
        cost=cost,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "hullcut plan",
        "description": "Parts, joints, checks and layout of an order. Millimetres, grams, degrees.",
        **whole,
    }
