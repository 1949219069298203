"""The weight table: every wooden part from its own volume, and every fitting from the design."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.design.values import Design
    from hullcut.parts.values import Part

__all__ = ["Weight", "centre_of_gravity", "fitting_weights", "part_weights"]

# A bent part's centre is taken strip by strip; this many strips place it within 0.1 mm on a metre.
_STRIPS = 60


@dataclass(frozen=True, slots=True)
class Weight:
    """One line of the weight table.

    Attributes:
        name: what it is.
        mass: grams.
        x, y, z: its centre of gravity in the boat's axes, mm.
    """

    name: str
    mass: float
    x: float
    y: float
    z: float


def part_weights(parts: Sequence[Part]) -> tuple[Weight, ...]:
    """The weights of the parts that go afloat, all copies together."""
    found = []
    for part in parts:
        if part.family == "stand":
            continue
        centre = _centre(part)
        places = centre + np.array(part.places)
        x, y, z = places.mean(axis=0)
        found.append(Weight(part.name, part.mass * part.quantity, float(x), float(y), float(z)))
    return tuple(found)


def _centre(part: Part) -> np.ndarray:
    """Centre of gravity (3,) of a part, by strips of its finished outline."""
    polygon = shapely.Polygon(part.true_outline, part.holes)
    if not part.rulings:
        middle = polygon.centroid
        centre: np.ndarray = part.panel.to_space(np.array([[middle.x, middle.y]]), 0.0)[0]
        return centre
    x0, y0, x1, y1 = polygon.bounds
    cuts = np.linspace(x0, x1, _STRIPS + 1)
    boxes = [shapely.box(start, y0, stop, y1) for start, stop in itertools.pairwise(cuts)]
    strips = [piece for piece in (polygon.intersection(box) for box in boxes) if piece.area > 0.0]
    areas = np.array([piece.area for piece in strips])
    places = part.panel.to_space(np.array([(piece.centroid.x, piece.centroid.y) for piece in strips]), 0.0)
    weighted: np.ndarray = areas @ places / areas.sum()
    return weighted


def fitting_weights(design: Design, arrangement: Arrangement) -> tuple[Weight, ...]:
    """The weights of engine, drive, radio and any further fittings where the arrangement puts them.

    A half full tank stands for the fuel.
    """
    engine, drive, rudder, radio = design.engine, design.drive, design.rudder, design.radio
    engine_x = arrangement.plate_x + design.woods.engine_plate.thickness + engine.centre_ahead
    shaft = arrangement.shaft
    shelf_top = radio.shelf_height + design.woods.shelf.thickness
    shelf_x = radio.shelf_from + radio.shelf_length / 2.0
    transom_height = design.hull.depth / 3.0
    return (
        Weight("Engine with clutch and tank", engine.mass, engine_x, 0.0, engine.centre_height),
        Weight("Fuel, half a tank", engine.fuel / 2.0, engine_x, 0.0, engine.centre_height),
        Weight(
            "Shaft and coupling",
            drive.shaft_mass,
            (shaft.output_x + shaft.hub_x) / 2.0,
            0.0,
            (shaft.output_z + shaft.hub_z) / 2.0,
        ),
        Weight("Propeller and strut", drive.propeller_mass, shaft.hub_x, 0.0, shaft.hub_z),
        Weight("Rudder and bracket", rudder.mass, shaft.hub_x, rudder.offset, transom_height),
        Weight("Radio box", radio.mass, shelf_x, arrangement.box_y, shelf_top + radio.box_height / 2.0),
        Weight("Servos", 2.0 * radio.servo_mass, shelf_x, arrangement.servo_y, shelf_top + 20.0),
        *(Weight(each.name, each.mass, each.x, each.y, each.z) for each in design.fittings),
    )


def centre_of_gravity(weights: Iterable[Weight]) -> tuple[float, float, float, float]:
    """Total mass (g) and centre x, y, z (mm) of a table of weights."""
    rows = np.array([(each.mass, each.x, each.y, each.z) for each in weights])
    mass = float(rows[:, 0].sum())
    x, y, z = rows[:, 0] @ rows[:, 1:] / mass
    return mass, float(x), float(y), float(z)
