"""Pictures that need more than bodies in their places: the exploded boat, flat pairs, measured lines."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from hullcut.drawing import font
from hullcut.drawing.paths import bounds_of, line, polygon, rectangle, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import VERMILLION
from hullcut.drawing.views.picture import NEW, PLAIN, Shown
from hullcut.lengths import both
from hullcut.packet.dot_places import names_seen
from hullcut.packet.picture_fit import fitted
from hullcut.packet.picture_words import END_SIZE, hatching, words_beside
from hullcut.packet.places import frame_diagonal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.drawing.scene import Item
    from hullcut.packet.step import Step
    from hullcut.packet.studio import Studio
    from hullcut.parts.values import Part

__all__ = [
    "diagonals",
    "exploded",
    "exploded_bodies",
    "mirrored_sides",
    "part_thumbnail",
    "step_picture",
    "worded",
]
Array = NDArray[np.float64]
Point3 = tuple[float, float, float]
Named = tuple[str, tuple[float, float]]

HOME: Point3 = (0.0, 0.0, 0.0)
_WORD_ROOM = 3.6
# A stick across the frame as it is drawn: how wide it is, and how far it stands out on either side, mm on the boat.
_STICK = (18.0, 30.0)
_MOST_NAMES = 7
# A part so far from another of the same shift has an arrow of its own, mm on the boat.
_OWN_ARROW = 120.0
_FLAT_TOLERANCE = 0.5
# An upright word beside transom or bulkhead reaches so far ahead of it, mm on paper.
_UPRIGHT = 5.0
# Words there are no smaller than this, mm.
_READ = 2.1

# How far each family is drawn off its place in the exploded boat, in lengths of the boat: forward, outboard, up.
_EXPLODED: dict[str, tuple[float, float, float]] = {
    "bottom": (0.0, 0.0, -0.2),
    "side": (0.0, 0.2, 0.0),
    "transom": (-0.12, 0.0, 0.0),
    "fin": (-0.55, 0.0, -0.05),
    "nose_block": (0.1, 0.0, 0.0),
    "knee": (0.0, 0.0, 0.12),
    "deck_beam": (0.0, 0.0, 0.14),
    "deck": (0.0, 0.0, 0.3),
    "hatch": (0.0, 0.0, 0.34),
    "windscreen": (0.0, 0.0, 0.4),
    "shelf": (0.0, 0.0, 0.08),
    "engine_plate": (0.0, 0.0, 0.06),
    "servo_mount": (0.0, 0.0, 0.15),
    "batten": (0.0, 0.0, 0.2),
}


def step_picture(studio: Studio, step: Step, before: Sequence[str], width: float, height: float) -> Scene:
    """The usual picture of a step: what is there in white, what is new tinted, arrows where it goes.

    Args:
        studio: of the boat.
        step: the step.
        before: owners of the bodies that are there already.
        width: of the picture, mm.
        height: greatest height, mm.
    """
    view = studio.view(step.view)  # type: ignore[arg-type]
    new = [*studio.owners(*step.parts, *step.tried), *step.extra]
    # What the boat stands on is drawn lower, and not the boat higher: where that is at home its view is known already.
    lowered, ashore = (0.0, 0.0, -step.raised), studio.owners(*step.back)
    shown = [
        Shown(owner, PLAIN, lowered if owner in ashore else HOME)
        for owner in before
        if owner not in new and not owner.startswith(step.hide or ("?",))
    ]
    extra = {owner: lowered if owner in ashore else HOME for owner in step.extra}
    shown += [Shown(owner, NEW, extra.get(owner, step.shift_of(owner))) for owner in new]
    arrows: list[tuple[Array, Array]] = [(np.array(start), np.array(end)) for start, end in step.pulls]
    for middle, shift in _arrow_groups(studio, step, new):
        if shift != HOME:
            away = np.array(shift)
            arrows.append((middle + 0.78 * away, middle + 0.12 * away))
    # Over and under the drawing there is room for a line of words.
    room = (width, height - 2.0 * _WORD_ROOM)
    drawn = view.picture(step.title, shown, *room, arrows)
    scale, origin, _ = view.frame(shown, *room, arrows)
    ends = [] if step.apart else [(word, view.at(at, scale, origin)) for word, at in _boat_ends(studio.plan)]
    names, elsewhere = names_seen(view, shown, _new_names(studio, step), scale, origin)
    return worded(drawn, ends, names, width, elsewhere)


def _boat_ends(plan: BoatPlan) -> list[tuple[str, Array]]:
    """The words for the boat's ends, and points there."""
    hull = plan.hull
    half = 0.5 * hull.depth
    # A bow that rakes or bends up reaches its full length only at the sheer.
    top = float(hull.sheer_height(np.array([hull.length]))[0])
    stern = np.array([float(hull.transom.x(half)), 0.0, half])
    return [("bow", np.array([hull.length, 0.0, top])), ("stern", stern)]


def _new_names(studio: Studio, step: Step) -> dict[str, list[str]]:
    """The names of the new parts, one for both hands, each with its owners; none where they are too many to read."""
    found: dict[str, list[str]] = {}
    for part in (*step.parts, *step.tried):
        name = part.name.lower().removesuffix(f", {part.hand}")
        found.setdefault(name, []).extend(studio.owners(part))
    for owner in step.extra:
        name = owner.partition("#")[0].replace("-", " ")
        # What lies in the shaft's place while a whole boat is shown is still the dummy rod.
        found.setdefault("dummy rod" if name == "shaft" else name, []).append(owner)
    return found if len(found) <= _MOST_NAMES else {}


def worded(
    drawn: Scene,
    ends: Sequence[Named],
    names: Sequence[Named],
    width: float,
    elsewhere: Callable[[str], Sequence[tuple[float, float]]] | None = None,
) -> Scene:
    """A picture with its new parts hatched, the boat's ends told and the new parts named round it.

    Args:
        drawn: the picture.
        ends: the words for the boat's ends and where these lie.
        names: of new parts, and a point on each.
        width: greatest, mm.
        elsewhere: more points on the part of a name; None where each has but its one.
    """
    # Arrows lie over the hatching.
    arrows = [item for item in drawn.items if isinstance(item, Shape) and item.fill == VERMILLION]
    items = (*(item for item in drawn.items if item not in arrows), *hatching(drawn.items), *arrows)
    spare = max(0.0, (width - drawn.width) / 2.0)
    box = (drawn.x0 + 0.6 - spare, drawn.y0 - _WORD_ROOM, drawn.x1 - 0.6 + spare, drawn.y1 + _WORD_ROOM)
    words = words_beside(drawn.items, ends, names, box, elsewhere=elsewhere)
    if not words:
        return Scene(drawn.title, drawn.x0, drawn.y0, drawn.x1, drawn.y1, items)
    x0, y0, x1, y1 = bounds_of(words)
    return Scene(
        drawn.title,
        min(drawn.x0, x0 - 0.5),
        min(drawn.y0, y0 - 0.5),
        max(drawn.x1, x1 + 0.5),
        max(drawn.y1, y1 + 0.5),
        (*items, *words),
    )


def _arrow_groups(studio: Studio, step: Step, new: Sequence[str]) -> list[tuple[Array, Point3]]:
    """Middles and shifts of the parts that have an arrow: the first of each shift, and those that stand far from it."""
    found: list[tuple[Array, Point3]] = []
    for owner in new:
        if owner in step.extra:
            continue
        shift, middle = step.shift_of(owner), _middle(studio, owner)
        if all(other != shift or np.linalg.norm(at - middle) > _OWN_ARROW for at, other in found):
            found.append((middle, shift))
    return found


def _middle(studio: Studio, owner: str) -> Array:
    points = np.vstack([facet.rings[0].points for facet in studio.bodies[owner]])
    result: Array = (points.min(axis=0) + points.max(axis=0)) / 2.0
    return result


def exploded_bodies(studio: Studio) -> list[Shown]:
    """The bodies of all parts but the stand, each shifted off its place."""
    length = studio.plan.hull.length
    shown = []
    for part in studio.plan.parts:
        if part.family == "stand":
            continue
        for owner in studio.owners(part):
            forward, outboard, up = _EXPLODED.get(part.family, HOME)
            middle = _middle(studio, owner)
            if part.family == "cleat":
                outboard = 0.1 if abs(middle[1]) > 20.0 else 0.0
            side = 0.0 if abs(middle[1]) < 20.0 else math.copysign(1.0, middle[1])
            shift = (forward * length, side * outboard * length, up * length)
            shown.append(Shown(owner, PLAIN, shift))
    return shown


def exploded(studio: Studio, width: float, height: float) -> Scene:
    """All parts of the boat, drawn apart."""
    shown, view = exploded_bodies(studio), studio.view("quarter")
    room = (width, height - 2.0 * _WORD_ROOM)
    drawn = view.picture("All parts, drawn apart", shown, *room)
    scale, origin, _ = view.frame(shown, *room)
    return worded(drawn, [(word, view.at(at, scale, origin)) for word, at in _boat_ends(studio.plan)], [], width)


def _ring_items(rings: Sequence[Array], fill: str, scale: float, width: float) -> list[Item]:
    paths = []
    for ring in rings:
        simple = shapely.get_coordinates(shapely.LinearRing(ring).simplify(_FLAT_TOLERANCE))[:-1] * scale
        paths.append(polygon([(float(x), float(y)) for x, y in np.round(simple, 3)]))
    return [Shape(Role.OUTLINE, tuple(paths), fill=fill, width=width)]


def mirrored_sides(studio: Studio, width: float, height: float) -> Scene:
    """Both sides lying as a mirrored pair, inner faces up, with their cleats in place."""
    plan = studio.plan
    items: list[Item] = []
    scale = width * 0.96 / max(part.finished_length for part in plan.parts if part.family == "side")
    base = 0.0
    for hand in ("port", "starboard"):
        side = next(part for part in plan.parts if part.family == "side" and part.hand == hand)
        rows = _ring_items([np.array(side.true_outline)], "#f4f4f4", scale, 0.4)
        for part in plan.parts:
            if part.family == "cleat" and part.hand == hand and ("chine" in part.id or "sheer" in part.id):
                space = part.panel.to_space(np.array(part.true_outline), part.thickness / 2.0)
                rows += _ring_items([side.panel.to_flat(space)[:, :2]], NEW.colour, scale, 0.3)
        tall = side.finished_width * scale
        x = side.finished_length * scale / 2.0
        rows.append(Text(Role.LABEL, (x, tall * 0.46), side.name, 3.0, anchor="middle"))
        rows += _cleat_names(plan, side, scale, tall)
        rows += hatching(rows)
        rows += _side_ends(plan, side, scale, tall)
        items += [transform(item, dy=base - tall) for item in rows]
        base -= tall + 18.0
    return fitted("The sides as a mirrored pair, with their cleats", items, width, height)


def _side_ends(plan: BoatPlan, side: Part, scale: float, tall: float) -> list[Item]:
    """The words for both ends of a side that lies flat, over its ends."""
    x = side.panel.to_flat(np.array([[0.0, 0.0, plan.hull.depth], [plan.hull.length, 0.0, plan.hull.depth]]))[:, 0]
    left, right = ("stern", "bow") if x[0] < x[1] else ("bow", "stern")
    y = tall + 2.8
    far = side.finished_length * scale
    return [
        Text(Role.LABEL, (0.0, y), left, END_SIZE, anchor="start", bold=True),
        Text(Role.LABEL, (far, y), right, END_SIZE, anchor="end", bold=True),
    ]


def _cleat_names(plan: BoatPlan, side: Part, scale: float, tall: float) -> list[Item]:
    """The names of a side's cleats over and under it, each with a short leader."""
    items: list[Item] = []
    for part in plan.parts:
        if part.family != "cleat" or part.hand != side.hand or not ("chine" in part.id or "sheer" in part.id):
            continue
        space = part.panel.to_space(np.array(part.true_outline), part.thickness / 2.0)
        ring = shapely.Polygon(side.panel.to_flat(space)[:, :2] * scale)
        # Half-way along, clear of the words at the side's ends.
        low, foot, high, head = ring.bounds
        x = (low + high) / 2.0
        y = ring.intersection(shapely.LineString([(x, foot), (x, head)])).centroid.y
        over = "sheer" in part.id
        end = tall + 2.0 if over else -2.0
        items.append(Shape(Role.DIMENSION, (line((x, end), (x, y)),), width=0.18))
        words = part.name.rsplit(", ", 1)[0].lower()
        at = (x, end + 0.8) if over else (x, end - 2.6)
        items.append(Text(Role.LABEL, at, words, 2.5, anchor="middle"))
    return items


def _plain_picture(
    studio: Studio, direction: str, owners: Sequence[str], width: float, room: tuple[float, float, float, float]
) -> tuple[list[Item], float, tuple[float, float]]:
    """A drawing of a width less the room left at its sides; items, scale and origin in the camera's plane."""
    view = studio.view(direction)  # type: ignore[arg-type]
    shown = [Shown(owner, PLAIN) for owner in owners]
    x0, y0, x1, _ = view.bounds(shown)
    scale = (width - room[0] - room[2]) / (x1 - x0)
    return view.items(shown, scale, (x0, y0)), scale, (x0, y0)


def _clear_half(plan: BoatPlan, x: float) -> float:
    """From the centre line to the nearer edge of a side's inner face, as seen from above, mm."""
    hull, at = plan.hull, np.array([x])
    heights = np.concatenate([hull.bottom_height(at), hull.sheer_height(at)])
    return float(hull.half_breadth(np.repeat(at, 2), heights, hull.side_thickness).min())


def diagonals(studio: Studio, width: float, height: float) -> Scene:
    """The frame from above with both diagonals, and the sticks across it by which a twist is seen."""
    plan = studio.plan
    families = ("side", "transom", "bulkhead", "nose_block")
    parts = [part for part in plan.parts if part.family in families]
    items, scale, origin = _plain_picture(studio, "above", studio.owners(*parts), width, (13.0, 2.0, 9.0, 2.0))
    across = frame_diagonal(plan)

    def at(x: float, y: float) -> tuple[float, float]:
        return ((x - origin[0]) * scale, (y - origin[1]) * scale)

    for x, half, name in (
        (across.aft, across.aft_half, "transom"),
        (across.fore, across.fore_half, "bulkhead"),
    ):
        # Between the sides; level where the boat is too narrow ahead for a word across it.
        room = min(half, _clear_half(plan, x + _UPRIGHT / scale))
        size = font.fit_size(name, 1.9 * room * scale, 2.5)
        left, base = at(x, 0.0)
        if size >= _READ:
            items.append(Text(Role.LABEL, (left + 4.0, base), name, size, 90.0, "middle"))
        else:
            items.append(Text(Role.LABEL, (left + 1.8, base - 0.36 * _READ), name, _READ))
    middle = at(0.0, 0.0)[1]
    for x, word, anchor in ((0.0, "stern", "end"), (plan.hull.length, "bow", "start")):
        place = at(x, 0.0)[0] + (-1.5 if anchor == "end" else 1.5)
        items.append(Text(Role.LABEL, (place, middle - 0.36 * END_SIZE), word, END_SIZE, anchor=anchor, bold=True))
    # Clear of the words beside transom and bulkhead.
    for x, half in ((across.aft, across.aft_half), (across.fore, across.fore_half)):
        low, high = at(x, -half - _STICK[1]), at(x + _STICK[0], half + _STICK[1])
        items.append(Shape(Role.OUTLINE, (rectangle(*low, *high),), fill=NEW.colour, width=0.25, ref="stick"))
        # Over the hull where it is widest, not over its side.
        top = max(high[1], at(0.0, plan.design.hull.beam / 2.0)[1]) + 0.8
        items.append(Text(Role.LABEL, (low[0], top), "straight stick", 2.5, anchor="middle"))
    for side in (1.0, -1.0):
        ends = (at(across.aft, side * across.aft_half), at(across.fore, -side * across.fore_half))
        items.append(Shape(Role.DIMENSION, (line(*ends),), stroke=VERMILLION, width=0.35))
    foot = at((across.aft + across.fore) / 2.0, -max(across.aft_half, across.fore_half))
    text = both(across.length, plan.design.units)
    items.append(
        Text(Role.DIMENSION, (foot[0], foot[1] - 7.0), f"both diagonals {text}", 3.0, anchor="middle", bold=True)
    )
    return fitted("Both diagonals of the frame", items, width, height)


def part_thumbnail(part: Part, width: float, height: float) -> Scene:
    """A small picture of a part's finished outline."""
    outline = np.array(part.true_outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    size = high - low
    scale = min((width - 1.0) / size[0], (height - 1.0) / size[1], 0.25)
    rings = [outline, *(np.array(hole) for hole in part.holes)]
    items = _ring_items([ring - low for ring in rings], "#ffd27a", 1.0, 0.25)
    items = [transform(item, scale=scale) for item in items]
    return Scene(part.name, -0.5, -0.5, float(size[0]) * scale + 0.5, float(size[1]) * scale + 0.5, tuple(items))
