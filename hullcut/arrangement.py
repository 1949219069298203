"""The places of engine, fin, shaft, propeller, rudder and radio box: frozen values, nothing else.

Parts need these places and balance needs the parts' weights; a frozen value between them breaks the circle. All
lengths are in millimetres in the boat's axes: x forward from the transom, y to port, z up from the bottom.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Arrangement", "ShaftLine"]


@dataclass(frozen=True, slots=True)
class ShaftLine:
    """The straight line from the engine's output to the propeller hub.

    Attributes:
        angle: to the bottom, degrees.
        output_x, output_z: centre of the engine's output at the engine plate's after face.
        hub_x, hub_z: centre of the propeller hub.
        exit_x: where the line passes the bottom's outer face.
        slot_from, slot_to: x between which the tube passes through the bottom.
        length: from output to hub.
    """

    angle: float
    output_x: float
    output_z: float
    hub_x: float
    hub_z: float
    exit_x: float
    slot_from: float
    slot_to: float
    length: float


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where everything stands.

    Attributes:
        balance_x: of the balance point.
        plate_x: of the engine plate's after face at the height of the engine's output.
        shaft: the shaft line.
        fin_x: of the after end of the fin's root.
        box_y: of the radio box's centre, to port.
        servo_y: of the servo mounts' centre, to port.
    """

    balance_x: float
    plate_x: float
    shaft: ShaftLine
    fin_x: float
    box_y: float
    servo_y: float
