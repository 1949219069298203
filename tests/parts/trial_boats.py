"""Boats to try the parts on: the samples, and designs written for one test."""

import dataclasses
import functools
import tempfile
from pathlib import Path

import numpy as np
import shapely
from hypothesis import strategies as st

from hullcut.balance.arrange import first_arrangement
from hullcut.design.reader import read_order
from hullcut.hull.form import shape
from hullcut.parts.joints import joint_lines, measure_joints
from hullcut.parts.landings import grounds
from hullcut.parts.take_off import take_off
from hullcut.pipeline import build

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"
NAMES = ("bramblefin", "marshpenny", "puddlewick", "tansyfoot")


@functools.cache
def sample(name):
    """The design of a sample boat."""
    return read_order(SAMPLES / f"{name}.toml").designs[0]


@functools.cache
def built(name):
    """A sample boat, taken off and settled."""
    return build(sample(name))


def from_text(text):
    """The design that a file with this text holds."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "boat.toml"
        path.write_text(text, encoding="utf-8")
        return read_order(path).designs[0]


def changed(design, **tables):
    """The design with some values of its tables replaced, `hull={"flare": 5.0}`."""
    parts = {table: dataclasses.replace(getattr(design, table), **values) for table, values in tables.items()}
    return dataclasses.replace(design, **parts)


def taken(design):
    """Hull, first arrangement, parts and joints of a design, before anything is settled."""
    hull = shape(design)
    arrangement = first_arrangement(design)
    parts = take_off(hull, arrangement)
    return hull, arrangement, parts, measure_joints(parts, joint_lines(hull), design.name)


def by_slug(parts):
    """Parts by their ids without the design's name."""
    return {part.id.removeprefix(f"{part.design}-"): part for part in parts}


@st.composite
def designs(draw):
    """Designs between 700 and 1600 mm long, plain or tapered, upright or flared."""
    length = draw(st.integers(700, 1600))
    beam = length * draw(st.floats(0.25, 0.40))
    depth = length * draw(st.floats(0.09, 0.14))
    flare = draw(st.one_of(st.just(0.0), st.floats(0.5, 12.0)))
    aft = draw(st.one_of(st.just(1.0), st.floats(0.88, 0.99)))
    fore = draw(st.one_of(st.just(1.0), st.floats(0.72, 0.99)))
    lines = [
        'name = "trialboat"',
        'units = "mm"',
        "[hull]",
        f"length = {length}",
        f"beam = {beam:.3f}",
        f"depth = {depth:.3f}",
        'bow = "sled"',
        f"beam_at_transom = {beam * aft:.3f}",
        f"beam_at_bow = {beam * fore:.3f}",
        f"flare = {flare:.3f}",
        "[engine]",
        f"housing_bore = {0.3 * depth:.3f}",
    ]
    return from_text("\n".join(lines) + "\n")


def outline_of(part, which="outline"):
    """A part's outline, with its holes, as a polygon."""
    return shapely.Polygon(getattr(part, which), part.holes)


def inner_points(part, inset, pitch):
    """Points in the flat (n, 2) at least `inset` inside a finished part, about `pitch` apart."""
    polygon = outline_of(part, "true_outline").buffer(-inset)
    if polygon.is_empty:
        return np.zeros((0, 2))
    x0, y0, x1, y1 = polygon.bounds
    x = np.linspace(x0, x1, max(2, int((x1 - x0) / pitch) + 1))
    y = np.linspace(y0, y1, max(2, int((y1 - y0) / pitch) + 1))
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return grid[shapely.contains_xy(polygon, grid[:, 0], grid[:, 1])]


def both_faces(part):
    """A finished part's outline on its outer and inner faces, in space (n, 3)."""
    outline = np.array(part.true_outline)
    half = part.thickness / 2.0
    return np.vstack([part.panel.to_space(outline, half), part.panel.to_space(outline, -half)])


def landings(parts):
    """Every print on the faces of some parts, by the host's id."""
    ground = grounds(parts)
    return {part.id: ground.landings_on(part) for part in parts}
