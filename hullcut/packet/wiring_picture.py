"""One plain picture of what the radio's parts are wired to, with the test of the failsafe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hullcut.drawing.paths import bounds_of, line, polyline, rectangle, transform
from hullcut.drawing.scene import Role, Scene, Shape, Text
from hullcut.drawing.style import BLUE
from hullcut.drawing.views.picture import NEW, arrow

if TYPE_CHECKING:
    from hullcut.drawing.scene import Item, Point
    from hullcut.packet.studio import Studio

__all__ = ["FAILSAFE_TEST", "wiring"]

FAILSAFE_TEST = ("Test the failsafe: switch the transmitter off;", "the throttle closes, the kill switch works.")
"""What is tried before the first start, in the lines in which it stands under the picture."""

_SIZE, _LEAD = 2.2, 3.0
# The picture is laid out so wide, mm; then it is fitted to the room.
_WIDE = 80.0


@dataclass(frozen=True, slots=True)
class _Box:
    """A named box.

    Attributes:
        x, y: of its lower left corner, mm.
        wide, high: mm.
        words: line by line.
        fill: "#rrggbb".
    """

    x: float
    y: float
    wide: float
    high: float
    words: tuple[str, ...]
    fill: str = "#ffffff"

    @property
    def right(self) -> float:
        """X of its right side."""
        return self.x + self.wide

    @property
    def middle(self) -> Point:
        """Its middle."""
        return (self.x + self.wide / 2.0, self.y + self.high / 2.0)

    def items(self) -> list[Item]:
        """The box and its words, in its middle."""
        x, y = self.middle
        first = y + _LEAD * (len(self.words) - 1) / 2.0 - 0.36 * _SIZE
        return [
            Shape(
                Role.OUTLINE,
                (rectangle(self.x, self.y, self.right, self.y + self.high),),
                fill=self.fill,
                width=0.3,
            ),
            *(
                Text(Role.LABEL, (x, first - _LEAD * number), word, _SIZE, anchor="middle")
                for number, word in enumerate(self.words)
            ),
        ]


_BATTERY = _Box(0.0, 8.0, 13.0, 9.0, ("battery",))
_SWITCH = _Box(0.0, 25.0, 13.0, 9.0, ("switch",))
_RECEIVER = _Box(20.0, 8.0, 15.0, 26.0, ("receiver", "in its", "dry box"), NEW.colour)
_TRANSMITTER = _Box(17.0, 44.0, 21.0, 9.0, ("transmitter", "in your hands"))
_OUTPUTS = (
    _Box(43.0, 28.0, 17.0, 9.0, ("servo for", "rudder"), NEW.colour),
    _Box(43.0, 16.5, 17.0, 9.0, ("servo for", "throttle"), NEW.colour),
    _Box(43.0, 5.0, 17.0, 9.0, ("kill switch",), NEW.colour),
)
_RUDDER = _Box(67.0, 28.0, 13.0, 9.0, ("rudder",))
_ENGINE = _Box(67.0, 5.0, 13.0, 20.5, ("engine",))


def wiring(studio: Studio, width: float, height: float) -> Scene:
    """Battery, switch, receiver, servos and kill switch as boxes: wires as lines, rods as arrows.

    It is the same for every boat: how the radio is wired depends on no size.

    Args:
        studio: of the boat.
        width: of the picture, mm on paper.
        height: greatest.
    """
    del studio
    items: list[Item] = []
    for box in (_BATTERY, _SWITCH, _RECEIVER, _TRANSMITTER, *_OUTPUTS, _RUDDER, _ENGINE):
        items += box.items()
    x = _BATTERY.middle[0]
    items.append(_wire((x, _BATTERY.y + _BATTERY.high), (x, _SWITCH.y)))
    items.append(_wire((_SWITCH.right, _SWITCH.middle[1]), (_RECEIVER.x, _SWITCH.middle[1])))
    for number, output in enumerate(_OUTPUTS, 1):
        start = (_RECEIVER.right, _RECEIVER.y + _RECEIVER.high * (1.0 - (number - 0.5) / len(_OUTPUTS)))
        bend = 0.5 * (_RECEIVER.right + output.x)
        run = [start, (bend, start[1]), (bend, output.middle[1]), (output.x, output.middle[1])]
        items.append(Shape(Role.OUTLINE, (polyline(run),), width=0.35))
    rudder, throttle, kill = _OUTPUTS
    items += arrow((rudder.right, rudder.middle[1]), (_RUDDER.x, rudder.middle[1]))
    items += arrow((throttle.right, throttle.middle[1]), (_ENGINE.x, throttle.middle[1]))
    items.append(_wire((kill.right, kill.middle[1]), (_ENGINE.x, kill.middle[1])))
    at = _RECEIVER.middle[0]
    ends = (at, _TRANSMITTER.y), (at, _RECEIVER.y + _RECEIVER.high)
    items.append(Shape(Role.HIDDEN, (line(*ends),), stroke=BLUE, width=0.4))
    items.append(Text(Role.LABEL, (at + 1.5, 0.5 * (ends[0][1] + ends[1][1]) - 0.8), "by radio", _SIZE))
    items.append(Text(Role.LABEL, (43.0, 49.0), "line: a wire", _SIZE))
    items.append(Text(Role.LABEL, (43.0, 45.5), "arrow: a pushrod", _SIZE))
    for number, words in enumerate(FAILSAFE_TEST):
        items.append(Text(Role.LABEL, (0.0, -0.5 - 3.8 * number), words, 2.8, bold=True))
    factor = min(1.0, width / _WIDE)
    items = [transform(item, scale=factor) for item in items] if factor < 1.0 else items
    x0, y0, x1, y1 = bounds_of(items)
    return Scene("What the radio is wired to", x0 - 0.3, y0 - 1.0, x1 + 0.3, y1 + 1.0, tuple(items))


def _wire(start: Point, end: Point) -> Shape:
    return Shape(Role.OUTLINE, (line(start, end),), width=0.35)
