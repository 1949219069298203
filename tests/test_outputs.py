"""What `hullcut make` writes, read back by independent readers and held against plan.json."""

import csv
import hashlib
import io
import json
import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import ezdxf.filemanagement
import numpy as np
import pdfplumber
import pytest
import shapely
import svgelements

from hullcut.drawing.measured_scene import is_plain
from hullcut.drawing.part_scene import part_scene
from hullcut.drawing.tiling import Template, pages_pdf, tile
from hullcut.pipeline import Wishes, make_files
from tests.conftest import SAMPLES, planned
from tests.reading import MM, read_lines

TENTH = 0.1
PICTURES = ("three-views", "exploded", "from-ahead", "from-astern", "keel-up")
# The reader takes a millimetre as 0.0393701 in, at 96 to the inch.
PX_PER_MM = 96 * 0.0393701


@pytest.fixture(scope="module", params=["bramblefin", "marshpenny"])
def made(request, tmp_path_factory):
    """A sample, made once: its folder and its plan as JSON."""
    folder = tmp_path_factory.mktemp(request.param)
    make_files(SAMPLES / f"{request.param}.toml", "all", Wishes(folder / "out"))
    return folder / "out", json.loads((folder / "out" / "plan.json").read_text())


def test_every_promised_file_is_there_and_listed(made):
    folder, plan = made
    written = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    sheets = [sheet["number"] for sheet in plan["layout"]]
    promised = {
        "packet.pdf",
        "templates.pdf",
        "templates.json",
        "plan.json",
        "plan.schema.json",
        "parts.csv",
        "shopping.csv",
    }
    promised |= {"manifest.json", "organiser.pdf", "card_model.pdf", "measures.pdf", "rack_after.toml"}
    promised |= {f"parts/{part['id']}.svg" for part in plan["parts"]}
    promised |= {f"pictures/{name}.svg" for name in PICTURES}
    promised |= {f"sheets/{number}.{kind}" for number in sheets for kind in ("svg", "dxf")}
    assert written == promised
    manifest = json.loads((folder / "manifest.json").read_text())
    listed = {each["file"]: each["sha256"] for each in manifest["files"]}
    assert set(listed) == written - {"manifest.json"}
    for name, digest in listed.items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest


def svg_paths(path, title):
    """Boxes, mm, of the paths of an SVG that stand for a part, cut or hole."""
    drawing = svgelements.SVG.parse(path, ppi=96)
    groups = [e for e in drawing.elements() if isinstance(e, svgelements.Group) and e.id == title]
    assert groups
    boxes = []
    for group in groups:
        shapes = group.select(lambda e: isinstance(e, svgelements.Shape))
        boxes += [[value / PX_PER_MM for value in shape.bbox(with_stroke=False)] for shape in shapes]
    return boxes


def test_every_part_svg_is_at_true_scale(made):
    folder, plan = made
    for part in plan["parts"]:
        file = folder / "parts" / f"{part['id']}.svg"
        head = file.read_text()[:600]
        assert "mm" in head.split('width="')[1].split('"')[0]
        outline = np.array(part["outline"])
        wanted = outline.max(axis=0) - outline.min(axis=0)
        found = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in svg_paths(str(file), "cut")]
        assert any(abs(w - wanted[0]) < TENTH and abs(h - wanted[1]) < TENTH for w, h in found), part["id"]


def test_every_sheet_svg_and_dxf_hold_the_sheet_at_true_scale(made):
    folder, plan = made
    for sheet in plan["layout"]:
        found = svg_paths(str(folder / "sheets" / f"{sheet['number']}.svg"), "stock")
        sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in found]
        assert any(abs(w - sheet["length"]) < TENTH and abs(h - sheet["width"]) < TENTH for w, h in sizes)
        document = ezdxf.filemanagement.readfile(folder / "sheets" / f"{sheet['number']}.dxf")
        assert document.header["$INSUNITS"] == 4
        assert not document.audit().errors
        stock = [e for e in document.modelspace().query("LWPOLYLINE") if e.dxf.layer == "stock"]
        boxes = [np.ptp(np.array([(x, y) for x, y, *_ in e.get_points()]), axis=0) for e in stock]
        assert any(np.allclose(box, (sheet["length"], sheet["width"]), atol=TENTH) for box in boxes)


def test_every_piece_is_cut_in_the_dxf_at_its_true_area(made):
    folder, plan = made
    parts = {part["id"]: part for part in plan["parts"]}
    for sheet in plan["layout"]:
        document = ezdxf.filemanagement.readfile(folder / "sheets" / f"{sheet['number']}.dxf")
        cut = [e for e in document.modelspace().query("LWPOLYLINE") if e.dxf.layer == "cut"]
        assert all(e.closed for e in cut)
        areas = sorted(abs(e_area(e)) for e in cut)
        wanted = sorted(shapely.Polygon(parts[p["part"]]["outline"]).area for p in sheet["placements"])
        assert len(areas) == len(wanted)
        assert areas == pytest.approx(wanted, rel=2e-3, abs=1.0)


def e_area(polyline):
    from ezdxf import path

    points = [(v.x, v.y) for v in path.make_path(polyline).flattening(0.01)]
    return shapely.Polygon(points).area


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("slug", ["bottom", "side-port", "fore-deck", "transom"])
def test_tiles_laid_together_give_the_part_over_the_seams(slug, paper):
    plan = planned("bramblefin").boat_plans[0]
    part = next(part for part in plan.parts if part.id == f"bramblefin-{slug}")
    pages = tile([Template(part_scene(part, "in"), part.name)], paper, "bramblefin")
    outline = shapely.LinearRing(part.outline)
    found = []
    with pdfplumber.open(BytesIO(pages_pdf(pages, "bramblefin"))) as document:
        for page, printed in zip(pages, document.pages, strict=True):
            for piece in page.pieces:
                x0, y0, x1, y1 = piece.window
                for width, run in read_lines(printed):
                    inside = all(x0 - 0.01 <= x <= x1 + 0.01 and y0 - 0.01 <= y <= y1 + 0.01 for x, y in run)
                    if abs(width - 0.5) < 0.01 and inside:
                        found.append(shapely.LineString([piece.to_template(p) for p in run]))
    together = shapely.union_all(found)
    assert outline.difference(together.buffer(0.05)).length < 0.5
    near = together.intersection(outline.buffer(0.05))
    assert near.bounds == pytest.approx(outline.bounds, abs=TENTH)


def test_the_bar_of_the_templates_is_100_mm_on_every_page(made):
    folder, _ = made
    with pdfplumber.open(folder / "templates.pdf") as document:
        for page in document.pages:
            lengths = [abs(b[0] - a[0]) for _, run in read_lines(page) if len(run) == 2 for a, b in [run]]
            assert any(abs(length - 100.0) < 0.01 for length in lengths)


def test_no_text_of_the_templates_leaves_its_page(made):
    folder, _ = made
    with pdfplumber.open(folder / "templates.pdf") as document:
        assert len(document.pages) > 3
        for page in document.pages:
            for char in page.chars:
                assert char["x0"] >= 0
                assert char["x1"] <= page.width
                assert char["top"] >= 0
                assert char["bottom"] <= page.height


def test_every_part_is_in_the_templates_as_a_pattern_or_by_its_measures(made):
    folder, plan = made
    with pdfplumber.open(folder / "templates.pdf") as document:
        text = " ".join((page.extract_text() or "").replace("\n", " ") for page in document.pages)
    for part in plan["parts"]:
        assert part["name"].split(",")[0] in text


def test_only_plain_rectangles_go_without_a_pattern():
    parts = planned("marshpenny").boat_plans[0].parts
    plain = [part for part in parts if is_plain(part)]
    assert plain
    for part in plain:
        assert part.area == pytest.approx(part.finished_length * part.finished_width, rel=1e-6)
    assert not [part for part in plain if part.family in ("side", "bottom", "transom", "deck")]


def test_lists_agree_with_the_plan(made):
    folder, plan = made
    with (folder / "parts.csv").open(newline="") as file:
        rows = {row["part"]: row for row in csv.DictReader(file)}
    assert set(rows) == {part["id"] for part in plan["parts"]}
    for part in plan["parts"]:
        assert int(rows[part["id"]]["quantity"]) == part["quantity"]
        assert float(rows[part["id"]]["thickness_mm"]) == pytest.approx(part["thickness"], abs=0.06)
    with (folder / "shopping.csv").open(newline="") as file:
        bought = {row["stock"]: int(row["count"]) for row in csv.DictReader(file)}
    used: dict[str, int] = {}
    for sheet in plan["layout"]:
        used[sheet["stock"]] = used.get(sheet["stock"], 0) + 1
    assert bought == used


def digests(folder):
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_same_input_same_bytes_from_another_folder_and_with_another_hash_seed(made, tmp_path):
    folder, plan = made
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    sample = SAMPLES / f"{plan['name']}.toml"
    here = os.path.relpath(sample, elsewhere)
    environment = {**os.environ, "PYTHONHASHSEED": "4711", "PYTHONPATH": str(Path(__file__).parents[1])}
    command = [sys.executable, "-m", "hullcut.cli", "make", here, "--out", "again"]
    done = subprocess.run(command, cwd=elsewhere, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert digests(elsewhere / "again") == digests(folder)


def test_a_failed_check_is_stamped_on_every_page_when_made_anyway(tmp_path):
    text = (SAMPLES / "bramblefin.toml").read_text().replace('flat_to = "23 1/2 in"', "flat_to = 28")
    (tmp_path / "sharp.toml").write_text(text)
    nothing = make_files(tmp_path / "sharp.toml", "all", Wishes(tmp_path / "out"))
    assert nothing.paths == ()
    assert not (tmp_path / "out").exists()
    make_files(tmp_path / "sharp.toml", "all", Wishes(tmp_path / "out", anyway=True))
    for name in ("packet.pdf", "templates.pdf", "organiser.pdf"):
        with pdfplumber.open(tmp_path / "out" / name) as document:
            for page in document.pages:
                assert "CHECK FAILED" in page.extract_text(), (name, page.page_number)
    for name in PICTURES:
        assert "CHECK FAILED" in (tmp_path / "out" / "pictures" / f"{name}.svg").read_text(), name
    drawings = [*(tmp_path / "out" / "parts").glob("*.svg"), *(tmp_path / "out" / "sheets").glob("*.svg")]
    machine = list((tmp_path / "out" / "sheets").glob("*.dxf"))
    assert len(drawings) > 30
    assert len(machine) > 5
    for path in drawings:
        assert path.read_text().count("CHECK FAILED") >= 2, path.name  # its title, and on the drawing
    for path in machine:
        space = ezdxf.filemanagement.readfile(path).modelspace()
        (stamp,) = [text for text in space.query("TEXT") if "CHECK FAILED" in text.dxf.text]
        # Above the stock, on the layer of words that no tool follows.
        assert stamp.dxf.layer == "label"
        assert stamp.dxf.insert.y > max(point[1] for line in space.query("LWPOLYLINE") for point in line.get_points())


def test_letter_and_a4_are_what_they_say(tmp_path):
    for paper, size in (("letter", (215.9, 279.4)), ("a4", (210.0, 297.0))):
        make_files(SAMPLES / "ten_lines.toml", "packet", Wishes(tmp_path / paper, paper=paper))
        with pdfplumber.open(tmp_path / paper / "packet.pdf") as document:
            page = document.pages[0]
            assert (float(page.width) * MM, float(page.height) * MM) == pytest.approx(size, abs=0.01)


def test_larger_paper_is_for_what_is_cut_out_alone():
    from hullcut.drawing.paper import printing_of
    from hullcut.files import _card_file, _measures_file

    plan = planned("ten_lines")
    plans = plan.boat_plans
    printing = printing_of("tabloid", plan.order.units)
    found = {**_card_file(plans, plans[0], printing), **_measures_file(plans, plans[0], printing)}
    sizes = {}
    for name, data in found.items():
        with pdfplumber.open(io.BytesIO(data)) as document:
            sizes[name] = {tuple(sorted((round(p.width / 72, 2), round(p.height / 72, 2)))) for p in document.pages}
    assert sizes == {"card_model.pdf": {(11.0, 17.0)}, "measures.pdf": {(8.5, 11.0)}}


def test_bevels_stand_in_the_parts_list():
    from hullcut.files import parts_csv

    rows = {row["part"]: row for row in csv.DictReader(io.StringIO(parts_csv(planned("marshpenny"))))}
    assert "sheer: bevel 10.0°, 1/32 in (1.1 mm), outer face longer" in rows["marshpenny-side-port"]["bevels"]
    assert rows["marshpenny-strut-pad"]["bevels"] == ""


def test_only_the_process_with_the_terminal_tells_of_progress(tmp_path):
    told = tmp_path / "told"

    def progress(words):
        with told.open("a") as file:
            file.write(f"{os.getpid()} {words}\n")

    make_files(SAMPLES / "ten_lines.toml", "templates", Wishes(out=tmp_path / "out"), progress)
    lines = told.read_text().splitlines()
    assert f"{os.getpid()} drawing the templates" in lines
    assert {line.split()[0] for line in lines} == {str(os.getpid())}
