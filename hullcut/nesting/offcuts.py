"""What is left over and worth keeping."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hullcut.nesting.boxes import from_grid
from hullcut.nesting.values import Offcut

__all__ = ["OFFCUT_LENGTH", "OFFCUT_WIDTH", "free_rectangles", "keep_worthy", "worth_keeping"]

#: mm, least sizes of a rectangle that goes back into the rack (common practice, no source).
OFFCUT_LENGTH = 300.0
OFFCUT_WIDTH = 150.0

#: x0, y0, x1, y1 in grid steps.
_Bounds = tuple[int, int, int, int]


def keep_worthy(length_mm: float, width_mm: float, stock_width_mm: float) -> bool:
    """Whether a rectangle of waste goes back into the rack.

    A full-width end of a board does too, however narrow the board.
    """
    narrow, wide = sorted((length_mm, width_mm))
    return wide >= OFFCUT_LENGTH and narrow >= min(OFFCUT_WIDTH, stock_width_mm)


def worth_keeping(rectangles: Iterable[_Bounds], stock_width_mm: float) -> tuple[Offcut, ...]:
    """The waste rectangles that go back into the rack, largest first."""
    kept = [
        Offcut(from_grid(x0), from_grid(y0), from_grid(x1 - x0), from_grid(y1 - y0))
        for x0, y0, x1, y1 in rectangles
        if keep_worthy(from_grid(x1 - x0), from_grid(y1 - y0), stock_width_mm)
    ]
    return tuple(sorted(kept, key=lambda each: (-each.length * each.width, each.x, each.y)))


def free_rectangles(outer: _Bounds, taken: Sequence[_Bounds], stock_width_mm: float) -> tuple[Offcut, ...]:
    """Rectangles clear of all that is taken and of each other, the largest first at each choice.

    Args:
        outer: where to look.
        taken: what is in use, each already grown by the kerf.
        stock_width_mm: of the sheet or board.
    """
    busy = list(taken)
    found: list[_Bounds] = []
    while True:
        best = _largest_free(outer, busy)
        if best is None or not keep_worthy(from_grid(best[2] - best[0]), from_grid(best[3] - best[1]), stock_width_mm):
            return worth_keeping(found, stock_width_mm)
        found.append(best)
        busy.append(best)


def _largest_free(outer: _Bounds, busy: Sequence[_Bounds]) -> _Bounds | None:
    """The largest rectangle clear of others: its left edge and its height each touch something."""
    lefts = sorted({outer[0], *(each[2] for each in busy if outer[0] < each[2] < outer[2])})
    best: tuple[int, _Bounds] | None = None
    for left in lefts:
        for bottom, top, right in _strips(left, outer, busy):
            area = (right - left) * (top - bottom)
            if area > 0 and (best is None or area > best[0]):
                best = (area, (left, bottom, right, top))
    return None if best is None else best[1]


def _strips(left: int, outer: _Bounds, busy: Sequence[_Bounds]) -> Iterable[tuple[int, int, int]]:
    """Bottom, top and right edges of the free rectangles that start at a left edge.

    A front moves right; whatever it meets splits each open strip that it overlaps.
    """
    ahead = sorted((each for each in busy if each[2] > left and each[0] < outer[2]), key=lambda each: each[0])
    strips = {(outer[1], outer[3])}
    for x0, y0, _, y1 in ahead:
        hit = sorted(strip for strip in strips if strip[0] < y1 and y0 < strip[1])
        for bottom, top in hit:
            yield bottom, top, max(x0, left)
            strips.discard((bottom, top))
            strips.update(part for part in ((bottom, min(top, y0)), (max(bottom, y1), top)) if part[0] < part[1])
    for bottom, top in sorted(strips):
        yield bottom, top, outer[2]
