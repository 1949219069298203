"""Hulls of every bow, by sizes and by offsets, drawn at random: joints fit, area is kept, both methods agree.

Only hulls are shaped and joints laid in the panels' drawings; no parts are taken off, so that hundreds can be tried.
"""

from collections import Counter

import numpy as np
import pytest
from trial_boats import from_text

from hullcut.design.reader import read_order
from hullcut.errors import HullcutError
from hullcut.hull.fair_curve import FairCurve
from hullcut.hull.form import shape
from hullcut.hull.ruled_panel import ruled_panel
from hullcut.hull.ruled_surface import ruled_surface
from hullcut.hull.ruling_search import search_rulings
from hullcut.hull.spline_curve import space_curve
from hullcut.hull.strip_development import greatest_gap
from hullcut.parts.decks import deck_panel
from hullcut.parts.joints import chine_span, reckon

COUNT = 330
BOWS = ("sled", "pram", "stem")
FITS_MM = 0.1
AREA = 1e-6
METHODS_MM = 0.02


def by_sizes(rng, bow):
    length = rng.uniform(700.0, 1500.0)
    beam, depth = length * rng.uniform(0.27, 0.38), length * rng.uniform(0.1, 0.135)
    length, beam, depth = round(length, 2), round(beam, 2), round(depth, 2)
    keys = [f"length = {length}", f"beam = {beam}", f"depth = {depth}", f'bow = "{bow}"']
    keys.append(f"flare = {rng.choice([0.0, rng.uniform(0.5, 11.0)]):.3f}")
    keys.append(f"transom_rake = {rng.choice([0.0, rng.uniform(0.0, 15.0)]):.3f}")
    keys.append(f"sheer_rise = {depth * rng.choice([0.0, rng.uniform(0.0, 0.3)]):.3f}")
    keys.append(f"rocker = {depth * rng.choice([0.0, rng.uniform(0.0, 0.08)]):.3f}")
    keys.append(f"beam_at_transom = {beam * rng.choice([1.0, rng.uniform(0.85, 1.0)]):.3f}")
    if bow != "stem":
        keys.append(f"beam_at_bow = {beam * rng.choice([1.0, rng.uniform(0.7, 1.0)]):.3f}")
    if bow != "sled" and rng.random() < 0.5:
        keys.append(f"bow_rake = {rng.uniform(0.0, 25.0):.3f}")
    if rng.random() < 0.3:
        widest = length * rng.uniform(0.35, 0.55)
        keys += [f"parallel_from = {widest:.2f}", f"parallel_to = {widest:.2f}"]
    return "\n".join(keys), None


def by_offsets(rng, bow):
    """Lines with flare that changes along the boat, written to a tenth of a millimetre at uneven stations."""
    length = rng.uniform(700.0, 1500.0)
    half, depth = length * rng.uniform(0.14, 0.19), length * rng.uniform(0.1, 0.135)
    flare = np.tan(np.radians(rng.uniform(0.0, 8.0))), np.tan(np.radians(rng.uniform(0.0, 14.0)))
    stations = int(rng.integers(7, 14))
    u = np.linspace(0.0, 1.0, stations) + np.pad(rng.uniform(-0.25, 0.25, stations - 2) / (stations - 1), 1)
    fore = {"sled": 1.0, "pram": rng.uniform(0.93, 0.99), "stem": rng.uniform(0.88, 0.95)}[bow]
    full = {"sled": rng.uniform(0.7, 0.95), "pram": rng.uniform(0.6, 0.9), "stem": 0.0}[bow]
    power, begin = rng.uniform(2.0, 2.6), rng.uniform(0.3, 0.5)
    aft = rng.uniform(0.0, 0.1)

    def plan(share, widest):
        taper = np.maximum((share - begin) / (1.0 - begin), 0.0) ** power
        return widest * (1.0 - (1.0 - full) * taper - aft * np.maximum((begin - share) / begin, 0.0) ** 2)

    rise = {"sled": 1.0, "pram": rng.uniform(0.3, 0.6), "stem": rng.uniform(0.1, 0.3)}[bow] * depth
    low_z = rise * np.maximum((u - 0.45) / 0.55, 0.0) ** 2.2
    sheer_y = plan(u, half)
    if bow == "stem":
        chine_y = plan(u, half - depth * flare[0])
    else:
        chine_y = sheer_y - (depth - low_z) * (flare[0] + (flare[1] - flare[0]) * u)
    rows = [(x, y, z, None, None) for x, y, z in zip(u * fore * length, chine_y, low_z, strict=True)]
    sheer_z = np.full(stations, depth)
    rows += [(x, None, None, y, z) for x, y, z in zip(u * length, sheer_y, sheer_z, strict=True)]
    merged = {}
    for row in rows:
        # Chine and sheer share a station where theirs nearly coincide.
        at = next((known for known in merged if abs(known - row[0]) < 2.0), round(row[0], 1))
        old = merged.get(at, (None,) * 4)
        merged[at] = tuple(new if new is not None else before for new, before in zip(row[1:], old, strict=True))
    text = ["x,chine_half_breadth,chine_height,sheer_half_breadth,sheer_height"]
    text += [
        ",".join([f"{at:.1f}", *("" if cell is None else f"{cell:.1f}" for cell in merged[at])])
        for at in sorted(merged)
    ]
    return 'offsets = "lines.csv"\nread_to = 0.1', "\n".join(text) + "\n"


def hull_of(folder, number):
    """A hull, or None and why it is refused."""
    rng = np.random.default_rng(number)
    bow = BOWS[number % 3]
    keys, table = (by_offsets if number % 2 else by_sizes)(rng, bow)
    text = f'name = "trialboat"\nunits = "mm"\n[hull]\n{keys}\n'
    try:
        if table is None:
            return shape(from_text(text)), bow, None
        (folder / "lines.csv").write_text(table, encoding="utf-8")
        (folder / "boat.toml").write_text(text, encoding="utf-8")
        return shape(read_order(folder / "boat.toml").designs[0]), bow, None
    except HullcutError as error:
        return None, bow, error


def line(x, y, z):
    return np.column_stack(np.broadcast_arrays(x, y, z))


def port_joints(hull):
    """Lines on the port side's outer faces where it meets bottom, deck and transom, with the other part."""
    x = hull.stations(*chine_span(hull))
    z = hull.bottom_height(x, hull.chine_inset)
    chine = line(x, hull.half_breadth(x, z), z)
    fore = hull.bottom_meets_sheer(0.0) if hull.bow is None else hull.side_head(hull.bow, 0.0, 0.0)[0]
    x = hull.stations(hull.design.decks.fore_from, fore)
    z = hull.sheer_height(x)
    sheer = line(x, hull.half_breadth(x, z), z)
    z = np.linspace(hull.foot_of(hull.transom, hull.chine_inset)[1], hull.head_of(hull.transom)[1], 33)
    end = line(hull.transom.x(z), hull.half_breadth(hull.transom.x(z), z, hull.side_thickness), z)
    transom = hull.transom.panel(hull.transom_thickness, faces_aft=True)
    deck = deck_panel(hull, hull.design.woods.deck.thickness, hull.design.decks.fore_from, hull.length)
    return [(hull.bottom, chine), (deck, sheer), (transom, end)]


def worst_joint(hull):
    misses = []
    for other, points in port_joints(hull):
        lengths = []
        for panel in (hull.side_port, other):
            laid = panel.to_flat(points)
            lengths.append(reckon(panel, laid[:, :2], float(laid[:, 2].mean()))[1])
        misses.append(abs(lengths[0] - lengths[1]))
    return max(misses)


def area_change(hull):
    """By what share the side's middle surface changes its area when it is laid flat.

    The area of small patches against that of their pictures, as a mean over the side as far as every bow has one.
    """
    x, share = (each.ravel() for each in np.meshgrid(np.linspace(0.03, 0.85, 100), np.linspace(0.05, 0.95, 5)))
    x = x * hull.length
    low, high = hull.bottom_height(x), hull.sheer_height(x)
    z = low + share * (high - low)
    y = hull.half_breadth(x, z, hull.side_thickness / 2.0)
    flat = hull.side_port.to_flat(np.column_stack([x, y, z]))[:, :2]
    step = 0.2
    along, up = (
        (hull.side_port.to_space(flat + move, 0.0) - hull.side_port.to_space(flat - move, 0.0)) / (2.0 * step)
        for move in (np.array([step, 0.0]), np.array([0.0, step]))
    )
    return float(abs(np.linalg.norm(np.cross(along, up), axis=1).mean() - 1.0))


def gap_between_methods(hull):
    """Greatest distance between the lines of a side of one flare, unrolled in closed form and the general way."""
    thickness = hull.side_thickness
    fore = hull.length if hull.bow is None else hull.foot_of(hull.bow, 0.0)[0]
    low_x = np.linspace(hull.foot_of(hull.transom, 0.0)[0], fore, 65)
    high_x = np.linspace(hull.head_of(hull.transom)[0], hull.length, 65)
    low_z, high_z = hull.bottom_height(low_x), hull.sheer_height(high_x)
    chine = np.column_stack([low_x, hull.half_breadth(low_x, low_z), low_z])
    sheer = np.column_stack([high_x, hull.half_breadth(high_x, high_z), high_z])
    family = search_rulings(space_curve(chine), space_curve(sheer))
    general = ruled_panel(ruled_surface(family), thickness, 0.0, port=True)
    points = np.vstack([chine[4:-4], sheer[4:-4]])
    return greatest_gap(hull.side_port.to_flat(points)[:, :2], general.to_flat(points)[:, :2])


@pytest.mark.parametrize("part", range(3))
def test_any_sensible_hull_unrolls_or_is_refused_in_words(tmp_path, part):
    refused, made = Counter(), Counter()
    for number in range(part, COUNT, 3):
        hull, bow, error = hull_of(tmp_path, number)
        if hull is None:
            assert all(fault.problem and fault.remedy for fault in error.faults), number
            refused[bow] += 1
            continue
        made[bow] += 1
        assert worst_joint(hull) <= FITS_MM, number
        if hull.surface is None or hull.surface.family.kind == "developable":
            assert area_change(hull) <= AREA, number
        if hull.surface is None and isinstance(hull.plan, FairCurve) and number % 4 == 0:
            assert gap_between_methods(hull) <= METHODS_MM, number
    assert sum(made.values()) >= 2 * sum(refused.values()), refused
