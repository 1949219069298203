"""Outlines that nest, the layout written down and read again, and what an order leaves behind."""

import json
import tomllib
from dataclasses import replace

import pytest

from hullcut.design.values import Stock
from hullcut.errors import DesignError
from hullcut.nesting.after import rack_text
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.saved import LayoutText, layout_from, layout_text
from hullcut.nesting.strip import Outline, pack_strip
from hullcut.nesting.values import Piece, Rules

CRADLE = ((0, 0), (500, 0), (500, 500), (410, 500), (410, 90), (90, 90), (90, 500), (0, 500))
SHEET = Stock("two-by-four", "sheet", "okoume-plywood", 6.0, 6.0, 1220.0, 610.0, "length", None, 30.0, "invented")
SHAPE = Rules("shape", 2.0, 5.0, 3.0, "cost")


def piece(name, boat, outline):
    return Piece(name, boat, "okoume-plywood", 6.0, "along", False, tuple((float(x), float(y)) for x, y in outline))


def cradles(count):
    """Cradles, open above, and as many plain rectangles that go into their openings."""
    plain = ((0, 0), (300, 0), (300, 390), (0, 390))
    return [
        each
        for number in range(count)
        for each in (piece("cradle", f"boat-{number}", CRADLE), piece("plate", f"boat-{number}", plain))
    ]


@pytest.fixture(scope="module")
def nested():
    return lay_out(cradles(4), (SHEET,), SHAPE)


def test_outlines_that_nest_save_a_sheet(verify, nested):
    verify(nested, cradles(4), (SHEET,))
    through = lay_out(cradles(4), (SHEET,), replace(SHAPE, cutting="through"))
    assert len(through.sheets) == 3
    assert through.bounds[0].proven_best
    assert len(nested.sheets) == 2
    assert nested.bounds[0].at_least <= nested.bounds[0].plan
    # What is proven for rectangles says nothing of outlines.
    assert nested.bounds[0].how == "area"


def read_layout(text, pieces, offers, rules):
    return layout_from(LayoutText("layout.json", text), pieces, offers, rules)


def test_a_layout_read_again_is_the_same(nested):
    again = read_layout(layout_text(nested), cradles(4), (SHEET,), SHAPE)
    assert again == nested
    assert layout_text(again) == layout_text(nested)


def broken(content, how):
    content = json.loads(content)
    if how == "format":
        content["format"] = "other"
    elif how == "stock":
        content["sheets"][0]["stock"] = "unknown"
    elif how == "overlap":
        first, second = content["sheets"][0]["placements"][:2]
        second |= {"x": first["x"], "y": first["y"]}
    elif how == "missing":
        content["sheets"][0]["placements"].pop()
    return json.dumps(content)


@pytest.mark.parametrize("how", ["format", "stock", "overlap", "missing"])
def test_a_layout_that_does_not_belong_is_refused(nested, how):
    with pytest.raises(DesignError) as caught:
        read_layout(broken(layout_text(nested), how), cradles(4), (SHEET,), SHAPE)
    assert str(caught.value).startswith("layout.json: ")


def test_a_layout_for_another_kerf_is_refused(nested):
    with pytest.raises(DesignError, match="kerf"):
        read_layout(layout_text(nested), cradles(4), (SHEET,), replace(SHAPE, kerf=3.0))


@pytest.mark.parametrize("text", ["words", "", "[" * 100_000, "[1, 2]", "{}"])
def test_what_is_no_layout_is_told(text):
    with pytest.raises(DesignError, match="is no layout"):
        read_layout(text, [], (), SHAPE)


def test_what_panics_in_the_library_ends_only_the_child():
    crossed = Outline("0", ((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)), 1, (0.0,))
    too_high = Outline("0", ((0.0, 0.0), (10.0, 0.0), (10.0, 50.0), (0.0, 50.0)), 1, (0.0,))
    assert pack_strip([crossed], 20.0, 1) is None
    assert pack_strip([too_high], 20.0, 1) is None


def test_the_rack_afterwards_can_be_ordered_from():
    rack = replace(SHEET, id="rack", kind="leftover", length=320.0, width=400.0, available=3, price=None)
    layout = lay_out(cradles(1), (rack, SHEET), replace(SHAPE, cutting="through"))
    tables = tomllib.loads(rack_text(layout, (rack, SHEET), "cradles"))["shop"]["rack"]
    # The plate took one of three leftovers; the sheet left its own offcuts.
    kept = [table["available"] for table in tables if table["length"] == "320.0 mm"]
    assert kept == [2]
    offcuts = [offcut for sheet in layout.sheets for offcut in sheet.offcuts]
    assert sum(table["available"] for table in tables) == 2 + len(offcuts)


def test_a_stopped_search_gives_the_best_so_far(monkeypatch):
    from hullcut.nesting import lay_out as module

    def stopped(_):
        raise KeyboardInterrupt

    monkeypatch.setattr(module, "METHODS", (*module.METHODS[:2], stopped))
    layout = lay_out(cradles(2), (SHEET,), SHAPE)
    assert layout.stopped
    assert layout.sheets
    monkeypatch.setattr(module, "METHODS", (stopped,))
    with pytest.raises(KeyboardInterrupt):
        lay_out(cradles(2), (SHEET,), SHAPE)
