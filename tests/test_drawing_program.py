"""SVG files as a drawing program of the desktop opens them: size, layers by name, titles."""

import subprocess
import xml.etree.ElementTree as ET
from functools import cache
from shutil import which

import pytest

from tests.conftest import made, planned

PROGRAM = which("inkscape")
NAMES = {"svg": "http://www.w3.org/2000/svg", "inkscape": "http://www.inkscape.org/namespaces/inkscape"}
PX = 96.0 / 25.4
FILES = ("parts/bramblefin-side-port.svg", "sheets/2.svg", "pictures/exploded.svg")


@cache
def boxes(file, folder):
    """What the program reports of every object: its box in px by its id."""
    path = folder / file.replace("/", "-")
    path.write_bytes(made("bramblefin")[file])
    run = subprocess.run([PROGRAM, "--query-all", path], capture_output=True, text=True, check=True, timeout=60)
    rows = [line.split(",") for line in run.stdout.splitlines() if line.count(",") == 4]
    return {name: tuple(float(value) for value in values) for name, *values in rows}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("drawn")


@pytest.mark.skipif(PROGRAM is None, reason="the drawing program is not installed")
@pytest.mark.parametrize("file", FILES)
def test_the_program_finds_every_layer_at_its_size(file, folder):
    root = ET.fromstring(made("bramblefin")[file])
    layers = [g for g in root.findall("svg:g", NAMES) if g.get(f"{{{NAMES['inkscape']}}}groupmode") == "layer"]
    assert len(layers) >= 2
    found = boxes(file, folder)
    assert {layer.get("id") for layer in layers} <= set(found)
    width = float(root.get("width").removesuffix("mm"))
    height = float(root.get("height").removesuffix("mm"))
    # Everything drawn is on the page, to half the widest line.
    for layer in layers:
        x, y, w, h = found[layer.get("id")]
        assert x >= -0.6 * PX
        assert y >= -0.6 * PX
        assert x + w <= (width + 0.6) * PX
        assert y + h <= (height + 0.6) * PX


@pytest.mark.skipif(PROGRAM is None, reason="the drawing program is not installed")
def test_a_part_is_as_long_in_the_program_as_in_the_plan(folder):
    found = boxes(FILES[0], folder)
    part = next(p for p in planned("bramblefin").boat_plans[0].parts if p.id == "bramblefin-side-port")
    _, _, width, height = found["cut"]
    xs, ys = zip(*part.outline, strict=True)
    # The program's box reaches to the outer side of the line, which is 0.5 mm wide.
    assert width / PX == pytest.approx(max(xs) - min(xs) + 0.5, abs=0.4)
    assert height / PX == pytest.approx(max(ys) - min(ys) + 0.5, abs=0.1)


@pytest.mark.parametrize("file", FILES)
def test_layers_and_drawing_have_titles_for_screen_readers(file):
    root = ET.fromstring(made("bramblefin")[file])
    assert root.find("svg:title", NAMES).text
    assert root.get("width").endswith("mm")
    assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"
    layers = [g for g in root.findall("svg:g", NAMES) if g.get(f"{{{NAMES['inkscape']}}}groupmode") == "layer"]
    for layer in layers:
        label = layer.get(f"{{{NAMES['inkscape']}}}label")
        assert label
        assert layer.find("svg:title", NAMES).text == label
    assert len({layer.get("id") for layer in layers}) == len(layers)
