"""The content of every output file, from a finished plan."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Literal

from hullcut.drawing.bevel_scene import bevel_scenes
from hullcut.drawing.furniture import stamped
from hullcut.drawing.measured_scene import is_plain, measured_scene
from hullcut.drawing.part_scene import part_caption, part_scene, pattern_size
from hullcut.drawing.screw_scene import screw_scene
from hullcut.drawing.sheet_scene import sheet_scene
from hullcut.drawing.svg import to_svg
from hullcut.errors import Fault, OutputError
from hullcut.lengths import inches
from hullcut.nesting.after import rack_text
from hullcut.nesting.saved import layout_text
from hullcut.parts.bevels import bevel_words
from hullcut.plan import plan_json, plan_schema, to_text
from hullcut.stock.woods import wood
from hullcut.two_hands import heaviest_first, only_here, share_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hullcut.boat_plan import BoatPlan, OrderPlan
    from hullcut.design.values import Boat, Order
    from hullcut.drawing.paper import Printing
    from hullcut.drawing.scene import Item
    from hullcut.packet.studio import Studio

__all__ = [
    "Files",
    "Studios",
    "Weighted",
    "What",
    "done",
    "draw_ahead",
    "early_tasks",
    "files_of",
    "late_tasks",
    "merged",
    "parts_csv",
    "shopping_csv",
    "stamp_of",
]

Files = dict[str, bytes]
Task = Callable[[], Files]
Weighted = tuple[float, Task]
Progress = Callable[[str], None]
What = Literal["all", "templates", "packet", "organiser", "pictures"]

# Seconds that each task takes on a small machine, measured; they only decide which hand does it.
# Of one design's packets the first takes longest, for it makes the pictures.
_FIRST_PACKET, _NEXT_PACKET = 3.5, 0.9
_TEMPLATES, _ONE_SHEET, _CLASS, _ORGANISER, _MEASURES, _CARD, _LISTS, _PICTURES = 1.7, 0.1, 1.2, 0.4, 0.6, 0.2, 0.1, 1.1
_MOST_IN_BUNCH = 3

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


def stamp_of(plans: Sequence[BoatPlan]) -> str | None:
    """What is stamped on every page when a check of a design failed; None when all is well."""
    failed = [check.name for each in plans for check in each.checks if check.status == "fail"]
    return f"CHECK FAILED: {'; '.join(failed)}" if failed else None


def files_of(what: What, plan: OrderPlan, printing: Printing, progress: Progress) -> Files:
    """The files of a writing command, by path within the output folder.

    Args:
        what: which outputs.
        plan: the finished plan.
        printing: how pages are printed.
        progress: told what is being done.
    """
    early = early_tasks(what, plan.order, plan.boat_plans, printing)
    return done([*early, *late_tasks(what, plan, printing, Studios(), progress)])


class Studios:
    """The studio of each design, in which all packets that one process writes are drawn."""

    def __init__(self) -> None:
        self._known: dict[str, Studio] = {}

    def of(self, plan: BoatPlan) -> Studio:
        """The studio for a design's packets, with what was drawn in it so far."""
        from hullcut.packet.studio import Studio

        return self._known.setdefault(plan.design.name, Studio(plan))


def early_tasks(
    what: What,
    order: Order,
    plans: Sequence[BoatPlan],
    printing: Printing,
    angle: tuple[float, float] | None = None,
) -> list[Weighted]:
    """What no layout is needed for, and may be drawn while the parts are laid on the stock.

    Args:
        what: which outputs.
        order: what is wanted.
        plans: of every design.
        printing: how pages are printed.
        angle: azimuth and elevation of one more picture, degrees; None for none.
    """
    if what == "pictures":
        return [(_PICTURES, partial(_pictures_of, plans, each, angle)) for each in plans]
    tasks: list[Weighted] = []
    for each in plans:
        if what in ("all", "templates"):
            tasks.append((_TEMPLATES, partial(_design_files, plans, each, printing)))
        if what == "all":
            tasks.append((_CARD, partial(_card_file, plans, each, printing)))
            tasks.append((_MEASURES, partial(_measures_file, plans, each, printing)))
    return tasks


def draw_ahead(what: What, order: Order, plans: Sequence[BoatPlan], printing: Printing, studios: Studios) -> None:
    """Draw the pictures of the packets that a helping process writes first: the second heaviest of all.

    Args:
        what: which outputs.
        order: what is wanted.
        plans: of every design.
        printing: how pages are printed.
        studios: where packets are drawn.
    """
    from hullcut.packet import packet

    bunches = _bunches(order, plans) if what in ("all", "packet") else []
    if len(bunches) > 1:
        _, second, *_ = heaviest_first([_packets_weight(boats) for _, boats in bunches])
        packet.draw_ahead(studios.of(bunches[second][0]), printing.packet_paper)


def late_tasks(what: What, plan: OrderPlan, printing: Printing, studios: Studios, progress: Progress) -> list[Weighted]:
    """What needs the finished plan.

    Args:
        what: which outputs.
        plan: the plan.
        printing: how pages are printed.
        studios: where packets are drawn.
        progress: told what is being done.
    """
    tasks: list[Weighted] = []
    if what in ("all", "templates"):
        progress("drawing the templates")
        tasks.append((_ONE_SHEET * len(plan.layout.sheets), partial(_sheet_files, plan, printing.kerf)))
    if what == "all":
        tasks.append((_LISTS, partial(_list_files, plan)))
    if what in ("all", "organiser"):
        tasks.append((_ORGANISER, partial(_organiser_file, plan, printing)))
    if what in ("all", "packet"):
        tasks += _packet_tasks(plan, printing, studios, progress, pictures=what == "all")
    return tasks


def done(tasks: Sequence[Weighted]) -> Files:
    """Do tasks with two hands."""
    return merged(share_out([task for _, task in tasks], [weight for weight, _ in tasks]))


def merged(found: Iterable[Files]) -> Files:
    """All files, by path."""
    every: Files = {}
    for files in found:
        every |= files
    return dict(sorted(every.items()))


def _list_files(plan: OrderPlan) -> Files:
    return {
        "plan.json": to_text(plan_json(plan)).encode(),
        "plan.schema.json": to_text(plan_schema()).encode(),
        "parts.csv": parts_csv(plan).encode(),
        "shopping.csv": shopping_csv(plan).encode(),
        "rack_after.toml": rack_text(plan.layout, plan.order.shop.stock, plan.order.name).encode(),
    } | ({"layout.json": layout_text(plan.layout).encode()} if plan.layout.rules.cutting == "shape" else {})


def _design_files(plans: Sequence[BoatPlan], each: BoatPlan, printing: Printing) -> Files:
    """The templates of one design."""
    from hullcut.drawing.tiling import Template, pages_json, pages_pdf, tile

    units = each.design.units
    scenes = [(part, part_scene(part, units)) for part in each.parts]
    stamp = stamp_of(plans)
    files = {f"parts/{part.id}.svg": to_svg(stamped(scene, stamp)).encode() for part, scene in scenes}
    templates = [
        Template(scene, part.name, part_caption(part, units), part.id, pattern_size(part, units))
        for part, scene in scenes
        if not is_plain(part)
    ]
    plain = [part for part in each.parts if is_plain(part)]
    plain += [strip for glued in each.glue_ups for strip in glued.strips]
    if plain:
        templates.append(Template(measured_scene(plain, units), "Plain pieces", "no pattern needed", is_list=True))
    templates += [
        Template(scene, scene.title, "a list to read", is_list=True) for scene in bevel_scenes(each.parts, units)
    ]
    screws = screw_scene(each.design, each.parts)
    templates += [Template(screws, screws.title, "a list to read", is_list=True)] if screws is not None else []
    name = _named(plans, each, "templates")
    title = each.design.name if stamp is None else f"{each.design.name} · {stamp}"
    try:
        pages = tile(templates, printing.paper, title, correction=printing.correction)
    except ValueError as error:
        raise OutputError(Fault("", None, "--paper", str(error), "")) from None
    files[f"{name}.pdf"] = pages_pdf(pages, title)
    files[f"{name}.json"] = to_text(pages_json(pages, templates, each.design.name)).encode()
    return files


def _named(plans: Sequence[BoatPlan], each: BoatPlan, name: str) -> str:
    """The name of a design's file: with the design's name where the order has several."""
    return name if len(plans) == 1 else f"{name}-{each.design.name}"


def _card_file(plans: Sequence[BoatPlan], each: BoatPlan, printing: Printing) -> Files:
    """The card model of one design."""
    from hullcut.drawing.card_pages import card_model_pdf

    name = f"{_named(plans, each, 'card_model')}.pdf"
    return {name: card_model_pdf(each.hull, _card_paper(printing), stamp_of(plans))}


def _card_paper(printing: Printing) -> str:
    """Card comes in sheets: a size that has a name, or else the packet's paper."""
    from hullcut.drawing.paper import PAPERS

    return printing.paper.name if printing.paper.name in PAPERS else printing.packet_paper


def _measures_file(plans: Sequence[BoatPlan], each: BoatPlan, printing: Printing) -> Files:
    """The measures of every part of one design."""
    from hullcut.drawing.measure_pages import measures_pdf

    title = f"{each.design.name}: measures, to mark out without a printer"
    pages = measures_pdf(each.parts, each.design.units, printing.packet_paper, title, stamp_of(plans))
    return {f"{_named(plans, each, 'measures')}.pdf": pages}


def _sheet_files(plan: OrderPlan, kerf: float) -> Files:
    """Each sheet as SVG for reading, and as DXF for a machine."""
    from hullcut.drawing.dxf import to_dxf
    from hullcut.drawing.machine_scene import machine_scene

    parts = plan.parts
    units, stamp = plan.order.units, stamp_of(plan.boat_plans)
    files: Files = {
        f"parts/{part.id}.svg": to_svg(stamped(part_scene(part, units), stamp)).encode() for part in plan.extras
    }
    known: dict[str, tuple[Item, ...]] = {}
    for sheet in plan.layout.sheets:
        files[f"sheets/{sheet.number}.svg"] = to_svg(
            stamped(sheet_scene(sheet, parts, units, several=len(plan.order.boats) > 1), stamp)
        ).encode()
        try:
            scene = machine_scene(sheet, parts, units, kerf, known)
        except ValueError as error:
            raise OutputError(Fault("", None, "--kerf", str(error), "")) from None
        files[f"sheets/{sheet.number}.dxf"] = to_dxf(stamped(scene, stamp)).encode("ascii")
    return files


def _bunches(order: Order, plans: Sequence[BoatPlan]) -> list[tuple[BoatPlan, list[Boat]]]:
    """Boats whose packets are written together; one design's boats in two bunches if they are many."""
    found: list[tuple[BoatPlan, list[Boat]]] = []
    for each in plans:
        boats = [boat for boat in order.boats if boat.design == each.design.name]
        found += [(each, some) for some in ([boats[0::2], boats[1::2]] if len(boats) > _MOST_IN_BUNCH else [boats])]
    return found


def _packets_weight(boats: Sequence[Boat]) -> float:
    return _FIRST_PACKET + _NEXT_PACKET * (len(boats) - 1)


def _packet_tasks(
    plan: OrderPlan, printing: Printing, studios: Studios, progress: Progress, pictures: bool
) -> list[Weighted]:
    """Packets in bunches of boats that share their pictures."""
    tasks: list[Weighted] = []
    with_pictures: set[str] = set()
    for each, boats in _bunches(plan.order, plan.boat_plans):
        first = each.design.name not in with_pictures
        with_pictures.add(each.design.name)
        work = partial(_packets_of, plan, each, boats, printing, studios, only_here(progress), pictures and first)
        tasks.append((_packets_weight(boats), work))
    if len(plan.order.boats) > 1:
        tasks.append((_CLASS, partial(_class_file, plan, printing)))
    return tasks


def _packets_of(
    plan: OrderPlan,
    each: BoatPlan,
    boats: Sequence[Boat],
    printing: Printing,
    studios: Studios,
    progress: Progress,
    pictures: bool,
) -> Files:
    from hullcut.packet.packet import packet_pdf

    studio = studios.of(each)
    files: Files = {}
    if pictures:
        files |= _pictures(plan.boat_plans, studio, None)
    for boat in boats:
        lone = len(plan.order.boats) == 1
        progress("writing the packet" if lone else f"writing the packet of boat {boat.number}, {each.design.name}")
        name = "packet.pdf" if lone else f"packets/{boat.id}.pdf"
        files[name] = packet_pdf(plan, boat, printing.packet_paper, stamp_of(plan.boat_plans), studio)
    return files


def _pictures_of(plans: Sequence[BoatPlan], each: BoatPlan, angle: tuple[float, float] | None) -> Files:
    from hullcut.packet.studio import Studio

    return _pictures(plans, Studio(each), angle)


def _pictures(plans: Sequence[BoatPlan], studio: Studio, angle: tuple[float, float] | None) -> Files:
    from hullcut.packet.pictures import boat_pictures

    stamp = stamp_of(plans)
    folder = "pictures" if len(plans) == 1 else f"pictures/{studio.plan.design.name}"
    return {
        f"{folder}/{name}.svg": to_svg(stamped(scene, stamp)).encode()
        for name, scene in boat_pictures(studio, angle).items()
    }


def _class_file(plan: OrderPlan, printing: Printing) -> Files:
    from hullcut.packet.class_packet import class_pdf

    return {"class.pdf": class_pdf(plan, printing.packet_paper, stamp_of(plan.boat_plans))}


def _organiser_file(plan: OrderPlan, printing: Printing) -> Files:
    from hullcut.packet.organiser.document import organiser_pdf

    return {"organiser.pdf": organiser_pdf(plan, printing.packet_paper, stamp_of(plan.boat_plans))}


def _table(rows: list[list[object]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def parts_csv(plan: OrderPlan) -> str:
    """The parts list for a spreadsheet: quantities for the whole order, finished sizes."""
    boats = [boat.design for boat in plan.order.boats]
    counted = [(part, boats.count(part.design)) for each in plan.boat_plans for part in each.parts]
    counted += [(part, 1) for part in plan.extras]
    counted += [(strip, boats.count(strip.design) or 1) for glued in plan.glue_ups for strip in glued.strips]
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
            f"{part.mass:.1f}" if part.family != "strip" else "",
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
