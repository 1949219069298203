"""The stages in order: a file to an order, hulls, parts, layout, drawings and files.

This is the only thing that the command line calls. Planning is pure; `make_files` turns a plan into the content of
files and puts them in place. Stages are imported where they run, so that a command loads only what it needs.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from hullcut.balance.arrange import first_arrangement, next_arrangement, same_places
from hullcut.balance.boat_balance import balance_boat
from hullcut.balance.checks import boat_checks
from hullcut.balance.weights import part_weights
from hullcut.boat_plan import BoatPlan, OrderPlan
from hullcut.design.reader import read_order
from hullcut.design.source import read_text
from hullcut.errors import BuildError, Fault, OutputError
from hullcut.hull.form import shape
from hullcut.parts.take_off import fixed_parts, in_building_order, moving_parts
from hullcut.plan import balances_json, checks_json, parts_json, sheets_json, to_text
from hullcut.two_hands import only_here
from hullcut.two_rounds import share_two_rounds

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hullcut.arrangement import Arrangement
    from hullcut.balance.boat_balance import BoatBalance
    from hullcut.balance.weights import Weight
    from hullcut.design.values import Design, Order, Shop, Stock
    from hullcut.drawing.paper import Printing
    from hullcut.files import Files, Weighted, What
    from hullcut.hull.form import Hull
    from hullcut.nesting.glue_up import GlueUp
    from hullcut.nesting.saved import LayoutText
    from hullcut.nesting.values import Effort, Layout, Piece, Rules
    from hullcut.parts.values import Part

__all__ = [
    "Made",
    "Wishes",
    "balance_file",
    "build",
    "check_file",
    "compare_files",
    "make_files",
    "new_design",
    "parts_file",
    "plan_file",
    "plan_order",
    "plan_parts",
    "rules_of",
    "sheets_file",
    "weigh",
]

ROUNDS = 10
"""How often the places may be moved before they must have settled."""

OBJECTIVE = "least cost where every stock has a price, else least area bought; then fewest sheets"

Progress = Callable[[str], None]


def _silent(_: str) -> None:
    """Tell nobody."""


def build(design: Design) -> BoatPlan:
    """Shape a design's hull, take off its parts and settle where its fittings stand.

    Raises:
        BuildError: the boat cannot be built as asked, or its places do not settle.
    """
    from hullcut.hull.checks import hull_checks
    from hullcut.parts.checks import part_checks
    from hullcut.parts.joints import joint_lines, measure_joints
    from hullcut.parts.marking import mark_parts
    from hullcut.parts.stand import stand
    from hullcut.parts.waterline import mark_waterline

    hull, arrangement, parts, balance = _settled(design)
    marked = mark_parts(hull, arrangement, in_building_order((*parts, *stand(hull, arrangement))))
    if balance.flotation is not None:
        marked = mark_waterline(hull, marked, *balance.flotation.line)
    joints = measure_joints(marked, joint_lines(hull), design.name)
    checks = (
        *hull_checks(hull),
        *part_checks(hull, arrangement, joints),
        *boat_checks(hull, arrangement, balance),
    )
    return BoatPlan(design, hull, arrangement, marked, joints, checks, balance)


def weigh(design: Design) -> BoatPlan:
    """Like `build`, for its balance alone: without stand, marks and joints, and with the balance's checks only.

    Raises:
        BuildError: the boat cannot be built as asked, or its places do not settle.
    """
    hull, arrangement, parts, balance = _settled(design)
    return BoatPlan(design, hull, arrangement, parts, (), boat_checks(hull, arrangement, balance), balance)


def _settled(design: Design) -> tuple[Hull, Arrangement, tuple[Part, ...], BoatBalance]:
    """Hull, places of the fittings when nothing moves any more, parts afloat without marks, and how all balances."""
    hull = shape(design)
    arrangement = first_arrangement(design)
    fixed = fixed_parts(hull, arrangement)
    held = _weighed(fixed)
    for _ in range(ROUNDS):
        moving = moving_parts(hull, arrangement)
        parts, known = in_building_order((*fixed, *moving)), held | _weighed(moving)
        moved = next_arrangement(design, parts, arrangement, known)
        if same_places(arrangement, moved):
            break
        arrangement = moved
    else:
        raise BuildError(
            Fault(design.file, None, "", "the places of engine and fin do not settle", "fix engine.plate_at")
        )
    return hull, arrangement, parts, balance_boat(hull, parts, arrangement, known)


def _weighed(parts: Sequence[Part]) -> dict[str, Weight]:
    """Weights by part's id of parts that all go afloat."""
    return dict(zip((part.id for part in parts), part_weights(parts), strict=True))


def plan_parts(order: Order, progress: Progress = _silent) -> tuple[BoatPlan, ...]:
    """Build every design of an order."""
    plans = []
    for design in order.designs:
        progress(f"shaping {design.name} and taking off its parts")
        plans.append(_glued_up(order, build(design)))
    return tuple(plans)


def _glued_up(order: Order, plan: BoatPlan) -> BoatPlan:
    """A boat whose parts that are wider than any board are glued up from two, as far as its design allows it."""
    woods = plan.design.woods
    boats = sum(boat.design == plan.design.name for boat in order.boats)
    found = _glue_ups(order, [part for part in plan.parts if getattr(woods, part.family).glue_up], boats)
    return replace(plan, parts=_joints_marked(plan.parts, found), glue_ups=found) if found else plan


def _glue_ups(order: Order, parts: Sequence[Part], boats: int) -> tuple[GlueUp, ...]:
    if not parts:
        return ()
    from hullcut.nesting.glue_up import glue_ups
    from hullcut.nesting.offer import offer_for

    offers = offer_for(order.shop, [(part.material, part.thickness) for part in parts])
    return glue_ups(parts, offers, rules_of(order.shop), boats)


def _joints_marked(parts: Sequence[Part], found: Sequence[GlueUp]) -> tuple[Part, ...]:
    from hullcut.nesting.glue_up import joint_marked

    by_part = {glued.part: glued for glued in found}
    return tuple(joint_marked(part, by_part[part.id]) if part.id in by_part else part for part in parts)


def plan_order(
    order: Order, progress: Progress = _silent, effort: Effort = "normal", layout: LayoutText | None = None
) -> OrderPlan:
    """Build every design and lay all parts of all boats on the stock.

    Args:
        order: what is wanted.
        progress: told what is being done.
        effort: how long to look for a better layout.
        layout: a layout that was written before, to be used again instead of looking for one.

    Raises:
        DesignError: the layout belongs to another order, or is none.
        BuildError: a boat cannot be built, or a part fits no stock.
    """
    from hullcut.nesting.lay_out import lay_out

    wanted = _wanted(order, plan_parts(order, progress), effort)
    progress("laying the parts on the stock")
    found = lay_out(*wanted.request, progress) if layout is None else wanted.laid_before(layout)
    return wanted.plan(found)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """Everything that is to be laid on the stock.

    Attributes:
        order: what is wanted.
        plans: of every design.
        extras: parts besides those of the boats.
        glued: of those extras that are glued up from two boards.
        request: the pieces, what they may be cut from, and how.
    """

    order: Order
    plans: tuple[BoatPlan, ...]
    extras: tuple[Part, ...]
    glued: tuple[GlueUp, ...]
    request: tuple[Sequence[Piece], Sequence[Stock], Rules]

    def laid_before(self, layout: LayoutText) -> Layout:
        """A layout that was written before.

        Raises:
            DesignError: it belongs to another order, or is none.
        """
        from hullcut.nesting.saved import layout_from

        return layout_from(layout, *self.request)

    def plan(self, layout: Layout) -> OrderPlan:
        """The finished plan."""
        return OrderPlan(self.order, self.plans, layout, self.extras, self.glued)


def _wanted(order: Order, plans: tuple[BoatPlan, ...], effort: Effort) -> _Wanted:
    from hullcut.nesting.offer import offer_for
    from hullcut.parts.extra import extra_part

    extras = tuple(extra_part(extra) for extra in order.extras)
    glued = _glue_ups(order, [part for part, extra in zip(extras, order.extras, strict=True) if extra.wood.glue_up], 1)
    extras = _joints_marked(extras, glued) if glued else extras
    every = [part for plan in plans for part in plan.parts] + list(extras)
    offers = offer_for(order.shop, [(part.material, part.thickness) for part in every])
    pieces = [*_pieces(order, plans, offers), *_extra_pieces(order, extras, glued, offers)]
    return _Wanted(order, plans, extras, glued, (pieces, offers, rules_of(order.shop, effort)))


def plan_file(
    path: Path, progress: Progress = _silent, effort: Effort = "normal", layout: Path | None = None
) -> OrderPlan:
    """Read a design or order file and plan it.

    Args:
        path: of the design or order.
        progress: told what is being done.
        effort: how long to look for a better layout.
        layout: file of a layout that was written before, to be used again instead of looking for one.

    Raises:
        DesignError: a file cannot be read or holds wrong values.
        BuildError: a boat cannot be built, or a part fits no stock.
    """
    progress(f"reading {path}")
    return _plan_read(path, read_order(path), progress, effort, layout)


def _plan_read(path: Path, order: Order, progress: Progress, effort: Effort, layout: Path | None) -> OrderPlan:
    """Plan what a file was found to hold."""
    with _known_file(path):
        return plan_order(order, progress, effort, _layout_text(layout))


@contextmanager
def _known_file(path: Path) -> Iterator[None]:
    """Faults that know no file are told of this one."""
    try:
        yield
    except BuildError as error:
        raise BuildError(*(replace(fault, file=fault.file or str(path)) for fault in error.faults)) from error


def _layout_text(path: Path | None) -> LayoutText | None:
    from hullcut.nesting.saved import LayoutText

    return None if path is None else LayoutText(str(path), read_text(path, str(path), "layout"))


def rules_of(shop: Shop, effort: Effort = "normal") -> Rules:
    """How a shop cuts: straight cuts take the saw's kerf, outlines the jigsaw's."""
    from hullcut.nesting.values import Rules

    kerf = shop.saw_kerf if shop.cutting == "through" else shop.jigsaw_kerf
    return Rules(shop.cutting, kerf, shop.edge_trim, shop.clearance, OBJECTIVE, effort)


def _pieces(order: Order, plans: Sequence[BoatPlan], offers: Sequence[Stock]) -> list[Piece]:
    """Every copy of every part of every boat; the strips of those that are glued up."""
    by_design = {
        plan.design.name: [_cut(part, plan.glue_ups, f"[wood.{part.family}]", order, offers) for part in plan.parts]
        for plan in plans
    }
    return [
        replace(piece, boat=boat.id) for boat in order.boats for pieces in by_design[boat.design] for piece in pieces
    ]


def _extra_pieces(
    order: Order, extras: Sequence[Part], glued: Sequence[GlueUp], offers: Sequence[Stock]
) -> list[Piece]:
    """Every copy of every part of no boat; the strips of those that are glued up."""
    tables = {part.id: f"the [[extra]] of {part.id}" for part in extras}
    return [piece for part in extras for piece in _cut(part, glued, tables[part.id], order, offers)]


def _cut(part: Part, glued: Sequence[GlueUp], table: str, order: Order, offers: Sequence[Stock]) -> list[Piece]:
    """What is cut from the stock for all copies of a part."""
    from hullcut.nesting.glue_up import piece_of, remedy

    strips = next((each.strips for each in glued if each.part == part.id), None)
    if strips is not None:
        return [piece_of(strip, "") for _ in range(part.quantity) for strip in strips]
    return [piece_of(part, "", remedy(part, table, offers, rules_of(order.shop)))] * part.quantity


@dataclass(frozen=True, slots=True)
class Wishes:
    """How somebody wants a file's outputs.

    Attributes:
        out: the folder to write to; None for output/NAME in the working folder.
        anyway: whether to write although a check fails, with a stamp on every page and picture.
        paper: a name, a size or a roll, see `printing_of`; None to go by the design's units.
        measured: what a ruler reads of the printer check's 100 mm bars, across and along the page.
        kerf: of the machine that the DXF files are for, which they then make good; None for the parts' own edges.
        effort: how long to look for a better layout.
        layout: a layout that was written before, to be used again.
        angle: azimuth and elevation of one more picture, degrees; None for none.
    """

    out: Path | None = None
    anyway: bool = False
    paper: str | None = None
    measured: tuple[float, float] = (100.0, 100.0)
    kerf: str | None = None
    effort: Effort = "normal"
    layout: Path | None = None
    angle: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """What a writing command did.

    Attributes:
        plan: the finished plan.
        folder: where the files are.
        paths: every file written, the manifest last; empty where a failed check kept everything unwritten.
    """

    plan: OrderPlan
    folder: Path
    paths: tuple[Path, ...]


def make_files(file: Path, what: What, wishes: Wishes, progress: Progress = _silent) -> Made:
    """Plan a file and write its outputs, all or none.

    Args:
        file: a design or order file.
        what: which of its outputs.
        wishes: how they are wanted.
        progress: told what is being done.

    Raises:
        DesignError: the file cannot be read or holds wrong values.
        BuildError: a boat cannot be built, or a part fits no stock.
        OutputError: the results cannot be written.
    """
    from hullcut.drawing.paper import printing_of
    from hullcut.staging import put_in_place, refuse_target

    progress(f"reading {file}")
    order = read_order(file)
    folder = wishes.out if wishes.out is not None else Path("output") / order.name
    refuse_target(folder)
    try:
        printing = printing_of(wishes.paper, order.units, wishes.measured, wishes.kerf)
    except ValueError as error:
        raise OutputError(Fault("", None, "", str(error), "")) from None
    with _known_file(file):
        plan, files = _planned_and_drawn(order, what, wishes, printing, progress)
    if not files:
        return Made(plan, folder, ())
    progress(f"putting {len(files)} files in place")
    return Made(plan, folder, put_in_place(folder, files))


def _planned_and_drawn(
    order: Order, what: What, wishes: Wishes, printing: Printing, progress: Progress
) -> tuple[OrderPlan, Files]:
    """The plan and the content of its files; no files where a failed check keeps them unwritten."""
    from hullcut.files import Studios, done, draw_ahead, early_tasks, late_tasks, merged
    from hullcut.nesting.lay_out import lay_out, laying_out, was_stopped

    # The second round's tasks are made in the helping process too, and only this one has the terminal.
    progress = only_here(progress)
    text = _layout_text(wishes.layout)
    plans = plan_parts(order, progress)
    wanted = _wanted(order, plans, wishes.effort)
    kept = wishes.anyway or not any(check.status == "fail" for each in plans for check in each.checks)
    studios = Studios()
    early = early_tasks(what, order, plans, printing, wishes.angle) if kept else []

    def then(layout: Layout) -> tuple[OrderPlan, list[Weighted]]:
        plan = wanted.plan(layout)
        return plan, late_tasks(what, plan, printing, studios, progress) if kept else []

    progress("laying the parts on the stock")
    # The shape method's library counts its time by the clock, and is to have the machine for itself.
    if text is not None or order.shop.cutting == "shape":
        plan, late = then(lay_out(*wanted.request, progress) if text is None else wanted.laid_before(text))
        return plan, done([*early, *late])
    work = laying_out(*wanted.request, progress)

    def ahead() -> None:
        if kept:
            draw_ahead(what, order, plans, printing, studios)

    plan, drawn, rest = share_two_rounds(work.tasks, early, lambda found: then(work.layout(found)), was_stopped, ahead)
    return plan, merged([*drawn, *rest])


def check_file(file: Path, progress: Progress = _silent) -> tuple[tuple[Sequence[BoatPlan]], str]:
    """Build every design of a file; what its screen shows (plans, for their checks), and its checks as JSON."""
    order = read_order(file)
    plans = plan_parts(order, progress)
    return (plans,), to_text(checks_json(plans))


def parts_file(file: Path, progress: Progress = _silent) -> tuple[tuple[Order, Sequence[BoatPlan]], str]:
    """Build every design of a file; what its screen shows (order and plans), and its parts as JSON."""
    order = read_order(file)
    plans = plan_parts(order, progress)
    return (order, plans), to_text(parts_json(order, plans))


def sheets_file(
    file: Path, progress: Progress = _silent, effort: Effort = "normal", layout: Path | None = None
) -> tuple[tuple[OrderPlan], str]:
    """Plan a file like `plan_file`; what its screen shows (the plan), and its stock and layout as JSON."""
    plan = plan_file(file, progress, effort, layout)
    return (plan,), to_text(sheets_json(plan))


def balance_file(file: Path, progress: Progress = _silent) -> tuple[tuple[Sequence[BoatPlan]], str]:
    """Build every design of a file; what its screen shows (plans), and its balance as JSON."""
    plans = []
    for design in read_order(file).designs:
        progress(f"weighing {design.name}")
        plans.append(weigh(design))
    return (plans,), to_text(balances_json(plans))


def compare_files(a: Path, b: Path, progress: Progress = _silent) -> tuple[tuple[OrderPlan, OrderPlan], str]:
    """Plan two files; what the screen shows (both plans, side by side), and the comparison as JSON."""
    from hullcut.compare import compare_json

    one, other = plan_file(a, progress), plan_file(b, progress)
    return (one, other), to_text(compare_json(one, other))


def new_design(name: str, sample: str, folder: Path, schema: bool) -> tuple[Path, ...]:
    """Write a commented design file, and the schema for editors if wanted; never over another file.

    Raises:
        DesignError: the name cannot be used, or there is no such sample.
        OutputError: a file of that name stands there already, or the folder cannot be written.
    """
    from hullcut.design.schema import design_schema
    from hullcut.design.starter import starter_files
    from hullcut.staging import write_new

    files = {file: text.encode() for file, text in starter_files(name, sample).items()}
    if schema:
        files["design.schema.json"] = to_text(design_schema()).encode()
    return write_new(folder, files)
