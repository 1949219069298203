"""A drawing of the boat cut along or across: wood, metal and what lies behind, bolts, names on free ground.

Wood, bolts, rod and tube stand where the geometry has them. Engine, strut, brackets, rudder and propeller are bought
or saved from a tool: of these only the places are known, so they are drawn as plain shapes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing.paths import bounds_of, circle, line, polygon
from hullcut.drawing.scene import Role, Scene, Shape
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import hatching, words_beside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item, Point
    from hullcut.parts.values import Part

__all__ = [
    "BEYOND",
    "BOLT",
    "BOX",
    "FINE",
    "HEAD",
    "LINE",
    "MARGIN",
    "METAL",
    "NUT_WIDE",
    "SMALL",
    "STEEL",
    "WASHER",
    "WASHER_WIDE",
    "WOOD",
    "Section",
    "Way",
    "bottom_cut",
    "draw_bolt",
    "draw_screw",
    "parts_named",
    "rod_way",
    "under_floor",
    "with_names",
]

Array = NDArray[np.float64]

WOOD, BEYOND, METAL, BOX = "#e4e4e4", "#f6f6f6", "#b9c4cf", "#ffffff"
"""Tints of wood that is cut, of what lies behind the cut, of metal, and of what is a plain shape."""
LINE, FINE = 0.3, 0.18
"""Widths of outlines and of finer lines, mm on paper."""
MARGIN = (0.3, 1.0)
"""Left free beside and over a section, mm on paper."""
STEEL = 2.5
"""How thick a steel bracket is drawn, mm on the boat."""
# What a bolt's head and nut are drawn thick, a washer thick, and both wide, mm on the boat.
HEAD, WASHER, NUT_WIDE, WASHER_WIDE, BOLT = 4.0, 1.6, 8.0, 11.0, 4.0
SMALL = 2.2
"""Height of the figures of distances, mm on paper."""


@dataclass
class Section:
    """A drawing seen square to a plane of the boat, at a scale.

    Attributes:
        corner: what lies at 0, 0 of the paper, mm on the boat.
        scale: paper over boat.
        items: drawn so far.
    """

    corner: Point
    scale: float
    items: list[Item] = field(default_factory=list)

    def at(self, x: float, z: float) -> Point:
        """A place on paper."""
        return ((x - self.corner[0]) * self.scale, (z - self.corner[1]) * self.scale)

    def area(self, points: Sequence[Point] | Array, fill: str, role: Role = Role.OUTLINE, width: float = LINE) -> None:
        """A filled outline."""
        ring = tuple(self.at(float(x), float(z)) for x, z in points)
        self._put(Shape(role, (polygon(ring),), fill=fill, width=width))

    def _put(self, shape: Shape) -> None:
        """A shape, hatched where it is new; what is drawn later hides the hatching too."""
        self.items += [shape, *hatching([shape])]

    def shape(self, shape: BaseGeometry, fill: str, window: BaseGeometry) -> None:
        """As much of a shape as lies in a window."""
        for piece in shapely.get_parts(shapely.intersection(shape, window)):
            if piece.geom_type == "Polygon":
                self.area(shapely.get_coordinates(piece.exterior)[:-1], fill)

    def ring(self, x: float, z: float, radius: float, fill: str | None, width: float = LINE) -> None:
        """A circle."""
        self._put(Shape(Role.OUTLINE, (circle(self.at(x, z), radius * self.scale),), fill=fill, width=width))

    def stroke(self, start: Point, end: Point, role: Role, width: float | None = None) -> None:
        """A line."""
        self.items.append(Shape(role, (line(self.at(*start), self.at(*end)),), width=width))


@dataclass(frozen=True, slots=True)
class Way:
    """A straight line in a section, by a point of it and its direction.

    Attributes:
        start: the point, mm.
        along: unit vector.
    """

    start: Point
    along: Point

    @property
    def aside(self) -> Point:
        """Unit vector upward and square to the line, for one that runs aft."""
        return (-abs(self.along[1]), abs(self.along[0])) if self.along[0] < 0.0 else (-self.along[1], self.along[0])

    def to(self, far: float, aside: float = 0.0) -> Point:
        """The point so far along the line, and so far beside it."""
        (x, z), (dx, dz), (ax, az) = self.start, self.along, self.aside
        return (x + far * dx + aside * ax, z + far * dz + aside * az)

    def slab(self, begin: float, end: float, low: float, high: float) -> list[Point]:
        """The oblong between two places along the line and two beside it."""
        return [self.to(begin, low), self.to(end, low), self.to(end, high), self.to(begin, high)]


def draw_bolt(section: Section, way: Way, begin: float, end: float) -> None:
    """A bolt along a line: its head before `begin`, washer and nut after `end`, and some thread beyond."""
    half = BOLT / 2.0
    section.area(way.slab(begin, end + WASHER + HEAD + 3.0, -half, half), METAL, width=FINE)
    section.area(way.slab(begin - HEAD, begin, -NUT_WIDE / 2.0, NUT_WIDE / 2.0), METAL, width=FINE)
    section.area(way.slab(end, end + WASHER, -WASHER_WIDE / 2.0, WASHER_WIDE / 2.0), BOX, width=FINE)
    nut = end + WASHER
    section.area(way.slab(nut, nut + HEAD, -NUT_WIDE / 2.0, NUT_WIDE / 2.0), METAL, width=FINE)


def draw_screw(section: Section, way: Way, tip: float, face: float) -> None:
    """A bolt along a line that screws into what it holds: its head and washer on a face, its thread to a tip."""
    half = BOLT / 2.0
    section.area(way.slab(tip, face + WASHER, -half, half), METAL, width=FINE)
    section.area(way.slab(face, face + WASHER, -WASHER_WIDE / 2.0, WASHER_WIDE / 2.0), BOX, width=FINE)
    section.area(way.slab(face + WASHER, face + WASHER + HEAD, -NUT_WIDE / 2.0, NUT_WIDE / 2.0), METAL, width=FINE)


def rod_way(plan: BoatPlan) -> Way:
    """The shaft's line from the middle of the plate's after face, aft and down."""
    shaft = plan.arrangement.shaft
    steep = math.radians(shaft.angle)
    return Way((shaft.output_x, shaft.output_z), (-math.cos(steep), -math.sin(steep)))


def bottom_cut(plan: BoatPlan, start: float, stop: float) -> BaseGeometry:
    """The bottom cut along the middle, without the shaft's slot."""
    shaft, hull = plan.arrangement.shaft, plan.hull
    x = np.linspace(max(start, hull.foot_of(hull.transom, 0.0)[0]), stop, 40)
    low, high = hull.bottom_height(x), hull.bottom_height(x, hull.bottom_thickness)
    whole = shapely.Polygon(np.column_stack([np.append(x, x[::-1]), np.append(low, high[::-1])]))
    return whole.difference(shapely.box(shaft.slot_from, -1e3, shaft.slot_to, 1e3))


def under_floor(plan: BoatPlan, window: shapely.Polygon) -> shapely.Polygon:
    """What lies below the bottom's inner face in a window."""
    x = np.linspace(window.bounds[0], window.bounds[2], 40)
    floor = plan.hull.bottom_height(x, plan.hull.bottom_thickness)
    return shapely.Polygon([*zip(x.tolist(), floor.tolist(), strict=True), (x[-1], -1e3), (x[0], -1e3)])


def parts_named(plan: BoatPlan, *slugs: str) -> list[Part]:
    """The parts of these slugs, in building order."""
    return [part for part in plan.parts if part.id.removeprefix(f"{part.design}-") in slugs]


def with_names(
    title: str, section: Section, names: Sequence[tuple[str, Point]], width: float, over: float = 12.0
) -> Scene:
    """The section with names on free ground round it, each with a leader."""
    drawn = section.items
    _, y0, _, y1 = bounds_of(drawn)
    placed = [(word, section.at(*at)) for word, at in names]
    words = words_beside(drawn, [], placed, (0.5, y0 - over, width - 0.5, y1 + over))
    return fitted(title, [*drawn, *words], width, margin=MARGIN)
