"""Parts that need no pattern: plain strips and rectangles, told by their measures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from hullcut.drawing.table_scene import table_scene
from hullcut.lengths import both
from hullcut.parts.bevels import bevel_summaries
from hullcut.parts.measures import fills_its_box, rectangle_sizes
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Scene
    from hullcut.parts.values import Part

__all__ = ["is_plain", "measured_scene", "plain_sizes"]

_TITLE = "Plain pieces: mark them out with rule and square"
# Marks that a pattern is needed for; a centre line, a name and the grain are drawn with a square and a rule.
_NEEDS_PATTERN = ("landing", "screw", "slot", "hole", "shaft", "station", "balance point", "true line", "glue joint")


def is_plain(part: Part) -> bool:
    """Whether a part is a rectangle without marks that call for a pattern."""
    return not part.holes and not any(mark.kind in _NEEDS_PATTERN for mark in part.marks) and fills_its_box(part)


def measured_scene(parts: Sequence[Part], units: Literal["in", "mm"]) -> Scene:
    """A table of plain parts with their measures, to mark out with rule and square.

    Args:
        parts: at least one, each plain.
        units: which unit leads.
    """
    rows = [("part", "longer side", "shorter side", "thick", "wood")]
    rows += [
        (
            f"{part.name}{f' ({part.quantity})' if part.quantity > 1 else ''}{_slants(part, units)}",
            *plain_sizes(part, units),
            both(part.thickness, units, 32, decimals=1),
            wood(part.material).name,
        )
        for part in parts
    ]
    return table_scene("Plain pieces", _TITLE, rows)


def plain_sizes(part: Part, units: Literal["in", "mm"]) -> tuple[str, str]:
    """Longer and shorter side of a plain piece, alike in every table of them: to 1/32 in and to 0.1 mm."""
    longer, shorter = rectangle_sizes(part)
    return both(longer, units, 32, decimals=1), both(shorter, units, 32, decimals=1)


def _slants(part: Part, units: Literal["in", "mm"]) -> str:
    return ": slanting edges, see the list" if bevel_summaries(part, units) else ""
