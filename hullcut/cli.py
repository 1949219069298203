"""The commands: parse, call the pipeline, print; no logic of boats."""

from __future__ import annotations

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


class Paper(StrEnum):
    """Paper of an ordinary printer."""

    LETTER = "letter"
    A4 = "a4"
    TABLOID = "tabloid"
    A3 = "a3"


FileArgument = Annotated[
    Path, typer.Argument(metavar="FILE", help="A design or order file (.toml).", show_default=False)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print this part of the plan as JSON.")]
OutOption = Annotated[
    Path | None,
    typer.Option("--out", "-o", metavar="DIR", help="Where to write; output/NAME if not given.", show_default=False),
]
PaperOption = Annotated[
    Paper | None,
    typer.Option(
        "--paper",
        "-p",
        help="Letter for a design in inches, A4 for one in mm; the larger two for templates and card model.",
        show_default=False,
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
def sheets(file: FileArgument, json: JsonOption = False) -> None:
    """Tell what to buy and how to cut it: stock, count, cost, least possible, cuts."""
    from hullcut.plan import sheets_json, to_text
    from hullcut.screen import sheets_screen

    plan = _planned(file)
    if json:
        typer.echo(to_text(sheets_json(plan)), nl=False)
    else:
        sheets_screen(plan)


@app.command()
def templates(
    file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False
) -> None:
    """Write full-size templates: SVG, DXF and a PDF for an ordinary printer."""
    _write(file, out, paper, anyway, "templates")


@app.command()
def packet(file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False) -> None:
    """Write the illustrated build packet (PDF)."""
    _write(file, out, paper, anyway, "packet")


@app.command()
def make(file: FileArgument, out: OutOption = None, paper: PaperOption = None, anyway: AnywayOption = False) -> None:
    """Write everything: plan, lists, templates, cutting plan and packet."""
    _write(file, out, paper, anyway, "all")


def _planned(file: Path) -> OrderPlan:
    from hullcut.pipeline import plan_file

    with _told(), _progress() as progress:
        return plan_file(file, progress)


def _write(file: Path, out: Path | None, paper: Paper | None, anyway: bool, what: str) -> None:
    from hullcut.pipeline import make_files
    from hullcut.screen import failures_screen, written_screen

    with _told():
        with _progress() as progress:
            made = make_files(file, out, None if paper is None else paper.value, anyway, what, progress)
        failures_screen(made.plan)
        if not made.paths:
            typer.echo("Nothing was written. Mend the design, or add --anyway for pages with a stamp.", err=True)
            raise typer.Exit(1)
        written_screen(made)


def main() -> None:
    """Run the command line."""
    app()


if __name__ == "__main__":
    main()
