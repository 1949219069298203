"""The card model's sheets: at their stated scale, nothing on anything else, everything there."""

import functools
import io

import pdfplumber
import pytest
import shapely
from sample_hulls import hull_of

from hullcut.drawing.card_pages import SCALES, card_model_pdf, card_sheets
from hullcut.drawing.card_picture import model_picture
from hullcut.drawing.paper import PAPERS
from hullcut.drawing.paths import bounds, text_box
from hullcut.drawing.scene import Role, Shape, Text
from hullcut.drawing.segments import flatten
from hullcut.errors import BuildError
from hullcut.parts.card_model import card_panels, edge_length

MM = 72.0 / 25.4


@functools.cache
def sheets(name, paper="letter"):
    hull = hull_of(name)
    return card_sheets(hull, card_panels(hull), paper)


def outlines(scene):
    """Polygons of the outlines to cut."""
    return [
        (item.ref, shapely.Polygon(flatten(item.paths[0], 0.02)))
        for item in scene.items
        if getattr(item, "role", None) is Role.CUT and item.paths[0].closed
    ]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
@pytest.mark.parametrize("paper", ["letter", "a4", "tabloid"])
def test_pieces_stand_on_the_paper_clear_of_each_other(name, paper):
    scale, made = sheets(name, paper)
    assert scale in SCALES
    assert 1 <= len(made) <= 2
    for sheet in made:
        page = shapely.box(9.0, 9.0, PAPERS[paper].height - 9.0, PAPERS[paper].width - 9.0)
        found = outlines(sheet.scene)
        assert len(found) == len(sheet.pieces) > 0
        tree = shapely.STRtree([polygon for _, polygon in found])
        assert all(page.covers(polygon) for _, polygon in found)
        for index, (_, polygon) in enumerate(found):
            assert list(tree.query(polygon, predicate="intersects")) == [index]


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny"])
def test_every_panel_is_there_at_the_stated_scale(name):
    scale, made = sheets(name)
    drawn = [each for sheet in made for each in outlines(sheet.scene)]
    for panel in card_panels(hull_of(name)):
        area = sum(polygon.area for ref, polygon in drawn if ref.split(", piece")[0] == panel.name)
        assert area == pytest.approx(shapely.Polygon(panel.outline).area / scale**2, rel=2e-3)


def test_sides_that_meet_at_the_bow_get_one_strip_as_long_as_their_edge():
    hull = hull_of("tansyfoot")
    panels = card_panels(hull)
    scale, made = card_sheets(hull, panels, "letter")
    lengths = [edge_length(edge) for panel in panels for edge in panel.edges if edge.letter == "F"]
    assert len(lengths) == 2
    strips = [piece for piece in strips_of(made) if piece[0] == {"F"}]
    assert [length for _, length in strips] == [pytest.approx(lengths[0] / scale, abs=0.05)]
    assert "Join the sides at the bow with strip F" in text_of(card_model_pdf(hull, "letter"))


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot"])
def test_every_strip_joins_two_panels_and_is_long_enough_to_cut(name):
    made = sheets(name)[1]
    ends = {"Transom", "Bow transom", "Stem strip"}
    panels = card_panels(hull_of(name))
    joined = {edge.letter for panel in panels if panel.stations or panel.name in ends for edge in panel.edges} - {""}
    strips = strips_of(made)
    assert {letter for found, _ in strips for letter in found} == joined
    assert min(length for _, length in strips) > 2.0
    told = text_of(card_model_pdf(hull_of(name), "letter")).lower()
    assert "glue in the transom" in told
    assert ("and the bow transom" in told) == (name == "puddlewick")
    assert ("join the sides" in told) == (name == "tansyfoot")


def strips_of(made):
    """Letters and length of every ladder of folded strips."""
    found = []
    for sheet in made:
        texts = [item for item in sheet.scene.items if hasattr(item, "text")]
        for ref, polygon in outlines(sheet.scene):
            if ref == "strip":
                inside = [item.text for item in texts if polygon.covers(shapely.Point(item.at))]
                x0, y0, x1, y1 = polygon.bounds
                found.append(({text.split()[0] for text in inside}, max(x1 - x0, y1 - y0)))
    return found


def text_of(data):
    """The words of a PDF's first page."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return pdf.pages[0].extract_text()


def test_larger_paper_gives_a_larger_model():
    assert sheets("bramblefin", "tabloid")[0] < sheets("bramblefin", "letter")[0]


def test_a_panel_longer_than_the_sheet_is_divided_at_a_station_with_a_butt_strip():
    _, made = sheets("bramblefin")
    pieces = [name for sheet in made for name in sheet.pieces]
    divided = {name.split(", piece")[0] for name in pieces if ", piece" in name}
    assert {name.split(": ")[1] for name in pieces if name.startswith("butt ")} == {name.lower() for name in divided}
    assert "Bottom" in divided


def test_no_words_stand_on_words():
    from hullcut.drawing.paths import text_box

    for sheet in sheets("marshpenny")[1]:
        texts = [shapely.Polygon(text_box(item)) for item in sheet.scene.items if hasattr(item, "text")]
        tree = shapely.STRtree(texts)
        crossing = [(a, b) for a, text in enumerate(texts) for b in tree.query(text) if a < b]
        assert [pair for pair in crossing if texts[pair[0]].intersection(texts[pair[1]]).area > 0.05] == []


def test_the_pdf_tells_how_and_measures_true():
    data = card_model_pdf(hull_of("bramblefin"), "letter", "CHECK FAILED: for trial")
    assert data == card_model_pdf(hull_of("bramblefin"), "letter", "CHECK FAILED: for trial")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        assert len(pdf.pages) == 3
        first = pdf.pages[0].extract_text()
        assert "letter to letter and number to number" in first
        assert "with an adult beside you" in first
        for page in pdf.pages:
            text = page.extract_text()
            assert "scale 1:4" in text
            assert "CHECK FAILED: for trial" in text
            lengths = [abs(each["x1"] - each["x0"]) / MM for each in page.lines]
            assert any(length == pytest.approx(100.0, abs=0.01) for length in lengths)
            assert any(length == pytest.approx(101.6, abs=0.01) for length in lengths)


def test_a_boat_too_large_for_any_scale_is_refused(monkeypatch):
    monkeypatch.setattr("hullcut.drawing.card_pages.SCALES", (1, 2))
    hull = hull_of("bramblefin")
    with pytest.raises(BuildError, match="larger paper"):
        card_sheets(hull, card_panels(hull), "letter")


@pytest.mark.parametrize("name", ["marshpenny", "tansyfoot"])
def test_words_on_the_card_are_large_enough_to_read(name):
    _, made = sheets(name)
    texts = [item for sheet in made for item in sheet.scene.items if isinstance(item, Text)]
    assert min(text.size for text in texts) >= 1.9


def test_pieces_that_a_butt_strip_joins_say_so_on_both_edges_and_the_strip_has_no_fold():
    _, made = sheets("bramblefin")
    texts = [item for sheet in made for item in sheet.scene.items if isinstance(item, Text)]
    drawn = [item for sheet in made for item in sheet.scene.items if not isinstance(item, Text)]
    butts = [name for sheet in made for name in sheet.pieces if name.startswith("butt ")]
    assert butts
    numbers = [name.split()[1].rstrip(":") for name in butts]
    for number in set(numbers):
        edges = [text for text in texts if text.text == f"joint {number}"]
        assert len(edges) == 2 * numbers.count(number)
    assert not [item for item in drawn if item.ref in butts and item.role is Role.CENTRE]
    assert "do not fold" in " ".join(text.text for text in texts)


@pytest.mark.parametrize("name", ["bramblefin", "puddlewick", "tansyfoot"])
def test_the_first_page_tells_of_every_strip_when_it_is_glued(name):
    told = text_of(card_model_pdf(hull_of(name), "letter"))
    rows = [row for row in told.splitlines() if row.split() and " step" in row and row.split()[0].isalpha()]
    letters = {edge.letter for panel in card_panels(hull_of(name)) for edge in panel.edges} - {""}
    named = {word for row in rows for word in row.split()[: row.split().index("and") + 2 if "and" in row else 1]}
    assert named - {"and"} == letters


def test_strips_end_at_the_back_and_at_the_front():
    words = [item.text for sheet in sheets("bramblefin")[1] for item in sheet.scene.items if isinstance(item, Text)]
    assert any(word.startswith("A back–") for word in words)
    assert any(word.startswith("A ") and word.endswith("–front") for word in words)
    assert not any("end" in word.split("–") for word in words)


def test_a_station_has_one_number_where_both_its_ends_are_close_together():
    hull = hull_of("tansyfoot")
    scale, made = sheets("tansyfoot")
    bottom = next(panel for panel in card_panels(hull) if panel.name == "Bottom")
    last = bottom.stations[-1]
    assert shapely.LineString(last.points).length / scale < 12.0
    sheet = next(sheet for sheet in made if "Bottom" in sheet.pieces)
    outline = next(polygon for ref, polygon in outlines(sheet.scene) if ref == "Bottom")
    inside = [
        item.text
        for item in sheet.scene.items
        if isinstance(item, Text) and outline.covers(shapely.Point(item.at)) and item.text.isdigit()
    ]
    assert inside.count(str(last.number)) == 1
    assert inside.count("1") == 2


@pytest.mark.parametrize("name", ["bramblefin", "puddlewick", "tansyfoot"])
def test_the_picture_of_the_model_bears_every_letter_or_says_that_it_is_hidden(name):
    panels = card_panels(hull_of(name))
    items = model_picture(hull_of(name), panels, (100.0, 100.0), (90.0, 45.0))
    texts = [item for item in items if isinstance(item, Text)]
    shown = [text.text for text in texts if text.bold]
    told = next(text.text for text in texts if "seen from behind" in text.text)
    hidden = told.removeprefix("seen from behind; ").removesuffix(" on the far side").split(", ")
    assert sorted([*shown, *hidden]) == sorted({edge.letter for panel in panels for edge in panel.edges} - {""})
    assert {"A", "C", "D", "E"} <= set(shown)
    for item in items:
        x0, y0, x1, y1 = bounds(item)
        assert x0 >= 100.0
        assert x1 <= 190.0
        assert y0 >= 55.0
        assert y1 <= 100.0


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "puddlewick", "tansyfoot"])
def test_each_tick_of_a_station_has_its_number_unless_the_edges_are_close_together(name):
    seen = 0
    for sheet in sheets(name)[1]:
        items = sheet.scene.items
        ticks = [item for item in items if isinstance(item, Shape) and " station " in item.ref]
        numbers = [item for item in items if isinstance(item, Text) and item.text.isdigit()]
        for tick in ticks:
            number = tick.ref.rsplit(" ", 1)[1]
            run = shapely.LineString(flatten(tick.paths[0], 0.1))
            own = [text for text in numbers if text.text == number]
            near = min(run.distance(shapely.Polygon(text_box(text))) for text in own)
            # A tick is two fifths of its station where that is short: across 11 mm the other edge's number is near.
            assert near < (2.0 if run.length > 0.4 * 11.0 else 8.0), (tick.ref, near)
            seen += 1
    assert seen > 20


@pytest.mark.parametrize("name", ["bramblefin", "marshpenny", "tansyfoot"])
def test_the_small_boat_has_no_hole_in_it(name):
    """Bottom and sides are seen on under the decks' edges, as far as these leave them open."""
    hull = hull_of(name)
    items = model_picture(hull, card_panels(hull), (0.0, 0.0), (90.0, 60.0))
    fills = [
        shapely.Polygon(flatten(path, 0.05))
        for item in items
        if isinstance(item, Shape) and item.role is Role.FILL
        for path in item.paths
    ]
    boat = shapely.union_all([fill.buffer(0.05) for fill in fills])
    assert boat.geom_type == "Polygon"
    assert sum(shapely.Polygon(ring).area for ring in boat.interiors) < 0.5
    letters = [text_box(item) for item in items if isinstance(item, Text) and len(item.text) == 1]
    lines = [
        shapely.LineString([segment.start, segment.end])
        for item in items
        if isinstance(item, Shape) and item.role is Role.OUTLINE
        for path in item.paths
        for segment in path.segments
    ]
    for box in letters:
        assert not any(shapely.Polygon(box).buffer(-0.4).intersects(each) for each in lines)
