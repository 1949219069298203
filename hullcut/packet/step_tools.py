"""Which tools a step needs besides those that it names: they follow from what its words tell the builder to do."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hullcut.packet.step import Step

__all__ = ["RULES", "all_tools"]

RULES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"drill(s|ed|ing)?", ("drill and bits", "safety glasses")),
    (r"screw(ed)? (it|them|the|in|down)|glue and screw", ("screwdriver",)),
    (r"saw(s|ed)?|resaw(s|ed)?", ("safety glasses",)),
    (r"sand(s|ed)?", ("sanding block", "dust mask", "safety glasses")),
    (r"bend(s|ed)?", ("safety glasses",)),
    (r"clamp(s|ed)?", ("clamps",)),
    (r"plane", ("plane",)),
    (r"file", ("file",)),
    (r"bolt(s|ed)? (on|down|each|the)", ("spanners",)),
    (r"straightedge", ("straightedge",)),
    (r"brush", ("brush",)),
    (r"wipe", ("rags",)),
    (r"pare", ("chisel", "safety glasses")),
    (r"vacuum", ("vacuum cleaner",)),
    (r"sealant", ("sealant",)),
    (r"seal(er|s|ed)?|sealant|paint(ed)?|epoxy", ("gloves", "safety glasses")),
)
"""Words that tell what is done, as a pattern of a whole word, and the tools that this asks for."""

_GUARDS = (
    ("hacksaw", "safety glasses"),
    ("hand saw", "safety glasses"),
    ("small saw", "safety glasses"),
    ("sanding block", "dust mask"),
    ("sanding block", "safety glasses"),
)

# "Plane" is also a thing that a boat does, and "file" a thing on a disk.
_OTHERWISE = re.compile(r"a boat planes on it|templates file|never drill[^.]*|before you drill")


def all_tools(step: Step, screwed: bool) -> tuple[str, ...]:
    """The step's tools with those that its words, its glue and its screws ask for.

    Args:
        step: with the tools that it names itself, which stand first.
        screwed: whether screws are set in it.
    """
    words = _OTHERWISE.sub(" ", " ".join((*step.sentences, step.adult)).lower())
    tools = list(step.tools)
    for pattern, needed in RULES:
        if re.search(rf"\b({pattern})\b", words):
            tools += needed
    for tool, guard in _GUARDS:
        if tool in tools:
            tools.append(guard)
    if screwed:
        tools += ("drill and bits", "screwdriver", "safety glasses")
    if step.glue:
        tools += ("glue brush", "gloves", "safety glasses")
        # What is held with tape, or by the rod that it lies on, is not clamped.
        if "tape" not in tools:
            tools.append("clamps")
    return tuple(dict.fromkeys(tools))
