"""The tables that shape the hull and name its wood."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ConfigDict, Field, model_validator

from hullcut.design.models.fields import (
    Angle,
    Distance,
    FilePath,
    Flag,
    Flare,
    Length,
    Material,
    Rake,
    Table,
    Thickness,
    given,
)

__all__ = [
    "CleatsTable",
    "DecksTable",
    "HullTable",
    "LapsTable",
    "WindscreenTable",
    "WoodTable",
    "WoodTables",
]


def _either_sizes_or_offsets(schema: dict[str, Any]) -> None:
    schema.pop("required", None)
    schema["anyOf"] = [{"required": ["length", "beam", "depth"]}, {"required": ["offsets"]}]


class HullTable(Table):
    """The outside sizes of the hull, as a tape measures them; or a table of offsets."""

    model_config = ConfigDict(json_schema_extra=_either_sizes_or_offsets)

    length: Length | None = Field(
        description="From the transom's outer face to the foremost wood; left out beside offsets."
    )
    beam: Length | None = Field(
        description="Greatest width, outside to outside at the sheer (the sides' upper edges); left out beside offsets."
    )
    depth: Length | None = Field(
        description="Height of the hull amidships, outside, from the bottom to the sheer; left out beside offsets."
    )
    offsets: FilePath | None = given(
        "A table of offsets (.csv) beside the design that gives the hull instead of sizes, with the columns x, "
        "chine_half_breadth, chine_height, sheer_half_breadth, sheer_height."
    )
    read_to: Distance | None = given(
        "How exactly the offsets were read off the drawing: the lines are made fair within this, instead of going "
        "through every point."
    )
    bow: Literal["sled", "pram", "stem"] | None = given(
        "How the hull ends forward; sled: the bottom sweeps up until it meets the sheer; "
        "pram: it ends in a bow transom; stem: the sides meet."
    )
    beam_at_transom: Length | None = given("Width at the transom, outside to outside at the sheer.")
    beam_at_bow: Length | None = given("Width at the bow, outside to outside at the sheer.")
    flare: Flare | None = given("Degrees that the sides lean outward; 0 for upright sides.")
    flat_to: Length | None = given(
        "Distance from the transom to where the bottom's straight run ends and its sweep begins."
    )
    parallel_from: Distance | None = given(
        "Distance from the transom to where the boat stops widening and runs parallel."
    )
    parallel_to: Length | None = given("Distance from the transom to where the boat begins to narrow to the bow.")
    bow_height: Length | None = given("How far the bottom rises to the bow of a pram or a stem.")
    bow_rake: Rake | None = given("Degrees that a pram's bow transom, or a stem, leans forward.")
    transom_rake: Rake | None = given("Degrees that the transom leans aft.")
    rocker: Distance | None = given(
        "How far the bottom's after end stands above its lowest point; a planing bottom wants 0, a straight run."
    )
    rocker_to: Distance | None = given("Distance from the transom to where the bottom's after rise ends.")
    sheer_rise: Distance | None = given("How far the sheer stands higher at the bow than amidships.")
    sheer_from: Distance | None = given("Distance from the transom to where the sheer begins to rise.")

    @model_validator(mode="before")
    @classmethod
    def _sizes_may_be_left_out_beside_offsets(cls, data: Any) -> Any:  # noqa: ANN401 - whatever stands in the file
        if not isinstance(data, dict) or "offsets" not in data:
            return data
        return {"length": None, "beam": None, "depth": None, **data}


class LapsTable(Table):
    """Which part covers which at the hull's corners."""

    bottom: Literal["under", "between"] | None = given(
        "under: the bottom covers the lower edges of sides and transom; between: they cover its edges."
    )
    transom: Literal["between", "over"] | None = given(
        "between: the sides cover the transom's ends; over: the transom covers the sides' ends."
    )
    deck: Literal["over", "between"] | None = given(
        "over: the deck covers the upper edges of sides and transom; between: they cover its edges."
    )
    trim_allowance: Distance | None = given("Extra wood left outside lapped edges, planed flush after gluing.")


class WoodTable(Table):
    """What one family of parts is cut from."""

    material: Material | None = given("The wood, as the stock tables name it.")
    thickness: Thickness | None = given("Measured thickness; what is sold as 1/4 in is often 5.2 mm.")
    grain: Literal["along", "across", "any"] | None = given(
        "How the face grain runs on the part: along its drawn length, across it, or any."
    )
    glue_up: Flag | None = given(
        "Whether a part of solid wood that is wider than any board on offer may be glued up from two boards, "
        "edge to edge; left out, false."
    )


def _wood(parts: str) -> WoodTable:
    table: WoodTable = Field(default_factory=WoodTable, description=f"Wood of {parts}.")
    return table


class WoodTables(Table):
    """The wood of each family of parts."""

    side: WoodTable = _wood("the two sides")
    bottom: WoodTable = _wood("the bottom; its drawn length runs along the boat")
    transom: WoodTable = _wood("the transom; its drawn length runs across the boat")
    nose_block: WoodTable = _wood("the nose block; its drawn length runs across the boat")
    deck: WoodTable = _wood("the glued decks")
    hatch: WoodTable = _wood("the hatch")
    windscreen: WoodTable = _wood("the windscreen")
    deck_beam: WoodTable = _wood("the deck beams")
    bulkhead: WoodTable = _wood("the bulkhead")
    cleat: WoodTable = _wood("the cleats; their thickness is their breadth on the bottom")
    knee: WoodTable = _wood("the knees")
    pad: WoodTable = _wood("the strut pad and the rudder pad")
    fin: WoodTable = _wood("the fin")
    engine_plate: WoodTable = _wood("the engine plate")
    bearer: WoodTable = _wood("the two engine bearers")
    shelf: WoodTable = _wood("the radio shelf")
    servo_mount: WoodTable = _wood("the servo mounts")
    batten: WoodTable = _wood("the battens under the hatch")
    stand: WoodTable = _wood("the stand")


class DecksTable(Table):
    """The covering of the hull."""

    fore_from: Length | None = given("Distance from the transom to the fore deck's after edge.")
    after_to: Length | None = given("Distance from the transom to the fore edge of the after deck or hatch.")
    after: Literal["deck", "hatch", "open"] | None = given(
        "What covers the stern: deck (screwed on, flush with the sides), hatch (screwed on, with battens under it) or "
        "open (nothing). Deck and hatch both come off."
    )
    beam_depth: Length | None = given("Height of the deck beams.")
    batten_width: Length | None = given("Width of the battens under the hatch.")
    hatch_gap: Distance | None = given("Play between the hatch's battens and what they drop between.")
    coaming: Distance | None = given(
        "Height above the deck of a rim that carries the hatch as a lid; 0: the hatch covers the whole stern."
    )
    crown: Distance | None = given("How far the after deck's middle stands above its edges; 0 for a flat deck.")


class WindscreenTable(Table):
    """The spray screen at the after edge of the fore deck."""

    fitted: Flag | None = given("true or false: whether there is a windscreen.")
    height: Length | None = given("Height, measured up its face.")
    width_foot: Length | None = given("Width along the deck.")
    width_top: Length | None = given("Width along its upper edge.")
    rake: Angle | None = given("Degrees that it leans aft from upright.")
    wing: Distance | None = given("Length along the deck of a wing folded aft at either end; 0 for a flat screen.")
    wing_angle: Angle | None = given("Degrees between the foot of a wing and the centre line.")


class CleatsTable(Table):
    """The strips glued into the corners, and the knees."""

    chine_height: Length | None = given("Height of the chine cleats (side to bottom) on the side.")
    sheer_height: Length | None = given("Height of the sheer cleats (side to deck) on the side.")
    transom_height: Length | None = given("Height of the cleats on the transom.")
    knee_leg: Length | None = given("Length of each leg of the knees.")
