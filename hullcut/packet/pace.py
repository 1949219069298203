"""How long each step takes, and where a builder stops and shows a photo.

The minutes are for two beginners with an adult beside them: common practice, no source. They are estimates.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hullcut.packet.step import Step
    from hullcut.parts.values import Part

__all__ = ["CLAMP_EVERY", "TOGETHER", "clamps_for", "minutes_for", "photo_of", "waits"]

CLAMP_EVERY = 150.0
"""Distance between clamps along a glued strip, mm: common practice, no source."""

_MINUTES: dict[str, int] = {
    "Mark out and cut the parts": 360,
    "Glue up the wide parts": 75,
    "Glue the cleats to the sides": 75,
    "Glue the cleats to the transom": 30,
    "Glue the cleats to the bow transom": 30,
    "Stand sides and transom on the board, keel up": 25,
    "Let in the bulkhead and the beams, dry": 35,
    "Check the dry frame": 15,
    "Glue the frame and check it again": 35,
    "Bend on the bottom": 90,
    "Build the stand": 45,
    "Trim the bottom flush": 60,
    "Turn the boat over and fit the knees": 30,
    "Fit the fin and its cleats": 45,
    "Fit the engine bearers and the engine plate": 60,
    "Cut the shaft slot and try the rod": 60,
    "Line up the coupling and glue in the shaft log": 40,
    "Make the heat shield and place the kill switch": 45,
    "Glue in the strut pad and the rudder pad": 45,
    "Fit the shelf cleats and the radio shelf": 45,
    "Fit the servo mounts and the radio box": 45,
    "Seal the inside": 45,
    "Pack in the foam": 45,
    "Glue down the fore deck": 60,
    "Glue down the after deck": 45,
    "Fit the after deck": 40,
    "Glue in the coaming": 45,
    "Make the hatch": 60,
    "Glue on the windscreen": 30,
    "Sand, seal and paint": 120,
    "Put the engine and the radio back": 45,
    "Bolt on the strut and the rudder": 40,
    "Fit the shaft and the propeller": 40,
    "Fit the pushrods and the bow loop": 60,
    "Balance the boat": 45,
}

_PHOTOS: dict[str, str] = {
    "Glue the cleats to the sides": "both sides, inner faces up, side by side",
    "Check the dry frame": "the tape on each diagonal, so that its figure can be read",
    "Trim the bottom flush": "the bottom with a straightedge on it, and the sharp after edge",
    "Cut the shaft slot and try the rod": "the rod in its tube, from the side and from astern",
    "Pack in the foam": "the inside of the boat from above, before anything is closed",
    "Put the engine and the radio back": "engine, tank, shield and switch, from above and from astern",
    "Balance the boat": "the boat level on the balance bar, from its side",
}


TOGETHER = (
    "Stand sides and transom on the board, keel up",
    "Let in the bulkhead and the beams, dry",
    "Check the dry frame",
    "Glue the frame and check it again",
)
"""Steps that are done in one sitting: what was checked dry is glued before it moves."""


_WAITS = (
    "Glue up the wide parts",
    "Glue the frame and check it again",
    "Glue in the strut pad and the rudder pad",
    "Glue down the fore deck",
    "Glue down the after deck",
)


def waits(step: Step) -> bool:
    """Whether its glue must be hard before the step is finished or the next is begun.

    After any other step the builder goes on as soon as the clamps are off.
    """
    return step.glue and step.title in _WAITS


def minutes_for(step: Step) -> int:
    """How long a step takes, without drying."""
    return _MINUTES[step.title]


def photo_of(step: Step) -> str:
    """What the photo at the end of a step shows; empty where there is none."""
    return _PHOTOS.get(step.title, "")


def clamps_for(step: Step) -> int:
    """Clamps for a step's new parts, one side of the boat or one wide part at a time; 0 where none are used."""
    # What is cut out is held down piece by piece, with no more clamps than any step needs.
    if "clamps" not in step.tools or not (step.glue or step.tried):
        return 0
    if step.glued_up:
        return max(max(2, math.ceil(glued.length / CLAMP_EVERY)) for glued in step.glued_up)
    hands = [part for part in step.parts if part.hand != "starboard"]
    return sum(part.quantity * _along(part) for part in hands)


def _along(part: Part) -> int:
    """Clamps along a part; the stand's meet in notches only."""
    return 1 if part.family == "stand" else max(1, math.ceil(part.finished_length / CLAMP_EVERY))
