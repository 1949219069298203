"""The content of every output file, from a finished plan."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from hullcut.drawing.measured_scene import is_plain, measured_scene
from hullcut.drawing.part_scene import part_caption, part_scene
from hullcut.drawing.sheet_scene import sheet_scene
from hullcut.drawing.svg import to_svg
from hullcut.lengths import inches
from hullcut.plan import plan_json, plan_schema, to_text
from hullcut.stock.woods import wood

if TYPE_CHECKING:
    from collections.abc import Callable

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.drawing.scene import Scene
    from hullcut.parts.values import Part

__all__ = ["all_files", "packet_files", "parts_csv", "shopping_csv", "stamp_of", "template_files"]

Files = dict[str, bytes]

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


def all_files(plan: OrderPlan, paper: str, progress: Callable[[str], None]) -> Files:
    """Every file of `hullcut make`, by path within the output folder."""
    progress("writing the plan and the lists")
    files: Files = {
        "plan.json": to_text(plan_json(plan)).encode(),
        "plan.schema.json": to_text(plan_schema()).encode(),
        "parts.csv": parts_csv(plan).encode(),
        "shopping.csv": shopping_csv(plan).encode(),
    }
    files |= template_files(plan, paper, progress)
    files |= packet_files(plan, paper, progress)
    return files


def template_files(plan: OrderPlan, paper: str, progress: Callable[[str], None]) -> Files:
    """SVG of each part and sheet, DXF of each sheet, and the tiled PDF of each design."""
    from hullcut.drawing.dxf import to_dxf
    from hullcut.drawing.tiling import Template, templates_pdf

    files: Files = {}
    units = plan.order.units
    stamp = stamp_of(plan)
    for each in plan.boat_plans:
        progress(f"drawing the templates of {each.design.name}")
        scenes = _part_scenes(each)
        for part, scene in scenes:
            files[f"parts/{part.id}.svg"] = to_svg(scene).encode()
        plain = [part for part, _ in scenes if is_plain(part)]
        templates = [
            Template(scene, part.name, part_caption(part, units)) for part, scene in scenes if part not in plain
        ]
        if plain:
            templates.append(Template(measured_scene(plain, units), "Plain pieces", "no pattern needed"))
        name = "templates.pdf" if len(plan.boat_plans) == 1 else f"templates-{each.design.name}.pdf"
        title = each.design.name if stamp is None else f"{each.design.name} · {stamp}"
        files[name] = templates_pdf(templates, paper, title)
    parts = {part.id: part for each in plan.boat_plans for part in each.parts}
    progress("drawing the sheets")
    for sheet in plan.layout.sheets:
        scene = sheet_scene(sheet, parts, units)
        files[f"sheets/{sheet.number}.svg"] = to_svg(scene).encode()
        files[f"sheets/{sheet.number}.dxf"] = to_dxf(scene).encode("ascii")
    return files


def _part_scenes(plan: BoatPlan) -> list[tuple[Part, Scene]]:
    return [(part, part_scene(part, plan.design.units)) for part in plan.parts]


def packet_files(plan: OrderPlan, paper: str, progress: Callable[[str], None]) -> Files:
    """The packet: one for a lone boat, one for each boat of an order."""
    from hullcut.packet.packet import packet_pdf

    stamp = stamp_of(plan)
    boats = plan.order.boats
    if len(boats) == 1:
        progress("writing the packet")
        return {"packet.pdf": packet_pdf(plan, boats[0], paper, stamp)}
    files: Files = {}
    for boat in boats:
        progress(f"writing the packet of boat {boat.number} of {len(boats)}")
        files[f"packets/{boat.id}.pdf"] = packet_pdf(plan, boat, paper, stamp)
    return files


def _table(rows: list[list[object]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def parts_csv(plan: OrderPlan) -> str:
    """The parts list for a spreadsheet: quantities for the whole order, finished sizes."""
    boats = [boat.design for boat in plan.order.boats]
    rows: list[list[object]] = [list(_PART_COLUMNS)]
    rows += [
        [
            part.id,
            part.name,
            part.design,
            part.quantity * boats.count(part.design),
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
        ]
        for each in plan.boat_plans
        for part in each.parts
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
