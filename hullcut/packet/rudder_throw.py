"""The rudder's throw as a rule measures it."""

from __future__ import annotations

import math

__all__ = ["ABAFT_POST", "aside"]

ABAFT_POST = 25.4
"""The throw is told by what lies so far abaft the rudder's post, mm."""


def aside(throw: float) -> float:
    """How far what lies `ABAFT_POST` abaft the post moves aside, mm, at a throw in degrees."""
    return ABAFT_POST * math.sin(math.radians(throw))
