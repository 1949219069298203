"""Which tools a step needs besides those that it names: they follow from what its words tell the builder to do."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from hullcut.packet.holding import across_the_hull, weighed_down

if TYPE_CHECKING:
    from hullcut.packet.step import Step

__all__ = ["RULES", "all_tools"]

RULES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"drill(s|ed|ing)?", ("drill and bits", "safety glasses")),
    (r"screw(ed)? (it|them|the|in|down)|glue and screw", ("screwdriver",)),
    (r"unscrew|(hatch|deck) off|stop blocks? to the board", ("screwdriver",)),
    (r"take (the )?engine", ("spanners",)),
    (r"servos and radio box out", ("screwdriver",)),
    (r"saw(s|ed)?|resaw(s|ed)?", ("safety glasses",)),
    (r"saws most of it off", ("hand saw",)),
    (r"sand(s|ed)?", ("sanding block", "dust mask", "safety glasses")),
    (r"nail|prick", ("sharp nail",)),
    (r"bend(s|ed)?", ("safety glasses",)),
    (r"clamp(s|ed)?", ("clamps",)),
    (r"plane", ("plane",)),
    (r"bolt(s|ed)? (on|down|each|the|it|its|them)|tighten", ("spanners",)),
    (r"saw just outside", ("hand saw", "coping saw")),
    (r"saw out (the holes|their windows)", ("coping saw", "hole saw", "drill and bits")),
    (r"keyhole saw", ("keyhole saw", "drill and bits", "safety glasses")),
    (r"snips", ("tin snips", "gloves", "safety glasses")),
    (r"files?", ("file",)),
    (r"tape (them|it|over|the)|with tape|on tape|pull off the tape", ("tape",)),
    (r"stand the sides|stop blocks?", ("stop blocks",)),
    (r"in the vice", ("vice with soft jaws",)),
    (r"hacksaw", ("hacksaw",)),
    (r"mark (it|its|the|both)|draw (the|a) (centre line|waterline|line)|pencil", ("pencil",)),
    (r"(strips?|piece) of (thin )?card|thin card", ("thin card",)),
    (r"baking paper", ("baking paper",)),
    (r"plastic film", ("plastic film",)),
    (r"weights?", ("weights",)),
    (r"fill (the|each|all) screw heads?|fill dents|wood filler", ("wood filler",)),
    (r"dummy rod", ("straight dummy rod",)),
    (r"try square|square on the board|square to the bottom", ("try square",)),
    (r"cloth", ("soft cloth",)),
    (r"solvent|rag", ("rags",)),
    (r"knife", ("knife",)),
    (r"greased?|greases", ("grease",)),
    (r"set screws?", ("hex key or small screwdriver",)),
    (r"press(es)? a bearing", ("vice with soft jaws",)),
    (r"tie every wire", ("cable ties",)),
    (r"crimped", ("crimping pliers",)),
    (r"screw the bow loop", ("drill and bits", "screwdriver")),
    (r"seal the aerial.s tube", ("sealant",)),
    (r"straightedge", ("straightedge",)),
    (r"brush", ("brush",)),
    (r"wipe", ("rags",)),
    (r"pares?", ("chisel", "safety glasses")),
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

# What a check is made with besides a rule.
_CHECKED = (
    ("straightedge", "straightedge"),
    ("a square", "try square"),
    ("card", "thin card"),
    ("diagonal", "tape measure"),
)

_LENGTH = re.compile(r"([\d.]+) mm\b")
_RULES = ("steel rule", "tape measure")
# A rule is so long, mm; what is longer is measured with a tape.
_RULE_LONG = 304.8


def _measuring(tools: list[str], check: str) -> list[str]:
    """The rule or tape that a check's measures ask for, where no such tool is named."""
    found = [float(each) for each in _LENGTH.findall(check)]
    if not found:
        return []
    if max(found) > _RULE_LONG:
        return ["tape measure"]
    return [] if set(tools) & set(_RULES) else ["steel rule"]


# A "file" is also a thing on a disk.
_OTHERWISE = re.compile(r"templates file|never drill[^.]*|before you drill")


def all_tools(step: Step, screwed: bool) -> tuple[str, ...]:
    """The step's tools with those that its words, its glue and its screws ask for.

    Args:
        step: with the tools that it names itself, which stand first.
        screwed: whether screws are set in it.
    """
    words = _OTHERWISE.sub(" ", " ".join((*step.sentences, step.adult)).lower())
    tools = list(step.tools)
    check = step.check.lower()
    tools += [tool for word, tool in _CHECKED if word in check]
    tools += _measuring(tools, check)
    for pattern, needed in RULES:
        if re.search(rf"\b({pattern})\b", words):
            tools += needed
    for tool, guard in _GUARDS:
        if tool in tools:
            tools.append(guard)
    if screwed:
        tools += ("drill and bits", "screwdriver", "safety glasses")
    if across_the_hull(step):
        tools.append("long clamps")
    if weighed_down(step):
        tools.append("weights")
    if step.glue and re.search(r"on the board", words):
        # Glue that runs out must not hold the frame to the board.
        tools.append("baking paper")
    if step.glue:
        tools += ("glue brush", "gloves", "safety glasses")
        # What is held with tape, with straps, with bolts, or by the rod that it lies on, is not clamped.
        if not {"tape", "spanners", "straps"} & set(tools):
            tools.append("clamps")
    return tuple(dict.fromkeys(tools))
