"""Solids cut by a plane."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hullcut.drawing.views.cut import cut_solid
from hullcut.drawing.views.solids import box_solid, mesh_solid, rod_solid

SIZES = (80.0, 50.0, 30.0)
BOX = box_solid((0.0, 0.0, 0.0), SIZES)


def area_vector(facet):
    """Twice the facet's area along its normal, holes taken away."""
    first, *holes = (np.cross(ring.points, np.roll(ring.points, -1, axis=0)).sum(axis=0) for ring in facet.rings)
    return first - sum(np.sign(hole @ first) * hole for hole in holes)


def volume(facets):
    """By the divergence theorem."""
    return sum(float(facet.rings[0].points[0] @ area_vector(facet)) for facet in facets) / 6.0


def closed(facets):
    """Whether the facets' areas as vectors cancel, as those of every closed body do."""
    return np.allclose(sum(area_vector(facet) for facet in facets), 0.0, atol=1e-3)


def test_half_a_box():
    kept = cut_solid(BOX, np.array([20.0, 0.0, 0.0]), np.array([1.0, 0.0, 0.0]))
    assert volume(kept) == pytest.approx(60.0 * 50.0 * 30.0)
    assert closed(kept)
    assert len(kept) == 6
    (face,) = (facet for facet in kept if facet.normal[0] < -0.9)
    assert np.allclose(face.rings[0].points[:, 0], 20.0)
    assert all(face.rings[0].drawn)


def test_a_plane_through_a_face_takes_nothing_away():
    kept = cut_solid(BOX, np.zeros(3), np.array([0.0, 0.0, 1.0]))
    assert volume(kept) == pytest.approx(volume(BOX))
    assert closed(kept)


def test_a_rod_cut_aslant_is_closed_by_an_ellipse():
    rod = rod_solid(np.zeros(3), np.array([100.0, 0.0, 0.0]), 10.0)
    slant = np.array([-1.0, 0.0, 1.0]) / np.sqrt(2.0)
    kept = cut_solid(rod, np.array([50.0, 0.0, 0.0]), slant)
    assert closed(kept)
    assert volume(kept) == pytest.approx(volume(rod) / 2.0, rel=1e-6)
    (face,) = (facet for facet in kept if facet.normal @ slant < -0.999)
    square = next(facet for facet in rod if abs(facet.normal[0]) > 0.999)
    # Cut at 45 degrees, its section is longer by the square root of two.
    assert np.linalg.norm(area_vector(face)) == pytest.approx(np.sqrt(2.0) * np.linalg.norm(area_vector(square)))


@given(
    st.tuples(*(st.floats(-1.0, 1.0) for _ in range(3))).filter(lambda way: np.linalg.norm(way) > 0.1),
    st.tuples(*(st.floats(0.1, 0.9) for _ in range(3))),
)
def test_both_halves_make_the_whole(way, share):
    towards = np.array(way) / np.linalg.norm(way)
    point = np.array(share) * np.array(SIZES)
    halves = [cut_solid(BOX, point, towards), cut_solid(BOX, point, -towards)]
    assert sum(volume(half) for half in halves) == pytest.approx(volume(BOX), rel=1e-5)
    for half, way_in in zip(halves, (towards, -towards), strict=True):
        assert closed(half)
        for facet in half:
            assert ((facet.rings[0].points - point) @ way_in).min() > -1e-5


def test_a_mesh_draws_only_its_sharp_edges():
    """A box whose top is folded by 10 degrees along its middle."""
    rise = 25.0 * np.tan(np.radians(5.0))
    ring = [(0.0, 0.0), (50.0, 0.0), (50.0, 20.0), (25.0, 20.0 + rise), (0.0, 20.0)]
    corners = np.array([(x, y, z) for y in (0.0, 40.0) for x, z in ring])
    faces = [(0, 1, 2, 3, 4), (9, 8, 7, 6, 5), *((k, k + 5, (k + 1) % 5 + 5, (k + 1) % 5) for k in range(5))]
    solid = mesh_solid(corners, faces)
    assert volume(solid) == pytest.approx(40.0 * (50.0 * 20.0 + 25.0 * rise))
    assert closed(solid)
    top = [facet for facet in solid if facet.normal[2] > 0.9]
    assert [int(facet.rings[0].drawn.sum()) for facet in top] == [3, 3]
