"""Every bow, rake, rocker and sheer: outlines that close, joints that fit, parts that meet."""

from itertools import product

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from hullcut.design.reader import read_order
from hullcut.pipeline import build

FITS_MM = 0.1

BOWS = {
    "sled": "",
    "sled with sheer": 'sheer_rise = 1\nbeam_at_bow = 10\nflare = 6\ntransom_rake = 10\nrocker = "1/4"',
    "pram": 'bow = "pram"',
    "raked pram": (
        'bow = "pram"\nbeam_at_bow = 9\nbeam_at_transom = 12\nflare = 8\ntransom_rake = 12\n'
        'rocker = "1/4"\nsheer_rise = "1 1/4"'
    ),
    "stem": 'bow = "stem"',
    "raked stem": 'bow = "stem"\nbow_rake = 20\ntransom_rake = 8\nsheer_rise = 1',
    "flared stem": (
        'bow = "stem"\nflare = 9\ntransom_rake = 5\nsheer_rise = "3/4"\nbeam_at_transom = 12\n'
        "parallel_from = 16\nparallel_to = 16"
    ),
}
LAPS = list(product(("under", "between"), ("between", "over"), ("over", "between")))


def built(folder, hull, length=40.0, beam=13.0, depth=5.0, laps=("under", "between", "over")):
    file = folder / "boat.toml"
    file.write_text(
        f'name = "sedge"\n[hull]\nlength = {length}\nbeam = {beam}\ndepth = {depth}\n{hull}\n'
        f'[laps]\nbottom = "{laps[0]}"\ntransom = "{laps[1]}"\ndeck = "{laps[2]}"\n'
    )
    return build(read_order(file).designs[0])


def check_parts(plan):
    for part in plan.parts:
        outline = np.array(part.outline)
        assert shapely.Polygon(outline, part.holes).is_valid, part.id
        assert shapely.LinearRing(outline).is_ccw, part.id
        assert outline.min(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
    worst = max(plan.joints, key=lambda joint: joint.mismatch)
    assert worst.mismatch <= FITS_MM, worst.name


@pytest.mark.parametrize("bow", BOWS)
@pytest.mark.parametrize("laps", LAPS)
def test_every_bow_fits_in_every_way_of_lapping(tmp_path, bow, laps):
    check_parts(built(tmp_path, BOWS[bow], laps=laps))


@pytest.mark.parametrize("bow", BOWS)
def test_the_tape_finds_the_length_beam_and_depth_that_were_asked_for(tmp_path, bow):
    plan = built(tmp_path, BOWS[bow])
    sizes = plan.design.hull
    parts = {part.id.removeprefix("sedge-"): part for part in plan.parts}
    sheers = [joint.a for joint in plan.joints if joint.name.startswith("sheer, ")]
    sheer = np.vstack(
        [
            next(part for part in plan.parts if part.id == side.part).panel.to_space(np.array(side.line), side.offset)
            for side in sheers
        ]
    )
    bottom = parts["bottom"]
    outside = bottom.panel.to_space(np.array(bottom.true_outline), bottom.thickness / 2.0)
    # A sled's foremost wood is the bottom's, a pram's and a stem's is the head of the sides.
    foremost = outside if sizes.bow == "sled" else sheer
    assert foremost[:, 0].max() == pytest.approx(sizes.length, abs=1e-6)
    assert outside[:, 2].min() == pytest.approx(0.0, abs=1e-6)
    level = sheer[sheer[:, 0] < sizes.sheer_from]
    assert level[:, 2] == pytest.approx(sizes.depth, abs=1e-6)
    if sizes.bow != "sled":
        assert sheer[:, 2].max() == pytest.approx(sizes.depth + sizes.sheer_rise, abs=1e-6)
    amidships = plan.hull.half_breadth(np.array([sizes.parallel_from, sizes.parallel_to]), sizes.depth)
    # General sides run through points of their lines, and between them within a few hundred-thousandths.
    assert 2.0 * amidships == pytest.approx(sizes.beam, abs=1e-6 if plan.hull.surface is None else 1e-4)


def test_each_bow_has_its_own_parts(tmp_path):
    def slugs(bow):
        return {part.id.removeprefix("sedge-") for part in built(tmp_path, BOWS[bow]).parts}

    sled, pram, stem = slugs("sled"), slugs("pram"), slugs("stem")
    assert "nose-block" in sled
    assert {"bow-transom", "bow-cleat-foot", "bow-cleat-port", "bow-cleat-starboard"} <= pram
    assert "stem-block" in stem
    assert not {"bow-transom", "stem-block"} & sled
    assert not {"nose-block", "stem-block"} & pram
    assert not {"nose-block", "bow-transom"} & stem


def test_a_raked_transom_is_as_long_as_its_slope(tmp_path):
    upright, raked = built(tmp_path, ""), built(tmp_path, "transom_rake = 20")

    def height(plan):
        part = next(part for part in plan.parts if part.id == "sedge-transom")
        return part.finished_width

    bottom = upright.design.woods.bottom.thickness
    wood = upright.design.woods.transom.thickness
    slope = (127.0 - bottom) / np.cos(np.radians(20.0)) + wood * np.tan(np.radians(20.0))
    assert height(upright) == pytest.approx(127.0 - bottom)
    assert height(raked) == pytest.approx(slope, abs=0.01)


def test_a_strip_ends_where_a_bluff_bow_leaves_it_no_room(tmp_path):
    """Deep inside this side the rulings run out before the stem block: the chine cleat ends a little abaft it."""
    hull = 'bow = "stem"\nflare = 1\nbow_rake = 23\nbeam_at_transom = 10.5'
    plan = built(tmp_path, hull, 28.0, 10.5, 3.5)
    check_parts(plan)
    cleat = next(part for part in plan.parts if part.id == "sedge-chine-cleat-fore-port")
    fore = cleat.panel.to_space(np.array(cleat.true_outline), 0.0)[:, 0].max()
    assert 0.0 < plan.hull.bow_room() - fore < 10.0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=st.data())
def test_any_sensible_hull_fits(tmp_path_factory, data):
    """Whole boats; `tests/hull/test_any_hull.py` tries the shapes of hundreds more."""
    length = data.draw(st.floats(28.0, 60.0))
    beam = length * data.draw(st.floats(0.27, 0.38))
    depth = length * data.draw(st.floats(0.1, 0.135))
    bow = data.draw(st.sampled_from(["sled", "pram", "stem"]))
    keys = [f'bow = "{bow}"']
    flare = data.draw(st.floats(0.0, 10.0))
    keys.append(f"flare = {flare:.3f}")
    keys.append(f"transom_rake = {data.draw(st.floats(0.0, 15.0)):.3f}")
    keys.append(f"sheer_rise = {depth * data.draw(st.floats(0.0, 0.3)):.3f}")
    keys.append(f"rocker = {depth * data.draw(st.floats(0.0, 0.08)):.4f}")
    keys.append(f"beam_at_transom = {beam * data.draw(st.floats(0.88, 1.0))!r}")
    if bow != "stem":
        keys.append(f"beam_at_bow = {beam * data.draw(st.floats(0.72, 1.0))!r}")
    if bow != "sled":
        keys.append(f"bow_rake = {data.draw(st.floats(0.0, 25.0)):.3f}")
    check_parts(built(tmp_path_factory.mktemp("hull"), "\n".join(keys), length, beam, depth))
