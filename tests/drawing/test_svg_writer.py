import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from io import StringIO
from pathlib import Path

import pytest
import svgelements
from trial_scenes import side_scene, swept_outline

from hullcut.drawing.furniture import BAR_100_MM, bar
from hullcut.drawing.paths import arc, bounds, circle, rectangle, scene_from, transform
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.style import BLACK, LINE_STYLES, TINTS, tint
from hullcut.drawing.svg import to_svg

PIXELS_PER_MM = 96 / 25.4
SVG = "{http://www.w3.org/2000/svg}"


def read_paths(text):
    """Bounding boxes in mm of every path, as an independent reader finds them, by the path's title."""
    found = {}
    for element in svgelements.SVG.parse(StringIO(text), ppi=96).elements():
        if isinstance(element, svgelements.Path) and len(element):
            box = [value / PIXELS_PER_MM for value in element.bbox(with_stroke=False)]
            found.setdefault(element.values["attributes"].get("id") or "path", []).append(box)
    return [box for boxes in found.values() for box in boxes]


def test_outline_and_bar_have_their_true_size():
    scene = side_scene()
    items = [*scene.items, *bar((0.0, -30.0), False, False)]
    scene = scene_from("Side", items)
    boxes = read_paths(to_svg(scene, debug=True))
    points = swept_outline()
    width = max(p[0] for p in points) - min(p[0] for p in points)
    height = max(p[1] for p in points) - min(p[1] for p in points)
    sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes]
    assert any(abs(w - width) < 0.01 and abs(h - height) < 0.01 for w, h in sizes)
    assert any(abs(w - 100.0) < 1e-3 and h < 1e-3 for w, h in sizes)


def test_comparison_with_a_wrong_scale_fails():
    scene = scene_from("bar", bar((0.0, 0.0), False, False))
    text = to_svg(scene).replace(f'width="{scene.width:g}mm"', f'width="{scene.width * 1.01:g}mm"')
    text = text.replace(f'height="{scene.height:g}mm"', f'height="{scene.height * 1.01:g}mm"')
    assert not any(abs(x1 - x0 - 100.0) < 0.5 for x0, _, x1, _ in read_paths(text))


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize(("start", "end"), [(10.0, 80.0), (200.0, -30.0), (-100.0, 100.0), (0.0, 360.0)])
def test_arcs_go_the_right_way_round(start, end, clockwise):
    shape = Shape(Role.CUT, (arc((0.0, 0.0), 20.0, start, end, clockwise),))
    ground = Shape(Role.PAGE, (rectangle(-40.0, -30.0, 40.0, 30.0),))
    scene = scene_from("arc", [shape, ground], margin=0.0)
    boxes = read_paths(to_svg(scene))
    x0, y0, x1, y1 = bounds(shape)
    wanted = (x0 + 40.0, 30.0 - y1, x1 + 40.0, 30.0 - y0)
    assert any(box == pytest.approx(wanted, abs=1e-3) for box in boxes)


def test_root_is_in_millimetres_and_nothing_is_moved_inside():
    root = ET.fromstring(to_svg(side_scene()))
    box = [float(value) for value in root.get("viewBox").split()]
    assert box[:2] == [0, 0]
    assert root.get("width") == f"{box[2]:g}mm" or float(root.get("width")[:-2]) == box[2]
    assert root.get("height").endswith("mm")
    assert root.find(f"{SVG}title").text == "Side, port"
    groups = root.findall(f"{SVG}g")
    assert [group.get("id") for group in groups] == ["cut", "hole", "mark", "label"]
    assert all("transform" not in element.attrib for element in root.iter() if element.tag != f"{SVG}text")
    assert [text.text for text in root.iter(f"{SVG}text")] == ["Side, port ⅜ 5⁄16 in"]


def test_no_minus_zero_and_at_most_four_decimals():
    text = to_svg(side_scene())
    data = " ".join(e.get("d") for e in ET.fromstring(text).iter(f"{SVG}path"))
    numbers = data.translate(str.maketrans("MLCAZ", "     ")).split()
    assert len(numbers) > 50
    assert all(number != "-0" and len(number.partition(".")[2]) <= 4 for number in numbers)


def test_groups_keep_what_is_in_front():
    lower = Shape(Role.CUT, (rectangle(0, 0, 10, 10),), fill="#ffffff")
    words = Text(Role.LABEL, (1.0, 1.0), "x", 3.0)
    upper = Shape(Role.CUT, (rectangle(0, 0, 5, 5),), fill="#eeeeee")
    apart = Shape(Role.CUT, (rectangle(50, 0, 60, 5),), fill="#eeeeee")
    root = ET.fromstring(to_svg(scene_from("", [lower, words, upper])))
    assert [g.get("id") for g in root.findall(f"{SVG}g")] == ["cut", "label", "cut-2"]
    root = ET.fromstring(to_svg(scene_from("", [lower, words, apart])))
    assert [g.get("id") for g in root.findall(f"{SVG}g")] == ["cut", "label"]


def test_turned_circle_does_not_vanish():
    shape = transform(Shape(Role.HOLE, (circle((5.0, 0.0), 3.0),)), angle_deg=33.3)
    (box,) = read_paths(to_svg(scene_from("", [shape])))
    assert box[2] - box[0] == pytest.approx(6.0, abs=1e-3)


def test_operations_differ_without_colour():
    cutting = [LINE_STYLES[role] for role in (Role.CUT, Role.MARK, Role.TRUE_LINE, Role.CENTRE)]
    assert len({(style.width, style.dash) for style in cutting}) == 4
    widths = {style.width for style in LINE_STYLES.values()}
    assert widths <= {0.0, 0.25, 0.35, 0.5, 0.7}


def luminance(colour):
    """Relative luminance by WCAG 2.1."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
    return sum(weight * v for weight, v in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_black_text_reads_on_every_tint():
    for colour in TINTS:
        assert (luminance(colour) + 0.05) / (luminance(BLACK) + 0.05) >= 7.0
    assert tint(len(TINTS)) == tint(0)


def test_every_writer_gives_the_same_bytes_whatever_the_hash_seed():
    script = (
        "import hashlib, trial_scenes\n"
        "from hullcut.drawing.svg import to_svg\n"
        "from hullcut.drawing.dxf import to_dxf\n"
        "from hullcut.drawing.tiling import templates_pdf\n"
        "s = trial_scenes.side_scene()\n"
        "t = trial_scenes.trial_templates()\n"
        "for data in (to_svg(s).encode(), to_dxf(s).encode(), templates_pdf(t, 'a4', 'bramblefin')):\n"
        "    print(hashlib.sha256(data).hexdigest())\n"
    )
    here = Path(__file__).parent
    outputs = []
    for seed in ("1", "4242"):
        path = os.pathsep.join((str(here), str(here.parents[1])))
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path}
        done = subprocess.run(
            [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
        )
        outputs.append(done.stdout.split())
    assert len(outputs[0]) == 3
    assert outputs[0] == outputs[1]


def test_refs_are_told_as_titles():
    text = to_svg(scene_from("", bar((0.0, 0.0), True, False)))
    assert f"<title>{BAR_100_MM}</title>" in text
