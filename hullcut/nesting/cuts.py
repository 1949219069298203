"""The tree of through cuts that takes a filled sheet apart.

Every cut runs from edge to edge of the piece that is on the saw. The reference edge is the piece's lower edge (rips,
along the length) or its left edge (crosscuts). Where the wood left beside a blank is thinner than the kerf, the cut
shaves it away and makes one piece only; the middle of that kerf may then lie up to half a kerf outside the piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hullcut.nesting.boxes import Room, from_grid, to_grid
from hullcut.nesting.offcuts import keep_worthy, worth_keeping
from hullcut.nesting.values import Cut, Offcut

__all__ = ["SLACK_KEPT", "Rectangle", "Sawn", "saw"]

#: mm of waste beside a blank that is left on it, to be sawn off with the outline: narrower strips are unsafe to rip.
SLACK_KEPT = 12.0

_RIP, _CROSSCUT = 1, 0


@dataclass(frozen=True, slots=True)
class Rectangle:
    """An upright rectangle from `low` to `high` corner, grid steps; `plain` if it must be cut to its exact size."""

    low: tuple[int, int]
    high: tuple[int, int]
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Sawn:
    """A sheet taken apart.

    Attributes:
        cuts: in order, trim cuts first.
        blanks: for each rectangle, in the order given, the name of the piece that holds it and that piece.
        offcuts: waste pieces worth keeping, largest first.
    """

    cuts: tuple[Cut, ...]
    blanks: tuple[tuple[str, Rectangle], ...]
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True, slots=True)
class _Leaf:
    """A piece that is cut no more: a blank's, or waste."""

    region: Rectangle
    member: int | None
    cuts: int
    waste: int


@dataclass(frozen=True, slots=True)
class _Step:
    """A cut across `axis` whose kerf begins at `at`, and what it makes; None where the kerf eats that side."""

    region: Rectangle
    axis: int
    at: int
    low: _Leaf | _Step | None
    high: _Leaf | _Step | None
    cuts: int
    waste: int


_Node = _Leaf | _Step


def _waste(region: Rectangle, stock_width: float) -> _Leaf | None:
    """What is left of a region without members; None where the kerf took it all."""
    length, width = (region.high[axis] - region.low[axis] for axis in (0, 1))
    if length <= 0 or width <= 0:
        return None
    worth = (length * width) ** 2 if keep_worthy(from_grid(length), from_grid(width), stock_width) else 0
    return _Leaf(region, None, 0, worth)


def _step(region: Rectangle, axis: int, at: int, low: _Node | None, high: _Node | None) -> _Step:
    children = [child for child in (low, high) if child is not None]
    return _Step(
        region,
        axis,
        at,
        low,
        high,
        1 + sum(child.cuts for child in children),
        sum(child.waste for child in children),
    )


def _clip(region: Rectangle, axis: int, low: int | None = None, high: int | None = None) -> Rectangle:
    corner, far = list(region.low), list(region.high)
    if low is not None:
        corner[axis] = low
    if high is not None:
        far[axis] = high
    return Rectangle((corner[0], corner[1]), (far[0], far[1]))


@dataclass(frozen=True, slots=True)
class _Run:
    """Members that no cut across one axis can part, with their reach along it."""

    low: int
    high: int
    members: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Saw:
    """The search for the tree; it only remembers the regions that it has seen.

    Attributes:
        rectangles: the blanks.
        kerf: grid steps.
        stock_width: mm.
        known: the best way for each region and its members.
    """

    rectangles: Sequence[Rectangle]
    kerf: int
    stock_width: float
    known: dict[tuple[Rectangle, tuple[int, ...]], _Node | None]

    def waste(self, region: Rectangle) -> _Leaf | None:
        return _waste(region, self.stock_width)

    def runs(self, members: Sequence[int], axis: int) -> list[_Run]:
        """Members gathered into runs that lie at least a kerf apart along an axis."""
        ordered = sorted(members, key=lambda member: (self.rectangles[member].low[axis], member))
        found: list[_Run] = []
        for member in ordered:
            low, high = self.rectangles[member].low[axis], self.rectangles[member].high[axis]
            if found and low - found[-1].high < self.kerf:
                last = found.pop()
                found.append(_Run(last.low, max(last.high, high), (*last.members, member)))
            else:
                found.append(_Run(low, high, (member,)))
        return found

    def worth_cutting(self, gap: int, run: _Run) -> bool:
        """Whether waste beside a run is cut off: always beside plain blanks, else where it is wide enough."""
        if gap <= 0:
            return False
        return gap >= to_grid(SLACK_KEPT) + self.kerf or any(self.rectangles[each].plain for each in run.members)

    def node(self, region: Rectangle, members: tuple[int, ...]) -> _Node | None:
        """The best way to free the members of a region: fewest cuts, then the best offcuts, then rips first."""
        key = (region, members)
        if key not in self.known:
            self.known[key] = self.search(region, members)
        return self.known[key]

    def search(self, region: Rectangle, members: tuple[int, ...]) -> _Node | None:
        tries = [
            way(region, members, axis) for way in (self.across, self.freed_of_offcut) for axis in (_RIP, _CROSSCUT)
        ]
        ways = [way for way in tries if way is not None]
        if ways:
            return min(ways, key=lambda way: (way.cuts, -way.waste))
        if len(members) == 1 and not any(
            self.worth_cutting(gap, _Run(0, 0, members)) for gap in self.gaps(region, members[0])
        ):
            return _Leaf(region, members[0], 0, 0)
        return None

    def gaps(self, region: Rectangle, member: int) -> list[int]:
        held = self.rectangles[member]
        low = [held.low[axis] - region.low[axis] for axis in (0, 1)]
        return low + [region.high[axis] - held.high[axis] for axis in (0, 1)]

    def across(self, region: Rectangle, members: tuple[int, ...], axis: int) -> _Node | None:
        """Part the runs of a region along one axis, waste too; None where no cut would do anything."""
        runs = self.runs(members, axis)
        if (
            len(runs) > 1
            or self.frees_low(region, runs[0], axis)
            or self.worth_cutting(region.high[axis] - runs[-1].high, runs[-1])
        ):
            return self.chain(region, runs, axis)
        return None

    def freed_of_offcut(self, region: Rectangle, members: tuple[int, ...], axis: int) -> _Node | None:
        """Cut off only the waste beyond the last run, where it is worth keeping whole."""
        runs = self.runs(members, axis)
        offcut = self.waste(_clip(region, axis, low=runs[-1].high + self.kerf))
        if len(runs) == 1 or offcut is None or not offcut.waste:
            return None
        kept = self.node(_clip(region, axis, high=runs[-1].high), members)
        return None if kept is None else _step(region, axis, runs[-1].high, kept, offcut)

    def frees_low(self, region: Rectangle, run: _Run, axis: int) -> bool:
        """Whether waste on the reference side is cut off; a strip thinner than the kerf cannot be shaved there."""
        gap = run.low - region.low[axis]
        return gap >= self.kerf and self.worth_cutting(gap, run)

    def chain(self, region: Rectangle, runs: list[_Run], axis: int) -> _Node | None:
        """Cut runs off one after another from the reference edge."""
        run = runs[0]
        if self.frees_low(region, run, axis):
            at = run.low - self.kerf
            low: _Node | None = self.waste(_clip(region, axis, high=at))
            rest = self.chain(_clip(region, axis, low=run.low), runs, axis)
            return None if rest is None else _step(region, axis, at, low, rest)
        if len(runs) == 1:
            if not self.worth_cutting(region.high[axis] - run.high, run):
                return self.node(region, run.members)
            kept = self.node(_clip(region, axis, high=run.high), run.members)
            waste = self.waste(_clip(region, axis, low=run.high + self.kerf))
            return None if kept is None else _step(region, axis, run.high, kept, waste)
        surplus = runs[1].low - run.high - self.kerf
        at = run.high if surplus >= self.kerf else run.high + surplus
        kept = self.node(_clip(region, axis, high=at), run.members)
        rest = self.chain(_clip(region, axis, low=at + self.kerf), runs[1:], axis)
        return None if kept is None or rest is None else _step(region, axis, at, kept, rest)


def _trimmed(room: Room, kerf: int, stock_width: float, inner: _Node) -> _Node:
    """The trim cuts round a tree: both long edges, then both ends."""
    far = (room.x + room.length, room.y + room.width)
    node = inner
    region = inner.region
    for axis, low, full in ((_CROSSCUT, room.x, room.full_length), (_RIP, room.y, room.full_width)):
        if low == 0:
            continue
        region = _clip(region, axis, high=full)
        node = _step(region, axis, far[axis], node, _waste(_clip(region, axis, low=far[axis] + kerf), stock_width))
        region = _clip(region, axis, low=0)
        node = _step(region, axis, low - kerf, _waste(_clip(region, axis, high=low - kerf), stock_width), node)
    return node


@dataclass(slots=True)
class _Writer:
    kerf: int
    cuts: list[Cut]
    leaves: list[tuple[str, _Leaf]]
    named: int = 0

    def name(self) -> str:
        self.named += 1
        return str(self.named)

    def write(self, node: _Node, name: str) -> None:
        """Write a node's cuts: all parallel ones first, then what they made, from the reference edge on."""
        pending: list[tuple[_Node, str]] = []
        while isinstance(node, _Step):
            low_name = self.name() if node.low is not None else ""
            high_name = self.name() if node.high is not None else ""
            self.cut(node, name, tuple(each for each in (low_name, high_name) if each))
            if node.low is not None:
                pending.append((node.low, low_name))
            if node.high is None:
                break
            if not (isinstance(node.high, _Step) and node.high.axis == node.axis):
                pending.append((node.high, high_name))
                break
            node, name = node.high, high_name
        else:
            self.leaves.append((name, node))
        for child, child_name in pending:
            self.write(child, child_name)

    def cut(self, step: _Step, name: str, makes: tuple[str, ...]) -> None:
        middle = from_grid(step.at + self.kerf / 2)
        low, high = step.region.low, step.region.high
        if step.axis == _RIP:
            ends = (from_grid(low[0]), middle, from_grid(high[0]), middle)
        else:
            ends = (middle, from_grid(low[1]), middle, from_grid(high[1]))
        fence = from_grid(step.at - low[step.axis])
        self.cuts.append(Cut(len(self.cuts) + 1, name, makes, fence, *ends))


def saw(room: Room, rectangles: Sequence[Rectangle], kerf: int) -> Sawn | None:
    """Take a filled sheet apart by through cuts.

    Args:
        room: the sheet and its usable part.
        rectangles: the blanks, from the untrimmed corner.
        kerf: of the saw, grid steps.

    Returns:
        The cuts, blanks and offcuts; None where no run of through cuts frees every blank.
    """
    usable = Rectangle((room.x, room.y), (room.x + room.length, room.y + room.width))
    stock_width = from_grid(room.full_width)
    inner = _Saw(rectangles, kerf, stock_width, {}).node(usable, tuple(range(len(rectangles))))
    if inner is None:
        return None
    writer = _Writer(kerf, [], [])
    writer.write(_trimmed(room, kerf, stock_width, inner), "0")
    blanks = {leaf.member: (name, leaf.region) for name, leaf in writer.leaves if leaf.member is not None}
    if sorted(blanks) != list(range(len(rectangles))):
        return None
    return Sawn(
        tuple(writer.cuts),
        tuple(blanks[member] for member in range(len(rectangles))),
        worth_keeping(
            ((*leaf.region.low, *leaf.region.high) for _, leaf in writer.leaves if leaf.member is None), stock_width
        ),
    )
