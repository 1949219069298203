"""Pictures of the finished boat: three views, the boat drawn apart with its parts' names, and from any side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.paths import bounds_of
from hullcut.drawing.scene import Scene
from hullcut.drawing.views.leaders import leaders, widest
from hullcut.drawing.views.picture import PLAIN, Shown, View
from hullcut.drawing.views.projection import camera
from hullcut.packet.dot_places import names_seen
from hullcut.packet.special_pictures import exploded_bodies

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.packet.studio import Direction, Studio
    from hullcut.parts.values import Part

__all__ = ["assembled", "boat_pictures", "exploded_with_names"]

_SIZE = 2.5
_WIDTH = 180.0
_VIEWS: tuple[tuple[str, Direction], ...] = (
    ("from-ahead", "cover"),
    ("from-astern", "quarter"),
    ("keel-up", "keel up"),
)


def exploded_with_names(studio: Studio, width: float, height: float) -> Scene:
    """All parts drawn apart, with their names at the ends of leaders; a part that cannot be seen goes without.

    A mirrored pair has one name, at that of the two of which more is seen.

    Args:
        studio: of the boat.
        width: of the picture with its names, mm on paper.
        height: greatest height.
    """
    shown = exploded_bodies(studio)
    view = studio.view("quarter")
    groups = _alike(studio.plan.parts)
    room = width - 2.0 * widest(list(groups), _SIZE) - 4.0
    x0, y0, x1, y1 = view.bounds(shown)
    scale = min(room / (x1 - x0), (height - 4.0) / (y1 - y0))
    drawn = view.items(shown, scale, (x0, y0))
    owners = {name: studio.owners(*parts) for name, parts in groups.items()}
    named, elsewhere = names_seen(view, shown, owners, scale, (x0, y0))
    box = (0.0, 0.0, (x1 - x0) * scale, (y1 - y0) * scale)
    items = [*drawn, *leaders(named, box, _SIZE, elsewhere)]
    low_x, low_y, high_x, high_y = bounds_of(items)
    title = f"The parts of {studio.plan.design.name}, drawn apart"
    return Scene(title, low_x - 1.0, low_y - 1.0, high_x + 1.0, high_y + 1.0, tuple(items))


def _alike(parts: Sequence[Part]) -> dict[str, list[Part]]:
    """Parts by the name they share in the picture: a mirrored pair is one, and how many there are stands behind it."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        pair = part.name.removesuffix(f", {part.hand}") if part.hand is not None else part.name
        found.setdefault(pair, []).append(part)
    counts = {name: sum(part.quantity for part in alike) for name, alike in found.items()}
    return {f"{name} × {counts[name]}" if counts[name] > 1 else name: alike for name, alike in found.items()}


def assembled(studio: Studio, azimuth: float, elevation: float, width: float, keel_up: bool = False) -> Scene:
    """The finished boat from any side.

    Args:
        studio: of the boat.
        azimuth: of the eye, degrees from the bow (0) over port (90) to astern (180) and starboard (270).
        elevation: of the eye above the horizon, degrees.
        width: of the picture, mm on paper.
        keel_up: whether the boat lies keel up.
    """
    view = View(studio.bodies, camera(azimuth, elevation, keel_up))
    shown = [Shown(owner, PLAIN) for owner in studio.afloat]
    where = f"{azimuth:g} degrees from the bow, {elevation:g} degrees up"
    return view.picture(f"{studio.plan.design.name}, seen from {where}", shown, width, width)


def boat_pictures(studio: Studio, angle: tuple[float, float] | None = None) -> dict[str, Scene]:
    """The pictures of a boat by their file's name, without its ending.

    Args:
        studio: of the boat.
        angle: azimuth and elevation of one more view; None for none.
    """
    name = studio.plan.design.name
    shown = [Shown(owner, PLAIN) for owner in studio.afloat]
    found = {
        "three-views": studio.three_views(_WIDTH),
        "exploded": exploded_with_names(studio, _WIDTH, 150.0),
    }
    for file, direction in _VIEWS:
        title = f"{name}, {file.replace('-', ' ')}"
        found[file] = studio.view(direction).picture(title, shown, _WIDTH, _WIDTH)
    if angle is not None:
        found[f"from-{angle[0]:g}-above-{angle[1]:g}"] = assembled(studio, *angle, _WIDTH)
    return found
