"""The content of every output file, from a finished plan."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from functools import partial
from itertools import zip_longest
from typing import TYPE_CHECKING, Literal

from hullcut.drawing.measured_scene import is_plain, measured_scene
from hullcut.drawing.part_scene import part_caption, part_scene
from hullcut.drawing.sheet_scene import sheet_scene
from hullcut.drawing.svg import to_svg
from hullcut.lengths import inches
from hullcut.parts.bevels import bevel_words
from hullcut.plan import plan_json, plan_schema, to_text
from hullcut.stock.woods import wood
from hullcut.two_hands import share_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.design.values import Boat

__all__ = ["PAPERS", "all_files", "packet_files", "parts_csv", "shopping_csv", "stamp_of", "template_files"]

Files = dict[str, bytes]
Paper = Literal["letter", "a4", "tabloid", "a3"]
PAPERS: dict[str, Paper] = {"letter": "letter", "a4": "a4", "tabloid": "tabloid", "a3": "a3"}
"""The papers that may be asked for."""
Task = Callable[[], Files]
Progress = Callable[[str], None]

_PART_COLUMNS = (
    "part",
    "name",
    "design",
    "quantity",
    "wood",
    "thickness_in",
    "thickness_mm",
    "length_in",
    "length_mm",
    "width_in",
    "width_mm",
    "grain",
    "hand",
    "weight_each_g",
    "bevels",
)
_SHOPPING_COLUMNS = (
    "stock",
    "kind",
    "wood",
    "thickness_as_sold_mm",
    "planed_to_mm",
    "length_in",
    "width_in",
    "length_mm",
    "width_mm",
    "count",
    "price_each",
    "cost",
)


def stamp_of(plan: OrderPlan) -> str | None:
    """What is stamped on every page when a check failed; None when all is well."""
    failed = [check.name for check in plan.checks if check.status == "fail"]
    return f"CHECK FAILED: {'; '.join(failed)}" if failed else None


def all_files(plan: OrderPlan, paper: Paper, progress: Progress) -> Files:
    """Every file of `hullcut make`, by path within the output folder."""
    progress("drawing templates and packet")
    templates = [partial(_design_files, plan, each, paper) for each in plan.boat_plans]
    rest = [partial(_sheet_files, plan), partial(_list_files, plan)]
    rest += [partial(write, plan, each, paper) for each in plan.boat_plans for write in (_card_file, _measures_file)]
    tasks = list(_alternately([*templates, *rest], _packet_tasks(plan, paper)))
    return _merged(share_out(tasks))


def template_files(plan: OrderPlan, paper: Paper, progress: Progress) -> Files:
    """SVG of each part and sheet, DXF of each sheet, and the tiled PDF of each design."""
    progress("drawing the templates")
    return _merged(
        share_out(
            [partial(_sheet_files, plan), *(partial(_design_files, plan, each, paper) for each in plan.boat_plans)]
        )
    )


def packet_files(plan: OrderPlan, paper: Paper, progress: Progress) -> Files:
    """The packet: one for a lone boat, one for each boat of an order."""
    progress("writing the packet")
    return _merged(share_out(_packet_tasks(plan, paper)))


def _alternately(first: Sequence[Task], second: Sequence[Task]) -> Iterator[Task]:
    """Both lists of tasks, taken in turn, so that each of two hands gets some of both."""
    for a, b in zip_longest(first, second):
        yield from (task for task in (a, b) if task is not None)


def _merged(found: Iterable[Files]) -> Files:
    merged: Files = {}
    for files in found:
        merged |= files
    return dict(sorted(merged.items()))


def _list_files(plan: OrderPlan) -> Files:
    return {
        "plan.json": to_text(plan_json(plan)).encode(),
        "plan.schema.json": to_text(plan_schema()).encode(),
        "parts.csv": parts_csv(plan).encode(),
        "shopping.csv": shopping_csv(plan).encode(),
    }


def _design_files(plan: OrderPlan, each: BoatPlan, paper: Paper) -> Files:
    """The templates of one design."""
    from hullcut.drawing.tiling import Template, templates_pdf

    units = each.design.units
    scenes = [(part, part_scene(part, units)) for part in each.parts]
    files = {f"parts/{part.id}.svg": to_svg(scene).encode() for part, scene in scenes}
    templates = [Template(scene, part.name, part_caption(part, units)) for part, scene in scenes if not is_plain(part)]
    plain = [part for part in each.parts if is_plain(part)]
    if plain:
        templates.append(Template(measured_scene(plain, units), "Plain pieces", "no pattern needed"))
    name = _named(plan, each, "templates")
    stamp = stamp_of(plan)
    title = each.design.name if stamp is None else f"{each.design.name} · {stamp}"
    files[name] = templates_pdf(templates, paper, title)
    return files


def _named(plan: OrderPlan, each: BoatPlan, name: str) -> str:
    """The name of a design's PDF: with the design's name where the order has several."""
    return f"{name}.pdf" if len(plan.boat_plans) == 1 else f"{name}-{each.design.name}.pdf"


def _card_file(plan: OrderPlan, each: BoatPlan, paper: Paper) -> Files:
    """The card model of one design."""
    from hullcut.drawing.card_pages import card_model_pdf

    return {_named(plan, each, "card_model"): card_model_pdf(each.hull, paper, stamp_of(plan))}


def _measures_file(plan: OrderPlan, each: BoatPlan, paper: Paper) -> Files:
    """The measures of every part of one design."""
    from hullcut.drawing.measure_pages import measures_pdf

    title = f"{each.design.name}: measures, to mark out without a printer"
    pages = measures_pdf(each.parts, each.design.units, _reading_paper(paper), title, stamp_of(plan))
    return {_named(plan, each, "measures"): pages}


def _sheet_files(plan: OrderPlan) -> Files:
    """Each sheet as SVG and DXF."""
    from hullcut.drawing.dxf import to_dxf

    parts = plan.parts
    files: Files = {f"parts/{part.id}.svg": to_svg(part_scene(part, plan.order.units)).encode() for part in plan.extras}
    for sheet in plan.layout.sheets:
        scene = sheet_scene(sheet, parts, plan.order.units)
        files[f"sheets/{sheet.number}.svg"] = to_svg(scene).encode()
        files[f"sheets/{sheet.number}.dxf"] = to_dxf(scene).encode("ascii")
    return files


def _reading_paper(paper: Paper) -> Literal["letter", "a4"]:
    """The paper of what is read rather than cut out: larger sheets are for templates and the card model alone."""
    return "a4" if paper in ("a4", "a3") else "letter"


def _packet_tasks(plan: OrderPlan, paper: Paper) -> list[Task]:
    lone = len(plan.order.boats) == 1
    return [partial(_packet_file, plan, boat, paper, lone) for boat in plan.order.boats]


def _packet_file(plan: OrderPlan, boat: Boat, paper: Paper, lone: bool) -> Files:
    from hullcut.packet.packet import packet_pdf

    name = "packet.pdf" if lone else f"packets/{boat.id}.pdf"
    return {name: packet_pdf(plan, boat, _reading_paper(paper), stamp_of(plan))}


def _table(rows: list[list[object]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def parts_csv(plan: OrderPlan) -> str:
    """The parts list for a spreadsheet: quantities for the whole order, finished sizes."""
    boats = [boat.design for boat in plan.order.boats]
    counted = [(part, boats.count(part.design)) for each in plan.boat_plans for part in each.parts]
    counted += [(part, 1) for part in plan.extras]
    rows: list[list[object]] = [list(_PART_COLUMNS)]
    rows += [
        [
            part.id,
            part.name,
            part.design,
            part.quantity * times,
            wood(part.material).name,
            inches(part.thickness, 32),
            f"{part.thickness:.1f}",
            inches(part.finished_length),
            f"{part.finished_length:.1f}",
            inches(part.finished_width),
            f"{part.finished_width:.1f}",
            part.grain,
            part.hand or "",
            f"{part.mass:.1f}",
            "; ".join(bevel_words(part, plan.order.units)),
        ]
        for part, times in counted
    ]
    return _table(rows)


def shopping_csv(plan: OrderPlan) -> str:
    """What to buy, for a spreadsheet; prices only where the design or order gives them."""
    rows: list[list[object]] = [list(_SHOPPING_COLUMNS)]
    rows += [
        [
            line.stock.id,
            line.stock.kind,
            wood(line.stock.material).name,
            f"{line.stock.thickness:.1f}",
            f"{line.stock.planed_to:.1f}",
            inches(line.stock.length),
            inches(line.stock.width),
            f"{line.stock.length:.1f}",
            f"{line.stock.width:.1f}",
            line.count,
            "" if line.stock.price is None else f"{line.stock.price:.2f}",
            "" if line.cost is None else f"{line.cost:.2f}",
        ]
        for line in plan.layout.shopping
    ]
    return _table(rows)
