"""The hull form against the definitions of its sizes."""

import numpy as np
import pytest
from hypothesis import given, settings
from trial_boats import NAMES, changed, designs, sample

from hullcut.errors import BuildError
from hullcut.hull.form import shape


@pytest.fixture(scope="module", params=[name for name in NAMES if sample(name).hull.offsets is None])
def hull(request):
    return shape(sample(request.param))


def test_the_plan_is_as_wide_as_a_tape_measures(hull):
    sizes = hull.design.hull
    ends = 2.0 * hull.half_breadth(np.array([0.0, sizes.length]), sizes.depth)
    assert ends == pytest.approx([sizes.beam_at_transom, sizes.beam_at_bow], abs=1e-8)
    x = np.linspace(0.0, sizes.length, 801)
    breadth = 2.0 * hull.half_breadth(x, sizes.depth)
    assert breadth.max() == pytest.approx(sizes.beam, abs=1e-8)
    parallel = (x >= sizes.parallel_from) & (x <= sizes.parallel_to)
    assert np.abs(breadth[parallel] - sizes.beam).max() < 1e-8


def test_where_the_plan_runs_parallel_the_flare_takes_its_tangent_off_each_side(hull):
    sizes = hull.design.hull
    x = np.full(5, (sizes.parallel_from + sizes.parallel_to) / 2.0)
    z = np.linspace(0.0, sizes.depth, 5)
    expected = sizes.beam / 2.0 - (sizes.depth - z) * np.tan(np.radians(sizes.flare))
    assert np.abs(hull.half_breadth(x, z) - expected).max() < 1e-8


@pytest.mark.parametrize("inset", [0.0, 3.0, 8.0, 20.0])
def test_a_face_inside_the_side_lies_that_far_inside_along_the_normal(hull, inset):
    x = np.linspace(20.0, 0.99 * hull.length, 40)
    z = np.linspace(10.0, hull.depth, 40)
    y = hull.half_breadth(x, z, inset)
    offsets = hull.side_port.to_flat(np.column_stack([x, y, z]))[:, 2]
    assert np.abs(offsets - (hull.side_thickness / 2.0 - inset)).max() < 1e-8
    mirrored = hull.side_starboard.to_flat(np.column_stack([x, -y, z]))[:, 2]
    assert np.abs(mirrored - offsets).max() < 1e-8


def test_the_bottom_is_flat_and_then_rises_to_the_sheer(hull):
    sizes = hull.design.hull
    flat = np.linspace(0.0, sizes.flat_to, 20)
    assert np.abs(hull.bottom_height(flat)).max() < 1e-12
    assert np.abs(hull.bottom_height(flat, 5.0) - 5.0).max() < 1e-9
    foot = sizes.length if hull.bow is None else hull.foot_of(hull.bow, 0.0)[0]
    assert hull.bottom_height(np.array([foot]))[0] == pytest.approx(sizes.bow_height, abs=1e-8)
    rising = hull.bottom_height(np.linspace(sizes.flat_to, foot, 200))
    assert np.all(np.diff(rising) > 0.0)


@pytest.mark.parametrize("inset", [0.0, 6.35, 30.0])
def test_a_face_inside_the_bottom_lies_that_far_inside_along_the_normal(hull, inset):
    x = np.linspace(0.0, 0.97 * hull.length, 40)
    z = hull.bottom_height(x, inset)
    offsets = hull.bottom.to_flat(np.column_stack([x, np.zeros(40), z]))[:, 2]
    assert np.abs(offsets - (hull.bottom_thickness / 2.0 - inset)).max() < 1e-8


@pytest.mark.parametrize("inset", [0.0, 6.35])
@pytest.mark.parametrize("share", [0.1, 0.5, 1.0])
def test_where_the_bottom_reaches_a_height_it_has_that_height(hull, inset, share):
    z = inset + share * (hull.design.hull.bow_height - inset)
    x = hull.bottom_reaches(z, inset)
    assert hull.bottom_height(np.array([x]), inset)[0] == pytest.approx(z, abs=1e-7)
    assert hull.design.hull.flat_to < x <= hull.length + 1e-6


def test_curvature_of_plan_and_profile_has_no_step(hull):
    """Curvature by differences of the points themselves: it may grow only as fast as along the shortest ramp."""
    bends = {"plan": (hull.bow_taper, hull.stern_taper), "profile": (hull.bottom_sweep,)}
    for name, sweeps in bends.items():
        curve = getattr(hull, name)
        s = np.linspace(0.0, curve.length, 4001)
        step = s[1]
        direction = np.diff(curve.point(s), axis=0)
        heading = np.arctan2(direction[:, 1], direction[:, 0])
        curvature = np.diff(heading) / step
        rates = [bend.curvature / (0.25 * bend.length) for bend in sweeps if bend.length > 0.0]
        assert np.abs(np.diff(curvature)).max() <= 1.01 * max(rates, default=0.0) * step + 1e-11
        assert np.abs(curvature).max() <= max(bend.curvature for bend in sweeps) * 1.0001 + 1e-11
    assert hull.profile.heading(np.array([0.0]))[0] == 0.0


def test_stations_begin_and_end_where_asked_and_turn_little(hull):
    x = hull.stations(12.0, hull.length - 40.0)
    assert (x[0], x[-1]) == (12.0, hull.length - 40.0)
    assert np.all(np.diff(x) > 0.0)
    headings = hull.profile.heading(hull.profile.at_first_axis(x))
    assert np.diff(headings).max() < 0.0045


@given(design=designs())
@settings(max_examples=15, deadline=None, derandomize=True)
def test_every_hull_keeps_its_sizes(design):
    hull = shape(design)
    sizes = design.hull
    ends = 2.0 * hull.half_breadth(np.array([0.0, sizes.length]), sizes.depth)
    assert ends == pytest.approx([sizes.beam_at_transom, sizes.beam_at_bow], abs=1e-7)
    assert hull.bottom_height(np.array([sizes.length]))[0] == pytest.approx(sizes.depth, abs=1e-7)
    for bend in (hull.bottom_sweep, hull.bow_taper, hull.stern_taper):
        assert bend.curvature <= 1.3 / bend.arc_radius


def test_a_sweep_too_short_for_its_rise_is_refused_with_its_key():
    short = changed(sample("bramblefin"), hull={"flat_to": 1000.0})
    with pytest.raises(BuildError, match=r"bramblefin\.toml:\d+: hull\.flat_to: .*too steep") as caught:
        shape(short)
    assert caught.value.faults[0].key == "hull.flat_to"


def test_a_taper_too_short_is_refused_with_its_key():
    short = changed(sample("marshpenny"), hull={"parallel_to": 1140.0, "beam_at_bow": 250.0})
    with pytest.raises(BuildError, match=r"hull\.parallel_to"):
        shape(short)


def test_a_flare_that_leaves_no_bottom_is_refused():
    with pytest.raises(BuildError, match=r"hull\.flare: .*mm wide at its narrowest"):
        shape(changed(sample("bramblefin"), hull={"flare": 50.0}))


def test_laps_decide_from_where_to_where_the_shell_goes():
    plain = shape(sample("marshpenny"))
    assert (plain.chine_inset, plain.side_aft.foot, plain.bottom_aft.foot, plain.roof) == (
        plain.bottom_thickness,
        0.0,
        0.0,
        plain.depth,
    )
    other = shape(changed(sample("marshpenny"), laps={"bottom": "between", "transom": "over", "deck": "between"}))
    thick = other.transom_thickness
    assert (other.chine_inset, other.side_aft.foot, other.bottom_aft.foot) == (0.0, thick, thick)
    assert other.roof == other.depth - other.design.woods.deck.thickness


@pytest.mark.parametrize("widest", [0.35, 0.45, 0.6])
def test_where_no_parallel_run_is_wanted_the_plan_has_no_flat_spot(widest):
    """Curvature does not fall to nothing at the greatest beam, and nowhere passes 1.3 times that of the arc."""
    plain = sample("marshpenny")
    at = widest * plain.hull.length
    hull = shape(changed(plain, hull={"parallel_from": at, "parallel_to": at}))
    x = np.linspace(1.0, hull.length - 1.0, 801)
    s = hull.plan.at_first_axis(x)
    bend = -hull.plan.curvature(s)
    arcs = (1.0 / hull.stern_taper.arc_radius, 1.0 / hull.bow_taper.arc_radius)
    assert bend.min() >= min(arcs) * (1.0 - 1e-6)
    assert bend.max() <= 1.3 * max(arcs)
    assert np.abs(np.diff(bend)).max() < 0.05 * bend.max()
    breadth = 2.0 * hull.plan.point(s)[:, 1]
    assert breadth.max() == pytest.approx(plain.hull.beam, abs=1e-3)
    assert x[np.argmax(breadth)] == pytest.approx(at, abs=4.0)
    ends = 2.0 * hull.half_breadth(np.array([0.0, hull.length]), hull.depth)
    assert ends == pytest.approx([plain.hull.beam_at_transom, plain.hull.beam_at_bow], abs=1e-7)


@pytest.mark.parametrize("flare", [3.0, 8.0])
def test_flared_sides_come_together_at_a_stem(flare):
    plain = sample("bramblefin").hull
    stem = {"bow": "stem", "flare": flare, "beam_at_bow": 40.0, "bow_height": 40.0, "bow_rake": 1.5 * flare}
    hull = shape(changed(sample("bramblefin"), hull={**stem, "parallel_from": 0.0, "parallel_to": 450.0}))
    assert hull.surface is not None
    assert hull.surface.family.worst_warp < 0.01
    for x, z in (hull.foot_of(hull.bow, 0.0), hull.head_of(hull.bow)):
        assert 2.0 * hull.half_breadth(np.array([x]), z)[0] == pytest.approx(40.0, abs=1e-3)
    assert hull.flare_at(300.0, 60.0) == pytest.approx(np.radians(flare), abs=1e-6)
    assert 2.0 * hull.half_breadth(np.array([300.0]), plain.depth)[0] == pytest.approx(plain.beam, abs=1e-4)
