"""The two kinds of file: a design of one boat, and an order of several."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hullcut.design.models.fields import (
    Copies,
    Corners,
    Count,
    FilePath,
    Flag,
    Length,
    Material,
    Name,
    Prose,
    Table,
    Thickness,
    Words,
    given,
)
from hullcut.design.models.fittings import (
    BalanceTable,
    DriveTable,
    EngineTable,
    FastenersTable,
    FinTable,
    FittingTable,
    FoamTable,
    GlueTable,
    RadioTable,
    RudderTable,
    StandTable,
    WaterTable,
)
from hullcut.design.models.hull import (
    CleatsTable,
    DecksTable,
    HullTable,
    LapsTable,
    WindscreenTable,
    WoodTables,
)
from hullcut.design.models.shop import ShopTable

__all__ = ["BoatTable", "DesignFile", "ExtraTable", "OrderFile"]

_UNITS = "Unit of bare numbers, and the one that leads on paper: in (inches) or mm."
_SHOP = "What the workshop can get, and how it cuts."


class DesignFile(Table):
    """The design of one boat. Everything but its name and three sizes of the hull may be left out."""

    name: Name = Field(description="One word, used in the names of files.")
    units: Literal["in", "mm"] | None = given(_UNITS)
    about: Prose | None = given("A sentence or two for the cover of the build packet.")
    hull: HullTable = Field(description="The outside sizes of the hull.")
    laps: LapsTable = Field(default_factory=LapsTable, description="Which part covers which.")
    wood: WoodTables = Field(default_factory=WoodTables, description="The wood of each family of parts.")
    decks: DecksTable = Field(default_factory=DecksTable, description="The covering of the hull.")
    windscreen: WindscreenTable = Field(default_factory=WindscreenTable, description="The spray screen.")
    cleats: CleatsTable = Field(default_factory=CleatsTable, description="The strips in the corners.")
    fin: FinTable = Field(default_factory=FinTable, description="The small keel.")
    engine: EngineTable = Field(default_factory=EngineTable, description="The engine and what carries it.")
    drive: DriveTable = Field(default_factory=DriveTable, description="Shaft and propeller.")
    rudder: RudderTable = Field(default_factory=RudderTable, description="The rudder.")
    radio: RadioTable = Field(default_factory=RadioTable, description="Radio box, shelf and servos.")
    fittings: tuple[FittingTable, ...] = Field(default=(), description="Further things on board.")
    balance: BalanceTable = Field(default_factory=BalanceTable, description="Where the boat is to balance.")
    water: WaterTable = Field(default_factory=WaterTable, description="The water that the boat lies in.")
    foam: FoamTable = Field(default_factory=FoamTable, description="The foam that keeps a swamped boat afloat.")
    fasteners: FastenersTable = Field(default_factory=FastenersTable, description="Wood screws.")
    glue: GlueTable = Field(default_factory=GlueTable, description="The glue.")
    stand: StandTable = Field(default_factory=StandTable, description="The stand.")
    shop: ShopTable | None = given(_SHOP)


class BoatTable(Table):
    """One boat of an order, or several of one design."""

    design: FilePath = Field(description="The design's file, seen from the folder of the order.")
    builder: Words | None = given("Who builds it.")
    builders: tuple[Words, ...] | None = given("Who builds them, one boat for each name.")
    count: Count | None = given("How many boats; left out, one, or one for each builder.")


class ExtraTable(Table):
    """A part besides those of the boats: a rectangle by its sizes, or a polygon by its corners."""

    name: Name = Field(description="One word, used in the names of files.")
    material: Material = Field(description="The wood, as the stock tables name it.")
    thickness: Thickness = Field(description="Measured thickness.")
    length: Length | None = given("Length of a rectangle.")
    width: Length | None = given("Width of a rectangle.")
    corners: Corners | None = given("Corners of a polygon, in order, instead of length and width.")
    grain: Literal["along", "across", "any"] | None = given("Grain along the length, across it, or any; left out, any.")
    flip: Flag | None = given("Whether it may be turned over on the sheet; left out, true.")
    glue_up: Flag | None = given(
        "Whether a part of solid wood that is wider than any board on offer may be glued up from two boards, "
        "edge to edge; left out, false."
    )
    count: Copies | None = given("How many; left out, one.")


class OrderFile(Table):
    """An order of several boats, of one design or of several, and of further parts."""

    name: Name = Field(description="One word, used in the names of files.")
    units: Literal["in", "mm"] | None = given(_UNITS)
    boats: tuple[BoatTable, ...] = Field(default=(), description="The boats; may be left out where there are extras.")
    extra: tuple[ExtraTable, ...] = Field(default=(), description="Parts besides those of the boats.")
    shop: ShopTable | None = given(f"{_SHOP} It replaces the designs' own.")
