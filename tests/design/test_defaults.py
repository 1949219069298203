import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hullcut.design.bending import CURVATURE_RATIO, MARGIN, smallest_radius, sweep_length
from hullcut.design.reader import read_order

IN = 25.4


def read(folder, text):
    path = folder / "boat.toml"
    path.write_text(text, encoding="utf-8")
    return read_order(path)


def sized(length, beam, depth, more="", units="mm"):
    return f'name = "boat"\nunits = "{units}"\n[hull]\nlength = {length}\nbeam = {beam}\ndepth = {depth}\n{more}'


def design(folder, more="", length=42, beam=13, depth=5, units="in"):
    return read(folder, sized(length, beam, depth, more, units)).designs[0]


def test_defaults_of_a_boat_of_42_by_13_by_5_in(tmp_path):
    boat = design(tmp_path)
    assert boat.hull.beam_at_transom == boat.hull.beam_at_bow == 13 * IN
    assert (boat.hull.flare, boat.hull.parallel_from, boat.hull.parallel_to) == (0.0, 0.0, 42 * IN)
    assert boat.laps.trim_allowance == IN / 8
    assert boat.cleats.chine_height == IN / 2
    assert boat.cleats.knee_leg == 2 * IN
    assert boat.fin.root == pytest.approx(3.5 * IN, abs=1e-6)
    assert boat.windscreen.height == pytest.approx(2.25 * IN, abs=1e-6)
    assert boat.engine.plate_width == pytest.approx(6 * IN, abs=1e-6)
    assert boat.engine.plate_at is None
    assert boat.rudder.offset == 2.25 * IN
    assert boat.fasteners.gauge == 6
    assert boat.glue == "exterior wood glue"


def test_a_default_is_the_very_figure_that_a_person_would_type(tmp_path):
    typed = design(tmp_path, '[wood.transom]\nthickness = "3/8 in"\n[wood.nose_block]\nthickness = "1 1/2"\n')
    assert typed.woods == design(tmp_path).woods


def test_the_default_sweep_holds_the_bend(tmp_path):
    hull = design(tmp_path).hull
    sweep = hull.length - hull.flat_to
    arc = (sweep**2 + hull.depth**2) / (2 * hull.depth)
    assert arc / CURVATURE_RATIO == pytest.approx(MARGIN * 24 * IN, rel=0.01)
    assert arc / CURVATURE_RATIO >= MARGIN * 24 * IN - 1e-6


def test_a_stiffer_bottom_takes_a_longer_sweep_within_limits(tmp_path):
    across = design(tmp_path).hull.flat_to
    along = design(tmp_path, '[wood.bottom]\ngrain = "along"\n').hull
    thin = design(tmp_path, '[wood.bottom]\nthickness = "1 mm"\n').hull
    assert along.flat_to < across < thin.flat_to
    assert along.length - along.flat_to == pytest.approx(0.62 * along.length, abs=IN / 16)
    assert thin.length - thin.flat_to == pytest.approx(0.30 * thin.length, abs=IN / 16)


def test_published_radii():
    # APA, "Working with Curved Forms": minimum bending radii of dry plywood, feet.
    assert smallest_radius(IN / 4, "across") == pytest.approx(2 * 304.8)
    assert smallest_radius(IN / 4, "along") == pytest.approx(5 * 304.8)
    assert smallest_radius(IN * 3 / 8, "across") == pytest.approx(3 * 304.8)
    assert smallest_radius(IN * 3 / 4, "any") == pytest.approx(20 * 304.8)


@given(st.floats(0.4, 60), st.floats(0.4, 60), st.sampled_from(["along", "across", "any"]))
def test_thicker_wood_never_bends_more_sharply(one, other, grain):
    thin, thick = sorted((one, other))
    assert smallest_radius(thin, grain) <= smallest_radius(thick, grain) + 1e-9


@given(st.floats(20, 300), st.floats(1, 19))
def test_the_sweep_turns_no_sharper_than_the_margin(depth, thickness):
    sweep = sweep_length(depth, thickness, "across")
    if sweep > 0:
        arc = (sweep**2 + depth**2) / (2 * depth)
        assert arc / CURVATURE_RATIO == pytest.approx(MARGIN * smallest_radius(thickness, "across"))


def test_a_narrower_end_brings_its_own_runs(tmp_path):
    hull = design(tmp_path, "beam_at_bow = 10\nbeam_at_transom = 12\n").hull
    assert hull.parallel_from == pytest.approx(0.35 * hull.length, abs=IN / 32)
    assert hull.parallel_to == pytest.approx(0.55 * hull.length, abs=IN / 32)
    early = design(tmp_path, "beam_at_bow = 10\nbeam_at_transom = 12\nparallel_to = 10\n").hull
    assert early.parallel_from == early.parallel_to == 10 * IN


def test_the_radio_box_is_as_long_as_its_shelf_unless_given(tmp_path):
    assert design(tmp_path, "[radio]\nshelf_length = 7\n").radio.box_length == pytest.approx(7 * IN)
    assert design(tmp_path, "[radio]\nshelf_length = 7\nbox_length = 4\n").radio.box_length == pytest.approx(4 * IN)


def test_metric_defaults_are_whole_millimetres(tmp_path):
    boat = design(tmp_path, length=1100, beam=340, depth=130, units="mm")
    for size in (boat.hull.flat_to, boat.decks.fore_from, boat.fin.root, boat.windscreen.height):
        assert size == round(size)
    assert read(tmp_path, sized(1100, 340, 130)).shop.market == "metric"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    st.floats(800, 2000),
    st.floats(0.25, 0.5),
    st.floats(0.08, 0.15),
    st.sampled_from(["in", "mm"]),
    st.floats(0, 10),
)
def test_three_sizes_are_always_a_boat_without_faults(tmp_path, length, beam, depth, units, flare):
    per = IN if units == "in" else 1.0
    sizes = (length / per, beam * length / per, depth * length / per)
    order = read(tmp_path, sized(*sizes, f"flare = {flare}\n", units))
    (boat,) = order.designs
    assert 0.30 * length - 1e-6 <= length - boat.hull.flat_to <= 0.62 * length + per
    assert boat.decks.after_to < boat.decks.fore_from < length
    assert all(math.isfinite(size) for size in (boat.fin.root, boat.stand.spacing))


def test_a_stem_leans_with_its_sides_unless_its_rake_is_given(tmp_path):
    def rake(more):
        return design(tmp_path, f'bow = "stem"\n{more}').hull.bow_rake

    assert rake("") == 0.0
    assert rake("flare = 6") == 9.0
    assert rake("flare = 28") == 25.0
    assert rake("flare = 6\nbow_rake = 4") == 4.0
