"""The drill sizes for the screws that are marked on the templates, as a small table beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.drawing.table_scene import table_scene
from hullcut.lengths import both
from hullcut.stock.fasteners import screw
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.design.values import Design
    from hullcut.drawing.scene import Scene
    from hullcut.parts.values import Part

__all__ = ["screw_scene"]

_TITLE = "Screw holes: drill these sizes where a screw is marked"
# What screws go into; each is named by the family of its wood.
_BELOW = ("cleat", "deck_beam", "bearer", "nose_block")


def screw_scene(design: Design, parts: Sequence[Part]) -> Scene | None:
    """A table of the holes for a boat's screws; None where nothing is screwed.

    Args:
        design: of the boat.
        parts: of the boat, with their marks.
    """
    if not any(mark.kind == "screw" for part in parts for mark in part.marks):
        return None
    sizes = screw(design.fasteners.gauge)
    rows = [("hole", "drill"), ("through the part that bears the mark", _drill(sizes.clearance.diameter, design))]
    below: dict[str, float] = {}
    for part in parts:
        if part.family in _BELOW:
            told = wood(part.material)
            below[told.name] = sizes.pilot(told.pilot).diameter
    rows += [(f"pilot hole into {name} below it", _drill(size, design)) for name, size in below.items()]
    return table_scene("Screw holes", _TITLE, rows)


def _drill(diameter: float, design: Design) -> str:
    return both(diameter, design.units, 64, decimals=1)
