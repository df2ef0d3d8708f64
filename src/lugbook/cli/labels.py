"""The command `labels`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import OfBuild, the_book, today
from lugbook.cli.console import say, warn
from lugbook.cli.tables import noun

labels = noun("Sheets of labels for the ends of cables.")
COMMANDS = {"labels": labels}


@labels.command()
def write(
    ctx: typer.Context,
    out: Annotated[Path, typer.Option("--out", help="The PDF to write.")],
    width: Annotated[str, typer.Option(help='Of one label: "63.5 mm".')],
    height: Annotated[str, typer.Option(help='Of one label: "38.1 mm".')],
    columns: Annotated[int, typer.Option(help="Labels across the sheet.")],
    rows: Annotated[int, typer.Option(help="Labels down the sheet.")],
    left: Annotated[str, typer.Option(help='From the edge of the paper to the first label: "7.2 mm".')],
    top: Annotated[str, typer.Option(help='From the edge of the paper to the first label: "15.1 mm".')],
    gap_across: Annotated[str, typer.Option(help="Between labels side by side.")] = "0 mm",
    gap_down: Annotated[str, typer.Option(help="Between labels one below the other.")] = "0 mm",
    start: Annotated[int, typer.Option(help="The first place still free on a sheet used before.")] = 1,
    copies: Annotated[int, typer.Option(min=1, max=50, help="Of each label.")] = 1,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    cable: Annotated[
        list[str] | None, typer.Option("--cable", help="Only this cable; may be said again.")
    ] = None,
    build: OfBuild = None,
) -> None:
    """Write a PDF of labels, one for each cable end: tag, size, where it goes, and a code with tag and book."""
    from lugbook.jobs.labelling import read_sheet, write_labels

    sheet = read_sheet(
        {"width": width, "height": height, "left": left, "top": top, "gap_across": gap_across, "gap_down": gap_down},
        columns, rows, paper,
    )  # fmt: skip
    done = write_labels(
        the_book(ctx), today(), out, sheet, build=build, cables=cable or (), copies=copies, start=start
    )
    say(
        f"{done.count} labels: {out}. Print at actual size, on plain paper first, and hold it against the sheet."
    )
    if done.remark:
        warn(done.remark)
