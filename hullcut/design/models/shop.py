"""The tables of the workshop: how it cuts, what is sold, what is in the rack."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hullcut.design.models.fields import Copies, Distance, Length, Material, Money, Table, Thickness, given

__all__ = ["RackTable", "ShopTable", "StockTable"]


class StockTable(Table):
    """One kind of sheet or board that can be bought."""

    kind: Literal["sheet", "board"] = Field(description="sheet (plywood) or board (solid wood).")
    material: Material = Field(description="The wood, as the stock tables name it.")
    thickness: Thickness = Field(description="Measured thickness as sold.")
    planed_to: Thickness | None = given("Thickness after resawing or planing; left out, used as sold.")
    length: Length = Field(description="Length as sold.")
    width: Length = Field(description="Width as sold.")
    grain: Literal["length", "width"] | None = given("Along which side the face grain runs; left out, the length.")
    available: Copies | None = given("How many can be had; left out, as many as needed.")
    price: Money | None = given("Price of one, in your own money.")


class RackTable(Table):
    """A leftover in the rack, to be used first."""

    material: Material = Field(description="The wood, as the stock tables name it.")
    thickness: Thickness = Field(description="Measured thickness.")
    planed_to: Thickness | None = given("Thickness after resawing or planing; left out, used as it is.")
    length: Length = Field(description="Length.")
    width: Length = Field(description="Width.")
    grain: Literal["length", "width"] | None = given("Along which side the face grain runs; left out, the length.")
    available: Copies | None = given("How many of this size are in the rack; left out, one.")


class ShopTable(Table):
    """What the workshop can get, and how it cuts."""

    market: Literal["inch", "metric"] | None = given("Which usual sizes are sold near you.")
    cutting: Literal["through", "shape"] | None = given(
        "through: blanks are freed by straight cuts from edge to edge; shape: outlines are sawn out."
    )
    saw_kerf: Distance | None = given("Width of wood that the straight saw turns to dust.")
    jigsaw_kerf: Distance | None = given("Width of wood that the curved saw turns to dust.")
    edge_trim: Distance | None = given("Cut off all round a new sheet, and off a board's ends, before use.")
    clearance: Distance | None = given("Left round a part that is not a plain rectangle.")
    stock: tuple[StockTable, ...] = Field(
        default=(), description="Sheets and boards on offer; left out, the usual sizes of the market."
    )
    rack: tuple[RackTable, ...] = Field(default=(), description="Leftovers in the rack, used first.")
