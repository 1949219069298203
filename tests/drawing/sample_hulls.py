"""Hulls and boats of the sample designs, each made once."""

import functools
from pathlib import Path

from hullcut.design.reader import read_order
from hullcut.hull.form import shape
from hullcut.pipeline import build

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"


@functools.cache
def hull_of(name):
    """The hull of a sample design."""
    return shape(read_order(SAMPLES / f"{name}.toml").designs[0])


@functools.cache
def boat_of(name):
    """A sample design, built."""
    return build(read_order(SAMPLES / f"{name}.toml").designs[0])
