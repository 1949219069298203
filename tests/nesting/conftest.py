"""A verifier that knows nothing of how a layout was made: it replays the cuts and measures with shapely."""

from collections import Counter

import pytest
from shapely import affinity
from shapely.geometry import Polygon, box

TOLERANCE = 1e-3


def outline_in_place(piece, placement):
    """The placed outline: x to -x if mirrored, turned about the origin, then shifted."""
    shape = Polygon(piece.outline)
    if placement.mirrored:
        assert piece.flip
        shape = affinity.scale(shape, xfact=-1, origin=(0, 0))
    shape = affinity.rotate(shape, placement.rotation, origin=(0, 0))
    return affinity.translate(shape, placement.x, placement.y)


def check_grain(piece, placement, stock):
    if piece.grain == "any":
        return
    direction = {"along": 0, "across": 90}[piece.grain] + placement.rotation
    wanted = {"length": 0, "width": 90}[stock.grain]
    assert (direction - wanted) % 180 == pytest.approx(0)


def check_apart(shapes, gap):
    for number, one in enumerate(shapes):
        for other in shapes[:number]:
            assert one.distance(other) >= gap - TOLERANCE


def usable(sheet, rules):
    ends = 0 if sheet.stock.kind == "leftover" else rules.trim
    sides = ends if sheet.stock.kind == "sheet" else 0
    return box(ends - TOLERANCE, sides - TOLERANCE, sheet.length - ends + TOLERANCE, sheet.width - sides + TOLERANCE)


def replay(sheet, rules):
    """Cut the sheet up as told; returns the pieces that are left, by name."""
    pieces = {"0": (0.0, 0.0, sheet.length, sheet.width)}
    for number, cut in enumerate(sheet.cuts, 1):
        assert cut.order == number
        x0, y0, x1, y1 = pieces.pop(cut.piece)
        half = rules.kerf / 2
        if cut.y0 == cut.y1:
            assert (cut.x0, cut.x1) == pytest.approx((x0, x1), abs=TOLERANCE)
            sides = [(x0, y0, x1, cut.y0 - half), (x0, cut.y0 + half, x1, y1)]
            assert cut.fence == pytest.approx(cut.y0 - half - y0, abs=TOLERANCE)
        else:
            assert cut.x0 == cut.x1
            assert (cut.y0, cut.y1) == pytest.approx((y0, y1), abs=TOLERANCE)
            sides = [(x0, y0, cut.x0 - half, y1), (cut.x0 + half, y0, x1, y1)]
            assert cut.fence == pytest.approx(cut.x0 - half - x0, abs=TOLERANCE)
        assert cut.fence >= 0
        made = [side for side in sides if side[2] - side[0] > 1e-5 and side[3] - side[1] > 1e-5]
        assert len(made) == len(cut.makes) > 0
        for name, side in zip(cut.makes, made, strict=True):
            assert name not in pieces
            pieces[name] = side
    return pieces


def check_trim_first(sheet, rules):
    """The first cuts bring the sheet to its usable rectangle."""
    if rules.trim == 0 or sheet.stock.kind == "leftover":
        return
    wanted = 4 if sheet.stock.kind == "sheet" else 2
    first = sheet.cuts[:wanted]
    assert len(first) == wanted
    reach = rules.trim + rules.kerf
    for cut in first:
        if cut.y0 == cut.y1:
            assert min(cut.y0, sheet.width - cut.y0) <= reach
        else:
            assert min(cut.x0, sheet.length - cut.x0) <= reach


def check_through(sheet, pieces, rules):
    left = replay(sheet, rules)
    check_trim_first(sheet, rules)
    held = Counter()
    blank_shapes = []
    for blank in sheet.blanks:
        corners = (blank.x, blank.y, blank.x + blank.length, blank.y + blank.width)
        assert left.pop(blank.id) == pytest.approx(corners, abs=TOLERANCE)
        blank_shapes.append(box(*corners))
        for placement in blank.placements:
            piece = pieces[placement.part, placement.boat]
            shape = outline_in_place(piece, placement)
            plain = shape.area == pytest.approx(box(*shape.bounds).area, rel=1e-9)
            room = 0.0 if plain else rules.clearance
            x0, y0, x1, y1 = shape.bounds
            assert box(*corners).buffer(TOLERANCE).contains(box(x0 - room, y0 - room, x1 + room, y1 + room))
            if plain:
                assert shape.bounds == pytest.approx(corners, abs=TOLERANCE)
            held[placement] += 1
    assert held == Counter(sheet.placements)
    check_apart(blank_shapes, rules.kerf)
    waste = list(left.values())
    for offcut in sheet.offcuts:
        corners = (offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width)
        assert any(corners == pytest.approx(each, abs=TOLERANCE) for each in waste)


def check_layout(layout, pieces, offers):
    """Assert all that a layout promises."""
    known = {(piece.part, piece.boat): piece for piece in pieces}
    assert len(known) == len(pieces)
    placed = Counter((p.part, p.boat) for sheet in layout.sheets for p in sheet.placements)
    assert placed == Counter(known.keys())
    assert [sheet.number for sheet in layout.sheets] == list(range(1, len(layout.sheets) + 1))
    for sheet in layout.sheets:
        assert sheet.stock in offers
        assert (sheet.length, sheet.width) == (sheet.stock.length, sheet.stock.width)
        shapes = []
        for placement in sheet.placements:
            piece = known[placement.part, placement.boat]
            assert piece.material == sheet.stock.material
            assert abs(piece.thickness - sheet.stock.planed_to) <= 0.4 + 1e-6
            check_grain(piece, placement, sheet.stock)
            shapes.append(outline_in_place(piece, placement))
            assert usable(sheet, layout.rules).contains(shapes[-1])
        check_apart(shapes, layout.rules.kerf)
        for offcut in sheet.offcuts:
            free = box(offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width)
            assert usable(sheet, layout.rules).contains(free)
            assert all(free.intersection(shape).area < TOLERANCE for shape in shapes)
        used = sum(shape.area for shape in shapes) / (sheet.length * sheet.width)
        assert sheet.used_fraction == pytest.approx(used, rel=1e-6)
        if layout.rules.cutting == "through":
            check_through(sheet, known, layout.rules)
        else:
            assert sheet.blanks == ()
            assert sheet.cuts == ()
    counts = Counter(sheet.stock.id for sheet in layout.sheets)
    assert {line.stock.id: line.count for line in layout.shopping} == dict(counts)
    for line in layout.shopping:
        assert line.stock.available is None or line.count <= line.stock.available
    for bound in layout.bounds:
        assert bound.plan >= bound.at_least - 1e-3
        assert bound.proven_best == (bound.plan <= bound.at_least + 1e-3)


@pytest.fixture(scope="session")
def verify():
    return check_layout
