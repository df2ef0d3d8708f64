"""What a command is given: the book to work on, the clock, and the options many commands share."""

import os
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lugbook.errors import NotADay

if TYPE_CHECKING:
    from lugbook.records.store import Book

AsJson = Annotated[bool, typer.Option("--json", help="The same facts as JSON.")]
OfBuild = Annotated[str | None, typer.Option("--build", help="The build, where there are several.")]
Why = Annotated[str, typer.Option("--reason", help="Why; it is kept in the book.")]
By = Annotated[str | None, typer.Option("--by", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", help="Anything worth keeping.")]


def now() -> datetime:
    """The one place that asks the clock."""
    return datetime.now(UTC)


def today() -> date:
    """Today on this machine's calendar."""
    return datetime.now().astimezone().date()


def day_of_text(text: str | None, otherwise: date) -> date:
    """A day as typed, "2031-04-18". Raises NotADay."""
    if text is None:
        return otherwise
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise NotADay(text) from error


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
    return book


def colour_wanted(stream_is_terminal: bool) -> bool:
    """Colour only on a terminal, and never under NO_COLOR."""
    return stream_is_terminal and "NO_COLOR" not in os.environ
