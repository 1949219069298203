"""Unrolling a side strip by strip, as on the loft floor: triangle after triangle laid down flat.

It knows nothing of curves, normals or charts, only of points at both ends of rulings, so it checks the charts.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["develop_strips", "greatest_gap"]

Array = NDArray[np.float64]


def develop_strips(low: Array, high: Array, split: Literal["up", "down"] = "up") -> tuple[Array, Array]:
    """Lay strips between rulings down flat, true triangle by triangle.

    Args:
        low: lower ends (n, 3) of the rulings, in order.
        high: upper ends (n, 3).
        split: whether the diagonal of each strip runs forward up or forward down.

    Returns:
        Both ends (n, 2) in the flat; the first ruling stands on the origin, along y.
    """
    ruling = np.linalg.norm(high - low, axis=1)
    lower = np.linalg.norm(np.diff(low, axis=0), axis=1)
    upper = np.linalg.norm(np.diff(high, axis=0), axis=1)
    # In the frame of each ruling, foot at 0 and head at i times its length, as complex numbers.
    if split == "up":
        diagonal = np.linalg.norm(high[1:] - low[:-1], axis=1)
        head = _third_corner(ruling[:-1], diagonal, upper)
        turned = head / np.abs(head)
        foot = turned * _third_corner(diagonal, lower, ruling[1:]) / 1j
    else:
        diagonal = np.linalg.norm(low[1:] - high[:-1], axis=1)
        foot = _third_corner(ruling[:-1], lower, diagonal)
        back = foot - 1j * ruling[:-1]
        turned = back / np.abs(back)
        # The diagonal runs down from the old head: its far end is the new foot, and the new head lies left of it.
        head = 1j * ruling[:-1] + turned * np.conj(_third_corner(diagonal, upper, ruling[1:]) / 1j)
    step = (head - foot) / (1j * ruling[1:])
    turn = np.concatenate([[1.0], np.cumprod(step / np.abs(step))])
    feet = np.concatenate([[0.0], np.cumsum(turn[:-1] * foot)])
    heads = feet + turn * 1j * ruling
    return np.column_stack([feet.real, feet.imag]), np.column_stack([heads.real, heads.imag])


def _third_corner(base: Array, from_start: Array, from_end: Array) -> NDArray[np.complex128]:
    """Where the third corner lies to the right of a base that runs from 0 to i times its length."""
    along = (base**2 + from_start**2 - from_end**2) / (2.0 * base)
    aside = np.sqrt(np.maximum(from_start**2 - along**2, 0.0))
    corner: NDArray[np.complex128] = aside + 1j * along
    return corner


def greatest_gap(one: Array, other: Array) -> float:
    """Greatest distance, mm, between matching points (n, 2) of two drawings laid on one another by least squares."""
    a = (one - one.mean(axis=0)) @ np.array([1.0, 1j])
    b = (other - other.mean(axis=0)) @ np.array([1.0, 1j])
    turn = np.vdot(b, a)
    return float(np.abs(a - turn / max(abs(turn), 1e-300) * b).max())
