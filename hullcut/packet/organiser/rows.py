"""How a boat floats, stays afloat and is driven, as rows of a name and words: for the screen and on paper."""

from __future__ import annotations

from math import ceil, isnan
from typing import TYPE_CHECKING

from hullcut.balance.engine_room import engine_room
from hullcut.balance.foam_blocks import HEAT_CLEAR, foam_blocks, foam_litres
from hullcut.balance.weights import ROD_SHORT, rod_pieces
from hullcut.lengths import both

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hullcut.boat_plan import BoatPlan

__all__ = ["ESTIMATE", "drive_rows", "foam_rows", "rest_rows", "running_words"]

ESTIMATE = (
    "Running figures are estimates. Method: Savitsky 1964, its equations from memory, friction by the ITTC-1957 line; "
    "+30 % for fin, strut, shaft, rudder and air (20 to 40). Stated for trims of 2 to 15 degrees; a light boat leaves "
    "that at about 6 to 7 m/s, and what stands beyond is drawn on, not promised."
)
"""What the running figures rest on."""


def rest_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    """Flotation at rest."""
    lies, units = plan.balance.flotation, plan.design.units
    if lies is None:
        yield "It sinks", "it weighs more than its hull can carry, or its weight pulls one end under"
        return
    water = lies.water
    yield "Water", f"{water.kind}, {water.temperature:g} °C, {water.density:.1f} kg/m³"
    yield "Draft", f"{both(lies.draft, units)}; at the transom {both(lies.draft_aft, units)}"
    end = "stern" if lies.trim >= 0.0 else "bow"
    empty, full = ("sinks" if isnan(each) else f"{each:.2f}°" for each in (lies.empty_trim, lies.full_trim))
    yield "Trim", f"{abs(lies.trim):.2f}° by the {end}; with the tank empty {empty}, full {full}"
    side = "port" if lies.heel >= 0.0 else "starboard"
    yield "Lean", f"{abs(lies.heel):.2f}° to {side}, from weights off the middle"
    yield (
        "Freeboard",
        f"least {both(lies.freeboard, units)}, {lies.freeboard_x:.0f} mm from the transom; at the transom "
        f"{both(lies.freeboard_aft, units)}",
    )
    if lies.opening > 0.0:
        yield "First opening", f"{both(lies.opening, units)} above the water; reached at a heel of {lies.floods:.0f}°"
    else:
        yield "First opening", "under water: it fills"
    yield "Waterplane", f"{lies.waterplane * 1e-2:.0f} cm², its centre {lies.floating_centre:.0f} mm from the transom"
    rights = f"it rights itself up to {lies.vanishes:.0f}°, the decks tight" if lies.gm > 0.0 else "it falls over"
    yield "Steadiness", f"GM {lies.gm:.0f} mm; {rights}"
    forward = lies.line[0] + lies.line[1] * lies.meets
    yield (
        "Waterline",
        f"{both(lies.line[0], units)} up at the transom; its fore end {both(lies.meets, units)} forward, "
        f"{both(forward, units)} up",
    )


def foam_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    """Foam that keeps a swamped boat afloat."""
    need, foam, units = plan.balance.foam, plan.design.foam, plan.design.units
    blocks = foam_blocks(plan.hull, plan.arrangement)
    yield "What sinks", f"{need.sinking:.0f} g in water, counted 1.5 times; wet wood lifts {need.lifting:.0f} g"
    yield "Foam needed", f"{_needed(need.upright)} litres upright, {_needed(need.capsized)} upside down"
    for words, litres, room, length, spare in (
        (
            "in the fore compartment",
            need.fore,
            foam_litres(blocks, "fore"),
            need.fore_round,
            "none needed by reckoning, filled by custom",
        ),
        ("in the stern", need.aft, foam_litres(blocks, "aft"), need.aft_round, "none needed by reckoning"),
    ):
        size = f"{both(foam.diameter, units)} with a bore of {both(foam.bore, units)}"
        room_words = f"the blocks that the packet tells hold {room:.1f}"
        needed = f"{_needed(litres)} litres, {both(length, units)} of round foam {size}; {room_words}"
        if litres > room:
            needed += ": TOO LITTLE, swamped this end may go under"
        yield f"  {words}", needed if litres > 0.0 else f"{spare}; {room_words} litres"
    yield "Blocks", f"{foam_litres(blocks):.1f} litres in all, {both(HEAT_CLEAR, units)} or more from the engine"
    yield "Kind", "closed-cell foam that fuel does not melt: no polystyrene near fuel"


def _needed(litres: float) -> str:
    """Foam that is needed, rounded up to a tenth as the packet does: less would be too little."""
    return f"{ceil(litres * 10.0 - 1e-6) / 10.0:.1f}"


def drive_rows(plan: BoatPlan) -> Iterator[tuple[str, str]]:
    """Shaft line, propeller, fin and rudder."""
    shaft, found, units = plan.arrangement.shaft, plan.balance, plan.design.units
    line, hands, rudder = found.drive, found.handling, plan.design.rudder
    yield "Shaft angle", f"{shaft.angle:.1f}°; aim for 10° at most"
    yield (
        "Engine an inch off, before the log is glued",
        f"forward: shaft {line.inch_forward:.1f}°, balance point {found.inch_moves:.0f} mm forward; "
        f"aft: {line.inch_aft:.1f}°, {found.inch_moves:.0f} mm aft",
    )
    slot = f"{shaft.slot_from:.0f} to {shaft.slot_to:.0f} mm"
    yield (
        "Leaves the bottom",
        f"{both(shaft.exit_x, units)} from the transom; slot {slot}, sawn, never drilled freehand",
    )
    hub, nut = (both(piece, units) for piece in rod_pieces(plan.arrangement))
    yield (
        "Rod",
        f"cut about {both(line.rod, units)} long: {hub} from the hub's middle to its end in the coupling, "
        f"{nut} for thread and nut; it ends {both(ROD_SHORT, units)} abaft the engine plate, and is marked in the "
        "coupling before it is sawn",
    )
    yield (
        "Thrust",
        "washers between strut and drive dog take it, never the engine's clutch; the collar only keeps the rod in",
    )
    room = engine_room(plan.hull, plan.arrangement)
    yield (
        "Engine's room",
        f"{both(room.between, units)} between the bearers; over their tops {both(room.over, units)} up to the sheer "
        f"and {both(room.across, units)} across; {both(room.ahead, units)} from the plate to the bulkhead",
    )
    yield "Coupling", "true within 0.5 mm and 0.5°, lined up on a straight dummy rod before the log is glued"
    places = " and ".join(
        f"{', '.join(f'{abs(each):.0f}' for each in some)} mm {words}"
        for words, some in (
            ("behind", [place for place in line.places if place < 0.0]),
            ("ahead", [place for place in line.places if place >= 0.0]),
        )
        if some
    )
    yield (
        "Bearings",
        f"{line.bearings}: {places} of the transom, {line.span:.0f} apart (at most {line.longest:.0f}); "
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


def running_words(plan: BoatPlan) -> str:
    """Speed reached and the pitch that suits it, in a sentence or two."""
    running = plan.balance.running
    if running.reached is None:
        return "It does not get onto the plane with this engine."
    band, watts = running.reached, plan.design.engine.power
    ends = f"{'over ' if running.capped else ''}{band.high:.1f}"
    words = f"With {watts:.0f} W it reaches about {band.likely:.0f} m/s, between {band.low:.1f} and {ends}."
    if running.pitch is not None:
        words += f" A pitch of {running.pitch.low:.0f} to {running.pitch.high:.0f} mm suits that"
        words += f" at {plan.design.engine.rpm:.0f} turns a minute."
    return words
