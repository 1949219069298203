from io import BytesIO

import pdfplumber
import pypdfium2
import pytest
import shapely
from sample_hulls import boat_of
from trial_scenes import knee_scene, swept_outline, trial_templates

from hullcut.drawing.furniture import BAR_4_IN, BAR_100_MM, cell_name, row_name
from hullcut.drawing.paper import PAPERS
from hullcut.drawing.part_scene import part_scene
from hullcut.drawing.paths import Ink, bounds, flatten, polygon, polyline, scene_from
from hullcut.drawing.pdf import one_page
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.tiling import Template, pages_pdf, templates_pdf, tile
from tests.reading import MM, read_lines


@pytest.fixture(scope="module", params=["letter", "a4"])
def printed(request):
    templates = trial_templates()
    pages = tile(templates, request.param, "bramblefin")
    with pdfplumber.open(BytesIO(pages_pdf(pages, "bramblefin"))) as document:
        yield templates, pages, document.pages


def test_every_page_has_both_bars_at_true_size(printed):
    _, pages, read = printed
    assert len(pages) == len(read)
    for page in read:
        runs = [run for _, run in read_lines(page) if len(run) == 2]
        lying = [abs(b[0] - a[0]) for a, b in runs if abs(b[1] - a[1]) < 1e-3]
        assert any(abs(length - 100.0) < 0.01 for length in lying)
        assert any(abs(length - 101.6) < 0.01 for length in lying)


def test_check_page_has_bars_in_both_directions(printed):
    _, pages, read = printed
    assert pages[0].kind == "check"
    runs = [run for _, run in read_lines(read[0]) if len(run) == 2]
    standing = [abs(b[1] - a[1]) for a, b in runs if abs(b[0] - a[0]) < 1e-3]
    assert any(abs(length - 100.0) < 0.01 for length in standing)
    assert any(abs(length - 101.6) < 0.01 for length in standing)
    assert "measure me" in read[0].extract_text()


def reassembled(printed, index):
    """The cut lines of one template read from all its pages, in template coordinates."""
    _, pages, read = printed
    lines = []
    for page, paper in zip(pages, read, strict=True):
        for piece in page.pieces:
            if piece.template != index:
                continue
            x0, y0, x1, y1 = piece.window
            for width, run in read_lines(paper):
                inside = all(x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01 for x, y in run)
                if abs(width - 0.5) < 0.01 and inside:
                    lines.append(shapely.LineString([piece.to_template(p) for p in run]))
    return shapely.union_all(lines)


@pytest.mark.parametrize("index", [0, 1])
def test_pages_laid_together_show_the_whole_outline(printed, index):
    templates, _, _ = printed
    path = next(item for item in templates[index].scene.items if item.role is Role.CUT).paths[0]
    outline = shapely.LinearRing(flatten(path, 0.001))
    got = reassembled(printed, index)
    assert outline.hausdorff_distance(got) < 0.1
    # Over the seams too: each stretch of the outline is there, not only near something else.
    assert outline.difference(got.buffer(0.05)).length < 1e-6
    assert got.bounds == pytest.approx(outline.bounds, abs=0.01)


def test_reassembly_sees_a_page_that_is_missing_or_shifted(printed):
    templates, pages, read = printed
    outline = shapely.LinearRing(swept_outline())
    tiles = [k for k, page in enumerate(pages) if page.kind == "tile" and page.pieces[0].template == 0]
    keep = [k for k in range(len(pages)) if k != tiles[len(tiles) // 2]]
    partial = ([], [pages[k] for k in keep], [read[k] for k in keep])
    assert outline.difference(reassembled((templates, *partial[1:]), 0).buffer(0.5)).length > 50


def test_register_marks_of_neighbours_are_the_same_points(printed):
    _, pages, _ = printed
    seen = {}
    for page in pages:
        for piece in page.pieces:
            for item in page.frame.items:
                if isinstance(item, Shape) and item.ref == "register mark":
                    x0, y0, x1, y1 = bounds(item)
                    at = piece.to_template(((x0 + x1) / 2, (y0 + y1) / 2))
                    key = (piece.template, round(at[0], 4), round(at[1], 4))
                    seen.setdefault(key, set()).add(piece.label)
    assert len(seen) > 20
    assert all(len(labels) >= 2 for labels in seen.values())


def test_marks_and_bars_of_the_page_stand_inside_the_margins(printed):
    _, pages, _ = printed
    for page in pages:
        for item in page.frame.items:
            x0, y0, x1, y1 = bounds(item)
            assert x0 >= 12.0 - 1e-6
            assert y0 >= 12.0 - 1e-6
            assert x1 <= page.frame.x1 - 12.0 + 1e-6
            assert y1 <= page.frame.y1 - 12.0 + 1e-6
        boxes = [piece.window for piece in page.pieces]
        for k, a in enumerate(boxes):
            for b in boxes[k + 1 :]:
                assert shapely.box(*a).intersection(shapely.box(*b)).area == 0


def test_maps_name_the_page_on_which_each_piece_stands(printed):
    _, pages, read = printed
    words = " ".join(p.extract_text() for page, p in zip(pages, read, strict=True) if page.kind == "map")
    tiles = [page for page in pages if page.kind == "tile"]
    assert tiles
    for page in tiles:
        assert f"page {page.number}" in words
        assert page.pieces[0].label in words


def test_blank_pages_are_left_out_and_no_ink_is_lost():
    thin = scene_from("Frame", [Shape(Role.CUT, (polygon([(0, 0), (900, 0), (900, 900), (0, 900)]),))])
    pages = [page for page in tile([Template(thin, "Frame")], "letter") if page.kind == "tile"]
    labels = [page.pieces[0].label for page in pages]
    assert "B2" not in labels
    assert {"A1", "A2", "B1"} <= set(labels)


def test_small_parts_share_pages_and_are_never_scaled():
    templates = [Template(knee_scene(60.0 + k, 30.0), f"Knee {k}") for k in range(12)]
    pages = tile(templates, "a4")
    shared = [page for page in pages if page.kind == "shared"]
    assert len(shared) == 1
    pieces = sorted(shared[0].pieces, key=lambda piece: piece.template)
    assert [piece.template for piece in pieces] == list(range(12))
    for piece, template in zip(pieces, templates, strict=True):
        box, wanted = Ink(piece.scene).box(), Ink(template.scene).box()
        sizes = sorted((box[2] - box[0], box[3] - box[1]))
        assert sizes == pytest.approx(sorted((wanted[2] - wanted[0], wanted[3] - wanted[1])))


def test_part_just_larger_than_the_paper_is_spread():
    tall = PAPERS["a4"].height - 24 - 18
    fits = tile([Template(knee_scene(tall - 7, 60.0), "Fits")], "a4")
    assert [page.kind for page in fits] == ["check", "shared"]
    over = tile([Template(knee_scene(tall + 60, 60.0), "Over")], "a4")
    assert [page.kind for page in over] == ["check", "map", "tile", "tile"]


def test_pages_embed_their_fonts_and_ask_not_to_be_scaled():
    data = templates_pdf(trial_templates(), "letter", "bramblefin")
    assert b"/PrintScaling /None" in data
    assert b"/FontFile2" in data
    assert b"/Lang" in data
    document = pypdfium2.PdfDocument(data)
    assert document.get_metadata_value("Title") == "bramblefin: templates"
    assert len(list(document.get_toc())) == len(document)
    document.close()


def test_one_page_a_scene_has_the_scene_size():
    scene = knee_scene(345.0, 123.0)
    document = pypdfium2.PdfDocument(one_page([scene, knee_scene(50.0, 20.0)]))
    sizes = [document.get_page_size(k) for k in range(2)]
    document.close()
    assert sizes[0] == pytest.approx((355.0 / MM, 133.0 / MM), abs=1e-3)
    assert sizes[1] == pytest.approx((60.0 / MM, 30.0 / MM), abs=1e-3)


def test_bars_are_named():
    refs = {item.ref for item in tile([Template(knee_scene(50, 20), "Knee")], "a4")[1].frame.items}
    assert {BAR_100_MM, BAR_4_IN} <= refs


def test_names_of_rows_and_cells():
    assert [row_name(k) for k in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]
    assert cell_name(1, 2) == "B3"


def test_unknown_or_too_small_paper_is_refused():
    with pytest.raises(ValueError, match="letter, legal, tabloid, a4, a3"):
        tile([Template(knee_scene(50, 20), "Knee")], "foolscap")
    with pytest.raises(ValueError, match="too small"):
        tile([Template(knee_scene(50, 20), "Knee")], "a4", margin=90.0)


def test_long_captions_keep_inside_the_page():
    long = "a very long name of a part that nobody would give in earnest, " * 3
    pages = tile([Template(knee_scene(50, 20), long, long), Template(knee_scene(900, 60), long, long)], "a4")
    assert [page.kind for page in pages][:2] == ["check", "map"]
    for page in pages:
        assert all(bounds(item)[2] <= page.frame.x1 - 12.0 + 1e-6 for item in page.frame.items)


def runs_of(items):
    """Every stroked line of some items."""
    return [
        shapely.LineString([*run, *run[:1]] if path.closed else run)
        for item in items
        if isinstance(item, Shape) and item.stroke != "none"
        for path in item.paths
        for run in [flatten(path, 0.05)]
        if len(run) > 1
    ]


@pytest.fixture(scope="module")
def side_pages():
    boat = boat_of("marshpenny")
    sides = [part for part in boat.parts if part.family in ("side", "bottom")]
    templates = [Template(part_scene(part, "in"), part.name, "", part.id) for part in sides]
    return [page for page in tile(templates, "letter", "trial") if page.kind == "tile"]


def test_words_on_tiles_keep_clear_of_register_marks_and_grain_arrows(side_pages):
    seen = 0
    for page in side_pages:
        items = [item for piece in page.pieces for item in piece.scene.items]
        marks = runs_of(item for item in page.frame.items if getattr(item, "ref", "") == "register mark")
        arrows = runs_of(item for item in items if getattr(item, "ref", "").endswith(" grain"))
        for text in (item for item in items if isinstance(item, Text)):
            box = shapely.box(*bounds(text))
            assert not any(box.intersects(line) for line in (*marks, *arrows)), (page.title, text.text)
            seen += 1
    assert seen > 40


def test_hints_at_the_joins_keep_clear_of_the_part_where_they_can(side_pages):
    struck = told = 0
    for page in side_pages:
        lines = shapely.STRtree(runs_of(item for piece in page.pieces for item in piece.scene.items))
        for text in (item for item in page.frame.items if isinstance(item, Text) and "join" in item.text):
            told += 1
            struck += bool(len(lines.query(shapely.box(*bounds(text)), predicate="intersects")))
    assert told > 20
    assert struck <= 0.1 * told


def test_joints_keep_off_the_centre_line_without_a_page_more():
    """A frame wider than the paper, its centre line where the middle joint would be."""
    outline = Shape(Role.CUT, (polygon([(0, 0), (300, 0), (300, 90), (0, 90)]),))
    centre = Shape(Role.CENTRE, (polyline([(150, 0), (150, 90)]),))
    plain = tile([Template(scene_from("Frame", [outline]), "Frame")], "letter")
    pages = tile([Template(scene_from("Frame", [outline, centre]), "Frame")], "letter")
    assert [page.kind for page in pages] == [page.kind for page in plain]
    offs = []
    for page in pages:
        joints = [item for item in page.frame.items if getattr(item, "ref", "") == "joining line"]
        for piece in page.pieces:
            for joint in joints:
                x0, y0, x1, y1 = bounds(joint)
                offs.append(abs(piece.to_template(((x0 + x1) / 2, (y0 + y1) / 2))[0] - 150.0))
    assert len(offs) == 2
    assert min(offs) >= 9.9


def test_maps_say_how_large_the_joined_pattern_is_in_letters_of_seven_points():
    frame = scene_from("Frame", [Shape(Role.CUT, (polygon([(0, 0), (900, 0), (900, 60), (0, 60)]),))])
    templates = [Template(frame, "Frame", "yellow poplar, 6 mm thick, " * 4, "", "900 mm x 60 mm")] * 7
    pages = [page for page in tile(templates, "letter") if page.kind == "map"]
    texts = [item for page in pages for item in page.frame.items if isinstance(item, Text)]
    told = [text for text in texts if "this pattern joined: 900 mm x 60 mm" in text.text]
    assert len(told) == 7
    # All but the foot of the page.
    assert min(text.size for text in texts if text.at[1] > 12.0 + 18.0) / MM >= 7.0


def test_the_first_page_tells_where_the_lists_stand():
    templates = [
        Template(knee_scene(50, 20), "Knee"),
        Template(knee_scene(900, 60), "Long knee"),
        Template(knee_scene(160, 200), "Slanting edges", "a list to read", is_list=True),
    ]
    pages = tile(templates, "letter", "trial")
    at = next(page.number for page in pages for piece in page.pieces if piece.template == 2)
    told = " ".join(item.text for item in pages[0].frame.items if isinstance(item, Text))
    assert f"Lists to read: Slanting edges on page {at}." in told
    assert "Knee" not in told


def test_each_side_of_a_joint_is_told_in_one_form_that_the_first_page_explains(side_pages):
    told = {
        item.text.split(" ")[0].rstrip(",") + (" here" if " here" in item.text else "")
        for page in side_pages
        for item in page.frame.items
        if isinstance(item, Text) and any(arrow in item.text for arrow in "←→↑↓")
    }
    assert {"cut here", "lay here"} <= told <= {"cut here", "lay here", "cut", "lay"}
    first = tile([Template(knee_scene(900, 60), "Knee")], "letter")[0]
    words = " ".join(item.text for item in first.frame.items if isinstance(item, Text))
    assert all(f"“{each}”" in words for each in told)


def test_a_hint_at_a_joint_is_not_struck_lengthwise_by_a_line_that_runs_beside_the_joint():
    """Two pages filled to their rims, so that the joint cannot leave the line that runs in its strip."""
    wide, high = 371.0, 462.0
    outline = Shape(Role.CUT, (polygon([(0, 0), (wide, 0), (wide, high), (0, high)]),))
    beside = Shape(Role.THIN, (polyline([(wide / 2 + 2.5, 0), (wide / 2 + 2.5, high)]),))
    pages = tile([Template(scene_from("Frame", [outline, beside], margin=0.0), "Frame")], "letter")
    assert [page.kind for page in pages].count("tile") == 4
    told = 0
    for each in pages:
        if each.kind != "tile":
            continue
        drawn = shapely.STRtree(runs_of(item for piece in each.pieces for item in piece.scene.items))
        for text in (item for item in each.frame.items if isinstance(item, Text) and "joins" in item.text):
            assert not len(drawn.query(shapely.box(*bounds(text)), predicate="intersects")), each.title
            told += 1
    assert told == 8
