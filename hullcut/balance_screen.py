"""What `balance` and `compare` print for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.markup import escape

from hullcut.balance.weights import centre_of_gravity
from hullcut.compare import changed_keys, measures_of
from hullcut.lengths import both
from hullcut.packet.organiser.rows import ESTIMATE, drive_rows, foam_rows, rest_rows, running_words
from hullcut.screen import console_for, table_of
from hullcut.stock.outfit import engine_range

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import Console

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.check import Check
    from hullcut.compare import Measure

__all__ = ["balance_screen", "compare_screen"]


def balance_screen(plans: Sequence[BoatPlan]) -> None:
    """Print weights, flotation, foam, shaft line and running of every design."""
    console = console_for()
    for plan in plans:
        _weights(console, plan)
        _rows(console, "At rest", rest_rows(plan))
        _rows(console, "Swamped", foam_rows(plan))
        _rows(console, "Shaft, fin and rudder", drive_rows(plan))
        _running(console, plan)
        _watch(console, plan.checks)


def _rows(console: Console, title: str, rows: Iterator[tuple[str, str]]) -> None:
    table = table_of(title, "", "")
    table.show_header = False
    for name, words in rows:
        table.add_row(name, escape(words))
    console.print(table)


def _weights(console: Console, plan: BoatPlan) -> None:
    found = plan.balance
    right = ("grams", "from transom", "to port", "above bottom")
    table = table_of(f"Weights of {plan.design.name}", "", *right, right=right)
    wooden = [each for each in found.weights if each.kind == "part"]
    mass, x, y, z = centre_of_gravity(wooden)
    lines = [(f"Wooden parts, {len(wooden)} kinds", mass, x, y, z)]
    lines += [(w.name, w.mass, w.x, w.y, w.z) for w in found.weights if w.kind != "part"]
    for name, grams, *place in lines:
        table.add_row(name, f"{grams:.0f}", *(_whole(each) for each in place))
    table.add_section()
    total = (_whole(each) for each in found.cg)
    table.add_row("Together, with half a tank", f"{found.mass:.0f}", *total, style="bold")
    console.print(table)
    share = found.cg[0] / plan.design.hull.length * 100.0
    words = f"Balances {both(found.cg[0], plan.design.units)} from the transom, {share:.1f} % of the length"
    if found.ballast is not None:
        words += f"; wanted {both(found.wanted, plan.design.units)}"
        words += f", which {found.ballast.mass:.0f} g of ballast {found.ballast.x:.0f} mm from the transom would give"
    console.print(f"{words}. Radius of gyration in pitch {found.radius:.0f} mm.", soft_wrap=True, markup=False)
    engine = engine_range()
    console.print(
        f"Engine: {engine.mass_low:.0f} to {engine.mass_high:.0f} g is usual; {engine.source}.",
        soft_wrap=True,
        markup=False,
    )


def _whole(mm: float) -> str:
    """Whole millimetres, never "-0"."""
    return f"{round(mm) + 0:d} mm"


def _running(console: Console, plan: BoatPlan) -> None:
    running = plan.balance.running
    heads = ("m/s", "trim °", "wetted mm", "drag N", "power W", "porpoises above °")
    table = table_of("Running, estimates", *heads, "outside the method's stated range", right=heads)
    top = running.reached.high if running.reached is not None else 8.0
    for run in running.runs:
        if run.speed > top + 0.75 or run.speed % 1.0:
            continue
        cells = ["", "", "", ""]
        if run.trim is not None and run.drag is not None and run.power is not None and run.wetted is not None:
            drag = f"{run.drag.likely:.0f} ({run.drag.low:.0f}-{run.drag.high:.0f})"
            power = f"{run.power.likely:.0f} ({run.power.low:.0f}-{run.power.high:.0f})"
            cells = [f"{run.trim:.1f}", f"{run.wetted:.0f}", drag, power]
        table.add_row(f"{run.speed:.0f}", *cells, f"{run.porpoising:.1f}", "; ".join(run.flags))
    console.print(table)
    console.print(running_words(plan), soft_wrap=True, markup=False)
    console.print(ESTIMATE, markup=False)


def _watch(console: Console, checks: Sequence[Check]) -> None:
    for each in checks:
        if each.status == "ok":
            continue
        value = "" if each.value is None else f" {each.value:.1f} {each.unit},"
        limit = "" if each.limit is None else f" limit {each.limit:.1f} ({each.source});"
        head = {"warn": "watch", "fail": "FAILS"}[each.status]
        console.print(f"{head}: {each.name}:{value}{limit} {each.advice}", soft_wrap=True, markup=False)


def compare_screen(a: OrderPlan, b: OrderPlan) -> None:
    """Print the designs of two files side by side, pair by pair, and what was changed."""
    console = console_for()
    for one, other in zip(a.boat_plans, b.boat_plans, strict=False):
        names = _told_apart(one.design.name, other.design.name)
        table = table_of(f"{names[0]} and {names[1]}", "", *names, "change", right=(*names, "change"))
        for row in measures_of(a, one, b, other):
            table.add_row(*(escape(cell) for cell in _cells(row)))
        console.print(table)
        keys = table_of("Changed in the design (lengths in mm, weights in g)", "key", *names)
        changed = changed_keys(one.design, other.design)
        for key, before, after in changed:
            keys.add_row(escape(key), escape(before), escape(after))
        console.print(keys if changed else "Both designs say the same.")
    more = abs(len(a.boat_plans) - len(b.boat_plans))
    if more:
        console.print(f"{more} further design{'s' if more > 1 else ''} had nothing to be set beside.")


def _told_apart(one: str, other: str) -> tuple[str, str]:
    """Both names; two of a name are told apart."""
    return (one, other) if one != other else (f"{one} (A)", f"{other} (B)")


def _cells(row: Measure) -> tuple[str, str, str, str]:
    """Name, first, second and change of a measure as written."""
    one, other = (
        "" if value is None else f"{value:.{row.places}f} {row.unit}".strip() for value in (row.first, row.second)
    )
    return row.name, one, other, "" if not row.change else f"{row.change:+.{row.places}f}"
