"""From a file to an order. Every file reads as one: a lone design is an order of one boat."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from pydantic import BaseModel, ValidationError

from hullcut.design.checks import design_faults, shop_faults
from hullcut.design.defaults import complete_design, complete_shop
from hullcut.design.extras import complete_extras, extra_faults
from hullcut.design.faults import faults_of, in_file_order
from hullcut.design.models import BoatTable, DesignFile, OrderFile, ShopTable
from hullcut.design.offsets import Offsets, parse_offsets
from hullcut.design.source import Source, read_source, read_text
from hullcut.design.values import Boat, Design, Order, Shop
from hullcut.errors import DesignError, Fault

if TYPE_CHECKING:
    from hullcut.design.models.hull import HullTable
    from hullcut.lengths import Units

__all__ = ["read_order"]

MOST_BOATS = 200
"""A class of more boats than this is a slip of the finger."""

_M = TypeVar("_M", bound=BaseModel)


def read_order(path: Path | str) -> Order:
    """Return what a design file or an order file asks for, complete and checked.

    Args:
        path: of the file. Designs that an order names are looked for from the order's folder.

    Raises:
        DesignError: with every fault of the file and of the designs that it names.
    """
    source = read_source(Path(path))
    if _is_order(source):
        return _order(source)
    design, shop = _design(source)
    boat = Boat(f"{design.name}-1", design.name, "", 1)
    return Order(design.name, design.units, (design,), (boat,), shop or complete_shop(None, design.units, ""))


def _is_order(source: Source) -> bool:
    for key, order in (("boats", True), ("hull", False), ("extra", True)):
        if key in source.data:
            return order
    return any(difflib.get_close_matches(key.lower(), ["boats", "extra"], cutoff=0.8) for key in source.data)


def _units(source: Source) -> Units:
    return "mm" if source.data.get("units") == "mm" else "in"


def _model(model: type[_M], source: Source) -> _M:
    """The file's values as a model.

    Raises:
        DesignError: with one fault for each value that is refused.
    """
    try:
        return model.model_validate(source.data, context={"units": _units(source)})
    except ValidationError as error:
        raise DesignError(*faults_of(error, model, source)) from None
    except RecursionError:
        remedy = "see a sample for how a design is written"
        raise DesignError(Fault(source.file, None, "", "tables are nested too deeply", remedy)) from None


def _design(source: Source) -> tuple[Design, Shop | None]:
    """A lone design, and its shop where it brings one.

    Raises:
        DesignError: with every fault of the file.
    """
    typed = _model(DesignFile, source)
    offsets = _offsets(typed.hull, source)
    design = complete_design(typed, source.file, source.lines, offsets)
    shop = _shop(typed.shop, source)
    faults = design_faults(design) + (shop_faults(shop, source.file, source.lines, _units(source)) if shop else [])
    if faults:
        raise DesignError(*in_file_order(faults))
    return design, shop


_BESIDE_OFFSETS = ("offsets", "read_to")


def _offsets(hull: HullTable, source: Source) -> Offsets | None:
    """The table of offsets that a design names, read from beside it; None where sizes give the hull.

    Raises:
        DesignError: with the faults of the table, or of sizes that stand beside it.
    """
    if hull.offsets is None:
        if hull.read_to is not None:
            problem, remedy = "belongs to a table of offsets", "leave it out, or name the table with offsets"
            raise DesignError(Fault(source.file, source.lines.get("hull.read_to"), "hull.read_to", problem, remedy))
        return None
    beside = [key for key, value in hull if value is not None and key not in _BESIDE_OFFSETS]
    if beside:
        problem, remedy = (
            "stands beside offsets, which give every size of the hull",
            "leave it out, or leave offsets out",
        )
        lines = source.lines
        raise DesignError(
            *(Fault(source.file, lines.get(f"hull.{key}"), f"hull.{key}", problem, remedy) for key in beside)
        )
    path = source.path.parent / hull.offsets
    shown = str(path)
    try:
        text = read_text(path, shown, "table")
    except DesignError as error:
        place = source.lines.get("hull.offsets")
        (fault,) = error.faults
        if fault.line is not None:
            raise
        problem = f'"{hull.offsets}": {fault.problem}'
        raise DesignError(Fault(source.file, place, "hull.offsets", problem, fault.remedy)) from None
    offsets = parse_offsets(text, shown, _units(source))
    if offsets.chine[0][0] != 0.0:
        first = next(row for row in offsets.rows if row.chine_height is not None)
        problem = f"is {first.x:.1f} mm at the first station of the chine, not 0"
        remedy = "count x forward from the transom's lower outer edge, where the chine begins"
        raise DesignError(Fault(shown, first.line, "x", problem, remedy))
    return offsets


def _shop(table: ShopTable | None, source: Source) -> Shop | None:
    return None if table is None else complete_shop(table, _units(source), source.path.name)


def _order(source: Source) -> Order:
    typed = _model(OrderFile, source)
    faults = list(_boat_faults(typed, source))
    shop = _shop(typed.shop, source)
    if shop:
        faults += shop_faults(shop, source.file, source.lines, _units(source))
    read, design_faults_found = _designs(typed, source)
    faults += _name_faults(read, typed, source)
    faults += extra_faults(typed.extra, [design.name for design, _ in read.values()], source.file, source.lines)
    shops = {file: shop for file, (_, shop) in read.items() if shop is not None}
    if shop is None:
        faults += _differing_shops(shops, source)
    if faults or design_faults_found:
        own = [*faults, *(fault for fault in design_faults_found if fault.file == source.file)]
        others = [fault for fault in design_faults_found if fault.file != source.file]
        raise DesignError(*in_file_order(own), *others)
    units: Units = typed.units or (next(iter(read.values()))[0].units if read else "in")
    chosen = shop or next(iter(shops.values()), None) or complete_shop(None, units, "")
    designs = tuple(design for design, _ in read.values())
    extras = complete_extras(typed.extra)
    return Order(typed.name, units, designs, _boats(typed, read, source), chosen, extras)


def _design_path(table: BoatTable, source: Source) -> Path:
    return source.path.parent / table.design


def _designs(typed: OrderFile, source: Source) -> tuple[dict[Path, tuple[Design, Shop | None]], list[Fault]]:
    """Each design that the order names, read once, and the faults found in them."""
    read: dict[Path, tuple[Design, Shop | None]] = {}
    faults: list[Fault] = []
    tried: set[Path] = set()
    for number, table in enumerate(typed.boats, 1):
        path = _design_path(table, source)
        key = path.resolve()
        if key in tried:
            continue
        tried.add(key)
        try:
            design_source = read_source(path)
            if _is_order(design_source):
                place = f"boats[{number}].design"
                problem = f'"{table.design}" is itself an order'
                remedy = "name the file of one design"
                faults.append(Fault(source.file, source.lines.get(place), place, problem, remedy))
                continue
            read[key] = _design(design_source)
        except DesignError as error:
            faults += [_seen_from_order(fault, number, table, source) for fault in error.faults]
    return read, faults


def _seen_from_order(fault: Fault, number: int, table: BoatTable, source: Source) -> Fault:
    """A design that cannot be opened is the order's fault; all others are the design's own."""
    if fault.line is not None or fault.key:
        return fault
    place = f"boats[{number}].design"
    problem = f'"{table.design}": {fault.problem}'
    return Fault(source.file, source.lines.get(place), place, problem, fault.remedy)


def _boat_faults(typed: OrderFile, source: Source) -> list[Fault]:
    faults = []
    total = 0
    for number, table in enumerate(typed.boats, 1):
        place = f"boats[{number}]"
        total += len(_builders(table))
        if table.builder is not None and table.builders is not None:
            faults.append((f"{place}.builders", "stands beside builder", "keep one of the two"))
        elif table.builders is not None and table.count not in (None, len(table.builders)):
            problem = f"is {table.count}, but there are {len(table.builders)} builders"
            faults.append((f"{place}.count", problem, "leave count out, or name as many builders"))
        elif table.builders == ():
            faults.append((f"{place}.builders", "is empty", "name at least one builder, or leave it out"))
    if not typed.boats and ("boats" in source.data or not typed.extra):
        faults.append(("boats", "is empty", "write [[boats]] and its keys below, once for each boat"))
    if total > MOST_BOATS:
        faults.append(("boats", f"are {total} boats", f"order at most {MOST_BOATS} at a time"))
    return [Fault(source.file, source.lines.get(key), key, problem, remedy) for key, problem, remedy in faults]


def _builders(table: BoatTable) -> tuple[str, ...]:
    """The builder of each boat; empty text where nobody is named."""
    if table.builders is not None:
        return table.builders
    return (table.builder or "",) * (table.count or 1)


def _boats(typed: OrderFile, read: Mapping[Path, tuple[Design, Shop | None]], source: Source) -> tuple[Boat, ...]:
    boats: list[Boat] = []
    for table in typed.boats:
        name = read[_design_path(table, source).resolve()][0].name
        for builder in _builders(table):
            number = len(boats) + 1
            boats.append(Boat(f"{name}-{number}", name, builder, number))
    return tuple(boats)


def _name_faults(read: Mapping[Path, tuple[Design, Shop | None]], typed: OrderFile, source: Source) -> list[Fault]:
    """Two files that give their boats the same name cannot be told apart."""
    faults = []
    owners: dict[str, Path] = {}
    for number, table in enumerate(typed.boats, 1):
        path = _design_path(table, source).resolve()
        if path not in read:
            continue
        name = read[path][0].name
        if owners.setdefault(name.lower(), path) != path:
            place = f"boats[{number}].design"
            problem = f'"{table.design}" names its boat {name}, as another design of this order does'
            faults.append(Fault(source.file, source.lines.get(place), place, problem, "change name in one of them"))
    return faults


def _differing_shops(shops: Mapping[Path, Shop], source: Source) -> list[Fault]:
    found = list(shops.values())
    if all(shop == found[0] for shop in found):
        return []
    problem = "is missing, and the designs bring different ones"
    return [Fault(source.file, None, "shop", problem, "write [shop] in the order; it replaces those of the designs")]
