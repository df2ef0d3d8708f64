"""What a command is given: the book to work on, the clock, and the options many commands share."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lugbook.cli.console import warn
from lugbook.errors import NotADay, nearest, quoted

if TYPE_CHECKING:
    from lugbook.records.store import Book

AsJson = Annotated[bool, typer.Option("--json", help="The same facts as JSON.")]
OfBuild = Annotated[str | None, typer.Option("--build", help="The build, where there are several.")]
Why = Annotated[str, typer.Option("--reason", help="Why; it is kept in the book.")]
By = Annotated[str | None, typer.Option("--by", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", help="Anything worth keeping.")]
YEARS = range(1970, 2201)
"""A day asked for lies in one of these: what is worked out from it must be a day too."""


def now() -> datetime:
    """The one place that asks the clock."""
    return datetime.now(UTC)


def today() -> date:
    """Today on this machine's calendar."""
    return datetime.now().astimezone().date()


def day_of_text(text: str | None, otherwise: date) -> date:
    """A day as typed, "2031-04-18", in a year this book can be of. Raises NotADay."""
    if text is None:
        return otherwise
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise NotADay(text) from error
    if day.year not in YEARS:
        raise NotADay(text)
    return day


def book_path(ctx: typer.Context) -> Path:
    """The book named by --book or LUGBOOK_BOOK, else the one in the user's data folder."""
    if ctx.obj is not None:
        return Path(ctx.obj)
    from platformdirs import user_data_path

    return user_data_path("lugbook", appauthor=False) / "book.db"


def the_book(ctx: typer.Context) -> "Book":
    """The open book; it is closed when the command ends."""
    from lugbook.records.store import open_book

    book = open_book(book_path(ctx))
    ctx.call_on_close(book.close)
    if ctx.params.get("by"):
        _say_if_new(ctx, book, ctx.params["by"])
    return book


def _say_if_new(ctx: typer.Context, book: "Book", name: str) -> None:
    """When the command has ended, say that it brought an operator whom the book did not know: it may be misspelt."""
    from lugbook.jobs.entering import operator_names

    before = operator_names(book)

    def say_it() -> None:
        if name not in before and name in operator_names(book):
            warn(f"Operator {quoted(name)} is new in this book{nearest(name, before)}.")

    ctx.call_on_close(say_it)
