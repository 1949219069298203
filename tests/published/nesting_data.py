"""The published nesting data beside this file, as orders: each file names its source and licence."""

import json
from pathlib import Path

from hullcut.design.values import Stock
from hullcut.nesting.values import Piece, Rules

DATA = Path(__file__).resolve().parent / "data"
THICK = 6.0


def piece(name, length, width, grain):
    outline = ((0.0, 0.0), (float(length), 0.0), (float(length), float(width)), (0.0, float(width)))
    return Piece(name, "", "okoume-plywood", THICK, grain, False, outline)


def sheet(name, length, width, price=None):
    return Stock(
        id=name,
        kind="sheet",
        material="okoume-plywood",
        thickness=THICK,
        planed_to=THICK,
        length=float(length),
        width=float(width),
        grain="length",
        available=None,
        price=price,
        source="published instance",
    )


def rules(cutting, effort="normal"):
    """No kerf, trim or clearance, as in the published problems."""
    return Rules(cutting, 0.0, 0.0, 0.0, "sheets", effort)


def bin_packing():
    """Every instance: name, class, bin, best known by (stages, turned), pieces as (length, width)."""
    found = []
    for name, size, free, turned, three, three_turned, flat in json.loads((DATA / "bin_packing_2d.json").read_text())[
        "instances"
    ]:
        items = list(zip(flat[::2], flat[1::2], strict=True))
        best = {("free", False): free, ("free", True): turned}
        best |= {("three-stage", False): three, ("three-stage", True): three_turned}
        found.append({"name": name, "class": name[:8], "bin": size, "best": best, "items": items})
    return found


def bin_packing_order(instance, turned):
    grain = "any" if turned else "along"
    pieces = [piece(f"p{n}", *size, grain) for n, size in enumerate(instance["items"])]
    return pieces, [sheet("bin", *instance["bin"])]


def several_sizes():
    return json.loads((DATA / "several_sheet_sizes.json").read_text())["instances"]


def irregular():
    return json.loads((DATA / "irregular_strips.json").read_text())["sets"]
