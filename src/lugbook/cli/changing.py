"""The commands that put right or withdraw a row of any kind but readings, which have their own."""

from typing import Annotated

import typer

from lugbook.cli.arguments import By, OfBuild, Why, now, the_book
from lugbook.cli.console import say


def add_amending(app: typer.Typer, kind: str, called: str) -> None:
    """Give a noun its `amend`."""

    @app.command("amend")
    def amend(
        ctx: typer.Context,
        name: Annotated[str, typer.Argument(help=f"The {called}, or its entry number.")],
        changes: Annotated[
            list[str], typer.Argument(help="HEADING=VALUE, with the headings of `lugbook import`.")
        ],
        reason: Why,
        by: By = None,
        build: OfBuild = None,
    ) -> None:
        """Put right what the book says; what it said before stays in it."""
        from lugbook.jobs.amending import amend_row

        entry = amend_row(the_book(ctx), kind, name, changes, now(), reason=reason, by=by, build=build)
        say(f"{name}: entry {entry} now stands; what it replaces stays in the book.")


def add_withdrawing(app: typer.Typer, kind: str, called: str) -> None:
    """Give a noun its `withdraw`."""

    @app.command("withdraw")
    def withdraw(
        ctx: typer.Context,
        name: Annotated[str, typer.Argument(help=f"The {called}, or its entry number.")],
        reason: Why,
        by: By = None,
        build: OfBuild = None,
    ) -> None:
        """Say that it no longer counts; it stays in the book."""
        from lugbook.jobs.amending import withdraw_row

        entry = withdraw_row(the_book(ctx), kind, name, now(), reason=reason, by=by, build=build)
        say(f"Entry {entry} no longer counts; it stays in the book.")
