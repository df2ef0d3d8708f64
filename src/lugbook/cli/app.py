"""The command `lugbook`: which nouns it has, each loaded only when it is used."""

import gc

# A command lives for a second: looking for garbage among what it loads would be a tenth of that.
gc.set_threshold(100_000, 50, 50)

import sys
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from lugbook import __version__
from lugbook.errors import Refusal

NOUNS = {
    "status": ("lugbook.cli.status", "One line a span: verdict, resistance, rate, next test."),
    "due": ("lugbook.cli.due", "What to test next, why, and what to bring."),
    "calendar": ("lugbook.cli.due", "The visits to come, as a calendar file."),
    "history": ("lugbook.cli.history", "All that ever happened to one span, in one view."),
    "round": ("lugbook.cli.round", "A round at the boat: open, sheet, enter or import, close."),
    "reading": ("lugbook.cli.reading", "Add, amend, withdraw, list and show readings."),
    "plan": ("lugbook.cli.plan", "What current shows a change; how many seasons until a creep shows."),
    "span": ("lugbook.cli.span", "The places watched: add, list, show, plot, amend."),
    "service": ("lugbook.cli.service", "Record work on a span, as found and as left."),
    "terminal": ("lugbook.cli.terminal", "Make, list and show terminals; add a photo."),
    "pull": ("lugbook.cli.pull", "Record, list and show pulls of samples and proof pulls."),
    "recipe": ("lugbook.cli.recipe", "How terminals are made: add, show with its proof, compare, plot."),
    "sample": ("lugbook.cli.sample", "Crimps made to be spoilt: measure, pull, look at, list."),
    "workmanship": ("lugbook.cli.workmanship", "The checklist, and its answers of terminals and samples."),
    "cable": ("lugbook.cli.cable", "Made-up cables: add, list, show, cut list, costs."),
    "reel": ("lugbook.cli.stock", "Cable on reels: add, list, show."),
    "price": ("lugbook.cli.stock", "What parts and metres cost: add, list, show."),
    "criterion": ("lugbook.cli.criteria", "Published limits with their sources; drops while cranking."),
    "build": ("lugbook.cli.build", "Vessels, vehicles and systems: add, list, show."),
    "landing": ("lugbook.cli.cable", "Posts, studs and bus bars: add, list, show."),
    "conductor": ("lugbook.cli.parts", "What cables are made of: add, list, show."),
    "lug": ("lugbook.cli.parts", "The parts crimped on: add, list, show."),
    "tool": ("lugbook.cli.parts", "What crimps are made with: add, list, show."),
    "instrument": ("lugbook.cli.instrument", "Meters, their accuracy, ranges and calibration."),
    "operator": ("lugbook.cli.parts", "Who makes and measures: add, list, show."),
    "import": ("lugbook.cli.files", "Read a table of one kind into the book."),
    "export": ("lugbook.cli.files", "Write a table of one kind out of the book."),
    "report": ("lugbook.cli.report", "A report for a buyer, surveyor or insurer, as HTML and PDF."),
    "issue": ("lugbook.cli.issues", "Reports given out: list, check a file against them, withdraw."),
    "labels": ("lugbook.cli.labels", "Sheets of labels for the ends of cables."),
    "book": ("lugbook.cli.book", "Make, look at, verify and upgrade a book."),
    "demo": ("lugbook.cli.demo", "Fill a folder with an invented boat's book and plots."),
}

CAUTION = (
    "A heavy cable shorted by a spanner is an arc and a burn: rings off, negative off first, fuse, ventilate. "
    "Follow the local code, and a licensed person where one is required."
)


class Nouns(TyperGroup):
    """Loads a noun's module when the noun is used; help needs none of them."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Every noun, in the order in which a person meets them."""
        return list(NOUNS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The noun's own commands; None where there is no such noun."""
        if cmd_name not in NOUNS:
            return None
        module = import_module(NOUNS[cmd_name][0])
        command = typer.main.get_command(module.COMMANDS[cmd_name])
        command.name = cmd_name
        return command

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The list of nouns with one sentence each."""
        with formatter.section("Nouns"):
            formatter.write_dl([(name, says) for name, (_, says) in NOUNS.items()])


app = typer.Typer(
    cls=Nouns,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog=CAUTION,
)


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"lugbook {__version__}")
        raise typer.Exit


@app.callback()
def start(
    ctx: typer.Context,
    book: Annotated[
        Path | None,
        typer.Option(
            "--book", envvar="LUGBOOK_BOOK", help="The book to work on; else the one in your data folder."
        ),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    """A book of heavy DC cable terminals: how each was made, what it measures, and which are creeping."""
    ctx.obj = book


def main() -> None:
    """Run the command line; a refusal is one sentence on standard error and its own exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and not stream.isatty():  # a code page may have no letter for µΩ
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        app()
    except Refusal as refusal:
        typer.echo(str(refusal), err=True)
        sys.exit(refusal.exit_code)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
