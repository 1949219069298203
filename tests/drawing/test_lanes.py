"""Long narrow parts on shared runs of pages: nothing of one stands in the lane of another, and pages are saved."""

import numpy as np
import pytest
import shapely
from sample_hulls import boat_of
from trial_scenes import knee_scene

from hullcut.drawing.grid import Sheet, best_grid
from hullcut.drawing.labels import LINES
from hullcut.drawing.paper import Paper, paper_named
from hullcut.drawing.part_scene import part_scene
from hullcut.drawing.paths import Ink, bounds, flatten
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.tiling import MARGIN, OVERLAP, Template, pages_json, tile

PAPERS = ["letter", "legal", "tabloid", "a4", "a3", Paper("own", 300.0, 500.0)]


def strips(seed):
    rng = np.random.default_rng(seed)
    sizes = [(float(rng.uniform(300, 1150)), float(rng.uniform(12, 60))) for _ in range(9)]
    return [Template(knee_scene(*size), f"Strip {k}", "pine, 12 mm thick") for k, size in enumerate(sizes)]


def boat_templates(name):
    return [Template(part_scene(part, "in"), part.name, "wood", part.id) for part in boat_of(name).parts]


def own_pages(templates, paper):
    """How many pages each template takes alone."""
    real = paper_named(paper) if isinstance(paper, str) else paper
    sheets = (Sheet(real, MARGIN), Sheet(real.turned(), MARGIN))
    return [len(best_grid(Ink(template.scene), sheets, OVERLAP).cells) for template in templates]


@pytest.fixture(scope="module", params=[("boat", "letter"), *((1, p) for p in PAPERS), (2, "letter")], ids=str)
def laid(request):
    what, paper = request.param
    templates = boat_templates("marshpenny") if what == "boat" else strips(what)
    return templates, paper, tile(templates, paper, "trial")


def runs_of(pages):
    return [page for page in pages if page.kind == "run"]


def test_every_part_is_printed_in_one_place(laid):
    templates, _, pages = laid
    kinds = {}
    for page in pages:
        for piece in page.pieces:
            kinds.setdefault(piece.template, set()).add(page.kind)
    assert sorted(kinds) == list(range(len(templates)))
    assert all(len(found) == 1 for found in kinds.values())
    assert runs_of(pages)


def test_lanes_do_not_overlap_and_hold_only_their_own_part(laid):
    _, _, pages = laid
    for page in runs_of(pages):
        windows = [shapely.box(*piece.window) for piece in page.pieces]
        for k, window in enumerate(windows):
            assert all(window.intersection(other).area < 1e-6 for other in windows[k + 1 :])
        for piece in page.pieces:
            x0, y0, x1, y1 = piece.window
            for item in piece.scene.items:
                a0, b0, a1, b1 = bounds(item)
                assert a0 >= x0 - 0.01, (page.title, item)
                assert b0 >= y0 - 0.01, (page.title, item)
                assert a1 <= x1 + 0.01, (page.title, item)
                assert b1 <= y1 + 0.01, (page.title, item)


def test_words_and_marks_of_the_pages_stand_between_the_lanes(laid):
    _, _, pages = laid
    for page in runs_of(pages):
        windows = shapely.union_all([shapely.box(*piece.window) for piece in page.pieces])
        for item in page.frame.items:
            if isinstance(item, Text) or item.ref == "register mark":
                assert shapely.box(*bounds(item)).intersection(windows).area < 1e-6, (page.title, item)


def test_windows_of_a_part_together_cover_its_outline(laid):
    templates, _, pages = laid
    shown = {}
    for page in runs_of(pages):
        for piece in page.pieces:
            x0, y0, x1, y1 = piece.window
            corners = [piece.to_template(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
            shown.setdefault(piece.template, []).append(shapely.Polygon(corners))
    for index, boxes in shown.items():
        outline = next(item for item in templates[index].scene.items if item.role is Role.CUT).paths[0]
        ring = shapely.LinearRing(flatten(outline, 0.01))
        assert ring.difference(shapely.union_all(boxes).buffer(0.01)).length < 1e-6


def test_no_page_of_a_run_has_a_sliver_of_a_part(laid):
    _, _, pages = laid
    for page in runs_of(pages):
        for piece in page.pieces:
            shapes = [item for item in piece.scene.items if isinstance(item, Shape) and item.role is Role.CUT]
            boxes = np.array([bounds(shape) for shape in shapes])
            assert boxes[:, 2].max() - boxes[:, 0].min() >= 20.0, page.title


def test_runs_take_fewer_pages_than_their_parts_alone(laid):
    templates, paper, pages = laid
    inside = sorted({piece.template for page in runs_of(pages) for piece in page.pieces})
    assert len(inside) > 3
    assert len(runs_of(pages)) < sum(own_pages([templates[index] for index in inside], paper))


def test_register_marks_of_two_sheets_are_the_same_points_of_every_part(laid):
    _, _, pages = laid
    seen = {}
    for page in runs_of(pages):
        for piece in page.pieces:
            for item in page.frame.items:
                if getattr(item, "ref", "") == "register mark":
                    x0, y0, x1, y1 = bounds(item)
                    at = piece.to_template(((x0 + x1) / 2, (y0 + y1) / 2))
                    key = (round(at[0], 4), round(at[1], 4))
                    seen.setdefault(piece.template, {}).setdefault(key, set()).add(piece.label)
    for marks in seen.values():
        labels = set.union(*marks.values())
        for first in labels:
            second = f"A{int(first[1:]) + 1}"
            if second in labels:
                assert sum({first, second} <= found for found in marks.values()) >= 2


def test_words_of_a_part_in_a_lane_are_large_enough_and_its_name_is_not_struck_through(laid):
    templates, _, pages = laid
    seen = 0
    for page in runs_of(pages):
        for piece in page.pieces:
            cuts = [item for item in piece.scene.items if isinstance(item, Shape) and item.role is Role.CUT]
            lines = [shapely.LineString(flatten(path, 0.05)) for item in cuts for path in item.paths]
            for text in (item for item in piece.scene.items if isinstance(item, Text)):
                assert text.size >= 1.8, (page.title, text.text)
                if text.ref.startswith(LINES):
                    seen += 1
                    box = shapely.box(*bounds(text)).buffer(0.4)
                    assert not any(box.intersects(line) for line in lines), (page.title, text.text)
    assert seen > 10 or not templates[0].part


def test_the_map_and_each_sheet_name_every_part_there(laid):
    templates, _, pages = laid
    told = [item.text for page in pages if page.kind == "map" for item in page.frame.items if isinstance(item, Text)]
    for page in runs_of(pages):
        words = [item.text for item in page.frame.items if isinstance(item, Text)]
        assert f"page {page.number}" in " ".join(told)
        for piece in page.pieces:
            name = templates[piece.template].name
            assert f"{name}, {piece.label}" in words
            assert any(f". {name}" in line for line in told)


def test_the_same_parts_give_the_same_pages():
    first, second = (pages_json(tile(strips(1), "a4"), strips(1), "trial") for _ in range(2))
    assert first == second


def test_a_part_alone_has_pages_of_its_own():
    pages = tile([Template(knee_scene(900.0, 40.0), "Strip")], "letter")
    assert not runs_of(pages)


def test_a_lane_speaks_of_a_joint_only_where_its_part_goes_on(laid):
    _, _, pages = laid
    told = 0
    for page in runs_of(pages):
        column = int(page.title.split(" sheet A")[1].split(" ")[0]) - 1
        words = [item.text for item in page.frame.items if isinstance(item, Text)]
        for arrow, other in (("←", column - 1), ("→", column + 1)):
            hints = sum(text.endswith(arrow) for text in words)
            there = [each for each in runs_of(pages) if each.title.split(",")[1] == page.title.split(",")[1]]
            names = {piece.template for each in there for piece in each.pieces if f" sheet A{other + 1} " in each.title}
            both = names & {piece.template for piece in page.pieces}
            assert hints <= len(both), page.title
            told += hints
    assert told > 0
