"""The command `report`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, By, OfBuild, day_of_text, now, the_book, today
from lugbook.cli.console import say, show_json, warn
from lugbook.cli.tables import noun

report = noun("A report for a buyer, surveyor or insurer, as HTML and PDF.")
COMMANDS = {"report": report}


@report.command()
def write(
    ctx: typer.Context,
    out: Annotated[Path, typer.Option("--out", help="The folder to write both files to.")],
    build: OfBuild = None,
    span: Annotated[str | None, typer.Option(help="A page on this span alone.")] = None,
    cable: Annotated[str | None, typer.Option(help="A page on this cable alone.")] = None,
    private: Annotated[
        bool, typer.Option("--private", help="Leave out names of people, free notes and descriptions.")
    ] = False,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    issue: Annotated[
        str | None,
        typer.Option(help="Its number; if left out, the next one where recorded, else it is a draft."),
    ] = None,
    replaces: Annotated[
        str, typer.Option(help="The issue it replaces; if left out, the last one recorded of the same thing.")
    ] = "",
    record: Annotated[
        bool,
        typer.Option("--record", help="Note the issue in the book, so that `lugbook issue check` knows its files."),
    ] = False,
    issued_to: Annotated[str, typer.Option("--to", help="Whom it is made for; noted with --record.")] = "",
    by: By = None,
    photos: Annotated[
        list[Path] | None, typer.Option("--photos", help="A folder to look for originals in.")
    ] = None,
    no_photos: Annotated[bool, typer.Option("--no-photos", help="Leave all photos out, and say so.")] = False,
    on: Annotated[
        str | None, typer.Option("--on", help="What was known on this day; today, if left out.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Write the workmanship report on a build, or a page on one span or cable, as HTML and PDF."""
    from lugbook.jobs.reporting import Wanted, make_report

    wanted = Wanted(
        build=build, span=span, cable=cable, is_private=private, paper=paper, issue=issue, replaces=replaces,
        photo_folders=tuple(photos or ()), with_photos=not no_photos, is_recorded=record, issued_to=issued_to, by=by,
    )  # fmt: skip
    done = make_report(the_book(ctx), day_of_text(on, today()), wanted, out, now())
    if as_json:
        show_json({
            "html": str(done.html), "pdf": str(done.pdf), "issue": done.issue, "recorded": record,
            "replaces": done.replaces or None, "declares_archive": done.declares_archive,
            "remarks": list(done.remarks),
        })  # fmt: skip
        return
    say(f"{done.called.capitalize()}: {done.html}")
    say(f"{done.called.capitalize()}: {done.pdf}")
    if record:
        after = f", which replaces issue {done.replaces}" if done.replaces else ""
        say(f"Recorded as issue {done.issue}{after}; `lugbook issue check` knows both files.")
    for remark in done.remarks:
        warn(remark)
