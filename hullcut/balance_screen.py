"""What `balance` and `compare` print for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.markup import escape

from hullcut.balance.weights import centre_of_gravity
from hullcut.compare import changed_keys, measures_of
from hullcut.lengths import both
from hullcut.screen import console_for, table_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import Console

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.check import Check
    from hullcut.compare import Measure

__all__ = ["balance_screen", "compare_screen"]

_ESTIMATE = (
    "Running figures are estimates. Method: Savitsky 1964, its equations from memory, friction by the ITTC-1957 line; "
    "+30 % for fin, strut, shaft, rudder and air (20 to 40). Stated for trims of 2 to 15 degrees; a light boat leaves "
    "that at about 6 to 7 m/s, and what stands beyond is drawn on, not promised."
)


def balance_screen(plans: Sequence[BoatPlan]) -> None:
    """Print weights, flotation, foam, shaft line and running of every design."""
    console = console_for()
    for plan in plans:
        _weights(console, plan)
        _rows(console, "At rest", _rest_rows(plan))
        _rows(console, "Swamped", _foam_rows(plan))
        _rows(console, "Shaft, fin and rudder", _drive_rows(plan))
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


def _whole(mm: float) -> str:
    """Whole millimetres, never "-0"."""
    return f"{round(mm) + 0:d} mm"


def _rest_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    lies, units = plan.balance.flotation, plan.design.units
    if lies is None:
        yield "It sinks", "it weighs more than its hull can carry"
        return
    water = lies.water
    yield "Water", f"{water.kind}, {water.temperature:g} °C, {water.density:.1f} kg/m3"
    yield "Draft", f"{both(lies.draft, units)}; at the transom {both(lies.draft_aft, units)}"
    end = "stern" if lies.trim >= 0.0 else "bow"
    yield (
        "Trim",
        f"{abs(lies.trim):.2f}° by the {end}; with the tank empty {lies.empty_trim:.2f}°, full {lies.full_trim:.2f}°",
    )
    side = "port" if lies.heel >= 0.0 else "starboard"
    yield "Lean", f"{abs(lies.heel):.2f}° to {side}, from weights off the middle"
    yield (
        "Freeboard",
        f"least {both(lies.freeboard, units)}, {lies.freeboard_x:.0f} mm from the transom; at the transom "
        f"{both(lies.freeboard_aft, units)}",
    )
    yield "First opening", f"{both(lies.opening, units)} above the water; reached at a heel of {lies.floods:.0f}°"
    yield "Waterplane", f"{lies.waterplane * 1e-2:.0f} cm2, its centre {lies.floating_centre:.0f} mm from the transom"
    yield "Steadiness", f"GM {lies.gm:.0f} mm; it rights itself up to {lies.vanishes:.0f}°, the decks tight"
    forward = lies.line[0] + lies.line[1] * lies.meets
    yield (
        "Waterline",
        f"{both(lies.line[0], units)} up at the transom; meets the bottom {both(lies.meets, units)} forward, "
        f"{both(forward, units)} up",
    )


def _foam_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    need, foam, units = plan.balance.foam, plan.design.foam, plan.design.units
    yield "What sinks", f"{need.sinking:.0f} g in water, counted 1.5 times; wet wood lifts {need.lifting:.0f} g"
    yield "Foam needed", f"{need.upright:.1f} litres upright, {need.capsized:.1f} upside down"
    for words, litres, room, length in (
        ("in the fore compartment", need.fore, need.fore_room, need.fore_round),
        ("in the stern", need.aft, need.aft_room, need.aft_round),
    ):
        size = f"{both(foam.diameter, units)} with a bore of {both(foam.bore, units)}"
        room_words = f"there is room for {room.litres:.1f}"
        needed = f"{litres:.1f} litres, {both(length, units)} of round foam {size}; {room_words}"
        yield f"  {words}", needed if litres > 0.0 else f"none needed; {room_words} litres"
    yield "Kind", "closed-cell foam that fuel does not melt: no polystyrene near fuel"


def _drive_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    shaft, found, units = plan.arrangement.shaft, plan.balance, plan.design.units
    line, hands, rudder = found.drive, found.handling, plan.design.rudder
    yield (
        "Shaft angle",
        f"{shaft.angle:.1f}°; engine an inch forward {line.inch_forward:.1f}°, aft {line.inch_aft:.1f}°",
    )
    slot = f"{shaft.slot_from:.0f} to {shaft.slot_to:.0f} mm"
    yield (
        "Leaves the bottom",
        f"{both(shaft.exit_x, units)} from the transom; slot {slot}, sawn, never drilled freehand",
    )
    yield "Rod", f"cut {both(line.rod, units)} long"
    places = ", ".join(f"{place:.0f}" for place in line.places)
    yield (
        "Bearings",
        f"{line.bearings} at x = {places} mm, {line.span:.0f} apart (at most {line.longest:.0f}); "
        f"critical at {line.critical:.0f} turns, least {line.least:.0f}",
    )
    yield "Propeller", f"hub {both(-shaft.hub_x, units)} behind the transom, {both(-shaft.hub_z, units)} below, ± 3 mm"
    behind = (found.cg[0] - found.fin_centre) / plan.design.hull.length * 100.0
    yield "Fin", f"its after end {both(plan.arrangement.fin_x, units)} from the transom, centre {behind:.1f} % behind"
    yield (
        "Rudder",
        f"{both(abs(rudder.offset), units)} to {'port' if rudder.offset > 0.0 else 'starboard'}, "
        f"{both(rudder.depth, units)} below the bottom, throw {rudder.throw:.0f}°",
    )
    yield (
        "It pulls",
        f"propeller {hands.rotation} seen from astern: the stern walks to {hands.stern_walks}, "
        f"it turns better to {hands.better_turn}",
    )


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
    if running.reached is None:
        console.print("It does not get onto the plane with this engine.")
    else:
        band, watts = running.reached, plan.design.engine.power
        ends = f"{'over ' if running.capped else ''}{band.high:.1f}"
        words = f"With {watts:.0f} W it reaches about {band.likely:.0f} m/s, between {band.low:.1f} and {ends}."
        if running.pitch is not None:
            words += f" A pitch of {running.pitch.low:.0f} to {running.pitch.high:.0f} mm suits that"
            words += f" at {plan.design.engine.rpm:.0f} turns a minute."
        console.print(words, soft_wrap=True, markup=False)
    console.print(_ESTIMATE, markup=False)


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
