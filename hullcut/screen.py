"""What the commands print for people: tables that read well on a terminal and in a file."""

from __future__ import annotations

from fnmatch import fnmatch
from typing import TYPE_CHECKING

from rich import box
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from hullcut.lengths import Units, both, feet_inches, inches, millimetres
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.check import Check
    from hullcut.design.values import Order, Stock
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.nesting.values import Bound
    from hullcut.parts.values import Part
    from hullcut.pipeline import Made

__all__ = [
    "checks_screen",
    "console_for",
    "failures_screen",
    "parts_screen",
    "sheets_screen",
    "table_of",
    "written_screen",
]

_WORDS = {"ok": "holds", "warn": "watch", "fail": "FAILS"}


def console_for(stderr: bool = False) -> Console:
    """A console for tables, wide where it is no terminal."""
    console = Console(stderr=stderr, highlight=False)
    if not console.is_terminal:
        console.width = 140
    return console


def table_of(title: str, *columns: str, right: Sequence[str] = ()) -> Table:
    """A table with headed columns, some of them set to the right."""
    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, pad_edge=False)
    for column in columns:
        table.add_column(column, justify="right" if column in right else "left", overflow="fold")
    return table


def _figure(value: float | None) -> str:
    if value is None:
        return ""
    if abs(value) < 0.0005:
        return "0"
    return f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.3g}"


def checks_screen(plans: Sequence[BoatPlan]) -> None:
    """Print every check of every design."""
    console = console_for()
    for plan in plans:
        table = table_of(f"Checks of {plan.design.name}", "", "check", "value", "limit", "unit", "what to do", "source")
        for each in plan.checks:
            table.add_row(
                _WORDS[each.status],
                each.name,
                _figure(each.value),
                _figure(each.limit),
                each.unit,
                escape(each.advice),
                each.source,
            )
        console.print(table)
        console.print(_count(plan.checks))


def _count(checks: Sequence[Check]) -> str:
    hold, watch, fail = (sum(each.status == status for each in checks) for status in _WORDS)
    return f"{len(checks)} checks: {hold} hold, {watch} to watch, {fail} fail."


def parts_screen(order: Order, plans: Sequence[BoatPlan]) -> None:
    """Print the parts list of every design, with counts for one boat and for the order."""
    console = console_for()
    for plan in plans:
        boats = sum(boat.design == plan.design.name for boat in order.boats)
        table = table_of(
            f"Parts of {plan.design.name}, {boats} boat{'s' if boats > 1 else ''}",
            "part",
            "count",
            "length",
            "width",
            "thick",
            "wood",
            "grain",
            "each",
            right=("count", "each"),
        )
        units = plan.design.units
        for part in plan.parts:
            table.add_row(
                part.name,
                str(part.quantity * boats),
                both(part.finished_length, units),
                both(part.finished_width, units),
                both(part.thickness, units, 32, decimals=1),
                wood(part.material).name,
                part.grain,
                f"{part.mass:.0f} g",
            )
        console.print(table)
        for words in _glue_up_words(plan.glue_ups, plan.parts, units):
            console.print(words)
        afloat = sum(part.mass * part.quantity for part in plan.parts if part.family != "stand")
        console.print(f"Wood afloat in one boat: {afloat / 1000.0:.2f} kg. The stand stays ashore.")


def _glue_up_words(glue_ups: Sequence[GlueUp], parts: Sequence[Part], units: Units) -> Iterator[str]:
    """A line for each part that is glued up: from which strips, and how much is planed off and glued."""
    names = {part.id: part.name for part in parts}
    for glued in glue_ups:
        sizes = " and ".join(
            f"{both(strip.finished_length, units)} x {both(strip.finished_width, units)}" for strip in glued.strips
        )
        spare = both(glued.allowance, units, 32, decimals=1)
        yield (
            f"{names[glued.part]} is glued up from two boards: strips of {sizes}, "
            f"{spare} planed off each edge that meets, "
            f"{glued.area * 1e-2:.0f} cm² of glue."
        )


def _stock_name(stock: Stock) -> str:
    kind = {"sheet": "sheet", "board": "board", "leftover": "leftover from the rack"}[stock.kind]
    return f"{wood(stock.material).name}, {kind}"


def sheets_screen(plan: OrderPlan) -> None:
    """Print what to buy, how it is cut, and how near that is to the least possible."""
    console = console_for()
    units = plan.order.units
    table = table_of(
        f"What to buy for {plan.order.name}",
        "count",
        "stock",
        "size",
        "as sold",
        "planed to",
        "cost",
        right=("count", "cost"),
    )
    for line in plan.layout.shopping:
        stock = line.stock
        planed = "" if stock.planed_to == stock.thickness else both(stock.planed_to, units, 32, decimals=1)
        table.add_row(
            str(line.count),
            _stock_name(stock),
            _size(stock, units),
            both(stock.thickness, units, 32, decimals=1),
            planed,
            "" if line.cost is None else f"{line.cost:.2f}",
        )
    console.print(table)
    bought = [line.cost for line in plan.layout.shopping if line.stock.kind != "leftover"]
    known = [cost for cost in bought if cost is not None]
    if known:
        missing = len(bought) - len(known)
        rest = f"; {missing} without a price" if missing else ""
        console.print(f"Together {sum(known):.2f}, at the prices in the file{rest}.")
    if any(line.stock.planed_to != line.stock.thickness for line in plan.layout.shopping):
        console.print("Planed to: resawn or planed by an adult, or bought planed.")
    for words in _glue_up_words(plan.glue_ups, tuple(plan.parts.values()), units):
        console.print(words)
    _share_rows(console, plan)
    _sheet_rows(console, plan)
    _bound_rows(console, plan)
    if plan.layout.stopped:
        console.print("The search was stopped: this is the best plan found until then.")


def _share_rows(console: Console, plan: OrderPlan) -> None:
    """What each boat's and each extra part's wood costs, where there are several and every price is known."""
    shares = plan.cost_shares
    if shares is None or len(shares.boats) + len(shares.extras) < 2:
        return
    builders = {boat.id: boat.builder for boat in plan.order.boats}
    table = table_of("Share of the cost", "boat or part", "builder", "wood", right=("wood",))
    for boat, cost in shares.boats:
        table.add_row(boat, escape(builders[boat]), f"{cost:.2f}")
    for part, cost in shares.extras:
        table.add_row(f"{plan.parts[part].quantity} × {part}", "", f"{cost:.2f}")
    table.add_row("together", "", f"{shares.total:.2f}")
    console.print(table)
    console.print("Each wood's cost is shared by the area of the blanks cut from it, waste in the same proportion.")


def _statement(bound: Bound) -> str:
    """How near a plan is to the least possible, for its way of cutting."""
    way = {"through": "straight through cuts", "shape": "sawn outlines"}[bound.cutting]
    if bound.proven_best:
        return f"this plan is the least possible ({way}; {bound.how})"
    if bound.at_least <= 0.0:
        return f"no proof ({way})"
    above = (bound.plan / bound.at_least - 1.0) * 100.0
    return f"at most {above:.1f} % above the least possible ({way}; {bound.how})"


def _size(stock: Stock, units: Units) -> str:
    if units == "in":
        return f"{feet_inches(stock.length)} x {inches(stock.width)}"
    return f"{millimetres(stock.length)} x {millimetres(stock.width)}"


def _sheet_rows(console: Console, plan: OrderPlan) -> None:
    numbers = ("no.", "pieces", "cuts", "used")
    table = table_of("Cutting", "no.", "stock", "size", "pieces", "cuts", "used", right=numbers)
    for sheet in plan.layout.sheets:
        table.add_row(
            str(sheet.number),
            _stock_name(sheet.stock),
            _size(sheet.stock, plan.order.units),
            str(len(sheet.placements)),
            str(len(sheet.cuts)),
            f"{sheet.used_fraction * 100.0:.0f} %",
        )
    console.print(table)


def _bound_rows(console: Console, plan: OrderPlan) -> None:
    table = table_of("Against the least possible", "wood", "thick", "counted", "plan", "least possible", "so")
    for each in plan.layout.bounds:
        table.add_row(
            wood(each.material).name,
            both(each.thickness, plan.order.units, 32, decimals=1),
            each.objective,
            _figure(each.plan),
            _figure(each.at_least),
            _statement(each),
        )
    console.print(table)


def failures_screen(plan: OrderPlan) -> None:
    """Print, to the error stream, what fails and what to watch."""
    console = console_for(stderr=True)
    for each in plan.boat_plans:
        for found in each.checks:
            if found.status != "ok":
                value = f" {_figure(found.value)}" if found.value is not None else ""
                limit = f", limit {_figure(found.limit)}" if found.limit is not None else ""
                head = f"{_WORDS[found.status]}: {each.design.name}: {found.name}"
                console.print(f"{head}:{value} {found.unit}{limit}; {found.advice}", soft_wrap=True, markup=False)


# What a person opens first stands first.
_FILES = (
    ("packet.pdf", "the build packet"),
    ("packets", "a build packet for each boat"),
    ("class.pdf", "one shopping list and cutting plan for all boats, labels for the kits"),
    ("shopping.csv", "what to buy, for a spreadsheet"),
    ("templates.pdf", "full-size templates: print at 100 % and measure the bar"),
    ("card_model.pdf", "the boat in card, to try first"),
    ("measures.pdf", "every part by measures, to mark out without a printer"),
    ("sheets", "the cutting plan of each sheet, SVG and DXF"),
    ("organiser.pdf", "weights, flotation, running and checks, for the organiser"),
    ("pictures", "three views, the boat drawn apart and as built, SVG"),
    ("parts", "each part, SVG"),
    ("parts.csv", "the parts list, for a spreadsheet"),
    ("rack_after.toml", "the leftovers afterwards, ready for the next order"),
    ("layout.json", "the layout, to be used again with --layout"),
    ("plan.json", "everything, for programs"),
)


def written_screen(made: Made) -> None:
    """Print where the results are."""
    console = console_for()
    console.print(f"Wrote {len(made.paths)} files to {made.folder}", soft_wrap=True, markup=False)
    heads = {path.relative_to(made.folder).parts[0] for path in made.paths}
    for name, words in _FILES:
        stem, _, ending = name.partition(".")
        # A file of one design: where an order has several, their names are part of it.
        of_each = f"{stem}-*.{ending}"
        if name in heads:
            console.print(f"  {name:<17} {words}", markup=False)
        elif any(fnmatch(head, of_each) for head in heads):
            console.print(f"  {of_each:<17} {words}", markup=False)
