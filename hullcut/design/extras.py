"""Parts that an order wants besides its boats: from what was typed to values, and what cannot be meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hullcut.design.values import Extra, Wood
from hullcut.errors import Fault
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from hullcut.design.models import ExtraTable

__all__ = ["MOST_EXTRAS", "complete_extras", "extra_faults", "glue_up_findings"]

MOST_EXTRAS = 20_000
"""More parts than this in one order are a slip of the finger."""

_Finding = tuple[str, str, str]


def extra_faults(
    tables: Sequence[ExtraTable], designs: Iterable[str], file: str, lines: Mapping[str, int]
) -> list[Fault]:
    """Return one fault for each thing in an order's extra parts that cannot be meant.

    Args:
        tables: as typed.
        designs: names of the order's designs, which begin the names of their parts.
        file: the order's file.
        lines: of that file.
    """
    found = [*_name_findings(tables, list(designs))]
    for number, table in enumerate(tables, 1):
        found += _shape_findings(table, f"extra[{number}]")
        if table.glue_up:
            found += glue_up_findings(table.material, f"extra[{number}]")
    total = sum(table.count or 1 for table in tables)
    if total > MOST_EXTRAS:
        found.append(("extra", f"are {total} parts", f"order at most {MOST_EXTRAS} at a time"))
    return [
        Fault(file, lines.get(key) or lines.get(key.rpartition(".")[0]), key, problem, remedy)
        for key, problem, remedy in found
    ]


def complete_extras(tables: Sequence[ExtraTable]) -> tuple[Extra, ...]:
    """Return the extra parts as values; only for tables without faults."""
    return tuple(
        Extra(
            table.name,
            Wood(table.material, table.thickness, table.grain or "any", bool(table.glue_up)),
            True if table.flip is None else table.flip,
            _outline(table),
            table.count or 1,
        )
        for table in tables
    )


def glue_up_findings(material: str, place: str) -> Iterator[tuple[str, str, str]]:
    """Key, problem and remedy where a wood that comes in sheets is to be glued up from boards.

    Args:
        material: key of a wood.
        place: of the table that allows it, "wood.side".
    """
    data = wood(material)
    if data.kind != "solid":
        problem = f"is true, but {data.name} comes in sheets, which are not glued edge to edge"
        yield f"{place}.glue_up", problem, f"leave it out, or write a solid wood as {place}.material"


def _name_findings(tables: Sequence[ExtraTable], designs: Sequence[str]) -> Iterator[_Finding]:
    seen: set[str] = set()
    for number, table in enumerate(tables, 1):
        name, key = table.name.lower(), f"extra[{number}].name"
        if name in seen:
            yield key, f'"{table.name}" stands twice', "write one table with a count, or another name"
        elif any(name.startswith(f"{design.lower()}-") for design in designs):
            yield key, f'"{table.name}" begins like the parts of a boat of this order', "write another name"
        seen.add(name)


def _shape_findings(table: ExtraTable, place: str) -> Iterator[_Finding]:
    sizes = (table.length, table.width)
    if table.corners is None:
        for name, size in zip(("length", "width"), sizes, strict=True):
            if size is None:
                yield f"{place}.{name}", "is missing", f"write {name} = ..., or corners = [[0, 0], ...] for a polygon"
        return
    if sizes != (None, None):
        yield f"{place}.corners", "stands beside length or width", "keep one of the two"
        return
    from shapely.geometry import Polygon

    shape = Polygon(table.corners)
    if not shape.is_valid or shape.area <= 0.0:
        yield f"{place}.corners", "is a line that crosses or touches itself", "name each corner once, in order round it"


def _outline(table: ExtraTable) -> tuple[tuple[float, float], ...]:
    if table.corners is None:
        assert table.length is not None
        assert table.width is not None
        return ((0.0, 0.0), (table.length, 0.0), (table.length, table.width), (0.0, table.width))
    left, low = (min(corner[axis] for corner in table.corners) for axis in (0, 1))
    moved = [(x - left, y - low) for x, y in table.corners]
    points = [point for point, before in zip(moved, [moved[-1], *moved[:-1]], strict=True) if point != before]
    doubled = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
    return tuple(points if doubled > 0 else reversed(points))
