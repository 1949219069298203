"""The weight table: every wooden part from its own volume, allowances, every fitting, and a contingency."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from hullcut.parts.draft import is_bent
from hullcut.parts.fittings import RUDDER_ABAFT
from hullcut.parts.outline import outline_area
from hullcut.parts.radio_places import gap_beside_box
from hullcut.stock.outfit import allowances, density
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design
    from hullcut.parts.values import Part

__all__ = [
    "ROD_SHORT",
    "THREAD",
    "Weight",
    "allowance_weights",
    "beside_box",
    "centre_of_gravity",
    "contingency",
    "fitting_weights",
    "moving_mass",
    "part_weights",
    "pitch_inertia",
    "rod_behind",
    "rod_length",
    "rod_pieces",
    "shaft_mass",
    "weight_table",
]

# A bent part's centre is taken strip by strip; this many strips place it within 0.1 mm on a metre.
_STRIPS = 60
THREAD = 25.0
"""The rod reaches so far past the middle of the propeller's hub, for thread and nut, mm: common practice, no source."""
ROD_SHORT = 12.7
"""The rod ends in its half of the coupling, so far abaft the engine plate: common practice, no source, mm."""

Kind = Literal["part", "allowance", "fitting", "fuel", "contingency"]


@dataclass(frozen=True, slots=True)
class Weight:
    """One line of the weight table.

    Attributes:
        name: what it is.
        mass: grams.
        x, y, z: its centre of gravity in the boat's axes, mm.
        kind: what sort of line it is.
        volume: of its solid matter, mm3.
        span: how far it reaches along the boat, mm, for its own share of the pitch inertia.
    """

    name: str
    mass: float
    x: float
    y: float
    z: float
    kind: Kind = "fitting"
    volume: float = 0.0
    span: float = 0.0


def weight_table(
    design: Design, parts: Sequence[Part], arrangement: Arrangement, known: Mapping[str, Weight] | None = None
) -> tuple[Weight, ...]:
    """Everything that goes afloat: parts, allowances, fittings, and the contingency over all of them.

    Args:
        design: of the boat.
        parts: all of them.
        arrangement: where the fittings stand.
        known: weights by part's id that were found before and hold still.
    """
    wooden = part_weights(parts, known)
    listed = (*wooden, *allowance_weights(parts, wooden), *fitting_weights(design, arrangement))
    return (*listed, contingency(listed))


def part_weights(parts: Sequence[Part], known: Mapping[str, Weight] | None = None) -> tuple[Weight, ...]:
    """The weights of the parts that go afloat, all copies together."""
    found = []
    for part in parts:
        if part.family == "stand":
            continue
        if known is not None and part.id in known:
            found.append(known[part.id])
            continue
        centre, span = _centre_and_span(part)
        places = centre + np.array(part.places)
        x, y, z = places.mean(axis=0)
        mass = part.mass * part.quantity
        volume = mass / wood(part.material).density * 1e6
        found.append(Weight(part.name, mass, float(x), float(y), float(z), "part", volume, span))
    return tuple(found)


def _centre_and_span(part: Part) -> tuple[np.ndarray, float]:
    """Centre of gravity (3,) of a part, by strips of its finished outline, and how far it reaches along the boat."""
    polygon = outline_area(part.true_outline, part.holes)
    corners = part.panel.to_space(np.array(part.true_outline), 0.0)
    span = float(np.ptp(corners[:, 0]))
    if not is_bent(part):
        middle = polygon.centroid
        return part.panel.to_space(np.array([[middle.x, middle.y]]), 0.0)[0], span
    x0, y0, x1, y1 = polygon.bounds
    cuts = np.linspace(x0, x1, _STRIPS + 1)
    strips = np.array(
        [shapely.clip_by_rect(polygon, start, y0 - 1.0, stop, y1 + 1.0) for start, stop in itertools.pairwise(cuts)]
    )
    strips = strips[np.asarray(shapely.area(strips)) > 0.0]
    areas = shapely.area(strips)
    places = part.panel.to_space(shapely.get_coordinates(shapely.centroid(strips)), 0.0)
    weighted: np.ndarray = areas @ places / areas.sum()
    return weighted, span


def allowance_weights(parts: Sequence[Part], wooden: Sequence[Weight]) -> tuple[Weight, ...]:
    """Glue, paint and fasteners, spread as the wood is.

    Args:
        parts: of the boat, those that stay ashore included.
        wooden: the weights of the parts that go afloat.
    """
    share = allowances()
    mass, x, y, z = centre_of_gravity(wooden)
    area = 2e-6 * sum(part.area * part.quantity for part in parts if part.family != "stand")
    span = max(each.span for each in wooden)
    painted = share.paint * area
    return (
        Weight("Glue, allowance", share.glue * mass, x, y, z, "allowance", share.glue * mass * 1e3 / 1.1, span),
        Weight("Sealer and paint, allowance", painted, x, y, z, "allowance", painted / density("paint") * 1e6, span),
        Weight(
            "Screws, allowance",
            share.fasteners * mass,
            x,
            y,
            z,
            "allowance",
            share.fasteners * mass / density("brass") * 1e6,
            span,
        ),
    )


def contingency(known: Sequence[Weight]) -> Weight:
    """What is always forgotten: a tenth of everything, at everything's centre, so that it does not move the balance."""
    mass, x, y, z = centre_of_gravity(known)
    share = allowances().contingency
    volume = share * sum(each.volume for each in known)
    radius = math.sqrt(pitch_inertia(known) / mass)
    return Weight("Contingency", share * mass, x, y, z, "contingency", volume, radius * math.sqrt(12.0))


def rod_length(arrangement: Arrangement) -> float:
    """Length to which the rod is cut, mm: from inside the coupling to past the propeller's nut."""
    return sum(rod_pieces(arrangement))


def rod_pieces(arrangement: Arrangement) -> tuple[float, float]:
    """What the rod's length is made of, mm: from the hub's middle to its end in the coupling; thread and nut."""
    return arrangement.shaft.length - ROD_SHORT, THREAD


def rod_behind(arrangement: Arrangement) -> float:
    """How far the rod's after end stands behind the transom's foot, measured level, mm: past the hub by its thread."""
    return -arrangement.shaft.hub_x + THREAD * math.cos(math.radians(arrangement.shaft.angle))


def shaft_mass(design: Design, arrangement: Arrangement) -> float:
    """Grams of the rod: as the design says, or a solid steel cylinder of its length."""
    drive = design.drive
    if drive.shaft_mass is not None:
        return drive.shaft_mass
    section = math.pi / 4.0 * drive.shaft_diameter**2
    return section * rod_length(arrangement) * density("steel") * 1e-6


def moving_mass(design: Design, parts: Sequence[Part], arrangement: Arrangement) -> float:
    """Grams that go along with the engine.

    Itself, half a tank, its plate and bearers, the halves of shaft and coupling that its end carries, and the
    contingency over all of that.
    """
    wooden = sum(part.mass * part.quantity for part in parts if part.family in ("bearer", "engine_plate"))
    carried = (shaft_mass(design, arrangement) + design.drive.coupling_mass) / 2.0
    return (design.engine.mass + design.engine.fuel / 2.0 + wooden + carried) * (1.0 + allowances().contingency)


def beside_box(design: Design, arrangement: Arrangement) -> float:
    """Y of the middle of the gap between the radio box and the servos' plates, where the battery is strapped down."""
    return sum(gap_beside_box(design, arrangement)) / 2.0


def fitting_weights(design: Design, arrangement: Arrangement) -> tuple[Weight, ...]:
    """The weights of engine, drive, radio and any further fittings where the arrangement puts them.

    A half full tank stands for the fuel.
    """
    engine, drive, rudder, radio = design.engine, design.drive, design.rudder, design.radio
    engine_x = arrangement.plate_x + design.woods.engine_plate.thickness + engine.centre_ahead
    shaft = arrangement.shaft
    shelf_top = radio.shelf_height + design.woods.shelf.thickness
    shelf_x = radio.shelf_from + radio.shelf_length / 2.0
    middle = ((shaft.output_x + shaft.hub_x) / 2.0, (shaft.output_z + shaft.hub_z) / 2.0)
    box_z = shelf_top + radio.box_height / 2.0
    rod = shaft_mass(design, arrangement)
    reach = shaft.output_x - shaft.hub_x

    def of(name: str, mass: float, x: float, y: float, z: float, made_of: str, span: float = 0.0) -> Weight:
        kind: Kind = "fuel" if made_of == "fuel" else "fitting"
        return Weight(name, mass, x, y, z, kind, mass / density(made_of) * 1e6, span)

    return (
        of("Engine with clutch and tank", engine.mass, engine_x, 0.0, engine.centre_height, "engine", 120.0),
        of("Fuel, half a tank", engine.fuel / 2.0, engine_x, 0.0, engine.centre_height, "fuel"),
        of("Shaft", rod, middle[0], 0.0, middle[1], "steel", reach),
        of("Coupling, collar and tube", drive.coupling_mass, *_coupling(arrangement), "brass"),
        of("Propeller", drive.propeller_mass, shaft.hub_x, 0.0, shaft.hub_z, "brass"),
        of("Strut", drive.strut_mass, shaft.hub_x / 2.0, 0.0, shaft.hub_z / 2.0, "steel"),
        of("Rudder and bracket", rudder.mass, -RUDDER_ABAFT, rudder.offset, design.hull.depth / 3.0, "rudder"),
        of("Radio box and receiver", radio.mass, shelf_x, arrangement.box_y, box_z, "radio", radio.box_length),
        of("Receiver battery", radio.battery_mass, shelf_x, beside_box(design, arrangement), box_z, "radio"),
        of("Two servos", 2.0 * radio.servo_mass, shelf_x, arrangement.servo_y, shelf_top + 20.0, "radio"),
        *(of(each.name, each.mass, each.x, each.y, each.z, "other") for each in design.fittings),
    )


def _coupling(arrangement: Arrangement) -> tuple[float, float, float]:
    """Where coupling, collar and tube weigh together: midway between the engine's output and the hull's exit."""
    shaft = arrangement.shaft
    return (shaft.output_x + shaft.exit_x) / 2.0, 0.0, shaft.output_z / 2.0


def centre_of_gravity(weights: Iterable[Weight]) -> tuple[float, float, float, float]:
    """Total mass (g) and centre x, y, z (mm) of a table of weights."""
    rows = np.array([(each.mass, each.x, each.y, each.z) for each in weights])
    mass = float(rows[:, 0].sum())
    x, y, z = rows[:, 0] @ rows[:, 1:] / mass
    return mass, float(x), float(y), float(z)


def pitch_inertia(weights: Sequence[Weight]) -> float:
    """Moment of inertia about the transverse axis through the centre of gravity, g mm2.

    Each weight counts as a rod of its span along the boat (m span2 / 12, any book of mechanics) moved to its place.
    """
    _, x, _, z = centre_of_gravity(weights)
    return sum(each.mass * ((each.x - x) ** 2 + (each.z - z) ** 2 + each.span**2 / 12.0) for each in weights)
