"""The commands: parse, call the pipeline, print; no logic of boats."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hullcut.errors import HullcutError

if TYPE_CHECKING:
    from hullcut.boat_plan import OrderPlan

__all__ = ["app", "main"]

app = typer.Typer(
    name="hullcut",
    help=(
        "From a few hull sizes to everything the shop needs for a flat-bottomed model boat: "
        "parts, stock, templates, packet.\n\n"
        "Begin with `hullcut new mallow --from bramblefin`, change the sizes in mallow.toml, "
        "then `hullcut make mallow.toml`."
    ),
    epilog="Saws, glue, fuel and propellers hurt people: an adult stands by. Local rules and labels come first.",
    no_args_is_help=True,
    pretty_exceptions_show_locals=False,
    rich_markup_mode="markdown",
)


FileArgument = Annotated[
    Path, typer.Argument(metavar="FILE", help="A design or order file (.toml).", show_default=False)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print this part of the plan as JSON.")]
OutOption = Annotated[
    Path | None,
    typer.Option("--out", "-o", metavar="DIR", help="Where to write; output/NAME if not given.", show_default=False),
]
PaperOption = Annotated[
    str | None,
    typer.Option(
        "--paper",
        "-p",
        metavar="PAPER",
        help="letter, legal, tabloid, a4, a3, a size (11x17 in) or a roll (roll 24 in); by the units if not given.",
        show_default=False,
    ),
]
MeasuredX = Annotated[
    float, typer.Option("--measured-x", metavar="MM", help="What a ruler reads of the lying 100 mm bar.")
]
MeasuredY = Annotated[
    float, typer.Option("--measured-y", metavar="MM", help="What a ruler reads of the standing 100 mm bar.")
]
KerfOption = Annotated[
    str | None,
    typer.Option(
        "--kerf",
        metavar="WIDTH",
        help="Width of a laser's or router's cut, made good in the DXF files: 0.2 (mm), 1/8 in.",
        show_default=False,
    ),
]


class EffortChoice(StrEnum):
    """How long to look for a better cutting plan."""

    QUICK = "quick"
    NORMAL = "normal"
    LONG = "long"


EffortOption = Annotated[
    EffortChoice,
    typer.Option("--effort", "-e", help="How long to look for a better cutting plan; Ctrl-C takes the best so far."),
]
LayoutOption = Annotated[
    Path | None,
    typer.Option(
        "--layout", metavar="FILE", help="Use the layout of an earlier run (its layout.json) again.", show_default=False
    ),
]
AnywayOption = Annotated[bool, typer.Option("--anyway", help="Write even if a check fails; every page says so.")]


@contextmanager
def _told() -> Iterator[None]:
    """Tell a user's mistake in plain lines and leave with its exit code."""
    try:
        yield
    except HullcutError as error:
        for fault in error.faults:
            typer.echo(str(fault), err=True)
        raise typer.Exit(error.exit_code) from None
    except KeyboardInterrupt:
        typer.echo("Stopped; earlier results are as they were.", err=True)
        raise typer.Exit(130) from None


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """A line that says what is being done, on a terminal; nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.live import Live
    from rich.text import Text

    with Live(console=Console(stderr=True), auto_refresh=False, transient=True) as live:
        yield lambda words: live.update(Text(f"… {words}"), refresh=True)


@app.command()
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the new boat, one word.", show_default=False)],
    sample: Annotated[str, typer.Option("--from", metavar="SAMPLE", help="The sample to begin with.")] = "bramblefin",
    schema: Annotated[
        bool, typer.Option("--schema", help="Also write design.schema.json, by which an editor can help.")
    ] = False,
) -> None:
    """Write a commented design file to edit."""
    from hullcut.pipeline import new_design

    with _told():
        for path in new_design(name, sample, Path.cwd(), schema):
            typer.echo(f"wrote {path.name}")


@app.command()
def check(file: FileArgument, json: JsonOption = False) -> None:
    """Hold the boat against every limit: value, limit, source and what to change."""
    from hullcut.pipeline import check_file
    from hullcut.screen import checks_screen

    with _told(), _progress() as progress:
        plans, text = check_file(file, progress)
    if json:
        typer.echo(text, nl=False)
    else:
        checks_screen(plans)
    if any(each.status == "fail" for plan in plans for each in plan.checks):
        raise typer.Exit(1)


@app.command()
def parts(file: FileArgument, json: JsonOption = False) -> None:
    """List the parts: finished size, wood, grain, count, weight."""
    from hullcut.pipeline import parts_file
    from hullcut.screen import parts_screen

    with _told(), _progress() as progress:
        order, plans, text = parts_file(file, progress)
    if json:
        typer.echo(text, nl=False)
    else:
        parts_screen(order, plans)


@app.command()
def sheets(
    file: FileArgument,
    json: JsonOption = False,
    effort: EffortOption = EffortChoice.NORMAL,
    layout: LayoutOption = None,
) -> None:
    """Tell what to buy and how to cut it: stock, count, cost, least possible, cuts."""
    from hullcut.plan import sheets_json, to_text
    from hullcut.screen import sheets_screen

    plan = _planned(file, effort, layout)
    if json:
        typer.echo(to_text(sheets_json(plan)), nl=False)
    else:
        sheets_screen(plan)


@app.command()
def balance(file: FileArgument, json: JsonOption = False) -> None:
    """Tell how the boat balances, floats and runs: weights, waterline, foam, shaft line, speed."""
    from hullcut.balance_screen import balance_screen
    from hullcut.pipeline import balance_file

    with _told(), _progress() as progress:
        plans, text = balance_file(file, progress)
    if json:
        typer.echo(text, nl=False)
    else:
        balance_screen(plans)
    if any(each.status == "fail" for plan in plans for each in plan.checks):
        raise typer.Exit(1)


@app.command()
def compare(
    a: Annotated[Path, typer.Argument(metavar="A", help="A design or order file (.toml).", show_default=False)],
    b: Annotated[Path, typer.Argument(metavar="B", help="Another one.", show_default=False)],
    json: JsonOption = False,
) -> None:
    """Set two designs side by side: sizes, weights, sheets, freeboard, speed, bend, and what was changed."""
    from hullcut.balance_screen import compare_screen
    from hullcut.pipeline import compare_files

    with _told(), _progress() as progress:
        one, other, text = compare_files(a, b, progress)
    if json:
        typer.echo(text, nl=False)
    else:
        compare_screen(one, other)


@app.command()
def templates(
    file: FileArgument,
    out: OutOption = None,
    paper: PaperOption = None,
    measured_x: MeasuredX = 100.0,
    measured_y: MeasuredY = 100.0,
    kerf: KerfOption = None,
    anyway: AnywayOption = False,
) -> None:
    """Write full-size templates: SVG, DXF and a PDF for an ordinary printer or a roll."""
    _write(file, out, paper, anyway, "templates", (measured_x, measured_y), kerf)


@app.command()
def packet(file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False) -> None:
    """Write the illustrated build packet (PDF)."""
    _write(file, out, paper, anyway, "packet")


@app.command()
def organiser(
    file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False
) -> None:
    """Write the organiser's document (PDF): weights, flotation, running, bevels, joints, evenings, checks."""
    _write(file, out, paper, anyway, "organiser")


@app.command()
def make(
    file: FileArgument,
    out: OutOption = None,
    paper: PaperOption = None,
    measured_x: MeasuredX = 100.0,
    measured_y: MeasuredY = 100.0,
    kerf: KerfOption = None,
    anyway: AnywayOption = False,
    effort: EffortOption = EffortChoice.NORMAL,
    layout: LayoutOption = None,
) -> None:
    """Write everything: plan, lists, templates, cutting plan, packet and the organiser's document."""
    _write(file, out, paper, anyway, "all", (measured_x, measured_y), kerf, effort, layout)


@app.command()
def pictures(
    file: FileArgument,
    out: OutOption = None,
    seen_from: Annotated[
        float | None,
        typer.Option(
            "--from",
            metavar="DEGREES",
            help="One more view: where the eye stands, 0 ahead, 90 to port, 180 astern, 270 to starboard.",
            show_default=False,
        ),
    ] = None,
    above: Annotated[
        float, typer.Option("--above", metavar="DEGREES", help="How high the eye stands, -90 to 90.", min=-90, max=90)
    ] = 25.0,
) -> None:
    """Draw the boat: three views, drawn apart, as built, and from any side (SVG)."""
    from hullcut.pipeline import picture_files_of
    from hullcut.screen import written_screen

    with _told():
        with _progress() as progress:
            angle = None if seen_from is None else (seen_from % 360.0, above)
            made = picture_files_of(file, out, angle, progress)
        written_screen(made)


def _planned(file: Path, effort: EffortChoice = EffortChoice.NORMAL, layout: Path | None = None) -> OrderPlan:
    from hullcut.pipeline import plan_file

    with _told(), _progress() as progress:
        return plan_file(file, progress, effort.value, layout)


def _write(
    file: Path,
    out: Path | None,
    paper: str | None,
    anyway: bool,
    what: str,
    measured: tuple[float, float] = (100.0, 100.0),
    kerf: str | None = None,
    effort: EffortChoice = EffortChoice.NORMAL,
    layout: Path | None = None,
) -> None:
    from hullcut.pipeline import make_files
    from hullcut.screen import failures_screen, written_screen

    with _told():
        with _progress() as progress:
            made = make_files(file, out, paper, anyway, what, progress, measured, kerf, effort.value, layout)
        failures_screen(made.plan)
        if not made.paths:
            typer.echo("Nothing was written. Mend the design, or add --anyway for pages with a stamp.", err=True)
            raise typer.Exit(1)
        written_screen(made)


def main() -> None:
    """Run the command line."""
    # Nearly everything that is made lives to the end: looking for rubbish less often answers a tenth sooner.
    gc.set_threshold(100_000, 50, 50)
    app()


if __name__ == "__main__":
    main()
