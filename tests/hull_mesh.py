"""A hull as a triangle mesh, and how it floats by that mesh alone: an independent solver for tests.

The mesh is cut by trimesh, a general library. Volume and centre of what lies below the water are summed from
tetrahedra whose common corner lies on the water and on a slanting end, so that neither needs a lid.
"""

import numpy as np
import scipy.optimize
import trimesh

_STATION_MM = 2.0
_LEVELS = 13


def hull_mesh(hull, station=_STATION_MM):
    """The outside of a hull, open where a slanting end or the water cuts it; (mesh, slanting end planes)."""
    slanting = [plane for plane in (hull.transom, hull.bow) if plane is not None and plane.slope != 0.0]
    start = -40.0 if hull.transom.slope != 0.0 else float(hull.transom.x(0.0))
    if hull.bow is None:
        stop = hull.bottom_meets_sheer(0.0)
    else:
        stop = hull.length + 60.0 if hull.bow.slope != 0.0 else float(hull.bow.x(0.0))
    knots = [k for curve in (hull.profile, hull.plan, hull.sheer) for k in curve.point(curve.knots)[:, 0]]
    x = np.unique(np.concatenate([np.arange(start, stop, station), [stop], [k for k in knots if start < k < stop]]))
    low, high = hull.bottom_height(x), hull.sheer_height(x)
    low = np.minimum(low, high)
    shares = np.linspace(0.0, 1.0, _LEVELS)
    z = low[:, None] + shares * (high - low)[:, None]
    y = np.maximum(np.column_stack([hull.half_breadth(x, level) for level in z.T]), 0.0)
    # Round each section: up the port side, across the top, down the starboard side, back along the bottom.
    ring_y, ring_z = np.hstack([y, -y[:, ::-1]]), np.hstack([z, z[:, ::-1]])
    count, around = ring_y.shape
    points = np.stack([np.repeat(x[:, None], around, axis=1), ring_y, ring_z], axis=-1).reshape(-1, 3)
    index = np.arange(count * around).reshape(count, around)
    a, b = index[:-1], index[1:]
    c, d = np.roll(a, -1, axis=1), np.roll(b, -1, axis=1)
    faces = [np.column_stack([a.ravel(), c.ravel(), b.ravel()]), np.column_stack([b.ravel(), c.ravel(), d.ravel()])]
    for section, turned in ((index[0], True), (index[-1], False)):
        if (hull.transom if turned else hull.bow) in slanting:
            continue
        fan = np.array([(section[0], section[i], section[i + 1]) for i in range(1, around - 1)])
        faces.append(fan[:, ::-1] if turned else fan)
    mesh = trimesh.Trimesh(points, np.vstack(faces), process=False)
    for plane in slanting:
        outward = np.array([-1.0, 0.0, plane.slope]) if plane is hull.transom else np.array([1.0, 0.0, -plane.slope])
        origin = np.array([float(plane.x(0.0)), 0.0, 0.0])
        mesh = trimesh.intersections.slice_mesh_plane(mesh, -outward, origin, cap=False)
    return mesh, slanting


def below(mesh, slanting, up, height):
    """Volume, mm3, and centre (3,) of what lies below the water."""
    up = np.asarray(up, dtype=float)
    wet = trimesh.intersections.slice_mesh_plane(mesh, -up, up * height, cap=False)
    planes = [(up, height)]
    planes += [(np.array([1.0, 0.0, -p.slope]), float(p.x(0.0))) for p in slanting]
    apex = np.linalg.lstsq(np.array([n for n, _ in planes]), np.array([d for _, d in planes]), rcond=None)[0]
    corners = wet.triangles - apex
    six = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    centres = corners.sum(axis=1) / 4.0
    volume = six.sum() / 6.0
    return volume, apex + (six[:, None] * centres).sum(axis=0) / 6.0 / volume


def upward(trim, heel):
    """The upward direction in the boat's axes, from trim by the stern and heel to port, radians."""
    about_y = np.array([[np.cos(trim), 0, np.sin(trim)], [0, 1, 0], [-np.sin(trim), 0, np.cos(trim)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(heel), -np.sin(heel)], [0, np.sin(heel), np.cos(heel)]])
    return about_x @ about_y @ np.array([0.0, 0.0, 1.0])


def float_mesh(mesh, slanting, mass, cg, density):
    """Draft at the deepest point, trim and heel (degrees) at which weight and buoyancy balance."""
    wanted, weight_at = mass / density * 1e6, np.asarray(cg, dtype=float)
    lowest, highest = mesh.bounds[:, 2]

    def left_over(unknown):
        up = upward(unknown[1] / 100.0, unknown[2] / 100.0)
        volume, centre = below(mesh, slanting, up, unknown[0])
        away = np.cross(centre - weight_at, up)
        return [(volume / wanted - 1.0) * 100.0, away[1], away[0]]

    first = [lowest + 0.35 * (highest - lowest), 1.0, 1.0]
    found = scipy.optimize.root(left_over, first, tol=1e-10)
    assert found.success, found.message
    up = upward(found.x[1] / 100.0, found.x[2] / 100.0)
    draft = float((found.x[0] - mesh.vertices @ up).max())
    return draft, float(np.degrees(found.x[1] / 100.0)), float(np.degrees(found.x[2] / 100.0))
