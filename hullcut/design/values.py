"""What a person asks for, as frozen values in millimetres, grams and degrees.

The reader turns a file into an `Order`; every later stage takes only these values. Lengths along the boat are
measured from the transom's lower outer edge, forward.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from hullcut.design.offsets import Offsets

__all__ = [
    "Balance",
    "Boat",
    "Cleats",
    "Decks",
    "Design",
    "Drive",
    "Engine",
    "Extra",
    "Fasteners",
    "Fin",
    "Fitting",
    "Foam",
    "Grain",
    "HullSizes",
    "Laps",
    "Order",
    "Radio",
    "Rudder",
    "Shop",
    "Stand",
    "Stock",
    "Water",
    "Windscreen",
    "Wood",
    "Woods",
]

Grain = Literal["along", "across", "any"]


@dataclass(frozen=True, slots=True)
class HullSizes:
    """The outside sizes of the hull, as a tape measures them.

    Attributes:
        length: to the foremost wood.
        beam: greatest, outside to outside at the sheer.
        depth: outside, bottom to sheer, amidships.
        bow: how the hull ends forward; "sled" sweeps the bottom up to the sheer, "pram" ends in a bow transom, "stem"
            brings the sides together.
        beam_at_transom: outside to outside at the sheer, at x = 0.
        beam_at_bow: outside to outside at the sheer, at x = length.
        flare: degrees that the sides lean outward, one angle all along.
        flat_to: x where the bottom's straight run ends and its sweep begins.
        parallel_from: x where the plan stops widening and runs parallel.
        parallel_to: x where the plan begins to narrow towards the bow.
        bow_height: how far a pram's or stem's bottom rises to the bow, mm; a sled's rises to the sheer.
        bow_rake: degrees that a pram's bow transom or a stem leans forward.
        transom_rake: degrees that the transom leans aft.
        rocker: how far the bottom's after end stands above its lowest point.
        rocker_to: x where the bottom's after rise ends and its straight run begins.
        sheer_rise: how far the sheer stands higher at the bow than amidships.
        sheer_from: x where the sheer begins to rise.
        offsets: the table that gives chine and sheer; the other sizes are then measured on it. None where the sizes
            give the hull.
        read_to: how far a half breadth or height may be moved off the table to make the lines fair, mm.
    """

    length: float
    beam: float
    depth: float
    bow: Literal["sled", "pram", "stem"]
    beam_at_transom: float
    beam_at_bow: float
    flare: float
    flat_to: float
    parallel_from: float
    parallel_to: float
    bow_height: float
    bow_rake: float
    transom_rake: float
    rocker: float
    rocker_to: float
    sheer_rise: float
    sheer_from: float
    offsets: Offsets | None = None
    read_to: float = 0.0


@dataclass(frozen=True, slots=True)
class Laps:
    """Which part covers which at the hull's corners.

    Attributes:
        bottom: "under": the bottom covers the lower edges of sides and transom; "between": they cover its
            edges.
        transom: "between": the sides cover the transom's ends; "over": the transom covers the sides' ends.
        deck: "over": the deck covers the sides' and the transom's upper edges; "between": they cover its
            edges.
        trim_allowance: extra wood outside the true line of lapped edges, planed flush after gluing.
    """

    bottom: Literal["under", "between"]
    transom: Literal["between", "over"]
    deck: Literal["over", "between"]
    trim_allowance: float


@dataclass(frozen=True, slots=True)
class Wood:
    """What a part is cut from.

    Attributes:
        material: key of a wood in the stock tables, "yellow-poplar".
        thickness: actual, measured.
        grain: of the part: "along" its drawn x, "across" it, or "any". For the bottom x is along the boat.
        glue_up: whether a part wider than any board on offer may be glued up from two boards, edge to edge.
    """

    material: str
    thickness: float
    grain: Grain
    glue_up: bool = False


@dataclass(frozen=True, slots=True)
class Woods:
    """The wood of each family of parts."""

    side: Wood
    bottom: Wood
    transom: Wood
    nose_block: Wood
    deck: Wood
    hatch: Wood
    windscreen: Wood
    deck_beam: Wood
    bulkhead: Wood
    cleat: Wood
    knee: Wood
    pad: Wood
    fin: Wood
    engine_plate: Wood
    bearer: Wood
    shelf: Wood
    servo_mount: Wood
    batten: Wood
    stand: Wood


@dataclass(frozen=True, slots=True)
class Decks:
    """The covering of the hull.

    Attributes:
        fore_from: x of the fore deck's after edge.
        after_to: x of the after deck's or hatch's fore edge.
        after: "deck" (a sheet screwed on, planed flush with the sides), "hatch" (lies on battens, held by screws) or
            "open" (none). Deck and hatch are never glued: the radio is under them.
        beam_depth: height of the deck beams.
        batten_width: width of the battens under the hatch.
        hatch_gap: play between the hatch battens and what they drop between.
        coaming: height above the deck of a coaming that carries the hatch as a lid; 0 for a hatch that covers the
            whole stern.
        crown: how far the after deck's middle stands above its edges; 0 for flat.
    """

    fore_from: float
    after_to: float
    after: Literal["deck", "hatch", "open"]
    beam_depth: float
    batten_width: float
    hatch_gap: float
    coaming: float
    crown: float

    @property
    def on_coaming(self) -> bool:
        """Whether the hatch is a lid on a coaming, in a glued deck; else what covers the stern comes off whole."""
        return self.after == "hatch" and self.coaming > 0.0


@dataclass(frozen=True, slots=True)
class Windscreen:
    """The spray screen at the after edge of the fore deck.

    Attributes:
        fitted: whether there is one.
        height: measured up its face.
        width_foot: along the deck.
        width_top: along the upper edge.
        rake: degrees that it leans aft from upright.
        wing: length along the deck of a wing at either end, folded aft; 0 for a flat screen.
        wing_angle: degrees between the foot of a wing and the centre line.
    """

    fitted: bool
    height: float
    width_foot: float
    width_top: float
    rake: float
    wing: float
    wing_angle: float


@dataclass(frozen=True, slots=True)
class Cleats:
    """The strips glued into the corners.

    Attributes:
        chine_height: height of the chine cleats on the side; their breadth is the cleat wood's thickness.
        sheer_height: height of the sheer cleats on the side.
        transom_height: height of the cleats on the transom.
        knee_leg: length of each leg of the knees.
    """

    chine_height: float
    sheer_height: float
    transom_height: float
    knee_leg: float


@dataclass(frozen=True, slots=True)
class Fin:
    """The small keel under the bottom.

    Attributes:
        depth: below the bottom's outer face.
        root: length at the bottom.
        tip: length at the lower edge.
        sweep: how far the tip's fore end stands behind the root's fore end.
        tab: how far the fin stands up inside the hull, above the bottom's inner face.
        behind_balance: the area's centre behind the balance point, as a fraction of the length.
    """

    depth: float
    root: float
    tip: float
    sweep: float
    tab: float
    behind_balance: float


@dataclass(frozen=True, slots=True)
class Engine:
    """The engine saved from a garden tool, and what carries it.

    Attributes:
        mass: with clutch, tank and no fuel.
        fuel: mass of a full tank.
        output_height: of the output shaft's centre above the bottom's outer face, at the engine plate.
        centre_ahead: of the engine's centre of gravity, ahead of the engine plate's fore face.
        centre_height: of the engine's centre of gravity above the bottom's outer face.
        plate_at: x of the engine plate's after face; None lets the balance choose it.
        housing_bore: diameter of the hole for the clutch housing.
        bolt_circle: diameter of the circle on which the bolts stand; 0 for none.
        bolts: how many bolts stand on it.
        bolt_diameter: of the bolt holes.
        plate_width: across the boat.
        plate_height: from the bearers' upper edge, along the plate.
        bearer_length: along the boat.
        bearer_height: of their after ends, from the bottom's inner face; their tops rise forward with the shaft.
        bearer_gap: between the bearers' inner faces.
        rpm: greatest, under load.
        power: watts at those turns.
    """

    mass: float
    fuel: float
    output_height: float
    centre_ahead: float
    centre_height: float
    plate_at: float | None
    housing_bore: float
    bolt_circle: float
    bolts: int
    bolt_diameter: float
    plate_width: float
    plate_height: float
    bearer_length: float
    bearer_height: float
    bearer_gap: float
    rpm: float
    power: float


@dataclass(frozen=True, slots=True)
class Drive:
    """Shaft and propeller.

    Attributes:
        propeller_diameter: across the tips.
        propeller_behind: of the propeller hub behind the transom's outer face.
        propeller_mass: of the propeller with its nut.
        strut_mass: of the strut with its bracket.
        shaft_diameter: of the rod.
        shaft_mass: of the rod; None where it follows from its length, as solid steel.
        coupling_mass: of coupling, collar and tube together.
        tube_diameter: of the tube (shaft log) that the rod runs in.
        pitch: of the propeller; None where it is to be proposed.
        rotation: of the propeller, seen from astern.
        bearings: that hold the rod, from the strut to the tube's fore end; None where they are to be proposed.
    """

    propeller_diameter: float
    propeller_behind: float
    propeller_mass: float
    strut_mass: float
    shaft_diameter: float
    shaft_mass: float | None
    coupling_mass: float
    tube_diameter: float
    pitch: float | None
    rotation: Literal["clockwise", "counter-clockwise"]
    bearings: int | None


@dataclass(frozen=True, slots=True)
class Rudder:
    """The rudder, hung on the transom.

    Attributes:
        offset: of its stock from the centre line, positive to port.
        mass: with its bracket.
        pad_width: of the rudder pad and of the strut pad, across the boat.
        pad_height: of both pads.
        depth: of its blade's tip below the bottom's plane.
        throw: degrees to either side.
    """

    offset: float
    mass: float
    pad_width: float
    pad_height: float
    depth: float
    throw: float


@dataclass(frozen=True, slots=True)
class Radio:
    """The watertight radio box, its shelf and the servos.

    Attributes:
        shelf_from: x of the shelf's after edge.
        shelf_length: along the boat.
        shelf_height: of the shelf's lower face above the bottom's outer face.
        box_length: along the boat.
        box_width: across the boat.
        box_height: above the shelf.
        mass: box with receiver.
        battery_mass: of the receiver's battery.
        servo_mass: each.
        servo_length: of the servo's body, for the window in its mount.
        servo_width: of the servo's body.
        servo_screws: between the centres of the servo's screw holes, along the body.
    """

    shelf_from: float
    shelf_length: float
    shelf_height: float
    box_length: float
    box_width: float
    box_height: float
    mass: float
    battery_mass: float
    servo_mass: float
    servo_length: float
    servo_width: float
    servo_screws: float


@dataclass(frozen=True, slots=True)
class Fitting:
    """Any further thing on board that has a weight and a place.

    Attributes:
        name: what it is.
        mass: grams.
        x: along the boat.
        y: to port.
        z: above the bottom's outer face.
    """

    name: str
    mass: float
    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True)
class Balance:
    """Where the boat is to balance.

    Attributes:
        point: as a fraction of the length from the transom.
    """

    point: float


@dataclass(frozen=True, slots=True)
class Water:
    """The water that the boat lies in.

    Attributes:
        kind: "fresh" or "sea".
        temperature: degrees Celsius.
    """

    kind: Literal["fresh", "sea"]
    temperature: float


@dataclass(frozen=True, slots=True)
class Foam:
    """The closed-cell foam that keeps a swamped boat afloat.

    Attributes:
        fore: litres packed in the fore compartment; None for as much as is needed.
        aft: litres packed abaft the engine; None for as much as is needed.
        diameter: of round foam.
        bore: of the hole through round foam; 0 for none.
        density: kg/m3.
    """

    fore: float | None
    aft: float | None
    diameter: float
    bore: float
    density: float


@dataclass(frozen=True, slots=True)
class Fasteners:
    """Screws, by gauge.

    Attributes:
        gauge: number of the wood screw, 4, 6, 8 or 10.
        length: of the longest screw; joints of thinner wood get shorter ones, or none.
        spacing: greatest distance between screws along an edge; where two would meet, a gap may be a little wider.
    """

    gauge: int
    length: float
    spacing: float


@dataclass(frozen=True, slots=True)
class Stand:
    """The stand that carries and balances the boat.

    Attributes:
        height: of the bottom's outer face above the bench.
        spacing: between the two cradles, along the boat.
        lip: height of the cradles' ends beside the hull.
    """

    height: float
    spacing: float
    lip: float


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of sheet, board or leftover.

    Attributes:
        id: short and unique, "sheet-1/4-okoume-4x8".
        kind: "sheet", "board" or "leftover".
        material: key of a wood in the stock tables.
        thickness: as sold, measured.
        planed_to: thickness after resawing or planing; equal to `thickness` where it is used as sold.
        length: as sold, the grain's direction where `grain` is "length".
        width: as sold.
        grain: along which side the face grain runs.
        available: how many can be had; None for as many as needed.
        price: of one, in the order's currency; None where not known.
        source: where the sizes come from.
    """

    id: str
    kind: Literal["sheet", "board", "leftover"]
    material: str
    thickness: float
    planed_to: float
    length: float
    width: float
    grain: Literal["length", "width"]
    available: int | None
    price: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Shop:
    """What the workshop can get, and how it cuts.

    Attributes:
        stock: on offer and in the rack; empty means the usual sizes of the stock tables.
        market: which usual sizes are on offer: "inch" or "metric".
        cutting: "through": blanks freed by straight edge-to-edge cuts; "shape": outlines sawn out.
        saw_kerf: of the straight cuts.
        jigsaw_kerf: of the curved cuts.
        edge_trim: cut off all round a new sheet or board's ends before use.
        clearance: left round a part that is not a plain rectangle.
    """

    stock: tuple[Stock, ...]
    market: Literal["inch", "metric"]
    cutting: Literal["through", "shape"]
    saw_kerf: float
    jigsaw_kerf: float
    edge_trim: float
    clearance: float


@dataclass(frozen=True, slots=True)
class Design:
    """One boat as designed.

    Attributes:
        name: one word, used in file names.
        units: which unit leads on paper.
        about: a sentence or two for the packet's cover.
        glue: the generic glue: "polyurethane", "epoxy" or "exterior wood glue".
        file: as the user gave it, for messages.
        lines: dotted key to line number, for messages of later stages.
    """

    name: str
    units: Literal["in", "mm"]
    about: str
    hull: HullSizes
    laps: Laps
    woods: Woods
    decks: Decks
    windscreen: Windscreen
    cleats: Cleats
    fin: Fin
    engine: Engine
    drive: Drive
    rudder: Rudder
    radio: Radio
    fittings: tuple[Fitting, ...]
    balance: Balance
    water: Water
    foam: Foam
    fasteners: Fasteners
    glue: Literal["polyurethane", "epoxy", "exterior wood glue"]
    stand: Stand
    file: str
    lines: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Boat:
    """One boat of an order.

    Attributes:
        id: unique in the order, "bramblefin-1".
        design: the design's name.
        builder: who builds it; empty where not said.
        number: counted from 1 over the order.
    """

    id: str
    design: str
    builder: str
    number: int


@dataclass(frozen=True, slots=True)
class Extra:
    """A part that an order wants besides the boats: a rectangle or a polygon.

    Attributes:
        name: one word, unique in the order; the part's id.
        wood: what it is cut from, with the grain along or across the outline's x.
        flip: whether it may be turned over on the sheet.
        outline: closed, counter-clockwise, bounding-box corner at 0, 0.
        count: how many.
    """

    name: str
    wood: Wood
    flip: bool
    outline: tuple[tuple[float, float], ...]
    count: int


@dataclass(frozen=True, slots=True)
class Order:
    """All that is to be built; a lone design is an order of one boat.

    Attributes:
        name: of the order, or of the lone design; used for the output folder.
        units: which unit leads on paper.
        designs: each once.
        boats: every boat.
        shop: the one shop for all.
        extras: parts besides those of the boats.
    """

    name: str
    units: Literal["in", "mm"]
    designs: tuple[Design, ...]
    boats: tuple[Boat, ...]
    shop: Shop
    extras: tuple[Extra, ...] = ()
