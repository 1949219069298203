"""Boats from tables of offsets, every bow and every way of lapping: outlines that close, joints that fit."""

from itertools import product

import numpy as np
import pytest
import shapely
from trial_boats import by_slug, changed, sample, taken

from hullcut.design.reader import read_order
from hullcut.drawing.views.bodies import boat_bodies
from hullcut.pipeline import build

FITS_MM = 0.1
LAPS = list(product(("under", "between"), ("between", "over"), ("over", "between")))
HEADER = "x,chine_half_breadth,chine_height,sheer_half_breadth,sheer_height\n"


def sled():
    """Flare that fades to nothing at the tip, where chine and sheer come together."""
    x = np.linspace(0.0, 1060.0, 11)
    z = 125.0 * np.maximum((x - 450.0) / 610.0, 0.0) ** 2.2
    sheer = 165.0 - 20.0 * ((x - 400.0) / 660.0) ** 2
    chine = sheer - (125.0 - z) * 0.14
    return "".join(f"{a:.1f},{b:.1f},{c:.1f},{d:.1f},125\n" for a, b, c, d in zip(x, chine, z, sheer, strict=True))


def pram():
    """A raked bow transom: chine and sheer end at different places."""
    x = np.linspace(0.0, 1000.0, 9)
    z = 60.0 * np.maximum((x - 400.0) / 600.0, 0.0) ** 2.2
    sheer = 165.0 - 25.0 * ((x - 400.0) / 660.0) ** 2
    chine = sheer - (125.0 - z) * (0.1 + 0.00008 * x)
    rows = "".join(f"{a:.1f},{b:.1f},{c:.1f},{d:.1f},125\n" for a, b, c, d in zip(x, chine, z, sheer, strict=True))
    return rows + f"1030,,,{165.0 - 25.0 * (630.0 / 660.0) ** 2:.1f},125\n"


def boat(folder, table):
    (folder / "lines.csv").write_text(HEADER + table, encoding="utf-8")
    path = folder / "boat.toml"
    path.write_text('name = "sedge"\nunits = "mm"\n[hull]\noffsets = "lines.csv"\nread_to = 0.2\n', encoding="utf-8")
    return read_order(path).designs[0]


def check(parts, joints):
    for part in parts:
        assert shapely.Polygon(part.outline, part.holes).is_valid, part.id
        assert np.array(part.outline).min(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
    worst = max(joints, key=lambda joint: joint.mismatch)
    assert worst.mismatch <= FITS_MM, worst.name


@pytest.mark.parametrize(("bow", "table"), [("sled", sled()), ("pram", pram())])
def test_a_sled_and_a_pram_go_through_every_stage(tmp_path, bow, table):
    plan = build(boat(tmp_path, table))
    assert plan.design.hull.bow == bow
    check(plan.parts, plan.joints)
    assert {"sled": "nose-block", "pram": "bow-transom"}[bow] in by_slug(plan.parts)
    assert {check.name: check.status for check in plan.checks}["Sides twist from chine to sheer"] == "ok"
    points = np.vstack(
        [ring.points for facets in boat_bodies(plan).values() for facet in facets for ring in facet.rings]
    )
    assert np.isfinite(points).all()


@pytest.mark.parametrize("laps", LAPS)
def test_a_pointed_stem_fits_in_every_way_of_lapping(laps):
    bottom, transom, deck = laps
    design = changed(sample("tansyfoot"), laps={"bottom": bottom, "transom": transom, "deck": deck})
    _, _, parts, joints = taken(design)
    check(parts, joints)
    found = by_slug(parts)
    for slug in ("bottom", "fore-deck"):
        assert "bow" not in {edge.name for edge in found[slug].edges}
        # Its point lies on the centre line.
        outline = np.array(found[slug].true_outline)
        tip = outline[np.argmax(outline[:, 0])]
        assert tip[1] == pytest.approx(outline[:, 1].max() / 2.0 + outline[:, 1].min() / 2.0, abs=0.01)
    side = found["side-port"]
    mitre = next(edge for edge in side.edges if edge.name == "bow end")
    assert mitre.long_face == "outer"
    assert 45.0 < mitre.bevel < 80.0
