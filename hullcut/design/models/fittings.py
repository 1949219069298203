"""The tables of everything that is put into the hull."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hullcut.design.models.fields import (
    Angle,
    BearingCount,
    BoltCount,
    Celsius,
    Density,
    Distance,
    Length,
    Litres,
    Mass,
    Offset,
    Power,
    Share,
    Speed,
    Table,
    TinyShare,
    Words,
    given,
)

__all__ = [
    "BalanceTable",
    "DriveTable",
    "EngineTable",
    "FastenersTable",
    "FinTable",
    "FittingTable",
    "FoamTable",
    "GlueTable",
    "RadioTable",
    "RudderTable",
    "StandTable",
    "WaterTable",
]


class FinTable(Table):
    """The small keel under the bottom."""

    depth: Length | None = given("How far it hangs below the bottom.")
    root: Length | None = given("Its length at the bottom of the boat.")
    tip: Length | None = given("Its length at the lower edge.")
    sweep: Distance | None = given("How far the tip's fore end stands behind the root's fore end.")
    tab: Distance | None = given("How far it stands up inside the hull, through its slot.")
    behind_balance: TinyShare | None = given(
        "How far its middle stands behind the balance point, as a share of the hull's length."
    )


class EngineTable(Table):
    """The engine saved from a garden tool, and what carries it. Weigh and measure yours."""

    mass: Mass | None = given("Grams, with clutch and empty tank.")
    fuel: Mass | None = given("Grams of fuel in a full tank.")
    output_height: Length | None = given(
        "Height of the output shaft's centre above the bottom's outer face, at the engine plate."
    )
    centre_ahead: Offset | None = given("How far the engine's centre of gravity is ahead of the engine plate.")
    centre_height: Length | None = given("Height of its centre of gravity above the bottom's outer face.")
    plate_at: Distance | None = given(
        "Distance from the transom to the engine plate's after face; left out, the balance chooses it."
    )
    housing_bore: Length | None = given("Diameter of the hole for the clutch housing.")
    bolt_circle: Distance | None = given("Diameter of the circle on which the bolts stand; 0 for none.")
    bolts: BoltCount | None = given("How many bolts stand on that circle.")
    bolt_diameter: Length | None = given("Diameter of the bolt holes.")
    plate_width: Length | None = given("Width of the engine plate, across the boat.")
    plate_height: Length | None = given("Height of the engine plate above the bearers, measured along it.")
    bearer_length: Length | None = given("Length of the bearers, along the boat.")
    bearer_height: Length | None = given(
        "Height of the bearers' after ends above the bottom's inner face; their tops rise forward with the shaft."
    )
    bearer_gap: Length | None = given("Clear width between the two bearers.")
    rpm: Speed | None = given("Turns a minute that the engine reaches under load.")
    power: Power | None = given("Watts that the engine gives at those turns.")


class DriveTable(Table):
    """Shaft and propeller."""

    propeller_diameter: Length | None = given("Across the tips of the blades.")
    propeller_behind: Length | None = given("How far the propeller's hub stands behind the transom.")
    propeller_mass: Mass | None = given("Grams, propeller with its nut.")
    strut_mass: Mass | None = given("Grams, strut with its bracket.")
    shaft_diameter: Length | None = given("Diameter of the solid shaft.")
    shaft_mass: Mass | None = given("Grams, the rod alone; left out, reckoned from its length as solid steel.")
    coupling_mass: Mass | None = given("Grams, coupling, collar and tube together.")
    tube_diameter: Length | None = given("Outside diameter of the tube that the shaft runs in.")
    pitch: Length | None = given("Pitch of the propeller; left out, hullcut proposes one.")
    rotation: Literal["clockwise", "counter-clockwise"] | None = given(
        "Which way the propeller turns ahead, seen from astern."
    )
    bearings: BearingCount | None = given(
        "How many bearings hold the rod, strut and tube's fore end included; left out, hullcut proposes how many."
    )


class RudderTable(Table):
    """The rudder, hung on the transom."""

    offset: Offset | None = given("From the centre line to its stock; above zero to port, below to starboard.")
    mass: Mass | None = given("Grams, with its bracket.")
    pad_width: Length | None = given("Width of the rudder pad and the strut pad, across the boat.")
    pad_height: Length | None = given("Height of both pads.")
    depth: Length | None = given("How far the blade's tip reaches below the bottom's plane.")
    throw: Angle | None = given("Degrees that it turns to either side.")


class RadioTable(Table):
    """The watertight radio box, its shelf and the servos."""

    shelf_from: Length | None = given("Distance from the transom to the shelf's after edge.")
    shelf_length: Length | None = given("Length of the shelf, along the boat.")
    shelf_height: Length | None = given("Height of the shelf's lower face above the bottom's outer face.")
    box_length: Length | None = given("Length of the radio box, along the boat.")
    box_width: Length | None = given("Width of the radio box, across the boat.")
    box_height: Length | None = given("Height of the radio box above the shelf.")
    mass: Mass | None = given("Grams, box with receiver.")
    battery_mass: Mass | None = given("Grams, the receiver's battery.")
    servo_mass: Mass | None = given("Grams, each servo.")
    servo_length: Length | None = given("Length of a servo's body, for the window in its mount.")
    servo_width: Length | None = given("Width of a servo's body.")
    servo_screws: Length | None = given("Between the centres of a servo's screw holes, along its body.")


class FittingTable(Table):
    """Any further thing on board that has a weight and a place."""

    name: Words = Field(description="What it is.")
    mass: Mass = Field(description="Grams.")
    x: Offset = Field(description="Distance forward of the transom.")
    y: Offset = Field(default=0.0, description="From the centre line; above zero to port, below to starboard.")
    z: Offset = Field(description="Height above the bottom's outer face.")


class BalanceTable(Table):
    """Where the boat is to balance."""

    point: Share | None = given("Distance of the balance point from the transom, as a share of the length.")


class WaterTable(Table):
    """The water that the boat lies in."""

    kind: Literal["fresh", "sea"] | None = given("Fresh water floats a boat a little lower than the sea.")
    temperature: Celsius | None = given("Degrees Celsius.")


class FoamTable(Table):
    """The closed-cell foam that keeps a swamped boat afloat. Fuel must not melt it: no polystyrene."""

    fore: Litres | None = given("Litres packed in the fore compartment; left out, as much as is needed.")
    aft: Litres | None = given("Litres packed abaft the engine; left out, as much as is needed.")
    diameter: Length | None = given("Outside diameter of round foam.")
    bore: Distance | None = given("Diameter of the hole through round foam; 0 for none.")
    density: Density | None = given("Weight of the foam, kg/m3.")


class FastenersTable(Table):
    """Wood screws."""

    gauge: Literal[4, 6, 8, 10] | None = given("Number of the screw's gauge.")
    length: Length | None = given("Length of the longest screw; thinner joints get shorter ones.")
    spacing: Length | None = given("Greatest distance between screws along an edge.")


class GlueTable(Table):
    """The glue."""

    kind: Literal["polyurethane", "epoxy", "exterior wood glue"] | None = given("Which kind of waterproof glue.")


class StandTable(Table):
    """The stand that carries and balances the boat."""

    height: Length | None = given("Height of the bottom above the bench.")
    spacing: Length | None = given("Between the two cradles, along the boat.")
    lip: Length | None = given("Height of the cradles' ends beside the hull.")
