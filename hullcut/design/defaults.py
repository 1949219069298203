"""What is taken for everything that a design leaves out.

Three sizes of the hull lead to the rest. The proportions are those of the sample boats; they are the
project's own practice, not published rules. Sizes that follow the hull are rounded to 1/16 in or to 1 mm, by
the file's units.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from hullcut.design import values
from hullcut.design.bending import sweep_length
from hullcut.design.models.fittings import FittingTable
from hullcut.design.models.shop import RackTable, ShopTable, StockTable
from hullcut.design.offset_sizes import sizes_of
from hullcut.lengths import MM_PER_INCH, Units, inches

if TYPE_CHECKING:
    from hullcut.design.models.fields import Table
    from hullcut.design.models.files import DesignFile
    from hullcut.design.models.hull import HullTable, WoodTables
    from hullcut.design.offsets import Offsets

__all__ = ["DEFAULT_WOODS", "complete_design", "complete_shop"]

_V = TypeVar("_V")

_LEAST_SWEEP, _MOST_SWEEP = 0.30, 0.62
_PRAM_RAKE = 15.0
_MOST_STEM_RAKE = 25.0
# Between the sides at the stem, mm: the fore edge of the stem block.
_STEM_WIDTH = 12.0


def _inch(number: float) -> float:
    """Inches to millimetres, rounded so that 3/8 here and "3/8" in a file are one and the same figure."""
    return round(number * MM_PER_INCH, 6)


DEFAULT_WOODS: Mapping[str, values.Wood] = {
    "side": values.Wood("yellow-poplar", _inch(5 / 16), "along"),
    "bottom": values.Wood("okoume-plywood", _inch(1 / 4), "across"),
    "transom": values.Wood("okoume-plywood", _inch(3 / 8), "along"),
    "nose_block": values.Wood("eastern-white-pine", _inch(1.5), "across"),
    "deck": values.Wood("okoume-plywood", _inch(1 / 8), "along"),
    "hatch": values.Wood("okoume-plywood", _inch(1 / 8), "along"),
    "windscreen": values.Wood("okoume-plywood", _inch(1 / 8), "any"),
    "deck_beam": values.Wood("eastern-white-pine", _inch(1 / 2), "along"),
    "bulkhead": values.Wood("okoume-plywood", _inch(1 / 4), "any"),
    "cleat": values.Wood("eastern-white-pine", _inch(1 / 2), "along"),
    "knee": values.Wood("okoume-plywood", _inch(3 / 8), "any"),
    "pad": values.Wood("douglas-fir-plywood", _inch(1 / 2), "any"),
    "fin": values.Wood("okoume-plywood", _inch(1 / 4), "along"),
    "engine_plate": values.Wood("white-oak", _inch(3 / 4), "along"),
    "bearer": values.Wood("white-oak", _inch(3 / 4), "along"),
    "shelf": values.Wood("okoume-plywood", _inch(1 / 4), "any"),
    "servo_mount": values.Wood("okoume-plywood", _inch(1 / 4), "any"),
    "batten": values.Wood("eastern-white-pine", _inch(1 / 2), "along"),
    "stand": values.Wood("douglas-fir-plywood", _inch(1 / 2), "any"),
}
"""The wood of each family of parts, with the thickness that its name in the shop promises."""


def complete_design(
    typed: DesignFile, file: str, lines: Mapping[str, int], offsets: Offsets | None = None
) -> values.Design:
    """Return the design with everything that was left out filled in.

    Args:
        typed: what the person typed.
        file: the file's name as the user gave it.
        lines: dotted key to line.
        offsets: the table that gives the hull; None where its sizes do.
    """
    units: Units = typed.units or "in"
    woods = _woods(typed.wood)
    hull = _hull(typed.hull, woods, units) if offsets is None else sizes_of(offsets, typed.hull)
    sizes = _Sizes(hull.length, hull.beam, hull.depth, units)
    decks = _filled(sizes.decks(), typed.decks)
    return values.Design(
        name=typed.name,
        units=units,
        about=typed.about or "",
        hull=hull,
        laps=_filled(values.Laps("under", "between", "over", _inch(1 / 8)), typed.laps),
        woods=woods,
        decks=decks,
        windscreen=_filled(sizes.windscreen(), typed.windscreen),
        cleats=_filled(sizes.cleats(), typed.cleats),
        fin=_filled(sizes.fin(), typed.fin),
        engine=_filled(sizes.engine(), typed.engine),
        drive=_filled(sizes.drive(), typed.drive),
        rudder=_filled(sizes.rudder(), typed.rudder),
        radio=_radio(sizes.radio(decks), typed.radio),
        fittings=tuple(_fitting(each) for each in typed.fittings),
        balance=_filled(values.Balance(0.33), typed.balance),
        water=_filled(values.Water("fresh", 15.0), typed.water),
        foam=_filled(values.Foam(None, None, _inch(2.5), _inch(0.875), 30.0), typed.foam),
        fasteners=_filled(values.Fasteners(6, _inch(0.75), _inch(3)), typed.fasteners),
        glue=typed.glue.kind or "exterior wood glue",
        stand=_filled(sizes.stand(), typed.stand),
        file=file,
        lines=tuple(sorted(lines.items(), key=lambda entry: (entry[1], entry[0]))),
    )


def _filled(default: _V, table: Table) -> _V:
    """The default with each value replaced that the table gives."""
    typed: dict[str, Any] = {key: value for key, value in table if value is not None}
    filled: _V = replace(default, **typed)  # type: ignore[type-var]
    return filled


def _woods(tables: WoodTables) -> values.Woods:
    return values.Woods(**{name: _filled(wood, getattr(tables, name)) for name, wood in DEFAULT_WOODS.items()})


def _hull(table: HullTable, woods: values.Woods, units: Units) -> values.HullSizes:
    assert table.length is not None
    assert table.beam is not None
    assert table.depth is not None
    length, beam, depth = table.length, table.beam, table.depth
    bow = table.bow or "sled"
    sheer_rise = table.sheer_rise or 0.0
    # Sides that lean out come together most gently at a stem that leans half as far again.
    usual = {"sled": 0.0, "pram": _PRAM_RAKE, "stem": min(1.5 * (table.flare or 0.0), _MOST_STEM_RAKE)}[bow]
    rake = table.bow_rake if table.bow_rake is not None else usual
    height = table.bow_height or {"sled": depth + sheer_rise, "pram": 0.5 * depth, "stem": 0.3 * depth}[bow]
    sweep = sweep_length(height, woods.bottom.thickness, woods.bottom.grain)
    sweep = min(max(sweep, _LEAST_SWEEP * length), _MOST_SWEEP * length)
    foot = length - (depth + sheer_rise - height) * math.tan(math.radians(rake))
    beam_at_bow = 2.0 * woods.side.thickness + _STEM_WIDTH if bow == "stem" else beam
    narrows_aft = table.beam_at_transom not in (None, beam)
    narrows_forward = (table.beam_at_bow or beam_at_bow) != beam
    fullest = 0.45 if bow == "stem" else 0.55
    parallel_to = table.parallel_to or (_tidy(fullest * length, units) if narrows_forward else length)
    parallel_from = min(_tidy(0.35 * length, units), parallel_to) if narrows_aft else 0.0
    default = values.HullSizes(
        length=length,
        beam=beam,
        depth=depth,
        bow=bow,
        beam_at_transom=beam,
        beam_at_bow=beam_at_bow,
        flare=0.0,
        flat_to=_tidy(foot - sweep, units, down=True),
        parallel_from=parallel_from,
        parallel_to=parallel_to,
        bow_height=height,
        bow_rake=rake,
        transom_rake=0.0,
        rocker=0.0,
        rocker_to=_tidy(0.3 * length, units) if table.rocker else 0.0,
        sheer_rise=sheer_rise,
        sheer_from=_tidy(0.5 * length, units),
    )
    return _filled(default, table)


def _tidy(length: float, units: Units, *, down: bool = False) -> float:
    """The length in whole sixteenths of an inch or whole millimetres, at least one."""
    per_step = MM_PER_INCH if units == "in" else 1.0
    steps_per = 16 if units == "in" else 1
    steps = math.floor(length / per_step * steps_per + (1e-9 if down else 0.5))
    return round(max(steps, 1) * per_step / steps_per, 6)


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The hull's three sizes, to which the defaults of all else keep their proportion."""

    length: float
    beam: float
    depth: float
    units: Units

    def share(self, fraction: float, of: float, at_most_inches: float = math.inf) -> float:
        """A share of one of the sizes, rounded, and never more than what suits the boats of a metre."""
        return min(_inch(at_most_inches), _tidy(fraction * of, self.units))

    def decks(self) -> values.Decks:
        return values.Decks(
            fore_from=self.share(0.60, self.length),
            after_to=self.share(0.23, self.length),
            after="hatch",
            beam_depth=self.share(0.2, self.depth, 1),
            batten_width=self.share(0.08, self.beam, 1),
            hatch_gap=_inch(1 / 16),
            coaming=0.0,
            crown=0.0,
        )

    def windscreen(self) -> values.Windscreen:
        return values.Windscreen(
            fitted=True,
            height=self.share(0.45, self.depth),
            width_foot=self.share(0.7, self.beam),
            width_top=self.share(0.6, self.beam),
            rake=30.0,
            wing=0.0,
            wing_angle=25.0,
        )

    def cleats(self) -> values.Cleats:
        height = self.share(0.1, self.depth, 0.5)
        return values.Cleats(height, height, height, knee_leg=self.share(0.4, self.depth, 2))

    def fin(self) -> values.Fin:
        return values.Fin(
            depth=self.share(2 / 42, self.length),
            root=self.share(3.5 / 42, self.length),
            tip=self.share(2.5 / 42, self.length),
            sweep=self.share(1 / 42, self.length),
            tab=self.share(0.075, self.depth, 3 / 8),
            behind_balance=0.015,
        )

    def engine(self) -> values.Engine:
        output_height = self.share(0.3, self.depth, 1.5)
        return values.Engine(
            mass=2300.0,
            fuel=200.0,
            output_height=output_height,
            centre_ahead=_inch(1.5),
            centre_height=self.share(0.5, self.depth, 2.5),
            plate_at=None,
            housing_bore=min(50.0, self.share(0.16, self.beam), 2.0 * (output_height - _inch(0.45))),
            bolt_circle=0.0,
            bolts=0,
            bolt_diameter=5.0,
            plate_width=self.share(0.47, self.beam, 6),
            plate_height=self.share(0.4, self.depth, 2),
            bearer_length=self.share(0.22, self.length, 9),
            bearer_height=self.share(0.15, self.depth, 0.75),
            bearer_gap=self.share(0.24, self.beam, 3),
            rpm=8000.0,
            power=750.0,
        )

    def drive(self) -> values.Drive:
        return values.Drive(
            propeller_diameter=67.0,
            propeller_behind=_inch(3.5),
            propeller_mass=60.0,
            strut_mass=120.0,
            shaft_diameter=_inch(1 / 4),
            shaft_mass=None,
            coupling_mass=100.0,
            tube_diameter=_inch(3 / 8),
            pitch=None,
            rotation="clockwise",
            bearings=None,
        )

    def rudder(self) -> values.Rudder:
        pad = self.share(0.4, self.depth, 2)
        return values.Rudder(
            offset=self.share(0.175, self.beam, 2.25),
            mass=120.0,
            pad_width=min(pad, self.share(0.16, self.beam)),
            pad_height=pad,
            depth=_tidy(67.0, self.units),
            throw=30.0,
        )

    def radio(self, decks: values.Decks) -> values.Radio:
        """The radio's shelf and box under what covers the stern."""
        # Under a deck that is glued round a hatch's coaming the shelf slides in below the after beam.
        low = (0.34, 1.75) if decks.on_coaming else (0.475, 2.375)
        shelf_height = self.share(low[0], self.depth, low[1])
        shelf_length = self.share(0.12, self.length, 5)
        return values.Radio(
            shelf_from=self.share(0.036, self.length, 1.5),
            shelf_length=shelf_length,
            shelf_height=shelf_height,
            box_length=shelf_length,
            box_width=self.share(0.31, self.beam, 4),
            box_height=self.share(0.35, self.depth, 1.75),
            mass=450.0,
            battery_mass=150.0,
            servo_mass=45.0,
            servo_length=41.0,
            servo_width=20.5,
            servo_screws=48.0,
        )

    def stand(self) -> values.Stand:
        return values.Stand(_inch(4), self.share(0.38, self.length), self.share(0.3, self.depth, 1.5))


def _radio(default: values.Radio, table: Table) -> values.Radio:
    """The radio box is as long as its shelf unless it is given."""
    radio = _filled(default, table)
    return radio if getattr(table, "box_length", None) else replace(radio, box_length=radio.shelf_length)


def _fitting(table: FittingTable) -> values.Fitting:
    return values.Fitting(table.name, table.mass, table.x, table.y, table.z)


def complete_shop(typed: ShopTable | None, units: Units, source: str) -> values.Shop:
    """Return the workshop with everything that was left out filled in.

    Args:
        typed: the [shop] table; None where there is none.
        units: of the file, which choose the market.
        source: where the sizes come from, the file's name.
    """
    table = typed or ShopTable()
    default = values.Shop(
        stock=(),
        market="inch" if units == "in" else "metric",
        cutting="through",
        saw_kerf=_inch(1 / 8),
        jigsaw_kerf=_inch(1 / 16),
        edge_trim=_inch(1 / 8),
        clearance=_inch(1 / 4),
    )
    given = {key: value for key, value in table if value is not None and key not in ("stock", "rack")}
    pieces: tuple[StockTable | RackTable, ...] = (*table.rack, *table.stock)
    stock = [_stock(each, units, source) for each in pieces]
    return replace(default, **given, stock=_with_unique_ids(stock))


def _stock(table: StockTable | RackTable, units: Units, source: str) -> values.Stock:
    leftover = isinstance(table, RackTable)
    kind: Any = "leftover" if isinstance(table, RackTable) else table.kind
    return values.Stock(
        id="-".join((kind, _figure(table.thickness, units), table.material, _face(table, units))),
        kind=kind,
        material=table.material,
        thickness=table.thickness,
        planed_to=table.planed_to or table.thickness,
        length=table.length,
        width=table.width,
        grain=table.grain or "length",
        available=table.available or (1 if leftover else None),
        price=0.0 if isinstance(table, RackTable) else table.price,
        source=source,
    )


def _face(table: StockTable | RackTable, units: Units) -> str:
    return f"{_figure(table.length, units)}x{_figure(table.width, units)}"


def _figure(length: float, units: Units) -> str:
    """A length for an id: a fraction of an inch where it is one, otherwise millimetres."""
    count = length / MM_PER_INCH * 32
    if units == "in" and round(count) > 0 and abs(count - round(count)) < 1e-6:
        return inches(length, 32).removesuffix(" in").replace(" ", "-")
    return f"{length:g}mm"


def _with_unique_ids(stock: list[values.Stock]) -> tuple[values.Stock, ...]:
    seen: dict[str, int] = {}
    named = []
    for each in stock:
        seen[each.id] = seen.get(each.id, 0) + 1
        named.append(each if seen[each.id] == 1 else replace(each, id=f"{each.id}-no{seen[each.id]}"))
    return tuple(named)
