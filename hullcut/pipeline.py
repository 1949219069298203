"""The stages in order: a file to an order, hulls, parts, layout, drawings and files.

This is the only thing that the command line calls. Planning is pure; `make_outputs` turns a plan into the content of
files, and `write` puts them in place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from hullcut.balance.arrange import first_arrangement, next_arrangement, same_places
from hullcut.balance.boat_balance import balance_boat
from hullcut.balance.checks import boat_checks
from hullcut.boat_plan import BoatPlan, OrderPlan
from hullcut.design.reader import read_order
from hullcut.errors import BuildError, Fault
from hullcut.hull.checks import hull_checks
from hullcut.hull.form import shape
from hullcut.nesting.lay_out import lay_out
from hullcut.nesting.offer import offer_for
from hullcut.nesting.values import Piece, Rules
from hullcut.parts.checks import part_checks
from hullcut.parts.extra import extra_part
from hullcut.parts.joints import joint_lines, measure_joints
from hullcut.parts.marking import mark_parts
from hullcut.parts.take_off import fixed_parts, in_building_order, placed_parts
from hullcut.parts.waterline import mark_waterline
from hullcut.plan import balances_json, checks_json, parts_json, to_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.design.values import Design, Order, Shop
    from hullcut.parts.values import Part

__all__ = [
    "Made",
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
    hull = shape(design)
    arrangement = first_arrangement(design)
    fixed = fixed_parts(hull, arrangement)
    for _ in range(ROUNDS):
        parts = in_building_order((*fixed, *placed_parts(hull, arrangement)))
        moved = next_arrangement(design, parts, arrangement)
        if same_places(arrangement, moved):
            break
        arrangement = moved
    else:
        raise BuildError(
            Fault(design.file, None, "", "the places of engine and fin do not settle", "fix engine.plate_at")
        )
    balance = balance_boat(hull, parts, arrangement)
    marked = mark_parts(hull, arrangement, parts)
    if balance.flotation is not None:
        marked = mark_waterline(hull, marked, *balance.flotation.line)
    joints = measure_joints(marked, joint_lines(hull), design.name)
    checks = (
        *hull_checks(hull),
        *part_checks(hull, arrangement, joints),
        *boat_checks(hull, arrangement, balance),
    )
    return BoatPlan(design, hull, arrangement, marked, joints, checks, balance)


def plan_parts(order: Order, progress: Progress = _silent) -> tuple[BoatPlan, ...]:
    """Build every design of an order."""
    plans = []
    for design in order.designs:
        progress(f"shaping {design.name} and taking off its parts")
        plans.append(build(design))
    return tuple(plans)


def plan_order(order: Order, progress: Progress = _silent) -> OrderPlan:
    """Build every design and lay all parts of all boats on the stock.

    Raises:
        BuildError: a boat cannot be built, or a part fits no stock.
    """
    plans = plan_parts(order, progress)
    progress("laying the parts on the stock")
    extras = tuple(extra_part(extra) for extra in order.extras)
    pieces = [*_pieces(order, plans), *(_piece(part, "") for part in extras for _ in range(part.quantity))]
    rules = rules_of(order.shop)
    offers = offer_for(order.shop, [(piece.material, piece.thickness) for piece in pieces])
    return OrderPlan(order, plans, lay_out(pieces, offers, rules), extras)


def plan_file(path: Path, progress: Progress = _silent) -> OrderPlan:
    """Read a design or order file and plan it.

    Raises:
        DesignError: the file cannot be read or holds wrong values.
        BuildError: a boat cannot be built, or a part fits no stock.
    """
    progress(f"reading {path}")
    order = read_order(path)
    try:
        return plan_order(order, progress)
    except BuildError as error:
        raise BuildError(*(replace(fault, file=fault.file or str(path)) for fault in error.faults)) from error


def rules_of(shop: Shop) -> Rules:
    """How a shop cuts: straight cuts take the saw's kerf, outlines the jigsaw's."""
    kerf = shop.saw_kerf if shop.cutting == "through" else shop.jigsaw_kerf
    return Rules(shop.cutting, kerf, shop.edge_trim, shop.clearance, OBJECTIVE)


def _pieces(order: Order, plans: Sequence[BoatPlan]) -> list[Piece]:
    """Every copy of every part of every boat."""
    by_design = {plan.design.name: plan for plan in plans}
    return [
        _piece(part, boat.id)
        for boat in order.boats
        for part in by_design[boat.design].parts
        for _ in range(part.quantity)
    ]


def _piece(part: Part, boat: str) -> Piece:
    return Piece(part.id, boat, part.material, part.thickness, part.grain, part.flip, part.outline)


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


def make_files(
    file: Path, out: Path | None, paper: str | None, anyway: bool, what: str, progress: Progress = _silent
) -> Made:
    """Plan a file and write its outputs, all or none.

    Args:
        file: a design or order file.
        out: the folder to write to; None for output/NAME in the working folder.
        paper: "letter", "a4", "tabloid" or "a3"; None to go by the design's units.
        anyway: whether to write although a check fails, with a stamp on every page.
        what: "all", "templates" or "packet".
        progress: told what is being done.

    Raises:
        DesignError: the file cannot be read or holds wrong values.
        BuildError: a boat cannot be built, or a part fits no stock.
        OutputError: the results cannot be written.
    """
    from hullcut.files import PAPERS, all_files, packet_files, template_files
    from hullcut.staging import put_in_place, refuse_target

    folder = out if out is not None else Path("output") / read_order(file).name
    refuse_target(folder)
    plan = plan_file(file, progress)
    if plan.failed and not anyway:
        return Made(plan, folder, ())
    wanted = paper or ("letter" if plan.order.units == "in" else "a4")
    chosen = PAPERS.get(wanted, "a4")
    writers = {"all": all_files, "templates": template_files, "packet": packet_files}
    files = writers[what](plan, chosen, progress)
    progress(f"putting {len(files)} files in place")
    return Made(plan, folder, put_in_place(folder, files))


def check_file(file: Path, progress: Progress = _silent) -> tuple[tuple[BoatPlan, ...], str]:
    """Build every design of a file; its checks as plans and as JSON."""
    order = read_order(file)
    plans = plan_parts(order, progress)
    return plans, to_text(checks_json(plans))


def parts_file(file: Path, progress: Progress = _silent) -> tuple[Order, tuple[BoatPlan, ...], str]:
    """Build every design of a file; its order, its plans, and its parts as JSON."""
    order = read_order(file)
    plans = plan_parts(order, progress)
    return order, plans, to_text(parts_json(order, plans))


def balance_file(file: Path, progress: Progress = _silent) -> tuple[tuple[BoatPlan, ...], str]:
    """Build every design of a file; its balance as plans and as JSON."""
    order = read_order(file)
    plans = plan_parts(order, progress)
    return plans, to_text(balances_json(plans))


def compare_files(a: Path, b: Path, progress: Progress = _silent) -> tuple[OrderPlan, OrderPlan]:
    """Plan two files, to set their boats side by side."""
    return plan_file(a, progress), plan_file(b, progress)


def new_design(name: str, sample: str, folder: Path, schema: bool) -> tuple[Path, ...]:
    """Write a commented design file, and the schema for editors if wanted; never over another file.

    Raises:
        DesignError: the name cannot be used, or there is no such sample.
        OutputError: a file of that name stands there already, or the folder cannot be written.
    """
    from hullcut.design.schema import design_schema
    from hullcut.design.starter import starter_text
    from hullcut.staging import write_new

    files = {f"{name}.toml": starter_text(name, sample).encode()}
    if schema:
        files["design.schema.json"] = to_text(design_schema()).encode()
    return write_new(folder, files)
