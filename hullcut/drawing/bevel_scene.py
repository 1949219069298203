"""Every edge that is planed at a slant, as a list beside the templates: on a small part there is no room for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from hullcut.drawing.table_scene import table_scene
from hullcut.parts.bevels import bevel_summaries

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.drawing.scene import Scene
    from hullcut.parts.values import Part

__all__ = ["bevel_scenes"]

_HEADS = ("part", "edge", "off square", "plane back", "longer face")
_TITLE = "Slanting edges: saw square along the longer face, then plane back so far over the thickness"
# Names of edges that no drawing bears, by what the edge meets.
_MEETS = {
    "side": "at the side",
    "free": "free edge",
    "inner": "away from the side",
    "transom": "at the transom",
    "foot": "foot, on the deck",
    "sheer": "upper, at the sheer",
}
# Rows that fit the smallest page on offer with its title and foot.
_ROWS = 28


def bevel_scenes(parts: Sequence[Part], units: Literal["in", "mm"]) -> list[Scene]:
    """Tables of all bevels, so many that each fits a page; none where every edge is square.

    A mirrored pair shares its rows.

    Args:
        parts: of one boat.
        units: which unit leads.
    """
    rows: dict[tuple[str, ...], list[str]] = {}
    for part in parts:
        for each in bevel_summaries(part, units):
            name = part.name.removesuffix(f", {part.hand}") if part.hand else part.name
            edges = ", ".join(sorted(each.edges.split(", "))) if part.hand else each.edges
            edges = ", ".join(_MEETS.get(edge, edge) for edge in edges.split(", "))
            rows.setdefault((name, edges, each.degrees, each.back, each.long_face), []).append(part.hand or "")
    told = [(_named(name, hands), *rest) for (name, *rest), hands in rows.items()]
    pages = -(-len(told) // _ROWS)
    count = -(-len(told) // max(1, pages))
    names = [f"Slanting edges {page + 1}" for page in range(pages)] if pages > 1 else ["Slanting edges"] * pages
    return [table_scene(name, _TITLE, [_HEADS, *told[page * count :][:count]]) for page, name in enumerate(names)]


def _named(name: str, hands: Sequence[str]) -> str:
    """A part's name with its hand, where only one hand has this bevel."""
    return f"{name}, {hands[0]}" if hands[0] and len(set(hands)) == 1 else name
