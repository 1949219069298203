"""Boats of every bow to try the packet on, each built once."""

import functools
import tempfile
from pathlib import Path

from hullcut.design.reader import read_order
from hullcut.packet.studio import Studio
from hullcut.pipeline import build

BOWS = {
    "sled": 'sheer_rise = 1\ntransom_rake = 10\nrocker = "1/4"\nflare = 6\nbeam_at_bow = 10',
    "pram": 'bow = "pram"',
    "raked pram": (
        'bow = "pram"\nbeam_at_bow = 9\nbeam_at_transom = 12\nflare = 8\ntransom_rake = 12\n'
        'rocker = "1/4"\nsheer_rise = "1 1/4"'
    ),
    "stem": 'bow = "stem"',
    "raked stem": 'bow = "stem"\nbow_rake = 20\ntransom_rake = 8\nsheer_rise = 1',
}


def design_of(hull, more=""):
    """A design of 40 in with these lines under `[hull]`, and further tables."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sedge.toml"
        path.write_text(f'name = "sedge"\n[hull]\nlength = 40\nbeam = 13\ndepth = 5\n{hull}\n{more}\n')
        return read_order(path).designs[0]


@functools.cache
def bow_plan(bow, more=""):
    """The plan of a boat with this bow."""
    return build(design_of(BOWS[bow], more))


@functools.cache
def bow_studio(bow, more=""):
    """The studio of a boat with this bow."""
    return Studio(bow_plan(bow, more))
