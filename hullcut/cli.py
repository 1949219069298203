"""The commands: parse, call the pipeline, print; no logic of boats."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVarTuple

import typer

from hullcut.errors import HullcutError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hullcut.boat_plan import BoatPlan
    from hullcut.files import What
    from hullcut.pipeline import Wishes

__all__ = ["app", "main"]

Shown = TypeVarTuple("Shown")

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

    (plans,) = _answered(partial(check_file, file), checks_screen, json)
    _leave_if_failed(plans)


@app.command()
def parts(file: FileArgument, json: JsonOption = False) -> None:
    """List the parts: finished size, wood, grain, count, weight."""
    from hullcut.pipeline import parts_file
    from hullcut.screen import parts_screen

    _answered(partial(parts_file, file), parts_screen, json)


@app.command()
def sheets(
    file: FileArgument,
    json: JsonOption = False,
    effort: EffortOption = EffortChoice.NORMAL,
    layout: LayoutOption = None,
) -> None:
    """Tell what to buy and how to cut it: stock, count, cost, least possible, cuts."""
    from hullcut.pipeline import sheets_file
    from hullcut.screen import sheets_screen

    _answered(partial(sheets_file, file, effort=effort.value, layout=layout), sheets_screen, json)


@app.command()
def balance(file: FileArgument, json: JsonOption = False) -> None:
    """Tell how the boat balances, floats and runs: weights, waterline, foam, shaft line, speed."""
    from hullcut.balance_screen import balance_screen
    from hullcut.pipeline import balance_file

    (plans,) = _answered(partial(balance_file, file), balance_screen, json)
    _leave_if_failed(plans)


@app.command()
def compare(
    a: Annotated[Path, typer.Argument(metavar="A", help="A design or order file (.toml).", show_default=False)],
    b: Annotated[Path, typer.Argument(metavar="B", help="Another one.", show_default=False)],
    json: JsonOption = False,
) -> None:
    """Set two designs side by side: sizes, weights, sheets, freeboard, speed, bend, and what was changed."""
    from hullcut.balance_screen import compare_screen
    from hullcut.pipeline import compare_files

    _answered(partial(compare_files, a, b), compare_screen, json)


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
    from hullcut.pipeline import Wishes

    _write(file, "templates", Wishes(out, anyway, paper, (measured_x, measured_y), kerf))


@app.command()
def packet(file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False) -> None:
    """Write the illustrated build packet (PDF)."""
    from hullcut.pipeline import Wishes

    _write(file, "packet", Wishes(out, anyway, paper))


@app.command()
def organiser(
    file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False
) -> None:
    """Write the organiser's document (PDF): weights, flotation, running, bevels, joints, evenings, checks."""
    from hullcut.pipeline import Wishes

    _write(file, "organiser", Wishes(out, anyway, paper))


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
    from hullcut.pipeline import Wishes

    _write(file, "all", Wishes(out, anyway, paper, (measured_x, measured_y), kerf, effort.value, layout))


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
    anyway: AnywayOption = False,
) -> None:
    """Draw the boat: three views, drawn apart, as built, and from any side (SVG)."""
    from hullcut.pipeline import Wishes

    angle = None if seen_from is None else (seen_from % 360.0, above)
    _write(file, "pictures", Wishes(out, anyway, angle=angle))


def _answered(
    ask: Callable[[Callable[[str], None]], tuple[tuple[*Shown], str]], screen: Callable[[*Shown], None], json: bool
) -> tuple[*Shown]:
    """Ask the pipeline and print its answer, on screen or as JSON; what the screen shows is given back."""
    with _told(), _progress() as progress:
        shown, text = ask(progress)
    if json:
        typer.echo(text, nl=False)
    else:
        screen(*shown)
    return shown


def _leave_if_failed(plans: Sequence[BoatPlan]) -> None:
    if any(each.status == "fail" for plan in plans for each in plan.checks):
        raise typer.Exit(1)


def _write(file: Path, what: What, wishes: Wishes) -> None:
    """Write a file's outputs and tell which; leave with 1 where a failed check keeps them unwritten."""
    from hullcut.pipeline import make_files
    from hullcut.screen import failures_screen, written_screen

    with _told():
        with _progress() as progress:
            made = make_files(file, what, wishes, progress)
        failures_screen(made.plan)
        if not made.paths:
            typer.echo("Nothing was written. Mend the design, or add --anyway for pages with a stamp.", err=True)
            raise typer.Exit(1)
        written_screen(made)


def main() -> None:
    """Run the command line, as a program of its own: the process ends with it."""
    # Nearly everything that is made lives to the end: looking for rubbish less often answers a tenth sooner.
    gc.set_threshold(1_000_000, 50, 50)
    try:
        app()
    except SystemExit as done:
        _leave(done.code)


def _leave(code: str | int | None) -> None:
    """End the process at once: to give back every object by itself takes a third of a second, for nothing."""
    if not isinstance(code, int):
        # What is none of our own exit codes leaves in the usual way.
        raise SystemExit(code)
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except OSError:
        # Whoever read along has gone; the files are in place all the same.
        code = code or 1
    os._exit(code)


if __name__ == "__main__":
    main()
