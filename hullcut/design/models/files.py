"""The two kinds of file: a design of one boat, and an order of several."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hullcut.design.models.fields import Count, FilePath, Name, Prose, Table, Words, given
from hullcut.design.models.fittings import (
    BalanceTable,
    DriveTable,
    EngineTable,
    FastenersTable,
    FinTable,
    FittingTable,
    GlueTable,
    RadioTable,
    RudderTable,
    StandTable,
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

__all__ = ["BoatTable", "DesignFile", "OrderFile"]

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


class OrderFile(Table):
    """An order of several boats, of one design or of several."""

    name: Name = Field(description="One word, used in the names of files.")
    units: Literal["in", "mm"] | None = given(_UNITS)
    boats: tuple[BoatTable, ...] = Field(description="The boats.", json_schema_extra={"minItems": 1})
    shop: ShopTable | None = given(f"{_SHOP} It replaces the designs' own.")
