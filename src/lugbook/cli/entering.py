"""How a command that adds one thing hands it to the book and says what became of it."""

from collections.abc import Mapping

import typer

from lugbook.cli.arguments import now, the_book
from lugbook.cli.console import say


def enter_one(ctx: typer.Context, kind: str, called: str, cells: Mapping[str, str | None]) -> None:
    """Enter one line of a kind, as typed; options not given are left out."""
    from lugbook.jobs.recording import record_by_hand

    given = {heading: text for heading, text in cells.items() if text is not None}
    recorded = record_by_hand(the_book(ctx), kind, given, now())
    say(f"{called}: {'entered' if recorded.new else 'the book already says so; nothing was written'}.")
