"""A scene as DXF for a laser or a router, in millimetres.

R2010, one layer a role named by the role, colours by layer, one closed LWPOLYLINE for each closed path,
inner cuts written before outer ones. Arcs are bulges; cubic curves become chords within a stated tolerance,
because controllers differ in how they take splines. Text is ASCII and stands on its own layer.
"""

from __future__ import annotations

import re
import unicodedata
from importlib import import_module
from io import StringIO
from math import hypot, radians, tan
from typing import TYPE_CHECKING, Any

from hullcut.drawing.scene import Arc, Line, Path, Role, Scene, Shape, Text
from hullcut.drawing.segments import (
    arc_point,
    arc_sweep,
    flatten_segment,
    is_circle,
    segment_end,
    segment_start,
)
from hullcut.drawing.style import BLACK, line_style

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from hullcut.drawing.scene import Segment

__all__ = ["ascii_text", "to_dxf"]

# The order in which layers are written: what must be done while the work still hangs together comes first.
_ORDER = (
    Role.LABEL,
    Role.DIMENSION,
    Role.CENTRE,
    Role.TRUE_LINE,
    Role.MARK,
    Role.THIN,
    Role.HIDDEN,
    Role.WATERLINE,
    Role.OFFCUT,
    Role.HOLE,
    Role.INNER_CUT,
    Role.CUT,
    Role.OUTLINE,
    Role.SAW,
    Role.STOCK,
    Role.PAGE,
)

# The nearest of DXF's numbered colours to each of the palette, for readers without true colour.
_NUMBERED = {"#d55e00": 30, "#0072b2": 150, "#009e73": 104, "#6b6b6b": 8}

# Height of a capital letter against the em size of the font; DXF states text by the former.
_CAPITAL = 0.729

_FOLDS = {
    "⁄": "/",
    "×": "x",
    "−": "-",
    "–": "-",
    "—": "-",
    "‐": "-",
    "‑": "-",
    "′": "'",
    "″": '"',
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "°": " deg",
    "Ø": "dia ",
    "⌀": "dia ",
    "ø": "o",
    "ß": "ss",
    "æ": "ae",
    "·": "-",
    "•": "-",
    "…": "...",
    "→": "->",
    "←": "<-",
    "↑": "^",
    "↓": "v",
    "≤": "<=",
    "≥": ">=",
    "±": "+/-",
    "\u00a0": " ",
    "\u2009": " ",
    "\u202f": " ",
}


def ascii_text(text: str) -> str:
    """The text in ASCII: fractions written out ("13½" as "13 1/2"), typographic characters folded.

    What has no likeness becomes "?".
    """
    text = re.sub(r"(?<=\d)(?=[¼½¾⅐-⅞¹²³⁰⁴-⁹]+⁄?)(?=[¼½¾⅐-⅞]|[¹²³⁰⁴-⁹]+⁄)", " ", text)
    text = "".join(_FOLDS.get(char, char) for char in text)
    text = unicodedata.normalize("NFKD", text)
    text = "".join(_FOLDS.get(char, char) for char in text if not unicodedata.combining(char))
    return text.encode("ascii", "replace").decode("ascii")


def _vertices(path: Path, tolerance: float) -> list[tuple[float, float, float]]:
    """Points with the bulge of the side after each; no two of them in one place."""
    rows: list[tuple[float, float, float]] = []

    def add(x: float, y: float, bulge: float) -> None:
        if rows and hypot(rows[-1][0] - x, rows[-1][1] - y) < 1e-6:
            rows.pop()
        rows.append((x, y, bulge))

    for segment in path.segments:
        start = segment_start(segment)
        if isinstance(segment, Line):
            add(*start, 0.0)
        elif isinstance(segment, Arc):
            sweep = arc_sweep(segment)
            # A bulge is told by the tangent of a quarter of the turn, so more than half a circle is cut in
            # two.
            halves = 2 if abs(sweep) > 180.0 else 1
            bulge = tan(radians(sweep / halves) / 4)
            for k in range(halves):
                add(*arc_point(segment, segment.start_deg + sweep * k / halves), bulge)
        else:
            add(*start, 0.0)
            for point in flatten_segment(segment, tolerance)[:-1]:
                add(*point, 0.0)
    if path.closed:
        if len(rows) > 1 and hypot(rows[-1][0] - rows[0][0], rows[-1][1] - rows[0][1]) < 1e-6:
            rows.pop()
    else:
        add(*segment_end(path.segments[-1]), 0.0)
    return rows


def _write_path(space: Modelspace, path: Path, layer: str, tolerance: float) -> None:
    attributes = {"layer": layer}
    first: Segment = path.segments[0]
    if is_circle(path) and isinstance(first, Arc):
        space.add_circle(first.centre, first.radius, dxfattribs=attributes)
        return
    rows = _vertices(path, tolerance)
    if len(rows) < 2:
        return
    if len(rows) == 2 and not path.closed and rows[0][2] == 0.0:
        space.add_line(rows[0][:2], rows[1][:2], dxfattribs=attributes)
        return
    space.add_lwpolyline(rows, format="xyb", close=path.closed, dxfattribs=attributes)


def _write_text(space: Modelspace, text: Text) -> None:
    from ezdxf.enums import TextEntityAlignment

    align = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }[text.anchor]
    entity = space.add_text(
        ascii_text(text.text),
        height=text.size * _CAPITAL,
        rotation=text.angle,
        dxfattribs={"layer": Role.LABEL.value},
    )
    entity.set_placement(text.at, align=align)


def _layered(scene: Scene) -> list[tuple[Role, Path]]:
    """Every stroked path with its layer, inner cuts before outer; a cut outline's holes are inner cuts."""
    found: list[tuple[Role, Path]] = []
    for item in scene.items:
        if not isinstance(item, Shape) or item.role is Role.FILL or item.stroke == "none":
            continue
        for count, path in enumerate(item.paths):
            inner = item.role is Role.CUT and count > 0 and path.closed
            if path.segments:
                found.append((Role.INNER_CUT if inner else item.role, path))
    return sorted(found, key=lambda pair: _ORDER.index(pair[0]))


def _add_layer(document: Drawing, role: Role) -> None:
    colour = line_style(role).colour
    layer = document.layers.add(role.value, color=_NUMBERED.get(colour, 7))
    if colour != BLACK:
        layer.rgb = (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def _fill_document(document: Drawing, scene: Scene, tolerance: float) -> None:
    from ezdxf import zoom

    space = document.modelspace()
    paths = _layered(scene)
    texts = [item for item in scene.items if isinstance(item, Text)]
    used = {role for role, _ in paths} | ({Role.LABEL} if texts else set())
    for role in _ORDER:
        if role in used:
            _add_layer(document, role)
    for text in texts:
        _write_text(space, text)
    for role, path in paths:
        _write_path(space, path, role.value, tolerance)
    low, high = (scene.x0, scene.y0), (scene.x1, scene.y1)
    # The view is set from the scene's own ground: measuring texts would ask this machine for its fonts.
    zoom.window(space, low, high)
    space.dxf.extmin, space.dxf.extmax = (*low, 0.0), (*high, 0.0)


def to_dxf(scene: Scene, tolerance_mm: float = 0.02) -> str:
    """The scene as the text of a DXF file; encode it as UTF-8.

    Args:
        scene: what to draw, mm.
        tolerance_mm: greatest distance of chords from the curves that they stand for.

    Returns:
        The whole file; the same scene always gives the same text.
    """
    ezdxf: Any = import_module("ezdxf")
    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new("R2010", units=4)
        document.header["$MEASUREMENT"] = 1
        _fill_document(document, scene, tolerance_mm)
        # The library adds the classes in use in the order of a set; all are added now and sorted.
        document.classes.add_required_classes(document.dxfversion)
        ordered = sorted(document.classes.classes.items())
        document.classes.classes.clear()
        document.classes.classes.update(ordered)
        stream = StringIO()
        document.write(stream)
        return stream.getvalue()
    finally:
        options.write_fixed_meta_data_for_testing = before
