"""Parts in space: what lands touches, and no two solids share a place."""

import dataclasses
import functools
import itertools

import hypothesis
import numpy as np
import pytest
import shapely
from trial_boats import NAMES, both_faces, built, by_slug, changed, designs, inner_points, landings, sample, taken

from hullcut.parts.clearances import overlap_checks

# Bevelled edges are sawn square on their long face and planed to fit; within this of each other parts touch.
TOUCHING_MM = 1.3


@functools.cache
def prints(name):
    return landings(built(name).parts)


def bevel_reach(part, edge):
    return part.thickness * np.tan(np.radians(min(edge.bevel, 80.0)))


def body(part):
    """The part of a finished outline that is solid on both faces: less what its bevels take away."""
    shape = shapely.Polygon(part.true_outline, part.holes).buffer(-0.3)
    points = np.array(part.outline)
    grown = len(part.outline) != len(part.true_outline) or part.outline != part.true_outline
    for edge in part.edges:
        reach = bevel_reach(part, edge)
        if reach > 0.0:
            run = (edge.start + np.arange((edge.stop - edge.start) % len(points) + 1)) % len(points)
            shape = shape.difference(shapely.LineString(points[run]).buffer(reach + 0.4 + (5.0 if grown else 0.0)))
    return shape


def filling(part, pitch=9.0):
    """Points in space (n, 3) inside a part, a little under its faces."""
    flat = inner_points(part, 0.2, pitch)
    flat = flat[shapely.contains_xy(body(part), flat[:, 0], flat[:, 1])]
    if not len(flat):
        return np.zeros((0, 3))
    reach = part.thickness / 2.0 - 0.3
    return np.vstack([part.panel.to_space(flat, side * reach) for side in (-1.0, 0.0, 1.0)])


def shared(one_points, other, place):
    """How many of one part's points lie inside another part."""
    box = both_faces(other) + place
    near = np.all((one_points > box.min(axis=0)) & (one_points < box.max(axis=0)), axis=1)
    if not near.any():
        return 0
    laid = other.panel.to_flat(one_points[near] - place)
    inside = np.abs(laid[:, 2]) < other.thickness / 2.0 - 0.3
    return int((inside & shapely.contains_xy(body(other), laid[:, 0], laid[:, 1])).sum())


def overlaps(parts):
    """Names of all pairs of solids that share a place, each copy for itself."""
    solids = [(part, np.array(place), filling(part) + np.array(place)) for part in parts for place in part.places]
    found = set()
    for i, (one, _, points) in enumerate(solids):
        for j, (other, place, _) in enumerate(solids):
            if i != j and len(points) and shared(points, other, place):
                found.add(
                    tuple(sorted((one.id.removeprefix(f"{one.design}-"), other.id.removeprefix(f"{one.design}-"))))
                )
    return found


# The nose block is planed to the bottom's sweep, a stem block's cheeks to the sides; the balance bar lifts the boat off
# its cradles when it is used.
MEANT = {
    ("bottom", "nose-block"),
    ("side-port", "stem-block"),
    ("side-starboard", "stem-block"),
    ("balance-bar", "bottom"),
}


@pytest.mark.parametrize("name", NAMES)
def test_no_two_parts_share_a_place(name):
    assert overlaps(built(name).parts) - MEANT == set()


def test_parts_that_share_a_place_are_found():
    """The same search over a bulkhead without notches for the cleats, as a box of its full section."""
    parts = by_slug(built("bramblefin").parts)
    bulkhead = parts["bulkhead"]
    box = shapely.box(*shapely.Polygon(bulkhead.outline).bounds)
    full = dataclasses.replace(
        bulkhead, true_outline=tuple(box.exterior.coords)[:-1], outline=tuple(box.exterior.coords)[:-1], edges=()
    )
    cleats = [part for slug, part in parts.items() if "sheer-cleat" in slug]
    assert overlaps([bulkhead, *cleats]) == set()
    assert overlaps([full, *cleats]) == {("bulkhead", "sheer-cleat-port"), ("bulkhead", "sheer-cleat-starboard")}


@pytest.mark.parametrize(
    "laps",
    [
        {"bottom": "between"},
        {"transom": "over"},
        {"deck": "between"},
        {"bottom": "between", "transom": "over", "deck": "between"},
    ],
)
def test_no_two_shell_parts_share_a_place_however_they_lap(laps):
    parts = by_slug(taken(changed(sample("marshpenny"), laps=laps))[2])
    shell = ("side-port", "side-starboard", "bottom", "transom", "fore-deck", "after-deck", "sheer-cleat-port")
    assert overlaps([parts[slug] for slug in shell]) == set()


@pytest.mark.parametrize("name", NAMES)
def test_landings_lie_where_the_guest_touches(name):
    parts = {part.id: part for part in built(name).parts}
    count = 0
    for host_id, found in prints(name).items():
        host = parts[host_id]
        for landing in found:
            guest = parts[landing.guest]
            ring = shapely.Polygon(landing.outline)
            assert ring.is_valid
            assert shapely.Polygon(host.true_outline).buffer(1e-6).covers(ring)
            spot = np.array(ring.representative_point().coords)
            flat = np.vstack([spot, np.array(landing.outline)[:: max(1, len(landing.outline) // 12)]])
            side = 0.5 if landing.face == "outer" else -0.5
            space = host.panel.to_space(flat, side * host.thickness)
            nearest = np.full(len(flat), np.inf)
            for place in guest.places:
                laid = guest.panel.to_flat(space - np.array(place))
                off = np.maximum(np.abs(laid[:, 2]) - guest.thickness / 2.0, 0.0)
                outline = shapely.Polygon(guest.true_outline)
                beside = shapely.distance(outline, shapely.points(laid[:, :2]))
                nearest = np.minimum(nearest, np.hypot(off, beside))
            assert nearest.max() < TOUCHING_MM, (host_id, landing.guest)
            count += 1
    assert count >= 60


@pytest.mark.parametrize("name", NAMES)
def test_every_cleat_lands_on_what_it_joins(name):
    """The landings that a builder needs are there, upright sides or flared."""
    found = {
        (host.split("-", 1)[1], each.guest.split("-", 1)[1]) for host, all_ in prints(name).items() for each in all_
    }
    there = by_slug(built(name).parts)
    bow = next(slug for slug in ("nose-block", "bow-transom", "stem-block") if slug in there)
    chines = ("chine-cleat",) if "chine-cleat-port" in there else ("chine-cleat-after", "chine-cleat-fore")
    cover = "hatch" if built(name).design.decks.after == "hatch" else "after-deck"
    for hand in ("port", "starboard"):
        for wanted in (
            (f"side-{hand}", f"{chines[0]}-{hand}"),
            *(("bottom", f"{chine}-{hand}") for chine in chines),
            ("bottom", f"side-{hand}"),
            (f"side-{hand}", f"sheer-cleat-{hand}"),
            ("fore-deck", f"sheer-cleat-{hand}"),
            (cover, f"sheer-cleat-{hand}"),
            (f"side-{hand}", "transom"),
            # A stem block's cheeks are planed before they land.
            *([] if bow == "stem-block" else [(f"side-{hand}", bow)]),
            ("transom", f"transom-cleat-{hand}"),
            ("shelf", f"shelf-cleat-{hand}"),
        ):
            assert wanted in found, wanted


def test_the_middle_line_of_a_landing_lies_in_it():
    for found in prints("marshpenny").values():
        for landing in found:
            if len(landing.middle) > 1:
                ring = shapely.Polygon(landing.outline).buffer(1e-6)
                assert ring.covers(shapely.LineString(landing.middle))


# A strip of overlap or a gap narrower than this no rule shows, mm.
SHOWN_MM = 0.15


def overlapping_prints(found):
    """Pairs of prints on one face of one part that overlap by more than a line, as (host, guest, guest)."""
    pairs = []
    for host, prints_of_host in found.items():
        for one, other in itertools.combinations(prints_of_host, 2):
            shared = shapely.Polygon(one.outline).intersection(shapely.Polygon(other.outline))
            if one.face == other.face and not shared.buffer(-SHOWN_MM / 2.0).is_empty:
                pairs.append((host, one.guest, other.guest))
    return pairs


# What stands against what along a side; "chine-cleat" is all strips along the chine together.
MEETING = (
    ("sheer-cleat", "transom"),
    ("sheer-cleat", "nose-block"),
    ("sheer-cleat", "bow-transom"),
    ("sheer-cleat", "bulkhead"),
    ("sheer-cleat", "deck-beam-fore"),
    ("sheer-cleat", "deck-beam-middle"),
    ("sheer-cleat", "deck-beam-after"),
    ("sheer-cleat", "transom-cleat"),
    ("sheer-cleat", "bow-cleat"),
    ("chine-cleat", "transom"),
    ("chine-cleat", "bulkhead"),
    ("chine-cleat", "transom-cleat"),
    ("chine-cleat", "bow-cleat"),
    ("chine-cleat-after", "chine-cleat-fore"),
)


def gaps_along_sides(found):
    """Distances on a side's face between what should meet there, by the host and the two names."""
    gaps = {}
    for host, prints_of_host in found.items():
        if "-side-" not in host:
            continue
        hand = host.rsplit("-", 1)[1]
        shapes = {
            each.guest.split("-", 1)[1].removesuffix(f"-{hand}"): shapely.Polygon(each.outline)
            for each in prints_of_host
        }
        shapes["chine-cleat"] = shapely.union_all([shape for slug, shape in shapes.items() if "chine-cleat" in slug])
        for one, other in MEETING:
            if one in shapes and other in shapes:
                gaps[host, one, other] = shapes[one].distance(shapes[other])
    return gaps


@pytest.mark.parametrize("name", NAMES)
def test_prints_meet_and_do_not_overlap(name):
    assert overlapping_prints(prints(name)) == []
    gaps = gaps_along_sides(prints(name))
    assert len(gaps) >= 12
    assert {pair: gap for pair, gap in gaps.items() if gap > SHOWN_MM} == {}


def test_prints_that_overlap_are_found():
    one, other = [each for each in prints("marshpenny")["marshpenny-bottom"] if "chine-cleat-after" in each.guest]
    assert overlapping_prints({"x": [one, dataclasses.replace(one, guest=other.guest)]}) == [
        ("x", one.guest, other.guest)
    ]


@hypothesis.settings(max_examples=8, deadline=None)
@hypothesis.given(designs())
def test_prints_do_not_overlap_on_any_hull(design):
    hull, arrangement, parts, _ = taken(design)
    # Where fittings stand in one place by the design's own sizes, a check says so instead.
    hypothesis.assume(all(check.status == "ok" for check in overlap_checks(hull, arrangement)))
    found = landings(parts)
    assert overlapping_prints(found) == []
    assert {pair: gap for pair, gap in gaps_along_sides(found).items() if gap > SHOWN_MM} == {}


@pytest.mark.parametrize("name", NAMES)
def test_beams_and_bulkhead_are_notched_over_the_cleats_they_cross(name):
    """The notch is the cleat's own section: its foot lies along the cleat's lower face, on both faces of the part."""
    parts = by_slug(built(name).parts)

    def in_space(part, edge, face):
        sign = 0.5 if face == "outer" else -0.5
        return part.panel.to_space(np.array(getattr(edge, face)), sign * part.thickness)

    cleat = parts["sheer-cleat-port"]
    lower = next(edge for edge in cleat.edges if edge.name == "lower")
    corners = [shapely.LineString(in_space(cleat, lower, face)[:, [0, 2]]) for face in ("outer", "inner")]
    beside = [shapely.LineString(in_space(cleat, lower, face)[:, :2]) for face in ("outer", "inner")]
    for slug in ("bulkhead", "deck-beam-fore", "deck-beam-middle", "deck-beam-after"):
        part = parts[slug]
        foot = next(edge for edge in part.edges if edge.name == "sheer notch foot")
        for face in ("outer", "inner"):
            ends = in_space(part, foot, face)[[0, -1]]
            ends = ends[np.argsort(-ends[:, 1])]
            for end, up, out in zip(ends, corners, beside, strict=True):
                assert up.distance(shapely.Point(end[[0, 2]])) < 0.02
                assert out.distance(shapely.Point(end[:2])) < 0.02


@pytest.mark.parametrize("name", NAMES)
def test_deck_beams_are_named_from_aft_forward(name):
    parts = by_slug(built(name).parts)
    beams = {slug: parts[slug] for slug in parts if slug.startswith("deck-beam-")}
    order = sorted(beams, key=lambda slug: both_faces(beams[slug])[:, 0].min())
    assert order == [f"deck-beam-{each}" for each in ("after", "middle", "fore") if f"deck-beam-{each}" in beams]
    assert [beams[slug].name.rpartition(", ")[2] for slug in order] == [slug.rpartition("-")[2] for slug in order]
    assert len(beams) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_the_stand_holds_the_hull_and_its_rails_hold_the_cradles(name):
    boat = built(name)
    parts = by_slug(boat.parts)
    rail = parts["stand-rail"]
    for slug in ("stand-cradle-after", "stand-cradle-fore"):
        cradle = both_faces(parts[slug])
        floor = boat.hull.bottom_height(np.array([cradle[:, 0].min(), cradle[:, 0].max()])).min()
        middle = parts[slug].panel.to_flat(np.array([[cradle[0, 0], 0.0, floor]]))[:, :2]
        outline = shapely.Polygon(parts[slug].outline)
        assert outline.exterior.distance(shapely.Point(middle[0])) < 1e-6
        laid = rail.panel.to_flat(cradle)
        low, high = laid[:, 0].min(), laid[:, 0].max()
        notch = [edge for edge in rail.edges if edge.name == "notch foot"]
        spans = [np.sort(np.array(rail.outline)[[edge.start, edge.stop], 0]) for edge in notch]
        assert any(span[0] <= low and high <= span[1] and span[1] - span[0] < high - low + 1.0 for span in spans)
