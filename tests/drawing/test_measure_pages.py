"""The pages of measures tell every part once, and nothing stands on anything else."""

import functools
import io
import itertools
import re

import numpy as np
import pdfplumber
import pytest
import shapely
from sample_hulls import boat_of

from hullcut.drawing.measure_pages import measures_pdf
from hullcut.drawing.measure_picture import part_picture
from hullcut.drawing.measure_tables import ROW, Group, PointRow, point_table
from hullcut.drawing.measured_scene import is_plain, measured_scene, plain_sizes
from hullcut.drawing.paths import text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.lengths import both, inches, millimetres
from hullcut.parts.measures import is_rectangle, measures_of


@functools.cache
def pages(name, paper="letter"):
    boat = boat_of(name)
    data = measures_pdf(boat.parts, boat.design.units, paper, f"{name}: measures")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return [
            (page.extract_text(), page.extract_words(extra_attrs=["size"]), (page.width, page.height))
            for page in pdf.pages
        ]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_every_part_is_told(name):
    text = "\n".join(page[0] for page in pages(name))
    for part in boat_of(name).parts:
        if part.hand == "starboard" and f"{part.name.rsplit(',', 1)[0]}, port; starboard is its mirror" in text:
            continue
        assert part.name in text


def test_offsets_stand_in_the_table_in_both_units():
    part = next(each for each in boat_of("marshpenny").parts if each.id.endswith("side-port"))
    text = "\n".join(page[0] for page in pages("marshpenny"))
    lower = measures_of(part, "in").edges[0]
    for x, y in lower.points[2:9]:
        row = "".join(f"{inches(mm, 32)}{millimetres(mm, 1)}" for mm in (x, y)).replace("in", "").replace("mm", "")
        assert row.replace(" ", "") in text.replace(" ", "")
    assert "Worst error of the batten or straight line through these points" in text
    assert "with an adult beside you" in text


@pytest.mark.parametrize(("name", "paper"), [("bramblefin", "letter"), ("marshpenny", "letter"), ("marshpenny", "a4")])
def test_words_keep_clear_of_each_other_and_of_the_papers_edge(name, paper, monkeypatch):
    kept = []
    monkeypatch.setattr("hullcut.drawing.measure_pages.one_page", lambda scenes, _: kept.extend(scenes) or b"")
    boat = boat_of(name)
    measures_pdf(boat.parts, boat.design.units, paper, f"{name}: measures")
    for scene in kept:
        boxes = [shapely.Polygon(text_box(item)) for item in scene.items if isinstance(item, Text)]
        page = shapely.box(scene.x0 + 8.0, scene.y0 + 6.0, scene.x1 - 8.0, scene.y1 - 8.0)
        assert all(page.covers(box) for box in boxes)
        tree = shapely.STRtree(boxes)
        for index, box in enumerate(boxes):
            for other in tree.query(box):
                assert other <= index or box.intersection(boxes[other]).area < 0.3, scene.items[other]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_no_letter_is_smaller_than_eight_points(name):
    for _, found, _ in pages(name):
        assert min(word["size"] for word in found) >= 8.0


def test_an_edges_name_stays_with_its_first_points():
    rows = tuple(PointRow(str(number), float(number), 0.0) for number in range(1, 8))
    for counts in itertools.product((1, 2, 3, 5, 7), repeat=3):
        groups = [Group(f"edge {count}", rows[:count]) for count in counts]
        items, down = point_table(groups, "in", 190.0, 0.0)
        told = [item for item in items if isinstance(item, Text)]
        names = sorted((item for item in told if item.text.startswith("edge")), key=lambda item: item.at)
        for name in names:
            below = [
                item
                for item in told
                if item.bold
                and item.text.isdigit()
                and 0.0 <= item.at[0] - name.at[0] < 6.0
                and item.at[1] < name.at[1]
            ]
            first = sorted(below, key=lambda item: -item.at[1])[:2]
            wanted = min(2, int(name.text.split()[1]))
            assert [item.text for item in first[:wanted]] == ["1", "2"][:wanted]
            assert name.at[1] - first[0].at[1] == pytest.approx(ROW)
        assert len([item for item in told if item.text.isdigit() and item.bold]) == sum(counts)
        assert min(item.at[1] for item in told) > -down


def test_plain_pieces_stand_in_one_table():
    first = pages("bramblefin")[0][0]
    for part in boat_of("bramblefin").parts:
        if is_rectangle(part):
            assert part.name in first


def test_plain_pieces_have_the_same_sizes_on_the_templates():
    boat = boat_of("bramblefin")
    both_told = [part for part in boat.parts if is_plain(part)]
    told = [item.text for item in measured_scene(both_told, "in").items if isinstance(item, Text)]
    first = pages("bramblefin")[0][0]
    assert "longer side" in told
    assert both_told
    for part in both_told:
        longer, shorter = plain_sizes(part, "in")
        assert longer in told
        assert f"{longer} {shorter}" in first


def test_the_worst_error_is_worded_alike_everywhere():
    lines = [row for page in pages("marshpenny") for row in page[0].split("\n") if row.startswith("Worst error")]
    assert len(lines) > 10
    for row in lines:
        assert re.search(r"against the outline: 0\.\d mm, within 1/(32|16) in\.$", row), row


def test_every_hole_has_its_diameter():
    boat = boat_of("marshpenny")
    text = "\n".join(page[0] for page in pages("marshpenny"))
    for part in boat.parts:
        for mark in part.marks:
            if mark.kind == "hole" and mark.diameter is None:
                assert mark.name in text
            elif mark.kind == "hole":
                assert f"{mark.name.split(':')[0]}, drill {both(mark.diameter, 'in', 64, decimals=1)}" in text
            elif mark.kind == "screw":
                assert f"drill {both(mark.diameter, 'in', 64, decimals=1)}." in text
    bore = both(boat.design.engine.housing_bore, "in", 32, decimals=1)
    assert f"engine's bore, {bore}" in text
    assert "fin slot, corners" in text


def test_a_stamp_stands_on_every_page():
    boat = boat_of("bramblefin")
    data = measures_pdf(boat.parts[:6], "mm", "a4", "trial", "CHECK FAILED: for trial")
    assert data == measures_pdf(boat.parts[:6], "mm", "a4", "trial", "CHECK FAILED: for trial")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        assert all("CHECK FAILED: for trial" in page.extract_text() for page in pdf.pages)


def test_each_part_says_how_it_lies_and_on_which_face_things_go():
    text = " ".join("\n".join(page[0] for page in pages("marshpenny")).split())
    assert "Drawn: inner face, bow to the right. Base line: lower edge, 0 at the left (after) end." in text
    assert (
        "Drawn: inner, upper face, bow to the right. Base line: the middle line, 0 at the left (after) end; offsets to "
        "both sides, plus is port." in text
    )
    assert "Drawn: inner, forward face, port to the right." in text
    assert "distances to both sides, plus is port." in text
    # Sides stand under the decks, and the waterline on the side's outer face.
    deck = text.split("Fore deck eastern")[-1] if "Fore deck eastern" in text else text.split("Fore deck okoume")[-1]
    told = deck.split("Where things go")[1].split("Drawn:")[0]
    assert told.index("Windscreen") < told.index("On the underside") < told.index("Side, port, left end")
    side = text.split("Side, port; starboard")[-1].split("On the outer face")
    assert "Sheer cleat" in side[0]
    assert side[1].lstrip().startswith("waterline at rest, left end")


def test_grain_sides_and_places_are_told_in_words():
    text = "\n".join(page[0] for page in pages("bramblefin"))
    assert "grain along the base line" in text
    assert "Transom: where things go" in text
    block = next(row for row in text.split("\n") if row.startswith("Nose block 12 3/8"))
    assert "2 17/32 in (64.4 mm) longer side" in block
    assert "along, in mm offset, in mm" in text
    row = next(row for row in text.split("\n") if row.startswith("Sheer cleat 3/8 to"))
    assert row.endswith("4 1/4 to 4 3/4 (108.0 to 120.7)")


def test_the_slot_for_the_shaft_warns_and_is_no_print():
    text = " ".join("\n".join(page[0] for page in pages("marshpenny")).split())
    assert "Shaft slot: saw it only after trying the engine in place." in text
    bottom = next(part for part in boat_of("marshpenny").parts if part.family == "bottom")
    found = measures_of(bottom, "in")
    items, _ = part_picture(bottom, found, [((0.0, 0.0), 1)], 180.0, 85.0)
    slots = [item for item in items if isinstance(item, Shape) and item.role is Role.HOLE]
    assert len(slots) == sum(mark.kind == "slot" for mark in bottom.marks) == 1
    assert not any(isinstance(item, Shape) and item.role is Role.MARK for item in items)


@pytest.mark.parametrize("name", ["bramblefin", "tansyfoot"])
def test_a_base_line_says_where_the_lower_edge_leaves_it(name):
    text = " ".join("\n".join(page[0] for page in pages(name)).split())
    side = next(part for part in boat_of(name).parts if part.id.endswith("side-port"))
    told = re.search(
        r"0 at the left \(after\) end\. The edge (?:leaves it at|lies on it from (\S+ ?\S* in) \(\S+ mm\) to) "
        r"(?:\S+ )+?in \((\S+) mm\)",
        text.split("Side, port; starboard")[1],
    )
    outline = np.array(side.outline)
    # Half of what a rule shows: 1/64 in.
    level = outline[outline[:, 1] < 25.4 / 64.0, 0]
    assert float(told[2]) == pytest.approx(level.max(), abs=0.06)
    assert 100.0 < level.max() < outline[:, 0].max() - 100.0


def test_a_base_line_that_only_touches_its_edge_says_where():
    text = " ".join("\n".join(page[0] for page in pages("marshpenny")).split())
    assert "It only touches that edge, at 0." in text.split("Knee, port; starboard")[1][:400]


def test_the_rule_for_screws_names_all_that_takes_them():
    text = " ".join("\n".join(page[0] for page in pages("marshpenny")).split())
    assert "places of cleats, deck beams, bearers and the nose block" in text


@pytest.mark.parametrize("name", ["bramblefin", "puddlewick", "tansyfoot"])
def test_only_a_block_that_the_boat_has_is_spoken_of(name):
    told = " ".join(pages(name)[0][0].split())
    had = {part.name.lower() for part in boat_of(name).parts}
    for block in ("nose block", "stem block"):
        assert (f"and the {block}, spaced" in told) == (block in had)
        assert block in had or block not in told


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot"])
def test_no_number_of_a_point_is_struck_by_the_middle_line(name):
    from hullcut.drawing.measure_pages import _groups

    seen = 0
    boat = boat_of(name)
    for part in boat.parts:
        found = measures_of(part, boat.design.units)
        if is_rectangle(part) or found.base != "centre line up":
            continue
        items, _ = part_picture(part, found, _groups(found, boat.design.units)[1], 188.0, 62.0)
        middle = next(item for item in items if item.ref == "middle line").paths[0].segments[0]
        line = shapely.LineString([middle.start, middle.end])
        for text in (item for item in items if isinstance(item, Text)):
            assert not shapely.Polygon(text_box(text)).buffer(-0.3).intersects(line), (part.id, text.text)
            seen += 1
    assert seen > 4
