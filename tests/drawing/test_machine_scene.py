"""Cutting files: outlines in place to 0.05 mm, arcs kept, the kerf made good, inner cuts first."""

import io
import json

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf import path as dxf_path

from hullcut.drawing.dxf import to_dxf
from hullcut.drawing.machine_scene import machine_scene
from hullcut.drawing.scene import Role, Shape
from hullcut.plan import plan_json, to_text
from tests.conftest import planned

# Half the breadth within which every stretch must lie, mm.
TOLERANCE = 0.05
OPERATIONS = {"stock", "saw cut", "cut", "inner cut", "hole"}
OPERATIONS |= {"mark", "true line", "centre line", "thin", "hidden", "label"}


@pytest.fixture(scope="module", params=["bramblefin", "lakeside_class"])
def cut(request):
    """Of each sheet: its plan as JSON, and the document of its cutting file."""
    plan = planned(request.param)
    parts = plan.parts
    data = json.loads(to_text(plan_json(plan)))
    known = {}
    documents = []
    for sheet in plan.layout.sheets:
        text = to_dxf(machine_scene(sheet, parts, plan.order.units, known=known))
        documents.append(ezdxf.read(io.StringIO(text)))
    return data, documents


def outline_of(entity):
    if entity.dxftype() == "CIRCLE":
        centre = (entity.dxf.center.x, entity.dxf.center.y)
        return shapely.Point(centre).buffer(entity.dxf.radius, quad_segs=180).exterior
    points = [(v.x, v.y) for v in dxf_path.make_path(entity).flattening(0.002)]
    return shapely.LinearRing(points)


def placed(ring, placement):
    points = np.array(ring)
    if placement["mirrored"]:
        points = points * (-1.0, 1.0)
    turn = np.radians(placement["rotation"])
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return shapely.LinearRing(points @ rotation + (placement["x"], placement["y"]))


def test_every_outline_and_hole_is_where_the_plan_puts_it(cut):
    data, documents = cut
    parts = {part["id"]: part for part in data["parts"]}
    for sheet, document in zip(data["layout"], documents, strict=True):
        audit = document.audit()
        assert not audit.errors
        found = {
            layer: [outline_of(e) for e in document.modelspace() if e.dxf.layer == layer]
            for layer in ("cut", "inner cut")
        }
        outer = [placed(parts[p["part"]]["outline"], p) for p in sheet["placements"]]
        inner = [placed(hole, p) for p in sheet["placements"] for hole in parts[p["part"]]["holes"]]
        for layer, wanted in (("cut", outer), ("inner cut", inner)):
            assert len(found[layer]) == len(wanted)
            drawn = shapely.union_all(found[layer])
            lines = shapely.union_all(wanted)
            assert lines.difference(drawn.buffer(TOLERANCE)).length < 1e-6
            assert drawn.difference(lines.buffer(TOLERANCE)).length < 1e-6


def test_layers_are_operations_and_inner_cuts_come_first(cut):
    _, documents = cut
    for document in documents:
        layers = [entity.dxf.layer for entity in document.modelspace()]
        assert set(layers) <= OPERATIONS
        if "inner cut" in layers:
            assert max(k for k, name in enumerate(layers) if name == "inner cut") < layers.index("cut")
        for entity in document.modelspace():
            if entity.dxf.layer in ("cut", "inner cut") and entity.dxftype() == "LWPOLYLINE":
                assert entity.closed
                assert len({(round(x, 6), round(y, 6)) for x, y, *_ in entity.get_points()}) == len(entity)
        assert document.dxfversion == "AC1024"
        assert document.units == 4


def test_a_round_hole_is_a_circle_at_its_size(cut):
    data, documents = cut
    circles = [e for d in documents for e in d.modelspace() if e.dxftype() == "CIRCLE" and e.dxf.layer == "inner cut"]
    parts = [part for part in data["parts"] if "engine-plate" in part["id"]]
    for part in parts:
        (bore,) = part["holes"]
        area = shapely.Polygon(bore).area
        same = [e for e in circles if abs(np.pi * e.dxf.radius**2 - area) < 2e-3 * area]
        assert len(same) >= part["quantity"] / len(parts) > 0


def test_the_kerf_is_made_good_outside_and_inside():
    plan = planned("bramblefin")
    kerf = 0.4
    sheet = next(sheet for sheet in plan.layout.sheets if any("engine-plate" in p.part for p in sheet.placements))
    plain, grown = (machine_scene(sheet, plan.parts, "in", k) for k in (0.0, kerf))
    files = [ezdxf.read(io.StringIO(to_dxf(scene))) for scene in (plain, grown)]
    for layer, sign in (("cut", 1.0), ("inner cut", -1.0)):
        pairs = list(
            zip(*([outline_of(e) for e in f.modelspace() if e.dxf.layer == layer] for f in files), strict=True)
        )
        assert pairs
        for before, after in pairs:
            wanted = shapely.Polygon(before).buffer(sign * kerf / 2.0, join_style="mitre").exterior
            assert shapely.hausdorff_distance(wanted, after, densify=0.05) < 0.01
            area = shapely.Polygon(before).length * kerf / 2.0
            assert sign * (shapely.Polygon(after).area - shapely.Polygon(before).area) == pytest.approx(area, rel=0.02)
    marks = [[i for i in s.items if isinstance(i, Shape) and i.role is Role.MARK] for s in (plain, grown)]
    assert marks[0] == marks[1]


def test_a_kerf_wider_than_a_hole_is_refused():
    plan = planned("bramblefin")
    sheet = next(sheet for sheet in plan.layout.sheets if any("servo-plate" in p.part for p in sheet.placements))
    with pytest.raises(ValueError, match="wider than a hole"):
        machine_scene(sheet, plan.parts, "in", 60.0)


def test_a_part_that_lies_face_down_has_no_marks_on_its_back():
    plan = planned("bramblefin")
    from dataclasses import replace

    sheet = next(sheet for sheet in plan.layout.sheets if any(p.part.endswith("transom") for p in sheet.placements))
    turned = replace(sheet, placements=tuple(replace(p, mirrored=True) for p in sheet.placements))
    roles = {item.role for item in machine_scene(turned, plan.parts, "in").items}
    assert Role.MARK in {item.role for item in machine_scene(sheet, plan.parts, "in").items}
    assert not roles & {Role.MARK, Role.HIDDEN, Role.CENTRE, Role.TRUE_LINE}
    assert {Role.CUT, Role.HOLE} <= roles
