"""The boat cut open along its middle, with the distances that are set up and the waterline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.paths import bounds_of, line, polygon, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import BLUE, VERMILLION
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import NEW, PLAIN, Shown

if TYPE_CHECKING:
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["setup_picture"]

_ROW, _TEXT = 5.4, 2.6
_LEFT, _RIGHT = 17.0, 3.0


def setup_picture(studio: Studio, width: float) -> Scene:
    """The boat from its side, the near side left out.

    Letters stand for the rows of the sheet's table: A to D along the bottom from the transom, E the waterline at the
    transom, F its fore end, G and H the propeller's hub, below and behind.

    Args:
        studio: of the boat.
        width: of the scene, mm.
    """
    plan, place = studio.plan, studio.plan.arrangement
    shaft, lies = place.shaft, plan.balance.flotation
    near = [part for part in plan.parts if part.family != "stand" and part.hand != "starboard"]
    far = [*studio.owners(*near), "propeller", "rudder", "shaft"]
    shown = [Shown(owner, NEW if owner in ("shaft", "propeller", "rudder") else PLAIN) for owner in far]
    view = studio.view("side")
    x0, y0, x1, _ = view.bounds(shown)
    scale = (width - _LEFT - _RIGHT) / (x1 - x0)

    def at(x: float, z: float) -> Point:
        return ((x - x0) * scale + _LEFT, (z - y0) * scale)

    items = _moved(view.items(shown, scale, (x0, y0)))
    items.append(Shape(Role.CENTRE, (line(at(shaft.hub_x, shaft.hub_z), at(shaft.output_x, shaft.output_z)),)))
    zero = at(0.0, 0.0)
    foot = min(at(0.0, -plan.design.fin.depth)[1], bounds_of(items)[1]) - 4.0
    rows = [("A", place.balance_x), ("B", place.fin_x), ("C", place.plate_x), ("D", shaft.exit_x)]
    # The longest on top: so no letter stands on the line of another row.
    for number, (letter, x) in enumerate(sorted(rows, key=lambda row: -row[1])):
        y = foot - number * _ROW
        end = at(x, 0.0)
        items += [item for item in level(zero[0], end[0], zero[1], end[1], y, "") if not _is_blank(item)]
        items.append(_letter((end[0] + 1.6, y - 0.36 * _TEXT), letter))
    tip = at(place.balance_x, 0.0)
    ring = ((tip[0], tip[1] - 0.3), (tip[0] - 1.6, tip[1] - 3.0), (tip[0] + 1.6, tip[1] - 3.0))
    items.append(Shape(Role.LABEL, (polygon(ring),), fill=VERMILLION, stroke="none"))
    hub = at(shaft.hub_x, shaft.hub_z)
    left = at(-plan.design.drive.propeller_behind, 0.0)[0]
    items += [item for item in plumb(hub[1], zero[1], hub[0], zero[0], left - 4.0, "") if not _is_blank(item)]
    items.append(_letter((left - 8.4, hub[1] - 1.0), "G"))
    items += [item for item in level(hub[0], zero[0], hub[1], zero[1], foot, "") if not _is_blank(item)]
    items.append(_letter((hub[0] - 3.6, foot - 0.36 * _TEXT), "H"))
    if lies is not None:
        start, stop = (
            at(-40.0, lies.line[0] - 40.0 * lies.line[1]),
            at(lies.meets, lies.line[0] + lies.meets * lies.line[1]),
        )
        items.append(Shape(Role.THIN, (line(start, stop),), stroke=BLUE, width=0.5))
        water = at(0.0, lies.line[0])
        items += [item for item in plumb(zero[1], water[1], zero[0], water[0], left - 9.5, "") if not _is_blank(item)]
        items.append(_letter((left - 13.0, (zero[1] + water[1]) / 2.0 + 2.0), "E"))
        items.append(_letter((stop[0] + 1.4, stop[1] - 3.2), "F"))
    low = foot - 3.0 * _ROW - 2.0
    return Scene(
        "The boat cut open, with its setting-up distances", 0.0, low, width, bounds_of(items)[3] + 1.5, tuple(items)
    )


def _moved(items: list[Item]) -> list[Item]:
    return [transform(item, dx=_LEFT) for item in items]


def _letter(at: Point, letter: str) -> Text:
    return Text(Role.LABEL, at, letter, _TEXT, bold=True)


def _is_blank(item: Item) -> bool:
    return isinstance(item, Text) and not item.text
