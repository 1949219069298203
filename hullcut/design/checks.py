"""Whether the sizes of a design agree with one another.

Each check names the keys that can be changed; the first of them that stands in the file is blamed, so that a
fault points at something that the person wrote. The limits are the project's own; they only keep out what
cannot be meant.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields

from hullcut.design.extras import glue_up_findings
from hullcut.design.lines import line_of
from hullcut.design.values import Design, HullSizes, Shop
from hullcut.errors import Fault
from hullcut.lengths import MM_PER_INCH, Units, inches, millimetres

__all__ = ["design_faults", "shop_faults"]

SHORTEST_MM, LONGEST_MM = 200.0, 3000.0
LEAST_BEAM, MOST_BEAM = 0.05, 0.60
LEAST_DEPTH, MOST_DEPTH = 0.03, 0.30
SLACK_MM = 1e-6
STEEPEST_RAKE = 60.0
# Screws nearer than this leave those of the next part no place between them, mm: hullcut's own limit.
_LEAST_SPACING = 19.05


@dataclass(frozen=True, slots=True)
class _Finding:
    keys: tuple[str, ...]
    problem: str
    remedy: str


_Findings = Iterator[_Finding]


def design_faults(design: Design) -> list[Fault]:
    """Return one fault for each pair of sizes that cannot both be meant.

    Where the hull itself is at fault, nothing else is measured against it.

    Args:
        design: complete, each value already sound by itself.
    """
    write = _Writer(design.units)
    findings = list(_main_sizes(design, write))
    if not findings and design.hull.offsets is not None:
        findings = [*_ends(design, write), *_inside(design, write)]
    elif not findings:
        findings = [*_bow(design, write), *_plan(design, write), *_inside(design, write)]
    if not findings:
        for check in (_decks, _small_parts, _fin, _engine, _drive, _radio, _fittings, _stand):
            findings += check(design, write)
    findings += _glue_up(design)
    return _faults(findings, design.file, dict(design.lines))


def _glue_up(design: Design) -> _Findings:
    for field in fields(design.woods):
        chosen = getattr(design.woods, field.name)
        if chosen.glue_up:
            for key, problem, remedy in glue_up_findings(chosen.material, f"wood.{field.name}"):
                yield _Finding((key,), problem, remedy)


def shop_faults(shop: Shop, file: str, lines: Mapping[str, int], units: Units) -> list[Fault]:
    """Return one fault for each thing in a workshop that cannot be meant.

    Args:
        shop: complete.
        file: the file that holds its table.
        lines: of that file.
        units: of that file.
    """
    return _faults(list(_shop(shop, _Writer(units))), file, dict(lines))


def _faults(findings: list[_Finding], file: str, lines: dict[str, int]) -> list[Fault]:
    faults = []
    for finding in findings:
        key = next((key for key in finding.keys if key in lines), finding.keys[0])
        problem = finding.problem if key == finding.keys[0] else f"{finding.keys[0]} {finding.problem}"
        faults.append(Fault(file, line_of(key, lines), key, problem, finding.remedy))
    return faults


@dataclass(frozen=True, slots=True)
class _Writer:
    """Writes lengths in the file's units."""

    units: Units

    def __call__(self, mm: float) -> str:
        if self.units == "mm":
            return millimetres(mm, 0 if abs(mm - round(mm)) < 0.05 else 1)
        near = round(mm / MM_PER_INCH * 32) / 32 * MM_PER_INCH
        return inches(mm, 32) if abs(mm - near) < 0.4 else f"{mm / MM_PER_INCH:.2f} in"

    def at_most(self, keys: tuple[str, ...], size: float, limit: float, than: str) -> _Findings:
        """A finding where a size is greater than a limit."""
        if size > limit + SLACK_MM:
            yield _Finding(keys, f"is {self(size)}, more than {than}", self._or_less(keys[0], limit))

    def _or_less(self, key: str, limit: float) -> str:
        if limit <= 0:
            return f"make {key} smaller"
        return f"write {key} as {self(self._down(limit))} or less"

    def _down(self, limit: float) -> float:
        step = MM_PER_INCH / 32 if self.units == "in" else 0.1
        return math.floor(limit / step + SLACK_MM) * step

    def between(self, key: str, size: float, low: float, high: float, why: str) -> _Findings:
        """A finding where a size lies outside two limits."""
        if not low - SLACK_MM <= size <= high + SLACK_MM:
            yield _Finding((key,), f"is {self(size)}, {why}", f"write {key} between {self(low)} and {self(high)}")


def _main_sizes(design: Design, write: _Writer) -> _Findings:
    hull = design.hull
    yield from write.between("hull.length", hull.length, SHORTEST_MM, LONGEST_MM, "not the length of a model boat")
    low, high = LEAST_BEAM * hull.length, MOST_BEAM * hull.length
    why = f"out of proportion to a length of {write(hull.length)}"
    yield from write.between("hull.beam", hull.beam, low, high, why)
    yield from write.between("hull.depth", hull.depth, LEAST_DEPTH * hull.length, MOST_DEPTH * hull.length, why)
    for key, size in (("beam_at_transom", hull.beam_at_transom), ("beam_at_bow", hull.beam_at_bow)):
        yield from write.at_most((f"hull.{key}", "hull.beam"), size, hull.beam, "hull.beam, the greatest width")


def _ends(design: Design, write: _Writer) -> _Findings:
    """What no table of offsets may ask for: ends that lean over backward, or a bow too thin to build."""
    hull = design.hull
    for key, lean in (("transom_rake", hull.transom_rake), ("bow_rake", hull.bow_rake)):
        if not -1.0 <= lean <= STEEPEST_RAKE:
            end, way = ("transom", "aft") if key == "transom_rake" else ("bow", "forward")
            yield _Finding(
                ("hull.offsets",),
                f"lean the {end} {lean:.0f} degrees {way}",
                f"move the last points of chine and sheer there until it leans 0 to {STEEPEST_RAKE:.0f} degrees",
            )
    least = 2.0 * design.woods.side.thickness + 4.0
    if hull.bow == "pram" and hull.beam_at_bow < least:
        yield _Finding(
            ("hull.offsets", "wood.side.thickness"),
            f"leave {write(hull.beam_at_bow)} over both sides at the bow, neither a bow transom nor a stem",
            f"bring both half breadths to 0 there for a stem, or the width to {write(least)} or more",
        )


def _plan(design: Design, write: _Writer) -> _Findings:
    hull = design.hull
    yield from write.at_most(
        ("hull.flat_to", "hull.depth", "hull.length"),
        hull.flat_to,
        foot_of_bow(hull) - hull.bow_height,
        f"a sweep that rises by {write(hull.bow_height)} leaves",
    )
    yield from write.at_most(
        ("hull.parallel_to", "hull.length"), hull.parallel_to, hull.length, "hull.length, where the boat ends"
    )
    yield from write.at_most(
        ("hull.parallel_from", "hull.parallel_to"),
        hull.parallel_from,
        hull.parallel_to,
        "hull.parallel_to, where the parallel run ends",
    )
    aft, forward = hull.beam - hull.beam_at_transom, hull.beam - hull.beam_at_bow
    if aft > SLACK_MM and hull.parallel_from < aft / 2 - SLACK_MM:
        yield _Finding(
            ("hull.parallel_from", "hull.beam_at_transom"),
            f"leaves no room to narrow by {write(aft)} towards the transom",
            f"write hull.parallel_from as {write(aft / 2)} or more, or widen hull.beam_at_transom",
        )
    if forward > SLACK_MM and hull.length - hull.parallel_to < forward / 2 - SLACK_MM:
        yield _Finding(
            ("hull.parallel_to", "hull.beam_at_bow"),
            f"leaves no room to narrow by {write(forward)} towards the bow",
            f"write hull.parallel_to as {write(hull.length - forward / 2)} or less, or widen hull.beam_at_bow",
        )


def foot_of_bow(hull: HullSizes) -> float:
    """X of the foremost point of the bottom, mm: where a sled meets the sheer, or the foot of a bow transom or stem."""
    above = hull.depth + hull.sheer_rise - hull.bow_height
    return hull.length - above * math.tan(math.radians(hull.bow_rake))


def _bow(design: Design, write: _Writer) -> _Findings:
    """What belongs to one kind of bow only, and what leaves it room."""
    hull = design.hull
    top = hull.depth + hull.sheer_rise
    if hull.bow == "sled":
        if abs(hull.bow_height - top) > SLACK_MM:
            yield _Finding(
                ("hull.bow_height", "hull.bow"),
                "a sled's bottom always rises to the sheer",
                'leave hull.bow_height out, or write hull.bow as "pram"',
            )
        if hull.bow_rake > 0.0:
            yield _Finding(
                ("hull.bow_rake", "hull.bow"), "a sled has no bow transom to lean", "leave hull.bow_rake out"
            )
    else:
        yield from write.between(
            "hull.bow_height", hull.bow_height, 0.05 * top, 0.85 * top, f"out of proportion to a height of {write(top)}"
        )
    if hull.bow == "stem":
        least = 2.0 * design.woods.side.thickness + 4.0
        yield from write.between(
            "hull.beam_at_bow", hull.beam_at_bow, least, hull.beam / 2.0, "not the width of a stem, over both sides"
        )
    yield from write.at_most(("hull.rocker", "hull.depth"), hull.rocker, 0.25 * hull.depth, "a quarter of hull.depth")
    if hull.rocker > SLACK_MM:
        yield from write.at_most(
            ("hull.rocker_to", "hull.flat_to"), hull.rocker_to, hull.flat_to, "hull.flat_to, where the sweep begins"
        )
        yield from write.between(
            "hull.rocker_to", hull.rocker_to, 4.0 * hull.rocker, hull.length, f"too short for {write(hull.rocker)}"
        )
    yield from write.at_most(("hull.sheer_rise", "hull.depth"), hull.sheer_rise, hull.depth, "hull.depth")
    if hull.sheer_rise > SLACK_MM:
        yield from write.at_most(
            ("hull.sheer_from", "hull.length"),
            hull.sheer_from,
            hull.length - 3.0 * hull.sheer_rise,
            f"a sheer that rises by {write(hull.sheer_rise)} leaves",
        )


def _chine_beam(design: Design) -> float:
    """The least width at the bottom, outside to outside; a stem, where the sides meet, does not count."""
    hull = design.hull
    if hull.offsets is not None:
        after = [breadth for x, breadth, _ in hull.offsets.chine if x <= 0.6 * hull.length]
        return 2.0 * min(after, default=hull.beam_at_transom / 2.0)
    bow = hull.beam if hull.bow == "stem" else hull.beam_at_bow
    return min(hull.beam_at_transom, bow) - 2 * hull.depth * math.tan(math.radians(hull.flare))


def _inside(design: Design, write: _Writer) -> _Findings:
    hull, woods = design.hull, design.woods
    if _chine_beam(design) < 4 * woods.side.thickness:
        narrow = "transom" if hull.beam_at_transom < hull.beam_at_bow else "bow"
        yield _Finding(
            ("hull.flare", f"hull.beam_at_{narrow}", "wood.side.thickness", "hull.beam"),
            f"leaves no width for the bottom at the {narrow}",
            f"lessen hull.flare, widen hull.beam_at_{narrow} or take thinner sides",
        )
    if woods.bottom.thickness + woods.deck.thickness > hull.depth / 3:
        yield _Finding(
            ("wood.bottom.thickness", "wood.deck.thickness", "hull.depth"),
            f"with the deck takes more than a third of a depth of {write(hull.depth)}",
            "write the measured thicknesses, or a greater hull.depth",
        )
    yield from write.at_most(
        ("wood.transom.thickness",), woods.transom.thickness, hull.length / 10, "a tenth of hull.length"
    )
    yield from write.at_most(("laps.trim_allowance",), design.laps.trim_allowance, 25.0, "is planed off by hand")


def _decks(design: Design, write: _Writer) -> _Findings:
    decks, hull, screen = design.decks, design.hull, design.windscreen
    yield from write.at_most(("decks.fore_from",), decks.fore_from, 0.98 * hull.length, "nearly the whole length")
    yield from write.at_most(
        ("decks.after_to", "decks.fore_from"),
        decks.after_to,
        decks.fore_from,
        f"decks.fore_from, {write(decks.fore_from)}, so that the decks would overlap",
    )
    yield from write.at_most(("decks.beam_depth",), decks.beam_depth, hull.depth / 2, "half the hull's depth")
    yield from write.at_most(("decks.batten_width",), decks.batten_width, hull.beam / 4, "a quarter of the hull's beam")
    yield from write.at_most(("decks.hatch_gap",), decks.hatch_gap, 10.0, "a hatch may rattle")
    yield from write.at_most(("decks.coaming", "hull.depth"), decks.coaming, hull.depth / 2, "half the hull's depth")
    yield from write.at_most(("decks.crown", "hull.beam"), decks.crown, hull.beam / 8, "an eighth of the hull's beam")
    if screen.fitted:
        yield from write.at_most(("windscreen.width_foot", "hull.beam"), screen.width_foot, hull.beam, "hull.beam")
        yield from write.at_most(
            ("windscreen.width_top", "windscreen.width_foot"),
            screen.width_top,
            screen.width_foot,
            "windscreen.width_foot",
        )
        yield from write.at_most(("windscreen.height",), screen.height, 2 * hull.depth, "twice the hull's depth")
        room = (hull.length - decks.fore_from) / 2
        yield from write.at_most(
            ("windscreen.wing", "decks.fore_from"), screen.wing, room, "half the fore deck's length"
        )
        abeam = screen.width_foot + 2 * screen.wing * math.sin(math.radians(screen.wing_angle))
        if screen.wing > 0 and abeam > hull.beam + SLACK_MM:
            yield _Finding(
                ("windscreen.wing", "windscreen.width_foot", "hull.beam"),
                f"spreads the windscreen to {write(abeam)}, more than hull.beam",
                "shorten windscreen.wing, or lessen windscreen.width_foot or windscreen.wing_angle",
            )


def _small_parts(design: Design, write: _Writer) -> _Findings:
    cleats, depth = design.cleats, design.hull.depth
    for name, size in (
        ("chine_height", cleats.chine_height),
        ("sheer_height", cleats.sheer_height),
        ("transom_height", cleats.transom_height),
    ):
        yield from write.at_most((f"cleats.{name}", "hull.depth"), size, depth / 3, "a third of the hull's depth")
    inner = depth - design.woods.bottom.thickness - design.woods.deck.thickness
    yield from write.at_most(("cleats.knee_leg", "hull.depth"), cleats.knee_leg, inner, "the depth inside the hull")
    yield from write.at_most(
        ("wood.cleat.thickness", "hull.beam"),
        design.woods.cleat.thickness,
        _chine_beam(design) / 6,
        "a sixth of the bottom's width",
    )
    screws = design.fasteners
    yield from write.at_most(("fasteners.length",), screws.length, 75.0, "any screw of these boats")
    yield from write.at_most(("fasteners.spacing",), screws.spacing, design.hull.length / 2, "half the hull's length")
    if screws.spacing < _LEAST_SPACING:
        why = "so near that screws of two parts meet in the cleat"
        yield from write.between("fasteners.spacing", screws.spacing, _LEAST_SPACING, design.hull.length / 2, why)


def _fin(design: Design, write: _Writer) -> _Findings:
    fin, hull = design.fin, design.hull
    yield from write.at_most(("fin.root",), fin.root, hull.length / 3, "a third of the hull's length")
    yield from write.at_most(("fin.tip", "fin.root"), fin.tip, 2 * fin.root, "twice fin.root")
    yield from write.at_most(("fin.depth",), fin.depth, 2 * hull.depth, "twice the hull's depth")
    yield from write.at_most(("fin.tab",), fin.tab, hull.depth / 2, "half the hull's depth")


def _engine(design: Design, write: _Writer) -> _Findings:
    engine, hull, woods = design.engine, design.hull, design.woods
    inner = _chine_beam(design) - 2 * woods.side.thickness
    yield from write.at_most(
        ("engine.plate_width", "hull.beam"),
        engine.plate_width,
        inner,
        "the width inside the hull at the bottom",
    )
    yield from write.at_most(
        ("engine.bearer_gap", "wood.bearer.thickness", "hull.beam"),
        engine.bearer_gap,
        inner - 2 * woods.bearer.thickness,
        "the width inside the hull at the bottom, less both bearers",
    )
    yield from write.at_most(
        ("engine.bearer_length", "hull.length"),
        engine.bearer_length,
        hull.length / 2,
        "half the hull's length",
    )
    yield from write.at_most(
        ("engine.bearer_height", "hull.depth"), engine.bearer_height, hull.depth / 2, "half the hull's depth"
    )
    yield from write.at_most(("engine.plate_height",), engine.plate_height, 3 * hull.depth, "thrice the depth")
    yield from write.at_most(
        ("engine.output_height", "hull.depth"),
        engine.output_height,
        1.5 * hull.depth,
        "half as much again as the depth",
    )
    if engine.plate_at is not None:
        yield from write.at_most(
            ("engine.plate_at",), engine.plate_at, 0.9 * hull.length, "nine tenths of the hull's length"
        )
    yield from _bore_and_bolts(design, write)


def _bore_and_bolts(design: Design, write: _Writer) -> _Findings:
    engine = design.engine
    yield from write.at_most(
        ("engine.housing_bore", "engine.plate_width"),
        engine.housing_bore,
        0.9 * engine.plate_width,
        "the engine plate can hold",
    )
    if (engine.bolts == 0) != (engine.bolt_circle == 0):
        keys = ("engine.bolts", "engine.bolt_circle")
        yield _Finding(keys, "stands without its fellow", "write both engine.bolts and engine.bolt_circle, or neither")
    elif engine.bolts and engine.bolt_circle < engine.housing_bore + engine.bolt_diameter:
        yield _Finding(
            ("engine.bolt_circle", "engine.housing_bore"),
            f"is {write(engine.bolt_circle)}, so that the bolts fall into the housing's hole",
            f"write engine.bolt_circle above {write(engine.housing_bore + engine.bolt_diameter)}",
        )


def _drive(design: Design, write: _Writer) -> _Findings:
    drive, rudder, hull = design.drive, design.rudder, design.hull
    if drive.shaft_diameter >= drive.tube_diameter:
        yield _Finding(
            ("drive.shaft_diameter", "drive.tube_diameter"),
            f"is {write(drive.shaft_diameter)} and does not go into a tube of {write(drive.tube_diameter)}",
            "write drive.tube_diameter greater than drive.shaft_diameter",
        )
    yield from write.at_most(("drive.tube_diameter",), drive.tube_diameter, hull.depth / 3, "a third of the depth")
    yield from write.at_most(
        ("drive.propeller_diameter",), drive.propeller_diameter, 2 * hull.depth, "twice the hull's depth"
    )
    yield from write.at_most(
        ("drive.propeller_behind",), drive.propeller_behind, hull.length / 3, "a third of the hull's length"
    )
    yield from write.at_most(("drive.pitch",), drive.pitch or 0.0, 4 * drive.propeller_diameter, "four diameters")
    yield from write.at_most(("rudder.depth",), rudder.depth, 2 * hull.depth, "twice the hull's depth")
    foam = design.foam
    yield from write.at_most(("foam.bore", "foam.diameter"), foam.bore, 0.9 * foam.diameter, "the foam can hold")
    yield from write.at_most(("rudder.pad_height", "hull.depth"), rudder.pad_height, hull.depth, "the hull's depth")
    reach = abs(rudder.offset) + rudder.pad_width / 2
    if reach > hull.beam_at_transom / 2 + SLACK_MM:
        yield _Finding(
            ("rudder.offset", "rudder.pad_width", "hull.beam_at_transom", "hull.beam"),
            f"puts the rudder pad {write(reach)} off the centre line, past the transom's end",
            "bring rudder.offset nearer to 0, or write a smaller rudder.pad_width",
        )


def _radio(design: Design, write: _Writer) -> _Findings:
    radio, hull, woods = design.radio, design.hull, design.woods
    yield from write.at_most(
        ("radio.shelf_length", "radio.shelf_from"),
        radio.shelf_length,
        hull.length - radio.shelf_from,
        "there is between radio.shelf_from and the bow",
    )
    bow = hull.beam if hull.bow == "stem" else hull.beam_at_bow
    inner = min(hull.beam_at_transom, bow) - 2 * woods.side.thickness
    yield from write.at_most(("radio.box_width", "hull.beam"), radio.box_width, inner, "the width inside the hull")
    yield from write.at_most(("radio.box_length",), radio.box_length, hull.length / 2, "half the hull's length")
    top = radio.shelf_height + woods.shelf.thickness + radio.box_height
    if design.decks.after != "open" and top > hull.depth + SLACK_MM:
        yield _Finding(
            ("radio.box_height", "radio.shelf_height", "hull.depth"),
            f"reaches {write(top)} above the bottom, through the deck at {write(hull.depth)}",
            "lower radio.shelf_height or radio.box_height",
        )
    if radio.servo_screws <= radio.servo_length:
        yield _Finding(
            ("radio.servo_screws", "radio.servo_length"),
            f"is {write(radio.servo_screws)}, so that the screws fall into the servo's window",
            "write radio.servo_screws greater than radio.servo_length",
        )


def _fittings(design: Design, write: _Writer) -> _Findings:
    hull = design.hull
    for number, fitting in enumerate(design.fittings, 1):
        place = f"fittings[{number}]"
        reach = 0.25 * hull.length
        yield from write.between(f"{place}.x", fitting.x, -reach, hull.length + reach, "far outside the boat")
        yield from write.between(f"{place}.y", fitting.y, -hull.beam, hull.beam, "far outside the boat")
        yield from write.between(f"{place}.z", fitting.z, -hull.length, hull.length, "far outside the boat")


def _stand(design: Design, write: _Writer) -> _Findings:
    stand, hull = design.stand, design.hull
    yield from write.at_most(("stand.spacing",), stand.spacing, 0.8 * hull.length, "the boat can rest on")
    yield from write.at_most(("stand.height",), stand.height, hull.length, "the hull's length")
    yield from write.at_most(("stand.lip", "hull.depth"), stand.lip, hull.depth, "the hull's depth")


def _shop(shop: Shop, write: _Writer) -> _Findings:
    for name, size, limit, than in (
        ("saw_kerf", shop.saw_kerf, 10.0, "any saw takes"),
        ("jigsaw_kerf", shop.jigsaw_kerf, 10.0, "any saw takes"),
        ("edge_trim", shop.edge_trim, 100.0, "is cut off an edge"),
        ("clearance", shop.clearance, 50.0, "is left round a part"),
    ):
        yield from write.at_most((f"shop.{name}",), size, limit, than)
    racked = sum(stock.kind == "leftover" for stock in shop.stock)
    for i, stock in enumerate(shop.stock):
        place = f"shop.rack[{i + 1}]" if i < racked else f"shop.stock[{i - racked + 1}]"
        yield from write.at_most(
            (f"{place}.planed_to", f"{place}.thickness"),
            stock.planed_to,
            stock.thickness,
            "its thickness as sold",
        )
        if min(stock.length, stock.width) <= 2 * shop.edge_trim:
            yield _Finding(
                (f"{place}.width", "shop.edge_trim"),
                "leaves nothing when the edges are trimmed",
                "write the size of the whole piece, or less shop.edge_trim",
            )
        if stock.kind == "board" and stock.grain == "width":
            yield _Finding((f"{place}.grain",), "is across a board", "leave it out; a board's grain runs along it")
