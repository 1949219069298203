"""What the trade words of the packet mean."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.platypus import CondPageBreak, Spacer, TableStyle

from hullcut.packet.document import MM, Heading, Table, paragraph

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hullcut.design.values import HullSizes
    from hullcut.packet.document import Frames, Styles

__all__ = ["meanings", "occurs", "words_chapter"]

_WORDS = (
    ("abaft", "behind, nearer to the stern"),
    ("adapter", "a piece that makes two things fit that did not"),
    ("aft, after", "towards the back end of the boat"),
    ("aerial", "the wire by which the radio hears you"),
    ("astern", "behind the boat"),
    ("ballast", "weight that you add to make the boat float level"),
    ("bed", "to press into wet sealant"),
    ("barrel", "the strut's tube, round its bearing"),
    ("batten", "a thin strip under a hatch, or to draw a curve with"),
    ("beam", "a boat's width; a strip across it"),
    ("bearing", "what holds the shaft and lets it turn"),
    ("bearer", "a strong beam that carries the engine"),
    ("bellows", "a folded rubber tube: keeps water off a rod"),
    ("bevel", "an edge that is cut at a slant"),
    ("bind", "to turn or slide hard, because something presses"),
    ("bore", "a round hole, or how wide it is"),
    ("bow, stern", "the front end and the back end"),
    ("bow loop", "a ring at the bow to tie a line to"),
    ("bulkhead", "a wall across the boat"),
    ("carburettor", "mixes the engine's fuel and air"),
    ("centre line", "the line down the middle, from bow to stern"),
    ("chine", "the corner where side and bottom meet"),
    ("channel", "one of the things that a radio works"),
    ("choke", "shuts an engine's air off: shut, it stops"),
    ("clamp", "squeezes two parts until the glue is hard"),
    ("bracket", "a bent metal piece that holds two parts"),
    ("cleat", "a strip in a corner, to hold glue and screws"),
    ("clutch", "lets the engine idle while the shaft stands still"),
    ("closed-cell", "of foam: it soaks up no water"),
    ("coaming", "a low rim round the opening under a hatch"),
    ("collar", "a ring that is screwed fast on the shaft"),
    ("countersink", "a bit that makes room for a screw's head"),
    ("coupling", "the piece that joins the engine to the shaft"),
    ("cradle", "the part of the stand that the hull lies in"),
    ("deck", "the board that covers the boat from above"),
    ("deck beam", "a strip across the boat that carries the deck"),
    ("deflector", "a bent sheet that turns the exhaust aside"),
    ("crimp", "to squeeze a plug onto a wire with pliers"),
    ("diagonal", "the line from one corner to the corner across"),
    ("drain plug", "a plug low in transom or bulkhead: lets water out"),
    ("drive dog", "turns the propeller; it is fixed on the shaft"),
    ("drum", "the cup round the clutch that turns the shaft"),
    ("dry", "put together without glue, to try it"),
    ("dummy rod", "stands in for the shaft while glue sets"),
    ("end grain", "wood cut across its fibres: it drinks the most"),
    ("epoxy", "a strong two-part glue for adults' hands"),
    ("failsafe", "stops the boat when the radio loses you"),
    ("fence", "a saw's guide that the wood slides along"),
    ("fin", "the small blade under the bottom, in the middle"),
    ("flange", "the flat rim of a fitting, by which it is fixed"),
    ("flush", "level with what is beside it: you feel no step"),
    ("fore, forward", "towards the front end of the boat"),
    ("gauge", "a number that tells how thick a screw is"),
    ("grain", "the way the wood's fibres run"),
    ("hatch", "a cover that comes off"),
    ("hub", "the middle of the propeller, on the shaft"),
    ("hull", "the body of the boat: bottom, sides and ends"),
    ("idle", "to run slowly, with the throttle closed"),
    ("ignition", "what makes the spark in the engine"),
    ("isocyanate", "in some glues: it can make you ill for good"),
    ("jig", "holds parts, or checks them, while you build"),
    ("keel", "the lowest line of a boat; keel up is upside down"),
    ("kerf", "the slot that a saw leaves, as wide as its teeth"),
    ("kill switch", "stops the engine at once: by radio or button"),
    ("knee", "a corner piece that makes a joint stiff"),
    ("lock nut", "a nut that does not shake loose"),
    ("lug", "a small ear with a hole for a screw"),
    ("muffler", "makes the exhaust quieter; it gets hot"),
    ("offcut", "a piece left over that is worth keeping"),
    ("pad", "a block that makes wood thicker under bolts"),
    ("pare", "to shave off thin bits with a chisel"),
    ("pilot hole", "a thin hole that the screw bites into"),
    ("pitch", "how far a propeller screws forward in one turn"),
    ("plane", "shaves wood; of a boat: to skim on the water"),
    ("plug lead", "the spark plug's wire: off, no engine starts"),
    ("plumb", "straight up and down, like a hanging string"),
    ("port, starboard", "left and right when you look forward"),
    ("porpoise", "to bounce up and down at speed"),
    ("pushrod", "a stiff wire from a servo to rudder or throttle"),
    ("rack", "where the workshop keeps pieces left over"),
    ("rake", "how far something leans"),
    ("receiver", "the part of the radio that rides in the boat"),
    ("resaw", "to saw a board into thinner ones"),
    ("right-hand", "of a propeller: drives forward turning clockwise"),
    ("rudder", "the blade at the stern that steers"),
    ("sealant", "a paste that sets like rubber and keeps water out"),
    ("sealer", "soaks into wood and keeps water out"),
    ("servo", "the small motor that moves rudder or throttle"),
    ("set screw", "holds a ring fast on a shaft"),
    ("shaft", "the rod that turns the propeller"),
    ("shaft log", "the tube that the shaft runs through"),
    ("sheer", "the upper edge of a side"),
    ("shoes", "the clutch's arms that grip the drum"),
    ("skin", "the outer layer of your body"),
    ("spacer", "a short tube that keeps two things apart"),
    ("star", "the rubber cross between a coupling's halves"),
    ("straight run", "the straight part of the bottom, from aft forward"),
    ("strut", "the arm under the stern that holds the shaft"),
    ("stub", "a short end of a round rod that stands out"),
    ("tab", "a tongue of wood that goes into a slot"),
    ("template", "a drawing at full size, to cut to"),
    ("thread-lock", "a liquid that keeps screws from coming loose"),
    ("throttle", "what gives the engine more or less fuel and air"),
    ("throw", "how far a rudder or rod moves each way"),
    ("thrust", "the push of the propeller"),
    ("tiller", "the arm that turns the rudder"),
    ("transmitter", "the radio that you hold in your hands"),
    ("transom", "the flat board that closes the stern"),
    ("trim", "to cut off what stands over; how a boat lies"),
    ("true line", "where a part ends when it is finished"),
    ("two-part", "sold as two liquids that an adult mixes"),
    ("twist", "when one corner stands higher than the rest"),
    ("vice", "a bench clamp; wood makes its jaws soft"),
    ("bush", "a thin sleeve of bronze that a shaft turns in"),
    ("heat shield", "a metal sheet between muffler and wood"),
    ("hex key", "a bent rod with six sides: it turns set screws"),
    ("keyhole saw", "a narrow saw for cuts inside a sheet"),
    ("push stick", "pushes wood past a saw's blade, not your hand"),
    ("stop block", "a scrap that keeps a part in its place"),
    ("try square", "a fixed right angle, to draw and check with"),
    ("waterline", "where the water stands on the hull"),
)

_ENDINGS = ("", "s", "es", "d", "ed", "ing")


def meanings(hull: HullSizes) -> list[tuple[str, str]]:
    """The words of the packet and what they mean, with those that only this boat's shape calls for."""
    shape = (
        ("bow transom", "the flat board that closes the bow", hull.bow == "pram"),
        ("flare", "how far the sides lean outward", hull.flare > 0.0 or hull.offsets is not None),
        ("nose block", "the block that closes the bow under the deck", hull.bow == "sled"),
        ("rocker", "the rise of the bottom towards the stern", hull.rocker > 0.0),
        ("stem", "the corner where the sides meet at the bow", hull.bow == "stem"),
    )
    return sorted([*_WORDS, *((word, meaning) for word, meaning, needed in shape if needed)])


def occurs(entry: str, text: str) -> bool:
    """Whether a word of an entry stands in a text, alone, in the plural or with the ending of a verb.

    Args:
        entry: one or more words with a comma between.
        text: in small letters.
    """
    return any(_stands_in(word, text) for word in entry.lower().split(", "))


def _stands_in(word: str, text: str) -> bool:
    if word.isalpha():
        return not _alone(text).isdisjoint(word + ending for ending in _ENDINGS)
    return re.search(rf"\b{re.escape(word)}(?:{'|'.join(_ENDINGS)})\b", text) is not None


@lru_cache(maxsize=2)
def _alone(text: str) -> frozenset[str]:
    """Every word of a text: asked for more than a hundred words, it is read but once."""
    return frozenset(re.findall(r"\w+", text))


def words_chapter(hull: HullSizes, told: str, frames: Frames, look: Styles) -> list[Flowable]:
    """The list of the words that this packet uses, in two columns.

    Args:
        hull: sizes of the boat.
        told: all words of the packet's other pages.
        frames: room on the page.
        look: of the words.
    """
    text = " ".join(told.lower().split())
    listed = [(word, meaning) for word, meaning in meanings(hull) if occurs(word, text)]
    half = (len(listed) + 1) // 2
    rows = []
    for number in range(half):
        cells = []
        for word, meaning in listed[number::half]:
            cells += [paragraph(word, look.cell_bold), paragraph(meaning, look.cell)]
        rows.append(cells + [""] * (4 - len(cells)))
    wide = frames.width / 2.0 - 24.0
    table = Table(rows, [24 * MM, wide * MM] * 2, hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("LINEBELOW", (0, 0), (-1, -1), 0.3, HexColor("#aaaaaa")),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ]
        )
    )
    return [CondPageBreak(228 * MM), Heading("What the words mean", look.chapter), table, Spacer(0, 6)]
