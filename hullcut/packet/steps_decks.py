"""The building steps that seal and close the boat: sealer, foam, decks, hatch, windscreen."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hullcut.balance.foam_blocks import foam_blocks, foam_litres, foam_thickness
from hullcut.packet import foam_picture
from hullcut.packet.lists import span
from hullcut.packet.radio_shelf import foam_after_nuts, foam_after_shelf, shelf_comes_out
from hullcut.packet.runs import in_runs
from hullcut.packet.step import Step
from hullcut.packet.straps_picture import STRAP_EVERY, strapped_deck
from hullcut.parts.decks import beam_places
from hullcut.parts.hatch import has_coaming
from hullcut.stock.glues import glue

if TYPE_CHECKING:
    from hullcut.packet.step import Kit

__all__ = ["deck_steps"]

# What is bolted at the bow before foam and deck shut it off, by kind of bow.
_LOOP_NOW = {
    "pram": ("First bolt the bow loop through the bow transom, near its top. Use sealant and wide washers.",),
}
# What closes the bow, under the fore deck, by kind of bow.
_BOW_ENDS = {"sled": "nose block", "pram": "bow transom", "stem": "stem block"}


def deck_steps(kit: Kit) -> list[Step]:
    """Sealing, foam, beams, decks, windscreen."""
    design, hull = kit.plan.design, kit.plan.hull
    decks = design.decks
    over = design.laps.deck == "over"
    loose = "fore deck" if decks.after != "hatch" else "fore deck, the battens' places under the hatch"
    if has_coaming(hull):
        loose = "decks, the battens' places under the hatch"
    blocks = foam_blocks(hull, kit.plan.arrangement)
    # Where the shelf comes out, the step before took it out, and it stays out until the nuts are tight.
    late = foam_after_shelf(kit.plan) or foam_after_nuts(kit.plan)
    out, back = ("", "") if shelf_comes_out(kit.plan) else ("Lift out the radio shelf. ", "Lay the shelf back. ")
    steps = [
        Step(
            "Seal the inside",
            (),
            ("brush", "gloves", "rags", "tape", "jug"),
            (
                (
                    "Lift one side of the shelf past its sheer cleat, and take it out. "
                    if shelf_comes_out(kit.plan)
                    else ""
                )
                + "Vacuum all dust out. Open the windows before the tin.",
                "Tape shut the tube and, outside, the transom's drain hole. "
                f"Tape over all that gets glue later: edges, and strips under the {loose}.",
                "Brush sealer into every corner, on engine plate and shelf, and on the decks' undersides.",
                "Give end grain, edges, slots, drain and bolt holes a second coat.",
                "Let it dry as its label says. Then pull off the tape inside, but not at the tube.",
                "Run sealant along the bulkhead's edges and notches. Bed its plug's socket: plug in.",
            ),
            f"The sealant has set. Pour in water {kit.size(12.7)} deep, first ahead of the bulkhead: none comes aft. "
            "Then aft too. Wait ten minutes. A drop comes through? Dry it, seal it, try again. "
            "Two people tip it out. Take the tape off, and let the hull dry.",
            adult="An adult reads the label first and stays. Two-part sealer is for adults' hands.",
            out=("engine-plate", "radio box", "shaft", *(_SHELF if shelf_comes_out(kit.plan) else ())),
        ),
        Step(
            "Pack in the foam",
            (),
            ("knife", "steel rule", "sealant", "safety glasses"),
            (
                "Use closed-cell foam that fuel does not melt. Polystyrene melts in fuel: keep it out of this boat.",
                f"Is your foam thinner than {kit.size(foam_thickness(hull))}? "
                "Stick two layers together with sealant, and let it set." + _layered(kit),
                f"{out}An adult cuts the blocks of the table. Write on each its number.",
                *_LOOP_NOW.get(design.hull.bow, ()),
                *_fore_foam(kit),
                *_stern_foam(kit),
                f"Fix {'all other blocks' if late else 'every block'} with a dab of sealant that fuel does not soften. "
                f"{back}Fill small gaps with scraps.",
            ),
            f"All {sum(block.count for block in blocks)} blocks fit: {foam_litres(blocks):.1f} litres. "
            "None stands where engine, muffler, shaft or rods go.",
            adult="An adult cuts with the long knife.",
            draw=foam_picture.foam_in_place,
        ),
    ]
    # Under a closed deck no clamp reaches the cleats.
    edged = kit.screwed("fore-deck", "sheer-cleat")
    steps.append(
        Step(
            "Glue down the fore deck",
            kit.slugs("fore-deck"),
            (*(("clamps",) if edged else ("straps", "tape")), "screwdriver", "plane", "straightedge"),
            (
                "Lay a straightedge across from sheer to sheer. Plane until the straightedge touches both.",
                "Plane the beams level with it too"
                + (", and the bow transom's deck edge." if design.hull.bow == "pram" else "."),
                f"Try the deck dry, on the centre line, its after edge {kit.size(hull.length - decks.fore_from)} "
                "from the bow. Drill all screw holes now."
                + (f" Try it by the clock too: under {glue(design.glue).open_minutes} minutes." if edged else ""),
                f"Spread glue on {'sides, ' if over else ''}sheer cleats, bulkhead, beams and "
                f"{_BOW_ENDS[design.hull.bow]}.",
                _DECKING[design.hull.sheer_rise > 0.0],
                *(
                    ()
                    if edged
                    else (f"Strap hull and deck every {kit.size(STRAP_EVERY)}, and tape down its edges between.",)
                ),
                "Plane its edges flush when the glue is hard.",
            ),
            f"The fore deck's after edge is {kit.size(hull.length - decks.fore_from)} from the bow, measured level.",
            glue=True,
            until_hard=not edged,
            shift=(0.0, 0.0, 95.0),
            closer=None if edged else strapped_deck,
        )
    )
    steps += _cover_steps(kit)
    if design.windscreen.fitted:
        steps.append(_screen_step(kit))
    return steps


# Owners of the shelf's bodies and of what is glued on it.
_SHELF = ("shelf#", "servo-plate#", "servo-rail#")


# Where foam goes in the stern, by what covers it.
_STERN_ROOM = {"open": "in the stern", "deck": "under the after deck", "hatch": "under the hatch"}


def _layered(kit: Kit) -> str:
    """Which blocks are thicker than any foam that is bought, on every side."""
    thick = foam_thickness(kit.plan.hull) + 1.0
    found = [
        number
        for number, block in enumerate(foam_blocks(kit.plan.hull, kit.plan.arrangement), 1)
        if min(block.length, block.width_low, block.width_high, block.height) > thick
    ]
    return f" Blocks {in_runs(found)} always take two." if found else ""


def _fore_foam(kit: Kit) -> tuple[str, ...]:
    """The slices of the fore compartment."""
    blocks = foam_blocks(kit.plan.hull, kit.plan.arrangement)
    count = sum(1 for block in blocks if block.place == "fore")
    return (
        f"Stand slices 1 to {count} across the fore compartment, {kit.size(foam_thickness(kit.plan.hull))} thick.",
        f"{_first_in(kit)}Trim each until it slides in.",
    )


def _first_in(kit: Kit) -> str:
    """Which slices go in before the others, for they stand under the fore beam."""
    hull = kit.plan.hull
    beam = beam_places(hull)["deck-beam-fore"]
    ends = (beam, beam + hull.design.woods.deck_beam.thickness)
    blocks = enumerate(foam_blocks(hull, kit.plan.arrangement), 1)
    under = [n for n, block in blocks if block.place == "fore" and block.start < ends[1] and block.stop > ends[0]]
    return f"{in_runs(under)} go{'es' if len(under) == 1 else ''} in first, under the fore beam. " if under else ""


def _stern_foam(kit: Kit) -> tuple[str, ...]:
    """How much foam the stern needs, and which blocks lie there."""
    blocks = foam_blocks(kit.plan.hull, kit.plan.arrangement)
    reach = max((block.start + block.length for block in blocks if block.place == "aft"), default=0.0)
    ahead = reach > kit.plan.design.decks.after_to
    place = "in the stern" if ahead else _STERN_ROOM[kit.plan.design.decks.after]
    first = sum(1 for block in blocks if block.place == "fore") + 1
    litres = math.ceil(max(kit.plan.balance.foam.aft, kit.plan.design.foam.aft or 0.0) * 10.0 - 1e-6) / 10.0
    needed = f"The stern needs at least {litres:.1f} litres." if litres > 0.0 else ""
    here = foam_litres(blocks, "aft")
    # What blocks can't hold goes in as scraps; the organiser's sheet tells it as too little.
    short = f"Find room for {max(litres - here, 0.1):.1f} litres of scraps there too." if litres > here else ""
    if first > len(blocks):
        return (f"{needed} No block finds room {place}. {short}".strip(),)
    numbers = f"blocks {first}" if first == len(blocks) else f"blocks {first} and {len(blocks)}"
    held = f"Lay {numbers} {place}, on the bottom, at both sides: {here:.1f} litres."
    if ahead:
        held += " A spanner still reaches the bearers' nuts."
    late = foam_after_shelf(kit.plan)
    if late:
        held += f" Take blocks {late} out again: the shelf must pass first."
    if foam_after_nuts(kit.plan):
        held += f" Take blocks {foam_after_nuts(kit.plan)} out again: strut and rudder get their nuts first."
    return (" ".join(words for words in (needed, held, short) if words),)


def _screen_step(kit: Kit) -> Step:
    screen = kit.plan.design.windscreen
    parts, tools = kit.family("windscreen"), ("plane", "tape")
    check = f"It leans {screen.rake:.0f}° aft. Its upper edge is {kit.size(screen.width_top)} wide"
    if screen.wing <= 0.0:
        back = min(parts[0].finished_length, parts[0].finished_width) * math.sin(math.radians(screen.rake))
        check += f", {kit.size(back)} behind its foot"
    check += "."
    sentences: tuple[str, ...]
    if screen.wing <= 0.0:
        sentences = (
            "Plane the foot until the screen leans aft.",
            "Glue it on at the deck's after edge, its middle on the centre line.",
            f"Hold it with tape for {span(glue(kit.plan.design.glue).clamp_minutes)}.",
        )
    else:
        sentences = (
            "Plane the edges that meet in the folds to their bevel.",
            "Lay the three pieces side by side, outer faces up, and tape the two joints.",
            "Turn them over, glue the joints and fold the wings until the joints close.",
            "Plane the foot until it sits on the deck all round.",
            "Glue it down with the wings' ends at the deck's after edge.",
        )
    return Step("Glue on the windscreen", parts, tools, sentences, check, glue=True, shift=(-40.0, 0.0, 70.0))


# How the fore deck is screwed down, by whether the sheer rises.
_DECKING = {
    False: "Screw it down from its after edge forward.",
    True: "Bend it down from its after edge forward, screw by screw.",
}


_CROWN = (
    "Plane sides and cleats down to the curve of transom and beam.",
    "The deck bends over that curve: hold its middle down first.",
)


def _cover_steps(kit: Kit) -> list[Step]:
    decks = kit.plan.design.decks
    rim = has_coaming(kit.plan.hull)
    steps = []
    if decks.after == "deck":
        steps.append(
            Step(
                "Fit the after deck",
                kit.slugs("after-deck"),
                ("screwdriver", "plane"),
                (
                    *(_CROWN if decks.crown > 0.0 else ()),
                    "Lay the deck on dry, on the centre line, and drill all screw holes now.",
                    "Screw it on with no glue: battery and radio are under it.",
                    "Plane its edges flush with the sides and the transom.",
                ),
                f"With its screws out it lifts off freely. "
                f"Its fore edge is {kit.size(decks.after_to)} from the {kit.stern}.",
                shift=(0.0, 0.0, 95.0),
            )
        )
    if rim:
        steps.append(
            Step(
                "Glue down the after deck",
                kit.slugs("after-deck"),
                ("clamps", "screwdriver", "plane"),
                (
                    "Check everything below once more.",
                    *(_CROWN if decks.crown > 0.0 else ()),
                    "Try the deck dry, and drill all screw holes now.",
                    "Glue and screw it to sides, transom and beam.",
                    "Plane its edges flush when the glue is hard.",
                ),
                f"Its fore edge is {kit.size(decks.after_to)} from the {kit.stern}.",
                glue=True,
                shift=(0.0, 0.0, 95.0),
            )
        )
    if rim:
        steps.append(
            Step(
                "Glue in the coaming",
                kit.slugs("coaming"),
                ("clamps", "straightedge"),
                (
                    "Stand the side strips in the opening, against its edges.",
                    "Set the after and fore strips between them.",
                    "Lay a straightedge over all four: their tops lie level.",
                    "Glue them to the deck and to one another.",
                    "Seal the corners with glue: they keep the water out.",
                ),
                f"It stands {kit.size(decks.coaming)} above the deck.",
                glue=True,
                shift=(0.0, 0.0, 60.0),
            )
        )
    if decks.after != "hatch":
        return steps
    cleats = kit.screwed("hatch", "sheer-cleat")
    onto = "the coaming" if rim else "sheer cleats and beam" if cleats else "the beam alone"
    rest = (
        "Its battens drop inside the coaming."
        if rim
        else f"Its fore edge is {kit.size(decks.after_to)} from the {kit.stern}."
    )
    check = f"With its screws out it lifts off freely. {rest}"
    clamped = span(glue(kit.plan.design.glue).clamp_minutes)
    steps.append(
        Step(
            "Make the hatch",
            (*kit.slugs("hatch-batten"), *kit.family("hatch")),
            ("clamps", "screwdriver"),
            (
                f"Glue the battens under the hatch on their marks. Wait {clamped} in clamps.",
                "Keep glue off the hull: the hatch must lift.",
                "Then drop the hatch into place.",
                f"Drill and screw it to {onto}."
                + (" Afloat, waterproof tape holds its other edges down." if kit.taped_hatch else ""),
            ),
            check,
            glue=True,
            turns={"hatch#": (0.0, 0.0, 120.0), "hatch-batten": (0.0, 0.0, 70.0)},
        )
    )
    return steps
