"""The noun `book`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, book_path, now, the_book
from lugbook.cli.console import say, show_facts, show_json, warn
from lugbook.cli.tables import noun

book = noun("The file that holds everything.")
COMMANDS = {"book": book}


@book.command("new")
def new(
    ctx: typer.Context,
    file: Annotated[
        Path | None, typer.Argument(help="The file to make; else the one in your data folder.")
    ] = None,
) -> None:
    """Make a new book."""
    from lugbook.jobs.keeping import new_book

    path = file or book_path(ctx)
    new_book(path, now(), make_folder=file is None)
    say(f"A new book is at {path}; work on it with `lugbook --book {path} ...`, or set LUGBOOK_BOOK.")


@book.command("info")
def info(ctx: typer.Context, as_json: AsJson = False) -> None:
    """What the book holds and where its chain stands."""
    from lugbook.jobs.keeping import book_info

    found = book_info(the_book(ctx))
    if as_json:
        show_json(found)
        return
    show_facts([(name.replace("_", " "), str(value)) for name, value in found.items() if name != "rows"])
    show_facts(
        [(f"  {name.replace('_', ' ')}", str(count)) for name, count in found["rows"].items() if count]
    )


@book.command("verify")
def verify(ctx: typer.Context, as_json: AsJson = False) -> None:
    """Check file, guards, chain, each row against its line, and kept photos; exits 1 if anything is wrong."""
    from lugbook.jobs.keeping import verify_book

    found = verify_book(the_book(ctx))
    if as_json:
        show_json(
            {
                "sound": not found.findings,
                "lines": found.lines,
                "head": found.head,
                "findings": found.findings,
                "photos_changed": found.photos_changed,
                "photos_missing": found.photos_missing,
            }
        )
    elif not found.findings:
        say(f"Sound: {found.lines} lines, each row says what its line says. Head {found.head}.")
        say("This shows that no line was changed since it was written, not that a reading was true.")
    else:
        for sentence in found.findings:
            warn(sentence)
        warn("Keep this file as it is, and work on from a copy that verifies.")
    if not as_json:
        for sentence in (*found.photos_changed, *found.photos_missing):
            warn(sentence)
    if found.findings or found.photos_changed:
        raise typer.Exit(1)


@book.command("upgrade")
def upgrade(ctx: typer.Context) -> None:
    """Bring a book made by an older Lugbook up to date; the old file is kept beside it."""
    from lugbook.jobs.keeping import upgrade_to_newest

    done = upgrade_to_newest(book_path(ctx))
    if done.kept is None:
        say("The book is up to date; nothing was changed.")
    else:
        say(f"Upgraded from generation {done.before} to {done.after}; the old book is at {done.kept}.")
