"""A layout written down, so that the same one can be used again: exact numbers, held against the order when read."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import shapely
from shapely import affinity

from hullcut.design.values import Stock
from hullcut.errors import DesignError, Fault
from hullcut.nesting.true_shape import apart
from hullcut.nesting.values import (
    Blank,
    Bound,
    Cut,
    Layout,
    Offcut,
    Piece,
    Placement,
    Rules,
    Sheet,
    ShoppingLine,
)

__all__ = ["LayoutText", "layout_from", "layout_text"]

_FORMAT, _VERSION = "hullcut-layout", 1
#: mm by which a part may pass its sheet through rounding.
_ROUNDING = 1e-3


def layout_text(layout: Layout) -> str:
    """A layout as JSON; stock is named by its id."""
    content = {
        "format": _FORMAT,
        "version": _VERSION,
        "rules": asdict(layout.rules),
        "sheets": [{**asdict(sheet), "stock": sheet.stock.id} for sheet in layout.sheets],
        "shopping": [{**asdict(line), "stock": line.stock.id} for line in layout.shopping],
        "bounds": [asdict(bound) for bound in layout.bounds],
        "stopped": layout.stopped,
    }
    return json.dumps(content, indent=1, sort_keys=True) + "\n"


@dataclass(frozen=True, slots=True)
class LayoutText:
    """A layout that was written before, as it was read.

    Attributes:
        file: its name as the user gave it, for messages.
        text: its JSON.
    """

    file: str
    text: str


def layout_from(written: LayoutText, pieces: Sequence[Piece], offers: Sequence[Stock], rules: Rules) -> Layout:
    """A layout that was written before, for the same order.

    Args:
        written: what `layout_text` gave.
        pieces: everything to be cut.
        offers: all stock that may be used.
        rules: how the shop cuts; only the effort may differ.

    Raises:
        DesignError: the text is no layout, or does not fit the order.
    """
    file = written.file
    try:
        content = json.loads(written.text)
    except (ValueError, RecursionError) as error:
        raise _fault(file, "is no layout", "give the layout.json of an earlier run") from error
    if not isinstance(content, dict) or content.get("format") != _FORMAT or content.get("version") != _VERSION:
        raise _fault(file, "is no layout that this hullcut wrote", "give the layout.json of an earlier run")
    try:
        layout = _layout(content, {stock.id: stock for stock in offers})
    except (KeyError, TypeError, ValueError) as error:
        raise _fault(file, f"lacks or garbles something ({error})", "lay the order out again") from error
    _held_against(file, layout, pieces, offers, rules)
    return layout


def _fault(file: str, problem: str, remedy: str) -> DesignError:
    return DesignError(Fault(file, None, "", problem, remedy))


def _layout(content: Mapping[str, Any], stocks: Mapping[str, Stock]) -> Layout:
    return Layout(
        Rules(**content["rules"]),
        tuple(_sheet(each, stocks) for each in content["sheets"]),
        tuple(ShoppingLine(stocks[each["stock"]], each["count"], each["cost"]) for each in content["shopping"]),
        tuple(Bound(**each) for each in content["bounds"]),
        bool(content["stopped"]),
    )


def _sheet(each: Mapping[str, Any], stocks: Mapping[str, Stock]) -> Sheet:
    return Sheet(
        stock=stocks[each["stock"]],
        number=each["number"],
        length=each["length"],
        width=each["width"],
        placements=tuple(Placement(**placement) for placement in each["placements"]),
        blanks=tuple(
            Blank(**{**blank, "placements": tuple(Placement(**inner) for inner in blank["placements"])})
            for blank in each["blanks"]
        ),
        cuts=tuple(Cut(**{**cut, "makes": tuple(cut["makes"])}) for cut in each["cuts"]),
        offcuts=tuple(Offcut(**offcut) for offcut in each["offcuts"]),
        used_fraction=each["used_fraction"],
    )


def _held_against(file: str, layout: Layout, pieces: Sequence[Piece], offers: Sequence[Stock], rules: Rules) -> None:
    """Whether a layout holds exactly the pieces of an order, cut in its way, from stock that it offers."""
    ours, theirs = asdict(rules), asdict(layout.rules)
    other = sorted(key for key in ours if key not in ("effort", "objective") and ours[key] != theirs[key])
    if other:
        raise _fault(file, f"was made for another {', '.join(other)}", "lay the order out again")
    wanted = Counter((piece.part, piece.boat) for piece in pieces)
    placed = Counter((each.part, each.boat) for sheet in layout.sheets for each in sheet.placements)
    if wanted != placed:
        strange = sorted((wanted - placed) + (placed - wanted))[0][0]
        raise _fault(file, f"belongs to another order: the count of {strange} differs", "lay the order out again")
    used = Counter(sheet.stock.id for sheet in layout.sheets)
    for stock in offers:
        if stock.available is not None and used[stock.id] > stock.available:
            raise _fault(file, f"uses more of {stock.id} than there is", "lay the order out again")
    by_name = {(piece.part, piece.boat): piece for piece in pieces}
    for sheet in layout.sheets:
        shapes = [_placed(by_name[each.part, each.boat], each) for each in sheet.placements]
        ground = shapely.box(-_ROUNDING, -_ROUNDING, sheet.stock.length + _ROUNDING, sheet.stock.width + _ROUNDING)
        if not all(ground.covers(shape) for shape in shapes) or not apart(shapes, rules.kerf - _ROUNDING):
            raise _fault(file, f"has parts that overlap or leave sheet {sheet.number}", "lay the order out again")


def _placed(piece: Piece, placement: Placement) -> shapely.Polygon:
    shape = shapely.Polygon(piece.outline)
    if placement.mirrored:
        shape = affinity.scale(shape, xfact=-1.0, origin=(0, 0))
    shape = affinity.rotate(shape, placement.rotation, origin=(0, 0))
    return affinity.translate(shape, placement.x, placement.y)
