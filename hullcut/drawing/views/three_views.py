"""Side view, plan and view from astern, drawn from the real parts to one round scale, with the principal sizes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, line, polygon, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.views.dimensions import level, plumb
from hullcut.drawing.views.picture import Look, Shown
from hullcut.lengths import both

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item
    from hullcut.drawing.views.picture import View

__all__ = ["three_views"]

_SCALES = (2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50)
_LEVEL = 6.0
# Sizes that differ by less than this are one, mm.
_SEEN = 0.5
_TEXT = 2.5
_FLAT_LOOK = Look("#ffffff", 0.1)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a view's origin falls on the paper, and the scale."""

    x: float
    y: float
    scale: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A place in the camera's plane, on paper."""
        return (self.x + self.scale * x, self.y + self.scale * y)


def three_views(
    plan: BoatPlan, owners: Sequence[str], views: Sequence[View], width: float, height: float = math.inf
) -> Scene:
    """The three views in a scene of the given width, mm on paper.

    Args:
        plan: the boat.
        owners: of the bodies; those that stay ashore or inside are left out.
        views: of these bodies from starboard, from above with the bow to the right, and from astern.
        width: of the scene.
        height: that it may have.
    """
    ashore = ("stand", "balance-bar")
    shown = [Shown(owner, _FLAT_LOOK) for owner in owners if owner != "radio box" and not owner.startswith(ashore)]
    behind = plan.design.drive.propeller_behind + 30.0
    ratio = next(
        (
            n
            for n in _SCALES
            if (plan.hull.length + behind) / n <= width - 34.0 and _height(plan) / n + _BETWEEN <= height
        ),
        _SCALES[-1],
    )
    scale = 1.0 / ratio
    left = 26.0 + behind * scale
    side = _Frame(left, 0.0, scale)
    beam = plan.hull.beam
    low = _lowest(plan)
    above = _Frame(left, side.y + low * scale - 3.0 * _LEVEL - 6.0 - beam / 2.0 * scale, scale)
    astern_y = above.y - beam / 2.0 * scale - 2.0 * _LEVEL - 9.0 - plan.hull.depth * scale
    astern = _Frame(left + beam / 2.0 * scale, astern_y, scale)
    items: list[Item] = []
    for view, frame in zip(views, (side, above, astern), strict=True):
        drawn = view.items(shown, scale)
        items += [transform(item, dx=frame.x, dy=frame.y) for item in drawn]
    items += _side_sizes(plan, side) + _plan_sizes(plan, above) + _astern_sizes(plan, astern)
    items += _table(
        plan,
        astern.x + beam / 2.0 * scale + 12.0 + font.text_width(both(beam, plan.design.units), 2.5),
        astern.y + plan.hull.depth * scale,
        ratio,
    )
    top = side.y + (plan.hull.depth + 10.0) * scale + 8.0
    if plan.design.windscreen.fitted:
        top += plan.design.windscreen.height * scale
    foot = min(astern.y + low * scale - _LEVEL - 4.0, bounds_of(items)[1] - 1.0)
    return Scene(f"Three views of {plan.design.name}", 0.0, foot, width, top, tuple(items))


# Between, over and under the views: sizes and their names.
_BETWEEN = 6.0 * _LEVEL + 28.0


def _lowest(plan: BoatPlan) -> float:
    """Z of the lowest of fin, rudder and propeller, mm."""
    design = plan.design
    propeller = plan.arrangement.shaft.hub_z - design.drive.propeller_diameter / 2.0
    return min(-design.fin.depth, -design.rudder.depth, propeller)


def _height(plan: BoatPlan) -> float:
    """Height of the three views together at full size, without what stands between them, mm."""
    design = plan.design
    high = design.windscreen.height if design.windscreen.fitted else 0.0
    return 2.0 * (plan.hull.depth - _lowest(plan)) + high + 10.0 + plan.hull.beam


def _stern_height(plan: BoatPlan) -> float:
    """Height of the sheer at the transom, mm; where the sheer is level it is the depth."""
    return float(plan.hull.sheer_height(np.zeros(1))[0])


def _name(x: float, y: float, text: str) -> Text:
    return Text(Role.LABEL, (x, y), text, 2.8, bold=True)


def _side_sizes(plan: BoatPlan, frame: _Frame) -> list[Item]:
    design, hull, arrangement = plan.design, plan.hull, plan.arrangement
    units, shaft = design.units, arrangement.shaft
    fin = -design.fin.depth
    base = frame.at(0.0, min(fin, shaft.hub_z - design.drive.propeller_diameter / 2.0))[1]
    left = frame.at(-design.drive.propeller_behind - 30.0, 0.0)[0]
    zero, bow = frame.at(0.0, 0.0), frame.at(hull.length, hull.depth)
    balance = frame.at(arrangement.balance_x, 0.0)
    items: list[Item] = [_name(0.0, bow[1] + 6.0, "Side")]
    items += level(
        zero[0], balance[0], zero[1], base, base - _LEVEL, f"balance point {both(arrangement.balance_x, units)}"
    )
    items += level(zero[0], bow[0], zero[1], bow[1], base - 2.0 * _LEVEL, f"length {both(hull.length, units)}")
    stern = _stern_height(plan)
    items += plumb(zero[1], frame.at(0.0, stern)[1], left, zero[0], left - 4.0, both(stern, units))
    start, end = frame.at(shaft.output_x, shaft.output_z), frame.at(shaft.hub_x, shaft.hub_z)
    items.append(Shape(Role.CENTRE, (line(start, end),)))
    slope = 1.0 / math.tan(math.radians(shaft.angle))
    text_at = frame.at(shaft.output_x + 30.0, hull.depth * 0.42)
    items.append(Text(Role.LABEL, text_at, f"shaft {shaft.angle:.1f}°, 1 in {slope:.1f}", _TEXT))
    middle = frame.at((shaft.output_x + shaft.exit_x) / 2.0, (shaft.output_z) / 2.0)
    items.append(Shape(Role.LABEL, (line((text_at[0] - 0.8, text_at[1] + 0.8), middle),), width=0.18))
    tip = (balance[0], balance[1] - 0.4)
    ring = (tip, (tip[0] - 1.6, tip[1] - 2.8), (tip[0] + 1.6, tip[1] - 2.8))
    items.append(Shape(Role.LABEL, (polygon(ring),), fill="#000000", stroke="none"))
    return items


def _plan_sizes(plan: BoatPlan, frame: _Frame) -> list[Item]:
    sizes, units, beam = plan.design.hull, plan.design.units, plan.hull.beam
    half = beam / 2.0
    left = frame.at(-plan.design.drive.propeller_behind - 30.0, 0.0)[0] - 4.0
    top = frame.at(0.0, half)[1]
    wider = beam - sizes.beam_at_transom > 1.0
    # Over the figure of the greatest beam, which stands over the view's after end.
    items: list[Item] = [_name(0.0, top + (9.5 if wider else 2.5), "From above")]
    stern, bow = sizes.beam_at_transom / 2.0, sizes.beam_at_bow / 2.0
    zero, ahead = frame.at(0.0, 0.0)[0], frame.at(sizes.length, 0.0)[0]
    items += plumb(*_span(frame, stern), zero, zero, left, both(sizes.beam_at_transom, units))
    if wider:
        widest = frame.at((sizes.parallel_from + sizes.parallel_to) / 2.0, 0.0)[0]
        items += plumb(*_span(frame, half), widest, widest, left - _LEVEL, both(beam, units))
    if beam - sizes.beam_at_bow > 1.0 and not plan.hull.pointed:
        items += plumb(*_span(frame, bow), ahead, ahead, ahead + 5.0, both(sizes.beam_at_bow, units))
    decks = plan.design.decks
    foot = frame.at(0.0, -half)[1]
    after, fore = frame.at(decks.after_to, 0.0)[0], frame.at(decks.fore_from, 0.0)[0]
    if decks.after != "open":
        items += level(zero, after, foot, foot, foot - _LEVEL, both(decks.after_to, units))
    items += level(fore, ahead, foot, foot, foot - _LEVEL, both(sizes.length - decks.fore_from, units))
    return items


def _span(frame: _Frame, half: float) -> tuple[float, float]:
    return (frame.at(0.0, -half)[1], frame.at(0.0, half)[1])


def _astern_sizes(plan: BoatPlan, frame: _Frame) -> list[Item]:
    units, beam = plan.design.units, both(plan.hull.beam, plan.design.units)
    half = plan.hull.beam / 2.0
    low = _lowest(plan)
    stern = _stern_height(plan)
    foot, top = frame.at(0.0, low)[1] - _LEVEL, frame.at(0.0, stern)[1]
    x0, x1 = frame.at(-half, 0.0)[0], frame.at(half, 0.0)[0]
    # A figure over its arrows keeps off the windscreen, and the view's name stands above it.
    screen, told = plan.design.windscreen.fitted, both(stern, units)
    items: list[Item] = [_name(0.0, top + (9.0 if screen else 4.5), "From astern")]
    items += level(x0, x1, top, top, foot, f"beam {beam}" if x1 - x0 > 44 else beam)
    aside = max(5.0, 0.5 * font.text_width(told, _TEXT)) if screen else 5.0
    items += plumb(frame.at(0.0, 0.0)[1], top, x0, x0, x0 - aside, told)
    return items


def _table(plan: BoatPlan, x: float, y: float, ratio: int) -> list[Item]:
    """The principal sizes in words, beside the view from astern."""
    design, units = plan.design, plan.design.units
    mass = float(np.sum([weight.mass for weight in plan.weights])) if plan.weights else 0.0
    amidships = " amidships" if abs(_stern_height(plan) - plan.hull.depth) > _SEEN else ""
    rows = [
        f"Length {both(plan.hull.length, units)}",
        f"Beam {both(plan.hull.beam, units)}",
        f"Depth{amidships} {both(design.hull.depth, units)}",
    ]
    if design.hull.flare:
        rows.append(f"Sides flare {design.hull.flare:.3g}°")
    rows.append(f"Propeller across {both(design.drive.propeller_diameter, units)}")
    if mass:
        rows.append(f"Ready to run, half a tank {mass / 1000.0:.1f} kg")
    rows.append(f"Scale 1:{ratio} if printed at 100 %")
    return [Text(Role.LABEL, (x, y - 5.0 * number), row, 2.8) for number, row in enumerate(rows)]
