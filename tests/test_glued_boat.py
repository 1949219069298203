"""A boat with sides from two boards each, all the way: plan.json, packet, templates, cutting plan, lists."""

import json
import math
from dataclasses import replace

import jsonschema
import pytest
import shapely
from shapely import affinity

from hullcut.drawing.measure_pages import measures_pdf
from hullcut.drawing.part_scene import part_caption, part_scene
from hullcut.drawing.paths import bounds, text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.sheet_scene import sheet_scene
from hullcut.files import parts_csv
from hullcut.nesting.glue_up import glue_up
from hullcut.packet.joining import GLUE_WASTE, bonds, bonds_by_step, grams
from hullcut.packet.lists import glue_grams
from hullcut.packet.pace import CLAMP_EVERY, clamps_for, minutes_for
from hullcut.packet.packet import packet_pdf
from hullcut.packet.steps import building_steps
from hullcut.packet.steps_glue import glue_up_picture
from hullcut.packet.workshop import _FOR
from hullcut.plan import parts_json, plan_json, plan_schema, to_text
from hullcut.stock.glues import glue
from tests.conftest import planned
from tests.glued_boats import glued_plan, narrow_text
from tests.glyphs import outside, overlaps, read_pages
from tests.packet.test_building_steps import MOST_WORDS, sentences, word_count
from tests.packet.test_reading import GRADE, grade

SIDES = ("bramblefin-side-port", "bramblefin-side-starboard")


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("glued")


@pytest.fixture
def glued(folder):
    """The plan of the boat."""
    return glued_plan(folder)


@pytest.fixture
def plan(glued):
    """The same as any program reads it."""
    return json.loads(to_text(plan_json(glued)))


def steps_of(boat):
    return building_steps(boat)


def test_the_plan_tells_of_strips_and_holds_against_the_schema(plan):
    jsonschema.validate(plan, plan_schema())
    parts = {part["id"]: part for part in plan["parts"]}
    glued = {name: part["glued_up"] for name, part in parts.items() if "glued_up" in part}
    assert tuple(glued) == SIDES
    for name, each in glued.items():
        assert [parts[strip["part"]]["strip_of"] for strip in each["strips"]] == [name, name]
        assert all(parts[strip["part"]]["quantity"] == parts[name]["quantity"] for strip in each["strips"])
        (x0, y0), (x1, y1) = each["joint"]
        assert y0 == y1
        assert each["area"] == pytest.approx((x1 - x0) * parts[name]["thickness"], rel=1e-6)


def test_the_strips_planed_and_put_together_hold_the_outline(plan):
    parts = {part["id"]: part for part in plan["parts"]}
    for name in SIDES:
        each = parts[name]["glued_up"]
        placed = [
            affinity.translate(shapely.Polygon(parts[strip["part"]]["outline"]), strip["x"], strip["y"])
            for strip in each["strips"]
        ]
        joint = each["joint"][0][1]
        spare = [placed[0].bounds[3] - joint, joint - placed[1].bounds[1]]
        assert spare == pytest.approx([each["allowance"]] * 2, abs=1e-5)
        halves = ((*placed[0].bounds[:3], joint), (placed[1].bounds[0], joint, *placed[1].bounds[2:]))
        blank = shapely.union_all([shapely.box(*half) for half in halves])
        outline = shapely.Polygon(parts[name]["outline"])
        assert blank.buffer(1e-5).covers(outline.buffer(plan["rules"]["clearance"] * (1 - 1e-6)))


def test_the_strips_lie_on_the_boards_in_the_part_s_stead(plan):
    """Replayed from the plan alone: every piece in its blank, every blank freed by the cuts."""
    parts = {part["id"]: part for part in plan["parts"]}
    placed = {}
    for sheet in plan["layout"]:
        pieces = {"0": (0.0, 0.0, sheet["length"], sheet["width"])}
        for cut in sheet["cuts"]:
            x0, y0, x1, y1 = pieces.pop(cut["piece"])
            half = plan["rules"]["kerf"] / 2.0
            if cut["y0"] == cut["y1"]:
                sides = [(x0, y0, x1, cut["y0"] - half), (x0, cut["y0"] + half, x1, y1)]
            else:
                sides = [(x0, y0, cut["x0"] - half, y1), (cut["x0"] + half, y0, x1, y1)]
            made = [side for side in sides if side[2] - side[0] > 1e-5 and side[3] - side[1] > 1e-5]
            pieces |= dict(zip(cut["makes"], made, strict=True))
        for blank in sheet["blanks"]:
            corners = (blank["x"], blank["y"], blank["x"] + blank["length"], blank["y"] + blank["width"])
            assert pieces[blank["id"]] == pytest.approx(corners, abs=1e-3)
            for each in blank["placements"]:
                outline = affinity.rotate(
                    shapely.Polygon(parts[each["part"]]["outline"]), each["rotation"], origin=(0.0, 0.0)
                )
                assert shapely.box(*corners).buffer(1e-3).covers(affinity.translate(outline, each["x"], each["y"]))
                placed[each["part"]] = placed.get(each["part"], 0) + 1
    wanted = {name: part["quantity"] for name, part in parts.items() if "glued_up" not in part}
    assert placed == wanted


def test_the_parts_list_for_programs_needs_no_layout(glued, plan):
    assert parts_json(glued.order, glued.boat_plans) == plan["parts"]


def test_without_need_nothing_changes(tmp_path):
    """The same boat with the key allowed, but boards that are wide enough: not a word of the plan is another."""
    from hullcut.pipeline import plan_file
    from tests.conftest import SAMPLES

    text = (SAMPLES / "bramblefin.toml").read_text().replace("glue_up = false", "glue_up = true")
    (tmp_path / "bramblefin.toml").write_text(text)
    allowed = plan_file(tmp_path / "bramblefin.toml")
    assert allowed.glue_ups == ()
    assert to_text(plan_json(allowed)) == to_text(plan_json(planned("bramblefin")))


def test_the_joint_counts_in_the_glue(glued):
    boat = glued.boat_plans[0]
    whole = replace(boat, glue_ups=())
    area = sum(each.area for each in boat.glue_ups)
    assert area == pytest.approx(2.0 * boat.glue_ups[0].length * boat.design.woods.side.thickness)
    more = area * 1e-6 * glue(boat.design.glue).spread * GLUE_WASTE
    assert glue_grams(boat) - glue_grams(whole) == pytest.approx(more)
    steps = steps_of(boat)
    rows = bonds_by_step(boat, steps)
    by_title = {step.title: row for step, row in zip(steps, rows, strict=True)}
    assert grams(boat, by_title["Glue up the wide parts"]) == pytest.approx(more)
    assert sum(grams(boat, row) for row in rows) == pytest.approx(glue_grams(boat))
    assert sorted((b.host.id, b.guest.id) for row in rows for b in row) == sorted(
        (b.host.id, b.guest.id) for b in bonds(boat)
    )


def test_a_step_tells_how_in_plain_words(glued):
    boat = glued.boat_plans[0]
    titles = [step.title for step in steps_of(boat)]
    assert titles.index("Glue up the wide parts") == 1
    assert "Glue up the wide parts" not in [s.title for s in steps_of(planned("bramblefin").boat_plans[0])]
    step = steps_of(boat)[1]
    assert step.glue
    assert step.adult
    assert set(step.tools) <= set(_FOR)
    assert 10 <= minutes_for(step) <= 400
    assert clamps_for(step) == math.ceil(boat.glue_ups[0].length / CLAMP_EVERY)
    for text in (*step.sentences, step.check, step.adult):
        assert all(word_count(sentence) <= MOST_WORDS for sentence in sentences(text)), text
    assert grade([*step.sentences, step.check, step.adult], boat.design.hull) <= GRADE
    words = " ".join(step.sentences)
    for word in ("Plane", "edge to edge", "glue", "clamps", "lie flat", "cut out the part"):
        assert word in words


@pytest.mark.parametrize(("slug", "width"), [("side-port", 88.9), ("nose-block", 50.8)])
def test_the_picture_of_a_joint_along_and_across_keeps_its_words_clear(glued, slug, width):
    boat = glued.boat_plans[0]
    part = next(part for part in boat.parts if part.id == f"bramblefin-{slug}")
    stock = next(stock for stock in glued.order.shop.stock if stock.material == part.material)
    narrow = replace(stock, width=width, planed_to=part.thickness)
    found = glue_up(part, [narrow], glued.layout.rules)
    scene = glue_up_picture(replace(boat, glue_ups=(found,)), 80.0, 65.0)
    assert scene.width == pytest.approx(80.0)
    assert scene.height <= 65.0
    texts = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
    drawn = [item for item in scene.items if isinstance(item, Shape)]
    clamps = [shapely.box(*bounds(item)) for item in drawn if item.ref.startswith("clamp")]
    assert len(texts) == 5
    assert len(clamps) == 3
    ground = shapely.box(scene.x0, scene.y0, scene.x1, scene.y1)
    (joint,) = [shapely.box(*bounds(item)) for item in drawn if item.ref == "joint"]
    for number, text in enumerate(texts):
        assert ground.covers(text)
        assert not any(text.intersects(other) for other in [*clamps, joint, *texts[:number]])


def test_template_cutting_plan_and_lists_show_the_joint(glued):
    boat = glued.boat_plans[0]
    side = next(part for part in boat.parts if part.id == SIDES[0])
    scene = part_scene(side, "in")
    (line,) = [item for item in scene.items if isinstance(item, Shape) and item.ref == f"{side.id} glue joint"]
    assert line.role is Role.CENTRE
    assert "glue joint of the two boards" in [item.text for item in scene.items if isinstance(item, Text)]
    assert part_caption(side, "in").endswith("glued up from two boards")
    drawn = [sheet_scene(sheet, glued.parts, "in") for sheet in glued.layout.sheets]
    joints = [item.ref for scene in drawn for item in scene.items if item.ref.endswith(" glue joint")]
    assert len(joints) == 4
    labels = " ".join(item.text for scene in drawn for item in scene.items if isinstance(item, Text))
    for hand in ("port", "starboard"):
        for half in ("lower half", "upper half"):
            assert f"Side, {hand}: {half}" in labels
    rows = parts_csv(glued).splitlines()
    assert sum("half" in row for row in rows) == 4
    assert "glue it up from two boards" in side.step


def test_no_word_stands_on_another(glued):
    boat = glued.boat_plans[0]
    packet = packet_pdf(glued, glued.order.boats[0], "letter", None)
    measures = measures_pdf(boat.parts, "in", "letter", "measures", None)
    told = ""
    for data in (packet, measures):
        for page in read_pages(data):
            assert not overlaps(page), page.number
            assert not outside(page, 14.0), page.number
            told += page.letters.replace("\u2019", "'")
    joined = told.replace(" ", "")
    assert "Glueupthewideparts" in joined
    assert "Theboards'jointruns" in joined
    assert "planedowntoit,thengluethatedge" in joined


def test_the_screen_tells_of_it_and_a_boat_without_the_key_is_refused(tmp_path, monkeypatch):
    from typer.testing import CliRunner

    from hullcut.cli import app

    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")
    (tmp_path / "a.toml").write_text(narrow_text())
    (tmp_path / "b.toml").write_text(narrow_text(permit=False))
    told = " ".join(CliRunner().invoke(app, ["parts", "a.toml"]).stdout.split())
    assert "Side, port is glued up from two boards: strips of" in told
    refused = CliRunner().invoke(app, ["sheets", "b.toml"])
    assert refused.exit_code == 1
    assert "write glue_up = true under [wood.side]" in " ".join(refused.output.split())
